"""The readers that also see meaning: the sentence's vector beside the signals and slots.

Linear like `language.reader` and fitted by the same `evals/fit_reader.py`. The task reader is asked only when that one
is not sure; the follow-up reader has no sister, as what a follow-up means lies less in its words than in what they
are near to.
"""

from __future__ import annotations

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
    import numpy as np

# How much the vector weighs against the dense features; fixed before fitting.
VECTOR_SCALE = 5.0


@cache
def _weights() -> tuple[np.ndarray, np.ndarray]:
    """Weights (features, tasks) and biases (tasks)."""
    import numpy as np

    data = _arrays()
    return data["weights"].astype(np.float32), data["bias"].astype(np.float32)


@cache
def _arrays() -> dict[str, np.ndarray]:
    import numpy as np

    with resources.as_file(resources.files("assistant.retrieval") / "reader.npz") as path, np.load(path) as data:
        return {name: data[name] for name in data.files}


def in_scope(question: Question, handbook: Handbook, encoder: Encoder) -> float:
    """Probability that the message is about the trade at all, by its meaning and what was recognised in it."""
    import numpy as np

    data = _arrays()
    vector = encoder.encode([masked_text(question, handbook)])[0] * VECTOR_SCALE
    features = np.concatenate([vector, np.asarray(scope_features(question), dtype=np.float32)])
    total = float(features @ data["scope_weights"].astype(np.float32) + data["scope_bias"])
    return float(1 / (1 + np.exp(-total)))


def read_task(question: Question, handbook: Handbook, encoder: Encoder) -> dict[Task, float]:
    """Probability of each task, adding up to 1."""
    import numpy as np

    weights, bias = _weights()
    vector = encoder.encode([masked_text(question, handbook)])[0] * VECTOR_SCALE
    dense = np.asarray(dense_features(question), dtype=np.float32) * DENSE_SCALE
    return dict(zip(TASKS, softmax([float(x) for x in np.concatenate([vector, dense]) @ weights + bias]), strict=True))


def read_follow_up(question: Question, last: Task, handbook: Handbook, encoder: Encoder) -> dict[FollowUp, float]:
    """Probability of each thing a message in a talk can be, after an answer to `last`; adding up to 1."""
    import numpy as np

    data = _arrays()
    vector = encoder.encode([masked_text(question, handbook)])[0] * VECTOR_SCALE
    dense = np.asarray(dense_features(question), dtype=np.float32) * DENSE_SCALE
    features = np.concatenate([vector, dense, np.asarray(follow_up_features(question, last), dtype=np.float32)])
    total = features @ data["follow_up_weights"].astype(np.float32) + data["follow_up_bias"]
    return dict(zip(FOLLOW_UPS, softmax([float(x) for x in total]), strict=True))
