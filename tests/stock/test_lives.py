"""Days left of a lot are the longevity calculator's, from the lot's own history."""

from __future__ import annotations

from datetime import date, timedelta

from assistant.calculators.longevity import LifeConstants, days_remaining, shelf_days_remaining
from assistant.calculators.ranges import Estimate
from assistant.handbook.loading import Handbook
from assistant.stock.ledger import Ledger
from assistant.stock.lives import Lives, storage_life, use_first
from assistant.stock.lots import NewLot, Stand

from .conftest import MONDAY, TODAY, in_cooler, lot, on_bench


def constants(handbook: Handbook) -> LifeConstants:
    rows = handbook.table("longevity").constants
    return LifeConstants.from_rows({row.id: Estimate(row.span[0], row.value, row.span[1]) for row in rows})


def test_a_moved_lot_has_what_the_calculator_says(handbook: Handbook, ledger: Ledger) -> None:
    (number,) = ledger.receive([lot("lisianthus")])
    ledger.move([(number, on_bench(TODAY))])
    on = date(2026, 11, 28)
    material = handbook.materials["lisianthus"]
    legs = ledger.lot(number).legs(on)
    found = Lives(handbook).left(material, legs, display_degC=22.0, support="plain-water")
    assert material.vase_life is not None
    q10 = next(row for row in handbook.table("longevity").constants if row.id == "q10")
    expected = days_remaining(
        material.vase_life.span, display_degC=22.0, q10=Estimate(q10.span[0], q10.value, q10.span[1]),
        constants=constants(handbook), legs=legs, support="plain-water", measured_degC=material.vase_life.degC,
        measured_support=material.vase_life.support, storage_life_d=storage_life(material, legs),  # type: ignore[arg-type]
        out_of_water_d=material.out_of_water.span if material.out_of_water else None,
    )  # fmt: skip
    assert found is not None
    assert found.days == expected.remaining_d
    assert found.warnings == expected.warnings


def test_dried_material_ages_on_the_shelf_from_receipt(handbook: Handbook, ledger: Ledger) -> None:
    came = date(2026, 5, 25)
    (number,) = ledger.receive([NewLot("bunny-tail", 100, Stand(came, "out-of-water", 12, 22))])
    (row,) = use_first(ledger.lots(), handbook, TODAY)
    keeping = handbook.materials["bunny-tail"].keeping
    assert keeping is not None
    expected = shelf_days_remaining(keeping.shelf_life.span, kept_d=float((TODAY - came).days))
    assert row.left is not None
    assert row.left.days == expected.remaining_d
    assert row.lot.id == number


def test_first_to_use_is_first_to_expire(handbook: Handbook, ledger: Ledger) -> None:
    old, new, gone, dry = ledger.receive(
        [
            lot(),
            lot(stand=in_cooler(TODAY)),
            lot(stems=1),
            lot("bunny-tail", stand=Stand(TODAY, "out-of-water", 15, 20)),
        ]
    )
    ledger.move([(old, on_bench(MONDAY))])
    ledger.take([(gone, 1)], "used", TODAY)
    rows = use_first(ledger.lots(with_empty=True), handbook, TODAY)
    assert [row.lot.id for row in rows] == [old, new, dry]
    lows = [row.left.days.low for row in rows if row.left]
    assert lows == sorted(lows)
    assert rows[0].left is not None
    assert rows[0].use_by == TODAY + timedelta(days=int(rows[0].left.days.low))


def test_a_material_the_handbook_no_longer_has_stands_at_the_end(handbook: Handbook, ledger: Ledger) -> None:
    ledger.receive([lot("moon-flower"), lot()])
    rows = use_first(ledger.lots(), handbook, TODAY)
    assert [row.lot.material for row in rows] == ["rose", "moon-flower"]
    assert rows[1].left is None
    assert rows[1].use_by is None


def test_a_warmer_display_and_a_longer_stay_leave_less(handbook: Handbook, ledger: Ledger) -> None:
    ledger.receive([lot()])

    def left(on: date, degrees: float) -> float:
        (row,) = use_first(ledger.lots(), handbook, on, display_degC=degrees)
        assert row.left is not None
        return row.left.days.value

    assert left(TODAY, 26.0) < left(TODAY, 20.0)
    assert left(TODAY + timedelta(days=5), 20.0) < left(TODAY, 20.0)


def test_storage_life_follows_the_way_it_was_stored(handbook: Handbook, ledger: Ledger) -> None:
    material = handbook.materials["spray-carnation"]
    dry = ledger.receive([lot("spray-carnation", stand=Stand(MONDAY, "cooler-dry", 0, 1))])[0]
    wet = ledger.receive([lot("spray-carnation")])[0]
    for number, way in ((dry, "dry"), (wet, "wet")):
        records = [r.days for r in material.storage if r.days and r.method in (way, "either")]
        ends = [end for pair in records for end in pair if end is not None]
        found = storage_life(material, ledger.lot(number).legs(TODAY))
        assert found == Estimate(min(ends), (min(ends) + max(ends)) / 2, max(ends))
