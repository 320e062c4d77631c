"""The HTML sheet: every text arrives as text, nothing is fetched, nothing runs."""

from __future__ import annotations

from html.parser import HTMLParser

from hypothesis import given
from hypothesis import strategies as st

from assistant.handbook.loading import Handbook
from assistant.sheets.html import as_html
from assistant.sheets.parts import Plan
from assistant.sheets.plan import plan
from assistant.sheets.sheet import Section, Sheet, Table, sheet_of

from .conftest import small

TAGS = {
    "html", "head", "meta", "title", "style", "body", "h1", "h2", "dl", "div", "dt", "dd", "section", "table", "thead",
    "tbody", "tr", "th", "td", "ul", "li", "p", "footer",
}  # fmt: skip
ATTRIBUTES = {("html", "lang"), ("meta", "charset"), ("th", "class"), ("td", "class"), ("li", "class")}
EVIL = (
    "<script>alert(1)</script>",
    '"><img src=x onerror=alert(1)>',
    "</title><b>",
    "&lt;i&gt;",
    "javascript:x",
    "a & b",
)


class Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.tags: list[str] = []
        self.open: list[str] = []
        self.attributes: set[tuple[str, str]] = set()
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.attributes |= {(tag, name) for name, _ in attrs}
        if tag != "meta":
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] != "style" and data.strip():
            self.texts.append(data)


def parsed(text: str) -> Reader:
    reader = Reader()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    assert set(reader.tags) <= TAGS
    assert reader.attributes <= ATTRIBUTES
    return reader


def texts(sheet: Sheet) -> list[str]:
    """All texts of a sheet in the order they are written."""
    out = [sheet.title, sheet.title, *(part for fact in sheet.facts for part in fact)]
    for section in sheet.sections:
        out.append(section.heading)
        if section.table is not None:
            out += [*section.table.columns, *(cell for row in section.table.rows for cell in row)]
        out += section.lines
    return [text for text in [*out, *sheet.foot] if text.strip()]


def test_the_demo_is_written_whole(made: Plan) -> None:
    sheet = sheet_of(made)
    assert parsed(as_html(sheet)).texts == texts(sheet)


def test_evil_texts_stay_texts(handbook: Handbook) -> None:
    made = plan(
        small(
            title=EVIL[0],
            notes=list(EVIL),
            recipe=[{"material": "rose", "stems": 3, "note": EVIL[1], "colour": EVIL[2]}],
        ),
        handbook,
    )
    sheet = sheet_of(made)
    reader = parsed(as_html(sheet))
    assert reader.texts == texts(sheet)
    assert any(EVIL[1] in text for text in reader.texts)


_TEXT = st.text(st.characters(codec="utf-8", exclude_categories=["C", "Zl", "Zp"]), min_size=1).filter(str.strip)


@given(title=_TEXT, cell=_TEXT, line=_TEXT)
def test_any_text_comes_back(title: str, cell: str, line: str) -> None:
    table = Table((cell, "b"), ((line, cell),), frozenset({1}))
    sheet = Sheet(
        title, ((cell, line),), (Section(title, table, (line,)), Section(cell, lines=(line,), boxes=True)), (line,)
    )
    assert parsed(as_html(sheet)).texts == texts(sheet)


def test_nothing_is_fetched_and_it_prints_in_black(made: Plan) -> None:
    text = as_html(sheet_of(made))
    style = text[text.index("<style>") : text.index("</style>")]
    for word in ("http", "url(", "@import", "<script", "<link", "<img"):
        assert word not in text
    assert "@page" in style
    colours = {part.split(";")[0] for part in style.replace("}", ";").split("#")[1:]}
    assert {colour.split()[0] for colour in colours} <= {"000", "fff", "999"}
