"""Figure cards: the number large, its range, a small picture, what it rests on."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from textual.content import Content
from textual.widgets import Static

from assistant.dialogue.answer import Answer, CandidateShown, Figure
from assistant.screens import pictures
from assistant.screens.labels import compact, input_value, kind_words, shown
from assistant.screens.names import Names
from assistant.screens.numerals import HEIGHT, large
from assistant.screens.pictures import Piece

_BASIS = {"published": "published", "memory": "from memory of the literature", "practice": "common practice"}
_MOST_ROWS = 6


class Card(Static):
    """A bordered block of styled text; never read as markup."""

    def __init__(self, content: Content, *, classes: str = "") -> None:
        super().__init__(content, classes=f"card {classes}".strip(), markup=False)


def cards_of(
    answer: Answer, names: Names, *, us: bool = False, width: int = 76, month: int | None = None
) -> list[Card]:
    """The cards of an answer: plans as a timeline, like figures side by side, the first other figure large."""
    out: list[Card] = []
    rest = list(answer.figures)
    plans = [f for f in rest if f.kind == "refresh_dates"]
    if plans:
        out.append(Card(plan_card(plans, names, width), classes="plan"))
        rest = [f for f in rest if f.kind != "refresh_dates"]
    if answer.candidates:
        out.append(Card(candidates_card(answer.candidates, names, width), classes="candidates"))
        shown_ids = {c.material for c in answer.candidates}
        rest = [f for f in rest if f.material not in shown_ids]
    while rest:
        same = [f for f in rest if f.kind == rest[0].kind and f.unit == rest[0].unit]
        if len(same) > 1 and len({f.material for f in same}) == len(same):
            out.append(Card(compared_card(same, names, us, width), classes="compared"))
            rest = [f for f in rest if f not in same]
        elif not out or out[-1].has_class("large") is False:
            out.append(Card(large_card(rest[0], names, us, width, month), classes="large"))
            rest = rest[1:]
        else:
            out.append(Card(Content("\n").join([small_line(f, names, us) for f in rest]), classes="small"))
            rest = []
    return out


def large_card(figure: Figure, names: Names, us: bool, width: int, month: int | None = None) -> Content:
    """The headline of one figure: three rows of number, and beside it range, picture and basis."""
    said = shown(figure, us)
    digits = large(said.number)
    vessel = _vessel_rows(figure)
    space = max(20, width - len(digits[0]) - 2 - (9 if vessel else 0))
    beside = [
        _said_line(said.unit, said.span, figure, us),
        _picture(figure, names, min(56, space), month, us),
        _basis_line(figure, space),
    ]
    lines = [
        Content.assemble(
            (names.name(figure.material) or "this job", "bold"), ("  " + kind_words(figure.kind), "$quiet")
        )
    ]
    for row in range(HEIGHT):
        pieces: list[Content | tuple[str, str] | str] = [(digits[row], "bold $accent"), "  "]
        if vessel:
            pieces += [*vessel[row], "  "]
        pieces.append(beside[row])
        lines.append(Content.assemble(*pieces))
    return Content("\n").join(lines)


def _said_line(unit: str, span: str, figure: Figure, us: bool) -> Content:
    parts: list[tuple[str, str]] = [(unit, "bold")]
    if span:
        parts.append((f"   between {span.replace(' to ', ' and ')}", ""))
    spare = _spare(figure)
    if spare is not None:
        ordered, extra, _ = spare
        parts.append((f"   {ordered:.0f} stems, {extra:.0f} spare", ""))
    return Content.assemble(*parts)


def _spare(figure: Figure) -> tuple[float, float, float] | None:
    """Stems ordered, stems over the need, stems a bunch; None where the figure is no order."""
    if figure.kind != "bunches":
        return None
    values = {item.name: float(item.value) for item in figure.inputs if isinstance(item.value, int | float)}
    # A bunch may be a small one: count on no more than its short end, as the reply does.
    values |= {i.name: float(i.low) for i in figure.inputs if i.name == "pack_size" and i.low is not None}
    if "pack_size" not in values or "stems" not in values:
        return None
    ordered = figure.value * values["pack_size"]
    return ordered, max(0.0, ordered - values["stems"]), values["pack_size"]


def _goal(figure: Figure) -> float | None:
    return next(
        (float(i.value) for i in figure.inputs if i.name == "display_days" and isinstance(i.value, int | float)), None
    )


def _picture(figure: Figure, names: Names, width: int, month: int | None, us: bool) -> Content:
    pieces: list[Piece] = []
    spare = _spare(figure)
    if figure.kind == "shelf_life":
        pieces = pictures.spread(figure.low, figure.value, figure.high, figure.high, min(width, 24))
    elif figure.unit == "d":
        goal = _goal(figure)
        pieces = pictures.freshness(figure.low, figure.value, figure.high, width - 12, goal)
        longest = max(figure.high, goal or 0.0)
        pieces.append((f" {longest:.0f} d" if longest >= 1 else "", "$quiet"))
    elif spare is not None:
        pieces = pictures.bunches(round(figure.value), spare[2], spare[1], min(width - 4, 40))
    elif figure.kind == "bunches":
        pieces = pictures.bunches(round(figure.value), 1.0, 0.0, min(width - 4, 40))
    elif figure.kind == "season_months":
        pieces = pictures.months(names.months(figure.material), month)
    elif figure.kind == "colours" and figure.material:
        pieces = pictures.swatches(names.colours(figure.material), width // 3)
    elif _vessel_rows(figure) is not None and figure.low == figure.high:
        pieces = [(f"filled to {_level_words(figure, us)}", "")]
    elif figure.low != figure.high and figure.high > 0:
        pieces = pictures.spread(max(figure.low, 0.0), figure.value, figure.high, figure.high, min(width, 24))
    return Content.assemble(*pieces) if pieces else Content("")


def _level_words(figure: Figure, us: bool) -> str:
    return next((input_value(item, us) for item in figure.inputs if item.name == "fill_level"), "")


def _vessel_rows(figure: Figure) -> list[list[Piece]] | None:
    """A filled vessel, where the figure is about one whose height is known."""
    values = {item.name: float(item.value) for item in figure.inputs if isinstance(item.value, int | float)}
    level = values.get("fill_level")
    if level is None or figure.kind not in ("vessel_volume", "water_needed", "days_until_refill", "filled_weight"):
        return None
    return pictures.vessel(level, values.get("vessel_height", level / 0.85), HEIGHT, 5)


def _basis_line(figure: Figure, room: int) -> Content:
    """How well the figure stands; cut rather than wrapped, since the "why?" and the passages say it in full."""
    parts = []
    if figure.basis:
        parts.append(_BASIS.get(figure.basis, figure.basis))
    if figure.sources:
        parts.append(", ".join(figure.sources[:3]) + (" …" if len(figure.sources) > 3 else ""))
    return Content.assemble((_cut(": ".join(parts) if parts else figure.formula, room), "$quiet"))


def small_line(figure: Figure, names: Names, us: bool) -> Content:
    """A further figure on one line."""
    who = names.name(figure.material)
    return Content.assemble(
        ("• ", "$quiet"),
        (compact(figure, us), "bold"),
        f"  {kind_words(figure.kind)}",
        (f"  {who}" if who else "", "$quiet"),
    )


def compared_card(figures: Sequence[Figure], names: Names, us: bool, width: int) -> Content:
    """Figures of one kind on a common scale."""
    rows = figures[:_MOST_ROWS]
    top = max(f.high for f in rows)
    label = min(max(len(names.name(f.material) or kind_words(f.kind)) for f in rows), max(12, width // 4))
    bar = max(8, min(40, width - label - 26))
    legend = "   ▓ most likely, ░ how far it may reach" if any(f.low != f.high for f in rows) else ""
    lines = [Content.assemble((kind_words(rows[0].kind), "bold"), (legend, "$quiet"))]
    for figure in rows:
        name = (names.name(figure.material) or "all")[:label]
        lines.append(
            Content.assemble(
                f"{name:<{label}} ",
                *pictures.spread(figure.low, figure.value, figure.high, top, bar),
                " ",
                (compact(figure, us), "bold"),
            )
        )
    if len(figures) > len(rows):
        lines.append(Content.assemble((f"and {len(figures) - len(rows)} more", "$quiet")))
    return Content("\n").join(lines)


def plan_card(figures: Sequence[Figure], names: Names, width: int) -> Content:
    """A refresh plan: one line a material over the days of the display."""
    rows = figures[: _MOST_ROWS + 2]
    span = max(1, round(max((_goal(f) or 14.0) for f in rows)))
    label = min(max(len(names.name(f.material)) for f in rows), max(12, width // 3))
    bar = max(10, min(span + 1 if span > 20 else span * 2 + 1, width - label - 12, 60))
    lines = [
        Content.assemble(("refresh plan", "bold"), (f"   {span} days   ● set up  ◆ replace", "$quiet")),
        Content.assemble((" " * (label + 1) + pictures.day_ruler(span, bar), "$quiet")),
    ]
    for figure in rows:
        days = [_day(date, figure, n) for n, date in enumerate(figure.dates)]
        visits = "stays" if not figure.dates else f"{len(figure.dates)}×"
        lines.append(
            Content.assemble(
                f"{names.name(figure.material)[:label]:<{label}} ",
                *pictures.timeline(days, span, bar),
                " ",
                (visits, "bold"),
            )
        )
    dated = list(dict.fromkeys(date for f in rows for date in f.dates if date[:1].isdigit()))
    if dated:
        lines.append(
            Content.assemble(("on " + ", ".join(sorted(dated)[:6]) + (" …" if len(dated) > 6 else ""), "$quiet"))
        )
    return Content("\n").join(lines)


def _day(date: str, figure: Figure, number: int) -> int:
    """The day number of a visit; dated plans are spread by their dates from the first visit's day."""
    if date.startswith("day "):
        return int(date[4:])
    from datetime import date as day_of

    first = day_of.fromisoformat(figure.dates[0])
    every = (
        (day_of.fromisoformat(figure.dates[1]) - first).days
        if len(figure.dates) > 1
        else round((_goal(figure) or 14) / 2)
    )
    return every + (day_of.fromisoformat(date) - first).days if number else every


