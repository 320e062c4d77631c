"""The passages behind a question.

Search by words works from the first moment. Search by meaning joins when `prepare` has loaded the encoder and
the index; if it cannot, that is said once and search by words goes on.
"""

from __future__ import annotations

import heapq
import threading
from collections.abc import Callable, Collection
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Literal

from assistant.handbook.loading import Handbook
from assistant.handbook.passages import Passage, all_passages
from assistant.retrieval.encoder import Encoder, EncoderUnavailable, RememberingEncoder, load_encoder
from assistant.retrieval.fusion import convex, of_rules, with_materials
from assistant.retrieval.index import PassageIndex, Progress
from assistant.retrieval.late import TokenIndex
from assistant.retrieval.lexical import LexicalIndex

# The encoder reads 256 tokens; what comes after could only slow the search down.
MAX_QUERY = 2000
# So many rules of the first stage are read by the second; the right one is among them in 92 of 100 questions.
READ_AGAIN = 40


@dataclass(frozen=True, slots=True)
class Hit:
    """A passage found. `lexical` and `semantic` (the cosine; None before the encoder is ready) lie in 0..1 and
    -1..1 and mean the same in every question; `score` joins them with the materials named, in 0..1."""

    passage: Passage
    score: float
    lexical: float
    semantic: float | None


@dataclass(frozen=True, slots=True)
class Results:
    """Hits, best first; how they were found; and what the reader should be told once."""

    hits: tuple[Hit, ...]
    used: Literal["lexical", "fused"]
    notices: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class _Meaning:
    encoder: Encoder
    index: PassageIndex
    tokens: TokenIndex


