"""When the trade has it."""

from __future__ import annotations

import calendar

from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.memory import Wish
from assistant.dialogue.pools import is_narrowed
from assistant.dialogue.wording import capital, listed
from assistant.handbook.passages import months_words

_SEASON_MONTHS = {
    "spring": (3, 4, 5),
    "summer": (6, 7, 8),
    "autumn": (9, 10, 11),
    "fall": (9, 10, 11),
    "winter": (12, 1, 2),
}


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        if _months(wish, desk) and is_narrowed(wish):
            from assistant.dialogue.tasks.substitute import find

            return find(wish, desk)
        months = _months(wish, desk)
        if months:
            return _in_season(months, desk)
        return asked_back("Which material do you want the season of?", "materials")
    draft = Draft("")
    said = []
    wanted = _months(wish, desk)
    for item in wish.items:
        material = desk.context.material(item.id)
        draft.passages += desk.context.sections(item.id, "order")
        if not material.season:
            said.append(f"The handbook has no season for {material.name}.")
            continue
        months = sorted({m for s in material.season for m in (range(1, 13) if s.months == "all" else s.months)})
        words = (
            months_words(material.season[0])
            if len(material.season) == 1
            else months_words(material.season[0].model_copy(update={"months": tuple(months)}))
        )
        number = float(len(months))
        draft.figures.append(
            Figure("season_months", item.id, number, number, number, "months", formula="months in which the trade has it",
                   sources=tuple(dict.fromkeys(x for s in material.season for x in s.source)), basis=material.season[0].basis)
        )  # fmt: skip
        name = capital(desk.context.plural(item.id))
        if wanted:
            inside = [m for m in wanted if m in months]
            label = calendar.month_name[wanted[0]] if len(wanted) == 1 else "then"
            verdict = "Yes" if len(inside) == len(wanted) else "In part" if inside else "No"
            said.append(
                f"{verdict}: {name} are on the market {words} ({number:.0f} months){'' if inside else f', not in {label}'}."
            )
        else:
            said.append(f"{name} are on the market {words} ({number:.0f} months of the year).")
    draft.lead = " ".join(said)
    if not draft.figures:
        return not_covered(draft.lead, draft.passages)
    draft.follow_ups = ["what could I use instead?", "how many in a bunch?"]
    return draft


def _in_season(months: list[int], desk: Desk) -> Draft:
    """What the market has in these months and not all the year round, the shortest seasons first."""
    rows = []
    for material in desk.context.handbook.materials.values():
        there = {m for s in material.season or () for m in (range(1, 13) if s.months == "all" else s.months)}
        if not material.is_dry and len(there) < 12 and set(months) <= there:
            rows.append((len(there), material.id))
    rows.sort()
    label = " and ".join(dict.fromkeys(calendar.month_name[m] for m in (months[0], months[-1])))
    draft = Draft(
        f"{len(rows)} entries that are not there all year are on the market in {label}, shortest season first: "
        f"{listed([desk.context.plural(i) for _, i in rows[:12]])}{' and others' if len(rows) > 12 else ''}."
    )
    number = float(len(rows))
    draft.figures = [
        Figure("entries", None, number, number, number, "entries", formula=f"entries with a season that covers {label}")
    ]
    draft.passages = [p for _, i in rows[:3] for p in desk.context.sections(i, "order")]
    return draft


def _months(wish: Wish, desk: Desk) -> list[int]:
    reading = wish.asked.get("month")
    if reading is not None and reading.said not in _SEASON_MONTHS:
        return [int(reading.number)]
    day = wish.asked.get("until_date") or wish.asked.get("start_date")
    if day is not None:
        return [day.day.month]
    for word, months in _SEASON_MONTHS.items():
        if word in wish.text.split():
            return list(months)
    if any(phrase in wish.text for phrase in ("now", "this time of year", "at the moment", "right now", "today")):
        return [desk.context.today.month]
    return []
