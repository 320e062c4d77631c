"""Fit the readers of tasks, subject and follow-ups on the sets that may be looked at, and print what they get right.

    python -m evals.fit_reader            fit, write, report (most of an hour)
    python -m evals.fit_reader --report   report on the packaged readers, write nothing

The held-out and the unseen set are only ever reported on. scikit-learn and torch come with sentence-transformers; they
are not used at run time: the word readers are sums (`assistant.language.reader`), the heads a few matrix products
(`assistant.retrieval.head`).
"""

from __future__ import annotations

import argparse
import json
import random
import re
import zlib
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from numpy.typing import NDArray
from scipy import sparse
from sklearn.linear_model import LogisticRegression

from assistant.handbook.loading import load_handbook
from assistant.language import reader as by_words
from assistant.language.features import (
    FOLLOW_UPS,
    TASKS,
    FollowUp,
    dense_features,
    follow_up_features,
    masked_text,
    scope_features,
    tokens,
)
from assistant.language.parsing import Parser
from assistant.language.question import Question, Task
from assistant.language.reader import DENSE_SCALE, SURE
from assistant.retrieval import reader as by_meaning
from assistant.retrieval.encoder import load_encoder
from evals import robustness
from evals.reading_head import SEEDS, Example, train

HERE = Path(__file__).parent
ROOT = HERE.parent
FITTED_ON = ("questions", "paraphrases", "voices", "retold", "talks", "wide")
REPORTED_ON = ("unseen", "wide_unseen", "heldout")
TODAY = date(2026, 11, 25)
LEAST_SEEN = 2
# One conversation in so many is read a second time as hurried fingers or dictation would write it.
TYPED_WORSE = 4


@dataclass(frozen=True)
class Row:
    """One message as the readers see it, and what is right of it.

    `last` is the task asked before it, None for a first message; `kind` what a follow-up is; `outside` None where the
    subject cannot be judged from the message alone.
    """

    source: str
    conversation: str
    question: Question
    text: str
    states: NDArray[np.float16]
    tasks: tuple[str, ...] = ()
    outside: bool | None = None
    last: Task | None = None
    kind: FollowUp | None = None

    @cached_property
    def dense(self) -> list[float]:
        """Kept, as every fit asks for it again."""
        return [x * DENSE_SCALE for x in dense_features(self.question)]


class Material:
    """Everything the readers can be fitted on or held against, read once."""

    def __init__(self) -> None:
        self.parser, self.encoder = Parser(load_handbook()), load_encoder()
        originals = {c["id"]: c for name in ("questions", "voices") for c in conversations(name)}
        self.rows: list[Row] = []
        for name in (*FITTED_ON, *REPORTED_ON):
            for conversation in conversations(name):
                self.rows += self._of(name, conversation, originals)
                if name in FITTED_ON and zlib.crc32(conversation["id"].encode()) % TYPED_WORSE == 0:
                    self.rows += self._of(name, typed_worse(conversation), originals)
        self.rows += [self.row("far", line, outside=True) for line in lines("out_of_scope_dev.txt")]
        near = lines("near_subject.txt")
        self.rows += [
            self.row("near", line[2:], f"near-{number}", outside=line[0] == "o") for number, line in enumerate(near)
        ]

    def of(self, *names: str) -> list[Row]:
        return [row for row in self.rows if row.source in names]

    def row(self, source: str, text: str, conversation: str = "", **known: Any) -> Row:
        """A message as the readers see it."""
        question = self.parser.parse(text, today=TODAY)
        masked = masked_text(question, self.parser.handbook)
        return Row(source, conversation, question, masked, self.encoder.states(masked).astype(np.float16), **known)

    def _of(self, name: str, conversation: dict[str, Any], originals: dict[str, dict[str, Any]]) -> list[Row]:
        """The turns of a conversation. A paraphrase asks "why" or for sources where its original does."""
        original = originals.get(original_of(conversation["id"]), conversation)
        rows = []
        last: Task | None = None
        for number, turn in enumerate(conversation["turns"]):
            wanted, outcomes = _as_tuple(turn.get("task")), _as_tuple(turn["outcome"])
            if number == 0:
                row = self.row(
                    name, turn["ask"], conversation["id"], tasks=wanted, outside=outcomes == ("not_covered",)
                )
                rows.append(row)
            elif last is not None:
                command = self.parser.parse(original["turns"][number]["ask"], today=TODAY).command
                kind = _kind_of(command, wanted, outcomes, last)
                if kind is not None:
                    rows.append(self.row(name, turn["ask"], conversation["id"], tasks=wanted, last=last, kind=kind))
            if wanted and wanted[0] != "explain" and last not in wanted:
                last = wanted[0]  # type: ignore[assignment]
        return rows


