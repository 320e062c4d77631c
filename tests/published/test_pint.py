"""Every unit of the table against an independent unit library."""

import pint
import pytest

from assistant.calculators.units import UNITS

NAMES = {
    "degC": "degC", "degF": "degF", "K": "kelvin", "in": "inch", "ft": "foot", "yd": "yard", "cm2": "cm**2",
    "m2": "m**2", "ft2": "foot**2", "us_gal": "gallon", "us_qt": "quart", "us_pt": "pint", "us_cup": "cup",
    "us_fl_oz": "fluid_ounce", "us_tbsp": "tablespoon", "us_tsp": "teaspoon", "imp_gal": "imperial_gallon",
    "imp_qt": "imperial_quart", "imp_pt": "imperial_pint", "imp_fl_oz": "imperial_fluid_ounce", "lb": "pound",
    "oz": "ounce", "min": "minute", "h": "hour", "d": "day", "wk": "week", "yr": "year", "month": "month",
}  # fmt: skip
BASE = {"temperature": "degC", "length": "cm", "volume": "ml", "mass": "g", "time": "day", "area": "cm**2"}
OWN = {"metric_cup", "metric_tbsp", "metric_tsp", "ppm", "pct", "g/l"}  # kitchen and strength units it does not have


@pytest.fixture(scope="module")
def registry():
    return pint.UnitRegistry()


@pytest.mark.parametrize("unit", [u for u in UNITS if u.name not in OWN], ids=lambda u: u.name)
def test_unit(unit, registry):
    theirs = registry.Quantity(3.0, NAMES.get(unit.name, unit.name)).to(BASE[unit.dimension]).magnitude
    assert 3.0 * unit.factor + unit.offset == pytest.approx(theirs, rel=1e-9, abs=1e-9)
