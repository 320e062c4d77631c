"""A plan laid out as a work sheet: headings, tables and lines of plain text, before any file format.

HTML, PDF and Markdown are three ways to write the same sheet, so the wording and the numbers stand in one place.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from assistant.calculators.ranges import Estimate
from assistant.dialogue.tasks.longevity import SUPPORT_WORDS
from assistant.dialogue.wording import capital, count, number_span
from assistant.sheets.parts import Delivery, OrderLine, Plan, Prep, VesselWater

_MARKS = {"stop": "STOP", "watch": "WATCH", "note": "note"}


@dataclass(frozen=True, slots=True)
class Table:
    """Rows of cells under a heading line; columns named in `right` hold numbers."""

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    right: frozenset[int] = frozenset()


@dataclass(frozen=True, slots=True)
class Section:
    heading: str
    table: Table | None = None
    lines: tuple[str, ...] = ()
    boxes: bool = False
    """Lines to tick off by hand."""


@dataclass(frozen=True, slots=True)
class Sheet:
    title: str
    facts: tuple[tuple[str, str], ...]
    sections: tuple[Section, ...]
    foot: tuple[str, ...]


def sheet_of(plan: Plan) -> Sheet:
    """The work sheet of a plan."""
    return Sheet(plan.job.title, tuple(_facts(plan)), tuple(_sections(plan)), tuple(_foot(plan)))


# --- words ------------------------------------------------------------------------------------------------------------


def day_words(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def days_text(days: Estimate) -> str:
    """Whole days, both ends rounded down: a part of a day is no day."""
    return number_span(float(int(days.low)), float(int(days.high)), 4)


def litres(ml: Estimate | float) -> str:
    value = ml.value if isinstance(ml, Estimate) else ml
    return f"{value / 1000:.1f} l" if value >= 1000 else f"{value:.0f} ml"


def litres_span(ml: Estimate) -> str:
    return f"{ml.low / 1000:.1f}–{ml.high / 1000:.1f} l"


def grams(g: Estimate) -> str:
    return f"{g.value:.0f} g"


def money(value: Estimate) -> str:
    """Cents, with the range where there is one."""
    if value.low == value.high:
        return f"{value.value:.2f}"
    return f"{value.value:.2f} ({value.low:.2f}–{value.high:.2f})"


def sure(probability: float | None) -> str:
    """A chance in per cent; nothing living is ever certain."""
    if probability is None:
        return "–"
    return ">99%" if probability > 0.994 else f"{probability:.0%}"


def _opt(value: object) -> str:
    return "–" if value is None else f"{value}"


# --- head -------------------------------------------------------------------------------------------------------------


def _facts(plan: Plan) -> Iterator[tuple[str, str]]:
    job = plan.job
    yield "Goes up", f"{day_words(job.install)} {job.install.year}"
    yield "Comes down", f"{day_words(plan.ends)} {plan.ends.year} ({count(job.display_days, 'day')})"
    if job.place:
        yield "Place", capital(job.place.replace("-", " "))
    yield (
        "Air",
        f"{number_span(plan.degC.low, plan.degC.high)} °C, {number_span(plan.humidity.low, plan.humidity.high)} %",
    )
    yield "Stands", capital(SUPPORT_WORDS.get(job.support, job.support.replace("-", " ")))
    if job.pieces > 1:
        yield "Pieces", str(job.pieces)
    if job.open_days:
        yield "Open", " ".join(capital(day) for day in job.open_days)
    for note in job.notes:
        yield "Note", note


def _sections(plan: Plan) -> Iterator[Section]:
    if plan.flags:
        lines = tuple(f"{_MARKS[flag.severity]}: {flag.text}" for flag in plan.flags)
        yield Section("Check before ordering", lines=lines, boxes=True)
    if plan.proposal:
        yield _proposal(plan)
        return
    for delivery in plan.deliveries:
        yield _order(delivery, plan)
    if plan.draws:
        yield _draws(plan)
    yield _timeline(plan)
    yield _build(plan)
    if plan.water is not None:
        yield _vessels(plan)
        if plan.water.days:
            yield _top_ups(plan)
    yield _visits(plan)
    if plan.kept:
        yield _kept(plan)
    if plan.cautions:
        yield Section("Take care", lines=plan.cautions)


# --- sections ---------------------------------------------------------------------------------------------------------


def _proposal(plan: Plan) -> Section:
    rows = tuple(
        (capital(row.role), f"{row.stems.value:.0f}", number_span(row.stems.low, row.stems.high, 4))
        for row in plan.proposal
    )
    total = sum(row.stems.value for row in plan.proposal)
    lines = (f"About {total:.0f} stems in one piece. Choose materials and the rest of the sheet follows.",)
    return Section(
        "Stems for the size of the piece", Table(("Role", "Stems", "From–to"), rows, frozenset({1, 2})), lines
    )


def _order(delivery: Delivery, plan: Plan) -> Section:
    what = (
        "Order for the day it goes up"
        if delivery.number == 0
        else f"Order for visit {delivery.number}, {day_words(delivery.on)}"
    )
    priced = plan.money is not None
    stocked = any(line.from_stock for line in delivery.lines)
    columns = [
        "Material",
        "Needed",
        *(["In stock"] if stocked else []),
        "Pack",
        "Bunches",
        "Stems",
        "Spare",
        "Sure",
        "Loss",
    ]
    columns += ["Bunch", "Cost"] if priced else []
    rows = tuple(tuple(_order_row(line, plan, stocked, priced)) for line in delivery.lines)
    lines = []
    if delivery.order_by:
        lines.append(f"Order out by {day_words(delivery.order_by)}.")
    if delivery.probability is not None:
        lines.append(f"Chance that nothing runs short: {sure(delivery.probability)}.")
    if delivery.cost is not None and plan.money is not None:
        lines.append(f"Cost of this order: {plan.money.currency} {money(delivery.cost)}.")
    own = sorted(
        {
            f"{plan.names[line.material]}: {line.loss_said}"
            for line in delivery.lines
            if line.loss_said.startswith("your own")
        }
    )
    lines += [f"Loss for {words}." for words in own]
    if delivery.number == 0 and plan.money is not None:
        lines += _whole_cost(plan)
    return Section(what, Table(tuple(columns), rows, frozenset(range(1, len(columns)))), (" ".join(lines),))


def _order_row(line: OrderLine, plan: Plan, stocked: bool, priced: bool) -> Iterator[str]:
    yield capital(plan.names[line.material]) + _note_of(line, plan)
    yield _opt(line.needed)
    if stocked:
        yield str(line.from_stock or "–")
    yield number_span(line.pack.low, line.pack.high) if line.pack else "–"
    yield str(line.to_order) if line.bunches else "–"
    yield _opt(line.ordered)
    yield _opt(line.spare)
    yield sure(line.probability)
    yield f"{line.loss.value:.1%}" if line.loss is not None else "–"
    if priced:
        yield money(line.price) if line.price is not None else "–"
        yield money(line.cost) if line.cost is not None else "–"


def _note_of(line: OrderLine, plan: Plan) -> str:
    notes = plan.need(line.material).notes
    return f" ({', '.join(notes)})" if notes else ""


def _whole_cost(plan: Plan) -> list[str]:
    assert plan.money is not None
    whole = plan.money
    visits = " with all visits" if len(plan.deliveries) > 1 else ""
    lines = [f"Whole job{visits}: {whole.currency} {money(whole.cost)} at your own prices."]
    if whole.retail is not None:
        lines.append(f"At your factor of {whole.factor:g}: {whole.currency} {money(whole.retail)}.")
    if whole.per_piece is not None:
        lines.append(f"Cost of a piece: {whole.currency} {money(whole.per_piece)}.")
    if whole.without_price:
        lines.append(f"No price in prices.yaml for {', '.join(plan.names[i] for i in whole.without_price)}.")
    return lines


def _draws(plan: Plan) -> Section:
    rows = tuple((str(d.lot), capital(plan.names[d.material]), str(d.stems), days_text(d.days)) for d in plan.draws)
    return Section(
        "Take from stock first", Table(("Lot", "Material", "Stems", "Days left there"), rows, frozenset({0, 2, 3}))
    )


def _timeline(plan: Plan) -> Section:
    """All dates of all deliveries, one line a day and thing to do."""
    return Section("Days", Table(("Day", "Do", "What"), tuple(_day_rows(plan))))


def _day_rows(plan: Plan) -> list[tuple[str, str, str]]:
    found: list[tuple[date, int, str, str]] = []
    for delivery in plan.deliveries:
        goal = "the day it goes up" if delivery.number == 0 else f"visit {delivery.number}"
        ordered = {line.material for line in delivery.lines if line.to_order}
        preps = [prep for prep in delivery.preps if prep.material in ordered]
        for day in sorted({prep.order_by for prep in preps}):
            names = ", ".join(plan.names[p.material] for p in preps if p.order_by == day)
            found.append((day, 0, "Order", f"{names} (for {goal})"))
        for day in sorted({prep.receive for prep in preps}):
            names = "; ".join(_conditioning(p, plan) for p in preps if p.receive == day)
            found.append((day, 1, "Receive, condition", names))
        if delivery.number == 0:
            found.append((delivery.ready, 2, "Build", "as below; keep cool until it travels"))
            found.append((delivery.on, 3, "Install", "set in place, fill, check from the door"))
        else:
            found.append((delivery.ready, 2, "Pack", f"stems for {goal}, in water"))
    for visit in plan.visits:
        names = ", ".join(f"{c.stems} {plan.names[c.material]}" for c in visit.changes)
        found.append((visit.on, 4, f"Visit {visit.number}", names))
    found.append((plan.ends, 6, "Take down", "sort what is kept"))
    return [(day_words(day), do, what) for day, _, do, what in sorted(found)]


def _conditioning(prep: Prep, plan: Plan) -> str:
    name = plan.names[prep.material]
    parts = []
    if prep.hydrate_h is not None:
        parts.append(f"drink {number_span(prep.hydrate_h.low, prep.hydrate_h.high)} h")
    if prep.opening_d is not None:
        parts.append(f"open {number_span(prep.opening_d.low, prep.opening_d.high)} d")
    if prep.stays_out_of_cooler:
        parts.append("not in the cooler")
    return f"{name} ({', '.join(parts)})" if parts else name


def _build(plan: Plan) -> Section:
    lines = []
    for number, step in enumerate(plan.build, 1):
        stems = ", ".join(f"{_opt(stems)} {plan.plurals[material]}" for material, stems in step.materials)
        lines.append(f"{number}. {step.title}: {stems + '. ' if stems else ''}{step.text}")
    return Section("Build", lines=tuple(lines))


def _vessels(plan: Plan) -> Section:
    assert plan.water is not None
    columns = ("Vessel", "No.", "Stems", "Fill to", "Water", "Food", "Loss a day", "Lasts", "Filled weight")
    rows = tuple(_vessel_row(vessel) for vessel in plan.water.vessels)
    water = plan.water
    dose = f"{water.food_g_per_l.value:g} g/l"
    lines = (
        f"All together: {litres(water.total_ml)} water and {grams(water.food_g)} food at {dose}. "
        f"Air dryness {number_span(water.vpd_kpa.low, water.vpd_kpa.high, 2)} kPa.",
    )
    return Section("Vessel and water", Table(columns, rows, frozenset(range(1, 9))), lines)


def _vessel_row(vessel: VesselWater) -> tuple[str, ...]:
    return (
        vessel.title,
        str(vessel.count),
        str(vessel.stems),
        f"{vessel.level_cm:.3g} cm",
        litres(vessel.fill.water_ml),
        grams(vessel.food_g),
        litres_span(vessel.loss_ml),
        f"{number_span(vessel.days.low, vessel.days.high, 2)} d",
        f"{vessel.weight.weight_kg.low:.0f}–{vessel.weight.weight_kg.high:.0f} kg",
    )


def _top_ups(plan: Plan) -> Section:
    water = plan.water
    assert water is not None
    several = len(water.vessels) > 1
    names = [f"Each {vessel.title.lower()}" for vessel in water.vessels] if several else ["Each vessel"]
    columns = ("Day", *names, "All", "Food")
    rows = tuple(
        (day_words(day.on), *(litres(ml) for ml in day.each_ml), litres(day.total_ml), grams(day.food_g))
        for day in water.days
    )
    most = max(day.total_ml.high for day in water.days)
    lines = (f"Have {litres(most)} ready each time: that is the most it may take.",)
    return Section("Top up", Table(columns, rows, frozenset(range(1, len(columns)))), lines)


def _visits(plan: Plan) -> Section:
    if not plan.visits:
        return Section("Visits", lines=("No replacement is planned; everything stays to the end.",))
    rows = []
    for visit in plan.visits:
        for change in visit.changes:
            bunches = count(change.bunches, "bunch") if change.bunches is not None else "–"
            rows.append(
                (
                    f"{visit.number}",
                    day_words(visit.on),
                    capital(plan.plurals[change.material]),
                    str(change.stems),
                    bunches,
                )
            )
    stays = [plan.plurals[life.material] for life in plan.lives if life.stays]
    lines = (
        f"Pull the old stems, put as many new ones in. It stays: {', '.join(stays)}."
        if stays
        else "Pull the old stems, put as many new ones in.",
    )
    return Section(
        "Visits", Table(("Visit", "Day", "Pull and replace", "Stems", "Bring"), tuple(rows), frozenset({3})), lines
    )


def _kept(plan: Plan) -> Section:
    rows = tuple(
        (
            capital(plan.plurals[k.material]),
            _opt(k.stems),
            f"{k.days.low / 30.4375:.0f}–{k.days.high / 30.4375:.0f} months",
            k.text,
        )
        for k in plan.kept
    )
    return Section("Keep for another time", Table(("Material", "Stems", "Keeps", "How"), rows, frozenset({1})))


def _foot(plan: Plan) -> Iterator[str]:
    yield from plan.assumptions
    for material, file in plan.own_entries:
        yield f"{capital(plan.names[material])}: from your own folder ({file})."
    rows = []
    for life in plan.lives:
        sources = f": {', '.join(life.sources)}" if life.sources else ""
        rows.append(f"{plan.names[life.material]} {days_text(life.days)} d ({life.basis}{sources})")
    if rows:
        yield f"Life there, counted from the day it goes up: {'; '.join(rows)}."
