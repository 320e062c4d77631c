"""The ledger: what is written is there, what fails leaves nothing, and nobody's file is harmed."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
import tempfile
from collections.abc import Callable
from contextlib import closing
from datetime import date
from pathlib import Path

import pytest

from assistant.calculators.longevity import Leg
from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.stock.ledger import APPLICATION_ID, VERSION, Ledger
from assistant.stock.lots import NewLot, Stand, StockError, Use

from .conftest import MONDAY, TODAY, in_cooler, lot, on_bench

ROOT = Path(__file__).resolve().parents[2]


def _run(code: str, *words: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", code, *map(str, words)]
    return subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=60)


def test_a_lot_comes_back_as_it_was_written(ledger: Ledger) -> None:
    (number,) = ledger.receive([NewLot("lisianthus", 30, in_cooler(), 34.5, "white")])
    found = ledger.lot(number)
    assert (found.material, found.stems, found.left, found.paid, found.note) == ("lisianthus", 30, 30, 34.5, "white")
    assert found.received == MONDAY
    assert found.now == in_cooler()


def test_history_becomes_legs_and_ends_today(ledger: Ledger) -> None:
    (number,) = ledger.receive([lot()])
    ledger.move([(number, on_bench(date(2026, 11, 24)))])
    legs = ledger.lot(number).legs(date(2026, 11, 27))
    assert legs == (
        Leg(1.0, Estimate(2.0, 3.0, 4.0), "cooler-wet"),
        Leg(3.0, Estimate(18.0, 18.0, 18.0), "vase-food"),
    )


def test_legs_up_to_a_day_before_the_last_move_leave_it_out(ledger: Ledger) -> None:
    (number,) = ledger.receive([lot()])
    ledger.move([(number, on_bench())])
    assert [leg.method for leg in ledger.lot(number).legs(date(2026, 11, 24))] == ["cooler-wet"]
    assert ledger.lot(number).legs(MONDAY) == ()


def test_taking_stems_counts_down_and_stops_at_nothing(ledger: Ledger) -> None:
    (number,) = ledger.receive([lot(stems=10)])
    ledger.take([(number, 6)], "used", TODAY)
    ledger.take([(number, 1)], "discarded", TODAY, "bent neck")
    assert ledger.lot(number).left == 3
    assert ledger.lot(number).gone("discarded") == 1
    with pytest.raises(StockError, match="3 stems left, not 4"):
        ledger.take([(number, 4)], "sold", TODAY)
    ledger.take([(number, 3)], "sold", TODAY)
    assert ledger.lots() == ()
    assert len(ledger.lots(with_empty=True)) == 1


def test_a_change_that_fails_halfway_leaves_nothing_behind(ledger: Ledger) -> None:
    one, two = ledger.receive([lot(stems=10), lot(stems=2)])
    with pytest.raises(StockError):
        ledger.take([(one, 5), (two, 5)], "used", TODAY)
    assert [found.left for found in ledger.lots()] == [10, 2]
    with pytest.raises(StockError):
        ledger.move([(one, on_bench()), (99, on_bench())])
    assert ledger.lot(one).now == in_cooler()


@pytest.mark.parametrize(
    ("new", "words"),
    [
        (lot(stems=0), "1 to 100,000 stems"),
        (lot(material=""), "needs a material"),
        (lot(note="x" * 501), "under 500"),
        (lot(stand=Stand(MONDAY, "on-the-roof", 1, 2)), "not 'on-the-roof'"),  # type: ignore[arg-type]
        (lot(stand=Stand(MONDAY, "cooler-wet", 4, 2)), "lower temperature first"),
    ],
)
def test_impossible_lots_are_refused_in_words(ledger: Ledger, new: NewLot, words: str) -> None:
    with pytest.raises(StockError, match=words):
        ledger.receive([lot(), new])
    assert ledger.lots() == ()


def test_impossible_temperatures_prices_and_days_are_refused(ledger: Ledger) -> None:
    with pytest.raises(OutOfRange, match="between -10 and 45"):
        ledger.receive([lot(stand=in_cooler(low=-40))])
    with pytest.raises(OutOfRange, match="price"):
        ledger.receive([NewLot("rose", 10, in_cooler(), -1.0)])
    (number,) = ledger.receive([lot(stand=in_cooler(TODAY))])
    with pytest.raises(StockError, match="nothing can leave it before"):
        ledger.take([(number, 1)], "used", MONDAY)
    with pytest.raises(StockError, match="can't lie before"):
        ledger.move([(number, on_bench(MONDAY))])


@pytest.mark.parametrize("call", ["lot", "take", "move", "remove"])
def test_an_unknown_lot_is_said(ledger: Ledger, call: str) -> None:
    calls: dict[str, Callable[[], object]] = {
        "lot": lambda: ledger.lot(7),
        "take": lambda: ledger.take([(7, 1)], "used", TODAY),
        "move": lambda: ledger.move([(7, on_bench())]),
        "remove": lambda: ledger.remove(7),
    }
    with pytest.raises(StockError, match="There is no lot 7"):
        calls[call]()


def test_removing_a_lot_takes_its_history_with_it(ledger: Ledger) -> None:
    one, two = ledger.receive([lot(), lot()])
    ledger.take([(one, 1)], "used", TODAY)
    ledger.remove(one)
    assert [found.id for found in ledger.lots(with_empty=True)] == [two]
    assert ledger.connection.execute("SELECT count(*) FROM uses").fetchone() == (0,)
    (three,) = ledger.receive([lot()])
    assert three > two  # a number is never given twice


def test_notes_lose_control_sequences_before_they_are_written(ledger: Ledger) -> None:
    (number,) = ledger.receive([lot(note="\x1b[31mred\x1b[0m\x07 ones")])
    ledger.take([(number, 1)], "used", TODAY, "\u202eback")
    found = ledger.lot(number)
    assert found.note == "red ones"
    assert found.uses[0].note == "back"


def test_a_note_is_data_and_never_sql(ledger: Ledger) -> None:
    note = "'); DROP TABLE lots; --"
    (number,) = ledger.receive([lot(note=note)])
    assert ledger.lot(number).note == note


def test_the_file_is_in_write_ahead_mode_and_fully_synchronised(ledger: Ledger) -> None:
    assert ledger.connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)
    assert ledger.connection.execute("PRAGMA synchronous").fetchone() == (2,)
    assert ledger.connection.execute("PRAGMA user_version").fetchone() == (VERSION,)


def test_two_open_ledgers_see_each_others_writes(path: Path) -> None:
    with Ledger(path) as one, Ledger(path) as two:
        one.receive([lot()])
        two.receive([lot("tulip")])
        assert [found.material for found in one.lots()] == ["rose", "tulip"]


def test_two_processes_write_at_once_and_nothing_is_lost(path: Path) -> None:
    code = (
        "import sys; from datetime import date; from pathlib import Path\n"
        "from assistant.stock.ledger import Ledger; from assistant.stock.lots import NewLot, Stand\n"
        "with Ledger(Path(sys.argv[1])) as ledger:\n"
        "    for n in range(40):\n"
        "        ledger.receive([NewLot(sys.argv[2], n + 1, Stand(date(2026, 11, 23), 'cooler-wet', 2, 4))])\n"
    )
    writers = [subprocess.Popen([sys.executable, "-c", code, str(path), name], cwd=ROOT) for name in ("rose", "tulip")]
    assert [writer.wait(60) for writer in writers] == [0, 0]
    with Ledger(path) as ledger:
        found = ledger.lots()
    for name in ("rose", "tulip"):
        assert sorted(f.stems for f in found if f.material == name) == list(range(1, 41))


def test_a_full_disk_is_said_and_leaves_the_stock_whole(ledger: Ledger) -> None:
    ledger.receive([lot()])
    pages = ledger.connection.execute("PRAGMA page_count").fetchone()[0]
    ledger.connection.execute(f"PRAGMA max_page_count = {pages}")  # SQLite's own way to run out of room
    many = [lot(note="x" * 400) for _ in range(200)]
    with pytest.raises(StockError, match="disk is full; nothing was written"):
        ledger.receive(many)
    assert len(ledger.lots()) == 1
    ledger.connection.execute("PRAGMA max_page_count = 100000")
    ledger.receive(many)
    assert len(ledger.lots()) == 201
    assert ledger.connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


_LIMITED = """
import resource, signal, sys
from datetime import date
from pathlib import Path
from assistant.stock.ledger import Ledger
from assistant.stock.lots import NewLot, Stand, StockError
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
ledger = Ledger(Path(sys.argv[1]))
ledger.receive([NewLot("rose", 5, Stand(date(2026, 11, 23), "cooler-wet", 2, 4))])
resource.setrlimit(resource.RLIMIT_FSIZE, (200_000, 200_000))
try:
    ledger.receive([NewLot("rose", 5, Stand(date(2026, 11, 23), "cooler-wet", 2, 4), None, "x" * 400)] * 2000)
