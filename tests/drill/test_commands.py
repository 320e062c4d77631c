"""The commands with piped input, as scripts and people use them."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.drill import commands
from assistant.drill.commands import app
from assistant.drill.items import Bank
from assistant.drill.store import FILE_NAME
from tests.drill.conftest import START


@pytest.fixture(autouse=True)
def quick(bank: Bank, monkeypatch: pytest.MonkeyPatch) -> None:
    """The shared bank and a clock that stands still; a shop's folder is read as ever."""
    build = commands._bank
    monkeypatch.setattr(commands, "_bank", lambda shop: build(shop) if shop else bank)
    monkeypatch.setattr(commands, "now_utc", lambda: START)


def run(*arguments: str, typed: str = "") -> Result:
    return CliRunner().invoke(app, list(arguments), input=typed)


def lines(result: Result) -> list[dict[str, object]]:
    return [json.loads(line) for line in result.stdout.splitlines()]


def test_a_quiz_line_by_line() -> None:
    done = run(
        "--learner",
        "Ann",
        "--set",
        "ethylene, level 1",
        "--count",
        "3",
        "--seed",
        "1",
        "--no-meaning",
        typed="a\ndunno\nb\n",
    )
    assert done.exit_code == 0
    assert done.stdout.count("Answer: ") == 3
    assert "No matter." in done.stdout
    assert "Ask about it: bucketside ask " in done.stdout
    assert "3 questions: " in done.stdout


def test_the_input_may_end_early() -> None:
    done = run("--count", "5", "--no-meaning", "--set", "ethylene", typed="a\n")
    assert done.exit_code == 0
    assert "1 questions: " in done.stdout
    assert run("--count", "5", "--no-meaning", typed="quit\n").stdout.rstrip().endswith("Nothing was asked.")


def test_json_is_an_object_a_line() -> None:
    done = run(
        "--json",
        "--learner",
        "Ann",
        "--set",
        "ethylene, level 1",
        "--count",
        "2",
        "--seed",
        "1",
        "--no-meaning",
        typed="a\nb\n",
    )
    events = lines(done)
    assert [e["event"] for e in events] == ["item", "mark", "item", "mark", "summary"]
    assert events[1]["id"] == events[0]["id"]
    assert set(events[1]) >= {"verdict", "credit", "missing", "answer", "passage", "sources", "basis", "due", "ask"}
    assert events[-1]["asked"] == 2


def test_a_set_that_is_not_there_is_one_sentence() -> None:
    done = run("--set", "quantum physics")
    assert done.exit_code == 1
    assert done.stdout == ""
    assert done.stderr.startswith("The handbook has no set called “quantum physics”")
    assert done.stderr.count("\n") == 1


def test_progress_export_and_forget() -> None:
    assert run("progress").exit_code == 1
    run(
        "--learner",
        "Ann",
        "--set",
        "ethylene, level 1",
        "--count",
        "4",
        "--seed",
        "1",
        "--no-meaning",
        typed="a\na\na\na\n",
    )
    assert "Ann: 4 answers" in run("progress").stdout
    (found,) = lines(run("progress", "--json", "--learner", "ann"))
    assert (found["learner"], found["answers"]) == ("Ann", 4)
    assert run("export").stdout.count("\n") == 5
    assert run("export", "--format", "markdown").stdout.startswith("# Quiz progress on 2026-11-25")
    missing = run("progress", "--learner", "Bob")
    assert (missing.exit_code, missing.stderr) == (1, "There is no learner called “Bob”; the record knows Ann.\n")
    assert run("forget", "ann", typed="no\n").exit_code == 1
    assert run("forget", "ann", typed="yes\n").exit_code == 0
    assert run("progress").stdout == ""


def test_a_sheet_to_a_file(tmp_path: Path) -> None:
    out = tmp_path / "test.html"
    assert run("sheet", "--set", "storage", "--count", "5", "--format", "html", "--out", str(out)).exit_code == 0
    assert out.read_text(encoding="utf-8").startswith("<!doctype html>")
    nowhere = run("sheet", "--count", "5", "--out", str(tmp_path / "no" / "such.md"))
    assert nowhere.exit_code == 1
    assert "can't be written" in nowhere.stderr


def test_a_trainers_list() -> None:
    assert (
        run("list", "monday", "roses", "baby's breath", "recut-every-stem").stdout
        == "monday: rose, gypsophila, recut-every-stem\n"
    )
    assert run("list").stdout == "monday: rose, gypsophila, recut-every-stem\n"
    first = lines(run("--json", "--set", "monday", "--count", "1", "--no-meaning", typed=""))[0]
    assert str(first["id"]).split(":")[1] in ("rose", "gypsophila", "recut-every-stem")
    odd = run("list", "monday", "rozes")
    assert odd.exit_code == 1
    assert "did you mean rose" in odd.stderr
    assert run("list", "monday", "--delete").exit_code == 0
    assert run("list", "monday", "--delete").exit_code == 1


def test_a_shops_own_folder(tmp_path: Path) -> None:
    shop = tmp_path / "reading-room"
    (shop / "materials").mkdir(parents=True)
    text = "id: rose\nvase_life: {low: 18, high: 22, unit: d, basis: practice}\n"
    (shop / "materials" / "rose.yaml").write_text(text, encoding="utf-8")
    events = lines(
        run("--json", "--shop", str(shop), "--set", "our own", "--count", "40", "--no-meaning", typed="dunno\n" * 40)
    )
    asked = [e for e in events if e["event"] == "item"]
    assert {str(e["id"]).split(":")[1] for e in asked} == {"rose"}
    nowhere = run("--shop", str(tmp_path / "none"))
    assert nowhere.exit_code == 1
    assert "was not found" in nowhere.stderr


def test_a_record_that_can_not_be_used_is_one_sentence(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_text("no database, " * 100, encoding="utf-8")
    monkeypatch.setenv("BUCKETSIDE_DATA", str(tmp_path))
    for arguments in ([], ["progress"], ["export"], ["list"], ["forget", "ann", "--yes"]):
        done = run(*arguments)
        assert done.exit_code == 1, arguments
        assert "is damaged or is no quiz record" in done.stderr
        assert "Traceback" not in done.stderr


def test_control_sequences_do_not_reach_the_terminal() -> None:
    done = run(
        "--learner",
        "\x1b[31mEve\x1b[0m",
        "--set",
        "ethylene",
        "--count",
        "1",
        "--no-meaning",
        typed="\x1b]0;owned\x07a\n",
    )
    assert done.exit_code == 0
    assert "\x1b" not in done.stdout
    assert "\x1b" not in run("progress").stdout
