"""Names: the chat's own matcher decides which material is meant, so a spelling the chat takes is right here too."""

from __future__ import annotations

import re

from rapidfuzz.distance import OSA

from assistant.drill.item import Botanical, Name
from assistant.drill.marking.mark import RIGHT, Mark, partly
from assistant.language.names import NameIndex, key_of, plurals_of

_FUZZY = 0.72  # more lenient than the chat: here it is known which name is expected
_WHOLE = 0.85  # near enough to be the whole name, whatever names its parts are
_LATIN = 0.78
_FILLERS = re.compile(
    r"^(?:(?:it'?s|it is|that'?s|that is|they are|they'?re|i think|i guess|i'?d say|is it|maybe|probably|could "
    r"be|the|an?|called|known as|also|or|answer|is|um|er|its|of course|surely|must be)[ ,:]+)+"
)


def stripped(normal: str) -> str:
    """An answer without the words around it ("it's called …", "I think …")."""
    return _FILLERS.sub("", normal.strip()).strip(" .!?\"'")


def mark_name(key: Name, normal: str, names: NameIndex) -> Mark:
    """Marks normalised text as a name of the material."""
    text = stripped(normal)
    asked = key_of(key.asked)
    echo = {asked, *plurals_of(asked)} if asked else set()
    if _is_echo(text, echo, misspelt=False):
        return Mark("wrong", 0.0, "that is the name in the question")
    own = (key.material,)
    whole = names.look_up(text)
    near = 1.0 if whole == own else _nearness(text, own, names) if not _is_echo(text, echo) else 0.0
    if near >= _WHOLE:
        return RIGHT
    mentions = [m for m in names.find(text) if not m.negated and not _is_echo(m.said, echo, m.how == "fuzzy")]
    meant = {m.ids if len(m.ids) == 1 or m.usual is None else (m.usual,) for m in mentions}
    if key.material in whole:
        meant = {whole}
    if meant == {own}:
        return RIGHT
    single = {ids[0] for ids in meant if len(ids) == 1}
    if single - {key.material}:
        two = key.material in single
        return Mark(
            "wrong", 0.0, "one name, please; those are different materials" if two else f"that is {_listed(single)}"
        )
    if any(key.material in ids for ids in meant):
        return partly(0.5, "that name covers several materials; which one?")
    if near >= _FUZZY:
        return RIGHT
    return Mark("wrong", 0.0, "that is another material" if meant else "the handbook does not know it by that name")


def _nearness(text: str, own: tuple[str, ...], names: NameIndex) -> float:
    """How near the text comes to a name that is this material's alone. [1]"""
    return next((score for ids, score in names.nearest(text, 4) if ids == own), 0.0)


def _is_echo(said: str, echo: set[str], misspelt: bool = True) -> bool:
    """Is it the name in the question, or (if `misspelt`) a misspelling of it?"""
    key = key_of(said)
    return key in echo or (misspelt and any(OSA.normalized_similarity(key, known) >= _WHOLE for known in echo))


def _listed(ids: set[str]) -> str:
    return " and ".join(sorted(i.replace("-", " ") for i in ids))


def mark_botanical(key: Botanical, normal: str) -> Mark:
    """Marks a botanical name: misspellings and an abbreviated genus count, the genus alone is half."""
    said = _latin(stripped(normal))
    if not said:
        return Mark("wrong", 0.0)
    best = Mark("wrong", 0.0)
    for name in key.names:
        for wanted in re.split(r"\band\b|,|/", name):
            mark = _one_botanical(said, _latin(wanted))
            best = max(best, mark, key=lambda m: m.credit)
    return best


def _latin(name: str) -> list[str]:
    words = re.findall(r"[a-z]+", name.lower().replace("×", " "))
    return [
        w
        for w in words
        if w
        not in (
            "x",
            "others",
            "other",
            "and",
            "sp",
            "spp",
            "ssp",
            "subsp",
            "var",
            "cv",
            "cvs",
            "hybrid",
            "hybrids",
            "cultivars",
            "cultivar",
            "types",
            "species",
            "group",
            "the",
            "genus",
        )
    ]


def _one_botanical(said: list[str], wanted: list[str]) -> Mark:
    if not wanted:
        return Mark("wrong", 0.0)
    if OSA.normalized_similarity("".join(said), "".join(wanted)) >= _LATIN + 0.04:
        return RIGHT
    genus = said[0] == wanted[0] or OSA.normalized_similarity(said[0], wanted[0]) >= _LATIN
    short = len(said[0]) == 1 and said[0] == wanted[0][0]
    if len(wanted) == 1:
        return RIGHT if genus and len(said) <= 2 else Mark("wrong", 0.0)
    species = len(said) > 1 and OSA.normalized_similarity(said[1], wanted[1]) >= _LATIN
    if (genus or short) and species:
        return RIGHT
    if genus:
        return partly(
            0.5,
            "the genus is right; the species is missing"
            if len(said) == 1
            else "the genus is right, the species is not",
        )
    return Mark("wrong", 0.0)
