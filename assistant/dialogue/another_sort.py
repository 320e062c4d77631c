"""Follow-ups that name a material by its sort, its state or its head alone: "no, the dried ones", "the reindeer sort",
"leave the strawflower out" of a list of dried ones.

What was spoken of before says what is meant; a word that makes no name with it changes nothing.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from assistant.handbook.loading import Handbook
from assistant.language.names import NameIndex
from assistant.language.question import Mention, Question

_SORT = re.compile(
    r"\b(?P<words>[a-z]+(?:[ -][a-z]+){0,2}) (?:ones?|sorts?|kinds?|types?|versions?|variety|lot|stuff)\b"
)
_STATE = re.compile(
    r"\b(?:bone[ -])?(?P<state>dried|dry|preserved|bleached|fresh)\b(?! (?:water|food|air|room|place|cut|ends?|out)\b)"
)
_STATES = ("dried", "preserved", "bleached", "fresh")
# A bare state says nothing of the material in a longer sentence ("will they keep fresh until Saturday").
_SHORT = 6
_MEANS = re.compile(
    r"\b(?:meant?|not|no|actually|sorry|rather|would be|instead|they're|it's|its|they are|it is|ours|mine|hers|says)\b"
)
_KEEPS = re.compile(r"\b(?:stay|keep|look|still|be|kept|last)(?:s|ing)? (?:[a-z]+ )?$")


def another_sort(q: Question, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> Mention | None:
    """The material that a message without a name picks or changes to, given the ids `spoken_of`; None if it does neither."""
    if not spoken_of or any(not m.negated for m in q.mentions):
        return None
    for match in _SORT.finditer(q.normal):
        words = match["words"].split()
        for first in range(len(words)):
            said = " ".join(words[first:])
            found = _of_state(said, spoken_of, names, handbook) or _of_sort(said, spoken_of, names, handbook)
            if found is not None:
                return Mention((found,), said, match.end("words") - len(said), match.end("words"))
    state = _STATE.search(q.normal)
    if state is None or _KEEPS.search(q.normal[: state.start()]):
        return None
    plainly = re.search(r"\bi (?:mean|meant) (?:the )?$", q.normal[: state.start()]) is not None
    if (len(q.normal.split()) > _SHORT and not plainly) or not (_MEANS.search(q.normal) or len(q.normal.split()) <= 2):
        return None
    found = _of_state(state["state"], spoken_of, names, handbook)
    return None if found is None else Mention((found,), state["state"], state.start("state"), state.end("state"))


_DEFINITE = re.compile(r"\b(?:the|that|those|these|any|both|all|drop|finished|without|ditch|lose) $")
_NEW_ONE = re.compile(r"\b(?:fresh|real|other|new|proper|normal|ordinary|regular|standard) $")
# Words for parts of a plant that are names as well.
_PARTS = frozenset({"berry", "berries", "pod", "pods", "grass", "grasses", "leaf", "leaves", "seedheads", "seed heads"})


def as_spoken_of(q: Question, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> tuple[Mention, ...]:
    """The mentions with "the gerbs" read as the mini gerberas just spoken of, and "the berries" of one as no material."""
    kept: list[Mention] = []
    for m in q.mentions:
        if set(m.ids) & set(spoken_of) or _NEW_ONE.search(q.normal[: m.start]):
            kept.append(m)
            continue
        related = [i for i in spoken_of if _is_related(m, i, names, handbook)]
        definite = m.negated or _DEFINITE.search(q.normal[: m.start]) is not None
        if len(related) == 1 and definite:
            kept.append(replace(m, ids=(related[0],), usual=None, how="exact"))
        elif not (spoken_of and m.said in _PARTS and definite):
            kept.append(m)
    return tuple(kept)


def _is_related(m: Mention, material_id: str, names: NameIndex, handbook: Handbook) -> bool:
    """Another state of the one mentioned, or a material whose name ends in or holds the word said."""
    whole = m.id is not None and handbook.materials[m.id].is_dry  # a dry one named in full is itself
    if not whole and any(names.in_state(i, state) == material_id for i in m.ids for state in _STATES):
        return True
    said = [_singular(word) for word in m.said.replace("-", " ").split()]
    own = (m.ids[0].replace("-", " ").split()) if m.id else said
    words = [{_singular(word) for word in name} for name in _names(material_id, handbook)]
    return any(set(said) <= held or set(own) <= held for held in words)


def _singular(word: str) -> str:
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _of_state(word: str, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> str | None:
    """The one of them in that state, or the other state of the only one."""
    state = {"dry": "dried"}.get(word, word)
    if state not in _STATES:
        return None
    fits = [i for i in spoken_of if _is_in(state, i, handbook)]
    if len(fits) == 1 and len(spoken_of) > 1:
        return fits[0]
    if len(spoken_of) != 1:
        return None
    return names.in_state(spoken_of[0], state)


def _is_in(state: str, material_id: str, handbook: Handbook) -> bool:
    dry = handbook.materials[material_id].is_dry
    if state == "fresh":
        return not dry
    told = any(material_id.startswith(f"{other}-") for other in ("preserved", "bleached"))
    return dry and (material_id.startswith(f"{state}-") if state != "dried" else not told)


def _of_sort(words: str, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> str | None:
    for material_id in reversed(spoken_of):
        for head in _heads(material_id, handbook):
            found = names.look_up(f"{words} {head}")
            if len(found) == 1:
                return found[0]
    return None


def _heads(material_id: str, handbook: Handbook) -> Iterator[str]:
    """The last words of a material's names: what a sort's first word would stand before."""
    yield from dict.fromkeys(name[-1] for name in _names(material_id, handbook))


def _names(material_id: str, handbook: Handbook) -> list[list[str]]:
    """The words of each of a material's names, in lower case."""
    material = handbook.materials[material_id]
    every = (material.name, *(name.name for name in material.other_names))
    return [name.lower().replace("-", " ").split() for name in every]
