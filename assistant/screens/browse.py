"""The handbook as a list: search, narrow by kind, role, colour, season and life, sort, open an entry."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, ClassVar

from textual import on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import ItemGrid
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from assistant.language.cleaning import safe_text
from assistant.screens import pictures
from assistant.screens.catalogue import KINDS, LIVES, MONTHS, ROLES, SORTS, Row, View, colour_names, narrowed, rows_of
from assistant.screens.chips import Chip
from assistant.screens.entry import EntryPage
from assistant.screens.knobs import Knob
from assistant.screens.pages import Page
from assistant.screens.sizes import WIDE

if TYPE_CHECKING:
    from assistant.dialogue.context import Context

_ANY = "any"
_RULES_SHOWN = 6


class BrowsePage(Page):
    """Materials that fit, then the rules of the craft that fit the words typed."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("down", "to_list", "List", show=False),
        Binding("f2", "leave", "Back", show=False),
    ]
    AUTO_FOCUS = "#browse-search"

    def __init__(self, context: Context, text: str = "") -> None:
        super().__init__()
        self.context = context
        self.view = View(text=text)
        self._rows = rows_of(context)
        self._choices = {
            "kind": (_ANY, *KINDS),
            "role": (_ANY, *ROLES),
            "colour": (_ANY, *colour_names(self._rows)),
            "season": (_ANY, *MONTHS),
            "life": (_ANY, *LIVES),
            "sort": SORTS,
        }

    def compose(self) -> ComposeResult:
        yield self.title_line("The handbook")
        yield self.keys_line("type to search   Tab filters   ↑↓ list   Enter open   Esc back")
        search = Input(
            self.view.text,
            placeholder="a name, a colour, a word …",
            id="browse-search",
            select_on_focus=False,
            max_length=200,
        )
        search.cursor_blink = False
        yield search
        yield ItemGrid(*(Chip(self._knob(name)) for name in self._choices), min_column_width=22, id="filters")
        yield Static("", id="browse-head", markup=False)
        yield OptionList(id="browse-list", classes="list", markup=False)

    def on_mount(self) -> None:
        self._fill()

    def _knob(self, name: str) -> Knob:
        value = self._value(name)
        return Knob(name, name, value, "id", "", value.replace("-", " "), choices=self._choices[name])

    def _value(self, name: str) -> str:
        if name == "season":
            return MONTHS[self.view.month - 1] if self.view.month else _ANY
        return str(getattr(self.view, name)) or _ANY

    @on(Chip.Turned)
    def narrow(self, event: Chip.Turned) -> None:
        event.stop()
        value = event.reading.text
        chosen = "" if value == _ANY else value
        match event.slot:
            case "season":
                self.view = replace(self.view, month=MONTHS.index(value) + 1 if chosen else 0)
            case "kind":
                self.view = replace(self.view, kind=chosen)
            case "role":
                self.view = replace(self.view, role=chosen)
            case "colour":
                self.view = replace(self.view, colour=chosen)
            case "life":
                self.view = replace(self.view, life=chosen)
            case _:
                self.view = replace(self.view, sort=value)
        for chip in self.query(Chip):
            if chip.knob.slot == event.slot:
                chip.show(self._knob(event.slot))
        self._fill()

    @on(Input.Changed, "#browse-search")
    def search(self, event: Input.Changed) -> None:
        event.stop()
        self.view = replace(self.view, text=safe_text(event.value))
        self._fill()

    @on(Input.Submitted, "#browse-search")
    def open_first(self, event: Input.Submitted) -> None:
        event.stop()
        options = self.query_one(OptionList)
        if options.option_count and options.get_option_at_index(0).id:
            self._open(str(options.get_option_at_index(0).id))

    @on(OptionList.OptionSelected)
    def open_row(self, event: OptionList.OptionSelected) -> None:
        event.stop()
        if event.option.id:
            self._open(event.option.id)

    def action_to_list(self) -> None:
        self.set_focus(self.query_one(OptionList))

    def _open(self, entry: str) -> None:
        def back(line: str | None) -> None:
            if line:
                self.dismiss(line)

        self.app.push_screen(EntryPage(entry, self.context), back)

    def _fill(self) -> None:
        rows = narrowed(self._rows, self.view)
        width = self.app.size.width
        wide = width >= WIDE
        label = 30 if wide else 22
        swatches = max(2, min(12, (width - label - 47 - 16 * wide) // 3))
        options = [Option(_line(row, label, swatches, wide), id=row.id) for row in rows]
        options += self._rules()
        listing = self.query_one(OptionList)
        listing.clear_options()
        listing.add_options(options)
        if options:
            listing.highlighted = 0
        on_market = "  on the market" if wide else ""
        head = (
            f"{'name':<{label}}  {'life':<12}{'kind':<10} {'as':<16} colours{' ' * max(0, swatches * 3 - 5)}{on_market}"
        )
        self.query_one("#browse-head", Static).update(Content(head))
        self.query_one(".page-title", Static).update(Content(f"The handbook   {len(rows)} of {len(self._rows)}"))

    def _rules(self) -> list[Option]:
        if len(self.view.text) < 3 or self.context.retriever is None:
            return []
        found = self.context.retriever.search(self.view.text, limit=40).hits
        rules = [hit.passage for hit in found if hit.passage.id.split("/")[0] not in self.context.handbook.materials][
            :_RULES_SHOWN
        ]
        return [Option(Content.assemble(("rule  ", "$quiet"), passage.title), id=passage.id) for passage in rules]


def _line(row: Row, label: int, most: int, wide: bool) -> Content:
    roles = ", ".join(row.roles)
    swatches = pictures.swatches([srgb for _, srgb in row.colours], most)
    name = row.name if len(row.name) <= label else row.name[: label - 1] + "…"
    parts: list[tuple[str, str] | str] = [(f"{name:<{label}}", "bold")]
    parts += [f"  {row.life_words:<12}{row.kind:<10} {roles[:16]:<16} ", *swatches]
    if wide:
        parts.append(" " * max(1, most * 3 + 4 - sum(len(words) for words, _ in swatches)))
        parts.append("".join(c if n in row.months else "·" for n, c in enumerate(pictures.MONTH_LETTERS, 1)))
    return Content.assemble(*parts)
