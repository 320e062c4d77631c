"""Messages that are no question: a quiz asked for, stock that came or went, a job to be planned.

Each reader returns None when in doubt: what is not clearly an errand belongs to the conversation.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assistant.language.cleaning import safe_text
from assistant.screens.written import path_of

if TYPE_CHECKING:
    from pathlib import Path

    from assistant.dialogue.answer import Answer
    from assistant.dialogue.context import Context
    from assistant.drill.sets import SetDescription
    from assistant.language.question import Question
    from assistant.sheets.job import Job
    from assistant.stock.said import Entry

STOCK_TASK = "stock"
"""The task of a turn that was written to or read from the stock; the conversation never heard it."""
STOCK_REPLIES = ("what must I use first?", "show my stock")

_ASKS = re.compile(
    r"\?|\b(?:how|what|when|which|why|who|can|could|should|would|compare|refresh|instead|enough)\b|"
    r"^\W*(?:is|are|do|does|will)\b"
)
# The stock's own reader takes "what is … stock" for a look at the shelf, and "stock" is a flower, too.
_LOOKS = re.compile(
    r"^\W*(?:(?:so|and|ok|now)\W+)?(?:"
    r"what(?:'s| is| have (?:i|we) got| do (?:i|we) have)(?: still| left| now)* in (?:the |my |our )?"
    r"(?:cooler|fridge|stock|cold ?room)|"
    r"(?:what|how (?:many|much))\b[^,;]*\b(?:do (?:i|we) have|have (?:i|we) got|(?:is|are)(?: still)? "
    r"(?:left|in stock|in (?:the|my|our) (?:cooler|fridge)))"
    r"(?: left| in stock| in (?:the|my|our) (?:cooler|fridge)| now| today| still)*|"
    r"(?:show|list) (?:me )?(?:my |the |our )?stock)\W*$"
)
# What a sentence about stock may say besides materials and counts; anything else makes it a question about a job.
_STOCK_SLOTS = frozenset({
    "since_date", "until_date", "start_date", "place", "pack_size", "price", "support", "stems", "bunches", "count",
    "market",
})  # fmt: skip
_WARMTH = frozenset({"storage_temperature", "display_temperature"})
_JOB_FILE = re.compile(r"^(?:(?:plan|open) )?(?P<path>\S.*?\.(?:ya?ml|csv))(?:[,;]? (?P<rest>\S.*))?$", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class PlanWanted:
    """A job that was pasted, with how its words were taken, or the line that names its file."""

    job: Job | None = None
    notes: tuple[str, ...] = ()
    file: str = ""


def errand_of(text: str, context: Context) -> SetDescription | PlanWanted | Answer | None:
    """What a message wants done; stock is written or read at once, and its reply is the Answer.

    Raises:
        TooLong: above the parser's limit.
    """
    from assistant.drill.sets import start_from_chat

    wanted = start_from_chat(text, context.handbook, names=context.parser.names)
    if wanted is not None:
        return wanted
    return _file_named(text) or _stock(text, context) or _recipe(text, context)


def _file_named(text: str) -> PlanWanted | None:
    try:
        named = job_file_in(text)
        return PlanWanted(file=safe_text(text)) if named is not None and named[0].is_file() else None
    except OSError:  # a name no file can have
        return None


def job_file_in(text: str) -> tuple[Path, str] | None:
    """The job file a line names, and what is said behind it: "recipe.csv, 14 days, install Monday 7 December".

    Raises:
        OSError: for the home folder of nobody.
    """
    match = _JOB_FILE.match(safe_text(text))
    return None if match is None else (path_of(match["path"]), match["rest"] or "")


# --- stock ------------------------------------------------------------------------------------------------------------


def _stock(text: str, context: Context) -> Answer | None:
    from assistant.stock.said import from_sentence

    entry = from_sentence(text, context.parser, lambda: context.today)
    if entry is None or not _is_about_stock(entry, context.parser.parse(text, today=context.today)):
        return None
    return stock_answer(text, entry, context)


def _is_about_stock(entry: Entry, question: Question) -> bool:
    if entry.action == "list":
        return bool(_LOOKS.match(question.normal))
    if entry.action == "first":
        return not question.asks
    # How warm it is belongs to the stock only with the place; "bought 10 roses, 24 degrees" is about their life.
    allowed = _STOCK_SLOTS | _WARMTH if entry.where is not None else _STOCK_SLOTS
    if set(question.slots) - allowed or question.impossible:
        return False
    if entry.action == "moved":
        return bool(entry.items) and entry.where is not None and _stands({item.material for item in entry.items})
    # "They came in on Tuesday" goes on with the question before; only what is counted is an entry.
    return bool(entry.items) and all(item.stems or item.bunches for item in entry.items)


def _stands(materials: set[str]) -> bool:
    """Whether the stock has any of them; a sentence about others is about something else."""
    from assistant.screens.shelf import lots_there
    from assistant.stock.lots import StockError

    try:
        return any(lot.material in materials for lot in lots_there())
    except StockError:
        return True  # the entry is tried, and its reply says what is wrong


def stock_answer(text: str, entry: Entry, context: Context) -> Answer:
    """Do what a sentence about stock says; a reply either way, never an exception."""
    from assistant.calculators.ranges import OutOfRange
    from assistant.dialogue.answer import Answer
    from assistant.screens.shelf import said_to_stock
    from assistant.stock.lots import StockError

    try:
        done = said_to_stock(entry, context)
    except (StockError, OutOfRange) as error:
        return Answer(text, "asked_back", STOCK_TASK, safe_text(str(error)), follow_ups=STOCK_REPLIES)
    outcome = "asked_back" if entry.question else "answered"
    return Answer(text, outcome, STOCK_TASK, safe_text(done.reply), follow_ups=STOCK_REPLIES)  # type: ignore[arg-type]


# --- plans ------------------------------------------------------------------------------------------------------------


def _recipe(text: str, context: Context) -> PlanWanted | None:
    """A recipe with counts, the days it must look well and the day it goes up; nothing asked about it."""
    from assistant.sheets.recipe import from_text

    question = context.parser.parse(text, today=context.today)
    counted = any(mention.stems or mention.bunches for mention in question.mentions)
    if not counted or _ASKS.search(question.normal) or not {"start_date", "display_days"} & set(question.slots):
        return None
    read = from_text(text, context.parser, lambda: context.today, changes={"market": context.market})
    if read.job is None:
        return None
    return PlanWanted(read.job, read.notes)
