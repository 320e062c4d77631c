from __future__ import annotations

import errno
import io
import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest

from assistant.handbook.passages import Passage, all_passages
from assistant.retrieval import index as module
from assistant.retrieval.encoder import Encoder, OnnxEncoder
from assistant.retrieval.index import PACKAGED, PassageIndex, digest_of, read_packaged, text_of, write_packaged
from tests.retrieval.toys import WordEncoder, handbook

PASSAGES = list(all_passages(handbook()))


def open_index(folder: Path, passages: list[Passage] = PASSAGES, encoder: Encoder | None = None) -> PassageIndex:
    return PassageIndex.open(passages, encoder or WordEncoder(), folder, packaged=None)


def encoded_on_opening(folder: Path, passages: list[Passage] = PASSAGES) -> int:
    encoder = WordEncoder()
    found = open_index(folder, passages, encoder)
    count = len(encoder.encoded)
    # Whatever happened on disk, the index answers rightly: each text is nearest to itself.
    for number, passage in enumerate(passages):
        assert next(iter(found.search(encoder.encode([text_of(passage)])[0]))) == number
    return count


def test_built_once_then_read(tmp_path: Path) -> None:
    assert encoded_on_opening(tmp_path) == len(PASSAGES)
    assert encoded_on_opening(tmp_path) == 0
    assert len(list(tmp_path.iterdir())) == 2


def test_every_passage_gets_its_cosine_best_first(tmp_path: Path) -> None:
    vector = WordEncoder().encode(["strip the thorns"])[0]
    found = open_index(tmp_path).search(vector)
    expected = WordEncoder().encode([text_of(passage) for passage in PASSAGES]) @ vector
    assert sorted(found) == list(range(len(PASSAGES)))
    assert list(found.values()) == sorted(found.values(), reverse=True)
    assert [found[row] for row in range(len(PASSAGES))] == pytest.approx(expected.tolist(), abs=1e-6)


def test_progress_counts_up_to_all(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "_CHUNK", 3)
    seen: list[tuple[int, int]] = []
    PassageIndex.open(PASSAGES, WordEncoder(), tmp_path, progress=lambda done, total: seen.append((done, total)))
    assert seen == [(3, 7), (6, 7), (7, 7)]


def test_a_changed_passage_alone_is_encoded_again(tmp_path: Path) -> None:
    open_index(tmp_path)
    changed = list(all_passages(handbook("Scrub every pail with hot suds.")))
    assert encoded_on_opening(tmp_path, changed) == 1
    assert encoded_on_opening(tmp_path) == 0  # the earlier handbook's index is still there


def test_another_model_shares_nothing(tmp_path: Path) -> None:
    open_index(tmp_path)
    other = WordEncoder("words:2")
    open_index(tmp_path, encoder=other)
    assert len(other.encoded) == len(PASSAGES)


def _one(folder: Path, pattern: str) -> Path:
    (path,) = folder.glob(pattern)
    return path


def _cut_vectors(folder: Path) -> None:
    path = _one(folder, "*.faiss")
    path.write_bytes(path.read_bytes()[:-100])


def _flip_vectors(folder: Path) -> None:
    path = _one(folder, "*.faiss")
    data = bytearray(path.read_bytes())
    data[-50] ^= 0xFF
    path.write_bytes(data)


def _edit_header(folder: Path, **fields: object) -> None:
    path = _one(folder, "*.json")
    path.write_text(json.dumps(json.loads(path.read_text()) | fields))


DAMAGE: dict[str, Callable[[Path], object]] = {
    "vectors cut short": _cut_vectors,
    "a flipped bit": _flip_vectors,
    "vectors gone": lambda folder: _one(folder, "*.faiss").unlink(),
    "vectors empty": lambda folder: _one(folder, "*.faiss").write_bytes(b""),
    "header cut short": lambda folder: _one(folder, "*.json").write_text('{"format": 1, "key"'),
    "header empty": lambda folder: _one(folder, "*.json").write_bytes(b""),
    "header no text": lambda folder: _one(folder, "*.json").write_bytes(b"\xff\xfe\x00\x9f"),
    "header a list": lambda folder: _one(folder, "*.json").write_text("[1, 2]"),
    "header without rows": lambda folder: _edit_header(folder, rows=None),
    "rows too few": lambda folder: _edit_header(folder, rows=["a"]),
    "another format": lambda folder: _edit_header(folder, format=0),
    "a path elsewhere": lambda folder: _edit_header(folder, vectors="../elsewhere.faiss"),
    "vectors are a number": lambda folder: _edit_header(folder, vectors=3),
}


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE.keys())
def test_a_damaged_index_is_built_again(tmp_path: Path, damage: Callable[[Path], object]) -> None:
    open_index(tmp_path)
    damage(tmp_path)
    assert encoded_on_opening(tmp_path) == len(PASSAGES)
    assert encoded_on_opening(tmp_path) == 0


def test_well_formed_but_wrong_vectors_are_built_again(tmp_path: Path) -> None:
    """The checksum fits, faiss does not: as after a change of its own format."""
    import hashlib

    open_index(tmp_path)
    junk = b"not an index at all" * 10
    path = _one(tmp_path, "*.faiss")
    path.write_bytes(junk)
    _edit_header(tmp_path, sha256=hashlib.sha256(junk).hexdigest())
    assert encoded_on_opening(tmp_path) == len(PASSAGES)


