"""Every number on the demo's sheet, made again from the calculators and the handbook's own entries.

Nothing of `assistant.sheets` but the finished sheet is used to say what is expected: the tables are rebuilt here cell
by cell, and every other number on the sheet must be one of those.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta

import pytest

from assistant.calculators.bunches import bunches_needed
from assistant.calculators.longevity import Leg, LifeConstants, days_remaining, shelf_days_remaining
from assistant.calculators.mixing import per_litre
from assistant.calculators.ranges import Estimate, product, total
from assistant.calculators.water import (
    VesselSize,
    days_until_level,
    fill,
    filled_weight,
    top_up,
    uptake_ml_per_day,
    vapour_pressure_deficit_kpa,
    volume_ml,
)
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material
from assistant.sheets.parts import Plan
from assistant.sheets.sheet import Section, Sheet, sheet_of

UP, DISPLAY_D = date(2026, 12, 7), 14
ROOM, HUMIDITY = Estimate(20.0, 21.0, 22.0), Estimate(40.0, 45.0, 50.0)
COOLER = Estimate(3.0, 4.0, 5.0)
DELIVERY_DAYS, WORK_DAYS, OPEN_DAYS = {1, 3, 5}, {0, 1, 2, 3, 4, 5}, {0, 1, 2, 3, 4, 5}
ORDER_LEAD_D = 2
# material: stems asked, bunches asked, role, price of a bunch or stem, per
RECIPE: dict[str, tuple[int | None, int | None, str, tuple[float, float], str]] = {
    "large-leaved-ruscus": (24, None, "foliage", (4.2, 4.2), "bunch"),
    "salal": (None, 2, "foliage", (5.5, 5.5), "bunch"),
    "preserved-eucalyptus": (12, None, "foliage", (1.6, 1.6), "stem"),
    "dried-marram": (15, None, "line", (6.8, 6.8), "bunch"),
    "bunny-tail": (None, 1, "filler", (8.5, 9.5), "bunch"),
    "lisianthus": (14, None, "mass", (12.8, 12.8), "bunch"),
    "spray-carnation": (9, None, "filler", (7.9, 7.9), "bunch"),
    "statice": (8, None, "filler", (6.2, 6.2), "bunch"),
}


def middle(low: float, high: float) -> Estimate:
    return Estimate(low, (low + high) / 2, high)


def back(day: date, weekdays: set[int]) -> date:
    while day.weekday() not in weekdays:
        day -= timedelta(days=1)
    return day


def words(day: date) -> str:
    return f"{day:%a} {day.day} {day:%b}"


def span(low: float, high: float, digits: int = 3) -> str:
    a, b = f"{low:.{digits}g}", f"{high:.{digits}g}"
    return a if a == b else f"{a}–{b}"


@dataclass
class Bench:
    """The handbook's numbers, read without any help of the sheets."""

    handbook: Handbook

    def constant(self, name: str) -> Estimate:
        row = next(r for t in self.handbook.tables.values() for r in t.constants if r.id == name)
        return Estimate(row.span[0], row.value, row.span[1])

    def place(self, name: str) -> Estimate:
        row = next(r for t in self.handbook.tables.values() for r in t.places if r.id == name)
        assert row.degC[0] is not None
        assert row.degC[1] is not None
        return middle(row.degC[0], row.degC[1])

    def material(self, name: str) -> Material:
        return self.handbook.materials[name]

    def pack(self, name: str) -> Estimate:
        packs = self.material(name).packs
        row = next(p for market in ("EU", "any") for p in packs if p.market == market and p.stems)
        assert row.stems is not None
        assert row.stems[0] is not None
        assert row.stems[1] is not None
        return middle(row.stems[0], row.stems[1])

    def stems(self, name: str) -> int:
        stems, bunches = RECIPE[name][:2]
        return stems if stems is not None else (bunches or 0) * int(self.pack(name).low)

    def drink(self, material: Material) -> tuple[float, float]:
        if material.hydration:
            return material.hydration.span
        return self.handbook.rules["first-drink-time"].numbers[0].span

    # --- days ---------------------------------------------------------------------------------------------------------

    def dates(self, name: str, on: date) -> tuple[date, date, date]:
        """Order by, receive, ready."""
        material = self.material(name)
        ready = back(on - timedelta(days=1), WORK_DAYS)
        lead = 1
        if not material.is_dry:
            opening = sum(material.opening.span) / 2 if material.opening else 0.0
            lead = max(1, math.ceil(opening), math.ceil(self.drink(material)[1] / 24))
        receive = back(ready - timedelta(days=lead), DELIVERY_DAYS)
        return back(receive - timedelta(days=ORDER_LEAD_D), WORK_DAYS), receive, ready

    def life(self, name: str) -> Estimate:
        """Days at the display from the day it goes up."""
        material = self.material(name)
        waited = (UP - self.dates(name, UP)[1]).days
        if material.keeping:
            return shelf_days_remaining(material.keeping.shelf_life.span, kept_d=float(waited)).remaining_d
        opening = sum(material.opening.span) / 2 if material.opening else 0.0
        bench = min(float(waited), max(opening, self.drink(material)[1] / 24))
        legs = [Leg(bench, self.place("workroom"), "vase-food"), Leg(waited - bench, COOLER, "cooler-wet")]
        legs = [leg for leg in legs if leg.days > 0]
        stored = [r.days for r in material.storage if r.days and r.method in ("wet", "either")]
        stored = stored or [r.days for r in material.storage if r.days]
        ends = [end for pair in stored for end in pair if end is not None]
        life = material.vase_life
        assert life is not None
        assert material.chilling_threshold is None
        rows = {r.id: Estimate(r.span[0], r.value, r.span[1]) for r in self.handbook.table("longevity").constants}
        return days_remaining(
            life.span, display_degC=ROOM, q10=middle(*material.q10.span) if material.q10 else rows["q10"],
            constants=LifeConstants.from_rows(rows), legs=legs, measured_degC=life.degC,
            measured_support=life.support,  # type: ignore[arg-type]
            freezing_point_degC=material.freezing_point.span[1] if material.freezing_point else None,
            storage_life_d=middle(min(ends), max(ends)) if ends and len(legs) > 1 else None,
            out_of_water_d=material.out_of_water.span if material.out_of_water else None,
        ).remaining_d  # fmt: skip

    def every(self, name: str) -> int:
        """Whole days between changes on the middle of the life, one day's margin."""
        value = self.life(name).value
        return DISPLAY_D if value >= DISPLAY_D else max(1, math.floor(value - self.constant("refresh-margin").value))

    def visits(self) -> list[tuple[int, list[str]]]:
        every = {name: self.every(name) for name in RECIPE if self.life(name).value < DISPLAY_D}
        last = dict.fromkeys(every, 0)
        found: list[tuple[int, list[str]]] = []
        while due := {n: last[n] + every[n] for n in every if last[n] + every[n] < DISPLAY_D}:
            day = min(due.values())
            while (UP + timedelta(days=day)).weekday() not in OPEN_DAYS:
                day -= 1
            now = [n for n in due if due[n] < day + min(every[n] for n in due)]
            last |= dict.fromkeys(now, day)
            found.append((day, now))
        longest = sorted(RECIPE, key=lambda n: (-self.life(n).value, n))
        return [(day, sorted(now, key=longest.index)) for day, now in found]

    # --- orders -------------------------------------------------------------------------------------------------------

    def bunch_price(self, name: str) -> Estimate:
        low, high = RECIPE[name][3]
        pack = self.pack(name)
        if RECIPE[name][4] == "bunch":
            return middle(low, high)
        return Estimate(low * pack.low, (low + high) / 2 * pack.value, high * pack.high)

    def order(self, name: str) -> tuple[int, int, int, float | None, Estimate]:
        """Bunches, stems ordered, spare, probability, cost."""
        pack, stems, bunches = self.pack(name), self.stems(name), RECIPE[name][1]
        if bunches is not None:
            count, probability = bunches, None
        else:
            kind = self.material(name).kind
            made = bunches_needed(stems, pack, self.constant(f"loss-{kind}"), self.constant("confidence").value)
            count, probability = made.bunches_to_order, made.probability
        ordered = count * int(pack.low)
        return count, ordered, ordered - stems, probability, self.bunch_price(name).times(count)

    # --- water --------------------------------------------------------------------------------------------------------

    @property
    def wet(self) -> list[str]:
        return [name for name in RECIPE if not self.material(name).is_dry]

    def uptake(self, name: str) -> Estimate:
        material = self.material(name)
        if material.water_uptake:
            return middle(*material.water_uptake.span)
        known = {r.id for t in self.handbook.tables.values() for r in t.constants}
        key = f"uptake-{material.kind}"
        return self.constant(key if key in known else f"uptake-{material.roles[0]}")

    def mean(self, prefix: str) -> Estimate:
        stems = sum(self.stems(n) for n in self.wet)
        return total(*(self.constant(f"{prefix}-{RECIPE[n][2]}").times(self.stems(n) / stems) for n in self.wet))


