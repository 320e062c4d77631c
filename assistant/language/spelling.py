"""Slips of the finger in everyday and trade words ("subsitute", "bucktes", "wtaer"), put right before reading.

Three rules keep this from inventing meaning. A word that is listed English, or a material's name or part of one,
is never touched. A misspelt material is the name index's business, which says in the reply how it was read: a word
as near to a name as to anything else is left to it. And among several words in reach the likeliest slip decides
(`slips`); where that settles nothing, nothing is changed.
"""

from __future__ import annotations

import re
from functools import cache

from rapidfuzz import process
from rapidfuzz.distance import OSA

from assistant.language.cleaning import settle
from assistant.language.names import NameIndex
from assistant.language.ordinary import is_ordinary_word, near_names, trade_words
from assistant.language.slips import BESIDE, DROPPED, FIRST_LETTER, common_words, rank_of, slip
from assistant.language.words import (
    DOMAIN_WORDS,
    EVERYDAY_WORDS,
    FOREIGN_WORDS,
    FUNCTION_WORDS,
    NUMBER_WORDS,
    PARSED_WORDS,
)

_WORD = re.compile(r"(?<![\w'])[a-z]{4,}(?![\w'])")
# Words of general English this common are worth putting right; rarer ones are as likely a name nobody here knows.
_COMMON = 13_000
_SHORTEST_GENERAL = 5
_GENERAL = 3
# Ranks of the words that carry a sentence ("after", "where").
_SMALL_WORDS = 2_500
# Shortest word with a slip of no likely kind, with one in its first letter, and with two.
_SHORTEST_OTHER = 6
_SHORTEST_FIRST = 7
_LONG = 10
_ENDINGS = (
    "s",
    "es",
    "ed",
    "d",
    "ing",
    "in",
    "er",
    "ers",
    "r",
    "est",
    "st",
    "ly",
    "y",
    "en",
    "ens",
    "less",
    "ish",
    "able",
    "ful",
    "ness",
)
# Names of plants end so; what ends so and is not English is a plant the handbook lacks, not a slip.
_BOTANICAL = re.compile(r"(?:ia|ias|ium|iums|um|us|is|ii|ea|eas|ata|ana|ina|ella|aea|era|eras|ys|yx|oides)$")


@cache
def _known() -> tuple[str, ...]:
    words = DOMAIN_WORDS | FUNCTION_WORDS | FOREIGN_WORDS | NUMBER_WORDS | PARSED_WORDS | trade_words()
    words |= {word + "s" for word in DOMAIN_WORDS if not word.endswith("s")}
    words |= {word + "es" for word in DOMAIN_WORDS if word.endswith(("ss", "x", "ch", "sh"))}
    return tuple(sorted(word for word in words if len(word) >= 4 and word.isalpha()))


@cache
def _known_set() -> frozenset[str]:
    return frozenset(_known())


def put_right(text: str, names: NameIndex) -> str:
    """Normalised text with slips in known words corrected; digits and material names stay as typed."""
    if all(_is_fine(match[0], names) for match in _WORD.finditer(text)):
        return text
    spans = [(m.start, m.end) for m in names.misspelt_within(text)]

    def right(match: re.Match[str]) -> str:
        if any(start <= match.start() < end for start, end in spans):
            return match[0]
        return _word(match[0], names)

    mended = _WORD.sub(right, text)
    return mended if mended == text else settle(mended)


def _is_fine(word: str, names: NameIndex) -> bool:
    known = _known_set()
    return (
        word in known
        or word in EVERYDAY_WORDS
        or word in near_names()
        or rank_of(word) is not None
        or rank_of(word.removesuffix("'s")) is not None
        or names.is_name_part(word)
        or word.removesuffix("s") in known
        or (word.endswith(("ses", "xes", "zes", "ches", "shes", "oes")) and word.removesuffix("es") in known)
    )


@cache
def _is_form(word: str) -> bool:
    """A listed word with an ending ("thornless", "diluting", "toughest"), as far as endings can tell."""
    if is_ordinary_word(word):
        return True
    for ending in _ENDINGS:
        stem = word.removesuffix(ending)
        if stem == word or len(stem) < 3:
            continue
        undoubled = stem[:-1] if stem[-1] == stem[-2] else stem
        if any(
            root in _known_set() or root in EVERYDAY_WORDS or rank_of(root) is not None
            for root in (stem, stem + "e", undoubled, re.sub("i$", "y", stem))
        ):
            return True
    return False


