"""Reading the handbook and the sentence model in a daemon thread, which never keeps the program from quitting.

(A Textual thread worker would: the app waits for it on exit.)
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from textual.message import Message

from assistant.screens.completion import Vocabulary, names_to_complete

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.dialogue.conversation import Conversation
    from assistant.screens.records import Record


class HandbookReady(Message):
    """The handbook has been read; questions can be answered."""

    def __init__(self, context: Context, vocabulary: Vocabulary) -> None:
        super().__init__()
        self.context = context
        self.vocabulary = vocabulary


class HandbookFailed(Message):
    """The handbook can't be used; `lines` say what is wrong and where."""

    def __init__(self, lines: Sequence[str]) -> None:
        super().__init__()
        self.lines = tuple(lines)


class MeaningProgress(Message):
    """The passages are being read for the first time, so far `percent` of them."""

    def __init__(self, percent: int) -> None:
        super().__init__()
        self.percent = percent


class MeaningLoaded(Message):
    """Search by meaning is on, or will not be."""

    def __init__(self, on: bool) -> None:
        super().__init__()
        self.on = on


class Replayed(Message):
    """A saved conversation has been gone through again; it can be continued."""

    def __init__(self, conversation: Conversation, number: int) -> None:
        super().__init__()
        self.conversation = conversation
        self.number = number


THREAD_PREFIX = "bucketside-"
Post = Callable[[Message], object]
MakeContext = Callable[[], "Context"]


def context_maker(
    clock: Callable[[], date], folder: Path | None = None, overlays: Sequence[Path] = (), market: str = "EU"
) -> MakeContext:
    """How the app gets its context: everything heavy is imported inside, in the loading thread."""

    def make() -> Context:
        from assistant.dialogue.context import Context
        from assistant.handbook.compiled import load_compiled
        from assistant.screens.unwaiting import UnwaitingRetriever
        from assistant.stock.losses import own_loss

        handbook = load_compiled(folder, overlays)
        context = Context(handbook, clock, UnwaitingRetriever(handbook), market, own_loss=own_loss)
        _warm(context)
        return context

    return make


def load_in_background(post: Post, make: MakeContext) -> threading.Thread:
    """Start reading; messages tell how it went."""

    def work() -> None:
        import assistant.screens.transcripts
        import assistant.screens.turn  # noqa: F401 (with all it is made of, ready for the first question)
        from assistant.handbook.loading import HandbookError

        try:
            context = make()
        except HandbookError as error:
            _post(post, HandbookFailed([str(error), *(str(problem) for problem in error.problems[:20])]))
            return
        except Exception as error:  # a broken installation must be said on the screen, not lost in a thread
            _post(post, HandbookFailed([f"The handbook could not be read ({type(error).__name__}: {error})."]))
            return
        _post(post, HandbookReady(context, Vocabulary(names_to_complete(context.handbook.materials.values()))))
        shown = [-1]

        def progress(done: int, total: int) -> None:
            percent = done * 100 // max(total, 1)
            if percent != shown[0]:
                shown[0] = percent
                _post(post, MeaningProgress(percent))

        on = context.retriever.prepare(progress) if context.retriever is not None else False
        _post(post, MeaningLoaded(on))

    thread = threading.Thread(target=work, name=THREAD_PREFIX + "loading", daemon=True)
    thread.start()
    return thread


def replay_in_background(post: Post, context: Context, records: Sequence[Record], number: int) -> threading.Thread:
    """Go through saved turns again on the dates they were asked, so that "and at 28?" knows what it means."""

    def work() -> None:
        from assistant.screens.replay import replayed

        _post(post, Replayed(replayed(context, records), number))

    thread = threading.Thread(target=work, name=THREAD_PREFIX + "replay", daemon=True)
    thread.start()
    return thread


def _warm(context: Context) -> None:
    """Import the tasks and fill the caches the first question would otherwise wait for."""
    from assistant.dialogue.conversation import Conversation

    Conversation(context).turn("how long do roses last at 24 degrees?")
    _ = context.passages
    if context.retriever is not None:
        context.retriever.search("fresh water", semantic=False)


def _post(post: Post, message: Message) -> None:
    try:
        post(message)
    except RuntimeError:  # the app has quit and its loop is closed; nobody is waiting for this any more
        return
