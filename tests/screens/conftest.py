"""The app with a fixed clock, a temporary home and no movement; ready once its loading thread has ended."""

from __future__ import annotations

import asyncio
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

import pytest
from textual.pilot import Pilot

from assistant.dialogue.context import Context
from assistant.handbook.loading import load_handbook
from assistant.screens.app import BucketsideApp
from assistant.screens.loading import MakeContext
from tests.screens.small import ScriptedConversation, small_context

NOW = datetime.fromisoformat("2026-11-25T09:30:00")
MakeApp = Callable[..., BucketsideApp]


@pytest.fixture(autouse=True)
def _plain_surroundings(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    for name in ("NO_COLOR", "COLORFGBG", "BUCKETSIDE_LOOK", "BUCKETSIDE_MOTION"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("BUCKETSIDE_DATA", str(tmp_path))
    monkeypatch.setenv("BUCKETSIDE_MOTION", "off")


@pytest.fixture
def scripted(tmp_path: Path) -> MakeApp:
    """Makes the app on the made-up handbook with the scripted conversation."""

    def make(build: MakeContext = small_context, **rest: object) -> BucketsideApp:
        rest.setdefault("converse", ScriptedConversation)
        return BucketsideApp(build, folder=tmp_path, now=lambda: NOW, **rest)  # type: ignore[arg-type]

    return make


@pytest.fixture(scope="session")
def real_context() -> Context:
    """The handbook that comes with the program; without search by meaning."""
    return Context(load_handbook(), lambda: NOW.date())


@pytest.fixture
def real(tmp_path: Path, real_context: Context) -> MakeApp:
    """Makes the app on the real handbook with the real conversation."""
    return lambda **rest: BucketsideApp(lambda: real_context, folder=tmp_path, now=lambda: NOW, **rest)


async def ready(pilot: Pilot[None]) -> BucketsideApp:
    """The app once the background thread has said all it has to say."""
    app = pilot.app
    assert isinstance(app, BucketsideApp)
    await pilot.pause()
    thread = app.bench.loader
    assert thread is not None
    await asyncio.to_thread(thread.join)
    await pilot.pause()
    await pilot.pause()
    return app


async def ask(pilot: Pilot[None], text: str) -> None:
    """Type a question into the prompt and send it."""
    app = pilot.app
    assert isinstance(app, BucketsideApp)
    app.bench.prompt.focus()
    app.bench.prompt.value = text
    await pilot.press("enter")
    await pilot.pause()
    await pilot.pause()
