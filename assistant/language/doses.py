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
    r"(?P<of>l|lit(?:re|er)s?|mls?|mils?|millilit(?:re|er)s?|us pints?|pints?|quarts?|qts?|(?:us |imperial |imp |uk )?gal(?:lon)?s?)\b"
)
# "6-8 g", "20 or 40 ml": the lesser amount, with its unit or without.
_FROM = rf"(?:(?<![\d.-])(?P<low>{_NUMBER}) ?(?:{_MILLILITRES}|{_GRAMS})? ?(?:-|to|or) ?)?"
_DOSE = re.compile(rf"{_FROM}{_AMOUNT}(?: |, (?=(?:per|to (?:the|each|every)) )){_WORDS}{_INTO}{_WATER}")
# The water first: "1 litre needs 10 grams", "to every litre of water 8 g".
_WATER_FIRST = re.compile(
    rf"(?<![\d.])(?:(?P<base>{_NUMBER})|\b(?:a|one|each|every|per)) ?(?P<of>l|lit(?:re|er)s?|gal(?:lon)?s?) (?:of (?:the )?water )?"
    rf"(?:(?:needs?|takes?|wants?|gets?|calls for|requires?|uses?)(?: about| only)? |(?<=per litre )|(?<=every litre )|(?<=each litre ))"
    rf"(?P<amount>{_NUMBER}) ?(?P<unit>{_MILLILITRES}|{_GRAMS})\b(?! (?:per|a|each|every|to|for) )"
)
# "8 g for each one", of litres spoken of before.
_FOR_EACH = re.compile(
    rf"(?<=\blit[re][re]s\b)(?P<between>[^?]*?)\b{_AMOUNT} {_WORDS}(?:for|to|in|into|per) (?:each|every)"
    r"(?: (?:one|1)(?! [a-z]+s\b)| of (?:them|those|these)|(?=\W*$|[,.;?!]))"
)
# "One sachet does half a litre", "2 caps to 5 litres": the label counts what it is sold in.
_PACKETS = r"(?P<unit>sachet|packet|cap|capful|scoop|measure|pump|tablet|stick|pod)"
_COUNTED = re.compile(
    rf"\b{_PACKETS.replace('unit', 'told')}(?:s|ful|fuls)? (?:(?:says?|reads?|said|is|are|goes?|go|at)(?: use| to use)? )?(?P<amount2>[1-9]) (?:per|to|for|in|into|every) (?:(?:each|every|a|the) )*"
    rf"{_WATER.replace('<base>', '<base3>').replace('<of>', '<of3>')}|"
    rf"(?P<amount>{_NUMBER}|a|an|one|each|every|per) {_PACKETS}(?:s|ful|fuls)? "
    rf"(?:of (?:[a-z]+ ){{1,4}})?(?:per|to|for|every|{_VERBS}) (?:(?:each|every|a|for|the) )*{_WATER}|"
    rf"\b{_PACKETS.replace('unit', 'only')} (?:of (?:[a-z]+ ){{1,4}})?(?:{_VERBS}) {_WATER.replace('<base>', '<base2>').replace('<of>', '<of2>')}"
)
# "Sachets do half a litre each": of each of several.
_EACH_DOES = re.compile(
    rf"\b(?P<unit>sachet|packet|cap|capful|scoop|tablet|stick|pod)s (?:do|make|treat|cover|are (?:good )?for|are enough for|feed) {_WATER} (?:each|apiece|a ?piece)\b"
)
# "5 grams, that's one scoop, treats half a litre": what the amount comes to told in between.
_AMOUNT_DOES = re.compile(
    rf"{_AMOUNT}(?:,| -)? \(?(?:that's|thats|that is|which is|is|or|so)(?: about)? (?:a|one|1|half a) (?:level )?(?:scoop|cap|capful|sachet|spoon|spoonful|measure|packet)\)?,? (?:does|do|makes?|treats?|covers?|feeds?|is (?:good |enough )?for|goes in(?:to)?|to|for|in|per) {_WATER}"
)
# "At 500 parts": of a million, where so many are no ratio.
_PARTS_A_MILLION = re.compile(
    r"\b(?:at|to|of|for|want|need|aim(?:ing)? (?:at|for)|reach) (?P<n>\d{2,5}) parts\b(?! (?:of|to|in|per|water|bleach|glycerin\w*))"
)
# "The capful is 20 ml": what a label counts, measured.
_SCOOP = re.compile(
    rf"\b(?:cap|capful|scoop|scoopful|measure|pump)s? (?:is|are|holds?|of|makes|measures|gives)(?: about)? ({_NUMBER}) ?({_MILLILITRES}|{_GRAMS})\b(?! (?:per|to|in|for|and (?:it )?does|does|makes)\b)"
)
# "Each" is of these where they are spoken of, and not of the litres.
_VESSELS = re.compile(r"\b(?:buckets|pails|bins|tubs|tanks|vases|jars|jugs|urns|bowls|troughs|cylinders)\b")
_LABELLED = re.compile(r"\b(?:food|feed|label|says|dose|powder|concentrate|preservative)\b")
_MILLIGRAMS = re.compile(
    rf"({_NUMBER}) ?(?:mg|milligrams?|milligrammes?) (?:[a-z]+ ){{0,4}}?(?:per|in|to|for|a) "
    r"(?:(?:each|every|a|one|the|1) )*lit(?:re|er)"
)
# A bleach's strength without its sign: "5.25 bleach", "off a 5.25 bottle", "bleach says 8.25", "it's the old bottle, 3.5".
_STRENGTH_ENDS = r"(?![\d.]*\d)(?!:)(?! ?(?:%|per|ppm|l\b|lit|ml|mil|cl|gal|pints?|quarts?|g\b|gram|kg|cm|mm|m\b|in\b|inch|deep|wide|across|tall|high|parts?|to \d|each|a\b|\"))"
_BLEACH_STRENGTH = re.compile(
    r"(?<![\d.])(?P<n>\d{1,2}\.\d+) ?(?:household )?bleach\b(?! to)|"
    r"\b(?:a|an|the|my|our|of|off|from|with|this|that) (?P<n2>\d{1,2}(?:\.\d+)?) (?:bleach )?bottle\b|"
    r"\b(?:bleach|(?:bleach |the |my |our |this |that |old |new |other |cheap |thin |thick )+bottle)(?:'s| is|,| says| reads| it's| only| just| actually| at)* (?P<n3>\d{1,2}(?:\.\d+)?)"
    + _STRENGTH_ENDS
)
# Any amount of what is mixed, and the sign before it; "12 minus 2" and "6-8" are a sum and a range.
_DOSED = re.compile(rf"(?P<amount>{_NUMBER}) ?(?P<unit>{_MILLILITRES}|{_GRAMS}|ppm|parts per million)\b")
_BELOW_ZERO = re.compile(r"(?<!\d)(?<!\d )(?<![a-z])(?:-|(?:minus|negative) )$")
# What tells that a bottle is one of bleach.
_BLEACHED = re.compile(r"\b(?:bleach|ppm|parts per million|chlorine|hypochlorite)\b")
# No household bleach is stronger. [%]
_STRONGEST_BLEACH = 20.0

