"""What the shop itself loses: a loss rate per material from its own lots, once there is enough to go by."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from assistant.calculators.ranges import Estimate
from assistant.stock.lots import Lot, StockError

ENOUGH_LOTS = 3
ENOUGH_STEMS = 50
# 80 % interval: the range a planner works with, not a proof.
_Z = 1.2815515655446004
# Above this the bunch calculator refuses, and rightly: such lots go back.
_MOST = 0.85


@dataclass(frozen=True, slots=True)
class OwnLoss:
    """Loss of one material in this shop.

    Attributes
    ----------
    lots : int
        Finished lots: nothing of them is left.
    stems, discarded : int
        Stems in them, and those that were discarded. [stems]
    rate : Estimate
        Share discarded, with its 80 % range (Wilson's interval). [1]
    enough : bool
        Whether it may replace the handbook's rate.
    """

    material: str
    lots: int
    stems: int
    discarded: int
    rate: Estimate

    @property
    def enough(self) -> bool:
        return self.lots >= ENOUGH_LOTS and self.stems >= ENOUGH_STEMS and self.rate.high <= _MOST

    @property
    def said(self) -> str:
        """Where the rate comes from, for the reply or the sheet."""
        return f"your own loss of {self.rate.value:.1%} ({self.discarded} of {self.stems} stems in {self.lots} lots)"

    @property
    def missing(self) -> str:
        """What it takes until it is used."""
        return f"used from {ENOUGH_LOTS} finished lots and {ENOUGH_STEMS} stems on; so far {self.lots} and {self.stems}"


def own_losses(lots: Iterable[Lot]) -> dict[str, OwnLoss]:
    """Loss by material over finished lots.

    Bad stems are thrown out first and good ones used later, so a lot half used would look worse than it is. Stems
    discarded because they were left over count like those that came in bad: both had to be bought.
    """
    counted: dict[str, list[tuple[int, int]]] = {}
    for lot in lots:
        if lot.left == 0:
            counted.setdefault(lot.material, []).append((lot.stems, lot.gone("discarded")))
    result = {}
    for material, rows in sorted(counted.items()):
        stems, bad = sum(out for out, _ in rows), sum(b for _, b in rows)
        result[material] = OwnLoss(material, len(rows), stems, bad, wilson(bad, stems))
    return result


def own_loss(material: str) -> tuple[Estimate, str] | None:
    """The rate and its story for the order calculator; None without a stock file or before it has seen enough.

    A stock that can't be read changes no answer: `stock` itself says what is wrong with it.
    """
    from assistant.stock.folder import stock_file
    from assistant.stock.ledger import Ledger

    if not stock_file().is_file():
        return None
    try:
        with Ledger() as ledger:
            found = own_losses(ledger.lots(with_empty=True)).get(material)
    except StockError:
        return None
    return (found.rate, found.said) if found is not None and found.enough else None


def wilson(hits: int, trials: int) -> Estimate:
    """Share with Wilson's 80 % interval: honest for few trials and for none or all lost."""
    p = hits / trials
    spread = _Z * math.sqrt(p * (1 - p) / trials + _Z**2 / (4 * trials**2))
    middle, scale = p + _Z**2 / (2 * trials), 1 + _Z**2 / trials
    return Estimate(min(p, max(0.0, (middle - spread) / scale)), p, max(p, min(1.0, (middle + spread) / scale)))
