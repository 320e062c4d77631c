"""What was typed before, for the up arrow; kept over sessions."""

from __future__ import annotations

from pathlib import Path

MOST = 500


class Recall:
    """Lines typed, oldest first, with a place to walk from. Without a file it lasts as long as the program."""

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self._lines: list[str] = []
        self._at = 0
        self._draft = ""
        if path is not None:
            try:
                self._lines = path.read_text(encoding="utf-8", errors="replace").splitlines()[-MOST:]
            except OSError:
                self._lines = []
        self._at = len(self._lines)

    def add(self, line: str) -> None:
        """Keep a line; the same line twice running is kept once."""
        line = " ".join(line.split())
        if line and (not self._lines or self._lines[-1] != line):
            self._lines.append(line)
            del self._lines[:-MOST]
            self._save()
        self._at, self._draft = len(self._lines), ""

    def back(self, draft: str) -> str | None:
        """The line before; the unfinished one is held for the way forward. None at the oldest."""
        if self._at == 0:
            return None
        if self._at == len(self._lines):
            self._draft = draft
        self._at -= 1
        return self._lines[self._at]

    def forward(self) -> str | None:
        """The line after, at the end the unfinished one. None when already there."""
        if self._at >= len(self._lines):
            return None
        self._at += 1
        return self._draft if self._at == len(self._lines) else self._lines[self._at]

    def _save(self) -> None:
        if self._path is None:
            return
        try:
            self._path.parent.mkdir(parents=True, exist_ok=True)
            self._path.write_text("\n".join(self._lines) + "\n", encoding="utf-8")
        except OSError:
            self._path = None  # a folder that can't be written today costs the history, not the question
