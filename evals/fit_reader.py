"""Fit the two task readers on the question sets that may be looked at, and print what they get right elsewhere.

    python -m evals.fit_reader            fit, write, report
    python -m evals.fit_reader --report   report only (leave-one-set-out), write nothing

The held-out set is only ever reported on. scikit-learn comes with sentence-transformers; it is not used at run time.
"""

from __future__ import annotations

import argparse
import json
from collections import Counter
from dataclasses import dataclass
from datetime import date
from pathlib import Path

import numpy as np
import yaml
from sklearn.linear_model import LogisticRegression

from assistant.handbook.loading import load_handbook
from assistant.language.features import TASKS, dense_features, masked_text, scope_features, tokens
from assistant.language.parsing import Parser
from assistant.language.reader import DENSE_SCALE, SURE
from assistant.retrieval.encoder import Encoder, load_encoder
from assistant.retrieval.reader import VECTOR_SCALE

HERE = Path(__file__).parent
ROOT = HERE.parent
FITTED_ON = ("questions", "paraphrases", "voices")
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


def read_far(parser: Parser, encoder: Encoder) -> Set:
    """The public out-of-scope utterances (evals/data)."""
    lines = (HERE / "data" / "out_of_scope_dev.txt").read_text(encoding="utf-8").splitlines()
    return make_set("far", [(line, [], True) for line in lines if line.strip() and line[0] != "#"], parser, encoder)


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


def in_task_order(model: LogisticRegression) -> tuple[np.ndarray, np.ndarray]:
    """Weights (features, tasks) and biases, in the order of `TASKS`; a task never seen gets no chance."""
    weights = np.zeros((model.coef_.shape[1], len(TASKS)))
    bias = np.full(len(TASKS), -20.0)
    for row, name in enumerate(model.classes_):
        weights[:, TASKS.index(name)] = model.coef_[row]
        bias[TASKS.index(name)] = model.intercept_[row]
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


def write(sets: dict[str, Set], far: Set) -> None:
    used = [sets[name] for name in FITTED_ON if name in sets]
    tasks = [asking(s) for s in used]
    labels = [wanted[0] for s in tasks for wanted in s.tasks]
    words = vocabulary([*used, far])
    weights, bias = in_task_order(fit(np.vstack([word_matrix(s, words) for s in tasks]), labels))
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
    weights, bias = in_task_order(fit(np.vstack([meaning_matrix(s) for s in tasks]), labels))
    scope = fit_scope(np.vstack([scope_meaning_matrix(s) for s in (*used, far)]), outside)
    np.savez_compressed(
        ROOT / "assistant" / "retrieval" / "reader.npz",
        weights=weights.astype(np.float16),
        bias=bias.astype(np.float32),
        scope_weights=scope.coef_[0].astype(np.float16),
        scope_bias=np.float32(scope.intercept_[0]),
    )


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--report", action="store_true", help="report only, write nothing")
    chosen = options.parse_args()
    parser, encoder = Parser(load_handbook()), load_encoder()
    names = (*FITTED_ON, "heldout")
    sets = {name: s for name in names if (s := read_set(name, parser, encoder)) is not None}
    far = read_far(parser, encoder)
    report(sets, far)
    if not chosen.report:
        write(sets, far)


if __name__ == "__main__":
    main()
