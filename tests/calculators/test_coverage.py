import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.coverage import (
    RolePart,
    disc_cm2,
    spike_cm2,
    stems_along,
    stems_by_role,
    stems_total,
    visible_area_cm2,
)
from assistant.calculators.ranges import Estimate, OutOfRange, exact


def test_a_half_ball_is_two_pi_r_squared_and_half_of_it_from_the_front():
    assert visible_area_cm2("dome", width_cm=30, view="all-round").value == pytest.approx(2 * math.pi * 15**2)
    assert visible_area_cm2("dome", width_cm=30).value == pytest.approx(math.pi * 15**2)


def test_fan_and_garland():
    fan = visible_area_cm2("fan", width_cm=80, height_cm=60)
    assert fan.value == pytest.approx(math.pi / 4 * 80 * 60)
    assert visible_area_cm2("fan", width_cm=80, height_cm=60, view="all-round").value == pytest.approx(2 * fan.value)
    garland = visible_area_cm2("garland", width_cm=12, length_cm=200)
    assert garland.value == pytest.approx(math.pi / 2 * 12 * 200)
    hanging = visible_area_cm2("garland", width_cm=12, length_cm=200, view="all-round")
    assert hanging.value == pytest.approx(math.pi * 12 * 200)


def test_oblong_of_equal_sides_is_a_dome():
    dome = visible_area_cm2("dome", width_cm=40, height_cm=15, view="all-round")
    oblong = visible_area_cm2("oblong", length_cm=40, width_cm=40, height_cm=15, view="all-round")
    assert oblong == dome


def test_range_of_sizes_is_carried():
    area = visible_area_cm2("dome", width_cm=(28, 32))
    assert area.low == pytest.approx(math.pi * 14**2)
    assert area.high == pytest.approx(math.pi * 16**2)


@pytest.mark.parametrize(
    ("shape", "sizes"),
    [
        ("fan", {"width_cm": 80}), ("oblong", {"width_cm": 20, "height_cm": 10}), ("garland", {"width_cm": 10}),
        ("dome", {"width_cm": -3}), ("dome", {"width_cm": math.nan}), ("dome", {"width_cm": 9000}),
        ("cascade", {"width_cm": 20}), ("dome", {"width_cm": 20, "view": "from below"}),
    ],
    ids=str,
)  # fmt: skip
def test_the_impossible_is_refused(shape, sizes):
    with pytest.raises(OutOfRange):
        visible_area_cm2(shape, **sizes)


def test_stems_of_a_hand_reckoned_design():
    # 1000 cm2; mass 40 % in discs of 10 cm (78.5 cm2), foliage half in sprays of 100 cm2.
    stems = stems_by_role(1000, [RolePart("mass", disc_cm2(10), 0.4), RolePart("foliage", 100, 0.5)])
    assert [(s.role, s.stems.value) for s in stems] == [("mass", 6), ("foliage", 5)]
    assert stems_total(stems, 3) == Estimate(33, 33, 33)
    assert stems_total([]) == exact(0.0)


@given(
    st.floats(100, 1e5), st.floats(0.5, 1), st.tuples(st.floats(3, 20), st.floats(0, 10)),
    st.tuples(st.floats(0.05, 0.5), st.floats(0, 0.4)), st.floats(0, 1), st.floats(0, 1),
)  # fmt: skip
def test_stems_inside_the_range(area, shrink, bloom, share, i, j):
    wide = stems_by_role(
        (area * shrink, area), [RolePart("mass", disc_cm2((bloom[0], sum(bloom))), (share[0], sum(share)))]
    )[0].stems
    one = stems_by_role(
        area * (shrink + i * (1 - shrink)),
        [RolePart("mass", disc_cm2(bloom[0] + j * bloom[1]), share[0] + i * share[1])],
    )[0].stems.value
    assert wide.low <= one <= wide.high
    assert wide.low <= wide.value <= wide.high


def test_too_many_layers_are_refused():
    with pytest.raises(OutOfRange, match="two layers"):
        stems_by_role(1000, [RolePart(r, 50, 0.9) for r in ("mass", "filler", "foliage")])
    with pytest.raises(OutOfRange):
        stems_by_role(1000, [RolePart("mass", 0, 0.5)])


def test_spike_and_spacing():
    assert spike_cm2(30, 6).value == pytest.approx(math.pi / 4 * 180)
    assert stems_along(200, (7, 15)) == Estimate(14, 19, 29)
