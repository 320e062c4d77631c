"""How long a plan takes: the demo from file to printed sheet, and 200 materials over 60 days.

Run from the top folder: ``python evals/plan_scale.py``. It prints, for each step, the fastest and the middle of several
runs in one warm process, against the bar of one second that the plan is held to, and as a multiple of a fixed piece of
arithmetic timed in the same run, so that results of different machines can be laid side by side. Loading the handbook
is printed apart: an open program does it once.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from assistant.handbook.loading import Handbook, load_handbook
from assistant.sheets.commands import rendered
from assistant.sheets.job import Job
from assistant.sheets.plan import plan
from assistant.sheets.prices import load_prices
from assistant.sheets.recipe import read_job
from assistant.stock.holdings import Holdings
from assistant.stock.lots import Lot, Stand

ROOT = Path(__file__).resolve().parents[1]
BAR_S = 1.0
RUNS = 7
STAMP = datetime(2026, 11, 25, 8, 0, tzinfo=UTC)
SHOP = ROOT / "demo" / "shop"
DEMO = ROOT / "demo" / "reading-room.yaml"


def yardstick() -> None:
    """A fixed piece of plain arithmetic."""
    x = 0.0
    for n in range(1, 200_000):
        x += 1.0 / n


def timed(what: Callable[[], object]) -> list[float]:
    what()  # once to warm up
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        what()
        times.append(time.perf_counter() - start)
    return sorted(times)


def demo(handbook: Handbook, folder: Path, kinds: tuple[str, ...]) -> None:
    """From the job file on disk to the papers on disk, prices read anew."""
    prices = load_prices(SHOP, handbook)
    made = plan(read_job(DEMO, handbook), handbook, prices=prices, today=date(2026, 11, 25))
    for kind in kinds:
        (folder / f"demo.{kind}").write_bytes(rendered(made, kind, STAMP))


def large_job(handbook: Handbook) -> tuple[Job, Holdings]:
    """200 materials, 25 stems each, 60 days, vessels for all; three lots of each in stock."""
    named = [m.id for m in handbook.materials.values() if m.vase_life or m.keeping][:200]
    job = Job.model_validate(
        {
            "job": "two-hundred", "title": "Two hundred materials", "install": "2026-12-07", "display_days": 60,
            "place": "reading-room", "recipe": [{"material": name, "stems": 25} for name in named],
            "vessels": [{"vessel": "large-urn", "count": 60}, {"vessel": "trough", "count": 100}],
        }
    )  # fmt: skip
    lots = []
    for number in range(3 * len(named)):
        stand = Stand(date(2026, 11, 20 + number % 9), "cooler-wet", 2.0, 4.0)
        lots.append(Lot(number + 1, f"k{number}", named[number % len(named)], 10, None, "", (stand,), ()))
    return job, Holdings(tuple(lots))


def main() -> int:
    unit = timed(yardstick)[0]
    handbook = load_handbook(overlays=[SHOP])
    job, stock = large_job(handbook)
    made = plan(job, handbook, stock)
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        steps: list[tuple[str, bool, Callable[[], object]]] = [
            ("load the handbook and the shop's folder", False, lambda: load_handbook(overlays=[SHOP])),
            ("demo, file to plan", True, lambda: demo(handbook, folder, ())),
            ("demo, file to printed sheet (HTML)", True, lambda: demo(handbook, folder, ("html",))),
            ("demo, file to printed sheet (PDF)", True, lambda: demo(handbook, folder, ("pdf",))),
            ("demo, file to all papers", True, lambda: demo(handbook, folder, ("html", "pdf", "csv", "ics", "md"))),
            (f"plan of {len(job.recipe)} materials × {job.display_days} days", True, lambda: plan(job, handbook)),
            ("the same with 600 lots in stock", True, lambda: plan(job, handbook, stock)),
            ("its sheet as HTML", False, lambda: rendered(made, "html", STAMP)),
            ("its calendar", False, lambda: rendered(made, "ics", STAMP)),
        ]
        late = 0
        print(f"{len(made.visits)} visits, {len(made.water.days) if made.water else 0} top-ups in the large plan")
        print(f"{'step':<48}{'fastest':>10}{'middle':>10}{'× yardstick':>14}  bar")
        for title, held, what in steps:
            times = timed(what)
            middle = statistics.median(times)
            verdict = "" if not held else "under 1 s" if middle < BAR_S else "TOO SLOW"
            late += held and middle >= BAR_S
            print(f"{title:<48}{times[0]:>9.3f}s{middle:>9.3f}s{middle / unit:>14.1f}  {verdict}")
    return 1 if late else 0


if __name__ == "__main__":
    sys.exit(main())
