"""The readers that also see meaning: trained heads over the encoder's word vectors, beside signals and slots.

They are fitted by `evals/fit_reader.py` like `language.reader`. Task and subject are asked here only where that one
is not sure; follow-ups have no sister there, as what a follow-up means lies less in its words than in what they are
near to.
"""

from __future__ import annotations

import math
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING

from assistant.handbook.loading import Handbook
from assistant.language.features import (
    FOLLOW_UPS,
    TASKS,
    FollowUp,
    dense_features,
    follow_up_features,
    masked_text,
    scope_features,
)
from assistant.language.question import Question, Task
from assistant.language.reader import DENSE_SCALE, softmax
from assistant.retrieval.encoder import Encoder

if TYPE_CHECKING:
    from assistant.retrieval.encoder import Vectors
    from assistant.retrieval.head import ReadingHead


_KEPT: dict[tuple[str, str], tuple[Vectors, ...]] = {}
_MOST_KEPT = 32


@cache
def heads() -> tuple[ReadingHead, ...]:
    """The trained heads of `reader.npz`; their chances are averaged."""
    import numpy as np

    from assistant.retrieval.head import ReadingHead

    with resources.as_file(resources.files("assistant.retrieval") / "reader.npz") as path, np.load(path) as data:
        arrays = {name: data[name] for name in data.files}
    count = 1 + max(int(name.partition(".")[0]) for name in arrays)
    return tuple(
        ReadingHead({name.partition(".")[2]: array for name, array in arrays.items() if name.startswith(f"{number}.")})
        for number in range(count)
    )


def in_scope(question: Question, handbook: Handbook, encoder: Encoder) -> float:
    """Probability that the message is about the trade at all, by its meaning and what was recognised in it."""
    features = scope_features(question)
    scores = [
        head.scores("scope", vector, features)[0]
        for head, vector in zip(heads(), _vectors(masked_text(question, handbook), encoder), strict=True)
    ]
    return sum(1 / (1 + math.exp(-max(min(score, 50.0), -50.0))) for score in scores) / len(scores)


def read_task(question: Question, handbook: Handbook, encoder: Encoder) -> dict[Task, float]:
    """Probability of each task, adding up to 1."""
    features = [x * DENSE_SCALE for x in dense_features(question)]
    return dict(zip(TASKS, _chances("task", masked_text(question, handbook), features, encoder), strict=True))


def read_follow_up(question: Question, last: Task, handbook: Handbook, encoder: Encoder) -> dict[FollowUp, float]:
    """Probability of each thing a message in a talk can be, after an answer to `last`; adding up to 1."""
    features = [*(x * DENSE_SCALE for x in dense_features(question)), *follow_up_features(question, last)]
    return dict(zip(FOLLOW_UPS, _chances("follow_up", masked_text(question, handbook), features, encoder), strict=True))


def _chances(of: str, text: str, features: list[float], encoder: Encoder) -> list[float]:
    """The mean of what the heads hold likely."""
    each = [
        softmax(head.scores(of, vector, features))
        for head, vector in zip(heads(), _vectors(text, encoder), strict=True)
    ]
    return [sum(column) / len(each) for column in zip(*each, strict=True)]


def _vectors(text: str, encoder: Encoder) -> tuple[Vectors, ...]:
    """The reading vectors of a text, one a head; the last are kept, as scope, task and follow-up ask for the same."""
    key = (text, encoder.fingerprint)
    if key not in _KEPT:
        states = encoder.states(text)
        while len(_KEPT) >= _MOST_KEPT:
            _KEPT.pop(next(iter(_KEPT)), None)
        _KEPT[key] = tuple(head.vector(states) for head in heads())
    return _KEPT[key]
