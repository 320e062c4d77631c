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


@pytest.mark.parametrize(
    ("turns", "kind", "low", "high"),
    [
        (["what water do i need for a 16 cm cylinder filled 20", "and five of those?"], "vessel_volume", 20.0, 20.3),
        (["what water do i need for a 16 cm cylinder filled 20", "only half full of water?"], "vessel_volume", 2.0, 2.1),
        (["food at ten grams per litre, two and a half litres, how much", "no wait it's three and a half"], "dose", 35, 35),
        (["i want seven dozen carnations, how many bunches", "no, i tell a lie, it's eight dozen"], "bunches", 6, 6),
        (["stock is 6 a bunch, i need 60 stems, what do i pay", "if its 7 a bunch"], "cost", 42, 56),
        (["flower food 10g a litre, 8 litres", "12"], "dose", 120, 120),
        (["8 roses, 5 solidago per vase, 12 vases, how many bunches", "without solidago, and 10 roses each"], "bunches", 6, 8),
        (["60 gerberas at 1.20 a pop, what does it come to"], "cost", 72, 72),
        (["what food dose at 5 ml a litre for 8 litres"], "dose", 40, 40),
        (["days left: roses at 20", "say 25?", "and in plain water"], "days_remaining", 2, 6.5),
    ],
)  # fmt: skip
def test_what_is_said_later_changes_the_figure_it_means(
    talk: Conversation, turns: list[str], kind: str, low: float, high: float
) -> None:
    """Reckoned by hand: 4.02 l a vessel, label dose times litres, whole bunches of the handbook's packs."""
    for turn in turns:
        answer = talk.turn(turn)
    assert [f for f in answer.figures if f.kind == kind and low <= f.value <= high], answer.reply


def test_a_new_ask_about_the_same_material_is_no_what_if(talk: Conversation) -> None:
    talk.turn("oriental lilies at 20")
    answer = talk.turn("and with cats about")
    assert (answer.task, answer.materials) == ("hazard", ("oriental-lily",))
    assert any("cat" in caution for caution in answer.cautions)
    talk.turn("daffodils at 18")
    mixed = talk.turn("mixed with tulips?")
    assert (mixed.task, mixed.materials) == ("care", ("daffodil", "tulip"))


def test_lists_are_edited_by_what_is_added_and_dropped(talk: Conversation) -> None:
    talk.turn("stock and lisianthus in a three week display at 20, when do i replace them")
    assert talk.turn("no stock then, carnations").materials == ("lisianthus", "carnation")
    assert talk.turn("add salal").materials == ("lisianthus", "carnation", "salal")
    assert talk.turn("drop the salal, keep carnations").materials == ("lisianthus", "carnation")


@pytest.mark.parametrize(
    "text",
    ["oleander on the dining table, ok?", "the roses along my fence need a haircut, which month",
     "daffodil bulbs: which month do they go into the ground?", "instead of edelweiss, what white filler"],
)  # fmt: skip
def test_what_the_handbook_lacks_or_is_no_work_of_ours_is_declined(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome in ("not_covered", "asked_back")


def test_no_order_is_certain(talk: Conversation) -> None:
    answer = talk.turn("80 carnations with 5% loss, 100% guaranteed")
    assert answer.outcome == "asked_back"
    assert "99 %" in answer.reply


def test_a_warmer_cooler_shortens_the_storage_life(talk: Conversation) -> None:
    talk.turn("how long can solidaster stay dry in the cooler")
    answer = talk.turn("the fridge is on 6")
    book, here = (f for f in answer.figures if f.kind == "storage_days")
    assert here.high < book.high
    assert {i.name: i.value for i in here.inputs}["storage_temperature"] == 6


def test_a_cooler_too_cold_for_tropicals_is_said(talk: Conversation) -> None:
    talk.turn("what temperature do i hold heliconia at")
    assert "too cold" in talk.turn("if my cooler only does 4?").reply


def test_hours_are_said_where_days_are_none(talk: Conversation) -> None:
    assert "hour" in talk.turn("how long does smokebush last wired dry onto an arch").reply


def test_a_plant_nobody_can_name_is_not_judged(talk: Conversation) -> None:
    answer = talk.turn("a twig with red berries, no idea what it is, is it poisonous")
    assert answer.outcome == "asked_back"
    assert not answer.figures


def test_fire_is_answered_with_fire(talk: Conversation) -> None:
    assert "fire" in talk.turn("are dried poppy pods safe on a shelf with tea lights").reply.lower()