def money(x: Estimate) -> str:
    return f"{x.value:.2f}" if x.low == x.high else f"{x.value:.2f} ({x.low:.2f}–{x.high:.2f})"


def sure(p: float | None) -> str:
    return "–" if p is None else ">99%" if p > 0.994 else f"{p:.0%}"


def litres(ml: float) -> str:
    return f"{ml / 1000:.1f} l" if ml >= 1000 else f"{ml:.0f} ml"


@pytest.fixture(scope="module")
def bench(handbook: Handbook) -> Bench:
    return Bench(handbook)


@pytest.fixture(scope="module")
def sheet(made: Plan) -> Sheet:
    return sheet_of(made)


def section(sheet: Sheet, heading: str) -> Section:
    return next(s for s in sheet.sections if s.heading.startswith(heading))


def cells(sheet: Sheet, heading: str) -> list[tuple[str, ...]]:
    table = section(sheet, heading).table
    assert table is not None
    return list(table.rows)


NOTES = {
    "dried-marram": " (to the counter side)", "lisianthus": " (white)", "spray-carnation": " (cream)",
    "statice": " (white)",
}  # fmt: skip


def order_row(name: str, bench: Bench) -> tuple[str, ...]:
    count, ordered, spare, probability, cost = bench.order(name)
    material, pack = bench.material(name), bench.pack(name)
    loss = "–" if probability is None else f"{bench.constant(f'loss-{material.kind}').value:.1%}"
    return (
        material.name[:1].upper() + material.name[1:] + NOTES.get(name, ""), str(bench.stems(name)),
        span(pack.low, pack.high), str(count), str(ordered), str(spare), sure(probability), loss,
        money(bench.bunch_price(name)), money(cost),
    )  # fmt: skip


