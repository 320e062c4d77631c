"""A handbook of a few entries and an encoder that only counts words: small, exact, and the same everywhere."""

from __future__ import annotations

import re
import zlib
from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material, Rule, Topic


class WordEncoder:
    """Texts with the same words get the same vector. Keeps what it was given to encode."""

    name = "words"
    dimension = 384

    def __init__(self, fingerprint: str = "words:1") -> None:
        self.fingerprint = fingerprint
        self.encoded: list[str] = []

    def encode(self, texts: Sequence[str]) -> NDArray[np.float32]:
        self.encoded += texts
        out = np.zeros((len(texts), self.dimension), dtype=np.float32)
        for row, text in enumerate(texts):
            for word in re.findall(r"\w+", text.lower()):
                out[row, zlib.crc32(word.encode()) % self.dimension] += 1
        norms = np.linalg.norm(out, axis=1, keepdims=True)
        return (out / np.maximum(norms, 1e-12)).astype(np.float32)

    def states(self, text: str) -> NDArray[np.float32]:
        return self.encode(text.split() or [text])


def material(id_: str, summary: str, conditioning: str) -> Material:
    return Material.model_validate(
        {
            "id": id_, "name": id_, "botanical": f"{id_} sp.", "kind": "flower", "roles": "mass",
            "summary": summary, "conditioning": conditioning,
        }
    )  # fmt: skip


def rule(id_: str, title: str, text: str, **more: str) -> Rule:
    return Rule.model_validate({"id": id_, "title": title, "text": text, "basis": "practice", **more})


def handbook(extra_rule: str = "Rinse buckets and let them dry upside down.") -> Handbook:
    """Two materials with two passages each and three rules."""
    rules = (
        rule("wash-buckets", "Wash buckets", extra_rule, asked_as="How clean must a pail be?"),
        rule("no-fruit", "Keep fruit away", "Ripe fruit gives off gas that ages flowers."),
        rule("tulip-paper", "Wrap tall stems", "Paper holds them straight.", materials="tulip"),
    )
    materials = (
        material("rose", "A bloom with thorns.", "Strip the thorns with a cloth, then let it drink deeply."),
        material("tulip", "A bulb flower that bends to light.", "Let it drink in shallow cold water."),
    )
    return Handbook(
        materials={entry.id: entry for entry in materials},
        rules={entry.id: entry for entry in rules},
        topics={"bench": Topic(topic="bench", title="At the bench", rules=rules)},
        tables={},
        sources={},
    )