def test_a_folder_that_cannot_be_made_means_memory_and_a_notice(tmp_path: Path) -> None:
    # A file stands where the folder should be: this fails for root too, where permissions would not.
    blocked = tmp_path / "cache"
    blocked.write_text("in the way")
    notices: list[str] = []
    encoder = WordEncoder()
    found = PassageIndex.open(PASSAGES, encoder, blocked, notices=notices, packaged=None)
    assert len(found.search(encoder.encode(["thorns"])[0])) == len(PASSAGES)
    assert len(notices) == 1
    assert "could not be kept" in notices[0]
    assert str(blocked) in notices[0]
    assert blocked.read_text() == "in the way"


def test_a_full_disk_leaves_no_litter(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(os, "replace", full)
    notices: list[str] = []
    PassageIndex.open(PASSAGES, WordEncoder(), tmp_path, notices=notices, packaged=None)
    assert "No space left on device" in notices[0]
    assert list(tmp_path.iterdir()) == []


def test_killed_between_the_two_files(tmp_path: Path) -> None:
    """Vectors in place, header not yet: not an index, and no harm."""
    open_index(tmp_path)
    _one(tmp_path, "*.json").unlink()
    assert encoded_on_opening(tmp_path) == len(PASSAGES)


def test_tidies_old_indexes_and_what_a_killed_process_left(tmp_path: Path) -> None:
    old, young = tmp_path / ".building-old", tmp_path / ".building-young"
    for path in (old, young):
        path.write_bytes(b"half")
    os.utime(old, (time.time() - 7200, time.time() - 7200))
    for number in range(6):
        open_index(tmp_path, list(all_passages(handbook(f"Text {number}."))))
        for path in tmp_path.glob("*.json"):  # an hour passes
            os.utime(path, (path.stat().st_atime, path.stat().st_mtime - 3600))
    assert not old.exists()
    assert young.exists()
    assert len(list(tmp_path.glob("*.json"))) == 3
    assert len(list(tmp_path.glob("*.faiss"))) == 3


def test_two_processes_build_at_once(tmp_path: Path) -> None:
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from retrieval.test_index import PASSAGES, open_index\n"
        "for _ in range(5): open_index(Path(sys.argv[1]))\n"
    )
    tests, top = Path(__file__).parents[1], Path(__file__).parents[2]
    environment = os.environ | {"PYTHONPATH": f"{tests}{os.pathsep}{top}"}
    running = [
        subprocess.Popen([sys.executable, "-c", code, str(tmp_path)], env=environment, stderr=subprocess.PIPE)
        for _ in range(3)
    ]
    errors = [process.communicate(timeout=60)[1] for process in running]
    assert [process.returncode for process in running] == [0, 0, 0], errors
    assert encoded_on_opening(tmp_path) == 0
    assert not list(tmp_path.glob(".building-*"))


def test_the_cache_folder_can_be_chosen(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("BUCKETSIDE_CACHE", str(tmp_path / "mine"))
    assert module.cache_folder() == tmp_path / "mine"
    PassageIndex.open(PASSAGES, WordEncoder())
    assert list((tmp_path / "mine").glob("*.faiss"))
    monkeypatch.delenv("BUCKETSIDE_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path))
    assert module.cache_folder().name == "bucketside"


# --- vectors that come with the package ---------------------------------------------------------------------------


def test_packaged_vectors_are_taken_over(tmp_path: Path) -> None:
    packaged = tmp_path / "vectors.npz"
    write_packaged(packaged, PASSAGES, WordEncoder())
    known = read_packaged(packaged)
    exact = WordEncoder().encode([text_of(passage) for passage in PASSAGES])
    for passage, vector in zip(PASSAGES, exact, strict=True):
        assert known[digest_of(text_of(passage))] @ vector == pytest.approx(1, abs=1e-5)
    encoder = WordEncoder()
    PassageIndex.open(PASSAGES, encoder, tmp_path / "cache", packaged=packaged)
    assert encoder.encoded == []


def _array_file() -> bytes:
    file = io.BytesIO()
    np.save(file, np.ones(3))
    return file.getvalue()


@pytest.mark.parametrize("content", [b"", b"PK\x03\x04 no archive", b"\x93NUMPY\x01\x00", _array_file(), b"text"])
def test_a_damaged_package_file_is_as_good_as_none(tmp_path: Path, content: bytes) -> None:
    packaged = tmp_path / "vectors.npz"
    packaged.write_bytes(content)
    assert read_packaged(packaged) == {}
    assert read_packaged(tmp_path / "absent.npz") == {}


def test_vectors_of_another_model_are_not_used(tmp_path: Path) -> None:
    packaged = tmp_path / "vectors.npz"
    digests = np.array([digest_of("x")], dtype="S24")
    np.savez(packaged, model=np.array("another"), digests=digests, vectors=np.ones((1, 384), np.float16))
    assert read_packaged(packaged) == {}


def test_the_package_covers_the_handbook(real_passages: list[Passage]) -> None:
    """Else the first start encodes for many seconds; run `python -m evals.vectors` after editing the handbook."""
    known = read_packaged(PACKAGED)
    covered = sum(digest_of(text_of(passage)) in known for passage in real_passages)
    assert covered / len(real_passages) > 0.9, "run: python -m evals.vectors"


@pytest.mark.usefixtures("no_network")
def test_the_real_model_builds_and_reads_without_a_network(tmp_path: Path) -> None:
    encoder = OnnxEncoder()
    for _ in range(2):
        found = PassageIndex.open(PASSAGES, encoder, tmp_path, packaged=None)
        best = next(iter(found.search(encoder.encode(["keep bananas away from the blooms"])[0])))
        assert PASSAGES[best].id == "bench/no-fruit"
