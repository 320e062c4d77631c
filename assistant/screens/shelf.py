"""The stock as the screens use it: opened for one thing at a time, and never made just by looking."""

from __future__ import annotations

from typing import TYPE_CHECKING

from assistant.stock.folder import stock_file

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.stock.holdings import Holdings
    from assistant.stock.lives import LotLife
    from assistant.stock.lots import Lot
    from assistant.stock.said import Done, Entry


def lots_there() -> tuple[Lot, ...]:
    """Lots with stems left. Raises StockError where the file can't be used."""
    if not stock_file().is_file():
        return ()
    from assistant.stock.ledger import Ledger

    with Ledger() as ledger:
        return ledger.lots()


def in_use_first_order(context: Context) -> list[LotLife]:
    """What is there, the lot that expires first at the top. Raises StockError, OutOfRange."""
    from assistant.stock.lives import use_first

    return use_first(lots_there(), context.handbook, context.today)


def said_to_stock(entry: Entry, context: Context) -> Done:
    """Do what a sentence says. Raises StockError, OutOfRange; nothing is changed then."""
    from assistant.stock.ledger import Ledger
    from assistant.stock.said import Done, apply

    if entry.question:
        return Done(entry.question)
    if entry.action in ("first", "list") and not stock_file().is_file():
        return Done("There is nothing in stock.")
    with Ledger() as ledger:
        return apply(entry, ledger, context.handbook, context.market)


def holdings() -> Holdings | None:
    """What a plan may draw on. Raises StockError where the file can't be used."""
    if not stock_file().is_file():
        return None
    from assistant.stock.holdings import Holdings
    from assistant.stock.ledger import Ledger

    with Ledger() as ledger:
        return Holdings.of(ledger)
