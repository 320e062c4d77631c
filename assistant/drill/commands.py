"""The `drill` commands: a quiz in the terminal line by line, progress, exports, test sheets, lists, forgetting."""

from __future__ import annotations

import json
import os
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, date, datetime
from enum import StrEnum
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, NoReturn

import typer

if TYPE_CHECKING:
    from assistant.drill.items import Bank
    from assistant.drill.marking.mark import Mark
    from assistant.drill.session import DrillSession, Outcome
    from assistant.drill.sets import SetDescription
    from assistant.drill.store import Learner, Store
    from assistant.handbook.loading import Handbook
    from assistant.language.names import NameIndex

app = typer.Typer(help="Quiz yourself from the handbook.", invoke_without_command=True, add_completion=False)

ShopOption = Annotated[
    Path | None, typer.Option("--shop", envvar="BUCKETSIDE_SHOP", help="The shop's own folder, laid over the handbook.")
]
SetOption = Annotated[
    str,
    typer.Option(
        "--set",
        help='What to ask: a topic, a kind, a level, a list, materials ("storage temperatures", "dried, level 1").',
    ),
]
LearnerOption = Annotated[str, typer.Option("--learner", help="Whose schedule it is.")]
JsonOption = Annotated[bool, typer.Option("--json", help="One JSON object a line.")]


class Format(StrEnum):
    CSV = "csv"
    MARKDOWN = "markdown"


class SheetFormat(StrEnum):
    MARKDOWN = "markdown"
    HTML = "html"


def now_utc() -> datetime:
    return datetime.now(UTC)


@contextmanager
def _plainly() -> Iterator[None]:
    """Everything a user can get wrong ends in one sentence and exit code 1."""
    from assistant.drill.store import StoreError
    from assistant.handbook.loading import HandbookError
    from assistant.language.cleaning import TooLong

    try:
        yield
    except HandbookError as error:
        for problem in error.problems[:20]:
            typer.echo(str(problem), err=True)
        _stop(str(error))
    except (StoreError, TooLong) as error:
        _stop(str(error))


def _stop(sentence: str) -> NoReturn:
    typer.echo(sentence, err=True)
    raise typer.Exit(1)


def _learner_name(given: str) -> str:
    return given or os.environ.get("BUCKETSIDE_LEARNER") or "me"


def _bank(shop: Path | None) -> Bank:
    from assistant.dialogue.context import Context
    from assistant.drill.items import Bank, changed_entries
    from assistant.handbook.compiled import load_compiled

    base = load_compiled()
    handbook = load_compiled(overlays=[shop]) if shop else base
    own = changed_entries(handbook, base) if shop else frozenset[str]()
    return Bank(Context(handbook, clock=date.today), own)


def _description(text: str, bank: Bank, store: Store | None) -> SetDescription:
    from assistant.drill.sets import EVERYTHING, describe_set

    if not text:
        return EVERYTHING
    described = describe_set(text, bank.context.handbook, bank.known.names, store.lists() if store else {})
    if described.unknown:
        _stop(
            f"The handbook has no set called “{described.unknown}”; try a topic ({', '.join(bank.topics[:8])}, "
            "…), a kind, a level, a material or one of your lists."
        )
    if not any(described.matches(b, bank.known.own) for b in bank):
        _stop(f"The set “{described.words}” holds no items.")
    return described


@app.callback(invoke_without_command=True)
def quiz(
    context: typer.Context,
    learner: LearnerOption = "",
    set_words: SetOption = "",
    count: Annotated[int, typer.Option("--count", min=1, max=10_000, help="How many questions.")] = 10,
    seed: Annotated[int | None, typer.Option("--seed", help="Draw the same questions again.")] = None,
    shop: ShopOption = None,
    as_json: JsonOption = False,
    meaning: Annotated[
        bool,
        typer.Option("--meaning/--no-meaning", help="Mark explanations by their meaning too (takes a second to load)."),
    ] = True,
) -> None:
    """Ask questions one by one; answer in a line each. An empty line or "I don't know" is fine, "quit" ends."""
    if context.invoked_subcommand is not None:
        return
    with _plainly():
        from assistant.drill.marking.marker import Marker
        from assistant.drill.session import DrillSession
        from assistant.drill.store import Store

        bank = _bank(shop)
        with Store() as store:
            description = _description(set_words, bank, store)
            who = store.learner(_learner_name(learner), now_utc())
            marker = Marker(bank.known.names, _LateEncoder() if meaning else None)
            session = DrillSession(bank, store, who, description, marker, clock=now_utc, seed=seed, count=count)
            if as_json:
                _run_json(session, sys.stdin.readline)
            else:
                _run(session, sys.stdin.readline, asks_again=sys.stdin.isatty())


