"""By how much a follow-up changes the figure before: "twice as many", "cut it in two", "50 % of that", "threefold"."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

from assistant.language.question import Question, Reading, Task

_PARTS = {"half": 1 / 2, "third": 1 / 3, "quarter": 1 / 4, "fifth": 1 / 5, "tenth": 1 / 10}
_FOLD = {"two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "ten": 10.0}
_WORDS = {
    "double": 2.0, "doubled": 2.0, "doubling": 2.0, "twice": 2.0, "triple": 3.0, "tripled": 3.0, "treble": 3.0, "trebled": 3.0,
    "thrice": 3.0, "quadruple": 4.0, "halved": 0.5, "halve": 0.5, "halving": 0.5, "half": 0.5,
}  # fmt: skip
_IT = r"(?:it|that|this|them|those|these|the (?:order|lot|amount|number|count|figure|quantity|rate|dose|strength|whole (?:lot|thing)))"
# "Half as many again": what was said and half of it.
_AND_HALF = re.compile(
    r"\bhalf as (?:many|much) again\b|\bhalf again(?: as (?:many|much))?\b|\b(?:and|plus) (?:a )?half again\b"
)
_IN_TWO = re.compile(
    rf"\b(?:cut|chop|split|slice|divide|bring|knock|cutting|splitting|chopping) {_IT}(?: down)? (?:in|into|to|by) (?P<n>[2-5]|half)\b"
)
_PER_CENT_OF = re.compile(
    rf"(?<![\d.])(?P<n>\d{{1,3}}(?:\.\d+)?) ?(?:%|per ?cent) of {_IT}(?=\W*$|[,.;!?]| (?:will|would|is|then|please|now|for|instead)\b)"
)
_PART_OF = re.compile(
    rf"\b(?:(?P<times>\d|an?|one|two|three) )?(?P<part>half|thirds?|quarters?|fifths?|tenths?) (?:of )?{_IT}(?=\W*$|[,.;!?]| (?:will|would|is|then|please|now|for|instead)\b)"
)
_N_FOLD = re.compile(rf"\b(?:(?P<n>\d{{1,2}})[ -]?|(?P<word>{'|'.join(_FOLD)})[ -]?)fold\b")
# "Cut it by a third", "increase that by 50 %", "a quarter fewer": less or more by a part.
_SO_MUCH = r"(?:(?:an?|one|1) (?P<part>third|quarter|fifth|tenth|half)|(?P<half>half)|(?P<n>\d{1,3}(?:\.\d+)?) ?(?:%|per ?cent))"
_BY_A_PART = re.compile(
    rf"\b(?:(?P<up>up|increas\w*|rais\w*|bump\w*|push\w*|put|lift)|cut|reduc\w*|drop\w*|bring|take|knock|shrink|lower\w*|slash)(?: {_IT})?(?: (?:down|up|back))? by (?:about )?{_SO_MUCH}(?!\w)"
)
_A_PART_MORE = re.compile(
    rf"(?<![\d.]){_SO_MUCH} (?:(?P<up>more|extra|stronger)|fewer|less|weaker)(?= (?:of (?:them|those|that|it)|stems|please|then|now|than that)\b|\W*$|[,.;!?])"
)
# "One and a half times that"; whole times are read as pieces.
_TIMES_AND_A_PART = re.compile(r"(?<![\d.])(?P<n>\d\.\d+) ?(?:times|x) (?:that|it|as (?:many|much)|this|those|them)\b")
# What makes a change of a sum a mark-up on it.
_TO_SELL = re.compile(
    r"\b(?:for|at|on|through|over) the (?:till|counter)\b|\b(?:sell\w*|retail|charge|charging|customers?|mark\w*|prices?)\b|\bput(?:ting)? (?:it|that|this|them) up\b"
)
# Tasks whose figure a plain "cut it in two" changes; of anything else it would be the stems that are cut.
_OF_SUMS: frozenset[Task] = frozenset({"quantity", "cost", "mixing", "water"})
_SHORT = 11


def plain_scale(text: str) -> float | None:
    """The factor of a message whose words can mean no other change; None where it has none."""
    if _AND_HALF.search(text):
        return 1.5
    if match := _IN_TWO.search(text):
        return 0.5 if match["n"] == "half" else 1 / int(match["n"])
    if match := _PER_CENT_OF.search(text):
        return float(match["n"]) / 100 or None
    if match := _N_FOLD.search(text):
        return float(match["n"]) or None if match["n"] else _FOLD[match["word"]]
    if match := _BY_A_PART.search(text) or _A_PART_MORE.search(text):
        part = float(match["n"]) / 100 if match["n"] else _PARTS[match["part"] or "half"]
        return 1 + part if match["up"] else (1 - part) or None
    if match := _TIMES_AND_A_PART.search(text):
        return float(match["n"]) or None
    if match := _PART_OF.search(text):
        said = match["times"] or "a"
        times = int(said) if said.isdigit() else _FOLD.get(said, 1.0)
        return times * _PARTS[match["part"].rstrip("s")]
    return None


def scale_of(q: Question) -> float | None:
    """By how much the message multiplies what was said before; None where it changes nothing so."""
    if "half full" in q.normal or "half fill" in q.normal or "loss_rate" in q.slots:
        return None  # "I bin 15 % of them" is a loss
    plain = plain_scale(q.normal)
    if plain is not None:
        return plain
    if {"pieces", "count", "stems"} & q.slots.keys() and re.search(r"\bhalf\b", q.normal):
        return None  # "8 hoops, the other half goes to my sister": the number said is the new one
    words = re.findall(r"[a-z]+", q.normal)
    return next((factor for word, factor in _WORDS.items() if word in words), None)


def only_scales(q: Question, last: Task) -> bool:
    """Is the message a change of the last sum and nothing else ("actually just do 50 % of that")?"""
    return (
        last in _OF_SUMS
        and not q.mentions
        and "loss_rate" not in q.slots
        and len(q.normal.split()) <= _SHORT
        and plain_scale(q.normal) is not None
    )


def marks_up(text: str) -> bool:
    """Is a sum put up for selling ("put it up threefold for the till"), and not more bought?"""
    return _TO_SELL.search(text) is not None


def whole(stems: float) -> float:
    """So many whole stems or bunches; a third of sixty is twenty, whatever is left in the last digits."""
    return float(math.ceil(round(stems, 6)))


def scaled_water(slots: Mapping[str, Reading], scale: float) -> dict[str, Reading]:
    """ "Double that", "half that", of the water in vessels: so many vessels where that makes whole ones, else the level."""
    before = slots.get("pieces")
    pieces = (before.number if before is not None else 1.0) * scale
    if pieces >= 1 and abs(pieces - round(pieces)) < 1e-6:
        vessels = "vessel" if round(pieces) == 1 else "vessels"
        words = f"{scale:g} times that taken as {round(pieces)} {vessels}"
        return {"pieces": Reading(float(round(pieces)), "pieces", said=f"{round(pieces)}", assumed=words)}
    level = next((name for name in ("fill_height", "fill_share") if name in slots), None)
    if scale > 1:
        return {}
    if level is None:
        share = 100 * scale
        return {
            "fill_share": Reading(
                share, "%", share, share, f"{share:.3g} %", f"that taken as filled to {share:.3g} % of its height"
            )
        }
    old = slots[level]
    low, high = (x * scale for x in old.span)
    unit = "cm" if level == "fill_height" else "%"
    words = f"{scale:.2g} of that taken as filled to {old.number * scale:.3g} {unit}"
    return {level: Reading(old.number * scale, old.unit, low, high, f"{old.number * scale:.3g} {unit}", words)}
