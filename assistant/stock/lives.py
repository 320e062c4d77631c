"""Days a lot has left: its history as legs for the longevity calculator, and what to use first."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from functools import cached_property

from assistant.calculators.longevity import (
    COOLER,
    STANDARD_DEGC,
    Leg,
    LifeConstants,
    Method,
    days_remaining,
    shelf_days_remaining,
)
from assistant.calculators.ranges import Estimate, Spread, exact
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Constant, Material
from assistant.stock.lots import Lot

_AT_ONCE_D = 0.01


@dataclass(frozen=True, slots=True)
class Left:
    """Days left [d] from a day on, and the calculator's warnings."""

    days: Estimate
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class Lives:
    """The handbook's numbers for lives, read once and shared by many lots."""

    handbook: Handbook

    @cached_property
    def _rows(self) -> dict[str, Constant]:
        return {row.id: row for row in self.handbook.table("longevity").constants}

    def _constant(self, name: str) -> Estimate:
        row = self._rows[name]
        low, high = row.span
        return Estimate(low, row.value, high)

    @cached_property
    def constants(self) -> LifeConstants:
        return LifeConstants.from_rows({name: self._constant(name) for name in self._rows})

    def q10(self, material: Material) -> Estimate:
        """The material's own Q10, or the table's. [1]"""
        return spread_of(material.q10.span) if material.q10 else self._constant("q10")

    def left(
        self,
        material: Material,
        legs: Sequence[Leg],
        *,
        display_degC: Spread = STANDARD_DEGC,  # noqa: N803 - degC keeps the capital of the unit
        support: Method = "vase-food",
        humidity_pct: Spread | None = None,
    ) -> Left | None:
        """Days left at a display after a history; None where the handbook has no life for the material.

        Dried and preserved material is counted by its shelf life, and every leg counts the same.
        """
        if material.is_dry:
            keeping = material.keeping
            assert keeping is not None  # the handbook's models see to it
            shelf = shelf_days_remaining(
                keeping.shelf_life.span,
                kept_d=sum(leg.days for leg in legs),
                humidity_pct=humidity_pct,
                humidity_limit_pct=keeping.humidity.span if keeping.humidity else None,
            )
            return Left(shelf.remaining_d, shelf.warnings)
        life = material.vase_life
        if life is None:
            return None
        ways = {support, *(leg.method for leg in legs)}
        remaining = days_remaining(
            life.span,
            display_degC=display_degC,
            q10=self.q10(material),
            constants=self.constants,
            legs=legs,
            support=support,
            measured_degC=life.degC,
            measured_support=life.support,  # type: ignore[arg-type]  # the calculator refuses what it does not know
            chilling_threshold_degC=material.chilling_threshold.span[1] if material.chilling_threshold else None,
            freezing_point_degC=material.freezing_point.span[1] if material.freezing_point else None,
            storage_life_d=storage_life(material, legs) if ways & COOLER else None,
            out_of_water_d=_out_of_water(material) if "out-of-water" in ways else None,
        )
        return Left(remaining.remaining_d, remaining.warnings)


def _out_of_water(material: Material) -> tuple[float, float] | None:
    """Time out of water [d]. The handbook may say 0 for what wilts at once; the calculator wants a time."""
    if material.out_of_water is None:
        return None
    low, high = (max(end, _AT_ONCE_D) for end in material.out_of_water.span)
    return low, high


def spread_of(ends: tuple[float, float]) -> Estimate:
    """A range whose working value is its middle."""
    return Estimate(ends[0], (ends[0] + ends[1]) / 2, ends[1])


def storage_life(material: Material, legs: Sequence[Leg]) -> Estimate | None:
    """Storage life [d] over the entry's records for the way the legs were stored; all records where none fits."""
    ways = {"dry" if leg.method == "cooler-dry" else "wet" for leg in legs if leg.method in COOLER}
    records = [r for r in material.storage if r.days and (r.method in ways or r.method == "either")]
    records = records or [r for r in material.storage if r.days]
    ends = [end for r in records if r.days for end in r.days if end is not None]
    return spread_of((min(ends), max(ends))) if ends else None


@dataclass(frozen=True, slots=True)
class LotLife:
    """A lot with what is left of it on a day. `use_by` is the last day the short end of its life allows."""

    lot: Lot
    left: Left | None
    use_by: date | None


def use_first(
    lots: Iterable[Lot],
    handbook: Handbook,
    on: date,
    *,
    display_degC: Spread = STANDARD_DEGC,  # noqa: N803
    support: Method = "vase-food",
) -> list[LotLife]:
    """Lots with stems left, the one that expires first at the top.

    Days left are counted for a display from `on` at `display_degC` (the standard test room unless said), so that a
    customer's vase is the measure and not the cooler. Lots the handbook has no life for stand at the end.
    """
    lives = Lives(handbook)
    rows = []
    for lot in lots:
        if lot.left <= 0:
            continue
        material = handbook.materials.get(lot.material)
        legs = lot.legs(on)
        left = lives.left(material, legs, display_degC=display_degC, support=support) if material else None
        rows.append(LotLife(lot, left, on + timedelta(days=int(left.days.low)) if left else None))
    return sorted(rows, key=lambda r: (r.left is None, *(r.left.days if r.left else exact(0.0)), r.lot.id))
