"""Numbers: any unit of the same kind, rounding as people round, ranges, and the benefit of the doubt.

A number can often be read in more than one way (degrees without a scale, gallons without a country, "2/3 days").
Every reading is marked and the best mark stands: an answer is never wrong because of its unit.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from assistant.calculators.units import convert
from assistant.drill.item import Number
from assistant.drill.marking.mark import RIGHT, Mark, partly, unread
from assistant.language.numbers import words_to_digits
from assistant.language.quantities import Quantity, find_bare_numbers, find_quantities

# Key unit to (dimension of the quantity reader, its SI unit's worth in the key's unit).
_DIMENSION = {
    "d": ("time", 1.0),
    "h": ("time", 24.0),
    "min": ("time", 1440.0),
    "month": ("time", 12 / 365.25),
    "degC": ("temperature", 1.0),
    "cm": ("length", 1.0),
    "m": ("length", 0.01),
    "ml": ("volume", 1000.0),
    "l": ("volume", 1.0),
    "g": ("mass", 1000.0),
    "kg": ("mass", 1.0),
    "ppm": ("concentration", 1.0),
    "%": ("share", 1.0),
    "g/l": ("dose", 1.0),
    "ml/l": ("dose", 1.0),
}
# Strengths can be said in several ways: (key unit, unit said) to the factor.
_STRENGTHS = {
    ("ppm", "%"): 10_000.0,
    ("ppm", "g/l"): 1000.0,
    ("%", "g/l"): 0.1,
    ("%", "ppm"): 1e-4,
    ("g/l", "%"): 10.0,
    ("g/l", "ppm"): 0.001,
    ("ml/l", "%"): 10.0,
    ("%", "ml/l"): 0.1,
}
_OTHER_MEASURE = {
    "us_gal": "imp_gal",
    "us_qt": "imp_qt",
    "us_pt": "imp_pt",
    "us_fl_oz": "imp_fl_oz",
    "us_cup": "metric_cup",
    "us_tbsp": "metric_tbsp",
    "us_tsp": "metric_tsp",
    "imp_gal": "us_gal",
    "imp_pt": "us_pt",
}
_COARSE = {"wk", "fortnight", "month", "yr"}
_SPOKEN_COUNTS = {
    "fives": 5,
    "sixes": 6,
    "eights": 8,
    "tens": 10,
    "twelves": 12,
    "fifteens": 15,
    "twenties": 20,
    "twenty-fives": 25,
    "fifties": 50,
    "hundreds": 100,
}
_COUNT_WORDS = {
    "bunches": r"(?:full |whole |more )?(?:bunch(?:es)?|bundles?|bns?|packs?|wraps?)",
    "stems": r"(?:stems?|flowers?|pieces?|blooms?|heads?|branches|leaves)",
}
_RESULT_COMES = r"=|->|→|=>|\b(?:so|therefore|hence|makes|total(?:s|ling)?|answer(?: is|:)?|comes to|gives|equals)\b"
_PLAIN = r"-?\d+(?:[.,]\d+)?"
# Share of the nearest end within which a number is near enough for half the credit, and the same for temperatures.
_NEAR, _NEAR_DEGC = 0.2, 2.5
# Share of a range that must lie inside the handbook's to be right.
_INSIDE = 0.75
# "An hour" is one hour; "a litre" is one litre only if nothing stands before it ("grams a litre").
_ALONE = "hour|minute|week|day|month|year|fortnight|metre|meter|foot|inch"
_BY_THE = "litre|liter|gallon|pint|quart|cup|kilo|gram"


@dataclass(frozen=True, slots=True)
class _Reading:
    """A number as understood, in the key's unit; `extra` is the rounding its own unit brings."""

    low: float
    high: float
    extra: float = 0.0


def mark_number(key: Number, normal: str) -> Mark:
    """Marks normalised text against a number."""
    text = _prepared(normal, key)
    # "2/3 days" is two thirds of a day or two to three days, as whoever writes it has it.
    spread = re.sub(
        r"\b([2-8])/([3-9])\b", lambda m: f"{m[1]} to {m[2]}" if int(m[2]) == int(m[1]) + 1 else m[0], normal
    )
    texts = (text, _prepared(spread, key)) if spread != normal else (text,)
    marks = [_judge(key, reading) for variant in texts for reading in _readings(key, variant)]
    if not marks:
        other = next((q.dimension for q in find_quantities(text) if key.unit in _DIMENSION), None)
        if other:
            return unread(f"that is a {other}, and the question asks for {_words(key.unit)}")
        return unread("I found no number in that")
    return max(marks, key=lambda m: m.credit)


