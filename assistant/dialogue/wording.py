"""Numbers in words for a person, in the units the person speaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from assistant.calculators.ranges import Estimate
from assistant.calculators.units import convert


def significant(number: float, digits: int = 3) -> str:
    """A number to so many digits, written out whole where it is large: 2.5, 260, "2,600"."""
    short = f"{number:.{digits}g}"
    return f"{float(short):,.0f}" if "e+" in short else short


@dataclass(frozen=True, slots=True)
class Speech:
    """How to say measures: metric unless the person has been speaking US units."""

    us: bool = False

    def temperature(self, degC: float) -> str:  # noqa: N803
        return f"{convert(degC, 'degC', 'degF'):.0f} °F" if self.us else f"{significant(degC)} °C"

    def temperatures(self, low: float, high: float) -> str:
        if low == high:
            return self.temperature(low)
        a, b = (convert(x, "degC", "degF") if self.us else x for x in (low, high))
        unit = "°F" if self.us else "°C"
        joint = " to " if a < 0 or b < 0 else "–"
        return f"{a:.0f}{joint}{b:.0f} {unit}" if self.us else f"{significant(a)}{joint}{significant(b)} {unit}"

    def volume(self, litres: float) -> str:
        if self.us:
            gallons = convert(litres, "l", "us_gal")
            return (
                f"{significant(gallons, 2)} US gal"
                if gallons >= 0.5
                else f"{convert(litres, 'l', 'us_fl_oz'):.0f} US fl oz"
            )
        return f"{significant(litres)} l" if litres >= 1 else f"{litres * 1000:.0f} ml"

    def small_volume(self, ml: float) -> str:
        if self.us:
            spoons = convert(ml, "ml", "us_tsp")
            if spoons < 3:
                return f"{significant(ml)} ml (about {significant(spoons, 2)} tsp)"
            if spoons < 48:
                return f"{significant(ml)} ml (about {significant(spoons / 3, 2)} tbsp)"
            return f"{significant(ml, 4)} ml (about {significant(convert(ml, 'ml', 'us_cup'), 2)} cups)"
        return f"{significant(ml)} ml" if ml < 1000 else f"{significant(ml / 1000)} l"

    def length(self, cm: float) -> str:
        return f"{significant(convert(cm, 'cm', 'in'))} in" if self.us else f"{significant(cm)} cm"

    def mass(self, kg: float) -> str:
        return f"{convert(kg, 'kg', 'lb'):.0f} lb" if self.us else f"{significant(kg, 2)} kg"


def days(value: float) -> str:
    """Days as a person says them: hours below one, halves below three, whole above."""
    if 0 < value < 1:
        hours = max(1, round(value * 24))
        return "1 hour" if hours == 1 else f"{hours} hours"
    shown = round(value * 2) / 2 if value < 3 else round(value)
    return "1 day" if shown == 1 else f"{shown:g} days"


def day_span(estimate: Estimate, *, bare: bool = False) -> str:
    """`(7, 9.4, 12.2)` as "7–12 days"; less than a day is told in hours, whose unit is never left out."""
    if 0 < estimate.high < 1:
        first, last = round(estimate.low * 24), max(1, round(estimate.high * 24))
        return f"{first}–{last} hours" if first != last else "1 hour" if last == 1 else f"{last} hours"
    low, high = (round(x * 2) / 2 if x < 3 else round(x) for x in (estimate.low, estimate.high))
    unit = "" if bare else (" day" if low == high == 1 else " days")
    return f"{low:g}{unit}" if low == high else f"{low:g}–{high:g}{unit}"


def number_span(low: float, high: float, digits: int = 3) -> str:
    a, b = significant(low, digits), significant(high, digits)
    return a if a == b else f"{a}–{b}"


def count(number: float, one: str, many: str | None = None) -> str:
    """`2, "bunch"` as "2 bunches"."""
    plural = many or (one + "es" if one.endswith(("ch", "sh", "s", "x")) else one + "s")
    return f"{number:,.0f} {one if round(number) == 1 else plural}"


def listed(items: Sequence[str], last: str = "and") -> str:
    """A list in words."""
    if len(items) <= 1:
        return "".join(items)
    return f"{', '.join(items[:-1])} {last} {items[-1]}"


def date_words(day: date) -> str:
    return f"{day:%a} {day.day} {day:%B}"


def capital(text: str) -> str:
    return text[:1].upper() + text[1:]
