"""How much water, how often, how heavy."""

from __future__ import annotations

import re
from collections.abc import Collection
from dataclasses import replace

from assistant.calculators.ranges import Estimate, exact
from assistant.calculators.water import (
    FOAM_SHARE,
    VesselSize,
    days_of_water,
    days_until_level,
    fill,
    filled_weight,
    top_up,
    uptake_ml_per_day,
    vapour_pressure_deficit_kpa,
    volume_ml,
)
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.general import from_rules
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import capital, count, day_span, days, listed
from assistant.handbook.models import Material, Vessel
from assistant.language.vessel_sizes import BELOW_THE_RIM, HALF_BALL

_HEAVY = (
    "heavy",
    "weigh",
    "weight",
    "lift",
    "carry",
    "kilos",
    "kg",
    "pick it up",
    "pick up",
    "the load",
    "humping",
    "shift it",
    "shift that",
    "shift them",
    "haul it",
    "haul that",
    "lug it",
    "lug that",
    "the scales",
    "carrying that",
    "carries that",
    "picking it up",
    "picking that up",
    "picking them up",
    "pick that up",
    "pick them up",
    "moving it on my own",
    "move it on my own",
    "move it alone",
    "move it by myself",
    "shifting it",
    "shifting that",
    "hoist",
)
_OFTEN = (
    "how often",
    "when ",
    "top up",
    " topping",
    " topped",
    "refill",
    "run dry",
    "go dry",
    "run out",
    "dry out",
    "how long",
    "days",
    "a day",
    "per day",
    "daily",
    "frequently",
    "every",
)
_WHEN = re.compile(
    r"\bhow (?:often|soon)\b|\bwhen(?:'s (?:it|that|this)| (?:will|would|do|does|is|should|must|have))\b|\b(?:run|go)(?:es|s)? dry\b|\btop(?:ped|ping)? (?:it |the water )?up\b"
)
_HOW_MUCH = re.compile(r"\bhow (?:much|many lit(?:re|er)s)\b|\bwhat\b[^.?!]*\b(?:hold|soak|take)s?\b")
_WHAT_IT_HOLDS = re.compile(
    r"^\W*(?:so |and |ok )*how (?:much|many lit(?:re|er)s)(?: water)? (?:does|do|will|would|can) (?:i|we|it|that|this|the|my|our)(?: [a-z]+){0,2} (?:hold|pour|take)(?: in)?\W*$"
)
_BRICK_DRINKS = re.compile(r"\b(?:bricks?|blocks?)\b[^.?!]*\b(?:drinks?|soaks? up|takes? up|holds?|absorbs?)\b")
# What the vessel weighs is left out.
_WATER_ALONE = re.compile(
    r"\b(?:just|only) the water\b|\bthe water (?:alone|only|by itself|on its own)\b|\bwithout the (?:vessel|vase|trough|bucket|bowl|urn|tank)\b"
)
_RING_SIDES = frozenset({"outer", "inner", "diameter", "width"})
# Rings this near in width are the same tray. [cm]
_SAME_RING = 1.0
# So much higher than its vessel no water can be said to stand by mistake of the rule. [ratio]
_OVERFULL = 1.02
# "What does a cymbidium spike get through": of one stem.
_OF_ONE = re.compile(r"\b(?:a|an|one|1|each|every|per|single) (?:single )?(?:[a-z-]+ ){0,3}(?:stem|spike|head|bloom)\b")
_RIM = re.compile(BELOW_THE_RIM)
_DRINKS = ("drink", "uptake", "take up", "use a day", "thirsty", "need", "per stem", "a stem")


def asks_what_it_holds(text: str, slots: Collection[str]) -> bool:
    """Is an amount of water asked for ("how much does the vase hold", "how much do three bricks soak up")? A rule is
    no answer to that, even where its size must be asked for."""
    if re.search(r"\b(?:bricks?|blocks?)\b", text):
        drinks = _BRICK_DRINKS.search(text) is not None
        return ("count" in slots or drinks) and (_HOW_MUCH.search(text) is not None or (drinks and "water" in text))
    return _WHAT_IT_HOLDS.search(text) is not None


