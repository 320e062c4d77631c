"""Conversations on disk: one JSON record a line, read back one at a time so that memory stays flat.

Only the byte offset of each turn is held in memory. Where the data folder can't be written the conversation goes on
in a temporary file and is gone at the end.
"""

from __future__ import annotations

import json
import tempfile
from array import array
from collections.abc import Iterator
from contextlib import suppress
from dataclasses import dataclass
from datetime import datetime
from io import BytesIO
from pathlib import Path
from typing import IO

from assistant.dialogue.answer import Answer
from assistant.screens.records import Record

_HEAD = {"bucketside": "conversation", "version": 1}


class NotAConversation(ValueError):  # noqa: N818 (the file is the wrong one; nothing went wrong)
    """The file is not one of ours; the message is one sentence for the reader."""


class Transcript:
    """The turns of one conversation, in order. The file appears with the first turn."""

    def __init__(self, folder: Path, now: datetime) -> None:
        self.folder = folder
        self.started = now
        self.path: Path | None = None
        self._file: IO[bytes] | None = None
        self._offsets = array("Q")

    def __len__(self) -> int:
        return len(self._offsets)

    @property
    def kept(self) -> bool:
        """Whether the turns will still be there tomorrow."""
        return self.path is not None or self._file is None

    def append(self, record: Record) -> int:
        """Keep a turn; returns its number, from 0."""
        file = self._open()
        file.seek(0, 2)
        self._offsets.append(file.tell())
        self._put(record)
        return len(self._offsets) - 1

    def replace_last(self, record: Record) -> None:
        """The last turn after a what-if."""
        self._put(record)

    def read(self, number: int) -> Record:
        """One turn; one that somebody's editor has damaged says so instead of ending the conversation."""
        file = self._open()
        file.seek(self._offsets[number])
        data = json.loads(file.readline())
        try:
            return Record.from_json(data)
        except (KeyError, TypeError, ValueError, AttributeError):
            text = str(data.get("text", "a turn"))
            return Record(text, Answer(text, "not_covered", None, "This turn can't be read back from its file."), "")

    def __iter__(self) -> Iterator[Record]:
        for number in range(len(self)):
            yield self.read(number)

    def close(self) -> None:
        if self._file is not None:
            self._file.close()
            self._file = None

    @classmethod
    def reopen(cls, path: Path) -> Transcript:
        """A saved conversation, to be read and continued. A torn last line is dropped.

        Raises:
            NotAConversation: for any other file, or one that can't be read.
        """
        try:
            file = path.open("r+b")
        except OSError as error:
            raise NotAConversation(f"{path.name} can't be opened: {error.strerror}.") from error
        head = _parsed(file.readline())
        if not isinstance(head, dict) or head.get("bucketside") != "conversation":
            file.close()
            raise NotAConversation(f"{path.name} is not a saved conversation.")
        out = cls(path.parent, _when(head.get("started")))
        out.path, out._file = path, file
        offset = file.tell()
        for line in iter(file.readline, b""):
            if not isinstance(_parsed(line), dict):
                file.seek(offset)
                file.truncate()
                break
            out._offsets.append(offset)
            offset = file.tell()
        return out

    def _put(self, record: Record) -> None:
        """Write a turn at the last offset; where the disk is full, go on in memory with what could be kept."""
        file = self._open()
        try:
            file.seek(self._offsets[-1])
            file.truncate()
            self._write(file, record.to_json())
        except OSError:
            file.seek(0)
            kept = file.read(self._offsets[-1])
            with suppress(OSError):
                file.close()
            self._file, self.path = BytesIO(kept), None
            self._file.seek(0, 2)
            self._write(self._file, record.to_json())

    def _write(self, file: IO[bytes], data: object) -> None:
        file.write(json.dumps(data, ensure_ascii=False).encode() + b"\n")
        file.flush()

    def _open(self) -> IO[bytes]:
        if self._file is None:
            self._file = self._create()
            self._write(self._file, {**_HEAD, "started": self.started.isoformat(timespec="seconds")})
        return self._file

    def _create(self) -> IO[bytes]:
        stem = self.started.strftime("%Y-%m-%d-%H%M%S")
        try:
            self.folder.mkdir(parents=True, exist_ok=True)
            for number in range(100):
                path = self.folder / (f"{stem}.jsonl" if number == 0 else f"{stem}-{number}.jsonl")
                try:
                    file = path.open("x+b")
                except FileExistsError:
                    continue
                self.path = path
                return file
        except OSError:
            pass
        return tempfile.TemporaryFile("w+b")


def _parsed(line: bytes) -> object:
    try:
        return json.loads(line)
    except ValueError:
        return None


def _when(text: object) -> datetime:
    try:
        return datetime.fromisoformat(str(text))
    except ValueError:
        return datetime.fromisoformat("1970-01-01T00:00:00")


@dataclass(frozen=True, slots=True)
class Saved:
    """A conversation on disk: when it began, its first question, how many turns."""

    path: Path
    started: datetime
    first: str
    turns: int


def saved_conversations(folder: Path) -> list[Saved]:
    """All conversations in the folder, newest first; files that are none are left out."""
    out: list[Saved] = []
    for path in sorted(folder.glob("*.jsonl"), reverse=True):
        try:
            with path.open("rb") as file:
                head = _parsed(file.readline())
                if not isinstance(head, dict) or head.get("bucketside") != "conversation":
                    continue
                first = _parsed(file.readline())
                turns = (1 if isinstance(first, dict) else 0) + sum(1 for _ in file)
        except OSError:
            continue
        if isinstance(first, dict):
            out.append(Saved(path, _when(head.get("started")), str(first.get("text", "")), turns))
    return out
