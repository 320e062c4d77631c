"""Units of measure as a frozen table, and conversion between them.

Base units: degC, cm, ml, g, d, ppm (mg/l). Exact by definition: inch 2.54 cm, US gallon 231 cubic inches, imperial
gallon 4.54609 l, pound 453.59237 g.

References
----------
nist_hb44 (Handbook 44, Appendix C).
"""

from __future__ import annotations

from typing import Literal, NamedTuple

from assistant.calculators.ranges import Estimate, OutOfRange, finite, ordered

Dimension = Literal["temperature", "length", "volume", "mass", "time", "concentration", "area"]

_US_GALLON_ML = 231 * 2.54**3
_IMPERIAL_GALLON_ML = 4546.09
_POUND_G = 453.59237


class Unit(NamedTuple):
    """A unit: ``base = value * factor + offset``. `aliases` are spellings, lower case."""

    name: str
    dimension: Dimension
    factor: float
    offset: float = 0.0
    aliases: tuple[str, ...] = ()


UNITS: tuple[Unit, ...] = (
    Unit("degC", "temperature", 1.0, 0.0, ("c", "°c", "degrees c", "celsius", "degrees celsius", "centigrade")),
    Unit("degF", "temperature", 5 / 9, -160 / 9, ("f", "°f", "degrees f", "fahrenheit", "degrees fahrenheit")),
    Unit("K", "temperature", 1.0, -273.15, ("kelvin",)),
    Unit("mm", "length", 0.1, 0.0, ("millimetre", "millimetres", "millimeter", "millimeters")),
    Unit("cm", "length", 1.0, 0.0, ("centimetre", "centimetres", "centimeter", "centimeters")),
    Unit("m", "length", 100.0, 0.0, ("metre", "metres", "meter", "meters")),
    Unit("in", "length", 2.54, 0.0, ("inch", "inches", '"', "″")),
    Unit("ft", "length", 30.48, 0.0, ("foot", "feet", "'", "′")),
    Unit("yd", "length", 91.44, 0.0, ("yard", "yards")),
    Unit("cm2", "area", 1.0, 0.0, ("square centimetres", "square centimeters", "sq cm", "cm²")),
    Unit("m2", "area", 10_000.0, 0.0, ("square metres", "square meters", "sq m", "m²")),
    Unit("ft2", "area", 30.48**2, 0.0, ("square feet", "square foot", "sq ft", "ft²")),
    Unit("ml", "volume", 1.0, 0.0, ("millilitre", "millilitres", "milliliter", "milliliters", "cc", "cm3")),
    Unit("cl", "volume", 10.0, 0.0, ("centilitre", "centilitres", "centiliter", "centiliters")),
    Unit("l", "volume", 1000.0, 0.0, ("litre", "litres", "liter", "liters", "ltr")),
    Unit("us_gal", "volume", _US_GALLON_ML, 0.0, ("us gallon", "us gallons", "us gal", "gallon", "gallons", "gal")),
    Unit("us_qt", "volume", _US_GALLON_ML / 4, 0.0, ("us quart", "us quarts", "quart", "quarts", "qt")),
    Unit("us_pt", "volume", _US_GALLON_ML / 8, 0.0, ("us pint", "us pints", "pint", "pints", "pt")),
    Unit("us_cup", "volume", _US_GALLON_ML / 16, 0.0, ("us cup", "cup", "cups")),
    Unit("us_fl_oz", "volume", _US_GALLON_ML / 128, 0.0, ("us fl oz", "fl oz", "fluid ounce", "fluid ounces")),
    Unit("us_tbsp", "volume", _US_GALLON_ML / 256, 0.0, ("us tbsp", "tbsp", "tablespoon", "tablespoons")),
    Unit("us_tsp", "volume", _US_GALLON_ML / 768, 0.0, ("us tsp", "tsp", "teaspoon", "teaspoons")),
    Unit("imp_gal", "volume", _IMPERIAL_GALLON_ML, 0.0, ("imperial gallon", "uk gallon", "uk gallons")),
    Unit("imp_qt", "volume", _IMPERIAL_GALLON_ML / 4, 0.0, ("imperial quart", "imperial quarts", "uk quart")),
    Unit("imp_pt", "volume", _IMPERIAL_GALLON_ML / 8, 0.0, ("imperial pint", "imperial pints", "uk pint", "uk pints")),
    Unit("imp_fl_oz", "volume", _IMPERIAL_GALLON_ML / 160, 0.0, ("imperial fl oz", "uk fl oz", "imperial fluid ounce")),
    Unit("metric_cup", "volume", 250.0, 0.0, ("metric cup", "metric cups")),
    Unit("metric_tbsp", "volume", 15.0, 0.0, ("metric tbsp", "metric tablespoon", "metric tablespoons")),
    Unit("metric_tsp", "volume", 5.0, 0.0, ("metric tsp", "metric teaspoon", "metric teaspoons")),
    Unit("mg", "mass", 0.001, 0.0, ("milligram", "milligrams")),
    Unit("g", "mass", 1.0, 0.0, ("gram", "grams", "gramme", "grammes")),
    Unit("kg", "mass", 1000.0, 0.0, ("kilo", "kilos", "kilogram", "kilograms")),
    Unit("lb", "mass", _POUND_G, 0.0, ("lbs", "pound", "pounds")),
    Unit("oz", "mass", _POUND_G / 16, 0.0, ("ounce", "ounces")),
    Unit("min", "time", 1 / 1440, 0.0, ("minute", "minutes", "mins")),
    Unit("h", "time", 1 / 24, 0.0, ("hour", "hours", "hr", "hrs")),
    Unit("d", "time", 1.0, 0.0, ("day", "days")),
    Unit("wk", "time", 7.0, 0.0, ("week", "weeks")),
    Unit("month", "time", 365.25 / 12, 0.0, ("months",)),
    Unit("yr", "time", 365.25, 0.0, ("year", "years")),
    Unit("ppm", "concentration", 1.0, 0.0, ("parts per million", "mg/l")),
    Unit("pct", "concentration", 10_000.0, 0.0, ("%", "percent", "per cent")),
    Unit("g/l", "concentration", 1000.0, 0.0, ("grams per litre", "grams per liter")),
)  # fmt: skip

