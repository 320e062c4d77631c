"""The handbook passages behind the turn looked at, with their sources: open beside it, or as titles below it."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

from assistant.language.cleaning import safe_text

if TYPE_CHECKING:
    from assistant.dialogue.answer import PassageShown
    from assistant.screens.records import Record


class PassageItem(Static, can_focus=True):
    """One passage. Enter opens and closes it, `o` opens the entry it comes from."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "open_close", "Open or close", show=False),
        Binding("o", "entry", "Open the entry", show=False),
        Binding("down", "step(1)", "Next", show=False),
        Binding("up", "step(-1)", "Before", show=False),
    ]

    class EntryWanted(Message):
        def __init__(self, owner: str) -> None:
            super().__init__()
            self.owner = owner

    def __init__(self, passage: PassageShown, is_open: bool) -> None:
        super().__init__("", classes="passage", markup=False)
        self.passage = passage
        self.is_open = is_open
        self._write()

    def action_open_close(self) -> None:
        self.is_open = not self.is_open
        self._write()

    def action_step(self, direction: int) -> None:
        items = list(self.parent.query(PassageItem)) if self.parent is not None else []
        if self in items:
            self.screen.set_focus(items[(items.index(self) + direction) % len(items)])

    def action_entry(self) -> None:
        self.post_message(self.EntryWanted(self.passage.id))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_open_close()

    def _write(self) -> None:
        passage = self.passage
        sources = ", ".join(passage.sources) or "common practice"
        mark = "▾ " if self.is_open else "▸ "
        parts: list[tuple[str, str] | str] = [(mark, "$accent"), (safe_text(passage.title), "bold")]
        if self.is_open:
            parts += ["\n", safe_text(passage.text), (f"\nsources: {sources}", "$secondary")]
        else:
            parts.append((f"   {sources}", "$secondary"))
        self.set_class(self.is_open, "-open")
        self.update(Content.assemble(*parts))


class PassagesPanel(VerticalScroll, can_focus=False):
    """Passages of one turn; the same passages again leave it as it is."""

    def __init__(self) -> None:
        super().__init__(id="passages")
        self.border_title = "from the handbook"
        self._ids: tuple[str, ...] = ()
        self.wide = False

    def show(self, record: Record | None) -> None:
        passages = record.answer.passages if record is not None else ()
        ids = tuple(p.id for p in passages)
        if ids == self._ids:
            return
        self._ids = ids
        with self.app.batch_update():
            self.remove_children()
            self.mount_all([PassageItem(p, self.wide) for p in passages])
        self.display = bool(passages)
        self.scroll_home(animate=False)

    def fit(self, wide: bool) -> None:
        """Beside the conversation passages stand open, below it they are titles."""
        if wide == self.wide:
            return
        self.wide = wide
        for item in self.query(PassageItem):
            if item.is_open != wide:
                item.action_open_close()
