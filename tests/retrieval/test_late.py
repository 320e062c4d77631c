"""The second stage: its arithmetic against a plain sum, and the file that comes with the package."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from assistant.handbook.loading import Handbook
from assistant.handbook.passages import Passage, all_passages
from assistant.retrieval import late
from assistant.retrieval.encoder import REFERENCE_SHA256
from assistant.retrieval.index import digest_of
from assistant.retrieval.late import PARTS, TokenIndex, read_packaged, texts_of, token_vectors
from tests.retrieval.toys import WordEncoder


def passage(id_: str, text: str, *asked: str) -> Passage:
    return Passage(id_, "Title", text, (), (), asked)


class Marked(WordEncoder):
    """As the real encoder does, with a state before the first word and one after the last."""

    def states(self, text: str) -> np.ndarray:
        inner = super().states(text)
        edge = np.ones((1, self.dimension), dtype=np.float32)
        return np.concatenate([edge, inner, edge])


def test_score_is_the_mean_of_each_words_best_cosine() -> None:
    """MaxSim as in Khattab and Zaharia 2020, eq. 3, divided by the number of words."""
    encoder = Marked()
    index = TokenIndex([passage("a/1", "wash the buckets", "clean pails"), passage("a/2", "dry")], encoder, None)
    scores = index.score(encoder.states("clean the windows buckets"), [0, 1])
    assert scores == pytest.approx({0: 3 / 4, 1: 0.0})


def test_states_of_no_word_do_not_count() -> None:
    encoder = Marked()
    assert len(token_vectors(encoder.states("two words"))) == 2
    assert TokenIndex([passage("a/1", "x")], encoder, None).score(encoder.states("y"), [0]) == pytest.approx({0: 0.0})


def test_only_what_is_asked_for_is_read() -> None:
    encoder = WordEncoder()
    index = TokenIndex([passage("a/1", "first"), passage("a/2", "second")], encoder, None)
    assert set(index.score(encoder.states("first"), [0])) == {0}
    assert "second" not in encoder.encoded
    assert index.score(encoder.states("first"), []) == {}


def test_what_was_packaged_comes_back_close(tmp_path: Path, real_passages: list[Passage]) -> None:
    packaged, encoder = tmp_path / "tokens.npz", WordEncoder()
    some = [p for p in real_passages if p.asked_as][:40]  # of far more words than there are centroids
    late.write_packaged(packaged, some, encoder)
    stored = TokenIndex(some, encoder, packaged)
    exact = TokenIndex(some, encoder, None)
    states = encoder.states("which leaves stay above the water in a clean bucket")
    rows = range(len(some))
    kept, true = (np.array(list(index.score(states, rows).values())) for index in (stored, exact))
    assert np.abs(kept - true).max() < 0.1
    assert np.corrcoef(kept, true)[0, 1] > 0.95


def test_a_shops_own_words_are_read_beside_the_packaged(tmp_path: Path) -> None:
    packaged, encoder = tmp_path / "tokens.npz", WordEncoder()
    words = [passage(f"a/{n}", f"word{n} tail{n}", f"asked{n}") for n in range(300)]
    late.write_packaged(packaged, words, encoder)
    encoder.encoded.clear()
    own = [replace(words[0], asked_as=("asked0", "special phrase")), passage("own/1", "never seen")]
    scores = TokenIndex(own, encoder, packaged).score(encoder.states("special"), [0, 1])
    assert scores == pytest.approx({0: 1.0, 1: 0.0}, abs=0.05)
    assert "tail0" not in encoder.encoded


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 cut", b"not an archive"])
def test_a_damaged_file_is_no_file(tmp_path: Path, content: bytes) -> None:
    packaged = tmp_path / "tokens.npz"
    packaged.write_bytes(content)
    assert read_packaged(packaged) is None
    assert read_packaged(tmp_path / "absent.npz") is None


@pytest.mark.parametrize("wrong", [{"model": "another"}, {"lengths": [3]}, {"parts": PARTS - 1}])
def test_a_file_that_does_not_add_up_is_no_file(tmp_path: Path, wrong: dict[str, object]) -> None:
    packaged = tmp_path / "tokens.npz"
    np.savez(
        packaged,
        model=np.array(wrong.get("model", REFERENCE_SHA256)),
        digests=np.array(["0" * 24], dtype="S24"),
        lengths=np.array(wrong.get("lengths", [2]), dtype=np.uint16),
        books=np.zeros((PARTS, 256, 384 // PARTS), np.float16),
        codes=np.zeros((2, int(str(wrong.get("parts", PARTS)))), np.uint8),
    )
    assert read_packaged(packaged) is None


def test_the_package_covers_the_rules(real_handbook: Handbook) -> None:
    """Else the first question of craft encodes them all; run `python -m evals.vectors` after editing the handbook."""
    stored = read_packaged(late.PACKAGED)
    assert stored is not None
    rules = [p for p in all_passages(real_handbook) if p.id.partition("/")[0] in real_handbook.topics]
    texts = {text for p in rules for text in texts_of(p)}
    assert sum(digest_of(text) in stored.places for text in texts) / len(texts) > 0.9, "run: python -m evals.vectors"
