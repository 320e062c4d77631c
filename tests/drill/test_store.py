"""The record: whole answers or none, whatever happens; one clear sentence when it can't be used."""

from __future__ import annotations

import signal
import sqlite3
import subprocess
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from assistant.drill.marking.mark import Mark
from assistant.drill.schedule import Memory, Schedule
from assistant.drill.store import (
    APPLICATION_ID,
    DATA_VARIABLE,
    FILE_NAME,
    VERSION,
    Answered,
    Learner,
    Store,
    StoreError,
)
from tests.drill.conftest import START

ITEM = "life:rose:number"
ROOT = Path(__file__).parents[2]
RIGHT = Mark("right", 1.0)


def answer(store: Store, learner: Learner, item: str = ITEM, fingerprint: str = "f", mark: Mark = RIGHT) -> Memory:
    answered = Answered(item, "life", START, "s", "How long?", "10 days", mark.verdict, mark.credit)
    return store.record(learner, answered, lambda known: Schedule().review(item, known, mark, START, fingerprint))


def writer(path: Path, name: str, count: int) -> subprocess.Popen[str]:
    command = [sys.executable, "-m", "tests.drill.writing", str(path), name, str(count)]
    return subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, text=True)


def test_what_is_written_is_read_again(store: Store, record: Path, learner: Learner) -> None:
    memory = answer(store, learner)
    with Store(record) as again:
        assert again.memories(learner) == {ITEM: memory}
        (kept,) = again.answers(learner)
        assert (kept.item, kept.said, kept.verdict, kept.at) == (ITEM, "10 days", "right", START)
        assert again.is_sound()


def test_learners_are_told_apart_by_name_and_not_by_case(store: Store, learner: Learner) -> None:
    assert store.learner("ANN", START) == learner
    bob = store.learner("Bob", START)
    answer(store, bob)
    assert store.memories(learner) == {}
    assert [who.name for who in store.learners()] == ["Ann", "Bob"]
    assert store.find_learner("bOB") == bob
    assert store.find_learner("Eve") is None


@pytest.mark.parametrize("name", ["", "   ", "\x1b[2J", "x" * 61])
def test_a_name_has_some_characters_and_not_too_many(store: Store, name: str) -> None:
    with pytest.raises(StoreError, match="1 to 60 characters"):
        store.learner(name, START)


def test_forgetting_takes_everything(store: Store, record: Path, learner: Learner) -> None:
    answer(store, learner)
    store.forget(learner)
    with sqlite3.connect(record) as db:
        counts = [
            db.execute(f"SELECT count(*) FROM {table}").fetchone()[0] for table in ("learners", "memories", "answers")
        ]
    db.close()
    assert counts == [0, 0, 0]


def test_a_failing_review_writes_nothing(store: Store, learner: Learner) -> None:
    def fails(_: Memory | None) -> Memory:
        raise RuntimeError("the power went")

    with pytest.raises(RuntimeError, match="the power went"):
        store.record(learner, Answered(ITEM, "life", START, "s", "?", "x", "right", 1.0), fails)
    assert store.answers(learner) == ()
    answer(store, learner)
    assert store.is_sound()


def test_lists_are_kept_by_name(store: Store) -> None:
    store.save_list("Monday", ["rose", "tulip"])
    store.save_list("monday", ["iris"])
    assert store.lists() == {"monday": ("iris",)}
    assert store.remove_list("MONDAY")
    assert not store.remove_list("monday")


# --- the handbook moves on ------------------------------------------------------------------------------------------


def test_a_changed_answer_comes_back_early_and_keeps_its_schedule(store: Store, learner: Learner) -> None:
    before = answer(store, learner)
    assert before.due > START + timedelta(days=1)
    assert store.follow({ITEM: "g"}, START) == (1, 0)
    after = store.memories(learner)[ITEM]
    assert (after.due, after.changed, after.fingerprint) == (START, True, "g")
    assert (after.stability, after.reps) == (before.stability, before.reps)
    assert store.follow({ITEM: "g"}, START) == (0, 0)
    assert not answer(store, learner, fingerprint="g").changed


def test_what_vanished_is_retired_and_may_come_back(store: Store, learner: Learner) -> None:
    before = answer(store, learner)
    assert store.follow({}, START) == (0, 1)
    assert store.memories(learner)[ITEM].retired
    assert store.follow({ITEM: "f"}, START) == (0, 0)
    assert store.memories(learner)[ITEM] == before


def test_an_item_that_is_due_is_not_put_off_by_a_change(store: Store, learner: Learner) -> None:
    due = answer(store, learner, mark=Mark("wrong", 0.0)).due
    store.follow({ITEM: "g"}, START + timedelta(days=5))
    assert store.memories(learner)[ITEM].due == due


# --- files that can't be used -----------------------------------------------------------------------------------------


def test_a_newer_version_is_left_alone(record: Path) -> None:
    with sqlite3.connect(record) as db:
        db.execute("CREATE TABLE learners (id INTEGER)")
        db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        db.execute(f"PRAGMA user_version = {VERSION + 1}")
    db.close()
    before = record.read_bytes()
    with pytest.raises(StoreError, match=r"newer version.*nothing was changed"):
        Store(record)
    assert record.read_bytes() == before
    assert [p.name for p in record.parent.iterdir()] == [record.name]


