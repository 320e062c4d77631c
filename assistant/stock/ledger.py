"""The stock ledger: one SQLite file, every change a transaction, safe against a kill at any moment.

The file is in write-ahead mode with full synchronisation: a change is either wholly there or not at all, readers are
never held up by a writer, and two programs may use it at once (the second writer waits). A file of a newer version is
recognised from its header before SQLite touches it.
"""

from __future__ import annotations

import sqlite3
import time
import uuid
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import replace
from datetime import date
from pathlib import Path
from types import TracebackType
from typing import Self

from assistant.calculators.ranges import within
from assistant.language.cleaning import safe_text
from assistant.stock.folder import stock_file
from assistant.stock.lots import USE_KINDS, Lot, NewLot, Stand, StockError, Use, UseKind

APPLICATION_ID = 0x62756B73  # "buks"
VERSION = 1
_WAIT_S = 10.0
_MOST_STEMS = 100_000
_MOST_NOTE = 500

_SCHEMA = """
CREATE TABLE lots (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    key TEXT NOT NULL UNIQUE,
    material TEXT NOT NULL,
    stems INTEGER NOT NULL CHECK (stems > 0),
    paid REAL CHECK (paid >= 0),
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE TABLE stands (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    lot INTEGER NOT NULL REFERENCES lots (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    method TEXT NOT NULL,
    low_degc REAL NOT NULL,
    high_degc REAL NOT NULL CHECK (high_degc >= low_degc)
) STRICT;
CREATE TABLE uses (
    id INTEGER PRIMARY KEY AUTOINCREMENT,
    lot INTEGER NOT NULL REFERENCES lots (id) ON DELETE CASCADE,
    day TEXT NOT NULL,
    kind TEXT NOT NULL CHECK (kind IN ('used', 'sold', 'discarded')),
    stems INTEGER NOT NULL CHECK (stems > 0),
    note TEXT NOT NULL DEFAULT ''
) STRICT;
CREATE INDEX stands_of_lot ON stands (lot);
CREATE INDEX uses_of_lot ON uses (lot);
"""


