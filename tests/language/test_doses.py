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
        ("half and half vinegar and water", 1), ("one part glycerine and two parts water", 2), ("bleach 1 in 10", 10),
    ],
)  # fmt: skip
def test_parts_are_of_water_to_one_of_the_agent(parser: Parser, text: str, parts: float) -> None:
    assert parser.parse(text, today=TODAY).slots["parts"].number == parts


def test_a_vinegar_is_thinned_from_one_strength_to_another(parser: Parser) -> None:
    """One per cent by weight and volume is 10 000 mg in a litre."""
    slots = parser.parse("cutting 5 percent vinegar down to 1 percent, six litres", today=TODAY).slots
    assert slots["strength"].number == 5
    assert slots["concentration"].number == 10_000


def test_a_dose_below_zero_is_refused(parser: Parser) -> None:
    assert parser.parse("flower food at -10 ml per litre", today=TODAY).impossible
