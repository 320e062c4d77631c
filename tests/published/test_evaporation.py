"""Evaporation of a still surface against the pool equation and its measurement (smith1998), and open-water Penman."""

from pathlib import Path

import pytest
import yaml

from assistant.calculators.water import evaporation_ml_per_day, vapour_pressure_deficit_kpa

TABLE = Path(__file__).resolve().parents[2] / "knowledge" / "tables" / "water.yaml"


def coefficient():
    rows = yaml.safe_load(TABLE.read_text(encoding="utf-8"))["constants"]
    row = next(row for row in rows if row["id"] == "evaporation-still-air")
    return row["low"], row["high"]


def test_coefficients_follow_from_the_printed_equation():
    # 95 Btu/h/ft2/inHg over the latent heat at 20 degC, in mm/d/kPa; the measured share is 74 %.
    btu_j, ft2_m2, inhg_kpa, latent_j_per_kg = 1055.06, 0.09290304, 3.38639, 2.453e6
    equation = 95 * btu_j / 3600 / ft2_m2 / inhg_kpa / latent_j_per_kg * 86_400
    low, high = coefficient()
    assert high == pytest.approx(equation, rel=0.02)
    assert low == pytest.approx(0.74 * equation, rel=0.02)


def test_a_day_over_quiet_water():
    # smith1998, 20 degC and 50 % over water: 3.64 mm a day by the equation, 2.70 after the measured 74 %.
    loss = evaporation_ml_per_day(100, vapour_pressure_deficit_kpa(20, 50), coefficient())
    assert loss.low == pytest.approx(27.0, rel=0.02)
    assert loss.high == pytest.approx(36.4, rel=0.02)


def test_open_water_penman_lies_inside_the_range():
    # shuttleworth1993 (from memory): 6.43 * deficit / 2.45 without wind and sun; 3.06 mm at 20 degC and 50 %.
    penman = 6.43 * vapour_pressure_deficit_kpa(20, 50).value / 2.45
    assert penman == pytest.approx(3.06, abs=0.01)
    loss = evaporation_ml_per_day(100, vapour_pressure_deficit_kpa(20, 50), coefficient())
    assert loss.low <= penman * 10 <= loss.high
