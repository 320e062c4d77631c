"""A retriever that never makes the screen wait for the sentence model."""

from __future__ import annotations

import threading
from collections.abc import Collection
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from assistant.handbook.loading import Handbook
from assistant.retrieval.encoder import Encoder
from assistant.retrieval.retriever import Results, Retriever

if TYPE_CHECKING:
    from assistant.retrieval.index import Progress


class UnwaitingRetriever(Retriever):
    """Until `prepare` has come back in its own thread, everybody else searches by words and has no encoder.

    The dialogue is content to wait for meaning, as a command may; a person with wet hands at a key is not.
    """

    def __init__(self, handbook: Handbook, cache_dir: Path | None = None) -> None:
        super().__init__(handbook, cache_dir)
        self._settled = False
        self._preparer: int | None = None

    def prepare(self, progress: Progress | None = None) -> bool:
        self._preparer = threading.get_ident()
        try:
            return super().prepare(progress)
        finally:
            self._settled = True

    def encoder(self) -> Encoder | None:
        return super().encoder() if self._settled or self._preparer == threading.get_ident() else None

    def search(
        self,
        query: str,
        *,
        materials: Collection[str] = (),
        limit: int = 5,
        sections: Collection[str] | None = None,
        semantic: bool | Literal["wait"] = True,
    ) -> Results:
        return super().search(query, materials=materials, limit=limit, sections=sections, semantic=bool(semantic))
