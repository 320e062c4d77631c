"""The weights at which the filled-weight figure starts to warn, against published lifting guidance."""

from pathlib import Path

import pytest
import yaml

from assistant.calculators.units import convert
from assistant.calculators.water import filled_weight

TABLE = Path(__file__).resolve().parents[2] / "knowledge" / "tables" / "water.yaml"
ROWS = yaml.safe_load(TABLE.read_text(encoding="utf-8"))["constants"]
ROW = next(row for row in ROWS if row["id"] == "lifting-alone")


def test_the_table_says_what_the_guidance_says():
    # hse_indg143: 16 kg women, 25 kg men at waist height, close; niosh_lift: 23 kg (51 lb) in the ideal case.
    assert (ROW["low"], ROW["value"], ROW["high"]) == (16, 23, 25)
    assert convert(51, "lb", "kg") == pytest.approx(23, abs=0.2)


@pytest.mark.parametrize(("litres", "flag"), [(10, "light"), (18, "take_care"), (30, "two_people")])
def test_flags(litres, flag):
    assert filled_weight(litres * 1000, vessel_kg=1, limit_kg=(ROW["low"], ROW["high"])).flag == flag


def test_water_is_close_enough_to_a_kilogram_a_litre():
    # openstax_chem: 0.9982 g/ml at 20 degC, 0.9957 at 30 degC; the calculator says 1.
    weight = filled_weight(10_000, vessel_kg=0, limit_kg=(16, 25)).weight_kg.value
    assert weight == pytest.approx(10 * 0.9982, rel=0.005)
    assert weight == pytest.approx(10 * 0.9957, rel=0.005)
