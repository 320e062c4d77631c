"""What it is: names, role, colours, size; with the life as its figure."""

from __future__ import annotations

from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back
from assistant.dialogue.general import from_rules
from assistant.dialogue.lives import life_of
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import capital, listed, number_span
from assistant.handbook.models import Material, Measure


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        term = from_rules(wish, desk, prefer=("terms",))
        if term is not None:
            return term
        return asked_back("What would you like to know about? Name a material.", "materials")
    draft = Draft("")
    said = []
    for item in wish.items:
        material = desk.context.material(item.id)
        said.append(_sentence(material, wish, draft, desk))
        draft.passages += desk.context.sections(item.id, "names", "order", "keeping" if material.is_dry else "life")
    draft.lead = " ".join(said)
    draft.follow_ups = ["how long does it last?", "how do I condition it?", "is it safe with cats?"]
    return draft


def _sentence(material: Material, wish: Wish, draft: Draft, desk: Desk) -> str:
    text = wish.text
    name = capital(material.name)
    if any(word in text for word in ("latin", "botanical", "scientific")):
        _life(material, wish, draft, desk)
        return f"{name} is {material.botanical}."
    if any(
        word in text
        for word in ("other name", "another name", "also called", "also known", "called", "known as", "common name")
    ):
        _life(material, wish, draft, desk)
        others = [n.name + (f" ({n.market})" if n.market != "any" else "") for n in material.other_names]
        return (
            f"{name} ({material.botanical}) is also called {listed(others)}."
            if others
            else f"The handbook has no other name for {material.name} ({material.botanical})."
        )
    if "colo" in text and material.colours:
        names = [c.replace("-", " ") for c in material.colours.names]
        number = float(len(names))
        draft.figures.append(
            Figure(
                "colours",
                material.id,
                number,
                number,
                number,
                "colours",
                formula="colours on the market",
                sources=material.colours.source,
                basis=material.colours.basis,
            )
        )
        return f"{name} comes in {len(names)} colours on the market: {listed(names)}."
    if (
        any(word in text for word in ("tall", "stem length", "how long are", "how long is", "length"))
        and material.stem_length
    ):
        return _size(material, "stem_length", material.stem_length, "stems are", draft, desk)
    if any(word in text for word in ("big", "wide", "large", "head size", "bloom size", "flower size", "diameter")):
        measure = material.bloom_diameter or material.spread
        if measure:
            return _size(material, "bloom_diameter", measure, "heads are", draft, desk)
    _life(material, wish, draft, desk)
    figure = draft.figures[-1] if draft.figures else None
    life = ""
    if figure and figure.kind == "days_remaining":
        life = f" It lasts about {figure.value:.0f} days ({number_span(round(figure.low), round(figure.high))}) in a vase with food at 20 °C."
    elif figure and figure.kind == "shelf_life":
        life = f" It keeps about {figure.value / 30.44:.0f} months on the shelf."
    return f"{name} ({material.botanical}): {material.summary.text}{life}"


def _life(material: Material, wish: Wish, draft: Draft, desk: Desk) -> None:
    found = life_of(material, desk.inputs(Wish("longevity", wish.items)))
    if found:
        draft.figures.append(found.figure)


def _size(material: Material, kind: str, measure: Measure, verb: str, draft: Draft, desk: Desk) -> str:
    low, high = measure.span
    draft.figures.append(
        Figure(
            kind,
            material.id,
            (low + high) / 2,
            low,
            high,
            "cm",
            formula="handbook row",
            sources=measure.source,
            basis=measure.basis,
        )
    )
    shown = f"{desk.speech.length(low)} to {desk.speech.length(high)}" if low != high else desk.speech.length(low)
    return f"{capital(material.name)}: {verb} {shown} as sold."