def conversations(name: str) -> list[dict[str, Any]]:
    """The conversations of a question set as plain data; none where there is no such set."""
    return [
        conversation
        for path in sorted((HERE / name).glob("*.yaml"))
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]
    ]


def typed_worse(conversation: dict[str, Any]) -> dict[str, Any]:
    """The conversation with every turn changed in one of the ways of `evals.robustness`, the same in every run."""
    draw = random.Random(conversation["id"])
    change = robustness.CHANGES[draw.choice(list(robustness.CHANGES))]
    return {**conversation, "turns": [{**turn, "ask": change(turn["ask"], draw)} for turn in conversation["turns"]]}


def lines(name: str) -> list[str]:
    """The messages of a text file in `data/`, without its comments."""
    text = (HERE / "data" / name).read_text(encoding="utf-8")
    return [line for line in text.splitlines() if line.strip() and line[0] != "#"]


def original_of(name: str) -> str:
    """The id of the conversation that a paraphrase retells."""
    return re.sub(r"-(?:[a-z]\d*|[fhj]m)$", "", name)


def _as_tuple(value: object) -> tuple[str, ...]:
    return () if value is None else (value,) if isinstance(value, str) else tuple(value)  # type: ignore[arg-type]


def _kind_of(command: str | None, wanted: Sequence[str], outcomes: Sequence[str], last: Task) -> FollowUp | None:
    """What a follow-up is, from what is expected of it; None where that says nothing."""
    if command in ("why", "sources"):
        return command  # type: ignore[return-value]
    if command is not None:
        return None
    if tuple(outcomes) == ("not_covered",):
        return "out"
    return None if not wanted else "same" if last in wanted else wanted[0]  # type: ignore[return-value]


# --- fitting ------------------------------------------------------------------------------------------------------


@dataclass
class Readers:
    """What `assistant.language.reader` and `assistant.retrieval.reader` are made of."""

    words: dict[str, Any]
    heads: list[dict[str, NDArray[np.float16]]]

    def write(self) -> None:
        path = ROOT / "assistant" / "language" / "reader.json"
        path.write_text(json.dumps(self.words, separators=(",", ":")) + "\n", encoding="utf-8")
        arrays = {f"{n}.{name}": array for n, head in enumerate(self.heads) for name, array in head.items()}
        np.savez_compressed(ROOT / "assistant" / "retrieval" / "reader.npz", **arrays)  # type: ignore[arg-type]


def fitted(rows: Sequence[Row], seeds: Sequence[int] = SEEDS) -> Readers:
    """The readers fitted on some messages."""
    return Readers(fit_words(rows), [train([example_of(row) for row in rows], seed) for seed in seeds])


def example_of(row: Row) -> Example:
    asks = bool(row.tasks) and not row.outside and row.last is None
    return Example(
        row.states,
        row.dense,
        scope_features(row.question),
        follow_up_features(row.question, row.last) if row.last is not None else None,
        TASKS.index(row.tasks[0]) if asks else None,  # type: ignore[arg-type]
        None if row.outside is None else not row.outside,
        FOLLOW_UPS.index(row.kind) if row.kind is not None else None,
    )


def fit_words(rows: Sequence[Row]) -> dict[str, Any]:
    """The word readers of tasks and subject, as their file holds them."""
    first = [row for row in rows if row.last is None]
    asking = [row for row in first if row.tasks and not row.outside]
    words = vocabulary(first)
    model = LogisticRegression(C=1.0, max_iter=4000, random_state=0)
    model.fit(word_matrix(asking, words, lambda row: row.dense), [row.tasks[0] for row in asking])
    weights, bias = np.zeros((model.coef_.shape[1], len(TASKS))), np.full(len(TASKS), -20.0)
    for place, name in enumerate(model.classes_):  # a task never seen gets no chance
        weights[:, TASKS.index(name)], bias[TASKS.index(name)] = model.coef_[place], model.intercept_[place]
    scope = LogisticRegression(C=0.5, max_iter=4000, random_state=0)
    scope.fit(word_matrix(first, words, lambda row: scope_features(row.question)), [not row.outside for row in first])
    told = scope.coef_[0]
    return {
        "bias": [round(x, 3) for x in bias.tolist()],
        "words": {
            word: [round(x, 3) for x in weights[i].tolist()]
            for i, word in enumerate(words)
            if np.abs(weights[i]).max() > 0.02
        },
        "dense": [[round(x, 3) for x in row] for row in weights[len(words) :].tolist()],
        "scope": {
            "bias": round(float(scope.intercept_[0]), 3),
            "words": {word: round(float(told[i]), 3) for i, word in enumerate(words) if abs(told[i]) > 0.02},
            "dense": [round(x, 3) for x in told[len(words) :].tolist()],
        },
    }


