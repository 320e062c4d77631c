"""A work sheet as plain text for a terminal, tables in columns."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterator

from assistant.sheets.sheet import Section, Sheet, Table

WIDTH = 110


def as_text(sheet: Sheet, width: int = WIDTH) -> str:
    """The sheet in lines of at most `width` columns; only a table whose cells need more runs wider."""
    return "\n".join(_document(sheet, width)) + "\n"


def _document(sheet: Sheet, width: int) -> Iterator[str]:
    yield from (sheet.title, "=" * columns(sheet.title))
    for name, value in sheet.facts:
        yield from _wrapped(f"{name}: {value}", width)
    for section in sheet.sections:
        yield from ("", section.heading, "-" * columns(section.heading))
        yield from _section(section, width)
    yield from ("", "-" * 40)
    for line in sheet.foot:
        yield from _wrapped(line, width)


def _section(section: Section, width: int) -> Iterator[str]:
    if section.table is not None:
        yield from _table(section.table, width)
    for line in section.lines:
        lead = "[ ] " if section.boxes and section.table is None else ""
        yield from _wrapped(lead + line, width)


def _wrapped(line: str, width: int) -> list[str]:
    return textwrap.wrap(line, width, subsequent_indent="    ", break_long_words=False, break_on_hyphens=False)


def _table(table: Table, width: int) -> Iterator[str]:
    wide = [max(columns(cell) for cell in column) for column in zip(table.columns, *table.rows, strict=True)]
    # The last column of a table of words is wrapped; numbers stay whole.
    last = len(wide) - 1
    if last not in table.right:
        wide[last] = max(20, min(wide[last], width - sum(wide[:last]) - 2 * last))
    for row in (table.columns, *table.rows):
        tail = _wrapped_cell(row[last], wide[last]) if last not in table.right else [row[last]]
        for index, part in enumerate(tail):
            cells = row if index == 0 else ("",) * len(row)
            texts = [_padded(cells[i], wide[i], i in table.right) for i in range(last)]
            texts.append(_padded(part, wide[last], last in table.right))
            yield "  ".join(texts).rstrip()


def _wrapped_cell(text: str, width: int) -> list[str]:
    return textwrap.wrap(text, width, break_long_words=False, break_on_hyphens=False) or [""]


def _padded(text: str, width: int, right: bool) -> str:
    space = " " * (width - columns(text))
    return space + text if right else text + space


def columns(text: str) -> int:
    """Terminal columns a text takes: wide letters two, combining marks none."""
    return sum(
        0 if unicodedata.combining(letter) else 2 if unicodedata.east_asian_width(letter) in "WF" else 1
        for letter in text
    )
