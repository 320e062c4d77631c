"""A work sheet as Markdown, for the clipboard or a terminal."""

from __future__ import annotations

import re
from collections.abc import Iterator

from assistant.sheets.sheet import Section, Sheet, Table

_SPECIAL = re.compile(r"([\\`*_\[\]<>|#~&!])")
_LINE_START = re.compile(r"^(\s*)(\d+)([.)])(\s)")


def as_markdown(sheet: Sheet) -> str:
    """The sheet as Markdown. Text that would be read as markup is escaped, HTML with it."""
    return "\n".join(_document(sheet)) + "\n"


def _document(sheet: Sheet) -> Iterator[str]:
    yield f"# {_text(sheet.title)}"
    yield ""
    for name, value in sheet.facts:
        yield f"- **{_text(name)}:** {_text(value)}"
    for section in sheet.sections:
        yield from _section(section)
    if sheet.foot:
        yield ""
        yield "---"
        yield ""
        yield from (f"- {_text(line)}" for line in sheet.foot)


def _section(section: Section) -> Iterator[str]:
    yield ""
    yield f"## {_text(section.heading)}"
    yield ""
    if section.table is not None:
        yield from _table(section.table)
        for line in section.lines:
            if line:
                yield ""
                yield _text(line)
        return
    for line in section.lines:
        numbered = _LINE_START.match(line)
        if numbered:
            yield f"{numbered[2]}. {_text(line[numbered.end() :])}"
        else:
            yield f"- {'[ ] ' if section.boxes else ''}{_text(line)}"


def _table(table: Table) -> Iterator[str]:
    yield f"| {' | '.join(_text(c) for c in table.columns)} |"
    yield f"| {' | '.join('---:' if i in table.right else '---' for i in range(len(table.columns)))} |"
    for row in table.rows:
        yield f"| {' | '.join(_text(c) for c in row)} |"


def _text(text: str) -> str:
    return _SPECIAL.sub(r"\\\1", text)
