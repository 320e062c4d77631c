"""Why a figure is what it is: its formula with the numbers put in, its sources, and which input moves it most."""

from __future__ import annotations

from dataclasses import replace

from assistant.calculators.ranges import OutOfRange
from assistant.dialogue.answer import Answer, Figure, Input
from assistant.dialogue.context import Context
from assistant.dialogue.desk import Desk
from assistant.dialogue.memory import Wish
from assistant.dialogue.tasks import task_function
from assistant.dialogue.wording import capital, listed, significant
from assistant.language.question import Reading

_ORIGIN = {"asked": "you said", "earlier": "from before", "handbook": "handbook", "assumed": "assumed"}
_UNITS = {"degC": "°C", "d": "days", "ratio": "", "stems": "stems", "money": ""}


def input_words(item: Input) -> str:
    """`display_temperature 24 degC asked` as "display temperature 24 °C (you said)"."""
    if isinstance(item.value, str):
        value = item.value.replace("-", " ")
    elif item.low is not None and item.high is not None and item.low != item.high:
        value = f"{significant(item.low)}–{significant(item.high)}"
    else:
        value = significant(item.value, 4)
    unit = _UNITS.get(item.unit, item.unit)
    return f"{item.name.replace('_', ' ')} {value}{' ' + unit if unit else ''} ({_ORIGIN[item.origin]})"


def figure_words(figure: Figure, context: Context) -> str:
    """One figure with its range, unit and basis, such as "days remaining of carnation: 12 days (10–14)"."""
    name = (
        f" of {context.name(figure.material)}"
        if figure.material and figure.material in context.handbook.materials
        else ""
    )
    unit = _UNITS.get(figure.unit, figure.unit)
    value = _number(figure.value)
    low, high = _number(figure.low), _number(figure.high)
    span = f" ({low}–{high})" if (low, high) != (value, value) else ""
    label = _label(figure)
    dates = f": {', '.join(figure.dates[:8])}" if figure.dates else ""
    basis = {"practice": "; common practice", "memory": "; from memory"}.get(figure.basis, "")
    return f"{label}{name}: {value}{' ' + unit if unit else ''}{span}{dates}{basis}"


def _label(figure: Figure) -> str:
    """What a figure is called: its kind, or what the handbook row says it is."""
    if figure.kind == "guideline":
        return figure.formula.removesuffix(" (handbook row)")
    return figure.kind.replace("_", " ")


def _number(value: float) -> str:
    return f"{value:,.0f}" if abs(value) >= 100 else significant(value)


def explain_figures(answer: Answer, context: Context) -> str:
    """The working of the figures of an answer, in words."""
    if not answer.figures:
        return "There is no computed figure behind that; the passages below are the handbook's own words."
    said = []
    for figure in answer.figures[:3]:
        name = (
            f" of {context.name(figure.material)}"
            if figure.material in context.handbook.materials and figure.material
            else ""
        )
        inputs = listed([input_words(i) for i in figure.inputs]) or "the handbook's row"
        said.append(
            f"{capital(figure.kind.replace('_', ' '))}{name}: {significant(figure.value)} {_UNITS.get(figure.unit, figure.unit)} "
            f"({significant(figure.low)}–{significant(figure.high)}) = {figure.formula}, from {inputs}."
        )
    if len(answer.figures) > 3:
        said.append(f"The other {len(answer.figures) - 3} are worked out the same way.")
    return " ".join(said)


def list_sources(answer: Answer, context: Context) -> str:
    """The sources behind an answer, by figure first, then by passage."""
    ids = list(
        dict.fromkeys([s for f in answer.figures for s in f.sources] + [s for p in answer.passages for s in p.sources])
    )
    if not ids:
        return "Common practice of the trade; the handbook names no published source for this."
    lines = []
    for source_id in ids[:8]:
        source = context.handbook.sources[source_id]
        year = f", {source.year}" if source.year else ""
        author = f"{source.authors.rstrip('.')}. " if source.authors else ""
        seen = f" [{source.seen}]" if source.seen and len(source.seen) < 60 else ""
        lines.append(f"{author}{source.title}{year}{seen}.")
    practice = any(not f.sources and f.basis == "practice" for f in answer.figures)
    tail = " Figures without a source are common practice of the trade." if practice else ""
    more = f" And {len(ids) - 8} more." if len(ids) > 8 else ""
    return " ".join(lines) + more + tail


_STEPS: tuple[tuple[str, float, str], ...] = (
    ("display_temperature", 3.0, "degC"),
    ("humidity", 15.0, "%"),
    ("stored_days", 2.0, "d"),
    ("elapsed_days", 1.0, "d"),
    ("stems", 5.0, "stems"),
    ("loss_rate", 5.0, "%"),
    ("confidence", 5.0, "%"),
    ("pack_size", 5.0, "stems"),
    ("volume", 1.0, "l"),
    ("strength", 1.0, "%"),
    ("display_days", 3.0, "d"),
)


def what_moves(wishes: tuple[Wish, ...], desk: Desk) -> str:
    """Which input moves the figure most, by how much: each is nudged alone and the figure recomputed."""
    moves: list[tuple[float, str]] = []
    for wish in wishes[:1]:
        base = _first(wish, desk)
        if base is None:
            return "There is no computed figure to move."
        inputs = {i.name: i for i in base.inputs if not isinstance(i.value, str)}
        for name, step, unit in _STEPS:
            if name not in inputs:
                continue
            scale = 100.0 if unit == "%" and inputs[name].unit == "ratio" else 1.0
            value = float(inputs[name].value) * scale + step
            items = tuple(replace(i, stems=None) for i in wish.items) if name == "stems" else wish.items
            try:
                nudged = _first(
                    replace(wish, items=items).with_slot(name, Reading(value, unit, value, value, f"{value:g}")), desk
                )
            except OutOfRange:
                continue
            if nudged is not None and nudged.kind == base.kind:
                change = nudged.value - base.value
                words = {"degC": "°C warmer", "d": "days more"}.get(unit, f"{unit} more")
                moves.append(
                    (
                        abs(change),
                        f"{name.replace('_', ' ')}: {step:g} {words} changes it by {change:+.2g} {_UNITS.get(base.unit, base.unit)}".rstrip(),
                    )
                )
        if "support" in {i.name for i in base.inputs}:
            for support, label in (("foam-kept-wet", "in foam"), ("plain-water", "in plain water")):
                nudged = _first(wish.with_slot("support", Reading(support, "id", said=label)), desk)
                if nudged is not None and abs(nudged.value - base.value) > 0.01:
                    moves.append(
                        (
                            abs(nudged.value - base.value),
                            f"standing {label} changes it by {nudged.value - base.value:+.2g} days",
                        )
                    )
    if not moves:
        return "Nothing in the inputs would move that figure."
    moves.sort(reverse=True)
    return "What moves it most: " + "; ".join(text for _, text in moves[:3]) + "."


def _first(wish: Wish, desk: Desk) -> Figure | None:
    draft = task_function(wish.task)(wish, desk)
    return draft.figures[0] if draft.figures else None