def test_another_programs_database_is_left_alone(record: Path) -> None:
    with sqlite3.connect(record) as db:
        db.execute("CREATE TABLE stock (id INTEGER)")
    db.close()
    before = record.read_bytes()
    with pytest.raises(StoreError, match="not a quiz record"):
        Store(record)
    assert record.read_bytes() == before


def test_a_file_that_is_no_database_is_left_alone(record: Path) -> None:
    record.write_text("dear diary, " * 200, encoding="utf-8")
    with pytest.raises(StoreError, match="damaged or is no quiz record"):
        Store(record)
    assert record.read_text(encoding="utf-8").startswith("dear diary")


def test_a_folder_that_is_a_file_is_said(tmp_path: Path) -> None:
    (tmp_path / "data").write_text("", encoding="utf-8")
    with pytest.raises(StoreError, match=rf"can't write its record.*{DATA_VARIABLE}"):
        Store(tmp_path / "data" / FILE_NAME)


def test_nothing_to_look_at_is_said_and_nothing_is_made(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="no quiz record"):
        Store(tmp_path / "deep" / FILE_NAME, read_only=True)
    assert list(tmp_path.iterdir()) == []


def test_looking_does_not_write(store: Store, record: Path, learner: Learner) -> None:
    with Store(record, read_only=True) as looking:
        assert looking.learners() == (learner,)
        with pytest.raises(StoreError, match="reading only"):
            looking.learner("Eve", START)


_AS_NOBODY = """
import os, sys
from pathlib import Path
from assistant.drill.store import Store, StoreError
if os.geteuid() == 0:  # root may write anywhere; whoever runs the tests as root becomes nobody for this one
    os.setgid(65534); os.setuid(65534)
path = Path(sys.argv[1])
try:
    Store(path)
except StoreError as error:
    print("refused:", error)
with Store(path, read_only=True) as store:
    who = store.learners()[0]
    print("read:", who.name, len(store.answers(who)))
"""


def test_a_read_only_folder_can_be_read_and_says_why_not_written(tmp_path_factory: pytest.TempPathFactory) -> None:
    folder = tmp_path_factory.mktemp("readonly")
    path = folder / FILE_NAME
    with Store(path) as store:
        answer(store, store.learner("Ann", START))
    before = path.read_bytes()
    for parent in (folder, folder.parent, folder.parent.parent):
        parent.chmod(0o755)
    path.chmod(0o444)
    folder.chmod(0o555)
    try:
        done = subprocess.run(
            [sys.executable, "-c", _AS_NOBODY, str(path)], cwd=ROOT, capture_output=True, text=True, check=True
        )
    finally:
        folder.chmod(0o755)
    refused, read = done.stdout.splitlines()
    assert refused.startswith("refused: The quiz can't write its record in")
    assert DATA_VARIABLE in refused
    assert read == "read: Ann 1"
    assert path.read_bytes() == before


def test_a_record_held_by_another_program_is_said(
    store: Store, record: Path, learner: Learner, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("assistant.drill.store._BUSY_SECONDS", 0.05)
    other = sqlite3.connect(record, isolation_level=None)
    try:
        with Store(record) as waiting:
            other.execute("BEGIN IMMEDIATE")
            with pytest.raises(StoreError, match="Another program is holding"):
                answer(waiting, learner)
            other.execute("ROLLBACK")
            answer(waiting, learner)
            assert waiting.is_sound()
    finally:
        other.close()


def test_a_full_disk_costs_one_answer_and_no_other(store: Store, learner: Learner) -> None:
    answer(store, learner)
    (pages,) = store._db.execute("PRAGMA page_count").fetchone()
    store._db.execute(f"PRAGMA max_page_count = {pages + 2}")
    safe = [ITEM]

    def fill() -> None:
        for number in range(10_000):
            answer(store, learner, f"life:item-{number}:number")
            safe.append(f"life:item-{number}:number")

    with pytest.raises(StoreError, match=r"disk is full.*answers before this one are safe"):
        fill()
    assert [kept.item for kept in store.answers(learner)] == safe
    assert store.is_sound()


# --- killed, and two at once ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("answers", [1, 9, 40])
def test_a_kill_loses_no_answer_that_was_said_to_be_safe(record: Path, answers: int) -> None:
    process = writer(record, "Ann", 100_000)
    assert process.stdout is not None
    last = -1
    for line in process.stdout:
        last = int(line)
        if last + 1 >= answers:
            process.send_signal(signal.SIGKILL)
            break
    rest = process.stdout.read().split()
    process.wait()
    process.stdout.close()
    safe = int(rest[-1]) + 1 if rest and rest[-1].isdigit() else last + 1
    with Store(record) as store:
        assert store.is_sound()
        (learner,) = store.learners()
        assert len(store.answers(learner)) >= safe
        assert sum(m.reps for m in store.memories(learner).values()) == len(store.answers(learner))


def test_two_processes_lose_nothing(record: Path) -> None:
    both = [writer(record, "Ann", 40) for _ in range(2)]
    assert [process.communicate()[0].split()[-1] for process in both] == ["39", "39"]
    with Store(record) as store:
        assert store.is_sound()
        (learner,) = store.learners()
        assert len(store.answers(learner)) == 80
        assert sum(m.reps for m in store.memories(learner).values()) == 80


def test_the_folder_can_be_named(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(DATA_VARIABLE, str(tmp_path / "mine"))
    with Store() as store:
        assert store.path == tmp_path / "mine" / FILE_NAME
