"""Parts of a total given to materials: "240 stems at 3:2:1", "20 % protea, 30 % nutans and the rest leucadendron"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from assistant.language.question import Mention

_FRACTIONS = {
    "half": 1 / 2, "a half": 1 / 2, "a third": 1 / 3, "a quarter": 1 / 4, "a fifth": 1 / 5, "a sixth": 1 / 6, "a tenth": 1 / 10,
    "one third": 1 / 3, "1 third": 1 / 3, "one quarter": 1 / 4, "1 quarter": 1 / 4, "one half": 1 / 2, "1 half": 1 / 2,
    "two thirds": 2 / 3, "2 thirds": 2 / 3, "three quarters": 3 / 4, "3 quarters": 3 / 4, "two fifths": 2 / 5, "2 fifths": 2 / 5,
    "three fifths": 3 / 5, "3 fifths": 3 / 5,
}  # fmt: skip
_FRACTIONS |= {name.removeprefix("a "): part for name, part in _FRACTIONS.items() if name.startswith("a ")}
_SHARE = rf"(?P<percent>\d{{1,2}}(?:\.\d+)?) ?(?:%|percent|per cent)|\b(?P<part>{'|'.join(sorted(_FRACTIONS, key=len, reverse=True))})\b"
_REST = r"\b(?P<rest>(?:the |all the )?(?:rest|remainder|balance|remaining)|what(?:'s| is|ever's|ever is) left(?: over)?|the other half)\b"
# What may stand between a share and its name: "20 % of the 150 stems should be queen protea".
_TO_ITS_NAME = re.compile(
    r" ?(?:(?:of|in|as|is|are|to|be|being|should|will|would|can|must|shall|for|the|it|them|those|these|that|all|which|total|stems?|"
    r"flowers|with|some|nice|good|[a-z]+ed|soft|fresh|dried|\d+)[ ,:-]*)*"
)
_EACH_SHARE = re.compile(f"{_SHARE}|{_REST}")
_RATIO = re.compile(
    r"(?<![\d:.])(\d{1,2}(?: ?: ?\d{1,2})+)(?![\d:]| ?(?:am|pm))|(?<![\d.])(\d{1,2}(?: to \d{1,2}){2,})\b"
)
_PARTS_OF = re.compile(r"(?<![\d.])(\d{1,2}) parts? (?:of )?(?:[a-z]+ ){0,2}$")
# "A third of each": thirds said in whole per cents come to a little less than all.
_NEARLY_ALL, _TOO_MUCH = 0.98, 1.0 + 1e-9
_Ids = tuple[str, ...]


def shared(mentions: Sequence[Mention], text: str, total: float) -> list[Mention] | None:
    """The materials with their part of `total` stems, to the nearest stem; None where the message shares nothing out.

    A ratio must have a number for each material, in the order named. Shares must belong to each of them, and come to
    the whole: what is left of it is the share of "the rest".
    """
    kinds = list(dict.fromkeys(m.ids for m in sorted(mentions, key=lambda m: m.start)))
    if len(kinds) < 2:
        return None
    parts = _by_ratio(kinds, text) or _by_parts(kinds, mentions, text) or _by_share(kinds, mentions, text)
    if parts is None:
        return None
    return [replace(m, share=parts[m.ids], stems=float(round(parts[m.ids] * total)), bunches=None) for m in mentions]


def _by_ratio(kinds: Sequence[_Ids], text: str) -> dict[_Ids, float] | None:
    match = _RATIO.search(text)
    numbers = [int(n) for n in re.findall(r"\d+", match[0])] if match else []
    if len(numbers) != len(kinds) or not all(numbers):
        return None
    return {ids: n / sum(numbers) for ids, n in zip(kinds, numbers, strict=True)}


def _by_parts(kinds: Sequence[_Ids], mentions: Sequence[Mention], text: str) -> dict[_Ids, float] | None:
    """ "3 parts roses to 1 part limonium"."""
    said = {m.ids: _PARTS_OF.search(text[: m.start]) for m in mentions}
    numbers = {ids: float(match[1]) for ids, match in said.items() if match}
    if len(numbers) != len(kinds) or not all(numbers.values()):
        return None
    return {ids: n / sum(numbers.values()) for ids, n in numbers.items()}


def _by_share(kinds: Sequence[_Ids], mentions: Sequence[Mention], text: str) -> dict[_Ids, float] | None:
    parts: dict[_Ids, float] = {}
    rest: _Ids | None = None
    for match in _EACH_SHARE.finditer(text):
        place = min((m for m in mentions if m.start >= match.end()), key=lambda m: m.start, default=None)
        if place is None or not _TO_ITS_NAME.fullmatch(text, match.end(), place.start):
            continue
        if match["rest"]:
            rest = place.ids
        elif place.ids not in parts:
            parts[place.ids] = float(match["percent"]) / 100 if match["percent"] else _FRACTIONS[match["part"]]
    left = 1.0 - sum(parts.values())
    if rest is not None and parts and rest not in parts and left > 0:
        parts[rest] = left
    return parts if len(parts) == len(kinds) and _NEARLY_ALL <= sum(parts.values()) <= _TOO_MUCH else None
