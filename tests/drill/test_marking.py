"""Marking: never wrong for spelling, unit or rounding; half credit where half is right."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pytest

from assistant.drill.generators.figures import pose
from assistant.drill.item import Item, Name, Number, Points
from assistant.drill.items import Bank
from assistant.drill.marking.explanations import mark_points
from assistant.drill.marking.marker import Marker
from assistant.drill.marking.naming import mark_botanical, mark_name
from assistant.drill.marking.numbers import mark_number
from assistant.language.cleaning import TooLong, normalise
from tests.drill.conftest import built


def verdict(key: Number, said: str) -> str:
    return mark_number(key, normalise(said)).verdict


DAYS = Number(8, 13, "d", slack=0.5)
COLD = Number(0, 4, "degC", slack=0.6)
LITRES = Number(2.26, 2.26, "l", rel=0.05)


@pytest.mark.parametrize(
    ("key", "said"),
    [
        (DAYS, "8 to 13 days"),
        (DAYS, "ten"),
        (DAYS, "a week and a half"),
        (DAYS, "240 hours"),
        (DAYS, "2 weeks"),
        (DAYS, "10ish"),
        (COLD, "34 F"),
        (COLD, "35"),
        (COLD, "2 degrees"),
        (COLD, "36°F"),
        (COLD, "just above freezing"),
        (COLD, "-0.5 C"),
        (LITRES, "2260 ml"),
        (LITRES, "0.6 gallons"),
        (LITRES, "half an imperial gallon"),
        (LITRES, "2 1/4 litres"),
        (LITRES, "4.8 pints"),
        (Number(-3, -0.6, "degC", slack=0.6), "-2 to -1"),
        (Number(-3, -0.6, "degC", slack=0.6), "minus one"),
        (Number(9, 12, "cm"), '4"'),
        (Number(9, 12, "cm"), "100 mm"),
        (Number(24, 60, "month"), "3 years"),
        (Number(10, 10, "g/l"), "1 %"),
        (Number(500, 500, "ppm"), "0.05%"),
        (Number(500, 500, "ppm"), "0.5 g/l"),
        (Number(6, 6, "bunches", whole=True), "48/0.95 = 50.5 so 6"),
        (Number(6, 6, "bunches", whole=True), "60 stems, 6 bunches"),
        (Number(9, 9, "bunches", whole=True), "9 bunches for 10 x 9 = 90 stems"),
        (Number(1.25, 1.25, "money", slack=0.005), "125 cents"),
        (Number(153, 153, "money"), "€153.00"),
        (Number(1, 3, "h"), "an hour"),
        (Number(2, 3, "d"), "2/3 days"),
        (Number(0.3, 0.5, "d"), "1/2 day"),
        (Number(10, 10, "stems", whole=True), "in tens"),
    ],
)
def test_right_in_any_unit_and_wording(key: Number, said: str) -> None:
    assert verdict(key, said) == "right"


@pytest.mark.parametrize(
    ("key", "said", "expected"),
    [
        (DAYS, "15", "partly"),
        (DAYS, "10 to 20 days", "partly"),
        (DAYS, "1 to 90 days", "partly"),
        (DAYS, "3 days", "wrong"),
        (DAYS, "10 hours", "wrong"),
        (COLD, "5.5 C", "partly"),
        (COLD, "50 F", "wrong"),
        (COLD, "-10", "wrong"),
        (Number(6, 6, "bunches", whole=True), "7", "partly"),
        (Number(6, 6, "bunches", whole=True), "12", "wrong"),
        (Number(6, 6, "bunches", whole=True), "5 or 6", "partly"),
        (LITRES, "22.6 l", "wrong"),
        (Number(1, 3, "h"), "5 min", "wrong"),
    ],
)
def test_near_is_half_and_far_is_wrong(key: Number, said: str, expected: str) -> None:
    assert verdict(key, said) == expected


def test_another_dimension_or_no_number_can_be_asked_again(bank: Bank, marker: Marker) -> None:
    item = built(bank, "life:rose:number")
    assert marker.mark(item, "10 cm").unread
    assert marker.mark(item, "quite long").unread
    assert not marker.mark(item, "40 days").unread


@pytest.mark.parametrize(
    "said", ["", "I don't know", "dunno", "no idea, sorry", "?", "pass", "IDK", "um, not sure", "..."]
)
def test_not_knowing_is_fine(bank: Bank, marker: Marker, said: str) -> None:
    mark = marker.mark(built(bank, "life:rose:number"), said)
    assert (mark.verdict, mark.credit) == ("unknown", 0.0)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("eustoma", "right"),
        ("Texas bluebel", "right"),
        ("lissies", "right"),
        ("lisianthus", "wrong"),
        ("lisianthis", "wrong"),
        ("rose", "wrong"),
        ("eustoma or rose", "wrong"),
    ],
)
def test_another_name_is_not_the_name_asked(bank: Bank, said: str, expected: str) -> None:
    assert mark_name(Name("lisianthus", "lisianthus"), normalise(said), bank.known.names).verdict == expected


def test_a_name_of_several_materials_is_half(bank: Bank) -> None:
    mark = mark_name(Name("italian-ruscus", "soft ruscus"), "orchid", bank.known.names)
    assert mark.verdict == "wrong"
    assert mark_name(Name("cymbidium-orchid"), "orchid", bank.known.names).verdict == "partly"


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("Gypsophila paniculata", "right"),
        ("gypsophilla panniculata", "right"),
        ("G. paniculata", "right"),
        ("gypsophila", "partly"),
        ("Gypsophila elegans", "partly"),
        ("Rosa hybrida", "wrong"),
    ],
)
def test_botanical_names(bank: Bank, said: str, expected: str) -> None:
    key = built(bank, "botanical:gypsophila:name").key
    assert mark_botanical(key, normalise(said)).verdict == expected  # type: ignore[arg-type]


def test_choices_by_letter_words_and_value(bank: Bank, marker: Marker) -> None:
    item = pose(bank.known, "figure-cooler", "rose", reading=50)
    for said in ("c", "(c)", "C.", "option c", "too warm", "its too hot", "I think c", "warm"):
        assert marker.mark(item, said).verdict == "right", said
    for said in ("a", "fine", "too cold", "a or c", "c/a", "d", "bananas"):
        assert marker.mark(item, said).verdict == "wrong", said


def test_yes_and_no_in_one_letter(bank: Bank, marker: Marker) -> None:
    item = built(bank, "hazard-cats:oriental-lily:yes-no")
    assert marker.mark(item, "Y").verdict == "right"
    assert marker.mark(item, "n").verdict == "wrong"


def test_orders_are_worth_their_pairs(bank: Bank, marker: Marker) -> None:
    item = built(bank, "steps:wash-then-disinfect:order")
    right = [("abcd")[i] for i in item.key.order]  # type: ignore[union-attr]
    assert marker.mark(item, " ".join(right)).verdict == "right"
    assert marker.mark(item, "".join(right)).verdict == "right"
    swapped = [right[1], right[0], *right[2:]]
    mark = marker.mark(item, ", ".join(swapped))
    assert mark.verdict == "partly"
    assert mark.credit == pytest.approx(5 / 6, abs=1e-3)
    assert marker.mark(item, " ".join(reversed(right))).verdict == "wrong"
    assert marker.mark(item, "a a b c").unread


LEAVES = Points(
    ("Leaves rot under water and feed the bacteria that clog stems",), "Strip all leaves below the water line"
)


@pytest.mark.parametrize(
    ("said", "expected"),
    [
        ("they rot and the germs block the stem", "right"),
        ("rotting leafs make bactera that clog it", "right"),
        ("it looks nicer", "wrong"),
        ("strip leaves below the water line", "wrong"),
        ("bacteria do not clog and nothing will not rot", "wrong"),
    ],
)
def test_explanations_by_their_points(said: str, expected: str) -> None:
    assert mark_points(LEAVES, normalise(said), None).verdict == expected


def test_what_an_explanation_left_out_is_said() -> None:
    key = Points(("Dry cold air pulls water from petals", "drops of water feed mould"), "Keep cooler air moist")
    mark = mark_points(key, "dry air pulls the water out", None)
    assert mark.verdict == "partly"
    assert mark.missing == ("drops of water feed mould",)


class _SaysTheSame:
    """An encoder for which everything means the same."""

    def encode(self, texts: Sequence[str]) -> np.ndarray:
        return np.ones((len(texts), 1), dtype=np.float32)


def test_meaning_helps_where_words_differ_but_not_against_a_denial() -> None:
    said = "they turn into a sludge in the vase"
    assert mark_points(LEAVES, said, None).verdict == "wrong"
    assert mark_points(LEAVES, said, _SaysTheSame()).verdict == "right"
    assert mark_points(LEAVES, "they do not rot", _SaysTheSame()).verdict == "wrong"


@pytest.mark.parametrize(
    "said",
    [
        "\x1b[31mten days\x1b[0m",
        "10\u202e days",
        "१०",
        "10" * 200,
        "' OR 1=1 --",
        "😀",
        "=1+1",
        "9" * 400,
        "-",
        "1e999 days",
        "nan days",
    ],
)
def test_odd_input_is_marked_and_never_breaks(bank: Bank, marker: Marker, said: str) -> None:
    for item_id in (
        "life:rose:number",
        "other-name:rose:name",
        "ethylene:carnation:level",
        "steps:wash-then-disinfect:order",
        "why:strip-below-water:why",
        "botanical:rose:name",
    ):
        item: Item = built(bank, item_id)
        assert marker.mark(item, said).verdict in ("right", "partly", "wrong", "unknown")


def test_a_novel_is_refused(bank: Bank, marker: Marker) -> None:
    with pytest.raises(TooLong):
        marker.mark(built(bank, "life:rose:number"), "10 days " * 500)
