"""What a plan works out, one idea a test; change one thing and what hangs on it follows."""

from __future__ import annotations

import dataclasses
from datetime import date, timedelta
from typing import Any

import pytest

from assistant.calculators.bunches import bunches_needed
from assistant.calculators.coverage import RolePart, disc_cm2, stems_by_role, visible_area_cm2
from assistant.calculators.longevity import Leg
from assistant.calculators.ranges import Estimate, exact
from assistant.calculators.water import (
    VesselSize,
    days_of_water,
    fill,
    uptake_ml_per_day,
    vapour_pressure_deficit_kpa,
    volume_ml,
)
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material
from assistant.sheets.job import Job
from assistant.sheets.parts import Flag, Plan
from assistant.sheets.plan import plan
from assistant.sheets.prices import Price, PriceList
from assistant.stock.holdings import Holdings
from assistant.stock.losses import OwnLoss, wilson
from assistant.stock.lots import Lot, Stand, Use

from .conftest import TODAY, small

UP = date(2026, 12, 7)


def with_material(handbook: Handbook, **changes: Any) -> Handbook:
    """The handbook with one more material, `test-flower`, that says just what a test is about."""
    base: dict[str, Any] = {
        "id": "test-flower", "name": "test flower", "botanical": "Testa florum", "kind": "flower", "roles": ["mass"],
        "summary": "A flower for tests.", "packs": [{"market": "any", "stems": [10, 10], "basis": "practice"}],
        "vase_life": {"low": 8, "high": 8, "unit": "d", "basis": "practice"},
        "q10": {"low": 2, "high": 2, "unit": "ratio", "basis": "practice"},
        "hydration": {"low": 2, "high": 4, "unit": "h", "basis": "practice"},
    }  # fmt: skip
    base = {name: value for name, value in (base | changes).items() if value is not None}
    return dataclasses.replace(handbook, materials={**handbook.materials, "test-flower": Material.model_validate(base)})


def of(stems: int = 12, **changes: Any) -> Job:
    return small(recipe=[{"material": "test-flower", "stems": stems}], **changes)


def flags(made: Plan, kind: str) -> list[Flag]:
    return [flag for flag in made.flags if flag.kind == kind]


def lot(number: int, stems: int, day: date = date(2026, 12, 1), material: str = "test-flower", used: int = 0) -> Lot:
    uses = (Use(day, "used", used),) if used else ()
    return Lot(number, f"key{number}", material, stems, None, "", (Stand(day, "cooler-wet", 2.0, 2.0),), uses)


LONG = {"low": 20, "high": 20, "unit": "d", "basis": "practice"}


# --- pure -------------------------------------------------------------------------------------------------------------


def test_equal_input_gives_an_equal_plan(job: Job, handbook: Handbook, prices: PriceList, made: Plan) -> None:
    before = job.model_dump_json()
    again = plan(job, handbook, prices=prices, today=TODAY)
    assert again == made
    assert job.model_dump_json() == before


def test_one_change_moves_what_hangs_on_it_and_nothing_else(made: Plan, handbook: Handbook, prices: PriceList) -> None:
    later = plan(made.job.revised(install=UP + timedelta(days=7)), handbook, prices=prices)
    assert [line.bunches for line in later.deliveries[0].lines] == [line.bunches for line in made.deliveries[0].lines]
    week = timedelta(days=7)
    assert [p.order_by for p in later.deliveries[0].preps] == [p.order_by + week for p in made.deliveries[0].preps]
    assert [v.on for v in later.visits] == [v.on + week for v in made.visits]
    warmer = plan(made.job.revised(degC=[27, 27]), handbook, prices=prices)
    for life in made.lives:
        other = warmer.life(life.material)
        assert other is not None
        if not handbook.materials[life.material].is_dry:
            assert other.days.value < life.days.value
    assert warmer.water is not None
    assert made.water is not None
    assert warmer.water.vessels[0].loss_ml.value > made.water.vessels[0].loss_ml.value
    assert warmer.money is not None
    assert made.money is not None
    assert warmer.money.cost.value >= made.money.cost.value
    double = plan(made.job.revised(pieces=2), handbook, prices=prices)
    assert [need.stems for need in double.needs] == [2 * (need.stems or 0) for need in made.needs]


# --- times counted back -----------------------------------------------------------------------------------------------


def shop(**changes: Any) -> PriceList:
    return PriceList.model_validate({"currency": "EUR", "prices": [], **changes})


