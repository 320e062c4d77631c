"""The judge: what passes, what fails, what binds and what misleads."""

from __future__ import annotations

from typing import Any

import pytest

from assistant.dialogue.answer import Answer, Figure, Input
from assistant.handbook.models import Caution, Rule
from evals.judge import caution_texts, input_matches, judge
from evals.sets import Turn

TEXTS = {
    "bleach": frozenset({"Never mix bleach with acid."}),
    "food": frozenset({"Keep it off food.", "No shop stock on cakes."}),
}


def turn(**fields: Any) -> Turn:
    return Turn.model_validate({"ask": "?", "outcome": "answered", **fields})


def answer(**fields: Any) -> Answer:
    base: dict[str, Any] = {"question": "?", "outcome": "answered", "task": "longevity", "reply": "."}
    return Answer(**{**base, **fields})


def figure(kind: str = "days_remaining", value: float = 7.0, unit: str = "d", inputs: tuple[Input, ...] = ()) -> Figure:
    return Figure(kind, "rose", value, value, value, unit, inputs)


WINDOW = {"kind": "days_remaining", "low": 5, "high": 9, "unit": "d"}


def test_everything_right() -> None:
    wanted = turn(
        task=["care", "longevity"],
        materials=["rose"],
        figure=WINDOW,
        inputs={"display_temperature": 24},
        cautions=["bleach"],
    )
    given = answer(
        materials=("rose",),
        figures=(figure(inputs=(Input("display_temperature", 24.2, "degC", "asked"),)),),
        cautions=("Never mix bleach with acid.",),
    )
    verdict = judge(wanted, given, TEXTS)
    assert verdict.right
    assert not verdict.confidently_wrong
    assert (verdict.precision, verdict.recall, verdict.f1) == (1.0, 1.0, 1.0)


def test_a_field_left_out_is_not_judged() -> None:
    verdict = judge(turn(), answer(), TEXTS)
    assert verdict.right
    assert [verdict.task, verdict.materials, verdict.f1, verdict.figure, verdict.inputs, verdict.cautions] == [None] * 6


def test_any_of_the_tasks_of_an_answer_counts() -> None:
    assert judge(turn(task="quantity"), answer(tasks=("longevity", "quantity")), TEXTS).task is True
    assert judge(turn(task="quantity"), answer(), TEXTS).task is False


def test_materials_are_an_exact_set() -> None:
    verdict = judge(turn(materials=["rose", "carnation"]), answer(materials=("rose", "tulip", "stock")), TEXTS)
    assert verdict.materials is False
    assert verdict.precision == pytest.approx(1 / 3)
    assert verdict.recall == pytest.approx(1 / 2)
    assert verdict.f1 == pytest.approx(0.4)
    assert verdict.confidently_wrong


def test_no_material_expected_and_none_given_agree() -> None:
    assert judge(turn(materials=[]), answer(), TEXTS).f1 == 1.0
    assert judge(turn(materials=[]), answer(materials=("rose",)), TEXTS).f1 == 0.0


@pytest.mark.parametrize(
    ("figures", "passes", "misleads"),
    [
        ((figure(value=5.0),), True, False),
        ((figure(value=9.0),), True, False),
        ((figure(value=9.01),), False, True),
        ((figure(value=12.0), figure(value=6.0)), True, False),
        ((figure(unit="h"),), False, True),
        ((figure(kind="storage_days"),), False, False),
        ((), False, False),
    ],
)
def test_a_figure_of_the_kind_and_unit_in_the_window(figures: tuple[Figure, ...], passes: bool, misleads: bool) -> None:
    verdict = judge(turn(figure=WINDOW), answer(figures=figures), TEXTS)
    assert verdict.figure is passes
    assert verdict.confidently_wrong is misleads


def test_money_has_no_unit_to_compare() -> None:
    wanted = turn(figure={"kind": "cost", "low": 30, "high": 34})
    assert judge(wanted, answer(figures=(figure("cost", 33.0, "money"),)), TEXTS).figure is True