def _words(unit: str) -> str:
    return {
        "d": "days",
        "h": "hours",
        "min": "minutes",
        "month": "months",
        "degC": "a temperature",
        "%": "per cent",
        "l": "litres",
        "ppm": "ppm",
    }.get(unit, unit)


def _prepared(normal: str, key: Number) -> str:
    """The text with spoken numbers as digits and the working before the result cut off."""
    text = re.sub(r"\bjust above freezing\b", "1 c", normal)
    text = re.sub(
        r"(?<=\d) ?-?ish\b|\b(?:roughly|about|around|approx\w*|circa|ca|some|nearly|almost|maybe|say)\b\.?|~", "", text
    )
    text = re.sub(r"(?<=\d) (?=\d{3}\b)", "", text) if key.high >= 1000 else text
    if key.unit in ("stems", "bunches"):
        text = re.sub(r"\b(?:a )?half (?:a )?dozen\b", "6", text)
        text = re.sub(r"\ba dozen\b|\b(?<!\d )dozen\b", "12", text)
        for word, number in sorted(_SPOKEN_COUNTS.items(), key=lambda pair: -len(pair[0])):
            text = re.sub(rf"\b{word}\b", str(number), text)
    text = re.sub(r"\bhalf (?:of )?an? (?=(?:imperial|uk|us|british|fluid)\b)", "0.5 ", text)
    text = words_to_digits(text)
    text = re.sub(r"\bone\b", "1", text)
    text = re.sub(rf"\ban? (?=(?:{_ALONE})\b)|(?<![a-z] )\ban? (?=(?:{_BY_THE}))", "1 ", text)
    text = re.sub(r"\b(?:minus|negative) (?=\.?\d)", "-", text)
    text = re.sub(r"(?<=\d) ?(?:till|until|up to|through|thru) ?(?=-?\d)", " to ", text)
    text = re.sub(r"(?<=\d) ?- ?(?=\d)", "-", text)
    text = re.sub(r"\bbetween (.+?) and ", r"\1 to ", text)
    text = re.sub(r"\b(\d+) (\d+)(?= ?(?:d|h|wk|week|month|hour|min|cm|c|f|°)\w*)", r"\1 to \2", text)
    return text if _named(key, text) else _result(text)


def _result(text: str) -> str:
    """What stands after the working: "48/0.95 = 50.5, so 6" is 6."""
    tail = re.split(_RESULT_COMES, text)
    return next((part for part in reversed(tail) if re.search(r"\d", part)), text).strip()


def _named(key: Number, text: str) -> list[float]:
    """The numbers that stand beside the word for what is counted: "9 bunches for 10 × 9 = 90 stems" is 9 bunches."""
    words = _COUNT_WORDS.get(key.unit)
    if words is None:
        return []
    found = re.findall(rf"(?:(\d+(?:\.\d+)?) ?(?:-|to|or|and) ?)?(\d+(?:\.\d+)?) {words}\b", text)
    return [float(number) for pair in found for number in pair if number]


def _decimal(text: str) -> str:
    """The text with "2 1/4" and "1/2" as decimals."""

    def value(match: re.Match[str]) -> str:
        return f"{int(match[1] or 0) + int(match[2]) / int(match[3]):g}"

    return re.sub(r"(?:\b(\d+) )?\b([1-9])/([2-9])\b", value, text)


def _readings(key: Number, text: str) -> Iterator[_Reading]:
    read = _measured if key.unit in _DIMENSION else _counted
    yield from read(key, _decimal(text))


def _counted(key: Number, text: str) -> Iterator[_Reading]:
    if key.unit == "money":
        text = re.sub(r"[$€£¥]|\b(?:usd|eur|gbp|euros?|dollars?|pounds?|quid|bucks)\b", " ", text)
        cents = re.search(rf"({_PLAIN}) ?(?:p|c|ct|cts|cents?|pence)\b", text)
        if cents:
            amount = float(cents[1].replace(",", ".")) / 100
            yield _Reading(amount, amount)
            return
    named = _named(key, text)
    if named:
        yield _Reading(min(named), max(named))
        return
    for number in find_bare_numbers(text, [])[:1]:
        yield _Reading(number.low, number.high)


def _measured(key: Number, text: str) -> Iterator[_Reading]:
    found = list(_negative_span(text)) or find_quantities(text)
    readings = [r for q in found for r in _in_key_unit(key, q)]
    yield from readings[:6]
    if found:
        return
    for number in find_bare_numbers(text, [])[:1]:
        yield _Reading(number.low, number.high)
        if key.unit == "degC":
            low, high = convert(number.low, "degF", "degC"), convert(number.high, "degF", "degC")
            yield _Reading(low, high)


