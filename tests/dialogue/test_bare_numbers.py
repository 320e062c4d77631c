"""What a number without a unit means after an answer."""

from __future__ import annotations

import pytest

from assistant.dialogue.bare_numbers import meaning_of, without_misplaced
from assistant.dialogue.memory import Item, Wish
from assistant.language.question import Reading


def said(value: float, unit: str, words: str) -> Reading:
    return Reading(value, unit, value, value, words)


LIFE = Wish("longevity", (Item("rose"),), {"display_temperature": said(24, "degC", "24 degrees")})
ORDER = Wish("quantity", (Item("rose", stems=60.0),), {"pack_size": said(20, "stems", "in 20s")})
PIECES = Wish("quantity", (Item("rose", stems=5.0),), {"pieces": said(12, "pieces", "12 tables")})
PACK = Wish("quantity", (Item("rose"),))
VESSEL = Wish("water", (), {"diameter": said(15, "cm", "15 cm"), "fill_height": said(18, "cm", "18 cm")})
DOSE = Wish("mixing", (), {"volume": said(3.785, "l", "1 gallon"), "label_dose": said(10, "ml/l", "10 ml per litre")})


@pytest.mark.parametrize(
    ("wish", "number", "text", "slot", "value"),
    [
        (LIFE, "28", "say it creeps up to 28", "display_temperature", 28),
        (ORDER, "80", "make that 80", "stems", 80),
        (ORDER, "10", "my supplier ties them in 10", "pack_size", 10),
        (PIECES, "15", "she'd like 15", "pieces", 15),
        (PIECES, "7", "put 7 in every one", "stems", 7),
        (PACK, "60", "i'm after 60 of them", "stems", 60),
        (VESSEL, "20", "one that's 20 across", "diameter", 20),
        (VESSEL, "25", "the water should come up to 25", "fill_height", 25),
        (VESSEL, "5", "there's 5 on the order", "pieces", 5),
        (VESSEL, "4", "and 4 then", "pieces", 4),
        (VESSEL, "10", "i need to fill 10", "pieces", 10),
        (PIECES, "9", "let's do 9", "pieces", 9),
        (ORDER, "150", "actually let's do 150", "stems", 150),
        (DOSE, "2", "oh, i've 2 here", "volume", 7.57),
    ],
)
def test_a_bare_number_finds_its_slot(wish: Wish, number: str, text: str, slot: str, value: float) -> None:
    name, reading = meaning_of(said(float(number), "count", number), wish, text, speaks_us=False)
    assert name == slot
    assert reading.number == pytest.approx(value, rel=1e-3)


def test_a_number_that_changes_nothing_is_not_the_one_corrected() -> None:
    wish = Wish(
        "longevity",
        (Item("lilac"),),
        {"stored_days": said(25, "d", "25 days"), "storage_temperature": said(6, "degC", "6")},
    )
    assert meaning_of(said(6, "count", "6"), wish, "no, just 6", speaks_us=False)[0] == "stored_days"


def test_degrees_after_a_count_are_a_count() -> None:
    asked = without_misplaced({"display_temperature": said(20, "degC", "20")}, PIECES)
    assert asked["count"].number == 20
    assert "display_temperature" not in asked
    kept = without_misplaced({"display_temperature": said(20, "degC", "20")}, LIFE)
    assert kept["display_temperature"].number == 20


def test_a_bare_per_cent_after_an_order_is_its_loss() -> None:
    assert without_misplaced({"strength": said(10, "%", "10 percent")}, ORDER)["loss_rate"].number == 10