def answer(wish: Wish, desk: Desk) -> Draft:
    if _below_an_unknown_rim(wish):
        return asked_back("How tall is the vessel inside, in cm or inches?", "height")
    wish = _from_the_rim(wish)
    dry = [item for item in wish.items if desk.context.material(item.id).is_dry]
    if dry and len(dry) == len(wish.items):
        return _no_water(wish, desk)
    inputs = desk.inputs(wish)
    vessel = vessel_of(wish, inputs)
    wet = [desk.context.material(item.id) for item in wish.items if not desk.context.material(item.id).is_dry]
    stems = _stems_said(wish)
    volume = wish.slot("volume")
    named = wish.slot("vessel")
    if (
        vessel is not None
        and named is not None
        and named.text == "cylinder-vase"
        and not wet
        and stems is None
        and not _sized(wish)
        and "cylinder" not in wish.text
    ):
        vessel = None  # just "the vase": its volume can't be known
    if _foam_asked(wish) and _BRICK_DRINKS.search(wish.text) and volume is None and not _sized(wish):
        return _foam_block(wish, desk)
    over = _overfull(wish, desk)
    if over is not None:
        return over
    ring = _slot_text(wish, "shape") == "ring" or (_slot_text(wish, "vessel") or "").startswith("ring")
    if vessel is None and volume is None and ring and any(wish.slot(name) for name in _RING_SIDES):
        missing = "inner" if wish.slot("inner") is None else "outer"
        what = "the hole in the middle" if missing == "inner" else "the ring from edge to edge"
        return asked_back(f"How wide is {what}, in cm or inches?", missing)
    if _half_tapered(wish):
        return asked_back("How wide is it at the bottom, in cm or inches?", "base_diameter")
    if vessel is None and volume is None:
        if stems is not None or (wet and any(word in wish.text for word in (*_DRINKS, *_OFTEN))):
            return _uptake_only(wish, desk, wet, stems)
        if _foam_asked(wish):
            return _foam_block(wish, desk)
        if not wish.refers_back and any(
            word in wish.text
            for word in (
                "how often",
                "when",
                "why",
                "should",
                "rhythm",
                "which",
                "first",
                "how does",
                "change",
                "makes",
            )
        ):
            found = from_rules(
                wish, desk, prefer=("reservoirs", "long-display", "hydration", "solutions"), materials=wish.ids
            )
            if found is not None:
                found.passages = [p for m in wet for p in desk.context.sections(m.id, "water")] + found.passages
                return found
        return asked_back(
            "What vessel is it? Give its shape and inner sizes, such as “cylinder 15 cm wide, filled to 20 cm”.",
            "diameter",
        )
    if (
        vessel is None
        and not wet
        and stems is None
        and not any(
            word in wish.text
            for word in (*_HEAVY, "bucket", "vase", "fill", "full", "water", "reservoir", "trough", "bowl", "top")
        )
    ):
        return not_covered(
            "Turning one measure into another is not in the handbook; ask about a vessel, a dose or a weight and I'll use either unit."
        )
    draft = Draft("", assumptions=inputs.assumptions)
    pieces = inputs.said("pieces", unit="pieces") or exact(1.0)
    water = _fill_figure(vessel, wish, inputs, draft, desk, pieces.value)
    wants_days = bool(
        wet or stems is not None or any(word in wish.text for word in _OFTEN)
    ) and not wish.text.startswith("what volume")
    if any(word in wish.text for word in _HEAVY) and not (wants_days and _asks_when_last(wish)):
        _weight(vessel, water, wish, inputs, draft, desk, wet)
    elif wants_days:
        _refill(vessel, water, wish, inputs, draft, desk, wet)
    if not draft.lead:
        draft.lead = _fill_sentence(draft.figures[0], vessel, pieces.value, desk)
    for material in wet:
        draft.passages += desk.context.sections(material.id, "water")
    draft.passages += desk.context.rules(("fill-last", "top-up-rhythm", "check-level-daily"))
    draft.triggers.append("floor-water")
    draft.follow_ups = ["and at 27 °C?", "how heavy is it filled?", "why?"]
    return draft


def _asks_when_last(wish: Wish) -> bool:
    """In a talk on the weight: is the last thing asked when it wants water?"""
    asked = [match.start() for match in _WHEN.finditer(wish.text)]
    return wish.refers_back and bool(asked) and asked[-1] > max(wish.text.rfind(word) for word in _HEAVY)


