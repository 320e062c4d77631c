"""Quick replies above the prompt, numbered for the digits; while typing, how the word could end.

One flat widget: it changes with every key, and mounting buttons each time would be felt.
"""

from __future__ import annotations

from dataclasses import dataclass

from textual import events
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from assistant.language.cleaning import safe_text

_GAP = 2


@dataclass(frozen=True, slots=True)
class Offer:
    """One line to take: the key that takes it, the words shown, the whole line; `send` asks it at once on a click."""

    key: str
    words: str
    line: str
    send: bool


class Replies(Static):
    """Offers side by side, or one below the other. The keyboard has digits and Tab, so nothing here takes the focus."""

    class Picked(Message):
        """An offer was clicked."""

        def __init__(self, line: str, send: bool) -> None:
            super().__init__()
            self.line = line
            self.send = send

    def __init__(self) -> None:
        super().__init__("", id="replies", markup=False)
        self.offers: tuple[Offer, ...] = ()
        self._stacked = False
        # Where each offer stands: row, first and last column.
        self.places: list[tuple[int, int, int]] = []

    def show_replies(self, lines: tuple[str, ...], *, stacked: bool = False) -> None:
        """Numbered replies; `stacked` one below the other, where there is nothing else to see yet."""
        self._stacked = stacked
        self.set_class(stacked, "-stacked")
        self._show(tuple(Offer(str(n), line, line, True) for n, line in enumerate(lines[:9], 1)))

    def show_completions(self, lines: tuple[str, ...], typed: str) -> None:
        """How the word being typed could end; the first is what Tab takes."""
        start = typed.rstrip().rfind(" ") + 1
        self._show(
            tuple(Offer("·" if n else "Tab", line[start:].strip() or line, line, False) for n, line in enumerate(lines))
        )

    def _show(self, offers: tuple[Offer, ...]) -> None:
        if offers != self.offers:
            self.offers = offers
            self._write()

    def _write(self) -> None:
        width = self.size.width
        if not width:  # not laid out yet; `on_resize` comes back
            return
        pieces = [
            Content.assemble((f" {offer.key} ", "bold reverse"), f" {safe_text(offer.words)}") for offer in self.offers
        ]
        if self._stacked:
            pieces = [piece.truncate(width, ellipsis=True) for piece in pieces]
            self.places = [(row, 0, piece.cell_length) for row, piece in enumerate(pieces)]
            self.update(Content("\n").join(pieces), layout=False)
            return
        if sum(piece.cell_length + _GAP for piece in pieces) > width and pieces:
            # Where they don't all fit each gets its share, so that none is out of sight.
            share = max(6, width // len(pieces) - _GAP)
            pieces = [piece.truncate(share, ellipsis=True) for piece in pieces]
        self.places, at = [], 0
        for piece in pieces:
            self.places.append((0, at, at + piece.cell_length))
            at += piece.cell_length + _GAP
        self.update(Content(" " * _GAP).join(pieces), layout=False)

    def on_resize(self) -> None:
        self._write()

    def on_click(self, event: events.Click) -> None:
        event.stop()
        at = event.get_content_offset(self)
        if at is None:
            return
        for offer, (row, first, last) in zip(self.offers, self.places, strict=True):
            if at.y == row and first <= at.x < last:
                self.post_message(self.Picked(offer.line, offer.send))
                return
