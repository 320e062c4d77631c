"""The commands of this room for the command line: `chat` opens the app, `serve` serves it to a browser.

Nothing of Textual is imported before a command runs.
"""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

_Handbook = Annotated[
    Path | None, typer.Option("--handbook", help="A handbook folder instead of the one that came with it.")
]
_Shop = Annotated[
    Path | None,
    typer.Option("--shop", envvar="BUCKETSIDE_SHOP", help="The shop's own folder, laid over the handbook."),
]
_Market = Annotated[str, typer.Option("--market", help="Whose bunch sizes count first: EU, UK or US.")]
_Folder = Annotated[Path | None, typer.Option("--data", help="Where conversations are kept.")]


def chat(
    reopen: Annotated[Path | None, typer.Option("--reopen", help="A saved conversation to go on with.")] = None,
    handbook: _Handbook = None,
    shop: _Shop = None,
    market: _Market = "EU",
    data: _Folder = None,
) -> None:
    """Open the assistant on the whole screen."""
    from assistant.screens.app import run_app

    _known_market(market)
    run_app(handbook, [shop] if shop else [], market=market.upper(), folder=data, reopen=reopen)


def serve(
    host: Annotated[str, typer.Option(help="The address to listen on.")] = "127.0.0.1",
    port: Annotated[int, typer.Option(help="The port to listen on.")] = 8765,
    anyone: Annotated[
        bool, typer.Option("--anyone", help="Allow an address other machines can reach. There is no password.")
    ] = False,
    handbook: _Handbook = None,
    shop: _Shop = None,
    market: _Market = "EU",
    data: _Folder = None,
) -> None:
    """Serve the assistant to a browser, such as a tablet on the bench."""
    from assistant.screens.serve import NotServed
    from assistant.screens.serve import serve as start

    _known_market(market)
    options = ["--market", market.upper()]
    options += ["--handbook", str(handbook)] if handbook else []
    options += ["--data", str(data)] if data else []
    options += ["--shop", str(shop)] if shop else []
    try:
        start(host, port, anyone=anyone, options=options, warn=lambda line: typer.echo(line, err=True))
    except NotServed as error:
        typer.echo(str(error), err=True)
        raise typer.Exit(2) from error


def _known_market(market: str) -> None:
    if market.upper() not in ("EU", "UK", "US"):
        raise typer.BadParameter(f"'{market}' is no market I know; use EU, UK or US.", param_hint="--market")


def run() -> None:
    """`chat` alone, for `python -m assistant.screens`."""
    typer.run(chat)