def _slot_text(wish: Wish, name: str) -> str | None:
    reading = wish.slot(name)
    return reading.text if reading is not None and isinstance(reading.value, str) else None


def _below_an_unknown_rim(wish: Wish) -> bool:
    level = wish.slot("fill_height")
    return level is not None and _RIM.search(level.said) is not None and wish.slot("height") is None


def _from_the_rim(wish: Wish) -> Wish:
    """ "To 3 cm below the rim": the level that makes of the height said."""
    level, height = wish.slot("fill_height"), wish.slot("height")
    if level is None or height is None or not _RIM.search(level.said) or level.number >= height.number:
        return wish
    value = height.number - level.number
    words = f"{level.said} taken as filled to {value:g} cm"
    meant = replace(level, value=value, low=value, high=value, assumed=words)
    where = {**wish.asked, "fill_height": meant} if "fill_height" in wish.asked else wish.asked
    before = {**wish.earlier, "fill_height": meant} if "fill_height" in wish.earlier else wish.earlier
    return replace(wish, asked=where, earlier=before)


def _half_tapered(wish: Wish) -> bool:
    """A vessel said to be wider at one end, with one width: as a cylinder it would be wrong by half."""
    wide = wish.slot("diameter") or wish.slot("width")
    return _slot_text(wish, "shape") == "taper" and wide is not None and wish.slot("base_diameter") is None


def _overfull(wish: Wish, desk: Desk) -> Draft | None:
    """A level above the rim, both said in this message or one after the other: one of them is wrong."""
    level, height = wish.slot("fill_height"), wish.slot("height")
    if level is None or height is None or not {"fill_height", "height"} & wish.asked.keys():
        return None
    if level.number <= _OVERFULL * height.number:
        return None
    tall, high = (desk.speech.length(x.number) for x in (height, level))
    return asked_back(
        f"The vessel is {tall} tall, so the water cannot stand at {high}. How high does it stand?", "fill_height"
    )


def _no_water(wish: Wish, desk: Desk) -> Draft:
    from assistant.dialogue.tasks.longevity import answer as life

    draft = life(wish, desk)
    names = capital(listed([desk.context.plural(i) for i in wish.ids]))
    draft.more.insert(0, draft.lead)
    draft.lead = f"{names} take no water at all; water spoils dried and preserved material."
    draft.passages += desk.context.rules(("preserved-no-water",))
    return draft


# --- the vessel -----------------------------------------------------------------------------------------------------


def vessel_of(wish: Wish, inputs: Inputs) -> VesselSize | None:
    """The vessel from its sizes, or by its name from the table; sizes said win over the table's."""
    shape = wish.slot("shape")
    named = wish.slot("vessel")
    row = inputs.context.vessels.get(named.text) if named else None
    kind = shape.text if shape else row.shape if row else None
    if wish.slot("volume") is not None and not _sized(wish):
        return None  # "a ten litre bucket": the volume said is the vessel
    outer, inner = inputs.said("outer", unit="cm"), inputs.said("inner", unit="cm")
    if outer is None and kind == "ring":
        outer = inputs.said("diameter", "outer", unit="cm") or inputs.said("width", "outer", unit="cm")
    if outer is not None and inner is not None:
        tall = inputs.said("height", "vessel_height", unit="cm") or inputs.said("fill_height", unit="cm")
        return VesselSize("ring", tall.value if tall else 4.0, outer_cm=outer.value, inner_cm=inner.value)
    if kind == "ring" and any(wish.slot(name) for name in _RING_SIDES):
        row = _ring_of(wish, inputs)
        if row is None:
            return None  # the ring of the table is another one
    newer = "width" in wish.asked and "diameter" not in wish.asked  # "what if it's 20 wide" after a diameter
    diameter = (None if newer else inputs.said("diameter", "vessel_diameter", unit="cm")) or _as_diameter(
        wish, inputs, kind
    )
    fill_height = wish.slot("fill_height")
    height = inputs.said("height", "vessel_height", unit="cm")
    sided = wish.slot("length") is not None and (
        kind not in ("cylinder", "taper", "bowl") or {"length", "width"} <= wish.asked.keys()
    )
    if kind == "box" or sided:
        length = inputs.said("length", unit="cm") or (inputs.said("width", unit="cm") if wish.slot("depth") else None)
        width = inputs.said("depth", "width", unit="cm") or inputs.said("width", unit="cm") or diameter
        if length is None and width is not None and row is not None and row.length_cm and row.id in ("cube",):
            length = width
        if length is not None and width is not None:
            tall_cm = height.value if height else fill_height.number if fill_height else row.height_cm if row else None
            if tall_cm is not None:
                return VesselSize("box", tall_cm, length_cm=length.value, width_cm=width.value)
        if row is None or row.shape != "box":
            return None
    if diameter is not None:
        base = inputs.said("base_diameter", unit="cm")
        tall_cm = height.value if height else fill_height.number if fill_height else None
        half = shape is not None and shape.said == HALF_BALL
        if kind == "bowl" and not half and any(word in wish.text for word in ("globe", "fishbowl", "fish bowl")):
            # A ball cut off near its top: at 97 % of the diameter the opening is 34 % of it.
            return VesselSize("bowl", 0.97 * diameter.value, top_cm=0.34 * diameter.value)
        if kind == "bowl":
            return VesselSize("bowl", tall_cm if tall_cm is not None else diameter.value / 2, top_cm=diameter.value)
        if tall_cm is None and row is not None:
            tall_cm = row.height_cm
        if tall_cm is None:
            return None
        if base is not None:
            return VesselSize("taper", tall_cm, top_cm=diameter.value, bottom_cm=base.value)
        if shape is None and row is None:
            inputs.assume("taken as a straight-sided cylinder")
        return VesselSize("cylinder", tall_cm, top_cm=diameter.value)
    if row is not None:
        inputs.note("vessel", row.id, "", "handbook")
        inputs.assume(f"a usual {row.title.lower()} from the vessel table")
        return inputs.context.vessel_size(row)
    return None


