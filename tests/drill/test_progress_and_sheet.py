"""What the trainer takes away: shares, weakest topics, curves, exports, test sheets."""

from __future__ import annotations

import csv
import io
import re
from html.parser import HTMLParser

import pytest

from assistant.drill import progress as reports
from assistant.drill import sheet as sheets
from assistant.drill.items import Bank
from assistant.drill.session import DrillSession
from assistant.drill.sets import EVERYTHING, SetDescription, describe_set
from assistant.drill.store import Learner, Store
from tests.drill.conftest import START, Clock


@pytest.fixture
def taught(bank: Bank, store: Store, learner: Learner, clock: Clock) -> Learner:
    """Ann knows ethylene and none of the hazards."""
    for words, knows in (("ethylene, level 1", True), ("hazards, level 1", False)):
        description = describe_set(words, bank.context.handbook, bank.known.names)
        run = DrillSession(bank, store, learner, description, clock=clock, seed=2, count=4)
        for item in iter(run.next, None):
            run.answer(item.right_letter if knows else "dunno")
    return learner


def test_who_knows_what(bank: Bank, store: Store, taught: Learner, clock: Clock) -> None:
    found = reports.progress_of(store, bank, taught, clock())
    topics = {t.topic: t for t in found.topics}
    assert (found.answers, found.met, found.known) == (8, 8, 4)
    assert (topics["ethylene"].share, topics["ethylene"].known) == (1.0, 4)
    assert (topics["hazards"].share, topics["hazards"].known) == (0.0, 0)
    assert [t.topic for t in found.weakest] == ["hazards"]
    assert topics["ethylene"].items > 50


def test_the_curve_falls_from_what_is_known_today(bank: Bank, store: Store, taught: Learner, clock: Clock) -> None:
    curve = reports.progress_of(store, bank, taught, clock()).curve
    recalls = [recall for _, recall in curve]
    assert [day for day, _ in curve] == list(range(reports.CURVE_DAYS + 1))
    assert recalls[0] == pytest.approx(0.5)
    assert recalls == sorted(recalls, reverse=True)
    assert recalls[-1] < 0.45


def test_the_curve_is_drawn_within_its_frame() -> None:
    lines = reports.curve_lines(tuple((day, 1 - day / 30) for day in range(31)), height=4)
    assert len(lines) == 5
    assert lines[0].startswith("100 % █")
    assert {len(line) for line in lines[:4]} == {6 + 31}
    assert reports.curve_lines(()) == ()


def test_nobody_learnt_anything_yet(bank: Bank, store: Store, learner: Learner) -> None:
    found = reports.progress_of(store, bank, learner, START)
    assert (found.answers, found.share, found.curve, found.weakest) == (0, 0.0, (), ())


def test_csv_is_a_row_an_item_and_no_formula(bank: Bank, store: Store, taught: Learner, clock: Clock) -> None:
    odd = store.learner("=cmd|' /C calc'!A0", START)
    run = DrillSession(bank, store, odd, clock=clock, seed=1, count=1)
    run.next()
    run.answer("dunno")
    rows = list(csv.DictReader(io.StringIO(reports.to_csv(store, bank, store.learners(), clock()))))
    assert tuple(rows[0]) == reports.CSV_COLUMNS
    assert len(rows) == 9
    assert [r["learner"] for r in rows if "cmd" in r["learner"]] == ["'=cmd|' /C calc'!A0"]
    assert {r["state"] for r in rows} == {"current"}


def test_csv_tells_retired_items(bank: Bank, store: Store, taught: Learner, clock: Clock) -> None:
    known = dict(bank.blueprints)
    item = next(iter(store.memories(taught)))
    del bank.blueprints[item]
    try:
        rows = list(csv.DictReader(io.StringIO(reports.to_csv(store, bank, [taught], clock()))))
    finally:
        bank.blueprints = known
    assert [r["item"] for r in rows if r["state"] == "retired"] == [item]


def test_markdown_shows_names_as_they_are(bank: Bank, store: Store, taught: Learner, clock: Clock) -> None:
    store.learner("a|b <script>", START)
    found = [reports.progress_of(store, bank, who, clock()) for who in store.learners()]
    text = reports.to_markdown(found, clock())
    assert r"a\|b \<script\>" in text
    assert "Weakest: hazards (0%)." in text


# --- sheets --------------------------------------------------------------------------------------------------------


def test_a_sheet_is_the_same_again(bank: Bank) -> None:
    assert sheets.make_sheet(bank, EVERYTHING, 12, 5) == sheets.make_sheet(bank, EVERYTHING, 12, 5)
    assert sheets.make_sheet(bank, EVERYTHING, 12, 5).items != sheets.make_sheet(bank, EVERYTHING, 12, 6).items


def test_a_sheet_asks_no_fact_twice(bank: Bank) -> None:
    made = sheets.make_sheet(bank, EVERYTHING, 60, 1)
    facts = [(item.topic, item.entry) for item in made.items]
    assert len(made.items) == len(set(facts)) == 60


def test_the_key_stands_apart_from_the_questions(bank: Bank) -> None:
    made = sheets.make_sheet(bank, EVERYTHING, 15, 3)
    questions, key = sheets.to_markdown(made).split("## Answer key")
    assert len(re.findall(r"^\d+\. ", questions, re.MULTILINE)) == 15
    assert len(re.findall(r"^\d+\. ", key, re.MULTILINE)) == 15
    for item in made.items:
        assert item.passage in key
        assert item.passage not in questions


def test_html_is_whole_and_shows_text_as_text(bank: Bank) -> None:
    made = sheets.make_sheet(bank, describe_set("storage", bank.context.handbook, bank.known.names), 10, 3)
    page = sheets.to_html(sheets.Sheet("<b>&", made.items, 3, made.sources))

    class Tags(HTMLParser):
        def __init__(self) -> None:
            super().__init__()
            self.open: list[str] = []

        def handle_starttag(self, tag: str, attrs: object) -> None:
            if tag != "meta":
                self.open.append(tag)

        def handle_endtag(self, tag: str) -> None:
            assert self.open.pop() == tag

    tags = Tags()
    tags.feed(page)
    tags.close()
    assert tags.open == []
    assert "&lt;b&gt;&amp;" in page
    assert "<b>" not in page


def test_an_empty_set_makes_no_sheet(bank: Bank) -> None:
    with pytest.raises(ValueError, match="holds no items"):
        sheets.make_sheet(bank, SetDescription("nothing", entries=frozenset({"no-such"})), 5, 1)
