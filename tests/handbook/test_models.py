"""What an entry may say, and whether the refusal says what would be right."""

import pytest
from pydantic import ValidationError

from assistant.handbook import models as m

P = {"basis": "practice"}
CONSTANT = {"id": "x1", "title": "x", "low": 1, "high": 4, "unit": "d", **P}
VESSEL = {"id": "v1", "title": "v", "height_cm": 3, **P}
MATERIAL = {
    "id": "tulip", "name": "tulip", "botanical": "Tulipa", "kind": "flower", "roles": ["mass"],
    "summary": "A spring flower.",
}  # fmt: skip
DRIED = MATERIAL | {
    "kind": "dried", "part": "flower",
    "keeping": {"shelf_life": {"low": 12, "high": 24, "unit": "months", **P}},
}  # fmt: skip


def refusal(model, data):
    with pytest.raises(ValidationError) as caught:
        model.model_validate(data)
    return "\n".join(item["msg"] for item in caught.value.errors())


@pytest.mark.parametrize(
    ("model", "data", "advice"),
    [
        (m.Measure, {"low": 1, "unit": "d", "basis": "published"}, "name one or use 'memory' or 'practice'"),
        (m.Measure, {"low": 1, "unit": "d", "basis": "practice", "source": "book"}, "drop the source or use"),
        (m.Measure, {"low": 7, "high": 4, "unit": "d", **P}, "write the smaller number first"),
        (m.Measure, {"unit": "d", **P}, "needs at least one of its two numbers"),
        (m.Statement, "Lasts 7 days.", "write {text: …, source: …, basis: …}"),
        (m.Pack, {"market": "EU", **P}, "write [low, high] for one of them"),
        (m.Pack, {"market": "EU", "stems": [10, 10], "grams": [200, 200], **P}, "either in stems or in grams"),
        (m.Pack, {"market": "EU", "stems": [0, 10], **P}, "more than nothing"),
        (m.Pack, {"market": "EU", "stems": [20, 10], **P}, "write the smaller number first"),
        (m.Storage, {"method": "dry", **P}, "needs degC: [low, high] or days: [low, high]"),
        (m.Storage, {"method": "dry", "degC": [2, 0], **P}, "write the smaller number first"),
        (m.Storage, {"method": "dry", "days": [None, None], **P}, "days needs at least one"),
        (m.Material, DRIED | {"vase_life": {"low": 4, "unit": "d", **P}}, "remove vase_life and use keeping"),
        (m.Material, {k: v for k, v in DRIED.items() if k != "keeping"}, "needs keeping: with its shelf_life"),
        (m.Material, {k: v for k, v in DRIED.items() if k != "part"}, "needs part:"),
        (m.Material, MATERIAL | {"keeping": DRIED["keeping"]}, "fresh material has vase_life"),
        (m.Constant, CONSTANT | {"value": 5}, "lies outside 1 to 4"),
        (m.Vessel, VESSEL | {"shape": "box", "length_cm": 2}, "a box needs width_cm"),
        (m.Vessel, VESSEL | {"shape": "ring"}, "needs outer_cm, inner_cm"),
        (m.Name, {"name": "x\u200by"}, "control or invisible characters"),
        (m.Name, {"name": "x\x1b[31m"}, "control or invisible characters"),
        (m.Name, {"name": "x\u202ey"}, "control or invisible characters"),
    ],
)  # fmt: skip
def test_each_refusal_says_what_would_be_right(model, data, advice):
    assert advice in refusal(model, data)


@pytest.mark.parametrize(
    ("model", "data"),
    [
        (m.Measure, {"low": "7", "unit": "d", **P}),
        (m.Measure, {"low": True, "unit": "d", **P}),
        (m.Measure, {"low": float("inf"), "unit": "d", **P}),
        (m.Measure, {"low": float("nan"), "unit": "d", **P}),
        (m.Days, {"low": -1, "unit": "d", **P}),
        (m.Days, {"low": 1, "unit": "h", **P}),
        (m.Centimetres, {"low": 0, "unit": "cm", **P}),
        (m.VaseLife, {"low": 5, "unit": "d", "degC": 80, **P}),
        (m.Season, {"months": [0], **P}),
        (m.Season, {"months": [13], **P}),
        (m.Season, {"months": [1.5], **P}),
        (m.Colour, {"id": "red", "srgb": "#C81E3A", **P}),
        (m.Material, MATERIAL | {"id": "Tulip"}),
        (m.Material, MATERIAL | {"roles": []}),
        (m.Material, MATERIAL | {"kind": "weed"}),
        (m.Material, MATERIAL | {"vaselife": 4}),
        (m.Material, MATERIAL | {"name": 7}),
        (m.Material, MATERIAL | {"name": ""}),
        (m.SharedName, {"name": "lily", "meanings": ["asiatic-lily"]}),
        (m.Source, {"id": "Book 1990", "title": "x"}),
    ],
)
def test_what_is_not_of_the_form_is_refused(model, data):
    assert refusal(model, data)


def test_a_single_value_stands_for_a_list_of_one():
    said = m.Material.model_validate(MATERIAL | {"roles": "mass", "ends_by": "Petals fall."})
    assert said.roles == ("mass",)
    assert said.ends_by[0].basis == "practice"


def test_whole_numbers_are_numbers_and_open_ends_take_the_other():
    days = m.Days.model_validate({"low": 7, "unit": "d", **P})
    assert days.span == (7.0, 7.0)
    assert m.Days.model_validate({"low": 4, "high": 7, "unit": "d", **P}).mid == 5.5


def test_entries_cannot_be_changed_after_loading():
    name = m.Name.model_validate("windflower")
    with pytest.raises(ValidationError):
        name.name = "other"


def test_text_is_trimmed_and_set_in_one_line():
    assert m.Name.model_validate({"name": "  queen anne's\n  lace "}).name == "queen anne's lace"


def test_a_season_covers_its_months():
    spring = m.Season.model_validate({"months": [3, 4], **P})
    assert spring.covers(3)
    assert not spring.covers(5)
    assert m.Season.model_validate({"months": "all", **P}).covers(12)


def test_bare_ids_are_meanings():
    shared = m.SharedName.model_validate({"name": "lily", "meanings": ["calla", {"id": "la-lily", "market": "EU"}]})
    assert [(x.id, x.market) for x in shared.meanings] == [("calla", "any"), ("la-lily", "EU")]
