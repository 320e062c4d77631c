"""Questions a rule answers: answered, named as nearest, or declined. The questions are common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue import general
from assistant.dialogue.context import Context
from assistant.dialogue.desk import Desk
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import Speech
from assistant.handbook.loading import Handbook
from assistant.handbook.passages import Passage
from assistant.retrieval import Hit, Retriever
from tests.conftest import TODAY


@pytest.fixture(scope="module")
def desk(handbook: Handbook) -> Desk:
    return Desk(Context(handbook, retriever=Retriever(handbook), clock=lambda: TODAY), Speech())


def hit(score: float, lexical: float = 0.3, semantic: float | None = 0.4) -> Hit:
    return Hit(Passage("bench/one", "One", "Text.", ()), score, lexical, semantic)


def test_chance_grows_with_the_score_and_with_the_lead() -> None:
    assert general.chance_of([hit(0.6), hit(0.5)]) > general.chance_of([hit(0.5), hit(0.4)])
    assert general.chance_of([hit(0.5), hit(0.4)]) > general.chance_of([hit(0.5), hit(0.49)])
    assert 0 < general.chance_of([hit(0.1), hit(0.1)]) < general.NEAREST_FROM
    assert general.chance_of([]) == 0


def test_a_second_rule_that_would_do_takes_nothing_off_the_chance() -> None:
    far = [hit(0.35), hit(0.35)]
    assert general.chance_of([hit(0.5), hit(0.49), *far]) == general.chance_of([hit(0.5), hit(0.4), *far])


def test_a_sentence_that_tells_nothing_is_not_searched(desk: Desk) -> None:
    assert general.find("do i need to do that", desk).hits == ()
    assert general._sentences("somebody said snip the stalk slanted. do i need to do that?") == [
        "somebody said snip the stalk slanted"
    ]


def test_by_words_alone_it_is_yes_or_no() -> None:
    assert general.chance_of([hit(0.7, 0.7, None)]) == 1
    assert general.chance_of([hit(0.3, 0.3, None)]) == 0


@pytest.mark.parametrize(
    ("text", "rule"),
    [
        ("what even is botrytis", "what-botrytis-is"),
        ("there's little moths in the dried wheat, how do i get rid of them", "freeze-for-pests"),
        ("we ran late again today. does dropping a copper coin in the vase do anything?", "penny-and-aspirin-myths"),
    ],
)
def test_a_question_of_craft_gets_its_rule(desk: Desk, text: str, rule: str) -> None:
    draft = general.from_rules(Wish("care", (), {}, {}, text), desk)
    assert draft is not None
    assert draft.lead == desk.context.handbook.rules[rule].text


@pytest.mark.parametrize("text", ["what should I pay a freelance for a day", "where can i train as a floral designer"])
def test_what_no_rule_answers_is_not_answered(desk: Desk, text: str) -> None:
    assert general.from_rules(Wish("care", (), {}, {}, text), desk) is None


def test_the_nearest_are_named_and_can_be_asked_for(desk: Desk) -> None:
    wish = Wish("care", (), {}, {}, "which buckets do we sell from when some are old")
    draft = general.nearest(wish, desk)
    assert draft is not None
    assert draft.outcome == "not_covered"
    assert not draft.figures
    for asked, passage in zip(draft.follow_ups, draft.passages, strict=True):
        again = general.find(asked, desk)
        assert f"“{passage.title}”" in draft.lead
        assert again.hits[0].passage.id == passage.id
    assert general.nearest(Wish("care", (), {}, {}, "who won the cup in 1966"), desk) is None


@pytest.mark.parametrize(
    ("text", "asked"),
    [
        ("my class always asks me why stems die sooner in foam", "why stems die sooner in foam"),
        ("somebody put it to me that dry air empties a vase", "that dry air empties a vase"),
        ("can you explain to the new girl how foam is soaked", None),  # nobody is said to have asked it
    ],
)
def test_what_somebody_is_said_to_have_asked_is_searched_alone(text: str, asked: str | None) -> None:
    parts = general._sentences(text)
    assert (asked in parts) if asked else not parts


def test_a_clause_that_tells_nothing_is_told_apart() -> None:
    assert not general.tells("what is the reason?")
    assert general.tells("why are the ends recut?")
