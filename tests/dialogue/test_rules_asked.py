"""Questions for rules in other words, with search on, and what only sounds like one. Common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.loading import Handbook
from assistant.retrieval import Retriever
from tests.conftest import TODAY


@pytest.fixture(scope="module")
def searching(handbook: Handbook) -> Context:
    retriever = Retriever(handbook)
    assert retriever.prepare()
    return Context(handbook, lambda: TODAY, retriever)


@pytest.fixture
def talk(searching: Context) -> Conversation:
    return Conversation(searching)


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("a customer asked me yesterday if a copper coin in the water does anything", "explain care mixing"),
        ("boss yelled at me for leaving my bananas by the buckets, whats the problem with that", "explain"),
        ("Would the vase go down quicker when the air in the room is dry? A student asked.", "water explain"),
        ("Put vase life in plain language for the new lad, would you?", "explain"),
        ("when I cut the floral foam there is powder in the air, is it bad that I breathe it", "hazard"),
        ("can we mix our own silver thiosulphate at the bench", "hazard"),
        ("Give me three things that should never be put in a cooler running at 2 degrees C.", "storage"),
        (
            "Why would we order above what stems divided by the bunch size gives? What is the reason?",
            "explain quantity",
        ),
    ],
)
def test_a_rule_is_found_in_other_words(talk: Conversation, text: str, task: str) -> None:
    answer = talk.turn(text)
    assert answer.outcome == "answered", answer.reply
    assert set(answer.tasks) & set(task.split()), answer.tasks


def test_a_rule_speaks_before_the_entry_where_it_is_the_one_asked_for(talk: Conversation) -> None:
    answer = talk.turn("somebody told me that you should bash lilac stems with a hammer, true?")
    assert answer.materials == ("lilac",)
    assert answer.reply.startswith(talk.context.handbook.rules["do-not-crush-stems"].text)
    assert any(figure.kind == "hydration_time" for figure in answer.figures)


def test_where_somebody_may_come_to_harm_no_rule_of_handling_speaks_first(talk: Conversation) -> None:
    answer = talk.turn(
        "She's got toddlers who grab everything, so I'm wondering if I ought to leave out the delphinium."
    )
    assert talk.context.handbook.rules["condition-hollow-stems"].text not in answer.reply


@pytest.mark.parametrize(
    "text",
    [
        "if i stick at this what sort of pay do florists get",
        "I've a long walk home later and no coat, so what is it like outside?",
        "what toys are safe for toddlers",
        "what mattress foam lasts longest",
        "is calendula cream ok on nappy rash",
        "shall i stick poinsettia in water",
        "what's in a sachet of yeast",
        "how do i stop bananas going brown in the fruit bowl",
        "why does my bath water go down so slowly",
    ],
)
def test_what_only_sounds_like_a_rule_is_declined(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "not_covered"


@pytest.mark.parametrize("text", ["how many bunches?", "so bunches, what number do I put", "substitute for"])
def test_an_order_with_nothing_in_it_is_asked_back(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "asked_back"
