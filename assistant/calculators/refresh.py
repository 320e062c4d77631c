"""A display that stands longer than its flowers: what is replaced when, and when water is topped up."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, count, estimate, within


@dataclass(frozen=True)
class Planting:
    """One material of the display.

    Parameters
    ----------
    material : str
    stems : int
        In the display at one time. [stems]
    life_d : float, (low, high) or Estimate
        How long it lasts *there*: from `days_remaining`, or the shelf days of dried material. [d]
    drinks : bool
        False for dried and preserved material.
    first_life_d : float, (low, high), Estimate or None
        What the lot of day 0 has left, where it is not fresh; every later lot has `life_d`. [d]
    """

    material: str
    stems: int
    life_d: Spread
    drinks: bool = True
    first_life_d: Spread | None = None


@dataclass(frozen=True)
class Round:
    """A visit: day 0 is the day it goes up. `replace` holds (material, stems)."""

    day: int
    on: date | None
    replace: tuple[tuple[str, int], ...]
    top_up: bool


@dataclass(frozen=True)
class MaterialPlan:
    """One material over a display: renewed after `first_d` and then `every_d` [d]; its days, its stems in all."""

    material: str
    stems: int
    life_d: Estimate
    every_d: int
    days: tuple[int, ...]
    times_replaced: int
    stems_total: int
    is_base: bool
    risky: bool
    first_d: int


@dataclass(frozen=True)
class RefreshPlan:
    """`materials` with the longest-lasting first (the base), then `rounds` in order of days."""

    display_d: int
    start: date | None
    materials: tuple[MaterialPlan, ...]
    rounds: tuple[Round, ...]

    @property
    def base(self) -> tuple[str, ...]:
        return tuple(m.material for m in self.materials if m.is_base)


def open_day(day: int, start: date | None, open_weekdays: frozenset[int] | None) -> int:
    """The same day, or the last one before it on which somebody may work there."""
    if start is None or open_weekdays is None:
        return day
    for earlier in range(7):
        if (start + timedelta(days=day - earlier)).weekday() in open_weekdays:
            return day - earlier
    raise OutOfRange("Name at least one weekday on which the display can be visited.")


def refresh_plan(
    plantings: Sequence[Planting],
    display_d: int,
    *,
    start: date | None = None,
    margin_d: float = 1.0,
    top_up_every_d: int | None = None,
    open_weekdays: frozenset[int] | None = None,
) -> RefreshPlan:
    """When each material of a long display is replaced.

    Parameters
    ----------
    plantings : sequence of Planting
    display_d : int
        Days it must look well, 1 to 366. [d]
    start : date or None
        The day it goes up; with it the plan has dates.
    margin_d : float
        Days before the short end of its life at which a material is changed. [d]
    top_up_every_d : int or None
        Water round, from `top_up`. [d]
    open_weekdays : frozenset of int or None
        Weekdays (0 Monday to 6 Sunday) on which somebody can work there; needs `start`. A visit that falls on a
        closed day moves forward to the last open day before it.

    Returns
    -------
    RefreshPlan

    Raises
    ------
    OutOfRange
        For an empty display, a life of less than a day, or closed weeks longer than a material lasts.

    Notes
    -----
    A material is renewed every ``floor(low life - margin)`` days, at least 1, as often as it takes to reach the
    end; every new lot is taken to be fresh, whatever the age of the first. `risky` says the low life does not
    cover even the margin. The base is what lasts the whole display on its low life; if nothing does, the
    longest-lasting.
    """
    days = count(display_d, "length of the display", 1, 366)
    margin = within(margin_d, 0, 30, "margin", "days")
    if not plantings:
        raise OutOfRange("The display is empty; name at least one material.")
    if open_weekdays is not None and not open_weekdays:
        raise OutOfRange("Name at least one weekday on which the display can be visited.")
    if open_weekdays is not None and start is None:
        raise OutOfRange("To plan around closed days I need the date it goes up.")
    wanted: dict[int, list[tuple[str, int]]] = {}
    plans: list[MaterialPlan] = []
    for planting in plantings:
        stems = count(planting.stems, f"number of stems of {planting.material}")
        life = estimate(planting.life_d, f"life of {planting.material}", 0, 20_000, "days")
        own = planting.first_life_d
        first_life = life if own is None else estimate(own, f"life of the first {planting.material}", 0, 20_000, "days")
        if min(life.low, first_life.low) < 1:
            raise OutOfRange(f"{planting.material} may last less than a day there; choose something else or cool it.")
        every, first = (days if x.low >= days else max(1, math.floor(x.low - margin)) for x in (life, first_life))
        on_days: list[int] = []
        last = 0
        while last + (wait := every if on_days else first) < days:
            due = open_day(last + wait, start, open_weekdays)
            if due <= last:
                raise OutOfRange(f"{planting.material} does not last from one open day to the next.")
            on_days.append(due)
            wanted.setdefault(due, []).append((planting.material, stems))
            last = due
        plans.append(
            MaterialPlan(
                planting.material, stems, life, every, tuple(on_days), len(on_days), stems * (1 + len(on_days)),
                is_base=not on_days, risky=min(life.low, first_life.low) < 1 + margin, first_d=first,
            )
        )  # fmt: skip
    plans.sort(key=lambda plan: (-plan.life_d.low, plan.material))
    if not any(plan.is_base for plan in plans):
        plans[0] = replace(plans[0], is_base=True)
    watering = _watering_days(plantings, days, start, top_up_every_d, open_weekdays)
    rounds = tuple(
        Round(
            day,
            None if start is None else start + timedelta(days=day),
            tuple(wanted.get(day, ())),
            day in watering,
        )
        for day in sorted(watering | wanted.keys())
    )
    return RefreshPlan(days, start, tuple(plans), rounds)


def _watering_days(
    plantings: Sequence[Planting],
    days: int,
    start: date | None,
    every_d: int | None,
    open_weekdays: frozenset[int] | None,
) -> set[int]:
    if every_d is None or not any(planting.drinks for planting in plantings):
        return set()
    every = count(every_d, "interval of topping up", 1, 366)
    result: set[int] = set()
    last = 0
    while last + every < days:
        due = open_day(last + every, start, open_weekdays)
        if due <= last:
            raise OutOfRange("The water does not last from one open day to the next; use a larger vessel.")
        result.add(due)
        last = due
    return result
