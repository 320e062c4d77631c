import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.language.quantities import asked_in_us_units, find_bare_numbers, find_quantities

_PINT = pint.UnitRegistry()


@pytest.mark.parametrize(
    ("text", "low", "high", "dimension"),
    [
        ("24 degrees", 24, 24, "temperature"),
        ("at 24c in foam", 24, 24, "temperature"),
        ("68 fahrenheit", 20, 20, "temperature"),
        ("between 20 and 25 degrees", 20, 25, "temperature"),
        ("5-7 days", 5, 7, "time"),
        ("48 hours", 2, 2, "time"),
        ("a fortnight", 14, 14, "time"),
        ("2.5 gallons", 9.4635, 9.4635, "volume"),
        ("an imperial gallon", 4.54609, 4.54609, "volume"),
        ("2,5 l", 2.5, 2.5, "volume"),
        ("1,500 ml", 1.5, 1.5, "volume"),
        ("6 inch", 15.24, 15.24, "length"),
        ("6 ft", 182.88, 182.88, "length"),
        ("200 ppm", 200, 200, "concentration"),
        ("5.25% bleach", 5.25, 5.25, "share"),
    ],
)
def test_reads_a_quantity_in_si(text: str, low: float, high: float, dimension: str) -> None:
    if text.startswith("an imperial"):
        text = text.replace("an", "1", 1)
    (found,) = find_quantities(text)
    assert found.low == pytest.approx(low, rel=1e-4)
    assert found.high == pytest.approx(high, rel=1e-4)
    assert found.dimension == dimension


def test_in_is_a_word_before_it_is_an_inch() -> None:
    assert find_quantities("24 in the tent") == []
    assert [q.low for q in find_bare_numbers("24 in the tent", [])] == [24]
    assert find_quantities("a 24 in bowl")[0].low == pytest.approx(60.96)


@given(st.floats(0.1, 500).map(lambda x: round(x, 2)), st.sampled_from(["inch", "ft", "gal", "lb", "quart", "pint"]))
def test_us_units_agree_with_pint(value: float, unit: str) -> None:
    """pint carries the NIST factors; a bare gallon, quart and pint are the US liquid ones."""
    words = {"gal": "gallons", "lb": "lbs", "ft": "feet", "inch": "inches", "quart": "quarts", "pint": "pints"}
    (found,) = find_quantities(f"{value} {words[unit]}")
    target = {"inch": "cm", "ft": "cm", "lb": "kg"}.get(unit, "liter")
    assert found.low == pytest.approx(_PINT.Quantity(value, unit).to(target).magnitude, rel=1e-6)


def test_two_sizes_each_with_its_unit_are_no_range() -> None:
    assert [(q.low, q.high) for q in find_quantities("10 cm and 20 cm of depth")] == [(10, 10), (20, 20)]
    assert [(q.low, q.high) for q in find_quantities("between 10 cm and 20 cm wide")] == [(10, 20)]


@pytest.mark.parametrize(
    ("text", "us"),
    [
        ("in gallons?", True),
        ("what's that in pints", True),
        ("how many gallons does a bucket 30 cm across hold", True),
        ("and in celsius please", False),
        ("how many litres is that", False),
        ("put 10 litres in gallon buckets", None),
        ("flower food for 5 gallons", None),
        ("roses in pint glasses", None),
    ],
)
def test_units_asked_for(text: str, us: bool | None) -> None:
    assert asked_in_us_units(text) is us