def test_the_order_list(sheet: Sheet, bench: Bench) -> None:
    assert cells(sheet, "Order for the day it goes up") == [order_row(name, bench) for name in RECIPE]


def test_the_orders_of_the_visits(sheet: Sheet, bench: Bench) -> None:
    visits = bench.visits()
    assert visits, "the demo has at least one visit"
    for number, (day, names) in enumerate(visits, 1):
        heading = f"Order for visit {number}, {words(UP + timedelta(days=day))}"
        assert cells(sheet, heading) == [order_row(name, bench) for name in names]


def test_sums_and_chances_of_the_orders(sheet: Sheet, bench: Bench) -> None:
    deliveries = [(UP, list(RECIPE)), *((UP + timedelta(days=day), names) for day, names in bench.visits())]
    whole = total(*(bench.order(name)[4] for _, names in deliveries for name in names))
    for number, (on, names) in enumerate(deliveries):
        (line,) = section(sheet, "Order for the day" if number == 0 else f"Order for visit {number}").lines
        chance = math.prod(p for p in (bench.order(name)[3] for name in names) if p is not None)
        first = min(bench.dates(name, on)[0] for name in names)
        cost = total(*(bench.order(name)[4] for name in names))
        expected = f"Order out by {words(first)}. Chance that nothing runs short: {sure(chance)}."
        expected += f" Cost of this order: EUR {money(cost)}."
        if number == 0:
            expected += f" Whole job with all visits: EUR {money(whole)} at your own prices."
            expected += f" At your factor of 2.4: EUR {money(whole.times(2.4))}."
        assert line == expected


