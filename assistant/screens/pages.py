"""What the pages over the bench share: a title, a line of keys, Esc back to where one was."""

from __future__ import annotations

from typing import ClassVar

from textual.binding import Binding, BindingType
from textual.content import Content
from textual.screen import Screen
from textual.widgets import Static

from assistant.screens.sizes import ACROSS, DOWN


class Page(Screen[str | None]):
    """A full-screen page. Closing it may hand a line to the prompt."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("escape", "leave", "Back", show=False)]
    HORIZONTAL_BREAKPOINTS = ACROSS
    VERTICAL_BREAKPOINTS = DOWN
    AUTO_FOCUS = "#page"

    def action_leave(self) -> None:
        self.dismiss(None)

    def title_line(self, words: str) -> Static:
        return Static(Content(words), classes="page-title", markup=False)

    def keys_line(self, words: str) -> Static:
        return Static(Content(words), classes="page-keys", markup=False)
