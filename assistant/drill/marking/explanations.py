"""Explanations: which of the points the reason must contain are there, by their words and, if there is an encoder,
by their meaning."""

from __future__ import annotations

import re

from rapidfuzz.distance import OSA

from assistant.drill.item import Points
from assistant.drill.marking.mark import RIGHT, Encoder, Mark, partly
from assistant.drill.points import content, ideas, ideas_in_order

_LIKE = 0.8
_NEGATORS = re.compile(r"\b(?:not|no|never|cannot|without|\w+n't|dont|doesnt|cant|wont|isnt)\b")
# Cosine above which a sentence says what a point says; below the lower one it says something else.
_SAME_MEANING = 0.62
_SOME_MEANING = 0.50


def mark_points(key: Points, normal: str, encoder: Encoder | None) -> Mark:
    """Marks an explanation; what was missing is named in the mark."""
    said = ideas(normal)
    against = _denied(key, normal)
    shares = [_share(point, key.given, said, against) for point in key.points]
    found = [share >= 0.5 for share in shares]
    if encoder is not None and not all(found) and len(said) >= 2:
        near = _meaning(key, normal, encoder)
        found = [
            f or (n >= _SAME_MEANING and not against) or (n >= _SOME_MEANING and s >= 0.25 and not against)
            for f, n, s in zip(found, near, shares, strict=True)
        ]
    missing = tuple(point for point, there in zip(key.points, found, strict=True) if not there)
    whole = _share(" ".join(key.points), key.given, said, against)
    if not missing or whole >= 0.7:
        return RIGHT
    credit = max(sum(found) / len(found), whole)
    if any(found) or whole >= 0.34:
        return partly(max(0.34, min(credit, 0.9)), "something is missing", missing)
    if _keeps_to_the_rule(key, normal):
        return partly(0.34, "that belongs to it, but it is not the reason", missing)
    return Mark("wrong", 0.0, "the reason is another one", missing)


def _keeps_to_the_rule(key: Points, normal: str) -> bool:
    """Does the answer say something of its own, most of which the rule says too?"""
    own = content(normal) - content(key.given)
    if not own or _denied(key, normal):
        return False
    inside = own & content(f"{key.around} {' '.join(key.points)}")
    telling = len(inside) >= 2 or bool(inside & content(" ".join(key.points)))
    return telling and len(inside) / len(own) >= 0.6


def _share(point: str, given: str, said: frozenset[str], against: frozenset[str]) -> float:
    """How much of a point is said. [1]

    What the question says already weighs half, and alone it is nothing: an echo is no reason.
    """
    wanted = content(point) or ideas(point)
    old = wanted & content(given)
    weights = {idea: 0.5 if idea in old and wanted - old else 1.0 for idea in wanted}
    hits = {idea for idea in wanted if idea not in against and (idea in said or _misspelt(idea, said))}
    if not hits - old and wanted - old:
        return 0.0
    return sum(weights[idea] for idea in hits) / sum(weights.values())


def _misspelt(idea: str, said: frozenset[str]) -> bool:
    return len(idea) >= 5 and any(
        len(s) >= 4 and s[0] == idea[0] and OSA.normalized_similarity(idea, s) >= _LIKE for s in said
    )


def _denied(key: Points, normal: str) -> frozenset[str]:
    """Ideas the answer denies right before naming them, where the reason itself denies nothing."""
    reason = " ".join(key.points)
    if _NEGATORS.search(reason):
        return frozenset()
    words = re.findall(r"[a-z0-9]+(?:'[a-z]+)?", normal)
    negated = {n for n, word in enumerate(words) if _NEGATORS.fullmatch(word)}
    wanted = ideas(reason)
    return frozenset(idea for idea, n in ideas_in_order(normal) if idea in wanted and {n - 1, n - 2} & negated)


def _meaning(key: Points, normal: str, encoder: Encoder) -> list[float]:
    """The best cosine of each point with the answer or one of its clauses."""
    clauses = [normal, *(c.strip() for c in re.split(r"[.;]|\band\b|\bso\b", normal) if len(c.split()) >= 3)]
    vectors = encoder.encode([*key.points, *clauses])
    points, spoken = vectors[: len(key.points)], vectors[len(key.points) :]
    return [float(max(point @ clause for clause in spoken)) for point in points]
