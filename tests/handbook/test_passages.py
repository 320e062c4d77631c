"""Passages: whole sentences made from the entry's own numbers, never cut, never over the limit."""

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from assistant.handbook.loading import load_handbook
from assistant.handbook.models import Days, Hazard, Material, Rule, Season
from assistant.handbook.passages import (
    MAX_WORDS,
    SECTIONS,
    all_passages,
    material_passage,
    material_passages,
    measure_words,
    months_words,
    rule_passage,
    rule_words,
    sentence,
    sources_of,
    span_words,
)
from tests.handbook import toys

P = {"basis": "practice"}


@pytest.fixture(scope="module")
def everything(handbook):
    return list(all_passages(handbook))


def test_ids_are_unique_and_the_order_is_stable(everything, handbook):
    ids = [passage.id for passage in everything]
    assert len(ids) == len(set(ids))
    assert ids == [passage.id for passage in all_passages(handbook)]


def test_each_passage_is_the_one_its_section_gives(everything, handbook):
    for passage in everything:
        if passage.materials and passage.id.split("/")[0] in handbook.materials:
            again = material_passage(handbook.materials[passage.materials[0]], passage.section, handbook)
            assert again is not None
            assert again.text.encode() == passage.text.encode()
            assert again == passage


def test_each_rule_passage_is_the_one_its_rule_gives(everything, handbook):
    by_id = {passage.id: passage for passage in everything}
    for topic in handbook.topics.values():
        for rule in topic.rules:
            assert by_id[f"{topic.topic}/{rule.id}"] == rule_passage(topic.topic, rule)


def test_no_passage_is_over_the_limit_or_empty(everything):
    assert all(0 < len(passage.text.split()) <= MAX_WORDS for passage in everything)


def test_no_rule_loses_its_end(handbook):
    for rule in handbook.rules.values():
        assert len(rule_passage("topic", rule).text.split()) == rule_words(rule)


def test_every_passage_ends_with_a_whole_sentence(everything):
    assert [p.id for p in everything if p.text[-1] not in ".!?:"] == []


def test_no_passage_holds_a_control_character_or_a_none(everything):
    for passage in everything:
        assert passage.text.isprintable(), passage.id
        assert not re.search(r"\bNone\b|\bnan\b", passage.text), passage.id


def test_every_source_of_a_passage_is_in_the_handbook(everything, handbook):
    assert {source for passage in everything for source in passage.sources} <= handbook.sources.keys()


def test_every_material_and_every_rule_has_a_passage(everything, handbook):
    assert {p.materials[0] for p in everything if p.id.startswith(f"{p.materials[:1] and p.materials[0]}/")} == set(
        handbook.materials
    )
    assert set(handbook.rules) <= {passage.section for passage in everything}


HANDBOOK = load_handbook()


@settings(max_examples=200, deadline=None, derandomize=True)
@given(
    st.sampled_from(sorted(HANDBOOK.materials)),
    st.lists(st.sampled_from(SECTIONS), min_size=2, max_size=4, unique=True),
)
def test_any_section_of_any_material_tells_of_that_material_with_its_sources(key, sections):
    material = HANDBOOK.materials[key]
    for section in sections:
        passage = material_passage(material, section, HANDBOOK)
        if passage is None:
            continue
        assert passage.id == f"{key}/{section}"
        assert passage.materials == (key,)
        assert passage.title.lower().startswith(material.name.lower())
        assert set(passage.sources) <= set(sources_of(material))
        assert len(passage.text.split()) <= MAX_WORDS


@pytest.mark.parametrize("key", sorted(HANDBOOK.materials))
def test_every_material_says_what_it_is_how_long_it_lasts_and_what_it_can_harm(key):
    material = HANDBOOK.materials[key]
    sections = {passage.section for passage in material_passages(material, HANDBOOK)}
    assert "names" in sections
    assert ("keeping" if material.is_dry else "life") in sections
    assert ("life" not in sections) or not material.is_dry
    assert {"order", "buying", "hazards"} <= sections


# --- wording ------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("span", "unit", "words"),
    [
        ((7, 14), "d", "7–14 days"),
        ((1, 1), "d", "1 day"),
        ((0.5, 1), "d", "0.5–1 days"),
        ((-0.6, 2), "degC", "-0.6 to 2 °C"),
        ((7, None), "d", "at least 7 days"),
        ((None, 4), "degC", "at most 4 °C"),
        ((90, 95), "%", "90–95%"),
        ((3, 3), "ratio", "3"),
        ((10, 10), "stems", "10 stems"),
    ],
)
def test_spans_in_words(span, unit, words):
    assert span_words(span, unit) == words


def test_a_measure_carries_its_conditions():
    days = Days.model_validate({"low": 4, "high": 7, "unit": "d", "at": "cool room", **P})
    assert measure_words(days) == "4–7 days (cool room)"


@pytest.mark.parametrize(
    ("months", "words"),
    [
        ("all", "all year"),
        (list(range(1, 13)), "all year"),
        ([3, 4, 5], "March to May"),
        ([11, 12, 1, 2], "November to February"),
        ([6], "June"),
        ([5, 3, 4, 9], "March to May, September"),
        ([12, 1], "December to January"),
    ],
)
def test_months_in_words(months, words):
    assert months_words(Season.model_validate({"months": months, **P})) == words


@pytest.mark.parametrize(
    ("text", "out"), [("cut long", "Cut long."), ("Cut!", "Cut!"), ("", ""), ("  why? ", "Why?"), ("é", "É.")]
)
def test_sentences_begin_large_and_end(text, out):
    assert sentence(text) == out


def test_a_long_rule_is_cut_at_a_sentence(tmp_path):
    rule = Rule.model_validate({"id": "long-rule", "title": "Long", "text": "One two three four. " * 40, **P})
    passage = rule_passage("topic", rule)
    assert rule_words(rule) == 160
    assert len(passage.text.split()) == MAX_WORDS
    assert passage.text.endswith("four.")


def test_a_rule_tells_symptom_when_why_and_steps():
    rule = Rule.model_validate(
        {
            "id": "limp-head", "title": "Limp", "text": "Recut it.", "when": "the neck bends", "why": "air blocks it",
            "steps": ["cut", "wait"], "symptom": "bent neck", **P,
        }
    )  # fmt: skip
    assert rule_passage("t", rule).text == (
        "Symptom: Bent neck. Recut it. When: The neck bends. Why: Air blocks it. Steps: 1. Cut. 2. Wait."
    )


def test_a_hazard_without_words_of_its_own_is_put_plainly(tmp_path):
    handbook = load_handbook(toys.handbook_folder(tmp_path))
    tulip = handbook.materials["tulip"].model_dump()
    for level, words in (("listed", "listed as toxic"), ("unknown", "not known"), ("none", "no harm known")):
        tulip["hazards"] = {"cats": Hazard(level=level, basis="practice").model_dump()}
        passage = material_passage(Material.model_validate(tulip), "hazards", handbook)
        assert passage.text == f"Cats: {words}."


def test_a_section_with_nothing_to_say_is_none(tmp_path):
    handbook = load_handbook(toys.handbook_folder(tmp_path))
    assert material_passage(handbook.materials["anemone"], "drying", handbook) is None
    assert material_passage(handbook.materials["dried-wheat"], "water", handbook) is None
