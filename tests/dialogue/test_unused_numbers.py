"""What an answer leaves unused of its message; the wordings are common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue import confidence
from assistant.dialogue.conversation import Conversation
from assistant.language.parsing import Parser


def test_a_number_nobody_read_is_named(talk: Conversation) -> None:
    answer = talk.turn("hotel room 214, tulips at 20 degrees, how long do they last")
    assert "I made no use of 214." in answer.reply


@pytest.mark.parametrize(
    "text",
    [
        "tulips at 20 degrees, how long do they last",
        "one or two roses a vase, 12 vases, how many bunches",
        "80 stems in all, a quarter of them leucadendron, how many bunches",
    ],
)
def test_a_number_that_was_used_is_not_denied(talk: Conversation, text: str) -> None:
    assert "made no use" not in talk.turn(text).reply


def test_a_number_taken_back_is_not_missed(talk: Conversation, parser: Parser) -> None:
    question = parser.parse("57 roses not 75, room 214, how many bunches", today=talk.context.today)
    answer = talk.turn(question.text)
    assert confidence.unused_numbers(question, answer, talk.memory) == ["214"]


@pytest.mark.parametrize(
    ("text", "opening"),
    [
        ("is daffodil poisonous to cats", "Yes:"),
        ("is daffodil safe for cats", "No:"),
        ("ok is daffodil poisonous to cats", "Yes:"),
    ],
)
def test_a_danger_is_confirmed_the_way_it_was_asked(talk: Conversation, text: str, opening: str) -> None:
    # Daffodils (Narcissus) are on the ASPCA list of plants toxic to cats.
    assert talk.turn(text).reply.startswith(opening)


def test_a_share_counts_as_used_only_where_it_was_said_as_one(talk: Conversation, parser: Parser) -> None:
    question = parser.parse("room 100, one table with 12 roses, 5 % lost, how many bunches", today=talk.context.today)
    answer = talk.turn("one table with 12 roses, 5 % lost, how many bunches")
    assert confidence.unused_numbers(question, answer, talk.memory) == ["100"]