def test_inputs_belong_to_one_figure_of_the_kind() -> None:
    wanted = turn(figure=WINDOW, inputs={"display_temperature": 24, "stems": 40})
    warm, many = Input("display_temperature", 24, "degC", "asked"), Input("stems", 40, "stems", "asked")
    assert judge(wanted, answer(figures=(figure(inputs=(warm, many)),)), TEXTS).inputs is True
    assert judge(wanted, answer(figures=(figure(inputs=(warm,)), figure(inputs=(many,)))), TEXTS).inputs is False
    assert judge(wanted, answer(figures=(figure(kind="stems", inputs=(warm, many)),)), TEXTS).inputs is False


def test_inputs_without_a_figure_may_be_those_of_any() -> None:
    given = answer(figures=(figure(kind="dose", inputs=(Input("volume", 6, "l", "asked"),)),))
    assert judge(turn(inputs={"volume": 6}), given, TEXTS).inputs is True


@pytest.mark.parametrize(
    ("wanted", "value", "unit", "matches"),
    [
        (23.9, 23.89, "degC", True),
        (24, 24.6, "degC", False),
        (0, 0.04, "degC", True),
        (0.1, 10, "%", True),
        (0.1, 0.1, "fraction", True),
        (0.1, 0.12, "fraction", False),
        (60, 0.6, "fraction", True),
        (0.24, 24, "degC", False),
        (24, "warm", "degC", False),
    ],
)
def test_input_tolerance(wanted: float, value: float | str, unit: str, matches: bool) -> None:
    assert input_matches(wanted, Input("x", value, unit, "asked")) is matches


def test_every_trigger_needs_one_of_its_cautions() -> None:
    wanted = turn(cautions=["bleach", "food"])
    both = ("No shop stock on cakes.", "Never mix bleach with acid.")
    assert judge(wanted, answer(cautions=both), TEXTS).cautions is True
    assert judge(wanted, answer(cautions=both[:1]), TEXTS).cautions is False


def test_a_trigger_without_any_rule_cannot_pass() -> None:
    assert judge(turn(cautions=["dust"]), answer(cautions=("Mind the dust.",)), TEXTS).cautions is False


def test_where_asking_back_is_fair_only_cautions_bind() -> None:
    wanted = turn(outcome=["answered", "asked_back"], task="mixing", figure=WINDOW, cautions=["bleach"])
    verdict = judge(wanted, answer(outcome="asked_back", task=None), TEXTS)
    assert (verdict.outcome, verdict.task, verdict.figure, verdict.cautions) == (True, None, None, False)
    assert judge(wanted, answer(), TEXTS).failed == ("task", "figure", "cautions")


def test_asking_back_where_an_answer_was_due_fails_everything_asked() -> None:
    wanted = turn(task="mixing", materials=["rose"], figure=WINDOW)
    verdict = judge(wanted, answer(outcome="asked_back", task=None), TEXTS)
    assert verdict.failed == ("outcome", "task", "materials", "figure")
    assert not verdict.confidently_wrong


def test_answering_what_should_be_declined_misleads() -> None:
    assert judge(turn(outcome="not_covered"), answer(), TEXTS).confidently_wrong
    assert judge(turn(outcome=["asked_back", "not_covered"]), answer(), TEXTS).confidently_wrong
    assert not judge(turn(outcome=["answered", "not_covered"]), answer(), TEXTS).confidently_wrong
    assert not judge(turn(outcome="not_covered"), answer(outcome="asked_back"), TEXTS).confidently_wrong


def test_caution_texts_come_from_the_rules_that_carry_them() -> None:
    def rule(name: str, caution: Caution | None) -> Rule:
        return Rule(id=name, title="A rule", text="Do it.", basis="practice", caution=caution)

    rules = [
        rule("one", Caution(text="Careful.", triggers=("bleach", "acid"))),
        rule("two", Caution(text="Gloves.", triggers=("acid",))),
        rule("three", None),
    ]
    assert caution_texts(rules) == {"bleach": frozenset({"Careful."}), "acid": frozenset({"Careful.", "Gloves."})}
