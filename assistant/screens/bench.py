"""The main screen: conversation, passages, job, prompt. It owns the conversation; widgets only show and tell."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from threading import Thread
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Container
from textual.content import Content
from textual.screen import Screen
from textual.widget import Widget
from textual.widgets import Static

from assistant.screens.job_bar import JobBar, JobChip
from assistant.screens.loading import (
    HandbookFailed,
    HandbookReady,
    MakeContext,
    MeaningLoaded,
    MeaningProgress,
    Replayed,
    load_in_background,
    replay_in_background,
)
from assistant.screens.names import Names
from assistant.screens.passages_panel import PassageItem, PassagesPanel
from assistant.screens.prompt import Prompt
from assistant.screens.recall import Recall
from assistant.screens.replies import Replies
from assistant.screens.sizes import ACROSS, DOWN, WIDE
from assistant.screens.status import MEANING_LOADING, MEANING_OFF, MEANING_READY, StatusLine
from assistant.screens.turns import Turns
from assistant.screens.whatifs import WhatIfs

# Whatever the first frame can do without is imported where it is used (the loading thread has done so by then).
if TYPE_CHECKING:
    from assistant.dialogue.answer import Answer
    from assistant.dialogue.context import Context
    from assistant.dialogue.conversation import Conversation
    from assistant.drill.items import Bank
    from assistant.drill.sets import SetDescription
    from assistant.screens.chips import Chip
    from assistant.screens.errands import PlanWanted
    from assistant.screens.records import Record
    from assistant.screens.transcripts import Transcript
    from assistant.screens.turn import TurnView

EXAMPLES = (
    "how long do roses last at 24 degrees?",
    "refresh plan for tulips and ruscus over 14 days in a reading room",
    "how many bunches of carnations for 140 stems?",
    "we are out of lisianthus, what can stand in for 12 stems?",
)
WELCOME = Content.assemble(
    ("Bucketside\n", "bold $accent"),
    "Ask how long it lasts, how much to order, how much water, what to use instead.\n",
    "Every answer comes with a figure you can turn and the handbook passages behind it.\n\n",
    ("Nothing leaves this machine. Type a question, or press a digit and Enter. F1 shows the keys.", "$quiet"),
)


Converse = Callable[["Context"], "Conversation"]


def new_conversation(context: Context) -> Conversation:
    """A conversation that remembers nothing yet."""
    from assistant.dialogue.conversation import Conversation

    return Conversation(context)


class BenchScreen(Screen[None]):
    """Everything at hand. `make` builds the handbook's context in the background; `now` is the clock."""

    HORIZONTAL_BREAKPOINTS = ACROSS
    VERTICAL_BREAKPOINTS = DOWN
    AUTO_FOCUS = "#prompt"
    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("escape", "home", "Back to the prompt", show=False),
        Binding("f1", "help", "Help", show=False),
        Binding("f2", "browse", "Handbook", show=False),
        Binding("f3", "passages", "Passages", show=False),
        Binding("f4", "plot", "Plot", show=False),
        Binding("f5", "entry", "Entry", show=False),
        Binding("f6", "stock", "Stock", show=False),
        Binding("f9", "plan", "Plan", show=False),
        Binding("ctrl+g", "quiz", "Quiz", show=False),
        Binding("f7", "look(-1)", "Earlier answer", show=False),
        Binding("f8", "look(1)", "Later answer", show=False),
        Binding("pageup", "scroll(-1)", "Scroll up", show=False),
        Binding("pagedown", "scroll(1)", "Scroll down", show=False),
        Binding("ctrl+z", "undo", "Undo the what-if", show=False),
        Binding("ctrl+y", "copy", "Copy", show=False),
        Binding("ctrl+s", "save", "Save", show=False),
        Binding("ctrl+o", "reopen", "Open a saved conversation", show=False),
        Binding("ctrl+n", "new", "New conversation", show=False),
    ]

    def __init__(
        self,
        make: MakeContext,
        folder: Path,
        now: Callable[[], datetime],
        reopen: Path | None = None,
        converse: Converse | None = None,
        shops: Sequence[Path] = (),
    ) -> None:
        super().__init__()
        self.names = Names()
        self.folder = folder
        self.conversation: Conversation | None = None
        self._make = make
        self._converse = converse or new_conversation
        self._now = now
        self._reopen_first = reopen
        self._recall = Recall(folder / "asked.txt")
        self._waiting: list[tuple[str, Static]] = []
        self._failed: tuple[str, ...] = ()
        self._meaning: bool | None = None
        self._replaying = 0
        self._told_unkept = False
        self._to_replay: Sequence[Record] | None = None
        self.loader: Thread | None = None
        self._what_ifs = WhatIfs()
        self._shops = tuple(shops)
        self._bank: Bank | None = None

    def compose(self) -> ComposeResult:
        with Container(id="middle"):
            yield Turns(self.names, WELCOME)
            yield PassagesPanel()
        yield Replies()
        yield JobBar()
        yield Prompt(self._recall)
        yield StatusLine()

    def on_mount(self) -> None:
        self.query_one(PassagesPanel).display = False
        self.query_one(JobBar).show({})
        self._offer(EXAMPLES)
        self.watch(self, "focused", self._focus_moved, init=False)
        if self._reopen_first is not None:
            self._open_saved(str(self._reopen_first))
        # Only after the first frame: reading the handbook competes with drawing for the same interpreter.
        self.call_after_refresh(self._start_loading)

    def _start_loading(self) -> None:
        self.loader = load_in_background(self.post_message, self._make)

    # --- parts ----------------------------------------------------------------------------------------------

    @property
    def turns(self) -> Turns:
        return self.query_one(Turns)

    @property
    def prompt(self) -> Prompt:
        return self.query_one(Prompt)

    def past_questions(self) -> list[str]:
        """Questions of this conversation, newest first, each once."""
        transcript = self.turns.transcript
        if transcript is None:
            return []
        first = max(0, len(transcript) - 200)
        texts = [transcript.read(n).text for n in range(len(transcript) - 1, first - 1, -1)]
        return list(dict.fromkeys(texts))

    def _tell(self, sentence: str, severity: str = "information") -> None:
        self.app.notify(
            sentence, severity="warning" if severity == "warning" else "information", markup=False, timeout=6
        )

    def _say_state(self) -> None:
        if self._failed:
            state = "the handbook can't be used; see the message above"
        elif self.names.context is None:
            return
        else:
            count = len(self.names.context.handbook.materials)
            meaning = {None: MEANING_LOADING, True: MEANING_READY, False: MEANING_OFF}[self._meaning]
            state = meaning
            self.query_one(StatusLine).say(state, f"{count} materials, {meaning}")
            return
        self.query_one(StatusLine).say(state)

    # --- loading --------------------------------------------------------------------------------------------

    @on(HandbookReady)
    def handbook_ready(self, event: HandbookReady) -> None:
        self.names.context = event.context
        self.prompt.vocabulary = event.vocabulary
        if event.context.retriever is None:
            self._meaning = False
        self._say_state()
        self.turns.refit()
        if self._to_replay is not None:
            self._replay(self._to_replay)
        else:
            self.conversation = self._converse(event.context)
            self._answer_waiting()

    @on(HandbookFailed)
    def handbook_failed(self, event: HandbookFailed) -> None:
        self._failed = event.lines
        self._say_state()
        self.query_one("#welcome", Static).update(
            Content.assemble(("The handbook can't be used\n", "bold $error"), "\n".join(event.lines))
        )
        for _, widget in self._waiting:
            widget.remove()
        self._waiting.clear()

    @on(MeaningProgress)
    def meaning_progress(self, event: MeaningProgress) -> None:
        self.query_one(StatusLine).say(f"{MEANING_LOADING} {event.percent} %")

    @on(MeaningLoaded)
    def meaning_loaded(self, event: MeaningLoaded) -> None:
        self._meaning = event.on
        self._say_state()

    @on(Replayed)
    def replayed(self, event: Replayed) -> None:
        if event.number != self._replaying:
            return  # another conversation was opened meanwhile
        self.conversation = event.conversation
        self._to_replay = None
        self.turns.revive(lambda record: record.figured and bool(event.conversation.memory.wishes))
        self._show_memory()
        self._say_state()
        self._answer_waiting()

    def _replay(self, records: Sequence[Record]) -> None:
        assert self.names.context is not None
        self._replaying += 1
        self.query_one(StatusLine).say("going through the saved conversation…")
        self.loader = replay_in_background(self.post_message, self.names.context, records, self._replaying)

    def _answer_waiting(self) -> None:
        waiting, self._waiting = self._waiting, []
        for text, widget in waiting:
            widget.remove()
            self.ask(text)

    # --- asking ---------------------------------------------------------------------------------------------

    def ask(self, text: str) -> None:
        """Answer a question, or let it wait in sight until the handbook has been read."""
        if self._failed:
            self._tell(self._failed[0], "warning")
            return
        if self.conversation is None:
            why = "waiting for the handbook" if self.names.context is None else "waiting for the saved conversation"
            self._waiting.append((text, self.turns.wait_with(text, why)))
            return
        if self._run_errand(text):
            return
        conversation = self.conversation
        answer = self._guarded(text, lambda: conversation.turn(text))
        self._what_ifs.clear()
        self._add(text, answer)
        self._show_memory()

    def _run_errand(self, text: str) -> bool:
        """Do what is no question: open the quiz or a plan, or write to the stock. False leaves it to be answered."""
        from assistant.dialogue.answer import Answer
        from assistant.screens.errands import PlanWanted, errand_of

        context = self.names.context
        assert context is not None
        try:
            errand = errand_of(text, context)
        except Exception as error:  # what can't be read as an errand may still be answered
            self.log.error(f"no errand: {error!r}")
            return False
        match errand:
            case None:
                return False
            case Answer():
                self._add(text, errand)
            case PlanWanted():
                self.open_plan(errand)
            case _:
                self.open_quiz(errand)
        return True

    def _add(self, text: str, answer: Answer) -> None:
        """A turn on the screen and in the transcript."""
        from assistant.screens.records import Record

        assert self.conversation is not None
        if self.turns.transcript is None:
            self.turns.begin(self._new_transcript())
        self.turns.add(Record(text, answer, f"{self._now():%Y-%m-%d}", bool(self.conversation.memory.speaks_us)))
        if self.turns.transcript is not None and not self.turns.transcript.kept and not self._told_unkept:
            self._told_unkept = True
            self._tell(f"This conversation is not kept: {self.folder} can't be written.", "warning")
        self._offer(answer.choices or answer.follow_ups)

    def _guarded(self, text: str, work: Callable[[], Answer]) -> Answer:
        """What the conversation answers; one thing that can't be worked out must not end the app."""
        try:
            return work()
        except Exception as error:
            self.log.error(f"no answer: {error!r}")
            from assistant.dialogue.answer import Answer

            sentence = f"I could not work that out ({type(error).__name__}). Please ask it another way."
            return Answer(text, "not_covered", None, sentence)

    def _offer(self, lines: Sequence[str]) -> None:
        self.prompt.replies = tuple(lines[:9])
        self._show_replies()

    def _show_replies(self) -> None:
        transcript = self.turns.transcript
        fresh = not self._waiting and (transcript is None or not len(transcript))
        self.query_one(Replies).show_replies(self.prompt.replies, stacked=fresh)

    def _show_memory(self) -> None:
        if self.conversation is not None:
            memory = self.conversation.memory
            self.query_one(JobBar).show(memory.job, bool(memory.speaks_us))

    @on(Prompt.Asked)
    def asked(self, event: Prompt.Asked) -> None:
        self.ask(event.text)

    @on(Prompt.Completions)
    def completions(self, event: Prompt.Completions) -> None:
        replies = self.query_one(Replies)
        if event.lines:
            replies.show_completions(event.lines, self.prompt.value)
        else:
            self._show_replies()

    @on(Prompt.HelpWanted)
    def help_wanted(self) -> None:
        self.action_help()

    @on(Prompt.SearchWanted)
    def search_wanted(self) -> None:
        self.action_browse()

    @property
    def focus_chain(self) -> list[Widget]:
        """Tab goes from the prompt to the chips of the figure, then passages, the job, turns out of sight."""
        order = ("chip", "passage", "job-chip", "edge")

        def place(widget: Widget) -> int:
            return next((n for n, kind in enumerate(order) if widget.has_class(kind)), len(order))

        return sorted(super().focus_chain, key=place)

    @on(Replies.Picked)
    def reply_picked(self, event: Replies.Picked) -> None:
        if event.send:
            self.prompt.recall.add(event.line)
            self.ask(event.line)
            self.set_focus(self.prompt)
        else:
            self.prompt.take(event.line)

    # --- what-ifs ------------------------------------------------------------------------------------------

    def on_chip_turned(self, event: Chip.Turned) -> None:
        live = self.turns.live
        if live is None or self.conversation is None:
            return
        conversation = self.conversation
        answer = self._guarded("", lambda: conversation.revise(event.slot, event.reading))
        if answer.outcome != "answered":
            self._tell(answer.reply, "warning")
            return
        merge = self._what_ifs.turned(event.slot)
        answer = replace(answer, question=live.record.text)
        self._show_revised(live.record.with_change(answer, event.slot, event.reading, merge=merge))

    def on_chip_refused(self, event: Chip.Refused) -> None:
        self._tell(event.sentence, "warning")

    def action_undo(self) -> None:
        """Take back the last what-if; what was said in words is undone in words."""
        live = self.turns.live
        if self.conversation is None:
            return
        if live is None or not self._what_ifs:
            self.ask("undo")
            return
        conversation, answer = self.conversation, live.record.answer
        for _ in range(self._what_ifs.take_back()):
            undone = self._guarded("undo", conversation.undo)
            answer = undone if undone.outcome == "answered" else answer
        answer = replace(answer, question=live.record.text)
        self._show_revised(replace(live.record, answer=answer, changes=live.record.changes[:-1]))

    def _show_revised(self, record: Record) -> None:
        self.turns.revise(record)
        # What could be asked next has changed with the figure; a line being typed keeps its completions.
        self.prompt.replies = (record.answer.choices or record.answer.follow_ups)[:9]
        if not self.prompt.value:
            self._show_replies()
        self._show_memory()
        live = self.turns.live
        if live is not None and live.query(".extra"):
            self._draw_plot(live)

    @on(JobChip.Dropped)
    def job_dropped(self, event: JobChip.Dropped) -> None:
        if self.conversation is not None:
            self.conversation.forget(event.slot)
            self._show_memory()
            if not self.conversation.memory.job:
                self.set_focus(self.prompt)

    # --- looking --------------------------------------------------------------------------------------------

    @on(Turns.LiveChanged)
    def live_changed(self, event: Turns.LiveChanged) -> None:
        self.query_one(PassagesPanel).show(event.record)

    @on(PassageItem.EntryWanted)
    def entry_wanted(self, event: PassageItem.EntryWanted) -> None:
        self.open_entry(event.owner)

    def _focus_moved(self, widget: Widget | None) -> None:
        kinds = {"chip": "chip", "passage": "passage", "job-chip": "job"}
        where = "prompt" if isinstance(widget, Prompt) else ""
        where = next((kinds[c] for c in (widget.classes if widget is not None else ()) if c in kinds), where)
        self.query_one(StatusLine).point(where)
        if where != "chip":
            self._what_ifs.let_go()

    def on_resize(self, event: events.Resize) -> None:
        self.query_one(PassagesPanel).fit(event.size.width >= WIDE)

    def open_entry(self, entry: str) -> None:
        """A material or rule as a page."""
        from assistant.screens.entry import EntryPage

        context = self.names.context
        if context is None:
            self._tell("The handbook is still being read.")
            return
        rule_or_material = entry if entry.split("/")[0] not in context.handbook.materials else entry.split("/")[0]
        self.app.push_screen(EntryPage(rule_or_material, context), self._take_line)

    def _take_line(self, line: str | None) -> None:
        if line:
            self.prompt.take(line)

    # --- actions --------------------------------------------------------------------------------------------

    def action_home(self) -> None:
        self.set_focus(self.prompt)
        self.turns.look_at_newest()

    def action_help(self) -> None:
        from assistant.screens.help import HelpPage

        self.app.push_screen(HelpPage())

    def action_browse(self) -> None:
        from assistant.screens.browse import BrowsePage

        if self.names.context is None:
            self._tell("The handbook is still being read.")
            return
        self.app.push_screen(BrowsePage(self.names.context), self._take_line)

    def open_quiz(self, description: SetDescription | None = None) -> None:
        """The quiz, about everything or about a set."""
        from assistant.screens.quiz_page import QuizPage

        if self.names.context is None:
            self._tell("The handbook is still being read.")
            return
        from assistant.screens.quizzing import own_entries

        own = own_entries(self.names.context, self._shops)
        page = QuizPage(self.names.context, self._now, description, self._bank, self._keep_bank, own)
        self.app.push_screen(page, self._take_line)

    def _keep_bank(self, bank: Bank) -> None:
        self._bank = bank

    def open_plan(self, wanted: PlanWanted | None = None) -> None:
        """The plan of a job, or where one begins."""
        from assistant.screens.plan_page import PlanPage

        if self.names.context is None:
            self._tell("The handbook is still being read.")
            return
        page = PlanPage(self.names.context, self.folder, self._now, wanted, self._shops)
        self.app.push_screen(page, self._take_line)

    def action_quiz(self) -> None:
        self.open_quiz()

    def action_plan(self) -> None:
        self.open_plan()

    def action_stock(self) -> None:
        from assistant.screens.stock_page import StockPage

        if self.names.context is None:
            self._tell("The handbook is still being read.")
            return
        self.app.push_screen(StockPage(self.names.context), self._take_line)

    def action_passages(self) -> None:
        items = list(self.query(PassageItem))
        if any(item.has_focus for item in items):
            self.set_focus(self.prompt)
        elif items:
            self.set_focus(items[0])
        else:
            self._tell("This answer has no passages.")

    def action_plot(self) -> None:
        view = self.turns.chosen
        if view is None:
            return
        if view.query(".extra"):
            view.toggle_extra(None)
        elif not self._draw_plot(view):
            self._tell("There is nothing to plot behind this answer.")

    def _draw_plot(self, view: TurnView) -> bool:
        from assistant.screens.curves import plot_of
        from assistant.screens.plots import draw

        context = self.names.context
        if context is None:
            return False
        wishes = self.conversation.memory.wishes if self.conversation is not None and view is self.turns.live else ()
        plot = plot_of(view.record.answer, context, wishes, view.record.us)
        if plot is None:
            view.toggle_extra(None)
            return False
        height = max(9, min(16, self.turns.size.height - 2))
        view.toggle_extra(draw(plot, min(76, self.turns.card_width), height))
        extra = view.query(".extra").last()
        self.turns.bring(extra)
        return True

    def action_entry(self) -> None:
        view = self.turns.chosen
        ids = view.record.answer.materials if view is not None else ()
        if ids:
            self.open_entry(ids[0])
        else:
            self.action_browse()

    def action_look(self, step: int) -> None:
        self.turns.choose(step)

    def action_scroll(self, way: int) -> None:
        self.turns.page(way)

    def action_copy(self) -> None:
        """Selected text, else the answer looked at: to the clipboard and to a file."""
        from assistant.screens.export import answer_text
        from assistant.screens.keeping import keep_copy

        selected = self.get_selected_text()
        view = self.turns.chosen
        if not selected and view is None:
            self._tell("There is no answer to copy yet.")
            return
        text = selected or (answer_text(view.record.answer, self.names, view.record.us) if view is not None else "")
        self.app.copy_to_clipboard(text)
        sentence, kept = keep_copy(self.folder, text)
        self._tell(sentence, "information" if kept else "warning")

    def action_save(self) -> None:
        from assistant.screens.keeping import save_markdown

        transcript = self.turns.transcript
        if transcript is None or not len(transcript):
            self._tell("There is nothing to save yet.")
            return
        sentence, kept = save_markdown(self.folder, transcript, self.names)
        self._tell(sentence, "information" if kept else "warning")

    def action_reopen(self) -> None:
        from assistant.screens.saved import SavedPage

        self.app.push_screen(SavedPage(self.folder / "conversations"), self._open_saved)

    def _open_saved(self, path: str | None) -> None:
        from assistant.screens.transcripts import NotAConversation, Transcript

        if path is None:
            return
        try:
            transcript = Transcript.reopen(Path(path))
        except NotAConversation as error:
            self._tell(str(error), "warning")
            return
        self._switch(transcript)
        records = [transcript.read(n) for n in range(max(0, len(transcript) - 300), len(transcript))]
        self._to_replay = records
        if self.names.context is not None:
            self._replay(records)

    def action_new(self) -> None:
        self._switch(self._new_transcript())
        self._to_replay = None
        self._replaying += 1
        self.conversation = self._converse(self.names.context) if self.names.context is not None else None
        self._show_memory()
        self._offer(EXAMPLES)
        self.set_focus(self.prompt)

    def _new_transcript(self) -> Transcript:
        from assistant.screens.transcripts import Transcript

        return Transcript(self.folder / "conversations", self._now())

    def _switch(self, transcript: Transcript) -> None:
        if self.turns.transcript is not None:
            self.turns.transcript.close()
        self.conversation = None
        self._what_ifs.clear()
        self.turns.begin(transcript)
        self._offer(())

    def action_to_chips(self) -> None:
        """The first chip of the live figure."""
        live = self.turns.live
        chips = list(live.query(".chip")) if live is not None else []
        if chips:
            self.set_focus(chips[0])
        else:
            self._tell("There is no figure with inputs to change yet.")
