import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.calculators.units import UNITS, convert, convert_difference, convert_estimate, unit

PAIRS = [(a.name, b.name) for a in UNITS for b in UNITS if a.dimension == b.dimension]


@given(st.sampled_from(PAIRS), st.floats(-1e4, 1e4))
def test_there_and_back(pair, value):
    assert convert(convert(value, *pair), *reversed(pair)) == pytest.approx(value, rel=1e-9, abs=1e-6)


def test_names_and_spellings_belong_to_one_unit():
    spellings = [word for u in UNITS for word in {u.name.lower(), *u.aliases}]
    assert len(spellings) == len(set(spellings))
    assert all(word == word.lower() for u in UNITS for word in u.aliases)


def test_spellings():
    assert unit("Gallons").name == "us_gal"
    assert unit(" inches ").name == "in"
    assert unit("°F").name == "degF"
    assert unit("%").name == "pct"


def test_fixed_points_of_the_temperature_scales():
    assert convert(32, "degF", "degC") == pytest.approx(0, abs=1e-12)
    assert convert(212, "degF", "degC") == pytest.approx(100)
    assert convert(-40, "degF", "degC") == pytest.approx(-40)
    assert convert_difference(18, "degF", "degC") == pytest.approx(10)


def test_estimates_keep_their_order():
    assert convert_estimate(Estimate(32, 50, 212), "degF", "degC") == pytest.approx((0, 10, 100), abs=1e-9)


def test_strength():
    assert convert(5.25, "pct", "ppm") == pytest.approx(52_500)
    assert convert(10, "g/l", "pct") == pytest.approx(1)


def test_the_impossible_is_refused():
    with pytest.raises(OutOfRange, match="don't know"):
        convert(1, "smidgen", "ml")
    with pytest.raises(OutOfRange, match="can't turn"):
        convert(1, "cm", "ml")
    with pytest.raises(OutOfRange):
        convert(math.nan, "cm", "in")