def _word(word: str, names: NameIndex) -> str:
    if _is_fine(word, names):
        return word
    best, kind, distance = _best(word, names)
    return word if best is None or _nearer_to_a_name(word, best, kind, distance, names) else best


def _best(word: str, names: NameIndex) -> tuple[str | None, int, int]:
    """The word meant, how it was missed and by how much; None where two are as likely."""
    is_form = _is_form(word)
    found: list[tuple[int, bool, int, int, str]] = []
    most = 1 if len(word) < _LONG else 2
    for choices in (_known(), names.qualifiers):
        for other, apart, _ in process.extract(word, choices, scorer=OSA.distance, limit=6, score_cutoff=most):
            kind = slip(word, other)
            if other in (word + "s", word + "d", word + "es"):
                continue  # the same word, said of one thing or of now
            if _is_credible(word, other, int(apart), kind, is_form=is_form):
                found.append((int(apart), kind > DROPPED, _tier(other), kind, other))
    if len(word) >= _SHORTEST_GENERAL and not is_form and not _BOTANICAL.search(word):
        for length in range(len(word) - 1, len(word) + 2):
            choices = common_words(word[0], length, _COMMON)
            near = process.extract(word, choices, scorer=OSA.distance, limit=4, score_cutoff=1)
            # "Enlarge" is no slip of "enlarged": a word whose end alone is missing stands for itself.
            found += [
                (1, kind > DROPPED, _GENERAL, kind, other)
                for other, _, _ in near
                if (kind := slip(word, other)) <= BESIDE and not other.startswith(word)
            ]
    if not found:
        return None, 0, 0
    found.sort()
    distance, _, tier, kind, best = found[0]
    rivals = [row[-1] for row in found[1:] if row[:-1] == found[0][:-1] and not _same(row[-1], best)]
    if rivals:
        # Of two general words the far commoner one is meant; of two known ones nobody can say.
        ranks = sorted((rank_of(other) or _COMMON, other) for other in {best, *rivals})
        if tier < _GENERAL or ranks[0][0] * 5 > ranks[1][0]:
            return None, 0, 0
        best = ranks[0][1]
    return best, kind, distance


def _tier(word: str) -> int:
    """Words of the trade come before others, and those before the words inside names."""
    return 0 if word in DOMAIN_WORDS else 1 if word in _known_set() else 2


def _is_credible(word: str, other: str, apart: int, kind: int, *, is_form: bool) -> bool:
    """Whether a word of this length and kind can be that slip of a known word. The shorter a word, the likelier that
    it is simply another word."""
    if is_form:  # "wtaer" and "warer" only look like inflected words; what is truly one is in `EVERYDAY_WORDS`
        return apart == 1 and kind <= BESIDE and not other.startswith(word)
    if apart > 1 or kind >= FIRST_LETTER:
        return word[0] == other[0] if apart > 1 else len(word) >= _SHORTEST_FIRST
    return kind <= BESIDE or len(word) >= _SHORTEST_OTHER


def _nearer_to_a_name(word: str, best: str, kind: int, distance: int, names: NameIndex) -> bool:
    """A material's name is at least as near: the name index reads it, and says so. Not where both are one word
    ("stock"): its everyday meaning is sorted out by the words around it. And of "after" and "aster", as near as each
    other, the small word is meant: it is typed a hundred times as often, and a flower never named must not turn up."""
    small = best in FUNCTION_WORDS and (rank_of(best) or _COMMON) < _SMALL_WORDS
    return any(
        names.look_up(name) != names.look_up(best)
        and ((apart, slip(word, name)) < (distance, kind) or (not small and apart == distance))
        for name, apart in names.near(word, distance)
        if (apart, slip(word, name)) <= (distance, kind)
    )


def _same(a: str, b: str) -> bool:
    """One word in two forms: singular and plural, "litres" and "liters"."""
    return a.startswith(b[:-1]) or b.startswith(a[:-1]) or sorted(a) == sorted(b)
