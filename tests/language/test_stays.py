"""Where stems have been and where they go. The sentences are our own; how warm a cooler may be is common practice, no source."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.handbook.loading import Handbook
from assistant.language.parsing import Parser

TODAY = date(2026, 11, 25)  # a Wednesday


@pytest.fixture(scope="module")
def parser(handbook: Handbook) -> Parser:
    return Parser(handbook)


@pytest.mark.parametrize(
    ("text", "stored_days", "cooler", "room"),
    [
        ("roses in the cooler, two degrees, four days of that, and now they go out to a room that's 22", 4, 2, 22),
        ("tuberose, cold room 5 days at 3, then church which will be about 12", 5, 3, 12),
        ("leucadendron held twelve days at 1, going out into 19", 12, 1, 19),
        ("vandas: store at 13 for 3 days, then a 68F sitting room", 3, 13, 20),
        ("stephanotis, fridge 2 days at 40F, now wired and sat at 21", 2, 4.44, 21),
        ("moved them into the cooler at 3 for 5 days, then 21 degrees", 5, 3, 21),
        ("roses going out to a room at 24 after 3 days in the cooler at 2", 3, 2, 24),
        ("banksia held 21 days at 2 - what's it got in it at 20 after that", 21, 2, 20),
        ("peonies 10 days in the cooling cell at 1, then a 22 room", 10, 1, 22),
    ],
)
def test_storage_and_the_room_behind_it(
    parser: Parser, text: str, stored_days: float, cooler: float, room: float
) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert slots["stored_days"].number == stored_days
    assert slots["storage_temperature"].number == pytest.approx(cooler, abs=0.01)
    assert slots["display_temperature"].number == pytest.approx(room, abs=0.01)
    assert "display_days" not in slots


@pytest.mark.parametrize(
    ("text", "came", "cooler", "room"),
    [
        ("eryngium came friday, been in the cold at 2 since. goes to a 22 degree flat tonight", 20, 2, 22),
        ("alchemilla been at 2 since sunday, goes out today into 20", 22, 2, 20),
        ("lilac has been at 3 degrees since the 20th and moves to a room of 21", 20, 3, 21),
    ],
)
def test_storage_since_a_day(parser: Parser, text: str, came: int, cooler: float, room: float) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert slots["since_date"].day == date(2026, 11, came)
    assert (slots["storage_temperature"].number, slots["display_temperature"].number) == (cooler, room)


def test_a_warm_stretch_since_a_day_is_no_storage(parser: Parser) -> None:
    slots = parser.parse("stocks were at 18 since sunday and now go to a marquee at 25", today=TODAY).slots
    assert (slots["elapsed_temperature"].number, slots["display_temperature"].number) == (18, 25)
    assert "storage_temperature" not in slots


@pytest.mark.parametrize(
    ("text", "room"),
    [
        ("heated lounge, 25: amaryllis against asiatic lilies", 25),
        ("tulips, warm as in 24", 24),
        ("veronica in a 21 room", 21),
        ("cymbidium, room temperature 21, how many days", 21),
        ("roses, i was wanting to say 68 in fahrenheit", 20),
        ("peonies bought on monday, how long at 22", 22),
        ("van went to -3 overnight with clematis in it", -3),
    ],
)
def test_a_number_that_is_a_rooms(parser: Parser, text: str, room: float) -> None:
    assert parser.parse(text, today=TODAY).slots["display_temperature"].number == pytest.approx(room, abs=0.01)


@pytest.mark.parametrize(
    "text",
    ["the kitchen, 20 roses", "roses for the office, 12 desks", "church, 16 pew ends of 5 roses", "room 214, roses"],
)
def test_a_number_beside_a_room_that_counts_something(parser: Parser, text: str) -> None:
    assert "display_temperature" not in parser.parse(text, today=TODAY).slots


def test_a_warm_stretch_is_no_storage(parser: Parser) -> None:
    text = "physostegia had 3 days at 19 on the bench, van for a bit, now going into a room of 24"
    slots = parser.parse(text, today=TODAY).slots
    assert (slots["elapsed_days"].number, slots["elapsed_temperature"].number) == (3, 19)
    assert slots["display_temperature"].number == 24
    assert not {"stored_days", "storage_temperature"} & slots.keys()


def test_the_time_behind_the_stay_is_the_goal(parser: Parser) -> None:
    text = "stephanotis, fridge 2 days at 40F now wired and sat at 21. ceremony is in 30 hours"
    slots = parser.parse(text, today=TODAY).slots
    assert slots["stored_days"].number == 2
    assert slots["display_days"].number == pytest.approx(30 / 24)


@pytest.mark.parametrize(
    "text",
    [
        "how long do roses last for 5 days at 20",
        "roses at 22 in the shop, going to 26 tomorrow",
        "split into 5 vases and now at 20 degrees",
        "they're not in the cooler, they're at 19",
    ],
)
def test_no_stretch_of_the_past_is_told(parser: Parser, text: str) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert not {"stored_days", "elapsed_days", "elapsed_temperature", "storage_temperature"} & slots.keys()


@pytest.mark.parametrize(
    ("text", "days"),
    [
        ("what if they were 5 days further on", (5, 5)),
        ("peonies are on day four, 21 in here", (3, 4)),
        ("lilac, third day in the vase at 19", (2, 3)),
        ("knock off two days because that's how long they've been out", (2, 2)),
    ],
)
def test_an_age_in_other_words(parser: Parser, text: str, days: tuple[float, float]) -> None:
    assert parser.parse(text, today=TODAY).slots["elapsed_days"].span == days


@pytest.mark.parametrize(
    "text", ["what if the wedding was 3 days further on", "roses must look good on day 4 of the show"]
)
def test_what_is_no_age(parser: Parser, text: str) -> None:
    assert "elapsed_days" not in parser.parse(text, today=TODAY).slots


@pytest.mark.parametrize(
    ("text", "room"),
    [
        ("afterwards they come out to 22, what do i get from them then", 22),
        ("lisianthus, it's twenty two in the shop sorry no I'm looking at it now it's twenty four, how long", 24),
    ],
)
def test_the_room_in_other_words(parser: Parser, text: str, room: float) -> None:
    assert parser.parse(text, today=TODAY).slots["display_temperature"].number == room


@pytest.mark.parametrize(
    ("text", "slot", "days"),
    [
        ("three days in the cooler at 3 and two on the bench at 20, tulips, what's left", "elapsed_days", 2),
        ("dahlias are three days old, wedding's in four, will they make it", "display_days", 4),
    ],
)
def test_days_said_without_the_word(parser: Parser, text: str, slot: str, days: float) -> None:
    slots = parser.parse(text, today=TODAY).slots
    assert slots[slot].number == days
    assert "pack_size" not in slots
