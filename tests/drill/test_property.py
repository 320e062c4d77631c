"""No item is ambiguous: a second reading of the YAML, which shares no code with the generators, must agree."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.calculators.units import convert
from assistant.drill.item import LETTERS, Choice, Number, OneOf, Order
from assistant.drill.items import Bank
from assistant.drill.marking.marker import Marker
from assistant.handbook.loading import knowledge_folder
from evals.drill_oracle import Oracle
from tests.drill.conftest import built


@pytest.fixture(scope="module")
def oracle() -> Oracle:
    return Oracle(knowledge_folder())


@settings(
    max_examples=400, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(place=st.integers(min_value=0), seed=st.integers(min_value=0, max_value=2**32))
def test_the_key_is_right_and_every_other_option_wrong(
    bank: Bank, marker: Marker, oracle: Oracle, place: int, seed: int
) -> None:
    blueprints = tuple(bank)
    item = blueprints[place % len(blueprints)].build(Random(seed))
    if item is None:
        return
    assert oracle.faults(item) == []
    if isinstance(item.key, OneOf):
        verdicts = [marker.mark(item, LETTERS[i]).verdict for i in range(len(item.choices))]
        assert verdicts == ["right" if i == item.key.index else "wrong" for i in range(len(item.choices))]
        for index, choice in enumerate(item.choices):
            said = marker.mark(item, choice.text).verdict
            assert said == ("right" if index == item.key.index else "wrong"), choice.text
    if isinstance(item.key, Order):
        assert marker.mark(item, " ".join(LETTERS[i] for i in item.key.order)).verdict == "right"


_OTHER_UNITS = {
    "d": ("h", "min", "wk"),
    "h": ("min", "d"),
    "min": ("h",),
    "month": ("yr", "wk"),
    "degC": ("degF",),
    "cm": ("in", "mm", "ft"),
    "ml": ("l", "us_cup"),
    "l": ("ml", "us_gal", "us_pt"),
    "g": ("kg", "oz"),
    "kg": ("g", "lb"),
}
_SPELT = {
    "min": "minutes",
    "wk": "weeks",
    "yr": "years",
    "us_cup": "cups",
    "us_gal": "gallons",
    "us_pt": "pints",
    "degF": "F",
}


@settings(
    max_examples=200, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(place=st.integers(min_value=0), share=st.floats(0, 1), seed=st.integers(0, 2**32))
def test_no_number_is_wrong_for_its_unit(bank: Bank, marker: Marker, place: int, share: float, seed: int) -> None:
    """Any value of the handbook's range, said in any other unit to three figures, is right."""
    numbers = [b for b in bank if b.id.endswith((":number", ":figure"))]
    item = numbers[place % len(numbers)].build(Random(seed))
    if item is None or not isinstance(item.key, Number):
        return
    value = item.key.low + share * (item.key.high - item.key.low)
    for unit in _OTHER_UNITS.get(item.key.unit, ()):
        rounded = float(f"{convert(value, item.key.unit, unit):.3g}")
        said = f"{rounded:g} {_SPELT.get(unit, unit)}"
        assert marker.mark(item, said).verdict == "right", (item.id, said)


@pytest.mark.parametrize("template", ["life", "mistake", "substitute", "known-as", "harmful-cats", "season-month"])
def test_the_oracle_would_notice_a_wrong_key(bank: Bank, oracle: Oracle, template: str) -> None:
    item = next(i for b in bank if b.template == template and (i := b.build(Random(2))) and isinstance(i.key, OneOf))
    assert isinstance(item.key, OneOf)
    assert oracle.faults(replace(item, key=OneOf((item.key.index + 1) % len(item.choices))))


def test_the_oracle_would_notice_an_option_that_is_also_right(bank: Bank, oracle: Oracle) -> None:
    item = built(bank, "storage-temperature:anthurium:choice")
    assert isinstance(item.key, OneOf)
    right = item.choices[item.key.index]
    assert right.span is not None
    touching = Choice(
        f"{right.span[1]:g}–{right.span[1] + 2:g} °C", span=(right.span[1], right.span[1] + 2), unit="degC"
    )
    choices = tuple(
        c if i == item.key.index else touching if i == (item.key.index + 1) % 4 else c
        for i, c in enumerate(item.choices)
    )
    assert oracle.faults(replace(item, choices=choices))


def test_the_oracle_would_notice_a_wrong_sum(bank: Bank, oracle: Oracle) -> None:
    item = built(bank, "figure-recipe:rose:figure")
    assert isinstance(item.key, Number)
    assert oracle.faults(item) == []
    assert oracle.faults(replace(item, key=Number(item.key.low + 1, item.key.high + 1, "bunches", whole=True)))
