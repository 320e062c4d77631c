"""`bucketside stock`: what came in, what is left, what to use first, what left, and copies of it all."""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date, timedelta
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

if TYPE_CHECKING:
    from assistant.handbook.loading import Handbook
    from assistant.handbook.models import Material
    from assistant.stock.lives import LotLife
    from assistant.stock.losses import OwnLoss
    from assistant.stock.lots import Lot

app = typer.Typer(no_args_is_help=True, help="What is in the cooler, and what to use first.")

Shop = Annotated[
    Path | None, typer.Option("--shop", envvar="BUCKETSIDE_SHOP", help="The shop's own folder, laid over the handbook.")
]
AsJson = Annotated[bool, typer.Option("--json", help="Print JSON for scripts.")]
Day = Annotated[str, typer.Option("--day", help="2026-12-07, today, yesterday or 3d (three days ago).")]
Note = Annotated[str, typer.Option(help="A word to remember it by.")]
Stems = Annotated[float | None, typer.Option(help="Stems.")]
Bunches = Annotated[float | None, typer.Option(help="Bunches, counted by the pack.")]
Pack = Annotated[float | None, typer.Option(help="Stems in a bunch, where it differs from the handbook.")]
Market = Annotated[str, typer.Option(help="Market whose packs count: EU, UK, US.")]
LotNumber = Annotated[int, typer.Argument(help="The lot's number, from `stock list`.")]


class WhereOption(StrEnum):
    cooler = "cooler"
    bench = "bench"


class PerOption(StrEnum):
    bunch = "bunch"
    stem = "stem"
    lot = "lot"


@contextmanager
def plainly() -> Iterator[None]:
    """Known troubles as one sentence on standard error and exit code 1; never a traceback."""
    from assistant.calculators.ranges import OutOfRange
    from assistant.handbook.loading import HandbookError
    from assistant.language.cleaning import safe_text
    from assistant.stock.lots import StockError

    try:
        yield
    except (StockError, OutOfRange) as error:
        typer.echo(safe_text(str(error)), err=True)
        raise typer.Exit(1) from error
    except HandbookError as error:
        for problem in error.problems:
            typer.echo(safe_text(str(problem)), err=True)
        raise typer.Exit(1) from error


def load(shop: Path | None) -> Handbook:
    from assistant.handbook.loading import load_handbook

    return load_handbook(overlays=[shop] if shop else [])


def today() -> date:
    """The day it is here; the one place these commands read a clock."""
    return date.today()  # noqa: DTZ011 - a shop's day is its local day


def day_of(text: str) -> date:
    """A day as an option says it.

    Raises:
        typer.BadParameter: for anything else.
    """
    said = text.strip().lower()
    if said in ("today", "yesterday"):
        return today() - timedelta(days=said == "yesterday")
    try:
        if said.endswith("d") and said[:-1].isdigit():
            return today() - timedelta(days=int(said[:-1]))
        return date.fromisoformat(said)
    except (ValueError, OverflowError):
        raise typer.BadParameter(f"“{text}” is no day; write 2026-12-07, today, yesterday or 3d.") from None


def past_day(text: str) -> date:
    day = day_of(text)
    if day > today():
        raise typer.BadParameter(f"{day} has not come yet.")
    return day


def material_named(handbook: Handbook, name: str) -> Material:
    """A material by id or any of its names.

    Raises:
        StockError: for an unknown or shared name, with what is near.
    """
    from assistant.stock.lots import StockError

    if name in handbook.materials:
        return handbook.materials[name]
    from assistant.language.names import NameIndex

    names = NameIndex(handbook)
    found = names.look_up(name)
    if len(found) == 1:
        return handbook.materials[found[0]]
    if found:
        raise StockError(f"“{name}” can mean {', '.join(found)}; name one of them.")
    near = [handbook.materials[ids[0]].name for ids, _ in names.nearest(name)]
    hint = f" Did you mean {' or '.join(near)}?" if near else ""
    raise StockError(f"“{name}” is not in the handbook.{hint}")


def lot_json(lot: Lot, row: LotLife | None = None) -> dict[str, Any]:
    """A lot for scripts, in SI units."""
    out: dict[str, Any] = {
        "lot": lot.id,
        "material": lot.material,
        "received": lot.received.isoformat(),
        "stems": lot.stems,
        "left": lot.left,
        "paid": lot.paid,
        "note": lot.note,
        "stands": {
            "method": lot.now.method,
            "degC": [lot.now.low_degC, lot.now.high_degC],
            "since": lot.now.day.isoformat(),
        },
    }
    if row is not None:
        left = row.left
        out["days_remaining"] = (
            {
                "value": round(left.days.value, 2),
                "low": round(left.days.low, 2),
                "high": round(left.days.high, 2),
                "unit": "d",
            }
            if left
            else None
        )
        out["use_by"] = row.use_by.isoformat() if row.use_by else None
        out["warnings"] = list(left.warnings) if left else []
    return out


