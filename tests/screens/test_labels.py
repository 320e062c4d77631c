"""Numbers as people say them."""

from __future__ import annotations

import pytest

from assistant.dialogue.answer import Figure, Input
from assistant.screens.labels import compact, input_value, number, shown


@pytest.mark.parametrize(
    ("figure", "us", "said"),
    [
        (Figure("days_remaining", "a", 6.77, 5.16, 8.38, "d"), False, "7 days (5 to 8)"),
        (Figure("days_remaining", "a", 1.2, 1.2, 1.2, "d"), False, "1 day"),
        (Figure("days_remaining", "a", 2.4, 1.9, 3.4, "d"), False, "2.5 days (2 to 3)"),
        (Figure("bunches", "a", 1, 1, 1, "bunches"), False, "1 bunch"),
        (Figure("water_needed", None, 0.458, 0.133, 1.067, "l"), False, "458 ml (133 to 1067)"),
        (Figure("vessel_volume", None, 3.785, 3.785, 3.785, "l"), True, "1 gal"),
        (Figure("shelf_life", "a", 365.28, 182.64, 730.56, "d"), False, "12 months (6 to 24)"),
        (Figure("storage_temperature", "a", 20, 20, 20, "degC"), True, "68 °F"),
        (Figure("cost", None, 120, 120, 120, "money"), False, "120"),
    ],
)
def test_compact(figure: Figure, us: bool, said: str) -> None:
    assert compact(figure, us) == said


def test_one_number_has_no_range() -> None:
    assert shown(Figure("stems", None, 24, 24, 24, "stems")).span == ""


@pytest.mark.parametrize(
    ("value", "unit", "said"),
    [(2.26, "d", "2.5"), (9.6, "d", "10"), (33.333, "ml", "33.3"), (140.4, "ml", "140"), (7.5, "degC", "7.5")],
)
def test_number(value: float, unit: str, said: str) -> None:
    assert number(value, unit) == said


@pytest.mark.parametrize(
    ("item", "said"),
    [
        (Input("loss_rate", 0.08, "ratio", "handbook"), "8 %"),
        (Input("q10", 2.8, "ratio", "handbook"), "2.8"),
        (Input("humidity", 50, "%", "assumed", 40, 60), "40–60 %"),
        (Input("support", "vase-food", "", "assumed"), "vase, flower food"),
        (Input("vessel", "tall-bucket", "", "handbook"), "tall bucket"),
    ],
)
def test_input_value(item: Input, said: str) -> None:
    assert input_value(item) == said
