"""Order sizes against textbook probabilities, an exercise on over-ordering, and a second implementation."""

import random

import pytest
from scipy import stats

from assistant.calculators.bunches import bunches_needed, chance_of_enough


def at_least(n, k, p):
    return chance_of_enough(n, k, 1 - p)


# openstax_stats, to the digits printed.
@pytest.mark.parametrize(
    ("n", "p", "low", "high", "printed"),
    [
        (150, 0.09, 15, 15, 0.0988), (150, 0.09, 0, 10, 0.1987), (150, 0.09, 26, 150, 0.0009),
        (13, 0.96, 0, 10, 0.0135), (13, 0.96, 12, 12, 0.3186), (13, 0.96, 13, 13, 0.5882),
        (100, 0.03, 0, 4, 0.8179), (100, 8 / 560, 0, 6, 0.9994), (14, 0.60, 6, 14, 0.9417),
    ],
)  # fmt: skip
def test_textbook_probabilities(n, p, low, high, printed):
    assert at_least(n, low, p) - at_least(n, high + 1, p) == pytest.approx(printed, abs=0.00006)


def test_how_many_to_order():
    # pumps_exercise: 95 % of parts are good and five are needed. Five give 0.774 (printed); six reach 95 % and
    # seven 99 % (the exercise's question, worked out here and not printed there).
    assert at_least(5, 5, 0.95) == pytest.approx(0.774, abs=0.0005)
    assert bunches_needed(5, 1, 0.05, 0.95).bunches_to_order == 6
    assert bunches_needed(5, 1, 0.05, 0.99).bunches_to_order == 7


def test_overbooking_answer_differs_because_it_is_an_approximation():
    # nrich_overbook: 400 seats, 95 % turn up, overfull at most 2 % of the time. The published 411 comes from the
    # normal curve without continuity correction; the exact binomial allows 412.
    overfull = {n: at_least(n, 401, 0.95) for n in (411, 412, 413)}
    assert overfull[412] <= 0.02 < overfull[413]
    assert overfull[412] == pytest.approx(0.0139, abs=0.00005)
    assert overfull[413] == pytest.approx(0.0261, abs=0.00005)

    def normal(n):
        return stats.norm.sf(400, n * 0.95, (n * 0.95 * 0.05) ** 0.5)

    assert normal(411) <= 0.02 < normal(412)


def test_seeing_at_least_one_failure():
    # success_run (from memory): 59 units to be 95 % sure of one failure at 5 %.
    assert bunches_needed(1, 1, 0.89, 0.95).bunches_to_order == 26  # ln 0.05 / ln 0.89 = 25.7
    assert at_least(59, 1, 0.05) >= 0.95 > at_least(58, 1, 0.05)


def test_against_scipy_up_to_a_hundred_thousand_stems():
    rng = random.Random(20251)
    for _ in range(300):
        n = int(10 ** rng.uniform(0, 5))
        loss = rng.choice([0.001, 0.02, 0.08, 0.2, 0.5, 0.85])
        good = n * (1 - loss)
        k = max(0, min(n, round(good + rng.gauss(0, 3) * (good * loss) ** 0.5)))
        assert chance_of_enough(n, k, loss) == pytest.approx(stats.binom.sf(k - 1, n, 1 - loss), abs=1e-9, rel=1e-7)


@pytest.mark.parametrize("needed", [1, 7, 120, 2_500, 100_000])
@pytest.mark.parametrize("pack", [1, 10, 25])
@pytest.mark.parametrize("confidence", [0.5, 0.9, 0.99])
def test_fewest_by_a_second_route(needed, pack, confidence):
    bunches = bunches_needed(needed, pack, 0.08, confidence).bunches_to_order
    assert stats.binom.sf(needed - 1, bunches * pack, 0.92) >= confidence
    assert bunches == 1 or stats.binom.sf(needed - 1, (bunches - 1) * pack, 0.92) < confidence
