"""`bucketside plan`, as a person or a script runs it."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from assistant.handbook.loading import Handbook
from assistant.sheets import commands
from assistant.stock import commands as stock_commands
from assistant.stock.ledger import Ledger
from assistant.stock.lots import NewLot, Stand

from .conftest import DEMO, STAMP, TODAY

ISSUE = "14 lisianthus, 9 spray carnations, 2 bunches of salal; sixteen days at 22 °C; install Monday 7 December"


@pytest.fixture(autouse=True)
def _here(tmp_path: Path, monkeypatch: pytest.MonkeyPatch, handbook: Handbook) -> None:
    monkeypatch.setenv("BUCKETSIDE_DATA", str(tmp_path / "data"))
    monkeypatch.delenv("BUCKETSIDE_SHOP", raising=False)
    really = stock_commands.load
    known = {None, DEMO / "shop"}
    monkeypatch.setattr(commands, "load", lambda shop: handbook if shop in known else really(shop))
    monkeypatch.setattr(commands, "today", lambda: TODAY)
    monkeypatch.setattr(commands, "now", lambda: STAMP)


def run(*words: object, code: int = 0, text: str | None = None) -> Result:
    result = CliRunner().invoke(commands.app, [str(word) for word in words], input=text)
    assert result.exit_code == code, result.output
    return result


DEMO_FILE = DEMO / "reading-room.yaml"


def test_the_demo_from_file_to_all_its_papers(tmp_path: Path) -> None:
    out = tmp_path / "papers"
    said = run(DEMO_FILE, "--shop", DEMO / "shop", "--out", out).output
    names = sorted(path.name for path in out.iterdir())
    assert names == [f"reading-room-winter.{kind}" for kind in ("csv", "html", "ics", "md", "pdf")]
    assert all(f"Written: {out / name}" in said for name in names)
    assert "STOP: " in said
    assert (out / "reading-room-winter.pdf").read_bytes().startswith(b"%PDF")
    before = {path.name: path.read_bytes() for path in out.iterdir()}
    run(DEMO_FILE, "--shop", DEMO / "shop", "--out", out)
    assert {path.name: path.read_bytes() for path in out.iterdir()} == before


def test_a_person_reads_the_sheet_and_a_script_reads_json() -> None:
    assert run(DEMO_FILE).output.startswith("Reading room, winter counter\n===")
    data = json.loads(run(DEMO_FILE, "--json", "--days", "10", "--temperature", "24", "--install", "2026-12-14").output)
    assert (data["install"], data["display_days"], data["air"]["degC"]["value"]) == ("2026-12-14", 10, 24.0)
    assert data["cost"] is None  # no shop, no prices


def test_a_pasted_recipe() -> None:
    result = run("-", "--json", text=ISSUE)
    data = json.loads(result.stdout)
    assert [line["material"] for line in data["orders"][0]["lines"]] == ["lisianthus", "spray-carnation", "salal"]
    assert "Which day does it go up?" in run("-", code=1, text="14 lisianthus, ten days").output
    assert (
        json.loads(run("-", "--json", "--install", "2026-12-07", text="14 lisianthus, ten days").stdout)["display_days"]
        == 10
    )


def test_the_stock_is_drawn_on_unless_told_not_to(tmp_path: Path) -> None:
    run(DEMO_FILE)
    assert not (tmp_path / "data").exists()  # looking for stock makes no stock file
    with Ledger(tmp_path / "data" / "stock.sqlite") as ledger:
        ledger.receive([NewLot("bunny-tail", 200, Stand(date(2026, 11, 20), "out-of-water", 15, 20))])
    drawn = json.loads(run(DEMO_FILE, "--json").output)
    assert [row["material"] for row in drawn["stock"]] == ["bunny-tail"]
    assert json.loads(run(DEMO_FILE, "--json", "--no-stock").output)["stock"] == []
    assert "Take from stock first" in run(DEMO_FILE).output


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("nothing.yaml",), "cannot be read"),
        ((DEMO_FILE, "--place", "moon"), "tables/places.yaml"),
        ((DEMO_FILE, "--days", "0"), "display_days"),
        ((DEMO_FILE, "--temperature", "300"), "between -10 and 45"),
        ((DEMO_FILE, "--shop", "nowhere"), "no such folder"),
    ],
)
def test_trouble_is_said_with_exit_code_one(words: tuple[object, ...], said: str) -> None:
    result = run(*words, code=1)
    assert said in result.output
    assert "Traceback" not in result.output


def test_wrong_usage_is_exit_code_two() -> None:
    run(DEMO_FILE, "--install", "soon", code=2)
    run(code=2)


def test_a_place_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    (tmp_path / "file").touch()
    assert "can't be written" in run(DEMO_FILE, "--pdf", tmp_path / "file" / "x.pdf", code=1).output
    assert list(tmp_path.glob("*.part*")) == []


def test_a_shop_with_wrong_prices_names_the_line(tmp_path: Path) -> None:
    (tmp_path / "prices.yaml").write_text("currency: EUR\nprices:\n  - {material: moon, price: 1}\n")
    assert "prices.yaml:3" in run(DEMO_FILE, "--shop", tmp_path, code=1).output


def test_only_known_kinds_are_rendered(made: object) -> None:
    with pytest.raises(ValueError, match="doc"):
        commands.rendered(made, "doc", STAMP)  # type: ignore[arg-type]
