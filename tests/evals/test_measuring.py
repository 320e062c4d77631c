"""Robustness, calibration, bars and intervals on made-up turns."""

from __future__ import annotations

import random
from dataclasses import replace
from pathlib import Path

import pytest

from assistant.dialogue.answer import Answer, PassageShown
from evals import calibration, report, robustness, thresholds
from evals.judge import Verdict
from evals.run import Asked, Nearest
from evals.sets import Conversation, Turn


def asked(
    name: str, *, right: bool = True, theme: str = "t", turn: Turn | None = None, passages: tuple[str, ...] = ()
) -> Asked:
    shown = tuple(PassageShown(p, p, "text", 1.0, ()) for p in passages)
    return Asked(
        name, theme, "florist", 1, turn or Turn(ask="?", outcome=("answered",)),
        Answer("?", "answered", "care", ".", passages=shown), Verdict(right), None,
    )  # fmt: skip


# --- typed worse ----------------------------------------------------------------------------------------------------


def test_changes_are_the_same_every_time() -> None:
    conversations = [
        Conversation(
            id=f"c{n}",
            persona="florist",
            turns=(Turn(ask="How long do the Carnations last at 24 °C?", outcome=("answered",)),),
        )
        for n in range(20)
    ]
    once, again = robustness.variants(conversations, 5), robustness.variants(conversations, 5)
    assert once == again
    assert {c.theme for c in once} == set(robustness.CHANGES)
    assert all(c.turns[0].ask != conversations[0].turns[0].ask for c in once)


@pytest.mark.parametrize(
    ("kind", "text", "changed"),
    [
        ("no articles", "put the roses in a bucket of an inch", "put roses in bucket of inch"),
        ("lower case", "Roses at 24 °C", "roses at 24 °c"),
        ("no punctuation", "roses, 2.5 litres? it's 1,000 ppm.", "roses 2.5 litres its 1,000 ppm"),
    ],
)
def test_fixed_changes(kind: str, text: str, changed: str) -> None:
    assert robustness.CHANGES[kind](text, random.Random(1)) == changed


def test_letters_move_only_inside_one_long_word() -> None:
    for seed in range(50):
        for change in (robustness.typo, robustness.swapped_letters):
            words = change("how long do carnations last", random.Random(seed)).split()
            assert [w for i, w in enumerate(words) if i != 3] == ["how", "long", "do", "last"]
            assert words[3][0] == "c"
    assert robustness.typo("24 °C", random.Random(1)) == "24 °C"


def test_units_change_into_units_that_mean_the_same() -> None:
    for seed in range(30):
        text = robustness.other_units("roses at 24 °C in 10 l, 5% loss, 10 g/l food", random.Random(seed))
        assert text.startswith("roses at 24 ")
        assert "24 °C" not in text
        assert "10 g/l" in text
        assert any(f"10 {unit}," in text for unit in ("litres", "liters", "ltr"))
        assert any(loss in text for loss in ("5 percent loss", "5 per cent loss"))


def test_swapped_words_and_dictation_keep_numbers_and_names_together() -> None:
    for seed in range(30):
        swapped = robustness.swapped_words("how many bunches do i need for 20 lily of the valley", random.Random(seed))
        assert "20 lily of the valley" in swapped
        assert sorted(swapped.split()) == sorted("how many bunches do i need for 20 lily of the valley".split())
    assert robustness.dictated("Roses at 24.5 °C?", random.Random(0)) in (
        "roses at twenty four point five °c",
        "rose's at twenty four point five °c",
    )


def test_the_confidence_of_given_answers_is_held_against_being_right() -> None:
    rows = [asked("a"), asked("b", right=False), asked("c")]
    given = [replace(a, answer=replace(a.answer, confidence=c)) for a, c in zip(rows, (0.9, 0.4, None), strict=True)]
    points = calibration.sure(given)
    assert [(p.score, p.right) for p in points] == [(0.9, True), (0.4, False)]
    assert "0.4–0.5" in calibration.sure_to_markdown(points)


def test_the_diagram_is_the_same_every_time(tmp_path: Path) -> None:
    from evals import picture

    found = calibration.bins([calibration.Scored(c / 10, 0.0, c > 4, True) for c in range(10)])
    for name in ("a.svg", "b.svg"):
        picture.reliability(found, tmp_path / name)
    assert (tmp_path / "a.svg").read_bytes() == (tmp_path / "b.svg").read_bytes()


def test_follow_up_slots_are_those_after_the_first_message() -> None:
    measure = report.MEASURES["follow-up slots"]
    first = replace(asked("a"), verdict=Verdict(True, materials=True, inputs=False))
    assert measure(first) is None
    assert measure(replace(first, number=2)) == 0.0
    assert measure(replace(first, number=2, verdict=Verdict(True, materials=True, inputs=True))) == 1.0


