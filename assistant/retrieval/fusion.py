"""One ranking out of two: by words and by meaning, and a word about the materials a question names."""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence

# The share of the score that the named materials decide.
ENTITY_SHARE = 0.4
# The share of the meaning against the words; evals/retrieval.py compares it with other ways to fuse.
SEMANTIC_SHARE = 0.4
# Of a rule's score: what its tokens, its passage's vector and its words decide; set on the `dev` part of
# evals/data/rule_questions.yaml. What the named materials may move is small, because good and bad rules lie close.
LATE_SHARE, MEANING_SHARE, WORDS_SHARE = 0.8, 0.1, 0.1
RULE_ENTITY_LIFT = 0.02


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


def of_rules(
    late: Mapping[int, float],
    semantic: Mapping[int, float],
    lexical: Mapping[int, float],
    owners: Sequence[Collection[str]],
    named: Collection[str],
) -> dict[int, float]:
    """The scores of the rules the second stage has read, at most 1; rules about materials not named sink a little."""
    wanted = set(named)
    scores = {}
    for row, close in late.items():
        score = LATE_SHARE * close + MEANING_SHARE * semantic.get(row, 0.0) + WORDS_SHARE * lexical.get(row, 0.0)
        if wanted and owners[row]:
            score += RULE_ENTITY_LIFT if not wanted.isdisjoint(owners[row]) else -RULE_ENTITY_LIFT
        scores[row] = min(score, 1.0)
    return scores