except StockError as error:
    print("said:", error)
"""


def test_a_write_the_system_refuses_is_said_and_undone(path: Path) -> None:
    """The file may not grow: a real failing write, not SQLite's own limit."""
    run = _run(_LIMITED, path)
    assert run.returncode == 0, run.stderr
    assert run.stdout.startswith("said: ")
    with Ledger(path) as ledger:
        assert len(ledger.lots()) == 1
        assert ledger.connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)


_READER = """
import os, sys
from datetime import date
from pathlib import Path
from assistant.stock.ledger import Ledger
from assistant.stock.lots import StockError
if os.geteuid() == 0:
    os.setuid(65534)
with Ledger(Path(sys.argv[1])) as ledger:
    print(len(ledger.lots()), ledger.read_only)
    try:
        ledger.take([(1, 1)], "used", date(2026, 11, 25))
    except StockError as error:
        print(error)
"""


def test_a_folder_nobody_may_write_in_is_read_and_not_written() -> None:
    # Root may write anywhere, so the reader becomes nobody where the tests run as root.
    folder = Path(tempfile.mkdtemp(prefix="stock-ro-"))
    try:
        path = folder / "stock.sqlite"
        with Ledger(path) as ledger:
            ledger.receive([lot()])
        path.chmod(0o444)
        folder.chmod(0o555)
        run = _run(_READER, path)
        assert run.returncode == 0, run.stderr
        assert run.stdout.splitlines()[0] == "1 True"
        assert "can't be written to; nothing was changed" in run.stdout
        new = _run(_READER, folder / "new" / "stock.sqlite")
        assert "StockError: The folder" in new.stderr
        assert "can't be made" in new.stderr
    finally:
        folder.chmod(0o755)
        shutil.rmtree(folder)


