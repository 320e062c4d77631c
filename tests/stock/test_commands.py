"""The commands, as a person or a script runs them."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.handbook.loading import Handbook
from assistant.stock import commands

from .conftest import TODAY


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, handbook: Handbook) -> None:
    really = commands.load
    monkeypatch.setattr(commands, "load", lambda shop: really(shop) if shop else handbook)  # read once for all tests
    monkeypatch.setenv("BUCKETSIDE_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("BUCKETSIDE_SHOP", raising=False)
    monkeypatch.setattr(commands, "today", lambda: TODAY)


def run(*words: str, code: int = 0, text: str | None = None) -> Result:
    result = CliRunner().invoke(commands.app, list(words), input=text)
    assert result.exit_code == code, result.output
    return result


def test_a_lots_whole_life() -> None:
    assert (
        "Lot 1: 30 stems of lisianthus"
        in run("add", "lisianthus", "--stems", "30", "--day", "2d", "--price", "1.2", "--per", "stem").output
    )
    assert "Lot 2" in run("say", "got 4 bunches of stock today").output
    assert "on the bench" in run("move", "1", "bench").output
    run("discard", "lisianthus", "3", "--note", "bent")
    run("use", "1", "20")
    run("sell", "lisianthus", "7")
    listed = json.loads(run("list", "--all", "--json").output)
    assert [(row["lot"], row["left"]) for row in listed] == [(2, 40), (1, 0)]
    assert listed[0]["days_remaining"]["unit"] == "d"
    history = json.loads(run("history", "1", "--json").output)
    assert history["paid"] == 36.0
    assert [use["kind"] for use in history["uses"]] == ["discarded", "used", "sold"]
    assert "3 of 30 stems, 1 lot)" in run("losses").output
    assert "Lot 1 is gone" in run("remove", "1").output
    assert [row["lot"] for row in json.loads(run("first", "--json").output)] == [2]


def test_json_is_asked_of_add_too() -> None:
    row = json.loads(run("add", "rose", "--bunches", "2", "--json").output)
    assert row["material"] == "rose"
    assert row["received"] == TODAY.isoformat()


def test_people_read_lines() -> None:
    assert "nothing in stock" in run("list").output
    assert "no loss to reckon" in run("losses").output
    run("add", "salal", "--stems", "20", "--note", "from the hill")
    text = run("first").output
    assert "20 stems" in text
    assert "use by" in text
    assert "(from the hill)" in text
    assert "20 stems came in: cooler wet" in run("history", "1").output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("add", "lisianthos", "--stems", "3"), "Did you mean lisianthus?"),
        (("add", "ruscus", "--stems", "3"), "name one of them"),
        (("add", "rose"), "How many stems or bunches"),
        (("add", "rose", "--stems", "3", "--temperature", "300"), "between -10 and 45"),
        (("say", "the weather is fine"), "Say what came in"),
        (("say", "got roses"), "How many stems"),
        (("move", "4", "bench"), "There is no lot 4"),
        (("sell", "rose", "4"), "0 stems of rose in stock"),
        (("history", "4"), "There is no lot 4"),
        (("import", "nothing.csv"), "can't be read"),
        (("restore", "nothing.sqlite"), "There is no file"),
        (("list", "--shop", "no-such-folder"), "no such folder"),
    ],
)
def test_trouble_is_one_sentence_and_exit_code_one(words: tuple[str, ...], said: str) -> None:
    result = run(*words, code=1)
    assert said in result.output
    assert "Traceback" not in result.output


@pytest.mark.parametrize(
    "words",
    [
        ("add", "rose", "--stems", "3", "--day", "whenever"),
        ("add", "rose", "--day", "2027-01-01"),
        ("use", "rose", "0"),
        ("nothing",),
    ],
)
def test_wrong_usage_is_exit_code_two(words: tuple[str, ...]) -> None:
    run(*words, code=2)


def test_export_import_backup_restore(tmp_path: Path) -> None:
    run("add", "rose", "--stems", "20")
    run("add", "tulip", "--stems", "10")
    text = run("export").output
    run("export", str(tmp_path / "stock.csv"))
    assert (tmp_path / "stock.csv").read_text(encoding="utf-8") == text
    assert "checked" in run("backup", str(tmp_path / "copy.sqlite")).output
    assert "there already" in run("backup", str(tmp_path / "copy.sqlite"), code=1).output
    run("remove", "1")
    assert "1 lot written; 1 lot here already." in run("import", "-", text=text).output
    run("discard", "tulip", "10")
    assert "before-restore-1" in run("restore", str(tmp_path / "copy.sqlite")).output
    assert [row["left"] for row in json.loads(run("list", "--json").output)] == [10, 20]


def test_an_import_names_file_and_line(tmp_path: Path) -> None:
    path = tmp_path / "bad.csv"
    path.write_text("material,day,stems\nrose,2026-11-20,5\nmoon,2026-11-20,5\n")
    result = run("import", str(path), code=1)
    assert "bad.csv:3" in result.output
    assert json.loads(run("list", "--json").output) == []
    path.write_bytes(b"\xff\xfe")
    assert "not UTF-8" in run("import", str(path), code=1).output


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("today", TODAY),
        ("Yesterday", date(2026, 11, 24)),
        ("3d", date(2026, 11, 22)),
        ("2026-11-01", date(2026, 11, 1)),
    ],
)
def test_days_as_options_say_them(said: str, day: date) -> None:
    assert commands.day_of(said) == day


def test_nothing_of_the_terminal_leaks_from_a_note() -> None:
    run("add", "rose", "--stems", "3", "--note", "\x1b]0;owned\x07fine\x1b[31m")
    assert "\x1b" not in run("list").output
    assert "fine" in run("list").output
