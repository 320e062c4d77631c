"""The gates: the packaged handbook passes them, and each one catches what it is for."""

import re
from pathlib import Path

import pytest

from assistant.handbook import gates
from assistant.handbook.gates import explains, grade, quality_problems, regular_plurals, rule_grades, syllables
from assistant.handbook.loading import Handbook, load_handbook
from assistant.handbook.models import Material, Rule, Source, Table, Topic
from tests.handbook import toys

ROOT = Path(__file__).resolve().parents[2]
P = {"basis": "practice"}


@pytest.mark.parametrize("gate", [*gates.ERROR_GATES, *gates.WARNING_GATES], ids=lambda gate: gate.__name__)
def test_the_packaged_handbook_passes(gate, handbook):
    assert [str(problem) for problem in gate(handbook)] == []


def test_the_sources_kept_for_formulas_and_tests_are_named_there(handbook):
    folders = {"formulas": ["assistant"], "tests": ["tests", "evals"]}
    words = {
        use: {
            word
            for name in names
            for path in (ROOT / name).rglob("*")
            if path.suffix in (".py", ".csv")
            for word in re.findall(r"[a-z0-9_]+", path.read_text(encoding="utf-8"))
        }
        for use, names in folders.items()
    }
    kept = [source for source in handbook.sources.values() if source.used_in]
    assert kept
    assert [source.id for source in kept if source.id not in words[source.used_in]] == []


# --- each gate on a handbook with the fault -----------------------------------------------------------------------


@pytest.fixture
def toy(tmp_path) -> Handbook:
    return load_handbook(toys.handbook_folder(tmp_path))


def with_tulip(toy, **fields):
    data = toy.materials["tulip"].model_dump(exclude_unset=True) | fields
    return changed(toy, materials={**toy.materials, "tulip": Material.model_validate(data)})


def with_rule(toy, **fields):
    data = {"id": "new-rule", "title": "New", "text": "Cut it.", **P} | fields
    rule = Rule.model_validate(data)
    topic = Topic(topic="cutting", title="Cutting", rules=(rule,))
    return changed(toy, rules={rule.id: rule}, topics={"cutting": topic})


def changed(toy, **parts):
    known = {name: getattr(toy, name) for name in ("materials", "rules", "topics", "tables", "sources", "origin")}
    return Handbook(**(known | parts))


def found(gate, handbook):
    return [problem.message for problem in gate(handbook)]


def test_the_toy_handbook_passes_but_for_its_spare_source(toy):
    quality = quality_problems(toy)
    assert quality.errors == ()
    assert [str(problem) for problem in quality.warnings] == [
        "sources.yaml: sheet_2001: no entry cites this source; remove it"
    ]


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("vase_life", {"low": 0.5, "high": 2, "unit": "d", **P}),
        ("vase_life", {"low": 60, "high": 100, "unit": "d", **P}),
        ("vase_life", {"low": 2, "high": 30, "unit": "d", **P}),
        ("q10", {"low": 25, "unit": "ratio", **P}),
        ("chilling_threshold", {"low": 45, "unit": "degC", **P}),
        ("freezing_point", {"low": 31, "unit": "degC", **P}),
        ("stem_length", {"low": 600, "unit": "cm", **P}),
        ("storage", [{"method": "dry", "degC": [34, 36], **P}]),
        ("storage", [{"method": "dry", "days": [None, 900], **P}]),
        ("storage", [{"method": "dry", "days": [1, 2], "humidity": [0.9, 0.95], **P}]),
        ("packs", [{"market": "EU", "stems": [10, 1000], **P}]),
        ("packs", [{"market": "EU", "grams": [0.5, 1], **P}]),
        ("drying", [{"method": "press", "result": "well", "days": [0.1, 400], **P}]),
    ],
)
def test_a_range_out_of_reason_is_found(toy, field, value):
    problems = list(gates.ranges_are_sane(with_tulip(toy, **{field: value})))
    assert len(problems) == 1
    assert problems[0].field.startswith(field)
    assert "tulip" in problems[0].message


