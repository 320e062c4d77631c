"""The bank: lasting ids, true passages, answers that change with the handbook and not otherwise."""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from assistant.dialogue.context import Context
from assistant.drill.generators.figures import PROBLEMS, pose
from assistant.drill.item import Number, OneOf
from assistant.drill.items import Bank, changed_entries
from assistant.handbook.loading import Handbook
from assistant.handbook.models import DegreesC
from tests.drill.conftest import built

TEMPLATES = (
    "life",
    "storage-temperature",
    "pack-eu",
    "other-name",
    "known-as",
    "botanical",
    "ethylene",
    "hazard-cats",
    "season-month",
    "mistake",
    "substitute",
    "why",
    "steps",
    "symptom",
    "rule-number",
    "figure-bunches",
)


def with_material(handbook: Handbook, material_id: str, **fields: object) -> Handbook:
    """The handbook with some fields of one material changed."""
    changed = handbook.materials[material_id].model_copy(update=fields)
    return replace(handbook, materials={**handbook.materials, material_id: changed})


def bank_of(handbook: Handbook, context: Context) -> Bank:
    return Bank(Context(handbook, clock=context.clock))


def test_every_sort_the_trainer_asked_for_is_there(bank: Bank) -> None:
    made = {blueprint.template for blueprint in bank}
    assert set(TEMPLATES) <= made


def test_two_banks_of_one_handbook_are_the_same(bank: Bank, context: Context) -> None:
    again = Bank(context)
    assert {b.id: b.fingerprint for b in again} == {b.id: b.fingerprint for b in bank}


@pytest.mark.parametrize("template", TEMPLATES)
def test_an_item_knows_where_it_came_from(bank: Bank, template: str) -> None:
    rng = Random(template)
    blueprint = next(b for b in bank if b.template == template and b.build(rng) is not None)
    item = blueprint.build(rng)
    assert item is not None
    assert (item.id, item.topic, item.level) == (blueprint.id, blueprint.topic, blueprint.level)
    passage = bank.passage(item)
    assert passage is not None
    assert item.entry in (*passage.materials, passage.section)
    assert bank.source_lines(item)


def test_the_same_seed_builds_the_same_item(bank: Bank) -> None:
    first = built(bank, "substitute:rose:lisianthus", 5)
    assert built(bank, "substitute:rose:lisianthus", 5) == first
    assert any(built(bank, "substitute:rose:lisianthus", seed) != first for seed in range(20))


def test_figure_problems_have_fresh_numbers(bank: Bank) -> None:
    questions = {built(bank, "figure-bunches:gerbera:figure", seed).question for seed in range(10)}
    assert len(questions) > 5


def test_the_bunches_are_the_calculators(bank: Bank) -> None:
    item = pose(bank.known, "figure-bunches", "gerbera", stems=48, pack=10, loss=5)
    assert isinstance(item.key, Number)
    assert item.question == "48 gerberas are needed, they come in tens and 5 % are lost: how many bunches?"
    assert item.key.low == item.key.high == 6


def test_every_problem_can_be_posed_for_every_entry(bank: Bank) -> None:
    rng = Random(3)
    for template in PROBLEMS:
        entries = [b for b in bank if b.template == template]
        assert entries
        built_some = [b.build(rng) for b in entries[:25]]
        assert all(item is not None for item in built_some), template


def test_a_wrong_number_stays_clear_of_what_the_passage_mentions(bank: Bank) -> None:
    """The storage passage of plumosa fern speaks of several temperatures; none of them may be a wrong option."""
    blueprints = [b for b in bank if b.template == "storage-temperature" and b.id.endswith("choice")]
    checked = 0
    for blueprint in blueprints[:60]:
        item = blueprint.build(Random(1))
        if item is None:
            continue
        assert isinstance(item.key, OneOf)
        right = item.choices[item.key.index].span
        assert right is not None
        for index, choice in enumerate(item.choices):
            if index != item.key.index:
                assert choice.span is not None
                assert choice.span[1] < right[0] or choice.span[0] > right[1]
        checked += 1
    assert checked > 20


def test_a_changed_answer_changes_the_fingerprint_and_nothing_else(
    bank: Bank, handbook: Handbook, context: Context
) -> None:
    rose = handbook.materials["rose"]
    assert rose.vase_life is not None
    other = bank_of(
        with_material(handbook, "rose", vase_life=rose.vase_life.model_copy(update={"high": 12.0})), context
    )
    changed = {b.id for b in other if bank.blueprints[b.id].fingerprint != b.fingerprint}
    assert "life:rose:number" in changed
    assert all(b.split(":")[1] == "rose" for b in changed)
    assert "storage-temperature:rose:number" not in changed


def test_what_the_handbook_no_longer_says_is_no_longer_asked(handbook: Handbook, context: Context) -> None:
    without = bank_of(with_material(handbook, "rose", vase_life=None, freezing_point=None), context)
    assert not [b.id for b in without if b.entry == "rose" and b.template in ("life", "freezing", "lasts-longest")]


def test_conflicting_records_are_not_asked(handbook: Handbook, context: Context) -> None:
    """Two published temperatures ten degrees apart leave no single right answer."""
    rose = handbook.materials["rose"]
    apart = rose.storage[0].model_copy(update={"degC": (12.0, 15.0)})
    other = bank_of(with_material(handbook, "rose", storage=(*rose.storage, apart)), context)
    assert "storage-temperature:rose:number" not in other.blueprints


def test_one_sided_numbers_are_not_asked(handbook: Handbook, context: Context) -> None:
    open_end = DegreesC(unit="degC", low=5.0, basis="practice")
    other = bank_of(with_material(handbook, "anthurium", chilling_threshold=open_end), context)
    assert "chilling:anthurium:number" not in other.blueprints


def test_an_overlay_is_seen_entry_by_entry(handbook: Handbook) -> None:
    other = with_material(handbook, "rose", plural="garden roses of ours")
    assert changed_entries(other, handbook) == {"rose"}
    assert changed_entries(handbook, handbook) == frozenset()


def test_an_unknown_id_builds_nothing(bank: Bank) -> None:
    assert bank.build("life:no-such-thing:number", Random(0)) is None