def _negative_span(text: str) -> Iterator[Quantity]:
    """Ranges that cross or lie below zero, which the general reader takes for two numbers."""
    pattern = rf"({_PLAIN})(?P<first>[^\d-]*?) ?(?:to|and|or|/|-) ?({_PLAIN})(?P<rest>[^\d]*)"
    for match in re.finditer(pattern, text):
        if not (match[1].startswith("-") or match[3].startswith("-")):
            continue
        unit = match["rest"].strip() or match["first"].strip() or "degrees"
        ends = [q for end in (match[1], match[3]) for q in find_quantities(f"{end} {unit}")[:1]]
        if len(ends) == 2:
            low, high = sorted((ends[0].low, ends[1].low))
            yield Quantity(low, high, ends[1].unit, ends[1].dimension, match.start(), match.end(), match[0])


def _in_key_unit(key: Number, quantity: Quantity) -> Iterator[_Reading]:
    dimension, worth = _DIMENSION[key.unit]
    if (key.unit, quantity.unit) in _STRENGTHS:
        factor = _STRENGTHS[key.unit, quantity.unit]
        yield _Reading(quantity.low * factor, quantity.high * factor)
        return
    if quantity.dimension != dimension or (dimension == "dose" and quantity.unit != key.unit):
        return
    low, high = quantity.low * worth, quantity.high * worth
    if quantity.unit == "degree":
        yield _Reading(low, high)
        yield _Reading(convert(low, "degF", "degC"), convert(high, "degF", "degC"))
        return
    yield _Reading(low, high, _rounding(key, quantity, low))
    other = _OTHER_MEASURE.get(quantity.unit)
    if other:
        ratio = convert(1, other, "l") / convert(1, quantity.unit, "l")
        yield _Reading(low * ratio, high * ratio, _rounding(key, quantity, low) * ratio)


def _rounding(key: Number, quantity: Quantity, value: float) -> float:
    """Half the last place of a number given in a unit other than the key's; a quarter where the unit is coarse."""
    number = re.search(r"\d+(?:[.,](\d+))?", quantity.said)
    typed = float(number[0].replace(",", ".")) if number else 0.0
    if quantity.unit == key.unit or not typed or quantity.dimension == "temperature":
        return 0.28 if quantity.unit == "degF" else 0.0
    step = abs(value) / typed / 10 ** len(number[1] or "") if number else 0.0
    coarse = quantity.unit in _COARSE and key.unit != "month"
    return min(0.25 * step, 0.25 * key.high) if coarse else min(0.5 * step, 0.05 * abs(key.high))


def _judge(key: Number, reading: _Reading) -> Mark:
    if key.whole:
        return _judge_count(key, reading)
    # A share of a temperature means nothing: its zero is a convention.
    rel = 0.0 if key.unit == "degC" else key.rel
    low = key.low - max(key.slack, rel * abs(key.low)) - reading.extra
    high = key.high + max(key.slack, rel * abs(key.high)) + reading.extra
    a, b = reading.low, reading.high
    if low <= a and b <= high:
        return RIGHT
    overlap = min(b, high) - max(a, low)
    if a < b and overlap >= 0:
        if overlap >= _INSIDE * (b - a):
            return RIGHT
        if b - a <= 3 * (high - low):
            return partly(0.5, "your range reaches into the handbook's, and beyond it")
        return partly(0.25, "that range is too wide to be of use")
    middle = (a + b) / 2
    if middle < low:
        near = _NEAR_DEGC if key.unit == "degC" else _NEAR * abs(key.low)
        distance, side = low - middle, "too low"
    else:
        near = _NEAR_DEGC if key.unit == "degC" else _NEAR * abs(key.high)
        distance, side = middle - high, "too high"
    return partly(0.5, f"near, but {side}") if distance <= near else Mark("wrong", 0.0, side)


def _judge_count(key: Number, reading: _Reading) -> Mark:
    if key.low <= reading.low and reading.high <= key.high:
        return RIGHT
    if reading.low < reading.high:
        overlaps = reading.low <= key.high and key.low <= reading.high
        return partly(0.5, "it is one of those, but not all of them") if overlaps else Mark("wrong", 0.0)
    off = min(abs(reading.low - key.low), abs(reading.low - key.high))
    if off == 1 and key.high >= 4:
        return partly(0.5, "one off")
    return Mark("wrong", 0.0, "too few" if reading.low < key.low else "too many")
