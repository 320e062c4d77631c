"""Doses and ratios as labels put them. A litre is exact; spoons are the nominal 5 and 15 ml; US quart 0.946 l, gallon 3.785 l
(handbook44)."""

from __future__ import annotations

import pytest

from assistant.language.parsing import Parser
from tests.conftest import TODAY


@pytest.mark.parametrize(
    ("text", "dose", "unit", "litres"),
    [
        ("one cap of flower food is 15 ml and does 3 litres. I've a 20 litre bin to fill", 5, "ml/l", 20),
        ("dose is 10 ml to 2 litres, twelve litres to fill", 5, "ml/l", 12),
        ("label says 2 teaspoons per gallon, I've 5 gallons", 10 / 3.785412, "ml/l", 18.927),
        ("a tablespoon to a quart of water, I'm making 3 gallons, how much food", 15 / 0.946353, "ml/l", 11.356),
        ("20 litre butt of vase food, label reads 25 ml makes 5 litres", 5, "ml/l", 20),
        ("a 5 g scoop of flower food treats half a litre, I have 7 litres", 10, "g/l", 7),
        ("one sachet of flower food does half a litre, my bucket's 6 litres", 2, "sachets/l", 6),
        ("food packet makes half a litre, i've a 6 litre bucket, how many packets", 2, "packets/l", 6),
        ("half an ounce of liquid food per gallon, 8 gallons", 14.787 / 3.785412, "ml/l", 30.283),
        ("the tub says 1 litre needs 10 grams, and my bucket holds 10 litres", 10, "g/l", 10),
        ("eighteen litres to make up, the powder goes in at 8 g for each one", 8, "g/l", 18),
        ("the food sachets say 1 to half a litre and my jug is a 3 litre one", 2, "sachets/l", 3),
        ("10 ml per imperial gallon, 3 imperial gallons of food", 10 / 4.54609, "ml/l", 13.638),
        ("a capful is 20 ml, one capful does two litres, i've 26 litres to make up", 10, "ml/l", 26),
        ("bottle says 5 to 10 ml a litre, 22 litres to treat", 7.5, "ml/l", 22),
        ("food at 10 g/l for 18 litres, scratch that, 13 litres", 10, "g/l", 13),
        ("8 g a litre, the bucket holds 12", 8, "g/l", 12),
        ("sachets do half a litre each. there's a jug of four litres wants doing", 2, "sachets/l", 4),
        ("tablets treat 5 litres each and the bin holds 60, how many", 0.2, "tablets/l", 60),
        ("8 ml to the litre it says on the drum of food. my tubs take 14", 8, "ml/l", 14),
        ("sugar 20 g a litre and bucket of 9", 20, "g/l", 9),
        ("a cap is 10ml and its one cap for two litres. the bucket holds ten but it leaks", 5, "ml/l", 10),
    ],
)
def test_a_labels_dose_is_read_for_a_litre(parser: Parser, text: str, dose: float, unit: str, litres: float) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert slots["label_dose"].number == pytest.approx(dose, rel=1e-3)
    assert slots["label_dose"].unit == unit
    assert slots["volume"].number == pytest.approx(litres, rel=1e-3)


@pytest.mark.parametrize(
    ("text", "parts"),
    [
        ("white vinegar one part to four of water, two litres made up", 4), ("glycerine to water 1:2", 2),
        ("4 parts water to 1 part vinegar", 4), ("3 parts water 1 part vinegar, a gallon", 3), ("water to glycerine 2:1", 2),
        ("one part glycerine, three parts water, six litres", 3), ("three parts water instead", 3), ("half and half vinegar and water", 1), ("one part glycerine and two parts water", 2), ("bleach 1 in 10", 10),
    ],
)  # fmt: skip
def test_parts_are_of_water_to_one_of_the_agent(parser: Parser, text: str, parts: float) -> None:
    assert parser.parse(text, today=TODAY).slots["parts"].number == parts


def test_a_vinegar_is_thinned_from_one_strength_to_another(parser: Parser) -> None:
    """One per cent by weight and volume is 10 000 mg in a litre."""
    slots = parser.parse("cutting 5 percent vinegar down to 1 percent, six litres", today=TODAY).slots
    assert slots["strength"].number == 5
    assert slots["concentration"].number == 10_000


@pytest.mark.parametrize(
    "text",
    [
        "flower food at -10 ml per litre", "the food goes in at minus five grams for each litre", "negative 5 g a litre",
        "minus 200 ppm of bleach in 10 litres",
    ],
)  # fmt: skip
def test_a_dose_below_zero_is_refused(parser: Parser, text: str) -> None:
    assert parser.parse(text, today=TODAY).impossible


@pytest.mark.parametrize("text", ["6-8 g per litre, 10 litres of food", "12 litres minus 2 litres, 10 g a litre"])
def test_a_range_or_a_sum_is_no_dose_below_zero(parser: Parser, text: str) -> None:
    assert parser.parse(text, today=TODAY).impossible is None


@pytest.mark.parametrize(
    ("text", "strength"),
    [
        ("one gallon at 50 ppm off a 5.25 bottle", 5.25), ("10 litres at 50 ppm, bleach says 8.25", 8.25),
        ("sorry it's the old bottle, 3.5", 3.5), ("bleach bottle says 5, 10 litres, 200 ppm", 5),
    ],
)  # fmt: skip
def test_a_bottles_strength_needs_no_sign(parser: Parser, text: str, strength: float) -> None:
    assert parser.parse(text, today=TODAY).slots["strength"].number == strength


@pytest.mark.parametrize(
    "text",
    ["the bottle is 10 cm wide, 20 tall, how much water", "the bottle is 20", "my bleach is 5 litres, 200 ppm"],
)
def test_a_bottles_size_is_no_strength(parser: Parser, text: str) -> None:
    assert "strength" not in parser.parse(text, today=TODAY).slots


@pytest.mark.parametrize(
    ("text", "dose", "litres"),
    [
        ("5 grams, thats one scoop, treats half a litre. I'm filling a 7 litre bucket", 10, 7),
        ("10 ml (that's a cap) does 2 litres, the bucket is 8 litres", 5, 8),
    ],
)
def test_what_an_amount_comes_to_may_stand_between(parser: Parser, text: str, dose: float, litres: float) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert (slots["label_dose"].number, slots["volume"].number) == (dose, litres)


@pytest.mark.parametrize(("text", "parts"), [("dilute bleach one in ten", 10), ("one in ten roses is rubbish", None)])
def test_one_in_ten_is_a_mix_only_of_what_is_diluted(parser: Parser, text: str, parts: float | None) -> None:
    found = parser.parse(text, today=TODAY).slots.get("parts")
    assert (found.number if found else None) == parts
