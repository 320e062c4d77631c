"""Which inputs can be turned, and that turning and typing stay inside what can be."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.answer import Figure, Input
from assistant.screens.knobs import Knob, knob_of, knobs_of
from tests.screens.small import life_answer


def room(value: float = 24.0, us: bool = False) -> Knob:
    knob = knob_of(Input("display_temperature", value, "degC", "asked"), us)
    assert knob is not None
    return knob


def test_steps_of_a_degree_up_and_down() -> None:
    assert room().turned(1) == 25
    assert room().turned(-1) == 23
    assert room(20.4).turned(1) == 21
    assert room(20.4).turned(-1) == 20


def test_us_degrees_step_in_fahrenheit() -> None:
    knob = room(20.0, us=True)
    assert knob.shown == "68 °F"
    assert knob.turned(1) == pytest.approx((69 - 32) / 1.8)
    assert knob.typed("77") == pytest.approx(25.0)


def test_shares_are_turned_in_per_cent() -> None:
    knob = knob_of(Input("loss_rate", 0.08, "ratio", "handbook"))
    assert knob is not None
    assert (knob.slot, knob.value, knob.unit, knob.shown) == ("loss_rate", 8.0, "%", "8 %")
    assert knob.reading(9.0).number == 9.0


def test_names_of_the_vessel_lead_to_their_slots() -> None:
    knob = knob_of(Input("vessel_diameter", 15.0, "cm", "asked"))
    assert knob is not None
    assert knob.slot == "diameter"


def test_words_go_round_and_are_typed_by_their_beginning() -> None:
    knob = knob_of(Input("support", "out-of-water", "", "assumed"))
    assert knob is not None
    assert knob.turned(1) == "vase-food"
    assert knob.typed("foam l") == "foam-drying"
    assert knob.typed("pond") is None
    assert knob.reading("foam-kept-wet").text == "foam-kept-wet"


@pytest.mark.parametrize("text", ["", "warm", "nan", "inf", "1e999", "--3"])
def test_what_is_no_number_is_refused(text: str) -> None:
    assert room().typed(text) is None


def test_a_comma_is_a_decimal_point() -> None:
    assert room().typed("21,5") == 21.5


@given(st.floats(-5, 45), st.integers(-200, 200), st.booleans())
def test_turning_stays_between_the_ends(value: float, steps: int, us: bool) -> None:
    turned = room(value, us).turned(steps)
    assert isinstance(turned, float)
    assert -5 <= turned <= 45


def test_the_handbooks_own_numbers_are_no_knobs() -> None:
    knobs, fixed = knobs_of(life_answer(24).figures)
    assert [knob.slot for knob in knobs] == ["display_temperature", "support", "display_days"]
    assert [item.name for item in fixed] == ["vase_life"]


def test_an_input_shared_by_figures_is_one_knob() -> None:
    figures = [
        Figure(
            "stems",
            who,
            1,
            1,
            1,
            "stems",
            (Input("stems", 5.0, "stems", "asked"), Input("q10", 2.0, "ratio", "handbook")),
        )
        for who in "ab"
    ]
    knobs, fixed = knobs_of(figures)
    assert len(knobs) == 1
    assert fixed == []  # of two materials, the factor of one would mislead
