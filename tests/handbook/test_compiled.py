"""The compiled form: the same handbook, fresh or made anew, and never in the way."""

import os

import pytest

from assistant.handbook import compiled
from assistant.handbook.compiled import load_compiled
from assistant.handbook.loading import HandbookError, load_handbook
from tests.handbook import toys


@pytest.fixture
def base(tmp_path):
    return toys.handbook_folder(tmp_path / "base")


@pytest.fixture
def cache(tmp_path):
    return tmp_path / "cache"


@pytest.fixture
def reads(monkeypatch):
    """How often the YAML was read."""
    calls = []

    def counted(*arguments):
        calls.append(arguments)
        return load_handbook(*arguments)

    monkeypatch.setattr(compiled, "load_handbook", counted)
    return calls


def form(cache):
    (path,) = cache.glob("handbook-*.json")
    return path


def touch(path):
    state = path.stat()
    os.utime(path, ns=(state.st_atime_ns, state.st_mtime_ns + 1_000_000))


def test_the_second_start_reads_no_yaml(base, cache, reads):
    first, second = load_compiled(base, cache=cache), load_compiled(base, cache=cache)
    assert len(reads) == 1
    assert first == second == load_handbook(base)


@pytest.mark.parametrize(
    "change",
    [
        lambda base: touch(base / "materials" / "tulip.yaml"),
        lambda base: touch(base / "sources.yaml"),
        lambda base: (base / "tables" / "names.yaml").unlink(),
        lambda base: toys.write(base, {"materials/rose.yaml": toys.ANEMONE.replace("anemone", "rose")}),
    ],
    ids=["touched", "sources touched", "removed", "added"],
)
def test_a_changed_folder_is_read_anew(base, cache, reads, change):
    load_compiled(base, cache=cache)
    change(base)
    assert load_compiled(base, cache=cache) == load_handbook(base)
    assert len(reads) == 2


def test_a_changed_overlay_is_read_anew(base, cache, reads, tmp_path):
    shop = toys.write(tmp_path / "shop", {"materials/tulip.yaml": "id: tulip\nplural: tulpen\n"})
    assert load_compiled(base, [shop], cache=cache).materials["tulip"].plural == "tulpen"
    toys.write(shop, {"materials/tulip.yaml": "id: tulip\nplural: tulipes\n"})
    assert load_compiled(base, [shop], cache=cache).materials["tulip"].plural == "tulipes"
    assert load_compiled(base, cache=cache).materials["tulip"].plural == "tulips"
    assert len(reads) == 3


def test_the_order_of_overlays_matters_to_the_form(base, cache, tmp_path):
    one = toys.write(tmp_path / "one", {"materials/tulip.yaml": "id: tulip\nplural: one\n"})
    two = toys.write(tmp_path / "two", {"materials/tulip.yaml": "id: tulip\nplural: two\n"})
    assert load_compiled(base, [one, two], cache=cache).materials["tulip"].plural == "two"
    assert load_compiled(base, [two, one], cache=cache).materials["tulip"].plural == "one"


@pytest.mark.parametrize(
    "damage",
    [
        lambda data: data[: len(data) // 2],
        lambda data: b"",
        lambda data: data.replace(b"tulip", b"tulap"),
        lambda data: b"\xff\xfe" + data,
        lambda data: data.split(b"\n", 1)[0] + b"\n{}",
        lambda data: b"0" * 64 + data[64:],
    ],
    ids=["truncated", "empty", "changed", "binary", "another body", "another key"],
)
def test_a_damaged_form_is_made_anew(base, cache, reads, damage):
    load_compiled(base, cache=cache)
    path = form(cache)
    whole = path.read_bytes()
    path.write_bytes(damage(whole))
    assert load_compiled(base, cache=cache) == load_handbook(base)
    assert len(reads) == 2
    assert path.read_bytes() == whole


def test_a_cache_that_cannot_be_written_only_costs_time(base, tmp_path, reads):
    in_the_way = tmp_path / "cache"
    in_the_way.write_text("a file where the folder should be", encoding="utf-8")
    for _ in range(2):
        assert load_compiled(base, cache=in_the_way) == load_handbook(base)
    assert len(reads) == 2
    assert in_the_way.read_text(encoding="utf-8") == "a file where the folder should be"


def test_a_failed_write_leaves_nothing_behind(base, cache, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(compiled.os, "replace", full)
    assert load_compiled(base, cache=cache) == load_handbook(base)
    assert list(cache.iterdir()) == []


def test_old_forms_are_cleared_away(base, cache):
    for n in range(8):
        toys.write(base, {"materials/tulip.yaml": toys.TULIP.replace("plural: tulips", f"plural: tulips{n}")})
        load_compiled(base, cache=cache)
    assert len(list(cache.glob("handbook-*.json"))) == 4
    assert load_compiled(base, cache=cache).materials["tulip"].plural == "tulips7"


def test_a_handbook_with_problems_is_never_compiled(base, cache):
    toys.write(base, {"materials/tulip.yaml": "id: ["})
    with pytest.raises(HandbookError):
        load_compiled(base, cache=cache)
    assert not cache.exists()


def test_the_packaged_handbook_comes_back_the_same(handbook, cache):
    load_compiled(cache=cache)
    found = load_compiled(cache=cache)
    assert found == handbook
    assert found.origin == handbook.origin
    assert [list(getattr(found, part)) for part in ("materials", "rules", "topics", "tables", "sources")] == [
        list(getattr(handbook, part)) for part in ("materials", "rules", "topics", "tables", "sources")
    ]


def test_what_comes_back_is_frozen_and_typed(base, cache):
    load_compiled(base, cache=cache)
    tulip = load_compiled(base, cache=cache).materials["tulip"]
    assert type(tulip.vase_life).__name__ == "VaseLife"
    assert tulip.vase_life.degC == 20.0  # a default the file never said
    assert isinstance(tulip.storage, tuple)
    assert tulip.storage[0].degC == (0.0, 2.0)
