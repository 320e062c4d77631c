"""Mixing, as people ask about it. Doses are C1·V1 = C2·V2 and shares of parts; what must never be mixed is the rule
`never-mix-bleach` (wadoh, cdc_bleach)."""

from __future__ import annotations

import pytest

from assistant.dialogue.conversation import Conversation
from assistant.handbook.loading import Handbook


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("For limed glass: white vinegar one part to four of water, two litres made up. How much vinegar?", 400, "ml"),
        ("cutting 5 percent vinegar down to 1 percent, six litres, how much of the vinegar goes in", 1200, "ml"),
        ("mini gerbera want a drop of chlorine: 12 litres, 50 parts per million, 5% bottle", 12, "ml"),
        ("one cap of flower food is 15 ml and does 3 litres. i've a 20 litre bin to fill", 100, "ml"),
        ("dose is 10 ml to 2 litres, twelve litres to fill", 60, "ml"),
        ("2 tsp per quart, 6 quarts of flower food please", 60, "ml"),
        ("one sachet of flower food does half a litre. my bucket's 6 litres so how many sachets", 12, "sachets"),
        ("dilute the food concentrate one part to 99 of water, 20 litres of flower food", 200, "ml"),
    ],
)
def test_doses(talk: Conversation, text: str, amount: float, unit: str) -> None:
    figure = talk.turn(text).figures[0]
    assert (figure.kind, figure.unit) == ("dose", unit)
    assert figure.value == pytest.approx(amount, rel=2e-3)


def test_vinegar_without_a_strength_is_asked_about(talk: Conversation) -> None:
    answer = talk.turn("vinegar for 6 litres, how much do I need")
    assert answer.outcome == "asked_back"
    assert talk.turn("one to four").figures[0].value == pytest.approx(1200)


def test_the_agent_and_its_strength_stay_in_mind(talk: Conversation) -> None:
    talk.turn("2% sugar, 5 litres")
    assert talk.turn("how much for 20 litres").figures[0].value == pytest.approx(400)


def test_another_agent_takes_nothing_from_the_bleach(talk: Conversation) -> None:
    talk.turn("5% bleach, 200 ppm, 10 litres")
    answer = talk.turn("and vinegar one to four, 2 litres")
    assert [f.value for f in answer.figures] == [pytest.approx(400)]
    assert "Never in the same wash as bleach" in answer.reply


@pytest.mark.parametrize(
    "talked",
    [
        ["is it alright to put vinegar and bleach in together?"], ["could i pop a capful of descaler in the bleach bucket"],
        ["ammonia cleaner and bleach for the floor of the cooler?"],
        ["bucket wash: 35 litres, the bottle says 4% and i'd like 400 ppm", "can i tip the last of the descaler in with it"],
        ["5% bleach, 200 ppm, 10 litres", "and then a glug of lemon juice"],
        ["white vinegar one part to four of water, two litres", "can I add a splash of bleach to that"],
        ["can I put a drop of bleach in a bucket that's already got flower food in?"],
    ],
)  # fmt: skip
def test_bleach_is_never_mixed_and_the_danger_comes_first(
    talk: Conversation, handbook: Handbook, talked: list[str]
) -> None:
    answer = [talk.turn(text) for text in talked][-1]
    assert answer.reply.removeprefix("No. ").startswith(handbook.rules["never-mix-bleach"].text)
    assert answer.figures == ()
    assert any("gas" in caution for caution in answer.cautions)


def test_why_it_is_never_mixed_is_explained(talk: Conversation, handbook: Handbook) -> None:
    answer = talk.turn("why must i never mix bleach with vinegar")
    assert answer.task == "explain"
    assert answer.reply.startswith(handbook.rules["never-mix-bleach"].text)


def test_vinegar_in_place_of_bleach_is_no_mix(talk: Conversation) -> None:
    assert (
        "never"
        not in talk.turn("white vinegar instead of bleach, one part to four, 2 litres").reply.split(".")[0].lower()
    )


@pytest.mark.parametrize(
    ("talked", "rule"),
    [
        (
            ["a seven per cent sugar pulse for snapdragons, 2.5 litres", "how long do they stand in it"],
            "pulse-before-sale",
        ),
        (["sugar pulse 20% for gladioli, 3 litres", "how many hours do they stay in it"], "sugar-strength"),
        (["500 ppm bleach for 5 litres from 5%", "how long do I soak the vases in it"], "bleach-dilution-buckets"),
        (["500 ppm bleach for 5 litres from 5%", "how long before it stops working"], "mix-bleach-fresh"),
        (["glycerine to water 1:2, nine litres", "which leaves actually take it up?"], "glycerin-which-leaves"),
    ],
)
def test_what_is_asked_of_a_mix_is_answered_by_its_rule(
    talk: Conversation, handbook: Handbook, talked: list[str], rule: str
) -> None:
    answer = [talk.turn(text) for text in talked][-1]
    assert answer.reply.startswith(handbook.rules[rule].text)


def test_weak_chlorine_for_flowers_is_not_bucket_wash(talk: Conversation, handbook: Handbook) -> None:
    """The table's chlorine in vase water is 5-10 mg/l; for washed buckets it is hundreds."""
    figure = talk.turn("chlorine for gerberas, 10 litres").figures[0]
    assert next(i.value for i in figure.inputs if i.name == "concentration") == 8.0
    talk.turn("mini gerbera, chlorine: 12 litres, 50 parts per million, 5% bottle")
    assert handbook.rules["chlorine-in-vase"].text in talk.turn("how long before it stops working").reply


def test_a_gallon_put_right_is_gallons(talk: Conversation) -> None:
    talk.turn("I'm mixing up a gallon and the flower food wants 10 ml to each litre.")
    assert talk.turn("My mistake, it's two I'm making.").figures[0].value == pytest.approx(2 * 37.854, rel=1e-3)


def test_a_label_put_right_is_no_volume(talk: Conversation) -> None:
    talk.turn("25 ml of flower food does five litres, i have nine litres")
    assert talk.turn("no, the label says 30 ml").figures[0].value == pytest.approx(54)
