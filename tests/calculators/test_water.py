import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.calculators.ranges import Estimate, OutOfRange, exact
from assistant.calculators.water import (
    VesselSize,
    days_of_water,
    days_until_level,
    evaporation_ml_per_day,
    fill,
    filled_weight,
    foam_water_ml,
    level_cm,
    saturation_vapour_pressure_kpa,
    stem_displacement_ml,
    surface_cm2,
    top_up,
    uptake_ml_per_day,
    vapour_pressure_deficit_kpa,
    volume_ml,
)

CYLINDER = VesselSize("cylinder", 25, top_cm=12)
TAPER = VesselSize("taper", 22, top_cm=16, bottom_cm=10)
VESSELS = [
    CYLINDER, TAPER, VesselSize("bowl", 10, top_cm=24), VesselSize("bowl", 18, top_cm=12),
    VesselSize("box", 14, length_cm=60, width_cm=15), VesselSize("ring", 4, outer_cm=30, inner_cm=19),
]  # fmt: skip


@pytest.mark.parametrize("vessel", VESSELS, ids=str)
@given(share=st.floats(0.01, 1))
def test_level_is_the_inverse_of_volume(vessel, share):
    level = share * vessel.height_cm
    assert level_cm(vessel, volume_ml(vessel, level) * (1 - 1e-13)) == pytest.approx(level, rel=1e-6)


@pytest.mark.parametrize("vessel", VESSELS, ids=str)
def test_surface_is_the_slope_of_volume(vessel):
    y, h = vessel.height_cm / 3, 1e-4
    slope = (volume_ml(vessel, y + h) - volume_ml(vessel, y - h)) / (2 * h)
    assert surface_cm2(vessel, y) == pytest.approx(slope, rel=1e-6)
    assert surface_cm2(vessel) > 0


@pytest.mark.parametrize(
    "vessel",
    [
        VesselSize("cylinder", 25), VesselSize("taper", 25, top_cm=10), VesselSize("box", 10, length_cm=10),
        VesselSize("ring", 4, outer_cm=20, inner_cm=30), VesselSize("cylinder", -1, top_cm=10),
        VesselSize("cylinder", 20, top_cm=math.nan), VesselSize("amphora", 20, top_cm=10),
    ],
    ids=str,
)  # fmt: skip
def test_impossible_vessels(vessel):
    for function in (volume_ml, surface_cm2):
        with pytest.raises(OutOfRange):
            function(vessel)


def test_over_the_rim_is_refused():
    with pytest.raises(OutOfRange):
        volume_ml(CYLINDER, 26)
    with pytest.raises(OutOfRange):
        level_cm(CYLINDER, 5000)


def test_fill_with_stems():
    full = fill(CYLINDER, level_cm=15, stems=20, stem_diameter_cm=(0.4, 0.8))
    rods = 20 * math.pi / 4 * 15
    assert full.empty_ml == pytest.approx(math.pi * 36 * 15)
    assert full.water_ml.high == pytest.approx(full.empty_ml - rods * 0.16)
    assert full.water_ml.low == pytest.approx(full.empty_ml - rods * 0.64)
    assert stem_displacement_ml(20, 0.4, 15).value == pytest.approx(rods * 0.16)


def test_fill_with_foam():
    tray = VesselSize("box", 4, length_cm=26, width_cm=13)
    filled = fill(tray, foam_cm3=1000, foam_water_share=(0.8, 0.9))
    assert filled.free_ml == exact(352.0)
    assert filled.in_foam_ml == Estimate(800, pytest.approx(850), 900)
    assert filled.water_ml.value == pytest.approx(1202)
    assert foam_water_ml(23, 11, 8, 0.9).value == pytest.approx(2024 * 0.9)


def test_fill_refuses_what_does_not_fit():
    with pytest.raises(OutOfRange, match="foam does not fit"):
        fill(VesselSize("box", 4, length_cm=26, width_cm=13), foam_cm3=2000, foam_water_share=0.9)
    with pytest.raises(OutOfRange, match="share"):
        fill(CYLINDER, foam_cm3=100)
    with pytest.raises(OutOfRange, match="stems"):
        fill(VesselSize("cylinder", 18, top_cm=4), stems=200, stem_diameter_cm=1)
    with pytest.raises(OutOfRange):
        fill(CYLINDER, stems=-5)


def test_deficit_is_nothing_in_wet_air_and_all_in_dry():
    assert vapour_pressure_deficit_kpa(20, 100).value == 0
    assert vapour_pressure_deficit_kpa(20, 0).value == saturation_vapour_pressure_kpa(20)
    wide = vapour_pressure_deficit_kpa((18, 24), (40, 60))
    assert wide.low == vapour_pressure_deficit_kpa(18, 60).value
    assert wide.high == vapour_pressure_deficit_kpa(24, 40).value


@pytest.mark.parametrize("call", [(600, 50), (20, 101), (20, -1), (math.nan, 50)])
def test_impossible_air(call):
    with pytest.raises(OutOfRange):
        vapour_pressure_deficit_kpa(*call)


