"""How many bunches to order so that enough good stems arrive, with a stated confidence."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, count, estimate, finite, within

MOST_STEMS = 100_000
# A loss just under 0.9 asks for ten times the stems, and doubling may overshoot by two.
_MOST_ORDERED = 24 * MOST_STEMS


@dataclass(frozen=True)
class Order:
    """An order of one material.

    Attributes
    ----------
    bunches : Estimate
        Bunches to order is `value`; low and high come from the range of the bunch size and of the loss. [bunches]
    stems_ordered : int
        Stems in `bunches.value` bunches, counted at the small end of the bunch size. [stems]
    spare : int
        Stems ordered beyond those needed, before any loss. [stems]
    probability : float
        Chance that at least the stems needed are good. [1]
    confidence : float
        The chance asked for. [1]
    """

    stems_needed: int
    bunches: Estimate
    stems_ordered: int
    spare: int
    probability: float
    confidence: float

    @property
    def bunches_to_order(self) -> int:
        return int(self.bunches.value)


@dataclass(frozen=True)
class RecipeLine:
    """One material of a recipe: stems in one piece [stems], stems in a bunch [stems], share lost [1]."""

    material: str
    stems_per_piece: float
    stems_per_bunch: Spread
    loss_rate: Spread


@dataclass(frozen=True)
class RecipeOrder:
    """A whole recipe times the pieces. `probability` is that of every material sufficing at once. [1]"""

    pieces: int
    lines: tuple[tuple[str, Order], ...]
    probability: float

    @property
    def bunches(self) -> int:
        return sum(order.bunches_to_order for _, order in self.lines)

    @property
    def stems(self) -> int:
        return sum(order.stems_needed for _, order in self.lines)


def _log_pmf(k: int, n: int, loss: float) -> float:
    return (
        math.lgamma(n + 1) - math.lgamma(k + 1) - math.lgamma(n - k + 1)
        + k * math.log1p(-loss) + (n - k) * math.log(loss)
    )  # fmt: skip


def chance_of_enough(stems_ordered: int, stems_needed: int, loss_rate: float) -> float:
    """Chance that at least `stems_needed` of `stems_ordered` are good.

    Parameters
    ----------
    stems_ordered, stems_needed : int
        [stems]
    loss_rate : float
        Chance that a stem is lost, 0 to 1. [1]

    Returns
    -------
    float
        P(X >= needed) with X ~ Binomial(ordered, 1 - loss). [1]

    Notes
    -----
    The shorter-to-sum tail is added up from its largest term by the ratio of neighbouring terms; the first term
    comes from log-gamma, so nothing under- or overflows. Stems are taken to be lost one by one, each with the same
    chance; a box that froze as a whole is not in this.
    """
    n = count(stems_ordered, "number of stems ordered", 0, _MOST_ORDERED)
    k = count(stems_needed, "number of stems needed", 0, MOST_STEMS)
    loss = within(loss_rate, 0, 1, "share of stems lost")
    if k == 0:
        return 1.0
    if k > n or loss == 1:
        return 0.0
    if loss < 1e-15:  # the largest order would lose a stem less than once in a hundred million orders
        return 1.0
    if k > n * (1 - loss):
        return min(1.0, _tail(k, n, loss, upward=True))
    return max(0.0, 1 - _tail(k - 1, n, loss, upward=False))


def _tail(start: int, n: int, loss: float, *, upward: bool) -> float:
    term = math.exp(_log_pmf(start, n, loss))
    summed, k = term, start
    odds = (1 - loss) / loss
    while term > summed * 1e-17:
        if upward:
            if k == n:
                break
            term *= (n - k) / (k + 1) * odds
            k += 1
        else:
            if k == 0:
                break
            term *= k / (n - k + 1) / odds
            k -= 1
        summed += term
    return summed


def _fewest(stems_needed: int, per_bunch: int, loss: float, confidence: float) -> int:
    """Fewest bunches that reach the confidence; the chance only rises with bunches, so halve the interval."""
    low = max(1, math.ceil(stems_needed / per_bunch))
    high = low
    while chance_of_enough(high * per_bunch, stems_needed, loss) < confidence:
        low, high = high + 1, high * 2
        if high * per_bunch > _MOST_ORDERED:
            raise OutOfRange("With that many stems lost, no order I can reckon makes it sure enough.")
    while low < high:
        middle = (low + high) // 2
        if chance_of_enough(middle * per_bunch, stems_needed, loss) >= confidence:
            high = middle
        else:
            low = middle + 1
    return low


def bunches_needed(stems_needed: float, stems_per_bunch: Spread, loss_rate: Spread, confidence: float = 0.9) -> Order:
    """Fewest bunches that hold enough good stems with at least the asked confidence.

    Parameters
    ----------
    stems_needed : float
        Good stems the work needs; a fraction is rounded up. 0 to 100,000. [stems]
    stems_per_bunch : float, (low, high) or Estimate
        Stems in one bunch; the small end is counted on. [stems]
    loss_rate : float, (low, high) or Estimate
        Share of stems that arrive or turn unusable, 0 to below 0.9. [1]
    confidence : float
        Chance of having enough, above 0 and below 1. [1]

    Returns
    -------
    Order

    Raises
    ------
    OutOfRange
        For negative stems, an empty bunch, a loss of 90 % or more, a confidence of 0 or 1.

    Notes
    -----
    Exact binomial, ``min b: P(Binomial(b * s, 1 - loss) >= needed) >= confidence``. `value` counts on the small end
    of the bunch size and the middle of the loss; `low` on full bunches and small loss; `high` on small bunches and
    large loss.

    References
    ----------
    Any text on the binomial distribution; checked against openstax_stats and pumps_exercise.
    """
    needed = count(math.ceil(finite(stems_needed, "number of stems")), "number of stems", 0, MOST_STEMS)
    pack = estimate(stems_per_bunch, "number of stems in a bunch", 1, 1000, "stems")
    loss = estimate(loss_rate, "share of stems lost", 0, 1)
    sure = within(confidence, 0, 1, "confidence")
    if loss.high >= 0.9:
        raise OutOfRange("The share of stems lost must be below 0.9; a lot that bad should be sent back.")
    if sure in (0.0, 1.0):
        raise OutOfRange("The confidence must lie between 0 and 1; nothing living is ever certain.")
    small, large = math.floor(pack.low), math.floor(pack.high)
    if needed == 0:
        return Order(0, Estimate(0, 0, 0), 0, 0, 1.0, sure)
    value = _fewest(needed, small, loss.value, sure)
    low = value if large == small and loss.is_exact else _fewest(needed, large, loss.low, sure)
    high = value if loss.is_exact else _fewest(needed, small, loss.high, sure)
    ordered_stems = value * small
    return Order(
        needed,
        Estimate(float(min(low, value)), float(value), float(max(high, value))),
        ordered_stems,
        ordered_stems - needed,
        chance_of_enough(ordered_stems, needed, loss.value),
        sure,
    )


def recipe_bunches(
    lines: Sequence[RecipeLine], pieces: int, confidence: float = 0.9, *, together: bool = True
) -> RecipeOrder:
    """Bunches for a recipe made `pieces` times.

    Parameters
    ----------
    lines : sequence of RecipeLine
    pieces : int
        How many times the recipe is made. [pieces]
    confidence : float
        Chance of having enough. [1]
    together : bool
        True: the confidence holds for the whole order, so each of k materials is ordered at ``confidence ** (1/k)``.
        False: for each material on its own.

    Returns
    -------
    RecipeOrder

    Notes
    -----
    A material on several lines is ordered once, for the sum; its losses are taken as independent of the others'.
    """
    times = count(pieces, "number of pieces", 0, 10_000)
    if not lines:
        raise OutOfRange("The recipe is empty; name at least one material and its stems.")
    stems: dict[str, float] = {}
    first: dict[str, RecipeLine] = {}
    for line in lines:
        within(line.stems_per_piece, 0, 10_000, f"number of stems of {line.material}")
        stems[line.material] = stems.get(line.material, 0.0) + line.stems_per_piece * times
        first.setdefault(line.material, line)
    each = confidence ** (1 / len(stems)) if together and 0 < confidence < 1 else confidence
    orders = tuple(
        (name, bunches_needed(needed, first[name].stems_per_bunch, first[name].loss_rate, each))
        for name, needed in stems.items()
    )
    return RecipeOrder(times, orders, math.prod(order.probability for _, order in orders))
