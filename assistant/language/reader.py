"""The task reader: which task a message asks for, from its words, signals and slots together.

The signals of `language.tasks` see only phrases somebody thought of. This reader weighs them with the message's
words and filled slots by a linear model (softmax), fitted by `evals/fit_reader.py` on the question sets that may be
looked at. It says how sure it is; where it is not, the dialogue asks its sister in `retrieval.reader`, which also
sees the message's meaning.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping, Sequence
from functools import cache
from importlib import resources
from typing import Any

from assistant.handbook.loading import Handbook
from assistant.language.features import TASKS, dense_features, masked_text, scope_features, tokens
from assistant.language.question import Question, Task

# Above this the reader's word is taken; on questions nobody fitted it to it is then right 19 times in 20.
SURE = 0.85
# How much the dense features weigh against a word; fixed before fitting.
DENSE_SCALE = 0.5


@cache
def _data() -> dict[str, Any]:
    path = resources.files("assistant.language") / "reader.json"
    data: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return data


def _weights() -> tuple[Sequence[float], Mapping[str, Sequence[float]], Sequence[Sequence[float]]]:
    """Biases [task], word weights {token: [task]}, dense weights [feature][task]."""
    data = _data()
    return data["bias"], data["words"], data["dense"]


def in_scope(question: Question, handbook: Handbook) -> float:
    """Probability that the message is about the trade at all, by its words and what was recognised in it."""
    scope = _data()["scope"]
    words: Mapping[str, float] = scope["words"]
    total = float(scope["bias"])
    total += sum(words.get(token, 0.0) for token in set(tokens(masked_text(question, handbook))))
    total += sum(x * w for x, w in zip(scope_features(question), scope["dense"], strict=True))
    return 1 / (1 + math.exp(-max(min(total, 50.0), -50.0)))


def read_task(question: Question, handbook: Handbook) -> dict[Task, float]:
    """Probability of each task, adding up to 1."""
    bias, words, dense = _weights()
    total = list(bias)
    for token in set(tokens(masked_text(question, handbook))):
        weights = words.get(token)
        if weights is not None:
            for i, weight in enumerate(weights):
                total[i] += weight
    for value, weights in zip(dense_features(question), dense, strict=True):
        if value:
            for i, weight in enumerate(weights):
                total[i] += value * DENSE_SCALE * weight
    return dict(zip(TASKS, softmax(total), strict=True))


def softmax(total: Sequence[float]) -> list[float]:
    """Probabilities from scores, adding up to 1."""
    most = max(total)
    powers = [math.exp(value - most) for value in total]
    whole = sum(powers)
    return [power / whole for power in powers]
