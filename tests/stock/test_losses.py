"""The shop's own loss rate: from finished lots, with an honest range, and only with enough of them."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.loading import Handbook
from assistant.stock.folder import stock_file
from assistant.stock.holdings import Holdings
from assistant.stock.ledger import Ledger
from assistant.stock.losses import ENOUGH_LOTS, ENOUGH_STEMS, own_loss, own_losses, wilson

from .conftest import TODAY, lot


def finish(ledger: Ledger, stems: int, bad: int, material: str = "rose") -> None:
    (number,) = ledger.receive([lot(material, stems)])
    if bad:
        ledger.take([(number, bad)], "discarded", TODAY)
    if stems > bad:
        ledger.take([(number, stems - bad)], "used", TODAY)


def test_the_rate_is_discarded_over_all_stems_of_finished_lots(ledger: Ledger) -> None:
    for bad in (2, 3, 1):
        finish(ledger, 20, bad)
    ledger.take([(ledger.receive([lot(stems=20)])[0], 15)], "discarded", TODAY)  # a lot half used says nothing yet
    loss = own_losses(ledger.lots(with_empty=True))["rose"]
    assert (loss.lots, loss.stems, loss.discarded) == (3, 60, 6)
    assert loss.rate.value == pytest.approx(0.1)
    assert loss.enough
    assert loss.said == "your own loss of 10.0% (6 of 60 stems in 3 lots)"


@pytest.mark.parametrize(("lots", "stems"), [(ENOUGH_LOTS - 1, 60), (ENOUGH_LOTS, (ENOUGH_STEMS - 1) // ENOUGH_LOTS)])
def test_too_little_is_not_enough_and_says_what_is_missing(ledger: Ledger, lots: int, stems: int) -> None:
    for _ in range(lots):
        finish(ledger, stems, 1)
    loss = own_losses(ledger.lots(with_empty=True))["rose"]
    assert not loss.enough
    assert f"so far {lots} and {lots * stems}" in loss.missing


def test_a_disaster_is_not_what_orders_are_made_with(ledger: Ledger) -> None:
    for _ in range(4):
        finish(ledger, 20, 19)
    assert not own_losses(ledger.lots(with_empty=True))["rose"].enough


@given(st.integers(1, 500), st.data())
def test_wilsons_ends_solve_the_equation_they_come_from(trials: int, data: st.DataObject) -> None:
    """Each end p0 is where the observed share lies z standard errors away: (p - p0)² = z² p0 (1 - p0) / n."""
    hits = data.draw(st.integers(0, trials))
    found = wilson(hits, trials)
    p, z = hits / trials, 1.2815515655446004
    assert 0 <= found.low <= found.value == p <= found.high <= 1
    for end in (found.low, found.high):
        if 0 < end < 1:
            assert (p - end) ** 2 == pytest.approx(z**2 * end * (1 - end) / trials, abs=1e-9)
    assert math.isfinite(found.high)


def test_more_stems_narrow_the_range() -> None:
    few, many = wilson(2, 20), wilson(50, 500)
    assert many.high - many.low < few.high - few.low


def test_holdings_carry_open_lots_and_all_losses(ledger: Ledger) -> None:
    for _ in range(3):
        finish(ledger, 20, 2, "tulip")
    ledger.receive([lot()])
    held = Holdings.of(ledger)
    assert [found.material for found in held.lots] == ["rose"]
    assert held.losses["tulip"].enough


def test_an_order_is_reckoned_with_the_shops_own_loss_and_says_so(handbook: Handbook) -> None:
    """From lots to reply: before there is enough the handbook's rate stands, afterwards the shop's."""
    context = Context(handbook, lambda: TODAY, own_loss=own_loss)
    assert own_loss("rose") is None
    assert not stock_file().exists()  # asking makes no stock file
    usual = Conversation(context).turn("40 roses, how many bunches")
    with Ledger() as ledger:
        for _ in range(ENOUGH_LOTS):
            finish(ledger, 40, 20)
    own = Conversation(context).turn("40 roses, how many bunches")
    assert "your own loss" not in usual.reply
    assert "your own loss of 50.0%" in own.reply
    assert own.figures[0].value > usual.figures[0].value
