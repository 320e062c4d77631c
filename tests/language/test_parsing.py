from datetime import date

import pytest

from assistant.language.parsing import Parser
from assistant.language.question import Question

TODAY = date(2026, 11, 25)


@pytest.fixture
def read(parser: Parser):
    def parse(text: str, **rest: object) -> Question:
        return parser.parse(text, today=TODAY, **rest)  # type: ignore[arg-type]

    return parse


@pytest.mark.parametrize(
    ("text", "task"),
    [
        ("how long will carnations last at 24 degrees", "longevity"),
        ("glads at 25", "longevity"),
        ("will the mums make it to saturday", "longevity"),
        ("how many bunches of alstro for 40 stems", "quantity"),
        ("12 roses, 8 stock and 2 bunches of salal", "quantity"),
        ("how many stems in a bunch of tulips", "quantity"),
        ("how often do i top up a vase of 20 roses", "water"),
        ("how much bleach for 10 litres at 200 ppm", "mixing"),
        ("what can i use instead of peonies", "substitute"),
        ("white filler safe with cats in october", "substitute"),
        ("how do i condition hydrangeas", "care"),
        ("how long can i keep roses in the cooler", "storage"),
        ("are lilies safe with cats", "hazard"),
        ("lisianthus for a two week display, when do i replace them", "refresh"),
        ("hypericum or snowberry", "compare"),
        ("which green lasts longest without water", "compare"),
        ("why do we recut stems", "explain"),
        ("are peonies in season in october", "season"),
        ("what is salal", "describe"),
        ("cost of 3 bunches of roses at 18.50 each", "cost"),
    ],
)
def test_the_task(read, text: str, task: str) -> None:
    assert read(text).asks[0].task == task


@pytest.mark.parametrize(
    ("text", "slot", "value"),
    [
        ("roses at 24 degrees", "display_temperature", 24),
        ("it's 85 in the tent", "display_temperature", 29.44),
        ("75f room", "display_temperature", 23.89),
        ("roses 3 days in the cooler at 2 then 22 on display", "storage_temperature", 2),
        ("roses 3 days in the cooler at 2 then 22 on display", "stored_days", 3),
        ("snaps held five days at 36F then out at 70F", "storage_temperature", 2.22),
        ("gerberas in tens with 5% loss", "pack_size", 10),
        ("gerberas in tens with 5% loss", "loss_rate", 5),
        ("40 roses no waste", "loss_rate", 0),
        ("nine times out of ten", "confidence", 90),
        ("cylinder 20 cm wide filled to 25 cm", "fill_height", 25),
        ("for 4 pieces of 12 stems", "pieces", 4),
        ("60 % humidity", "humidity", 60),
        ("food at 20 ml per two litres", "label_dose", 10),
        ("astrantia stood on the shop floor four days now at 18", "elapsed_days", 4),
        ("disbuds stood six days in the tall bucket at 17, selling them at 4 today", "display_temperature", 17),
        ("suppose they were five more days old", "elapsed_days", 5),
        ("two days of that are gone already", "elapsed_days", 2),
        ("week-old thryptomene at 18", "elapsed_days", 7),
        ("do they last five more days", "display_days", 5),
        ("two weeks on display, how often do I replace the roses", "display_days", 14),
        ("half a year's contract", "display_days", 182.62),
        ("smilax up at 10am, down at midnight, 30 outside", "display_temperature", 30),
        ("in the cooler it's just 20, no wait not the cooler, the porch", "display_temperature", 20),
        ("walk-in's showing 5, strelitzias in or out", "storage_temperature", 5),
        ("the lounge is 23, freesias", "display_temperature", 23),
        ("the loft gets to about 75% damp", "humidity", 75),
    ],
)
def test_a_slot(read, text: str, slot: str, value: float) -> None:
    assert read(text).slots[slot].number == pytest.approx(value, abs=0.01)


@pytest.mark.parametrize(
    ("text", "absent"),
    [
        ("how many times a year do I change it", "display_days"),
        ("jackson vine for an eight o'clock party", "display_temperature"),
        ("the wedding is sunday at 3", "display_temperature"),
        ("can roses be stood for six hours", "elapsed_days"),
        ("10% of the stock was lost", "humidity"),
        ("tulips on a window sill on the 2nd floor", "until_date"),
        ("they sat at 21 for three days", "until_date"),
        ("out in the sun for three hours", "until_date"),
    ],
)
def test_a_slot_that_is_not_said(read, text: str, absent: str) -> None:
    assert absent not in read(text).slots


def test_a_bare_degree_says_how_it_was_read(read) -> None:
    assert "°F" in read("it's 85 in the tent").slots["display_temperature"].assumed
    assert "°C" in read("roses at 24 degrees").slots["display_temperature"].assumed


@pytest.mark.parametrize(
    "text",
    ["-5 roses", "0 bunches of roses", "roses at 600 °C", "tulips for -3 days", "tulips at 20 kelvin", "loss of 140 %"],
)
def test_the_impossible_is_refused_in_a_sentence(read, text: str) -> None:
    said = read(text).impossible
    assert said is not None
    assert said.endswith((".", ")"))


def test_two_asks_are_two(read) -> None:
    asks = read("how long will the stock last and how many bunches for 30 stems").asks
    assert [a.task for a in asks] == ["longevity", "quantity"]


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("stock market prices", "stock"),
        ("is it in stock", "stock"),
        ("the price rose to 5", "rose"),
        ("ivy league", "ivy"),
    ],
)
def test_everyday_words_are_not_flowers(read, text: str, name: str) -> None:
    assert name not in {m.said for m in read(text).mentions}


@pytest.mark.parametrize(
    "typed",
    [
        "what can i subsitute for peonies",
        "how meny bunchs of roses for 40 stems",
        "how long do roses lsat at 22 degres",
    ],
)
def test_slips_in_everyday_words_are_put_right(read, typed: str) -> None:
    question = read(typed)
    assert question.asks
    assert question.unknown == ()


def test_a_colour_that_is_not_wanted_is_not_searched_for(parser: Parser) -> None:
    question = parser.parse("she wants nothing yellow, what would you use", today=TODAY)
    assert "colours" not in question.slots
    assert question.impossible is not None
    assert "yellow" in question.impossible