def loss_json(row: OwnLoss) -> dict[str, Any]:
    """An own loss rate for scripts; `used` says whether it replaces the handbook's."""
    rate = {name: round(end, 4) for name, end in zip(("low", "value", "high"), row.rate, strict=True)}
    return {
        "material": row.material, "lots": row.lots, "stems": row.stems, "discarded": row.discarded, "rate": rate,
        "used": row.enough,
    }  # fmt: skip


def _lots(number: int) -> str:
    return "1 lot" if number == 1 else f"{number} lots"


def _show(data: Any) -> None:
    typer.echo(json.dumps(data, ensure_ascii=False, indent=2))


# --- in and out -------------------------------------------------------------------------------------------------------


@app.command()
def add(
    material: Annotated[str, typer.Argument(help="Its id or any of its names.")],
    stems: Stems = None,
    bunches: Bunches = None,
    pack: Pack = None,
    day: Day = "today",
    where: Annotated[WhereOption, typer.Option(help="Where it stands.")] = WhereOption.cooler,
    temperature: Annotated[float | None, typer.Option(help="How warm it stands, °C.")] = None,
    boxed: Annotated[bool, typer.Option("--boxed", help="Stored dry in its box.")] = False,
    price: Annotated[float | None, typer.Option(help="What you paid, in your own money.")] = None,
    per: Annotated[PerOption, typer.Option(help="What the price is for.")] = PerOption.bunch,
    note: Note = "",
    market: Market = "EU",
    shop: Shop = None,
    as_json: AsJson = False,
) -> None:
    """Write down a lot that came in."""
    from assistant.calculators.ranges import exact
    from assistant.stock.entries import chill_warning, new_lot, stand_for
    from assistant.stock.ledger import Ledger
    from assistant.stock.said import degrees

    came = past_day(day)
    with plainly():
        handbook = load(shop)
        entry = material_named(handbook, material)
        stand = stand_for(
            entry, handbook, came, where.value, degC=None if temperature is None else exact(temperature), in_box=boxed
        )
        lot = new_lot(
            entry, stand, stems=stems, bunches=bunches, stems_per_bunch=pack, market=market, price=price,
            price_per=per.value, note=note,
        )  # fmt: skip
        with Ledger() as ledger:
            (number,) = ledger.receive([lot])
            if as_json:
                _show(lot_json(ledger.lot(number)))
                return
    typer.echo(
        f"Lot {number}: {lot.stems} stems of {entry.name} at {degrees(stand.low_degC, stand.high_degC)}, from {came}."
    )
    warning = chill_warning(entry, stand)
    if warning:
        typer.echo(warning)


@app.command()
def say(
    sentence: Annotated[str, typer.Argument(help="Such as “got 4 bunches of stock today”.")],
    market: Market = "EU",
    shop: Shop = None,
) -> None:
    """Write it down by saying it."""
    from assistant.language.cleaning import TooLong
    from assistant.language.parsing import Parser
    from assistant.stock.ledger import Ledger
    from assistant.stock.lots import StockError
    from assistant.stock.said import apply, from_sentence

    with plainly():
        handbook = load(shop)
        try:
            entry = from_sentence(sentence, Parser(handbook), today)
        except TooLong as error:
            raise StockError(str(error)) from error
        if entry is None:
            raise StockError("Say what came in, what left or what moved, such as “got 4 bunches of stock today”.")
        with Ledger() as ledger:
            done = apply(entry, ledger, handbook, market)
    typer.echo(done.reply)
    if entry.question:
        raise typer.Exit(1)


@app.command()
def move(
    lot: LotNumber,
    where: Annotated[WhereOption, typer.Argument(help="Where it stands now.")],
    temperature: Annotated[float | None, typer.Option(help="How warm it stands there, °C.")] = None,
    day: Day = "today",
    boxed: Annotated[bool, typer.Option("--boxed", help="Out of water.")] = False,
    shop: Shop = None,
) -> None:
    """Move a lot between the cooler and the bench."""
    from assistant.calculators.ranges import exact
    from assistant.stock.entries import chill_warning, stand_for
    from assistant.stock.ledger import Ledger
    from assistant.stock.said import degrees

    moved = past_day(day)
    with plainly():
        handbook = load(shop)
        with Ledger() as ledger:
            entry = material_named(handbook, ledger.lot(lot).material)
            air = None if temperature is None else exact(temperature)
            stand = stand_for(entry, handbook, moved, where.value, degC=air, in_box=boxed)
            ledger.move([(lot, stand)])
    typer.echo(
        f"Lot {lot} is in the {where.value} at {degrees(stand.low_degC, stand.high_degC)} since {moved}.".replace(
            "in the bench", "on the bench"
        )
    )
    warning = chill_warning(entry, stand)
    if warning:
        typer.echo(warning)


