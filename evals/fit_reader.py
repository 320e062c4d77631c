"""Fit the readers of tasks and follow-ups on the sets that may be looked at, and print what they get right elsewhere.

    python -m evals.fit_reader            fit, write, report
    python -m evals.fit_reader --report   report only (leave-one-set-out), write nothing

The held-out set is only ever reported on. scikit-learn comes with sentence-transformers; it is not used at run time.
"""

from __future__ import annotations

import argparse
import json
import re
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np
import yaml
from sklearn.linear_model import LogisticRegression

from assistant.handbook.loading import load_handbook
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
from assistant.language.question import Task
from assistant.language.reader import DENSE_SCALE, SURE
from assistant.retrieval.encoder import Encoder, load_encoder
from assistant.retrieval.reader import VECTOR_SCALE

HERE = Path(__file__).parent
ROOT = HERE.parent
FITTED_ON = ("questions", "paraphrases", "voices", "retold", "talks")
TODAY = date(2026, 11, 25)
LEAST_SEEN = 2


@dataclass
class Set:
    """One question set as the readers see it: first turns that ask for something."""

    name: str
    texts: list[str]
    dense: np.ndarray
    tasks: list[list[str]]
    vectors: np.ndarray
    scope: np.ndarray
    outside: np.ndarray


def read_set(name: str, parser: Parser, encoder: Encoder) -> Set | None:
    """The first turns of a question set; None where there is no such set."""
    folder = HERE / name
    if not folder.is_dir():
        return None
    asked: list[tuple[str, list[str], bool]] = []
    for path in sorted(folder.glob("*.yaml")):
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]:
            turn = conversation["turns"][0]
            wanted = _as_list(turn.get("task"))
            outcomes = _as_list(turn.get("outcome"))
            asked.append((turn["ask"], wanted, outcomes == ["not_covered"]))
    return make_set(name, asked, parser, encoder)


@dataclass
class Talk:
    """The follow-ups of one question set: features (text, numbers), what each is, the tasks that are right for it."""

    name: str
    rows: np.ndarray
    kinds: list[FollowUp]
    tasks: list[list[str]]
    last: list[Task]


def _conversations(name: str) -> list[dict[str, Any]]:
    return [
        conversation
        for path in sorted((HERE / name).glob("*.yaml"))
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]
    ]


def read_talk(name: str, parser: Parser, encoder: Encoder, originals: dict[str, dict[str, Any]]) -> Talk:
    """The turns after the first. A paraphrase asks "why" or for sources where its original does."""
    questions, kinds, tasks, lasts = [], [], [], []
    for conversation in _conversations(name):
        original = originals.get(re.sub(r"-(?:p|[tmf]\d*)$", "", conversation["id"]), conversation)
        last: Task | None = None
        for number, turn in enumerate(conversation["turns"]):
            wanted = _as_list(turn.get("task"))
            if number and last is not None:
                command = parser.parse(original["turns"][number]["ask"], today=TODAY).command
                kind = _kind_of(command, wanted, _as_list(turn["outcome"]), last)
                if kind is not None:
                    questions.append(parser.parse(turn["ask"], today=TODAY))
                    kinds.append(kind)
                    tasks.append(wanted)
                    lasts.append(last)
            if wanted and wanted[0] != "explain" and last not in wanted:
                last = wanted[0]
    if not questions:
        return Talk(name, np.zeros((0, 0)), [], [], [])
    vectors = np.asarray(encoder.encode([masked_text(q, parser.handbook) for q in questions])) * VECTOR_SCALE
    dense = np.asarray([dense_features(q) for q in questions]) * DENSE_SCALE
    leaning = np.asarray([follow_up_features(q, last) for q, last in zip(questions, lasts, strict=True)])
    return Talk(name, np.hstack([vectors, dense, leaning]), kinds, tasks, lasts)


def _kind_of(command: str | None, wanted: list[str], outcomes: list[str], last: Task) -> FollowUp | None:
    """What a follow-up is, from what is expected of it; None where that says nothing."""
    if command in ("why", "sources"):
        return command
    if command is not None:
        return None
    if outcomes == ["not_covered"]:
        return "out"
    return None if not wanted else "same" if last in wanted else wanted[0]


def report_talks(talks: list[Talk]) -> None:
    """Each set's follow-ups read by a reader fitted on the other sets only."""
    print("\n| follow-ups of | turns | read right | sure (≥ 0.6) | right when sure |")
    print("|---|---:|---:|---:|---:|")
    for talk in talks:
        others = [t for t in talks if t.name != talk.name and t.name in FITTED_ON and t.kinds]
        model = fit(np.vstack([t.rows for t in others]), [kind for t in others for kind in t.kinds])
        chances = model.predict_proba(talk.rows)
        found = model.classes_[chances.argmax(axis=1)]
        hits = np.asarray(
            [
                kind == wanted or (last if kind == "same" else kind) in tasks
                for kind, wanted, tasks, last in zip(found, talk.kinds, talk.tasks, talk.last, strict=True)
            ]
        )
        sure = chances.max(axis=1) >= 0.6
        print(f"| {talk.name} | {len(hits)} | {hits.mean():.3f} | {sure.mean():.2f} | {hits[sure].mean():.3f} |")


