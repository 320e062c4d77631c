import math
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.bunches import RecipeLine, bunches_needed, chance_of_enough, recipe_bunches
from assistant.calculators.ranges import Estimate, OutOfRange


def by_hand(n, k, loss):
    return sum(math.comb(n, i) * (1 - loss) ** i * loss ** (n - i) for i in range(k, n + 1))


@given(st.integers(0, 60), st.integers(0, 60), st.floats(0.001, 0.95))
def test_chance_is_the_plain_sum(n, k, loss):
    assert chance_of_enough(n, k, loss) == pytest.approx(by_hand(n, k, loss), abs=1e-11)


def test_ends():
    assert chance_of_enough(10, 0, 0.5) == 1
    assert chance_of_enough(9, 10, 0.5) == 0
    assert chance_of_enough(10, 10, 0) == 1
    assert chance_of_enough(10, 1, 1) == 0


@given(st.integers(1, 400), st.integers(1, 30), st.floats(0, 0.6), st.floats(0.5, 0.999))
def test_it_is_the_fewest(stems, pack, loss, confidence):
    order = bunches_needed(stems, pack, loss, confidence)
    n = order.bunches_to_order
    assert order.probability >= confidence
    assert (
        chance_of_enough((n - 1) * pack, stems, loss) < confidence
        or n == math.ceil(stems / pack) == 1
        or ((n - 1) * pack < stems)
    )
    assert order.stems_ordered == n * pack
    assert order.spare == n * pack - stems


def test_no_loss_no_spare_beyond_whole_bunches():
    order = bunches_needed(100, 10, 0.0)
    assert order.bunches == Estimate(10, 10, 10)
    assert order.spare == 0
    assert order.probability == 1


def test_ranges_of_pack_and_loss_are_carried():
    order = bunches_needed(100, (8, 12), (0.02, 0.15), 0.9)
    assert order.bunches.low == bunches_needed(100, 12, 0.02, 0.9).bunches_to_order
    assert order.bunches.high == bunches_needed(100, 8, 0.15, 0.9).bunches_to_order
    assert order.bunches.value == bunches_needed(100, 8, 0.085, 0.9).bunches_to_order
    assert order.bunches.low <= order.bunches.value <= order.bunches.high


def test_part_stems_are_rounded_up_and_nothing_needs_nothing():
    assert bunches_needed(10.2, 1, 0.0).bunches_to_order == 11
    assert bunches_needed(0, 10, 0.1).bunches_to_order == 0


def test_a_hundred_thousand_stems_are_quick_and_right():
    began = time.perf_counter()
    order = bunches_needed(100_000, 25, 0.08, 0.99)
    assert time.perf_counter() - began < 1.0
    # normal approximation as a second opinion: mean and 2.33 standard deviations
    n = order.stems_ordered
    assert n * 0.92 - 2.326 * math.sqrt(n * 0.92 * 0.08) == pytest.approx(100_000, abs=30)
    worst = bunches_needed(100_000, 1, 0.89, 0.99)
    assert 900_000 < worst.bunches_to_order < 920_000


@pytest.mark.parametrize(
    "args",
    [
        (-5, 10, 0.1), (math.nan, 10, 0.1), (10, 0, 0.1), (10, -3, 0.1), (10, 10, -0.1), (10, 10, 0.95), (10, 10, 1.5),
        (200_000, 10, 0.1), (10, 10, 0.1, 0.0), (10, 10, 0.1, 1.0), (10, 10, 0.1, math.nan), (10, (12, 8), 0.1),
    ],
    ids=str,
)  # fmt: skip
def test_the_impossible_is_refused(args):
    with pytest.raises(OutOfRange):
        bunches_needed(*args)


RECIPE = [RecipeLine("rose", 5, 10, 0.08), RecipeLine("salal", 3, 25, 0.07), RecipeLine("waxflower", 2, 10, 0.08)]


def test_recipe_reaches_the_confidence_as_a_whole():
    order = recipe_bunches(RECIPE, 12, 0.9)
    assert order.probability >= 0.9
    assert order.probability == pytest.approx(math.prod(o.probability for _, o in order.lines))
    assert order.stems == 12 * 10
    assert order.bunches == sum(o.bunches_to_order for _, o in order.lines)


def test_each_alone_orders_like_a_single_question():
    order = recipe_bunches(RECIPE, 12, 0.9, together=False)
    assert dict(order.lines)["rose"] == bunches_needed(60, 10, 0.08, 0.9)


def test_a_material_on_two_lines_is_ordered_once():
    order = recipe_bunches([RecipeLine("rose", 5, 10, 0.1), RecipeLine("rose", 2, 10, 0.1)], 10, together=False)
    assert len(order.lines) == 1
    assert order.lines[0][1].stems_needed == 70


def test_recipe_refuses_the_impossible():
    for lines, pieces in (([], 3), (RECIPE, -1), (RECIPE, 2.5), ([RecipeLine("rose", -1, 10, 0.1)], 3)):
        with pytest.raises(OutOfRange):
            recipe_bunches(lines, pieces)
