"""How many stems a bunch or pack holds, as people put it: "in tens", "bunches of 25", "ten to a bunch", "sold singly"."""

from __future__ import annotations

import re

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Reading

_PLURALS = {
    "twos": 2, "threes": 3, "fours": 4, "fives": 5, "sixes": 6, "sevens": 7, "eights": 8, "nines": 9, "tens": 10, "twelves": 12,
    "dozens": 12, "fifteens": 15, "twenties": 20, "twenty-fives": 25, "twenty fives": 25, "20-fives": 25, "20 fives": 25,
    "thirties": 30, "forties": 40, "fifties": 50, "hundreds": 100,
}  # fmt: skip
_PLURAL = "|".join(sorted(_PLURALS, key=len, reverse=True))
_BUNCH = r"(?:bunch|packet|pack|wrap|bundle)"
_BUNCHES = r"(?:bunches|packets|packs|wraps|bundles)"
_VERB = (
    r"(?:bunch(?:e[sd])?|bundle[sd]?|t(?:ies|ied|ying)|packs?|packed|sells?|sold|comes?|coming)"
    r"(?: them| those| these| it)?(?: up| together| only)?"
)
# A number in digits after "in", "of" or a verb of packing, with nothing behind it that would count something else.
_OF_SO_MANY = rf"(?:{_BUNCH}e?s? of|(?:buy|order)(?= \d+'?s\b)|{_VERB} (?:in|by the|by)|{_BUNCH} (?:holds|has|is)|(?<!\d )in|by the|packed(?: in)?)"
_PACK = re.compile(
    "|".join(
        (
            rf"\b{_OF_SO_MANY} (\d+)'?s?(?= ?(?:stems?|stem bunches|per|a bunch|$|[?,.;])|'?s\b)",
            r"\b(?:bunch|bunches|packs|wraps) of (\d+)\b",
            rf"\b(\d+)[ -]?(?:stems?)? ?(?:per|to a|to the|a|in a|each|in each) ?{_BUNCH}\b",
            rf"\b(\d+)[ -]stem {_BUNCH}",
            rf"\b{_BUNCHES}(?: are| hold| have)? (?:only |just )?(\d+)(?= stems?\b)",
            rf"\bin ({_PLURAL}|\d+'?s)\b",
            rf"\b{_VERB} (?:by the )({_PLURAL}|dozen|hundred)\b",
        )
    )
)
_WORDS = {**_PLURALS, "dozen": 12, "hundred": 100}
# "12 bunches, ten in each": what each of the bunches just counted holds.
_IN_EACH = re.compile(rf"\b{_BUNCHES}\b[^.?!]{{0,60}}?\b(\d+)(?: stems)? (?:in|to) each\b(?! [a-z])")
# "Twelves are cheaper", "tens please", "from 25s": packs by their plural alone.
_ALONE = re.compile(
    rf"(?:\bfrom |\bthe |^\W*|[.,;] ?)(?P<n>{_PLURAL}|\d+'?s)\b(?= (?:are|is|come|instead|please|then|now|only|work)\b|\W*$|[.,;])"
)
# "If a bunch of sprengeri has 25 in it", "counted a bunch this morning: 22".
_BUNCH_HAS = re.compile(
    rf"\b(?:a|the|each|every|one|1) {_BUNCH} (?:of [a-z' -]{{2,30}}? )?(?:has|holds|is|contains|comes to|counts)(?: about| only)? (\d+)\b(?! ?(?:%|cm|days?|g\b|euros?|pounds?))"
)
_SINGLY = re.compile(
    r"\b(?:sold|sell|come|comes|buy|bought|priced) (?:singly|individually|one by one|by the (?:single )?stem)\b"
)
# "In 200" is no bunch, "in the fridge in 24 hours" no pack; beyond this a number after a bare "in" is something else.
_MOST = 100.0


def packs(text: str, taken: Taken) -> Claims:
    """The pack size of a message. [stems]"""
    for match in _PACK.finditer(text):
        said = next(group for group in match.groups() if group)
        value = float(_WORDS.get(said, 0) or said.rstrip("s'"))
        if (match[0].startswith("in ") and value > _MOST) or taken(match.start(), match.end()):
            continue
        yield Claim("pack_size", Reading(value, "stems", said=match[0]), (match.start(), match.end()))
    each = _IN_EACH.search(text)
    if each and not taken(each.start(1), each.end(1)):
        yield Claim("pack_size", Reading(float(each[1]), "stems", said=each[1]), (each.start(1), each.end(1)))
    for pattern in (_ALONE, _BUNCH_HAS):
        alone = pattern.search(text)
        if alone and not taken(alone.start(1), alone.end(1)):
            value = float(_WORDS.get(alone[1], 0) or alone[1].rstrip("s'"))
            yield Claim("pack_size", Reading(value, "stems", said=alone[1]), (alone.start(1), alone.end(1)))
    singly = _SINGLY.search(text)
    if singly:
        yield Claim("pack_size", Reading(1.0, "stems", said=singly[0]), (singly.start(), singly.end()))
