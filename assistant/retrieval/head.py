"""The reading head: a small network over the encoder's word vectors that is trained for what this assistant must know
of a message.

The encoder itself stays as published. One layer of attention (128 wide, 4 heads) over its last states, then four
learnt queries that each pool the words they look for; their outputs, beside the plain features of `language.features`,
give the scores of tasks, subject and follow-up. `evals/fit_reader.py` trains several of them from different starts and
keeps their weights in `reader.npz`; here they are only multiplied out.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from assistant.retrieval.encoder import Vectors

WIDTH = 128
ATTENTION_HEADS = 4
QUERIES = 4
# Sharpness of the pooling queries, fixed before training.
SHARPNESS = 4.0


class ReadingHead:
    """One trained head. `weights` are the arrays of its parts by name, as `torch` names them.

    Shapes: words of a message (n, 384) to a reading vector (QUERIES * WIDTH,); features as in `language.features`.
    """

    def __init__(self, weights: Mapping[str, NDArray[np.floating]]) -> None:
        self._w = {name: np.asarray(array, dtype=np.float32) for name, array in weights.items()}

    def vector(self, states: Vectors) -> Vectors:
        """The reading vector of a message from the encoder's last states of its tokens (n, 384)."""
        w = self._w
        x = np.maximum(states @ w["inp.weight"].T + w["inp.bias"], 0.0)
        x = _normed(x + self._attended(x), w["block.norm1.weight"], w["block.norm1.bias"])
        hidden = np.maximum(x @ w["block.linear1.weight"].T + w["block.linear1.bias"], 0.0)
        fed = hidden @ w["block.linear2.weight"].T + w["block.linear2.bias"]
        x = _normed(x + fed, w["block.norm2.weight"], w["block.norm2.bias"])
        looked = _softmax(w["queries"] @ x.T / np.sqrt(np.float32(WIDTH)) * SHARPNESS)
        pooled: Vectors = (looked @ x).reshape(-1).astype(np.float32)
        return pooled

    def scores(self, of: str, vector: Vectors, features: list[float]) -> list[float]:
        """Scores of the parts of one answer ("task", "scope" or "follow_up") before they are made chances."""
        joined = np.concatenate([vector, np.asarray(features, dtype=np.float32)])
        return [float(x) for x in self._w[f"{of}.weight"] @ joined + self._w[f"{of}.bias"]]

    def _attended(self, x: Vectors) -> Vectors:
        """Scaled dot-product self-attention of all words, several heads."""
        w = self._w
        joined = x @ w["block.self_attn.in_proj_weight"].T + w["block.self_attn.in_proj_bias"]
        count, size = len(x), WIDTH // ATTENTION_HEADS
        q, k, v = (
            part.reshape(count, ATTENTION_HEADS, size).transpose(1, 0, 2) for part in np.split(joined, 3, axis=1)
        )
        weights = _softmax(q @ k.transpose(0, 2, 1) / np.sqrt(np.float32(size)))
        out: Vectors = (weights @ v).transpose(1, 0, 2).reshape(count, WIDTH)
        return out @ w["block.self_attn.out_proj.weight"].T + w["block.self_attn.out_proj.bias"]


def _normed(x: Vectors, scale: Vectors, shift: Vectors) -> Vectors:
    mean = x.mean(axis=-1, keepdims=True)
    spread = np.sqrt(((x - mean) ** 2).mean(axis=-1, keepdims=True) + 1e-5)
    out: Vectors = (x - mean) / spread * scale + shift
    return out


def _softmax(x: Vectors) -> Vectors:
    powers = np.exp(x - x.max(axis=-1, keepdims=True))
    out: Vectors = powers / powers.sum(axis=-1, keepdims=True)
    return out
