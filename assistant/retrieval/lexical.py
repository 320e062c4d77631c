"""Search by words: SQLite's full-text index (FTS5) in memory, ranked by BM25. Needs nothing but Python."""

from __future__ import annotations

import re
import sqlite3
import threading
from collections.abc import Iterable, Sequence

from assistant.handbook.passages import Passage

# What a word in a title, in one of a rule's ways of being asked, or in the text is worth.
WEIGHTS = (4.0, 2.0, 1.0)
# BM25 has no upper end; this many points count as half a full match, so scores of two questions can be compared.
HALF_MATCH = 12.0
MAX_WORDS = 64

_WORD = re.compile(r"[^\W_]+")
_STOP_WORDS = """
    a about all also am an and any are as at be been but by can could did do does doing for from get gets getting
    give go going got had has have he her hers him his i if im in into is it its ive just let like many may me might
    much must my need no not of off on one or our out over please put s shall she should so some t tell than thanks
    that the their them then there these they this those to too up us use using very want was we were what whats when
    where which while who why will with would you your
"""
_STOP = frozenset(_STOP_WORDS.split())
# Words people use for what the handbook calls something else. Kept small: the encoder does the rest.
_ALSO = {
    "survive": ("last", "life"), "longevity": ("last", "life"), "lasting": ("life",), "last": ("life",),
    "fridge": ("cooler", "storage"), "refrigerator": ("cooler", "storage"), "chill": ("storage", "cooler"),
    "keep": ("storage",), "store": ("storage",), "hold": ("storage",),
    "poisonous": ("hazards", "toxic"), "toxic": ("hazards", "poisonous"), "harmful": ("hazards", "toxic"),
    "safe": ("hazards", "safety"), "dangerous": ("hazards", "safety"), "allergy": ("hazards", "skin"),
    "pet": ("cats", "dogs"), "kitten": ("cats",), "puppy": ("dogs",), "edible": ("food",), "cake": ("food",),
    "replace": ("stand", "place"), "replacement": ("stand", "place"), "substitute": ("stand", "place"),
    "instead": ("stand", "place"), "swap": ("stand", "place"), "alternative": ("stand", "place"),
    "sub": ("stand", "place"), "prep": ("conditioning",), "prepare": ("conditioning",), "arrive": ("conditioning",),
    "wilt": ("wilting", "droop", "limp"), "droop": ("wilt", "limp"), "floppy": ("limp", "droop"), "bent": ("bend",),
    "fresh": ("buying",), "choose": ("buying",), "pick": ("buying",), "ripeness": ("buying", "stage"),
    "banana": ("ethylene",), "fruit": ("ethylene",), "gas": ("ethylene",),
    "drink": ("water",), "thirsty": ("water",), "season": ("available",), "tall": ("length",), "big": ("width", "head"),
    "hang": ("drying",), "press": ("drying",), "preserve": ("preserved", "drying"), "bleach": ("sanitation",),
    "dirty": ("clean", "sanitation"), "wash": ("clean", "sanitation"), "called": ("names",), "mean": ("names",),
}  # fmt: skip


def words_of(text: str) -> list[str]:
    """The words of a question that can tell one passage from another, lower case, each once."""
    found = dict.fromkeys(word for word in _WORD.findall(text.lower()) if word not in _STOP)
    return list(found)[:MAX_WORDS]


def match_expression(query: str) -> str:
    """The question as an FTS5 expression. Every word stands in quotes, so nothing typed can be syntax."""
    words = words_of(query)
    also = [other for word in words for other in _also(word)]
    return " OR ".join(f'"{word}"' for word in dict.fromkeys([*words, *also]))


def _also(word: str) -> tuple[str, ...]:
    return _ALSO.get(word) or _ALSO.get(word.removesuffix("s")) or _ALSO.get(word.removesuffix("ing")) or ()


class LexicalIndex:
    """BM25 over titles, ways of asking and texts. Safe to share between threads."""

    def __init__(self, passages: Iterable[Passage]) -> None:
        self._lock = threading.Lock()
        self._database = sqlite3.connect(":memory:", check_same_thread=False)
        self._database.execute(
            "CREATE VIRTUAL TABLE passage USING fts5(title, asked, body, tokenize = 'porter unicode61')"
        )
        self._database.executemany(
            "INSERT INTO passage (rowid, title, asked, body) VALUES (?, ?, ?, ?)",
            ((row, p.title, " ".join(p.asked_as), p.text) for row, p in enumerate(passages)),
        )

    def search(self, query: str) -> dict[int, float]:
        """Every passage that shares a word with the question: its position and a score in 0..1, best first."""
        expression = match_expression(query)
        if not expression:
            return {}
        with self._lock:
            rows: Sequence[tuple[int, float]] = self._database.execute(
                "SELECT rowid, -bm25(passage, ?, ?, ?) AS points FROM passage WHERE passage MATCH ?"
                " ORDER BY points DESC, rowid",
                (*WEIGHTS, expression),
            ).fetchall()
        return {row: max(points, 0.0) / (max(points, 0.0) + HALF_MATCH) for row, points in rows}
