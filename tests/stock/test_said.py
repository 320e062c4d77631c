"""Stock by saying it."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.calculators.ranges import Estimate
from assistant.handbook.loading import Handbook
from assistant.language.parsing import Parser
from assistant.stock.ledger import Ledger
from assistant.stock.lots import StockError
from assistant.stock.said import Entry, Item, apply, days_words, from_sentence, take_from

from .conftest import MONDAY, TODAY, lot


def read(text: str, parser: Parser) -> Entry | None:
    return from_sentence(text, parser, lambda: TODAY)


def test_four_bunches_of_stock_are_flowers_and_not_supplies(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("got 4 bunches of stock today", parser)
    assert entry is not None
    assert (entry.action, entry.items, entry.day) == ("received", (Item("stock", None, 4.0),), TODAY)
    done = apply(entry, ledger, handbook)
    (found,) = ledger.lots()
    pack = next(p for p in handbook.materials["stock"].packs if p.market in ("EU", "any") and p.stems)
    assert pack.stems is not None
    assert (found.material, found.stems, found.received) == ("stock", 4 * int(pack.stems[0] or 0), TODAY)
    assert done.changed
    assert done.lots == (found.id,)
    assert f"{found.stems} stems of stock" in done.reply


@pytest.mark.parametrize(
    ("text", "paid"),
    [
        ("got 20 stems of salal yesterday at 2.40 a stem", 48.0),
        ("got 2 bunches of salal, 25 to a bunch, at 12 a bunch", 24.0),
        ("got 30 roses for 45 in all", 45.0),
        ("received 3 bunches of tulips, €4.50 a bunch", 13.5),
        ("got 30 roses", None),
    ],
)
def test_prices_by_stem_bunch_and_lot(
    text: str, paid: float | None, parser: Parser, ledger: Ledger, handbook: Handbook
) -> None:  # fmt: skip
    entry = read(text, parser)
    assert entry is not None
    apply(entry, ledger, handbook)
    assert ledger.lots()[0].paid == (None if paid is None else pytest.approx(paid))


def test_a_price_a_bunch_is_no_pack_size(parser: Parser) -> None:
    entry = read("got 3 bunches of roses at 12 a bunch", parser)
    assert entry is not None
    assert entry.stems_per_bunch is None
    other = read("got 3 bunches of roses, 12 to a bunch", parser)
    assert other is not None
    assert (other.stems_per_bunch, other.price) == (12.0, None)


def test_place_day_and_temperature_are_heard(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("40 lisianthus came in on Monday, cooler at 4 degrees", parser)
    assert entry is not None
    assert (entry.day, entry.where, entry.degC) == (MONDAY, "cooler", Estimate(4.0, 4.0, 4.0))
    apply(entry, ledger, handbook)
    moved = read("moved the lisianthus to the bench", parser)
    assert moved is not None
    apply(moved, ledger, handbook)
    found = ledger.lots()[0]
    assert [stand.method for stand in found.stands] == ["cooler-wet", "vase-food"]
    assert found.received == MONDAY


def test_several_materials_in_one_breath_are_several_lots(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("got 40 lisianthus and 2 bunches of salal today", parser)
    assert entry is not None
    done = apply(entry, ledger, handbook)
    assert [found.material for found in ledger.lots()] == ["lisianthus", "salal"]
    assert len(done.lots) == 2


def test_stems_leave_the_lot_that_expires_first(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    for text in ("got 10 roses on Monday, on the bench", "got 30 roses today"):
        entry = read(text, parser)
        assert entry is not None
        apply(entry, ledger, handbook)
    old, new = ledger.lots()
    for text, kind in (("threw out 4 roses", "discarded"), ("sold 12 roses", "sold")):
        entry = read(text, parser)
        assert entry is not None
        assert entry.action == kind
        apply(entry, ledger, handbook)
    assert [ledger.lot(old.id).left, ledger.lot(new.id).left] == [0, 24]
    used = read("used 100 roses", parser)
    assert used is not None
    with pytest.raises(StockError, match="24 stems of rose in stock, not 100"):
        apply(used, ledger, handbook)


def test_use_first_and_what_is_there(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    empty = read("what must I use first?", parser)
    assert empty is not None
    assert apply(empty, ledger, handbook).reply == "There is nothing in stock."
    ledger.receive([lot("salal"), lot("tulip", 20)])
    done = apply(empty, ledger, handbook)
    assert not done.changed
    assert done.reply.startswith("Use first: 20 tulip (lot 2, ")
    which = read("how many bunches of stock do I have", parser)
    assert which is not None
    assert (which.action, which.items) == ("list", (Item("stock"),))
    assert apply(which, ledger, handbook).reply == "No stock in stock."


@pytest.mark.parametrize(
    ("text", "question"),
    [
        ("got roses", "How many stems or bunches of rose?"),
        ("got 5 roses on 3 December 2027", "has not come yet"),
    ],
)
def test_what_is_missing_is_asked_and_nothing_is_written(
    text: str, question: str, parser: Parser, ledger: Ledger, handbook: Handbook
) -> None:
    entry = read(text, parser)
    assert entry is not None
    if entry.question is None:  # a day that was not understood counts as today: then nothing is missing
        pytest.fail("nothing was asked")
    assert question in entry.question
    assert not apply(entry, ledger, handbook).changed
    assert ledger.lots() == ()


@pytest.mark.parametrize(
    "text",
    ["got 4 bunches of stock today, how long will they last?", "how long do roses last", "hello", "is salal poisonous",
     "what can I use instead of roses"],
)  # fmt: skip
def test_questions_go_to_the_conversation(text: str, parser: Parser) -> None:
    assert read(text, parser) is None


def test_a_shared_name_and_a_misspelling_are_said(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("got 2 bunches of ruscus and 10 lisianthos today", parser)
    assert entry is not None
    reply = apply(entry, ledger, handbook).reply
    assert "I took “ruscus” as" in reply
    assert "I took “lisianthos” for lisianthus" in reply


def test_cold_that_hurts_is_said(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("got 20 anthuriums today", parser)
    assert entry is not None
    assert handbook.materials["anthurium"].chilling_threshold is not None
    assert "is hurt below" in apply(entry, ledger, handbook).reply


def test_dried_material_never_stands_in_water(parser: Parser, ledger: Ledger, handbook: Handbook) -> None:
    entry = read("got 2 bunches of bunny tails today", parser)
    assert entry is not None
    apply(entry, ledger, handbook)
    assert ledger.lots()[0].now.method == "out-of-water"


def test_taking_shares_over_lots_in_the_order_given(ledger: Ledger) -> None:
    ledger.receive([lot(stems=3), lot(stems=5), lot("tulip", 9)])
    assert take_from(ledger.lots(), "rose", 7, "rose") == [(1, 3), (2, 4)]


def test_days_are_never_rounded_up() -> None:
    assert days_words(Estimate(3.9, 5.0, 7.99)) == "3–7 d"
    assert days_words(Estimate(4.2, 4.5, 4.9)) == "4 d"


def test_the_day_comes_from_the_clock(parser: Parser) -> None:
    entry = from_sentence("got 4 bunches of stock today", parser, lambda: date(2027, 1, 2))
    assert entry is not None
    assert entry.day == date(2027, 1, 2)
