"""Words that speak for an input of a figure: where the answer took in no such input, it may have missed something.

"None are going to be wasted" speaks of the loss, "of which there are 25" of the pieces, "since Monday" of days gone by.
A cue decides nothing; the confidence of an answer weighs it (`assistant.dialogue.confidence`).
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from assistant.dialogue.answer import Answer
from assistant.handbook.models import Material


@dataclass(frozen=True, slots=True)
class Cue:
    """Words (`says`) in a question answered as one of `tasks`, for one of the `inputs` of its figures."""

    name: str
    says: re.Pattern[str]
    tasks: frozenset[str]
    inputs: frozenset[str]


CUES = (
    Cue(
        "pieces",
        re.compile(
            r"\b(?:each|every|apiece|per|of them|of those|to (?:make|do)|a (?:table|vase|wreath|chair|piece|jar|jug|bowl|urn|pot|posy|bouquet|basket|arrangement))\b"
        ),
        frozenset({"quantity", "cost"}),
        frozenset({"pieces", "per_length"}),
    ),
    Cue(
        "loss",
        re.compile(
            r"\b(?:wast(?:e|ed|age)|loss(?:es)?|los(?:e|ing)|break(?:s|ages?)?|bin(?:ned)?|damaged?|rejects?|spares?|exact(?:ly)?|on the nose|fail|rubbish|duds?|nothing (?:extra|added)|no extras?)\b"
        ),
        frozenset({"quantity", "cost"}),
        frozenset({"loss_rate"}),
    ),
    Cue(
        "past",
        re.compile(
            r"\b(?:since|already|ago|yesterday|last (?:night|week|mon|tues|wednes|thurs|fri|satur|sun)|(?:have|has|had|'ve|'s|been) (?:been|stood|had)|came in|landed|arrived|delivered|older|stood|sat|gone)\b"
        ),
        frozenset({"longevity", "storage", "refresh"}),
        frozenset({"elapsed_days", "stored_days", "dry_days"}),
    ),
    Cue(
        "dry",
        re.compile(r"\b(?:no water|without water|out of water|dry|not a drop|nothing to drink|unwatered)\b"),
        frozenset({"longevity", "compare"}),
        frozenset({"dry_days", "shelf_life"}),
    ),
    Cue(
        "vessel",
        re.compile(r"\b(?:across|wide|long|deep|tall|high|diameter|dia|inside|inner|outer|rim|brim|by|x)\b"),
        frozenset({"water"}),
        frozenset({"vessel_diameter", "width", "length", "outer", "vessel_height"}),
    ),
    Cue(
        "several vessels",
        re.compile(r"\b(?:pair|both|all|altogether|total|each|\d+ (?:of|such)|x ?\d+|two|three|twice)\b"),
        frozenset({"water", "mixing"}),
        frozenset({"pieces"}),
    ),
)  # fmt: skip
_DRIED = re.compile(r"\b(?:dried|preserved|bleached|dry (?:ones?|sort|kind|stuff)|the dry)\b")


def missed(text: str, answer: Answer, material: Callable[[str], Material]) -> list[float]:
    """For each cue 1.0 where the words are there and the input is not; last, a dried state said of what is shown fresh.

    `text` is the message in normal form, `material` looks up an entry by its id.
    """
    taken = {i.name for f in answer.figures for i in f.inputs if i.origin in ("asked", "earlier")}
    found = [
        float(
            answer.task in cue.tasks
            and bool(answer.figures)
            and not cue.inputs & taken
            and cue.says.search(text) is not None
        )
        for cue in CUES
    ]
    fresh = bool(answer.materials) and not any(material(i).is_dry for i in answer.materials)
    return [*found, float(fresh and _DRIED.search(text) is not None)]


NAMES = (*(f"cue missed: {cue.name}" for cue in CUES), "cue missed: dried")