class _LateEncoder:
    """Loads the sentence model at the first explanation that needs it; marks by words alone where it can't be had."""

    def __init__(self) -> None:
        self._encode: Callable[[list[str]], object] | None = None
        self._tried = False

    def encode(self, texts: object) -> object:
        import numpy as np

        listed = list(texts)  # type: ignore[call-overload]
        if not self._tried:
            self._tried = True
            from assistant.retrieval.encoder import EncoderUnavailable, load_encoder

            try:
                self._encode = load_encoder().encode
            except EncoderUnavailable:
                typer.echo(
                    "The sentence model can't be loaded, so explanations are marked by their words alone.", err=True
                )
        return self._encode(listed) if self._encode else np.zeros((len(listed), 1), dtype=np.float32)


def _run(session: DrillSession, read: Callable[[], str], asks_again: bool) -> None:
    """Ask and answer until the items, the lines or the patience end. `asks_again`: somebody sits at the other end."""
    from assistant.drill.session import lettered

    if session.changed:
        answers = "answer has" if session.changed == 1 else "answers have"
        typer.echo(f"{session.changed} {answers} changed in the handbook since you last looked; they come first.\n")
    number = 0
    while item := session.next():
        number += 1
        typer.echo(f"{number}. {item.question}")
        for line in lettered(item):
            typer.echo(f"   {line}")
        outcome = _one_answer(session, read, asks_again)
        if outcome is None:
            break
        _say_outcome(outcome)
    _say_summary(session)


def _one_answer(session: DrillSession, read: Callable[[], str], asks_again: bool) -> Outcome | None:
    """Read until an answer counts; None at the end of the input or on "quit"."""
    from assistant.language.cleaning import TooLong, safe_text

    while True:
        typer.echo("> ", nl=False)
        line = read()
        if not line or safe_text(line).lower() in ("quit", "exit", "q", "stop"):
            typer.echo("")
            return None
        try:
            why = session.unread(line) if asks_again else None
            if why is None:
                return session.answer(line)
        except TooLong as error:
            why = str(error)
        asks_again = False
        typer.echo(f"{why[:1].upper()}{why[1:]}. Once more?" if not why.endswith(".") else why)


def _say_outcome(outcome: Outcome) -> None:
    word = {"right": "Right.", "partly": "Partly.", "wrong": "Wrong.", "unknown": "No matter."}[outcome.mark.verdict]
    why = f" {_sentence(outcome.mark)}" if outcome.mark.why and outcome.mark.verdict != "unknown" else ""
    typer.echo(f"{word}{why}")
    for point in outcome.mark.missing:
        typer.echo(f"  missing: {point}")
    typer.echo(f"  Answer: {outcome.answer}")
    if outcome.changed:
        typer.echo("  The handbook's answer has changed since you last saw this.")
    if outcome.passage:
        typer.echo(f"  {outcome.passage.title} – {outcome.passage.text}")
    typer.echo(f"  From: {'; '.join(outcome.sources)}")
    if outcome.ask:
        typer.echo(f"  Ask about it: bucketside ask {json.dumps(outcome.ask, ensure_ascii=False)}")
    typer.echo("")


def _sentence(mark: Mark) -> str:
    why = mark.why[:1].upper() + mark.why[1:]
    return why if why.endswith((".", "!", "?")) else f"{why}."


def _say_summary(session: DrillSession) -> None:
    total = session.summary()
    if not total.asked:
        typer.echo("Nothing was asked.")
        return
    parts = [f"{total.right} right"] + [
        f"{n} {word}"
        for n, word in ((total.partly, "partly"), (total.wrong, "wrong"), (total.unknown, "not known"))
        if n
    ]
    typer.echo(f"{total.asked} questions: {', '.join(parts)} ({total.share:.0%}).")
    if total.weakest:
        typer.echo(f"Look again at: {', '.join(total.weakest)}.")


