"""Doses, strengths and ratios of what goes into water, as a label or a recipe puts them.

A label's dose is read as so much for a litre; its unit is `ml/l`, `g/l` or, where the label counts sachets or caps,
`sachets/l`. Kitchen spoons are the nominal metric ones, quarts and gallons US (handbook44).
"""

from __future__ import annotations

import re

from assistant.calculators.units import convert
from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Reading

_NUMBER = r"\d+(?:\.\d+)?"
_MILLILITRES = r"ml|mils?|millilit(?:re|er)s?"
_GRAMS = r"gr?|grams?|grammes?"
_SPOONS = r"teaspoons?|tsps?|tablespoons?|tbsps?|(?:fl(?:uid)?\.? ?)?(?:oz|ounces?)"
_ML_OF = {"teaspoon": "metric_tsp", "tablespoon": "metric_tbsp", "fluid ounce": "us_fl_oz"}
_AMOUNT = (
    rf"(?P<amount>{_NUMBER}|(?:half )?(?:an?|one|1)(?= (?:{_SPOONS}))) ?(?P<unit>{_MILLILITRES}|{_GRAMS}|{_SPOONS})"
)
# Up to five words may stand between ("10 g of the pink powder per litre"), but no other measure.
_WORDS = r"(?:(?!and\b|of water|l\b|lit(?:re|er)s?\b|gal(?:lon)?s?\b)[a-z]+ ){0,5}?"
_VERBS = r"does|do|will do|makes|treats|covers|goes|is for|are for|is enough for|is good for"
_INTO = rf"(?:per|in|for|to|every|into|each|a|(?:and )?(?:it )?(?:{_VERBS})) (?:(?:each|every|a|an|to|for|the|in) )*"
_WATER = (
    rf"(?P<base>{_NUMBER}|a|one|each)? ?"
    r"(?P<of>l|lit(?:re|er)s?|mls?|mils?|millilit(?:re|er)s?|us pints?|pints?|quarts?|qts?|gal(?:lon)?s?)\b"
)
_DOSE = re.compile(rf"{_AMOUNT} {_WORDS}{_INTO}{_WATER}")
# "One sachet does half a litre", "2 caps to 5 litres": the label counts what it is sold in.
_PACKETS = r"(?P<unit>sachet|packet|cap|capful|scoop|measure|pump|tablet|stick|pod)"
_COUNTED = re.compile(
    rf"(?P<amount>{_NUMBER}|a|an|one|each|every|per) {_PACKETS}(?:s|ful|fuls)? "
    rf"(?:of (?:[a-z]+ ){{1,4}})?(?:per|to|for|every|{_VERBS}) (?:(?:each|every|a|for|the) )*{_WATER}|"
    rf"\b{_PACKETS.replace('unit', 'only')} (?:of (?:[a-z]+ ){{1,4}})?(?:{_VERBS}) {_WATER.replace('<base>', '<base2>').replace('<of>', '<of2>')}"
)
_LABELLED = re.compile(r"\b(?:food|feed|label|says|dose|powder|concentrate|preservative)\b")
_MILLIGRAMS = re.compile(
    rf"({_NUMBER}) ?(?:mg|milligrams?|milligrammes?) (?:[a-z]+ ){{0,4}}?(?:per|in|to|for|a) "
    r"(?:(?:each|every|a|one|the|1) )*lit(?:re|er)"
)
# A bleach's strength without its sign: "5.25 bleach".
_BLEACH_STRENGTH = re.compile(r"(?<![\d.])(\d{1,2}(?:\.\d+)?) ?(?:household )?(?:bleach)\b(?! to)")

_MIXED = re.compile(
    r"\b(?:dilut\w*|mix\w*|bleach|ratio|parts?|glycerin\w*|solution|vinegar|food|feed|concentrate)\b|\bequal\b"
)
_OF_IT = r"(?:(?:of|the|white|household|flower|plant) )*[a-z]+"
_RATIOS: tuple[re.Pattern[str], ...] = (
    re.compile(rf"\b1 ?(?::|to|in|part (?:[a-z]+ ){{0,4}}(?:to|in|and|with)) ?({_NUMBER})\b(?: parts)?"),
    re.compile(rf"\b1 (?:part )?{_OF_IT} (?:to|in|and|with) ({_NUMBER}) (?:parts? )?(?:of )?(?:\w+ )?water\b"),
    re.compile(
        rf"\b({_NUMBER}) parts? (?:of )?(?:\w+ )?water(?: to| and| with| per|,)? (?:each |every )?(?:1|one|a)\b"
    ),
    re.compile(rf"\bwater to [a-z]+,? ({_NUMBER}) ?(?::|to) ?1\b"),
)
_EVEN = re.compile(r"\bequal (?:parts|amounts|measures)\b|\bhalf and half\b|\b50 ?[/:-] ?50\b")