_BY_NAME: dict[str, Unit] = {unit.name: unit for unit in UNITS}
_BY_WORD: dict[str, Unit] = {word: unit for unit in UNITS for word in (unit.name.lower(), *unit.aliases)}


def unit(name: str) -> Unit:
    """The unit of that name or spelling. A bare 'gallon', 'pint' or 'fl oz' is the US one: ask if it matters."""
    found = _BY_NAME.get(name) or _BY_WORD.get(name.strip().lower())
    if found is None:
        raise OutOfRange(f"I don't know the unit '{name}'.")
    return found


def convert(value: float, frm: str, to: str) -> float:
    """Convert a number between two units of one dimension.

    Parameters
    ----------
    value : float
        In `frm`.
    frm, to : str
        Unit names or spellings, e.g. 'degF', 'us_gal', 'inches'.

    Returns
    -------
    float
        In `to`.

    Raises
    ------
    OutOfRange
        For an unknown unit or two units that measure different things.
    """
    a, b = _pair(frm, to)
    if a is b:
        return finite(value, "amount")
    return (finite(value, "amount") * a.factor + a.offset - b.offset) / b.factor


def convert_difference(value: float, frm: str, to: str) -> float:
    """Convert a difference, such as 'ten degrees warmer': the zero point does not count."""
    a, b = _pair(frm, to)
    return finite(value, "amount") * a.factor / b.factor


def convert_estimate(value: Estimate, frm: str, to: str) -> Estimate:
    """Convert all three numbers of an Estimate."""
    return ordered(*(convert(x, frm, to) for x in value))


def _pair(frm: str, to: str) -> tuple[Unit, Unit]:
    a, b = unit(frm), unit(to)
    if a.dimension != b.dimension:
        raise OutOfRange(f"I can't turn {a.dimension} ({frm}) into {b.dimension} ({to}).")
    return a, b