_MIXED = re.compile(
    r"\b(?:dilut\w*|mix\w*|bleach|ratio|parts?|glycerin\w*|solution|vinegar|food|feed|concentrate|mls?)\b|\bequal\b"
)
_OF_IT = r"(?:(?:of|the|white|household|flower|plant) )*[a-z]+"
_RATIOS: tuple[re.Pattern[str], ...] = (
    re.compile(rf"\b1 ?(?::|to|in|part (?:[a-z]+ ){{0,4}}(?:to|in|and|with)) ?({_NUMBER})\b(?: parts)?"),
    # "Dilute bleach one in ten"; said of stems it would be a loss.
    re.compile(rf"\b(?:dilut\w*|bleach|glycerin\w*|mixed)\b[^.?!\d]{{0,30}}\bone (?:to|in) ({_NUMBER})\b"),
    re.compile(rf"\b1 (?:part )?{_OF_IT} (?:to|in|and|with) ({_NUMBER}) (?:parts? )?(?:of )?(?:\w+ )?water\b"),
    re.compile(rf"\b(?:1|one) parts? {_OF_IT}(?:,| and| to|, and)* ({_NUMBER}) parts? (?:of )?(?:\w+ )?water\b"),
    re.compile(
        rf"\b({_NUMBER}) parts? (?:of )?(?:\w+ )?water(?: to| and| with| per|,)? (?:each |every )?(?:1|one|a)\b"
    ),
    re.compile(rf"\bwater to [a-z]+,? ({_NUMBER}) ?(?::|to) ?1\b"),
    re.compile(rf"\b({_NUMBER}) parts? (?:of )?(?:\w+ )?water\b(?! (?:to|and|with|per)\b)"),
)
_EVEN = re.compile(r"\bequal (?:parts|amounts|measures)\b|\bhalf and half\b|\b50 ?[/:-] ?50\b")