class Ledger:
    """The open stock. Use it as a context manager; it is for one thread.

    Raises:
        StockError: where the file is no stock of ours, comes from a newer version, or cannot be opened.
    """

    def __init__(self, path: Path | None = None) -> None:
        self.path = path or stock_file()
        self.read_only = False
        check_header(self.path)
        self._connection = self._open()
        try:
            self._prepare()
        except BaseException:
            self._connection.close()
            raise

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self._connection.close()

    @property
    def connection(self) -> sqlite3.Connection:
        """The open connection, for backup and restore."""
        return self._connection

    # --- opening ------------------------------------------------------------------------------------------------------

    def _open(self) -> sqlite3.Connection:
        try:
            self.path.parent.mkdir(parents=True, exist_ok=True)
        except OSError as error:
            if not self.path.is_file():
                raise StockError(f"The folder {self.path.parent} can't be made: {error.strerror}.") from error
        with _plainly(self.path):
            connection = sqlite3.connect(self.path, timeout=_WAIT_S, isolation_level=None)
            try:
                _refuse_foreign(connection, self.path)
                _set_up(connection)
                return connection
            except (StockError, sqlite3.DatabaseError) as error:
                connection.close()
                unwritable = "readonly" in str(error) or "unable to open" in str(error)
                if not (isinstance(error, sqlite3.OperationalError) and unwritable):
                    raise
            if not self.path.is_file():
                raise StockError(
                    f"The folder {self.path.parent} can't be written to; choose another in BUCKETSIDE_DATA."
                )
            return self._open_to_read()

    def _open_to_read(self) -> sqlite3.Connection:
        """For a folder nobody may write in. Nobody else can be writing there either, so the file holds still."""
        self.read_only = True
        pending = self.path.with_name(self.path.name + "-wal")
        if pending.exists() and pending.stat().st_size:
            raise StockError(f"{self.path} was left in the middle of a change and its folder can't be written to now.")
        address = f"{self.path.resolve().as_uri()}?immutable=1"
        return sqlite3.connect(address, uri=True, isolation_level=None)

    def _prepare(self) -> None:
        with _plainly(self.path):
            if self._version() == VERSION:
                return
            if self.read_only:
                raise StockError(f"{self.path} is empty and its folder can't be written to.")
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                if self._version() == 0:  # another program may have made it while this one waited
                    for statement in _SCHEMA.split(";"):
                        if statement.strip():
                            self._connection.execute(statement)
                    self._connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                    self._connection.execute(f"PRAGMA user_version = {VERSION}")
                elif self._version() > VERSION:
                    raise StockError(newer(self.path, self._version()))
                self._connection.execute("COMMIT")
            except BaseException:
                self._connection.execute("ROLLBACK")
                raise

    def _version(self) -> int:
        return int(self._connection.execute("PRAGMA user_version").fetchone()[0])

    # --- reading ------------------------------------------------------------------------------------------------------

    def lots(self, *, with_empty: bool = False) -> tuple[Lot, ...]:
        """All lots with stems left, or all lots ever, oldest first, as of one moment."""
        with _plainly(self.path):
            self._connection.execute("BEGIN")
            try:
                rows = self._connection.execute("SELECT id, key, material, stems, paid, note FROM lots ORDER BY id")
                heads = rows.fetchall()
                stands: dict[int, list[Stand]] = {}
                for lot_id, day, method, low, high in self._connection.execute(
                    "SELECT lot, day, method, low_degc, high_degc FROM stands ORDER BY day, id"
                ):
                    stands.setdefault(lot_id, []).append(Stand(date.fromisoformat(day), method, low, high))
                uses: dict[int, list[Use]] = {}
                for lot_id, day, kind, count, words in self._connection.execute(
                    "SELECT lot, day, kind, stems, note FROM uses ORDER BY day, id"
                ):
                    uses.setdefault(lot_id, []).append(Use(date.fromisoformat(day), kind, count, words))
            finally:
                self._connection.execute("COMMIT")
        found = (
            Lot(lot, key, material, stems, paid, note, tuple(stands[lot]), tuple(uses.get(lot, ())))
            for lot, key, material, stems, paid, note in heads
        )
        return tuple(lot for lot in found if with_empty or lot.left > 0)

    def lot(self, lot_id: int) -> Lot:
        """One lot by its number.

        Raises:
            StockError: where there is none.
        """
        for lot in self.lots(with_empty=True):
            if lot.id == lot_id:
                return lot
        raise StockError(f"There is no lot {lot_id}; `stock list` shows the numbers.")

    # --- writing ------------------------------------------------------------------------------------------------------

    def receive(self, lots: Iterable[NewLot]) -> tuple[int, ...]:
        """Write new lots, all or none; returns their numbers.

        Raises:
            StockError: for a lot without stems, or where the file cannot be written.
        """
        checked = [_checked(lot) for lot in lots]
        with self.writing() as connection:
            return tuple(_insert(connection, lot) for lot in checked)

    def move(self, moves: Sequence[tuple[int, Stand]]) -> None:
        """From a day on these lots stand elsewhere, all or none. The day may not lie before a lot's last move.

        Raises:
            StockError: for an unknown lot, or a day before its last move.
        """
        checked = [(lot_id, stand.checked()) for lot_id, stand in moves]
        with self.writing() as connection:
            for lot_id, stand in checked:
                self._move_one(connection, lot_id, stand)

    def _move_one(self, connection: sqlite3.Connection, lot_id: int, stand: Stand) -> None:
        last = self._last_day(connection, lot_id)
        if stand.day < last:
            raise StockError(f"Lot {lot_id} was last moved on {last}; a move can't lie before that.")
        _insert_stand(connection, lot_id, stand)

    def take(self, takings: Sequence[tuple[int, int]], kind: UseKind, day: date, note: str = "") -> None:
        """Take stems from lots, (lot, stems) each, all or none: used in work, sold, or discarded.

        Raises:
            StockError: where a lot has fewer stems, or the day lies before it came.
        """
        if kind not in USE_KINDS:
            raise StockError(f"Stems are {', '.join(USE_KINDS)}; not '{kind}'.")
        with self.writing() as connection:
            for lot_id, stems in takings:
                self._take_one(connection, lot_id, Use(day, kind, stems, note))

    def _take_one(self, connection: sqlite3.Connection, lot_id: int, use: Use) -> None:
        if use.stems < 1:
            raise StockError("Take at least one stem.")
        row = connection.execute(
            "SELECT stems - coalesce((SELECT sum(stems) FROM uses WHERE lot = lots.id), 0),"
            " (SELECT min(day) FROM stands WHERE lot = lots.id) FROM lots WHERE id = ?",
            (lot_id,),
        ).fetchone()
        if row is None:
            raise StockError(f"There is no lot {lot_id}; `stock list` shows the numbers.")
        left, received = row
        if use.stems > left:
            raise StockError(f"Lot {lot_id} has {left} stems left, not {use.stems}.")
        if use.day.isoformat() < received:
            raise StockError(f"Lot {lot_id} came on {received}; nothing can leave it before that.")
        _insert_use(connection, lot_id, use)

    def remove(self, lot_id: int) -> None:
        """Take out a lot that was entered by mistake, with its history."""
        with self.writing() as connection:
            if connection.execute("DELETE FROM lots WHERE id = ?", (lot_id,)).rowcount == 0:
                raise StockError(f"There is no lot {lot_id}; `stock list` shows the numbers.")

    def take_in(self, lots: Sequence[tuple[NewLot, Sequence[Stand], Sequence[Use]]]) -> tuple[int, int]:
        """Write lots with their histories, all or none; a lot whose key is known is skipped.

        Returns (written, skipped).
        """
        written = 0
        with self.writing() as connection:
            for new, stands, uses in lots:
                known = new.key and connection.execute("SELECT 1 FROM lots WHERE key = ?", (new.key,)).fetchone()
                if known:
                    continue
                lot_id = _insert(connection, _checked(new))
                for stand in stands:
                    self._move_one(connection, lot_id, stand.checked())
                for use in uses:
                    self._take_one(connection, lot_id, use)
                written += 1
        return written, len(lots) - written

    def _last_day(self, connection: sqlite3.Connection, lot_id: int) -> date:
        row = connection.execute("SELECT max(day) FROM stands WHERE lot = ?", (lot_id,)).fetchone()
        if row[0] is None:
            raise StockError(f"There is no lot {lot_id}; `stock list` shows the numbers.")
        return date.fromisoformat(row[0])

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """One change: all of it or nothing. Waits for another writer.

        Raises:
            StockError: for a full disk, a folder that may not be written, a writer that does not let go.
        """
        if self.read_only:
            raise StockError(f"{self.path.parent} can't be written to; nothing was changed.")
        with _plainly(self.path):
            self._connection.execute("BEGIN IMMEDIATE")
            try:
                yield self._connection
                self._connection.execute("COMMIT")
            except BaseException:
                # A full disk makes SQLite roll back by itself; a second ROLLBACK would hide the reason.
                if self._connection.in_transaction:
                    self._connection.execute("ROLLBACK")
                raise


