"""The rules' questions and what is measured on them."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.handbook.loading import Handbook
from assistant.handbook.passages import rule_passage
from evals import rule_search


def test_every_question_names_rules_of_the_handbook_and_a_part(handbook: Handbook) -> None:
    questions = rule_search.load()
    assert {q.split for q in questions} == set(rule_search.SPLITS)
    assert {rule for q in questions for rule in q.rules} <= set(handbook.rules)
    asks = [q.ask.casefold() for q in questions]
    assert len(asks) == len(set(asks))


def test_no_rule_is_asked_for_in_both_parts() -> None:
    """What is fitted on one part may not have seen the rules the other is measured on."""
    questions = rule_search.load()
    dev, test = ({rule for q in questions if q.split == part for rule in q.rules} for part in rule_search.SPLITS)
    assert not dev & test


def test_no_question_is_one_of_the_rules_own(handbook: Handbook) -> None:
    own = {asked.casefold().strip(" ?") for rule in handbook.rules.values() for asked in rule.asked_as}
    assert not own & {q.ask.casefold().strip(" ?") for q in rule_search.load()}


def test_the_first_right_rule_counts(handbook: Handbook) -> None:
    topic = next(iter(handbook.topics.values()))
    passages = [rule_passage(topic.topic, rule) for rule in topic.rules[:3]]
    right = frozenset(rule.id for rule in topic.rules[1:3])
    assert rule_search.first_right(passages, right) == 2
    assert rule_search.first_right(passages[:1], right) > 1000


def test_measures_by_hand() -> None:
    assert rule_search.measures(np.array([1, 2, 10, rule_search._NOT_FOUND])) == pytest.approx((0.25, 0.5, 1.6 / 4))


def test_a_gain_of_nothing_is_nothing_and_a_sure_gain_is_sure() -> None:
    old, groups = np.array([2, 2, 1, 3]), np.array([0, 0, 1, 1])
    assert rule_search.gain(old, old, groups) == [(0.0, 0.0, 0.0)] * 3
    (point, low, high), *_ = rule_search.gain(np.full(4, 2), np.ones(4, dtype=int), groups)
    assert (point, low, high) == (1.0, 1.0, 1.0)
