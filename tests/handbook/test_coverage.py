"""The coverage table counts what is there, and the committed copy is current."""

from collections import Counter
from pathlib import Path

import pytest

from assistant.handbook.coverage import KINDS, acted_on, cited_records, coverage_table, published_share
from assistant.handbook.loading import load_handbook
from tests.handbook import toys

COMMITTED = Path(__file__).resolve().parents[2] / "knowledge" / "COVERAGE.md"


@pytest.fixture
def toy(tmp_path):
    return load_handbook(toys.handbook_folder(tmp_path))


FIELDS, NUMBERS = "## Fields by kind", "## Numbers people act on"


def row(table, heading, name):
    """The cells of one row of the table below a heading."""
    below = table.split(heading, 1)[1].split("\n## ", 1)[0]
    cells = [[cell.strip() for cell in line.strip("|").split("|")] for line in below.splitlines() if line[:1] == "|"]
    return next(line for line in cells if line[0] == name)


def test_the_committed_table_is_current(handbook):
    said = "run: bucketside check --coverage > knowledge/COVERAGE.md"
    assert COMMITTED.read_text(encoding="utf-8") == coverage_table(handbook) + "\n", said


def test_fields_are_counted_by_kind(toy):
    table = coverage_table(toy)
    flower, dried = 1 + KINDS.index("flower"), 1 + KINDS.index("dried")
    assert row(table, FIELDS, "field")[flower] == "flower (2)"
    assert row(table, FIELDS, "vase life")[flower] == "100 / 50"
    assert row(table, FIELDS, "storage")[flower] == "50 / 100"
    assert row(table, FIELDS, "keeping: shelf life")[dried] == "100 / 0"
    assert row(table, FIELDS, "vase life")[dried] == "–"
    assert row(table, FIELDS, "field")[1 + KINDS.index("berry")] == "berry (0)"
    assert row(table, FIELDS, "summary")[1 + KINDS.index("berry")] == "–"


def test_acted_on_numbers_are_counted_by_basis(toy):
    table = coverage_table(toy)
    assert row(table, NUMBERS, "number") == ["number", "records", "published", "memory", "practice"]
    assert row(table, NUMBERS, "storage temperature") == ["storage temperature", "1", "100 %", "0 %", "0 %"]
    assert row(table, NUMBERS, "vase life") == ["vase life", "2", "50 %", "0 %", "50 %"]
    assert row(table, NUMBERS, "total") == ["total", "5", "60 %", "0 %", "40 %"]
    counts = acted_on(toy.materials.values())
    assert counts["vase life"] == Counter(published=1, practice=1)
    assert counts["hazards: cats"] == Counter()
    assert published_share(counts.values()) == pytest.approx(3 / 5)
    assert published_share([]) == 0.0


def test_every_record_at_any_depth_is_found(toy):
    wheat = toy.materials["dried-wheat"]
    assert {type(record).__name__ for record in cited_records(wheat)} == {"Statement", "Months"}


def test_the_rows_of_a_table_are_of_one_width(toy):
    for block in coverage_table(toy).split("\n\n"):
        lines = block.strip("\n").splitlines()
        if lines[0].startswith("|"):
            assert len({len(line) for line in lines}) == 1
