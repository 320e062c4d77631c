from __future__ import annotations

import random
import sqlite3
import threading

import bm25s
import numpy as np
import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from assistant.handbook.passages import Passage, all_passages
from assistant.retrieval import lexical
from assistant.retrieval.lexical import HALF_MATCH, LexicalIndex, match_expression, words_of
from tests.retrieval.toys import handbook

PASSAGES = list(all_passages(handbook()))
INDEX = LexicalIndex(PASSAGES)


def best(query: str) -> str | None:
    found = INDEX.search(query)
    return PASSAGES[next(iter(found))].id if found else None


@pytest.mark.parametrize(
    ("query", "expected"),
    [
        ("strip the thorns off a rose", "rose/conditioning"),
        ("washing a bucket", "bench/wash-buckets"),  # stems: washing/wash, bucket/buckets
        ("how clean must the pail be", "bench/wash-buckets"),  # only its way of being asked says pail
        ("bananas near the flowers", None),
        ("what gas comes from fruit", "bench/no-fruit"),
    ],
)
def test_finds_the_passage(query: str, expected: str | None) -> None:
    if expected is None:
        # "banana" is in no passage; the few synonyms lead to ethylene, and "flowers" still finds something.
        assert best(query) is not None
    else:
        assert best(query) == expected


def test_a_question_of_stop_words_finds_nothing() -> None:
    assert INDEX.search("what is it and why") == {}
    assert INDEX.search("") == {}


def test_scores_lie_between_0_and_1_best_first() -> None:
    scores = list(INDEX.search("let the rose drink cold water").values())
    assert len(scores) > 2
    assert scores == sorted(scores, reverse=True)
    assert all(0 < score < 1 for score in scores)


@given(st.text(max_size=200))
@example('"rose" OR title:*')
@example("NEAR(rose tulip, 2) AND NOT ^thorns -fruit {title}: +x")
@example("rose\x00'; DROP TABLE passage; --")
@example('""" * ( ) :')
def test_nothing_typed_is_syntax(query: str) -> None:
    INDEX.search(query)
    assert best("strip the thorns off a rose") == "rose/conditioning"


def test_operators_are_plain_words() -> None:
    assert match_expression("rose NOT thorns") == '"rose" OR "thorns"'
    assert match_expression("title:rose*") == '"title" OR "rose"'


def test_a_very_long_question_is_cut() -> None:
    assert len(words_of(" ".join(f"w{n}" for n in range(5000)))) == lexical.MAX_WORDS


def test_many_threads_may_search() -> None:
    expected = INDEX.search("rose thorns drink")
    found: list[dict[int, float]] = []
    threads = [
        threading.Thread(target=lambda: found.extend(INDEX.search("rose thorns drink") for _ in range(20)))
        for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert found == [expected] * 160


@pytest.mark.parametrize("seed", range(5))
def test_bm25_agrees_with_bm25s(seed: int) -> None:
    """The points are those of a second implementation, up to its constant factor, on a corpus of made-up words."""
    draw = random.Random(seed)
    vocabulary = [f"{c}{v}{d}" for c in "bdgk" for v in "aou" for d in "mnrt" if words_of(c + v + d)]  # "but" is none
    corpus = [[draw.choice(vocabulary) for _ in range(draw.randint(5, 20))] for _ in range(80)]
    passages = [Passage(f"doc/{n}", "", " ".join(words), ()) for n, words in enumerate(corpus)]
    ours = LexicalIndex(passages)
    theirs = bm25s.BM25(method="robertson", k1=1.2, b=0.75)
    theirs.index(corpus, show_progress=False)
    for _ in range(10):
        query = draw.sample(vocabulary, 3)
        points = np.zeros(len(corpus))
        for row, score in ours.search(" ".join(query)).items():
            points[row] = HALF_MATCH * score / (1 - score)
        oracle = theirs.get_scores(query)
        assert set(np.flatnonzero(points > 1e-9)) == set(np.flatnonzero(oracle > 1e-9))
        hit = points > 1e-9
        ratio = points[hit] / oracle[hit]
        assert ratio == pytest.approx(np.full(hit.sum(), ratio[0]), rel=1e-3)


def test_rules_are_found_by_their_own_questions(real_passages: list[Passage]) -> None:
    index = LexicalIndex(real_passages)
    asked = [(number, question) for number, p in enumerate(real_passages) for question in p.asked_as]
    missed = [q for number, q in asked if number not in list(index.search(q))[:5]]
    assert len(asked) > 100
    assert len(missed) / len(asked) < 0.05, missed[:20]


def test_sqlite_has_full_text_search() -> None:
    options = {row[0] for row in sqlite3.connect(":memory:").execute("PRAGMA compile_options")}
    assert "ENABLE_FTS5" in options
