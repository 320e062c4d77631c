from __future__ import annotations

import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Any

import pytest

from assistant.retrieval import Results, Retriever
from assistant.retrieval.encoder import Encoder, EncoderUnavailable
from tests.retrieval.toys import WordEncoder, handbook


def retriever(folder: Path, **kwargs: Any) -> Retriever:
    return Retriever(handbook(), folder, **({"encoder_factory": WordEncoder} | kwargs))


def ids(results: Results) -> list[str]:
    return [hit.passage.id for hit in results.hits]


def test_words_work_at_once(tmp_path: Path) -> None:
    results = retriever(tmp_path).search("strip the thorns")
    assert results.used == "lexical"
    assert ids(results)[0] == "rose/conditioning"
    assert results.hits[0].semantic is None
    assert results.hits[0].lexical > 0
    assert results.notices == ()
    assert list(tmp_path.iterdir()) == []


def test_meaning_joins_after_prepare(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    assert not subject.ready
    assert subject.prepare()
    assert subject.ready
    results = subject.search("strip the thorns")
    assert results.used == "fused"
    best = results.hits[0]
    assert best.passage.id == "rose/conditioning"
    assert best.semantic is not None
    assert 0 < best.semantic <= 1
    assert [hit.score for hit in results.hits] == sorted((hit.score for hit in results.hits), reverse=True)
    assert all(0 <= hit.score <= 1 for hit in results.hits)


def test_wait_prepares_and_false_never_uses_meaning(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    assert subject.search("thorns", semantic="wait").used == "fused"
    assert subject.search("thorns", semantic=False).used == "lexical"


def test_meaning_finds_what_shares_no_search_word(tmp_path: Path) -> None:
    """Stop words carry nothing in the search by words; the vectors still see them."""
    subject = retriever(tmp_path)
    assert subject.search("with a").hits == ()
    assert subject.search("with a", semantic="wait").hits != ()


def test_a_named_material_comes_first(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    for named, other in (("tulip", "rose"), ("rose", "tulip")):
        lexical = ids(subject.search("let it drink", materials=[named], semantic=False))
        fused = ids(subject.search("let it drink", materials=[named], semantic="wait", limit=10))
        for found in (lexical, fused):
            assert found[0] == f"{named}/conditioning"
            assert f"{other}/conditioning" in found


def test_sections_and_topics_restrict(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    subject.prepare()
    assert set(ids(subject.search("drink flower", sections=["names"]))) == {"rose/names", "tulip/names"}
    found = set(ids(subject.search("flower", sections=["names", "bench"], limit=10)))
    assert found == {"rose/names", "tulip/names", "bench/wash-buckets", "bench/no-fruit", "bench/tulip-paper"}
    assert subject.search("flower", sections=[]).hits == ()


def test_rules_leave_the_materials_out(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    for semantic in (False, "wait"):
        found = subject.rules("how clean must a pail be that the rose stands in", semantic=semantic, limit=10)
        assert ids(found)[0] == "bench/wash-buckets"
        assert all(id_.startswith("bench/") for id_ in ids(found))
        assert all(0 <= hit.score <= 1 for hit in found.hits)
    assert subject.rules("flower", limit=0).hits == ()
    assert subject.rules("  ").hits == ()


def test_a_rule_of_the_named_material_comes_before_one_of_another(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    scores = {
        named: {hit.passage.id: hit.score for hit in subject.rules("paper", materials=[named], semantic="wait").hits}
        for named in ("tulip", "rose")
    }
    assert scores["tulip"]["bench/tulip-paper"] > scores["rose"]["bench/tulip-paper"]
    assert scores["tulip"]["bench/wash-buckets"] == scores["rose"]["bench/wash-buckets"]


def test_limit(tmp_path: Path) -> None:
    subject = retriever(tmp_path)
    subject.prepare()
    assert len(subject.search("flower", limit=2).hits) == 2
    assert subject.search("flower", limit=0).hits == ()
    assert subject.search("flower", limit=-1).hits == ()


@pytest.mark.parametrize("query", ["", "   ", "\x00", "?" * 5000, "word " * 5000])
def test_odd_questions_do_no_harm(tmp_path: Path, query: str) -> None:
    subject = retriever(tmp_path)
    subject.prepare()
    assert isinstance(subject.search(query), Results)


def test_no_encoder_is_said_once_and_words_go_on(tmp_path: Path) -> None:
    tried = []

    def none() -> Encoder:
        tried.append(1)
        raise EncoderUnavailable("Search by meaning is off.")

    subject = retriever(tmp_path, encoder_factory=none)
    first, second = (subject.search("strip the thorns", semantic="wait") for _ in range(2))
    assert (first.notices, second.notices) == (("Search by meaning is off.",), ())
    assert first.used == second.used == "lexical"
    assert ids(first)[0] == "rose/conditioning"
    assert not subject.ready
    assert tried == [1]


def test_an_unexpected_failure_is_no_crash(tmp_path: Path) -> None:
    class Broken(WordEncoder):
        def encode(self, texts: Sequence[str]) -> Any:
            raise MemoryError("no room")

    subject = retriever(tmp_path, encoder_factory=Broken)
    assert not subject.prepare()
    results = subject.search("thorns")
    assert results.used == "lexical"
    assert "MemoryError" in results.notices[0]


def test_a_cache_that_cannot_be_written_is_said_once(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("")
    subject = retriever(blocked)
    assert subject.prepare()
    first, second = subject.search("thorns"), subject.search("thorns")
    assert first.used == second.used == "fused"
    assert len(first.notices) == 1
    assert second.notices == ()


def test_in_the_background_words_answer_until_it_is_ready(tmp_path: Path) -> None:
    may_load, told = threading.Event(), threading.Event()
    outcomes: list[bool] = []

    def slow() -> Encoder:
        assert may_load.wait(10)
        return WordEncoder()

    def on_ready(ready: bool) -> None:
        outcomes.append(ready)
        told.set()

    subject = retriever(tmp_path, encoder_factory=slow)
    thread = subject.prepare_in_background(on_ready)
    assert thread.daemon
    assert subject.search("thorns").used == "lexical"
    may_load.set()
    assert told.wait(10)
    assert outcomes == [True]
    assert subject.search("thorns").used == "fused"


def test_many_threads_prepare_once_and_search(tmp_path: Path) -> None:
    made: list[WordEncoder] = []

    def factory() -> Encoder:
        made.append(WordEncoder())
        return made[-1]

    subject = retriever(tmp_path, encoder_factory=factory)
    found: list[list[str]] = []
    threads = [
        threading.Thread(target=lambda: found.append(ids(subject.search("strip the thorns", semantic="wait"))))
        for _ in range(8)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(10)
    assert len(made) == 1
    assert len(found) == 8
    assert all(each == found[0] for each in found)
