"""Where questions are typed: history on the arrows, completion on Tab, quick replies on digits."""

from __future__ import annotations

from typing import ClassVar

from textual import events
from textual.actions import SkipAction
from textual.binding import Binding, BindingType
from textual.message import Message
from textual.suggester import Suggester
from textual.widgets import Input

from assistant.language.cleaning import safe_text
from assistant.screens.completion import Vocabulary
from assistant.screens.recall import Recall

# Longer than the conversation accepts, so that its own sentence about length is what the person reads.
_MOST_CHARACTERS = 4000


class _FirstCompletion(Suggester):
    def __init__(self, prompt: Prompt) -> None:
        super().__init__(use_cache=False, case_sensitive=True)
        self._prompt = prompt

    async def get_suggestion(self, value: str) -> str | None:
        found = self._prompt.completions
        return found[0] if found and found[0].startswith(value) else None


class Prompt(Input):
    """One line. A digit in the empty prompt lays out that quick reply; Enter sends it, typing on keeps the digit."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "older", "Earlier question", show=False),
        Binding("down", "newer", "Later question", show=False),
        Binding("tab", "complete", "Complete or go on", show=False),
        Binding("escape", "back_out", "Clear", show=False),
    ]

    class Asked(Message):
        """A question was sent."""

        def __init__(self, text: str) -> None:
            super().__init__()
            self.text = text

    class Completions(Message):
        """What could follow has changed."""

        def __init__(self, lines: tuple[str, ...]) -> None:
            super().__init__()
            self.lines = lines

    class HelpWanted(Message):
        """`?` in the empty prompt."""

    class SearchWanted(Message):
        """`/` in the empty prompt."""

    def __init__(self, recall: Recall) -> None:
        super().__init__(
            placeholder="ask about flowers, greens, water, amounts …", id="prompt", max_length=_MOST_CHARACTERS
        )
        self.cursor_blink = False
        self.recall = recall
        self.vocabulary = Vocabulary()
        self.replies: tuple[str, ...] = ()
        self.completions: list[str] = []
        self._picked = ""
        self.suggester = _FirstCompletion(self)

    def watch_value(self, value: str) -> None:
        """Recomputed here and not on the change message, so that Tab never acts on the line before."""
        self.completions = self.vocabulary.complete(value) if value and not self._picked else []
        self.post_message(self.Completions(tuple(self.completions)))

    def on_key(self, event: events.Key) -> None:
        if not event.is_printable or event.character is None:
            if event.key in ("backspace", "delete") and self._picked:
                self._picked = ""
                self.value = ""
                event.prevent_default()
                event.stop()
            return
        if self._picked:
            typed = self._picked + event.character
            self._picked = ""
            self.value = typed
            self.cursor_position = len(typed)
        elif self.value:
            return
        elif event.character.isdigit() and 0 < int(event.character) <= len(self.replies):
            self._picked = event.character
            self.value = self.replies[int(event.character) - 1]
            self.select_all()
        elif event.character == "?":
            self.post_message(self.HelpWanted())
        elif event.character == "/":
            self.post_message(self.SearchWanted())
        else:
            return
        event.prevent_default()
        event.stop()

    def _on_paste(self, event: events.Paste) -> None:
        """Several lines become one; escape sequences go."""
        text = safe_text(event.text)
        if text:
            self._picked = ""
            self.replace(text, *self.selection)
        event.prevent_default()
        event.stop()

    async def action_submit(self) -> None:
        text = safe_text(self.value)
        self._picked = ""
        self.value = ""
        if text:
            self.recall.add(text)
            self.post_message(self.Asked(text))

    def action_older(self) -> None:
        self._show(self.recall.back(self.value))

    def action_newer(self) -> None:
        self._show(self.recall.forward())

    def action_complete(self) -> None:
        if self.completions and self.cursor_at_end:
            self._show(self.completions[0])
        else:
            self.screen.focus_next()

    def action_back_out(self) -> None:
        """Clear what is typed; with nothing typed the screen takes the key."""
        if not self.value:
            raise SkipAction
        self._picked = ""
        self.value = ""

    def take(self, line: str) -> None:
        """Lay a line out to be sent or edited."""
        self._show(line)
        self.focus()

    def _show(self, line: str | None) -> None:
        if line is not None:
            self._picked = ""
            self.value = line
            self.cursor_position = len(line)
