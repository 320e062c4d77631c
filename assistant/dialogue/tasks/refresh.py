"""Keeping a display going: what is replaced when, how many stems, when water is topped up."""

from __future__ import annotations

import math
from collections.abc import Collection, Mapping
from datetime import timedelta

from assistant.calculators.ranges import Estimate
from assistant.calculators.refresh import Planting, RefreshPlan, refresh_plan
from assistant.calculators.visiting import shared_visits
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.general import ANSWER_FROM, from_rules
from assistant.dialogue.lives import Life, life_of
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.pools import is_narrowed, words
from assistant.dialogue.tasks.longevity import answer as of_the_shelf
from assistant.dialogue.wording import capital, count, date_words, listed
from assistant.handbook.passages import sentence

# Inputs of a life that a person tells, and that the plan's figures show again.
_TOLD = frozenset({
    "display_temperature", "support", "elapsed_days", "elapsed_temperature", "stored_days", "storage_temperature",
})  # fmt: skip
# The past of the lot at hand, which those that replace it do not have.
_PAST = frozenset({
    "elapsed_days", "elapsed_temperature", "since_date", "stored_days", "storage_temperature", "storage_method", "dry_days",
})  # fmt: skip
_GOAL = frozenset({"display_days", "until_date"})
# The longest display that visits are planned for; dried work may stand longer. [d]
_LONGEST = 366
# A rule answers for a display of a said length, whose materials are not, only where it is as likely as this to be the one.
_SURELY_A_RULE = 0.7


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        timed = bool(_GOAL & (wish.asked.keys() | wish.earlier.keys()))
        if not wish.refers_back:
            draft = from_rules(
                wish, desk, prefer=("long-display", "reservoirs"), least=_SURELY_A_RULE if timed else ANSWER_FROM
            )
            if draft is not None:
                return draft
        if is_narrowed(wish) and not _of_any_flowers(wish):
            from assistant.dialogue.tasks.substitute import find

            return find(wish, desk)
        return asked_back("Which materials are in the display?", "materials")
    goal = desk.inputs(wish).days_until()
    if goal is None:
        return asked_back("How many days must the display look well?", "display_days")
    display_d = max(1, math.ceil(goal[0]))
    assumptions: list[str] = []
    lives: dict[str, Life] = {}
    missing: list[str] = []
    plantings: list[Planting] = []
    too_short: list[str] = []
    over: list[str] = []
    if display_d > _LONGEST and all(desk.context.material(item.id).is_dry for item in wish.items):
        return of_the_shelf(wish, desk)
    for item in wish.items:
        found = _life(item, wish, _GOAL, assumptions, desk)
        fresh = _life(item, wish, _GOAL | _PAST, assumptions if found is None else [], desk)
        if found is None or fresh is None:
            missing.append(desk.context.name(item.id))
            continue
        if found.days.low < 1 <= fresh.days.low:
            over.append(desk.context.plural(item.id))
            found = fresh
        lives[item.id] = found
        if found.days.low < 1:
            too_short.append(desk.context.plural(item.id))
            continue
        aged = None if found.days == fresh.days else Estimate(*found.days)
        if aged is not None:
            assumptions += [x for x in ("what replaces it comes in fresh",) if x not in assumptions]
        stems = _stems(item, wish, desk)
        plantings.append(Planting(item.id, stems, Estimate(*fresh.days), not found.material.is_dry, aged))
    if not plantings:
        if too_short:
            return not_covered(
                f"{capital(listed(too_short))} may last less than a day there, so no refresh rhythm holds; choose something else or cool the room."
            )
        return not_covered(f"The handbook has no vase life for {listed(missing)}, so I can't plan the refresh.")
    start_slot = wish.slot("start_date")
    start = start_slot.day if start_slot else None
    margin = desk.context.constant("refresh-margin").value
    plan = refresh_plan(plantings, display_d, start=start, margin_d=margin, top_up_every_d=2)
    draft = Draft("", assumptions=assumptions)
    changes = _changes(plan)
    _figures(plan, changes, lives, wish, desk, draft, display_d, margin)
    draft.lead = _lead(plan, changes, display_d)
    draft.more = _more(plan, changes, desk, missing, too_short)
    if over:
        draft.more.insert(
            0, f"{capital(listed(over))} of that age may be over within a day, so the plan starts with fresh ones."
        )
    draft.passages = [
        p
        for item in wish.items
        for p in desk.context.sections(item.id, "keeping" if desk.context.material(item.id).is_dry else "life")
    ]
    draft.passages += desk.context.rules(
        ("base-of-greens-two-weeks", "plan-for-refresh", "replace-shorter-lived-first", "refresh-visit-steps")
    )
    draft.follow_ups = ["and at 26 °C?", "for three weeks", "why?"]
    return draft


