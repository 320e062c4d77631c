"""How many stems a bunch or pack holds, as people put it: "in tens", "bunches of 25", "ten to a bunch", "sold singly"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Mention, Reading

_PLURALS = {
    "twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6, "sevens": 7, "eights": 8, "nines": 9, "tens": 10, "twelves": 12,
    "dozens": 12, "fifteens": 15, "twenties": 20, "twenty-fives": 25, "twenty fives": 25, "20-fives": 25, "20 fives": 25,
    "thirties": 30, "forties": 40, "fifties": 50, "sixties": 60, "eighties": 80, "hundreds": 100,
}  # fmt: skip
_PLURAL = "|".join(sorted(_PLURALS, key=len, reverse=True))
_BUNCH = r"(?:bunch|packet|pack|wrap|bundle|sleeve|sheaf)"
_BUNCHES = r"(?:bunches|packets|packs|wraps|bundles|sleeves|sheaves)"
_VERB = (
    r"(?:bunch(?:e[sd])?|bundle[sd]?|t(?:ies|ied|ying)|packs?|packed|sells?|sold|comes?|coming)"
    r"(?: them| those| these| it)?(?: up| together| only)?"
)
# A number in digits after "in", "of" or a verb of packing, with nothing behind it that would count something else.
_OF_SO_MANY = rf"(?:{_BUNCH}e?s? of|(?:buy|order)(?= \d+'?s\b)|{_VERB} (?:in|by the|by)|{_BUNCH} (?:holds|has|is)|(?<!\d )(?<!\bas )in|by the|packed(?: in)?)"
# What no bunch holds a number of.
_OTHER_UNITS = (
    r" (?:days?|hours?|weeks?|months?|cm|mm|inch\w*|in\b|per\b|per ?cent|percent|degrees?|lit(?:re|er)s?|grams?|g\b|vases?|tables?|"
    r"pieces|bunch\w*|boxes|packs|wraps)\b"
)
# "Cut it in two", "split them in 3": no pack.
_PARTED = re.compile(r"\b(?:cut|split|chop|snap|tear|slic|divid|halv|break|broke|fold)\w*\b[^.?!,]{0,24}$")
_PACK = re.compile(
    "|".join(
        (
            rf"\b{_OF_SO_MANY} (\d+)'?s?(?= ?(?:stems?|stem bunches|per|a bunch|$|[?,.;])|'?s\b)",
            r"\b(?:bunch|bunches|packs|wraps) of (\d+)\b",
            r"\b(?:sheaves|sheaf|packets|bundles) of (\d+)(?=\W*$|[,.;?!]| (?:is|are|and|only|now|instead|all)\b)",
            rf"\b{_BUNCHES}(?: here| with us| now)? (?:hold|have) (?:about |only |just )?(\d+)(?=\W*$|[,.;?!]| each\b)",
            # "Bunches hold 25 carnations and 5 % are lost."
            rf"\b{_BUNCHES}(?: here| with us| now| of (?:it|them|those|these))? (?:hold|contain|come with) (?:about |only |just )?(\d+)(?= [a-z])(?!{_OTHER_UNITS})",
            rf"\b(\d+)(?: of (?:them|those|it))? makes? (?:up )?(?:an?|one|1|the) (?:full )?{_BUNCH}\b",
            rf"\b(\d+)(?: stems?)? (?:come|comes|go|goes|are|get tied|(?:are |come )?(?:tied|packed|wrapped|sold|bundled))(?: up)? (?:in|to|per) (?:an?|the|each|every|one|1) {_BUNCH}\b(?! of \d)",
            # "12.90 by the bunch and that's ten"
            rf"\b{_BUNCH}(?:,| and|, and)? that(?:'s| is) (\d+)(?= stems?\b|\W*$|[,.;?!])",
            r"\b(?:they|these|those|it) (?:go|goes|come|comes|sell|sells) per (\d+)(?=\W*$|[,.;?!])",
            rf"\b(\d+)[ -]?(?:stems?|leaves|fronds?|heads|blooms|blades)? ?(?:per|to a|to the|a|in a|each|in each) ?{_BUNCH}\b",
            rf"\b(\d+)[ -]stem {_BUNCH}",
            r"\b(?:wrapped|tied|bundled|bunched|banded) (\d+) together\b",
            rf"\b{_BUNCHES}(?: are| hold| have)? (?:only |just )?(\d+)(?= stems?\b)",
            rf"\bin ({_PLURAL}|\d+'?s)\b",
            rf"\b{_VERB} (?:by the )({_PLURAL}|dozen|hundred)\b",
            rf"\b{_VERB} by the (\d+)\b(?! [a-z]+s\b)",
            r"\b(?:comes?|coming|sold)(?: to us)?,? (\d+) at a time\b",
            r"(?<!\d )\b(?:boxes|trays|sleeves) of (\d+)(?=\W*$|[,.;?!]| and\b)",
            rf"\b{_BUNCHES} (?:are|being) (?:in )?({_PLURAL}|\d+'?s|\d+(?=\W*$|[,.;]))\b",
            rf"\b{_BUNCHES} (?:run|runs|come out) (?:to|at) (?:about |around )?(\d+)\b",
            rf"\b(?:does|do|stocks?|supplies|sells) (?:them |those |it )?(?:in )?({_PLURAL}|\d+'s|\d+s)\b(?! of)",
        )
    )
)
_WORDS = {**_PLURALS, "dozen": 12, "hundred": 100}
# "12 bunches, ten in each", "bundles, dried, about a hundred in one": what each of the bunches just spoken of holds.
_IN_EACH = re.compile(
    rf"\b{_BUNCHES}\b[^.?!]{{0,60}}?\b(\d+)(?: stems)? (?:(?:in|to) each\b(?! [a-z])|in (?:1|one)(?=\W*$|[,.;?!]))"
)
# "A bunch of seeded costs me 6.40, ten stems."
_PRICED_AND_COUNTED = re.compile(
    rf"(?:^\W*|\b(?:an?|the|1|one|per|each) ){_BUNCH}\b[^.?!\d]{{0,40}}\d+\.\d\d, (\d+) stems?(?=\W*$|[.;])"
)
# "Twelves are cheaper", "tens please", "from 25s": packs by their plural alone.
_ALONE = re.compile(
    rf"(?:\bfrom |\bthe |^\W*|[.,;/] ?)(?P<n>{_PLURAL}|\d+'?s)\b(?= (?:are|is|come|instead|please|then|now|only|work)\b|\W*$|[.,;]| ?/)"
)
# "If a bunch of sprengeri has 25 in it", "counted a bunch this morning: 22".
_BUNCH_HAS = re.compile(
    rf"\b(?:a|the|each|every|one|1) {_BUNCH} (?:of [a-z' -]{{2,30}}? )?(?:has|holds|is|contains|comes to|counts)(?: about| only)? (\d+)\b(?! ?(?:%|cm|days?|g\b|euros?|pounds?))"
)
# "Box has 50, how many boxes": a box that flowers are bought in, as it is boxes that are asked for.
_BOX_HAS = re.compile(
    rf"\b(?:box|tray|carton)(?: of (?:them|those|it))? (?:has|holds|is|contains|comes with) (?:about |only )?(\d+)\b(?!{_OTHER_UNITS})(?=.*\bhow many (?:boxes|trays|cartons)\b)|"
    rf"\bhow many (?:boxes|trays|cartons)\b.*\b(?:box|tray|carton)(?: of (?:them|those|it))? (?:has|holds|is|contains|comes with) (?:about |only )?(?P<n>\d+)\b(?!{_OTHER_UNITS})"
)
# "Counted a bunch of salal this morning: 22."
_COUNTED = re.compile(
    rf"\bcounted (?:a|1|one|the) {_BUNCH}\b(?P<of>[^.?!\d]{{0,40}}?)(?::|-| and (?:got|found|it was|there were|it had)|,) ?(\d+)\b(?! ?%)"
)
# "Come six to a box": before such a box can be taken for what flowers are set in.
_TO_A_BOX = re.compile(
    r"\b(?:comes?|coming|sold|packed|arrives?|bought)(?: [a-z]+){0,2} (\d+) (?:to|in|per) (?:a |the |each )?(?:box|tray|carton|sleeve)\b"
)
_SINGLY = re.compile(
    r"\b(?:sold|sell|come|comes|buy|bought|priced) (?:singly|individually|one by one|by the (?:single )?stem)\b"
)
# "In 200" is no bunch, "in the fridge in 24 hours" no pack; beyond this a number after a bare "in" is something else.
_MOST = 100.0


def boxed(text: str, taken: Taken) -> Claims:
    """The stems of a box that flowers are bought in. [stems]"""
    box = _TO_A_BOX.search(text)
    if box and not taken(*box.span(1)):
        yield Claim("pack_size", Reading(float(box[1]), "stems", said=box[0]), (box.start(1), box.end()))


def packs(text: str, taken: Taken) -> Claims:
    """Every pack size of a message, the first one first. [stems]"""
    for match in _PACK.finditer(text):
        said = next(group for group in match.groups() if group)
        value = float(_WORDS.get(said, 0) or said.rstrip("s'"))
        if match[0].startswith("in ") and (value > _MOST or _PARTED.search(text[: match.start()])):
            continue
        if taken(match.start(), match.end()):
            continue
        yield Claim("pack_size", Reading(value, "stems", said=match[0]), (match.start(), match.end()))
    each = _IN_EACH.search(text)
    if each and not taken(each.start(1), each.end(1)):
        yield Claim("pack_size", Reading(float(each[1]), "stems", said=each[1]), (each.start(1), each.end(1)))
    for pattern in (_ALONE, _BUNCH_HAS, _PRICED_AND_COUNTED):
        alone = pattern.search(text)
        if alone and not taken(alone.start(1), alone.end(1)):
            value = float(_WORDS.get(alone[1], 0) or alone[1].rstrip("s'"))
            yield Claim("pack_size", Reading(value, "stems", said=alone[1]), (alone.start(1), alone.end(1)))
    counted = _COUNTED.search(text)
    if counted and not taken(*counted.span(2)):
        yield Claim("pack_size", Reading(float(counted[2]), "stems", said=counted[2]), counted.span(2))
    box = _BOX_HAS.search(text)
    at = box.span("n" if box["n"] else 1) if box else (0, 0)
    if box and not taken(*at):
        yield Claim("pack_size", Reading(float(text[at[0] : at[1]]), "stems", said=box[0]), at)
    singly = _SINGLY.search(text)
    if singly:
        yield Claim("pack_size", Reading(1.0, "stems", said=singly[0]), (singly.start(), singly.end()))


# "Packs are 5, 5 and 10 in that order".
_IN_ORDER = re.compile(
    rf"\b(?:{_BUNCH}s?|{_BUNCHES})(?: sizes?)?(?: are| is| come| hold|:)? ?(?:in )?(?P<packs>\d+(?:(?:, ?| and |, and | / ?)\d+)+)(?: stems)?"
    r"(?:,? (?:in that order|in order|respectively)|(?=\W*$|[,.;]))"
)


def packs_beside(mentions: Sequence[Mention], text: str, told: Sequence[Claim]) -> list[Mention]:
    """Give each material the pack said with it: "podocarpus in tens, aspidistra in twenties", or in the order named.

    One pack for several materials is that of them all and stays a slot.
    """
    if len(mentions) < 2:
        return list(mentions)
    places = sorted(mentions, key=lambda m: m.start)
    ordered = _IN_ORDER.search(text)
    listed = re.findall(r"\d+", ordered["packs"]) if ordered else []
    if ordered and len(listed) == len(places) and ordered.start() > places[-1].start:
        own = dict(zip((m.start for m in places), map(float, listed), strict=True))
    else:
        own = {}
        for claim in sorted((c for c in told if c.span), key=lambda c: c.span or (0, 0)):
            start = claim.span[0] if claim.span else 0
            before = [m for m in places if m.end <= start and not re.search(r"[.?!]", text[m.end : start])]
            if before:
                own.setdefault(before[-1].start, claim.reading.number)
        if len(own) < 2 or len(set(own.values())) < 2:
            return list(mentions)
    return [replace(m, pack=own.get(m.start)) for m in mentions]
