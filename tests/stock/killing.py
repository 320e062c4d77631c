"""Kills a writer at random moments, over and over, and looks whether the stock is whole after each.

Run as a program: ``python killing.py FILE TIMES SEED [restore]``. A child writes a lot, a move and a use in one
transaction, then says so on a pipe; the parent kills it after a random number of such words and a random spin, so that
the blow falls anywhere, even in a commit. After each: the file is sound, every lot is complete, and nothing
that was said to be written is missing. With `restore` the child puts one backup after another in place of the stock
instead, and after each blow the stock must be wholly one of the two.
"""

from __future__ import annotations

import os
import random
import signal
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import NoReturn

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from assistant.stock.keeping import back_up, restore
from assistant.stock.ledger import Ledger
from assistant.stock.lots import NewLot, Stand, Use

DAY = date(2026, 11, 23)


def write_for_ever(path: Path, pipe: int) -> NoReturn:
    """Children never return: they are killed."""
    ledger = Ledger(path)
    while True:
        new = NewLot("rose", 10, Stand(DAY, "cooler-wet", 2, 4), None, "n" * 200)
        ledger.take_in([(new, [Stand(DAY, "vase-food", 18, 20)], [Use(DAY, "used", 3)])])
        os.write(pipe, b".")


def restore_for_ever(path: Path, pipe: int) -> NoReturn:
    """Puts a small and a large backup in place of the stock, by turns, until it is killed."""
    ledger = Ledger(path)
    while True:
        for name in ("small.sqlite", "large.sqlite"):
            restore(ledger, path.with_name(name)).unlink()
            os.write(pipe, b".")


def kill_one(path: Path, chance: random.Random, work: Callable[[Path, int], NoReturn]) -> int:
    """Start a writer, kill it; returns how many writes it had reported."""
    read, write = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read)
        work(path, write)
    os.close(write)
    wanted, said = chance.randrange(6), 0
    while said < wanted:
        said += len(os.read(read, 1))
    for _ in range(chance.randrange(60_000)):
        pass
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    while rest := os.read(read, 4096):
        said += len(rest)
    os.close(read)
    return said


def check(path: Path, said: int) -> int:
    """Lots in the file; raises where one is not whole or one that was reported is missing."""
    with Ledger(path) as ledger:
        assert ledger.connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert ledger.connection.execute("PRAGMA foreign_key_check").fetchall() == []
        lots = ledger.lots()
    for lot in lots:
        assert (len(lot.stands), len(lot.uses), lot.left) == (2, 1, 7), lot
    assert len(lots) >= said, f"{said} writes were reported, {len(lots)} lots are there"
    return len(lots)


def main(path: Path, times: int, seed: int) -> None:
    chance = random.Random(seed)
    Ledger(path).close()
    floor = 0
    for _ in range(times):
        floor += kill_one(path, chance, write_for_ever)
        found = check(path, floor)
        assert found - floor <= 1, "at most the write under way may be there unreported"
        floor = found
    sys.stdout.write(f"{times} kills, {floor} lots, all whole\n")


def main_restore(path: Path, times: int, seed: int) -> None:
    chance = random.Random(seed)
    counts = {"small.sqlite": 3, "large.sqlite": 400}
    for name, count in counts.items():
        with Ledger(path.with_name(f"source-{name}")) as source:
            source.receive([NewLot("rose", 10, Stand(DAY, "cooler-wet", 2, 4), None, name)] * count)
            back_up(source, path.with_name(name))
    Ledger(path).close()
    found = []
    for _ in range(times):
        kill_one(path, chance, restore_for_ever)
        with Ledger(path) as ledger:
            assert ledger.connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
            lots = ledger.lots()
        assert len({lot.note for lot in lots}) <= 1, "the stock is a mixture of two backups"
        assert len(lots) in (0, *counts.values()), len(lots)
        found.append(len(lots))
    sys.stdout.write(f"{times} kills, {len(set(found))} different stocks, all whole\n")


if __name__ == "__main__":
    run = main_restore if sys.argv[4:] == ["restore"] else main
    run(Path(sys.argv[1]), int(sys.argv[2]), int(sys.argv[3]))
