"""What the trade takes for granted about how long things last. Common practice, no source: check values only."""

import pytest


def life(handbook, key):
    return handbook.materials[key].vase_life.span


def test_large_leaved_ruscus_lasts_two_to_three_weeks_while_it_does_not_dry_out(handbook):
    low, high = life(handbook, "large-leaved-ruscus")
    assert low <= 14
    assert 21 <= high <= 28
    assert "do not dry out" in handbook.materials["large-leaved-ruscus"].vase_life.at


@pytest.mark.parametrize("key", ["spray-rose", "garden-rose"])
def test_roses_from_a_good_grower_can_pass_a_week(handbook, key):
    assert life(handbook, key)[1] >= 7


@pytest.mark.parametrize("key", ["standard-chrysanthemum", "spray-chrysanthemum", "santini-chrysanthemum", "hypericum"])
def test_long_lasters_pass_ten_days(handbook, key):
    assert life(handbook, key)[1] >= 10


def test_chrysanthemums_outlast_roses_and_tulips(handbook):
    for short in ("tulip", "sweet-pea", "iris", "peony"):
        assert life(handbook, "spray-chrysanthemum")[1] > life(handbook, short)[1]


@pytest.mark.parametrize("kind", ["preserved", "dried"])
def test_dried_and_preserved_material_is_reused(handbook, kind):
    listed = [m for m in handbook.materials.values() if m.kind == kind]
    assert listed
    assert all(m.keeping.shelf_life.span[1] >= 6 for m in listed)
    assert [m.id for m in listed if m.keeping.reuse is None] == []


@pytest.mark.parametrize("key", ["preserved-eucalyptus", "preserved-ruscus", "pampas-grass"])
def test_preserved_foliage_and_plumes_are_used_many_times(handbook, key):
    assert "many times" in handbook.materials[key].keeping.reuse.text


def test_a_base_of_long_lasting_greens_stays_two_weeks_and_only_the_flowers_are_freshened(handbook):
    rule = handbook.rules["base-of-greens-two-weeks"]
    assert rule.basis == "practice"
    assert "change only the flowers" in rule.text
    assert [number.span for number in rule.numbers if number.name == "life of the base"] == [(14, 14)]
    lasting = [m for m in handbook.materials.values() if m.kind == "foliage" and m.vase_life.span[1] >= 14]
    assert len(lasting) >= 20


def test_foliage_mostly_outlasts_flowers(handbook):
    def middle(kind):
        mids = sorted(m.vase_life.mid for m in handbook.materials.values() if m.kind == kind)
        return mids[len(mids) // 2]

    assert middle("foliage") > middle("flower")
