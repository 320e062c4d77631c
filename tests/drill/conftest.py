"""One bank for all drill tests, a clock that only moves when told, a record of its own."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from random import Random

import pytest

from assistant.dialogue.context import Context
from assistant.drill.item import Item
from assistant.drill.items import Bank
from assistant.drill.marking.marker import Marker
from assistant.drill.store import Learner, Store

START = datetime(2026, 11, 25, 9, tzinfo=UTC)


class Clock:
    """Stands still until `pass_days`."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> datetime:
        return self.now

    def pass_days(self, days: float) -> None:
        self.now += timedelta(days=days)


@pytest.fixture(scope="session")
def bank(context: Context) -> Bank:
    return Bank(context)


@pytest.fixture(scope="session")
def marker(bank: Bank) -> Marker:
    return Marker(bank.known.names)


@pytest.fixture
def clock() -> Clock:
    return Clock()


@pytest.fixture
def record(tmp_path: Path) -> Path:
    return tmp_path / "drill.sqlite3"


@pytest.fixture
def store(record: Path) -> Iterator[Store]:
    with Store(record) as opened:
        yield opened


@pytest.fixture
def learner(store: Store) -> Learner:
    return store.learner("Ann", START)


def built(bank: Bank, item_id: str, seed: int = 0) -> Item:
    """An item that must exist."""
    item = bank.build(item_id, Random(seed))
    assert item is not None, item_id
    return item