def test_the_days(sheet: Sheet, bench: Bench) -> None:
    rows = cells(sheet, "Days")
    said = {(day, do) for day, do, _ in rows}
    expected = {(words(UP), "Install"), (words(UP + timedelta(days=DISPLAY_D)), "Take down")}
    expected.add((words(bench.dates("salal", UP)[2]), "Build"))
    goals = [(UP, list(RECIPE)), *((UP + timedelta(days=day), names) for day, names in bench.visits())]
    for number, (on, names) in enumerate(goals):
        if number:
            expected |= {(words(bench.dates(names[0], on)[2]), "Pack"), (words(on), f"Visit {number}")}
        for name in names:
            order_by, receive, _ = bench.dates(name, on)
            expected |= {(words(order_by), "Order"), (words(receive), "Receive, condition")}
            material = bench.material(name)
            line = next(what for day, do, what in rows if (day, do) == (words(receive), "Receive, condition"))
            assert material.name in line
            if not material.is_dry:
                assert f"{material.name} (drink {span(*bench.drink(material))} h" in line
            if material.opening:
                assert f"open {span(*material.opening.span)} d" in line
    assert said == expected
    days = [datetime.strptime(f"{day} {UP.year}", "%a %d %b %Y").replace(tzinfo=UTC) for day, _, _ in rows]
    assert days == sorted(days)


def test_vessel_water_food_and_weight(sheet: Sheet, bench: Bench) -> None:
    row = next(r for t in bench.handbook.tables.values() for r in t.vessels if r.id == "trough")
    size = VesselSize("box", row.height_cm, length_cm=row.length_cm, width_cm=row.width_cm)
    stems = math.ceil(sum(bench.stems(n) for n in bench.wet) / 3 - 1e-9)
    level = row.height_cm * 0.8
    water = fill(size, level_cm=level, stems=stems, stem_diameter_cm=bench.mean("stem-thickness"))
    dose = next(r for t in bench.handbook.tables.values() for r in t.doses if r.id == "flower-food")
    per_l = Estimate(dose.span[0], dose.value, dose.span[1])
    food = per_litre(per_l, water.water_ml.value / 1000).agent
    vpd = vapour_pressure_deficit_kpa(ROOM, HUMIDITY)
    drink = total(
        *(
            uptake_ml_per_day(bench.stems(n), bench.uptake(n), vpd, bench.constant("reference-vpd").value)
            for n in bench.wet
        )
    ).times(1 / 3)
    falls = days_until_level(
        size, start_cm=level, stop_cm=level * bench.constant("lowest-share").value, uptake_ml_per_day=drink,
        evaporation_mm_per_day=product(bench.constant("evaporation-still-air"), vpd),
        displaced_share=bench.constant("displaced-share"),
    )  # fmt: skip
    loss = falls.loss_ml_per_day
    weight = filled_weight(
        water.water_ml, vessel_kg=bench.constant("vessel-weight-ceramic").times(volume_ml(size) / 1000),
        limit_kg=(16, 25), stems=stems, stem_g=bench.mean("stem-weight"),
    ).weight_kg  # fmt: skip
    assert cells(sheet, "Vessel and water") == [
        (
            row.title, "3", str(stems), f"{level:.3g} cm", litres(water.water_ml.value), f"{food.value:.0f} g",
            f"{loss.low / 1000:.1f}–{loss.high / 1000:.1f} l", f"{span(falls.days.low, falls.days.high, 2)} d",
            f"{weight.low:.0f}–{weight.high:.0f} kg",
        )
    ]  # fmt: skip
    (line,) = section(sheet, "Vessel and water").lines
    assert line == (
        f"All together: {litres(water.water_ml.value * 3)} water and {food.value * 3:.0f} g food at {dose.value:g} g/l."
        f" Air dryness {span(vpd.low, vpd.high, 2)} kPa."
    )

    every = top_up(falls.days, loss, DISPLAY_D).every_d
    expected, last = [], 0
    while last + every < DISPLAY_D:
        day = last + every
        while (UP + timedelta(days=day)).weekday() not in OPEN_DAYS:
            day -= 1
        each = loss.value * (day - last)
        grams = per_litre(per_l, 3 * each / 1000).agent.value
        expected.append((words(UP + timedelta(days=day)), litres(each), litres(3 * each), f"{grams:.0f} g"))
        last = day
    assert cells(sheet, "Top up") == expected
    most = max(loss.high * 3 * gap for gap in _gaps(every))
    assert section(sheet, "Top up").lines == (f"Have {litres(most)} ready each time: that is the most it may take.",)


