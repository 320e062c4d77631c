"""Numbers with units in text, converted to SI.

Expects normalised text with number words already turned to digits. Each find gives its span so that later
recognisers don't read the same digits twice.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from assistant.calculators.units import convert

_NUMBER = r"(?:(?<![\w.])-|(?<![\w.-]))(?:\d{1,3}(?:,\d{3})+|\d+)(?:[.,]\d+)?|(?<![\w.])\.\d+"
_JOIN = r" ?(?:-|to|and|or|/) ?"

# Unit words, by the unit's name in assistant.calculators.units. Order matters: longer words first.
_WORDS: tuple[tuple[str, str], ...] = (
    ("degC", r"in (?:celsius|centigrade)\b|°? ?c(?:elsius|entigrade)?\b|deg(?:ree)?s? ?c(?:elsius|entigrade)?\b|celsius|centigrade"),
    ("degF", r"in fahrenheit\b|°? ?f(?:ahrenheit)?\b|deg(?:ree)?s? ?f(?:ahrenheit)?\b|fahrenheit"),
    ("K", r"kelvins?\b|k\b(?! (?:stems|roses|a\b))"),
    ("degree", r"°|deg(?:ree)?s?\b"),
    ("ppm", r"ppm\b|mg ?/ ?l\b|mg per lit(?:re|er)|milligrams? per lit(?:re|er)|parts per million"),
    ("g/l", r"g(?:r|rams?|rammes?)?(?: ?(?:/|per) ?| (?:a|to the|to a) )l(?:it(?:re|er)s?)?\b"),
    ("ml/l", r"(?:mls?|mils?|millilit(?:re|er)s?)(?: ?(?:/|per) ?| (?:a|to the|to a) )l(?:it(?:re|er)s?)?\b"),
    ("%", r"%|per ?cent\b"),
    ("us_fl_oz", r"(?:us )?fl(?:uid)?\.? ?(?:oz|ounces?)\b"),
    ("ml", r"ml\b|mls\b|mils?\b|millilit(?:re|er)s?\b|cc\b"),
    ("cl", r"cl\b|centilit(?:re|er)s?\b"),
    ("l", r"l\b|lit(?:re|er)s?\b|ltrs?\b"),
    ("imp_gal", r"(?:imperial|imp|uk|british) gal(?:lon)?s?\b"),
    ("us_gal", r"(?:us )?gal(?:lon)?s?\b"),
    ("us_qt", r"(?:us )?quarts?\b|qts?\b"),
    ("imp_pt", r"(?:imperial|uk|british) pints?\b"),
    ("us_pt", r"(?:us )?pints?\b|pts?\b"),
    ("us_cup", r"cups?\b"),
    ("us_tbsp", r"tbsps?\b|tablespoons?\b"),
    ("us_tsp", r"tsps?\b|teaspoons?\b"),
    ("kg", r"kgs?\b|kilos?\b|kilogram(?:me)?s?\b"),
    ("g", r"gr?\b|grams?\b|grammes?\b"),
    ("lb", r"lbs?\b|pounds?\b"),
    ("oz", r"oz\b|ounces?\b"),
    ("cm", r"cms?\b|centimet(?:re|er)s?\b"),
    ("mm", r"mms?\b|millimet(?:re|er)s?\b"),
    ("m", r"m\b|met(?:re|er)s?\b"),
    ("in", r"inch(?:es)?\b|\"|in\b(?! (?:(?:width|length|depth|height|diameter|breadth|number|one|the|a|an|my|our|your|her|his|their|this|that|foam|water|food|it|them|there|here|total|all|each|every|stock|season|"
           r"shop|store|fridge|cooler|window|hall|church|room|workroom|bucket|jar|marquee|tent|sun|sunshine|shade|office|lobby|van|"
           r"house|kitchen|heat|summer|winter|spring|autumn|reception|"
           r"(?:mon|tues|wednes|thurs|fri|satur|sun)day|ten|twenties|bunch|bunche|plain|warm|cold|cool|direct|full|front|vase)s?\b|\d|"
           r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)))"),
    ("ft", r"f(?:oo|ee)t\b|ft\b|'(?! ?s\b)(?!\w)"),
    ("h", r"hours?\b|hrs?\b|h\b"),
    ("min", r"min(?:ute)?s?\b"),
    ("d", r"days?\b|d\b|nights?\b"),
    ("wk", r"weeks?\b|wks?\b|w\b"),
    ("fortnight", r"fortnights?\b"),
    ("month", r"months?\b"),
    ("yr", r"years?\b|yrs?\b"),
)  # fmt: skip
_UNIT = "|".join(f"(?P<u{index}>{pattern})" for index, (_, pattern) in enumerate(_WORDS))
_QUANTITY = re.compile(
    rf"(?P<low>{_NUMBER})(?:(?: ?(?:°|deg(?:ree)?s?\b|c\b|f\b|cm\b|days?\b|weeks?\b)?){_JOIN}(?P<high>(?:\d[\d,]*(?:\.\d+)?)))?[ -]?(?:(?:more|extra|further|additional|whole|full|solid|clear) (?=(?:hour|day|night|week|month)s?\b))?(?:{_UNIT})"
)
_OWN_UNIT = re.compile(r"(?P<size>[\d.,]+ ?cm\b) and ")
_BETWEEN = re.compile(r"\b(?:between|from|anywhere|anything) $")
# "I put 17 in": the small word at the end of a clause, where nothing else is in inches, is no unit.
_PUT_IN = re.compile(
    r"\b(?:put(?:ting)?|pour(?:ed|ing)?|tip(?:ped)?|stick|stuck|with|get|getting|have|having|i've|run) (?:about |only |just |say )?$"
)
_INCHES = re.compile(r"\binch(?:es)?\b|\d ?\"|\bfoot\b|\bfeet\b|\d ?ft\b|\d in\b.*\d in\b")
_UNCOUNTED = re.compile(
    r"\b(?:(?:a|an|the|one|1|this|next|per|each|every) (?:whole |full |good )?|(?=fortnight|(?:week|month|day)[- ](?:long|old)))(?!(?<=the )day (?:before|after|of\b|that\b|they\b|we\b|i\b|it\b|he\b|she\b|itself\b))(?P<unit>week|fortnight|month|day|gallon|lit(?:re|er)|pint|quart|cup)\b"
)
# "A year's contract", "half a year"; what happens so often a year names no length.
_A_YEAR = re.compile(
    r"(?<!times )(?<!once )(?<!twice )(?<!often )(?<![\d£$€] )\b(?P<half>half )?(?:a|one|1) (?:whole |full )?year\b(?!-? ?round)"
)
_BARE = re.compile(rf"(?P<low>{_NUMBER})(?:{_JOIN}(?P<high>\d+(?:\.\d+)?))?")

_DIMENSIONS = {
    "temperature": ("degC", "degF", "K", "degree"),
    "concentration": ("ppm",),
    "dose": ("g/l", "ml/l"),
    "share": ("%",),
    "volume": (
        "us_fl_oz",
        "ml",
        "cl",
        "l",
        "imp_gal",
        "us_gal",
        "us_qt",
        "imp_pt",
        "us_pt",
        "us_cup",
        "us_tbsp",
        "us_tsp",
    ),
    "mass": ("kg", "g", "lb", "oz"),
    "length": ("cm", "mm", "m", "in", "ft"),
    "time": ("h", "min", "d", "wk", "fortnight", "month", "yr"),
}
_DIMENSION_OF = {unit: dimension for dimension, units in _DIMENSIONS.items() for unit in units}
_UNIT_OF_WORD = {
    "day": "d", "week": "wk", "litre": "l", "gallon": "us_gal", "pint": "us_pt", "quart": "us_qt", "cup": "us_cup",
}  # fmt: skip
_SI = {"temperature": "degC", "volume": "l", "mass": "kg", "length": "cm", "time": "d", "concentration": "ppm"}
US_UNITS = frozenset({"degF", "us_fl_oz", "us_gal", "us_qt", "us_pt", "us_cup", "in", "ft", "lb", "oz"})
METRIC_UNITS = frozenset({"degC", "ml", "cl", "l", "cm", "mm", "m", "kg", "g"})


# "In gallons?", "how many pints is that": the units wanted, as against those a size is given in.
_US_WORDS = r"gallons?|gals?|pints?|quarts?|fl(?:uid)? ?(?:oz|ounces?)|ounces|inches|feet|fahrenheit"
_METRIC_WORDS = r"lit(?:re|er)s?|mls?|millilit(?:re|er)s|cm|centimet(?:re|er)s|celsius|centigrade|metric|grams?"
_ASKED_IN = (
    re.compile(
        rf"(?:^\W*|\b(?:what(?:'?s| is| would)?|how much|how many|and|or|that|it|same|convert|put|give|say)\b[^.?!\d]{{0,24}} )"
        rf"(?:in|into|to) (?:us )?(?:(?P<us>{_US_WORDS})|{_METRIC_WORDS})(?=\W*$|[?.,;!]| (?:please|then|instead|now|is|would|for me)\b)"
    ),
    re.compile(
        rf"\bhow many (?:us )?(?:(?P<us>{_US_WORDS})|{_METRIC_WORDS}) (?:is|are|would|does|do|will|of water|to|for|in)\b"
    ),
)


def asked_in_us_units(text: str) -> bool | None:
    """Does a message ask for its figure in US units (True) or metric ones (False)? None where it asks for neither."""
    match = next((found for pattern in _ASKED_IN if (found := pattern.search(text))), None)
    return None if match is None else bool(match["us"])


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number read from text. `low`/`high` in SI (degC, d, cm, l, kg, mg/l, %); `degree` stays as typed."""

    low: float
    high: float
    unit: str
    dimension: str
    start: int
    end: int
    said: str


