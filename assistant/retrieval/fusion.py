"""One ranking out of two: by words and by meaning, and a word about the materials a question names."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

# The share of the score that the named materials decide.
ENTITY_SHARE = 0.4
# The share of the meaning against the words; evals/retrieval.py compares it with other ways to fuse.
SEMANTIC_SHARE = 0.4


def convex(
    lexical: Mapping[int, float], semantic: Mapping[int, float], share: float = SEMANTIC_SHARE
) -> dict[int, float]:
    """A weighted mean of two scores that both lie in 0..1; what one side did not find counts 0 there."""
    # Every passage has a cosine and few have words in common: one plain pass over the many, one over the few.
    fused = {row: share * cosine if cosine > 0 else 0.0 for row, cosine in semantic.items()}
    for row, score in lexical.items():
        fused[row] = fused.get(row, 0.0) + (1 - share) * score
    return fused


def with_materials(
    scores: Mapping[int, float], owners: Sequence[Collection[str]], named: Collection[str]
) -> dict[int, float]:
    """Lift passages of the materials named, leave general rules, lower passages of other materials.

    `owners` holds the materials of each passage by position. Scores stay in 0..1.
    """
    if not named:
        return dict(scores)
    wanted = set(named)

    def standing(row: int) -> float:
        return 0.5 if not owners[row] else float(not wanted.isdisjoint(owners[row]))

    return {row: (1 - ENTITY_SHARE) * score + ENTITY_SHARE * standing(row) for row, score in scores.items()}
