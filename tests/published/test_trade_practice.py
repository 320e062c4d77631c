"""What a practitioner would expect at once. Common practice, no source: these are check values, not citations."""

from pathlib import Path

import pytest

from assistant.calculators.bunches import bunches_needed
from assistant.calculators.longevity import LifeConstants, life_at_temperature
from assistant.calculators.mixing import by_parts, per_litre
from assistant.calculators.ranges import Estimate
from assistant.calculators.water import VesselSize, foam_water_ml, volume_ml
from assistant.handbook.documents import read_document
from assistant.handbook.models import Table

TABLES = Path(__file__).resolve().parents[2] / "knowledge" / "tables"


def table(name):
    return Table.model_validate(read_document(TABLES / f"{name}.yaml")[0].data)


def constant(name, row):
    found = next(c for c in table(name).constants if c.id == row)
    return Estimate(found.span[0], found.value, found.span[1])


def vessel(row):
    v = next(v for v in table("vessels").vessels if v.id == row)
    return VesselSize(v.shape, v.height_cm, v.top_cm, v.bottom_cm, v.length_cm, v.width_cm, v.outer_cm, v.inner_cm)


def test_a_brick_of_foam_holds_a_litre_and_a_half_to_two():
    brick = next(b for b in table("foam").foam_blocks if b.id == "foam-brick")
    held = foam_water_ml(brick.length_cm, brick.width_cm, brick.height_cm, constant("water", "foam-water-share"))
    assert held.low == pytest.approx(brick.water_l[0] * 1000, rel=0.05)
    assert held.high == pytest.approx(brick.water_l[1] * 1000, rel=0.05)


@pytest.mark.parametrize(
    ("row", "low_l", "high_l"),
    [
        ("bucket", 10, 13), ("bud-vase", 0.15, 0.3), ("cylinder-vase", 2.5, 3.2), ("compote", 1.2, 2.2),
        ("trough", 11, 14), ("tray", 1.0, 1.6), ("ring-30", 1.3, 2.2), ("water-tube", 0.01, 0.02),
        ("large-urn", 30, 45), ("fishbowl", 3.0, 5.0),
    ],
)  # fmt: skip
def test_vessels_hold_what_they_should(row, low_l, high_l):
    assert low_l <= volume_ml(vessel(row)) / 1000 <= high_l


def test_ten_grams_a_litre_is_a_hundred_grams_a_bucket():
    food = next(d for d in table("doses").doses if d.id == "flower-food")
    assert per_litre(food.value, 10).agent.value == pytest.approx(100)


def test_glycerin_one_to_two_is_a_third():
    mix = by_parts(1, 2, 3, convention="to-water", agent="glycerin")
    assert mix.agent.value == pytest.approx(1000)


def test_an_order_for_an_event_is_about_a_tenth_over():
    # Event florists order five to ten per cent over the recipe; the binomial lands there for a few hundred stems.
    order = bunches_needed(300, 1, constant("quantity", "loss-flower"), 0.9)
    assert 1.05 <= order.stems_ordered / 300 <= 1.15


def test_a_cut_rose_out_of_water_lasts_about_a_day_or_two():
    life = LifeConstants.from_rows({c.id: constant("longevity", c.id) for c in table("longevity").constants})
    out = life_at_temperature((7, 10), degC=20, q10=2.5, constants=life, support="out-of-water").remaining_d
    assert 1 <= out.value <= 2.5


def test_a_hot_window_halves_a_rose():
    life = LifeConstants.from_rows({c.id: constant("longevity", c.id) for c in table("longevity").constants})
    window = life_at_temperature((7, 10), degC=28, q10=2.5, constants=life).remaining_d.value
    assert window == pytest.approx(8.5 / 2, rel=0.1)
