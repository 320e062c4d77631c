"""Stand-ins asked for in a talk, and which ask a follow-up makes; common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue.conversation import Conversation


@pytest.mark.parametrize(
    ("turns", "materials"),
    [
        (("are amaryllis bad for the shop cat", "something big and red instead then"), {"amaryllis"}),
        (("is mistletoe safe at a nursery", "what white berry then"), {"mistletoe"}),
        (("cherry blossom at new year, can I get it", "so what branch could go in instead"), {"cherry-blossom"}),
        (("no waratah to be had, what's as big and as red", "would king protea do it"), {"waratah", "king-protea"}),
        (("magnolia leaf and noble fir, which lasts", "leave the fir out then. what goes in instead of it"), {"noble-fir"}),
    ],
)  # fmt: skip
def test_a_stand_in_is_for_the_one_spoken_of(talk: Conversation, turns: tuple[str, ...], materials: set[str]) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert "substitute" in answer.tasks
    assert set(answer.materials) == materials


def test_what_was_dropped_earlier_is_replaced(talk: Conversation) -> None:
    talk.turn("hand tie: 5 spray carnations at 60p, 3 solidaster at 85p, 4 pittosporum at 40p")
    talk.turn("without the solidaster")
    answer = talk.turn("what's small and yellow to go in its place")
    assert (answer.task, answer.materials) == ("substitute", ("solidaster",))


def test_a_search_after_a_life_is_a_search(talk: Conversation) -> None:
    talk.turn("how long do roses last at 20 degrees")
    assert talk.turn("which yellow fillers are there").materials == ()


def test_berries_asked_for_are_berries(talk: Conversation) -> None:
    talk.turn("is mistletoe safe at a nursery")
    answer = talk.turn("what white berry then")
    kinds = {talk.context.material(c.material).kind for c in answer.candidates}
    assert kinds == {"berry"}


@pytest.mark.parametrize(
    ("turns", "task"),
    [
        (("lilac prep?", "months?"), "season"),
        (("how long do santini last at 20", "40 stems of them, bunches?", "2.30 a bunch so"), "cost"),
        (("waxflower at 20, how long", "and it's the number to a bunch I never remember"), "quantity"),
        (("hydrangeas just landed, what do I do first", "should I be sticking them in the cold room"), "storage"),
        (("what do I do with lisianthus when it gets here", "and it'll go for how many days?"), "longevity"),
    ],
)
def test_a_follow_up_asks_what_its_words_ask(talk: Conversation, turns: tuple[str, ...], task: str) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert answer.task == task


def test_a_subject_stays_after_an_answer_that_names_nothing(talk: Conversation) -> None:
    talk.turn("90 limonium from bunches of ten, how many bunches")
    talk.turn("explain the jump")
    assert talk.turn("at 5.60 a bunch?").materials == ("limonium",)
