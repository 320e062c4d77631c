"""One turn on the screen: question, reply, cautions, figure cards; the live one also has its chips."""

from __future__ import annotations

import re

from textual.app import ComposeResult
from textual.containers import Vertical
from textual.content import Content
from textual.message import Message
from textual.widget import Widget
from textual.widgets import Static

from assistant.dialogue.answer import Input
from assistant.language.cleaning import safe_text
from assistant.screens.cards import cards_of
from assistant.screens.chips import ChipBar
from assistant.screens.knobs import knobs_of
from assistant.screens.labels import compact, input_value, input_words
from assistant.screens.names import Names
from assistant.screens.records import Record

_SENTENCE_END = re.compile(r"[.!?] (?=[A-Z“0-9])")


class TurnView(Vertical):
    """A turn as a few flat widgets. `number` is its place in the transcript."""

    class Chosen(Message):
        """The turn was clicked."""

        def __init__(self, view: TurnView) -> None:
            super().__init__()
            self.view = view

    def __init__(self, number: int, record: Record, names: Names, width: int, *, live: bool = False) -> None:
        super().__init__(classes="turn")
        self.number = number
        self.record = record
        self.names = names
        self.card_width = width
        self.live = live
        self._before = record
        self.set_class(live, "-live")

    def compose(self) -> ComposeResult:
        yield from self._pieces()

    def _pieces(self) -> list[Widget]:
        record, answer = self.record, self.record.answer
        lead, more = split_reply(safe_text(answer.reply)) if answer.figures else (safe_text(answer.reply), "")
        out: list[Widget] = [_text(self._question(), "question"), _text(self._lead(lead), "reply lead")]
        cautions = [_caution(answer.cautions)] if answer.cautions else []
        if answer.task == "hazard":  # here the caution is the answer
            out += cautions
        if answer.task != "explain":
            month = int(record.day[5:7]) if record.day[5:7].isdigit() else None
            out += cards_of(answer, self.names, us=record.us, width=self.card_width, month=month)
        fixed: list[Input] = []
        if self.live:
            knobs, fixed = knobs_of(answer.figures, record.us, self.names.vessels)
            if knobs:
                out.append(ChipBar(knobs))
        if answer.task != "hazard":
            out += cautions
        if more or answer.notices:
            out.append(
                _text(Content("\n").join([*([more] if more else []), *map(safe_text, answer.notices)]), "reply more")
            )
        if fixed:
            said = " · ".join(f"{input_words(i.name)} {input_value(i, record.us)}" for i in fixed)
            out.append(_text(Content.assemble(("also rests on  ", "$quiet"), (safe_text(said), "$quiet")), "rests"))
        return out

    def _question(self) -> Content:
        """The question; with a mark when a caution stands further down, perhaps out of sight."""
        count = len(self.record.answer.cautions)
        badge: list[tuple[str, str] | str] = []
        if count:
            badge = [
                "  ",
                (
                    "\u00a0▲\u00a0CAUTION\u00a0" if count == 1 else f"\u00a0▲\u00a0CAUTION\u00a0×{count}\u00a0",
                    "bold reverse $error",
                ),
            ]
        return Content.assemble(("› ", "bold $accent"), (safe_text(self.record.text), "bold"), *badge)

    def _lead(self, lead: str) -> Content:
        answer = self.record.answer
        parts: list[tuple[str, str] | str] = []
        if answer.outcome == "not_covered":
            parts.append(("not covered  ", "bold $warning"))
        elif answer.outcome == "asked_back":
            parts.append(("question back  ", "bold $secondary"))
        parts.append(lead)
        if self.record.changes:
            slot, reading = self.record.changes[-1]
            parts.append((f"\nwhat if: {input_words(slot)} {reading.said}", "bold $accent"))
            was = self._was()
            if was:
                parts.append((f"   was {was}", "$quiet"))
        return Content.assemble(*parts)

    def _was(self) -> str:
        """The headline before the what-ifs of this sitting."""
        old, new = self._before.answer.figures, self.record.answer.figures
        if not old or not new or old[0].kind != new[0].kind:
            return ""
        said = compact(old[0], self.record.us)
        return said if said != compact(new[0], self.record.us) else ""

    # --- changing it ----------------------------------------------------------------------------------------

    def show(self, record: Record, *, live: bool | None = None, width: int | None = None) -> None:
        """Another state of the same turn: texts change in place, widgets only where the pieces differ."""
        if live is not None and live != self.live:
            self.live = live
            self._before = record
        if width is not None:
            self.card_width = width
        self.record = record
        self.set_class(self.live, "-live")
        wanted = self._pieces()
        standing = [child for child in self.children if not child.has_class("extra")]
        if [_shape(w) for w in wanted] == [_shape(w) for w in standing]:
            for old, new in zip(standing, wanted, strict=True):
                if isinstance(old, ChipBar) and isinstance(new, ChipBar):
                    old.show(new.knobs)
                elif isinstance(old, Static) and isinstance(new, Static) and old.content != new.content:
                    old.update(new.content)
            return
        with self.app.batch_update():
            self._replace(standing, wanted)

    def _replace(self, standing: list[Widget], wanted: list[Widget]) -> None:
        """Keep what fits from the top and from the chips; swap what lies between."""
        kept: dict[str, Widget] = {_shape(w): w for w in standing if isinstance(w, ChipBar) or w.has_class("question")}
        for widget in standing:
            if _shape(widget) not in kept:
                widget.remove()
        anchor: Widget | None = None
        for widget in wanted:
            old = kept.get(_shape(widget))
            if old is not None:
                if isinstance(old, ChipBar) and isinstance(widget, ChipBar):
                    old.show(widget.knobs)
                anchor = old
            else:
                self.mount(widget, after=anchor) if anchor is not None else self.mount(widget)
                anchor = widget
        for shape, old in kept.items():
            if shape not in {_shape(w) for w in wanted}:
                old.remove()

    def toggle_extra(self, content: Content | None) -> None:
        """A plot under the cards; None takes it away."""
        for extra in self.query(".extra"):
            extra.remove()
        if content is not None:
            bars = list(self.query(ChipBar))
            extra = _text(content, "extra plot")
            self.mount(extra, before=bars[0]) if bars else self.mount(extra)

    def on_click(self) -> None:
        self.post_message(self.Chosen(self))


def split_reply(reply: str) -> tuple[str, str]:
    """The first sentence, which holds the figure, and the rest."""
    match = _SENTENCE_END.search(reply)
    return (reply[: match.start() + 1], reply[match.end() :]) if match else (reply, "")


def _shape(widget: Widget) -> str:
    """What a piece is; two pieces of one shape can take each other's content."""
    return f"{type(widget).__name__} {' '.join(sorted(widget.classes - {'-first'}))}"


def _text(content: Content, classes: str) -> Static:
    return Static(content, classes=classes, markup=False)


def _caution(cautions: tuple[str, ...]) -> Static:
    lines = [Content.assemble(("▲ ", "bold"), safe_text(caution)) for caution in cautions]
    box = Static(Content("\n").join(lines), classes="caution", markup=False)
    box.border_title = "CAUTION" if len(cautions) == 1 else f"CAUTION  {len(cautions)} things"
    return box
