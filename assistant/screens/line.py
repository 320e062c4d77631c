"""The one-line field of the pages: whatever is pasted into it becomes one clean line."""

from __future__ import annotations

from textual import events
from textual.actions import SkipAction
from textual.widgets import Input

from assistant.language.cleaning import safe_text

# Longer than the parser accepts, so that its own sentence about length is what the person reads.
_MOST_CHARACTERS = 4000


class LineInput(Input):
    """An input without blinking; several pasted lines become one, escape sequences go."""

    def __init__(self, placeholder: str, value: str = "") -> None:
        super().__init__(value, placeholder=placeholder, id="line", max_length=_MOST_CHARACTERS, select_on_focus=False)
        self.cursor_blink = False

    def action_cursor_left(self, select: bool = False) -> None:
        if not self.value:
            raise SkipAction  # nothing to move in: the page may have a use for the key
        super().action_cursor_left(select)

    def action_cursor_right(self, select: bool = False) -> None:
        if not self.value:
            raise SkipAction
        super().action_cursor_right(select)

    def _on_paste(self, event: events.Paste) -> None:
        text = safe_text(event.text)
        if text:
            self.replace(text, *self.selection)
        event.prevent_default()
        event.stop()

    def hand_over(self) -> str:
        """What was typed, cleaned; the field is empty afterwards."""
        text = safe_text(self.value)
        self.value = ""
        return text

    def lay_out(self, text: str) -> None:
        """Put a text in, ready to be edited or sent."""
        self.value = text
        self.cursor_position = len(text)
        self.focus()
