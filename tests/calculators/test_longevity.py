import math
import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.calculators.longevity import (
    METHODS,
    WARNINGS,
    Leg,
    LifeConstants,
    days_remaining,
    life_at_temperature,
    rate_at,
    shelf_days_remaining,
    standard_life,
    temperature_curve,
)
from assistant.calculators.ranges import Estimate, OutOfRange, exact, span

EXACT = LifeConstants(
    factors={
        "vase-food": exact(1.0), "plain-water": exact(1.25), "foam-kept-wet": exact(1.3), "foam-drying": exact(2.0),
        "out-of-water": exact(6.0), "cooler-wet": exact(1.0), "cooler-dry": exact(1.0),
    },
    dry_slope_per_degC=exact(0.2),
    chilling_factor=exact(1.5),
    valid_degC=(0.0, 30.0),
)  # fmt: skip
LOOSE = LifeConstants(
    factors={
        "vase-food": exact(1.0), "plain-water": Estimate(0.9, 1.2, 1.6), "foam-kept-wet": Estimate(1.0, 1.3, 2.0),
        "foam-drying": span(1.5, 3.0), "out-of-water": span(3.0, 12.0), "cooler-wet": Estimate(0.8, 0.93, 2.0),
        "cooler-dry": Estimate(0.7, 1.0, 1.4),
    },
    dry_slope_per_degC=Estimate(0.1, 0.15, 0.3),
    chilling_factor=Estimate(1.0, 1.5, 3.0),
    valid_degC=(0.0, 30.0),
)  # fmt: skip


def left(life=10.0, display=20.0, **more):
    return days_remaining(life, display_degC=display, q10=more.pop("q10", 2.5), constants=EXACT, **more)


def test_from_fresh_in_the_room_it_was_measured_in_nothing_changes():
    result = days_remaining((7, 10), display_degC=20, q10=(2, 3), constants=LOOSE)
    assert result.remaining_d == Estimate(7, 8.5, 10)
    assert result.used_share == exact(0.0)
    assert result.warnings == ()


def test_ten_degrees_warmer_divides_by_q10():
    assert left(display=30).remaining_d.value == pytest.approx(10 / 2.5)
    assert left(display=10).remaining_d.value == pytest.approx(10 * 2.5)
    assert rate_at(15, 2.5) == pytest.approx(2.5**-0.5)


def test_a_leg_takes_its_share_and_shares_add_up():
    result = left(legs=[Leg(3, 20), Leg(5, 10, "cooler-wet")])
    assert result.leg_shares[0].value == pytest.approx(0.3)
    assert result.leg_shares[1].value == pytest.approx(5 / 2.5 / 10)
    assert result.used_share.value == pytest.approx(0.5)
    assert result.remaining_d.value == pytest.approx(5.0)


def test_support_factor_divides_the_days():
    for method, factor in EXACT.factors.items():
        if method != "cooler-dry":
            assert left(support=method).remaining_d.value == pytest.approx(10 / factor.value)


def test_dry_storage_costs_more_when_it_is_warm():
    cold = left(legs=[Leg(5, 0, "cooler-dry")]).leg_shares[0].value
    cool = left(legs=[Leg(5, 8, "cooler-dry")]).leg_shares[0].value
    assert cold == pytest.approx(5 * 2.5**-2 / 10)
    assert cool == pytest.approx(5 * 2.5**-1.2 * (1 + 0.2 * 8) / 10)


def test_life_measured_elsewhere_cancels_where_it_stands_the_same():
    kw = {"measured_degC": 25.0, "measured_support": "plain-water"}
    same = days_remaining((5, 7), display_degC=25, q10=(2, 3), constants=LOOSE, support="plain-water", **kw)
    assert same.remaining_d == Estimate(5, 6, 7)
    standard = days_remaining(6, display_degC=20, q10=2.5, constants=EXACT, **kw).remaining_d.value
    assert standard == pytest.approx(6 * 2.5**0.5 * 1.25)
    assert standard_life(
        6, measured_degC=25, measured_support="plain-water", q10=2.5, constants=EXACT
    ).value == pytest.approx(standard)


def test_frozen_is_the_end():
    for legs, display in (([Leg(1, -5, "cooler-dry")], 20.0), ([], -5.0)):
        result = left(legs=legs, display=display, freezing_point_degC=-0.5)
        assert result.remaining_d == exact(0.0)
        assert "frozen" in result.warnings
        assert "used_up" in result.warnings


def test_perhaps_frozen_keeps_only_the_good_end():
    result = left(legs=[Leg(1, (-2, 2), "cooler-dry")], freezing_point_degC=-0.5)
    assert result.remaining_d.low == 0
    assert result.remaining_d.value > 0
    assert "may_freeze" in result.warnings
    colder = left(legs=[Leg(1, (-4, 1), "cooler-dry")], freezing_point_degC=-0.5)
    assert colder.remaining_d.value == 0 < colder.remaining_d.high


