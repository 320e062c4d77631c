"""What a job costs, from the shop's own prices and no one else's."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, count, estimate, total, within


@dataclass(frozen=True)
class CostLine:
    """Bunches of one material at the shop's own price. [bunches], [money/bunch]"""

    material: str
    bunches: int
    price_per_bunch: Spread


@dataclass(frozen=True)
class Cost:
    """`cost` of all lines and, only when the user gave a factor, the `retail` price. [money]"""

    lines: tuple[tuple[str, Estimate], ...]
    cost: Estimate
    retail: Estimate | None
    per_piece: Estimate | None


def cost_of(
    lines: Sequence[CostLine], *, own_factor: float | None = None, pieces: int | None = None, extras: Spread = 0.0
) -> Cost:
    """Cost of an order.

    Parameters
    ----------
    lines : sequence of CostLine
    own_factor : float or None
        The user's own mark-up on cost, 1 to 20. Never assumed. [1]
    pieces : int or None
        Pieces to share the cost among. [pieces]
    extras : float, (low, high) or Estimate
        Sundries, at the shop's own figure. [money]

    Returns
    -------
    Cost
        In the currency of the prices. Whole bunches count, used up or not.

    Raises
    ------
    OutOfRange
        For a negative price or a factor below 1.
    """
    parts = tuple(
        (
            line.material,
            estimate(line.price_per_bunch, f"price of {line.material}", 0, 1e6).times(
                float(count(line.bunches, f"number of bunches of {line.material}"))
            ),
        )
        for line in lines
    )
    whole = total(*(part for _, part in parts), estimate(extras, "sundries", 0, 1e9))
    retail = None
    if own_factor is not None:
        retail = whole.times(within(own_factor, 1, 20, "mark-up factor"))
    per_piece = None
    if pieces is not None:
        number = count(pieces, "number of pieces", 0, 10_000)
        if number == 0:
            raise OutOfRange("The cost can't be shared among no pieces.")
        per_piece = whole.times(1 / number)
    return Cost(parts, whole, retail, per_piece)


def cost_per_stem(price_per_bunch: Spread, stems_per_bunch: Spread, loss_rate: float = 0.0) -> Estimate:
    """Cost of one usable stem.

    Parameters
    ----------
    price_per_bunch : float, (low, high) or Estimate
        [money]
    stems_per_bunch : float, (low, high) or Estimate
        [stems]
    loss_rate : float
        Share lost, 0 to below 1. [1]

    Returns
    -------
    Estimate
        ``price / (stems * (1 - loss))``. [money/stem]
    """
    price = estimate(price_per_bunch, "price of a bunch", 0, 1e6)
    stems = estimate(stems_per_bunch, "number of stems in a bunch", 1, 1000)
    loss = within(loss_rate, 0, 0.99, "share of stems lost")
    return Estimate(
        price.low / stems.high / (1 - loss), price.value / stems.value / (1 - loss), price.high / stems.low / (1 - loss)
    )
