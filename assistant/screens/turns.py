"""The conversation on the screen: a window of about twenty turns on a transcript of any length."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from assistant.language.cleaning import safe_text
from assistant.screens.names import Names

# What a turn is made of is imported with the first one: the first frame has none.
if TYPE_CHECKING:
    from assistant.screens.records import Record
    from assistant.screens.transcripts import Transcript
    from assistant.screens.turn import TurnView

WINDOW = 20
_MOST = 60


class EdgeButton(Static, can_focus=True):
    """ "More turns" at an end of the window."""

    BINDINGS: ClassVar[list[BindingType]] = [Binding("enter,space", "press", "Show them", show=False)]

    class Pressed(Message):
        def __init__(self, way: int) -> None:
            super().__init__()
            self.way = way

    def __init__(self, way: int) -> None:
        super().__init__("", markup=False, classes="edge", id="earlier" if way < 0 else "later")
        self.way = way

    def action_press(self) -> None:
        self.post_message(self.Pressed(self.way))

    def on_click(self) -> None:
        self.action_press()


class Turns(VerticalScroll, can_focus=False):
    """Mounted turns, the buttons to the others, and what is waiting for an answer."""

    class LiveChanged(Message):
        """Another turn, or another state of it, is the one to show passages of."""

        def __init__(self, record: Record | None) -> None:
            super().__init__()
            self.record = record

    def __init__(self, names: Names, welcome: Content) -> None:
        super().__init__(id="turns")
        self.names = names
        self.transcript: Transcript | None = None
        self._welcome = welcome
        self._views: list[TurnView] = []
        self._chosen: TurnView | None = None
        self._live: TurnView | None = None
        # Counts what was asked to be brought into view; a person's own scrolling makes an older wish void.
        self._brought = 0

    def compose(self) -> ComposeResult:
        yield EdgeButton(-1)
        yield Static(self._welcome, id="welcome", markup=False)
        yield EdgeButton(1)

    def on_mount(self) -> None:
        self._edges()

    def on_unmount(self) -> None:
        if self.transcript is not None:
            self.transcript.close()

    # --- what stands ----------------------------------------------------------------------------------------

    @property
    def views(self) -> tuple[TurnView, ...]:
        """Mounted turns, oldest first."""
        return tuple(self._views)

    @property
    def live(self) -> TurnView | None:
        """The turn whose chips can be turned."""
        return self._live

    @property
    def chosen(self) -> TurnView | None:
        """The turn looked at: the one picked, else the newest."""
        return self._chosen or (self._views[-1] if self._views else None)

    @property
    def card_width(self) -> int:
        """Cells a card may use."""
        return max(40, (self.size.width or self.app.size.width) - 8)

    # --- changes --------------------------------------------------------------------------------------------

    def begin(self, transcript: Transcript) -> None:
        """Show a transcript from its end; an empty one shows the welcome."""
        self.transcript = transcript
        with self.app.batch_update():
            for view in self._views:
                view.remove()
            self._views, self._live, self._chosen = [], None, None
            self._load(max(0, len(transcript) - WINDOW), len(transcript), at_end=True)
            self._edges()
        self.post_message(self.LiveChanged(self._views[-1].record if self._views else None))
        self.call_after_refresh(self.scroll_end, animate=False)

    def add(self, record: Record) -> None:
        """A new turn at the end, kept in the transcript."""
        from assistant.screens.turn import TurnView

        assert self.transcript is not None
        number = self.transcript.append(record)
        if self._views and self._views[-1].number != number - 1:
            self._drop(list(self._views))
        with self.app.batch_update():
            figured = record.figured
            if figured and self._live is not None:
                self._live.toggle_extra(None)
                self._live.show(self._live.record, live=False)
            view = TurnView(number, record, self.names, self.card_width, live=figured)
            self.mount(view, before="#later")
            self._views.append(view)
            if figured:
                self._live = view
            self._drop(self._views[:-WINDOW])
            self._choose(None)
            self._edges()
        self.post_message(self.LiveChanged(record))
        self.bring(view)

    def revise(self, record: Record) -> None:
        """The live turn after a what-if."""
        if self._live is None or self.transcript is None:
            return
        if self._live.number == len(self.transcript) - 1:
            self.transcript.replace_last(record)
        self._live.show(record)
        self.post_message(self.LiveChanged(record))

    def revive(self, is_live: Callable[[Record], bool]) -> None:
        """Give the newest turn that can be turned its chips back, after a saved conversation was gone through."""
        for view in reversed(self._views):
            if view.record.figured:
                if is_live(view.record):
                    self._live = view
                    view.show(view.record, live=True)
                    self.call_after_refresh(self.scroll_end, animate=False)
                return

    def look_at_newest(self) -> None:
        """Let go of the turn picked."""
        if self._chosen is not None:
            self._choose(None)
            self.post_message(self.LiveChanged(self._views[-1].record if self._views else None))

    def wait_with(self, text: str, why: str) -> Static:
        """A question that can't be answered yet, visibly waiting; remove the widget when it can."""
        content = Content.assemble(("› ", "bold $accent"), (safe_text(text), "bold"), (f"\n… {why}", "$quiet"))
        widget = Static(content, classes="waiting", markup=False)
        self.mount(widget)
        self.query_one("#welcome").display = False
        self.call_after_refresh(self.scroll_end, animate=False)
        return widget

    def refit(self) -> None:
        """Draw the cards again for another width or for names that are known by now."""
        with self.app.batch_update():
            for view in self._views:
                view.show(view.record, width=self.card_width)

    def page(self, way: int) -> None:
        """Scroll a page up (-1) or down (1); up at the top brings earlier turns."""
        self._brought += 1
        if way > 0:
            self.scroll_page_down(animate=False)
        elif self.scroll_y > 0:
            self.scroll_page_up(animate=False)
        else:
            self.show_earlier()

    def choose(self, step: int) -> None:
        """Look at the turn before (-1) or after (1) the one looked at."""
        self._brought += 1
        if not self._views:
            return
        at = self._views.index(self.chosen) if self.chosen in self._views else len(self._views) - 1
        if at + step < 0 and self._views[0].number > 0:
            self.show_earlier()
            at = self._views.index(self.chosen) if self.chosen in self._views else 0
        view = self._views[min(len(self._views) - 1, max(0, at + step))]
        self._choose(view)
        self.scroll_to_widget(view, animate=False, top=True)

    def show_earlier(self) -> None:
        """Mount the twenty turns before the window."""
        if not self._views or self._views[0].number == 0:
            return
        first = self._views[0]
        with self.app.batch_update():
            self._load(max(0, first.number - WINDOW), first.number, at_end=False)
            self._drop(self._views[_MOST:])
            self._edges()
        self.call_after_refresh(self.scroll_to_widget, first, animate=False, top=True)

    def show_later(self) -> None:
        """Mount the twenty turns after the window."""
        if not self._views or self.transcript is None:
            return
        last = self._views[-1].number
        with self.app.batch_update():
            self._load(last + 1, min(len(self.transcript), last + 1 + WINDOW), at_end=True)
            self._drop(self._views[:-_MOST])
            self._edges()

    # --- inside ---------------------------------------------------------------------------------------------

    def _load(self, first: int, end: int, *, at_end: bool) -> None:
        assert self.transcript is not None
        if first >= end:
            return
        from assistant.screens.turn import TurnView

        fresh: list[TurnView] = [
            TurnView(n, self.transcript.read(n), self.names, self.card_width) for n in range(first, end)
        ]
        place: Widget = self.query_one("#later") if at_end or not self._views else self._views[0]
        self.mount_all(fresh, before=place)
        self._views = [*self._views, *fresh] if at_end else [*fresh, *self._views]

    def _drop(self, views: list[TurnView]) -> None:
        for view in views:
            view.remove()
            self._views.remove(view)
            if view is self._live:
                self._live = None
            if view is self._chosen:
                self._chosen = None

    def _choose(self, view: TurnView | None) -> None:
        for other in self._views:
            other.set_class(other is view, "-chosen")
        self._chosen = view
        if view is not None:
            self.post_message(self.LiveChanged(view.record))

    def _edges(self) -> None:
        total = len(self.transcript) if self.transcript is not None else 0
        before = self._views[0].number if self._views else 0
        after = total - 1 - self._views[-1].number if self._views else 0
        self.query_one("#welcome").display = not self._views and not self.query(".waiting")
        for button, count, words in (
            (self.query_one("#earlier", EdgeButton), before, "▲ earlier"),
            (self.query_one("#later", EdgeButton), after, "▼ later"),
        ):
            button.display = count > 0
            button.update(Content(f"{words}: {count} more"))

    def bring(self, widget: Widget) -> None:
        """Scroll to all of a turn or a plot, or to its beginning where it is longer than the window."""
        self._brought += 1
        mine = self._brought

        def scroll() -> None:
            if mine == self._brought:
                self.scroll_to_widget(widget, animate=False, top=widget.outer_size.height >= self.size.height)

        # Twice: the first refresh mounts the pieces, the second knows how tall they are.
        self.call_after_refresh(lambda: self.call_after_refresh(scroll))

    def on_edge_button_pressed(self, event: EdgeButton.Pressed) -> None:
        event.stop()
        if event.way < 0:
            self.show_earlier()
        else:
            self.show_later()

    def on_turn_view_chosen(self, event: TurnView.Chosen) -> None:
        event.stop()
        self._choose(event.view)

    def on_resize(self) -> None:
        if self._views and self._views[-1].card_width != self.card_width:
            self.refit()
