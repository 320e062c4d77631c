"""Asked of one material: how it stands ethylene, and whether it is listed as harmful."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from random import Random

from assistant.drill.generators.known import Known
from assistant.drill.generators.picking import listing
from assistant.drill.item import Blueprint, Choice, Item, OneOf, fingerprint
from assistant.handbook.models import Material

_LEVEL_IDS = ("none", "low", "medium", "high")
_NONE_WORDS = "none|not sensitive|no|not at all|insensitive|doesn't react|no reaction|no sensitivity|unaffected"
_LOW_WORDS = "low sensitivity|slightly|a little|slightly sensitive|weakly|mildly|not very|not very sensitive|slight"
_MEDIUM_WORDS = "moderate|moderately|medium sensitivity|moderately sensitive|fairly|fairly sensitive|somewhat|average"
_HIGH_WORDS = "very|very sensitive|highly|highly sensitive|high sensitivity|extremely|very high|strongly|a lot"
_YES_WORDS = "yes|y|yep|yeah|harmful|toxic|poisonous|it is|unsafe|dangerous|not safe|true|bad|correct"
_NO_WORDS = (
    "no|n|nope|not harmful|non toxic|nontoxic|not toxic|not poisonous|non poisonous|safe|harmless|it isn't|it is not|"
    "isn't|false|not listed|not dangerous"
)
LEVELS = (
    Choice("not known to react", also=tuple(_NONE_WORDS.split("|"))),
    Choice("low", also=tuple(_LOW_WORDS.split("|"))),
    Choice("medium", also=tuple(_MEDIUM_WORDS.split("|"))),
    Choice("high", also=tuple(_HIGH_WORDS.split("|"))),
)
YES = Choice("yes, it is listed as harmful", also=tuple(_YES_WORDS.split("|")))
NO = Choice("no, it is not listed as harmful", also=tuple(_NO_WORDS.split("|")))


def direct_blueprints(known: Known) -> Iterator[Blueprint]:
    for m in known.ordered:
        level = known.ethylene(m)
        if level is not None:
            build = partial(_ethylene, known, m, _LEVEL_IDS.index(level))
            yield Blueprint(f"ethylene:{m.id}:level", "ethylene", m.kind, 2, fingerprint(level), build)
        for who in ("people", "cats", "dogs"):
            harmful = known.hazard(m, who)
            if harmful is not None:
                asked = partial(_hazard, known, m, who, harmful)
                yield Blueprint(f"hazard-{who}:{m.id}:yes-no", "hazards", m.kind, 1, fingerprint(harmful), asked)


def _ethylene(known: Known, m: Material, index: int, _: Random) -> Item:
    return known.item(
        m, f"ethylene:{m.id}:level", topic="ethylene", level=2, section="ethylene",
        question=f"How sensitive is {m.name} to ethylene?", key=OneOf(index), answer=LEVELS[index].text,
        cited=m.ethylene, ask=f"is {m.name} sensitive to ethylene?", choices=LEVELS,
    )  # fmt: skip


def _hazard(known: Known, m: Material, who: str, harmful: bool, _: Random) -> Item:
    return known.item(
        m, f"hazard-{who}:{m.id}:yes-no", topic="hazards", level=1, section="hazards",
        question=f"Is {m.name} listed as harmful to {who}?", key=OneOf(0 if harmful else 1),
        answer=listing(known, m, who), cited=getattr(m.hazards, who), ask=f"is {m.name} safe for {who}?",
        choices=(YES, NO),
    )  # fmt: skip