@pytest.mark.parametrize(
    ("opening", "hydration", "receive"),
    [
        (None, (2, 4), date(2026, 12, 5)),
        ((1, 3), (2, 4), date(2026, 12, 4)),
        ((2, 5), (2, 4), date(2026, 12, 2)),
        (None, (12, 30), date(2026, 12, 4)),
    ],
)
def test_received_in_time_to_drink_and_open(
    opening: tuple[int, int] | None, hydration: tuple[int, int], receive: date, handbook: Handbook
) -> None:
    own = {
        "opening": {"low": opening[0], "high": opening[1], "unit": "d", "basis": "practice"} if opening else None,
        "hydration": {"low": hydration[0], "high": hydration[1], "unit": "h", "basis": "practice"},
    }
    made = plan(of(), with_material(handbook, **own), prices=shop(order_lead_days=2))
    (prep,) = made.deliveries[0].preps
    assert (prep.ready, prep.receive, prep.order_by) == (date(2026, 12, 6), receive, receive - timedelta(days=2))
    assert sum(leg.days for leg in prep.legs) == (UP - receive).days
    bench = max(sum(opening) / 2 if opening else 0, hydration[1] / 24)
    assert prep.legs[0].days == pytest.approx(min(bench, (UP - receive).days))
    assert [leg.method for leg in prep.legs] == ["vase-food", "cooler-wet"]


def test_days_off_move_everything_forward(handbook: Handbook) -> None:
    own = shop(order_lead_days=2, delivery_days=["tue"], work_days=["mon", "tue", "wed", "thu", "fri"])
    (prep,) = plan(of(), with_material(handbook), prices=own).deliveries[0].preps
    assert prep.ready == date(2026, 12, 4)  # the day before is a Sunday, the one before that a Saturday
    assert prep.receive == date(2026, 12, 1)
    assert prep.order_by == date(2026, 11, 27)  # two days back is a Sunday


def test_what_the_cooler_would_hurt_waits_on_the_bench(handbook: Handbook) -> None:
    tender = with_material(handbook, chilling_threshold={"low": 10, "high": 12, "unit": "degC", "basis": "practice"})
    (prep,) = plan(of(), tender).deliveries[0].preps
    assert prep.stays_out_of_cooler
    assert [leg.method for leg in prep.legs] == ["vase-food"]


def test_a_drink_that_is_not_in_the_handbook_is_taken_from_the_rule_and_said(handbook: Handbook) -> None:
    made = plan(of(), with_material(handbook, hydration=None))
    (prep,) = made.deliveries[0].preps
    low, high = handbook.rules["first-drink-time"].numbers[0].span
    assert prep.hydrate_h == Estimate(low, (low + high) / 2, high)
    assert any("general rule for test flower" in text for text in made.assumptions)


def test_an_order_day_that_has_passed_is_said(handbook: Handbook) -> None:
    late = plan(of(), with_material(handbook), today=date(2026, 12, 5))
    assert [flag.severity for flag in flags(late, "late")] == ["stop"]
    assert not flags(plan(of(), with_material(handbook), today=TODAY), "late")


# --- orders -----------------------------------------------------------------------------------------------------------


def test_bunches_come_from_the_calculator(handbook: Handbook) -> None:
    made = plan(of(37, confidence=0.95, pieces=2), with_material(handbook))
    (line,) = made.deliveries[0].lines
    loss = next(r for r in handbook.table("quantity").constants if r.id == "loss-flower")
    order = bunches_needed(74, 10.0, Estimate(loss.span[0], loss.value, loss.span[1]), 0.95)
    assert (line.bunches, line.ordered, line.spare, line.probability) == (
        order.bunches, order.stems_ordered, order.spare, order.probability,
    )  # fmt: skip


def test_own_losses_replace_the_handbooks_once_there_are_enough_and_it_is_said(handbook: Handbook) -> None:
    book = with_material(handbook)
    own = OwnLoss("test-flower", 4, 100, 30, wilson(30, 100))
    few = OwnLoss("test-flower", 2, 20, 6, wilson(6, 20))
    usual = plan(of(40), book).deliveries[0].lines[0]
    line = plan(of(40), book, Holdings((), {"test-flower": own})).deliveries[0].lines[0]
    assert line.loss == own.rate
    assert line.to_order == bunches_needed(40, 10.0, own.rate, 0.9).bunches_to_order > usual.to_order
    assert line.loss_said == "your own loss of 30.0% (30 of 100 stems in 4 lots)"
    assert plan(of(40), book, Holdings((), {"test-flower": few})).deliveries[0].lines[0] == usual


