"""The commands. Heavy rooms are imported inside the command that needs them, so `--help` stays quick.

Exit codes: 0 done; 1 the command failed or found problems; 2 the command line itself was wrong.
Results go to standard output, everything else to standard error.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from assistant import __version__
from assistant.drill.commands import app as drill_app
from assistant.screens.commands import chat, serve
from assistant.sheets.commands import plan_job
from assistant.stock.commands import Shop
from assistant.stock.commands import app as stock_app

if TYPE_CHECKING:
    from assistant.dialogue.answer import Answer
    from assistant.dialogue.context import Context

app = typer.Typer(
    name="bucketside",
    help="Answers about cut flowers, foliage and dried material: cited, each with a computed figure.",
    no_args_is_help=False,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    context_settings={"help_option_names": ["-h", "--help"]},
)

app.add_typer(stock_app, name="stock")
app.add_typer(drill_app, name="drill")
app.command("plan")(plan_job)
app.command()(chat)
app.command()(serve)


def _version(value: bool) -> None:
    if value:
        typer.echo(f"bucketside {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def start(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
    shop: Shop = None,
) -> None:
    """Open the app, or run a command."""
    if context.invoked_subcommand is None:
        chat(shop=shop)


def fail(sentence: str, code: int = 1) -> typer.Exit:
    """Say what is wrong in one sentence on standard error; raise what this returns."""
    typer.echo(sentence, err=True)
    return typer.Exit(code)


def open_context(shop: Path | None, market: str) -> Context:
    """The handbook with the shop's folder over it, ready to answer; says every problem and exits 1 if it is broken."""
    from datetime import date

    from assistant.dialogue.context import Context
    from assistant.handbook.compiled import load_compiled
    from assistant.handbook.loading import HandbookError
    from assistant.retrieval.retriever import Retriever
    from assistant.stock.losses import own_loss

    try:
        handbook = load_compiled(overlays=[shop] if shop else [])
    except HandbookError as error:
        for problem in error.problems:
            typer.echo(str(problem), err=True)
        raise fail(f"{error}; fix it or run without --shop.") from None
    retriever = Retriever(handbook, progress=_progress if sys.stderr.isatty() else _quiet_progress)
    return Context(handbook, clock=date.today, retriever=retriever, market=market, own_loss=own_loss)


_told = False


def _quiet_progress(done: int, total: int) -> None:
    """Without a terminal: one line at the start, none after."""
    global _told
    if not _told and done < total:
        typer.echo(f"Building the search index once ({total} passages) …", err=True)
        _told = True


def _progress(done: int, total: int) -> None:
    end = "\n" if done >= total else ""
    typer.echo(f"\rBuilding the search index once: {done}/{total} passages{end}", err=True, nl=False)


@app.command()
def ask(
    question: Annotated[
        list[str] | None, typer.Argument(help="The question; “-” reads one turn a line from standard input.")
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the answer as JSON.")] = False,
    shop: Shop = None,
    market: Annotated[str, typer.Option("--market", help="Whose packs to count with: EU, UK or US.")] = "EU",
) -> None:
    """Answer a question. With “-”, each line is a turn; an empty line starts a new conversation."""
    from assistant.dialogue.conversation import Conversation

    words = question or []
    if market not in ("EU", "UK", "US"):
        raise fail(f"There is no market “{market[:20]}”; use EU, UK or US.", 2)
    if not words:
        raise fail('Ask something, such as: bucketside ask "how long do carnations last at 24 degrees"', 2)
    context = open_context(shop, market)
    if words == ["-"]:
        conversation = Conversation(context)
        for line in _lines():
            if not line.strip():
                conversation = Conversation(context)
                continue
            _print(conversation.turn(line), context, as_json)
        return
    answer = Conversation(context).turn(" ".join(words))
    _print(answer, context, as_json)


def _lines() -> Iterator[str]:
    """Lines of standard input; bytes that are no UTF-8 are replaced, never fatal."""
    for raw in sys.stdin.buffer:
        yield raw.decode("utf-8", errors="replace").rstrip("\r\n")


def _print(answer: Answer, context: Context, as_json: bool) -> None:
    if as_json:
        typer.echo(json.dumps(answer.to_json(), ensure_ascii=False))
    else:
        from assistant.plaintext import answer_text

        typer.echo(answer_text(answer, context) + "\n")
    sys.stdout.flush()


@app.command()
def check(
    folder: Annotated[Path | None, typer.Argument(help="A shop's own folder to check with the handbook.")] = None,
    handbook: Annotated[
        Path | None, typer.Option("--handbook", help="Check this folder as the handbook itself.")
    ] = None,
    coverage: Annotated[
        bool, typer.Option("--coverage", help="Print how much of each field is filled and published.")
    ] = False,
) -> None:
    """Validate the handbook, and a shop's own folder if one is given. Exit code 1 if anything is wrong."""
    from assistant.handbook.gates import quality_problems
    from assistant.handbook.loading import check_handbook
    from assistant.sheets.prices import check_prices

    loaded, problems = check_handbook(handbook, [folder] if folder else [])
    warnings = []
    if loaded is not None:
        quality = quality_problems(loaded)
        warnings = [*quality.warnings]
        problems = [*problems, *quality.errors, *(check_prices(folder, loaded)[1] if folder else [])]
    for problem in (*problems, *warnings):
        typer.echo(str(problem))
    if problems or loaded is None:
        raise fail(f"{len(problems)} problem{'' if len(problems) == 1 else 's'} found.")
    if coverage:
        from assistant.handbook.coverage import coverage_table

        typer.echo(coverage_table(loaded))
        return
    what = f"the handbook with {folder}" if folder else "the handbook"
    typer.echo(
        f"{len(loaded.materials)} materials, {len(loaded.rules)} rules, {len(loaded.sources)} sources: "
        f"{what} is in order."
    )


def main() -> None:
    """Entry point of the `bucketside` command."""
    try:
        app()
    except BrokenPipeError:
        # The reader went away (`| head`): not our error, and nothing more to say.
        sys.stderr.close()
        raise SystemExit(0) from None
    except KeyboardInterrupt:
        raise SystemExit(130) from None


if __name__ == "__main__":
    main()
