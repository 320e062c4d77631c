"""Fit the confidence of answers (`assistant.dialogue.confidence`) and print what it is worth.

Every answer it learns from is given by readers that were fitted without its conversation: a fifth of the original
questions, and all that retell them, are kept from the readers and then asked, as written and typed worse. Right is an
answer with the right outcome, task, materials, figure and inputs.

    python -m evals.fit_confidence          fit, write, report (half an hour)
    python -m evals.fit_confidence --rows FILE   keep the rows as well (npz)
"""

from __future__ import annotations

import argparse
import json
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from sklearn.linear_model import LogisticRegression
from sklearn.model_selection import GroupKFold, cross_val_predict

from assistant.dialogue import confidence
from assistant.dialogue.asking_back import ASK_BELOW
from assistant.dialogue.conversation import Conversation as Talk
from assistant.language import reader as by_words
from assistant.retrieval import reader as by_meaning
from assistant.retrieval.head import ReadingHead
from evals import calibration, fit_reader, picture, report, robustness, sets
from evals.judge import judge
from evals.run import context_for
from evals.sets import Conversation, Turn

# One original in so many is kept from the readers and asked.
SHARE = 5
# Conversations typed worse, of each kind of change.
TYPED_WORSE = 150


@dataclass
class Row:
    """One answer: its features, whether it is right, and whether it would mislead."""

    features: list[float]
    right: bool
    wrong: bool
    origin: str


@contextmanager
def readers(fitted: fit_reader.Readers) -> Iterator[None]:
    """The assistant with other readers than the packaged ones."""
    words, heads = by_words._data, by_meaning.heads
    trained = tuple(ReadingHead(weights) for weights in fitted.heads)
    by_words._data = lambda: fitted.words  # type: ignore[assignment]
    by_meaning.heads = lambda: trained  # type: ignore[assignment]
    by_meaning._KEPT.clear()
    try:
        yield
    finally:
        by_words._data, by_meaning.heads = words, heads
        by_meaning._KEPT.clear()


def answers(conversations: list[Conversation]) -> list[Row]:
    """Every answered turn of the conversations, judged."""
    context = context_for(True)
    rows: list[Row] = []
    kept: list[list[float]] = []
    scored = confidence.of_answer

    def recording(*args: Any) -> float:
        kept.append(confidence.features(*args))
        return 1.0

    confidence.of_answer = recording
    try:
        for conversation in conversations:
            talk = Talk(context)
            for turn in conversation.turns:
                kept.clear()
                answer = talk.turn(turn.ask)
                if not kept or answer.outcome != "answered":
                    continue
                verdict = judge(turn, answer, {})
                fields = (verdict.outcome, verdict.task, verdict.materials, verdict.figure, verdict.inputs)
                right = all(field is not False for field in fields)
                origin = fit_reader.original_of(conversation.id.rpartition(":")[2])
                rows.append(Row(list(kept[0]), right, verdict.confidently_wrong, origin))
    finally:
        confidence.of_answer = scored
    return rows


def near_subject() -> list[Conversation]:
    """The messages near the subject that must be declined, as conversations of one turn."""
    lines = fit_reader.lines("near_subject.txt")
    return [
        Conversation(id=f"near-{number}", persona="florist", turns=(Turn(ask=line[2:], outcome=("not_covered",)),))
        for number, line in enumerate(lines)
        if line.startswith("o ")
    ]


def collect() -> list[Row]:
    """Answers to the originals kept apart, of readers fitted on all others."""
    material = fit_reader.Material()
    learnt = material.of("far")
    learnt += [row for row in material.of(*fit_reader.FITTED_ON, "near") if not kept_apart(row.conversation)]
    asked = [c for name in fit_reader.FITTED_ON for c in sets.load(sets.SETS[name])] + near_subject()
    asked = [c for c in asked if kept_apart(c.id)]
    asked += robustness.variants(asked, TYPED_WORSE)
    with readers(fit_reader.fitted(learnt, fit_reader.SEEDS[:1])):
        return answers(asked)


def kept_apart(conversation: str) -> bool:
    """The same for a conversation, and for all that retell it, in every run."""
    return zlib.crc32(fit_reader.original_of(conversation).encode()) % SHARE == 0


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--rows", type=Path, metavar="FILE", help="keep the rows as npz")
    options = parser.parse_args()
    rows = collect()
    values = np.asarray([row.features for row in rows])
    right = np.asarray([row.right for row in rows])
    wrong = np.asarray([row.wrong for row in rows])
    if options.rows:
        np.savez_compressed(
            options.rows, values=values, right=right, wrong=wrong, origin=np.asarray([r.origin for r in rows])
        )
    model = LogisticRegression(C=1.0, max_iter=4000).fit(values, right)
    data = {
        "names": list(confidence.NAMES),
        "weights": [round(float(x), 4) for x in model.coef_[0]],
        "bias": round(float(model.intercept_[0]), 4),
    }
    path = fit_reader.ROOT / "assistant" / "dialogue" / "confidence.json"
    path.write_text(json.dumps(data, indent=1) + "\n", encoding="utf-8")
    (sets.HERE / "results" / "confidence.md").write_text(report_of(rows, values, right, wrong) + "\n", encoding="utf-8")


def report_of(rows: list[Row], values: Any, right: Any, wrong: Any) -> str:
    """Reliability and what a threshold costs, each answer scored by a model fitted without its conversation."""
    origins = [row.origin for row in rows]
    model = LogisticRegression(C=1.0, max_iter=4000)
    chances = cross_val_predict(model, values, right, groups=origins, cv=GroupKFold(5), method="predict_proba")[:, 1]
    points = [calibration.Scored(float(c), 0.0, bool(r), True) for c, r in zip(chances, right, strict=True)]
    found = calibration.bins(points)
    picture.reliability(found, sets.HERE / "results" / "confidence.svg")
    reliability = report.table(
        ("confidence", "answers", "mean", "right"),
        ((f"{b.low:.1f}–{b.high:.1f}", str(b.count), f"{b.score:.3f}", f"{b.right:.3f}") for b in found),
    )
    off = np.asarray([origin.startswith("near-") for origin in origins])
    costs = []
    for cut in (0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9):
        low = chances < cut
        left = wrong & ~low
        costs.append(
            (f"{cut:.1f}", f"{low[right].mean():.3f}", f"{low[wrong & ~off].mean():.3f}", f"{left[~off].mean():.4f}",
             f"{low[off].mean():.3f}")
        )  # fmt: skip
    held = report.table(
        ("held back below", "of the right", "of the misleading", "misleading left", "of the off-subject"), costs
    )
    text = (
        f"# The confidence of answers\n\n{len(rows)} answers, {wrong.sum()} of them misleading "
        f"({(wrong & off).sum()} to messages off the subject that were answered). "
        f"Expected calibration error {calibration.expected_error(found):.3f}.\n\n"
        f"![Reliability diagram](confidence.svg)\n\n{reliability}\n\n{held}\n\n"
        f"Answers below {ASK_BELOW} are held back and asked about (`assistant.dialogue.asking_back`)."
    )
    print(text)
    return text


if __name__ == "__main__":
    main()
