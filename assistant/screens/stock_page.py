"""The stock as a page: lots in the order to use them, days left, and what came, left or moved written down."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import TYPE_CHECKING, ClassVar

from textual import events, on
from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.content import Content
from textual.widgets import Input, OptionList, Static
from textual.widgets.option_list import Option

from assistant.language.cleaning import TooLong, safe_text
from assistant.screens.line import LineInput
from assistant.screens.pages import Page
from assistant.screens.sizes import WIDE

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.stock.lives import LotLife
    from assistant.stock.lots import Lot, UseKind

_SAY = "say what came in, left or moved: got 4 bunches of stock today"
_KEYS = "Tab list, line  u used  s sold  d discarded  m moved  x mistake  Esc back"
_EMPTY = (
    "There is nothing in stock yet.\n\n"
    "Say what came in, in the line below, such as\n"
    "  got 4 bunches of stock today\n"
    "  40 roses came in on Monday, in the cooler at 3 degrees\n"
    "The lot that must be used first then stands at the top, with the days it has left."
)
_STEMS = re.compile(r"(?P<stems>\d{1,6})(?: ?stems?)?")
# Dried material keeps for years; in days nobody could read that.
_MONTHS_FROM_D, _MONTH_D = 100, 30.44
_VERBS = {"used": "used", "sold": "sold", "discarded": "thrown away"}


class StockPage(Page):
    """Each key asks for what it needs in the line at the bottom; Enter there writes it down."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("u", "take('used')", "Used", show=False),
        Binding("s", "take('sold')", "Sold", show=False),
        Binding("d", "take('discarded')", "Discarded", show=False),
        Binding("m", "move", "Moved", show=False),
        Binding("x", "mistake", "Entered by mistake", show=False),
        Binding("down", "to_list", "List", show=False),
        Binding("f6", "leave", "Back", show=False),
    ]
    AUTO_FOCUS = ""

    def __init__(self, context: Context) -> None:
        super().__init__()
        self.context = context
        self._rows: list[LotLife] = []
        # What the line at the bottom is for, when it is not for a whole sentence.
        self._asked: Callable[[str], str] | None = None

    def compose(self) -> ComposeResult:
        yield self.title_line("Stock")
        yield self.keys_line(_KEYS)
        yield Static("", id="lots-head", markup=False)
        yield OptionList(id="lots", classes="list", markup=False)
        yield Static(_EMPTY, id="lots-empty", markup=False)
        yield Static("", id="said", markup=False)
        yield LineInput(_SAY)

    def on_mount(self) -> None:
        self._refresh()
        self.set_focus(self._list if self._rows else self._line)

    def on_resize(self, event: events.Resize) -> None:
        self._show_rows()

    @property
    def _list(self) -> OptionList:
        return self.query_one("#lots", OptionList)

    @property
    def _line(self) -> LineInput:
        return self.query_one(LineInput)

    @property
    def _chosen(self) -> LotLife | None:
        at = self._list.highlighted
        return self._rows[at] if at is not None and at < len(self._rows) else None

    # --- showing --------------------------------------------------------------------------------------------

    def _refresh(self) -> None:
        from assistant.calculators.ranges import OutOfRange
        from assistant.screens.shelf import in_use_first_order
        from assistant.stock.lots import StockError

        try:
            self._rows = in_use_first_order(self.context)
        except (StockError, OutOfRange) as error:
            self._rows = []
            self._say(str(error))
        self._show_rows()

    def _show_rows(self) -> None:
        wide = self.app.size.width >= WIDE
        listing, kept = self._list, self._chosen
        names = {row.lot.id: self._called(row.lot) for row in self._rows}
        listing.clear_options()
        listing.add_options(
            [
                Option(lot_line(row, names[row.lot.id], self.context.today, wide), id=str(row.lot.id))
                for row in self._rows
            ]
        )
        if self._rows:
            ids = [row.lot.id for row in self._rows]
            listing.highlighted = ids.index(kept.lot.id) if kept is not None and kept.lot.id in ids else 0
        listing.display = bool(self._rows)
        self.query_one("#lots-empty").display = not self._rows
        head = self.query_one("#lots-head", Static)
        head.display = bool(self._rows)
        label = 32 if wide else 22
        head.update(Content(f"{'lot':>4}  {'name':<{label}} {'stems':>6}  {'left':<9}{'use by':<12}stands"))
        stems = sum(row.lot.left for row in self._rows)
        lots = "1 lot" if len(self._rows) == 1 else f"{len(self._rows)} lots"
        counted = f"   {lots}, {stems} stems; days are for a vase with food at 20 °C" if self._rows else ""
        self.query_one(".page-title", Static).update(Content(f"Stock{counted}"))

    def _called(self, lot: Lot) -> str:
        known = self.context.handbook.materials.get(lot.material)
        return safe_text(known.name if known else lot.material)

    def _say(self, sentence: str) -> None:
        self.query_one("#said", Static).update(Content(safe_text(sentence)))

    # --- writing down ---------------------------------------------------------------------------------------

    @on(Input.Submitted)
    def submitted(self, event: Input.Submitted) -> None:
        event.stop()
        text = self._line.hand_over()
        work, back_to_list = self._asked or self._sentence, self._asked is not None
        self._ask_nothing()
        if text:
            self._do(lambda: work(text))
        if back_to_list and self._rows:
            self.set_focus(self._list)

    def _do(self, work: Callable[[], str]) -> None:
        """Do one thing, say what was done or why it was not, show what there is now."""
        from assistant.calculators.ranges import OutOfRange
        from assistant.stock.lots import StockError

        try:
            sentence = work()
        except (StockError, OutOfRange, TooLong) as error:
            self._say(str(error))
            return
        self._refresh()
        self._say(sentence)

    def _sentence(self, text: str) -> str:
        from assistant.screens.shelf import said_to_stock
        from assistant.stock.said import from_sentence

        entry = from_sentence(text, self.context.parser, lambda: self.context.today)
        if entry is None:
            return "Say what came in, left or moved, with its name and number, such as “got 4 bunches of stock today”."
        return said_to_stock(entry, self.context).reply

    def action_take(self, kind: UseKind) -> None:
        row = self._chosen
        if row is None:
            self._say("There is no lot to take from.")
            return
        lot = row.lot

        def take(text: str) -> str:
            from assistant.language.numbers import words_to_digits
            from assistant.stock.ledger import Ledger
            from assistant.stock.lots import StockError

            said = words_to_digits(text.lower())
            match = _STEMS.fullmatch(said)
            if match is None and said != "all":
                raise StockError(f"“{text}” is no number of stems; write a whole number, or “all”.")
            stems = int(match["stems"]) if match else lot.left
            with Ledger() as ledger:
                ledger.take([(lot.id, stems)], kind, self.context.today)
            return f"{stems} stems of {self._called(lot)} {_VERBS[kind]}, from lot {lot.id}."

        self._ask_for(
            f"how many stems of lot {lot.id}, {self._called(lot)}, were {_VERBS[kind]}? a number, or all", take
        )

    def action_move(self) -> None:
        row = self._chosen
        if row is not None:
            self._do(lambda: self._moved(row.lot))

    def _moved(self, lot: Lot) -> str:
        from assistant.stock.entries import chill_warning, stand_for
        from assistant.stock.ledger import Ledger
        from assistant.stock.lots import StockError
        from assistant.stock.said import degrees

        material = self.context.handbook.materials.get(lot.material)
        if material is None:
            raise StockError(f"“{lot.material}” is not in the handbook any more, so its place can't be worked out.")
        if material.is_dry:
            raise StockError(f"{self._called(lot).capitalize()} is kept dry; it goes to neither cooler nor bench.")
        to_bench = lot.now.method.startswith("cooler")
        stand = stand_for(material, self.context.handbook, self.context.today, "bench" if to_bench else "cooler")
        with Ledger() as ledger:
            ledger.move([(lot.id, stand)])
        place = "on the bench" if to_bench else "in the cooler"
        warning = chill_warning(material, stand)
        sentence = (
            f"Lot {lot.id}, {self._called(lot)}, is {place} at {degrees(stand.low_degC, stand.high_degC)} from today."
        )
        return f"{sentence} {warning}" if warning else sentence

    def action_mistake(self) -> None:
        row = self._chosen
        if row is None:
            return
        lot = row.lot

        def remove(text: str) -> str:
            from assistant.stock.ledger import Ledger

            if text.lower() not in ("yes", "y"):
                return f"Lot {lot.id} stays."
            with Ledger() as ledger:
                ledger.remove(lot.id)
            return f"Lot {lot.id} is gone from the stock, with its history."

        self._ask_for(
            f"was lot {lot.id}, {self._called(lot)}, entered by mistake? yes takes it out with its history", remove
        )

    def _ask_for(self, question: str, work: Callable[[str], str]) -> None:
        self._asked = work
        self._line.placeholder = "type the answer, Enter writes it down, Esc leaves it"
        self._say(question[:1].upper() + question[1:])
        self._line.lay_out("")

    def _ask_nothing(self) -> None:
        self._asked = None
        self._line.placeholder = _SAY

    # --- moving about ---------------------------------------------------------------------------------------

    def action_to_list(self) -> None:
        if self._rows:
            self.set_focus(self._list)

    def action_leave(self) -> None:
        """Esc goes back one step: from a key's question, from a typed line, from the page."""
        if self._asked is not None or self._line.value:
            self._ask_nothing()
            self._line.value = ""
            self._say("")
            self.set_focus(self._list if self._rows else self._line)
        else:
            self.dismiss(None)


