"""Which lasts longer, drinks more, is hardier: materials side by side on one measure."""

from __future__ import annotations

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.dialogue.answer import CandidateShown, Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.lives import life_of
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.pools import is_narrowed, pool, pool_words
from assistant.dialogue.wording import capital, listed
from assistant.handbook.models import Material

_SHOWN = 6


def answer(wish: Wish, desk: Desk) -> Draft:
    thirst = wish.superlative in ("thirstiest", "driest") or any(
        w in wish.text
        for w in (
            "thirst",
            "drinks most",
            "drink more",
            "drinks more",
            "more water",
            "most water",
            "least water",
            "less water",
        )
    )
    if len(wish.items) >= 2:
        materials = [desk.context.material(item.id) for item in wish.items]
    elif wish.items and (not is_narrowed(wish) or _in_its_state(wish, desk)):
        return _one_against_standard(wish, desk)
    elif is_narrowed(wish) or wish.superlative:
        materials = list(pool(wish, desk.context))
    else:
        return asked_back("Which materials shall I compare? Name two or more.", "materials")
    inputs = desk.inputs(wish)
    named = inputs.assumptions if len(wish.items) >= 2 else []
    rows = [(m, f) for m in materials if (f := _measure(m, wish, desk, thirst, named)) is not None]
    missing = [m for m in materials if m.id not in {row[0].id for row in rows}] if len(wish.items) >= 2 else []
    if not rows:
        return not_covered(
            "The handbook has no figure to compare them on.",
            [p for m in materials[:4] for p in desk.context.sections(m.id, "life", "water")],
        )
    downwards = wish.superlative not in ("shortest", "driest")
    rows.sort(
        key=lambda row: (
            (-row[1].low if downwards else row[1].high),
            (-row[1].value if downwards else row[1].value),
            row[0].id,
        )
    )
    if len(wish.items) >= 2 and not downwards:
        rows.sort(key=lambda row: (row[1].value, row[0].id))
    elif len(wish.items) >= 2:
        rows.sort(key=lambda row: (-row[1].value, row[0].id))
    draft = Draft("")
    top = rows if len(wish.items) >= 2 else rows[:_SHOWN]
    draft.figures = [figure for _, figure in top]
    if len(wish.items) < 2:
        best = max(f.value for _, f in rows) or 1.0
        draft.candidates = [CandidateShown(m.id, max(0.0, min(1.0, f.value / best)), (_words(f),)) for m, f in top]
    draft.lead = _lead(top, wish, desk, thirst)
    if missing:
        draft.more.append(f"No figure in the handbook for {listed([m.name for m in missing])}.")
    if not thirst and len(wish.items) < 2 and any(not m.is_dry for m, _ in top):
        inputs.display_temperature()
        inputs.support()
    draft.assumptions = inputs.assumptions
    for material, _ in top[:4]:
        draft.passages += desk.context.sections(
            material.id, "water" if thirst else "keeping" if material.is_dry else "life"
        )
    for material, _ in top[:2]:
        draft.passages += desk.context.sections(material.id, "names")
    draft.follow_ups = ["and at 27 °C?", "and out of water?", "why?"]
    return draft


def _measure(material: Material, wish: Wish, desk: Desk, thirst: bool, assumptions: list[str]) -> Figure | None:
    """The figure of one material; what its life takes for granted goes to `assumptions`."""
    if thirst:
        if material.is_dry:
            return None
        uptake = desk.context.uptake(material)
        return Figure.of("water_uptake", material.id, uptake, "ml/d", formula="uptake of a stem in the reference room")
    support = wish.slot("support")
    if support is not None and support.text == "out-of-water" and not material.is_dry:
        return _out_of_water(material, wish, desk, assumptions)
    inputs = desk.inputs(Wish("longevity", (Item(material.id),), wish.asked, wish.earlier))
    inputs.assumptions = assumptions
    try:
        found = life_of(material, inputs)
    except OutOfRange:
        return None
    return found.figure if found else None


def _out_of_water(material: Material, wish: Wish, desk: Desk, assumptions: list[str]) -> Figure | None:
    """Out of water only materials with a figure of their own are ranked: a guess would win too easily."""
    entry = material.out_of_water
    if entry is None:
        return None
    inputs = desk.inputs(Wish("longevity", (Item(material.id),), wish.asked, wish.earlier))
    inputs.assumptions = assumptions
    try:
        found = life_of(material, inputs)
    except OutOfRange:
        return None
    if found is not None:
        return found.figure
    low, high = entry.span
    return Figure.of(
        "days_remaining",
        material.id,
        Estimate(low, (low + high) / 2, high),
        "d",
        formula="handbook row",
        sources=entry.source,
        basis=entry.basis,
    )


def _words(figure: Figure) -> str:
    if figure.unit == "ml/d":
        return f"{figure.value:.0f} ml a day ({figure.low:.0f}–{figure.high:.0f})"
    if figure.kind == "shelf_life":
        return f"{figure.value / 30.44:.0f} months ({figure.low / 30.44:.0f}–{figure.high / 30.44:.0f})"
    digits = 1 if figure.high < 3 else 0
    return f"{figure.value:.{digits}f} days ({figure.low:.{digits}f}–{figure.high:.{digits}f})"


def _lead(rows: list[tuple[Material, Figure]], wish: Wish, desk: Desk, thirst: bool) -> str:
    names = [desk.context.plural(m.id) for m, _ in rows]
    if len(wish.items) < 2:
        best, figure = rows[0]
        how = {"shortest": "goes first", "driest": "drinks least", "thirstiest": "drinks most"}.get(
            wish.superlative or "", "lasts longest"
        )
        rest = listed([f"{n} {_words(f)}" for n, (_, f) in zip(names[1:4], rows[1:4], strict=False)])
        return (
            f"Of {pool_words(wish)}, {best.name} {how}: {_words(figure)}; then {rest}."
            if rest
            else f"{capital(best.name)} {how}: {_words(figure)}."
        )
    listing = listed([f"{n} {_words(f)}" for n, (_, f) in zip(names, rows, strict=True)])
    first, second = rows[0][1], rows[1][1]
    overlap = first.low <= second.high and second.low <= first.high
    verb = "drink most" if thirst else "go first" if wish.superlative == "shortest" else "last longest"
    if wish.superlative == "driest":
        verb = "drink least"
    if first.value == second.value:
        verdict = "No difference by the handbook"
    else:
        verdict = f"{capital(names[0])} {verb}" + (", though the ranges overlap" if overlap else "")
    return f"{verdict}: {listing}."


def _in_its_state(wish: Wish, desk: Desk) -> bool:
    """Are the kinds said only the state of the one material named: "the preserved wheat or the dried"?"""
    kinds = wish.slot("kinds")
    told = set(kinds.words) if kinds else set()
    return bool(told) and told <= {"dried", "preserved"} and desk.context.material(wish.items[0].id).is_dry


def _one_against_standard(wish: Wish, desk: Desk) -> Draft:
    """ "Are chrysanthemums long-lasting?": one material and the usual week of a cut flower."""
    from assistant.dialogue.tasks.longevity import answer as life

    draft = life(wish, desk)
    if draft.figures and draft.figures[0].kind == "days_remaining":
        value = draft.figures[0].value
        word = "a long laster" if value >= 12 else "about the middle of the field" if value >= 7 else "short-lived"
        draft.more.insert(0, f"Among cut material that is {word}.")
    return draft
