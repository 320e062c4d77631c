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
from assistant.language.words import FUNCTION_WORDS

_SORT = re.compile(
    r"\b(?P<words>[a-z]+(?:[ -][a-z]+){0,2}) (?:ones?|yins?|sorts?|kinds?|types?|versions?|variety|lot|stuff)\b"
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
# The state is plainly chosen, however long the message: "what about fresh …", "make it the preserved leaf", "dried then".
_PLAINLY = re.compile(
    r"\b(?:i (?:mean|meant)|(?:what|how) about|make (?:it|them|that)|go for|go with|switch to|change to|but) (?:the )?$"
)
_THEN = re.compile(r"(?: ones?)? then\b|(?: ones?)?[.,;:]")
_I_MEAN = re.compile(r" i (?:mean|meant)\b")
# A state that the stems come to be in or are bought in: "once it's preserved", "ones just dried", "do we sell it fresh".
_BROUGHT_TO = re.compile(
    r"\b(?:(?:once|when|after) (?:it's|it is|they're|they are|i've|we've)|ones (?:just |only |simply )?|(?:or|just) go|"
    r"(?:get|buy|sell|have|stock|take|order) (?:it|them|those|that)) ?$"
)
_MY_OWN = re.compile(r"\bdry (?:your|my|our|her|his|their) own\b")
# A sort chosen without a noun: "the globe then", "no, the feathery", "the purple please".
_CHOSEN = re.compile(
    r"^\W*(?:(?:no|ok|okay|right|so|well|oh|and|or|sorry)[ ,]+)*(?:the )?(?P<words>[a-z]+(?:[ -][a-z]+)?),? (?:then|please|i (?:mean|meant))\b|"
    r"^\W*(?:no|sorry|not that)[ ,]+the (?P<last>[a-z]+(?:[ -][a-z]+)?)\W*$|^\W*(?:(?:no|ok|right|so)[ ,]+)*(?:the )?(?P<odd>[a-z]+)[.;,] "
)
_WITH_PART = re.compile(r"\b(?:one|ones|sort|kind|stuff) with (?:the |its )?(?P<part>[a-z]+)(?: on| in)?\b")
_WHICH_NEXT = re.compile(r"\b(?:when's|when is|when are|(?:what|how) about|and) (?:the )?$")
_THE_OTHER = re.compile(
    r"\bthe other(?: one)?(?=\W*(?:$|[?.,;])|'s\b| (?:be|is|was|has|had|does|do|did|will|would|can|last|keep|hold|come|go|need|at|in)\b)"
)
_LEAST_STEM = 5
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
            if found is None:  # its looks alone may pick another one, not the one spoken of anyway
                looks = _of_looks(said, spoken_of, names, handbook)
                found = looks if (looks,) != tuple(spoken_of) else None
            if found is not None:
                return Mention((found,), said, match.end("words") - len(said), match.end("words"))
    without_noun = _named_alone(q, spoken_of, names, handbook)
    if without_noun is not None:
        return without_noun
    state = _STATE.search(q.normal)
    if state is None or _KEEPS.search(q.normal[: state.start()]):
        return None
    brought = state["state"] != "dry" and _BROUGHT_TO.search(q.normal[: state.start()]) is not None
    brought = brought or _I_MEAN.match(q.normal[state.end() :]) is not None
    plainly = (
        brought
        or _PLAINLY.search(q.normal[: state.start()]) is not None
        or (
            _THEN.match(q.normal[state.end() :]) is not None
            and re.fullmatch(r"\W*(?:\w+ )?", q.normal[: state.start()])
        )
    )
    meant = plainly or _MEANS.search(q.normal) or len(q.normal.split()) <= 2
    if (len(q.normal.split()) > _SHORT and not plainly) or not meant:
        return None
    found = _of_state(state["state"], spoken_of, names, handbook)
    return None if found is None else Mention((found,), state["state"], state.start("state"), state.end("state"))


def _named_alone(q: Question, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> Mention | None:
    """A sort picked without "one" behind it: "the globe then", "the one with the seeds on", "when's cherry around"."""
    chosen = _CHOSEN.search(q.normal)
    group = chosen.lastgroup if chosen is not None else None
    if chosen is not None and group is not None and (group != "odd" or chosen["odd"] in q.unknown):
        said = chosen[group]
        found = _of_sort(said, spoken_of, names, handbook) or _of_looks(said, spoken_of, names, handbook)
        if found is not None:
            return Mention((found,), said, chosen.start(group), chosen.end(group))
    part = _WITH_PART.search(q.normal)
    if part is not None:
        bare = _singular(part["part"])
        found = next((i for form in (f"{bare}ed", bare) if (i := _of_sort(form, spoken_of, names, handbook))), None)
        if found is not None:
            return Mention((found,), part["part"], part.start("part"), part.end("part"))
    for word in q.unknown:
        place = re.search(rf"\b{re.escape(word)}\b", q.normal)
        found = _of_sort(word, spoken_of, names, handbook)
        if place and found is not None and _WHICH_NEXT.search(q.normal[: place.start()]):
            return Mention((found,), word, place.start(), place.end())
        of_one = [i for i in spoken_of if any(_singular(word) in map(_singular, name) for name in _names(i, handbook))]
        by_name = re.search(rf"\b(?:the|that|those|these) {re.escape(word)}\b", q.normal)
        if by_name and len(of_one) == 1 and len(spoken_of) > 1:  # "does the geranium hold", of a list
            return Mention((of_one[0],), word, by_name.end() - len(word), by_name.end())
    own = _MY_OWN.search(q.normal)
    fresh = names.in_state(spoken_of[0], "fresh") if own and len(spoken_of) == 1 else None
    return Mention((fresh,), "own", own.end() - len("own"), own.end()) if own and fresh else None


def the_other(q: Question, spoken_of: Sequence[str], recent: Sequence[str]) -> Mention | None:
    """ "When can the other be had", after one of two was asked about: the one before it; None where no two are in play."""
    said = _THE_OTHER.search(q.normal)
    before = [i for i in recent if i not in spoken_of]
    if said is None or q.mentions or len(spoken_of) != 1 or not before:
        return None
    return Mention((before[-1],), said[0], said.start(), said.end())


def of_the_colour(q: Question, choices: Sequence[str], handbook: Handbook) -> str | None:
    """The one of several materials that comes in the colour a message chooses ("purple she said, not the yellow ones")."""
    if not choices or q.mentions or "colours" not in q.slots:
        return None
    denied = re.search(r"\bnot (?:the )?([a-z]+)", q.normal)
    wanted = [c for c in q.slots["colours"].words if denied is None or c != denied[1]]
    fits = [i for i in choices if (own := handbook.materials[i].colours) and wanted and wanted[0] in own.names]
    return fits[0] if len(fits) == 1 else None


def described(words: str, choices: Sequence[str], handbook: Handbook) -> str | None:
    """The one of several materials that such words are used of in its names or its look: "the brainy one", of celosias."""
    said = [w for w in words.replace("-", " ").split() if w not in _NO_LOOK and w not in FUNCTION_WORDS]
    fits = [sum(any(_alike(word, held) for held in _look(i, handbook)) for word in said) for i in choices]
    best = max(fits, default=0)
    return choices[fits.index(best)] if best and fits.count(best) == 1 else None


_NO_LOOK = frozenset("the a an of in on it one ones sort kind big small nice good new old other same long soft".split())


def _look(material_id: str, handbook: Handbook) -> set[str]:
    material = handbook.materials[material_id]
    colours = material.colours.names if material.colours else ()
    told = re.findall(r"[a-z]+", " ".join([material.summary.text, *colours]).lower())
    return {word for name in _names(material_id, handbook) for word in name} | {w for w in told if w not in _NO_LOOK}


def _alike(word: str, other: str) -> bool:
    """The same word but for its ending ("brainy", "brain"; "pompoms", "pompon")."""
    one, two = _singular(word), _singular(other)
    return one == two or (min(len(one), len(two)) >= _LEAST_STEM and one[:_LEAST_STEM] == two[:_LEAST_STEM])


def _of_looks(words: str, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> str | None:
    """The namesake of the only one spoken of that the words describe, and do not describe that one."""
    if len(spoken_of) != 1:
        return described(words, spoken_of, handbook)
    choices = (spoken_of[0], *names.namesakes(spoken_of[0]))
    return described(words, choices, handbook) if len(choices) > 1 else None


_LEFT_OUT = re.compile(
    r"\b(?:without|drop|remove|leave out|minus|skip|lose|forget|ditch|scrap|bin|no) (?:the |those |these )?(?P<part>[a-z']+)\b"
)


def left_out(q: Question, spoken_of: Sequence[str], handbook: Handbook) -> Mention | None:
    """ "Lose the bells": the one of several materials that a word of its name picks, to be taken out; None for no such word."""
    said = _LEFT_OUT.search(q.normal)
    if said is None or q.mentions or len(spoken_of) < 2:
        return None
    part = _singular(said["part"])
    fits = [i for i in spoken_of if any(part in map(_singular, name) for name in _names(i, handbook))]
    if len(fits) != 1:
        return None
    return Mention((fits[0],), said["part"], said.start("part"), said.end("part"))


_DEFINITE = re.compile(
    r"\bthe (?:white|red|pink|yellow|blue|green|big|little|round|orange|black) $|\b(?:the|that|those|these|any|both|all|drop|finished|without|ditch|lose) $"
)
_NEW_ONE = re.compile(r"\b(?:fresh|real|other|new|proper|normal|ordinary|regular|standard) $")
# Words for parts of a plant that are names as well.
_PARTS = frozenset({"berry", "berries", "pod", "pods", "grass", "grasses", "leaf", "leaves", "seedheads", "seed heads"})


_PART_DOES = re.compile(
    r" (?:are |keep |all |have |were )*(?:drop|fall|fell|shrivel|shed|com(?:e|ing) off|stain|dirty|going|go|turn|wrinkl)\w*\b"
)
# The new one only stood beside what was spoken of: "one's gone black, it was in with the roses overnight".
_STOOD_WITH = re.compile(
    r"\b(?:was|were|been|left|night|overnight|stood|sat|shut)\b[^.?!]{0,20}\bin with (?:the |my |our |some )?$"
)


def only_beside(q: Question, spoken_of: Sequence[str]) -> bool:
    """Is the one material named just the company that those spoken of were kept in?"""
    if len(q.mentions) != 1 or not spoken_of or set(q.mentions[0].ids) & set(spoken_of):
        return False
    return _STOOD_WITH.search(q.normal[: q.mentions[0].start]) is not None


def as_spoken_of(q: Question, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> tuple[Mention, ...]:
    """The mentions with "the gerbs" read as the mini gerberas just spoken of, and "the berries" of one as no material."""
    kept: list[Mention] = []
    for m in q.mentions:
        same = [i for i in m.ids if i in spoken_of]
        if m.id is None and len(same) == 1 and not _NEW_ONE.search(q.normal[: m.start]) and _is_the_same(m, q):
            kept.append(replace(m, ids=(same[0],), usual=None, how="exact"))
            continue
        if same or m.said in _STATES or _NEW_ONE.search(q.normal[: m.start]):
            kept.append(m)
            continue
        related = [i for i in spoken_of if _is_related(m, i, names, handbook)]
        definite = m.negated or _DEFINITE.search(q.normal[: m.start]) is not None
        namesakes = [i for s in spoken_of for i in (s, *names.namesakes(s))]
        looks = described(m.said, list(dict.fromkeys(namesakes)), handbook) if m.id is None and definite else None
        if len(related) == 1 and definite:
            kept.append(replace(m, ids=(related[0],), usual=None, how="exact"))
        elif looks is not None and (looks not in spoken_of or m.said not in _PARTS):
            kept.append(replace(m, ids=(looks,), usual=None, how="exact"))
        elif not (spoken_of and m.said in _PARTS and (definite or _PART_DOES.match(q.normal[m.end :]))):
            kept.append(m)
    return tuple(kept)


def _is_the_same(m: Mention, q: Question) -> bool:
    """ "If I did find the daisies after all": a shared name said of what was spoken of, and not of all that bear it."""
    return _DEFINITE.search(q.normal[: m.start]) is not None or re.search(r"\bafter all\b", q.normal) is not None


def _is_related(m: Mention, material_id: str, names: NameIndex, handbook: Handbook) -> bool:
    """Another state of the one mentioned, or a material whose name ends in or holds the word said."""
    whole = m.id is not None and handbook.materials[m.id].is_dry  # a dry one named in full is itself
    if not whole and any(names.in_state(i, state) == material_id for i in m.ids for state in _STATES):
        return True
    said = [_singular(word) for word in m.said.replace("-", " ").split()]
    own = [m.id] if m.id and "-" not in m.id else said  # "the gerbs": gerbera, which mini gerbera holds
    every = _names(material_id, handbook)
    # A whole name of one material ("holly") is another one only where that one's first name holds it ("mini gerbera").
    words = [{_singular(word) for word in name} for name in (every[:1] if m.id else every)]
    return any(set(said) <= held or set(own) <= held for held in words)


def _singular(word: str) -> str:
    if word in ("leaves", "berries"):
        return {"leaves": "leaf", "berries": "berry"}[word]
    return word[:-1] if len(word) > 3 and word.endswith("s") and not word.endswith("ss") else word


def _of_state(word: str, spoken_of: Sequence[str], names: NameIndex, handbook: Handbook) -> str | None:
    """The one of them in that state, or the other state of the only one."""
    state = {"dry": "dried", "dyed": "dried"}.get(word, word)
    if state not in _STATES:
        return None
    fits = [i for i in spoken_of if _is_in(state, i, handbook)]
    told = [i for i in fits if state == "fresh" or i.startswith(f"{state}-")]
    may_be = [found for i in spoken_of if i not in fits and (found := names.in_state(i, state))]
    if not told and len(may_be) == 1:
        return may_be[0]  # "the dried ones", of fresh craspedia in reindeer moss
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