def test_a_newer_file_is_said_and_stays_exactly_as_it_was(path: Path) -> None:
    with Ledger(path) as ledger:
        ledger.receive([lot()])
        ledger.connection.execute(f"PRAGMA user_version = {VERSION + 1}")
    before = path.read_bytes()
    with pytest.raises(StockError, match=r"newer version .* left untouched"):
        Ledger(path)
    assert path.read_bytes() == before
    assert sorted(p.name for p in path.parent.iterdir()) == ["stock.sqlite"]


def test_a_newer_file_with_an_open_writer_is_not_used_either(path: Path) -> None:
    """The new version may still stand in the write-ahead log, where the header does not show it."""
    with Ledger(path) as ledger:
        ledger.connection.execute("PRAGMA wal_autocheckpoint = 0")
        ledger.connection.execute(f"PRAGMA user_version = {VERSION + 4}")
        with pytest.raises(StockError, match="newer version"):
            Ledger(path)


def test_another_programs_database_is_left_alone(path: Path) -> None:
    path.parent.mkdir()
    with closing(sqlite3.connect(path)) as other:
        other.execute("CREATE TABLE theirs (x)")
        other.commit()
    before = path.read_bytes()
    with pytest.raises(StockError, match="another program's data"):
        Ledger(path)
    assert path.read_bytes() == before


@pytest.mark.parametrize("content", [b"PK\x03\x04 a zip", b"x" * 5000])
def test_a_file_that_is_no_database_is_left_alone(path: Path, content: bytes) -> None:
    path.parent.mkdir()
    path.write_bytes(content)
    with pytest.raises(StockError, match="not a stock file"):
        Ledger(path)
    assert path.read_bytes() == content


def test_a_damaged_file_is_said(path: Path) -> None:
    with Ledger(path) as ledger:
        ledger.receive([lot(note="n" * 400) for _ in range(200)])
    data = bytearray(path.read_bytes())
    data[4096:] = b"\x55" * (len(data) - 4096)
    path.write_bytes(data)
    with pytest.raises(StockError, match="damaged"), Ledger(path) as ledger:
        ledger.lots()


def test_an_empty_file_becomes_a_stock(path: Path) -> None:
    path.parent.mkdir()
    path.touch()
    with Ledger(path) as ledger:
        assert ledger.lots() == ()
    assert int.from_bytes(path.read_bytes()[68:72], "big") == APPLICATION_ID


def test_uses_are_in_order_of_days(ledger: Ledger) -> None:
    (number,) = ledger.receive([lot()])
    ledger.take([(number, 2)], "sold", TODAY)
    ledger.take([(number, 1)], "used", date(2026, 11, 24))
    assert ledger.lot(number).uses == (Use(date(2026, 11, 24), "used", 1), Use(TODAY, "sold", 2))
