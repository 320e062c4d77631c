"""Unsure answers are held back until the person says that they were meant."""

from __future__ import annotations

import pytest

from assistant.dialogue import confidence, conversation
from assistant.dialogue.asking_back import YES, says_no, says_yes
from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation


@pytest.fixture
def unsure(monkeypatch: pytest.MonkeyPatch, talk: Conversation) -> Conversation:
    """A talk in which every answer is unsure."""
    monkeypatch.setattr(confidence, "of_answer", lambda *_: 0.2)
    monkeypatch.setattr(Context, "sees_meaning", property(lambda _: True))
    return talk


def test_an_unsure_answer_says_how_it_was_read_and_asks(unsure: Conversation) -> None:
    answer = unsure.turn("how long will carnations last at 24 degrees")
    assert answer.outcome == "asked_back"
    assert not answer.figures
    assert "how long carnations last" in answer.reply
    assert "24 degrees" in answer.reply
    assert answer.choices[0] == YES
    assert answer.confidence == 0.2


def test_yes_gives_the_answer_that_was_held(unsure: Conversation) -> None:
    unsure.turn("how long will carnations last at 24 degrees")
    answer = unsure.turn(YES)
    assert (answer.outcome, answer.materials) == ("answered", ("carnation",))
    assert answer.figures[0].kind == "days_remaining"
    assert unsure.turn("why?").task == "explain"


def test_no_puts_the_talk_back(unsure: Conversation, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(conversation, "ASK_BELOW", 0.0)
    unsure.turn("roses at 22")
    monkeypatch.setattr(conversation, "ASK_BELOW", 0.6)
    unsure.turn("what about lilac")
    assert unsure.turn("no").outcome == "asked_back"
    monkeypatch.setattr(conversation, "ASK_BELOW", 0.0)
    assert unsure.turn("and at 27?").materials == ("rose",)


def test_another_question_leaves_the_held_answer(unsure: Conversation, monkeypatch: pytest.MonkeyPatch) -> None:
    unsure.turn("how long will carnations last at 24 degrees")
    monkeypatch.setattr(conversation, "ASK_BELOW", 0.0)
    assert unsure.turn("how long do tulips last").materials == ("tulip",)


@pytest.mark.parametrize("text", ["yes", "Yes, that is it", "yep", "that's right", "y"])
def test_yes(text: str) -> None:
    assert says_yes(text.lower())


@pytest.mark.parametrize("text", ["yes, but how long do tulips last?", "are they safe", "no", "and at 28"])
def test_not_yes(text: str) -> None:
    assert not says_yes(text)


def test_no() -> None:
    assert says_no("nope")
    assert not says_no("no, in foam")
