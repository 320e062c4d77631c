"""What a plan needs to know of the stock, as of one moment: plain data, so that planning stays a pure function."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Self

from assistant.stock.ledger import Ledger
from assistant.stock.losses import OwnLoss, own_losses
from assistant.stock.lots import Lot


@dataclass(frozen=True)
class Holdings:
    """Lots with stems left, and the shop's own losses by material."""

    lots: tuple[Lot, ...] = ()
    losses: dict[str, OwnLoss] = field(default_factory=dict)

    @classmethod
    def of(cls, ledger: Ledger) -> Self:
        every = ledger.lots(with_empty=True)
        return cls(tuple(lot for lot in every if lot.left > 0), own_losses(every))
