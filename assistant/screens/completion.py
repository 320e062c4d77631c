"""Completing names of materials and the openings of questions as they are typed."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.handbook.models import Material

OPENINGS = (
    "how long do ",
    "how long will ",
    "how many bunches of ",
    "how many stems of ",
    "how much water ",
    "how much flower food for ",
    "how much bleach for ",
    "how often should I top up ",
    "how should I condition ",
    "how should I store ",
    "how do I dry ",
    "what can stand in for ",
    "what is ",
    "when are ",
    "which lasts longest: ",
    "compare ",
    "refresh plan for ",
    "are lilies poisonous to cats",
    "is it safe for ",
    "why?",
    "source?",
    "forget the job",
    "what moves it most?",
)
_LONGEST = 4


class Vocabulary:
    """Names to complete, looked up by their beginnings. Never changes once built."""

    def __init__(self, names: Iterable[str] = ()) -> None:
        self._names = sorted({name.lower() for name in names if len(name) > 2})

    def complete(self, typed: str, most: int = 5) -> list[str]:
        """Whole lines that continue what was typed, likeliest first; empty when nothing fits.

        The longest stretch of words at the end that begins a name wins, so "butterfly r" goes on to
        "butterfly ranunculus" and not to "rose".
        """
        if not typed.strip() or typed.endswith("  "):
            return []
        out = [
            opening
            for opening in OPENINGS
            if len(typed) > 1 and opening.startswith(typed.lower()) and len(opening) > len(typed)
        ]
        lines = [typed + opening[len(typed) :] for opening in out]
        words = typed.split(" ")
        for count in range(min(_LONGEST, len(words)), 0, -1):
            piece = " ".join(words[-count:]).lower()
            if len(piece.strip()) < 2:
                continue
            found = self._starting(piece)
            if found:
                return [*lines, *(typed + name[len(piece) :] for name in found)][:most]
        return lines[:most]

    def _starting(self, piece: str) -> list[str]:
        at = bisect_left(self._names, piece)
        found = []
        for name in self._names[at : at + 40]:
            if not name.startswith(piece):
                break
            if len(name) > len(piece):
                found.append(name)
        return sorted(found, key=lambda name: (len(name), name))


def names_to_complete(materials: Iterable[Material]) -> list[str]:
    """Names of handbook entries worth completing: the usual one, its plural, what the trade calls it."""
    out: list[str] = []
    for material in materials:
        out.append(material.name)
        if material.plural:
            out.append(material.plural)
        out += [other.name for other in material.other_names if other.kind in ("common", "trade")]
    return out
