"""Days left of one material under a wish's conditions: the bridge from handbook entry to longevity calculator."""

from __future__ import annotations

from dataclasses import dataclass

from assistant.calculators.longevity import Leg, Method, days_remaining, shelf_days_remaining
from assistant.calculators.ranges import Estimate
from assistant.dialogue.answer import Figure
from assistant.dialogue.context import Context
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import days as in_words
from assistant.handbook.models import Material
from assistant.handbook.passages import sources_of
from assistant.language.question import Reading

WARNINGS = {
    "frozen": "it has been at or below its freezing point and is lost",
    "may_freeze": "at that temperature it may freeze, and then nothing is left",
    "freezing_unknown": "its freezing point is not in the handbook, and below 0 °C it may be lost",
    "below_chilling": "that is below its chilling threshold, so cold counts as damage and not as rest",
    "past_storage_life": "it was stored longer than the handbook's storage life, so time beyond that gets no credit",
    "storage_life_unknown": "the handbook has no storage life for it",
    "extrapolated": "that temperature is outside the range the model was checked in",
    "used_up": "its life is used up by now",
    "may_be_used_up": "at the short end it is already over",
    "too_damp": "the air is damper than it can stand and it may mould",
    "too_dry": "the air is drier than advised and it may turn brittle",
}


@dataclass(frozen=True, slots=True)
class Life:
    """Remaining days of one material, with the figure that shows how."""

    material: Material
    days: Estimate
    figure: Figure
    warnings: tuple[str, ...]
    support: str
    display_degC: Estimate | None  # noqa: N815


def life_of(material: Material, inputs: Inputs) -> Life | None:
    """Days left at the display; None where the handbook has no life for the material.

    Raises:
        OutOfRange: for conditions that cannot be.
    """
    return _shelf_life(material, inputs) if material.is_dry else _vase_life(material, inputs)


def storage_life(material: Material, method: str | None) -> Estimate | None:
    """Storage life in days over the entry's records that fit the method."""
    records = [r for r in material.storage if r.days and (method is None or r.method in (method, "either"))]
    records = records or [r for r in material.storage if r.days]
    ends = [end for r in records if r.days for end in r.days if end is not None]
    return Estimate(min(ends), (min(ends) + max(ends)) / 2, max(ends)) if ends else None


def storage_degC(material: Material, method: str | None = None) -> Estimate | None:  # noqa: N802
    """Storage temperature over the entry's records, in °C."""
    records = [r for r in material.storage if r.degC and (method is None or r.method in (method, "either"))]
    records = records or [r for r in material.storage if r.degC]
    ends = [end for r in records if r.degC for end in r.degC if end is not None]
    return Estimate(min(ends), (min(ends) + max(ends)) / 2, max(ends)) if ends else None


def q10_of(material: Material, context: Context) -> Estimate:
    if material.q10:
        low, high = material.q10.span
        return Estimate(low, (low + high) / 2, high)
    return context.constant("q10")


def _vase_life(material: Material, inputs: Inputs) -> Life | None:
    context, wish = inputs.context, inputs.wish
    entry = material.vase_life
    if entry is None:
        return None
    low, high = entry.span
    inputs.note("vase_life", (low + high) / 2, "d", "handbook", low, high)
    inputs.wish = with_lone_number(wish)
    display = inputs.display_temperature()
    support = inputs.support()
    q10 = q10_of(material, context)
    inputs.note("q10", q10.value, "ratio", "handbook", q10.low, q10.high)
    legs: list[Leg] = []
    stored = inputs.said("stored_days", unit="d")
    elapsed = inputs.days_since()
    if stored is not None and stored.high > 0:
        legs.append(_cooler_leg(material, stored, inputs))
    if elapsed:
        rest = elapsed - (stored.value if stored is not None and "since_date" in wish.asked else 0.0)
        if rest > 0:
            stood = "vase-food" if support == "out-of-water" else support
            before = inputs.said("elapsed_temperature", unit="degC")
            legs.append(Leg(rest, before or display, stood))  # type: ignore[arg-type]
            if before is None:
                inputs.assume(f"the {in_words(rest)} since it came spent in the same conditions")
    dry = inputs.said("dry_days", unit="d")
    if dry is not None and dry.high > 0:
        legs.append(Leg(dry.high, display, "out-of-water"))
    storage = storage_life(material, _method(wish.slot("storage_method")))
    remaining = days_remaining(
        (low, high),
        display_degC=display,
        q10=q10,
        constants=context.life_constants,
        legs=legs,
        support=_support(support),
        measured_degC=entry.degC,
        measured_support=_support(entry.support),
        chilling_threshold_degC=material.chilling_threshold.span[1] if material.chilling_threshold else None,
        freezing_point_degC=material.freezing_point.span[1] if material.freezing_point else None,
        storage_life_d=storage if any(leg.method.startswith("cooler") for leg in legs) else None,
        out_of_water_d=_out_of_water(material),
    )
    days = remaining.remaining_d
    used = [
        entry,
        *(
            x
            for x in (material.q10, material.chilling_threshold, material.out_of_water)
            if x and _relevant(x, material, support)
        ),
    ]
    figure = Figure.of(
        "days_remaining",
        material.id,
        days,
        "d",
        inputs=tuple(inputs.used),
        formula=_formula(bool(legs)),
        sources=tuple(dict.fromkeys(s for item in used for s in sources_of(item))),
        basis=entry.basis,
    )
    return Life(material, days, figure, remaining.warnings, support, display)


