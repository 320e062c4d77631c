"""Visits and top-ups as an iCalendar file: whole days, so that no clock or time zone can shift them."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import date, datetime, timedelta

from assistant.sheets.parts import Plan
from assistant.sheets.sheet import grams, litres

_PRODUCT = "-//Bucketside//Work sheet//EN"


def as_ical(plan: Plan, stamp: datetime) -> bytes:
    """The plan's days at the venue as iCalendar (RFC 5545).

    Args:
        plan: a finished plan.
        stamp: when the file was made, in UTC; equal input, equal bytes.

    The UID of an event hangs on the job and on what the event is, not on its day: a plan made again with another
    date moves the events in a calendar that has them already instead of doubling them.
    """
    from icalendar import Calendar, Event  # deferred: only needed when a calendar is asked for

    calendar = Calendar()
    calendar.add("prodid", _PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("calscale", "GREGORIAN")
    for key, day, title, text in _events(plan):
        event = Event()
        event.add("uid", uid_of(plan.job.job, key))
        event.add("dtstamp", stamp)
        event.add("dtstart", day)
        event.add("dtend", day + timedelta(days=1))
        event.add("summary", title)
        if text:
            event.add("description", text)
        event.add("transp", "TRANSPARENT")
        calendar.add_component(event)
    return bytes(calendar.to_ical())


def uid_of(job: str, key: str) -> str:
    digest = hashlib.sha256(f"{job}\n{key}".encode()).hexdigest()
    return f"{digest[:32]}@bucketside"


def _events(plan: Plan) -> Iterator[tuple[str, date, str, str]]:
    title = plan.job.title
    yield "install", plan.job.install, f"{title}: install", ""
    water = {row.day: row for row in plan.water.days} if plan.water else {}
    for visit in plan.visits:
        lines = [f"Pull and replace {c.stems} {plan.plurals[c.material]}" for c in visit.changes]
        if visit.day in water:
            lines.append(_pour(plan, visit.day))
        yield f"visit {visit.number}", visit.on, f"{title}: visit {visit.number}", "\n".join(lines)
    number = 0
    visited = {visit.day for visit in plan.visits}
    for day, row in sorted(water.items()):
        if day not in visited:
            number += 1
            yield f"top up {number}", row.on, f"{title}: top up {litres(row.total_ml)}", _pour(plan, day)
    yield "take down", plan.ends, f"{title}: take down", ""


def _pour(plan: Plan, day: int) -> str:
    assert plan.water is not None
    row = next(row for row in plan.water.days if row.day == day)
    each = ", ".join(
        f"each {vessel.title.lower()} {litres(ml)}" for ml, vessel in zip(row.each_ml, plan.water.vessels, strict=True)
    )
    return f"Top up {litres(row.total_ml)} in all ({each}) with {grams(row.food_g)} food"
