"""What all tests share: a fixed day, the packaged handbook read once, folders of their own."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.loading import Handbook, load_handbook
from assistant.language.parsing import Parser

TODAY = date(2026, 11, 25)  # a Wednesday


@pytest.fixture(scope="session")
def handbook() -> Handbook:
    return load_handbook()


@pytest.fixture(scope="session")
def parser(handbook: Handbook) -> Parser:
    return Parser(handbook)


@pytest.fixture(scope="session")
def context(handbook: Handbook) -> Context:
    """Without search: what is understood must be answered without it."""
    return Context(handbook, clock=lambda: TODAY)


@pytest.fixture
def talk(context: Context) -> Conversation:
    return Conversation(context)


@pytest.fixture(autouse=True)
def own_folders(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test touches the person's own cache or data."""
    root = tmp_path_factory.mktemp("home")
    monkeypatch.setenv("BUCKETSIDE_CACHE", str(root / "cache"))
    monkeypatch.setenv("BUCKETSIDE_DATA", str(root / "data"))
    return root