def read_far(parser: Parser, encoder: Encoder) -> Set:
    """The public out-of-scope utterances (evals/data)."""
    lines = (HERE / "data" / "out_of_scope_dev.txt").read_text(encoding="utf-8").splitlines()
    return make_set("far", [(line, [], True) for line in lines if line.strip() and line[0] != "#"], parser, encoder)


def read_near(parser: Parser, encoder: Encoder) -> Set:
    """Messages near the subject, on it or off (evals/data/near_subject.txt)."""
    lines = (HERE / "data" / "near_subject.txt").read_text(encoding="utf-8").splitlines()
    asked = [(line[2:], [], line[0] == "o") for line in lines if line[:2] in ("o ", "i ")]
    return make_set("near", asked, parser, encoder)


def make_set(name: str, asked: list[tuple[str, list[str], bool]], parser: Parser, encoder: Encoder) -> Set:
    questions = [parser.parse(text, today=TODAY) for text, _, _ in asked]
    texts = [masked_text(question, parser.handbook) for question in questions]
    return Set(
        name,
        texts,
        np.asarray([dense_features(question) for question in questions]),
        [wanted for _, wanted, _ in asked],
        np.asarray(encoder.encode(texts)),
        np.asarray([scope_features(question) for question in questions]),
        np.asarray([out for _, _, out in asked]),
    )


def joined(a: Set, b: Set) -> Set:
    """Two sets that only say what is in scope, as one."""
    return Set(
        a.name,
        a.texts + b.texts,
        np.vstack([a.dense, b.dense]),
        a.tasks + b.tasks,
        np.vstack([a.vectors, b.vectors]),
        np.vstack([a.scope, b.scope]),
        np.concatenate([a.outside, b.outside]),
    )


def _as_list(value: object) -> list[str]:
    return [] if value is None else [value] if isinstance(value, str) else list(value)  # type: ignore[call-overload]


def asking(s: Set) -> Set:
    """The part of a set that asks for a task."""
    keep = np.asarray([bool(wanted) and not out for wanted, out in zip(s.tasks, s.outside, strict=True)])
    rows = np.flatnonzero(keep)
    return Set(
        s.name,
        [s.texts[i] for i in rows],
        s.dense[rows],
        [s.tasks[i] for i in rows],
        s.vectors[rows],
        s.scope[rows],
        s.outside[rows],
    )


def vocabulary(sets: list[Set]) -> list[str]:
    seen = Counter(token for s in sets for text in s.texts for token in set(tokens(text)))
    return sorted(token for token, count in seen.items() if count >= LEAST_SEEN)


def word_matrix(s: Set, words: list[str]) -> np.ndarray:
    index = {word: i for i, word in enumerate(words)}
    out = np.zeros((len(s.texts), len(words) + s.dense.shape[1]), dtype=np.float32)
    for row, text in enumerate(s.texts):
        for token in set(tokens(text)):
            if token in index:
                out[row, index[token]] = 1.0
    out[:, len(words) :] = s.dense * DENSE_SCALE
    return out


def meaning_matrix(s: Set) -> np.ndarray:
    return np.hstack([s.vectors * VECTOR_SCALE, s.dense * DENSE_SCALE])


def fit(rows: np.ndarray, labels: list[str]) -> LogisticRegression:
    return LogisticRegression(C=1.0, max_iter=4000, random_state=0).fit(rows, labels)


def in_order(model: LogisticRegression, names: Sequence[str]) -> tuple[np.ndarray, np.ndarray]:
    """Weights (features, names) and biases, in the order of `names`; what was never seen gets no chance."""
    weights = np.zeros((model.coef_.shape[1], len(names)))
    bias = np.full(len(names), -20.0)
    for row, name in enumerate(model.classes_):
        weights[:, names.index(name)] = model.coef_[row]
        bias[names.index(name)] = model.intercept_[row]
    return weights, bias


def right(model: LogisticRegression, rows: np.ndarray, tasks: list[list[str]]) -> float:
    return float(np.mean([p in wanted for p, wanted in zip(model.predict(rows), tasks, strict=True)]))


def scope_words_matrix(s: Set, words: list[str]) -> np.ndarray:
    index = {word: i for i, word in enumerate(words)}
    out = np.zeros((len(s.texts), len(words) + s.scope.shape[1]), dtype=np.float32)
    for row, text in enumerate(s.texts):
        for token in set(tokens(text)):
            if token in index:
                out[row, index[token]] = 1.0
    out[:, len(words) :] = s.scope
    return out


