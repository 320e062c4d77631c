"""The passages as vectors: built once, kept in the user's cache folder, read at every start.

An index is two files: `<key>.json`, a header, and the faiss file it names. The key is a hash of every passage,
the encoder and the format, so a changed handbook or model simply has another name. Both files are written
beside their place and moved into it, header last; the header holds the faiss file's checksum. Whatever cannot be
read or does not add up is built again, and vectors of unchanged texts are taken over.

Who makes the vectors. About 3,500 passages (179,000 tokens) cost, on two slow cores, 5 s to import
sentence-transformers and 21 s to encode; the ONNX form loads in 0.3 s and encodes in 17 to 25 s (it too multiplies
in 32 bits), twice that when the machine is busy. Neither fits a first question that should wait 15 s at most. So
the reference encoder makes them before a release (`python -m evals.vectors`) and they come with the package as
`vectors.npz`; the first start only checks them and writes the index, in 0.4 s with everything. What has no
vector there (a shop's own entries, an edited handbook) is encoded on the spot by the encoder that serves
questions. evals/parity.py shows how far the two agree: cosine 0.9988 or more for every passage, and with the
reference's passages the same first hit in 99.1 % of 879 questions.
"""

from __future__ import annotations

import contextlib
import hashlib
import io
import json
import os
import tempfile
import time
import zipfile
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.handbook.passages import Passage
from assistant.retrieval.encoder import DIMENSION, REFERENCE_SHA256, Encoder

if TYPE_CHECKING:
    from assistant.retrieval.encoder import Vectors

Progress = Callable[[int, int], None]
FORMAT = 1
CACHE_VARIABLE = "BUCKETSIDE_CACHE"
PACKAGED = Path(__file__).with_name("vectors.npz")
_KEPT = 3
_CHUNK = 64
_ABANDONED_AFTER = 3600.0


def cache_folder() -> Path:
    """Where indexes are kept: `BUCKETSIDE_CACHE` if set, else the user's cache folder."""
    chosen = os.environ.get(CACHE_VARIABLE)
    if chosen:
        return Path(chosen).expanduser()
    from platformdirs import user_cache_dir

    return Path(user_cache_dir("bucketside", appauthor=False))


def text_of(passage: Passage) -> str:
    """What is encoded for a passage.

    The ways of asking a rule are left to the search by words: as vectors of their own they took more paraphrases
    to the wrong rule than to the right one (evals/retrieval.py: RR@10 0.32 with them, 0.38 without).
    """
    return f"{passage.title}. {passage.text}"


def digest_of(text: str) -> str:
    """A short name for a text, to find its vector again."""
    return hashlib.sha256(text.encode()).hexdigest()[:24]


def index_key(passages: Sequence[Passage], encoder: Encoder) -> str:
    """The name of the index of these passages by this encoder."""
    digest = hashlib.sha256(f"{FORMAT}\n{encoder.fingerprint}\n".encode())
    for passage in passages:
        digest.update(json.dumps([passage.id, text_of(passage)]).encode())
    return digest.hexdigest()[:32]


class PassageIndex:
    """Cosine similarity of a question's vector to every passage."""

    def __init__(self, vectors: Any) -> None:
        self._vectors = vectors

    def search(self, vector: Vectors) -> dict[int, float]:
        """The cosine of every passage, by position, best first; the vector is one unit row."""
        scores, found = self._vectors.search(vector.reshape(1, -1), self._vectors.ntotal)
        return dict(zip(found[0].tolist(), scores[0].tolist(), strict=True))

    @classmethod
    def open(
        cls,
        passages: Sequence[Passage],
        encoder: Encoder,
        folder: Path | None = None,
        progress: Progress | None = None,
        notices: list[str] | None = None,
        packaged: Path | None = PACKAGED,
    ) -> PassageIndex:
        """Read the index from its folder, or build it and keep it there.

        `progress` is called with (passages done, passages in all) while building. If the folder cannot be
        written, the index lives in memory and a sentence saying so is added to `notices`. `packaged` holds
        vectors that need not be made again.
        """
        folder = folder or cache_folder()
        key = index_key(passages, encoder)
        digests = [digest_of(text_of(passage)) for passage in passages]
        stored = _read(folder, key)
        if stored is not None and stored.digests == digests:
            return cls(stored.vectors)
        known = _older_vectors(folder, encoder.fingerprint) | (read_packaged(packaged) if packaged else {})
        vectors = _build(passages, digests, encoder, known, progress)
        try:
            _write(folder, key, encoder, digests, vectors)
        except OSError as error:
            if notices is not None:
                notices.append(
                    f"The search index could not be kept in {folder} ({error.strerror or error}); it works from memory"
                    f" and is built again next time. Set {CACHE_VARIABLE} to a folder that can be written."
                )
        return cls(vectors)


# --- building -----------------------------------------------------------------------------------------------------


def _build(
    passages: Sequence[Passage],
    digests: Sequence[str],
    encoder: Encoder,
    known: Mapping[str, Vectors],
    progress: Progress | None,
) -> Any:
    import numpy as np

    faiss = _faiss()
    matrix = np.zeros((len(passages), encoder.dimension), dtype=np.float32)
    missing = []
    for number, digest in enumerate(digests):
        if digest in known:
            matrix[number] = known[digest]
        else:
            missing.append(number)
    texts = [text_of(passage) for passage in passages]
    missing.sort(key=lambda number: len(texts[number]))  # like lengths together: less padding
    done = len(passages) - len(missing)
    for start in range(0, len(missing), _CHUNK):
        chunk = missing[start : start + _CHUNK]
        matrix[chunk] = encoder.encode([texts[number] for number in chunk])
        done += len(chunk)
        if progress:
            progress(done, len(passages))
    vectors = faiss.IndexFlatIP(encoder.dimension)
    vectors.add(matrix)
    return vectors


