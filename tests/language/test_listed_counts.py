"""Counts in a list, as order notes put them; common practice, no source. Sums by hand."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.language.parsing import Parser
from assistant.language.question import Question

_TODAY = date(2026, 11, 25)


def read(text: str, parser: Parser) -> Question:
    return parser.parse(text, today=_TODAY)


def stems(text: str, parser: Parser) -> dict[str | None, float | None]:
    return {m.id or m.usual: m.stems for m in read(text, parser).mentions}


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("craspedia 6, sea holly 4, steel grass 2", {"craspedia": 6, "sea-holly": 4, "steel-grass": 2}),
        ("a jug with bupleurum, five, and astrantia, three", {"bupleurum": 5, "astrantia": 3}),
        ("hellebores - seven of em - and fritillaries, thats nine a bowl", {"hellebore": 7, "fritillaria": 9}),
        ("dried poppy heads x 45, bunny tails x 120", {"dried-poppy-pod": 45, "bunny-tail": 120}),
        ("5 roses, 3 limonium", {"rose": 5, "limonium": 3}),
        ("3 gerbera, 2 spray roses, 4 solidago. Ten of them", {"gerbera": 3, "spray-rose": 2, "solidago": 4}),
        ("roses and limonium, 12 please", {"rose": None, "limonium": None}),
        ("I'll want solidago too, sixty stems of that", {"solidago": 60}),
        ("order is ranunculus, 75, and anemones, 75 as well", {"ranunculus": 75, "anemone": 75}),
        ("22 jars, each with a trio of scabious", {"scabiosa": 3}),
        (
            "a single garden rose, a pair of scabious and one sprig of mint",
            {"garden-rose": 1, "scabiosa": 2, "mint": 1},
        ),
    ],
)
def test_a_list_is_counted_before_or_after_its_names(
    text: str, counts: dict[str, float | None], parser: Parser
) -> None:
    assert stems(text, parser) == counts


@pytest.mark.parametrize(
    ("text", "total"),
    [
        ("22 brunia for the arch and another 13 for the top table", 35),
        ("22 brunia for the arch and 13 for the top table", 35),
        ("18 pieces: nine large ones with 7 brunia, nine small ones with 2", 81),
        ("3 tables with 7 brunia each and 2 tables with 10 brunia each", 41),
        ("22 brunia for the 13 tables", 22),
        ("22 brunia for the arch and 2 days in water", 22),
    ],
)
def test_counts_for_several_places_are_added_up(text: str, total: float, parser: Parser) -> None:
    assert stems(text, parser) == {"brunia": total}


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("240 stems at 3:2:1 - olive, nandina, pepperberry", {"olive": 120, "nandina": 80, "pepperberry": 40}),
        ("20% of the 150 stems should be podocarpus, the rest aspidistra", {"podocarpus": 30, "aspidistra": 120}),
        ("40 stems, 3 parts roses to 1 part limonium", {"rose": 30, "limonium": 10}),
        ("180 stems, half of it olive, a third nandina and whatever's left skimmia", {"olive": 90, "nandina": 60, "skimmia": 30}),
    ],
)  # fmt: skip
def test_a_total_is_shared_out(text: str, counts: dict[str, float], parser: Parser) -> None:
    assert stems(text, parser) == counts


def test_shares_that_are_not_the_whole_share_nothing_out(parser: Parser) -> None:
    read_ = read("100 stems, 20% olive, 30% nandina and skimmia", parser)
    assert all(m.share is None for m in read_.mentions)


@pytest.mark.parametrize(
    "text",
    [
        "olive, nandina and skimmia, packs are 5, 7 and 10 in that order",
        "olive in fives, nandina in sevens, skimmia in tens",
    ],
)
def test_each_name_has_its_own_pack(text: str, parser: Parser) -> None:
    assert [m.pack for m in read(text, parser).mentions] == [5, 7, 10]


@pytest.mark.parametrize(
    ("text", "pieces"),
    [
        ("doing the chairs, 25 of them, and every one gets four freesias", 25),
        ("craspedia 6, sea holly 4. x 9", 9),
        ("x 11 rather", 11),
        ("per pedestal 9 delphinium. three pedestals either side so that's six in total", 6),
        ("room 7 wants six vases, each gets nine solidaster", 6),
        ("24 clumps x 5 nigella + 3 larkspur", 24),
        ("11 booked, each does 4 chamomile", 11),
        ("a class of 14 makes one wreath each with 9 statice", 14),
        ("two more have rung, so thirteen", 13),
        ("third urn for the porch as well", 3),
        ("4 stems of freesia at every chair end, of which there are 25", 25),
        ("it's 14 to make and hypericum in all of them, 9 stems a wreath", 14),
        ("hydrangea in all the vases, theres 8 of them and 6 stems in each", 8),
        ("seven pew ends: 3 amaranthus, 5 myrtle", 7),
        ("twelve tables and I want, hang on, not four, five roses on each", 12),
    ],
)
def test_pieces_are_read_however_they_are_counted(text: str, pieces: float, parser: Parser) -> None:
    assert read(text, parser).slots["pieces"].number == pieces


def test_the_time_of_day_counts_nothing(parser: Parser) -> None:
    slots = read("84 good ones every week by half three on friday, roses", parser).slots
    assert slots["stems"].number == 84
    assert "pieces" not in slots
