"""A work sheet as one HTML file: prints on white paper in black, one A4 page where it fits, nothing fetched."""

from __future__ import annotations

from collections.abc import Iterator
from html import escape

from assistant.sheets.sheet import Section, Sheet, Table

_STYLE = """
@page { size: A4; margin: 9mm 10mm; }
* { box-sizing: border-box; }
body { font: 8.6pt/1.28 "Helvetica Neue", Arial, sans-serif; color: #000; background: #fff;
  margin: 0 auto; max-width: 190mm; }
h1 { font-size: 15pt; margin: 0 0 1mm; border-bottom: 1.2pt solid #000; padding-bottom: 1mm; }
h2 { font-size: 9.4pt; margin: 2.6mm 0 .6mm; letter-spacing: .02em; text-transform: uppercase; break-after: avoid; }
dl { display: flex; flex-wrap: wrap; gap: 0 5mm; margin: 0; }
dl div { display: flex; gap: 1.2mm; }
dt { font-weight: bold; }
dd { margin: 0; }
table { border-collapse: collapse; min-width: 55%; }
thead { display: table-header-group; }
tr { break-inside: avoid; }
th, td { text-align: left; padding: .25mm 1.8mm .25mm 0; vertical-align: top; white-space: nowrap; }
th, td { border-bottom: .4pt solid #999; }
th { border-bottom: .8pt solid #000; font-size: 7.6pt; }
td:last-child:not(.r) { white-space: normal; }
th:last-child, td:last-child { padding-right: 0; }
.r { text-align: right; font-variant-numeric: tabular-nums; }
ul { list-style: none; margin: 0; padding: 0; }
li { padding-left: 4.4mm; text-indent: -4.4mm; }
li.box::before { content: "\\2610"; display: inline-block; width: 4.4mm; text-indent: 0; }
li.plain { padding-left: 0; text-indent: 0; }
p { margin: .8mm 0 0; }
footer { margin-top: 3mm; border-top: .8pt solid #000; padding-top: 1mm; font-size: 7.4pt; }
@media screen { body { padding: 8mm; } }
""".strip()


def as_html(sheet: Sheet) -> str:
    """The sheet as a whole HTML document. Every text is escaped; there is no script, no link, no outside file."""
    return "\n".join(_document(sheet)) + "\n"


def _document(sheet: Sheet) -> Iterator[str]:
    yield "<!doctype html>"
    yield '<html lang="en">'
    yield f'<head><meta charset="utf-8"><title>{_text(sheet.title)}</title><style>{_STYLE}</style></head>'
    yield f"<body><h1>{_text(sheet.title)}</h1>"
    facts = "".join(f"<div><dt>{_text(name)}</dt><dd>{_text(value)}</dd></div>" for name, value in sheet.facts)
    yield f"<dl>{facts}</dl>"
    for section in sheet.sections:
        yield from _section(section)
    yield f"<footer>{''.join(f'<p>{_text(line)}</p>' for line in sheet.foot)}</footer>"
    yield "</body></html>"


def _section(section: Section) -> Iterator[str]:
    yield f"<section><h2>{_text(section.heading)}</h2>"
    if section.table is not None:
        yield from _table(section.table)
        yield from (f"<p>{_text(line)}</p>" for line in section.lines if line)
    elif section.lines:
        kind = "box" if section.boxes else "plain"
        yield f"<ul>{''.join(f'<li class={chr(34)}{kind}{chr(34)}>{_text(line)}</li>' for line in section.lines)}</ul>"
    yield "</section>"


def _table(table: Table) -> Iterator[str]:
    def cell(tag: str, index: int, text: str) -> str:
        side = ' class="r"' if index in table.right else ""
        return f"<{tag}{side}>{_text(text)}</{tag}>"

    yield f"<table><thead><tr>{''.join(cell('th', i, c) for i, c in enumerate(table.columns))}</tr></thead><tbody>"
    for row in table.rows:
        yield f"<tr>{''.join(cell('td', i, c) for i, c in enumerate(row))}</tr>"
    yield "</tbody></table>"


def _text(text: str) -> str:
    return escape(text, quote=True)
