"""Prices, what they buy, and whose they are. Common practice in how people say prices, no source."""

from __future__ import annotations

import pytest

from assistant.language.parsing import Parser
from assistant.language.prices import BUNCH, EACH, MONEY, STEM, factor_of_share
from tests.conftest import TODAY


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("carnations are 35p each", 0.35, EACH), ("roses at £2.20 a stem", 2.2, STEM), ("2.50 per gerbera", 2.5, STEM),
        ("what do 5 euros a bunch come to", 5.0, BUNCH), ("hypericum is 4.50 a wrap", 4.5, BUNCH),
        ("snapdragons $11/bunch", 11.0, BUNCH), ("stock costs me 6 a bunch", 6.0, BUNCH), ("dahlias 95c each", 0.95, EACH),
        ("a bunch of ten leucadendron costs 12.40", 12.4, BUNCH), ("the stem price reads 1.20. What's sixty?", 1.2, STEM),
        ("urn cost me 38 in flowers", 38.0, MONEY), ("roses are a tenner a bunch", 10.0, BUNCH), ("roses 1.10", 1.1, MONEY),
        ("they're one pound twenty apiece", 1.2, EACH), ("roses are 9 pounds a dozen", 9.0, BUNCH),
    ],
)  # fmt: skip
def test_a_price_is_read_with_what_it_buys(parser: Parser, text: str, value: float, unit: str) -> None:
    price = parser.parse(text, today=TODAY).slots["price"]
    assert price.number == pytest.approx(value)
    assert price.unit == unit


@pytest.mark.parametrize(
    "text",
    [
        "stocks in a 22 degree room, how long will they stand at 22?", "how many tulips at 10 a bunch for 60 stems",
        "glads at 25 in foam", "1.25 litres of water for the roses", "5.25 bleach for two gallons", "9 multiplied by 12",
        "put a markup of 3x on it", "our markup is 2.2, too low?",
    ],
)  # fmt: skip
def test_other_numbers_are_no_prices(parser: Parser, text: str) -> None:
    assert "price" not in parser.parse(text, today=TODAY).slots


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        ("hellebores are 11.20 for a bunch of ten, what's that per stem", 10), ("$26 for a box of six preserved roses", 6),
        ("paying 6.40 for ten tulips", 10), ("Ten tulips come tied together for 6.40", 10), ("ranunculus £7 for 10", 10),
    ],
)  # fmt: skip
def test_how_many_a_price_pays_for_is_the_size_of_the_bunch(parser: Parser, text: str, holds: float) -> None:
    question = parser.parse(text, today=TODAY)
    assert question.slots["pack_size"].number == holds
    assert question.slots["price"].unit == BUNCH
    assert question.mentions[0].stems is None


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("4 bunches of pampas at 22 quid and 3 of dried oats at 8 quid", [(None, 4, 22), (None, 3, 8)]),
        ("nerine at 85p a stem, thirty stems, and mini calla at 1.60, a dozen", [(30, None, 0.85), (12, None, 1.6)]),
        ("12 roses and 20 stocks at 85p a stem", [(12, None, 0.85), (20, None, 0.85)]),
        ("£2 each for 20 roses and £1.50 each for 30 stocks", [(20, None, 2), (30, None, 1.5)]),
        ("roses at 2.20 a stem, 12 of them, and 20 stocks", [(12, None, 2.2), (20, None, None)]),
        ("oncidium or mokara, they're 3.20 and 4.10 a stem, I need 20", [(20, None, 3.2), (20, None, 4.1)]),
        ("roses 1.10, dahlias 1.40, scabious 65p. 20 of each", [(20, None, 1.1), (20, None, 1.4), (20, None, 0.65)]),
        ("3 boxes of winterberry at £38 and 2 boxes of amaryllis at £21", [(None, 3, 38), (None, 2, 21)]),
        ("hypericum is 4.50 a wrap, I want 7", [(None, 7, 4.5)]),
        ("tulips cost me 6.40 for a bunch of 10 and there's 12 in the arrangement", [(12, None, 6.4)]),
    ],
)
def test_each_material_has_its_own_count_and_price(
    parser: Parser, text: str, lines: list[tuple[float | None, float | None, float | None]]
) -> None:
    mentions = parser.parse(text, today=TODAY).mentions
    assert [(m.stems, m.bunches, m.price.number if m.price else None) for m in mentions] == lines


@pytest.mark.parametrize(
    ("text", "factor"),
    [
        ("put a markup of 3x on it", 3), ("and marked up 2.8 times?", 2.8), ("with a mark up of 2.5", 2.5),
        ("urn cost me 38 in flowers, what's the price at three and a half times", 3.5), ("mark it up by 40%", 1.4),
        ("a 60% margin on 14 quid of flowers", 2.5), ("I sell it for 45, flowers cost 15, what's my mark up", 3),
        ("costs 8, a three-times mark-up on that", 3),
    ],
)  # fmt: skip
def test_factors_are_read_on_cost(parser: Parser, text: str, factor: float) -> None:
    assert parser.parse(text, today=TODAY).slots["factor"].number == pytest.approx(factor)


def test_a_margin_is_a_share_of_the_selling_price_and_a_mark_up_of_the_cost() -> None:
    """By definition: at a margin m the cost is (1 - m) of the price."""
    assert factor_of_share(50, "50% margin") == pytest.approx(2.0)
    assert factor_of_share(50, "mark it up 50%") == pytest.approx(1.5)
    assert factor_of_share(50, "50% humidity") is None
    assert factor_of_share(100, "100% margin") is None


@pytest.mark.parametrize(
    ("text", "slot", "value"),
    [
        ("12 roses at 2.50 each plus 30%", "factor", 1.3),
        ("it stands me at 24 and i want a 2.5 markup on it, what do i charge", "price", 24),
        ("60 roses plus 10%, how many bunches", "loss_rate", 10),
        ("spray carnations, 160 stems and knock on 5 per cent for breakages", "loss_rate", 5),
        ("75 stems of eryngium at a tenner for ten, what's the bill", "pack_size", 10),
    ],
)
def test_what_is_put_on_and_what_a_price_pays_for(parser: Parser, text: str, slot: str, value: float) -> None:
    assert parser.parse(text, today=TODAY).slots[slot].number == pytest.approx(value)


def test_tax_is_no_mark_up(parser: Parser) -> None:
    assert "factor" not in parser.parse("5 bunches at 9 quid plus 20% vat, what's that", today=TODAY).slots
