"""Few visits: what falls due before the next visit is changed on this one."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from assistant.calculators.ranges import OutOfRange
from assistant.calculators.refresh import open_day


def shared_visits(
    every_d: Mapping[str, int],
    display_d: int,
    start: date | None,
    open_weekdays: frozenset[int] | None = None,
    first_d: Mapping[str, int] | None = None,
) -> tuple[tuple[int, tuple[str, ...]], ...]:
    """Visits that keep every material within its interval, as few as the shortest interval allows.

    Parameters
    ----------
    every_d : mapping of material to int
        Longest time between two changes, from `calculators.refresh`; at least 1. [d]
    display_d : int
        Length of the display; nothing is changed on or after its last day. [d]
    start : date or None
        Day 0; needed only with `open_weekdays`.
    open_weekdays : frozenset of int or None
        Weekdays (0 Monday) on which somebody can work there; a visit moves forward to the last open day before it.
    first_d : mapping of material to int, or None
        Longest time to the first change, of what is not fresh on day 0; at least 1. [d]

    Returns
    -------
    tuple of (day, materials)
        Days from 0, in order; materials in the order given.

    Raises
    ------
    OutOfRange
        Where a material does not last from one open day to the next.

    Notes
    -----
    A visit falls on the earliest day on which anything is due. Whatever is due before the next visit could fall due
    (this day plus the shortest interval) is changed with it: a few more stems instead of another drive.
    """
    last = dict.fromkeys(every_d, 0)
    lasts = {**every_d, **(first_d or {})}
    visits: list[tuple[int, tuple[str, ...]]] = []
    here = 0
    while True:
        due = {material: last[material] + lasts[material] for material in every_d}
        due = {material: day for material, day in due.items() if day < display_d}
        if not due:
            return tuple(visits)
        first = min(due, key=lambda material: due[material])
        day = open_day(due[first], start, open_weekdays)
        if day <= here:
            raise OutOfRange(f"{first} does not last from one open day to the next.")
        shortest = min(every_d[material] for material in due)
        changed = tuple(material for material in every_d if material in due and due[material] < day + shortest)
        for material in changed:
            last[material], lasts[material] = day, every_d[material]
        visits.append((day, changed))
        here = day
