"""The shop's own prices: validated like the handbook, with file and line."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.calculators.ranges import Estimate, exact
from assistant.handbook.loading import Handbook, HandbookError
from assistant.sheets.prices import Price, PriceList, check_prices, load_prices

GOOD = """
currency: EUR
prices:
  - {material: rose, price: 9.5}
  - {material: salal, per: stem, price: [0.2, 0.3]}
"""


def write(folder: Path, text: str) -> Path:
    (folder / "prices.yaml").write_text(text.lstrip("\n"), encoding="utf-8")
    return folder


def test_prices_are_read(tmp_path: Path, handbook: Handbook) -> None:
    found = load_prices(write(tmp_path, GOOD), handbook)
    assert found is not None
    assert found.by_material["rose"].per_bunch(None) == exact(9.5)


def test_a_shop_without_prices_is_no_problem(tmp_path: Path, handbook: Handbook) -> None:
    assert check_prices(tmp_path, handbook) == (None, [])


@pytest.mark.parametrize(
    ("old", "new", "line", "words"),
    [
        ("material: rose", "material: roze", 3, "there is no material 'roze'"),
        ("material: salal", "material: rose", 4, "has two prices"),
        ("price: 9.5", "price: -1", 3, "not below 0"),
        ("price: 9.5", "price: [3, 2]", 3, "not below 0"),
        ("price: 9.5", "price: cheap", 3, "list"),
        ("price: 9.5", "prize: 9.5", 3, "not a field"),
        ("currency: EUR", "currency: euros", 1, "euros"),
        ("currency: EUR", "currency: EUR\nmark_up: 0.5", 2, "1"),
        ("currency: EUR", "currency: EUR\nwork_days: [mon, someday]", 2, "must be"),
    ],
)
def test_every_problem_has_its_line(
    old: str, new: str, line: int, words: str, tmp_path: Path, handbook: Handbook
) -> None:  # fmt: skip
    found, problems = check_prices(write(tmp_path, GOOD.replace(old, new, 1)), handbook)
    assert found is None
    assert any(p.line == line and words in p.message for p in problems), problems
    assert problems[0].file == f"{tmp_path.name}/prices.yaml"
    with pytest.raises(HandbookError):
        load_prices(tmp_path, handbook)


def test_a_price_by_the_stem_becomes_one_by_the_bunch() -> None:
    row = Price(material="salal", per="stem", price=(0.2, 0.3))
    assert row.per_bunch(Estimate(20.0, 22.5, 25.0)) == Estimate(0.2 * 20, 0.25 * 22.5, 0.3 * 25)
    assert row.per_bunch(None) is None


def test_the_demo_shop_is_sound(prices: PriceList) -> None:
    assert prices.mark_up == 2.4
    assert prices.delivery_days == ("tue", "thu", "sat")