def test_uptake_scales_with_stems_and_air():
    assert uptake_ml_per_day(10, 15, 0.94, 0.94).value == pytest.approx(150)
    assert uptake_ml_per_day(10, 15, 1.88, 0.94).value == pytest.approx(300)
    assert uptake_ml_per_day(0, 15, 0.94, 0.94).value == 0
    wide = uptake_ml_per_day(10, (5, 30), (0.5, 1.5), 1.0)
    assert (wide.low, wide.high) == (pytest.approx(25), pytest.approx(450))


def test_evaporation_is_a_millimetre_over_a_surface():
    assert evaporation_ml_per_day(100, 1.0, 2.5).value == pytest.approx(25)
    assert evaporation_ml_per_day(0, 1.0, 2.5).value == 0


def test_straight_sided_vessel_empties_in_a_straight_line():
    level = days_until_level(CYLINDER, start_cm=16, stop_cm=4, uptake_ml_per_day=100, evaporation_mm_per_day=2.5)
    area = math.pi * 36
    loss = 100 + 0.25 * area
    assert level.loss_ml_per_day.value == pytest.approx(loss)
    assert level.usable_ml.value == pytest.approx(area * 12)
    assert level.days.value == pytest.approx(area * 12 / loss)


def test_stems_and_cover_change_it_as_they_must():
    bare = days_until_level(CYLINDER, start_cm=16, stop_cm=4, uptake_ml_per_day=100, evaporation_mm_per_day=2.5)
    crowded = days_until_level(
        CYLINDER, start_cm=16, stop_cm=4, uptake_ml_per_day=100, evaporation_mm_per_day=2.5, displaced_share=0.2
    )
    covered = days_until_level(
        CYLINDER, start_cm=16, stop_cm=4, uptake_ml_per_day=100, evaporation_mm_per_day=2.5, covered_share=1
    )
    assert crowded.days.value < bare.days.value < covered.days.value
    assert covered.days.value == pytest.approx(math.pi * 36 * 12 / 100)


@pytest.mark.parametrize("vessel", VESSELS, ids=str)
def test_without_evaporation_days_are_volume_over_uptake(vessel):
    start, stop = vessel.height_cm * 0.9, vessel.height_cm * 0.3
    level = days_until_level(vessel, start_cm=start, stop_cm=stop, uptake_ml_per_day=(50, 80), evaporation_mm_per_day=0)
    water = volume_ml(vessel, start) - volume_ml(vessel, stop)
    assert level.days.high == pytest.approx(water / 50, rel=1e-4)
    assert level.days.low == pytest.approx(water / 80, rel=1e-4)


def test_taper_with_evaporation_by_small_time_steps():
    level = days_until_level(TAPER, start_cm=18, stop_cm=6, uptake_ml_per_day=60, evaporation_mm_per_day=4)
    water, days, step = volume_ml(TAPER, 18), 0.0, 0.005
    while water > volume_ml(TAPER, 6):
        water -= step * (60 + 0.4 * surface_cm2(TAPER, level_cm(TAPER, water)))
        days += step
    assert level.days.value == pytest.approx(days, abs=0.02)


def test_days_until_level_refuses_the_impossible():
    good = {"uptake_ml_per_day": 100, "evaporation_mm_per_day": 2}
    with pytest.raises(OutOfRange, match="already"):
        days_until_level(CYLINDER, start_cm=3, stop_cm=5, **good)
    with pytest.raises(OutOfRange):
        days_until_level(CYLINDER, start_cm=30, stop_cm=5, **good)
    with pytest.raises(OutOfRange, match="never goes"):
        days_until_level(CYLINDER, start_cm=15, stop_cm=5, uptake_ml_per_day=0, evaporation_mm_per_day=0)
    with pytest.raises(OutOfRange, match="never goes"):
        days_of_water(100, 0)


def test_days_of_water():
    assert days_of_water((1500, 2000), (100, 250)) == Estimate(6, 10, 20)


def test_top_up_keeps_the_fast_end_safe():
    plan = top_up((3.7, 6), (100, 150), 14)
    assert plan.every_d == 3
    assert plan.times == 4  # days 3, 6, 9 and 12
    assert plan.amount_ml == Estimate(300, 375, 450)
    assert plan.total_ml == Estimate(1200, 1500, 1800)
    assert top_up(9, 100, 14, most_every_d=3).every_d == 3
    assert top_up(30, 100, 14).times == 0
    assert top_up(7, 100, 14).times == 1
    assert top_up(0.5, 100, 14).every_d == 0


def test_weight_and_its_flag():
    weight = filled_weight((9000, 11_000), vessel_kg=(1, 2), limit_kg=(16, 25), stems=40, stem_g=(20, 60), extra_kg=3)
    assert weight.weight_kg.low == pytest.approx(9 + 1 + 0.8 + 3)
    assert weight.weight_kg.high == pytest.approx(11 + 2 + 2.4 + 3)
    assert weight.flag == "take_care"
    assert sum(part.value for part in weight.parts_kg.values()) == pytest.approx(weight.weight_kg.value)
    assert filled_weight(2000, vessel_kg=1, limit_kg=(16, 25)).flag == "light"
    assert filled_weight(30_000, vessel_kg=1, limit_kg=(16, 25)).flag == "two_people"
    with pytest.raises(OutOfRange):
        filled_weight(-1, vessel_kg=1, limit_kg=(16, 25))
