"""A job from a file or from pasted text."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import Any

import pytest

from assistant.handbook.loading import Handbook, HandbookError
from assistant.language.parsing import Parser
from assistant.sheets.job import Job, Line
from assistant.sheets.recipe import changed, changes_in, from_text, from_yaml, read_job

from .conftest import TODAY, small

ISSUE = (
    "14 lisianthus, 9 spray carnations, 2 bunches of salal, 1 bunch of bunny tails; sixteen days at 22 °C, "
    "counter 180 cm; install Monday 7 December"
)
YAML = """
job: small-job
title: Small job
install: 2026-12-07
display_days: 5
recipe:
  - {material: rose, stems: 12}
  - {material: %s, bunches: 1}
"""


def problems(text: str, handbook: Handbook) -> list[tuple[int, str, str]]:
    with pytest.raises(HandbookError) as caught:
        from_yaml(text, handbook, file="x.yaml")
    return [(p.line, p.field, p.message) for p in caught.value.problems]


def test_the_issues_own_sentence_becomes_its_job(parser: Parser) -> None:
    read = from_text(ISSUE, parser, lambda: TODAY)
    assert read.question is None
    assert read.job is not None
    assert read.job.recipe == (
        Line(material="lisianthus", stems=14), Line(material="spray-carnation", stems=9),
        Line(material="salal", bunches=2), Line(material="bunny-tail", bunches=1),
    )  # fmt: skip
    assert (read.job.display_days, read.job.degC, read.job.install) == (16, (22.0, 22.0), date(2026, 12, 7))


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("sixteen days at 22 °C; install Monday 7 December", "Which materials go in"),
        ("14 lisianthus; install Monday 7 December", "How many days"),
        ("14 lisianthus, ten days", "Which day does it go up?"),
        ("lisianthus and salal, ten days, install 7 December", "How many stems of lisianthus"),
    ],
)
def test_one_question_for_what_is_missing(text: str, question: str, parser: Parser) -> None:
    read = from_text(text, parser, lambda: TODAY)
    assert read.job is None
    assert read.question is not None
    assert question in read.question


def test_what_is_known_already_is_not_asked_again(parser: Parser) -> None:
    read = from_text("14 lisianthus", parser, lambda: TODAY, changes={"install": date(2026, 12, 7), "display_days": 6})
    assert read.job is not None
    assert read.job.display_days == 6


def test_sizes_stand_in_for_counts(parser: Parser) -> None:
    read = from_text(
        "lisianthus and salal for a counter 180 cm long, ten days, install 7 December", parser, lambda: TODAY
    )
    assert read.job is not None
    assert read.job.piece is not None
    assert (read.job.piece.shape, read.job.piece.length_cm) == ("oblong", 180.0)
    assert any("Read as a long piece" in note for note in read.notes)


def test_how_names_were_taken_is_said(parser: Parser) -> None:
    read = from_text("14 lisianthos and 10 ruscus, ten days, install 7 December", parser, lambda: TODAY)
    assert read.job is not None
    assert [line.material for line in read.job.recipe] == ["lisianthus", "large-leaved-ruscus"]
    assert len(read.notes) == 2


def test_names_and_ids_both_work_in_a_file(handbook: Handbook) -> None:
    job = from_yaml(YAML % "bunny tails", handbook)
    assert [line.material for line in job.recipe] == ["rose", "bunny-tail"]


def test_every_problem_names_its_line(handbook: Handbook) -> None:
    assert problems(YAML % "ruscus", handbook) == [
        (
            8,
            "recipe[1].material",
            "'ruscus' can mean large-leaved-ruscus, italian-ruscus, butchers-broom; name one of them",
        )
    ]
    ((line, _, message),) = problems(YAML % "lisianthos", handbook)
    assert line == 8
    assert "did you mean lisianthus?" in message
    text = (YAML % "salal").replace("display_days: 5", "display_days: 0\nplase: hall\nplace: moon\ndegC: [30, 10]")
    found = problems(text, handbook)
    assert {(line, field) for line, field, _ in found} >= {(5, "display_days"), (6, "plase")}


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("install: 2026-12-07", "install: 7 Dec", 4, "2026-12-07"),
        ("stems: 12", "stems: 12, bunches: 2", 7, "not both"),
        ("stems: 12", "stems: 0", 7, "1"),
        ("stems: 12", "note: some", 1, "needs a piece:"),
        ("job: small-job", "job: small-job\nplace: moon", 3, "tables/places.yaml"),
        ("job: small-job", "job: small-job\nvessels: [{vessel: moon}]", 3, "tables/vessels.yaml"),
        ("job: small-job", "job: small-job\nvessels: [{count: 2}]", 3, "name a vessel"),
        ("job: small-job", "job: small-job\ndegC: [9, 99]", 1, "between -10 and 45"),
        ("title: Small job", 'title: "a\\u202eb"', 3, "control or invisible"),
    ],
)
def test_wrong_fields(old: str, new: str, line: int, words: str, handbook: Handbook) -> None:
    found = problems((YAML % "salal").lstrip("\n").replace(old, new), handbook)
    assert any(words in message for _, _, message in found), found
    assert any(abs(where - line) <= 1 for where, _, message in found if words in message), found


def test_files_of_all_sorts(tmp_path: Path, handbook: Handbook) -> None:
    path = tmp_path / "window box.csv"
    path.write_text("material,stems,bunches,note\nrose,12,,\nsalal,,2,short\n", encoding="utf-8")
    changes: dict[str, Any] = {"install": date(2026, 12, 7), "display_days": 5}
    job = read_job(path, handbook, changes)
    assert job.job == "window-box"
    assert job.recipe == (Line(material="rose", stems=12), Line(material="salal", bunches=2, note="short"))
    for content, words in (
        ("material,stems\nmoon,12\n", ":2:1"),
        ("material,stems\nrose,twelve\n", ":2:1"),
        ("flower\nrose\n", "not a column"),
        ("material,stems\nrose,1,2\n", ":2:1"),
        ("", "no column"),
    ):
        path.write_text(content)
        with pytest.raises(HandbookError) as caught:
            read_job(path, handbook, changes)
        assert words in str(caught.value.problems[0]), caught.value.problems
    path.write_text("material,stems\nrose,12\n")
    with pytest.raises(HandbookError) as caught:
        read_job(path, handbook)
    assert "--install and --days" in str(caught.value.problems[0])


@pytest.mark.parametrize(
    ("name", "content", "words"),
    [("x.txt", b"", "ends in .yaml or .csv"), ("x.yaml", b"\xff\xfe", "UTF-8"), ("x.yaml", b"", "empty"),
     ("x.yaml", b"- a\n- b\n", "block of fields"), ("x.yaml", b"a: &x 1\nb: *x\n", "anchors"),
     ("x.yaml", b"{", "not valid YAML"),
     ("x.yaml", b"#" * 1_100_000, "too large")],
)  # fmt: skip
def test_files_that_are_no_jobs(name: str, content: bytes, words: str, tmp_path: Path, handbook: Handbook) -> None:
    (tmp_path / name).write_bytes(content)
    with pytest.raises(HandbookError) as caught:
        read_job(tmp_path / name, handbook)
    assert words in str(caught.value.problems[0])
    with pytest.raises(HandbookError, match="1 problem"):
        read_job(tmp_path / "missing.yaml", handbook)


def test_a_revised_job_is_checked_again() -> None:
    job = small()
    assert job.revised(display_days=9).display_days == 9
    assert isinstance(job.revised(degC=25.0), Job)
    with pytest.raises(ValueError, match="display_days"):
        job.revised(display_days=-1)


@pytest.mark.parametrize(
    ("text", "changes"),
    [
        ("make it 27 degrees", {"degC": [27.0, 27.0]}),
        ("for three weeks", {"display_days": 21}),
        ("three pieces at 60 % humidity", {"pieces": 3, "humidity": [60.0, 60.0]}),
        ("thanks", {}),
    ],
)
def test_a_sentence_changes_a_job(text: str, changes: dict[str, Any], parser: Parser, handbook: Handbook) -> None:
    found = changes_in(text, parser, lambda: TODAY)
    assert found == changes
    job = changed(small(), handbook, found)
    for name, value in changes.items():
        assert getattr(job, name) == (tuple(value) if isinstance(value, list) else value)


def test_a_change_that_cannot_be_is_said(handbook: Handbook) -> None:
    with pytest.raises(HandbookError) as caught:
        changed(small(), handbook, {"place": "moon"})
    assert "tables/places.yaml" in caught.value.problems[0].message
    with pytest.raises(HandbookError):
        changed(small(), handbook, {"display_days": 0})
