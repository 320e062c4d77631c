"""The two-week winter display on the reception counter of our seaside reading room, mostly."""

import itertools
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.ranges import OutOfRange
from assistant.calculators.refresh import Planting, refresh_plan

COUNTER = [
    Planting("tulip", 30, (4, 6)), Planting("chrysanthemum", 20, (12, 18)), Planting("salal", 15, (14, 21)),
    Planting("bunny-tail", 40, (300, 700), drinks=False),
]  # fmt: skip


def test_two_weeks_on_the_counter():
    plan = refresh_plan(COUNTER, 14, start=date(2026, 12, 7), top_up_every_d=3)
    assert [m.material for m in plan.materials] == ["bunny-tail", "salal", "chrysanthemum", "tulip"]
    assert plan.base == ("bunny-tail", "salal")
    by = {m.material: m for m in plan.materials}
    assert by["tulip"].every_d == 3
    assert by["tulip"].days == (3, 6, 9, 12)
    assert by["tulip"].stems_total == 150
    assert by["chrysanthemum"].days == (11,)
    assert by["salal"].times_replaced == 0
    third = next(r for r in plan.rounds if r.day == 3)
    assert (third.on, third.replace, third.top_up) == (date(2026, 12, 10), (("tulip", 30),), True)


def test_dates_cross_the_year_and_a_leap_day():
    plan = refresh_plan([Planting("rose", 10, 6)], 12, start=date(2027, 12, 28))
    assert [r.on for r in plan.rounds] == [date(2028, 1, 2), date(2028, 1, 7)]
    leap = refresh_plan([Planting("rose", 10, 4)], 5, start=date(2028, 2, 27))
    assert leap.rounds[0].on == date(2028, 3, 1)


def test_without_a_date_there_are_only_day_numbers():
    assert all(r.on is None for r in refresh_plan(COUNTER, 14).rounds)


def test_nothing_lasts_all_the_way_so_the_longest_is_the_base():
    plan = refresh_plan([Planting("tulip", 10, (4, 6)), Planting("rose", 10, (7, 9))], 20)
    assert plan.base == ("rose",)


def test_closed_days_bring_a_visit_forward():
    weekdays = frozenset(range(5))
    plan = refresh_plan([Planting("rose", 10, 7)], 14, start=date(2026, 12, 7), open_weekdays=weekdays)
    # every sixth day: Sunday 13 December becomes Friday 11
    assert plan.rounds[0].on == date(2026, 12, 11)
    assert all(r.on.weekday() < 5 for r in plan.rounds)
    with pytest.raises(OutOfRange, match="open day"):
        refresh_plan([Planting("poppy", 10, 2)], 14, start=date(2026, 12, 7), open_weekdays=weekdays)


def test_a_first_lot_that_is_not_fresh_goes_sooner():
    """Worked by hand: three days on day 0, then six and four (7 − 1 and 5 − 1) from each change."""
    (row,) = refresh_plan([Planting("rose", 10, (7, 9), first_life_d=(4, 6))], 14).materials
    assert (row.first_d, row.every_d, row.days, row.stems_total) == (3, 6, (3, 9), 30)
    (base,) = refresh_plan([Planting("holly", 10, (20, 30), first_life_d=(5, 9))], 14).materials
    assert (base.days, base.every_d) == ((4,), 14)


def test_dry_displays_are_never_watered():
    plan = refresh_plan([Planting("bunny-tail", 10, 400, drinks=False)], 14, top_up_every_d=2)
    assert plan.rounds == ()


def test_a_margin_longer_than_the_life_is_marked():
    assert refresh_plan([Planting("daylily", 3, (1, 2))], 3).materials[0].risky


@given(
    st.lists(st.tuples(st.integers(1, 50), st.floats(1, 40), st.floats(0, 10)), min_size=1, max_size=5),
    st.integers(1, 60), st.sampled_from([0.0, 1.0, 2.0]),
)  # fmt: skip
def test_no_lot_is_left_beyond_its_short_life(materials, days, margin):
    plan = refresh_plan(
        [Planting(f"m{i}", n, (low, low + more)) for i, (n, low, more) in enumerate(materials)], days, margin_d=margin
    )
    for material in plan.materials:
        marks = [0, *material.days, days]
        gaps = [b - a for a, b in itertools.pairwise(marks)]
        assert max(gaps) <= material.life_d.low or max(gaps) == 1
        assert material.stems_total == material.stems * (1 + material.times_replaced)
    assert [r.day for r in plan.rounds] == sorted({d for m in plan.materials for d in m.days})


@pytest.mark.parametrize(
    "call",
    [
        lambda: refresh_plan([], 14), lambda: refresh_plan(COUNTER, 0), lambda: refresh_plan(COUNTER, 400),
        lambda: refresh_plan([Planting("rose", -1, 7)], 14), lambda: refresh_plan([Planting("rose", 1, 0.5)], 14),
        lambda: refresh_plan(COUNTER, 14, margin_d=-1), lambda: refresh_plan(COUNTER, 14, top_up_every_d=0),
        lambda: refresh_plan(COUNTER, 14, open_weekdays=frozenset({1})),
        lambda: refresh_plan(COUNTER, 14, start=date(2026, 12, 7), open_weekdays=frozenset()),
    ],
)  # fmt: skip
def test_the_impossible_is_refused(call):
    with pytest.raises(OutOfRange):
        call()