def with_lone_number(wish: Wish) -> Wish:
    """ "Cosmos 24, will it do a week": a lone number asked with a life is the room's temperature, and that is said."""
    count = wish.asked.get("count")
    spoken_of = wish.slot("display_temperature") or wish.slot("place")
    if count is None or not 5 <= count.number <= 40 or spoken_of:
        return wish
    low, high = count.span
    reading = Reading(count.number, "degC", low, high, count.said, f"{count.said} taken as °C")
    return wish.with_slot("display_temperature", reading)


def _out_of_water(material: Material) -> tuple[float, float] | None:
    """The entry's time out of water; "not at all" is read as an hour at most, for the form divides by it."""
    if material.out_of_water is None:
        return None
    low, high = material.out_of_water.span
    return max(low, 1 / 24), max(high, 1 / 24)


def _relevant(item: object, material: Material, support: str) -> bool:
    return item is not material.out_of_water or support == "out-of-water"


def _cooler_leg(material: Material, stored: Estimate, inputs: Inputs) -> Leg:
    wish = inputs.wish
    said = _method(wish.slot("storage_method"))
    methods = {r.method for r in material.storage}
    method = said or ("dry" if methods == {"dry"} else "wet")
    inputs.note("storage_method", method, "", inputs.origin("storage_method") if said else "assumed")
    if not said:
        inputs.assume("stored dry" if method == "dry" else "stored in water")
    temperature = inputs.said("storage_temperature", unit="degC")
    if temperature is None:
        advised = storage_degC(material, method)
        temperature = advised if advised else Estimate(2.0, 3.0, 4.0)
        inputs.note(
            "storage_temperature",
            temperature.value,
            "degC",
            "handbook" if advised else "assumed",
            temperature.low,
            temperature.high,
        )
        inputs.assume(f"a cooler at {inputs.speech.temperatures(temperature.low, temperature.high)}")
    return Leg(stored.value, temperature, "cooler-dry" if method == "dry" else "cooler-wet")


def _method(reading: object) -> str | None:
    return getattr(reading, "value", None) if reading is not None else None


def _support(name: str) -> Method:
    return name  # type: ignore[return-value]  # checked by the calculator, which raises in plain words


def _formula(history: bool) -> str:
    used = "(L − Σ days·r·m)" if history else "L"
    return f"{used} / (r·m), r = Q10^((T − T₀)/10)"


def _shelf_life(material: Material, inputs: Inputs) -> Life | None:
    keeping = material.keeping
    if keeping is None:
        return None
    low, high = keeping.shelf_life.span
    inputs.note("shelf_life", (low + high) / 2, "months", "handbook", low, high)
    kept = inputs.days_since() or 0.0
    stored = inputs.said("stored_days", unit="d")
    humidity = inputs.said("humidity", unit="%")
    remaining = shelf_days_remaining(
        (low, high),
        kept_d=kept + (stored.value if stored else 0.0),
        humidity_pct=humidity,
        humidity_limit_pct=keeping.humidity.span if keeping.humidity else None,
    )
    figure = Figure.of(
        "shelf_life",
        material.id,
        remaining.remaining_d,
        "d",
        inputs=tuple(inputs.used),
        formula="shelf life − days kept",
        sources=sources_of(keeping),
        basis=keeping.shelf_life.basis,
    )
    return Life(material, remaining.remaining_d, figure, remaining.warnings, "shelf", None)