def _refuse_foreign(connection: sqlite3.Connection, path: Path) -> None:
    """Look before the first setting is changed: tables that are not ours mean somebody else's file."""
    # In this order: another program may be making the stock just now, tables and mark in one go.
    if not connection.execute("SELECT count(*) FROM sqlite_schema").fetchone()[0]:
        return
    if connection.execute("PRAGMA application_id").fetchone()[0] != APPLICATION_ID:
        raise StockError(f"{path} holds another program's data; it was left as it is.")


def _set_up(connection: sqlite3.Connection) -> None:
    """Connection settings. Taking and dropping the write lock finds out at once whether the folder can be written."""
    _into_wal(connection)
    connection.execute("PRAGMA synchronous = FULL")
    connection.execute("PRAGMA foreign_keys = ON")
    connection.execute("BEGIN IMMEDIATE")
    connection.execute("ROLLBACK")


def _into_wal(connection: sqlite3.Connection) -> None:
    """Write-ahead mode. The change of mode needs the file to itself and, unlike all else, does not wait by itself."""
    until = time.monotonic() + _WAIT_S
    while True:
        try:
            mode = connection.execute("PRAGMA journal_mode = WAL").fetchone()[0]
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.005)
            continue
        if mode != "wal":
            raise sqlite3.OperationalError("attempt to write a readonly database")
        return