def candidates_card(candidates: Sequence[CandidateShown], names: Names, width: int) -> Content:
    """Ranked materials with their colours, amounts and what sets each apart."""
    rows = candidates[:_MOST_ROWS]
    often = Counter(_short(why) for row in rows for why in row.why)
    label = min(max(len(names.name(c.material)) for c in rows), max(12, width // 4))
    score, hues = (6, 3) if width >= 84 else (0, 2)
    why_room = max(10, width - label - 20 - score - hues * 3)
    head = "what can serve, best first"
    lines = [
        Content.assemble(
            (head, "bold"), (f"{'stems  bunches':>{max(16, label + hues * 3 + 3 + score + 14 - len(head))}}", "$quiet")
        )
    ]
    for rank, row in enumerate(rows, 1):
        colours = names.colours(row.material)[:hues]
        gap = "   " * (hues - len(colours))
        # What all of them share tells nobody which to take: the rarest reason comes first.
        why = _fitting(sorted(map(_short, row.why), key=often.__getitem__), why_room)
        stems = f"{row.stems}" if row.stems is not None else "–"
        bunches = f"{row.bunches}" if row.bunches is not None else "–"
        lines.append(
            Content.assemble(
                (f"{rank} ", "$quiet"),
                *pictures.swatches(colours),
                gap,
                (f"{names.name(row.material)[:label]:<{label}}", "bold"),
                " ",
                *pictures.spread(row.score, row.score, row.score, 1.0, score),
                f"{stems:>5} {bunches:>8}   ",
                (why, "$quiet"),
            )
        )
    return Content("\n").join(lines)


def _fitting(reasons: Sequence[str], room: int) -> str:
    """As many whole reasons as fit, at least a piece of the first."""
    out = _cut(reasons[0], room) if reasons else ""
    for reason in reasons[1:]:
        if len(out) + len(reason) + 2 <= room:
            out += f"; {reason}"
    return out


def _cut(text: str, room: int) -> str:
    if len(text) <= room:
        return text
    kept = text[: max(0, room - 1)]
    return (kept if text[len(kept)] == " " else kept.rsplit(" ", 1)[0]) + "…"


def _short(why: str) -> str:
    return why.removeprefix("named in the handbook: ")