def _life(item: Item, wish: Wish, less: Collection[str], assumptions: list[str], desk: Desk) -> Life | None:
    """The life of one material under the wish's conditions, less some of its slots: lives are wanted, not a verdict."""
    asked, earlier = ({n: r for n, r in slots.items() if n not in less} for slots in (wish.asked, wish.earlier))
    inputs = desk.inputs(Wish("longevity", (item,), asked, earlier))
    inputs.assumptions = assumptions
    return life_of(desk.context.material(item.id), inputs)


def _of_any_flowers(wish: Wish) -> bool:
    """ "When do I change the flowers in the lobby": the word describes none, so it is asked which they are."""
    described = any(wish.slot(name) for name in ("roles", "colours", "audience")) or wish.superlative is not None
    return words(wish, "kinds") == ("flower",) and not described


def _stems(item: Item, wish: Wish, desk: Desk) -> int:
    if item.stems:
        return round(item.stems)
    if item.bunches:
        known = desk.context.pack(item.id)
        return round(item.bunches * (known[0].value if known else 10))
    said = wish.slot("stems")
    return round(said.number) if said and len(wish.items) == 1 else 10


def _when(day: int, plan: RefreshPlan) -> str:
    return date_words(plan.start + timedelta(days=day)) if plan.start else f"day {day}"


def _changes(plan: RefreshPlan) -> dict[str, tuple[int, ...]]:
    """Days on which each material is changed, when one visit serves all that falls due before the next."""
    every = {row.material: row.every_d for row in plan.materials if row.times_replaced}
    first = {row.material: row.first_d for row in plan.materials if row.times_replaced}
    visits = shared_visits(every, plan.display_d, plan.start, first_d=first)
    return {row.material: tuple(day for day, changed in visits if row.material in changed) for row in plan.materials}


def _lead(plan: RefreshPlan, changes: Mapping[str, tuple[int, ...]], display_d: int) -> str:
    visits = sorted({day for days in changes.values() for day in days})
    if not visits:
        return f"No replacement visit in {count(display_d, 'day')}: everything named lasts that long at the short end of its range."
    days = listed([_when(day, plan) for day in visits[:6]]) + (" …" if len(visits) > 6 else "")
    return f"{count(len(visits), 'replacement visit')} in {count(display_d, 'day')}: {days}."


def _more(
    plan: RefreshPlan, changes: Mapping[str, tuple[int, ...]], desk: Desk, missing: list[str], too_short: list[str]
) -> list[str]:
    said = []
    for row in plan.materials:
        name = desk.context.plural(row.material)
        if row.times_replaced:
            stems = row.stems * (1 + len(changes[row.material]))
            aged = f"after {count(row.first_d, 'day')}, then " if row.first_d != row.every_d else ""
            said.append(f"{name} {aged}every {count(row.every_d, 'day')} ({stems} stems in all)")
        else:
            said.append(f"{name} stay throughout")
    out = [sentence("; ".join(said)), "Check and top up water every second day."]
    if len({tuple(row.days) for row in plan.materials if row.times_replaced}) > 1:
        out.insert(1, "What falls due before the next visit is changed on this one.")
    if missing:
        out.append(f"No vase life in the handbook for {listed(missing)}.")
    if too_short:
        out.append(f"{capital(listed(too_short))} may last less than a day there; leave them out.")
    return out


def _figures(
    plan: RefreshPlan,
    changes: Mapping[str, tuple[int, ...]],
    lives: dict[str, Life],
    wish: Wish,
    desk: Desk,
    draft: Draft,
    display_d: int,
    margin: float,
) -> None:
    inputs = desk.inputs(wish)
    inputs.days_until()
    inputs.note("margin", margin, "d", "handbook")
    for row in plan.materials:
        own = inputs.fresh()
        own.used = list(inputs.used)
        life = lives[row.material]
        own.note("days_remaining", life.days.value, "d", "handbook", life.days.low, life.days.high)
        own.used += [i for i in life.figure.inputs if i.name in _TOLD]
        later = row.life_d
        times = [
            _times(first_d, later_d, display_d, margin)
            for first_d, later_d in ((life.days.high, later.high), (life.days.low, later.low))
        ]
        low, high = min(times), max(times)
        dates = tuple(
            (plan.start + timedelta(days=d)).isoformat() if plan.start else f"day {d}" for d in changes[row.material]
        )
        replaced = len(changes[row.material])
        draft.figures.append(
            Figure("refresh_dates", row.material, float(replaced), float(min(low, replaced)), float(max(high, replaced)),
                   "visits", inputs=tuple(own.used), formula="every ⌊short life − margin⌋ days or sooner, on visits shared by all", dates=dates, sources=life.figure.sources)
        )  # fmt: skip


def _times(first_d: float, later_d: float, display_d: int, margin: float) -> int:
    """Changes in the display's days, of a lot that lasts `first_d` and of those after it that last `later_d`."""
    if first_d >= display_d:
        return 0
    rest = display_d - max(1, math.floor(first_d - margin))
    return 1 if later_d >= rest else math.ceil(rest / max(1, math.floor(later_d - margin)))
