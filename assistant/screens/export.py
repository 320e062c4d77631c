"""A conversation or one answer as Markdown and as plain text, to keep, print or send."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import datetime
from pathlib import Path

from assistant.dialogue.answer import Answer
from assistant.screens.labels import ORIGINS, compact, input_value, input_words, kind_words
from assistant.screens.names import Names
from assistant.screens.records import Record

_SPECIAL = re.compile(r"([\\`*_{}\[\]<>#|~])")


def plain(text: str) -> str:
    """Text that Markdown will not read as its own marks."""
    return _SPECIAL.sub(r"\\\1", text)


def answer_text(answer: Answer, names: Names, us: bool = False) -> str:
    """One answer as plain text: reply, figures, cautions, sources."""
    lines = [answer.question, "", answer.reply]
    for figure in answer.figures:
        who = names.name(figure.material)
        lines.append(f"- {who + ': ' if who else ''}{kind_words(figure.kind)}: {compact(figure, us)}")
        if figure.dates:
            lines.append(f"  on {', '.join(figure.dates)}")
    lines += [f"CAUTION: {caution}" for caution in answer.cautions]
    cited = [*(f.sources for f in answer.figures), *(p.sources for p in answer.passages)]
    sources = dict.fromkeys(source for ids in cited for source in ids)
    if sources:
        lines.append(f"Sources: {', '.join(sources)}")
    return "\n".join(lines) + "\n"


def record_markdown(record: Record, names: Names) -> str:
    """One turn as Markdown."""
    answer, us = record.answer, record.us
    lines = [f"## {plain(record.text)}", "", plain(answer.reply), ""]
    for slot, reading in record.changes:
        lines.append(f"*Then {plain(input_words(slot))} set to {plain(reading.said)}.*")
    if record.changes:
        lines.append("")
    if answer.cautions:
        lines += [f"> **Caution:** {plain(caution)}" for caution in answer.cautions] + [""]
    for figure in answer.figures:
        who = names.name(figure.material)
        lines.append(
            f"- **{plain((who + ', ') if who else '')}{plain(kind_words(figure.kind))}: {plain(compact(figure, us))}**"
        )
        if figure.dates:
            lines.append(f"  - on {plain(', '.join(figure.dates))}")
        for item in figure.inputs:
            lines.append(
                f"  - {plain(input_words(item.name))}: {plain(input_value(item, us))} "
                f"({ORIGINS.get(item.origin, item.origin)})"
            )
        if figure.formula:
            lines.append(f"  - worked out as {plain(figure.formula)}")
    if answer.figures:
        lines.append("")
    for rank, row in enumerate(answer.candidates, 1):
        lines.append(f"{rank}. {plain(names.name(row.material))}: {plain('; '.join(row.why))}")
    if answer.candidates:
        lines.append("")
    for passage in answer.passages:
        cited = f" ({plain(', '.join(passage.sources))})" if passage.sources else ""
        lines.append(f"- {plain(passage.title)}: {plain(passage.text)}{cited}")
    return "\n".join(lines).rstrip() + "\n"


def conversation_markdown(records: Iterable[Record], names: Names, started: datetime) -> str:
    head = f"# Conversation of {started:%Y-%m-%d %H:%M}\n"
    return "\n".join([head, *(record_markdown(record, names) for record in records)])


def write_new(folder: Path, stem: str, text: str) -> Path:
    """Write into a file that did not exist before. Raises OSError where the folder can't be written."""
    folder.mkdir(parents=True, exist_ok=True)
    for number in range(1000):
        path = folder / (f"{stem}.md" if number == 0 else f"{stem}-{number}.md")
        try:
            with path.open("x", encoding="utf-8") as file:
                file.write(text)
        except FileExistsError:
            continue
        return path
    raise OSError(f"there are a thousand files named {stem} already")