def _gaps(every: int) -> list[int]:
    gaps, last = [], 0
    while last + every < DISPLAY_D:
        day = last + every
        while (UP + timedelta(days=day)).weekday() not in OPEN_DAYS:
            day -= 1
        gaps.append(day - last)
        last = day
    return gaps


def test_visits_what_is_pulled_and_what_stays(sheet: Sheet, bench: Bench) -> None:
    expected = []
    for number, (day, names) in enumerate(bench.visits(), 1):
        for name in names:
            count = bench.order(name)[0]
            plural = bench.material(name).plural or bench.material(name).name
            bring = f"{count} bunch" if count == 1 else f"{count} bunches"
            expected.append(
                (
                    str(number),
                    words(UP + timedelta(days=day)),
                    plural[:1].upper() + plural[1:],
                    str(bench.stems(name)),
                    bring,
                )
            )
    assert cells(sheet, "Visits") == expected


def test_what_is_kept(sheet: Sheet, bench: Bench) -> None:
    expected = []
    for name in RECIPE:
        if bench.material(name).keeping:
            left = bench.life(name).map(lambda days: days - DISPLAY_D)
            months = f"{left.low / 30.4375:.0f}–{left.high / 30.4375:.0f} months"
            expected.append((str(bench.stems(name)), months))
    assert [row[1:3] for row in cells(sheet, "Keep for another time")] == expected


def test_lives_at_the_foot(sheet: Sheet, bench: Bench) -> None:
    line = next(line for line in sheet.foot if line.startswith("Life there"))
    for name in RECIPE:
        life = bench.life(name)
        assert f"{bench.material(name).name} {span(float(int(life.low)), float(int(life.high)), 4)} d (" in line


def test_no_other_number_stands_on_the_sheet(sheet: Sheet, bench: Bench) -> None:
    """Numbers in flags, facts, build order and foot: the job's own, or those rebuilt above."""
    lives = [bench.life(name) for name in RECIPE]
    allowed = {str(n) for n in (DISPLAY_D, 3, 7, 21, 2026, 20, 22, 40, 50, *range(1, 8))}  # the job file, and 1. to 7.
    allowed |= {str(bench.stems(name)) for name in RECIPE}
    allowed |= {str(int(end)) for life in lives for end in (life.low, life.high)}
    row = cells(sheet, "Vessel and water")[0]
    allowed.add(row[8].split("–")[1].split()[0])  # the heavy end of the filled weight, rebuilt above
    text = [f"{name} {value}" for name, value in sheet.facts]
    for part in sheet.sections:
        if part.heading in ("Check before ordering", "Build"):
            text += part.lines
    text += [re.sub(r"\([^()]*\)", "", line) for line in sheet.foot]  # without source ids
    found = set(re.findall(r"\d+(?:\.\d+)?", " ".join(text)))
    assert found <= allowed, found - allowed


def test_cautions_hold_no_numbers_of_ours(sheet: Sheet, handbook: Handbook) -> None:
    texts = {rule.caution.text for rule in handbook.rules.values() if rule.caution}
    assert set(section(sheet, "Take care").lines) <= texts
