"""The inputs behind a figure as chips, changed in place: arrows, wheel, typing, or a tap on − and +."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual import events
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid
from textual.content import Content
from textual.message import Message
from textual.widget import Widget

from assistant.language.question import Reading
from assistant.screens.knobs import Knob
from assistant.screens.labels import ORIGINS

_LARGE = 5


class Chip(Widget, can_focus=True):
    """One knob. Holds what is being typed until Enter; Esc gives the old value back, then leaves."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up,plus,kp_plus", "turn(1)", "More", show=False),
        Binding("down,minus,kp_minus", "turn(-1)", "Less", show=False),
        Binding("pageup", f"turn({_LARGE})", "Much more", show=False),
        Binding("pagedown", f"turn(-{_LARGE})", "Much less", show=False),
        Binding("left", "step(-1)", "Chip before", show=False),
        Binding("right", "step(1)", "Next chip", show=False),
        Binding("enter", "take", "Set", show=False),
        Binding("backspace", "rub", "Rub out", show=False),
    ]

    class Turned(Message):
        """The knob has a new value."""

        def __init__(self, slot: str, reading: Reading) -> None:
            super().__init__()
            self.slot = slot
            self.reading = reading

    class Refused(Message):
        """What was typed is no value for this knob; one sentence."""

        def __init__(self, sentence: str) -> None:
            super().__init__()
            self.sentence = sentence

    def __init__(self, knob: Knob) -> None:
        super().__init__(classes="chip")
        self.knob = knob
        self._typed: str | None = None

    def show(self, knob: Knob) -> None:
        """The same knob with another value."""
        if knob != self.knob or self._typed is not None:
            self.knob = knob
            self._typed = None
            self.refresh()

    @property
    def typing(self) -> bool:
        return self._typed is not None

    def render(self) -> Content:
        knob = self.knob
        focused = self.has_focus
        label = f"{knob.label} "
        if self._typed is not None:
            return Content.assemble(("✎ ", "bold"), label, (f"{self._typed}▏", "bold reverse"), "  Enter sets")
        ends = ("◀ ", " ▶") if focused else ("− ", " +")
        room = max(4, self.size.width - len(label) - 4)
        value = knob.shown if len(knob.shown) <= room else knob.shown[: room - 1] + "…"
        origin = ORIGINS.get(knob.origin, knob.origin)
        parts: list[tuple[str, str] | str] = [
            (ends[0], "bold"),
            (label, "" if focused else "$quiet"),
            (value, "bold"),
            (ends[1], "bold"),
        ]
        if len(label) + len(value) + len(origin) + 6 <= self.size.width:
            parts.append((f"  {origin}", "" if focused else "$quiet"))
        return Content.assemble(*parts)

    # --- ways to turn it ------------------------------------------------------------------------------------

    def action_turn(self, steps: int) -> None:
        self._typed = None
        value = self.knob.turned(steps)
        if value == self.knob.value:
            self.refresh()
            return
        self.post_message(self.Turned(self.knob.slot, self.knob.reading(value)))

    def action_step(self, direction: int) -> None:
        chips = list(self.parent.query(Chip)) if self.parent is not None else []
        if self in chips:
            # At once, not when the loop comes round: the next key may already be on its way.
            self.screen.set_focus(chips[(chips.index(self) + direction) % len(chips)])

    def on_key(self, event: events.Key) -> None:
        character = event.character
        if event.key == "escape" and self._typed is not None:
            self._typed = None
        elif character is not None and event.is_printable and self._takes(character):
            self._typed = (self._typed or "") + character
        else:
            return
        self.refresh()
        event.stop()
        event.prevent_default()

    def _takes(self, character: str) -> bool:
        if self.knob.choices:
            return character.isalpha() or (self._typed is not None and character in " -,")
        return (
            character.isdigit()
            or (character in ".," and "." not in (self._typed or ""))
            or (character == "-" and self._typed == "")
        )

    def action_rub(self) -> None:
        if self._typed is not None:
            self._typed = self._typed[:-1] or None
            self.refresh()

    def action_take(self) -> None:
        if self._typed is None:
            self._typed = ""  # an empty field to type into; here a minus sign is part of the number
            self.refresh()
            return
        typed, self._typed = self._typed, None
        self.refresh()
        if not typed:
            return
        value = self.knob.typed(typed)
        if value is None:
            self.post_message(self.Refused(f"“{typed}” does not fit {self.knob.label}."))
        else:
            self.post_message(self.Turned(self.knob.slot, self.knob.reading(value)))

    def on_blur(self) -> None:
        self._typed = None
        self.refresh()

    def on_focus(self) -> None:
        self.refresh()

    # The wheel turns a chip only once it has the focus: a hand scrolling past must not change a figure.

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        if self.has_focus:
            event.stop()
            event.prevent_default()
            self.action_turn(1)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        if self.has_focus:
            event.stop()
            event.prevent_default()
            self.action_turn(-1)

    def on_click(self, event: events.Click) -> None:
        """A tap on the minus or the plus turns it; anywhere else only chooses it."""
        event.stop()
        knob = self.knob
        end = len(knob.label) + min(len(knob.shown), max(4, self.size.width - len(knob.label) - 5)) + 3
        if event.x <= 1 + self.styles.padding.left:
            self.action_turn(-1)
        elif end <= event.x - self.styles.padding.left <= end + 3:
            self.action_turn(1)


class ChipBar(ItemGrid):
    """The chips of the live figure, in even columns."""

    def __init__(self, knobs: Sequence[Knob]) -> None:
        super().__init__(*(Chip(knob) for knob in knobs), min_column_width=34, classes="chip-bar")
        self.knobs = tuple(knobs)

    def show(self, knobs: Sequence[Knob]) -> None:
        """New values; chips stay where they are as long as the same inputs are behind the figure."""
        self.knobs = tuple(knobs)
        chips = list(self.query(Chip))
        if [chip.knob.slot for chip in chips] == [knob.slot for knob in knobs]:
            for chip, knob in zip(chips, knobs, strict=True):
                chip.show(knob)
            return
        focused = next((chip.knob.slot for chip in chips if chip.has_focus), None)
        self.remove_children()
        fresh = [Chip(knob) for knob in knobs]
        self.mount_all(fresh)
        for chip in fresh:
            if chip.knob.slot == focused:
                chip.focus()