def vocabulary(rows: Sequence[Row]) -> list[str]:
    seen = Counter(token for row in rows for token in set(tokens(row.text)))
    return sorted(token for token, count in seen.items() if count >= LEAST_SEEN)


def word_matrix(rows: Sequence[Row], words: list[str], features: Callable[[Row], list[float]]) -> sparse.csr_matrix:
    """One row a message: 1 for each word it has, then its features. Sparse: few of the words stand in one message."""
    index = {word: i for i, word in enumerate(words)}
    places = [sorted({index[token] for token in tokens(row.text) if token in index}) for row in rows]
    found = sparse.lil_matrix((len(rows), len(words)), dtype=np.float32)
    found.rows[:] = places
    found.data[:] = [[1.0] * len(place) for place in places]
    plain = sparse.csr_matrix(np.asarray([features(row) for row in rows], dtype=np.float32))
    return sparse.hstack([found.tocsr(), plain], format="csr")


# --- reporting ----------------------------------------------------------------------------------------------------


def report(material: Material) -> str:
    """What the packaged readers get right on sets they were not fitted on."""
    handbook, encoder = material.parser.handbook, material.encoder
    head = "| set | messages | task by words | sure | right when sure | task by heads | kept, by heads | out declined |"
    out = [head, "|---|---:|---:|---:|---:|---:|---:|---:|"]
    for name in REPORTED_ON:
        first = [row for row in material.of(name) if row.last is None]
        asking = [row for row in first if row.tasks and not row.outside]
        told = [by_words.read_task(row.question, handbook) for row in asking]
        hits = np.asarray([max(t, key=lambda k, t=t: t[k]) in row.tasks for t, row in zip(told, asking, strict=True)])  # type: ignore[misc]
        sure = np.asarray([max(t.values()) >= SURE for t in told])
        meant = [by_meaning.read_task(row.question, handbook, encoder) for row in asking]
        right = [max(m, key=lambda k, m=m: m[k]) in row.tasks for m, row in zip(meant, asking, strict=True)]  # type: ignore[misc]
        scope = np.asarray([by_meaning.in_scope(row.question, handbook, encoder) for row in first])
        outside = np.asarray([bool(row.outside) for row in first])
        out.append(
            f"| {name} | {len(first)} | {hits.mean():.3f} | {sure.mean():.2f} | {hits[sure].mean():.3f} | "
            f"{np.mean(right):.3f} | {(scope[~outside] >= 0.5).mean():.3f} | {(scope[outside] < 0.5).mean():.3f} |"
        )
    out += ["", "| follow-ups of | turns | read right | sure (≥ 0.6) | right when sure |", "|---|---:|---:|---:|---:|"]
    for name in REPORTED_ON:
        rows = [row for row in material.of(name) if row.kind is not None and row.last is not None]
        if not rows:
            continue
        read = [by_meaning.read_follow_up(row.question, row.last, handbook, encoder) for row in rows]  # type: ignore[arg-type]
        found = [max(r, key=lambda k, r=r: r[k]) for r in read]  # type: ignore[misc]
        hits = np.asarray(
            [k == row.kind or (row.last if k == "same" else k) in row.tasks for k, row in zip(found, rows, strict=True)]
        )
        sure = np.asarray([max(r.values()) >= 0.6 for r in read])
        out.append(f"| {name} | {len(rows)} | {hits.mean():.3f} | {sure.mean():.2f} | {hits[sure].mean():.3f} |")
    return "\n".join(out)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--report", action="store_true", help="report only, write nothing")
    chosen = options.parse_args()
    material = Material()
    if not chosen.report:
        fitted(material.of(*FITTED_ON, "far", "near")).write()
        by_words._data.cache_clear()
        by_meaning.heads.cache_clear()
        by_meaning._KEPT.clear()
    print(report(material))


if __name__ == "__main__":
    main()