def doses(text: str, taken: Taken) -> Claims:
    """A label's dose ("20 ml per 2 litres"), milligrams a litre and a bleach's strength without its sign."""
    grams = _MILLIGRAMS.search(text)
    if grams:
        value = float(grams[1])
        yield Claim("concentration", Reading(value, "mg/l", value, value, grams[0]), grams.span())
    for match in _DOSE.finditer(text):
        dose = _label_dose(match, text)
        if dose is not None:
            yield Claim("label_dose", dose, match.span())
    for match in _COUNTED.finditer(text):
        water = _litres(match["base"] or match["base2"], match["of"] or match["of2"])
        if not taken(*match.span()) and water > 0:
            share = _count(match["amount"] or "one") / water
            unit = f"{match['unit'] or match['only']}s/l"
            yield Claim("label_dose", Reading(share, unit, share, share, match[0]), match.span())
    for match in _BLEACH_STRENGTH.finditer(text):
        value = float(match[1])
        if "." in match[1] and not taken(*match.span()):
            yield Claim("strength", Reading(value, "%", value, value, match[0]), (match.start(), match.end(1)))


def impossible_dose(text: str) -> str | None:
    """What is wrong with a dose below zero, in words for the reply."""
    wrong = next((m for m in _DOSE.finditer(text) if text[max(0, m.start() - 1) : m.start()] == "-"), None)
    return f"-{wrong[0]} is no dose; give an amount above zero." if wrong else None


def _count(said: str) -> float:
    return float(said) if said[0].isdigit() else 0.5 if said.startswith("half") else 1.0


def _litres(said: str | None, of: str) -> float:
    """The water a dose is for. [l]"""
    base = _count(said) if said else 1.0
    unit = of.removeprefix("us ")
    name = "ml" if unit.startswith("m") else {"p": "us_pt", "q": "us_qt", "g": "us_gal"}.get(unit[0], "l")
    return convert(base, name, "l") if base else 0.0


def _label_dose(match: re.Match[str], text: str) -> Reading | None:
    """The dose a litre; None where the amount is of bleach or of the water itself."""
    after = text[match.end() :]
    litres = _litres(match["base"], match["of"])
    unit = match["unit"]
    liquid = unit.startswith("fl") or re.search(r"\bliquid\b|\bconcentrate\b", text) is not None
    ounces = re.fullmatch(r"oz|ounces?", unit) is not None and not liquid
    by_weight = ounces or re.fullmatch(_GRAMS, unit) is not None
    labelled = re.search(r"\b(?:every|each|per)\b", match[0]) or _LABELLED.search(text)
    of_bleach = re.match(r"\W*(?:of )?(?:bleach|water)\b", after) and not labelled
    if of_bleach or litres <= 0 or re.match(r"\W*per\b", after):
        return None
    if not by_weight and re.search(r"\bbleach\b", text) and not re.search(r"\bfood\b", text):
        return None
    each, assumed = (convert(1.0, "oz", "g") if ounces else 1.0), ""
    if not by_weight and not re.fullmatch(_MILLILITRES, unit):
        spoon = "tablespoon" if unit.startswith(("tab", "tb")) else "teaspoon" if unit[0] == "t" else "fluid ounce"
        each = convert(1.0, _ML_OF[spoon], "ml")
        assumed = f"a {spoon} taken as {each:.3g} ml"
    dose = _count(match["amount"]) * each / litres
    return Reading(dose, "g/l" if by_weight else "ml/l", dose, dose, match[0], assumed)


def parts(text: str) -> Claims:
    """A mix given as parts, as parts of water to one of the agent: "1 to 10", "1:9", "4 parts water to 1", "half and half"."""
    if not _MIXED.search(text):
        return
    even = _EVEN.search(text)
    if even:
        yield Claim("parts", Reading(1.0, "parts", said=even[0]), even.span())
        return
    ratio = next((match for pattern in _RATIOS if (match := pattern.search(text))), None)
    if ratio:
        yield Claim("parts", Reading(float(ratio[1]), "parts", said=ratio[0]), ratio.span())
