"""What counts as right, field by field. Nothing here knows how an answer was made."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from assistant.dialogue.answer import Answer, Figure, Input
from assistant.handbook.models import Rule
from evals.sets import ExpectedFigure, Turn

# A converted temperature (75 °F) or volume (a gallon) comes back rounded; two per cent is wider than any rounding
# and narrower than any misreading.
INPUT_TOLERANCE = 0.02
# Near zero a per cent means nothing: 0 °C read as 0.04 is still right.
INPUT_FLOOR = 0.05
_WINDOW_SLACK = 1e-6
# Rules' cautions by trigger.
CautionTexts = Mapping[str, frozenset[str]]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One turn judged. None means that the field was not asked of this turn.

    Attributes:
        outcome: the answer's outcome is among the accepted.
        task: one of the answer's tasks is among the accepted.
        materials: the set is exactly the expected one; precision, recall and f1 say how far off it is.
        figure: a figure of the kind and unit lies in the window.
        inputs: one figure of the kind (any figure where no kind was named) has every expected input.
        cautions: every trigger's caution is there.
        confidently_wrong: answered, and would mislead: see `is_confidently_wrong`.
    """

    outcome: bool
    task: bool | None = None
    materials: bool | None = None
    precision: float | None = None
    recall: float | None = None
    f1: float | None = None
    figure: bool | None = None
    inputs: bool | None = None
    cautions: bool | None = None
    confidently_wrong: bool = False

    @property
    def right(self) -> bool:
        """Every field that was asked is right."""
        return not self.failed

    @property
    def failed(self) -> tuple[str, ...]:
        """The fields that are wrong."""
        fields = ("outcome", "task", "materials", "figure", "inputs", "cautions")
        return tuple(name for name in fields if getattr(self, name) is False)


def caution_texts(rules: Iterable[Rule]) -> dict[str, frozenset[str]]:
    """The texts an answer may carry for each trigger."""
    texts: dict[str, set[str]] = {}
    for rule in rules:
        for trigger in rule.caution.triggers if rule.caution else ():
            texts.setdefault(trigger, set()).add(rule.caution.text if rule.caution else "")
    return {trigger: frozenset(found) for trigger, found in texts.items()}


def judge(turn: Turn, answer: Answer, texts: CautionTexts) -> Verdict:
    """Hold an answer against what was expected of it.

    Where several outcomes are fair, the other fields bind only an answer that was answered; cautions bind always.
    """
    outcome = answer.outcome in turn.outcome
    cautions = all(texts.get(t, frozenset()) & set(answer.cautions) for t in turn.cautions) if turn.cautions else None
    wrong = is_confidently_wrong(turn, answer)
    if not binds(turn, answer):
        return Verdict(outcome, cautions=cautions, confidently_wrong=wrong)
    tasks = {answer.task, *answer.tasks}
    precision, recall, f1 = (
        _overlap(set(turn.materials), set(answer.materials)) if turn.materials is not None else (None, None, None)
    )
    return Verdict(
        outcome=outcome,
        task=bool(tasks & set(turn.task)) if turn.task else None,
        materials=None if turn.materials is None else set(turn.materials) == set(answer.materials),
        precision=precision,
        recall=recall,
        f1=f1,
        figure=None if turn.figure is None else any(in_window(turn.figure, f) for f in answer.figures),
        inputs=_inputs_match(turn, answer) if turn.inputs else None,
        cautions=cautions,
        confidently_wrong=wrong,
    )


def binds(turn: Turn, answer: Answer) -> bool:
    """Whether the fields beyond outcome and cautions are asked of this answer."""
    return len(turn.outcome) == 1 or answer.outcome == "answered"


def is_confidently_wrong(turn: Turn, answer: Answer) -> bool:
    """Answered where it should have been declined, about other materials, or with its figure outside the window.

    A figure that is missing is a failure, not a lie; a figure of the right kind that is all outside is one.
    """
    if answer.outcome != "answered":
        return False
    if turn.out_of_scope:
        return True
    if turn.materials is not None and set(turn.materials) != set(answer.materials):
        return True
    if turn.figure is None:
        return False
    same_kind = [f for f in answer.figures if f.kind == turn.figure.kind]
    return bool(same_kind) and not any(in_window(turn.figure, f) for f in same_kind)


def in_window(expected: ExpectedFigure, figure: Figure) -> bool:
    """Of the kind, in the unit (money has none to compare) and inside the window."""
    slack = _WINDOW_SLACK * max(1.0, abs(expected.low), abs(expected.high))
    return (
        figure.kind == expected.kind
        and (expected.unit is None or figure.unit == expected.unit)
        and expected.low - slack <= figure.value <= expected.high + slack
    )


def input_matches(wanted: float, given: Input) -> bool:
    """Within two per cent; a fraction may be written as a per cent and the other way round."""
    if isinstance(given.value, str):
        return False
    return any(
        abs(value - wanted) <= max(INPUT_TOLERANCE * abs(wanted), INPUT_FLOOR if abs(wanted) >= 1 or wanted == 0 else 0)
        for value in _as_fraction_or_percent(given, wanted)
    )


def _as_fraction_or_percent(given: Input, wanted: float) -> tuple[float, ...]:
    value = float(given.value)
    # Only numbers that can be shares are read both ways: 24 degrees must not pass for 0.24.
    if given.unit in ("%", "percent", "fraction", "share", ""):
        return (value, value / 100) if abs(wanted) <= 1 else (value, value * 100)
    return (value,)


def _inputs_match(turn: Turn, answer: Answer) -> bool:
    kind = turn.figure.kind if turn.figure else None
    return any(
        all(
            any(i.name == name and input_matches(wanted, i) for i in figure.inputs)
            for name, wanted in turn.inputs.items()
        )
        for figure in answer.figures
        if kind in (None, figure.kind)
    )


def _overlap(wanted: set[str], given: set[str]) -> tuple[float, float, float]:
    """Precision, recall and F1 of two sets; two empty sets agree."""
    if not wanted and not given:
        return 1.0, 1.0, 1.0
    both = len(wanted & given)
    precision = both / len(given) if given else 0.0
    recall = both / len(wanted) if wanted else 0.0
    return precision, recall, 2 * precision * recall / (precision + recall) if both else 0.0