def test_a_shelf_life_out_of_reason_is_found(toy):
    data = toy.materials["dried-wheat"].model_dump(exclude_unset=True)
    data["keeping"]["shelf_life"] = {"low": 1, "high": 60, "unit": "months", **P}
    wheat = Material.model_validate(data)
    assert "too wide to plan with" in found(gates.ranges_are_sane, changed(toy, materials={"dried-wheat": wheat}))[0]


@pytest.mark.parametrize(
    ("limit", "word"),
    [("freezing_point", "freezes"), ("chilling_threshold", "chills")],
)
def test_storage_below_a_limit_needs_a_note(toy, limit, word):
    cold = {"method": "dry", "degC": [-1, 2], **P}
    measure = {"low": 0, "unit": "degC", **P}
    problems = found(gates.cold_is_ordered, with_tulip(toy, storage=[cold], **{limit: measure}))
    assert len(problems) == 1
    assert word in problems[0]
    noted = cold | {"note": "an old table; stay above freezing"}
    assert found(gates.cold_is_ordered, with_tulip(toy, storage=[noted], **{limit: measure})) == []


@pytest.mark.parametrize("why", ["same look with bigger heads", "loose heads", "the pollen-free spring star"])
def test_what_counts_as_an_explanation(why):
    assert explains(why)


@pytest.mark.parametrize("why", ["fresh", "same", "the same one", "but less", "red", "it is a", "spiky spiky", "!!!"])
def test_what_does_not_count_as_an_explanation(why):
    assert not explains(why)


def test_substitutes_must_be_others_named_once_and_mutual_or_explained(toy):
    def subs(*pairs):
        return found(gates.substitutes_make_sense, with_tulip(toy, substitutes=[{"id": i, "why": w} for i, w in pairs]))

    assert "names itself" in subs(("tulip", "the very same flower"))[0]
    assert "twice" in subs(("anemone", "open spring cup"), ("anemone", "dark spring eye"))[0]
    assert "does not say why 'anemone' can stand in" in subs(("anemone", "fresh"))[0]
    assert subs(("anemone", "open spring cup")) == []


def test_a_mutual_substitute_needs_no_explanation(toy):
    back = toy.materials["anemone"].model_dump(exclude_unset=True) | {"substitutes": [{"id": "tulip", "why": "same"}]}
    both = with_tulip(toy, substitutes=[{"id": "anemone", "why": "same"}])
    both.materials["anemone"] = Material.model_validate(back)
    assert found(gates.substitutes_make_sense, both) == []


def test_a_rule_nothing_leads_to_is_found(toy):
    assert "nothing leads to this rule" in found(gates.rules_can_be_reached, with_rule(toy))[0]


@pytest.mark.parametrize(
    "way",
    [
        {"asked_as": "How?"}, {"materials": "tulip"}, {"kinds": "flower"}, {"symptom": "droop"},
        {"caution": {"text": "Mind the knife.", "triggers": "knife"}},
    ],
)  # fmt: skip
def test_every_way_to_a_rule_counts(toy, way):
    assert found(gates.rules_can_be_reached, with_rule(toy, **way)) == []


def test_a_plural_that_is_anothers_name_is_found_unless_declared(toy):
    clash = with_tulip(toy, other_names=[{"name": "anemones"}])
    assert "the plural of 'anemone', is a name of 'tulip'" in found(gates.names_do_not_clash, clash)[0]
    row = {"name": "anemone", "meanings": ["anemone", "tulip"]}
    names = Table.model_validate({"table": "names", "title": "x", "shared_names": [row]})
    assert found(gates.names_do_not_clash, changed(clash, tables={"names": names})) == []


@pytest.mark.parametrize(
    ("name", "plural"),
    [("rose", "roses"), ("lily", "lilies"), ("iris", "irises"), ("spray", "sprays"), ("birch", "birches")],
)
def test_regular_plurals(name, plural):
    assert regular_plurals(name) == (plural,)


