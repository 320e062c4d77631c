"""Small pictures beside a figure. Each says with its pattern what a colour could only hint at."""

from __future__ import annotations

from collections.abc import Sequence
from math import ceil

Piece = tuple[str, str]  # text and style
MONTH_LETTERS = "JFMAMJJASOND"


def freshness(low: float, value: float, high: float, width: int, goal: float | None = None) -> list[Piece]:
    """Days as a bar: solid as long as it surely lasts, thinner where it may, dots where it is over.

    A cell is a day while that fits; a goal is marked by a flag between two days.
    """
    longest = max(high, goal or 0.0, 1.0)
    per_cell = max(1.0, longest / max(width - 2, 1))
    cells = max(1, ceil(longest / per_cell))
    sure, likely, may = (round(x / per_cell) for x in (low, value, high))
    marks = ["█"] * min(sure, cells) + ["▓"] * max(0, likely - sure) + ["░"] * max(0, may - max(likely, sure))
    marks = (marks + ["·"] * cells)[:cells]
    styles = {"█": "$success", "▓": "$success", "░": "$warning", "·": "$quiet"}
    pieces: list[Piece] = [(mark, styles[mark]) for mark in marks]
    if goal is not None:
        pieces.insert(min(cells, max(0, round(goal / per_cell))), ("⚑", "bold $accent"))
    return pieces


def spread(low: float, value: float, high: float, top: float, width: int) -> list[Piece]:
    """A range on a common scale from 0 to `top`: solid to its low end, light to its high end, the value marked."""
    if top <= 0:
        return [("·" * width, "$quiet")]
    at = [min(width, max(0, round(x / top * width))) for x in (low, value, high)]
    cells = ["█"] * at[0] + ["░"] * (at[2] - at[0])
    cells = (cells + [" "] * width)[:width]
    if low != high:
        cells[min(width - 1, max(0, at[1] - 1))] = "▓"
    styles = {"█": "$primary", "▓": "bold $accent", "░": "$primary", " ": ""}
    return [(cell, styles[cell]) for cell in cells]


def vessel(level: float, height: float, rows: int = 3, width: int = 7) -> list[list[Piece]]:
    """A vessel from the side, filled to `level` of `height`, as `rows` lines."""
    share = min(1.0, max(0.0, level / height)) if height > 0 else 0.0
    eighths = round(share * rows * 8)
    out: list[list[Piece]] = []
    for row in range(rows - 1, -1, -1):
        filled = min(8, max(0, eighths - row * 8))
        out.append([("▌", "$quiet"), (" ▁▂▃▄▅▆▇█"[filled] * width, "$secondary"), ("▐", "$quiet")])
    return out


def bunches(count: int, pack: float, spare: float, width: int) -> list[Piece]:
    """One mark a bunch, the spare ones hollow; beyond the width a mark stands for several."""
    if count <= 0:
        return []
    each = max(1, ceil(count / max(width, 1)))
    marks = ceil(count / each)
    hollow = min(marks - 1, int(spare // (pack * each))) if pack > 0 else 0
    pieces: list[Piece] = [("▮" * (marks - hollow), "$primary"), ("▯" * hollow, "$quiet")]
    if each > 1:
        pieces.append((f" each mark {each} bunches", "$quiet"))
    return pieces


def months(present: Sequence[int], now: int | None = None) -> list[Piece]:
    """The twelve months by their letters; those without it are dots, the current one in brackets."""
    out: list[Piece] = []
    for month, letter in enumerate(MONTH_LETTERS, 1):
        mark = letter if month in present else "·"
        style = "bold $success" if month in present else "$quiet"
        out.append((f"[{mark}]" if month == now else f" {mark} ", style))
    return out


def swatches(colours: Sequence[str], most: int = 6) -> list[Piece]:
    """Colours as pairs of cells on a drawn base line, so that white on white still shows."""
    out: list[Piece] = []
    for colour in colours[:most]:
        out.append(("▁▁", f"$quiet on {colour}"))
        out.append((" ", ""))
    if len(colours) > most:
        out.append((f"+{len(colours) - most}", "$quiet"))
    return out


def timeline(days: Sequence[int], span: int, width: int) -> list[Piece]:
    """A material over a display: planted on day 0, a diamond where it is replaced."""
    cells = ["─"] * max(width, 1)
    for day in days:
        cells[_cell(day, span, width)] = "◆"
    cells[0] = "●"
    return [(cell, "bold $accent" if cell == "◆" else "$primary") for cell in cells]


def day_ruler(span: int, width: int, first: str = "0") -> str:
    """Day numbers above a timeline, as many as fit."""
    line = [" "] * (width + 4)
    step = next((s for s in (1, 2, 5, 7, 10, 14, 28, 56, 112) if span / s <= max(1, width // 4)), max(1, span))
    for day in range(0, span + 1, step):
        label = first if day == 0 else str(day)
        at = _cell(day, span, width)
        if all(c == " " for c in line[max(0, at - 1) : at + len(label)]):
            line[at : at + len(label)] = label
    return "".join(line).rstrip()


def _cell(day: int, span: int, width: int) -> int:
    return min(width - 1, max(0, round(day / max(span, 1) * (width - 1))))