def _run_json(session: DrillSession, read: Callable[[], str]) -> None:
    """One object a line: an `item`, then an answer is read, then its `mark`; at the end a `summary`."""
    from assistant.language.cleaning import TooLong

    while item := session.next():
        _emit(
            {
                "event": "item",
                "id": item.id,
                "topic": item.topic,
                "level": item.level,
                "question": item.question,
                "choices": [c.text for c in item.choices],
            }
        )
        while True:
            line = read()
            if not line:
                break
            try:
                _emit(outcome_json(session.answer(line)))
            except TooLong as error:
                _emit({"event": "error", "message": str(error)})
                continue
            break
        if not line:
            break
    total = session.summary()
    _emit(
        {
            "event": "summary",
            "asked": total.asked,
            "right": total.right,
            "partly": total.partly,
            "wrong": total.wrong,
            "unknown": total.unknown,
            "share": round(total.share, 4),
            "weakest": list(total.weakest),
        }
    )


def _emit(data: dict[str, object]) -> None:
    typer.echo(json.dumps(data, ensure_ascii=False))
    sys.stdout.flush()


def outcome_json(outcome: Outcome) -> dict[str, object]:
    """An outcome for scripts."""
    return {
        "event": "mark",
        "id": outcome.item.id,
        "said": outcome.said,
        "verdict": outcome.mark.verdict,
        "credit": outcome.mark.credit,
        "why": outcome.mark.why,
        "missing": list(outcome.mark.missing),
        "answer": outcome.answer,
        "passage": {"id": outcome.passage.id, "title": outcome.passage.title, "text": outcome.passage.text}
        if outcome.passage
        else None,
        "sources": list(outcome.item.sources),
        "basis": outcome.item.basis,
        "due": outcome.due.isoformat(),
        "ask": outcome.ask,
    }


@app.command()
def progress(
    learner: Annotated[str, typer.Option("--learner", help="One learner only.")] = "",
    shop: ShopOption = None,
    as_json: JsonOption = False,
) -> None:
    """Who knows what: shares, weakest topics, the forgetting curve."""
    with _plainly():
        from assistant.drill import progress as reports
        from assistant.drill.store import Store

        bank = _bank(shop)
        with Store(read_only=True) as store:
            found = [reports.progress_of(store, bank, who, now_utc()) for who in _learners(store, learner)]
        if as_json:
            for one in found:
                _emit(reports.as_json(one))
            return
        for one in found:
            typer.echo(
                f"{one.learner.name}: {one.answers} answers, {one.share:.0%} right, {one.met} items met, "
                f"{one.known} known now, {one.due} due"
            )
            for topic in one.topics:
                typer.echo(
                    f"  {topic.topic:<16} {topic.share:>5.0%} right of {topic.answers:<4} {topic.met:>5} of "
                    f"{topic.items} met, recall {topic.recall:.0%}"
                )
            if one.weakest:
                typer.echo(f"  weakest: {', '.join(t.topic for t in one.weakest)}")
            if one.curve:
                typer.echo("  chance of recall without another look:")
                for line in reports.curve_lines(one.curve):
                    typer.echo(f"  {line}")


def _learners(store: Store, name: str) -> tuple[Learner, ...]:
    if not name:
        return store.learners()
    found = store.find_learner(name)
    if found is None:
        known = ", ".join(who.name for who in store.learners()) or "nobody yet"
        _stop(f"There is no learner called “{name}”; the record knows {known}.")
    return (found,)


@app.command()
def export(
    to: Annotated[Format, typer.Option("--format", help="csv: a row an item; markdown: a report.")] = Format.CSV,
    out: Annotated[Path | None, typer.Option("--out", help="File to write; standard output if not given.")] = None,
    learner: Annotated[str, typer.Option("--learner", help="One learner only.")] = "",
    shop: ShopOption = None,
) -> None:
    """Take the progress away as CSV or Markdown."""
    with _plainly():
        from assistant.drill import progress as reports
        from assistant.drill.store import Store

        bank = _bank(shop)
        now = now_utc()
        with Store(read_only=True) as store:
            who = _learners(store, learner)
            if to is Format.CSV:
                text = reports.to_csv(store, bank, who, now)
            else:
                text = reports.to_markdown([reports.progress_of(store, bank, one, now) for one in who], now)
        _write(text, out)


