"""A list being ordered, edited one material at a time. Bunch counts by the exact binomial, 90 % sure, by hand."""

from __future__ import annotations

import pytest

from assistant.dialogue.answer import Answer
from assistant.dialogue.conversation import Conversation


def bunches(answer: Answer) -> dict[str | None, float]:
    return {f.material: f.value for f in answer.figures if f.kind == "bunches"}


def stems(answer: Answer) -> dict[str | None, float]:
    return {
        f.material: float(i.value)
        for f in answer.figures
        for i in f.inputs
        if f.kind == "bunches" and i.name == "stems"
    }


def test_one_materials_count_changes_and_the_others_stay(talk: Conversation) -> None:
    talk.turn("22 tables, 4 winterberry and 6 rosemary on each, what do I order")
    answer = talk.turn("rosemary down to 3")
    assert stems(answer) == {"winterberry": 88, "rosemary": 66}


def test_one_materials_pack_changes_and_the_others_stay(talk: Conversation) -> None:
    talk.turn("16 vases, 3 stems of skimmia and 4 of heather in each, no losses")
    before = bunches(talk.memory.answer) if talk.memory.answer else {}
    after = bunches(talk.turn("the skimmia comes in eights"))
    assert after["skimmia"] == 6  # 48 stems in eights, none lost
    assert after["heather"] == before["heather"]


def test_a_recipe_is_multiplied_by_what_is_made(talk: Conversation) -> None:
    answer = talk.turn("recipe is 5 protea 7 seeded eucalyptus 3 skimmia. doing four")
    assert stems(answer) == {"protea": 20, "seeded-eucalyptus": 28, "skimmia": 12}


def test_what_pieces_come_to_counts_not_what_was_added(talk: Conversation) -> None:
    talk.turn("8 urns, each gets 7 red dogwood and 12 leatherleaf, how many bunches")
    assert stems(talk.turn("they've added two urns so make it 10")) == {"red-twig-dogwood": 70, "leatherleaf-fern": 120}


def test_so_many_to_the_metre(talk: Conversation) -> None:
    assert stems(talk.turn("eight podocarpus to the metre, runner's 12 metres, how many bunches")) == {"podocarpus": 96}
    assert stems(talk.turn("they measured again, it is 9 m")) == {"podocarpus": 72}


def test_a_share_of_the_stems(talk: Conversation) -> None:
    assert stems(talk.turn("casket spray, 80 stems, a quarter of them leucadendron. bunches of that?")) == {
        "leucadendron": 20
    }


@pytest.mark.parametrize(("each", "verdict"), [(5, "No"), (4, "Yes")])
def test_whether_bunches_in_hand_will_do(talk: Conversation, each: int, verdict: str) -> None:
    # 55 or 44 stems in tens at 8 % loss: seven bunches or six.
    answer = talk.turn(f"would six bunches of bouvardia cover 11 corsages with {each} in each")
    assert answer.reply.startswith(verdict)


def test_an_order_and_a_life_in_one_message(talk: Conversation) -> None:
    answer = talk.turn("equisetum: 60 stems in tens with no loss, and how long will it stand at 23")
    assert answer.tasks == ("quantity", "longevity")
    assert bunches(answer) == {"equisetum": 6}


def test_stems_shared_evenly(talk: Conversation) -> None:
    assert stems(talk.turn("120 stems split evenly between limonium, caspia and solidaster, in bunches")) == {
        "limonium": 40,
        "caspia": 40,
        "solidaster": 40,
    }


def test_a_total_of_several_materials_is_asked_about(talk: Conversation) -> None:
    answer = talk.turn("how many bunches for 180 stems in all, ruscus italian, pampas and dried poppy pods")
    assert answer.outcome == "asked_back"
