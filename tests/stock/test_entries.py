"""Bunches to stems, places to stands."""

from __future__ import annotations

import dataclasses

import pytest

from assistant.calculators.ranges import exact
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material, Pack
from assistant.stock.entries import chill_warning, new_lot, pack_of, stand_for, usual_air
from assistant.stock.lots import StockError

from .conftest import MONDAY, in_cooler


def material(**changes: object) -> Material:
    base: dict[str, object] = {
        "id": "test-flower", "name": "test flower", "botanical": "Testa florum", "kind": "flower", "roles": ["mass"],
        "summary": "A flower for tests.",
    }  # fmt: skip
    return Material.model_validate(base | changes)


PACKS = [
    {"market": "EU", "stems": [10, 12], "basis": "practice"},
    {"market": "US", "stems": [25, 25], "basis": "practice"},
]


@pytest.mark.parametrize(("market", "low", "where"), [("EU", 10, "EU"), ("US", 25, "US"), ("UK", 10, "EU")])
def test_packs_are_of_the_market_or_the_nearest_known(market: str, low: float, where: str) -> None:
    pack = pack_of(material(packs=PACKS), market)
    assert pack is not None
    assert (pack.stems.low, pack.market) == (low, where)


def test_an_open_pack_and_one_by_weight() -> None:
    pack = pack_of(material(packs=[{"market": "any", "stems": [None, 8], "basis": "practice"}]), "EU")
    assert pack is not None
    assert pack.stems == exact(8.0)
    grams = [{"market": "any", "grams": [100, 150], "basis": "practice"}]
    assert pack_of(material(packs=grams), "EU") is None
    with pytest.raises(StockError, match="no stem count"):
        new_lot(material(packs=grams), in_cooler(), bunches=2)
    assert new_lot(material(packs=grams), in_cooler(), bunches=2, stems_per_bunch=9).stems == 18


def test_bunches_count_at_the_small_end_and_prices_follow() -> None:
    lot = new_lot(material(packs=PACKS), in_cooler(), bunches=3, price=4.0)
    assert (lot.stems, lot.paid) == (30, 12.0)
    assert new_lot(material(packs=PACKS), in_cooler(), stems=25, price=4.0).paid == pytest.approx(10.0)
    assert new_lot(material(packs=PACKS), in_cooler(), stems=25, price=4.0, price_per="lot").paid == 4.0
    assert new_lot(material(packs=PACKS), in_cooler(), stems=25, price=4.0, price_per="stem").paid == 100.0
    with pytest.raises(StockError, match="not counted"):
        new_lot(material(), in_cooler(), stems=25, price=4.0)
    with pytest.raises(StockError, match="How many"):
        new_lot(material(), in_cooler())


def test_where_a_lot_stands(handbook: Handbook) -> None:
    fresh = material()
    cooler = stand_for(fresh, handbook, MONDAY, "cooler")
    assert (cooler.method, cooler.low_degC, cooler.high_degC) == ("cooler-wet", *usual_air(handbook, "cooler")[::2])
    assert stand_for(fresh, handbook, MONDAY, "cooler", in_box=True).method == "cooler-dry"
    assert stand_for(fresh, handbook, MONDAY, "bench", in_box=True).method == "out-of-water"
    assert stand_for(fresh, handbook, MONDAY, "bench", plain_water=True).method == "plain-water"
    assert stand_for(fresh, handbook, MONDAY, "bench", degC=exact(17.0)).high_degC == 17.0
    dry = handbook.materials["bunny-tail"]
    assert stand_for(dry, handbook, MONDAY, "cooler").method == "out-of-water"
    assert stand_for(dry, handbook, MONDAY, "bench").high_degC == usual_air(handbook, "dry").high


def test_a_handbook_without_places_asks_how_warm_it_is(handbook: Handbook) -> None:
    with pytest.raises(StockError, match="say how warm"):
        usual_air(dataclasses.replace(handbook, tables={}), "cooler")


def test_cold_warnings() -> None:
    chilly = material(chilling_threshold={"low": 10, "high": 12, "unit": "degC", "basis": "practice"})
    assert chill_warning(chilly, in_cooler()) == "Test flower is hurt below 12 °C; keep it warmer."
    frosty = material(freezing_point={"low": -1, "high": -0.5, "unit": "degC", "basis": "practice"})
    assert chill_warning(frosty, in_cooler(low=-1.0)) == "-1 °C may freeze test flower."
    assert chill_warning(frosty, in_cooler()) is None


def test_packs_are_models() -> None:
    assert Pack.model_validate(PACKS[0]).stems == (10.0, 12.0)
