"""Which inputs of a figure can be turned, in which steps and between which ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import floor

from assistant.dialogue.answer import Figure, Input
from assistant.language.question import NUMBER_SLOTS, Reading
from assistant.screens.labels import from_their_units, in_their_units, input_value, input_words, value_words

# Steps and ends in the slot's own unit; US units step in their own whole numbers.
_STEPS: dict[str, tuple[float, float, float]] = {
    "display_temperature": (1, -5, 45),
    "storage_temperature": (0.5, -5, 30),
    "humidity": (5, 0, 100),
    "display_days": (1, 1, 400),
    "stored_days": (1, 0, 120),
    "elapsed_days": (1, 0, 120),
    "elapsed_temperature": (1, -5, 45),
    "dry_days": (0.5, 0, 30),
    "stems": (1, 1, 100_000),
    "bunches": (1, 1, 10_000),
    "pieces": (1, 1, 2_000),
    "pack_size": (1, 1, 200),
    "loss_rate": (1, 0, 90),
    "confidence": (1, 50, 99),
    "volume": (1, 0.1, 10_000),
    "concentration": (50, 1, 50_000),
    "strength": (0.25, 0.5, 20),
    "label_dose": (1, 0.1, 500),
    "width": (1, 1, 2_000),
    "height": (1, 1, 1_000),
    "depth": (1, 1, 1_000),
    "diameter": (1, 1, 500),
    "base_diameter": (1, 1, 500),
    "fill_height": (1, 0.5, 500),
    "fill_share": (5, 1, 100),
    "length": (1, 1, 5_000),
    "price": (1, 0, 100_000),
    "factor": (0.1, 0.1, 100),
}
# Inputs that carry another name than the slot they come from, and how many of the slot's unit one of theirs is.
_SLOTS = {"vessel_height": "height", "vessel_diameter": "diameter", "fill_level": "fill_height"}
_CHOICES: dict[str, tuple[str, ...]] = {
    "support": ("vase-food", "plain-water", "foam-kept-wet", "foam-drying", "out-of-water"),
    "storage_method": ("wet", "dry"),
}


@dataclass(frozen=True, slots=True)
class Knob:
    """One input as something to turn. `value` is in the slot's SI unit; words have `choices` instead of steps."""

    slot: str
    label: str
    value: float | str
    unit: str
    origin: str
    shown: str
    step: float = 1.0
    low: float = 0.0
    high: float = 0.0
    choices: tuple[str, ...] = ()
    us: bool = False

    def turned(self, steps: int) -> float | str:
        """The value so many steps further; words go round, numbers stop at their ends."""
        if isinstance(self.value, str):
            if not self.choices:
                return self.value
            place = self.choices.index(self.value) if self.value in self.choices else 0
            return self.choices[(place + steps) % len(self.choices)]
        here, _ = in_their_units(self.value, self.unit, self.us)
        # From 20.4 a step up is 21 and a step down 20: a step always lands on a whole step.
        at = here / self.step
        nearest = round(at)
        onward = nearest + steps if abs(at - nearest) < 1e-6 else floor(at) + steps + (steps < 0)
        return self.bounded(from_their_units(onward * self.step, self.unit, self.us))

    def bounded(self, value: float) -> float:
        return float(min(self.high, max(self.low, round(value, 6))))

    def typed(self, text: str) -> float | str | None:
        """What was typed, as a value; None when it is no number or no choice."""
        text = text.strip().replace(",", ".")
        if self.choices:
            fits = [c for c in self.choices if value_words(c).startswith(text.lower()) or c.startswith(text.lower())]
            return fits[0] if text and fits else None
        try:
            number = float(text)
        except ValueError:
            return None
        if number != number or abs(number) == float("inf"):
            return None
        return from_their_units(number, self.unit, self.us)

    def reading(self, value: float | str) -> Reading:
        """The value as the conversation takes it."""
        if isinstance(value, str):
            return Reading(value, "id", said=value_words(value))
        shown, words = in_their_units(value, self.unit, self.us)
        return Reading(value, self.unit, value, value, f"{shown:.4g} {words}".strip())


def knob_of(item: Input, us: bool = False, vessels: Sequence[str] = ()) -> Knob | None:
    """The knob for an input, or None where it is the handbook's own and not the person's to change."""
    slot = _SLOTS.get(item.name, item.name)
    label = input_words(item.name)
    if isinstance(item.value, str):
        choices = tuple(vessels) if slot == "vessel" else _CHOICES.get(slot, ())
        if not choices:
            return None
        return Knob(slot, label, item.value, "id", item.origin, input_value(item), choices=choices)
    if slot not in NUMBER_SLOTS or slot not in _STEPS:
        return None
    unit = NUMBER_SLOTS[slot]
    value = float(item.value) * 100 if unit == "%" and item.unit == "ratio" else float(item.value)
    step, low, high = _STEPS[slot]
    return Knob(slot, label, value, unit, item.origin, input_value(item, us), step, low, high, us=us)


def knobs_of(
    figures: Sequence[Figure], us: bool = False, vessels: Sequence[str] = ()
) -> tuple[list[Knob], list[Input]]:
    """What can be turned, and what the figures also rest on; each input once, in the order used."""
    knobs: dict[str, Knob] = {}
    fixed: dict[str, Input] = {}
    several = len({figure.material for figure in figures if figure.material}) > 1
    for figure in figures:
        for item in figure.inputs:
            knob = knob_of(item, us, vessels)
            if knob is not None:
                knobs.setdefault(knob.slot, knob)
            elif not several or item.name not in (
                "vase_life",
                "q10",
                "days_remaining",
                "uptake_per_stem",
                "shelf_life",
            ):
                fixed.setdefault(item.name, item)
    return list(knobs.values()), list(fixed.values())
