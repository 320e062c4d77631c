"""Plain words and numbers for the figures and their inputs, in the units the person speaks."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.calculators.units import convert
from assistant.dialogue.answer import Figure, Input
from assistant.dialogue.wording import significant

_KINDS = {
    "days_remaining": "days left",
    "shelf_life": "shelf life",
    "bunches": "bunches to order",
    "stems": "stems",
    "vessel_volume": "vessel holds",
    "water_needed": "water",
    "days_until_refill": "until it is down to half",
    "dose": "to add",
    "concentration": "strength",
    "storage_days": "in the cooler",
    "storage_temperature": "store at",
    "refresh_dates": "replacement visits",
    "cost": "cost",
    "retail": "with your factor",
    "filled_weight": "filled weight",
    "water_uptake": "drinks a day, a stem",
    "pack_size": "in a bunch",
    "season_months": "months on the market",
    "listings": "sources that speak for it",
    "colours": "colours on the market",
    "humidity": "air",
    "hydration_time": "to drink first",
    "drying_time": "to dry",
}
_INPUTS = {
    "display_temperature": "room",
    "storage_temperature": "cooler",
    "humidity": "humidity",
    "display_days": "display",
    "stored_days": "stored",
    "elapsed_days": "since it came",
    "elapsed_temperature": "stood at",
    "dry_days": "out of water",
    "stems": "stems needed",
    "bunches": "bunches",
    "pieces": "pieces",
    "pack_size": "in a bunch",
    "loss_rate": "losses",
    "confidence": "how sure",
    "volume": "water",
    "concentration": "strength",
    "strength": "bleach is",
    "label_dose": "label dose",
    "width": "width",
    "height": "height",
    "depth": "depth",
    "vessel_diameter": "diameter",
    "diameter": "diameter",
    "base_diameter": "base",
    "vessel_height": "vessel height",
    "fill_height": "filled to",
    "fill_level": "filled to",
    "fill_share": "filled",
    "length": "length",
    "price": "price",
    "factor": "factor",
    "month": "month",
    "support": "stands",
    "vessel": "vessel",
    "storage_method": "stored",
    "vase_life": "vase life",
    "q10": "speeds up ×",
    "shelf_life": "shelf life",
    "margin": "margin",
    "days_remaining": "life there",
    "vapour_pressure_deficit": "dry air",
    "uptake_per_stem": "a stem drinks",
    "lowest_share": "refill at",
    "evaporation": "evaporates",
    "cover_share": "cover",
    "foam_water_share": "foam holds",
    "vessel_weight": "empty weight",
    "place": "place",
    "audience": "near",
    "market": "market",
    "start_date": "from",
    "until_date": "until",
}
WORDS = {
    "vase-food": "vase, flower food",
    "plain-water": "vase, plain water",
    "foam-kept-wet": "foam kept wet",
    "foam-drying": "foam left to dry",
    "out-of-water": "out of water",
    "wet": "in water",
    "dry": "dry",
    "poison-cats": "cats",
    "poison-dogs": "dogs",
    "poison-people": "people who may taste",
    "cooler-wet": "cooler, in water",
    "cooler-dry": "cooler, dry",
}
ORIGINS = {"asked": "you said", "earlier": "said before", "handbook": "handbook", "assumed": "assumed"}
_US = {
    "degC": ("degF", "°F"),
    "l": ("us_gal", "gal"),
    "ml": ("us_fl_oz", "fl oz"),
    "cm": ("in", "in"),
    "kg": ("lb", "lb"),
}
_UNIT_WORDS = {
    "d": "days",
    "h": "hours",
    "degC": "°C",
    "money": "",
    "ratio": "",
    "mg/l": "ppm",
    "ml/d": "ml a day",
    "mm/d": "mm a day",
    "g/l": "g a litre",
}
_ONE = {
    "days": "day",
    "hours": "hour",
    "bunches": "bunch",
    "stems": "stem",
    "visits": "visit",
    "months": "month",
    "pieces": "piece",
    "sources": "source",
    "colours": "colour",
}


@dataclass(frozen=True, slots=True)
class Shown:
    """A figure in words: the number to print large, its unit, and the range ("" when there is none)."""

    number: str
    unit: str
    span: str


def kind_words(kind: str) -> str:
    return _KINDS.get(kind, kind.replace("_", " "))


def input_words(name: str) -> str:
    return _INPUTS.get(name, name.replace("_", " "))


def value_words(value: str) -> str:
    return WORDS.get(value, value.replace("-", " "))


def in_their_units(value: float, unit: str, us: bool) -> tuple[float, str]:
    """A value and the unit's words, in US units where the person speaks them."""
    if us and unit in _US:
        to, words = _US[unit]
        return convert(value, unit, to), words
    return value, _UNIT_WORDS.get(unit, unit)


def from_their_units(value: float, unit: str, us: bool) -> float:
    """The way back: what was typed, in the unit the calculators use."""
    return convert(value, _US[unit][0], unit) if us and unit in _US else value


def shown(figure: Figure, us: bool = False) -> Shown:
    """The figure as a person says it; days in halves below three and whole above, small litres in millilitres."""
    unit = figure.unit
    numbers = (figure.low, figure.value, figure.high)
    if unit == "l" and not us and figure.value < 1:
        unit, numbers = "ml", (figure.low * 1000, figure.value * 1000, figure.high * 1000)
    if figure.kind == "shelf_life" and figure.value > 60:
        unit, numbers = "months", (figure.low / 30.44, figure.value / 30.44, figure.high / 30.44)
    converted = [in_their_units(x, unit, us) for x in numbers]
    words = converted[1][1]
    low, value, high = (number(x, unit) for x, _ in converted)
    span = "" if low == high else f"{low} to {high}"
    return Shown(value, _ONE.get(words, words) if value == "1" else words, span)


def number(value: float, unit: str) -> str:
    """A number with no more digits than its unit deserves."""
    if unit == "d":
        return f"{round(value * 2) / 2:g}" if value < 3 else f"{value:.0f}"
    if unit in ("stems", "bunches", "pieces", "visits", "months", "sources", "colours", "degF"):
        return f"{value:.0f}"
    if unit == "degC":
        return significant(value)
    if abs(value) >= 100:
        return f"{value:.0f}"
    return significant(value)


def compact(figure: Figure, us: bool = False) -> str:
    """The figure on one line: "7 days (5 to 8)"."""
    said = shown(figure, us)
    return " ".join(part for part in (said.number, said.unit, f"({said.span})" if said.span else "") if part)


def input_value(item: Input, us: bool = False) -> str:
    """An input's value with its unit; shares as per cent."""
    if isinstance(item.value, str):
        return value_words(item.value)
    if item.unit == "ratio" and item.name not in ("q10", "factor"):
        return f"{significant(item.value * 100)} %"
    low, high = (item.value if item.low is None else item.low), (item.value if item.high is None else item.high)
    (a, words), (b, _) = in_their_units(low, item.unit, us), in_their_units(high, item.unit, us)
    first, last = significant(a), significant(b)
    body = first if first == last else f"{first}–{last}"
    return f"{body} {words}".strip()
