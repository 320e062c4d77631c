"""The record of learners, schedules and answers: one SQLite file in the user's data folder.

Every write is one transaction, so a kill at any moment leaves the last whole answer. Several processes may use the
file at once: an answer is read, rescheduled and written under the same lock. Anything that stops the store from
working is one `StoreError` with one sentence, raised before anything was changed.
"""

from __future__ import annotations

import sqlite3
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from assistant.drill.schedule import Memory
from assistant.language.cleaning import safe_text
from assistant.locations import data_folder

VERSION = 1
APPLICATION_ID = 0x62756B71  # "bukq"
DATA_VARIABLE = "BUCKETSIDE_DATA"
FILE_NAME = "drill.sqlite3"
_BUSY_SECONDS = 10.0
MOST_NAME = 60

_SCHEMA = """
CREATE TABLE learners (
  id INTEGER PRIMARY KEY, key TEXT NOT NULL UNIQUE, name TEXT NOT NULL, since TEXT NOT NULL
) STRICT;
CREATE TABLE memories (
  learner INTEGER NOT NULL REFERENCES learners(id) ON DELETE CASCADE, item TEXT NOT NULL,
  due TEXT NOT NULL, last_review TEXT, stability REAL, difficulty REAL, state INTEGER NOT NULL, step INTEGER,
  reps INTEGER NOT NULL, lapses INTEGER NOT NULL, fingerprint TEXT NOT NULL,
  retired INTEGER NOT NULL DEFAULT 0, changed INTEGER NOT NULL DEFAULT 0,
  PRIMARY KEY (learner, item)
) STRICT, WITHOUT ROWID;
CREATE TABLE answers (
  id INTEGER PRIMARY KEY, learner INTEGER NOT NULL REFERENCES learners(id) ON DELETE CASCADE,
  item TEXT NOT NULL, topic TEXT NOT NULL, at TEXT NOT NULL, session TEXT NOT NULL,
  question TEXT NOT NULL, said TEXT NOT NULL, verdict TEXT NOT NULL, credit REAL NOT NULL
) STRICT;
CREATE INDEX answers_by_learner ON answers (learner, at);
CREATE TABLE lists (key TEXT PRIMARY KEY, name TEXT NOT NULL, entries TEXT NOT NULL) STRICT, WITHOUT ROWID;
"""


class StoreError(Exception):
    """The record can't be used as it is; the message is one sentence for the user, and nothing was changed."""