def to_number(text: str) -> float:
    """`"1,000"` is a thousand; `"2,5"` is two and a half."""
    if re.fullmatch(r"-?\d+,\d{1,2}", text):
        text = text.replace(",", ".")
    return float(text.replace(",", ""))


def to_si(value: float, unit: str) -> float:
    """A number in the unit the JSON contract uses for its dimension (degC, cm, l, kg, d, mg/l)."""
    if unit == "fortnight":
        return value * 14
    si = _SI.get(_DIMENSION_OF[unit])
    return convert(value, unit, si) if si else value


def find_quantities(text: str) -> list[Quantity]:
    """All numbers with a unit, left to right."""
    out: list[Quantity] = []
    for match in _QUANTITY.finditer(text):
        index = next(i for i in range(len(_WORDS)) if match[f"u{i}"] is not None)
        unit = _WORDS[index][0]
        if unit == "in" and _PUT_IN.search(text[: match.start()]) and _is_particle(match, text):
            continue
        own = _OWN_UNIT.match(match[0]) if match["high"] and not _BETWEEN.search(text[: match.start()]) else None
        if own is not None:  # "10 cm and 20 cm of depth": two sizes, no range
            value, end = to_number(match["low"]), match.start() + own.end("size")
            out.append(Quantity(value, value, "cm", "length", match.start(), end, own["size"]))
            value = to_si(to_number(match["high"]), unit)
            said = text[match.start("high") : match.end()]
            out.append(Quantity(value, value, unit, _DIMENSION_OF[unit], match.start("high"), match.end(), said))
            continue
        out.append(_quantity(match, unit, match["low"], match["high"]))
    for match in _UNCOUNTED.finditer(text):
        if not any(q.start <= match.start() < q.end or q.start < match.end() <= q.end for q in out):
            word = match["unit"].replace("liter", "litre")
            unit = _UNIT_OF_WORD.get(word, word)
            out.append(_quantity(match, unit, "1", None))
    for match in _A_YEAR.finditer(text):
        days = to_si(0.5 if match["half"] else 1.0, "yr")
        out.append(Quantity(days, days, "yr", "time", match.start(), match.end(), match[0]))
    return sorted(out, key=lambda q: q.start)