def test_a_source_says_where_it_is_used_or_is_cited_but_not_both(toy):
    def sources(**used):
        listed = {i: Source(id=i, title="x", used_in=used.get(i)) for i in ("book_1990", "sheet_2001")}
        return found(gates.sources_are_cited, changed(toy, sources=listed))

    assert sources(sheet_2001="tests") == []
    assert sources(sheet_2001="tests", book_1990="formulas") == ["is cited by an entry; drop used_in"]


# --- prose --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("word", "count"),
    [
        ("stem", 1), ("water", 2), ("bucket", 2), ("eucalyptus", 4), ("temperature", 4), ("rose", 1), ("roses", 2),
        ("leaves", 1), ("stripped", 1), ("wilted", 2), ("table", 2), ("tree", 1), ("preservative", 4), ("14", 1),
        ("petals", 2), ("ethylene", 3), ("carnation", 3), ("cages", 2), ("bunches", 2), ("needed", 2),
    ],
)  # fmt: skip
def test_syllables(word, count):
    assert syllables(word) == count


def test_the_grade_is_the_published_formula():
    text = "Cut the stem. Put it in water."  # 7 words, 2 sentences, 8 syllables
    assert grade(text) == pytest.approx(0.39 * 7 / 2 + 11.8 * 8 / 7 - 15.59)
    assert grade("") == 0.0


HARD = (
    "Notwithstanding considerable physiological heterogeneity, antimicrobial preservative formulations invariably "
    "necessitate recalibration whenever environmental circumstances deteriorate appreciably."
)


def test_hard_prose_is_found(toy):
    problems = found(gates.rules_read_easily, with_rule(toy, text=HARD))
    assert len(problems) == 2
    assert any("on average" in message for message in problems)
    assert any("shorten its sentences" in message for message in problems)


def test_the_caution_of_a_rule_is_read_too(toy):
    plain, warned = with_rule(toy), with_rule(toy, caution={"text": HARD, "triggers": "knife"})
    assert rule_grades(warned)["new-rule"] > rule_grades(plain)["new-rule"] + 5


def test_the_packaged_rules_are_well_within_the_limit(handbook):
    grades = rule_grades(handbook)
    assert sum(grades.values()) / len(grades) <= 6
    assert max(grades.values()) <= 12


def test_a_rule_too_long_for_its_passage_is_found(toy):
    assert "has 132 words" in found(gates.passages_are_short, with_rule(toy, text="Cut the stem again. " * 33))[0]


@pytest.mark.parametrize(
    "text", ["See https://x.example for more.", "Ask at www.shop now.", "Write to a@b.", "More on wilt.com today."]
)
def test_an_address_is_found(toy, text):
    assert "holds an address" in found(gates.no_addresses_or_marks, with_rule(toy, text=text))[0]


@pytest.mark.parametrize("text", ["Use Foamy® bricks.", "Use Foamy™ bricks.", "Use Foamy(R) bricks."])
def test_a_trade_mark_is_found(toy, text):
    assert "trade mark" in found(gates.no_addresses_or_marks, with_rule(toy, text=text))[0]


def test_a_name_in_capitals_is_found_with_its_place(toy):
    problem = next(gates.no_unknown_names(with_rule(toy, why="Because Foamy Bricks drink well.")))
    assert problem.field == "why"
    assert problem.file.endswith("rules/cutting.yaml") or problem.file == "new-rule"
    assert "'Foamy Bricks'" in problem.message


@pytest.mark.parametrize(
    "text",
    [
        "Cut the Tulipa in March.",
        "One trial of cv Foamy lasted.",
        "From Kenya to Holland by air.",
        "Foamy at the start.",
    ],
)
def test_plants_places_months_and_cultivars_may_be_named(toy, text):
    assert found(gates.no_unknown_names, with_rule(toy, text=text)) == []
