"""Make the pictures of the app in docs/: `python docs/make_screenshots.py`.

The app runs without a terminal, on the handbook that comes with it and on a fixed day, in a home of its own. The
scenes are from our own scenario: a seaside reading room with a long reception counter and a two-week winter display,
and the small shop that supplies it.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

DOCS = Path(__file__).parent
NOW = datetime.fromisoformat("2026-11-25T09:30:00")
SIZES = {"80x24": (80, 24), "140x40": (140, 40)}
MOST_BYTES = 200_000

# The export asks a font service for its font. These pictures ask nobody for anything.
_FONT_FACES = re.compile(r"@font-face \{.*?\}\s*", re.DOTALL)
_FETCHES = re.compile(rb"url\([^#]|href=|@import|<image")
_FONTS = '"DejaVu Sans Mono", Menlo, Consolas, "Liberation Mono", monospace'


@dataclass(frozen=True)
class Scene:
    """What is done before the picture is taken: questions, and keys written as `!key`."""

    name: str
    shows: str
    steps: tuple[str, ...]


SCENES = (
    Scene("welcome", "the first screen", ()),
    Scene(
        "life",
        "how long a flower lasts in the reading room, then the same in foam",
        ("how long do carnations last in a reading room at 21 degrees", "and in foam?"),
    ),
    Scene(
        "what-if",
        "the temperature of a figure turned with the arrow keys",
        ("how long do carnations last in a reading room at 21 degrees", "!tab", "!up", "!up", "!up"),
    ),
    Scene(
        "refresh",
        "what gets replaced when, over the two weeks of the winter display",
        ("carnations and large-leaved ruscus on the reception counter for two weeks at 21 degrees, refresh plan",),
    ),
    Scene(
        "order",
        "how many bunches the shop orders",
        ("how many bunches of salal for nine pieces with 5 stems each and 10 % loss",),
    ),
    Scene(
        "hazard",
        "a caution, where visitors could come to harm",
        ("is amaryllis on the reception counter dangerous for small children?",),
    ),
)


async def take(scene: Scene, size: tuple[int, int], home: Path) -> str:
    """The picture of a scene as SVG text. `home` must be an empty folder."""
    from assistant.screens.app import BucketsideApp

    app = BucketsideApp(folder=home, now=lambda: NOW)
    async with app.run_test(size=size) as pilot:
        await pilot.pause()
        loader = app.bench.loader
        assert loader is not None
        await asyncio.to_thread(loader.join)
        await pilot.pause()
        await pilot.pause()
        for step in scene.steps:
            if step.startswith("!"):
                await pilot.press(step[1:])
            else:
                app.bench.prompt.focus()
                app.bench.prompt.value = step
                await pilot.press("enter")
            await pilot.pause()
            await pilot.pause()
        picture = app.export_screenshot(title="Bucketside", simplify=True)
    return _FONT_FACES.sub("", picture).replace("Fira Code, monospace", _FONTS)


@contextmanager
def own_home() -> Iterator[Path]:
    """A folder for data and cache, with nothing moving and no wish of the person's own terminal."""
    with tempfile.TemporaryDirectory() as name:
        home = Path(name)
        os.environ.update(
            BUCKETSIDE_DATA=str(home / "data"), BUCKETSIDE_CACHE=str(home / "cache"), BUCKETSIDE_MOTION="off"
        )
        for wish in ("NO_COLOR", "COLORFGBG", "BUCKETSIDE_LOOK", "BUCKETSIDE_SHOP"):
            os.environ.pop(wish, None)
        yield home


def main() -> None:
    """Write every scene at every size; ends with a sentence if a picture is too large or not whole in itself."""
    with own_home() as home:
        for scene in SCENES:
            for label, size in SIZES.items():
                folder = home / f"{scene.name}-{label}"
                folder.mkdir()
                picture = asyncio.run(take(scene, size, folder)).encode()
                if _FETCHES.search(picture):
                    raise SystemExit(f"The picture {scene.name} at {label} would fetch something from elsewhere.")
                if len(picture) >= MOST_BYTES:
                    raise SystemExit(f"The picture {scene.name} at {label} has {len(picture)} bytes; that is too many.")
                path = DOCS / f"{scene.name}-{label}.svg"
                path.write_bytes(picture)
                sys.stdout.write(f"{path.name}  {len(picture) // 1000} kB  {scene.shows}\n")


if __name__ == "__main__":
    main()