def _checked(lot: NewLot) -> NewLot:
    if not lot.material:
        raise StockError("A lot needs a material.")
    if not 1 <= lot.stems <= _MOST_STEMS:
        raise StockError(f"A lot holds 1 to {_MOST_STEMS:,} stems, not {lot.stems:,}.")
    if lot.paid is not None:
        within(lot.paid, 0, 1e7, "price of the lot")
    if len(lot.note) > _MOST_NOTE:
        raise StockError(f"Keep the note under {_MOST_NOTE} characters.")
    lot.stand.checked()
    return replace(lot, note=safe_text(lot.note))


def _insert(connection: sqlite3.Connection, lot: NewLot) -> int:
    cursor = connection.execute(
        "INSERT INTO lots (key, material, stems, paid, note) VALUES (?, ?, ?, ?, ?)",
        (lot.key or uuid.uuid4().hex, lot.material, lot.stems, lot.paid, lot.note),
    )
    assert cursor.lastrowid is not None
    _insert_stand(connection, cursor.lastrowid, lot.stand)
    return cursor.lastrowid


def _insert_stand(connection: sqlite3.Connection, lot_id: int, stand: Stand) -> None:
    connection.execute(
        "INSERT INTO stands (lot, day, method, low_degc, high_degc) VALUES (?, ?, ?, ?, ?)",
        (lot_id, stand.day.isoformat(), stand.method, stand.low_degC, stand.high_degC),
    )


def _insert_use(connection: sqlite3.Connection, lot_id: int, use: Use) -> None:
    connection.execute(
        "INSERT INTO uses (lot, day, kind, stems, note) VALUES (?, ?, ?, ?, ?)",
        (lot_id, use.day.isoformat(), use.kind, use.stems, safe_text(use.note)),
    )


def newer(path: Path, version: int) -> str:
    return (
        f"{path} was written by a newer version of this program (format {version}, this one knows {VERSION}); "
        "it was left untouched. Update the program, or name another folder in BUCKETSIDE_DATA."
    )


def check_header(path: Path) -> None:
    """Look at the first bytes of a file: ours, of a version this program knows, or new.

    Reading the header instead of opening the database leaves a file from a newer version exactly as it was.

    Raises:
        StockError: for anything else.
    """
    try:
        with path.open("rb") as file:
            head = file.read(100)
    except FileNotFoundError:
        return
    except OSError as error:
        raise StockError(f"{path} can't be read: {error.strerror}.") from error
    if not head:
        return
    if len(head) < 100 or not head.startswith(b"SQLite format 3\x00"):
        raise StockError(f"{path} is not a stock file; it was left as it is.")
    version, application = int.from_bytes(head[60:64], "big"), int.from_bytes(head[68:72], "big")
    if application not in (0, APPLICATION_ID) or (application == 0 and version != 0):
        raise StockError(f"{path} holds another program's data; it was left as it is.")
    if version > VERSION:
        raise StockError(newer(path, version))


@contextmanager
def _plainly(path: Path) -> Iterator[None]:
    """SQLite's errors as one sentence a person can act on."""
    try:
        yield
    except sqlite3.OperationalError as error:
        said = str(error)
        if "full" in said:
            raise StockError("The disk is full; nothing was written. Make room and try again.") from error
        if "locked" in said or "busy" in said:
            raise StockError("Another program is writing to the stock and does not let go; try again.") from error
        if "readonly" in said:
            raise StockError(f"{path.parent} can't be written to; nothing was changed.") from error
        raise StockError(f"The stock file {path} can't be used: {said}.") from error
    except sqlite3.DatabaseError as error:
        raise StockError(f"{path} is damaged ({error}); restore a backup with `stock restore`.") from error