def doses(text: str, taken: Taken) -> Claims:
    """A label's dose ("20 ml per 2 litres"), milligrams a litre and a bleach's strength without its sign."""
    grams = _MILLIGRAMS.search(text)
    if grams:
        value = float(grams[1])
        yield Claim("concentration", Reading(value, "mg/l", value, value, grams[0]), grams.span())
    for pattern in (_AMOUNT_DOES, _DOSE, _WATER_FIRST, _FOR_EACH):
        for match in pattern.finditer(text):
            counted = pattern is _FOR_EACH
            start = match.end("between") if counted else match.start()
            vessels = counted and _VESSELS.search(text)
            dose = None if vessels or taken(start, match.end()) else _label_dose(match, text)
            if dose is not None:
                yield Claim("label_dose", dose, (start, match.end()))
    each_does = _EACH_DOES.search(text)
    if each_does and not taken(*each_does.span()) and (litres := _litres(each_does["base"], each_does["of"])) > 0:
        share, unit = 1 / litres, f"{each_does['unit']}s/l"
        yield Claim("label_dose", Reading(share, unit, share, share, each_does[0]), each_does.span())
    million = _PARTS_A_MILLION.search(text)
    if million and not taken(*million.span()) and not re.search(r"\b1 part\b|\bequal\b", text):
        value = float(million["n"])
        yield Claim("concentration", Reading(value, "mg/l", value, value, million[0]), million.span())
    for match in _COUNTED.finditer(text):
        water = _litres(match["base"] or match["base2"] or match["base3"], match["of"] or match["of2"] or match["of3"])
        if not taken(*match.span()) and water > 0:
            share = _count(match["amount"] or match["amount2"] or "one") / water
            unit = f"{match['unit'] or match['only'] or match['told']}s/l"
            size = _SCOOP.search(text)
            if size is not None and unit.startswith(("cap", "scoop", "measure", "pump")):
                share *= float(size[1])
                unit = "g/l" if re.fullmatch(_GRAMS, size[2]) else "ml/l"
                yield Claim(
                    "label_dose", Reading(share, unit, share, share, f"{size[1]} {size[2]}, {match[0]}"), match.span()
                )
                yield Claim("label_dose", Reading(share, unit, share, share, size[0]), size.span())
                continue
            yield Claim("label_dose", Reading(share, unit, share, share, match[0]), match.span())
    yield from _bleach_strength(text, taken)


def _bleach_strength(text: str, taken: Taken) -> Claims:
    """The per cent on a bottle of bleach, said without its sign; a bottle of anything else has none."""
    for match in _BLEACH_STRENGTH.finditer(text):
        group = next(name for name in ("n", "n2", "n3") if match[name])
        value = float(match[group])
        told = "." in match[group] or re.search(r"\b(?:old|new|other|bleach)\b", match[0])
        of_bleach = _BLEACHED.search(text) or (group == "n3" and told and not text[match.end() :].strip(" .!?"))
        if of_bleach and 0 < value <= _STRONGEST_BLEACH and not taken(*match.span()):
            yield Claim("strength", Reading(value, "%", value, value, match[0]), match.span(group))