def _ring_of(wish: Wish, inputs: Inputs) -> Vessel | None:
    """The ring of the table that is as wide as the one meant; None where the table has none."""
    outer = wish.slot("outer") or wish.slot("diameter") or wish.slot("width")
    rings = [row for row in inputs.context.vessels.values() if row.shape == "ring" and row.outer_cm is not None]
    if outer is None or wish.slot("inner") is not None:
        return None
    return next((row for row in rings if abs((row.outer_cm or 0.0) - outer.number) < _SAME_RING), None)


def _sized(wish: Wish) -> bool:
    return any(wish.slot(name) for name in ("diameter", "width", "length", "height", "fill_height", "outer"))


def _as_diameter(wish: Wish, inputs: Inputs, kind: str | None) -> Estimate | None:
    """ "20 cm wide" of a round vessel is its diameter."""
    if wish.slot("diameter") is not None and "width" not in wish.asked:
        return None
    if kind in ("cylinder", "bowl", "taper") or (
        kind is None and wish.slot("length") is None and (wish.slot("height") or wish.slot("fill_height"))
    ):
        return inputs.said("width", "vessel_diameter", unit="cm")
    return None


def _level(vessel: VesselSize, wish: Wish, inputs: Inputs) -> float:
    """Fill level in cm: said, a share said, the rim when only the volume is asked, else the table's usual share."""
    newer = "fill_share" in wish.asked and "fill_height" not in wish.asked  # "only half full", after a height
    level = None if newer else inputs.said("fill_height", unit="cm")
    if level is not None:
        return min(level.value, vessel.height_cm)
    share = inputs.said("fill_share", unit="%")
    if share is not None:
        return vessel.height_cm * share.value / 100
    return vessel.height_cm


def water_in(wish: Wish, inputs: Inputs) -> Estimate | None:
    """The water of all the vessels spoken of, from the sizes said; None where no size was. [l]"""
    if _below_an_unknown_rim(wish):
        return None
    wish = _from_the_rim(wish)
    vessel = vessel_of(wish, inputs.fresh()) if _sized(wish) or wish.slot("fill_share") else None
    if vessel is None:
        return None
    pieces = wish.slot("pieces")
    litres = volume_ml(vessel, _level(vessel, wish, inputs.fresh())) / 1000
    return exact(litres * (pieces.number if pieces else 1.0))


