"""What there is to plot behind an answer: life against temperature, water over the days."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.dialogue.answer import Answer, Figure
from assistant.language.question import Reading
from assistant.screens.labels import in_their_units
from assistant.screens.plots import Line, Plot

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.dialogue.memory import Wish
    from assistant.handbook.models import Material

_DISPLAY = (10.0, 32.0)
_MOST_LINES = 5


def plot_of(answer: Answer, context: Context, wishes: tuple[Wish, ...] = (), us: bool = False) -> Plot | None:
    """The plot people would rather look at, in the units they speak, or None where an answer has none."""
    refill = next((f for f in answer.figures if f.kind == "days_until_refill"), None)
    if refill is not None:
        plot = water_plot(refill)
        return _in_us_units(plot) if plot is not None and us else plot
    ids = [f.material for f in answer.figures if f.material and f.kind in ("days_remaining", "refresh_dates")]
    # An answer kept from an older handbook may name what is no longer in this one.
    materials = [context.material(i) for i in dict.fromkeys(ids or answer.materials) if i in context.handbook.materials]
    materials = [m for m in materials if m.vase_life is not None]
    if not materials:
        return None
    base = next((w for w in wishes if w.task in ("longevity", "compare", "refresh", "storage")), None)
    plot = life_plot(materials[:_MOST_LINES], context, base, _asked_temperature(answer))
    return _in_us_units(plot) if plot is not None and us else plot


def _in_us_units(plot: Plot) -> Plot:
    """The same curves on a Fahrenheit or inch axis."""

    def across(x: float) -> float:
        return in_their_units(x, "degC", True)[0] if plot.x_title == "°C" else x

    def up(y: float) -> float:
        return in_their_units(y, "cm", True)[0] if plot.y_title == "cm" else y

    lines = tuple(replace(line, points=tuple((across(x), up(y)) for x, y in line.points)) for line in plot.lines)
    titles = {"°C": "°F", "cm": "in"}
    return replace(
        plot,
        lines=lines,
        here=None if plot.here is None else across(plot.here),
        x_title=titles.get(plot.x_title, plot.x_title),
        y_title=titles.get(plot.y_title, plot.y_title),
    )


def life_plot(
    materials: list[Material], context: Context, wish: Wish | None = None, here: float | None = None
) -> Plot | None:
    """Days of life against the temperature of the display, other conditions as asked."""
    lines: list[Line] = []
    for number, material in enumerate(materials):
        points = _life_points(material, context, wish, here)
        if len(points) < 2:
            continue
        lines.append(Line(material.name, tuple((t, e.value) for t, e in points), colour=number))
        if len(materials) == 1:
            lines.append(Line("low", tuple((t, e.low) for t, e in points), thin=True, colour=number))
            lines.append(Line("high", tuple((t, e.high) for t, e in points), thin=True, colour=number))
    if not lines:
        return None
    who = materials[0].name if len(materials) == 1 else "side by side"
    return Plot(f"life against temperature, {who}", "°C", "days", tuple(lines), here)


def _life_points(
    material: Material, context: Context, wish: Wish | None, here: float | None
) -> list[tuple[float, Estimate]]:
    from assistant.dialogue.inputs import Inputs
    from assistant.dialogue.lives import life_of
    from assistant.dialogue.memory import Item, Wish
    from assistant.dialogue.wording import Speech

    if material.is_dry or material.vase_life is None:
        return []
    base = (
        replace(wish, task="longevity", items=(Item(material.id),))
        if wish is not None
        else Wish("longevity", (Item(material.id),))
    )
    out: list[tuple[float, Estimate]] = []
    # Rooms, not coolers: at 2 °C the curve would be all that is seen. What was asked about is always on it.
    low, high = (
        min(_DISPLAY[0], (here if here is not None else 20.0) - 4),
        max(_DISPLAY[1], (here if here is not None else 20.0) + 4),
    )
    for degrees in range(floor(low), ceil(high) + 1):
        asked = base.with_slot("display_temperature", Reading(float(degrees), "degC", float(degrees), float(degrees)))
        try:
            life = life_of(material, Inputs(context, asked, Speech()))
        except OutOfRange:
            continue
        if life is not None:
            out.append((float(degrees), life.days))
    return out


def water_plot(figure: Figure) -> Plot | None:
    """Water level until it is time to refill, straight-line between the ends of the range."""
    values = {i.name: float(i.value) for i in figure.inputs if isinstance(i.value, int | float)}
    level = values.get("fill_level")
    if level is None or figure.high <= 0:
        return None
    stop = level * values.get("lowest_share", 0.5)
    ends = max(figure.high, 0.1)
    lines = [
        Line("most likely", ((0.0, level), (figure.value, stop))),
        Line("soonest", ((0.0, level), (figure.low, stop)), thin=True, colour=1),
    ]
    lines.append(Line("latest", ((0.0, level), (ends, stop)), thin=True, colour=2))
    lines.append(Line("refill", ((0.0, stop), (ends, stop)), thin=True, colour=4))
    return Plot("water level over the days, dotted: soonest, latest, refill line", "days", "cm", tuple(lines))


def _asked_temperature(answer: Answer) -> float | None:
    for figure in answer.figures:
        for item in figure.inputs:
            if item.name == "display_temperature" and isinstance(item.value, int | float):
                return float(item.value)
    return None