def _take(kind: Any, what: str, stems: int, day: str, note: str, shop: Path | None) -> None:
    from assistant.stock.ledger import Ledger
    from assistant.stock.lives import use_first
    from assistant.stock.said import take_from

    left_on = past_day(day)
    with plainly(), Ledger() as ledger:
        if what.isdigit():
            takings = [(int(what), stems)]
        else:
            handbook = load(shop)
            entry = material_named(handbook, what)
            rows = use_first(ledger.lots(), handbook, left_on)
            takings = take_from([row.lot for row in rows], entry.id, stems, entry.name)
        ledger.take(takings, kind, left_on, note)
    typer.echo(f"{kind.capitalize()}: {', '.join(f'{count} stems from lot {lot}' for lot, count in takings)}.")


What = Annotated[str, typer.Argument(help="A lot's number, or a material: then the lots that expire first.")]
HowMany = Annotated[int, typer.Argument(min=1, help="Stems.")]


@app.command()
def use(what: What, stems: HowMany, day: Day = "today", note: Note = "", shop: Shop = None) -> None:
    """Stems that went into work."""
    _take("used", what, stems, day, note, shop)


@app.command()
def sell(what: What, stems: HowMany, day: Day = "today", note: Note = "", shop: Shop = None) -> None:
    """Stems that were sold."""
    _take("sold", what, stems, day, note, shop)


@app.command()
def discard(what: What, stems: HowMany, day: Day = "today", note: Note = "", shop: Shop = None) -> None:
    """Stems that were thrown away; they make your own loss rate."""
    _take("discarded", what, stems, day, note, shop)


@app.command()
def remove(lot: LotNumber) -> None:
    """Take out a lot that was entered by mistake."""
    from assistant.stock.ledger import Ledger

    with plainly(), Ledger() as ledger:
        ledger.remove(lot)
    typer.echo(f"Lot {lot} is gone from the stock, with its history.")


# --- looking ----------------------------------------------------------------------------------------------------------


@app.command("list")
def list_(
    everything: Annotated[bool, typer.Option("--all", help="Lots with nothing left, too.")] = False,
    temperature: Annotated[float, typer.Option(help="The display the days are counted for, °C.")] = 20.0,
    on: Annotated[str, typer.Option("--on", help="The day the days are counted from.")] = "today",
    shop: Shop = None,
    as_json: AsJson = False,
) -> None:
    """What is there, the lot that expires first at the top."""
    _list(everything, temperature, day_of(on), shop, as_json)


@app.command()
def first(
    temperature: Annotated[float, typer.Option(help="The display the days are counted for, °C.")] = 20.0,
    shop: Shop = None,
    as_json: AsJson = False,
) -> None:
    """What must be used first."""
    _list(False, temperature, today(), shop, as_json)


def _list(everything: bool, temperature: float, on: date, shop: Path | None, as_json: bool) -> None:
    from assistant.language.cleaning import safe_text
    from assistant.stock.ledger import Ledger
    from assistant.stock.lives import use_first
    from assistant.stock.said import days_words, degrees

    with plainly():
        handbook = load(shop)
        with Ledger() as ledger:
            lots = ledger.lots(with_empty=everything)
        rows = use_first(lots, handbook, on, display_degC=temperature)
    empty = [lot for lot in lots if lot.left <= 0]
    if as_json:
        _show([*(lot_json(row.lot, row) for row in rows), *(lot_json(lot) for lot in empty)])
        return
    if not rows and not empty:
        typer.echo("There is nothing in stock. Write a lot down with `stock add` or `stock say`.")
        return
    for row in rows:
        lot, known = row.lot, handbook.materials.get(row.lot.material)
        days = f"{days_words(row.left.days)}, use by {row.use_by}" if row.left else "no life in the handbook"
        note = f"  ({safe_text(lot.note)})" if lot.note else ""
        stands = f"{lot.now.method.replace('-', ' ')} {degrees(lot.now.low_degC, lot.now.high_degC)}"
        typer.echo(
            f"{lot.id:>4}  {known.name if known else lot.material:<28} {lot.left:>5} stems  {days:<34} {stands}{note}"
        )
    for lot in empty:
        typer.echo(f"{lot.id:>4}  {lot.material:<28}     0 stems  came {lot.received}")
    if rows:
        typer.echo(f"Days are for a vase with flower food at {temperature:g} °C from {on}.")


