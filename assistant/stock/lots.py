"""A lot of one material and its history, as plain data."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Literal

from assistant.calculators.longevity import METHODS, Leg, Method
from assistant.calculators.ranges import span, within

UseKind = Literal["used", "sold", "discarded"]
USE_KINDS: tuple[UseKind, ...] = ("used", "sold", "discarded")
DRY: Method = "out-of-water"
"""How a lot of dried or preserved material stands; its life is counted by the shelf, not by this."""


class StockError(Exception):
    """Something about the stock that cannot be done; the message is one plain sentence for the person."""


@dataclass(frozen=True, slots=True)
class Stand:
    """From a day on the lot stands somewhere: how (`method` of the longevity calculator) and how warm [degC]."""

    day: date
    method: Method
    low_degC: float  # noqa: N815 - degC keeps the capital of the unit everywhere in the project
    high_degC: float  # noqa: N815

    def checked(self) -> Stand:
        """The same, or a StockError for a way of standing or a temperature that cannot be.

        Raises:
            OutOfRange: for a temperature no flower meets.
        """
        if self.method not in METHODS:
            raise StockError(f"A lot can stand as {', '.join(METHODS)}; not '{self.method}'.")
        for end in (self.low_degC, self.high_degC):
            within(end, -10, 45, "temperature where the lot stands", "degC")
        if self.low_degC > self.high_degC:
            raise StockError("Write the lower temperature first.")
        return self


@dataclass(frozen=True, slots=True)
class Use:
    """Stems that left the lot."""

    day: date
    kind: UseKind
    stems: int
    note: str = ""


@dataclass(frozen=True, slots=True)
class NewLot:
    """What came in. `paid` is for the whole lot, in the shop's own money; `key` comes from an import."""

    material: str
    stems: int
    stand: Stand
    paid: float | None = None
    note: str = ""
    key: str | None = None


@dataclass(frozen=True, slots=True)
class Lot:
    """A lot as the ledger holds it. `stands` and `uses` are in order of days; stems are whole stems."""

    id: int
    key: str
    material: str
    stems: int
    paid: float | None
    note: str
    stands: tuple[Stand, ...]
    uses: tuple[Use, ...]

    @property
    def received(self) -> date:
        return self.stands[0].day

    @property
    def left(self) -> int:
        """Stems still there. [stems]"""
        return self.stems - sum(use.stems for use in self.uses)

    @property
    def now(self) -> Stand:
        return self.stands[-1]

    def gone(self, kind: UseKind) -> int:
        return sum(use.stems for use in self.uses if use.kind == kind)

    def legs(self, until: date) -> tuple[Leg, ...]:
        """The history up to a day, in the calculator's terms: where it stands now it stays until then."""
        ends = [*(stand.day for stand in self.stands[1:]), until]
        return tuple(
            Leg(float((min(end, until) - stand.day).days), span(stand.low_degC, stand.high_degC), stand.method)
            for stand, end in zip(self.stands, ends, strict=True)
            if stand.day < min(end, until)
        )


def total_left(lots: Iterable[Lot], material: str) -> int:
    """Stems of a material in all lots. [stems]"""
    return sum(lot.left for lot in lots if lot.material == material)
