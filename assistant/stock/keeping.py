"""Copies of the stock: back up to a file, restore from one."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing, suppress
from pathlib import Path

from assistant.stock.ledger import APPLICATION_ID, Ledger, check_header
from assistant.stock.lots import StockError


def back_up(ledger: Ledger, target: Path, *, overwrite: bool = False) -> None:
    """Write a whole, checked copy; other programs may go on writing. The target appears finished or not at all.

    Raises:
        StockError: where the target stands already or cannot be written.
    """
    if target.exists() and not overwrite:
        raise StockError(f"{target} is there already; name another file or add --force.")
    if target.exists() and target.samefile(ledger.path):
        raise StockError("That is the stock itself; name another file for the backup.")
    part = target.with_name(f"{target.name}.part{os.getpid()}")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        with closing(sqlite3.connect(part)) as copy:
            ledger.connection.backup(copy)
            # A copy that is carried elsewhere should be one file, not three.
            copy.execute("PRAGMA journal_mode = DELETE")
            _sound(copy, target)
        os.replace(part, target)
    except (OSError, sqlite3.Error) as error:
        raise StockError(f"The backup could not be written to {target}: {error}.") from error
    finally:
        with suppress(OSError):  # the reason is told by then; a leftover part must not hide it
            part.unlink(missing_ok=True)


def restore(ledger: Ledger, source: Path) -> Path:
    """Put a backup in the place of the stock, in one transaction. What was there is kept beside it; returns where.

    Raises:
        StockError: where the source is no sound stock file, or nothing can be written. The stock then stays as it was.
    """
    if not source.is_file():
        raise StockError(f"There is no file {source}.")
    if source.resolve() == ledger.path.resolve():
        raise StockError("That is the stock itself; name a backup.")
    check_header(source)
    if ledger.read_only:
        raise StockError(f"{ledger.path.parent} can't be written to; nothing was changed.")
    with closing(sqlite3.connect(f"{source.resolve().as_uri()}?mode=ro", uri=True)) as copy:
        try:
            _sound(copy, source)
        except sqlite3.Error as error:
            raise StockError(f"{source} is damaged ({error}); the stock was left as it is.") from error
        kept = _free_name(ledger.path)
        back_up(ledger, kept)
        try:
            copy.backup(ledger.connection)
        except sqlite3.Error as error:
            raise StockError(f"The backup could not be put back ({error}); the stock was left as it is.") from error
    ledger.connection.execute("PRAGMA journal_mode = WAL")
    return kept


def _free_name(path: Path) -> Path:
    number = 1
    while (name := path.with_name(f"{path.stem}-before-restore-{number}{path.suffix}")).exists():
        number += 1
    return name


def _sound(connection: sqlite3.Connection, path: Path) -> None:
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise StockError(f"{path} is not a stock file.")
    if connection.execute("PRAGMA integrity_check").fetchone()[0] != "ok":
        raise StockError(f"{path} is damaged.")