def _faiss() -> Any:
    import faiss

    # One thread is enough for a few thousand rows, and keeps faiss and torch from sharing two OpenMP pools.
    faiss.omp_set_num_threads(1)
    return faiss


# --- vectors that come with the package ---------------------------------------------------------------------------


def read_packaged(path: Path) -> dict[str, Vectors]:
    """Vectors by text digest, as the reference encoder made them; empty if the file is absent or unreadable."""
    import numpy as np

    try:
        with np.load(io.BytesIO(path.read_bytes()), allow_pickle=False) as stored:
            model = str(stored["model"])
            matrix = stored["vectors"].astype(np.float32)
            names = [name.decode("ascii") for name in stored["digests"].tolist()]
        if model != REFERENCE_SHA256 or matrix.shape != (len(names), DIMENSION):
            return {}
    except (OSError, EOFError, ValueError, KeyError, TypeError, AttributeError, zipfile.BadZipFile):
        return {}
    matrix /= np.maximum(np.linalg.norm(matrix, axis=1, keepdims=True), 1e-12)  # half precision lost the last digits
    return dict(zip(names, matrix, strict=True))


def write_packaged(path: Path, passages: Sequence[Passage], encoder: Encoder) -> None:
    """Encode every passage with the reference encoder and store the vectors in half precision."""
    import numpy as np

    texts = [text_of(passage) for passage in passages]
    with path.open("wb") as file:
        np.savez(
            file,
            model=np.array(REFERENCE_SHA256),
            digests=np.array([digest_of(text) for text in texts], dtype="S24"),
            vectors=encoder.encode(texts).astype(np.float16),
        )


# --- on disk ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Stored:
    encoder: str
    digests: list[str]
    vectors: Any


def _read(folder: Path, key: str) -> _Stored | None:
    """The index of that name, or None if it is absent, half-written, damaged or of another format."""
    try:
        header = json.loads((folder / f"{key}.json").read_text(encoding="utf-8"))
        if header["format"] != FORMAT or header["key"] != key:
            return None
        name = header["vectors"]
        if Path(name).name != name:
            return None
        data = (folder / name).read_bytes()
        if hashlib.sha256(data).hexdigest() != header["sha256"]:
            return None
        import numpy as np

        vectors = _faiss().deserialize_index(np.frombuffer(data, dtype=np.uint8))
        digests = header["rows"]
        if vectors.ntotal != len(digests) or vectors.d != header["dimension"]:
            return None
        return _Stored(str(header["encoder"]), digests, vectors)
    except (OSError, ValueError, KeyError, TypeError, RuntimeError, AttributeError):
        return None


def _headers(folder: Path) -> list[Path]:
    """Header files, newest first."""

    def age(path: Path) -> float:
        try:
            return -path.stat().st_mtime
        except OSError:
            return 0.0

    try:
        return sorted(folder.glob("*.json"), key=age)
    except OSError:
        return []


def _older_vectors(folder: Path, fingerprint: str) -> dict[str, Vectors]:
    """Vectors by text digest from indexes that the same encoder made."""
    known: dict[str, Vectors] = {}
    for path in _headers(folder)[:_KEPT]:
        stored = _read(folder, path.stem)
        if stored is not None and stored.encoder == fingerprint and stored.vectors.ntotal:
            matrix = stored.vectors.reconstruct_n(0, stored.vectors.ntotal)
            for digest, vector in zip(stored.digests, matrix, strict=True):
                known.setdefault(digest, vector)
    return known


def _write(folder: Path, key: str, encoder: Encoder, digests: Sequence[str], vectors: Any) -> None:
    folder.mkdir(parents=True, exist_ok=True)
    data = bytes(_faiss().serialize_index(vectors))
    checksum = hashlib.sha256(data).hexdigest()
    # The checksum is part of the name: two processes that build at once cannot spoil each other's pair.
    name = f"{key}-{checksum[:12]}.faiss"
    header = {
        "format": FORMAT, "key": key, "encoder": encoder.fingerprint, "dimension": encoder.dimension,
        "vectors": name, "sha256": checksum, "rows": list(digests),
    }  # fmt: skip
    _replace(folder / name, data)
    _replace(folder / f"{key}.json", json.dumps(header).encode())
    _tidy(folder)


def _replace(path: Path, data: bytes) -> None:
    handle, temporary = tempfile.mkstemp(dir=path.parent, prefix=".building-")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        os.replace(temporary, path)
    except BaseException:
        with contextlib.suppress(OSError):
            os.unlink(temporary)
        raise


def _tidy(folder: Path) -> None:
    """Drop old indexes, faiss files no header names, and what a killed process left behind."""
    kept = _headers(folder)
    for header in kept[_KEPT:]:
        _remove(header)
    keys = {header.stem for header in kept[:_KEPT]}
    for path in _abandoned(folder, keys):
        _remove(path)


def _abandoned(folder: Path, keys: set[str]) -> Iterator[Path]:
    now = time.time()
    for path in [*folder.glob(".building-*"), *folder.glob("*.faiss")]:
        if path.suffix == ".faiss" and path.stem.partition("-")[0] not in keys:
            yield path
        elif path.name.startswith(".building-"):
            with contextlib.suppress(OSError):
                if now - path.stat().st_mtime > _ABANDONED_AFTER:
                    yield path


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()
