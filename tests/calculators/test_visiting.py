"""Shared visits: nothing stands longer than it may, and nobody drives more often than the shortest life asks."""

from __future__ import annotations

from datetime import date, timedelta
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.ranges import OutOfRange
from assistant.calculators.refresh import Planting, refresh_plan
from assistant.calculators.visiting import shared_visits

MONDAY = date(2026, 12, 7)
_EVERY = st.dictionaries(st.sampled_from("abcdef"), st.integers(1, 40), min_size=1)


@given(_EVERY, st.integers(1, 60))
def test_nothing_stands_longer_than_it_may(every: dict[str, int], display_d: int) -> None:
    visits = shared_visits(every, display_d, MONDAY)
    for material, interval in every.items():
        days = [0, *(day for day, changed in visits if material in changed), display_d]
        assert all(b - a <= interval for a, b in pairwise(days)), (material, days)


@given(_EVERY, st.integers(1, 60))
def test_no_more_visits_than_the_shortest_life_asks(every: dict[str, int], display_d: int) -> None:
    visits = shared_visits(every, display_d, MONDAY)
    shortest = min(every.values())
    assert len(visits) <= max(0, -(-display_d // shortest) - 1)
    days = [day for day, _ in visits]
    assert days == sorted(set(days))
    assert all(0 < day < display_d for day in days)


@given(st.floats(2.5, 30), st.integers(2, 60))
def test_one_material_alone_is_visited_as_the_refresh_calculator_says(life: float, display_d: int) -> None:
    (row,) = refresh_plan([Planting("a", 5, life)], display_d).materials
    every = {"a": row.every_d} if life < display_d else {}
    assert tuple(day for day, _ in shared_visits(every, display_d, MONDAY)) == row.days


def test_what_falls_due_before_the_next_visit_goes_along() -> None:
    """Worked by hand: the spray every third day; what would fall due before the next of those goes with it."""
    assert shared_visits({"spray": 3, "lisi": 5, "green": 9}, 14, MONDAY) == (
        (3, ("spray", "lisi")), (6, ("spray", "lisi")), (9, ("spray", "lisi", "green")), (12, ("spray",)),
    )  # fmt: skip


@given(_EVERY, st.integers(1, 60), st.integers(1, 40))
def test_the_first_change_comes_in_time(every: dict[str, int], display_d: int, first: int) -> None:
    early = {material: min(first, interval) for material, interval in every.items()}
    visits = shared_visits(every, display_d, MONDAY, first_d=early)
    for material, interval in every.items():
        days = [0, *(day for day, changed in visits if material in changed), display_d]
        assert days[1] <= early[material] or days[1] == display_d <= early[material]
        assert all(b - a <= interval for a, b in pairwise(days[1:]))


def test_closed_days_move_a_visit_forward() -> None:
    sunday_closed = frozenset(range(6))
    visits = shared_visits({"a": 6}, 14, MONDAY, sunday_closed)  # day 6 is a Sunday
    assert visits[0] == (5, ("a",))
    assert all((MONDAY + timedelta(days=day)).weekday() in sunday_closed for day, _ in visits)


def test_weeks_closed_longer_than_a_life_are_refused() -> None:
    with pytest.raises(OutOfRange, match="does not last from one open day"):
        shared_visits({"a": 3}, 14, MONDAY, frozenset({0}))
