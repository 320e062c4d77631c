"""Markdown and plain text."""

from __future__ import annotations

import re

import pytest

from assistant.sheets.markdown import as_markdown
from assistant.sheets.parts import Plan
from assistant.sheets.sheet import Section, Sheet, Table, sheet_of
from assistant.sheets.text import as_text, columns


def one(text: str) -> Sheet:
    return Sheet(
        text,
        ((text, text),),
        (Section(text, Table((text, "b"), ((text, text),))), Section("x", lines=(text,))),
        (text,),
    )


@pytest.mark.parametrize(
    "text", ["<script>x</script>", "a | b", "# head", "[x](javascript:y)", "*b* _i_ `c`", "![i](u)", "\\", "&amp;"]
)
def test_no_text_becomes_markup(text: str) -> None:
    made = as_markdown(one(text))
    bare = re.sub(r"\\(.)", "", made)  # what is left after every escaped character is gone
    assert not re.search(r"<|>|`|\]\(|(?<!\*)\*(?!\*)|_|&|!", bare)
    rows = [line for line in made.splitlines() if line.startswith("|")]
    assert all(len(re.findall(r"(?<!\\)(?:\\\\)*\|", row)) == 3 for row in rows)


def test_escapes_read_back_as_the_text() -> None:
    text = "a|b*c_d`e<f>g[h]i#j\\k"
    made = as_markdown(one(text))
    assert re.sub(r"\\(.)", r"\1", made.splitlines()[0]) == f"# {text}"


def test_the_demo_has_all_its_tables_and_lines(made: Plan) -> None:
    sheet = sheet_of(made)
    text = as_markdown(sheet)
    assert text.count("\n## ") == len(sheet.sections)
    assert text.count("\n| ---") == sum(section.table is not None for section in sheet.sections)
    plain = re.sub(r"\\(.)", r"\1", text)
    for section in sheet.sections:
        for line in section.lines:
            assert line in plain


def test_plain_text_keeps_every_cell_and_lines_up(made: Plan) -> None:
    sheet = sheet_of(made)
    text = as_text(sheet)
    squeezed = " ".join(text.split())
    for section in sheet.sections:
        assert section.heading in text
        if section.table is not None:
            for cell in (cell for row in section.table.rows for cell in row[:-1]):
                assert cell in squeezed
    order = text[text.index("Order for the day") :].splitlines()[2:11]
    assert len({len(line) for line in order}) == 1  # the last column is right-aligned: all lines end together


def test_wide_letters_take_two_columns() -> None:
    assert (columns("abc"), columns("花"), columns("e\u0301")) == (3, 2, 1)
    table = Table(("a", "b"), (("花", "1"), ("xy", "2")), frozenset({1}))
    rows = as_text(Sheet("t", (), (Section("s", table),), ())).splitlines()[5:8]
    assert [columns(row) for row in rows] == [5, 5, 5]
