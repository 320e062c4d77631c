"""From what a person says came in to a lot: bunches to stems, where it stands, what it cost."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Literal

from assistant.calculators.longevity import Method
from assistant.calculators.ranges import Estimate
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material
from assistant.stock.lives import spread_of
from assistant.stock.lots import DRY, NewLot, Stand, StockError

Where = Literal["cooler", "bench"]
PricePer = Literal["bunch", "stem", "lot"]
_AIR = {"cooler": "cooler", "bench": "workroom", "dry": "dry-store"}


@dataclass(frozen=True, slots=True)
class Pack:
    """Stems in a bunch [stems] and the market they hold for."""

    stems: Estimate
    market: str


def pack_of(material: Material, market: str) -> Pack | None:
    """Stems in a bunch in a market, or in the nearest one known; None where the handbook has no stem count."""
    packs = [pack for pack in material.packs if pack.stems]
    for wanted in dict.fromkeys((market, "any", "EU", "UK", "US")):
        for pack in packs:
            if pack.market == wanted and pack.stems:
                ends = [end for end in pack.stems if end is not None]
                return Pack(spread_of((min(ends), max(ends))), wanted)
    return None


def usual_air(handbook: Handbook, where: str) -> Estimate:
    """Temperature to assume in the cooler, on the bench or in the dry store, from the places table. [degC]"""
    wanted = _AIR[where]
    for table in handbook.tables.values():
        for place in table.places:
            if place.id == wanted:
                ends = [end for end in place.degC if end is not None]
                return spread_of((min(ends), max(ends)))
    raise StockError(f"The handbook's table of places has no '{wanted}'; say how warm it is.")


def stand_for(
    material: Material,
    handbook: Handbook,
    day: date,
    where: Where,
    *,
    degC: Estimate | None = None,  # noqa: N803 - degC keeps the capital of the unit
    in_box: bool = False,
    plain_water: bool = False,
) -> Stand:
    """How a lot stands from a day on. Dried and preserved material never stands in water."""
    method: Method
    if material.is_dry:
        method = DRY
    elif where == "cooler":
        method = "cooler-dry" if in_box else "cooler-wet"
    elif in_box:
        method = "out-of-water"
    else:
        method = "plain-water" if plain_water else "vase-food"
    air = degC or usual_air(handbook, "dry" if material.is_dry and where == "bench" else where)
    return Stand(day, method, air.low, air.high)


def new_lot(
    material: Material,
    stand: Stand,
    *,
    stems: float | None = None,
    bunches: float | None = None,
    stems_per_bunch: float | None = None,
    market: str = "EU",
    price: float | None = None,
    price_per: PricePer = "bunch",
    note: str = "",
) -> NewLot:
    """A lot ready to be written; bunches are counted at the small end of the pack.

    Raises:
        StockError: where neither stems nor bunches are given, or the handbook has no pack to count bunches by.
    """
    per_bunch = stems_per_bunch
    if per_bunch is None:
        known = pack_of(material, market)
        per_bunch = known.stems.low if known else None
    if stems is None:
        if bunches is None:
            raise StockError(f"How many stems or bunches of {material.name} came in?")
        if per_bunch is None:
            raise StockError(
                f"The handbook has no stem count for a bunch of {material.name}; say how many stems it holds."
            )
        stems = bunches * per_bunch
    if stems != int(stems) or stems < 1:
        raise StockError(f"A lot holds whole stems, not {stems:g}.")
    paid = price
    if price is not None and price_per == "stem":
        paid = price * stems
    elif price is not None and price_per == "bunch":
        if bunches is None:
            if per_bunch is None:
                raise StockError(
                    f"Say the price of the whole lot or of a stem; a bunch of {material.name} is not counted."
                )
            bunches = stems / per_bunch
        paid = price * bunches
    return NewLot(material.id, int(stems), stand, paid, note)


def chill_warning(material: Material, stand: Stand) -> str | None:
    """A sentence when the place is colder than the material stands, or None."""
    freezing, chilling = material.freezing_point, material.chilling_threshold
    if freezing and stand.low_degC <= freezing.span[1]:
        return f"{stand.low_degC:g} °C may freeze {material.name}."
    if chilling and stand.low_degC < chilling.span[1]:
        return f"{material.name[:1].upper()}{material.name[1:]} is hurt below {chilling.span[1]:g} °C; keep it warmer."
    return None
