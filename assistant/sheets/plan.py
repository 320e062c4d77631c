"""From a job to a plan: one pure function. Change one thing in the job and everything that hangs on it follows."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.calculators.refresh import MaterialPlan, Planting, refresh_plan
from assistant.calculators.visiting import shared_visits
from assistant.dialogue.context import Context
from assistant.handbook.loading import Handbook
from assistant.handbook.passages import sources_of
from assistant.sheets.checking import cautions_of, material_flags, shared_flags, whole_flags
from assistant.sheets.figuring import figures_of
from assistant.sheets.job import Job, middle, weekday_numbers
from assistant.sheets.needs import needs_of, proposal_by_role
from assistant.sheets.ordering import all_suffice, draw_on_stock, money_of, order_line, reckoned
from assistant.sheets.parts import (
    Change,
    Delivery,
    Draw,
    Flag,
    Kept,
    Life,
    Need,
    OrderLine,
    Plan,
    Prep,
    Step,
    Visit,
    Water,
)
from assistant.sheets.preparing import Shop, prepare
from assistant.sheets.prices import PriceList
from assistant.sheets.watering import water_of
from assistant.stock.holdings import Holdings
from assistant.stock.lives import Left, Lives

_UNKNOWN_ROOM = Estimate(20.0, 20.0, 20.0)
_UNKNOWN_AIR = Estimate(40.0, 50.0, 60.0)
_BUILD: tuple[tuple[str, tuple[str, ...], str], ...] = (
    ("Base that lasts", ("foliage",), "Set the greens first; they carry the shape and stay."),
    ("Lines", ("line",), "Place height and width before anything fills in."),
    ("Focal flowers", ("form", "mass"), "Largest heads low and near the middle, each free of its neighbour."),
    ("Filler", ("filler",), "Between the heads, a little deeper than they stand."),
    ("Accents", ("accent",), "Last of all, in small groups."),
)


def plan(
    job: Job,
    handbook: Handbook,
    stock: Holdings | None = None,
    *,
    prices: PriceList | None = None,
    today: date | None = None,
) -> Plan:
    """Work a whole job out.

    Args:
        job: the recipe, the place and the dates; materials by id.
        handbook: with the shop's own folder laid over it.
        stock: what is there; drawn on before ordering, and its own losses replace the handbook's once there are enough.
        prices: the shop's own prices, days and cooler.
        today: only to say that an order date has passed; nothing else depends on it.

    Returns:
        The plan. What cannot be worked out stands in its flags rather than stopping the rest.

    Raises:
        OutOfRange: for conditions that cannot be, such as a room at 60 °C.
    """
    stock = stock or Holdings()
    context = Context(handbook, lambda: job.install, market=job.market)
    shop = Shop.of(context, prices)
    assumptions: list[str] = []
    degC, humidity, air_said = _air(job, context, assumptions)  # noqa: N806 - degC keeps the capital of the unit
    needs = needs_of(job, context)
    lot_lives = Lives(handbook)
    preps = {need.material: prepare(context.material(need.material), job.install, job, shop) for need in needs}
    left = _left(needs, preps, job, lot_lives, degC, humidity)
    flags: list[Flag] = []
    intervals = _intervals(needs, left, job, context)
    visits = _visits(intervals, needs, job, flags)
    lives = _lives(intervals, left, visits, context)
    draws, stock_flags = draw_on_stock(needs, lives, stock, lot_lives, job, degC, humidity)
    deliveries = _deliveries(needs, preps, draws, visits, job, context, shop, stock, prices)
    visits = _with_bunches(visits, deliveries)
    wet = [need for need in needs if not context.material(need.material).is_dry and need.stems]
    water = _water(wet, job, context, degC, humidity, flags)
    visits = _with_top_ups(visits, water)
    money = money_of([line for delivery in deliveries for line in delivery.lines], job, prices)
    days = [job.install, *(visit.on for visit in visits)]
    order_by = min((d.order_by for d in deliveries if d.order_by), default=None)
    flags += material_flags(needs, lives, left, job, context, days)
    flags += shared_flags(needs, job, context)
    flags += whole_flags(visits, water, wet, job, context, order_by, today)
    flags += stock_flags
    order = {"stop": 0, "watch": 1, "note": 2}
    flags.sort(key=lambda flag: order[flag.severity])
    assumptions += _assumptions(job, needs, preps, context, shop, prices, draws)
    made = Plan(
        job=job,
        ends=job.install + timedelta(days=job.display_days),
        degC=degC,
        humidity=humidity,
        air_said=air_said,
        names={need.material: context.name(need.material) for need in needs},
        plurals={need.material: context.plural(need.material) for need in needs},
        needs=needs,
        lives=tuple(lives.values()),
        deliveries=deliveries,
        draws=tuple(draws),
        money=money,
        water=water,
        visits=visits,
        build=_build(needs, water, context),
        kept=_kept(needs, lives, job, context),
        flags=tuple(flags),
        cautions=tuple(cautions_of(needs, job, context, water)),
        assumptions=tuple(dict.fromkeys(assumptions)),
        proposal=proposal_by_role(job.piece, context) if job.piece and not job.recipe else (),
        own_entries=_own_entries(needs, handbook),
    )
    return replace(made, figures=figures_of(made))


# --- the air ----------------------------------------------------------------------------------------------------------


def _air(job: Job, context: Context, assumptions: list[str]) -> tuple[Estimate, Estimate, str]:
    """Temperature [degC] and humidity [%] at the display: said, else the place's, else the standard room's."""
    place = context.places.get(job.place) if job.place else None
    said = []
    if job.degC is not None:
        degC = middle(job.degC)  # noqa: N806
        said.append("temperature as said")
    elif place is not None:
        degC = middle(_ends(place.degC, 20.0))  # noqa: N806
        said.append(f"usual for: {place.title.lower()}")
    else:
        degC = _UNKNOWN_ROOM  # noqa: N806
        assumptions.append("No temperature was given: reckoned at 20 °C.")
    if job.humidity is not None:
        humidity = middle(job.humidity)
    elif place is not None:
        humidity = middle(_ends(place.humidity, 50.0))
    else:
        humidity = _UNKNOWN_AIR
        assumptions.append("No humidity was given: reckoned at 40 to 60 %.")
    return degC, humidity, "; ".join(said)


def _ends(span: tuple[float | None, float | None], usual: float) -> tuple[float, float]:
    low, high = span
    return (low if low is not None else usual, high if high is not None else usual)


# --- lives and visits -------------------------------------------------------------------------------------------------


def _left(
    needs: Sequence[Need], preps: Mapping[str, Prep], job: Job, lives: Lives, degC: Estimate, humidity: Estimate  # noqa: N803
) -> dict[str, Left]:  # fmt: skip
    out = {}
    for need in needs:
        found = lives.left(
            lives.handbook.materials[need.material], preps[need.material].legs, display_degC=degC, support=job.support,
            humidity_pct=humidity,
        )  # fmt: skip
        if found is not None:
            out[need.material] = found
    return out


def _intervals(
    needs: Sequence[Need], left: Mapping[str, Left], job: Job, context: Context
) -> dict[str, MaterialPlan]:  # fmt: skip
    """How long each material may stand, longest-lasting first; without those that may last less than a day."""
    plantings = []
    for need in needs:
        found = left.get(need.material)
        days = reckoned(found.days, job) if found else 0.0
        if days >= 1:
            drinks = not context.material(need.material).is_dry
            plantings.append(Planting(need.material, need.stems or 0, days, drinks))
    if not plantings:
        return {}
    margin = context.constant("refresh-margin").value
    return {row.material: row for row in refresh_plan(plantings, job.display_days, margin_d=margin).materials}


def _visits(rows: Mapping[str, MaterialPlan], needs: Sequence[Need], job: Job, flags: list[Flag]) -> tuple[Visit, ...]:
    every = {material: row.every_d for material, row in rows.items() if row.life_d.low < job.display_days}
    try:
        found = shared_visits(every, job.display_days, job.install, weekday_numbers(job.open_days) or None)
    except OutOfRange as error:
        # Closed days longer than a material lasts: say so, and show what it would take if the place were open.
        flags.append(Flag("stop", "visits", None, f"{error} The visits below fall on closed days, too."))
        found = shared_visits(every, job.display_days, job.install)
    stems = {need.material: need.stems or 0 for need in needs}
    whole = sum(stems.values())
    visits = []
    for number, (day, materials) in enumerate(found, 1):
        changes = tuple(Change(material, stems[material], None) for material in materials)
        share = sum(change.stems for change in changes) / whole if whole else 0.0
        visits.append(Visit(number, job.install + timedelta(days=day), day, changes, False, share))
    return tuple(visits)


def _lives(
    rows: Mapping[str, MaterialPlan], left: Mapping[str, Left], visits: Sequence[Visit], context: Context
) -> dict[str, Life]:  # fmt: skip
    changed = [change.material for visit in visits for change in visit.changes]
    return {material: _life(row, left[material], changed.count(material), context) for material, row in rows.items()}


def _life(row: MaterialPlan, left: Left, times: int, context: Context) -> Life:
    material = context.material(row.material)
    entry = material.keeping.shelf_life if material.keeping else material.vase_life
    assert entry is not None  # there would be no days left to plan with
    return Life(
        row.material, left.days, left.warnings, row.every_d, times == 0, times, entry.basis, tuple(sources_of(entry))
    )


def _with_bunches(visits: tuple[Visit, ...], deliveries: Sequence[Delivery]) -> tuple[Visit, ...]:
    out = []
    for visit in visits:
        lines = {line.material: line for line in deliveries[visit.number].lines}
        changes = tuple(
            Change(c.material, c.stems, lines[c.material].to_order if lines[c.material].bunches else None)
            for c in visit.changes
        )
        out.append(Visit(visit.number, visit.on, visit.day, changes, visit.top_up, visit.share_changed))
    return tuple(out)


def _with_top_ups(visits: tuple[Visit, ...], water: Water | None) -> tuple[Visit, ...]:
    days = {row.day for row in water.days} if water else set()
    return tuple(Visit(v.number, v.on, v.day, v.changes, v.day in days, v.share_changed) for v in visits)


# --- orders -----------------------------------------------------------------------------------------------------------


def _deliveries(
    needs: Sequence[Need], preps: Mapping[str, Prep], draws: Sequence[Draw], visits: Sequence[Visit], job: Job,
    context: Context, shop: Shop, stock: Holdings, prices: PriceList | None,
) -> tuple[Delivery, ...]:  # fmt: skip
    by_id = {need.material: need for need in needs}
    drawn: dict[str, int] = {}
    for draw in draws:
        drawn[draw.material] = drawn.get(draw.material, 0) + draw.stems
    first = tuple(
        order_line(need, need.stems, drawn.get(need.material, 0), job, context, stock, prices) for need in needs
    )
    out = [_delivery(0, job.install, first, tuple(preps.values()))]
    for visit in visits:
        lines = tuple(order_line(by_id[c.material], c.stems, 0, job, context, stock, prices) for c in visit.changes)
        ready = tuple(prepare(context.material(c.material), visit.on, job, shop) for c in visit.changes)
        out.append(_delivery(visit.number, visit.on, lines, ready))
    return tuple(out)


def _delivery(number: int, on: date, lines: tuple[OrderLine, ...], preps: tuple[Prep, ...]) -> Delivery:
    costs = [line.cost for line in lines if line.cost is not None]
    cost = Estimate(*(math.fsum(ends) for ends in zip(*costs, strict=True))) if costs else None
    ready = min((prep.ready for prep in preps), default=on)
    return Delivery(number, on, ready, lines, preps, all_suffice(lines), cost)


# --- water ------------------------------------------------------------------------------------------------------------


def _water(
    wet: Sequence[Need], job: Job, context: Context, degC: Estimate, humidity: Estimate, flags: list[Flag]  # noqa: N803
) -> Water | None:  # fmt: skip
    try:
        return water_of(wet, job, context, degC, humidity)
    except OutOfRange as error:
        if job.open_days:
            # Topping up cannot wait for an open day: show the days it takes, and say what is wrong.
            try:
                found = water_of(wet, job.model_copy(update={"open_days": ()}), context, degC, humidity)
            except OutOfRange:
                pass
            else:
                flags.append(Flag("stop", "water", None, f"{error} The top-ups below fall on closed days."))
                return found
        flags.append(Flag("stop", "water", None, str(error)))
        return None


# --- building, keeping, saying ----------------------------------------------------------------------------------------


def _build(needs: Sequence[Need], water: Water | None, context: Context) -> tuple[Step, ...]:
    steps = []
    if water is not None:
        vessels = ", ".join(f"{v.count} × {v.title.lower()}" for v in water.vessels)
        steps.append(Step("Mechanics", (), f"{vessels}: clean, fix the mechanics, pour just enough to keep ends wet."))
    else:
        steps.append(Step("Mechanics", (), "Fix base and mechanics so that nothing can tip or turn."))
    for title, roles, text in _BUILD:
        rows = tuple((need.material, need.stems) for need in needs if need.role in roles)
        if rows:
            steps.append(Step(title, rows, text))
    steps.append(Step("Back", (), "Finish the back and the edges with greens; no mechanics may show from any side."))
    if water is not None:
        steps.append(Step("Water", (), "Fill to the level in place, wipe everything dry, look once from the door."))
    return tuple(steps)


def _kept(needs: Sequence[Need], lives: Mapping[str, Life], job: Job, context: Context) -> tuple[Kept, ...]:
    """Dried and preserved material with shelf life to spare after the display."""
    kept = []
    for need in needs:
        material, life = context.material(need.material), lives.get(need.material)
        if material.keeping is None or life is None or life.days.high <= job.display_days:
            continue
        after = life.days.map(lambda d: max(0.0, d - job.display_days))
        text = material.keeping.reuse.text if material.keeping.reuse else "Clean, store flat, dry and dark."
        kept.append(Kept(need.material, need.stems, after, text))
    return tuple(kept)


def _assumptions(
    job: Job, needs: Sequence[Need], preps: Mapping[str, Prep], context: Context, shop: Shop, prices: PriceList | None,
    draws: Sequence[Draw],
) -> list[str]:  # fmt: skip
    out = []
    if job.plan_on == "short":
        out.append("Changes are planned on the short end of each life; `plan_on: middle` in the job saves visits.")
    else:
        out.append("Changes are planned on the middle of each life, so some stems may tire before: look now and then.")
    if prices is None or prices.order_lead_days is None:
        out.append(f"Orders go out {shop.order_lead_d} days before the delivery; put your own lead in prices.yaml.")
    guessed = [context.name(need.material) for need in needs if not preps[need.material].hydrate_known]
    if guessed and shop.first_drink_h:
        drink = shop.first_drink_h
        out.append(
            f"First drink of {drink.low:g} to {drink.high:g} h taken from the general rule for {', '.join(guessed)}."
        )
    bunches = [context.name(need.material) for need in needs if need.origin == "bunches"]
    if bunches:
        out.append(f"Bunches as asked, counted at the small end of the pack: {', '.join(bunches)}.")
    if any(need.origin == "size of the piece" for need in needs):
        out.append("Stems worked out from the size of the piece: mock up a corner before you order.")
    if draws:
        out.append("Stems in stock are counted as good; look them through before you rely on them.")
    if preps:
        out.append(
            "Every lot is reckoned from receipt: it drinks and opens on the bench, waits in the cooler, then stands."
        )
    if job.vessels:
        out.append("Flower food at the usual dose; the label of your own comes first.")
    return out


def _own_entries(needs: Sequence[Need], handbook: Handbook) -> tuple[tuple[str, str], ...]:
    """Materials whose entry comes from the shop's own folder, and the file."""
    found = ((need.material, handbook.origin.get(need.material, "")) for need in needs)
    return tuple((material, file) for material, file in found if file and not file.startswith("knowledge/"))
