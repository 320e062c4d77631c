"""What the task reader sees of a message: its words with names and numbers masked, the signals, the slots."""

from __future__ import annotations

import re
from collections.abc import Iterator
from itertools import pairwise
from typing import Literal

from assistant.handbook.loading import Handbook
from assistant.language.question import NUMBER_SLOTS, Question, Task
from assistant.language.tasks import choose_task, score_tasks

TASKS: tuple[Task, ...] = (
    "longevity", "quantity", "water", "mixing", "substitute", "care", "storage", "hazard", "refresh", "compare",
    "explain", "season", "describe", "cost",
)  # fmt: skip
# A material is masked by what it is, so that what was learnt from roses holds for gerberas.
_KIND_WORDS = {
    "flower": "flowers",
    "foliage": "greens",
    "berry": "berries",
    "branch": "branches",
    "grass": "grass",
    "dried": "dried flowers",
    "preserved": "preserved greens",
}
_SLOTS = (
    "display_temperature", "storage_temperature", "display_days", "stored_days", "elapsed_days", "dry_days", "stems",
    "bunches", "pieces", "pack_size", "loss_rate", "confidence", "volume", "concentration", "strength", "label_dose",
    "width", "height", "depth", "diameter", "fill_height", "length", "price", "factor", "month", "support", "place",
    "audience", "vessel", "shape", "form", "colours", "kinds", "roles", "until_date", "since_date", "start_date", "count",
    "humidity", "storage_method", "parts",
)  # fmt: skip
DENSE_NAMES: tuple[str, ...] = (
    *(f"signal {t}" for t in TASKS),
    *(f"slot {s}" for s in _SLOTS),
    "materials",
    "counted",
    "unavailable",
)
# Names that are also food, people or everyday things: alone they don't make a message about flowers.
EVERYDAY_NAMES = frozenset(
    """
    stock stocks rose iris mint rosemary oats wheat barley dill olive bay lavender cotton sage heather holly ivy lily daisy
    box palm pine oak cedar fir moss cherry blossom apple pepper ginger lotus poppy flax grass
    """.split()
)
SCOPE_NAMES: tuple[str, ...] = (
    "materials", "materials with a plain name", "domain words", "foreign words", "unknown words", "slots", "measures", "best signal", "length",
)  # fmt: skip
# What a follow-up can be: the last ask again with something changed, a question about the answer, or an ask of its own.
FollowUp = Task | Literal["same", "why", "sources", "out"]
FOLLOW_UPS: tuple[FollowUp, ...] = ("same", "why", "sources", "out", *TASKS)
FOLLOW_UP_NAMES: tuple[str, ...] = (
    *(f"after {t}" for t in TASKS),
    "refers back", "corrects", "picks one", "length", "numbers", "materials", "unknown words", "foreign words", "domain words",
    "asks nothing", "best signal",
)  # fmt: skip
# How much the task asked before weighs against a word; fixed before fitting.
_AFTER = 1.5
_TOKEN = re.compile(r"[a-z']+|\d+|\?")


def masked_text(question: Question, handbook: Handbook) -> str:
    """The normalised message with each material as its kind's word and each number as 5."""
    text = question.normal
    for mention in sorted(question.mentions, key=lambda m: -m.start):
        word = _KIND_WORDS[handbook.materials[mention.ids[0]].kind]
        text = text[: mention.start] + word + text[mention.end :]
    return re.sub(r"\d+(?:\.\d+)?", "5", text)


def dense_features(question: Question) -> list[float]:
    """Signal strengths, filled slots and what is known of the materials, in the order of `DENSE_NAMES`."""
    materials = {m.ids for m in question.mentions}
    text = question.normal
    scores = choose_task(text, score_tasks(text), question.slots, len(question.mentions), len(question.mentions))
    return [
        *(scores.get(task, 0.0) for task in TASKS),
        *(1.0 if slot in question.slots else 0.0 for slot in _SLOTS),
        float(min(len(materials), 3)),
        float(any(m.stems or m.bunches for m in question.mentions)),
        float(any(m.unavailable for m in question.mentions)),
    ]


def scope_features(question: Question) -> list[float]:
    """How much of the message belongs to the trade, in the order of `SCOPE_NAMES`; counts are capped."""
    plain = {m.ids for m in question.mentions if m.said not in EVERYDAY_NAMES and m.how != "fuzzy"}
    measures = set(question.slots) - {
        "audience",
        "place",
        "until_date",
        "since_date",
        "month",
        "count",
        "colours",
        "kinds",
    }
    return [
        float(min(len({m.ids for m in question.mentions}), 3)),
        float(min(len(plain), 3)),
        float(min(question.domain_words, 5)),
        float(min(len(question.foreign_words), 4)),
        float(min(len(question.unknown), 5)),
        float(min(len(question.slots), 4)),
        float(min(len(measures), 4)),
        max((ask.score for ask in question.asks), default=0.0),
        min(len(question.normal.split()), 20) / 10,
    ]


def follow_up_features(question: Question, last: Task) -> list[float]:
    """What was asked before and how much this message leans on it, in the order of `FOLLOW_UP_NAMES`; counts are capped."""
    return [
        *(_AFTER if task == last else 0.0 for task in TASKS),
        float(question.refers_back),
        float(question.corrections),
        float(question.ordinal is not None),
        min(len(question.normal.split()), 15) / 5,
        float(bool(NUMBER_SLOTS.keys() & question.slots.keys())),
        float(bool(question.mentions)),
        min(len(question.unknown), 4) / 2,
        float(min(len(question.foreign_words), 3)),
        min(question.domain_words, 4) / 2,
        float(not question.asks),
        max((ask.score for ask in question.asks), default=0.0) / 2,
    ]


def tokens(masked: str) -> Iterator[str]:
    """Words and pairs of neighbouring words."""
    words = _TOKEN.findall(masked)
    yield from words
    for first, second in pairwise(words):
        yield f"{first} {second}"
