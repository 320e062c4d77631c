"""Backup and restore."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.stock.keeping import back_up, restore
from assistant.stock.ledger import VERSION, Ledger
from assistant.stock.lots import StockError

from .conftest import lot


def test_a_backup_is_one_file_that_opens_like_the_stock(ledger: Ledger, tmp_path: Path) -> None:
    ledger.receive([lot(), lot("tulip")])
    target = tmp_path / "copies" / "monday.sqlite"
    back_up(ledger, target)
    assert [p.name for p in target.parent.iterdir()] == ["monday.sqlite"]
    with Ledger(target) as copy:
        assert copy.lots() == ledger.lots()


def test_a_backup_does_not_write_over_a_file_unasked(ledger: Ledger, tmp_path: Path) -> None:
    target = tmp_path / "copy.sqlite"
    target.write_text("precious")
    with pytest.raises(StockError, match="there already"):
        back_up(ledger, target)
    assert target.read_text() == "precious"
    back_up(ledger, target, overwrite=True)
    with Ledger(target) as copy:
        assert copy.lots() == ()


def test_the_stock_is_never_its_own_backup(ledger: Ledger) -> None:
    with pytest.raises(StockError, match="the stock itself"):
        back_up(ledger, ledger.path, overwrite=True)
    with pytest.raises(StockError, match="the stock itself"):
        restore(ledger, ledger.path)


def test_a_backup_into_nowhere_is_said(ledger: Ledger, tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    with pytest.raises(StockError, match="could not be written"):
        back_up(ledger, tmp_path / "file" / "copy.sqlite")


def test_restore_puts_the_copy_back_and_keeps_what_was_there(ledger: Ledger, tmp_path: Path) -> None:
    ledger.receive([lot()])
    copy = tmp_path / "copy.sqlite"
    back_up(ledger, copy)
    old = ledger.lots()
    ledger.receive([lot("tulip") for _ in range(50)])
    later = ledger.lots()
    kept = restore(ledger, copy)
    assert ledger.lots() == old
    with Ledger(kept) as before:
        assert before.lots() == later
    assert restore(ledger, kept).name != kept.name  # nothing kept is ever written over
    assert ledger.lots() == later
    ledger.receive([lot()])
    assert ledger.connection.execute("PRAGMA journal_mode").fetchone() == ("wal",)


def test_a_second_program_sees_a_restored_stock(path: Path, tmp_path: Path) -> None:
    copy = tmp_path / "copy.sqlite"
    with Ledger(path) as one, Ledger(path) as two:
        back_up(one, copy)
        two.receive([lot()])
        restore(one, copy)
        assert two.lots() == ()
        two.receive([lot("tulip")])
        assert [found.material for found in one.lots()] == ["tulip"]


def test_only_sound_copies_of_a_known_version_are_restored(ledger: Ledger, tmp_path: Path) -> None:
    ledger.receive([lot(note="n" * 400) for _ in range(200)])
    before = ledger.lots()
    copy = tmp_path / "copy.sqlite"
    back_up(ledger, copy)
    whole = copy.read_bytes()
    bad = bytearray(whole)
    bad[4096:12288] = b"\x55" * 8192
    newer = bytearray(whole)
    newer[60:64] = (VERSION + 1).to_bytes(4, "big")
    for content, words in ((bytes(bad), "damaged"), (bytes(newer), "newer version"), (b"hello", "not a stock file")):
        copy.write_bytes(content)
        with pytest.raises(StockError, match=words):
            restore(ledger, copy)
        assert ledger.lots() == before
    with pytest.raises(StockError, match="There is no file"):
        restore(ledger, tmp_path / "nothing.sqlite")
