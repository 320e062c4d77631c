"""Do the numbers that decide mean anything? The confidence of answers against being right, and the search's scores.

Search: scores against being right, and the cut that tells foreign questions.

Only the first turn of a conversation counts: a follow-up cannot be found by its own words. The search is asked
alone, without the dialogue and without the materials it would have been given.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Any

from evals.report import table
from evals.run import Asked

BINS = 10


@dataclass(frozen=True, slots=True)
class Scored:
    """The best passage's score and cosine, whether it is right, and whether the question was in scope."""

    score: float
    cosine: float
    right: bool
    in_scope: bool


@dataclass(frozen=True, slots=True)
class Bin:
    """Questions whose score lies between two tenths, their mean score and the share found right."""

    low: float
    high: float
    count: int
    score: float
    right: float


def sure(asked: Iterable[Asked]) -> list[Scored]:
    """The confidence of every answer that was given, and whether the answer is right (cautions aside)."""
    out = []
    for a in asked:
        if a.answer.confidence is None or a.answer.outcome != "answered":
            continue
        v = a.verdict
        right = all(field is not False for field in (v.outcome, v.task, v.materials, v.figure, v.inputs))
        out.append(Scored(a.answer.confidence, 0.0, right, a.expected.in_scope))
    return out


def scored(asked: Iterable[Asked]) -> list[Scored]:
    """The turns of which it can be said whether the best passage is right.

    Right is a passage the turn names as relevant, else one about a material the turn is about. Turns about no
    particular material say nothing and are left out; for a question out of scope every passage is wrong.
    """
    out = []
    for a in asked:
        if a.nearest is None:
            continue
        near, expected = a.nearest, a.expected
        if expected.out_of_scope:
            right = False
        elif not expected.in_scope:
            continue
        elif expected.relevant:
            right = near.passage in expected.relevant or near.passage.partition("/")[0] in expected.relevant
        elif expected.materials:
            right = bool(set(near.materials) & set(expected.materials))
        else:
            continue
        out.append(Scored(near.score, near.cosine if near.cosine is not None else 0.0, right, expected.in_scope))
    return out


def bins(points: Sequence[Scored], count: int = BINS) -> list[Bin]:
    """The reliability diagram: equal steps of the score, empty ones left out."""
    out = []
    for step in range(count):
        low, high = step / count, (step + 1) / count
        inside = [p for p in points if low <= p.score < high or (step == count - 1 and p.score == 1)]
        if inside:
            mean = sum(p.score for p in inside) / len(inside)
            out.append(Bin(low, high, len(inside), mean, sum(p.right for p in inside) / len(inside)))
    return out


def expected_error(found: Sequence[Bin]) -> float:
    """Mean distance between score and share right, weighted by how many questions lie there."""
    total = sum(b.count for b in found)
    return sum(b.count * abs(b.score - b.right) for b in found) / total if total else 0.0


def area_under_curve(points: Sequence[Scored]) -> float:
    """The chance that a question in scope has the higher cosine than one out of scope; ties count half."""
    inside = sorted(p.cosine for p in points if p.in_scope)
    outside = sorted(p.cosine for p in points if not p.in_scope)
    if not inside or not outside:
        return float("nan")
    won = 0.0
    below = level = 0
    for value in inside:
        while below < len(outside) and outside[below] < value:
            below += 1
        level = max(level, below)
        while level < len(outside) and outside[level] <= value:
            level += 1
        won += below + (level - below) / 2
    return won / (len(inside) * len(outside))


def cuts(
    points: Sequence[Scored], steps: Iterable[float] = (0.3, 0.35, 0.4, 0.42, 0.45, 0.5, 0.55, 0.6, 0.65)
) -> list[tuple[float, float, float]]:
    """For each cosine: the share of questions in scope that reach it, and of those out of scope that do not."""
    inside = [p.cosine for p in points if p.in_scope]
    outside = [p.cosine for p in points if not p.in_scope]
    return [
        (
            cut,
            sum(c >= cut for c in inside) / max(len(inside), 1),
            sum(c < cut for c in outside) / max(len(outside), 1),
        )
        for cut in steps
    ]


def sure_to_markdown(points: Sequence[Scored]) -> str:
    """The reliability of the confidence as a table."""
    found = bins(points)
    rows = ((f"{b.low:.1f}–{b.high:.1f}", str(b.count), f"{b.score:.3f}", f"{b.right:.3f}") for b in found)
    head = ("confidence", "answers", "mean", "right")
    return f"Expected calibration error {expected_error(found):.3f}.\n\n{table(head, rows)}"


def to_markdown(points: Sequence[Scored]) -> str:
    found = bins(points)
    reliability = table(
        ("score", "questions", "mean score", "right"),
        ((f"{b.low:.1f}–{b.high:.1f}", str(b.count), f"{b.score:.3f}", f"{b.right:.3f}") for b in found),
    )
    cutting = table(
        ("cosine of the best passage", "in scope, reach it", "out of scope, do not"),
        ((f"{cut:.2f}", f"{kept:.3f}", f"{turned:.3f}") for cut, kept, turned in cuts(points)),
    )
    return (
        f"Expected calibration error {expected_error(found):.3f}; AUROC of the cosine, in scope against out of scope, "
        f"{area_under_curve(points):.3f}.\n\n{reliability}\n\n{cutting}"
    )


def to_json(points: Sequence[Scored]) -> dict[str, Any]:
    found = bins(points)
    return {
        "expected calibration error": round(expected_error(found), 4),
        "AUROC": round(area_under_curve(points), 4),
        "bins": [
            {"low": b.low, "high": b.high, "count": b.count, "score": round(b.score, 4), "right": round(b.right, 4)}
            for b in found
        ],
        "cuts": [{"cosine": c, "in scope": round(k, 4), "out of scope": round(t, 4)} for c, k, t in cuts(points)],
    }
