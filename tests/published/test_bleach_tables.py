"""Dilutions of bleach against the tables of public-health agencies."""

import pytest

from assistant.calculators.mixing import bleach_dose, bleach_ppm, by_parts
from assistant.calculators.units import convert


@pytest.mark.parametrize(
    ("pct", "parts", "ppm"),
    [
        (5.25, 10, (5250, 5250)),  # bleach_fact: 1:10 of 5.25 %, one part in ten in total
        ((5.25, 6.15), 10, (5250, 6150)),  # cdc2008 (from memory)
        ((5.25, 6.15), 100, (525, 615)),  # cdc2008 (from memory)
    ],
)
def test_parts_in_total(pct, parts, ppm):
    mix = by_parts(1, parts, 1, convention="in-total", agent="bleach")
    strength = bleach_ppm(mix.agent.value, mix.volume_ml, pct)
    assert (strength.low, strength.high) == pytest.approx(ppm, rel=1e-9)


@pytest.mark.parametrize(("pct", "water"), [(5.0, 99), (2.5, 49)])
def test_who_surface_strength(pct, water):
    # who2014: 1 part of 5 % with 99 parts water, or 2 parts of 2.5 % with 98: both 500 mg/l.
    mix = by_parts(1, water, 1, convention="to-water", agent="bleach")
    assert bleach_ppm(mix.agent.value, mix.volume_ml, pct).value == pytest.approx(500)
    assert bleach_dose(500, pct, 1).agent.value == pytest.approx(mix.agent.value)


@pytest.mark.parametrize(("have_pct", "want_pct", "parts_water"), [(5.0, 0.1, 49), (3.5, 0.5, 6)])
def test_cdc_formula_for_parts_of_water(have_pct, want_pct, parts_water):
    # cdc_appe: parts water = % bleach / % wanted - 1.
    mix = bleach_dose(want_pct * 10_000, have_pct, 1)
    assert mix.water_ml.value / mix.agent.value == pytest.approx(parts_water)


@pytest.mark.parametrize(
    ("spoon", "bleach", "vessel"), [(5, "us_tbsp", "us_gal"), (1 / 3, "us_cup", "us_gal"), (4, "us_tsp", "us_qt")]
)
def test_cdc_spoons_give_about_a_thousand_ppm(spoon, bleach, vessel):
    # cdc_2020 gives spoons and no ppm; about 1000 mg/l from 5.25 % is derived. Read as bleach into that much water.
    ml = convert(spoon, bleach, "ml")
    water = convert(1, vessel, "ml")
    assert bleach_ppm(ml, water + ml, 5.25).value == pytest.approx(1000, rel=0.08)


def test_container_wash_of_one_in_ten():
    # ncsu_cut: 10 % household bleach, 90 % water; about 5000 mg/l from 5 % bleach (derived).
    mix = by_parts(1, 9, 10, convention="to-water", agent="bleach")
    assert mix.agent.value == pytest.approx(1000)
    assert bleach_ppm(1000, 10_000, 5).value == pytest.approx(5000)
