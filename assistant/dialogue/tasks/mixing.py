"""How much of an agent goes into water, with what must never be mixed."""

from __future__ import annotations

from assistant.calculators.mixing import (
    Mix,
    bleach_dose,
    bleach_ppm,
    by_parts,
    per_litre,
    percent_solution,
    ppm_solution,
)
from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import number_span
from assistant.handbook.models import Dose

_AGENTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("bleach", ("bleach", "hypochlorite", "chlorine", "sanitis", "sanitiz", "disinfect")),
    ("glycerin", ("glycerin", "glycerine")),
    ("sugar", ("sugar", "sucrose")),
    ("acid", ("citric", "acid", "lemon", "vinegar")),
    (
        "food",
        (
            "food",
            "preservative",
            "feed",
            "powder",
            "sachet",
            "solution",
            "concentrate",
            "nutrition",
            "product",
            "tub",
            "scoop",
        ),
    ),
)


def answer(wish: Wish, desk: Desk) -> Draft:
    named = [name for name, words in _AGENTS if any(word in wish.text for word in words)]
    chosen = wish.slot("agent")
    if chosen is not None:
        named = [chosen.text]
    elif not named and wish.slot("label_dose") is not None:
        named = ["food"]
    elif not named and wish.slot("concentration") is not None:
        named = ["bleach"]
    if (
        "food" in named
        and len(named) > 1
        and not any(word in wish.text for word in ("flower food", "plant food", "preservative", "feed"))
    ):
        named.remove("food")
    if not named:
        return asked_back(
            "What are you mixing: flower food, bleach, sugar, citric acid or glycerin?",
            "agent",
            ["flower food", "bleach", "sugar", "citric acid", "glycerin"],
        )
    drafts = [_one(agent, wish, desk) for agent in named[:2]]
    first = drafts[0]
    for other in drafts[1:]:
        first.lead += " " + other.lead
        first.figures += other.figures
        first.triggers += other.triggers
        first.passages += other.passages
        first.assumptions += [a for a in other.assumptions if a not in first.assumptions]
    if {"bleach", "acid"} <= set(named) or {"bleach", "food"} <= set(named):
        first.lead = "Never mix those two in one bucket. " + first.lead
    return first


def _one(agent: str, wish: Wish, desk: Desk) -> Draft:
    """The dose of one agent."""
    inputs = desk.inputs(wish)
    volume = inputs.said("volume", unit="l")
    many = wish.slot("pieces")
    if volume is not None and many is not None and many.number > 1:
        inputs.note("pieces", many.number, "pieces", inputs.origin("pieces"))
        volume = volume.times(many.number)
    if volume is None:
        named = wish.slot("vessel")
        vessel = desk.context.vessels.get(named.text) if named else None
        if vessel is not None and "bucket" in vessel.id:
            number = wish.slot("count")
            volume = exact(10.0 * (number.number if number else 1.0))
            inputs.note("volume", volume.value, "l", "assumed")
            inputs.assume("ten litres a bucket")
        elif (number := wish.slot("count")) is not None and number.number > 0:
            volume = exact(number.number)
            inputs.note("volume", volume.value, "l", "asked")
            inputs.assume(f"{number.number:g} taken as litres")
        else:
            volume = exact(1.0)
            inputs.note("volume", 1.0, "l", "assumed")
            inputs.assume("for one litre")
    draft = {"bleach": _bleach, "glycerin": _glycerin, "sugar": _sugar, "acid": _acid, "food": _food}[agent](
        wish, desk, inputs, volume
    )
    draft.assumptions = inputs.assumptions + draft.assumptions
    draft.triggers = ["bleach"] * (agent == "bleach") + draft.triggers
    rules = {
        "bleach": ("bleach-dilution-buckets", "mix-bleach-fresh", "never-mix-bleach", "wash-then-disinfect"),
        "glycerin": ("glycerin-uptake", "glycerin-which-leaves"),
        "sugar": ("sugar-strength", "pulse-before-sale"),
        "acid": ("lower-the-ph", "acid-water-flows"),
        "food": ("dose-food-exactly", "what-flower-food-does", "food-label-strength"),
    }[agent]
    draft.passages = desk.context.rules(rules)
    draft.follow_ups = ["for 20 litres", "why?", "source?"]
    return draft


def _figure(mix: Mix, inputs: Inputs, formula: str, sources: tuple[str, ...] = (), basis: str = "") -> Figure:
    return Figure.of(
        "dose", None, mix.agent, mix.unit, inputs=tuple(inputs.used), formula=formula, sources=sources, basis=basis
    )


def _take(inputs: Inputs, slot: str, row: Dose, unit: str, scale: float = 1.0) -> tuple[Estimate, Dose | None]:
    """The value said, or the table's row, recorded with its origin."""
    said = inputs.said(slot, unit=unit, scale=scale)
    if said is not None:
        return said, None
    low, high = row.span
    inputs.note(slot, row.value, unit, "handbook", low, high)
    inputs.assume(f"{row.title.lower()} {number_span(low, high)} {unit}")
    return Estimate(low, row.value, high), row


def _amount(mix: Mix, desk: Desk) -> str:
    value, low, high = mix.agent.value, mix.agent.low, mix.agent.high
    words = desk.speech.small_volume(value) if mix.unit == "ml" else f"{value:.3g} g"
    span = "" if abs(high - low) < 0.02 * max(value, 1e-9) else f" ({number_span(low, high)} {mix.unit})"
    return f"{words}{span}"


