"""The PDF sheet."""

from __future__ import annotations

import re
import subprocess
import sys
import zlib
from datetime import UTC, datetime

import pytest

from assistant.handbook.loading import Handbook
from assistant.sheets.parts import Plan
from assistant.sheets.pdf import as_pdf, plain_letters
from assistant.sheets.plan import plan
from assistant.sheets.sheet import Section, Sheet, Table, sheet_of

from .conftest import STAMP, small


def shown(data: bytes) -> str:
    """The text of all pages, in the order it is set."""
    out = []
    for stream in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", data, re.S):
        try:
            content = zlib.decompress(stream).decode("latin-1")
        except zlib.error:
            continue
        out += re.findall(r"\(((?:\\.|[^\\()])*)\) Tj", content)
    return " ".join(re.sub(r"\\([()\\])", r"\1", text) for text in out)


def test_the_demo_is_all_there(made: Plan) -> None:
    sheet = sheet_of(made)
    data = as_pdf(sheet, STAMP)
    assert data.startswith(b"%PDF-")
    text = " ".join(shown(data).split())
    for section in sheet.sections:
        assert plain_letters(section.heading.upper()) in text
        if section.table is not None:
            for row in section.table.rows:
                for word in " ".join(row).split():
                    assert plain_letters(word) in text
    assert len(re.findall(rb"/Type /Page\b", data)) <= 2


def test_equal_input_gives_equal_bytes(made: Plan) -> None:
    sheet = sheet_of(made)
    assert as_pdf(sheet, STAMP) == as_pdf(sheet, STAMP)
    assert as_pdf(sheet, STAMP) != as_pdf(sheet, datetime(2026, 11, 26, tzinfo=UTC))


@pytest.mark.parametrize(
    ("text", "plain"),
    [
        ("7–9 °C ½ ×", "7-9 °C ½ ×"),
        ("Łódź", "Lódz"),
        ("“so” – €5…", '"so" - EUR5...'),
        ("花", "?"),
        ("ﬁne", "fine"),
        ("≥ 2", ">= 2"),
    ],
)
def test_letters_the_fonts_lack_are_written_as_near_as_can_be(text: str, plain: str) -> None:
    assert plain_letters(text) == plain


def test_foreign_letters_and_brackets_do_not_break_the_file(handbook: Handbook) -> None:
    made = plan(small(title="花 (best) \\ Łódź", notes=["**bold** __under__ --strike-- <b>"]), handbook)
    text = shown(as_pdf(sheet_of(made), STAMP))
    assert "? (best) \\ Lódz" in text
    assert "**bold** __under__ --strike-- <b>" in text


def test_long_words_and_long_tables_fit_on_pages() -> None:
    table = Table(("Material", "Note"), tuple((f"row {n}", "word " * 60) for n in range(80)))
    sheet = Sheet("Long", (), (Section("Table", table), Section("Lines", lines=("x" * 400,))), ("end",))
    data = as_pdf(sheet, STAMP)
    text = shown(data)
    assert all(f"row {n}" in text for n in range(80))
    assert len(re.findall(rb"/Type /Page\b", data)) > 3


def test_the_library_is_loaded_only_for_a_pdf() -> None:
    code = (
        "import sys, assistant.sheets.pdf, assistant.sheets.calendar, assistant.sheets.commands\n"
        "print([name for name in ('fpdf', 'icalendar') if name in sys.modules])"
    )
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert run.stdout.strip() == "[]", run.stderr
