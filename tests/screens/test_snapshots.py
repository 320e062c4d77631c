"""How it looks at the two sizes people have, with everything that could vary held still."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from textual.pilot import Pilot

from assistant.screens.app import BucketsideApp
from tests.screens.conftest import MakeApp, ask, ready

SIZES = [(80, 24), (140, 40)]
Compare = Callable[..., bool]
SCENES: dict[str, tuple[str, ...]] = {
    "life": ("how long do anise bells last at 24?",),
    "hazard": ("is coast fern safe for cats?",),
    "order": ("how many bunches?",),
    "substitutes": ("what can stand in?",),
    "plan": ("refresh plan",),
    "water": ("how often top up?", "!f4"),
    "compared": ("compare them",),
    "asked_back": ("which bell?",),
    "what_if": ("how long do anise bells last at 24?", "!tab", "!up", "!up"),
    "typing_a_value": ("how long do anise bells last at 24?", "!tab", "!2", "!7"),
    "welcome": (),
    "help": ("!f1",),
    "handbook": ("!f2",),
    "entry": ("!f2", "!c", "!o", "!a", "!enter"),
}


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("scene", SCENES)
def test_scene(scripted: MakeApp, snap_compare: Compare, scene: str, size: tuple[int, int]) -> None:
    assert snap_compare(scripted(), terminal_size=size, run_before=_play(SCENES[scene]))


def test_day_look(scripted: MakeApp, snap_compare: Compare) -> None:
    assert snap_compare(
        scripted(), terminal_size=(80, 24), run_before=_play(("is coast fern safe for cats?", "!ctrl+t"))
    )


def test_no_colour(scripted: MakeApp, snap_compare: Compare, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    scene = ("is coast fern safe for cats?", "how long do anise bells last at 24?", "!tab")
    assert snap_compare(scripted(), terminal_size=(80, 24), run_before=_play(scene))


def _play(steps: tuple[str, ...]) -> Callable[[Pilot[Any]], Any]:
    async def play(pilot: Pilot[Any]) -> None:
        app = await ready(pilot)
        assert isinstance(app, BucketsideApp)
        for step in steps:
            if step.startswith("!"):
                await pilot.press(step[1:])
            else:
                await ask(pilot, step)
            await pilot.pause()
        await pilot.pause()

    return play
