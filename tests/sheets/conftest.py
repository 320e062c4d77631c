from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from assistant.handbook.loading import Handbook, load_handbook
from assistant.language.parsing import Parser
from assistant.sheets.job import Job
from assistant.sheets.parts import Plan
from assistant.sheets.plan import plan
from assistant.sheets.prices import PriceList, load_prices
from assistant.sheets.recipe import read_job

DEMO = Path(__file__).resolve().parents[2] / "demo"
TODAY = date(2026, 11, 25)
STAMP = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    """The handbook with the demo shop's folder laid over it."""
    return load_handbook(overlays=[DEMO / "shop"])


@pytest.fixture(scope="session")
def parser(handbook: Handbook) -> Parser:
    return Parser(handbook)


@pytest.fixture(scope="session")
def prices(handbook: Handbook) -> PriceList:
    found = load_prices(DEMO / "shop", handbook)
    assert found is not None
    return found


@pytest.fixture(scope="session")
def job(handbook: Handbook) -> Job:
    return read_job(DEMO / "reading-room.yaml", handbook)


@pytest.fixture(scope="session")
def made(job: Job, handbook: Handbook, prices: PriceList) -> Plan:
    return plan(job, handbook, prices=prices, today=TODAY)


def small(**changes: Any) -> Job:
    """A job of one material in one vase; every test changes what it is about."""
    data: dict[str, Any] = {
        "job": "small-job", "title": "Small job", "install": "2026-12-07", "display_days": 5, "degC": 20.0,
        "humidity": 60.0, "recipe": [{"material": "rose", "stems": 12}],
        "vessels": [{"vessel": "cylinder-vase"}],
    }  # fmt: skip
    return Job.model_validate(data | changes)