@dataclass(frozen=True, slots=True)
class Learner:
    id: int
    name: str


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer as it was given."""

    item: str
    topic: str
    at: datetime
    session: str
    question: str
    said: str
    verdict: str
    credit: float


class Store:
    """An open record. Use it as a context manager, or `close` it.

    Args:
        path: the file; its folder is made if need be. None: the usual place.
        read_only: look only; works in a folder that can't be written to.

    Raises:
        StoreError: for a folder or file that can't be written, a file that is no quiz record, or one made by a
            newer version.
    """

    def __init__(self, path: Path | None = None, *, read_only: bool = False) -> None:
        self.path = (path or data_folder() / FILE_NAME).absolute()
        self.read_only = read_only
        try:
            self._db = self._opened()
        except sqlite3.Error as error:
            raise StoreError(self._sentence(error)) from error

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        self._db.close()

    # --- opening ------------------------------------------------------------------------------------------------

    def _opened(self) -> sqlite3.Connection:
        exists = self.path.exists()
        if self.read_only:
            if not exists:
                raise StoreError(f"There is no quiz record in {self.path.parent} yet.")
            return self._looked_at()
        if exists:
            self._looked_at().close()  # refuses what is newer or not ours before anything is touched
        else:
            try:
                self.path.parent.mkdir(parents=True, exist_ok=True)
            except OSError as error:
                raise StoreError(self._unwritable(error.strerror or str(error))) from error
        db = self._connect("rwc")
        try:
            self._settle(db)
        except BaseException:
            db.close()
            raise
        return db

    def _connect(self, mode: str, immutable: bool = False) -> sqlite3.Connection:
        uri = f"{self.path.as_uri()}?mode={mode}" + ("&immutable=1" if immutable else "")
        db = sqlite3.connect(uri, uri=True, timeout=_BUSY_SECONDS, isolation_level=None)
        db.execute("PRAGMA foreign_keys = ON")
        return db

    def _looked_at(self) -> sqlite3.Connection:
        """A read-only connection to a file that is a quiz record of this version or older."""
        db = self._connect("ro")
        try:
            try:
                version = _pragma(db, "user_version")
            except sqlite3.OperationalError:
                # In a folder nobody can write to, SQLite can't make its side files; with no unfinished log it need not.
                log = self.path.with_name(self.path.name + "-wal")
                if log.exists() and log.stat().st_size:
                    raise
                db.close()
                db = self._connect("ro", immutable=True)
                version = _pragma(db, "user_version")
            if version > VERSION:
                raise StoreError(
                    f"The quiz record {self.path} was made by a newer version of Bucketside (format {version}, "
                    f"this one knows {VERSION}); "
                    "update Bucketside, nothing was changed."
                )
            tables = db.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
            if (tables or version) and _pragma(db, "application_id") != APPLICATION_ID:
                raise StoreError(
                    f"{self.path} is a database, but not a quiz record; move it away or set {DATA_VARIABLE}, "
                    "nothing was changed."
                )
        except BaseException:
            db.close()
            raise
        return db

    def _settle(self, db: sqlite3.Connection) -> None:
        """Write-ahead logging, full syncs, and the tables if they are not there."""
        deadline = time.monotonic() + _BUSY_SECONDS
        while True:
            try:
                db.execute("PRAGMA journal_mode = WAL").fetchone()
                break
            except sqlite3.OperationalError as error:
                # The change of mode does not wait for another process that is changing it too.
                if "locked" not in str(error) or time.monotonic() > deadline:
                    raise
                time.sleep(0.02)
        db.execute("PRAGMA synchronous = FULL")
        db.execute("BEGIN IMMEDIATE")  # shows at once whether the file can be written
        if _pragma(db, "user_version") == 0:
            for statement in _SCHEMA.split(";\n"):
                if statement.strip():
                    db.execute(statement)
            db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
            db.execute(f"PRAGMA user_version = {VERSION}")
        db.execute("COMMIT")

    def _unwritable(self, reason: str) -> str:
        return (
            f"The quiz can't write its record in {self.path.parent} ({reason.lower()}); make the folder writable "
            f"or set {DATA_VARIABLE} "
            "to another one, nothing was changed."
        )

    def _sentence(self, error: sqlite3.Error) -> str:
        text = str(error).lower()
        if "readonly" in text or "unable to open" in text or "permission" in text:
            return self._unwritable(str(error))
        if "locked" in text or "busy" in text:
            return (
                f"Another program is holding the quiz record {self.path}; close it and try again, nothing was changed."
            )
        if "full" in text:
            return f"The disk is full, so the quiz can't write to {self.path}; the answers before this one are safe."
        if "not a database" in text or "malformed" in text:
            return f"{self.path} is damaged or is no quiz record; move it away or restore a copy, nothing was changed."
        return f"The quiz record {self.path} can't be used: {error}."

    # --- reading and writing --------------------------------------------------------------------------------------

    @contextmanager
    def _writing(self) -> Iterator[sqlite3.Connection]:
        if self.read_only:
            raise StoreError("The quiz record was opened for reading only.")
        try:
            self._db.execute("BEGIN IMMEDIATE")
            try:
                yield self._db
                self._db.execute("COMMIT")
            except BaseException:
                with suppress(sqlite3.Error):
                    if self._db.in_transaction:
                        self._db.execute("ROLLBACK")
                raise
        except sqlite3.Error as error:
            raise StoreError(self._sentence(error)) from error

    def _rows(self, sql: str, values: Iterable[Any] = ()) -> list[Any]:
        try:
            return self._db.execute(sql, tuple(values)).fetchall()
        except sqlite3.Error as error:
            raise StoreError(self._sentence(error)) from error

    # --- learners -------------------------------------------------------------------------------------------------

    def learner(self, name: str, now: datetime) -> Learner:
        """The learner of that name, made if new. Upper and lower case are the same person.

        Raises:
            StoreError: for an empty or overlong name.
        """
        shown = safe_text(name)
        if not shown or len(shown) > MOST_NAME:
            raise StoreError(f"A learner's name has 1 to {MOST_NAME} characters.")
        key = shown.casefold()
        with self._writing() as db:
            db.execute(
                "INSERT INTO learners (key, name, since) VALUES (?, ?, ?) ON CONFLICT (key) DO NOTHING",
                (key, shown, _text(now)),
            )
            row = db.execute("SELECT id, name FROM learners WHERE key = ?", (key,)).fetchone()
        return Learner(row[0], row[1])

    def find_learner(self, name: str) -> Learner | None:
        rows = self._rows("SELECT id, name FROM learners WHERE key = ?", (safe_text(name).casefold(),))
        return Learner(*rows[0]) if rows else None

    def learners(self) -> tuple[Learner, ...]:
        return tuple(Learner(*row) for row in self._rows("SELECT id, name FROM learners ORDER BY key"))

    def forget(self, learner: Learner) -> None:
        """Remove a learner with every answer and schedule."""
        with self._writing() as db:
            db.execute("DELETE FROM learners WHERE id = ?", (learner.id,))

    # --- schedules and answers ------------------------------------------------------------------------------------

    def memories(self, learner: Learner) -> dict[str, Memory]:
        """Everything the schedule holds for a learner, retired items included."""
        rows = self._rows(f"SELECT {_MEMORY_COLUMNS} FROM memories WHERE learner = ?", (learner.id,))
        return {row[0]: _memory(row) for row in rows}

    def record(self, learner: Learner, answered: Answered, review: Callable[[Memory | None], Memory]) -> Memory:
        """Write one answer and the new schedule of its item, both or neither.

        `review` gets the schedule as it stands under the lock, so that two processes never lose an answer.
        """
        with self._writing() as db:
            row = db.execute(
                f"SELECT {_MEMORY_COLUMNS} FROM memories WHERE learner = ? AND item = ?", (learner.id, answered.item)
            ).fetchone()
            after = review(_memory(row) if row else None)
            db.execute(
                f"INSERT OR REPLACE INTO memories (learner, {_MEMORY_COLUMNS}) VALUES (?, ?, ?, ?, ?, ?, ?, ?, "
                "?, ?, ?, ?, ?)",
                (
                    learner.id,
                    after.item,
                    _text(after.due),
                    _text(after.last_review) if after.last_review else None,
                    after.stability,
                    after.difficulty,
                    after.state,
                    after.step,
                    after.reps,
                    after.lapses,
                    after.fingerprint,
                    int(after.retired),
                    int(after.changed),
                ),
            )
            db.execute(
                "INSERT INTO answers (learner, item, topic, at, session, question, said, verdict, credit) VALUES "
                "(?, ?, ?, ?, ?, ?, ?, ?, ?)",
                (
                    learner.id,
                    answered.item,
                    answered.topic,
                    _text(answered.at),
                    answered.session,
                    answered.question,
                    answered.said,
                    answered.verdict,
                    answered.credit,
                ),
            )
        return after

    def follow(self, fingerprints: Mapping[str, str], now: datetime, learner: Learner | None = None) -> tuple[int, int]:
        """Bring schedules in line with the handbook.

        An item whose right answer changed is due now; one that vanished is retired and keeps its schedule; one that
        is back is taken up where it stood. Returns how many changed and how many were retired.
        """
        where, values = ("WHERE learner = ?", (learner.id,)) if learner else ("", ())
        rows = self._rows(f"SELECT learner, item, fingerprint, retired FROM memories {where}", values)
        gone = [(who, item) for who, item, _, retired in rows if item not in fingerprints and not retired]
        back = [(who, item) for who, item, _, retired in rows if item in fingerprints and retired]
        changed = [
            (fingerprints[item], _text(now), who, item, old)
            for who, item, old, _ in rows
            if item in fingerprints and fingerprints[item] != old
        ]
        if not (gone or back or changed):
            return 0, 0
        with self._writing() as db:
            db.executemany("UPDATE memories SET retired = 1 WHERE learner = ? AND item = ?", gone)
            db.executemany("UPDATE memories SET retired = 0 WHERE learner = ? AND item = ?", back)
            db.executemany(
                "UPDATE memories SET fingerprint = ?, changed = 1, due = min(due, ?) WHERE learner = ? AND item "
                "= ? AND fingerprint = ?",
                changed,
            )
        return len(changed), len(gone)

    def answers(self, learner: Learner) -> tuple[Answered, ...]:
        """All answers of a learner, oldest first."""
        rows = self._rows(
            "SELECT item, topic, at, session, question, said, verdict, credit FROM answers WHERE learner = ? "
            "ORDER BY at, id",
            (learner.id,),
        )
        return tuple(Answered(r[0], r[1], datetime.fromisoformat(r[2]), *r[3:]) for r in rows)

    # --- a trainer's lists ----------------------------------------------------------------------------------------

    def save_list(self, name: str, entries: Iterable[str]) -> None:
        """Keep a list of entry ids under a name, in place of an older one of that name."""
        shown = safe_text(name)
        if not shown or len(shown) > MOST_NAME:
            raise StoreError(f"A list's name has 1 to {MOST_NAME} characters.")
        with self._writing() as db:
            db.execute(
                "INSERT OR REPLACE INTO lists (key, name, entries) VALUES (?, ?, ?)",
                (shown.casefold(), shown, " ".join(entries)),
            )

    def remove_list(self, name: str) -> bool:
        with self._writing() as db:
            return db.execute("DELETE FROM lists WHERE key = ?", (safe_text(name).casefold(),)).rowcount > 0

    def lists(self) -> dict[str, tuple[str, ...]]:
        return {row[0]: tuple(row[1].split()) for row in self._rows("SELECT name, entries FROM lists ORDER BY key")}

    def is_sound(self) -> bool:
        """SQLite's own check of the file, and that every schedule stands on as many answers as it counts."""
        if self._rows("PRAGMA integrity_check") != [("ok",)]:
            return False
        return not self._rows(
            "SELECT 1 FROM memories m WHERE m.reps != (SELECT count(*) FROM answers a WHERE a.learner = "
            "m.learner AND a.item = m.item) LIMIT 1"
        )


_MEMORY_COLUMNS = (
    "item, due, last_review, stability, difficulty, state, step, reps, lapses, fingerprint, retired, changed"
)


def _memory(row: Any) -> Memory:
    item, due, last, stability, difficulty, state, step, reps, lapses, fingerprint, retired, changed = row
    return Memory(
        item,
        datetime.fromisoformat(due),
        datetime.fromisoformat(last) if last else None,
        stability,
        difficulty,
        state,
        step,
        reps,
        lapses,
        fingerprint,
        bool(retired),
        bool(changed),
    )


def _text(moment: datetime) -> str:
    """UTC with fixed width, so that text order is time order."""
    return moment.astimezone(UTC).isoformat(timespec="microseconds")


def _pragma(db: sqlite3.Connection, name: str) -> int:
    return int(db.execute(f"PRAGMA {name}").fetchone()[0])
