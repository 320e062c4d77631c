"""Pictures say with their pattern what they mean; a test reads them as a person without colours would."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.screens import pictures
from assistant.screens.numerals import large
from assistant.screens.pictures import Piece
from assistant.screens.plots import Line, Plot, draw, tidy_top


def text(pieces: list[Piece]) -> str:
    return "".join(words for words, _ in pieces)


def test_freshness_a_cell_a_day() -> None:
    assert text(pictures.freshness(5, 7, 9, 40)) == "█████▓▓░░"


def test_freshness_with_a_goal_beyond_the_life() -> None:
    assert text(pictures.freshness(3, 4, 5, 40, goal=8)) == "███▓░···⚑"


@given(st.floats(0, 900), st.floats(0, 300), st.floats(0, 300), st.integers(8, 60))
def test_freshness_never_wider_than_asked(low: float, more: float, most: float, width: int) -> None:
    assert len(text(pictures.freshness(low, low + more, low + more + most, width))) <= width


@given(st.floats(0, 100), st.floats(0, 100), st.floats(0, 100), st.integers(1, 60))
def test_spread_keeps_its_width(low: float, more: float, most: float, width: int) -> None:
    high = low + more + most
    assert len(text(pictures.spread(low, low + more, high, high, width))) == width


def test_spread_of_one_number_is_solid() -> None:
    assert text(pictures.spread(5, 5, 5, 10, 10)) == "█████     "


def test_vessel_fill_level() -> None:
    assert [text(row) for row in pictures.vessel(0, 30, 3, 2)] == ["▌  ▐"] * 3
    assert [text(row) for row in pictures.vessel(30, 30, 3, 2)] == ["▌██▐"] * 3
    assert [text(row) for row in pictures.vessel(15, 30, 3, 2)] == ["▌  ▐", "▌▄▄▐", "▌██▐"]


def test_bunches_with_spares_hollow() -> None:
    assert text(pictures.bunches(8, 20, 40, 40)) == "▮▮▮▮▮▮▯▯"
    assert text(pictures.bunches(8, 20, 19, 40)) == "▮▮▮▮▮▮▮▮"
    assert text(pictures.bunches(100, 10, 0, 10)).startswith("▮" * 10 + " each mark 10")


def test_months_mark_the_present_one() -> None:
    said = text(pictures.months([1, 12], now=12))
    assert said.startswith(" J ")
    assert said.endswith("[D]")
    assert said.count("·") == 10


def test_timeline_and_ruler() -> None:
    assert text(pictures.timeline([6, 12], 12, 13)) == "●─────◆─────◆"
    ruler = pictures.day_ruler(12, 26)
    assert ruler.startswith("0")
    assert ruler.split() == ["0", "2", "4", "6", "8", "10", "12"]


@given(st.integers(1, 400), st.integers(5, 80))
def test_ruler_never_runs_numbers_together(span: int, width: int) -> None:
    assert all(int(number) <= span for number in pictures.day_ruler(span, width).split())


def test_swatches_stop_and_count_on() -> None:
    assert text(pictures.swatches(["#ffffff"] * 9, 6)).endswith("+3")


def test_large_numbers_are_three_even_lines() -> None:
    for number in ("0", "17", "2.5", "140", "33.3"):
        lines = large(number)
        assert len(lines) == 3
        assert len({len(line) for line in lines}) == 1
    assert large("1") != large("7")
    assert large("x") == ["", "", ""]


def test_every_digit_has_its_own_form() -> None:
    assert len({tuple(large(digit)) for digit in "0123456789"}) == 10


@pytest.mark.parametrize(
    ("value", "top"), [(0, 1), (0.9, 1), (7, 8), (11, 12), (27, 30), (100, 100), (260, 300), (1.01, 1.2)]
)
def test_tidy_top(value: float, top: float) -> None:
    assert tidy_top(value) == pytest.approx(top)


def test_plot_numbers_its_lines_and_marks_the_place_asked_about() -> None:
    falling = tuple((float(x), 40.0 - x) for x in range(10, 33))
    flat = tuple((float(x), 12.0) for x in range(10, 33))
    said = draw(Plot("life", "°C", "days", (Line("one", falling), Line("two", flat, colour=1)), here=24), 60, 12).plain
    assert "life" in said
    assert "days" in said
    assert "┊" in said
    assert said.count("①") == said.count("②") == 2  # on the line and in the legend
    assert "(30 → 8)" in said
    assert max(len(line) for line in said.splitlines()[:-1]) <= 60


def test_plot_of_nothing_says_so() -> None:
    assert draw(Plot("t", "x", "y", ()), 40, 10).plain == "nothing to draw"
