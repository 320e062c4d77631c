"""Which option an answer names: by letter, by its words, by a number inside its range, or by a material's name."""

from __future__ import annotations

import re

from rapidfuzz import fuzz

from assistant.drill.item import LETTERS, Choice, Item, Number
from assistant.drill.marking.mark import Mark
from assistant.drill.marking.naming import stripped
from assistant.drill.marking.numbers import mark_number
from assistant.drill.points import content
from assistant.language.names import NameIndex, key_of

_SAYS = (
    r"(?:(?:the )?(?:answer|option|choice|letter|number)(?: is|:)?|it'?s|i(?:'?d)? (?:think|say|go (?:for|with)|choose|"
    r"pick|guess)(?: it'?s)?|is|probably|maybe|definitely|must be|going with|choose|pick|um+|er+|hm+|,)"
)
_LETTER = re.compile(rf"^(?:{_SAYS}\s+)*\(?(?P<letter>[a-h])\)?[.):,!]?(?: please| i think| i guess| probably)?$")
_LETTER_FIRST = re.compile(r"^\(?(?P<letter>[a-h])(?:\)|\.|:| -|,) ?(?P<rest>\S.*)$")
_TWO_LETTERS = re.compile(r"^\(?[a-h]\)?(?:,? (?:or|and) |/|, ?)\(?[a-h]\)?(?:,? (?:or|and) \(?[a-h]\)?)*$")
_NONE = "that is none of the options; answer with a letter or in the option's words"
_TWO = "one answer, please"


def read_choice(item: Item, normal: str, names: NameIndex) -> int | str:
    """The index of the option meant, or one sentence why none could be made out."""
    text = normal.strip()
    if _TWO_LETTERS.match(text):
        return _TWO
    match = _LETTER.match(text) or _LETTER_FIRST.match(text)
    if match:
        index = LETTERS.index(match["letter"])
        return index if index < len(item.choices) else _NONE
    text = stripped(text) or text
    for index, choice in enumerate(item.choices):
        if key_of(text) == key_of(choice.text) or key_of(text) in {key_of(word) for word in choice.also}:
            return index
    if all(choice.span is not None for choice in item.choices):
        return _by_number(item.choices, text)
    if any(choice.material for choice in item.choices):
        found = _by_material(item.choices, text, names)
        if found is not None:
            return found
    return _by_words(item.choices, text)


def _by_number(choices: tuple[Choice, ...], text: str) -> int | str:
    """Options never overlap, so a number that fits one fits no other; rounding is tried only if none fits exactly."""
    for slack in (0.0, 0.6):
        marks = [_fit(choice, text, slack) for choice in choices]
        best = max(m.credit for m in marks)
        fits = [i for i, m in enumerate(marks) if m.credit == best]
        if best == 1.0 and len(fits) == 1:
            return fits[0]
        if best > 0 and slack and len(fits) == 1 and best >= 0.5:
            return fits[0]
    return _NONE


def _fit(choice: Choice, text: str, slack: float) -> Mark:
    assert choice.span is not None
    low, high = choice.span
    return mark_number(Number(low, high, choice.unit, whole=choice.unit == "stems", slack=slack, rel=0.0), text)


def _by_material(choices: tuple[Choice, ...], text: str, names: NameIndex) -> int | str | None:
    ids = [choice.material for choice in choices]
    found: set[int] = set()
    for mention in names.find(text):
        here = {i for i, material in enumerate(ids) if material in mention.ids}
        if len(here) == 1:
            found |= here
    if len(found) == 1:
        return found.pop()
    if len(found) > 1:
        return _TWO
    for meant, score in names.nearest(text, 6):
        here = {i for i, material in enumerate(ids) if material in meant}
        if len(here) == 1 and score >= 0.7:
            return here.pop()
    return None


def _by_words(choices: tuple[Choice, ...], text: str) -> int | str:
    """The longest wording that stands in the answer; failing that, the option most alike, if it leads clearly."""
    padded = f" {key_of(text)} "
    spoken = sorted(
        (
            (len(key), i)
            for i, choice in enumerate(choices)
            for word in (choice.text, *choice.also)
            if f" {(key := key_of(word))} " in padded
        ),
        reverse=True,
    )
    if spoken and (len(spoken) == 1 or spoken[0][1] == spoken[1][1] or spoken[0][0] > spoken[1][0]):
        return spoken[0][1]
    scores = sorted(((_alike(text, choice), i) for i, choice in enumerate(choices)), reverse=True)
    if scores[0][0] >= 72 and (len(scores) == 1 or scores[0][0] - scores[1][0] >= 6):
        return scores[0][1]
    return _by_ideas(choices, text)


def _by_ideas(choices: tuple[Choice, ...], text: str) -> int | str:
    """The sentence that shares most telling words with the answer, if they are most of what the answer says."""
    said = content(text)
    shared = sorted(((len(said & content(choice.text)), i) for i, choice in enumerate(choices)), reverse=True)
    if said and shared[0][0] >= 0.5 * len(said) and (len(shared) == 1 or shared[0][0] > shared[1][0]):
        return shared[0][1]
    return _NONE


def _alike(text: str, choice: Choice) -> float:
    said = key_of(text)
    wordings = [key_of(w) for w in (choice.text, *choice.also)]
    whole = max(fuzz.ratio(said, w) for w in wordings)
    # A few telling words of a long sentence are enough; of a short one the whole is wanted.
    part = (
        fuzz.token_set_ratio(said, wordings[0]) - 4 if len(wordings[0].split()) >= 5 and len(said.split()) >= 2 else 0.0
    )
    return max(whole, part)