def _fill_figure(
    vessel: VesselSize | None, wish: Wish, inputs: Inputs, draft: Draft, desk: Desk, pieces: float
) -> Estimate:
    """Water in litres, one vessel; adds the figure."""
    if vessel is None:
        said = inputs.said("volume", unit="l")
        assert said is not None
        share = inputs.said("fill_share", unit="%")
        if share is not None:
            said = said.times(share.value / 100)
        draft.figures.append(
            Figure.of("vessel_volume", None, said.times(pieces), "l", inputs=tuple(inputs.used), formula="as said")
        )
        return said
    level = _level(vessel, wish, inputs)
    inputs.note("fill_level", level, "cm", "asked" if "fill_height" in wish.asked else "assumed")
    whole = exact(volume_ml(vessel, level) / 1000)
    formula = {
        "cylinder": "π·(d/2)²·h", "taper": "π·h/3·(R² + R·r + r²)", "bowl": "cap of a ball", "box": "l·w·h",
        "ring": "π/4·(D² − d²)·h",
    }[vessel.shape]  # fmt: skip
    draft.figures.append(
        Figure.of("vessel_volume", None, whole.times(pieces), "l", inputs=tuple(inputs.used), formula=formula)
    )
    if _foam_asked(wish):
        share = desk.context.constant("foam-water-share")
        own = inputs.fresh()
        own.used = list(inputs.used)
        own.note("foam_water_share", share.value, "ratio", "handbook", share.low, share.high)
        foam_cm3 = volume_ml(vessel, level) * FOAM_SHARE
        filled = fill(vessel, level_cm=level, foam_cm3=foam_cm3, foam_water_share=share)
        water = filled.water_ml.times(0.001)
        draft.figures.insert(
            0,
            Figure.of(
                "water_needed",
                None,
                water.times(pieces),
                "l",
                inputs=tuple(own.used),
                formula="free space + foam volume × share of water",
            ),
        )
        inputs.assume("foam fills nine tenths of the vessel")
        return water
    return whole


def _foam_asked(wish: Wish) -> bool:
    support = wish.slot("support")
    return support is not None and support.text.startswith("foam")


def _fill_sentence(figure: Figure, vessel: VesselSize | None, pieces: float, desk: Desk) -> str:
    amount = desk.speech.volume(figure.value)
    span = (
        "" if figure.low == figure.high else f" ({desk.speech.volume(figure.low)} to {desk.speech.volume(figure.high)})"
    )
    many = f" for {count(pieces, 'vessel')}" if pieces > 1 else ""
    if vessel is None:
        return f"That is {amount}{many}."
    return f"About {amount} of water{many}{span}; stems and mechanics take up a little of that."


# --- how long it lasts ------------------------------------------------------------------------------------------------


def _stems_said(wish: Wish) -> float | None:
    said = [item.stems for item in wish.items if item.stems]
    if said:
        return sum(said)
    reading = wish.slot("stems") or (wish.slot("count") if wish.items else None)
    if reading is None and wish.items and _OF_ONE.search(wish.text):
        return 1.0
    return reading.number if reading is not None else None


def _daily(wish: Wish, inputs: Inputs, desk: Desk, wet: list[Material]) -> tuple[Estimate, Estimate]:
    """Uptake of all stems [ml/d] and the dryness of the air [kPa]."""
    display, humidity = inputs.display_temperature(), inputs.humidity()
    vpd = vapour_pressure_deficit_kpa(display, humidity)
    inputs.note("vapour_pressure_deficit", vpd.value, "kPa", "assumed", vpd.low, vpd.high)
    reference = desk.context.constant("reference-vpd").value
    total = exact(0.0)
    said = _stems_said(wish)
    rows: list[tuple[Material | None, float]] = []
    for item in wish.items:
        material = desk.context.material(item.id)
        if not material.is_dry:
            stems = item.stems if item.stems else (said or 10.0) / max(1, len(wet))
            rows.append((material, stems))
    if not rows:
        rows = [(None, said if said is not None else 10.0)]
    stems_total = sum(stems for _, stems in rows)
    if said is None:
        inputs.note("stems", stems_total, "stems", "assumed")
        inputs.assume(f"{stems_total:g} stems")
    else:
        inputs.note("stems", stems_total, "stems", "asked")
    for row_material, stems in rows:
        each = desk.context.uptake(row_material) if row_material else desk.context.constant("uptake-mass")
        inputs.note("uptake_per_stem", each.value, "ml/d", "handbook", each.low, each.high)
        uptake = uptake_ml_per_day(stems, each, vpd, reference)
        total = Estimate(total.low + uptake.low, total.value + uptake.value, total.high + uptake.high)
    return total, vpd


