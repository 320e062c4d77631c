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
from assistant.language.features import TASKS, dense_features, masked_text, tokens
from assistant.language.parsing import Parser
from assistant.language.reader import DENSE_SCALE
from assistant.retrieval.encoder import load_encoder
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


def read_set(name: str, parser: Parser, encoder: object) -> Set | None:
    folder = HERE / name
    if not folder.is_dir():
        return None
    texts, dense, tasks = [], [], []
    for path in sorted(folder.glob("*.yaml")):
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]:
            turn = conversation["turns"][0]
            wanted = turn.get("task") or []
            wanted = [wanted] if isinstance(wanted, str) else list(wanted)
            outcomes = turn.get("outcome") or []
            outcomes = [outcomes] if isinstance(outcomes, str) else outcomes
            if not wanted or not {"answered", "asked_back"} & set(outcomes):
                continue
            question = parser.parse(turn["ask"], today=TODAY)
            texts.append(masked_text(question, parser.handbook))
            dense.append(dense_features(question))
            tasks.append(wanted)
    vectors = np.asarray(encoder.encode(texts))  # type: ignore[attr-defined]
    return Set(name, texts, np.asarray(dense), tasks, vectors)


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


def report(sets: dict[str, Set]) -> None:
    """Each set read by readers fitted on the other sets only."""
    print("| set | questions | by words | by meaning | words sure | right when sure |")
    print("|---|---:|---:|---:|---:|---:|")
    for name, s in sets.items():
        others = [sets[n] for n in FITTED_ON if n in sets and n != name]
        labels = [wanted[0] for o in others for wanted in o.tasks]
        words = vocabulary(others)
        by_words = fit(np.vstack([word_matrix(o, words) for o in others]), labels)
        by_meaning = fit(np.vstack([meaning_matrix(o) for o in others]), labels)
        rows = word_matrix(s, words)
        chance = by_words.predict_proba(rows)
        sure = chance.max(axis=1) >= 0.85
        hits = np.asarray([p in wanted for p, wanted in zip(by_words.predict(rows), s.tasks, strict=True)])
        print(
            f"| {name} | {len(s.texts)} | {right(by_words, rows, s.tasks):.3f} | "
            f"{right(by_meaning, meaning_matrix(s), s.tasks):.3f} | {sure.mean():.2f} | {hits[sure].mean():.3f} |"
        )


def write(sets: dict[str, Set]) -> None:
    used = [sets[name] for name in FITTED_ON if name in sets]
    labels = [wanted[0] for s in used for wanted in s.tasks]
    words = vocabulary(used)
    weights, bias = in_task_order(fit(np.vstack([word_matrix(s, words) for s in used]), labels))
    data = {
        "bias": [round(x, 3) for x in bias.tolist()],
        "words": {word: [round(x, 3) for x in weights[i].tolist()] for i, word in enumerate(words)},
        "dense": [[round(x, 3) for x in row] for row in weights[len(words) :].tolist()],
    }
    path = ROOT / "assistant" / "language" / "reader.json"
    path.write_text(json.dumps(data, separators=(",", ":")) + "\n", encoding="utf-8")
    weights, bias = in_task_order(fit(np.vstack([meaning_matrix(s) for s in used]), labels))
    np.savez_compressed(
        ROOT / "assistant" / "retrieval" / "reader.npz", weights=weights.astype(np.float16), bias=bias.astype(np.float32)
    )


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--report", action="store_true", help="report only, write nothing")
    chosen = options.parse_args()
    parser, encoder = Parser(load_handbook()), load_encoder()
    names = (*FITTED_ON, "heldout")
    sets = {name: s for name in names if (s := read_set(name, parser, encoder)) is not None}
    report(sets)
    if not chosen.report:
        write(sets)


if __name__ == "__main__":
    main()
