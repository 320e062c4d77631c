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
        ("seventy litres between the two bins, swill them out at 500 parts, jug says six percent", 583.3, "ml"),
        (
            "a cap is 10ml and its one cap for two litres of water. the bucket holds ten but i've only half filled it",
            25,
            "ml",
        ),
        ("sachets do half a litre each. there's a jug of four litres wants doing. sachets?", 8, "sachets"),
        ("tub's label says 10 ml a litre. bucket 12. how much food", 120, "ml"),
        ("flower food at 10 g a litre for 3 buckets", 300, "g"),
        ("8 ml per litre of food for buckets of ten litres, seven of them", 560, "ml"),
        ("bleach at 200 ppm for a 5 gallon bucket, the jug is 6%", 63.1, "ml"),
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


@pytest.mark.parametrize(
    ("talked", "amount"),
    [
        (["trough 100 cm by 20 cm by 15 cm, filled to 10 cm, how much water", "food for that at 10 g a litre"], 200),
        (["trough 100 cm by 20 cm by 15 cm, filled to 10 cm, how much water", "bleach in it, 10 ppm, 5% bottle"], 4),
        (["trough 100 cm by 20 cm by 15 cm, filled to 10 cm, how much water", "food for that at 10 g a litre", "12 g instead"], 240),
        (["food 10 g a litre, 10 litres", "half strength"], 50),
        (["food 10 g a litre, 40 litres", "only three quarters full"], 300),
        (["8 g a litre of food, 7.5 l", "imperial gallons, two"], 8 * 2 * 4.54609),
        (["8 g a litre of food, 2 gallons", "imperial ones sorry"], 8 * 2 * 4.54609),
        (["flower food: 1 litre needs 10 grams, and my bucket holds 10 litres", "another bucket that only holds half as much"], 50),
        (["one part glycerin to two of water, 4.5 litres made up", "three parts water instead"], 1125),
        (["vinegar one part to four of water, 3 litres", "bit stronger, one to two"], 1000),
        (["liquid food 12 ml to the litre and the tank takes 45", "no it says 15 ml", "tank's down at 30 today"], 450),
        (["5% bleach, 500 ppm, 15 litres", "sorry it's the old bottle, 3.5"], 15 * 500 / 35),
    ],
)  # fmt: skip
def test_a_dose_follows_what_is_put_right(talk: Conversation, talked: list[str], amount: float) -> None:
    """One imperial gallon is 4.54609 l (handbook44)."""
    figure = [talk.turn(text) for text in talked][-1].figures[0]
    assert figure.kind == "dose"
    assert figure.value == pytest.approx(amount, rel=2e-3)


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("7 g of food per litre, 24 litres altogether over three buckets", 168), ("7 g of food per litre, three buckets of 8 litres", 168),
        ("vinegar at 50 ml per litre, 11 litres: how much vinegar", 550), ("citric acid 2 g per litre, 5 litres", 10),
        ("sugar 20 g a litre, 6 litres", 120), ("bleach 10 ml per litre, 5 litres", 50),
    ],
)  # fmt: skip
def test_so_much_a_litre_of_anything(talk: Conversation, text: str, amount: float) -> None:
    assert talk.turn(text).figures[0].value == pytest.approx(amount)


def test_the_sugars_dose_is_not_the_acids(talk: Conversation) -> None:
    figures = talk.turn("sugar at 10 grams a litre for a 4 litre bucket, and how much citric acid").figures
    assert [f.value for f in figures if f.kind == "dose"] == [pytest.approx(40), pytest.approx(0.8)]


def test_water_in_each_of_several_buckets_is_added_up(talk: Conversation) -> None:
    answer = talk.turn("three buckets, i'm putting 8 litres in each, food is 10 grams a litre, what goes in all told")
    assert [(f.value, f.unit) for f in answer.figures if f.kind == "dose"] == [(3 * 8 * 10, "g")]