def scope_meaning_matrix(s: Set) -> np.ndarray:
    return np.hstack([s.vectors * VECTOR_SCALE, s.scope])


def fit_scope(rows: np.ndarray, outside: np.ndarray) -> LogisticRegression:
    return LogisticRegression(C=0.5, max_iter=4000, random_state=0).fit(rows, ~outside)


def report(sets: dict[str, Set], far: Set) -> None:
    """Each set read by readers fitted on the other sets only; `far` is split in halves for the scope readers."""
    print(
        "| set | questions | task by words | by meaning | words sure | right when sure "
        "| in scope kept, by words | by meaning | near out declined, by words | by meaning |"
    )
    print("|---|---:|---:|---:|---:|---:|---:|---:|---:|---:|")
    for name, s in sets.items():
        others = [sets[n] for n in FITTED_ON if n in sets and n != name]
        tasks = [asking(o) for o in others]
        labels = [wanted[0] for o in tasks for wanted in o.tasks]
        words = vocabulary([*others, far])
        by_words = fit(np.vstack([word_matrix(o, words) for o in tasks]), labels)
        by_meaning = fit(np.vstack([meaning_matrix(o) for o in tasks]), labels)
        own = asking(s)
        rows = word_matrix(own, words)
        sure = by_words.predict_proba(rows).max(axis=1) >= SURE
        hits = np.asarray([p in wanted for p, wanted in zip(by_words.predict(rows), own.tasks, strict=True)])
        outside = np.concatenate([*(o.outside for o in others), far.outside])
        scope_words = fit_scope(np.vstack([scope_words_matrix(o, words) for o in (*others, far)]), outside)
        scope_meaning = fit_scope(np.vstack([scope_meaning_matrix(o) for o in (*others, far)]), outside)
        kept_words = scope_words.predict(scope_words_matrix(s, words))
        kept_meaning = scope_meaning.predict(scope_meaning_matrix(s))
        print(
            f"| {name} | {len(own.texts)} | {right(by_words, rows, own.tasks):.3f} | "
            f"{right(by_meaning, meaning_matrix(own), own.tasks):.3f} | {sure.mean():.2f} | {hits[sure].mean():.3f} | "
            f"{kept_words[~s.outside].mean():.3f} | {kept_meaning[~s.outside].mean():.3f} | "
            f"{1 - kept_words[s.outside].mean():.3f} | {1 - kept_meaning[s.outside].mean():.3f} |"
        )


def write(sets: dict[str, Set], far: Set, talks: list[Talk]) -> None:
    used = [sets[name] for name in FITTED_ON if name in sets]
    tasks = [asking(s) for s in used]
    labels = [wanted[0] for s in tasks for wanted in s.tasks]
    words = vocabulary([*used, far])
    weights, bias = in_order(fit(np.vstack([word_matrix(s, words) for s in tasks]), labels), TASKS)
    outside = np.concatenate([*(s.outside for s in used), far.outside])
    scope = fit_scope(np.vstack([scope_words_matrix(s, words) for s in (*used, far)]), outside)
    told = scope.coef_[0]
    data = {
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
    path = ROOT / "assistant" / "language" / "reader.json"
    path.write_text(json.dumps(data, separators=(",", ":")) + "\n", encoding="utf-8")
    weights, bias = in_order(fit(np.vstack([meaning_matrix(s) for s in tasks]), labels), TASKS)
    scope = fit_scope(np.vstack([scope_meaning_matrix(s) for s in (*used, far)]), outside)
    fitted = [talk for talk in talks if talk.name in FITTED_ON and talk.kinds]
    follow_up = fit(np.vstack([talk.rows for talk in fitted]), [kind for talk in fitted for kind in talk.kinds])
    follow_weights, follow_bias = in_order(follow_up, FOLLOW_UPS)
    np.savez_compressed(
        ROOT / "assistant" / "retrieval" / "reader.npz",
        weights=weights.astype(np.float16),
        bias=bias.astype(np.float32),
        scope_weights=scope.coef_[0].astype(np.float16),
        scope_bias=np.float32(scope.intercept_[0]),
        follow_up_weights=follow_weights.astype(np.float16),
        follow_up_bias=follow_bias.astype(np.float32),
    )


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--report", action="store_true", help="report only, write nothing")
    chosen = options.parse_args()
    parser, encoder = Parser(load_handbook()), load_encoder()
    names = (*FITTED_ON, "heldout")
    sets = {name: s for name in names if (s := read_set(name, parser, encoder)) is not None}
    far = joined(read_far(parser, encoder), read_near(parser, encoder))
    originals = {c["id"]: c for name in ("questions", "voices") for c in _conversations(name)}
    talks = [talk for name in sets if (talk := read_talk(name, parser, encoder, originals)).kinds]
    report(sets, far)
    report_talks(talks)
    if not chosen.report:
        write(sets, far, talks)


if __name__ == "__main__":
    main()
