from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.retrieval.fusion import convex, of_rules, with_materials

scores = st.dictionaries(st.integers(0, 9), st.floats(0, 1))


def test_convex_is_a_weighted_mean_and_absence_counts_nothing() -> None:
    assert convex({1: 0.5, 2: 0.2}, {1: 1.0, 3: 0.5}, share=0.4) == pytest.approx({1: 0.7, 2: 0.12, 3: 0.2})


def test_a_negative_cosine_is_no_penalty() -> None:
    assert convex({1: 0.5}, {1: -0.3}, share=0.4) == pytest.approx({1: 0.3})


@given(scores, scores, st.floats(0, 1))
def test_scores_stay_between_0_and_1(lexical: dict[int, float], semantic: dict[int, float], share: float) -> None:
    fused = convex(lexical, semantic, share)
    owners = [{"rose"} if row % 3 else set() for row in range(10)]
    for result in (fused, with_materials(fused, owners, ["rose"])):
        assert all(0 <= score <= 1 + 1e-9 for score in result.values())


def test_named_materials_lift_general_rules_stay_others_sink() -> None:
    owners = [{"rose"}, set(), {"tulip"}, {"tulip", "rose"}]
    even = dict.fromkeys(range(4), 0.5)
    ranked = with_materials(even, owners, ["rose"])
    assert ranked[0] == ranked[3] > ranked[1] > ranked[2]
    assert with_materials(even, owners, []) == even


def test_a_rules_score_is_its_three_parts() -> None:
    """Shares 0.8, 0.1 and 0.1; what words or meaning did not find counts nothing there."""
    scores = of_rules({0: 0.5, 1: 0.5}, {0: 0.4}, {1: 0.6}, [set(), set()], [])
    assert scores == pytest.approx({0: 0.44, 1: 0.46})


def test_rules_of_other_materials_sink_a_little_and_general_ones_stay() -> None:
    even = dict.fromkeys(range(3), 0.5)
    scores = of_rules(even, {}, {}, [{"rose"}, set(), {"tulip"}], ["rose"])
    assert scores[0] > scores[1] > scores[2]
    assert scores[1] == pytest.approx(0.4)
