"""The help page: what to ask, and every key."""

from __future__ import annotations

from textwrap import wrap

from textual.app import ComposeResult
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.screens.pages import Page

ASK = (
    ("how long", "how long do roses last at 24 degrees? and in foam? they came in on Tuesday"),
    ("how many", "how many bunches of carnations for 140 stems? for four pieces"),
    ("water", "a cylinder 30 cm tall, 15 cm across, 20 roses: how often should I top up?"),
    ("mixing", "how much bleach for 200 ppm in 10 litres? flower food for 12 litres"),
    ("instead", "we are out of lisianthus, what can stand in for 12 stems in December?"),
    ("side by side", "compare roses, carnations and alstroemeria at 26"),
    ("plan", "refresh plan for tulips and ruscus over 14 days in a reading room"),
    ("care, hazards", "how should I condition hydrangea? are lilies poisonous to cats?"),
    ("stock", "got 4 bunches of stock today   threw out 6 roses   what must I use first?"),
    ("a whole job", "14 lisianthus, 2 bunches of salal; sixteen days at 22 degrees; install Monday 7 December"),
    ("quiz", "quiz me on storage temperatures"),
    ("go on", "and at 28?   why?   source?   what moves it most?   undo"),
)
KEYS = (
    (
        "In the prompt",
        (
            ("Enter", "send"),
            ("↑ ↓", "earlier and later questions"),
            ("Tab", "complete, or go on to the chips"),
            ("1 … 9", "lay out a quick reply (empty prompt); Enter sends it"),
            ("?  /", "help, search the handbook (empty prompt)"),
            ("PgUp PgDn", "scroll the conversation"),
            ("Esc", "clear; from anywhere else, back to the prompt"),
        ),
    ),
    (
        "On a chip",
        (
            ("↑ ↓  + −", "more, less; PgUp PgDn five steps; the wheel too"),
            ("typing", "a value or the start of a word, then Enter"),
            ("← →", "next chip"),
            ("Ctrl+Z", "take the last what-if back"),
            ("mouse", "tap − or + on the chip"),
        ),
    ),
    (
        "Anywhere",
        (
            ("F1", "this page"),
            ("F2", "browse the handbook"),
            ("F3", "passages behind the answer; Enter opens one, o its entry"),
            ("F4", "plot: life against temperature, or water over the days"),
            ("F5", "the entry of the material in question"),
            ("F6", "stock: what is there, what to use first; write down what came and left"),
            ("F9", "plan a job from a file or a recipe; change one thing, write its sheet and lists"),
            ("Ctrl+G", "quiz: ten questions from the handbook"),
            ("F7 F8", "look at an earlier or later answer"),
            ("Ctrl+Y", "copy the answer (and keep it in a file)"),
            ("Ctrl+S", "save the conversation as Markdown"),
            ("Ctrl+O", "open a saved conversation"),
            ("Ctrl+N", "start a new one"),
            ("Ctrl+T", "light or dark"),
            ("Ctrl+P", "all commands, materials and past questions by name"),
            ("Ctrl+C Ctrl+Q", "quit"),
        ),
    ),
)
READING = (
    "A figure is the middle of a range. Solid bars are the low end, ▓ the most likely, ░ how far it may reach; "
    "⚑ marks the day it must last to. On a chip the words at the end say where its value comes from: you said, said "
    "before, handbook, or assumed. What can hurt someone stands in a box marked CAUTION. Bucketside is no replacement "
    "for the label, local rules, a doctor, a vet or a poison centre."
)


def help_text(width: int = 100) -> Content:
    """All of it, wrapped with the second column hanging."""

    def hanging(line: str) -> str:
        return ("\n" + " " * 16).join(wrap(line, max(30, width - 16)))

    parts: list[tuple[str, str] | str] = [("What to ask", "bold $accent"), "\n"]
    for label, line in ASK:
        parts += [(f"  {label:<14}", "$secondary"), f"{hanging(line)}\n"]
    for title, rows in KEYS:
        parts += ["\n", (title, "bold $accent"), "\n"]
        for key, words in rows:
            parts += [(f"  {key:<14}", "bold"), f"{hanging(words)}\n"]
    parts += ["\n", ("How to read a figure", "bold $accent"), "\n", READING]
    return Content.assemble(*parts)


class HelpPage(Page):
    def compose(self) -> ComposeResult:
        yield self.title_line("Help")
        yield self.keys_line("↑↓ PgUp PgDn scroll   Esc back")
        with VerticalScroll(id="page"):
            yield Static(help_text(self.app.size.width - 6), classes="page-text", markup=False)
