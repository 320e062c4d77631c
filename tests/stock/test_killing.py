"""A writer killed at any moment leaves whole lots and loses nothing it had reported."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

KILLER = Path(__file__).with_name("killing.py")


def kill(path: Path, times: int, *mode: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, str(KILLER), str(path), str(times), "7", *mode]
    run = subprocess.run(command, capture_output=True, text=True, timeout=300)
    assert run.returncode == 0, run.stderr
    return run


def test_two_hundred_kills_leave_the_stock_whole(path: Path) -> None:
    # In a process of its own: it forks, and a test process may have threads.
    run = kill(path, 200)
    assert run.stdout.startswith("200 kills, ")
    assert int(run.stdout.split()[2]) > 100  # the blows fell among real writes


def test_a_restore_killed_at_any_moment_leaves_one_stock_or_the_other(path: Path) -> None:
    run = kill(path, 40, "restore")
    assert run.stdout.startswith("40 kills, ")
    assert int(run.stdout.split()[2]) >= 2  # the blows fell on both sides of a restore
