"""How quick the app is, against a bare Textual app in the same run.

    python -m evals.screens_speed [--turns 2000] [--starts 7]

First frame: processes started by turns, bare and ours, each ending at its first painted frame. Keys and chips: in one
process without a terminal, after 500 turns, each timed from the key press until the screen has been painted again.
Memory: resident size while turns go on; the window and the transcript on disk should keep it flat.
"""

from __future__ import annotations

import argparse
import asyncio
import gc
import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from textual.pilot import Pilot

    from assistant.screens.app import BucketsideApp

BARE = """
from textual.app import App
from textual.widgets import Input
class Bare(App):
    def compose(self):
        yield Input()
    def on_ready(self):
        import sys, time
        sys.stdout.write(f"{time.time()}\\n"); sys.stdout.flush()
        self.exit()
Bare().run(headless=True, size=(80, 24))
"""
OURS = """
import sys, time
from pathlib import Path
from assistant.screens.app import BucketsideApp
class Ours(BucketsideApp):
    def on_ready(self):
        sys.stdout.write(f"{time.time()}\\n"); sys.stdout.flush()
        self.exit()
Ours(folder=Path(sys.argv[1])).run(headless=True, size=(80, 24))
"""
QUESTIONS = (
    "how long do roses last at {n} degrees?",
    "how many bunches of carnations for {n} stems?",
    "compare roses, carnations and alstroemeria at {n}",
    "we are out of lisianthus, what can stand in for {n} stems?",
    "refresh plan for tulips and ruscus over {n} days",
)
BUDGET_RATIO = 1.5


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--turns", type=int, default=2000)
    parser.add_argument("--starts", type=int, default=7)
    options = parser.parse_args()
    rows = [*first_frames(options.starts), *asyncio.run(in_one_process(options.turns))]
    width = max(len(row[0]) for row in rows)
    print(f"{'what':<{width}}  {'measured':>10}  {'compared':>10}  {'ratio':>6}")
    for what, measured, compared, ratio in rows:
        print(f"{what:<{width}}  {measured:>10}  {compared:>10}  {ratio:>6}")


Row = tuple[str, str, str, str]


def first_frames(starts: int) -> list[Row]:
    """Median time from process start to the first frame, ours against bare."""
    bare: list[float] = []
    ours: list[float] = []
    with tempfile.TemporaryDirectory() as folder:
        for _ in range(starts + 1):
            bare.append(_start(BARE, folder))
            ours.append(_start(OURS, folder))
    # The first of each pays for a cold disk cache.
    a, b = statistics.median(ours[1:]), statistics.median(bare[1:])
    verdict = "" if a / b <= BUDGET_RATIO else "  OVER"
    return [
        (
            f"first frame, {starts} starts, against a bare app",
            f"{a * 1000:.0f} ms",
            f"{b * 1000:.0f} ms",
            f"{a / b:.2f}{verdict}",
        )
    ]


def _start(code: str, folder: str) -> float:
    begin = time.time()
    done = subprocess.run(
        [sys.executable, "-c", code, folder], capture_output=True, text=True, check=True, cwd=Path(__file__).parents[1]
    )
    return float(done.stdout.split()[-1]) - begin


