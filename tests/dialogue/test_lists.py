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


def test_a_total_shared_out_is_shared_out_again(talk: Conversation) -> None:
    talk.turn("arch is 240 stems at 3:2:1 - olive, nandina, pepperberry in that order. what do I buy")
    assert stems(talk.turn("go up to 300")) == {"olive": 150, "nandina": 100, "pepperberry": 50}


def test_another_worked_out_the_same_way_is_an_order_of_its_own(talk: Conversation) -> None:
    talk.turn("I need sixty tulips, how many bunches")
    assert stems(talk.turn("freesia as well, worked out the same way")) == {"freesia": 60}
    assert stems(talk.turn("ditto limonium")) == {"limonium": 60}


def test_so_many_more_are_added(talk: Conversation) -> None:
    talk.turn("six pupils each tie a posy of five calendula, bunches of ten")
    assert stems(talk.turn("two more have enrolled")) == {"calendula": 40}


def test_the_half_that_goes_elsewhere_is_not_halved_again(talk: Conversation) -> None:
    talk.turn("16 hoops, each hoop is five willow eucalyptus and two dried palm spears, what do I order")
    assert stems(talk.turn("make it 8 hoops, the other half goes to my sister")) == {
        "willow-eucalyptus": 40,
        "dried-palm-spear": 16,
    }


def test_so_many_of_a_flower_spoken_of_are_its_stems(talk: Conversation) -> None:
    talk.turn("how long do kangaroo paws last at 24")
    assert stems(talk.turn("I need 35 of them, how many bunches")) == {"kangaroo-paw": 35}


URNS = "13 urns, each takes 2 strelitzia, 3 monstera leaves and 1 curly willow, what do I order"


@pytest.mark.parametrize(
    ("edit", "after"),
    [
        ("strike out the willow", {"bird-of-paradise": 26, "monstera-leaf": 39}),
        (
            "strike out the willow and put two croton leaves there",
            {"bird-of-paradise": 26, "monstera-leaf": 39, "croton-leaf": 26},
        ),
        (
            "scrap the strelitzia and give me ginger lily for it, same two",
            {"monstera-leaf": 39, "curly-willow": 13},
        ),
        (
            "boss prefers birch to willow",
            {"bird-of-paradise": 26, "monstera-leaf": 39, "birch-branch": 13},
        ),
        (
            "croton leaves for the monstera",
            {"bird-of-paradise": 26, "croton-leaf": 39, "curly-willow": 13},
        ),
        ("willow's finished for now", {"bird-of-paradise": 26, "monstera-leaf": 39}),
    ],
)
def test_what_takes_a_place_takes_its_count(talk: Conversation, edit: str, after: dict[str, float]) -> None:
    talk.turn(URNS)
    now = stems(talk.turn(edit))
    assert {name: now.get(name) for name in after} == after
    gone = {"bird-of-paradise", "monstera-leaf", "curly-willow"} - after.keys()
    assert not gone & now.keys()


def test_what_goes_with_them_is_added_and_the_first_counted_anew(talk: Conversation) -> None:
    talk.turn("24 leucadendron, how many bunches")
    assert stems(talk.turn("make it forty, and ten brunia with them")) == {"leucadendron": 40, "brunia": 10}


def test_the_same_number_of_another_has_its_own_pack(talk: Conversation) -> None:
    talk.turn("seeded eucalyptus for 9 tables, 3 stems each, bunches of six, how many bunches")
    answer = talk.turn("and the same number of podocarpus as well, tens")
    packs = {f.material: i.value for f in answer.figures for i in f.inputs if i.name == "pack_size"}
    assert stems(answer) == {"seeded-eucalyptus": 27, "podocarpus": 27}
    assert packs == {"seeded-eucalyptus": 6, "podocarpus": 10}


def test_a_question_about_one_of_the_list_edits_nothing(talk: Conversation) -> None:
    talk.turn(URNS)
    assert not stems(talk.turn("do I cut off the leaves of the strelitzia before they go in"))


def test_the_old_number_said_beside_the_new_one_changes_nothing_else(talk: Conversation) -> None:
    talk.turn("14 wreaths, nine stems of hypericum on each, how many bunches")
    answer = talk.turn("nine's a bit much, so I'm dropping to seven a wreath")
    assert stems(answer) == {"hypericum": 98}


def test_a_count_after_talk_of_something_else_is_an_order(talk: Conversation) -> None:
    talk.turn("how do I condition kangaroo paw")
    answer = talk.turn("need 64 stems")
    assert (answer.task, stems(answer)) == ("quantity", {"kangaroo-paw": 64})


def test_stems_that_wilted_are_no_order(talk: Conversation) -> None:
    talk.turn("how long do roses last at 22")
    assert talk.turn("3 of them have wilted").task != "quantity"


@pytest.mark.parametrize(
    ("first", "then", "after"),
    [
        ("45 green trick dianthus, how many bunches", "plus sixty stems of solidago", {"solidago": 60}),
        ("45 green trick dianthus, how many bunches", "as many solidago too", {"solidago": 45}),
        ("20 tables, 4 panicum in each", "plus 2 thryptomene", {"panicum-grass": 80, "thryptomene": 40}),
        ("30 roses and 20 stock to order", "and 10 gerbera too", {"rose": 30, "stock": 20, "gerbera": 10}),
    ],
)
def test_the_next_line_of_an_order_stands_alone_and_what_joins_a_recipe_does_not(
    talk: Conversation, first: str, then: str, after: dict[str, float]
) -> None:
    talk.turn(first)
    assert stems(talk.turn(then)) == after
