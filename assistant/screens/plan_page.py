"""A job as a page: its sheet to scroll, one thing to change at a time, and the files to take along."""

from __future__ import annotations

import asyncio
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ScrollableContainer
from textual.content import Content
from textual.widgets import Input, Static

from assistant.language.cleaning import TooLong, safe_text
from assistant.screens.line import LineInput
from assistant.screens.pages import Page
from assistant.screens.written import path_of, write_whole

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.screens.errands import PlanWanted
    from assistant.sheets.job import Job
    from assistant.sheets.parts import Plan
    from assistant.sheets.prices import PriceList

KINDS = ("html", "pdf", "csv", "ics")
_BEGIN = (
    "A plan works a whole job out: what to order and when, how much water, when to visit and what to change.\n\n"
    "Type the name of a job file in the line below (.yaml, or .csv with its days), or paste a recipe with its days:\n"
    "  14 lisianthus, 2 bunches of salal; sixteen days at 22 °C; install Monday 7 December\n\n"
    "Then change one thing after the other, such as “make it 27 degrees”, and everything else follows."
)
_LOAD = "a job file (.yaml, .csv) or a recipe with days and the day it goes up"
_CHANGE = "change one thing: make it 27 degrees, 20 days, two pieces …"
_KEYS_BEGIN = "Enter reads it   Esc back"
_KEYS = "arrows PgUp PgDn scroll  Ctrl+Z undo  Ctrl+Y copy  Ctrl+S files  Esc back"


