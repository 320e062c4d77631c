"""The saved conversations, newest first."""

from __future__ import annotations

from pathlib import Path

from textual import on
from textual.app import ComposeResult
from textual.content import Content
from textual.widgets import OptionList
from textual.widgets.option_list import Option

from assistant.language.cleaning import safe_text
from assistant.screens.pages import Page
from assistant.screens.transcripts import saved_conversations


class SavedPage(Page):
    """Hands back the path of the conversation to open, or nothing."""

    AUTO_FOCUS = "#saved-list"

    def __init__(self, folder: Path) -> None:
        super().__init__()
        self._saved = saved_conversations(folder)

    def compose(self) -> ComposeResult:
        yield self.title_line("Saved conversations")
        yield self.keys_line("↑↓ choose   Enter open   Esc back")
        rows = [
            Option(
                Content.assemble(
                    f"{s.started:%Y-%m-%d %H:%M}  {s.turns:>4} turn{'s' if s.turns != 1 else ' '}  ",
                    (safe_text(s.first), "bold"),
                ),
                id=str(n),
            )
            for n, s in enumerate(self._saved)
        ]
        if not rows:
            rows = [Option("None yet. Conversations are kept as you go.", disabled=True)]
        yield OptionList(*rows, id="saved-list", classes="list", markup=False)

    @on(OptionList.OptionSelected)
    def choose(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        self.dismiss(str(self._saved[int(event.option.id or 0)].path))
