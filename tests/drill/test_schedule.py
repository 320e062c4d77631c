"""Spaced repetition: stable ids, no fuzz, the clock handed in."""

from __future__ import annotations

from datetime import datetime, timedelta, timezone

import pytest

from assistant.drill.marking.mark import Mark
from assistant.drill.schedule import Memory, Schedule, card_number
from tests.drill.conftest import START

RIGHT, PARTLY = Mark("right", 1.0), Mark("partly", 0.5)
WRONG, UNKNOWN = Mark("wrong", 0.0), Mark("unknown", 0.0)


def after(*marks: Mark, days: float = 10.0) -> Memory:
    memory: Memory | None = None
    now = START
    for mark in marks:
        memory = Schedule().review("life:rose:number", memory, mark, now, "f")
        now += timedelta(days=days)
    assert memory is not None
    return memory


def test_the_number_of_an_item_never_changes() -> None:
    assert card_number("life:rose:number") == 4778282375436532
    assert card_number("life:rose:choice") != card_number("life:rose:number")


def test_no_fuzz() -> None:
    assert after(RIGHT, RIGHT, RIGHT) == after(RIGHT, RIGHT, RIGHT)


def test_wrong_and_unknown_come_back_in_this_shift() -> None:
    for mark in (WRONG, UNKNOWN):
        memory = after(mark)
        assert memory.due == START + timedelta(minutes=10)
        assert memory.lapses == 1
        assert not memory.is_learnt


def test_better_marks_come_back_later() -> None:
    waits = [after(RIGHT, mark).due - START for mark in (WRONG, PARTLY, RIGHT)]
    assert waits == sorted(waits)
    assert waits[0] < waits[1] < waits[2]


def test_knowing_it_again_and_again_stretches_the_wait() -> None:
    one, three = after(RIGHT), after(RIGHT, RIGHT, RIGHT)
    assert one.is_learnt
    assert one.due - START > timedelta(days=1)
    assert three.stability is not None
    assert one.stability is not None
    assert three.stability > 3 * one.stability


def test_recall_fades() -> None:
    memory = after(RIGHT)
    recalls = [Schedule().recall(memory, START + timedelta(days=d)) for d in (0, 5, 30, 300)]
    assert recalls[0] == pytest.approx(1.0)
    assert recalls == sorted(recalls, reverse=True)
    assert 0 < recalls[-1] < recalls[1] < 1
    assert Schedule().recall(after(WRONG), START) == 0.0


def test_a_clock_set_back_does_no_harm() -> None:
    memory = after(RIGHT)
    again = Schedule().review("life:rose:number", memory, RIGHT, START - timedelta(days=400), "f")
    assert again.due > START - timedelta(days=400)
    assert Schedule().recall(memory, START - timedelta(days=400)) == pytest.approx(1.0)


def test_only_utc_will_do() -> None:
    with pytest.raises(ValueError, match="UTC"):
        Schedule().review("x:y:z", None, RIGHT, datetime(2026, 1, 1, tzinfo=timezone(timedelta(hours=2))), "f")