def test_the_stock_is_drawn_on_before_ordering(handbook: Handbook) -> None:
    book = with_material(handbook, vase_life=LONG)
    stock = Holdings((lot(1, 5, used=2), lot(2, 4), lot(3, 50, material="rose")))
    made = plan(of(12), book, stock)
    assert [(d.lot, d.stems) for d in made.draws] == [(1, 3), (2, 4)]
    (line,) = made.deliveries[0].lines
    assert (line.needed, line.from_stock) == (12, 7)
    assert line.bunches == bunches_needed(5, 10.0, plan(of(12), book).deliveries[0].lines[0].loss or 0.0, 0.9).bunches


def test_enough_in_stock_orders_nothing(handbook: Handbook) -> None:
    made = plan(
        of(12),
        with_material(handbook, vase_life=LONG),
        Holdings((lot(1, 30),)),
        prices=shop(prices=[{"material": "test-flower", "price": 5}]),
    )
    (line,) = made.deliveries[0].lines
    assert (line.to_order, line.from_stock) == (0, 12)
    assert made.deliveries[0].order_by is None
    assert made.money is not None
    assert made.money.cost == exact(0.0)


def test_the_lot_that_expires_first_goes_first(handbook: Handbook) -> None:
    stock = Holdings((lot(1, 10, date(2026, 12, 4)), lot(2, 10, date(2026, 12, 1))))
    assert [d.lot for d in plan(of(12), with_material(handbook, vase_life=LONG), stock).draws] == [2, 1]


def test_a_lot_too_old_to_reach_the_first_visit_is_left_out_and_said(handbook: Handbook) -> None:
    old = dataclasses.replace(lot(1, 30), stands=(Stand(date(2026, 12, 1), "vase-food", 20.0, 20.0),))
    made = plan(of(12), with_material(handbook), Holdings((old,)))
    assert made.draws == ()
    (flag,) = flags(made, "stock")
    assert "Lot 1 (30 stems) is left out: it may have only 2 days left" in flag.text


def test_a_lot_that_comes_after_the_day_does_not_count(handbook: Handbook) -> None:
    assert (
        plan(of(12), with_material(handbook, vase_life=LONG), Holdings((lot(1, 30, date(2026, 12, 20)),))).draws == ()
    )


def test_bunches_asked_for_are_ordered_as_asked(handbook: Handbook) -> None:
    job = small(recipe=[{"material": "test-flower", "bunches": 3}])
    made = plan(job, with_material(handbook, vase_life=LONG), Holdings((lot(1, 12),)))
    (line,) = made.deliveries[0].lines
    assert (line.needed, line.from_stock, line.to_order, line.spare, line.probability) == (30, 12, 2, 2, None)


def test_a_pack_nobody_knows_is_said_and_not_guessed(handbook: Handbook) -> None:
    book = with_material(handbook, packs=[])
    made = plan(of(12), book)
    (line,) = made.deliveries[0].lines
    assert (line.bunches, line.ordered, line.needed) == (None, None, 12)
    assert flags(made, "pack")
    bunches = plan(small(recipe=[{"material": "test-flower", "bunches": 2}]), book)
    (line,) = bunches.deliveries[0].lines
    assert (line.to_order, line.needed) == (2, None)


def test_one_material_on_two_lines_is_ordered_once(handbook: Handbook) -> None:
    rows = [{"material": "test-flower", "stems": 7}, {"material": "test-flower", "stems": 8}]
    made = plan(small(recipe=rows), with_material(handbook))
    assert [(need.material, need.stems) for need in made.needs] == [("test-flower", 15)]


def test_costs_are_the_shops_own_or_absent(handbook: Handbook) -> None:
    book = with_material(handbook)
    assert plan(of(), book).money is None
    own = shop(mark_up=2.0, prices=[Price(material="test-flower", price=(4.0, 6.0)).model_dump()])
    made = plan(of(12, pieces=2), book, prices=own)
    bunches = made.deliveries[0].lines[0].to_order
    assert made.money is not None
    assert made.money.cost == Estimate(4.0 * bunches, 5.0 * bunches, 6.0 * bunches)
    assert made.money.retail == made.money.cost.times(2.0)
    assert made.money.per_piece == made.money.cost.times(0.5)
    unpriced = plan(of(12), book, prices=shop())
    assert unpriced.money is not None
    assert unpriced.money.without_price == ("test-flower",)
    assert unpriced.money.retail is None