def _is_particle(match: re.Match[str], text: str) -> bool:
    ends = re.match(r"\W*(?:$|[,.;?!]|then\b|and\b|now\b|instead\b)", text[match.end() :])
    return match[0].endswith(" in") and ends is not None and not _INCHES.search(text)


def find_bare_numbers(text: str, taken: list[tuple[int, int]]) -> list[Quantity]:
    """Numbers that no recogniser has claimed yet."""
    out = []
    for match in _BARE.finditer(text):
        if any(start < match.end() and match.start() < end for start, end in taken):
            # "At £38 and 2 boxes", "make it 90 and 8 %": of two numbers the one not claimed stands alone.
            for name in ("low", "high") if " and " in match[0] else ("high",):
                first, last = match.span(name)
                if match[name] and not any(start < last and first < end for start, end in taken):
                    number = to_number(match[name])
                    out.append(Quantity(number, number, "", "bare", first, last, match[name]))
            continue
        if re.match(r"(?:st|nd|rd|th)\b|/\d|:\d", text[match.end() :]) or re.search(r"\d/$", text[: match.start()]):
            continue
        low = to_number(match["low"])
        high = to_number(match["high"]) if match["high"] else low
        if high < low and " and " in match[0]:  # "three days at 3 and 2 on the bench": no range runs downwards
            for name in ("low", "high"):
                number = to_number(match[name])
                out.append(Quantity(number, number, "", "bare", *match.span(name), match[name]))
            continue
        out.append(Quantity(low, max(low, high), "", "bare", match.start(), match.end(), match[0]))
    return out


def _quantity(match: re.Match[str], unit: str, low: str, high: str | None) -> Quantity:
    start = match.start()
    counted_down = high is not None and to_number(high) < to_number(low)
    apart = unit == "%" and not re.search(r"\b(?:between|from) $", match.string[: match.start()])
    if high and (counted_down or apart) and " and " in match[0]:
        # "Bunches of 10 and 8% lost": no range runs downwards; the unit is the second number's.
        start, low, high = match.start("high"), high, None
    first = to_number(low)
    second = to_number(high) if high else first
    dimension = _DIMENSION_OF[unit]
    if unit != "degree":
        first, second = to_si(first, unit), to_si(second, unit)
    if second < first:
        first, second = second, first
    said = match.string[start : match.end()]
    return Quantity(first, second, unit, dimension, start, match.end(), said)
