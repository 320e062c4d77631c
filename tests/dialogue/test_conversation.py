"""Turns as people take them. Figures are checked against the calculators elsewhere; here it is who is asked what."""

from __future__ import annotations

import json

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.dialogue.inputs import reading_of
from assistant.dialogue.tasks import TASKS
from assistant.handbook.loading import Handbook
from assistant.handbook.passages import all_passages


def test_the_main_job(talk: Conversation) -> None:
    answer = talk.turn("how long will carnations last at 24 degrees")
    (figure,) = answer.figures
    assert (answer.outcome, answer.task, answer.materials) == ("answered", "longevity", ("carnation",))
    assert figure.low <= figure.value <= figure.high
    assert {i.name: i.origin for i in figure.inputs}["display_temperature"] == "asked"
    assert figure.sources
    assert answer.passages[0].id == "carnation/life"
    assert str(round(figure.value)) in answer.reply.split(".")[0]


def test_follow_ups_change_one_thing(talk: Conversation) -> None:
    first = talk.turn("how long will carnations last at 24 degrees").figures[0]
    warmer = talk.turn("and at 28?").figures[0]
    other = talk.turn("what about gerberas").figures[0]
    foam = talk.turn("no, in foam").figures[0]
    assert warmer.value < first.value
    assert (other.material, {i.name: i.value for i in other.inputs}["display_temperature"]) == ("gerbera", 28)
    assert foam.value < other.value


def test_a_what_if_is_undone(talk: Conversation) -> None:
    first = talk.turn("roses at 22").figures[0]
    talk.turn("make it 27 degrees")
    assert talk.turn("undo").figures[0].value == pytest.approx(first.value)


def test_a_chip_is_the_same_turn_with_one_input_replaced(talk: Conversation) -> None:
    talk.turn("roses at 22")
    chip = talk.revise("display_temperature", reading_of(27, "degC"))
    assert chip.figures[0].value == pytest.approx(talk.turn("roses at 27").figures[0].value)


def test_the_last_figure_is_explained_and_sourced(talk: Conversation) -> None:
    talk.turn("carnations at 24")
    assert "Q10" in talk.turn("why?").reply
    assert "20" in talk.turn("source?").reply
    assert "warmer" in talk.turn("what would change it?").reply


def test_a_shared_name_is_asked_about_and_then_answered(talk: Conversation) -> None:
    asked = talk.turn("how long do lilies last")
    assert asked.outcome == "asked_back"
    assert len(asked.choices) > 2
    assert talk.turn("the oriental ones").materials == ("oriental-lily",)


def test_harm_is_answered_for_every_meaning(talk: Conversation) -> None:
    answer = talk.turn("are lilies safe with cats")
    assert {"oriental-lily", "asiatic-lily", "longiflorum-lily"} <= set(answer.materials)
    assert answer.reply.startswith("No")
    assert answer.cautions


def test_a_misspelling_is_said(talk: Conversation) -> None:
    assert "I took “gerberra” for gerbera" in talk.turn("48 gerberra in tens, how many bunches").reply


def test_an_unknown_material_is_not_turned_into_a_known_one(talk: Conversation) -> None:
    answer = talk.turn("how long does edelweiss last at 20")
    assert answer.outcome == "not_covered"
    assert answer.figures == ()


def test_the_candidates_can_be_picked(talk: Conversation) -> None:
    offered = talk.turn("what can i use instead of delphinium").candidates
    assert talk.turn("how long does the second one last").materials == (offered[1].material,)


def test_lists_are_edited(talk: Conversation) -> None:
    talk.turn("compare roses and lisianthus at 22")
    assert talk.turn("add carnations").materials == ("rose", "lisianthus", "carnation")
    assert talk.turn("without the roses").materials == ("lisianthus", "carnation")


def test_dried_material_never_gets_a_water_figure(talk: Conversation, handbook: Handbook) -> None:
    for material in handbook.materials.values():
        if material.is_dry:
            answer = Conversation(talk.context).turn(
                f"how much water for {material.name} in a 20 cm cylinder filled 25 cm"
            )
            assert not any(f.kind in ("water_needed", "days_until_refill") for f in answer.figures), material.id


@pytest.mark.parametrize(
    "text", ["-5 roses", "roses at 600 °C", "tulips for -3 days", "roses for the 31st of february", "", "   "]
)
def test_impossible_input_gets_one_sentence(talk: Conversation, text: str) -> None:
    answer = talk.turn(text)
    assert answer.outcome == "asked_back"
    assert answer.figures == ()


@pytest.mark.parametrize(
    "text",
    ["what is the capital of france", "when should i prune my roses", "how do i cook asparagus", "write me a poem about roses",
     "how long does milk last in the fridge", "translate peony into japanese", "will it rain tomorrow"],
)  # fmt: skip
def test_other_subjects_are_declined(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "not_covered"


@pytest.mark.parametrize(
    "text",
    [
        "x" * 10_000,
        "[red]roses[/red] at 20",
        "\x1b[2Jroses at 20",
        "{}{}%s%n",
        "'; drop table",
        "🌹🌹🌹",
        "?" * 50,
        "1 2 3 4",
    ],
)
def test_odd_input_is_survived_and_never_echoed_raw(talk: Conversation, text: str) -> None:
    answer = talk.turn(text)
    assert answer.reply
    assert "\x1b" not in json.dumps(answer.to_json())


def test_every_material_in_every_task_answers_with_that_material(handbook: Handbook, context: Context) -> None:
    asks = {
        "longevity": "how long does {} last at 22 degrees", "quantity": "how many bunches of {} for 40 stems",
        "water": "how much do 10 stems of {} drink a day", "substitute": "what can i use instead of {}",
        "care": "how do i condition {}", "storage": "how long can i store {} in the cooler", "hazard": "is {} poisonous to cats",
        "refresh": "{} in a two week display at 20, when do i replace it", "season": "when is {} in season", "describe": "what is {}",
        "cost": "cost of 3 bunches of {} at 9 a bunch",
    }  # fmt: skip
    assert set(asks) <= set(TASKS)
    wrong = []
    for material in handbook.materials.values():
        for task, pattern in asks.items():
            answer = Conversation(context).turn(pattern.format(material.name))
            fine = answer.outcome in ("answered", "not_covered") or answer.choices or task == "quantity"
            if not fine or (answer.materials and material.id not in answer.materials):
                wrong.append((material.id, task, answer.outcome, answer.materials))
    assert wrong == []


def test_passages_shown_are_the_handbooks_own(talk: Conversation, handbook: Handbook) -> None:
    own = {p.id: p.text for p in all_passages(handbook)}
    for text in (
        "roses at 24",
        "how do i condition hydrangeas",
        "is oleander safe",
        "48 gerberas in tens",
        "stock in the cooler",
    ):
        for passage in talk.turn(text).passages:
            assert passage.text == own[passage.id]


def test_the_json_contract_keeps_its_keys(talk: Conversation) -> None:
    data = talk.turn("instead of 20 white peonies in may").to_json()
    assert list(data)[:11] == [
        "question",
        "outcome",
        "task",
        "tasks",
        "materials",
        "reply",
        "figures",
        "candidates",
        "passages",
        "cautions",
        "follow_ups",
    ]
    assert set(data["figures"][0]) >= {
        "kind",
        "material",
        "value",
        "low",
        "high",
        "unit",
        "inputs",
        "formula",
        "sources",
    }
    assert set(data["candidates"][0]) == {"material", "score", "why", "stems", "bunches"}
    assert set(data["passages"][0]) == {"id", "title", "text", "score", "sources"}
    json.dumps(data)
