"""Line plots in braille dots, with axes and a legend that needs no colour (each line has its own mark)."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise
from math import floor, log10

from textual.content import Content

_DOT = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
STYLES = ("bold $primary", "bold $accent", "bold $secondary", "bold $warning", "bold $error", "$foreground")
MARKS = "①②③④⑤⑥"


@dataclass(frozen=True, slots=True)
class Line:
    """One curve: points (x, y) in rising x. A `thin` line is a bound and takes no place in the legend."""

    name: str
    points: tuple[tuple[float, float], ...]
    thin: bool = False
    colour: int = 0


@dataclass(frozen=True, slots=True)
class Plot:
    """Curves with titles for their axes; `here` marks an x, such as the temperature asked about."""

    title: str
    x_title: str
    y_title: str
    lines: tuple[Line, ...]
    here: float | None = None


def tidy_top(value: float) -> float:
    """The next number at or above a value that halves well: 1, 1.2, 1.5, 2, 3, 4, 5, 6, 8, 10 and tenfolds."""
    if value <= 0:
        return 1.0
    power = 10.0 ** floor(log10(value))
    return next(
        step * power for step in (1.0, 1.2, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0) if step * power >= value * 0.999
    )


def draw(plot: Plot, width: int, height: int) -> Content:
    """The plot as styled text of about `width` by `height` cells."""
    points = [p for line in plot.lines for p in line.points]
    if not points:
        return Content("nothing to draw")
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top = tidy_top(max(y for _, y in points))
    label_width = max(len(f"{top:g}"), 2)
    columns, rows = max(12, width - label_width - 2), max(4, height - 4)
    dots = [[0] * columns for _ in range(rows)]
    inks: list[list[int | None]] = [[None] * columns for _ in range(rows)]
    for line in plot.lines:
        _trace(line, dots, inks, left, right, top)
    parts: list[tuple[str, str] | str] = [(plot.title, "bold"), "\n", (f"{plot.y_title}\n", "$quiet")]
    named = [line for line in plot.lines if not line.thin]
    marks = _marks(named, left, right, top, columns, rows) if len(named) > 1 else {}
    here = None if plot.here is None else _column(plot.here, left, right, columns)
    for row in range(rows):
        value = top * (rows - row) / rows if row == 0 else top / 2 if row == rows // 2 else None
        parts.append((f"{value:>{label_width}g} ┤" if value is not None else " " * label_width + " │", "$quiet"))
        for column in range(columns):
            code, ink = dots[row][column], inks[row][column]
            if (row, column) in marks:
                number = marks[row, column]
                parts.append((MARKS[number], STYLES[named[number].colour % len(STYLES)]))
            elif code:
                parts.append((chr(0x2800 + code), STYLES[(ink or 0) % len(STYLES)]))
            else:
                parts.append(("┊", "$quiet") if column == here else " ")
        parts.append("\n")
    parts.append((" " * label_width + " └" + "─" * columns + "\n", "$quiet"))
    ends = f"{left:.3g}", f"{right:.3g}"
    middle = f"{plot.x_title}" + (f", ┊ at {plot.here:.3g}" if plot.here is not None else "")
    gap = max(1, columns - len(ends[0]) - len(ends[1]))
    parts.append((" " * (label_width + 2) + ends[0] + middle.center(gap)[:gap] + ends[1], "$quiet"))
    if len(named) > 1:
        parts.append("\n")
        for number, line in enumerate(named):
            last = line.points[-1][1]
            parts.append((f" {MARKS[number % len(MARKS)]} {line.name}", STYLES[line.colour % len(STYLES)]))
            parts.append((f" ({line.points[0][1]:.0f} → {last:.0f}) ", "$quiet"))
    return Content.assemble(*parts)


def _column(x: float, left: float, right: float, columns: int) -> int:
    return round((x - left) / ((right - left) or 1.0) * (columns - 1))


def _marks(
    named: list[Line], left: float, right: float, top: float, columns: int, rows: int
) -> dict[tuple[int, int], int]:
    """Where each line carries its number: one after the other along the lines, so that close ones don't collide."""
    out: dict[tuple[int, int], int] = {}
    for number, line in enumerate(named[: len(MARKS)]):
        column = min(columns - 1, 2 + number * max(3, columns // 8))
        x = left + (right - left) * column / max(1, columns - 1)
        before = max((p for p in line.points if p[0] <= x), default=line.points[0])
        after = min((p for p in line.points if p[0] >= x), default=line.points[-1])
        share = (x - before[0]) / ((after[0] - before[0]) or 1.0)
        y = before[1] + (after[1] - before[1]) * share
        out[min(rows - 1, max(0, int((1 - min(y, top) / top) * (rows - 1e-6)))), column] = number
    return out


def _trace(
    line: Line, dots: list[list[int]], inks: list[list[int | None]], left: float, right: float, top: float
) -> None:
    columns, rows = len(dots[0]), len(dots)
    wide, tall = columns * 2, rows * 4
    scaled = [
        ((x - left) / ((right - left) or 1.0) * (wide - 1), (1 - min(y, top) / top) * (tall - 1))
        for x, y in line.points
    ]
    for (x0, y0), (x1, y1) in pairwise(scaled):
        steps = max(1, round(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(steps + 1):
            x, y = round(x0 + (x1 - x0) * step / steps), round(y0 + (y1 - y0) * step / steps)
            if line.thin and x % 3:  # a bound is dotted
                continue
            row, column = y // 4, x // 2
            dots[row][column] |= _DOT[y % 4][x % 2]
            if not line.thin or inks[row][column] is None:
                inks[row][column] = line.colour
