import math

import pytest

from assistant.calculators.cost import CostLine, cost_of, cost_per_stem
from assistant.calculators.ranges import Estimate, OutOfRange, exact

LINES = [CostLine("rose", 3, 12.5), CostLine("salal", 2, (4, 5))]


def test_sum_and_share():
    cost = cost_of(LINES, pieces=5, extras=10)
    assert cost.lines[0] == ("rose", exact(37.5))
    assert cost.cost == Estimate(55.5, 56.5, 57.5)
    assert cost.per_piece.value == pytest.approx(11.3)


def test_retail_only_by_the_users_own_factor():
    assert cost_of(LINES).retail is None
    assert cost_of(LINES, own_factor=2.5).retail.value == pytest.approx(46.5 * 2.5)


def test_per_stem():
    assert cost_per_stem(12, 10).value == pytest.approx(1.2)
    assert cost_per_stem(12, 10, 0.2).value == pytest.approx(1.5)
    assert cost_per_stem((10, 12), (8, 12)).low == pytest.approx(10 / 12)
    assert cost_per_stem((10, 12), (8, 12)).high == pytest.approx(12 / 8)


@pytest.mark.parametrize(
    "call",
    [
        lambda: cost_of([CostLine("rose", -1, 5)]), lambda: cost_of([CostLine("rose", 1, -5)]),
        lambda: cost_of(LINES, own_factor=0.5), lambda: cost_of(LINES, pieces=0),
        lambda: cost_of(LINES, own_factor=math.nan), lambda: cost_per_stem(5, 0), lambda: cost_per_stem(5, 10, 1.0),
    ],
)  # fmt: skip
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