class Retriever:
    """Finds passages of one handbook. May be shared between threads."""

    def __init__(
        self,
        handbook: Handbook,
        cache_dir: Path | None = None,
        encoder_factory: Callable[[], Encoder] = load_encoder,
        progress: Progress | None = None,
    ) -> None:
        self._handbook = handbook
        self._progress = progress
        self._cache_dir = cache_dir
        self._encoder_factory = encoder_factory
        self._preparing = threading.Lock()
        self._loading = threading.Lock()
        self._encoder: Encoder | None = None
        self._meaning: _Meaning | None = None
        self._unavailable = False
        self._notices: list[str] = []
        self._notices_lock = threading.Lock()

    # Made when first searched: a question that is understood without searching never pays for them.
    @cached_property
    def passages(self) -> tuple[Passage, ...]:
        return tuple(all_passages(self._handbook))

    @cached_property
    def _owners(self) -> list[frozenset[str]]:
        return [frozenset(passage.materials) for passage in self.passages]

    @cached_property
    def _lexical(self) -> LexicalIndex:
        return LexicalIndex(self.passages)

    @cached_property
    def _rules(self) -> tuple[Passage, ...]:
        return tuple(passage for passage in self.passages if passage.id.partition("/")[0] in self._handbook.topics)

    @cached_property
    def _lexical_of_rules(self) -> LexicalIndex:
        return LexicalIndex(self._rules)

    @property
    def ready(self) -> bool:
        """Whether search by meaning is on."""
        return self._meaning is not None

    def encoder(self) -> Encoder | None:
        """The encoder by itself, loaded on first use; None where none can be loaded (said once)."""
        with self._loading:
            if self._encoder is None and not self._unavailable:
                try:
                    self._encoder = RememberingEncoder(self._encoder_factory())
                except EncoderUnavailable as error:
                    self._give_up(str(error))
                except Exception as error:  # an ImportError of numpy, or a native failure
                    why = f"{type(error).__name__}: {error}"
                    self._give_up(f"Search by meaning is off, search by words goes on ({why}).")
            return self._encoder

    def _give_up(self, notice: str) -> None:
        self._unavailable = True
        with self._notices_lock:
            self._notices.append(notice)

    def prepare(self, progress: Progress | None = None) -> bool:
        """Load the encoder and read or build the index; returns whether search by meaning is now on.

        A second call while one is running waits for it. After a failure it is not tried again.
        """
        with self._preparing:
            if self._meaning is not None or self._unavailable:
                return self.ready
            notices: list[str] = []
            encoder = self.encoder()
            if encoder is None:
                return False
            try:
                index = PassageIndex.open(self.passages, encoder, self._cache_dir, progress or self._progress, notices)
                self._meaning = _Meaning(encoder, index, TokenIndex(self._rules, encoder))
            except Exception as error:  # an ImportError of faiss or numpy, or a native failure: the words still work
                self._unavailable = True
                notices.append(f"Search by meaning is off, search by words goes on ({type(error).__name__}: {error}).")
            with self._notices_lock:
                self._notices += notices
            return self.ready

    def prepare_in_background(
        self, on_ready: Callable[[bool], None] | None = None, progress: Progress | None = None
    ) -> threading.Thread:
        """`prepare` in a daemon thread, which never keeps the program from ending.

        `on_ready` is called in that thread with whether search by meaning is on.
        """

        def work() -> None:
            ready = self.prepare(progress)
            if on_ready:
                on_ready(ready)

        thread = threading.Thread(target=work, name="retrieval-prepare", daemon=True)
        thread.start()
        return thread

    def search(
        self,
        query: str,
        *,
        materials: Collection[str] = (),
        limit: int = 5,
        sections: Collection[str] | None = None,
        semantic: bool | Literal["wait"] = True,
    ) -> Results:
        """The passages that fit a question best.

        Args:
            query: the question as typed.
            materials: ids of the materials it names; their passages are lifted, those of others lowered.
            limit: how many hits at most.
            sections: keep only these sections of materials and these topics of rules.
            semantic: use meaning if it is ready; "wait" gets it ready first; False never uses it.
        """
        query = query[:MAX_QUERY]
        if semantic == "wait":
            self.prepare()
        meaning = self._meaning if semantic else None
        lexical = self._lexical.search(query)
        cosines: dict[int, float] = {}
        if meaning is not None and query.strip():
            cosines = meaning.index.search(meaning.encoder.encode([query])[0])
        scores = convex(lexical, cosines) if meaning is not None else lexical
        scores = with_materials(scores, self._owners, materials)
        if sections is not None:
            scores = {row: score for row, score in scores.items() if self._within(row, sections)}
        best = heapq.nsmallest(max(limit, 0), scores, key=lambda row: (-scores[row], row))
        hits = tuple(
            Hit(self.passages[row], min(scores[row], 1.0), lexical.get(row, 0.0), cosines.get(row)) for row in best
        )
        return Results(hits, "lexical" if meaning is None else "fused", self._told_once())

    def rules(
        self,
        query: str,
        *,
        materials: Collection[str] = (),
        limit: int = 5,
        semantic: bool | Literal["wait"] = True,
    ) -> Results:
        """The rules that answer a question best, read a second time word by word where search by meaning is on.

        Arguments as in `search`. A hit's `score` is comparable between questions, but not with that of `search`.
        """
        query = query[:MAX_QUERY]
        if semantic == "wait":
            self.prepare()
        meaning = self._meaning if semantic and query.strip() else None
        lexical = self._lexical_of_rules.search(query)
        owners = [passage.materials for passage in self._rules]
        cosines: dict[int, float] = {}
        if meaning is None:
            scores = with_materials(lexical, owners, materials)
        else:
            first = len(self.passages) - len(self._rules)  # rules stand after the materials
            found = meaning.index.search(meaning.encoder.encode([query])[0])
            cosines = {row - first: cosine for row, cosine in found.items() if row >= first}
            fused = convex(lexical, cosines)
            again = heapq.nsmallest(READ_AGAIN, fused, key=lambda row: (-fused[row], row))
            late = meaning.tokens.score(meaning.encoder.states(query), again)
            scores = of_rules(late, cosines, lexical, owners, materials)
        best = heapq.nsmallest(max(limit, 0), scores, key=lambda row: (-scores[row], row))
        hits = tuple(Hit(self._rules[row], scores[row], lexical.get(row, 0.0), cosines.get(row)) for row in best)
        return Results(hits, "lexical" if meaning is None else "fused", self._told_once())

    def _within(self, row: int, sections: Collection[str]) -> bool:
        head, _, tail = self.passages[row].id.partition("/")
        return tail in sections or head in sections

    def _told_once(self) -> tuple[str, ...]:
        with self._notices_lock:
            told = tuple(self._notices)
            self._notices.clear()
        return told
