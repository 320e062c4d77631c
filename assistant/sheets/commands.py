"""`bucketside plan FILE`: the whole job on a work sheet, as an order list and as a calendar."""

from __future__ import annotations

import json
import os
import sys
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from assistant.stock.commands import AsJson, Shop, load, plainly, today

if TYPE_CHECKING:
    from assistant.handbook.loading import Handbook
    from assistant.sheets.job import Job
    from assistant.sheets.parts import Plan
    from assistant.sheets.prices import PriceList
    from assistant.stock.holdings import Holdings

app = typer.Typer(help="The whole job: order list, days, water, visits.")

_OUT = "Write it to this file."


def now() -> datetime:
    """The moment a file is made; the one place these commands read a clock."""
    return datetime.now(UTC).replace(microsecond=0)


@app.command("plan")
def plan_job(
    file: Annotated[Path, typer.Argument(help="A job (.yaml) or a recipe (.csv); - for a recipe as text.")],
    install: Annotated[str | None, typer.Option(help="The day it goes up, 2026-12-07.")] = None,
    days: Annotated[int | None, typer.Option(help="Days it must look well.")] = None,
    temperature: Annotated[float | None, typer.Option(help="Where it stands, °C.")] = None,
    humidity: Annotated[float | None, typer.Option(help="Where it stands, %.")] = None,
    place: Annotated[str | None, typer.Option(help="A place of the handbook's table, such as reading-room.")] = None,
    pieces: Annotated[int | None, typer.Option(help="How many times the recipe is made.")] = None,
    confidence: Annotated[float | None, typer.Option(help="Chance of having enough, 0.9.")] = None,
    shop: Shop = None,
    stock: Annotated[bool, typer.Option("--stock/--no-stock", help="Draw on the stock before ordering.")] = True,
    html: Annotated[Path | None, typer.Option(help=_OUT)] = None,
    pdf: Annotated[Path | None, typer.Option(help=_OUT)] = None,
    csv: Annotated[Path | None, typer.Option(help=f"The order list. {_OUT}")] = None,
    ics: Annotated[Path | None, typer.Option(help=f"Visits and top-ups as a calendar. {_OUT}")] = None,
    markdown: Annotated[Path | None, typer.Option(help=_OUT)] = None,
    out: Annotated[Path | None, typer.Option(help="Write all of them to this folder, named after the job.")] = None,
    as_json: AsJson = False,
) -> None:
    """Work a job out: what to order, when to do what, how much water, when to visit."""
    changes: dict[str, Any] = {
        "install": _day(install), "display_days": days, "place": place, "pieces": pieces, "confidence": confidence,
        "degC": None if temperature is None else [temperature, temperature],
        "humidity": None if humidity is None else [humidity, humidity],
    }  # fmt: skip
    changes = {name: value for name, value in changes.items() if value is not None}
    with plainly():
        handbook = load(shop)
        prices = _prices(shop, handbook)
        job = _job(file, handbook, changes)
        from assistant.sheets.plan import plan

        made = plan(job, handbook, _holdings() if stock else None, prices=prices, today=today())
        wanted = {"html": html, "pdf": pdf, "csv": csv, "ics": ics, "md": markdown}
        if out is not None:
            wanted = {kind: path or out / f"{job.job}.{kind}" for kind, path in wanted.items()}
        targets = {kind: path for kind, path in wanted.items() if path is not None}
        stamp = now()
        for kind, path in targets.items():
            _write(path, rendered(made, kind, stamp))
    if as_json:
        from assistant.sheets.jsonform import as_json as to_json

        typer.echo(json.dumps(to_json(made), ensure_ascii=False, indent=2))
    elif targets:
        for path in targets.values():
            typer.echo(f"Written: {path}")
        _say_stops(made)
    else:
        typer.echo(rendered(made, "txt", stamp).decode(), nl=False)


def rendered(plan: Plan, kind: str, stamp: datetime) -> bytes:
    """A plan as one of html, pdf, csv, ics, md, txt. `stamp` dates the file."""
    from assistant.sheets.sheet import sheet_of

    match kind:
        case "html":
            from assistant.sheets.html import as_html

            return as_html(sheet_of(plan)).encode()
        case "pdf":
            from assistant.sheets.pdf import as_pdf

            return as_pdf(sheet_of(plan), stamp)
        case "csv":
            from assistant.sheets.listing import as_csv

            return as_csv(plan).encode()
        case "ics":
            from assistant.sheets.calendar import as_ical

            return as_ical(plan, stamp)
        case "md":
            from assistant.sheets.markdown import as_markdown

            return as_markdown(sheet_of(plan)).encode()
        case "txt":
            from assistant.sheets.text import as_text

            return as_text(sheet_of(plan)).encode()
    raise ValueError(kind)


def _day(text: str | None) -> date | None:
    if text is None:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        raise typer.BadParameter(f"“{text}” is no day; write it like 2026-12-07.") from None


def _prices(shop: Path | None, handbook: Handbook) -> PriceList | None:
    if shop is None:
        return None
    from assistant.sheets.prices import load_prices

    return load_prices(shop, handbook)


def _job(file: Path, handbook: Handbook, changes: dict[str, Any]) -> Job:
    from assistant.language.cleaning import TooLong
    from assistant.stock.lots import StockError

    if str(file) != "-":
        from assistant.sheets.recipe import read_job

        return read_job(file, handbook, changes)
    from assistant.language.parsing import Parser
    from assistant.sheets.recipe import from_text

    try:
        read = from_text(sys.stdin.read(), Parser(handbook), today, changes=changes)
    except TooLong as error:
        raise StockError(str(error)) from error
    for note in read.notes:
        typer.echo(note, err=True)
    if read.job is None:
        raise StockError(read.question or "That is no recipe.")
    return read.job


def _holdings() -> Holdings | None:
    """The stock, where there is one; a plan must not make an empty stock file."""
    from assistant.stock.folder import stock_file

    if not stock_file().is_file():
        return None
    from assistant.stock.holdings import Holdings
    from assistant.stock.ledger import Ledger

    with Ledger() as ledger:
        return Holdings.of(ledger)


def _write(path: Path, data: bytes) -> None:
    """Write a file whole or not at all."""
    from assistant.stock.lots import StockError

    part = path.with_name(f"{path.name}.part{os.getpid()}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        part.write_bytes(data)
        os.replace(part, path)
    except OSError as error:
        raise StockError(f"{path} can't be written: {error.strerror}.") from error
    finally:
        with suppress(OSError):  # the reason is told by then; a leftover part must not hide it
            part.unlink(missing_ok=True)


def _say_stops(made: Plan) -> None:
    for flag in made.flags:
        if flag.severity == "stop":
            typer.echo(f"STOP: {flag.text}")
