"""The second stage of the search: the words of a question against the words of a rule (late interaction).

A passage's one vector blurs what its sentences say. Here every token of a rule's passage and of its ways of being
asked keeps its own vector, the encoder's last state; a question's score is, over its tokens, the mean of the best
cosine each finds in the rule (O. Khattab, M. Zaharia: ColBERT, SIGIR 2020, with the encoder as published). It reads
the rules that the first stage found. evals/results/search.md says what it gains.

The 43,000 vectors come with the package as `tokens.npz`, product-quantised to 48 bytes each (H. Jegou, M. Douze,
C. Schmid, IEEE TPAMI 33, 2011): a text's digest leads to its codes. Texts that are not there (a shop's own rules)
are encoded on the spot and kept whole.
"""

from __future__ import annotations

import io
import zipfile
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.handbook.passages import Passage
from assistant.retrieval.encoder import DIMENSION, REFERENCE_SHA256, Encoder
from assistant.retrieval.index import digest_of, text_of

if TYPE_CHECKING:
    from assistant.retrieval.encoder import Vectors

PACKAGED = Path(__file__).with_name("tokens.npz")
# Parts of a vector that are quantised alone, each to one of 256 centroids. Whole vectors and 96 parts ranked no
# better beyond noise (MRR 0.68 on the development part for all three), at 32 times and twice the size.
PARTS = 48
_CENTROIDS = 256


def texts_of(passage: Passage) -> tuple[str, ...]:
    """What of a rule is read token by token: its passage, and each way of asking it."""
    return (text_of(passage), *passage.asked_as)


def token_vectors(states: Vectors) -> Vectors:
    """Unit rows for the tokens of a text. The first and last state stand for no word and are left out."""
    return _unit(states[1:-1] if len(states) > 2 else states)


class TokenIndex:
    """The token vectors of some passages, by position."""

    def __init__(self, passages: Sequence[Passage], encoder: Encoder, packaged: Path | None = PACKAGED) -> None:
        self._passages, self._encoder = passages, encoder
        self._packed = read_packaged(packaged) if packaged else None
        self._tokens_of = lru_cache(maxsize=None)(self._kept)

    def score(self, states: Vectors, rows: Iterable[int]) -> dict[int, float]:
        """For each passage the mean, over the question's tokens, of the best cosine found in it: -1..1.

        `states` are the encoder's last states of the question (tokens, 384), special tokens included.
        """
        import numpy as np

        chosen = list(rows)
        asked = token_vectors(states)
        best = np.full((len(chosen), len(asked)), -1.0, dtype=np.float32)
        known = [(n, places) for n, row in enumerate(chosen) if len(places := self._tokens_of(row)[0])]
        if known and self._packed is not None:
            starts = np.cumsum([0, *(len(places) for _, places in known[:-1])])
            cosines = self._packed.cosines(asked, np.concatenate([places for _, places in known]))
            best[[n for n, _ in known]] = np.maximum.reduceat(cosines, starts, axis=0)
        for n, row in enumerate(chosen):
            loose = self._tokens_of(row)[1]
            if len(loose):
                best[n] = np.maximum(best[n], (loose @ asked.T).max(axis=0))
        return dict(zip(chosen, best.mean(axis=1).tolist(), strict=True))

    def _kept(self, row: int) -> tuple[Any, Vectors]:
        """Where a passage's tokens stand in the package, and the vectors of those that do not."""
        import numpy as np

        places, loose = [np.zeros(0, dtype=np.int64)], [np.zeros((0, DIMENSION), dtype=np.float32)]
        for text in texts_of(self._passages[row]):
            span = self._packed.places.get(digest_of(text)) if self._packed is not None else None
            if span is None:
                loose.append(token_vectors(self._encoder.states(text)))
            else:
                places.append(np.arange(*span))
        return np.concatenate(places), np.concatenate(loose)


def _unit(rows: Vectors) -> Vectors:
    import numpy as np

    unit: Vectors = (rows / np.maximum(np.linalg.norm(rows, axis=1, keepdims=True), 1e-12)).astype(np.float32)
    return unit


# --- vectors that come with the package ---------------------------------------------------------------------------


class PackedTokens:
    """Quantised token vectors: codes (tokens, PARTS) into `books` (PARTS, 256, 384 / PARTS), and by text digest the
    span of tokens a text has."""

    def __init__(self, books: Any, codes: Any, places: Mapping[str, tuple[int, int]]) -> None:
        import numpy as np

        self._books, self._codes, self.places = books, codes, places
        squares = (books**2).sum(axis=2)
        lengths = np.sqrt(squares[np.arange(PARTS), self._codes].sum(axis=1))
        self._shrink = (1 / np.maximum(lengths, 1e-12)).astype(np.float32)[:, None]

    def cosines(self, asked: Vectors, tokens: Any) -> Vectors:
        """Cosine of each of these tokens with each unit row of `asked`: (tokens, asked).

        Each part of the question meets each centroid once; a token then only looks its parts up and adds.
        """
        import numpy as np

        parts = asked.reshape(len(asked), PARTS, DIMENSION // PARTS).transpose(1, 2, 0)
        met = self._books @ parts
        codes = self._codes[tokens].astype(np.intp)
        total = np.zeros((len(codes), len(asked)), dtype=np.float32)
        for part in range(PARTS):
            total += met[part].take(codes[:, part], axis=0)
        cosines: Vectors = total * self._shrink[tokens]
        return cosines


def read_packaged(path: Path) -> PackedTokens | None:
    """What `write_packaged` wrote; None if the file is absent, unreadable or of another model."""
    import numpy as np

    try:
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as stored:
            model, codes, books = str(stored["model"]), stored["codes"], stored["books"].astype(np.float32)
            names = [name.decode("ascii") for name in stored["digests"].tolist()]
            ends = np.cumsum(stored["lengths"]).tolist()
    except (OSError, EOFError, ValueError, KeyError, TypeError, AttributeError, zipfile.BadZipFile):
        return None
    right = codes.shape == (ends[-1] if ends else 0, PARTS) and books.shape == (PARTS, _CENTROIDS, DIMENSION // PARTS)
    if model != REFERENCE_SHA256 or len(names) != len(ends) or codes.dtype != np.uint8 or not right:
        return None
    return PackedTokens(books, codes, dict(zip(names, zip([0, *ends[:-1]], ends, strict=True), strict=True)))


def write_packaged(path: Path, passages: Sequence[Passage], encoder: Encoder) -> None:
    """Encode what is read of the passages with the reference encoder and store the quantised token vectors."""
    import faiss
    import numpy as np

    texts = list(dict.fromkeys(text for passage in passages for text in texts_of(passage)))
    vectors = [token_vectors(encoder.states(text)) for text in texts]
    rows = np.concatenate(vectors)
    quantiser = faiss.ProductQuantizer(DIMENSION, PARTS, 8)
    quantiser.train(rows)
    books = faiss.vector_to_array(quantiser.centroids).reshape(PARTS, _CENTROIDS, DIMENSION // PARTS)
    with path.open("wb") as file:
        np.savez(
            file,
            model=np.array(REFERENCE_SHA256),
            digests=np.array([digest_of(text) for text in texts], dtype="S24"),
            lengths=np.array([len(found) for found in vectors], dtype=np.uint16),
            books=books.astype(np.float16),
            codes=quantiser.compute_codes(rows),
        )