# --- sizes ------------------------------------------------------------------------------------------------------------


def test_stems_from_the_size_of_the_piece(handbook: Handbook) -> None:
    book = with_material(handbook, bloom_diameter={"low": 6, "high": 8, "unit": "cm", "basis": "practice"})
    piece = {"shape": "fan", "width_cm": 60.0, "height_cm": 40.0}
    made = plan(small(recipe=[{"material": "test-flower"}], piece=piece, pieces=2), book)
    share = next(r for r in handbook.table("quantity").constants if r.id == "cover-mass")
    area = visible_area_cm2("fan", width_cm=60.0, height_cm=40.0)
    part = RolePart("mass", disc_cm2((6.0, 8.0)), Estimate(share.span[0], share.value, share.span[1]))
    (expected,) = stems_by_role(area, [part])
    assert made.needs[0].proposed == expected.stems.times(2)
    assert made.needs[0].stems == int(expected.stems.value) * 2
    assert any("mock up a corner" in text for text in made.assumptions)


def test_no_recipe_at_all_gets_stems_by_role(handbook: Handbook) -> None:
    piece = {"shape": "oblong", "length_cm": 180.0, "width_cm": 30.0, "height_cm": 45.0}
    made = plan(small(recipe=[], piece=piece), handbook)
    assert {row.role for row in made.proposal} == {"line", "mass", "form", "filler", "foliage", "accent"}
    assert made.needs == ()
    assert made.water is None


# --- lives, visits, kept ----------------------------------------------------------------------------------------------


def test_the_short_end_or_the_middle_decides_the_visits(handbook: Handbook) -> None:
    book = with_material(handbook, vase_life={"low": 6, "high": 12, "unit": "d", "basis": "practice"})
    short = plan(of(display_days=14), book)
    mid = plan(of(display_days=14, plan_on="middle"), book)
    assert len(short.visits) > len(mid.visits) > 0
    life = short.lives[0]
    margin = next(r.value for r in handbook.table("longevity").constants if r.id == "refresh-margin")
    assert life.every_d == int(life.days.low - margin)
    assert mid.lives[0].every_d == int(mid.lives[0].days.value - margin)
    assert [v.on for v in short.visits] == [
        UP + timedelta(days=life.every_d * n) for n in range(1, len(short.visits) + 1)
    ]


def test_every_visit_brings_what_it_replaces(handbook: Handbook) -> None:
    made = plan(of(12, display_days=14), with_material(handbook))
    assert made.visits
    for visit in made.visits:
        (line,) = made.deliveries[visit.number].lines
        assert (visit.changes[0].stems, visit.changes[0].bunches) == (12, line.to_order)
        assert made.deliveries[visit.number].on == visit.on
        assert all(prep.ready < visit.on for prep in made.deliveries[visit.number].preps)


def test_a_life_of_less_than_a_day_and_none_at_all_are_said(handbook: Handbook) -> None:
    hot = plan(
        of(degC=44.0), with_material(handbook, vase_life={"low": 1.2, "high": 1.5, "unit": "d", "basis": "practice"})
    )
    assert [flag.severity for flag in flags(hot, "life")] == ["stop"]
    assert hot.lives == ()
    unknown = plan(of(), with_material(handbook, vase_life=None))
    assert "no life in the handbook" in flags(unknown, "life")[0].text


def test_dried_material_is_kept_and_stays(handbook: Handbook) -> None:
    made = plan(small(recipe=[{"material": "bunny-tail", "stems": 30}], display_days=30), handbook)
    assert made.visits == ()
    (kept,) = made.kept
    assert (kept.material, kept.stems) == ("bunny-tail", 30)
    assert made.water is None
    assert not flags(made, "water")


def test_closed_weeks_longer_than_a_life_are_said_and_the_rest_still_stands(handbook: Handbook) -> None:
    made = plan(of(display_days=20, open_days=["mon"]), with_material(handbook))
    assert flags(made, "visits")
    assert flags(made, "water")
    assert made.visits
    assert made.water is not None


# --- what to check ----------------------------------------------------------------------------------------------------


def test_out_of_season(handbook: Handbook) -> None:
    summer = with_material(handbook, season=[{"months": [6, 7], "basis": "practice"}])
    assert flags(plan(of(), summer), "season")
    assert not flags(plan(of(install="2026-07-06"), summer), "season")