def test_a_drop_compares_the_same_turns() -> None:
    clean = [asked("a"), asked("b", right=False), asked("c")]
    worse = [asked("typo:a", right=False, theme="typo"), asked("typo:c", theme="typo")]
    (drop,) = robustness.drops(clean, worse)
    assert (drop.kind, drop.turns, drop.clean, drop.changed) == ("typo", 2, 1.0, 0.5)


# --- numbers --------------------------------------------------------------------------------------------------------


def test_intervals_resample_conversations_and_repeat_exactly() -> None:
    values = [(f"c{n // 5}", float(n // 5 % 2)) for n in range(100)]
    row = report.headline("x", values)
    assert row == report.headline("x", values)
    assert (row.value, row.turns) == (0.5, 100)
    # Twenty conversations of five like turns: as wide as twenty draws, not as a hundred.
    assert row.low == pytest.approx(0.28, abs=0.05)
    assert row.high == pytest.approx(0.72, abs=0.05)


def test_relevant_passages_are_scored_by_place_and_a_topic_by_any_of_its_rules() -> None:
    def turn(*relevant: str) -> Turn:
        return Turn(ask="?", outcome=("answered",), relevant=relevant)

    turns = [
        asked("first", turn=turn("rose/life"), passages=("rose/life", "rose/water")),
        asked(
            "second", turn=turn("sanitation"), passages=("rose/life", "sanitation/clean-buckets", "sanitation/knives")
        ),
        asked("absent", turn=turn("rose/life"), passages=()),
        asked("sixth", turn=turn("rose/life"), passages=("a/a", "a/b", "a/c", "a/d", "a/e", "rose/life")),
    ]
    found = {h.name: h.value for h in report.headlines(turns)}
    assert found["recall@1"] == pytest.approx(1 / 4)
    assert found["recall@5"] == pytest.approx(2 / 4)
    assert found["MRR"] == pytest.approx((1 + 1 / 2 + 0 + 1 / 6) / 4)


def test_bars_name_what_was_missed_and_what_was_not_measured() -> None:
    bars = (
        thresholds.Bar("task", "at least", 0.95),
        thresholds.Bar("wrong", "at most", 0.01),
        thresholds.Bar("gone", "at least", 1),
    )
    assert thresholds.missed({"task": 0.95, "wrong": 0.01, "gone": 1}, bars) == []
    said = thresholds.missed({"task": 0.949, "wrong": 0.02}, bars)
    assert said == [
        "task: 0.949, must be at least 0.95",
        "wrong: 0.020, must be at most 0.01",
        "gone: not measured, must be at least 1",
    ]


def test_bars_hold_measures_that_exist() -> None:
    measured = {*report.MEASURES, "recall@1", "recall@5", "MRR", "far out of scope, declined", "crashes"}
    measured.add("all out of scope, declined")
    assert {bar.measure for bar in (*thresholds.QUALITY, *thresholds.UNSEEN)} <= measured


# --- calibration ----------------------------------------------------------------------------------------------------


def point(score: float, right: bool, in_scope: bool = True) -> calibration.Scored:
    return calibration.Scored(score, score, right, in_scope)


def test_reliability_bins_and_their_error() -> None:
    points = [
        point(0.75, True),
        point(0.75, True),
        point(0.75, True),
        point(0.75, False),
        point(0.15, False),
        point(1.0, True),
    ]
    found = calibration.bins(points)
    assert [(b.low, b.count, b.right) for b in found] == [(0.1, 1, 0.0), (0.7, 4, 0.75), (0.9, 1, 1.0)]
    assert calibration.expected_error(found) == pytest.approx(0.15 / 6)


def test_area_under_curve_by_hand() -> None:
    points = [point(0.9, True), point(0.5, True), point(0.5, False, False), point(0.1, False, False)]
    assert calibration.area_under_curve(points) == pytest.approx((2 + 1.5) / 4)
    assert calibration.cuts(points, [0.5]) == [(0.5, 1.0, 0.5)]


def test_a_foreign_question_is_never_right_and_an_open_one_says_nothing() -> None:
    def probe(turn: Turn) -> Asked:
        base = asked("x", turn=turn)
        near = Nearest("rose/life", ("rose",), 0.6, 0.4, 0.5)
        return Asked(base.conversation, base.theme, base.persona, 1, turn, base.answer, base.verdict, near)

    points = calibration.scored(
        [
            probe(Turn(ask="?", outcome=("not_covered",))),
            probe(Turn(ask="?", outcome=("answered",), materials=("rose",))),
            probe(Turn(ask="?", outcome=("answered",), materials=("rose",), relevant=("rose/water",))),
            probe(Turn(ask="?", outcome=("answered",))),
        ]
    )
    assert [(p.right, p.in_scope) for p in points] == [(False, False), (True, True), (False, True)]
