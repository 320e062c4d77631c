"""A work sheet as PDF, through fpdf2 (loaded only when a PDF is made).

The sheet uses the fonts every PDF reader has, which know the western European letters; others are written as the
nearest letter they have, or a question mark. The HTML sheet has no such limit.
"""

from __future__ import annotations

import unicodedata
from datetime import datetime
from typing import TYPE_CHECKING

from assistant.sheets.sheet import Section, Sheet, Table

if TYPE_CHECKING:
    from fpdf import FPDF

_FONT = "Helvetica"
_BODY_PT = 8.0
_SMALL_PT = 7.0
_LINE_MM = 3.7
_SAME = str.maketrans({
    "–": "-", "—": "-", "−": "-", "“": '"', "”": '"', "„": '"', "‘": "'", "’": "'", "…": "...", "•": "*", "≥": ">=",
    "≤": "<=", "€": "EUR", "ł": "l", "Ł": "L", "đ": "d", "Đ": "D", "ı": "i", "œ": "oe", "Œ": "OE", "\u00a0": " ",
})  # fmt: skip


def plain_letters(text: str) -> str:
    """Text in the letters of Latin-1, as near as can be."""
    out = []
    for letter in text.translate(_SAME):
        if ord(letter) < 256:
            out.append(letter)
            continue
        bare = unicodedata.normalize("NFKD", letter).encode("latin-1", "ignore").decode("latin-1")
        out.append(bare or "?")
    return "".join(out)


def as_pdf(sheet: Sheet, stamp: datetime) -> bytes:
    """The sheet as a PDF document. `stamp` is its date of creation: equal input, equal bytes."""
    from fpdf import FPDF

    pdf = FPDF(format="A4", unit="mm")
    pdf.set_creation_date(stamp)
    pdf.set_title(plain_letters(sheet.title))
    pdf.set_margins(10, 9)
    pdf.set_auto_page_break(True, margin=9)
    pdf.add_page()
    pdf.set_font(_FONT, "B", 14)
    pdf.multi_cell(0, 7, plain_letters(sheet.title), new_x="LMARGIN", new_y="NEXT")
    pdf.line(pdf.l_margin, pdf.get_y(), pdf.w - pdf.r_margin, pdf.get_y())
    pdf.ln(1)
    _lines(pdf, ["   ".join(f"{name}: {value}" for name, value in sheet.facts)], _BODY_PT)
    for section in sheet.sections:
        _section(pdf, section)
    pdf.ln(1.5)
    pdf.line(pdf.l_margin, pdf.get_y(), pdf.w - pdf.r_margin, pdf.get_y())
    pdf.ln(0.8)
    _lines(pdf, list(sheet.foot), _SMALL_PT)
    return bytes(pdf.output())


def _lines(pdf: FPDF, lines: list[str], size: float, box: bool = False) -> None:
    pdf.set_font(_FONT, "", size)
    for line in lines:
        if not line:
            continue
        if box:
            y = pdf.get_y() + 0.6
            pdf.rect(pdf.l_margin, y, 2.2, 2.2)
            pdf.set_x(pdf.l_margin + 4)
        pdf.multi_cell(0, _LINE_MM, plain_letters(line), align="L", new_x="LMARGIN", new_y="NEXT")


def _section(pdf: FPDF, section: Section) -> None:
    if pdf.will_page_break(14):
        pdf.add_page()
    pdf.ln(1.6)
    pdf.set_font(_FONT, "B", 9)
    pdf.cell(0, 4.4, plain_letters(section.heading.upper()), new_x="LMARGIN", new_y="NEXT")
    if section.table is not None:
        _table(pdf, section.table)
    _lines(pdf, list(section.lines), _BODY_PT, section.boxes and section.table is None)


def _table(pdf: FPDF, table: Table) -> None:
    from fpdf.fonts import FontFace

    pdf.set_font(_FONT, "", _BODY_PT)
    aligns = tuple("RIGHT" if i in table.right else "LEFT" for i in range(len(table.columns)))
    widths = _widths(pdf, table)
    with pdf.table(
        col_widths=widths, width=sum(widths), align="LEFT", text_align=aligns, borders_layout="HORIZONTAL_LINES",
        line_height=_LINE_MM, headings_style=FontFace(emphasis="BOLD", size_pt=_SMALL_PT), padding=(0.1, 0.6, 0.1, 0),
    ) as grid:  # fmt: skip
        for cells in (table.columns, *table.rows):
            row = grid.row()
            for text in cells:
                row.cell(plain_letters(text))


def _widths(pdf: FPDF, table: Table) -> tuple[float, ...]:
    """Column widths by what they hold; where that is too much for the page, the widest column gives way. [mm]"""
    wanted = [
        max(pdf.get_string_width(plain_letters(text)) for text in column) + 3.0
        for column in zip(table.columns, *table.rows, strict=True)
    ]
    room = pdf.w - pdf.l_margin - pdf.r_margin
    if sum(wanted) <= room:
        return tuple(wanted)
    widest = max(range(len(wanted)), key=wanted.__getitem__)
    rest = sum(width for index, width in enumerate(wanted) if index != widest)
    if rest > 0.75 * room:
        return tuple(width * room / sum(wanted) for width in wanted)
    return tuple(room - rest if index == widest else width for index, width in enumerate(wanted))