def impossible_dose(text: str) -> str | None:
    """What is wrong with a dose below zero, in words for the reply."""
    for pattern in (_DOSE, _WATER_FIRST, _FOR_EACH, _DOSED):
        for match in pattern.finditer(text):
            if _BELOW_ZERO.search(text[: match.start("amount")]):
                said = text[match.start("amount") : match.end("unit")]
                return f"-{said} is no dose; give an amount above zero."
    return None


def _count(said: str) -> float:
    return float(said) if said[0].isdigit() else 0.5 if said.startswith("half") else 1.0


def _litres(said: str | None, of: str) -> float:
    """The water a dose is for. [l]"""
    base = _count(said) if said else 1.0
    if of.startswith(("imp", "uk")):
        return convert(base, "imp_gal", "l")
    unit = of.removeprefix("us ")
    name = "ml" if unit.startswith("m") else {"p": "us_pt", "q": "us_qt", "g": "us_gal"}.get(unit[0], "l")
    return convert(base, name, "l") if base else 0.0


def _label_dose(match: re.Match[str], text: str) -> Reading | None:
    """The dose a litre; None where the amount is of bleach or of the water itself."""
    after = text[match.end() :]
    said = match.groupdict()
    litres = _litres(said.get("base"), said.get("of") or "l")
    unit = match["unit"]
    liquid = unit.startswith("fl") or re.search(r"\bliquid\b|\bconcentrate\b", text) is not None
    ounces = re.fullmatch(r"oz|ounces?", unit) is not None and not liquid
    by_weight = ounces or re.fullmatch(_GRAMS, unit) is not None
    labelled = re.search(r"\b(?:every|each|per)\b", match[0]) or _LABELLED.search(text)
    of_bleach = re.match(r"\W*(?:of )?(?:bleach|water)\b", after) and not labelled and "of" in said
    if of_bleach or litres <= 0 or re.match(r"\W*per\b", after):
        return None
    each, assumed = (convert(1.0, "oz", "g") if ounces else 1.0), ""
    if not by_weight and not re.fullmatch(_MILLILITRES, unit):
        spoon = "tablespoon" if unit.startswith(("tab", "tb")) else "teaspoon" if unit[0] == "t" else "fluid ounce"
        each = convert(1.0, _ML_OF[spoon], "ml")
        assumed = f"a {spoon} taken as {each:.3g} ml"
    high = _count(match["amount"])
    low = _count(said.get("low") or match["amount"])
    low, high = (x * each / litres for x in (min(low, high), high))
    # The amount stands first: what puts it right later is measured by it.
    words = match[0]
    if not words.startswith(said.get("low") or match["amount"]):
        words = f"{match['amount']} {unit} per {said.get('base') or ''} {said.get('of') or 'litre'}".replace("  ", " ")
    return Reading((low + high) / 2, "g/l" if by_weight else "ml/l", low, high, words, assumed)


def parts(text: str) -> Claims:
    """A mix given as parts, as parts of water to one of the agent: "1 to 10", "1:9", "4 parts water to 1", "half and half"."""
    if not _MIXED.search(text):
        return
    even = _EVEN.search(text)
    if even:
        yield Claim("parts", Reading(1.0, "parts", said=even[0]), even.span())
        return
    ratio = next((match for pattern in _RATIOS if (match := pattern.search(text))), None)
    counted = [m.span() for m in _COUNTED.finditer(text)]  # "sachets say 1 to 2 litres" is no mix
    if ratio and not any(start < ratio.end() and ratio.start() < end for start, end in counted):
        yield Claim("parts", Reading(float(ratio[1]), "parts", said=ratio[0]), ratio.span())
