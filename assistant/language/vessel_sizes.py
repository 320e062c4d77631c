"""Sizes of a vessel said in other ways than a side and its name: "26 over the top", "10 below, 18 above", "water's come
up a foot", "20 one way and 30 the other", "half a ball".

Every claim is in cm. A number without a unit is taken in the unit of the caller (`bare`, cm for one) and only beside words
that nobody uses of anything but a vessel.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.quantities import to_si
from assistant.language.question import Reading

_UNITS = {"c": "cm", "m": "mm", "i": "in", '"': "in", "f": "ft", "'": "ft"}
_UNIT = r"cms?|centimet(?:re|er)s?|mms?|millimet(?:re|er)s?|inch(?:es)?|\"|f(?:oo|ee)t|ft"


def _size(name: str, *, bare: bool = True) -> str:
    """A length, as the group `name` and its unit `name_u`, which it may lack where `bare`; "a foot" is one."""
    unit = rf" ?(?P<{name}_u>{_UNIT}){'?' * bare}"
    return (
        rf"(?:(?<![\d.])(?P<{name}>\d+(?:\.\d+)?){unit}|\b(?P<{name}_one>an?) (?P<{name}_v>inch|foot))(?![a-z\d.]*\d)"
    )


_ABOUT = r"(?:(?:only|just|about|around|roughly|say|nearly|some|call it) )*"
# What no length of a vessel has behind it.
_NO_LENGTH = (
    r"(?! ?(?:°|deg|[cf]\b|%|per ?cent|l\b|lit|ml|mils?\b|cl\b|gal|pint|quart|g\b|gram|kg|kilo|ppm|p\b|pence|quid|stems?\b|bunch|days?\b|hours?\b|weeks?\b|"
    r"o'?clock|-?(?:thirds?|quarters?|fifths?)|am\b|pm\b|(?:st|nd|rd|th)\b|(?:of )?(?:january|february|march|april|may|june|july|august|september|october|november|december|people|guests)))"
)
_MOUTH = r"(?:the |its )?(?:top|mouth|rim|lip|opening|neck|brim)"
_FOOT = r"(?:the |its )?(?:bottom|base|foot)"
# The talk of a vessel, where the words beside a number may be of other things as well.
_VESSEL = re.compile(
    r"\b(?:water|fill\w*|full|rim|brim|hold|holds|lit(?:re|er)s?|gallons?|vases?|bowls?|cylinders?|urns?|jars?|pots?|churns?|buckets?|pails?|tubs?|tins?|vessels?|jugs?|glass|dish|ball|globe)\b"
)
_HEATED = re.compile(r"\b(?:warm\w*|hot|heat\w*|cool(?:er|ed)?|cold|lukewarm|tepid|temperature|degrees?|thermometer)\b")
_MEASURED = re.compile(
    r"\b(?:vases?|bowls?|cylinders?|urns?|jars?|pots?|churns?|buckets?|pails?|tubs?|tins?|vessels?|jugs?|tanks?|troughs?|box(?:es)?|glass|dish|across|wide|mouth|diameter|sides?)\b"
)
_PARTS = re.compile(r"\bparts?\b|\b1 ?:|\bratio\b")
_BOXY = re.compile(r"\b(?:box|trough|tray|cube|square|rectang\w+|planter|liner|tank)\b")

# "26 over the top", "13 across the mouth", "10 inches over", "1.5 inch bore".
_ACROSS = (
    re.compile(rf"{_size('n')},? (?:across|over|wide at|round) {_MOUTH}\b"),
    re.compile(rf"{_size('n', bare=False)} over(?= *(?:$|[,.;?!]| and\b| with\b| by\b))"),
    re.compile(rf"{_size('n')} (?:bore|inside diameter|internal(?: diameter)?|i\.?d\b)"),
    re.compile(
        rf"\b(?:(?:hand|palm|span|foot|plate|saucer|fist)(?:'s)? (?:wide|across|over),? (?:it's |that's |let's |call it |i'd |say |about )+|(?:bore|mouth),? (?:is |of |about )*){_size('n')}{_NO_LENGTH}"
    ),
)
# Where a clause ends, so that "water to 5 vases" is no level.
_CLAUSE = r"(?=\W*$|\W*[,.;?!]| (?:in it|and|then|so|how|what|high|deep|up|with (?:the )?water)\b)"
# "Below 10, above 18", "12 at the bottom and 20 at the top", "flares from 12 to 20".
_BELOW = (
    re.compile(rf"\b(?:below|bottom|base|foot|underneath|down below)\W+(?:(?:is|it's|its|of|at|only) )*{_size('n')}"),
    re.compile(rf"{_size('n')} (?:(?:wide|across) )?(?:(?:at|across|in|round) {_FOOT}|below|down below|underneath)\b"),
)
_ABOVE = (
    re.compile(rf"\b(?:above|top|rim|mouth|lip|up top)\W+(?:(?:is|it's|its|of|at|only) )*{_size('n')}"),
    re.compile(rf"{_size('n')} (?:(?:wide|across) )?(?:(?:at|across|in|round|over) {_MOUTH}|above|up above|up top)\b"),
)
_TAPERS = (
    r"taper\w*|flar\w*|widen\w*|narrow\w*|cone|conical|trumpet|open(?:s|ing) out|splay\w*|slop(?:es|ing)|"
    r"(?:goes|gets|is|gets? more|more) (?:wider?|narrower|broader)|wider|narrower"
)
_TAPERED = re.compile(rf"\b(?:{_TAPERS})\b")
# Said of the vessel itself, whatever of its sizes is known.
_ONE_END = re.compile(
    r"\b(?:taper(?:s|ed|ing)|conical|cone[- ]shaped|flares|widens|(?:goes|gets|is|getting|going) (?:wider|narrower|broader|more wide) (?:to|towards|at|as it goes)\b)"
)
_FROM_TO = re.compile(
    rf"\b(?:{_TAPERS})\b(?: [a-z]+){{0,4}}? from {_size('a')}(?: (?:(?:at|across|in) (?:{_FOOT}|{_MOUTH})|across|wide|below))?,? (?:up |out |down |in )?(?:to|into) {_size('b')}"
)
_NARROWING = re.compile(
    rf"{_size('a')}(?: (?:at|across) (?:{_FOOT}|{_MOUTH}))?,? (?:and |it )?(?:taper(?:s|ing)|narrow(?:s|ing)|flar(?:es|ing)|widen(?:s|ing)|going|opening)(?: (?:out|down|up|in))? to {_size('b')}"
)
# "Water till 40 high", "the water stands 20 high", "water's come up a foot", "I'd go up 35", "leave 8 inches in".
_FILLED = (
    re.compile(
        rf"\bwater(?:'s)?(?: (?:is|will|should|must|has|it|in|to))*(?: (?:comes?|coming|goes|go|stands?|standing|reach\w*|be|sits?))?(?: (?:up to|up|till|until|to|at))? {_ABOUT}{_size('n')} (?:high|up|deep|tall)\b"
    ),
    re.compile(rf"\bwater[^.,;?!\d]{{0,16}} (?:to|up) {_ABOUT}{_size('n')}{_NO_LENGTH}{_CLAUSE}"),
    re.compile(
        rf"\b(?:water|level)(?:'s| has| is)* (?:come|came|gone|risen) (?:up )?(?:to )?{_ABOUT}{_size('n')}{_NO_LENGTH}{_CLAUSE}"
    ),
    re.compile(
        rf"\b(?:i|we|i'd|we'd|i'll|we'll|you'd) go(?:ing)? up (?:to )?{_ABOUT}{_size('n')}{_NO_LENGTH}{_CLAUSE}"
    ),
    # "Filling a cylinder 20 cm across till the water's at 30".
    re.compile(
        rf"\b(?:till|until|'?til|so(?: that)?) (?:the )?(?:water|level)(?:'s| is| stands| sits| comes| reaches| gets)+(?: up)?(?: (?:at|to))? {_ABOUT}{_size('n')}{_NO_LENGTH}"
    ),
    # "I'm pouring till it's at twenty", "fill until the water's at 30", "topping it up so it reaches 18"
    re.compile(
        rf"\b(?:pour|fill|top)\w*(?: (?:it|them|water|in|up|the water))* (?:till|until|'?til|so(?: that)?|to where|and stop(?:ping)? (?:when|once)) "
        rf"(?:it|they|that|we|i|you|the water|the level|water)(?:'s|'re|'m| is| are| am| stands?| sits?| comes?| gets?| reach(?:es)?| hits?)+(?: up)?(?: (?:at|to))? {_ABOUT}{_size('n')}{_NO_LENGTH}"
    ),
)
# "The water's down to 12 now": of a vessel spoken of before as well.
_DOWN_TO = re.compile(
    rf"(?<!in )\b(?:water|level)(?:(?:'s| is| has)*(?: (?:down to|gone down to|dropped to|fallen to|only up to))|(?:'s| is)(?: only)? at) {_ABOUT}{_size('n')}{_NO_LENGTH}"
)
_SUNK = re.compile(r"\bhow (?:much|many lit(?:re|er)s)[^.?!]{0,16}\bleft\b|\b(?:level|down|dropped|fallen)\b")
# How far the water stands below the rim; the water task takes it off the height.
BELOW_THE_RIM = r"(?:(?:below|from|short of|under|off|of) (?:the |its )?(?:rim|top|brim|lip))\b"
_BELOW_THE_RIM = re.compile(rf"(?:\b(?:to )?within )?{_size('n')} {BELOW_THE_RIM}")
_LEFT_IN = re.compile(
    rf"\b(?:leav\w+|keep\w*) {_ABOUT}{_size('n', bare=False)} (?:in\b|of (?:the )?water\b|of it\b)(?! (?:diameter|width|length|height))"
)
# "20 one way and 30 the other".
_TWO_WAYS = re.compile(rf"{_size('a')} (?:one|1) way(?: and|,)* {_size('b')} (?:the other|across|back)\b")
HALF_BALL = "half a ball"
_HALF_BALL = re.compile(
    r"\bhalf[ -](?:of )?(?:an? )?(?:ball|sphere|globe|melon|orange|coconut|football)\b|\bhalf[ -]round (?=bowl|dish|pot)|\bhemispher\w+"
)
_STRAIGHT = re.compile(r"\bstraight[- ](?:sides?|sided|up and down)\b")


def vessel_sizes(text: str, taken: Taken, *, bare: float = 1.0) -> Claims:
    """Sizes and shapes of a vessel. `bare` is the length of one without a unit. [cm]"""
    rim = _BELOW_THE_RIM.search(text)
    if rim is not None and (_VESSEL.search(text) or rim[0].endswith("below the top")):
        found = _claim("fill_height", rim, "n", bare)
        if found.span is not None and not taken(*found.span):
            yield Claim("fill_height", replace(found.reading, said=rim[0]), rim.span())
    if _HALF_BALL.search(text) and _VESSEL.search(text):
        yield Claim("shape", Reading("bowl", "id", said=HALF_BALL))
    tapered = list(_taper(text, taken, bare))
    yield from tapered
    yield from _two_ways(text, taken, bare)
    if not tapered and _VESSEL.search(text):
        yield from _first(_ACROSS, "width" if _BOXY.search(text) else "diameter", text, taken, bare)
    if not _HEATED.search(text) and not _PARTS.search(text) and _MEASURED.search(text):
        yield from _first(_FILLED, "fill_height", text, taken, bare)
    if not _HEATED.search(text) and _SUNK.search(text):
        yield from _first((_DOWN_TO,), "fill_height", text, taken, bare)
    yield from _first((_LEFT_IN,), "fill_height", text, taken, bare)
    if _STRAIGHT.search(text) and not _BOXY.search(text):
        yield Claim("shape", Reading("cylinder", "id", said="straight sides"))


def _first(patterns: tuple[re.Pattern[str], ...], slot: str, text: str, taken: Taken, bare: float) -> Iterator[Claim]:
    """The first of the patterns that finds a length nobody has read yet."""
    for pattern in patterns:
        for match in pattern.finditer(text):
            found = _claim(slot, match, "n", bare)
            if found.span is not None and not taken(*found.span):
                yield found
                return


def _claim(slot: str, match: re.Match[str], name: str, bare: float) -> Claim:
    """The length in the group `name` as a claim; what is claimed is the number and its unit, not the words."""
    number, unit = match[name], match[f"{name}_u"] or match[f"{name}_v"]
    value = float(number) if number and number[0].isdigit() else 1.0
    start = match.start(name) if number else match.start(f"{name}_one")
    end = max(match.end(name), match.end(f"{name}_u"), match.end(f"{name}_v"))
    value = to_si(value, _UNITS[unit[0]]) if unit else value * bare
    said = match.string[start:end].strip()
    return Claim(slot, Reading(value, "cm", value, value, said), (start, end))


def _taper(text: str, taken: Taken, bare: float) -> Iterator[Claim]:
    """The foot and the mouth of a vessel that is wider at one end; both, or neither."""
    for pattern in (_FROM_TO, _NARROWING):
        match = pattern.search(text)
        if match and _VESSEL.search(text):
            ends = sorted((_claim("", match, "a", bare), _claim("", match, "b", bare)), key=lambda c: c.reading.number)
            yield from _ends(ends[0], ends[1], taken)
            return
    if not _VESSEL.search(text):
        return
    pairs = ((_BELOW[1], _ABOVE[1]), (_BELOW[0], _ABOVE[0]), (_BELOW[1], _ABOVE[0]), (_BELOW[0], _ABOVE[1]))
    for low, high in pairs:  # "10 at the base, 18 at the top" before "base 10, top 18"
        below, above = low.search(text), high.search(text)
        if below is None or above is None:
            continue
        degrees = re.search(r"\b(?:below|above)\b", below[0] + above[0]) and not _TAPERED.search(text)
        if degrees or _HEATED.search(text):
            return
        foot, mouth = _claim("", below, "n", bare), _claim("", above, "n", bare)
        if foot.span != mouth.span:
            yield from _ends(foot, mouth, taken)
            return
    if _ONE_END.search(text):
        yield Claim("shape", Reading("taper", "id", said="taper"))


def _ends(foot: Claim, mouth: Claim, taken: Taken) -> Iterator[Claim]:
    if foot.span is None or mouth.span is None or taken(*foot.span) or taken(*mouth.span):
        return
    yield Claim("shape", Reading("taper", "id", said="taper"))
    yield Claim("base_diameter", foot.reading, foot.span)
    yield Claim("diameter", mouth.reading, mouth.span)


def _two_ways(text: str, taken: Taken, bare: float) -> Iterator[Claim]:
    match = _TWO_WAYS.search(text)
    if match is None:
        return
    for slot, name in (("length", "a"), ("depth", "b")):
        found = _claim(slot, match, name, bare)
        if found.span is not None and not taken(*found.span):
            yield found
