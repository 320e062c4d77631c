"""The app: looks, commands, and the bench as its first screen."""

from __future__ import annotations

import os
import sys
import threading
from collections.abc import Callable, Iterable, Sequence
from datetime import datetime
from pathlib import Path
from typing import ClassVar

from textual.app import App, SystemCommand
from textual.binding import Binding, BindingType
from textual.screen import Screen

from assistant.screens.bench import BenchScreen, Converse
from assistant.screens.loading import THREAD_PREFIX, MakeContext, context_maker
from assistant.screens.palette import FindProvider
from assistant.screens.settings import Settings
from assistant.screens.theme import LOOKS, starting_look


class BucketsideApp(App[None]):
    """Bucketside in the terminal.

    Args:
        make: builds the handbook's context, in a background thread; by default the handbook that came with the program.
        folder: where conversations, exports and settings are kept.
        now: the clock.
        reopen: a saved conversation to go on with.
        converse: makes the conversation from the context; tests put a scripted one here.
        shops: the shop's own folders, whose prices a plan counts with.
    """

    TITLE = "Bucketside"
    CSS_PATH = Path(__file__).with_name("look.tcss")
    COMMANDS = App.COMMANDS | {FindProvider}
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("ctrl+q", "quit", "Quit", show=False, priority=True),
        Binding("ctrl+c", "quit", "Quit", show=False, priority=True),
        Binding("ctrl+t", "look", "Light or dark", show=False),
    ]

    def __init__(
        self,
        make: MakeContext | None = None,
        *,
        folder: Path | None = None,
        now: Callable[[], datetime] = datetime.now,
        reopen: Path | None = None,
        converse: Converse | None = None,
        shops: Sequence[Path] = (),
    ) -> None:
        super().__init__()
        if folder is None:
            from assistant.locations import data_folder

            folder = data_folder()
        self.folder = folder
        self.settings = Settings.read(self.folder)
        self._make = make or context_maker(lambda: now().date())
        self._now = now
        self._reopen_first = reopen
        self._converse = converse
        self._shops = tuple(shops)
        for theme in LOOKS.values():
            self.register_theme(theme)
        self.look = starting_look(self.settings.look, os.environ)
        self.theme = LOOKS[self.look].name
        if not self.settings.motion or os.environ.get("BUCKETSIDE_MOTION") == "off":
            self.animation_level = "none"

    def get_default_screen(self) -> Screen[None]:
        return BenchScreen(self._make, self.folder, self._now, self._reopen_first, self._converse, self._shops)

    @property
    def bench(self) -> BenchScreen:
        screen = self.screen_stack[0]
        assert isinstance(screen, BenchScreen)
        return screen

    def on_app_focus(self) -> None:
        # A browser's page opens out of focus, when there is nothing yet that the focus could be given back to.
        self.call_later(self._focus_the_prompt)

    def _focus_the_prompt(self) -> None:
        if self.screen is self.bench and self.bench.focused is None:
            self.bench.prompt.focus()

    def action_look(self) -> None:
        """The other look, remembered for next time."""
        self.look = "day" if self.look == "night" else "night"
        self.theme = LOOKS[self.look].name
        self.settings.look = self.look
        self._keep_settings()

    def action_motion(self) -> None:
        """Movement on or off, remembered for next time."""
        self.settings.motion = not self.settings.motion
        self.animation_level = "full" if self.settings.motion else "none"
        self._keep_settings()
        self.notify("Movement on." if self.settings.motion else "Movement off.", markup=False)

    def _keep_settings(self) -> None:
        if not self.settings.write(self.folder):
            self.notify(f"The choice holds for now; {self.folder} can't be written.", severity="warning", markup=False)

    def get_system_commands(self, screen: Screen[object]) -> Iterable[SystemCommand]:
        bench = self.bench
        yield SystemCommand("Help", "what to ask and every key (F1)", bench.action_help)
        yield SystemCommand("Browse the handbook", "search, narrow, sort (F2)", bench.action_browse)
        yield SystemCommand("Passages", "the handbook behind the answer (F3)", bench.action_passages)
        yield SystemCommand("Plot", "life against temperature, water over the days (F4)", bench.action_plot)
        yield SystemCommand("Entry", "the material in question as a page (F5)", bench.action_entry)
        yield SystemCommand("Stock", "what is there, what to use first (F6)", bench.action_stock)
        yield SystemCommand("Plan a job", "order, days, water, visits on one sheet (F9)", bench.action_plan)
        yield SystemCommand("Quiz", "questions from the handbook (Ctrl+G)", bench.action_quiz)
        yield SystemCommand("Change an input", "go to the chips of the figure (Tab)", bench.action_to_chips)
        yield SystemCommand("Undo the last what-if", "back to the figure before (Ctrl+Z)", bench.action_undo)
        yield SystemCommand("Copy the answer", "clipboard and a file (Ctrl+Y)", bench.action_copy)
        yield SystemCommand("Save as Markdown", "the whole conversation (Ctrl+S)", bench.action_save)
        yield SystemCommand("Open a saved conversation", "and go on with it (Ctrl+O)", bench.action_reopen)
        yield SystemCommand("New conversation", "forget the job, start afresh (Ctrl+N)", bench.action_new)
        yield SystemCommand("Light or dark", "switch the look (Ctrl+T)", self.action_look)
        yield SystemCommand("Movement on or off", "keep everything still", self.action_motion)
        yield SystemCommand("Quit", "at once (Ctrl+Q)", self.exit)


def run_app(
    handbook: Path | None = None,
    overlays: Sequence[Path] = (),
    *,
    market: str = "EU",
    folder: Path | None = None,
    reopen: Path | None = None,
) -> None:
    """Run the app until the person quits.

    Args:
        handbook: a handbook folder; by default the one that came with the program.
        overlays: the shop's own folders laid over it.
        market: whose pack sizes count first ("EU", "UK" or "US").
        folder: where conversations are kept; by default the data folder.
        reopen: a saved conversation to go on with.
    """
    make = context_maker(lambda: datetime.now().date(), handbook, overlays, market)  # noqa: DTZ005 (the bench's own calendar)
    app = BucketsideApp(make, folder=folder, reopen=reopen, shops=overlays)
    app.run()
    if still_loading():
        leave_at_once(app.return_code or 0)


def still_loading() -> bool:
    """Whether one of our background threads is at work."""
    return any(thread.name.startswith(THREAD_PREFIX) for thread in threading.enumerate())


def leave_at_once(code: int) -> None:
    """End the process as it stands; everything of the person's is on disk by then.

    A native library that is loading a model in a daemon thread aborts the process when the interpreter is taken down
    around it, and what people would see of that is a crash message after quitting.
    """
    sys.stdout.flush()
    sys.stderr.flush()
    os._exit(code)
