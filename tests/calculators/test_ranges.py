import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.ranges import (
    Estimate,
    OutOfRange,
    count,
    estimate,
    exact,
    product,
    ratio,
    span,
    total,
    within,
)

POSITIVE = st.floats(0.01, 1e4)


def spans():
    return st.tuples(POSITIVE, POSITIVE, st.floats(0, 1)).map(
        lambda t: Estimate(min(t[:2]), min(t[:2]) + t[2] * (max(t[:2]) - min(t[:2])), max(t[:2]))
    )


@given(spans(), spans(), st.floats(0, 1), st.floats(0, 1))
def test_product_ratio_and_total_hold_every_pair_inside(a, b, i, j):
    x = a.low + i * (a.high - a.low)
    y = b.low + j * (b.high - b.low)
    for result, inside in ((product(a, b), x * y), (ratio(a, b), x / y), (total(a, b), x + y)):
        assert result.low <= result.value <= result.high
        assert result.low * (1 - 1e-9) <= inside <= result.high * (1 + 1e-9)


@given(spans())
def test_map_keeps_order_for_falling_functions(a):
    turned = a.map(lambda x: 1 / x)
    assert turned.low <= turned.value <= turned.high


def test_all_ways_of_giving_a_number():
    assert estimate(3, "x") == exact(3.0)
    assert estimate((2, 4), "x") == span(2, 4) == Estimate(2, 3, 4)
    assert estimate(Estimate(1, 1.5, 4), "x").value == 1.5
    assert exact(2).is_exact
    assert not span(1, 2).is_exact


@pytest.mark.parametrize("bad", [math.nan, math.inf, -math.inf])
def test_what_is_no_number_is_refused(bad):
    with pytest.raises(OutOfRange, match="plain number"):
        estimate(bad, "temperature")
    with pytest.raises(OutOfRange, match="plain number"):
        within(bad, 0, 1, "share")


def test_messages_are_one_sentence_with_the_bounds():
    with pytest.raises(OutOfRange) as error:
        within(600, -30, 45, "display temperature", "degC")
    assert str(error.value) == "The display temperature must be between -30 and 45 degC, not 600."
    with pytest.raises(OutOfRange, match="at least 0 days, not -1"):
        estimate(-1, "time", 0, unit="days")
    with pytest.raises(OutOfRange, match="at most 5"):
        estimate(6, "time", high=5)
    with pytest.raises(OutOfRange, match="smaller number first"):
        estimate((4, 2), "time")
    with pytest.raises(OutOfRange, match="whole number"):
        count(2.5, "number of pieces")
    with pytest.raises(OutOfRange):
        count(-5, "number of stems")
