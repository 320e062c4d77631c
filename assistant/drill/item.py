"""The shape of a quiz item: what is asked, what is right, and where it stands in the handbook."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from random import Random
from typing import TypeAlias

Span: TypeAlias = tuple[float, float]
LETTERS = "abcdefgh"


@dataclass(frozen=True, slots=True)
class Choice:
    """One option. `material` is set where the option is a material; `span` [in `unit`] where it is a number.

    `also` are other wordings of the same option ("yes", "toxic").
    """

    text: str
    material: str = ""
    span: Span | None = None
    unit: str = ""
    also: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class OneOf:
    """Exactly one option is right."""

    index: int


@dataclass(frozen=True, slots=True)
class Number:
    """A number in `unit`, right anywhere from `low` to `high`.

    `unit` is a unit of the calculators (d, h, min, month, degC, cm, m, ml, l, g, kg, ppm, …) or a plain word
    (stems, bunches, %). `whole`: a count, which has no rounding. `slack` [unit] and `rel` [1] widen the ends.
    """

    low: float
    high: float
    unit: str
    whole: bool = False
    slack: float = 0.0
    rel: float = 0.05


@dataclass(frozen=True, slots=True)
class Name:
    """A material, by any of its names. `asked` is the name that stands in the question: an echo is no answer."""

    material: str
    asked: str = ""


@dataclass(frozen=True, slots=True)
class Botanical:
    """A botanical name; any of `names`."""

    names: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Points:
    """An explanation. Each point is a clause of the handbook's own reason that the answer must contain.

    `given` is what the question already says: its words alone earn nothing. `around` is the rule it stands in: to
    speak of that, and of nothing else, is not the reason, but not beside it either.
    """

    points: tuple[str, ...]
    given: str = ""
    around: str = ""


@dataclass(frozen=True, slots=True)
class Order:
    """`order[n]` is the index of the option that comes n-th."""

    order: tuple[int, ...]


Key: TypeAlias = OneOf | Number | Name | Botanical | Points | Order


@dataclass(frozen=True, slots=True)
class Item:
    """One question, ready to be asked."""

    id: str
    topic: str
    level: int
    question: str
    key: Key
    answer: str
    passage: str
    sources: tuple[str, ...]
    basis: str
    ask: str
    choices: tuple[Choice, ...] = ()

    @property
    def template(self) -> str:
        return self.id.split(":")[0]

    @property
    def entry(self) -> str:
        return self.id.split(":")[1]

    @property
    def right_letter(self) -> str:
        """The letter of the right option; empty for items without one."""
        return LETTERS[self.key.index] if isinstance(self.key, OneOf) else ""


@dataclass(frozen=True, slots=True)
class Blueprint:
    """The lasting part of an item: what the schedule is kept for.

    `id` is `template:entry:field` and never changes while the handbook has the entry. `fingerprint` changes when
    the right answer does. `fresh` items have new numbers each time they are built. `build` returns None where the
    handbook cannot supply enough wrong options that are provably wrong.
    """

    id: str
    topic: str
    kind: str
    level: int
    fingerprint: str
    build: Callable[[Random], Item | None]
    fresh: bool = False

    @property
    def template(self) -> str:
        """What sort of question it is."""
        return self.id.split(":")[0]

    @property
    def entry(self) -> str:
        """The material, rule or table row it asks about."""
        return self.id.split(":")[1]


def fingerprint(*parts: object) -> str:
    """A short hash of whatever decides the right answer."""
    text = json.dumps(parts, sort_keys=True, default=str)
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def shuffled(right: Choice, wrong: list[Choice], rng: Random) -> tuple[tuple[Choice, ...], OneOf]:
    """The options in random order and the key to them."""
    options = [right, *wrong]
    rng.shuffle(options)
    return tuple(options), OneOf(options.index(right))
