"""The quiz as a page: a question, an answer in a letter or a line, the mark with the handbook's words behind it."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import datetime
from threading import Thread
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.actions import SkipAction
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from assistant.language.cleaning import TooLong, safe_text
from assistant.screens.line import LineInput
from assistant.screens.pages import Page
from assistant.screens.quizzing import BankFailed, BankReady, NoQuiz, bank_in_background, in_utc, session_of

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.drill.item import Item
    from assistant.drill.items import Bank
    from assistant.drill.session import DrillSession, Outcome
    from assistant.drill.sets import SetDescription
    from assistant.drill.store import Store

_WORDS = {"right": "RIGHT", "partly": "PARTLY RIGHT", "wrong": "NOT RIGHT", "unknown": "NO MATTER"}
_COLOURS = {"right": "$success", "partly": "$warning", "wrong": "$error", "unknown": "$secondary"}
_DIGIT = re.compile(r"[1-9]")


class QuizPage(Page):
    """`description` is what to ask about; None means everything. `bank` saves making it again, and `keep` gets it.

    `own` are the ids of the shop's own entries; the same `seed`, record and time ask the same questions.
    """

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("enter,space", "go_on", "Next question", show=False),
        Binding("a", "ask", "Ask about it", show=False),
        Binding("down", "to_options", "Options", show=False),
        Binding("ctrl+g", "leave", "Back", show=False),
    ]
    AUTO_FOCUS = ""

    def __init__(
        self,
        context: Context,
        now: Callable[[], datetime],
        description: SetDescription | None = None,
        bank: Bank | None = None,
        keep: Callable[[Bank], None] | None = None,
        own: frozenset[str] = frozenset(),
        seed: int | None = None,
    ) -> None:
        super().__init__()
        self.context = context
        self.description = description
        self.session: DrillSession | None = None
        self.outcome: Outcome | None = None
        self.maker: Thread | None = None
        self._clock = in_utc(now)
        self._bank = bank
        self._keep = keep
        self._own = own
        self._seed = seed
        self._store: Store | None = None
        self._asked_again = False
        self._over = False
        self._number = 0

    def compose(self) -> ComposeResult:
        yield self.title_line("Quiz")
        yield self.keys_line("Esc back")
        with VerticalScroll(id="page"):
            yield Static("Putting the questions together…", id="quiz-text", classes="page-text", markup=False)
        yield OptionList(id="quiz-options", classes="options", markup=False)
        yield Static("", id="said", markup=False)
        yield LineInput("")

    def on_mount(self) -> None:
        self._options.display = self._line.display = False
        if self._bank is not None:
            self._begin(self._bank)
        else:
            # After the first frame: making a quarter of a second's worth of questions must not hold the page back.
            self.call_after_refresh(self._make)

    def _make(self) -> None:
        self.maker = bank_in_background(self.post_message, self.context, self._own)

    def on_unmount(self) -> None:
        if self._store is not None:
            self._store.close()

    @property
    def _line(self) -> LineInput:
        return self.query_one(LineInput)

    @property
    def _options(self) -> OptionList:
        return self.query_one("#quiz-options", OptionList)

    # --- beginning ------------------------------------------------------------------------------------------

    @on(BankReady)
    def bank_ready(self, event: BankReady) -> None:
        event.stop()
        if self._keep is not None:
            self._keep(event.bank)
        self._begin(event.bank)

    @on(BankFailed)
    def bank_failed(self, event: BankFailed) -> None:
        event.stop()
        self._stop(event.sentence)

    def _begin(self, bank: Bank) -> None:
        from assistant.drill.sets import EVERYTHING
        from assistant.drill.store import Store, StoreError

        try:
            self._store = Store()
            self.session = session_of(bank, self._store, self.description or EVERYTHING, self._clock, self._seed)
        except (StoreError, NoQuiz, TooLong) as error:
            self._stop(str(error))
            return
        self._next()

    def _stop(self, sentence: str) -> None:
        """Nothing more to ask; Esc or Enter go back."""
        self._over = True
        self._show(Content(safe_text(sentence)), "Enter or Esc back")

    # --- asking ---------------------------------------------------------------------------------------------

    def _next(self) -> None:
        assert self.session is not None
        self.outcome, self._asked_again = None, False
        item = self.session.next()
        if item is None:
            self._sum_up()
            return
        self._number += 1
        first = self._number == 1 and self.session.changed
        changed = f"{self.session.changed} of the answers you knew have changed; they come first.\n\n" if first else ""
        keys = "Enter answers   I don't know is fine   Esc stop"
        if item.choices:
            keys = "a letter or words, Enter answers   ↓ options   I don't know is fine   Esc stop"
        self._show(Content.assemble((changed, "$secondary"), (safe_text(item.question), "bold")), keys)
        self._fill_options(item)
        self.set_class(True, "-asking")
        self._line.display = True
        self._line.placeholder = "letters in order, such as b a c" if _is_order(item) else "your answer"
        self._line.lay_out("")

    def _fill_options(self, item: Item) -> None:
        from assistant.drill.session import lettered

        self._options.clear_options()
        self._options.add_options([Option(Content(safe_text(line))) for line in lettered(item)])
        self._options.display = bool(item.choices)

    def _show(self, text: Content, keys: str) -> None:
        self.query_one("#quiz-text", Static).update(text)
        self.query_one("#said", Static).update("")
        self.query_one(".page-keys", Static).update(Content(keys))
        title = "Quiz"
        if self.session is not None and not self._over:
            title = f"Quiz   {safe_text(self.session.description.words)}   question {self._number}"
            title += f" of {self.session.count}" if self.session.count else ""
        self.query_one(".page-title", Static).update(Content(title))
        self._options.display = self._line.display = False
        self.set_class(False, "-asking")
        page = self.query_one("#page", VerticalScroll)
        page.scroll_home(animate=False)
        self.set_focus(page)

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        event.stop()
        self._answer(self._line.hand_over())

    @on(OptionList.OptionSelected)
    def option_picked(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        from assistant.drill.item import LETTERS

        item = self.session.current if self.session is not None else None
        if item is None:
            return
        letter = LETTERS[event.option_index]
        if _is_order(item):  # one letter is no order yet
            self._line.lay_out(f"{self._line.value} {letter}".strip())
        else:
            self._answer(letter)

    def on_key(self, event: events.Key) -> None:
        """Typing while the options have the focus goes to the line."""
        if self._options.has_focus and event.is_printable and event.character and event.character != " ":
            self._line.lay_out(self._line.value + event.character)
            event.stop()

    def _answer(self, said: str) -> None:
        from assistant.drill.store import StoreError

        session = self.session
        item = session.current if session is not None else None
        if session is None or item is None:
            return
        said = self._as_letter(said, item)
        why: str | None
        try:
            why = session.unread(said) if not self._asked_again else None
            if why is None:
                self.outcome = session.answer(said)
        except TooLong as error:
            why = str(error)
        except StoreError as error:
            self._stop(f"The answer was not written down: {error}")
            return
        if why is not None:
            self._asked_again = True
            once_more = "" if why.endswith(".") else ". Once more?"
            self.query_one("#said", Static).update(Content(safe_text(f"{why[:1].upper()}{why[1:]}{once_more}")))
            return
        assert self.outcome is not None
        keys = "Enter next   a ask about it   ↑↓ scroll   Esc stop" if self.outcome.ask else "Enter next   Esc stop"
        self._show(outcome_text(self.outcome, self._clock()), keys)

    def _as_letter(self, said: str, item: Item) -> str:
        """A digit is the option at that place, unless the options themselves are numbers."""
        from assistant.drill.item import LETTERS, OneOf

        numbers = any(choice.span is not None for choice in item.choices)
        if isinstance(item.key, OneOf) and not numbers and _DIGIT.fullmatch(said) and int(said) <= len(item.choices):
            return LETTERS[int(said) - 1]
        return said

    # --- going on -------------------------------------------------------------------------------------------

    def action_go_on(self) -> None:
        if self._over:
            self.dismiss(None)
        elif self.outcome is not None:
            self._next()

    def action_ask(self) -> None:
        if self.outcome is None or not self.outcome.ask:
            raise SkipAction
        self.dismiss(self.outcome.ask)

    def action_to_options(self) -> None:
        if not self._options.display:
            raise SkipAction
        self.set_focus(self._options)
        self._options.highlighted = 0

    def action_leave(self) -> None:
        """Esc clears the line, then sums up, then goes back."""
        if self._line.display and self._line.value:
            self._line.lay_out("")
        elif self._over or self.session is None or not self.session.outcomes:
            self.dismiss(None)
        else:
            self._sum_up()

    def _sum_up(self) -> None:
        assert self.session is not None
        self.outcome = None
        self._over = True
        self._show(summary_text(self.session), "Enter or Esc back")


def _is_order(item: Item) -> bool:
    from assistant.drill.item import Order

    return isinstance(item.key, Order)


def outcome_text(outcome: Outcome, now: datetime) -> Content:
    """The mark in a word, why, the answer, and the passage it stands in with its sources."""
    mark = outcome.mark
    parts: list[tuple[str, str] | str] = [
        (f" {_WORDS[mark.verdict]} ", f"bold reverse {_COLOURS[mark.verdict]}"),
        (f"  {safe_text(outcome.item.question)}", "$quiet"),
        f"\n\nYou said: {_said_in_full(outcome)}\n",
    ]
    # "You chose a" says no more than the line above does.
    if mark.why and mark.verdict != "unknown" and not mark.why.startswith("you chose"):
        why = safe_text(mark.why)
        parts.append(f"{why[:1].upper()}{why[1:]}{'' if why.endswith(('.', '!', '?')) else '.'}\n")
    parts += [f"Missing: {safe_text(point)}\n" for point in mark.missing]
    parts += [("Answer: ", "bold $accent"), (safe_text(outcome.answer), "bold")]
    if outcome.changed:
        parts.append("\nThe handbook's answer has changed since you last saw this.")
    if outcome.passage is not None:
        parts += ["\n\n", (safe_text(outcome.passage.title), "bold $accent"), f"\n{safe_text(outcome.passage.text)}"]
    parts += ["\n\n", ("From: ", "$quiet"), safe_text("; ".join(outcome.sources))]
    due = outcome.due.astimezone()
    when = f"on {due.day} {due:%B %Y}" if due.date() > now.astimezone().date() else "later today"
    parts.append((f"\nComes back {when}.", "$quiet"))
    return Content.assemble(*parts)


def _said_in_full(outcome: Outcome) -> str:
    """The answer as given, a bare letter with the words of its option."""
    from assistant.drill.session import lettered

    said = outcome.said.strip().lower()
    option = next((line for line in lettered(outcome.item) if line[:1] == said), None)
    return safe_text(option or outcome.said) or "(nothing)"


def summary_text(session: DrillSession) -> Content:
    """How it went, and what to look at again."""
    total = session.summary()
    if not total.asked:
        return Content("Nothing was asked: the set has no questions left for now.")
    counts = ((total.partly, "partly right"), (total.wrong, "not right"), (total.unknown, "not known"))
    parts = [f"{total.right} right", *(f"{n} {word}" for n, word in counts if n)]
    questions = "1 question" if total.asked == 1 else f"{total.asked} questions"
    lines: list[tuple[str, str] | str] = [
        (f"{questions}: {', '.join(parts)} ({total.share:.0%})", "bold"),
        "\n",
    ]
    if total.weakest:
        again = ", ".join(topic.replace("-", " ") for topic in total.weakest)
        lines.append(f"\nLook again at: {safe_text(again)}.\n")
    missed = [o for o in session.outcomes if o.mark.verdict != "right"]
    for outcome in missed:
        lines += [f"\n• {safe_text(outcome.item.question)}\n  ", ("Answer: ", "$accent"), safe_text(outcome.answer)]
    return Content.assemble(*lines)
