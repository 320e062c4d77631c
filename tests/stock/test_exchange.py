"""Stock to CSV and back."""

from __future__ import annotations

import csv
import io
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.handbook.loading import Handbook
from assistant.stock.exchange import COLUMNS, from_csv, import_lots, to_csv
from assistant.stock.ledger import Ledger
from assistant.stock.lots import NewLot, Stand, StockError

from .conftest import MONDAY, TODAY, lot, on_bench


def filled(ledger: Ledger) -> None:
    one, _ = ledger.receive([NewLot("lisianthus", 30, lot().stand, 34.5, "white, the good grower"), lot("salal", 40)])
    ledger.move([(one, on_bench(date(2026, 11, 24)))])
    ledger.take([(one, 2)], "discarded", TODAY, "grey mould")
    ledger.take([(one, 10)], "sold", TODAY)


def without_ids(ledger: Ledger) -> list[tuple[object, ...]]:
    return [(x.key, x.material, x.stems, x.paid, x.note, x.stands, x.uses) for x in ledger.lots(with_empty=True)]


def test_everything_comes_back(ledger: Ledger, handbook: Handbook, tmp_path: Path) -> None:
    filled(ledger)
    text = to_csv(ledger.lots(with_empty=True))
    read = from_csv(text, handbook, file="x.csv", today=TODAY)
    assert read.problems == ()
    with Ledger(tmp_path / "other.sqlite") as other:
        assert import_lots(other, read) == (2, 0)
        assert without_ids(other) == without_ids(ledger)
        assert import_lots(other, read) == (0, 2)  # a second time nothing is doubled
        assert len(other.lots(with_empty=True)) == 2


_NOTES = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp"]), max_size=30).map(
    lambda text: " ".join(text.split())
)


@settings(suppress_health_check=[HealthCheck.function_scoped_fixture], deadline=None, max_examples=30)
@given(note=_NOTES, stems=st.integers(1, 99_999), low=st.floats(-5, 20), more=st.floats(0, 5))
def test_any_lot_comes_back(
    note: str, stems: int, low: float, more: float, handbook: Handbook, tmp_path_factory: pytest.TempPathFactory
) -> None:
    stand = Stand(MONDAY, "cooler-wet", round(low, 1), round(low, 1) + round(more, 1))
    with Ledger(tmp_path_factory.mktemp("csv") / "a.sqlite") as ledger:
        ledger.receive([NewLot("rose", stems, stand, None, note)])
        (found,) = ledger.lots()
        read = from_csv(to_csv([found]), handbook, file="x", today=TODAY)
    assert read.problems == ()
    ((new, stands, uses),) = read.lots
    assert (new.note, new.stems, stands, uses) == (note, stems, (), ())
    assert new.stand.low_degC == pytest.approx(stand.low_degC)


@pytest.mark.parametrize("note", ["=HYPERLINK(1)", "+1", "-1", "@sum", "'=quoted"])
def test_no_cell_of_text_runs_as_a_formula(note: str, ledger: Ledger, handbook: Handbook) -> None:
    ledger.receive([lot(note=note)])
    text = to_csv(ledger.lots())
    row = next(csv.DictReader(io.StringIO(text)))
    assert row["note"].startswith("'")
    assert from_csv(text, handbook, file="x", today=TODAY).lots[0][0].note == note


def test_a_list_written_by_hand_needs_little(handbook: Handbook) -> None:
    text = "material,day,stems,bunches\nrose,2026-11-23,40,\nsalal,2026-11-24,,2\nbunny-tail,2026-11-24,,1\n"
    read = from_csv(text, handbook, file="x", today=TODAY)
    assert read.problems == ()
    assert [new.stand.method for new, _, _ in read.lots] == ["cooler-wet", "cooler-wet", "out-of-water"]
    assert read.lots[0][0].stems == 40


@pytest.mark.parametrize(
    ("rows", "line", "words"),
    [
        ("rose,2026-11-23,40,received,1", None, ""),
        ("moon,2026-11-23,40,,", 2, "no material 'moon'"),
        ("rose,23 Nov,40,,", 2, "must look like 2026-12-07"),
        ("rose,2027-01-01,40,,", 2, "has not come yet"),
        ("rose,2026-11-23,,,", 2, "How many stems"),
        ("rose,2026-11-23,4.5,,", 2, "whole stems"),
        ("rose,2026-11-23,many,,", 2, "must be a number"),
        ("rose,2026-11-23,1e30,,", 2, "plain number"),
        ("rose,2026-11-23,40,eaten,1", 2, "event is one of"),
        (",2026-11-23,4,used,1", 2, "no row 'received' above"),
        ("rose,2026-11-23,40,received,1\nrose,2026-11-23,40,received,1", 3, "received twice"),
        ("rose,2026-11-23,40,,,too many", 2, "more cells"),
    ],
)
def test_every_wrong_row_is_named_by_its_line(rows: str, line: int | None, words: str, handbook: Handbook) -> None:
    read = from_csv(f"material,day,stems,event,lot\n{rows}\n", handbook, file="x.csv", today=TODAY)
    if line is None:
        assert read.problems == ()
        return
    (problem,) = read.problems
    assert (problem.file, problem.line) == ("x.csv", line)
    assert words in problem.message


def test_a_file_with_a_wrong_row_writes_nothing(ledger: Ledger, handbook: Handbook) -> None:
    read = from_csv("material,day,stems\nrose,2026-11-23,40\nmoon,2026-11-23,1\n", handbook, file="x", today=TODAY)
    with pytest.raises(StockError, match="nothing was written"):
        import_lots(ledger, read)
    assert ledger.lots() == ()


def test_uses_beyond_the_lot_undo_the_whole_import(ledger: Ledger, handbook: Handbook) -> None:
    rows = ("1,received,rose,2026-11-23,40", "2,received,tulip,2026-11-23,5", "2,sold,,2026-11-24,9")
    text = "\n".join(("lot,event,material,day,stems", *rows))
    read = from_csv(text, handbook, file="x", today=TODAY)
    with pytest.raises(StockError, match="5 stems left, not 9"):
        import_lots(ledger, read)
    assert ledger.lots(with_empty=True) == ()


@pytest.mark.parametrize("text", ["", "flower,when\nrose,now\n"])
def test_a_wrong_heading_is_said_with_the_right_one(text: str, handbook: Handbook) -> None:
    read = from_csv(text, handbook, file="x", today=TODAY)
    assert ", ".join(COLUMNS) in read.problems[0].message


def test_a_spreadsheets_byte_order_mark_is_no_trouble(handbook: Handbook) -> None:
    assert from_csv("\ufeffmaterial,day,stems\nrose,2026-11-23,4\n", handbook, file="x", today=TODAY).problems == ()