@pytest.mark.parametrize(
    ("who", "level", "seen"),
    [
        ("cats", "severe", True),
        ("cats", "mild", True),
        ("cats", "none", False),
        ("dogs", "severe", False),
        ("people", "severe", False),
    ],
)
def test_hazards_for_who_is_there(who: str, level: str, seen: bool, handbook: Handbook) -> None:
    book = with_material(handbook, hazards={who: {"level": level, "basis": "practice"}})
    found = flags(plan(of(audience=["poison-cats"]), book), "hazard")
    assert bool(found) == seen
    assert all(flag.severity == "stop" for flag in found)


def test_the_place_says_who_is_there(handbook: Handbook) -> None:
    book = with_material(handbook, hazards={"people": {"level": "severe", "basis": "practice"}})
    assert flags(plan(of(place="reading-room"), book), "hazard")  # children
    assert not flags(plan(of(), book), "hazard")


def test_ethylene_company(handbook: Handbook) -> None:
    for level, severity in (("high", "stop"), ("medium", "watch"), ("low", None)):
        book = with_material(handbook, ethylene={"sensitivity": level, "basis": "practice"})
        found = flags(plan(of(near=["fruit"]), book), "ethylene")
        assert [flag.severity for flag in found] == ([severity] if severity else [])
    high = with_material(handbook, ethylene={"sensitivity": "high", "basis": "practice"})
    assert [flag.severity for flag in flags(plan(of(), high), "ethylene")] == ["note"]


def test_dried_material_near_heat(handbook: Handbook) -> None:
    job = small(
        recipe=[{"material": "bunny-tail", "stems": 5}, {"material": "rose", "stems": 5}], near=["heater", "candles"]
    )
    (flag,) = flags(plan(job, handbook), "heat")
    assert flag.severity == "stop"
    assert flag.text.startswith("Bunny tails: dry and quick to burn, and a heater and candles will be near")
    assert not flags(plan(job.revised(near=[]), handbook), "heat")
    assert any("burn fast" in text for text in plan(job.revised(near=[]), handbook).cautions)


def test_foam_that_does_not_suit(handbook: Handbook) -> None:
    poor = with_material(handbook, foam={"use": "poor", "says": "Soft stem.", "basis": "practice"})
    assert flags(plan(of(support="foam-kept-wet"), poor), "foam")[0].text == "Test flowers: poor in foam. Soft stem."
    assert not flags(plan(of(), poor), "foam")


def test_heavy_vessels_and_rebuilds(handbook: Handbook) -> None:
    made = plan(of(display_days=14, vessels=[{"vessel": "large-urn", "made_of": "stone"}]), with_material(handbook))
    assert flags(made, "lifting")[0].severity == "watch"
    assert any("weighs a kilogram" in text for text in made.cautions)
    assert flags(made, "rebuild")  # all stems at once


# --- water ------------------------------------------------------------------------------------------------------------


def test_foam_holds_its_own_water(handbook: Handbook) -> None:
    made = plan(of(support="foam-kept-wet", vessels=[{"vessel": "tray"}]), with_material(handbook))
    assert made.water is not None
    (vessel,) = made.water.vessels
    rows = {r.id: Estimate(r.span[0], r.value, r.span[1]) for r in handbook.table("water").constants}
    size = VesselSize("box", 4, length_cm=26, width_cm=13)
    level = 4 * rows["fill-share"].value
    held = fill(
        size, level_cm=level, stems=12, foam_cm3=volume_ml(size, level) * 0.9, foam_water_share=rows["foam-water-share"]
    )
    assert vessel.fill == held
    drink = uptake_ml_per_day(
        12, rows["uptake-mass"], vapour_pressure_deficit_kpa(20.0, 60.0), rows["reference-vpd"].value
    )
    share = rows["foam-usable-share"]
    usable = Estimate(*(a * b for a, b in zip(held.water_ml, share, strict=True)))
    assert vessel.days == days_of_water(usable, drink)
    assert vessel.low is None


def test_stems_are_spread_by_what_the_vessels_hold(handbook: Handbook) -> None:
    vessels = [{"vessel": "bucket"}, {"shape": "cylinder", "height_cm": 20.0, "top_cm": 10.0, "count": 2}]
    made = plan(of(40, vessels=vessels), with_material(handbook))
    assert made.water is not None
    big, little = made.water.vessels
    assert big.stems + 2 * little.stems >= 40
    assert big.stems > little.stems
    assert little.title == "cylinder vessel"


