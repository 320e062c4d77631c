"""What a number without a unit means after an answer."""

from __future__ import annotations

import pytest

from assistant.dialogue.bare_numbers import meaning_of, without_misplaced
from assistant.dialogue.conversation import Conversation
from assistant.dialogue.memory import Item, Wish
from assistant.language.question import Reading


def said(value: float, unit: str, words: str) -> Reading:
    return Reading(value, unit, value, value, words)


LIFE = Wish("longevity", (Item("rose"),), {"display_temperature": said(24, "degC", "24 degrees")})
ORDER = Wish("quantity", (Item("rose", stems=60.0),), {"pack_size": said(20, "stems", "in 20s")})
PIECES = Wish("quantity", (Item("rose", stems=5.0),), {"pieces": said(12, "pieces", "12 tables")})
PACK = Wish("quantity", (Item("rose"),))
DOME = Wish("quantity", (Item("rose"),), {"width": said(35, "cm", "35")})
VESSEL = Wish("water", (), {"diameter": said(15, "cm", "15 cm"), "fill_height": said(18, "cm", "18 cm")})
DOSE = Wish("mixing", (), {"volume": said(3.785, "l", "1 gallon"), "label_dose": said(10, "ml/l", "10 ml per litre")})

STOOD = Wish(
    "water",
    (Item("rose", stems=12.0),),
    {"diameter": said(16, "cm", "16 cm"), "display_temperature": said(21, "degC", "21 degrees")},
)

BLEACH = Wish(
    "mixing",
    (),
    {"volume": said(10, "l", "10 l"), "strength": said(5, "%", "5%"), "concentration": said(200, "mg/l", "200 ppm")},
)


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
        (VESSEL, "25", "hang on, the fill is 25", "fill_height", 25),
        (VESSEL, "25", "the depth is to be 25", "fill_height", 25),
        (VESSEL, "12", "times 12", "pieces", 12),
        (VESSEL, "12", "the diameter is 12", "diameter", 12),
        (VESSEL, "16", "16, not 18", "fill_height", 16),
        (DOSE, "15", "no, the label says 15", "label_dose", 15),
        (DOSE, "5", "the bucket only takes 5", "volume", 18.93),
        (BLEACH, "6", "bottle says 6", "strength", 6),
        (VESSEL, "5", "there's 5 on the order", "pieces", 5),
        (VESSEL, "4", "and 4 then", "pieces", 4),
        (VESSEL, "10", "i need to fill 10", "pieces", 10),
        (PIECES, "9", "let's do 9", "pieces", 9),
        (ORDER, "150", "actually let's do 150", "stems", 150),
        (DOSE, "2", "oh, i've 2 here", "volume", 7.57),
        (BLEACH, "12", "same again for the mop bucket thats 12", "volume", 12),
        (BLEACH, "6.5", "and for the wee one, that's 6.5", "volume", 6.5),
        (BLEACH, "2", "2 more buckets", "pieces", 2),
        (STOOD, "26", "and it's nearer 26 in the afternoon", "display_temperature", 26),
        (STOOD, "7", "7 of them only, i miscounted", "stems", 7),
        (STOOD, "4", "there's 4 of them", "pieces", 4),
        (PIECES, "12", "12 goes to 14", "pieces", 14),
        (PIECES, "5", "from 5 to 6", "stems", 6),
        (ORDER, "60", "60 becomes 45", "stems", 45),
        (DOME, "40", "40 across", "width", 40),
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


def test_the_top_end_is_of_a_range() -> None:
    wish = Wish("mixing", (), {"label_dose": Reading(7.5, "ml/l", 5, 10, "5 to 10 ml a litre")})
    assert without_misplaced({}, wish, "top end please")["label_dose"].number == 10
    assert without_misplaced({}, DOSE, "top end please") == {}


def test_a_labels_millilitres_stay_millilitres() -> None:
    assert meaning_of(said(15, "count", "15"), DOSE, "no, the label says 15", speaks_us=False)[1].unit == "ml/l"


@pytest.mark.parametrize(
    ("text", "litres"),
    [("the blue tub, bigger by 4", 14), ("2 litres less", 8), ("3 litres more", 13), ("smaller by 1.5", 8.5)],
)
def test_the_water_changes_by_so_much(text: str, litres: float) -> None:
    asked = without_misplaced({"count": said(4, "count", "4")}, BLEACH, text)
    assert asked["volume"].number == pytest.approx(litres)
    assert "count" not in asked


@pytest.mark.parametrize("text", ["2 more buckets", "smaller by 2 ppm", "down by 5 %", "5 less"])
def test_what_changes_is_not_the_water(text: str) -> None:
    assert "volume" not in without_misplaced({}, BLEACH, text)


@pytest.mark.parametrize(
    ("before", "text", "litres"),
    [
        ("2 us gallons", "uk gallons i should've said", 9.092),
        ("2 imperial gallons", "no, us ones", 7.571),
        ("2 us gallons", "us ones", None),
    ],
)
def test_gallons_are_told_apart_afterwards(before: str, text: str, litres: float | None) -> None:
    wish = Wish("mixing", (), {"volume": said(7.5708 if "us" in before else 9.0922, "l", before)})
    found = without_misplaced({}, wish, text).get("volume")
    assert (found and round(found.number, 3)) == litres


def test_sizes_without_a_unit_may_have_been_inches() -> None:
    wish = Wish("water", (), {"width": said(11, "cm", "11"), "fill_height": said(17, "cm", "17 cm")})
    assert without_misplaced({}, wish, "in inches i meant")["width"].number == pytest.approx(27.94)
    assert "fill_height" not in without_misplaced({}, wish, "in inches i meant")


def test_half_of_what_is_not_filled_is_no_filling() -> None:
    half = {"fill_share": said(50, "%", "half")}
    assert without_misplaced(half, ORDER, "half") == {}
    assert without_misplaced(half, VESSEL, "half") == half


def test_so_many_of_them_are_stems_where_the_flower_only_stood_in_a_vase(talk: Conversation) -> None:
    talk.turn("room is 20, snapdragons in the vase, when do they give up")
    answer = talk.turn("i want fifty of them, what do i order")
    assert [i.value for f in answer.figures for i in f.inputs if i.name == "stems"] == [50.0]
