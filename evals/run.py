"""Ask conversations and judge the answers: a fixed clock, a fresh memory each, two processes.

The processes are started anew (not forked): the sentence model's threads do not survive a fork.
"""

from __future__ import annotations

import multiprocessing
import os
import traceback
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation as Talk
from assistant.handbook.loading import load_handbook
from assistant.retrieval import Retriever
from assistant.retrieval.encoder import Encoder, EncoderUnavailable
from evals.judge import Verdict, caution_texts, judge
from evals.sets import Conversation, Turn

TODAY = date(2026, 11, 25)
# Below this a second process costs more to start than it saves.
_WORTH_A_PROCESS = 150
_CHUNK = 12


@dataclass(frozen=True, slots=True)
class Nearest:
    """The passage that the search alone puts first for a message, before any dialogue."""

    passage: str
    materials: tuple[str, ...]
    score: float
    lexical: float
    cosine: float | None


@dataclass(frozen=True, slots=True)
class Asked:
    """One turn asked and judged. `number` counts from 1; `error` is the last line of a crash, else empty."""

    conversation: str
    theme: str
    persona: str
    number: int
    expected: Turn
    answer: Answer
    verdict: Verdict
    nearest: Nearest | None
    error: str = ""


def _no_encoder() -> Encoder:
    raise EncoderUnavailable("Search by meaning was switched off for this run.")


@lru_cache(maxsize=2)
def context_for(semantic: bool) -> Context:
    """The handbook with its search, ready; built once a process."""
    handbook = load_handbook()
    retriever = Retriever(handbook) if semantic else Retriever(handbook, encoder_factory=_no_encoder)
    if retriever.prepare() != semantic:
        raise EncoderUnavailable("Search by meaning could not be made ready; run with --no-semantic to go without it.")
    return Context(handbook, lambda: TODAY, retriever)


@lru_cache(maxsize=2)
def _texts(semantic: bool) -> dict[str, frozenset[str]]:
    return caution_texts(context_for(semantic).handbook.rules.values())


def ask(conversation: Conversation, semantic: bool, probe: bool = False) -> list[Asked]:
    """One conversation, turn by turn. With `probe` the search is also asked alone, for the first turn."""
    context, texts = context_for(semantic), _texts(semantic)
    talk = Talk(context)
    asked = []
    for number, turn in enumerate(conversation.turns, 1):
        error = ""
        try:
            answer = talk.turn(turn.ask)
        except Exception as problem:  # a crash is a result: it is counted and shown, and the run goes on
            error = f"{type(problem).__name__}: {problem} ({_place(problem)})"
            answer = Answer(turn.ask, "asked_back", None, "")
        verdict = judge(turn, answer, texts)
        if error:
            verdict = replace(verdict, outcome=False)
        nearest = _nearest(turn.ask, context) if probe and number == 1 else None
        asked.append(
            Asked(
                conversation.id, conversation.theme, conversation.persona, number, turn, answer, verdict, nearest, error
            )
        )
    return asked


def _place(problem: Exception) -> str:
    last = traceback.extract_tb(problem.__traceback__)[-1]
    return f"{os.path.basename(last.filename)}:{last.lineno}"


def _nearest(text: str, context: Context) -> Nearest | None:
    assert context.retriever is not None
    hits = context.retriever.search(text, limit=1).hits
    if not hits:
        return None
    hit = hits[0]
    return Nearest(hit.passage.id, hit.passage.materials, hit.score, hit.lexical, hit.semantic)


def _ask_chunk(work: tuple[Sequence[Conversation], bool, bool]) -> list[Asked]:
    conversations, semantic, probe = work
    return [asked for conversation in conversations for asked in ask(conversation, semantic, probe)]


def run(
    conversations: Sequence[Conversation], *, semantic: bool = True, probe: bool = False, jobs: int | None = None
) -> list[Asked]:
    """All conversations, in their order, whatever the number of processes."""
    jobs = jobs or min(2, os.cpu_count() or 1)
    chunks = [(conversations[i : i + _CHUNK], semantic, probe) for i in range(0, len(conversations), _CHUNK)]
    if jobs == 1 or len(conversations) < _WORTH_A_PROCESS:
        return [asked for chunk in chunks for asked in _ask_chunk(chunk)]
    context_for(semantic)  # the index is built here once, not in every process at the same time
    with multiprocessing.get_context("spawn").Pool(jobs) as pool:
        return [asked for answers in pool.imap(_ask_chunk, chunks) for asked in answers]
