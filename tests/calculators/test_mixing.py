import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.mixing import (
    bleach_dose,
    bleach_ppm,
    by_parts,
    dilute,
    per_litre,
    percent_solution,
    ppm_solution,
)
from assistant.calculators.ranges import Estimate, OutOfRange


@given(st.floats(1, 5000), st.floats(1, 12), st.floats(0.1, 500))
def test_dose_and_strength_are_inverse(ppm, pct, litres):
    mix = bleach_dose(ppm, pct, litres)
    assert bleach_ppm(mix.agent.value, mix.volume_ml, pct).value == pytest.approx(ppm)
    assert mix.agent.value + mix.water_ml.value == pytest.approx(litres * 1000)
    assert mix.dangers == ("bleach",)


def test_label_range_is_carried():
    mix = bleach_dose((200, 500), (5.25, 8.25), 10)
    assert mix.agent.low == pytest.approx(200 * 10_000 / 82_500)
    assert mix.agent.high == pytest.approx(500 * 10_000 / 52_500)
    assert mix.strength_ppm.low < 350 < mix.strength_ppm.high


def test_label_dose():
    mix = per_litre((10, 12), 25)
    assert mix.agent == Estimate(250, 275, 300)
    assert mix.unit == "g"
    assert mix.strength_ppm.low == 10_000
    liquid = per_litre(5, 2, unit="ml")
    assert (liquid.agent.value, liquid.unit, liquid.strength_ppm) == (10, "ml", None)


def test_solids():
    assert percent_solution(2, 5).agent.value == pytest.approx(100)
    assert percent_solution(2, 5).dangers == ()
    acid = ppm_solution((300, 500), 10)
    assert acid.agent == Estimate(3, 4, 5)
    assert "acid" in acid.dangers


def test_parts_conventions_differ_by_one():
    to_water = by_parts(1, 9, 10, convention="to-water", agent="bleach")
    in_total = by_parts(1, 10, 10, convention="in-total", agent="bleach")
    assert to_water.agent.value == pytest.approx(in_total.agent.value) == pytest.approx(1000)
    assert by_parts(1, 10, 11, convention="to-water", agent="bleach").agent.value == pytest.approx(1000)
    ranged = by_parts(1, (2, 3), 6, convention="to-water", agent="glycerin")
    assert (ranged.agent.low, ranged.agent.high) == (pytest.approx(1500), pytest.approx(2000))
    assert ranged.dangers == ("glycerin",)


def test_dilute():
    assert dilute(100, (5, 10), 2).agent == Estimate(100, 150, 200)


@pytest.mark.parametrize(
    "call",
    [
        lambda: bleach_dose(-1, 5, 1), lambda: bleach_dose(100, 0, 1), lambda: bleach_dose(100, 5, 0),
        lambda: bleach_dose(100, 5, -2), lambda: bleach_dose(60_000, 5, 1), lambda: bleach_dose(math.nan, 5, 1),
        lambda: bleach_ppm(20, 10, 5), lambda: per_litre(-1, 1), lambda: percent_solution(90, 1),
        lambda: by_parts(1, 0.5, 1, convention="in-total", agent="bleach"),
        lambda: by_parts(1, 2, 1, convention="by-eye", agent="bleach"), lambda: dilute(5, 10, 1),
    ],
)  # fmt: skip
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
