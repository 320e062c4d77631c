"""Uptake against the few published figures for single stems."""

from pathlib import Path

import pytest
import yaml

from assistant.calculators.water import uptake_ml_per_day, vapour_pressure_deficit_kpa

TABLE = Path(__file__).resolve().parents[2] / "knowledge" / "tables" / "water.yaml"
ROWS = {row["id"]: row for row in yaml.safe_load(TABLE.read_text(encoding="utf-8"))["constants"]}


def test_gerbera_of_three_seasons():
    # acharya2010: 34.9, 34.7 and 26.14 ml over 18.37, 14.8 and 9.57 d at 18 degC and 68 %.
    means = [34.9 / 18.37, 34.7 / 14.8, 26.14 / 9.57]
    row = ROWS["uptake-anchor-gerbera"]
    assert (row["low"], row["high"]) == pytest.approx((min(means), max(means)), abs=0.05)


def test_drier_air_draws_more_in_the_direction_measured():
    # doi2000: at 20 degC uptake was markedly lower with 2.3 kPa of vapour than with 1.4 kPa.
    def uptake(vapour_kpa):
        humidity = vapour_kpa / 2.338 * 100
        air = vapour_pressure_deficit_kpa(20, humidity)
        return uptake_ml_per_day(1, 15, air, ROWS["reference-vpd"]["value"]).value

    assert uptake(1.4) == pytest.approx(15, rel=0.02)
    assert uptake(2.3) < 0.1 * uptake(1.4)


def test_reference_air_is_the_standard_room():
    air = vapour_pressure_deficit_kpa((19, 21), (57.5, 62.5))
    row = ROWS["reference-vpd"]
    assert air.value == pytest.approx(row["value"], abs=0.01)
    assert (air.low, air.high) == pytest.approx((row["low"], row["high"]), abs=0.02)


def test_baby_blue_eucalyptus():
    # euc_glycerin: more than 270 ml for three stems in fourteen days.
    assert ROWS["uptake-anchor-eucalyptus"]["low"] == pytest.approx(270 / 3 / 14, abs=0.05)
    assert ROWS["uptake-foliage"]["low"] <= 6.4 <= ROWS["uptake-foliage"]["high"]
