import dataclasses
import math

import pytest

from assistant.calculators.ranges import OutOfRange
from assistant.calculators.substitutes import Need, Profile, Weights, find_substitutes, why_not

PEONY = Profile(
    "peony", "peony", "flower", frozenset({"mass", "form"}), part="flower", colours=("#f48fa0", "#f3d3d0"),
    bloom_cm=(10, 14), stem_cm=(40, 60), life_d=(5, 7), months=frozenset({5, 6}),
    listed={"garden-rose": "full and scented"},
)  # fmt: skip
GARDEN_ROSE = Profile(
    "garden-rose", "garden rose", "flower", frozenset({"mass", "form"}), part="flower", colours=("#f3d3d0", "#f48fa0"),
    bloom_cm=(8, 11), stem_cm=(40, 60), life_d=(5, 8), months=frozenset(range(1, 13)), stems_per_bunch=12,
    hazards={"cats": "none", "dogs": "none", "people": "none", "skin": "mechanical"}, ethylene="medium",
)  # fmt: skip
RANUNCULUS = Profile(
    "ranunculus", "ranunculus", "flower", frozenset({"mass"}), part="flower", colours=("#f48fa0",), bloom_cm=(5, 7),
    stem_cm=(30, 45), life_d=(5, 7), months=frozenset({1, 2, 3, 4}), stems_per_bunch=10,
    hazards={"people": "moderate", "cats": "moderate", "dogs": "moderate", "skin": "irritant"}, ethylene="low",
)  # fmt: skip
CARNATION = Profile(
    "carnation", "carnation", "flower", frozenset({"mass"}), part="flower", colours=("#f48fa0", "#bf1e3a"),
    bloom_cm=(6, 8), stem_cm=(55, 70), life_d=(14, 21), months=None, stems_per_bunch=(20, 25),
    hazards={"cats": "mild", "dogs": "mild"}, ethylene="high",
)  # fmt: skip
SALAL = Profile("salal", "salal", "foliage", frozenset({"foliage"}), colours=("#3b7a3b",))
DRIED = dataclasses.replace(CARNATION, id="dried-carnation", kind="dried", state="dry")
POOL = [PEONY, GARDEN_ROSE, RANUNCULUS, CARNATION, SALAL, DRIED]


def ids(need, **kw):
    return [c.id for c in find_substitutes(PEONY, POOL, need, **kw).candidates]


def test_the_named_and_likest_comes_first():
    search = find_substitutes(PEONY, POOL, Need(), stems=12)
    assert search.candidates[0].id == "garden-rose"
    best = search.candidates[0]
    assert best.listed
    assert any("named in the handbook: full and scented" in why for why in best.why)
    assert all(a.score >= b.score for a, b in zip(search.candidates, search.candidates[1:], strict=False))
    assert all(0 <= c.score <= 1 for c in search.candidates)


def test_hard_limits():
    excluded = dict(find_substitutes(PEONY, POOL, Need()).excluded)
    assert excluded == {"salal": "does not serve as form or mass", "dried-carnation": "is dry, not fresh"}
    assert "ranunculus" not in ids(Need(month=11))
    assert "garden-rose" in ids(Need(month=11))
    assert ids(Need(life_d=10)) == ["carnation"]
    assert "carnation" not in ids(Need(ethylene_in_air=True))
    assert "garden-rose" not in ids(Need(avoid=frozenset({"garden-rose"})))
    assert ids(Need(state="dry")) == ["dried-carnation"]
    assert ids(Need(role="form")) == ["garden-rose"]


@pytest.mark.parametrize(
    ("audience", "left"),
    [
        ({"poison-cats"}, {"garden-rose"}), ({"poison-dogs"}, {"garden-rose"}),
        ({"children"}, {"garden-rose", "carnation"}), ({"skin"}, {"garden-rose", "carnation"}),
        ({"thorns"}, {"ranunculus", "carnation"}), ({"food"}, {"garden-rose", "carnation"}),
    ],
)  # fmt: skip
def test_hazards_for_the_place(audience, left):
    assert set(ids(Need(audience=frozenset(audience)))) == left


def test_pollen_and_food_rules():
    lily = dataclasses.replace(GARDEN_ROSE, id="lily", heavy_pollen=True)
    assert why_not(lily, PEONY, Need(audience=frozenset({"hospital"}))) == "sheds pollen"
    never = dataclasses.replace(GARDEN_ROSE, id="never", hazards={"food": "never"})
    assert why_not(never, PEONY, Need(audience=frozenset({"food"}))) == "must not touch food"


def test_unknown_is_let_through_and_said():
    search = find_substitutes(PEONY, POOL, Need(month=11, audience=frozenset({"children"})))
    carnation = next(c for c in search.candidates if c.id == "carnation")
    assert any("no proof of safety" in why for why in carnation.why)
    assert any("season not on record" in why for why in carnation.why)
    mild = dataclasses.replace(GARDEN_ROSE, id="mild", hazards={"people": "mild"})
    why = find_substitutes(PEONY, [mild], Need(audience=frozenset({"children"}))).candidates[0].why
    assert any("mildly harmful" in w for w in why)


def test_stems_for_the_same_visual_weight_and_bunches():
    by = {c.id: c for c in find_substitutes(PEONY, POOL, Need(), stems=12, loss_rate=0.0).candidates}
    # areas: 12 cm against 9.5, 6 and 7 cm across
    assert by["garden-rose"].stems == math.ceil(12 * (12 / 9.5) ** 2)
    assert by["carnation"].stems == math.ceil(12 * (12 / 7) ** 2)
    assert by["ranunculus"].stems == 48
    assert by["garden-rose"].bunches == 2
    assert by["carnation"].bunches == 2


def test_unknown_size_is_stem_for_stem_and_without_a_pack_no_bunches():
    plain = Profile("plain", "plain", "flower", frozenset({"mass"}))
    found = find_substitutes(PEONY, [plain], Need(), stems=7).candidates[0]
    assert found.stems == 7
    assert found.bunches is None
    assert any("stem for stem" in why for why in found.why)


def test_colour_asked_for_overrides_the_wanted_ones():
    red = find_substitutes(PEONY, POOL, Need(colours=("#bf1e3a",))).candidates
    carnation = next(c for c in red if c.id == "carnation")
    assert carnation.delta_e == 0
    assert "comes in the same colour" in carnation.why


def test_knowing_nothing_scores_less_than_being_alike():
    bare = Profile("bare", "bare", "flower", frozenset({"mass", "form"}), part="flower")
    twin = dataclasses.replace(PEONY, id="twin")
    found = {c.id: c.score for c in find_substitutes(PEONY, [bare, twin], Need()).candidates}
    assert found["twin"] == pytest.approx(1.0)
    assert found["bare"] < 0.7


def test_lines_are_compared_by_length():
    delphinium = Profile("delphinium", "delphinium", "flower", frozenset({"line"}), stem_cm=100)
    stock = Profile("stock", "stock", "flower", frozenset({"line"}), stem_cm=50)
    assert find_substitutes(delphinium, [stock], Need(), stems=10).candidates[0].stems == 20


def test_limit_and_refusals():
    assert len(ids(Need(), limit=1)) == 1
    for kw in ({"stems": -1}, {"limit": 0}):
        with pytest.raises(OutOfRange):
            find_substitutes(PEONY, POOL, Need(), **kw)
    with pytest.raises(OutOfRange):
        find_substitutes(PEONY, POOL, Need(month=13))
    with pytest.raises(OutOfRange, match="weights"):
        find_substitutes(PEONY, POOL, Need(), weights=Weights(0, 0, 0, 0, 0, 0))