def _write(text: str, out: Path | None) -> None:
    if out is None:
        typer.echo(text, nl=False)
        return
    try:
        out.write_text(text, encoding="utf-8", newline="")
    except OSError as error:
        _stop(f"{out} can't be written ({(error.strerror or str(error)).lower()}).")


@app.command()
def sheet(
    set_words: SetOption = "",
    count: Annotated[int, typer.Option("--count", min=1, max=500, help="How many questions.")] = 20,
    seed: Annotated[int, typer.Option("--seed", help="Makes the same sheet again.")] = 1,
    to: Annotated[SheetFormat, typer.Option("--format")] = SheetFormat.MARKDOWN,
    out: Annotated[Path | None, typer.Option("--out", help="File to write; standard output if not given.")] = None,
    shop: ShopOption = None,
) -> None:
    """A printable test sheet with its answer key."""
    with _plainly():
        from assistant.drill import sheet as sheets
        from assistant.drill.store import FILE_NAME, Store
        from assistant.locations import data_folder

        bank = _bank(shop)
        if (data_folder() / FILE_NAME).exists():
            with Store(read_only=True) as store:
                description = _description(set_words, bank, store)
        else:
            description = _description(set_words, bank, None)
        made = sheets.make_sheet(bank, description, count, seed)
        _write(sheets.to_html(made) if to is SheetFormat.HTML else sheets.to_markdown(made), out)


@app.command("list")
def lists(
    name: Annotated[str, typer.Argument(help="The list's name; all lists are shown without one.")] = "",
    entries: Annotated[list[str] | None, typer.Argument(help="Materials or rule ids to keep in it.")] = None,
    delete: Annotated[bool, typer.Option("--delete", help="Remove the list.")] = False,
    shop: ShopOption = None,
) -> None:
    """A trainer's own lists, to be used with --set."""
    with _plainly():
        from assistant.drill.store import Store

        if not name:
            with Store(read_only=True) as store:
                for known, entry_list in store.lists().items():
                    typer.echo(f"{known}: {', '.join(entry_list)}")
            return
        with Store() as store:
            if delete:
                if not store.remove_list(name):
                    _stop(f"There is no list called “{name}”.")
                return
            if not entries:
                if name not in store.lists():
                    _stop(f"There is no list called “{name}”; name the materials to keep in it.")
                typer.echo(", ".join(store.lists()[name]))
                return
            bank = _bank(shop)
            ids = [entry for said in entries for entry in entry_ids(said, bank.context.handbook, bank.known.names)]
            store.save_list(name, dict.fromkeys(ids))
            typer.echo(f"{name}: {', '.join(dict.fromkeys(ids))}")


def entry_ids(said: str, handbook: Handbook, names: NameIndex) -> tuple[str, ...]:
    """The materials or the rule that a word on the command line means; stops with a sentence if it means none."""
    if said in handbook.rules or said in handbook.materials:
        return (said,)
    found = names.look_up(said)
    if not found:
        near = [handbook.materials[ids[0]].name for ids, _ in names.nearest(said)]
        _stop(f"The handbook has no “{said}”" + (f"; did you mean {' or '.join(near)}?" if near else "."))
    return found


@app.command()
def forget(
    learner: Annotated[str, typer.Argument(help="Whose record to remove.")],
    yes: Annotated[bool, typer.Option("--yes", help="Don't ask.")] = False,
) -> None:
    """Remove a learner with every answer and schedule."""
    with _plainly():
        from assistant.drill.store import Store

        with Store() as store:
            (who,) = _learners(store, learner)
            if not yes:
                typer.echo(f"Remove {who.name} with every answer? Type yes: ", nl=False)
                if sys.stdin.readline().strip().lower() != "yes":
                    _stop("Nothing was removed.")
            store.forget(who)
            typer.echo(f"{who.name} is forgotten.")