@app.command()
def history(lot: LotNumber, as_json: AsJson = False) -> None:
    """All that happened to a lot."""
    from assistant.language.cleaning import safe_text
    from assistant.stock.ledger import Ledger
    from assistant.stock.said import degrees

    with plainly(), Ledger() as ledger:
        found = ledger.lot(lot)
    if as_json:
        _show(
            lot_json(found)
            | {
                "history": [
                    {"day": s.day.isoformat(), "method": s.method, "degC": [s.low_degC, s.high_degC]}
                    for s in found.stands
                ],
                "uses": [
                    {"day": u.day.isoformat(), "kind": u.kind, "stems": u.stems, "note": u.note} for u in found.uses
                ],
            }
        )
        return
    events = []
    for index, stand in enumerate(found.stands):
        what = "moved" if index else f"{found.stems} stems came in"
        how = f"{stand.method.replace('-', ' ')} at {degrees(stand.low_degC, stand.high_degC)}"
        events.append((stand.day, 0, f"{what}: {how}"))
    events += [(u.day, 1, f"{u.stems} {u.kind}" + (f" ({safe_text(u.note)})" if u.note else "")) for u in found.uses]
    typer.echo(f"Lot {found.id}: {found.material}, {found.left} of {found.stems} stems left")
    for day, _, words in sorted(events, key=lambda e: e[:2]):
        typer.echo(f"  {day}  {words}")


@app.command()
def losses(as_json: AsJson = False) -> None:
    """Your own loss rate per material."""
    from assistant.stock.ledger import Ledger
    from assistant.stock.losses import own_losses

    with plainly(), Ledger() as ledger:
        found = own_losses(ledger.lots(with_empty=True))
    if as_json:
        _show([loss_json(row) for row in found.values()])
        return
    if not found:
        typer.echo("No lot is used up yet, so there is no loss to reckon.")
    for row in found.values():
        state = "used when ordering" if row.enough else row.missing
        typer.echo(
            f"{row.material:<28} {row.rate.value:>6.1%}  ({row.rate.low:.1%} to {row.rate.high:.1%}; "
            f"{row.discarded} of {row.stems} stems, {_lots(row.lots)})  {state}"
        )


# --- copies -----------------------------------------------------------------------------------------------------------


@app.command()
def export(file: Annotated[Path | None, typer.Argument(help="CSV to write; standard output if none.")] = None) -> None:
    """Write all lots and their histories as CSV."""
    from assistant.stock.exchange import to_csv
    from assistant.stock.ledger import Ledger
    from assistant.stock.lots import StockError

    with plainly():
        with Ledger() as ledger:
            text = to_csv(ledger.lots(with_empty=True))
        if file is None:
            typer.echo(text, nl=False)
            return
        try:
            file.write_text(text, encoding="utf-8")
        except OSError as error:
            raise StockError(f"{file} can't be written: {error.strerror}.") from error


@app.command("import")
def import_(
    file: Annotated[Path, typer.Argument(help="CSV as `stock export` writes it; - for standard input.")],
    market: Market = "EU",
    shop: Shop = None,
) -> None:
    """Read lots from CSV, all or none; lots that are here already are skipped."""
    from assistant.language.cleaning import safe_text
    from assistant.stock.exchange import from_csv, import_lots
    from assistant.stock.ledger import Ledger
    from assistant.stock.lots import StockError

    with plainly():
        try:
            text = sys.stdin.read() if str(file) == "-" else file.read_text(encoding="utf-8")
        except OSError as error:
            raise StockError(f"{file} can't be read: {error.strerror}.") from error
        except UnicodeDecodeError as error:
            raise StockError(f"{file} is not UTF-8 text; save it as UTF-8.") from error
        read = from_csv(text, load(shop), file=str(file), today=today(), market=market)
        for problem in read.problems:
            typer.echo(safe_text(str(problem)), err=True)
        if read.problems:
            raise StockError("Nothing was written; mend these rows and try again.")
        with Ledger() as ledger:
            written, known = import_lots(ledger, read)
    typer.echo(f"{_lots(written)} written" + (f"; {_lots(known)} here already." if known else "."))


@app.command()
def backup(
    file: Annotated[Path, typer.Argument(help="Where to write the copy.")],
    force: Annotated[bool, typer.Option("--force", help="Write over a file that is there.")] = False,
) -> None:
    """Copy the whole stock to a file."""
    from assistant.stock.keeping import back_up
    from assistant.stock.ledger import Ledger

    with plainly(), Ledger() as ledger:
        back_up(ledger, file, overwrite=force)
    typer.echo(f"The stock was copied to {file} and checked.")


@app.command()
def restore(file: Annotated[Path, typer.Argument(help="A copy made by `stock backup`.")]) -> None:
    """Put a copy back in place of the stock; what was there is kept beside it."""
    from assistant.stock.keeping import restore as put_back
    from assistant.stock.ledger import Ledger

    with plainly(), Ledger() as ledger:
        kept = put_back(ledger, file)
    typer.echo(f"The stock is now what {file} held. What was there before is in {kept}.")
