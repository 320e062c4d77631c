"""The handbook against what was published: every row overlaps, or somebody has said why not."""

import csv
from collections import Counter

import pytest

from assistant.handbook.coverage import acted_on, published_share
from assistant.handbook.models import Hazard
from tests.published import agreement as a


@pytest.fixture(scope="module")
def found(handbook):
    return a.comparisons(handbook)


# --- the rows -----------------------------------------------------------------------------------------------------


def test_every_row_has_a_known_name_attribute_and_source(handbook):
    names = a.names()
    for row in a.rows():
        assert row.name in names, row
        assert names[row.name], row
        assert row.attribute in a.ATTRIBUTES, row
        assert row.source in handbook.sources, row
        assert (row.low is not None or row.high is not None) != bool(row.value), row


def test_every_name_leads_to_materials_or_says_why_not(handbook):
    with (a.DATA / "reference_names.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            ids = row["materials"].split()
            assert set(ids) <= handbook.materials.keys(), row
            assert bool(ids) != bool(row["why_not"]), row


def test_no_row_stands_twice():
    counts = Counter(a.rows())
    assert [row for row, count in counts.items() if count > 1] == []


def test_there_are_enough_rows_of_each_sort_to_mean_something(found):
    counts = Counter(c.row.attribute for c in found)
    assert {name: counts[name] for name in a.ATTRIBUTES if counts[name] < 15} == {}


def test_rows_and_handbook_do_not_name_the_same_source_twice_over(handbook):
    """Two ids of one publication would make one figure look like two."""
    seen = {}
    for source in handbook.sources.values():
        key = (source.title.casefold(), source.year, source.authors)
        assert key not in seen, (source.id, seen[key])
        seen[key] = source.id


# --- agreement ----------------------------------------------------------------------------------------------------


def test_nearly_all_rows_agree(found):
    verdicts = Counter(a.by_row(found).values())
    assert verdicts["agrees"] / verdicts.total() >= a.BAR


@pytest.mark.parametrize(
    ("attribute", "least"),
    [
        ("storage_temp", 0.95), ("storage_life", 0.85), ("vase_life", 0.85), (a.AFTER_STORAGE, 0.75),
        ("ethylene_sensitivity", 0.95), ("toxic_to_cats", 0.95), ("toxic_to_dogs", 0.95), ("toxic_to_humans", 0.95),
    ],
)  # fmt: skip
def test_no_sort_of_row_falls_behind(found, attribute, least):
    """Lives and stays in the cooler are trial figures of single cultivars: there the notes carry more of the load."""
    verdicts = Counter(v for row, v in a.by_row(found).items() if row.attribute == attribute)
    assert verdicts["agrees"] / verdicts.total() >= least


def test_what_is_left_is_exactly_the_reviewed_list(found):
    """A comparison that is left must be reviewed, and a reviewed one that agrees by now must leave the list."""
    left = {c.key for c in a.left_over(found)}
    reviewed = a.explained()
    assert left - reviewed.keys() == set(), "differ and are not reviewed"
    assert reviewed.keys() - left == set(), "agree now: take them off the list"
    assert all(len(reason.split()) >= 5 for reason in reviewed.values())


def test_the_reviewed_list_only_shrinks():
    assert len(a.explained()) <= 4


def test_no_hazard_is_below_its_list(found):
    """A life may differ with a note; a warning may not be weaker than a list that was read."""
    hazards = [c for c in found if c.row.attribute.startswith("toxic")]
    assert [c.key for c in hazards if c.verdict in ("differs", "absent")] == []


def test_the_committed_report_is_current(handbook):
    said = "run: python -m tests.published.agreement"
    assert a.REPORT.read_text(encoding="utf-8") == a.report(handbook), said


# --- the comparison itself ----------------------------------------------------------------------------------------


def row(attribute, low=None, high=None, value="", source="book"):
    return a.Row("tulip", attribute, low, high, value, "", source)


@pytest.mark.parametrize(
    ("one", "other", "meet"),
    [
        ((0, 2), (2, 4), True), ((0, 2), (2.4, 4), False), ((0, None), (9, 9), True), ((None, 3), (4, 5), False),
        ((None, None), (1, 1), True), ((5, 5), (1, 9), True),
    ],
)  # fmt: skip
def test_overlap(one, other, meet):
    assert a.overlaps(one, other) is meet
    assert a.overlaps(other, one) is meet


def test_overlap_within_a_tolerance():
    assert a.overlaps((0, 2), (2.4, 4), 0.5)
    assert not a.overlaps((0, 2), (2.6, 4), 0.5)


def tulip(handbook, **fields):
    data = handbook.materials["tulip"].model_dump(exclude_unset=True)
    return type(handbook.materials["tulip"]).model_validate(data | fields)


LIFE = {"low": 4, "high": 7, "unit": "d", "basis": "practice"}


@pytest.mark.parametrize(
    ("life", "verdict"),
    [
        (LIFE, "differs"),
        (LIFE | {"high": 12}, "agrees"),
        (LIFE | {"note": "one study found 11 to 13 days"}, "explained in the entry"),
        (LIFE | {"note": "one study found 11 days"}, "differs"),
        (LIFE | {"basis": "published", "source": ["book"]}, "differs"),
        (LIFE | {"basis": "published", "source": ["book"], "note": "a warm room"}, "explained in the entry"),
        (None, "absent"),
    ],
)
def test_a_difference_is_explained_by_its_source_or_its_figures(handbook, life, verdict):
    entry = tulip(handbook, vase_life=life, notes=[])
    assert a.compare(row("vase_life", 11, 13), entry).verdict == verdict


@pytest.mark.parametrize(
    ("level", "sources", "listed", "verdict"),
    [
        ("moderate", ["book"], "moderate", "agrees"),
        ("severe", ["book", "other"], "moderate", "agrees"),
        ("severe", ["other"], "moderate", "explained in the entry"),
        ("mild", ["book", "other"], "moderate", "differs"),
        ("none", ["book"], "mild", "differs"),
        ("listed", ["book"], "mild", "agrees"),
        ("listed", ["book"], "severe", "differs"),
        ("unknown", ["book"], "none", "differs"),
    ],
)
def test_a_weaker_warning_never_agrees(handbook, level, sources, listed, verdict):
    hazard = Hazard(level=level, says="as the list says", source=tuple(sources), basis="published")
    entry = tulip(handbook, hazards={"cats": hazard.model_dump()})
    assert a.compare(row("toxic_to_cats", value=listed), entry).verdict == verdict


def test_a_row_of_several_entries_counts_once_with_its_worst():
    shared = row("vase_life", 1, 2)
    some = [a.Comparison(shared, m, v, "") for m, v in (("x", "agrees"), ("y", "differs"), ("z", "agrees"))]
    assert a.by_row(some) == {shared: "differs"}


# --- the bars -----------------------------------------------------------------------------------------------------


def test_the_handbook_is_broad_enough(handbook):
    kinds = Counter(m.kind for m in handbook.materials.values())
    assert len(handbook.materials) >= 200
    assert kinds["foliage"] >= 55
    assert kinds["berry"] + kinds["branch"] >= 20
    assert kinds["dried"] + kinds["preserved"] >= 30
    seed_heads = [m for m in handbook.materials.values() if m.kind == "grass" or m.part in ("seed-head", "pod")]
    assert len(seed_heads) >= 12
    assert len(handbook.rules) >= 250


def test_most_numbers_people_act_on_were_seen_in_a_source(handbook):
    counts = acted_on(handbook.materials.values())
    assert published_share(counts.values()) >= 0.60
    # The food rule is the same few sources in every entry; the bar must hold without that help.
    assert published_share(count for name, count in counts.items() if name != "hazards: food") >= 0.60
