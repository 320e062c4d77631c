"""What there is to plot behind an answer: life against temperature, water over the days."""

from __future__ import annotations

from dataclasses import replace
from math import ceil, floor
from typing import TYPE_CHECKING

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.dialogue.answer import Answer, Figure
from assistant.language.question import Reading
from assistant.screens.plots import Line, Plot

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.dialogue.memory import Wish
    from assistant.handbook.models import Material

_DISPLAY = (10.0, 32.0)
_MOST_LINES = 5


def plot_of(answer: Answer, context: Context, wishes: tuple[Wish, ...] = ()) -> Plot | None:
    """The plot people would rather look at, or None where an answer has none."""
    refill = next((f for f in answer.figures if f.kind == "days_until_refill"), None)
    if refill is not None:
        return water_plot(refill)
    ids = [f.material for f in answer.figures if f.material and f.kind in ("days_remaining", "refresh_dates")]
    ids = list(dict.fromkeys(ids or [i for i in answer.materials if context.material(i).vase_life is not None]))
    if not ids:
        return None
    base = next((w for w in wishes if w.task in ("longevity", "compare", "refresh", "storage")), None)
    return life_plot([context.material(i) for i in ids[:_MOST_LINES]], context, base, _asked_temperature(answer))


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