def _refill(
    vessel: VesselSize | None,
    water: Estimate,
    wish: Wish,
    inputs: Inputs,
    draft: Draft,
    desk: Desk,
    wet: list[Material],
) -> None:
    uptake, vpd = _daily(wish, inputs, desk, wet)
    lowest = desk.context.constant("lowest-share")
    inputs.note("lowest_share", lowest.value, "ratio", "handbook", lowest.low, lowest.high)
    if vessel is None or _foam_asked(wish):
        usable = water.times(
            1000 * (desk.context.constant("foam-usable-share").value if _foam_asked(wish) else 1 - lowest.value)
        )
        loss = uptake
        until = days_of_water(usable, uptake)
    else:
        level = _level(vessel, wish, desk.inputs(wish))
        evaporation = desk.context.constant("evaporation-still-air")
        mm = Estimate(evaporation.low * vpd.low, evaporation.value * vpd.value, evaporation.high * vpd.high)
        inputs.note("evaporation", mm.value, "mm/d", "handbook", mm.low, mm.high)
        found = days_until_level(
            vessel, start_cm=level, stop_cm=level * lowest.value, uptake_ml_per_day=uptake, evaporation_mm_per_day=mm,
            displaced_share=desk.context.constant("displaced-share"),
        )  # fmt: skip
        until, loss = found.days, found.loss_ml_per_day
    draft.figures.insert(
        0,
        Figure.of("days_until_refill", wish.ids[0] if len(wish.ids) == 1 else None, until, "d", inputs=tuple(inputs.used),
                  formula="water down to half the fill / (uptake × VPD/VPD₀ + evaporation)"),
    )  # fmt: skip
    daily = loss.times(0.001)
    draft.figures.append(
        Figure.of("water_needed", None, daily, "l", inputs=tuple(inputs.used), formula="uptake + evaporation a day")
    )
    goal = desk.inputs(wish).days_until()
    plan = top_up(until, loss, goal[0] if goal else 14.0)
    rhythm = (
        f"top up every {days(plan.every_d)}"
        if plan.every_d
        else "the vessel is too small to go a day; use a larger one"
    )
    draft.lead = f"About {days(until.value)} until it is down to half ({day_span(until)}), so {rhythm}."
    draft.more.append(
        f"It loses about {desk.speech.volume(daily.value)} a day ({desk.speech.volume(daily.low)} to {desk.speech.volume(daily.high)})."
    )
    if _foam_asked(wish):
        draft.more.append("Foam gives up its water unevenly: look at it every day all the same.")
        draft.passages += desk.context.rules(("foam-water-reserve",))
    if goal:
        draft.figures.append(
            Figure.of(
                "water_needed",
                None,
                loss.times(goal[0] / 1000),
                "l",
                inputs=tuple(inputs.used),
                formula="loss a day × days",
            )
        )
        draft.more.append(
            f"Over {count(goal[0], 'day')} that is about {desk.speech.volume(loss.value * goal[0] / 1000)} in all."
        )


def _uptake_only(wish: Wish, desk: Desk, wet: list[Material], stems: float | None) -> Draft:
    inputs = desk.inputs(wish)
    uptake, _ = _daily(wish, inputs, desk, wet)
    daily = uptake.times(0.001)
    goal = desk.inputs(wish).days_until()
    draft = Draft("", assumptions=inputs.assumptions)
    period = goal[0] if goal else 1.0
    figure = Figure.of(
        "water_needed",
        wish.ids[0] if len(wish.ids) == 1 else None,
        daily.times(period),
        "l",
        inputs=tuple(inputs.used),
        formula="stems × uptake × VPD/VPD₀ × days",
    )
    draft.figures.append(figure)
    what = listed([desk.context.plural(i) for i in wish.ids]) or "stems"
    many = what if stems is None else f"one stem of {what}" if stems == 1 else f"{stems:g} {what}"
    when = f"over {count(period, 'day')}" if goal else "a day"
    verb = "drinks" if stems == 1 else "drink"
    draft.lead = f"{capital(many)} {verb} about {desk.speech.volume(figure.value)} {when} ({desk.speech.volume(figure.low)} to {desk.speech.volume(figure.high)})."
    if any(word in wish.text for word in ("how often", "top", "refill", "dry")):
        draft.more.append("Tell me the vessel's size and I'll say how often to top up.")
    for material in wet:
        draft.passages += desk.context.sections(material.id, "water")
    draft.passages += desk.context.rules(("top-up-rhythm", "uptake-falls-with-age"))
    return draft