def lot_line(row: LotLife, name: str, today: date, wide: bool) -> Content:
    """One lot on one line; what is due says so in a word, not by colour alone."""
    from assistant.stock.said import days_words, degrees

    lot, label = row.lot, 32 if wide else 22
    shown = name if len(name) <= label else name[: label - 1] + "…"
    left = days_words(row.left.days) if row.left else "unknown"
    if row.left and row.left.days.low >= _MONTHS_FROM_D:
        left = f"{row.left.days.low / _MONTH_D:.0f}–{row.left.days.high / _MONTH_D:.0f} mo"
    due = row.use_by is not None and row.use_by <= today
    by = "use now" if due else _day_words(row.use_by, today) if row.use_by else ""
    parts: list[tuple[str, str] | str] = [
        f"{lot.id:>4}  ",
        (f"{shown:<{label}}", "bold"),
        f" {lot.left:>6}  {left:<9}",
        (f"{by:<12}", "bold reverse" if due else ""),
        f"{place_words(lot)} {degrees(lot.now.low_degC, lot.now.high_degC)}",
    ]
    if lot.note and wide:
        parts.append(f"  ({safe_text(lot.note)})")
    return Content.assemble(*parts)


def _day_words(day: date, today: date) -> str:
    return f"{day.day} {day:%b}" if day.year == today.year else f"{day.day} {day:%b %Y}"


def place_words(lot: Lot) -> str:
    """Where a lot stands, in a word or two."""
    return {
        "cooler-wet": "cooler", "cooler-dry": "cooler, dry", "vase-food": "bench", "plain-water": "bench, plain water",
        "out-of-water": "dry",
    }.get(lot.now.method, lot.now.method.replace("-", " "))  # fmt: skip
