"""Do the ONNX form and the reference form of the sentence model say the same?

    python -m evals.parity

Every passage is encoded by both (cosine between the two vectors), and every question of evals/questions is
answered from an index of each (the same passage first?). Takes about a minute.
"""

from __future__ import annotations

import time
from pathlib import Path

import numpy as np
import yaml

from assistant.handbook.loading import load_handbook
from assistant.handbook.passages import all_passages
from assistant.retrieval.encoder import Encoder, OnnxEncoder, ReferenceEncoder, Vectors
from assistant.retrieval.index import text_of


def asks(folder: Path) -> list[str]:
    """Every message of the question files, each once."""
    found: dict[str, None] = {}
    for path in sorted(folder.glob("*.yaml")):
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]:
            found |= {str(turn["ask"]): None for turn in conversation["turns"] if str(turn["ask"]).strip()}
    return list(found)


def timed(encoder: Encoder, texts: list[str], what: str) -> Vectors:
    started = time.perf_counter()
    vectors = encoder.encode(texts)
    print(f"{encoder.name}: {len(texts)} {what} in {time.perf_counter() - started:.1f} s")
    return vectors


def main() -> None:
    passages = [text_of(passage) for passage in all_passages(load_handbook())]
    questions = asks(Path(__file__).parent / "questions")
    onnx, reference = OnnxEncoder(), ReferenceEncoder()
    ours, theirs = timed(onnx, passages, "passages"), timed(reference, passages, "passages")
    cosines = (ours * theirs).sum(axis=1)
    print(f"passages: cosine mean {cosines.mean():.5f}, lowest {cosines.min():.5f}")
    q_ours, q_theirs = timed(onnx, questions, "questions"), timed(reference, questions, "questions")
    print(f"questions: cosine mean {(q_ours * q_theirs).sum(axis=1).mean():.5f}")
    wanted = q_theirs @ theirs.T
    for name, scores in (
        ("ONNX throughout", q_ours @ ours.T),
        ("ONNX questions, reference passages", q_ours @ theirs.T),
    ):
        first = scores.argmax(axis=1)
        same = first == wanted.argmax(axis=1)
        given_up = wanted.max(axis=1) - wanted[np.arange(len(first)), first]
        print(
            f"{name}: same first passage in {same.mean():.1%} of {len(questions)} questions;"
            f" where it differs the reference's own cosine of the two is at most {given_up.max():.4f} apart"
        )


if __name__ == "__main__":
    main()
