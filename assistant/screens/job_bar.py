"""What is remembered of the job, as chips that can be dropped."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.containers import Horizontal
from textual.content import Content
from textual.message import Message
from textual.widgets import Static

if TYPE_CHECKING:
    from assistant.language.question import Reading


def job_words(name: str, reading: Reading, us: bool = False) -> str:
    """One remembered slot in a few words: "room 24 °C"."""
    from assistant.dialogue.wording import number_span
    from assistant.screens.labels import in_their_units, input_words, value_words

    value = reading.value
    if isinstance(value, date):
        said = f"{value:%a} {value.day} {value:%b}"
    elif isinstance(value, tuple):
        said = ", ".join(value_words(v) for v in value)
    elif isinstance(value, str):
        said = value_words(value)
    else:
        low, high = reading.span
        (a, words), (b, _) = in_their_units(low, reading.unit, us), in_their_units(high, reading.unit, us)
        number = number_span(a, b)
        said = f"{number} {words}".strip()
    return said if name in ("pieces",) else f"{input_words(name)} {said}"


class JobChip(Static, can_focus=True):
    """A remembered slot. Del, Backspace, Enter or a click on it drops it."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("delete,backspace,enter", "drop", "Forget it", show=False),
        Binding("right", "step(1)", "Next", show=False),
        Binding("left", "step(-1)", "Before", show=False),
    ]

    class Dropped(Message):
        def __init__(self, slot: str) -> None:
            super().__init__()
            self.slot = slot

    def __init__(self, slot: str, words: str) -> None:
        super().__init__(Content.assemble((words, ""), (" ✕", "bold")), classes="job-chip", markup=False)
        self.slot = slot

    def action_step(self, direction: int) -> None:
        chips = list(self.parent.query(JobChip)) if self.parent is not None else []
        if self in chips:
            self.screen.set_focus(chips[(chips.index(self) + direction) % len(chips)])

    def action_drop(self) -> None:
        self.post_message(self.Dropped(self.slot))

    def on_click(self, event: events.Click) -> None:
        event.stop()
        self.action_drop()


class JobBar(Horizontal):
    """The line at the top: the program's name, then the job as it is remembered."""

    def __init__(self) -> None:
        super().__init__(id="job")
        self._shown: tuple[tuple[str, str], ...] | None = None

    def show(self, job: Mapping[str, Reading], us: bool = False) -> None:
        rows = tuple((name, job_words(name, reading, us)) for name, reading in job.items())
        if rows == self._shown:
            return
        self._shown = rows
        focused = next((n for n, chip in enumerate(self.query(JobChip)) if chip.has_focus), None)
        with self.app.batch_update():
            self.remove_children()
            head = "the job" if rows else "Bucketside   no job remembered yet"
            chips = [JobChip(name, words) for name, words in rows]
            self.mount(Static(Content(head), classes="job-head", markup=False))
            self.mount_all(chips)
        if focused is not None and chips:
            chips[min(focused, len(chips) - 1)].focus()
