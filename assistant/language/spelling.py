"""Slips of the finger in everyday and trade words ("subsitute", "bunchs", "buckt"), put right before reading.

Only words that are neither English, nor part of a material's name, are touched, and only when exactly one known
word is near. Misspelt materials are the name index's business: a word nearer to a name is left alone.
"""

from __future__ import annotations

import re
from functools import cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from assistant.language.names import NameIndex
from assistant.language.ordinary import is_ordinary_word, trade_words
from assistant.language.words import DOMAIN_WORDS, FUNCTION_WORDS

_WORD = re.compile(r"(?<![\w'])[a-z]{4,}(?![\w'])")
_MORE = frozenset(
    """
    arrangement arrangements available botanical bunches celsius condition conditioning cylinder dangerous degrees
    dilute diameter edible explain fahrenheit flammable hydrate instead kilograms litres longest october november
    december january february september poisonous preservative recommend replacement replace refrigerator season
    sensitive source sources store storage substitute substitutes temperature toxic unavailable volume tomorrow
    yesterday saturday thursday wednesday tuesday weekend concentration difference compare better longer alternative
    alternatives evaporate weigh
    """.split()
)


@cache
def _known() -> tuple[str, ...]:
    words = DOMAIN_WORDS | FUNCTION_WORDS | _MORE | trade_words()
    return tuple(sorted(word for word in words if len(word) >= 4 and word.isalpha()))


def put_right(text: str, names: NameIndex) -> str:
    """Normalised text with slips in known words corrected."""
    return _WORD.sub(lambda match: _word(match[0], names), text)


def _word(word: str, names: NameIndex) -> str:
    if is_ordinary_word(word) or names.is_name_part(word) or names.look_up(word):
        return word
    if word.removesuffix("s") in _known() or word.removesuffix("es") in _known():
        return word
    most = 1 if len(word) < 8 else 2
    found = process.extract(word, _known(), scorer=OSA.distance, limit=3, score_cutoff=most)
    if not found:
        return word
    best, distance, _ = found[0]
    rivals = [other for other, d, _ in found[1:] if d == distance and not _same_root(other, best)]
    if rivals:
        return word
    near = names.nearest(word, 1)
    if near and near[0][1] >= 1 - distance / max(len(word), 1):
        return word
    return best


def _same_root(a: str, b: str) -> bool:
    return a.startswith(b[:-1]) or b.startswith(a[:-1])