def test_sizes_said_win_over_the_table(handbook: Handbook) -> None:
    made = plan(of(vessels=[{"vessel": "cylinder-vase", "height_cm": 30.0}]), with_material(handbook))
    assert made.water is not None
    assert made.water.vessels[0].size.height_cm == 30.0
    assert made.water.vessels[0].level_cm == pytest.approx(
        30 * next(r.value for r in handbook.table("water").constants if r.id == "fill-share")
    )


def test_a_vessel_that_is_too_small_is_said(handbook: Handbook) -> None:
    dry = plan(of(60, vessels=[{"vessel": "jam-jar"}], humidity=20.0), with_material(handbook))
    assert [flag.severity for flag in flags(dry, "water")] == ["stop"]


def test_no_vessel_and_out_of_water(handbook: Handbook) -> None:
    assert flags(plan(of(vessels=[]), with_material(handbook)), "water")[0].severity == "watch"
    without = plan(of(support="out-of-water"), with_material(handbook))
    assert without.water is None
    assert not flags(without, "water")


def test_topping_up_never_waits_longer_than_said(handbook: Handbook) -> None:
    free = plan(of(2, display_days=10, vessels=[{"vessel": "bucket"}]), with_material(handbook))
    often = plan(of(2, display_days=10, vessels=[{"vessel": "bucket"}], water_check_days=2), with_material(handbook))
    assert free.water is not None
    assert often.water is not None
    assert [day.day for day in often.water.days] == [2, 4, 6, 8]
    assert len(free.water.days) < len(often.water.days)


def test_a_draught_dries_faster(handbook: Handbook) -> None:
    still, windy = (plan(of(near=near), with_material(handbook)).water for near in ([], ["draught"]))
    assert still is not None
    assert windy is not None
    assert windy.vessels[0].loss_ml.value > still.vessels[0].loss_ml.value


# --- saying -----------------------------------------------------------------------------------------------------------


def test_what_was_assumed_is_said(handbook: Handbook) -> None:
    made = plan(of(degC=None, humidity=None), with_material(handbook))
    assert made.degC == exact(20.0)
    assert any("No temperature" in text for text in made.assumptions)
    assert any("3 days before the delivery" in text for text in made.assumptions)
    placed = plan(of(degC=None, humidity=None, place="reception"), with_material(handbook))
    assert (placed.degC, placed.humidity) == (Estimate(20.0, 21.5, 23.0), Estimate(35.0, 42.5, 50.0))


def test_entries_of_the_shops_own_folder_are_named(made: Plan) -> None:
    assert dict(made.own_entries) == {
        "salal": "shop/materials/salal.yaml",
        "dried-marram": "shop/materials/dried-marram.yaml",
    }


def test_figures_have_the_form_of_answers(made: Plan) -> None:
    kinds = {figure.kind for figure in made.figures}
    assert kinds >= {
        "days_remaining",
        "bunches",
        "refresh_dates",
        "water_needed",
        "days_until_refill",
        "filled_weight",
        "dose",
        "cost",
    }
    for figure in made.figures:
        data = figure.to_json()
        assert data["low"] <= data["value"] <= data["high"]
        assert data["formula"]
    lives = {figure.material: figure for figure in made.figures if figure.kind == "days_remaining"}
    for life in made.lives:
        assert (lives[life.material].low, lives[life.material].high) == (life.days.low, life.days.high)


def test_legs_are_what_the_lives_are_made_of(made: Plan) -> None:
    for prep in made.deliveries[0].preps:
        assert all(isinstance(leg, Leg) and leg.days > 0 for leg in prep.legs)
        assert sum(leg.days for leg in prep.legs) == (UP - prep.receive).days


# --- the whole handbook -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize("support", ["vase-food", "foam-kept-wet", "out-of-water"])
def test_every_material_of_the_handbook_can_be_planned(support: str, handbook: Handbook) -> None:
    rows = [{"material": name, "stems": 5} for name in handbook.materials]
    made = plan(
        small(recipe=rows, support=support, display_days=9, vessels=[{"vessel": "large-urn", "count": 40}]), handbook
    )
    for need in made.needs:
        known = made.life(need.material)
        assert known is not None or any(f.material == need.material for f in flags(made, "life"))
        if known is not None:
            assert known.days.low <= known.days.value <= known.days.high
    for delivery in made.deliveries:
        for line in delivery.lines:
            assert line.bunches is None or line.to_order * int(line.pack.low if line.pack else 0) >= (line.needed or 0)
