"""Counts said after the names of a list: "craspedia 6, sea holly 4", "hellebores - seven of them -", "poppy heads x 45"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.language.quantities import Quantity
from assistant.language.question import Mention

# What may stand between a name and its count, and what may follow the count: nothing that it would count instead.
_BEFORE = re.compile(
    r"(?: (?:berr(?:y|ies)|heads?|pods?|stems?|sprigs?|leaves|foliage))?(?:,|:| -|\()? ?(?:(?:x|that's|thats|which is|it's|of which|maybe|say|about) )?"
)
_BEHIND = re.compile(
    r"(?: ?(?:stems?|heads?|sprigs?|pods?)\b)?(?:[^\S\n]+(?:good|fresh|dried|not dried|please|as well|too|also|of (?:them|those|em|these)))*"
    r"(?=\W*$|,|;|\)|\.(?!\d)| -| and\b(?! a half)| plus\b| \+| (?:to|in|per|for|on) (?:an?|each|every|the)\b| a[n]? [a-z]+| each\b| then\b)"
)
# "22 for the arch and another 13 for the top table", "20 for the arch and 10 for the table": of one material.
_MORE = r"(?:and|plus|,) (?:(?P<another>another|a further|an extra) )?(?P<more>\d+)(?: more)?"
_PLACE = r"(?: of (?:them|those|it))? (?:for|on|in|at|to|down|round|around) (?:the|an?|my|our|her|his)\b"
_AND_ANOTHER = re.compile(rf"\b{_MORE}\b(?P<place>{_PLACE})?(?=[^\d]|$)")
_AT_A_PLACE = re.compile(rf"{_PLACE}[^.?!,;\d]{{2,30}}?,? ?$")
_SIZE = r"(?:big|bigger|large|larger|small|smaller|little|tall|short|medium|medium-sized|long|tiny|mini|wee|low|high)"
_PIECE = r"(?:[a-z]+ )?(?:tables|vases|jars|pots|urns|bowls|bouquets|posies|pieces|centrepieces|arrangements|wreaths|buttonholes|corsages|baskets|pedestals|pew ends|chair ends|pews|chairs|jugs|bottles|lanterns|hoops)"
# "Nine large ones with 7, nine small ones with 2", "3 tables with 7 roses each": so many pieces, so many stems in each.
_GROUP = re.compile(
    rf"(?<![\d.])(?P<pieces>\d{{1,3}}) (?:{_SIZE}(?: (?:ones?|[a-z]+s))?|{_PIECE})(?:,| -|:)?"
    r"(?: (?:with|at|of|of them with|taking|take|takes|get|getting|having|have|need|needing|which take))+ (?P<stems>\d{1,3})\b(?! ?(?:cm|mm|%|l\b|litres?|inch|days|tables|vases))"
)
# "12 pew ends at 4 roses, 6 extra for the altar": what comes on top of the pieces.
_ON_TOP = re.compile(
    r"(?:,|\band|\bplus|\bwith)(?: (?:and|plus|with))? (?P<n>\d{1,3}) (?:extra|spare|more|over|left over)\b(?! (?:days?|pieces?|tables?|vases?|bunch\w*|pew|chairs?))"
)
# "8 vases, half of them with 5 tulips and half with 3".
_HALVES = re.compile(
    rf"(?<![\d.])(?P<pieces>\d{{1,3}}) (?:{_SIZE} )?{_PIECE}\b[^.?!\d]{{0,14}}?\bhalf(?: of (?:them|these|those|the [a-z]+))?(?: (?:with|get|gets|getting|have|having|take|takes|taking|at|want|wanting))+ (?P<a>\d{{1,3}})\b"
    r"[^.?!\d]{0,40}?\b(?:half|rest|others?|remainder)(?: of (?:them|these|those))?(?: (?:with|get|gets|getting|have|having|take|takes|taking|at|want|wanting|just|only))+ (?P<b>\d{1,3})\b(?! ?(?:cm|mm|%|l\b|litres?|inch|days))"
)
_ONE_OR_ANOTHER = re.compile(r"\b(?:or|no|not|instead|rather|sorry|mean|meant|in all|in total|altogether|total|each)\b")


# "60 of each", "75 of one and 75 of the other".
_OF_EACH = re.compile(r"\bof (?:each|both|either|(?:the )?(?:one|1),? and)\b")


def counted_alike(mentions: Sequence[Mention], said: str, stems: float) -> list[Mention] | None:
    """Every material with the one count said of each of them; None where `said` is no such count, or one has its own."""
    if len(mentions) < 2 or not _OF_EACH.search(said) or any(m.stems or m.bunches for m in mentions):
        return None
    return [replace(m, stems=stems) for m in mentions]


def counted_after(
    mentions: Sequence[Mention], text: str, counts: Sequence[Quantity]
) -> tuple[list[Mention], list[tuple[int, int]]]:
    """Give the materials of a list the counts said right after their names.

    Only where several are named and none has a count before it that would make the numbers belong the other way round.
    Returns the materials and the stretches of the counts used.
    """
    places = sorted(mentions, key=lambda m: m.start)
    used: list[tuple[int, int]] = []
    found: dict[int, float] = {}
    if len(places) < 2 or places[0].stems or places[0].bunches:
        return list(mentions), used
    for place in places:
        if place.stems or place.bunches:
            continue
        for count in counts:
            between = text[place.end : count.start] if count.start >= place.end else None
            if between is None or count.unit not in ("", "stems") or count.low != count.high or count.high % 1:
                continue
            number = re.match(r"\d+", text[count.start : count.end])
            if number and _BEFORE.fullmatch(between) and _BEHIND.match(text, count.start + number.end()):
                found[place.start] = count.high
                used.append((count.start, count.end))
                break
    if len(found) < 2 and any(not (m.stems or m.bunches or m.start in found) for m in places):
        return list(mentions), []  # "roses and stocks, 12 please" says nothing of the roses alone
    return [replace(m, stems=found.get(m.start, m.stems)) for m in mentions], used


# "Solidago too, sixty stems of that".
_OF_THAT = re.compile(
    r"(?:,? (?:too|as well|also))?,? (?:and |say |about |make it )?(?P<n>\d{1,4})(?: (?:stems?|heads?|blooms?|sprigs?))? of (?:that|it|those|them)\b(?! (?:each|per|a |in |to ))"
)


def counted_by_a_pronoun(mentions: Sequence[Mention], text: str) -> list[Mention]:
    """The one material of a message that has no count yet, with the count said of "that" right behind its name."""
    bare = [m for m in mentions if not (m.stems or m.bunches or m.negated)]
    match = _OF_THAT.match(text, bare[0].end) if len(mentions) == len(bare) == 1 else None
    return list(mentions) if match is None else [replace(bare[0], stems=float(match["n"]))]


@dataclass(frozen=True, slots=True)
class Sum:
    """Counts of one material added up: the stretches they were read from, and whether pieces are multiplied in."""

    mention: Mention
    used: tuple[tuple[int, int], ...] = ()
    of_pieces: bool = False


def summed(mentions: Sequence[Mention], text: str) -> Sum | None:
    """The one material of a message with its counts for several places added up.

    `mentions` are all of that material. Pieces of two sorts count as all their stems; None where nothing is added.
    """
    first = min(mentions, key=lambda m: m.start)
    groups = list(_GROUP.finditer(text))
    if len(groups) > 1 and len({g["stems"] for g in groups}) > 1:
        stems = sum(float(g["pieces"]) * float(g["stems"]) for g in groups)
        return Sum(replace(first, stems=stems, bunches=None), tuple(g.span() for g in groups), of_pieces=True)
    halves, on_top = _HALVES.search(text), _ON_TOP.search(text)
    if halves:
        one, other = sorted((float(halves["a"]), float(halves["b"])))
        pieces = int(halves["pieces"])
        stems = pieces // 2 * one + (pieces - pieces // 2) * other
        return Sum(
            replace(first, stems=stems, bunches=None),
            tuple(halves.span(n) for n in ("pieces", "a", "b")),
            of_pieces=True,
        )
    if len(groups) == 1 and on_top and on_top.start() >= groups[0].end():
        stems = float(groups[0]["pieces"]) * float(groups[0]["stems"]) + float(on_top["n"])
        return Sum(replace(first, stems=stems, bunches=None), (groups[0].span(), on_top.span("n")), of_pieces=True)
    counted = [m for m in mentions if m.stems]
    if len(counted) == 1 and counted[0].stems:
        others = [m for m in _AND_ANOTHER.finditer(text, counted[0].end) if _adds(m, text[counted[0].end : m.start()])]
        if others:
            stems = counted[0].stems + sum(float(m["more"]) for m in others)
            return Sum(replace(first, stems=stems), tuple(m.span("more") for m in others))
    elif len(counted) > 1 and not _ONE_OR_ANOTHER.search(text) and re.search(r"\b(?:and|plus)\b", text):
        return Sum(replace(first, stems=sum(m.stems or 0.0 for m in counted)))
    return None


def _adds(more: re.Match[str], between: str) -> bool:
    """Is it another count of the same, for another place or said to be another?"""
    return more["another"] is not None or (more["place"] is not None and _AT_A_PLACE.match(between) is not None)