def _bleach(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    doses = desk.context.doses
    parts = wish.slot("parts")
    if parts is not None and wish.slot("concentration") is None:
        return _bleach_parts(wish, desk, inputs, volume, parts.number)
    strength, strength_row = _take(inputs, "strength", doses["bleach-strength"], "%")
    vase = any(
        word in wish.text for word in ("vase water", "bucket water", "holding", "in the vase", "in the water with")
    )
    surface = any(
        word in wish.text for word in ("bench", "surface", "tool", "knife", "knives", "shears", "secateurs", "clippers")
    )
    row = doses["chlorine-vase" if vase else "chlorine-surface" if surface else "chlorine-bucket-wash"]
    target, target_row = _take(inputs, "concentration", row, "mg/l")
    mix = bleach_dose(target, strength, volume.value)
    sources = tuple(s for r in (strength_row, target_row) if r for s in r.source)
    figure = _figure(mix, inputs, "V₁ = C₂·V₂ / C₁", sources)
    lead = f"{_amount(mix, desk)} of {number_span(strength.low, strength.high)} % bleach in {desk.speech.volume(volume.value)} of water for {number_span(target.low, target.high)} ppm."
    draft = Draft(lead, figures=[figure])
    draft.more.append("Read the strength on the bottle, add bleach to water, and rinse before flowers go in.")
    return draft


def _bleach_parts(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate, parts: float) -> Draft:
    """ "1 to 10": one part in so many parts of water, or in all, as said."""
    convention = "in-total" if " in " in wish.text and ":" not in wish.text else "to-water"
    inputs.said("parts", unit="parts")
    mix = by_parts(
        1, parts if convention == "to-water" else parts - 1, volume.value, convention="to-water", agent="bleach"
    )
    strength, row = _take(inputs, "strength", desk.context.doses["bleach-strength"], "%")
    ppm = bleach_ppm(mix.agent, volume.value * 1000, strength)
    inputs.assume("parts counted to the water" if convention == "to-water" else "parts counted in the whole")
    draft = Draft(
        f"{_amount(mix, desk)} of bleach made up to {desk.speech.volume(volume.value)}, about {ppm.value:.0f} ppm ({number_span(ppm.low, ppm.high, 4)}).",
        figures=[
            _figure(mix, inputs, "V / (1 + parts)", row.source if row else ()),
            Figure.of("concentration", None, ppm, "mg/l", inputs=tuple(inputs.used), formula="C₁·V₁ / V₂"),
        ],
    )
    draft.more.append("That is strong: for emptied, washed containers only, and rinse well.")
    return draft


def _glycerin(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    doses = desk.context.doses
    row = doses["glycerin-stems"]
    for key, words in (
        ("glycerin-thick-leaf", ("thick", "magnolia", "leathery")),
        ("glycerin-medium-leaf", ("medium", "oak")),
        ("glycerin-thin-leaf", ("thin",)),
        ("glycerin-sunk-leaf", ("submerg", "sunk", "under")),
    ):
        if any(word in wish.text for word in words):
            row = doses[key]
    if "baby-blue-eucalyptus" in wish.ids:
        row = doses["glycerin-thin-leaf"]
    parts, used = _take(inputs, "parts", row, "parts water")
    mix = by_parts(1, parts, volume.value, convention="to-water", agent="glycerin")
    draft = Draft(
        f"{_amount(mix, desk)} of glycerin made up to {desk.speech.volume(volume.value)} with hot water: one part to {number_span(parts.low, parts.high)} of water.",
        figures=[_figure(mix, inputs, "V / (1 + parts)", used.source if used else (), used.basis if used else "")],
    )
    draft.triggers.append("glycerin")
    return draft


def _sugar(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    row = desk.context.doses["sugar-pulse" if "pulse" in wish.text or "overnight" in wish.text else "sugar-vase"]
    strength, used = _take(inputs, "strength", row, "%")
    mix = percent_solution(strength, volume.value)
    draft = Draft(
        f"{_amount(mix, desk)} of sugar made up to {desk.speech.volume(volume.value)} for {number_span(strength.low, strength.high)} %.",
        figures=[_figure(mix, inputs, "g = % × 10 × l", used.source if used else (), used.basis if used else "")],
    )
    draft.more.append("Sugar alone feeds bacteria; use it only with something that holds them down.")
    return draft


def _acid(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    row = desk.context.doses[
        "citric-acid-hydration" if any(w in wish.text for w in ("hydrat", "wilted", "revive")) else "citric-acid-vase"
    ]
    target, used = _take(inputs, "concentration", row, "mg/l")
    mix = ppm_solution(target, volume.value)
    draft = Draft(
        f"{_amount(mix, desk)} of citric acid in {desk.speech.volume(volume.value)} for {number_span(target.low, target.high)} ppm.",
        figures=[_figure(mix, inputs, "g = mg/l × l / 1000", used.source if used else (), used.basis if used else "")],
    )
    draft.triggers.append("acid")
    return draft


def _food(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    liquid = "liquid" in wish.text or (wish.slot("label_dose") is not None and wish.slot("label_dose").unit == "ml/l")  # type: ignore[union-attr]
    row = desk.context.doses["flower-food-liquid" if liquid else "flower-food"]
    dose, used = _take(inputs, "label_dose", row, row.unit)
    mix = per_litre(dose, volume.value, unit="ml" if liquid else "g")
    draft = Draft(
        f"{_amount(mix, desk)} of flower food for {desk.speech.volume(volume.value)}.",
        figures=[
            _figure(mix, inputs, "dose a litre × litres", used.source if used else (), used.basis if used else "")
        ],
    )
    draft.more.append("The label of the product in your hand comes first; never guess a half dose.")
    draft.triggers.append("chemical")
    return draft
