"""The line at the bottom: how far loading is, and the keys that matter where the focus is."""

from __future__ import annotations

from textual.content import Content
from textual.widgets import Static

READING = "reading the handbook…"
MEANING_LOADING = "search by meaning: loading"
MEANING_READY = "search by meaning: ready"
MEANING_OFF = "search by meaning: not available, going on by words"

HINTS = {
    "prompt": ("F1 help  F2 handbook  ^P commands  ^Q quit", "F1 help  ^P commands  ^Q quit", "F1 help"),
    "chip": ("↑↓ wheel change  type a value  ^Z undo  Esc back", "↑↓ or type a value  Esc back", "Esc back"),
    "passage": ("Enter open/close  o entry  Esc back", "Enter open  Esc back", "Esc back"),
    "job": ("Del forget  ←→ next  Esc back", "Del forget  Esc back", "Esc back"),
    "": ("Tab next  Esc back  F1 help", "Esc back", ""),
}


class StatusLine(Static):
    """State on the left, keys on the right. Where the line is short both are said shorter, the state last."""

    def __init__(self) -> None:
        super().__init__("", id="status", markup=False)
        self.state = READING
        self._long = READING
        self._where = "prompt"

    def say(self, state: str, long: str = "") -> None:
        """Show a state; `long` where there is room for more."""
        self.state, self._long = state, long or state
        self._write()

    def point(self, where: str) -> None:
        """Show the keys for where the focus is."""
        self._where = where
        self._write()

    def on_resize(self) -> None:
        self._write()

    def _write(self) -> None:
        width = self.size.width
        hints = HINTS.get(self._where, HINTS[""])
        pairs = [(self._long, hints[0]), *((self.state, hint) for hint in hints)]
        if self._where != "prompt" and self.state != READING:  # where the hands are, the keys matter more
            pairs = [(self._long, hints[0]), (self.state, hints[0]), ("", hints[0])]
        state, keys = next(
            (pair for pair in pairs if len(pair[0]) + len(pair[1]) + 2 <= width), (self.state[: max(0, width)], "")
        )
        gap = " " * max(1, width - len(state) - len(keys))
        self.update(Content.assemble((state, "$secondary"), (gap + keys, "$foreground")), layout=False)