class PlanPage(Page):
    """`wanted` is a job pasted in the chat or a job file; `shops` are the shop's own folders, for prices."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("up", "by_line(-1)", "Up", show=False),
        Binding("down", "by_line(1)", "Down", show=False),
        Binding("left", "sideways(-1)", "Left", show=False),
        Binding("right", "sideways(1)", "Right", show=False),
        Binding("pageup", "by_page(-1)", "Page up", show=False),
        Binding("pagedown", "by_page(1)", "Page down", show=False),
        Binding("ctrl+z", "undo", "Undo the change", show=False),
        Binding("ctrl+y", "copy", "Copy as Markdown", show=False),
        Binding("ctrl+s", "files", "Write files", show=False),
        Binding("f9", "leave", "Back", show=False),
    ]
    AUTO_FOCUS = ""

    def __init__(
        self,
        context: Context,
        folder: Path,
        now: Callable[[], datetime],
        wanted: PlanWanted | None = None,
        shops: Sequence[Path] = (),
    ) -> None:
        super().__init__()
        self.context = context
        self.folder = folder
        self.plan: Plan | None = None
        self._now = now
        self._wanted = wanted
        self._shops = tuple(shops)
        self._before: list[Job] = []
        # A recipe that lacks one thing waits for it here.
        self._unfinished = ""
        self._naming_folder = False

    def compose(self) -> ComposeResult:
        yield self.title_line("Plan")
        yield self.keys_line(_KEYS_BEGIN)
        with ScrollableContainer(id="page"):
            yield Static(_BEGIN, id="sheet", classes="-begin", markup=False)
        yield Static("", id="said", markup=False)
        yield LineInput(_LOAD)

    def on_mount(self) -> None:
        wanted = self._wanted
        if wanted is not None:
            if wanted.file:
                self._do(lambda: self._take(wanted.file))
            elif wanted.job is not None:
                job = wanted.job
                self._do(lambda: self._show(job, " ".join(wanted.notes)))
        self.set_focus(self._line)

    def on_resize(self, event: events.Resize) -> None:
        if self.plan is not None:
            self._write_sheet()

    @property
    def _line(self) -> LineInput:
        return self.query_one(LineInput)

    # --- the sheet ------------------------------------------------------------------------------------------

    def _show(self, job: Job, sentence: str = "", *, back: bool = False) -> str:
        """Plan a job and show its sheet; the one before can be gone back to unless this is going back."""
        from assistant.screens.shelf import holdings
        from assistant.sheets.plan import plan

        made = plan(job, self.context.handbook, holdings(), prices=self._prices(), today=self.context.today)
        if self.plan is not None and not back:
            self._before.append(self.plan.job)
        self.plan = made
        self._unfinished = ""
        self._write_sheet()
        self.query_one(".page-keys", Static).update(Content(_KEYS))
        self._line.placeholder = _CHANGE
        stops = sum(flag.severity == "stop" for flag in self.plan.flags)
        stop = f"   ▲ {stops} to settle first" if stops else ""
        self.query_one(".page-title", Static).update(Content(f"Plan   {safe_text(job.title)}{stop}"))
        return sentence

    def _write_sheet(self) -> None:
        from assistant.sheets.sheet import sheet_of
        from assistant.sheets.text import as_text

        assert self.plan is not None
        width = max(40, self.app.size.width - 6)
        text = as_text(sheet_of(self.plan), min(width, 110))
        # Line by line: the sheet's own line ends stay, and a shop's names bring no escapes with them.
        clean = "\n".join(_clean(line) for line in text.splitlines())
        sheet = self.query_one("#sheet", Static)
        sheet.remove_class("-begin")
        sheet.update(Content(clean))

    def _prices(self) -> PriceList | None:
        from assistant.sheets.prices import load_prices

        for shop in reversed(self._shops):
            prices = load_prices(shop, self.context.handbook)
            if prices is not None:
                return prices
        return None

    # --- what is typed --------------------------------------------------------------------------------------

    @on(Input.Submitted)
    async def submitted(self, event: Input.Submitted) -> None:
        event.stop()
        text = self._line.hand_over()
        if self._naming_folder:
            self._name_no_folder()
            if text:
                await self._write_files(text)
        elif text:
            self._do(lambda: self._take(text))

    def _do(self, work: Callable[[], str]) -> None:
        """One thing, and one sentence: what was done, or why it was not."""
        from assistant.calculators.ranges import OutOfRange
        from assistant.handbook.loading import HandbookError
        from assistant.stock.lots import StockError

        try:
            sentence = work()
        except HandbookError as error:
            lines = [str(problem) for problem in error.problems[:3]] or [str(error)]
            more = len(error.problems) - len(lines)
            sentence = "\n".join([*lines, *([f"… and {more} more"] if more > 0 else [])])
        except (StockError, OutOfRange, TooLong) as error:
            sentence = str(error)
        except OSError as error:
            sentence = f"That can't be read: {error.strerror or error}."
        self._say(sentence)

    def _say(self, sentence: str) -> None:
        clean = "\n".join(safe_text(line) for line in sentence.splitlines())
        self.query_one("#said", Static).update(Content(clean))

    def _take(self, text: str) -> str:
        from assistant.screens.errands import job_file_in

        named = job_file_in(text)
        if named is not None:
            return self._read_file(*named)
        from assistant.sheets.recipe import changed, changes_in, from_text

        context = self.context
        parse = context.parser.parse(text, today=context.today)
        counted = any(m.stems or m.bunches for m in parse.mentions)
        if self.plan is None or counted:
            words = f"{self._unfinished}; {text}" if self._unfinished else text
            read = from_text(words, context.parser, lambda: context.today, changes={"market": context.market})
            if read.job is not None:
                return self._show(read.job, " ".join(read.notes))
            if self.plan is None:
                self._unfinished = words
                return " ".join([*read.notes, read.question or "That is no recipe."])
        changes = changes_in(text, context.parser, lambda: context.today)
        if not changes:
            return "Say one thing about the job: how warm, how long, which day, where; or paste a recipe with its days."
        assert self.plan is not None
        job = changed(self.plan.job, context.handbook, changes)
        said = self._show(job, f"Changed: {', '.join(_CHANGED.get(name, name) for name in changes)}.")
        return f"{said} The recipe itself stays; paste it whole to replace it." if counted else said

    def _read_file(self, path: Path, rest: str) -> str:
        from assistant.sheets.recipe import changes_in, read_job

        changes = changes_in(rest, self.context.parser, lambda: self.context.today) if rest else {}
        if path.suffix.lower() == ".csv" and path.is_file() and not {"install", "display_days"} <= set(changes):
            return (
                f"A CSV holds the recipe only; say the rest behind its name: {path}, 14 days, install Monday 7 December"
            )
        return self._show(read_job(path, self.context.handbook, changes), f"Read from {path}.")

    def action_undo(self) -> None:
        if not self._before:
            self._say("There is no change to take back.")
            return
        job = self._before.pop()
        self._do(lambda: self._show(job, "The change before is taken back.", back=True))

    # --- taking it along ------------------------------------------------------------------------------------

    def action_copy(self) -> None:
        if self.plan is None:
            self._say("There is no plan to copy yet.")
            return
        from assistant.screens.keeping import keep_copy
        from assistant.sheets.markdown import as_markdown
        from assistant.sheets.sheet import sheet_of

        text = as_markdown(sheet_of(self.plan))
        self.app.copy_to_clipboard(text)
        self._say(keep_copy(self.folder, text)[0])

    def action_files(self) -> None:
        if self.plan is None:
            self._say("There is no plan to write yet.")
            return
        self._naming_folder = True
        self._say(f"Which folder? {', '.join(kind.upper() for kind in KINDS)} of this job go there; Enter writes them.")
        self._line.placeholder = "a folder"
        self._line.lay_out(str(self.folder / "exports"))

    def _name_no_folder(self) -> None:
        self._naming_folder = False
        self._line.placeholder = _LOAD if self.plan is None else _CHANGE

    async def _write_files(self, named: str) -> None:
        from assistant.sheets.commands import rendered

        plan, stamp = self.plan, self._now().astimezone(UTC).replace(microsecond=0)
        assert plan is not None
        self._say("Writing…")

        def work() -> Path:
            folder = path_of(named)
            # All of them are made before the first is written, so that a trouble with one leaves no half set.
            made = {kind: rendered(plan, kind, stamp) for kind in KINDS}
            folder.mkdir(parents=True, exist_ok=True)
            for kind, data in made.items():
                write_whole(folder / f"{plan.job.job}.{kind}", data)
            return folder

        try:
            folder = await asyncio.to_thread(work)
        except (OSError, ValueError) as error:
            reason = error.strerror if isinstance(error, OSError) else None
            self._say(f"{named} can't be written to: {reason or error}.")
            return
        names = ", ".join(f"{plan.job.job}.{kind}" for kind in KINDS)
        self._say(f"Written to {folder}: {names}.")

    # --- moving about ---------------------------------------------------------------------------------------

    def action_by_line(self, way: int) -> None:
        page = self.query_one("#page", ScrollableContainer)
        page.scroll_relative(y=way, animate=False)

    def action_sideways(self, way: int) -> None:
        """A table wider than the terminal comes into view piece by piece."""
        self.query_one("#page", ScrollableContainer).scroll_relative(x=way * 20, animate=False)

    def action_by_page(self, way: int) -> None:
        page = self.query_one("#page", ScrollableContainer)
        page.scroll_relative(y=way * max(1, page.size.height - 1), animate=False)

    def action_leave(self) -> None:
        """Esc goes back one step: from naming a folder, from a typed line, from the page."""
        if self._naming_folder or self._line.value or self._unfinished:
            self._unfinished = ""
            self._name_no_folder()
            self._line.lay_out("")
            self._say("")
        else:
            self.dismiss(None)


_CHANGED = {
    "degC": "temperature", "humidity": "humidity", "install": "the day it goes up", "display_days": "days",
    "pieces": "pieces", "place": "place", "support": "how it stands", "audience": "who comes by", "vessels": "vessel",
    "confidence": "chance of having enough",
}  # fmt: skip


def _clean(line: str) -> str:
    """A line without control characters; its indent stays."""
    bare = line.lstrip(" ")
    return " " * (len(line) - len(bare)) + "".join(c for c in bare if c.isprintable())