def test_below_zero_without_a_known_freezing_point_is_said():
    assert "freezing_unknown" in left(display=-1).warnings


def test_chilling_gives_no_credit_for_cold():
    warm = left(life=14, legs=[Leg(3, 20, "cooler-wet")], chilling_threshold_degC=13)
    chilled = left(life=14, legs=[Leg(3, 4, "cooler-wet")], chilling_threshold_degC=13)
    assert chilled.remaining_d.value < warm.remaining_d.value
    assert chilled.leg_shares[0].value == pytest.approx(3 * 1.5 / 14)
    assert "below_chilling" in chilled.warnings
    assert "below_chilling" not in warm.warnings


def test_straddling_the_chilling_threshold_takes_the_worse_and_the_better_side():
    result = left(legs=[Leg(2, (10, 18), "cooler-wet")], chilling_threshold_degC=13)
    share = result.leg_shares[0]
    assert share.high == pytest.approx(2 * 1.5 / 10)
    assert share.low == pytest.approx(2 * 2.5**-0.7 / 10)
    assert "below_chilling" in result.warnings


def test_chilling_is_never_kinder_than_the_same_cold_without_it():
    for method in METHODS:
        for degc in (2.0, 8.0, (6.0, 20.0)):
            legs = [Leg(0.5, degc, method)]
            hardy = days_remaining(14, display_degC=20, q10=(2, 3), constants=LOOSE, legs=legs)
            tender = days_remaining(
                14, display_degC=20, q10=(2, 3), constants=LOOSE, legs=legs, chilling_threshold_degC=13
            )
            assert tender.used_share.low >= hardy.used_share.low - 1e-12
            assert tender.used_share.value >= hardy.used_share.value - 1e-12
            assert tender.used_share.high >= hardy.used_share.high - 1e-12


def test_beyond_the_storage_life_days_count_like_room_days():
    inside = left(legs=[Leg(7, 1, "cooler-wet")], storage_life_d=7)
    beyond = left(legs=[Leg(9, 1, "cooler-wet")], storage_life_d=7)
    assert inside.used_share.value == pytest.approx(7 * 2.5**-1.9 / 10)
    assert beyond.used_share.value - inside.used_share.value == pytest.approx(2 / 10)
    assert "past_storage_life" in beyond.warnings
    assert "past_storage_life" not in inside.warnings


def test_storage_allowance_runs_over_all_cooler_legs():
    split = left(legs=[Leg(5, 1, "cooler-wet"), Leg(1, 20), Leg(4, 1, "cooler-wet")], storage_life_d=7)
    whole = left(legs=[Leg(9, 1, "cooler-wet"), Leg(1, 20)], storage_life_d=7)
    assert split.used_share.value == pytest.approx(whole.used_share.value)


def test_unknown_storage_life_is_said_only_when_it_was_stored():
    assert "storage_life_unknown" in left(legs=[Leg(2, 1, "cooler-dry")]).warnings
    assert left(legs=[Leg(2, 20)]).warnings == ()


def test_used_up_and_maybe_used_up():
    gone = left(legs=[Leg(11, 20)])
    assert gone.remaining_d == exact(0.0)
    assert gone.used_share.value == pytest.approx(1.1)
    assert "used_up" in gone.warnings
    maybe = left(life=(8, 12), legs=[Leg(10, 20)])
    assert maybe.remaining_d.low == 0
    assert maybe.remaining_d.high > 0
    assert "may_be_used_up" in maybe.warnings


def test_own_time_out_of_water_replaces_the_factor():
    assert left(support="out-of-water", out_of_water_d=3).remaining_d.value == pytest.approx(3)
    assert left(support="out-of-water", out_of_water_d=(2, 4)).remaining_d == pytest.approx((2, 3, 4))
    cool = left(display=10, support="out-of-water", out_of_water_d=3)
    assert cool.remaining_d.value == pytest.approx(3 * 2.5)


def test_extrapolated():
    assert "extrapolated" in left(display=33).warnings
    assert "extrapolated" not in left(display=30).warnings


@pytest.mark.parametrize(
    "change",
    [
        {"life": 0}, {"life": -3}, {"life": math.nan}, {"display": 600}, {"display": math.nan}, {"q10": 0.5},
        {"q10": 20}, {"legs": [Leg(-1, 20)]}, {"legs": [Leg(1, 600)]}, {"legs": [Leg(math.nan, 20)]},
        {"support": "hanging-upside-down"}, {"legs": [Leg(1, 20, "bath")]}, {"storage_life_d": -1},
        {"out_of_water_d": 0}, {"life": (9, 4)},
    ],
    ids=str,
)  # fmt: skip
def test_the_impossible_is_refused_with_one_sentence(change):
    with pytest.raises(OutOfRange) as error:
        left(**change)
    assert str(error.value).endswith(".")


