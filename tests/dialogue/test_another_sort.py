"""Follow-ups that name a material by its sort, state or head alone; trade names, common practice, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue.another_sort import as_spoken_of
from assistant.dialogue.conversation import Conversation


@pytest.mark.parametrize(
    ("turns", "materials"),
    [
        (("how long do globe thistles keep for", "no the dried ones sorry"), {"dried-globe-thistle"}),
        (("70 chinese lanterns, how many bunches", "i mean dried"), {"dried-physalis"}),
        (("how long does dried statice keep", "and the fresh one in a vase?"), {"statice"}),
        (("sheet moss has gone crispy, shall i mist it", "what about the reindeer sort"), {"reindeer-moss"}),
        (("are dried poppy pods safe for children", "and the dried lotus ones"), {"dried-lotus-pod"}),
    ],
)
def test_the_sort_alone_picks_the_material(talk: Conversation, turns: tuple[str, ...], materials: set[str]) -> None:
    for text in turns:
        answer = talk.turn(text)
    assert set(answer.materials) == materials


def test_one_of_two_states_is_picked(talk: Conversation) -> None:
    talk.turn("how long do fresh quaking grass and dried quaking grass last")
    assert talk.turn("the dried one, how many months then").materials == ("dried-quaking-grass",)


def test_a_head_means_the_sort_spoken_of(talk: Conversation) -> None:
    talk.turn("14 tables, each 9 limonium and 6 mini gerberas, how many bunches")
    assert talk.turn("drop the gerberas").materials == ("limonium",)


def test_berries_of_what_was_spoken_of_are_no_material(talk: Conversation) -> None:
    parser, handbook = talk.context.parser, talk.context.handbook
    question = parser.parse("strip the berries off then?", today=talk.context.today)
    assert question.mentions
    assert as_spoken_of(question, ("nandina",), parser.names, handbook) == ()


def test_a_fresh_material_named_in_full_is_itself(talk: Conversation) -> None:
    talk.turn("how long does dried statice keep")
    assert talk.turn("how long does fresh statice last").materials == ("statice",)