async def in_one_process(turns: int) -> list[Row]:
    """Keys, chips and memory in a long conversation on the real handbook."""
    from assistant.dialogue.context import Context
    from assistant.handbook.loading import load_handbook
    from assistant.screens.app import BucketsideApp

    now = datetime.fromisoformat("2026-11-25T09:30:00")
    context = Context(load_handbook(), now.date)
    bare = await _bare_keys()
    rows: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        app = BucketsideApp(lambda: context, folder=Path(folder), now=lambda: now)
        async with app.run_test(size=(80, 24)) as pilot:
            while app.bench.conversation is None:
                await pilot.pause()
            sizes: dict[int, float] = {}
            spent: list[float] = []
            for number in range(1, turns + 1):
                begin = time.perf_counter()
                app.bench.ask(QUESTIONS[number % len(QUESTIONS)].format(n=10 + number % 20))
                await pilot.pause()
                spent.append(time.perf_counter() - begin)
                if number in (50, 500, 1000, 2000, turns):
                    gc.collect()
                    sizes[number] = _resident_mb()
                if number == min(500, turns):
                    rows += await _keys_and_chips(pilot, app, bare)
            late, early = spent[-50:], spent[50:100]
            rows.append(
                (
                    f"a turn answered and shown, p95, turns {turns - 49} to {turns} against 51 to 100",
                    _ms(_p95(late)),
                    _ms(_p95(early)),
                    _ratio(late, early),
                )
            )
            first, last = min(sizes), max(sizes)
            rows.append(
                (
                    f"memory after {last} turns, against after {first}",
                    f"{sizes[last]:.0f} MB",
                    f"{sizes[first]:.0f} MB",
                    f"{sizes[last] / sizes[first]:.2f}",
                )
            )
            rows += [(f"  after {number} turns", f"{size:.0f} MB", "", "") for number, size in sizes.items()]
            rows.append(("mounted turns at the end", str(len(app.bench.turns.views)), "", ""))
    return rows


async def _keys_and_chips(pilot: Pilot[None], app: BucketsideApp, bare: list[float]) -> list[Row]:
    from assistant.screens.chips import Chip

    press = pilot.press

    async def press_and_paint(key: str) -> None:
        """A chip tells the screen, which tells the widgets: more than one round of messages."""
        await pilot.press(key)
        await pilot.pause()

    app.bench.ask("how long do roses last at 24 degrees?")
    await pilot.pause()
    app.bench.prompt.focus()
    keys = [
        await _timed(press, letter)
        for letter in "how long do carnations and roses last in the reading room"
        if letter != " "
    ]
    await press("escape")
    next(chip for chip in app.bench.query(Chip) if chip.knob.slot == "display_temperature").focus()
    # The test harness itself waits for quiet after each key; a key that does nothing tells how long.
    nothing = [await _timed(press_and_paint, "f9") for _ in range(20)]
    chips: list[float] = []
    for number in range(40):
        live = app.bench.turns.live
        assert live is not None
        before = live.record.answer.figures[0].value
        chips.append(await _timed(press_and_paint, "up" if number % 2 else "down"))
        after = app.bench.turns.live
        assert after is not None
        assert after.record.answer.figures[0].value != before
    count = len(app.bench.turns.transcript or ())
    return [
        (
            f"key to paint, p95, {count} turns, against a bare app's input",
            _ms(_p95(keys)),
            _ms(_p95(bare)),
            _ratio(keys, bare),
        ),
        (
            f"chip to new figure on the screen, p95, {count} turns, against a key that does nothing",
            _ms(_p95(chips)),
            _ms(_p95(nothing)),
            _ratio(chips, nothing),
        ),
    ]


async def _bare_keys() -> list[float]:
    from textual.app import App, ComposeResult
    from textual.widgets import Input

    class Bare(App[None]):
        def compose(self) -> ComposeResult:
            yield Input()

    async with Bare().run_test(size=(80, 24)) as pilot:
        await pilot.pause()
        return [await _timed(pilot.press, letter) for letter in "howlongdocarnationsandroseslastinthereadingroom"]


async def _timed(press: Callable[..., Awaitable[None]], key: str) -> float:
    begin = time.perf_counter()
    await press(key)
    return time.perf_counter() - begin


def _p95(times: list[float]) -> float:
    return statistics.quantiles(times, n=20)[-1]


def _ms(seconds: float) -> str:
    return f"{seconds * 1000:.0f} ms"


def _ratio(first: list[float], second: list[float]) -> str:
    return f"{_p95(first) / _p95(second):.2f}"


def _resident_mb() -> float:
    """Resident size of this process [MB], from /proc; Linux only."""
    pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE") / 1e6


if __name__ == "__main__":
    main()