@settings(max_examples=150, deadline=None)
@given(
    life=st.tuples(st.floats(3, 20), st.floats(0, 10)),
    display=st.tuples(st.floats(2, 30), st.floats(0, 6)),
    q10=st.tuples(st.floats(1.2, 3), st.floats(0, 2)),
    legs=st.lists(st.tuples(st.floats(0, 6), st.floats(0, 28), st.floats(0, 5), st.sampled_from(METHODS)), max_size=4),
    support=st.sampled_from(METHODS),
    chilling=st.none() | st.floats(5, 14),
    storage=st.none() | st.floats(1, 12),
    seed=st.integers(0, 10_000),
)
def test_every_choice_inside_lies_inside(life, display, q10, legs, support, chilling, storage, seed):
    """Carried through, not painted on: any exact choice within the input ranges gives a result within the output's."""
    common = {"support": support, "chilling_threshold_degC": chilling, "storage_life_d": storage}
    wide = days_remaining(
        (life[0], life[0] + life[1]),
        display_degC=(display[0], sum(display)),
        q10=(q10[0], sum(q10)),
        constants=LOOSE,
        legs=[Leg(d, (t, t + w), m) for d, t, w, m in legs],
        **common,
    )
    assert wide.remaining_d.low <= wide.remaining_d.value <= wide.remaining_d.high
    assert wide.used_share.low <= wide.used_share.value <= wide.used_share.high
    assert set(wide.warnings) <= set(WARNINGS)
    rng = random.Random(seed)

    def pick(low, high):
        return rng.choice([low, high, rng.uniform(low, high)])

    for _ in range(4):
        chosen = LifeConstants(
            {m: exact(pick(f.low, f.high)) for m, f in LOOSE.factors.items()},
            exact(pick(0.1, 0.3)), exact(pick(1.0, 3.0)), (0.0, 30.0),
        )  # fmt: skip
        one = days_remaining(
            pick(life[0], sum(life)), display_degC=pick(display[0], sum(display)), q10=pick(q10[0], sum(q10)),
            constants=chosen, legs=[Leg(d, pick(t, t + w), m) for d, t, w, m in legs], **common,
        )  # fmt: skip
        # Q10's interior extreme is searched on a grid, hence the tenth of a per cent.
        assert wide.remaining_d.low * 0.999 - 1e-9 <= one.remaining_d.value <= wide.remaining_d.high * 1.001 + 1e-9
        assert wide.used_share.low * 0.999 - 1e-9 <= one.used_share.value <= wide.used_share.high * 1.001 + 1e-9


@given(st.floats(0, 29), st.floats(0.1, 10))
def test_warmer_is_never_longer(degc, more):
    assert left(display=degc).remaining_d.value >= left(display=min(45, degc + more)).remaining_d.value


def test_curve_and_whole_life_agree():
    curve = temperature_curve((7, 10), degC_values=[2, 20, 28], q10=(2, 3), constants=LOOSE)
    assert [t for t, _ in curve] == [2, 20, 28]
    assert curve[1][1] == Estimate(7, 8.5, 10)
    assert curve[2][1] == life_at_temperature((7, 10), degC=28, q10=(2, 3), constants=LOOSE).remaining_d
    assert curve[0][1].value > curve[1][1].value > curve[2][1].value


def test_constants_from_rows():
    rows = {f"support-{method}": (1.0, 2.0) for method in METHODS}
    rows |= {"dry-slope": (0.1, 0.3), "chilling-factor": (1.0, 3.0), "valid-temperature": (0.0, 30.0)}
    built = LifeConstants.from_rows(rows)
    assert built.factors["cooler-dry"] == span(1, 2)
    assert built.valid_degC == (0, 30)


def test_shelf_life():
    fresh = shelf_days_remaining((12, 24))
    assert fresh.remaining_d.low == pytest.approx(365.25)
    kept = shelf_days_remaining((12, 24), kept_d=400, humidity_pct=(50, 75), humidity_limit_pct=(40, 60))
    assert kept.remaining_d.low == 0
    assert kept.remaining_d.high == pytest.approx(730.5 - 400)
    assert kept.warnings == ("too_damp", "may_be_used_up")
    assert shelf_days_remaining(6, kept_d=900).warnings == ("used_up",)
    assert shelf_days_remaining(6, humidity_pct=20, humidity_limit_pct=(40, 60)).warnings == ("too_dry",)
    assert shelf_days_remaining(6, humidity_pct=20).warnings == ()


@pytest.mark.parametrize(
    ("months", "kw"), [(-1, {}), (6, {"kept_d": -2}), (6, {"humidity_pct": 130}), (math.nan, {})], ids=str
)
def test_shelf_life_refuses_the_impossible(months, kw):
    with pytest.raises(OutOfRange):
        shelf_days_remaining(months, **kw)
