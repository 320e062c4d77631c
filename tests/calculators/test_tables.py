"""The tables hold what the calculators ask of them, row by row."""

from pathlib import Path

import pytest

from assistant.calculators.longevity import METHODS, LifeConstants, life_at_temperature
from assistant.calculators.ranges import Estimate
from assistant.calculators.water import VesselSize, surface_cm2, vapour_pressure_deficit_kpa, volume_ml
from assistant.handbook.documents import read_document
from assistant.handbook.models import Table

TABLES = Path(__file__).resolve().parents[2] / "knowledge" / "tables"
MINE = ("longevity", "water", "quantity", "doses", "vessels", "places", "foam")
ROLES = ("line", "mass", "form", "filler", "foliage", "accent")
KINDS = ("flower", "foliage", "berry", "branch", "grass", "dried", "preserved")


def table(name):
    document, problems = read_document(TABLES / f"{name}.yaml")
    assert problems == []
    return Table.model_validate(document.data)


def constants(name):
    return {c.id: Estimate(c.span[0], c.value, c.span[1]) for c in table(name).constants}


@pytest.mark.parametrize("name", MINE)
def test_rows_are_named_once_and_no_name_means_two_rows(name):
    rows = list(table(name).rows())
    ids = [row.id for row in rows]
    assert len(ids) == len(set(ids))
    names = [word.casefold() for row in rows for word in getattr(row, "names", ())]
    assert len(names) == len(set(names))


def test_longevity_table_builds_the_constants():
    life = LifeConstants.from_rows(constants("longevity"))
    assert set(life.factors) == set(METHODS)
    assert life.factors["vase-food"] == Estimate(1, 1, 1)
    from_best = ("vase-food", "plain-water", "foam-kept-wet", "foam-drying", "out-of-water")
    order = [life.factors[method].value for method in from_best]
    assert order == sorted(order)
    at_home = life_at_temperature((7, 10), degC=(18, 22), q10=constants("longevity")["q10"], constants=life)
    assert 5 < at_home.remaining_d.low < 7 < at_home.remaining_d.high < 13


@pytest.mark.parametrize("what", ["uptake", "stem-thickness", "stem-weight"])
def test_water_table_knows_every_role(what):
    rows = constants("water")
    assert all(f"{what}-{role}" in rows for role in ROLES)


def test_quantity_table_knows_every_kind_and_role():
    rows = constants("quantity")
    assert all(f"loss-{kind}" in rows for kind in KINDS)
    assert all(f"cover-{role}" in rows for role in ROLES)
    assert sum(rows[f"cover-{role}"].value for role in ROLES) == pytest.approx(1.25)
    assert all(0 <= e.low <= e.high < 0.9 for key, e in rows.items() if key.startswith("loss-"))


@pytest.mark.parametrize("vessel", table("vessels").vessels, ids=lambda v: v.id)
def test_every_vessel_can_be_filled(vessel):
    size = VesselSize(
        vessel.shape, vessel.height_cm, vessel.top_cm, vessel.bottom_cm, vessel.length_cm, vessel.width_cm,
        vessel.outer_cm, vessel.inner_cm,
    )  # fmt: skip
    assert 10 <= volume_ml(size) <= 60_000
    assert surface_cm2(size) > 1


@pytest.mark.parametrize("place", table("places").places, ids=lambda p: p.id)
def test_every_place_has_air(place):
    assert place.degC[0] < place.degC[1]
    deficit = vapour_pressure_deficit_kpa(tuple(map(float, place.degC)), tuple(map(float, place.humidity)))
    assert 0 < deficit.low < deficit.high < 4


@pytest.mark.parametrize("block", table("foam").foam_blocks, ids=lambda b: b.id)
def test_no_foam_holds_more_than_its_box(block):
    assert block.water_l[0] < block.water_l[1] <= block.length_cm * block.width_cm * block.height_cm / 1000
