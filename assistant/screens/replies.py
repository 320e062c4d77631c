"""Quick replies above the prompt, numbered for the digits; while typing, what could follow."""

from __future__ import annotations

from textual import events
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from assistant.language.cleaning import safe_text


class ReplyButton(Static):
    """One line to take. The keyboard has the digits and Tab, so it takes no focus of its own."""

    class Picked(Message):
        def __init__(self, line: str, send: bool) -> None:
            super().__init__()
            self.line = line
            self.send = send

    def __init__(self, key: str, words: str, line: str, send: bool) -> None:
        super().__init__(
            Content.assemble((f" {key} ", "bold reverse"), f" {safe_text(words)}"), classes="reply-button", markup=False
        )
        self.line = line
        self._send = send

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.post_message(self.Picked(self.line, self._send))


class Replies(Horizontal):
    """A row of buttons."""

    def __init__(self) -> None:
        super().__init__(id="replies")
        self._shown: tuple[tuple[str, str, str, bool], ...] = ()

    def show_replies(self, lines: tuple[str, ...], *, stacked: bool = False) -> None:
        """Numbered replies; `stacked` one below the other, where there is nothing else to see yet."""
        self.set_class(stacked, "-stacked")
        self._show(tuple((str(n), line, line, True) for n, line in enumerate(lines[:9], 1)))

    def show_completions(self, lines: tuple[str, ...], typed: str) -> None:
        """How the word being typed could end; the first is what Tab takes."""
        words = [line[_word_start(typed) :].strip() or line for line in lines]
        self._show(
            tuple(
                ("Tab" if n == 0 else "·", word, line, False)
                for n, (word, line) in enumerate(zip(words, lines, strict=True))
            )
        )

    def _show(self, rows: tuple[tuple[str, str, str, bool], ...]) -> None:
        if rows == self._shown:
            return
        self._shown = rows
        # Where they don't all fit side by side each gets its share, so that none is out of sight.
        self.set_class(sum(len(row[0]) + len(row[1]) + 5 for row in rows) > self.app.size.width, "-tight")
        with self.app.batch_update():
            self.remove_children()
            self.mount_all([ReplyButton(*row) for row in rows])
        self.display = bool(rows)


def _word_start(typed: str) -> int:
    return typed.rstrip().rfind(" ") + 1
