"""How well each arm of the search finds the right passage.

    python -m evals.retrieval [--heldout]

Two sets: the `relevant` passages named in the question files, with the materials the question names given to the
search as the dialogue gives them (and again without); and, for the rules, their last way of being asked, taken
out of the index first, so that it is a paraphrase the index has not seen.
"""

from __future__ import annotations

import argparse
import random
import statistics
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

import ir_measures
import yaml
from ir_measures import RR, R, Success, nDCG

from assistant.handbook.loading import load_handbook
from assistant.handbook.passages import Passage, all_passages
from assistant.retrieval.encoder import Encoder, load_encoder
from assistant.retrieval.fusion import convex, with_materials
from assistant.retrieval.index import PassageIndex
from assistant.retrieval.lexical import LexicalIndex

MEASURES = [Success @ 1, R @ 5, RR @ 10, nDCG @ 10]
HERE = Path(__file__).parent
Scores = dict[int, float]


@dataclass(frozen=True)
class Asked:
    """A question, the materials it names and the ids of the passages that would be right."""

    text: str
    materials: tuple[str, ...]
    relevant: frozenset[str]


def asked_in(folder: Path, ids: list[str]) -> Iterator[Asked]:
    """The turns that name `relevant` passages. A rule topic stands for all of its rules."""
    for path in sorted(folder.glob("*.yaml")):
        for conversation in yaml.safe_load(path.read_text(encoding="utf-8"))["conversations"]:
            for turn in conversation["turns"]:
                wanted = turn.get("relevant", [])
                found = {i for i in ids for want in wanted if i == want or i.startswith(f"{want}/")}
                if found:
                    yield Asked(turn["ask"], tuple(turn.get("materials", ())), frozenset(found))
                elif wanted:
                    print(f"not in the handbook: {wanted} ({conversation['id']})", file=sys.stderr)


def hidden_last_asked(passages: list[Passage]) -> tuple[list[Passage], list[Asked]]:
    """The passages without each rule's last way of asking, and those as questions."""
    questions = [Asked(p.asked_as[-1], (), frozenset({p.id})) for p in passages if len(p.asked_as) > 1]
    return [replace(p, asked_as=p.asked_as[:-1]) if len(p.asked_as) > 1 else p for p in passages], questions


def min_max(scores: Scores) -> Scores:
    """Scores stretched so that the best of this question is 1 and the worst 0."""
    if not scores:
        return {}
    low, high = min(scores.values()), max(scores.values())
    return {row: (score - low) / (high - low) if high > low else 1.0 for row, score in scores.items()}


def reciprocal_rank(*arms: Scores, k: int = 60) -> Scores:
    """Reciprocal rank fusion: a passage earns 1 / (k + rank) from each arm that found it."""
    total: Scores = {}
    for arm in arms:
        for rank, row in enumerate(sorted(arm, key=lambda row: (-arm[row], row)), 1):
            total[row] = total.get(row, 0.0) + 1 / (k + rank)
    return total


class Arms:
    """Every way of ranking that is compared."""

    def __init__(self, passages: list[Passage], encoder: Encoder, cache: Path | None = None) -> None:
        self.passages = passages
        self.owners = [frozenset(p.materials) for p in passages]
        self.lexical_index = LexicalIndex(passages)
        self.encoder = encoder
        self.dense_index = PassageIndex.open(passages, encoder, cache)

    def rank(self, asked: Asked, named: bool) -> dict[str, Scores]:
        lexical = self.lexical_index.search(asked.text)
        dense = self.dense_index.search(self.encoder.encode([asked.text])[0])
        arms = {
            "lexical": lexical,
            "dense": dense,
            "reciprocal rank": {row: score * 30 for row, score in reciprocal_rank(lexical, dense).items()},
            "min-max convex": convex(min_max(lexical), min_max(dense), 0.5),
            "convex (used)": convex(lexical, dense),
        }
        materials = asked.materials if named else ()
        return {name: with_materials(scores, self.owners, materials) for name, scores in arms.items()}


def measure(arms: Arms, questions: list[Asked], named: bool, title: str) -> None:
    qrels = [ir_measures.Qrel(str(n), i, 1) for n, q in enumerate(questions) for i in q.relevant]
    runs: dict[str, list[ir_measures.ScoredDoc]] = {}
    started = time.perf_counter()
    for number, question in enumerate(questions):
        for name, scores in arms.rank(question, named).items():
            best = sorted(scores, key=lambda row: (-scores[row], row))[:20]
            # The place, not the score: equal scores must keep the order a reader would see.
            runs.setdefault(name, []).extend(
                ir_measures.ScoredDoc(str(number), arms.passages[row].id, -place) for place, row in enumerate(best)
            )
    each = 1000 * (time.perf_counter() - started) / max(len(questions), 1)
    print(f"\n{title}: {len(questions)} questions, {each:.1f} ms each for all arms")
    print(f"  {'':18}" + "".join(f"{m!s:>11}" for m in MEASURES) + "   RR@10, 95 % interval")
    for name, run in runs.items():
        by_measure = ir_measures.calc_aggregate(MEASURES, qrels, run)
        single = [metric.value for metric in ir_measures.iter_calc([RR @ 10], qrels, run)]
        low, high = interval(single)
        print(f"  {name:18}" + "".join(f"{by_measure[m]:11.3f}" for m in MEASURES) + f"   {low:.3f}–{high:.3f}")


def interval(values: list[float], rounds: int = 1000) -> tuple[float, float]:
    """The middle 95 % of bootstrap means."""
    draw = random.Random(7)
    means = sorted(statistics.fmean(draw.choices(values, k=len(values))) for _ in range(rounds))
    return means[round(0.025 * rounds)], means[round(0.975 * rounds) - 1]


def main() -> None:
    parser = argparse.ArgumentParser(description="Recall of the search, arm by arm.")
    parser.add_argument("--heldout", action="store_true", help="the held-out question files (run, never tuned to)")
    arguments = parser.parse_args()
    passages = list(all_passages(load_handbook()))
    encoder = load_encoder()
    arms = Arms(passages, encoder)
    folder = HERE / ("heldout" if arguments.heldout else "questions")
    questions = list(asked_in(folder, [p.id for p in passages]))
    measure(arms, questions, True, "Questions, the materials they name given")
    measure(arms, questions, False, "Questions, text only")
    shown, hidden = hidden_last_asked(passages)
    measure(Arms(shown, encoder), hidden, False, "Rules, by a way of asking the index has not seen")


if __name__ == "__main__":
    main()
