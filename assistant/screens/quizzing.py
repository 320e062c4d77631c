"""Getting a quiz ready: the bank in a daemon thread, then the session with the learner's own record."""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any

from textual.message import Message

from assistant.language.cleaning import safe_text
from assistant.screens.loading import THREAD_PREFIX, Post

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.drill.items import Bank
    from assistant.drill.session import DrillSession
    from assistant.drill.sets import SetDescription
    from assistant.drill.store import Store

QUESTIONS = 10


class BankReady(Message):
    """Every item the handbook can give has been made."""

    def __init__(self, bank: Bank) -> None:
        super().__init__()
        self.bank = bank


class BankFailed(Message):
    """The handbook gives no quiz; one sentence why."""

    def __init__(self, sentence: str) -> None:
        super().__init__()
        self.sentence = sentence


class NoQuiz(Exception):  # noqa: N818 - a sentence for the person, not a mistake of the program
    """There is nothing to ask; the message is one sentence."""


def own_entries(context: Context, shops: Sequence[Path]) -> frozenset[str]:
    """Ids of what the shop's own folders brought or changed, by the files they were read from."""
    folders = {shop.resolve().name for shop in shops}
    return frozenset(key for key, file in context.handbook.origin.items() if file.split("/")[0] in folders)


def bank_in_background(post: Post, context: Context, own: frozenset[str] = frozenset()) -> threading.Thread:
    """Start making the bank; a message tells when it is there. `own` are the shop's own entries."""

    def work() -> None:
        message: Message
        try:
            from assistant.drill.items import Bank

            message = BankReady(Bank(context, own))
        except Exception as error:  # a thread's exception would be lost, and the page would wait for ever
            message = BankFailed(f"No quiz can be made of this handbook ({type(error).__name__}: {error}).")
        try:
            post(message)
        except RuntimeError:  # the app has quit and its loop is closed
            return

    thread = threading.Thread(target=work, name=THREAD_PREFIX + "bank", daemon=True)
    thread.start()
    return thread


def session_of(
    bank: Bank,
    store: Store,
    description: SetDescription,
    clock: Callable[[], datetime],
    seed: int | None = None,
    count: int = QUESTIONS,
) -> DrillSession:
    """A session for whoever sits here: BUCKETSIDE_LEARNER, or "me" as on the command line.

    Raises:
        NoQuiz: where the set names nothing, or holds no items.
        StoreError: where the record can't be used.
    """
    from assistant.drill.marking.marker import Marker
    from assistant.drill.session import DrillSession
    from assistant.drill.sets import describe_set

    if description.unknown:  # the chat does not know the trainer's lists; the record does
        description = describe_set(description.words, bank.context.handbook, bank.known.names, store.lists())
    if description.unknown:
        topics = ", ".join(topic.replace("-", " ") for topic in bank.topics[:6])
        raise NoQuiz(
            f"The handbook has no set called “{safe_text(description.unknown)}”; "
            f"try a topic ({topics}, …), a material or a list of yours."
        )
    who = store.learner(os.environ.get("BUCKETSIDE_LEARNER") or "me", clock())
    session = DrillSession(
        bank, store, who, description, Marker(bank.known.names, _WhenLoaded(bank.context)), clock=clock, seed=seed,
        count=count,
    )  # fmt: skip
    if not session.size:
        raise NoQuiz(f"The set “{safe_text(description.words)}” holds no questions.")
    return session


def in_utc(now: Callable[[], datetime]) -> Callable[[], datetime]:
    """The app's clock, which shows local time, as the record wants it."""
    return lambda: now().astimezone(UTC)


class _WhenLoaded:
    """Explanations are marked by meaning once the sentence model is there, and by their words until then."""

    def __init__(self, context: Context) -> None:
        self._context = context

    def encode(self, texts: Sequence[str]) -> Any:
        encoder = self._context.retriever.encoder() if self._context.retriever is not None else None
        if encoder is not None:
            return encoder.encode(texts)
        import numpy as np

        return np.zeros((len(texts), 1), dtype=np.float32)
