from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

ASK = [sys.executable, "-m", "assistant.cli"]


def run(*arguments: str, given: str | bytes | None = None) -> subprocess.CompletedProcess[str]:
    data = given.encode() if isinstance(given, str) else given
    done = subprocess.run([*ASK, *arguments], input=data, capture_output=True, timeout=120, check=False)
    return subprocess.CompletedProcess(done.args, done.returncode, done.stdout.decode(), done.stderr.decode())


def test_ask_prints_for_a_person() -> None:
    done = run("ask", "how long do carnations last at 24 degrees")
    assert done.returncode == 0
    assert done.stdout.startswith("Carnations: about")
    assert "\x1b" not in done.stdout


def test_ask_json_reads_turns_and_an_empty_line_starts_afresh() -> None:
    done = run("ask", "--json", "-", given="carnations at 24\nand at 28?\n\nand at 28?\n")
    rows = [json.loads(line) for line in done.stdout.splitlines()]
    assert [row["outcome"] for row in rows][:2] == ["answered", "answered"]
    assert rows[1]["figures"][0]["value"] < rows[0]["figures"][0]["value"]
    assert rows[2]["figures"] == []


def test_bytes_that_are_no_text_do_no_harm() -> None:
    done = run("ask", "--json", "-", given=b"roses \xff\xfe at 20\n\x1b[2J\n")
    assert done.returncode == 0
    assert len(done.stdout.splitlines()) == 2
    assert "\x1b" not in done.stdout


@pytest.mark.parametrize("arguments", [["ask"], ["ask", "--market", "MOON", "roses"], ["nonsense"], ["ask", "--nope"]])
def test_a_wrong_command_line_is_exit_2_and_no_traceback(arguments: list[str]) -> None:
    done = run(*arguments)
    assert done.returncode == 2
    assert "Traceback" not in done.stderr
    assert done.stderr.strip()


def test_check_is_content_with_the_packaged_handbook() -> None:
    done = run("check")
    assert (done.returncode, done.stderr) == (0, "")
    assert "is in order" in done.stdout


def test_check_names_file_line_field_and_what_is_right(tmp_path: Path) -> None:
    folder = tmp_path / "shop"
    (folder / "materials").mkdir(parents=True)
    (folder / "materials" / "rose.yaml").write_text(
        "id: rose\nvase_life: {low: 9, high: 4, unit: weeks, basis: published}\n"
    )
    (folder / "materials" / "odd.yaml").write_text("id: odd\nname: [broken\n")
    done = run("check", str(folder))
    assert done.returncode == 1
    assert "rose.yaml:2:" in done.stdout
    assert "vase_life" in done.stdout
    assert "odd.yaml" in done.stdout
    assert "Traceback" not in done.stderr


def test_ask_with_a_broken_shop_folder_says_so(tmp_path: Path) -> None:
    (tmp_path / "materials").mkdir()
    (tmp_path / "materials" / "rose.yaml").write_text("id: rose\nbogus: 1\n")
    done = run("ask", "--shop", str(tmp_path), "roses at 20")
    assert done.returncode == 1
    assert "bogus" in done.stderr
    assert done.stdout == ""


def test_a_cache_that_cannot_be_written_only_costs_time(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    blocker = tmp_path / "file"
    blocker.write_text("not a folder")
    monkeypatch.setenv("BUCKETSIDE_CACHE", str(blocker))
    done = run("ask", "carnations at 24")
    assert done.returncode == 0
    assert done.stdout.startswith("Carnations")
