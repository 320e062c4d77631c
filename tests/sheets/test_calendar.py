"""Visits and top-ups as iCalendar, read by a parser that did not write it and by a strict check of our own."""

from __future__ import annotations

import re
from datetime import UTC, date, datetime, timedelta

import pytest
import vobject

from assistant.handbook.loading import Handbook
from assistant.sheets.calendar import as_ical, uid_of
from assistant.sheets.parts import Plan
from assistant.sheets.plan import plan

from .conftest import STAMP, small

_DATE = re.compile(r"^\d{8}$")
_STAMP = re.compile(r"^\d{8}T\d{6}Z$")
_LINE = re.compile(r"^(?P<name>[A-Z0-9-]+)(?P<parameters>(?:;[A-Z-]+=[^:;,\"]+)*):(?P<value>.*)$")


def strict(data: bytes) -> list[dict[str, str]]:
    """Events of a file, checked against RFC 5545 as far as this file goes: line ends, folding, order, required and
    single properties, date values, escapes."""
    text = data.decode("utf-8")
    assert text.endswith("\r\n")
    assert "\n" not in text.replace("\r\n", "")
    assert "\r" not in text.replace("\r\n", "")
    assert all(len(line.encode()) <= 75 for line in text.split("\r\n"))
    lines = text.replace("\r\n ", "").removesuffix("\r\n").split("\r\n")
    assert lines[0] == "BEGIN:VCALENDAR"
    assert lines[-1] == "END:VCALENDAR"
    events: list[dict[str, str]] = []
    head: dict[str, str] = {}
    inside = False
    for line in lines[1:-1]:
        match = _LINE.match(line)
        assert match, line
        name, parameters, value = match["name"], match["parameters"], match["value"]
        if (name, value) == ("BEGIN", "VEVENT"):
            assert not inside
            inside = True
            events.append({})
        elif (name, value) == ("END", "VEVENT"):
            assert inside
            inside = False
        else:
            into = events[-1] if inside else head
            assert name not in into, f"{name} stands twice"
            into[name] = value
            if name in ("DTSTART", "DTEND"):
                assert parameters == ";VALUE=DATE"
                assert _DATE.match(value)
            if name in ("SUMMARY", "DESCRIPTION"):
                assert re.fullmatch(r"(?:[^\\;,]|\\[\\;,nN])*", value), value
    assert head["VERSION"] == "2.0"
    assert head["PRODID"]
    for event in events:
        assert {"UID", "DTSTAMP", "DTSTART", "DTEND", "SUMMARY"} <= event.keys()
        assert _STAMP.match(event["DTSTAMP"])
        assert event["DTEND"] > event["DTSTART"]
    assert len({event["UID"] for event in events}) == len(events)
    return events


def test_the_demo_file_is_sound(made: Plan) -> None:
    assert made.water is not None
    events = strict(as_ical(made, STAMP))
    visited = {visit.day for visit in made.visits}
    top_ups = [day for day in made.water.days if day.day not in visited]
    assert len(events) == 2 + len(made.visits) + len(top_ups)
    assert all(event["DTSTAMP"] == "20261125T080000Z" for event in events)


def test_an_independent_parser_reads_the_same_days(made: Plan) -> None:
    calendar = vobject.readOne(as_ical(made, STAMP).decode())
    found = {event.summary.value.split(": ", 1)[1]: event.dtstart.value for event in calendar.vevent_list}
    assert found["install"] == date(2026, 12, 7)
    assert found["take down"] == date(2026, 12, 21)
    for visit in made.visits:
        assert found[f"visit {visit.number}"] == visit.on
    days = [event.dtstart.value for event in calendar.vevent_list]
    assert made.water is not None
    assert set(days) >= {day.on for day in made.water.days}
    for event in calendar.vevent_list:
        assert event.dtend.value - event.dtstart.value == timedelta(days=1)
        assert type(event.dtstart.value) is date
    visit = next(e for e in calendar.vevent_list if "visit 1" in e.summary.value)
    assert f"Pull and replace {made.visits[0].changes[0].stems} " in visit.description.value


def test_equal_input_gives_equal_bytes_and_a_later_stamp_only_another_stamp(made: Plan) -> None:
    one, two = as_ical(made, STAMP), as_ical(made, datetime(2027, 1, 1, tzinfo=UTC))
    assert one == as_ical(made, STAMP)
    assert re.sub(rb"DTSTAMP:\w+", b"", one) == re.sub(rb"DTSTAMP:\w+", b"", two)


def test_a_moved_job_keeps_its_events(handbook: Handbook) -> None:
    job = small(display_days=14)
    old, new = plan(job, handbook), plan(job.revised(install=date(2026, 12, 14)), handbook)
    one, two = (strict(as_ical(made, STAMP)) for made in (old, new))
    assert [event["UID"] for event in one] == [event["UID"] for event in two]
    assert [event["DTSTART"] for event in one] != [event["DTSTART"] for event in two]


def test_two_jobs_never_share_an_event() -> None:
    assert uid_of("a", "visit 1") != uid_of("b", "visit 1")
    assert uid_of("a\nb", "c") != uid_of("a", "c")


@pytest.mark.parametrize(
    "title", ["a, b; c: d \\ e", "x" * 200, "Blumen für Zoë — 花" * 6, "BEGIN:VEVENT", "END:VCALENDAR;X=1"]
)
def test_titles_cannot_break_out_of_their_line(title: str, handbook: Handbook) -> None:
    made = plan(small(title=title), handbook)
    strict(as_ical(made, STAMP))
    calendar = vobject.readOne(as_ical(made, STAMP).decode())
    assert calendar.vevent_list[0].summary.value == f"{title}: install"


def test_a_job_without_water_or_visits_has_two_days(handbook: Handbook) -> None:
    made = plan(small(recipe=[{"material": "bunny-tail", "stems": 20}], vessels=[]), handbook)
    assert [event["DTSTART"] for event in strict(as_ical(made, STAMP))] == ["20261207", "20261212"]