def _foam_block(wish: Wish, desk: Desk) -> Draft:
    block = next(
        (b for b in sorted(desk.context.foam_blocks.values(), key=lambda b: -max(map(len, b.names), default=0))
         if any(name in wish.text for name in (*b.names, b.title.lower()))), None,
    )  # fmt: skip
    block = block or desk.context.foam_blocks["foam-brick"]
    number = wish.slot("count") or wish.slot("pieces")
    blocks = number.number if number else 1.0
    title = block.title.lower()
    bricks = (
        f"{blocks:g} of a {title}"
        if blocks < 1
        else f"{blocks:g} {title}s"
        if blocks % 1
        else count(blocks, title, f"{title}s")
    )
    low, high = (x if x is not None else 0.0 for x in block.water_l)
    water = Estimate(low, (low + high) / 2, high).times(blocks)
    draft = Draft(
        f"{capital(bricks)} of foam: about {desk.speech.volume(water.value)} of water "
        f"({desk.speech.volume(water.low)} to {desk.speech.volume(water.high)}) when soaked through.",
    )
    draft.figures.append(
        Figure.of("water_needed", None, water, "l", formula="blocks × water a block holds", basis=block.basis)
    )
    draft.passages += desk.context.rules(("soak-foam-by-float", "foam-water-reserve", "never-reuse-foam"))
    draft.triggers.append("foam-dust")
    return draft


# --- weight -----------------------------------------------------------------------------------------------------------


def _weight(
    vessel: VesselSize | None,
    water: Estimate,
    wish: Wish,
    inputs: Inputs,
    draft: Draft,
    desk: Desk,
    wet: list[Material],
) -> None:
    context = desk.context
    material = next((m for m in ("ceramic", "plastic", "metal", "stone", "glass") if m in wish.text), None)
    if material is None or _WATER_ALONE.search(wish.text):
        material = material or ("plastic" if "bucket" in wish.text else "glass")
        inputs.assume("the water alone" if _WATER_ALONE.search(wish.text) else f"a {material} vessel")
    per_litre = context.constant(f"vessel-weight-{material}")
    capacity = (volume_ml(vessel) if vessel else water.value * 1000) / 1000
    vessel_kg = exact(0.0) if _WATER_ALONE.search(wish.text) else per_litre.times(capacity)
    stems = _stems_said(wish) or 0.0
    role = wet[0].roles[0] if wet else "mass"
    stem_g = context.constant(f"stem-weight-{role}")
    limit = context.constant("lifting-alone")
    weight = filled_weight(
        water.times(1000), vessel_kg=vessel_kg, limit_kg=(limit.low, limit.high), stems=stems, stem_g=stem_g
    )
    inputs.note("vessel_weight", vessel_kg.value, "kg", "handbook", vessel_kg.low, vessel_kg.high)
    draft.figures.insert(
        0,
        Figure.of(
            "filled_weight", None, weight.weight_kg, "kg", inputs=tuple(inputs.used), formula="water + vessel + stems"
        ),
    )
    advice = {
        "light": "one person can carry it, knees bent and close to the body",
        "take_care": "near what one person may lift; use two or a trolley",
        "two_people": "too heavy for one; fill it in place",
    }[weight.flag]
    draft.lead = f"About {desk.speech.mass(weight.weight_kg.value)} filled ({desk.speech.mass(weight.weight_kg.low)} to {desk.speech.mass(weight.weight_kg.high)}): {advice}."
    number = wish.slot("pieces")
    if number is not None and number.number > 1:
        total = weight.weight_kg.times(number.number)
        draft.figures.insert(
            1, Figure.of("filled_weight", None, total, "kg", inputs=tuple(inputs.used), formula="weight × vessels")
        )
        draft.more.append(f"All {number.number:g} together: about {desk.speech.mass(total.value)}.")
    draft.triggers.append("lifting")
