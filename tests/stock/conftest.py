from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from assistant.handbook.loading import Handbook, load_handbook
from assistant.language.parsing import Parser
from assistant.stock.ledger import Ledger
from assistant.stock.lots import NewLot, Stand

TODAY = date(2026, 11, 25)
MONDAY = date(2026, 11, 23)


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    return load_handbook()


@pytest.fixture(scope="session")
def parser(handbook: Handbook) -> Parser:
    return Parser(handbook)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return tmp_path / "data" / "stock.sqlite"


@pytest.fixture
def ledger(path: Path) -> Iterator[Ledger]:
    with Ledger(path) as opened:
        yield opened


def in_cooler(day: date = MONDAY, low: float = 2.0, high: float = 4.0) -> Stand:
    return Stand(day, "cooler-wet", low, high)


def on_bench(day: date = TODAY, low: float = 18.0, high: float = 18.0) -> Stand:
    return Stand(day, "vase-food", low, high)


def lot(material: str = "rose", stems: int = 40, stand: Stand | None = None, note: str = "") -> NewLot:
    return NewLot(material, stems, stand or in_cooler(), None, note)
