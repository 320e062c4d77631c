"""Figure problems: fresh numbers each time, the answer from the calculators.

Each problem is a function from its numbers to an item, so that one and the same problem can be made again (a test
sheet, a labelled answer); drawing the numbers is a thing of its own. An order is asked only with numbers for which
plain arithmetic and the binomial order come to the same bunches: a learner may reckon either way.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from functools import partial
from random import Random
from typing import Any

from assistant.calculators.bunches import RecipeLine, bunches_needed, recipe_bunches
from assistant.calculators.cost import CostLine, cost_of, cost_per_stem
from assistant.calculators.longevity import Leg, days_remaining
from assistant.calculators.mixing import bleach_dose, by_parts, per_litre, percent_solution, ppm_solution
from assistant.calculators.ranges import OutOfRange
from assistant.calculators.units import convert
from assistant.calculators.water import VesselSize, days_of_water, filled_weight, volume_ml
from assistant.dialogue.lives import q10_of
from assistant.dialogue.wording import count
from assistant.drill.generators.known import Known
from assistant.drill.item import Blueprint, Choice, Item, Key, Number, OneOf, fingerprint
from assistant.handbook.models import Dose, Material, Vessel

_TRIES = 80
_PACK_WORDS = {5: "fives", 8: "eights", 10: "tens", 12: "dozens", 20: "twenties", 25: "twenty-fives", 50: "fifties"}


def pack_words(pack: int) -> str:
    return f"in {_PACK_WORDS[pack]}" if pack in _PACK_WORDS else f"{pack} stems to the bunch"


@dataclass(frozen=True)
class Problem:
    """A kind of problem: `pose(known, entry, **numbers)` makes the item, `draw(known, entry, rng)` the numbers."""

    template: str
    level: int
    pose: Callable[..., Item]
    draw: Callable[[Known, str, Random], Mapping[str, Any] | None]
    entries: Callable[[Known], Iterator[tuple[str, str, object]]]  # entry id, kind, what the answer hangs on


def figure_blueprints(known: Known) -> Iterator[Blueprint]:
    for problem in PROBLEMS.values():
        for entry, kind, hangs_on in problem.entries(known):
            build = partial(_build, known, problem, entry)
            mark = fingerprint(hangs_on)
            item_id = f"{problem.template}:{entry}:figure"
            yield Blueprint(item_id, "figures", kind, problem.level, mark, build, fresh=True)


def _build(known: Known, problem: Problem, entry: str, rng: Random) -> Item | None:
    for _ in range(_TRIES):
        numbers = problem.draw(known, entry, rng)
        if numbers is not None:
            return problem.pose(known, entry, **numbers)
    return None


def _item(
    template: str, entry: str, level: int, question: str, key: Key, answer: str, passage: str, ask: str,
    sources: tuple[str, ...] = (), basis: str = "practice", choices: tuple[Choice, ...] = (),
) -> Item:  # fmt: skip
    return Item(
        f"{template}:{entry}:figure", "figures", level, question, key, answer, passage, sources, basis, ask, choices
    )


# --- orders -------------------------------------------------------------------------------------------------------


def _packed(known: Known) -> Iterator[tuple[str, str, object]]:
    for m in known.ordered:
        spans = known.packs_anywhere(m)
        if spans and min(s[0] for s in spans) >= 4:
            yield m.id, m.kind, sorted(spans)


def _pack_of(known: Known, m: Material, rng: Random) -> int:
    low, high = rng.choice(known.packs_anywhere(m))
    options = [n for n in (*_PACK_WORDS, int(low), int(high)) if low <= n <= high]
    return rng.choice(options)


def _draw_bunches(known: Known, entry: str, rng: Random) -> Mapping[str, Any] | None:
    m = known.materials[entry]
    pack = _pack_of(known, m, rng)
    stems = rng.randrange(12, 241)
    loss = rng.choice((5, 8, 10))
    confidence = known.context.constant("confidence").value
    order = bunches_needed(stems, float(pack), loss / 100, confidence).bunches_to_order
    plain = math.ceil(math.ceil(stems / (1 - loss / 100) - 1e-9) / pack)
    added = math.ceil(math.ceil(stems * (1 + loss / 100) - 1e-9) / pack)
    return {"stems": stems, "pack": pack, "loss": loss} if order == plain == added else None


def pose_bunches(known: Known, entry: str, *, stems: int, pack: int, loss: int) -> Item:
    m = known.materials[entry]
    order = bunches_needed(stems, float(pack), loss / 100, known.context.constant("confidence").value)
    plural = known.plural(m)
    bunches = order.bunches_to_order
    answer = (
        f"{count(bunches, 'bunch')}: {order.stems_ordered} stems, {order.spare} spare for {stems} with {loss} % lost"
    )
    return _item(
        "figure-bunches",
        entry,
        2,
        f"{stems} {plural} are needed, they come {pack_words(pack)} and {loss} % are lost: how many bunches?",
        Number(bunches, bunches, "bunches", whole=True),
        answer,
        known.passage(m, "order"),
        f"how many bunches for {stems} {plural} with {loss} % loss?",
        *_pack_sources(m),
    )


def _pack_sources(m: Material) -> tuple[tuple[str, ...], str]:
    return tuple(dict.fromkeys(s for p in m.packs for s in p.source)), m.packs[0].basis


def _draw_recipe(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    return {
        "each": rng.randrange(2, 13),
        "pieces": rng.randrange(3, 25),
        "pack": _pack_of(known, known.materials[entry], rng),
    }


def pose_recipe(known: Known, entry: str, *, each: int, pieces: int, pack: int) -> Item:
    m = known.materials[entry]
    order = recipe_bunches([RecipeLine(entry, each, float(pack), 0.0)], pieces)
    plural = known.plural(m)
    return _item(
        "figure-recipe",
        entry,
        1,
        f"A recipe takes {each} {plural} a piece and there are {pieces} pieces. They come {pack_words(pack)}; "
        "nothing is lost. How many bunches?",
        Number(order.bunches, order.bunches, "bunches", whole=True),
        f"{count(order.bunches, 'bunch')} for {each} × {pieces} = {order.stems} stems",
        known.passage(m, "order"),
        f"how many bunches for {order.stems} {plural}?",
        *_pack_sources(m),
    )


# --- money --------------------------------------------------------------------------------------------------------


def _draw_retail(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    return {
        "bunches": rng.randrange(2, 16),
        "price": rng.randrange(12, 60) / 4,
        "factor": rng.choice((2, 2.5, 3, 3.5, 4)),
    }


def pose_retail(known: Known, entry: str, *, bunches: int, price: float, factor: float) -> Item:
    m = known.materials[entry]
    cost = cost_of([CostLine(entry, bunches, price)], own_factor=factor)
    assert cost.retail is not None
    return _item(
        "figure-retail",
        entry,
        2,
        f"{bunches} bunches of {known.plural(m)} cost {price:.2f} each and the shop sells at {factor:g} times "
        "cost: what is the selling price?",
        Number(cost.retail.value, cost.retail.value, "money", rel=0.005),
        f"{cost.retail.value:.2f} ({bunches} × {price:.2f} = {cost.cost.value:.2f}, times {factor:g})",
        known.passage(m, "order"),
        f"what do {bunches} bunches of {known.plural(m)} cost at {price:.2f} a bunch?",
    )


def _draw_stem_price(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    return {"price": rng.randrange(16, 80) / 4, "pack": _pack_of(known, known.materials[entry], rng)}


def pose_stem_price(known: Known, entry: str, *, price: float, pack: int) -> Item:
    m = known.materials[entry]
    each = cost_per_stem(price, float(pack)).value
    return _item(
        "figure-stem-price",
        entry,
        1,
        f"A bunch of {pack} {known.plural(m)} costs {price:.2f}: what does one stem cost?",
        Number(each, each, "money", slack=0.0051, rel=0.005),
        f"{each:.2f} ({price:.2f} ÷ {pack})",
        known.passage(m, "order"),
        f"a bunch of {pack} {known.plural(m)} costs {price:.2f}, how much a stem?",
        *_pack_sources(m),
    )


# --- days ---------------------------------------------------------------------------------------------------------


def _with_life(known: Known) -> Iterator[tuple[str, str, object]]:
    for m in known.ordered:
        fact = known.life(m)
        if fact and fact.span[0] >= 5:
            yield m.id, m.kind, fact.span


def _draw_days_left(known: Known, entry: str, rng: Random) -> Mapping[str, Any] | None:
    fact = known.life(known.materials[entry])
    return {"stood": rng.randrange(1, int(fact.span[0]) - 1)} if fact else None


def pose_days_left(known: Known, entry: str, *, stood: int) -> Item:
    m = known.materials[entry]
    fact = known.life(m)
    assert fact is not None
    left = days_remaining(
        fact.span,
        display_degC=20.0,
        q10=q10_of(m, known.context),
        constants=known.context.life_constants,
        legs=(Leg(stood, 20.0, "vase-food"),),
    ).remaining_d
    low, high = fact.span
    day = "day" if stood == 1 else "days"
    return _item(
        "figure-days-left",
        entry,
        2,
        f"The handbook gives {known.plural(m)} {low:g}–{high:g} days in a vase with food at 20 °C. They have "
        f"stood there for {stood} {day}: how many days are left?",
        Number(left.low, left.high, "d", slack=0.5),
        f"{left.low:.3g}–{left.high:.3g} days",
        known.passage(m, "life"),
        f"how long do {known.plural(m)} last after {stood} {day}?",
        fact.sources,
        fact.basis,
    )


def _stored(known: Known) -> Iterator[tuple[str, str, object]]:
    for m in known.ordered:
        fact = known.storage_temperature(m)
        if fact:
            yield m.id, m.kind, fact.span


_VERDICTS = (
    Choice(
        "right for them",
        also=("right", "fine", "ok", "okay", "yes", "good", "correct", "about right", "suitable", "just right"),
    ),
    Choice("too cold", also=("cold", "too low", "too chilly")),
    Choice("too warm", also=("warm", "too high", "too hot", "hot")),
)


def _draw_cooler(known: Known, entry: str, rng: Random) -> Mapping[str, Any] | None:
    fact = known.storage_temperature(known.materials[entry])
    assert fact is not None
    low, high = fact.span
    reading = rng.randrange(28, 68)
    celsius = convert(reading, "degF", "degC")
    clear = low <= celsius <= high or celsius <= low - 2 or celsius >= high + 2
    return {"reading": reading} if clear else None


def pose_cooler(known: Known, entry: str, *, reading: int) -> Item:
    m = known.materials[entry]
    fact = known.storage_temperature(m)
    assert fact is not None
    celsius = convert(reading, "degF", "degC")
    index = 1 if celsius < fact.span[0] else 2 if celsius > fact.span[1] else 0
    low, high = fact.span
    return _item(
        "figure-cooler",
        entry,
        2,
        f"The cooler's thermometer reads {reading} °F. For storing {known.plural(m)}, is that right, too cold or "
        "too warm?",
        OneOf(index),
        f"{_VERDICTS[index].text}: {reading} °F is {celsius:.1f} °C, and they want {low:g} to {high:g} °C",
        known.passage(m, "storage"),
        f"can I store {known.plural(m)} at {reading} °F?",
        fact.sources,
        fact.basis,
        _VERDICTS,
    )


# --- water and mixing ---------------------------------------------------------------------------------------------


def _straight(known: Known) -> Iterator[tuple[str, str, object]]:
    for vessel in known.context.vessels.values():
        if vessel.shape in ("cylinder", "box") and vessel.height_cm >= 8:
            yield vessel.id, "table", vessel.shape


def _vessel(known: Known, entry: str) -> Vessel:
    return known.context.vessels[entry]


def _draw_volume(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    vessel = _vessel(known, entry)
    return {"level": rng.randrange(4, int(vessel.height_cm) + 1), "scale": rng.choice((0.8, 0.9, 1.0, 1.1, 1.25, 1.5))}


def pose_volume(known: Known, entry: str, *, level: int, scale: float) -> Item:
    vessel = _vessel(known, entry)
    inner = {
        name: round(value * scale)
        for name in ("top_cm", "length_cm", "width_cm")
        if (value := getattr(vessel, name)) is not None
    }
    litres = volume_ml(VesselSize(vessel.shape, max(vessel.height_cm, level), **inner), level) / 1000
    across = (
        f"{inner['top_cm']} cm across"
        if vessel.shape == "cylinder"
        else f"{inner['length_cm']} by {inner['width_cm']} cm"
    )
    kind = "straight round vessel" if vessel.shape == "cylinder" else "straight-sided box"
    return _item(
        "figure-volume",
        entry,
        3,
        f"A {kind}, {across} inside, is filled {level} cm deep: how many litres of water is that?",
        Number(litres, litres, "l", rel=0.05, slack=0.005),
        f"{litres:.2f} l",
        known.rule_passage("teach-water-arithmetic"),
        f"how much water does a vase {across} hold at {level} cm?",
        vessel.source,
        vessel.basis,
    )


def _only_rule(rule_id: str) -> Callable[[Known], Iterator[tuple[str, str, object]]]:
    def entries(known: Known) -> Iterator[tuple[str, str, object]]:
        if rule_id in known.context.handbook.rules:
            yield rule_id, "rule", rule_id

    return entries


def _draw_gap(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    return {"have": rng.randrange(6, 60) * 50, "loss": rng.randrange(8, 60) * 10}


def pose_gap(known: Known, entry: str, *, have: int, loss: int) -> Item:
    days = days_of_water(have, loss).value
    return _item(
        "figure-water-days",
        entry,
        2,
        f"There are {have} ml of water above the stem ends and the vase loses {loss} ml a day: after how many "
        "days do the ends stand dry?",
        Number(days, days, "d", slack=0.5, rel=0.05),
        f"{days:.1f} days ({have} ÷ {loss})",
        known.rule_passage(entry),
        "when do I top up a cylinder vase with 10 roses?",
    )


def _draw_weight(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    return {"litres": rng.randrange(4, 60) / 2, "empty": rng.randrange(2, 20) / 2}


def pose_weight(known: Known, entry: str, *, litres: float, empty: float) -> Item:
    limits = known.context.constant("lifting-alone")
    weight = filled_weight(litres * 1000, vessel_kg=empty, limit_kg=(limits.low, limits.high)).weight_kg.value
    return _item(
        "figure-weight",
        entry,
        1,
        f"A vessel weighs {empty:g} kg empty and takes {litres:g} l of water: what does it weigh filled, without "
        "the flowers?",
        Number(weight, weight, "kg", rel=0.02, slack=0.05),
        f"{weight:g} kg: a litre of water weighs a kilogram",
        known.rule_passage(entry),
        f"how heavy is a vessel with {litres:g} litres?",
    )


_DOSE_RULES = {
    "food": "dose-food-exactly",
    "bleach": "bleach-dilution-buckets",
    "sanitiser": "bleach-dilution-buckets",
    "sugar": "sugar-strength",
    "acid": "lower-the-ph",
    "glycerin": "glycerin-uptake",
}


def _dosed(known: Known) -> Iterator[tuple[str, str, object]]:
    for row in known.context.doses.values():
        fits = (row.agent, row.unit) in (
            ("food", "g/l"),
            ("food", "ml/l"),
            ("sugar", "%"),
            ("acid", "mg/l"),
            ("glycerin", "parts water"),
        ) or (row.unit == "mg/l" and row.agent in ("bleach", "sanitiser"))
        if fits and _DOSE_RULES[row.agent] in known.context.handbook.rules:
            yield row.id, "table", (row.low, row.value, row.high)


def _draw_dose(known: Known, entry: str, rng: Random) -> Mapping[str, Any]:
    row = known.context.doses[entry]
    low, high = row.span
    steps = [low, row.value, high, round((low + high) / 2, 1)]
    return {"dose": rng.choice(steps), "litres": rng.randrange(2, 41), "strength": rng.choice((5, 6, 8))}


def pose_dose(known: Known, entry: str, *, dose: float, litres: int, strength: int = 5) -> Item:
    row = known.context.doses[entry]
    question, amount, unit = _dose(row, dose, litres, strength)
    return _item(
        "figure-dose",
        entry,
        2,
        question,
        Number(amount, amount, unit, rel=0.05, slack=0.05 if unit != "l" else 0.02),
        f"{amount:.4g} {unit}",
        known.rule_passage(_DOSE_RULES[row.agent]),
        f"how much {'bleach' if unit == 'ml' and row.agent != 'food' else row.agent} for {litres} litres?",
        row.source,
        row.basis,
    )


def _dose(row: Dose, dose: float, litres: int, strength: int) -> tuple[str, float, str]:
    if row.agent == "food":
        unit = "ml" if row.unit == "ml/l" else "g"
        mix = per_litre(dose, litres, unit=unit)  # type: ignore[arg-type]
        return (
            f"The label says {dose:g} {unit} of flower food a litre. How much goes into {litres} litres?",
            mix.agent.value,
            unit,
        )
    if row.agent == "sugar":
        return (
            f"How many grams of sugar make {litres} litres of a {dose:g} % solution?",
            percent_solution(dose, litres).agent.value,
            "g",
        )
    if row.agent == "acid":
        mix = ppm_solution(dose, litres)
        return (
            f"Citric acid is wanted at {dose:g} ppm in {litres} litres of water: how many grams?",
            mix.agent.value,
            "g",
        )
    if row.agent == "glycerin":
        mix = by_parts(1, dose, litres, convention="to-water", agent="glycerin")
        return (
            f"One part of glycerin goes to {dose:g} parts of water. How many litres of glycerin are in {litres} "
            "litres of the mix?",
            mix.agent.value / 1000,
            "l",
        )
    mix = bleach_dose(dose, float(strength), litres)
    return (
        f"The bleach bottle says {strength} % chlorine. How many millilitres make {litres} litres at {dose:g} ppm?",
        mix.agent.value,
        "ml",
    )


PROBLEMS: Mapping[str, Problem] = {
    p.template: p
    for p in (
        Problem("figure-bunches", 2, pose_bunches, _draw_bunches, _packed),
        Problem("figure-recipe", 1, pose_recipe, _draw_recipe, _packed),
        Problem("figure-retail", 2, pose_retail, _draw_retail, _packed),
        Problem("figure-stem-price", 1, pose_stem_price, _draw_stem_price, _packed),
        Problem("figure-days-left", 2, pose_days_left, _draw_days_left, _with_life),
        Problem("figure-cooler", 2, pose_cooler, _draw_cooler, _stored),
        Problem("figure-volume", 3, pose_volume, _draw_volume, _straight),
        Problem("figure-water-days", 2, pose_gap, _draw_gap, _only_rule("reserve-for-the-gap")),
        Problem("figure-weight", 1, pose_weight, _draw_weight, _only_rule("watch-the-weight-large")),
        Problem("figure-dose", 2, pose_dose, _draw_dose, _dosed),
    )
}


def pose(known: Known, template: str, entry: str, **numbers: Any) -> Item:
    """One problem with given numbers.

    Raises:
        OutOfRange: for a template that does not exist or numbers that cannot be.
    """
    if template not in PROBLEMS:
        raise OutOfRange(f"There is no figure problem called '{template}'.")
    return PROBLEMS[template].pose(known, entry, **numbers)
