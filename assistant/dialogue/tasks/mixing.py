"""How much of an agent goes into water, with what must never be mixed."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from assistant.calculators.mixing import (
    Mix,
    bleach_dose,
    bleach_ppm,
    by_parts,
    dilute,
    per_litre,
    percent_solution,
    ppm_solution,
)
from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back
from assistant.dialogue.general import draft_of
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Wish
from assistant.dialogue.tasks.water import water_in
from assistant.dialogue.wording import number_span, significant
from assistant.handbook.models import Dose, Rule

_AGENTS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("bleach", ("bleach", "hypochlorite", "chlorine", "sanitis", "sanitiz", "disinfect")),
    ("glycerin", ("glycerin", "glycerine")),
    ("sugar", ("sugar", "sucrose")),
    ("vinegar", ("vinegar",)),
    ("acid", ("citric", "acid", "lemon")),
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
# What gives gas with bleach, besides flower food.
_REACTS = re.compile(
    r"\b(?:vinegar|descaler|de-?scaler|lime ?scale remover|lemon(?! ?(?:leaf|leaves|basil|balm|verbena))(?: juice)?|citric|acids?|ammonia|"
    r"(?:window|glass|toilet|drain|oven|bathroom|other) cleaners?|rust remover)\b"
)
_BLEACHES = re.compile(
    r"\b(?:bleach|chlorine|hypochlorite)\b|\bbleach(?:ed|ing) (?:the |my |our |some |all )?(?:buckets?|vases?|tools?|bench|floor|tank|it|them)\b"
)
# Food that is to go into the bleach, and what may never go with it at all.
_INTO_BLEACH = re.compile(
    r"\b(?:sachets?|packets?|(?:flower |plant )?(?:food|feed)|detergent|washing[- ]up liquid|soap|anything|something else)\b[^.?!\d]{0,30}\b(?:in|into|in with|with|to|and) (?:the |my |our |this |that )?bleach\b(?! strength)|"
    r"\bbleach\b[^.?!\d]{0,20}\b(?:in|into|in with|to|together with) (?:the |my |our )?(?:flower |plant )?(?:food|feed|sachet)\b|"
    r"\b(?:mustn't|must not|must never|shouldn't|should not|should never|never|can't|cannot|can not|not)\b[^.?!\d]{0,30}\b(?:go|mix\w*|goes|used?|put|be|added?|combined?)\b[^.?!\d]{0,16}\bbleach\b"
)
_NO_BLEACH = re.compile(
    r"\b(?:instead of|rather than|without|no|out of|not got|isn't|not) (?:any |the |using )?bleach\b"
)
_TOGETHER = re.compile(
    r"\b(?:mix\w*|add\w*|with|together|plus|and|combine\w*|tip|chuck|pour|put|pop|splash|drop|dash|glug|capful|top up|in (?:it|there|the)|same|after)\b"
)
# What is asked of a mix once it is made, by the rule that answers it for each agent.
_STANDING = re.compile(
    r"\bhow (?:long|many hours)\b[^.?!]*\b(?:stand|stay|leave|left|soak|sit|drink|dip)\b|\bhow long (?:does|will|do|would) (?:it|that|they|this) take\b|"
    r"\bhow (?:long|many hours)\b[^.?!]*\bin (?:it|that|there|the (?:solution|mix|pulse|sugar|bleach|bucket|glycerine?))\b"
)
_KEEPING = re.compile(
    r"\bhow (?:long|soon|many (?:hours|days))\b[^.?!]*\b(?:stops? working|works?|good for|goes? off|strong|active|effective|made up|"
    r"(?:it|that|this|the (?:mix|solution|bucket|stuff|rest)) (?:last|keep|hold)s?|(?:will|does|can|do) (?:it|that|this|the (?:mix|solution|stuff|rest)) (?:last|keep|hold|stay|be good))\b|"
    r"\b(?:can|could|may|should) (?:i|we) (?:keep|save|re-?use|store) (?:it|that|the rest|the mix|what's left|some)\b|"
    r"\b(?:does|will) it (?:keep|go off|lose)\b|\b(?:will|would|is) (?:it|that|the (?:mix|rest|solution)) (?:still |be |any )*(?:good|ok|okay|fine|strong|usable)\b|\bbefore it (?:stops|goes|loses|weakens)\b"
)
_WHICH_LEAVES = re.compile(r"\b(?:which|what) (?:leaves|foliage|greens|branches|stems|plants)\b")
_STANDS_BY: dict[str, str] = {
    "sugar": "pulse-before-sale",
    "bleach": "bleach-dilution-buckets",
    "glycerin": "glycerin-uptake",
}
_KEEPS_BY: dict[str, str] = {
    "bleach": "mix-bleach-fresh",
    "food": "change-or-top-up",
    "sugar": "home-made-food",
    "acid": "home-made-food",
}
# Up to here chlorine is for the water the flowers stand in; stronger is for washing. [mg/l]
_FOR_FLOWERS = 100.0
# The strongest the handbook washes with. [mg/l]
_WASH_STRONGEST = 1000.0
# A volume said of all vessels together, and the water of a vessel worked out before.
_IN_ALL = re.compile(
    r"\b(?:altogether|all together|in all|in total|all told|all up|total(?:ling)?|between (?:them|the|\d)|"
    r"(?:spread|split|shared|divided) (?:over|across|between|among)|(?:over|across) (?:the |all )?(?:\d|them)|in the lot)\b"
)
_OF_THAT = re.compile(
    r"\b(?:for|in|into|to|with|of|on) (?:all |the whole of |both )?(?:that|it|them|those|these|this|all)\b(?! (?:bottle|label|tub|packet|time|day|week))|"
    r"\bthe (?:whole )?lot\b|\ball of (?:it|them|that)\b|\bin there\b|\b(?:that|this|the) (?:much|amount of|volume of)? ?water\b"
)
_WASHING = ("wash", "clean", "scrub", "sanitis", "sanitiz", "disinfect", "rinse", "slim", "empty", "wipe")


def agents_of(text: str, *, plainly: bool = False) -> tuple[str, ...]:
    """The agents a message names; "food" only where nothing plainer is named with it. A tub or a scoop may be of
    anything: with `plainly` it names nothing."""
    named = [name for name, words in _AGENTS if any(word in text for word in words)]
    plain = any(word in text for word in ("flower food", "plant food", "preservative", "feed"))
    if "food" in named and not plain and (len(named) > 1 or (plainly and not re.search(r"\bfood\b", text))):
        named.remove("food")
    return tuple(named)


def agents_meant(wish: Wish) -> tuple[str, ...]:
    """The agents of a mixing ask: named now, spoken of before, or told by what kind of strength was said."""
    chosen = wish.asked.get("agent")
    if chosen is not None and isinstance(chosen.value, str):
        return (chosen.text,)
    named = agents_of(wish.text, plainly=bool(_before(wish))) or _before(wish)
    if named:
        return named
    if wish.slot("label_dose") is not None:
        return ("food",)
    bottled = wish.slot("strength") is not None and re.search(r"\bbottle\b", wish.text)
    return ("bleach",) if wish.slot("concentration") is not None or bottled else ()


def mixes_bleach(text: str, before: Collection[str] = (), *, dosed: bool = False) -> bool:
    """Is bleach to meet an acid or a cleaner? `before` are the agents of the mix spoken of; a message that gives a dose
    of its own (`dosed`) is about another bucket."""
    bleach, reacts = _BLEACHES.search(text), _REACTS.search(text)
    if _NO_BLEACH.search(text) or not (bleach or reacts):
        return False
    if bleach and (reacts or _INTO_BLEACH.search(text)):
        return True
    if not _TOGETHER.search(text):
        return False
    return not dosed and ("bleach" in before if reacts else bool({"acid", "vinegar"} & set(before)))


def about_the_mix(text: str, agents: Sequence[str]) -> str | None:
    """The rule that answers what is asked of a mix once it is made: how long to stand in it, how long it keeps."""
    for agent in agents:
        if _WHICH_LEAVES.search(text) and agent == "glycerin":
            return "glycerin-which-leaves"
        if _KEEPING.search(text) and agent in _KEEPS_BY:
            return _KEEPS_BY[agent]
        if _STANDING.search(text) and agent in _STANDS_BY:
            return _STANDS_BY[agent]
    return None


def answer(wish: Wish, desk: Desk) -> Draft:
    dosed = any(name in wish.asked for name in ("label_dose", "concentration", "strength", "parts"))
    named = agents_meant(wish)
    into_food = {"bleach", "food"} <= set(named) and wish.yes_no and not dosed and "volume" not in wish.asked
    if into_food or mixes_bleach(wish.text, _before(wish), dosed=dosed):
        return never_together(wish, desk)
    rule = _rule(about_the_mix(wish.text, named), desk)
    if rule is not None and not dosed:
        return _of_the_mix(rule, wish, desk)
    if not named:
        return asked_back(
            "What are you mixing: flower food, bleach, sugar, citric acid, vinegar or glycerin?",
            "agent",
            ["flower food", "bleach", "sugar", "citric acid", "vinegar", "glycerin"],
        )
    drafts = [_one(agent, wish, desk) for agent in named[:2]]
    first = drafts[0]
    for other in drafts[1:]:
        first.lead += " " + other.lead
        first.figures += other.figures
        first.triggers += other.triggers
        first.passages += other.passages
        first.assumptions += [a for a in other.assumptions if a not in first.assumptions]
    if {"bleach", "food"} <= set(named):
        first.lead = "Never mix those two in one bucket. " + first.lead
    return first


def _before(wish: Wish) -> tuple[str, ...]:
    """The agents of the mix spoken of before."""
    known = wish.earlier.get("agent")
    if known is None:
        return ()
    return (known.text,) if isinstance(known.value, str) else known.words


def _rule(name: str | None, desk: Desk) -> Rule | None:
    return desk.context.handbook.rules.get(name) if name else None


def never_together(wish: Wish, desk: Desk) -> Draft:
    """Bleach and an acid: the danger first, then the bleach alone where its dose is asked as well."""
    rule = _rule("never-mix-bleach", desk)
    if rule is None:
        draft = Draft("Never mix bleach with anything but water.")
    else:
        draft = draft_of(rule, desk, desk.context.rules((rule.id, "handle-acid-with-care", "fix-dull-glass")))
    if not re.search(r"\bwhy\b|\bor\b", wish.text):
        draft.lead = f"No. {draft.lead}"
    glass = _rule("fix-dull-glass", desk)
    if glass is not None and re.search(r"\blime\w*\b|\bfilm\b|\bdull\b", wish.text):
        draft.more.insert(0, glass.text)
    if {"volume", "strength", "concentration"} <= wish.asked.keys() and _BLEACHES.search(wish.text):
        alone = _one("bleach", wish, desk)
        draft.more.insert(0, f"Bleach alone: {alone.lead}")
        draft.figures += alone.figures
        draft.assumptions += alone.assumptions
    draft.triggers = ["bleach", "acid", *draft.triggers]
    return draft


def _of_the_mix(rule: Rule, wish: Wish, desk: Desk) -> Draft:
    """A rule on a mix that was dosed before; weak chlorine in the flowers' own water has a rule beside it."""
    strong = _rule("sugar-strength", desk)
    if rule.id == "pulse-before-sale" and strong and set(wish.ids) & set(strong.materials) - set(rule.materials):
        rule = strong  # gladiolus and freesia have their own hours
    draft = draft_of(rule, desk, desk.context.rules((rule.id,)))
    strength = wish.slot("concentration")
    in_vase = _rule("chlorine-in-vase", desk)
    if rule.id == "mix-bleach-fresh" and in_vase and strength is not None and strength.number <= _FOR_FLOWERS:
        beside = draft_of(in_vase, desk, desk.context.rules((in_vase.id,)))
        draft.more.insert(0, beside.lead)
        draft.figures += beside.figures
        draft.passages += beside.passages
    return draft


def _one(agent: str, wish: Wish, desk: Desk) -> Draft:
    """The dose of one agent."""
    inputs = desk.inputs(wish)
    volume = _volume(wish, desk, inputs)
    draft = {
        "bleach": _bleach,
        "glycerin": _glycerin,
        "sugar": _sugar,
        "vinegar": _vinegar,
        "acid": _acid,
        "food": _food,
    }[agent](wish, desk, inputs, volume)
    draft.assumptions = inputs.assumptions + [a for a in draft.assumptions if a not in inputs.assumptions]
    draft.triggers = ["bleach"] * (agent == "bleach") + draft.triggers
    rules = {
        "bleach": ("bleach-dilution-buckets", "mix-bleach-fresh", "never-mix-bleach", "wash-then-disinfect"),
        "glycerin": ("glycerin-uptake", "glycerin-which-leaves"),
        "sugar": ("sugar-strength", "pulse-before-sale"),
        "vinegar": ("fix-dull-glass", "handle-acid-with-care", "never-mix-bleach"),
        "acid": ("lower-the-ph", "acid-water-flows"),
        "food": ("dose-food-exactly", "what-flower-food-does", "food-label-strength"),
    }[agent]
    draft.passages = desk.context.rules(rules)
    if draft.outcome == "answered":
        draft.follow_ups = ["for 20 litres", "why?", "source?"]
    return draft


# "8 litres in each … all told": the total is asked for, not given.
_IN_EACH = re.compile(
    r"\b(?:lit(?:re|er)s?|l|gallons?) (?:in(?:to)? |to )?(?:each|apiece|every one)\b|"
    r"\b\d+ (?:buckets|tubs|bins|vases|jugs|churns|pails|tanks|drums|urns|bottles) (?:of|holding) \d+(?:\.\d+)? ?(?:lit(?:re|er)s?|l|gallons?)\b(?! (?:in all|altogether|in total|all told|between))"
)
# "Two buckets: one is to be bleach, the next flower food": one of them for each dose.
_ONE_OF_EACH = re.compile(
    r"\bone (?:is|of them|gets|to be|for|with|has|wants)\b[^?]*\b(?:the other|(?:the )?(?:next|second)|another)\b|"
    r"\b(?:the )?first\b(?: one| bucket)?[^?]*\b(?:the )?(?:second|other)\b"
)


def _volume(wish: Wish, desk: Desk, inputs: Inputs) -> Estimate:
    """The water to dose: said, or that of the vessel spoken of, or assumed. [l]"""
    volume = _said_volume(wish, inputs)
    many = wish.slot("pieces")
    said = wish.slot("volume")
    in_all = _IN_ALL.search(f"{wish.text} {said.said}" if said is not None else wish.text) or _ONE_OF_EACH.search(
        wish.text
    )
    if volume is not None and many is not None and many.number > 1 and (not in_all or _IN_EACH.search(wish.text)):
        inputs.note("pieces", many.number, "pieces", inputs.origin("pieces"))
        return volume.times(many.number)
    if volume is not None:
        return volume
    sized = {"diameter", "length", "fill_height"} & wish.asked.keys()
    poured = water_in(wish, inputs) if sized or _OF_THAT.search(wish.text) else None
    if poured is not None:
        inputs.note("volume", poured.value, "l", "earlier")
        inputs.assume(f"{desk.speech.volume(poured.value)} in all, as worked out for the vessel")
        return poured
    named = wish.slot("vessel")
    vessel = desk.context.vessels.get(named.text) if named else None
    number = wish.slot("count")
    # "Bucket 12" says what it holds, "12 buckets" how many there are.
    counted = number is not None and re.search(
        rf"\b{number.number:g} (?:[a-z-]+ ){{0,2}}(?:buckets|pails)\b", wish.text
    )
    if vessel is not None and "bucket" in vessel.id and (number is None or counted):
        buckets = number or many
        volume = exact(10.0 * (buckets.number if buckets else 1.0))
        inputs.note("volume", volume.value, "l", "assumed")
        inputs.assume("ten litres a bucket")
    elif number is not None and number.number > 0:
        volume = exact(number.number)
        inputs.note("volume", volume.value, "l", "asked")
        inputs.assume(f"{number.number:g} taken as litres")
    else:
        volume = exact(1.0)
        inputs.note("volume", 1.0, "l", "assumed")
        inputs.assume("for one litre")
    return volume


def _said_volume(wish: Wish, inputs: Inputs) -> Estimate | None:
    """The volume said, or the part of it that the vessel is filled to. [l]"""
    volume, share = wish.slot("volume"), wish.slot("fill_share")
    if volume is None or share is None or "fill_share" not in wish.asked:
        return inputs.said("volume", unit="l")
    low, high = volume.span
    part = share.number / 100
    inputs.note("volume", volume.number * part, "l", "asked", low * part, high * part)
    inputs.assume(f"{significant(share.number)} % of {volume.said.strip()}")
    return Estimate(low * part, volume.number * part, high * part)


def _dosed(wish: Wish) -> str | None:
    """The agent that the dose a litre was said of: the one named last before it, else the first after it."""
    label, agents = wish.slot("label_dose"), agents_meant(wish)
    at = wish.text.find(label.said) if label is not None else -1
    if at < 0 or len(agents) < 2:
        return agents[0] if len(agents) == 1 else None
    words = {name: names for name, names in _AGENTS if name in agents}
    before = {name: max(wish.text.rfind(word, 0, at) for word in names) for name, names in words.items()}
    nearest = max(before, key=lambda name: before[name])
    return nearest if before[nearest] >= 0 else agents[0]


def _by_litre(agent: str, wish: Wish, inputs: Inputs, volume: Estimate) -> Mix | None:
    """So much of the agent for a litre, where a recipe says that of what is no flower food."""
    label = wish.slot("label_dose")
    if label is None or label.unit not in ("ml/l", "g/l") or _dosed(wish) != agent:
        return None
    dose = inputs.said("label_dose")
    assert dose is not None
    return per_litre(dose, volume.value, unit="ml" if label.unit == "ml/l" else "g")


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
    inputs.assume(f"{row.title.lower()} {number_span(low, high, 4)} {unit}")
    return Estimate(low, row.value, high), row


def _amount(mix: Mix, desk: Desk) -> str:
    value, low, high = mix.agent.value, mix.agent.low, mix.agent.high
    words = desk.speech.small_volume(value) if mix.unit == "ml" else f"{significant(value)} g"
    span = "" if abs(high - low) < 0.02 * max(value, 1e-9) else f" ({number_span(low, high, 4)} {mix.unit})"
    return f"{words}{span}"


def _bleach(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    doses = desk.context.doses
    parts = wish.slot("parts")
    if parts is not None and wish.slot("concentration") is None:
        return _bleach_parts(wish, desk, inputs, volume, parts.number)
    if wish.slot("concentration") is None:
        by_litre = _by_litre("bleach", wish, inputs, volume)
        if by_litre is not None and by_litre.unit == "ml":
            return _bleach_measured(by_litre, desk, inputs, volume)
    strength, strength_row = _take(inputs, "strength", doses["bleach-strength"], "%")
    named = bool(wish.items) and not any(word in wish.text for word in _WASHING)
    vase = named or any(
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
    lead = f"{_amount(mix, desk)} of {number_span(strength.low, strength.high)} % bleach in {desk.speech.volume(volume.value)} of water for {number_span(target.low, target.high, 4)} ppm."
    draft = Draft(lead, figures=[figure])
    if vase or (wish.items and target.high <= _FOR_FLOWERS):
        draft.more.append(
            "Read the strength on the bottle and add bleach to water; it works for some hours only, and never with flower food."
        )
    else:
        draft.more.append("Read the strength on the bottle, add bleach to water, and rinse before flowers go in.")
    return draft


def _bleach_parts(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate, parts: float) -> Draft:
    """ "1 to 10": one part in so many parts of water, or in all, as said."""
    in_all = " in " in wish.text and ":" not in wish.text
    inputs.said("parts", unit="parts")
    mix = by_parts(1, parts - 1 if in_all else parts, volume.value, convention="to-water", agent="bleach")
    inputs.assume("parts counted in the whole" if in_all else "parts counted to the water")
    return _bleach_measured(mix, desk, inputs, volume, "V / (1 + parts)")


def _bleach_measured(
    mix: Mix, desk: Desk, inputs: Inputs, volume: Estimate, formula: str = "dose a litre × litres"
) -> Draft:
    """An amount of bleach that was said, and the strength it makes."""
    strength, row = _take(inputs, "strength", desk.context.doses["bleach-strength"], "%")
    ppm = bleach_ppm(mix.agent, volume.value * 1000, strength)
    draft = Draft(
        f"{_amount(mix, desk)} of bleach made up to {desk.speech.volume(volume.value)}, about {ppm.value:.0f} ppm ({number_span(ppm.low, ppm.high, 4)}).",
        figures=[
            _figure(mix, inputs, formula, row.source if row else ()),
            Figure.of("concentration", None, ppm, "mg/l", inputs=tuple(inputs.used), formula="C₁·V₁ / V₂"),
        ],
    )
    if ppm.value > _WASH_STRONGEST:
        draft.more.append("That is strong: for emptied, washed containers only, and rinse well.")
    else:
        draft.more.append("Read the strength on the bottle, add bleach to water, and rinse before flowers go in.")
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
    by_litre = _by_litre("glycerin", wish, inputs, volume) if wish.slot("parts") is None else None
    if by_litre is not None:
        figure = _figure(by_litre, inputs, "dose a litre × litres")
        return Draft(f"{_amount(by_litre, desk)} of glycerin for {desk.speech.volume(volume.value)}.", figures=[figure])
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
    measured = _by_litre("sugar", wish, inputs, volume) if wish.slot("strength") is None else None
    if measured is not None and measured.unit == "g":
        strength, used, mix = measured.agent.times(0.1 / volume.value), None, measured
    else:
        strength, used = _take(inputs, "strength", row, "%")
        mix = percent_solution(strength, volume.value)
    draft = Draft(
        f"{_amount(mix, desk)} of sugar made up to {desk.speech.volume(volume.value)} for {number_span(strength.low, strength.high)} %.",
        figures=[_figure(mix, inputs, "g = % × 10 × l", used.source if used else (), used.basis if used else "")],
    )
    draft.more.append("Sugar alone feeds bacteria; use it only with something that holds them down.")
    return draft


def _vinegar(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    """By parts of water, or thinned from one strength to another; the handbook has no dose of its own."""
    strength, wanted = inputs.said("strength", unit="%"), wish.slot("concentration")
    parts = inputs.said("parts", unit="parts")
    into = desk.speech.volume(volume.value)
    by_litre = _by_litre("vinegar", wish, inputs, volume) if parts is None and wanted is None else None
    if by_litre is not None:
        draft = Draft(
            f"{_amount(by_litre, desk)} of vinegar for {into}.",
            figures=[_figure(by_litre, inputs, "dose a litre × litres")],
        )
    elif parts is not None:
        mix = by_parts(1, parts, volume.value, convention="to-water", agent="acid")
        draft = Draft(
            f"{_amount(mix, desk)} of vinegar made up to {into} with water: one part to {number_span(parts.low, parts.high)} of water.",
            figures=[_figure(mix, inputs, "V / (1 + parts)")],
        )
    elif strength is not None and wanted is not None:
        share = wanted.number / 10_000
        inputs.note("wanted_strength", share, "%", inputs.origin("concentration"))
        mix = dilute(strength.value, share, volume.value, agent="acid")
        draft = Draft(
            f"{_amount(mix, desk)} of {strength.value:g} % vinegar made up to {into} with water for {share:g} %.",
            figures=[_figure(mix, inputs, "V₁ = C₂·V₂ / C₁")],
        )
    elif wish.slot("volume") is not None or "how much" in wish.text or (rule := _rule("fix-dull-glass", desk)) is None:
        return asked_back(
            "The handbook gives no dose of vinegar. One part to how many of water, or from which per cent to which?",
            "parts",
        )
    else:
        draft = draft_of(rule, desk, [])
    draft.triggers.append("acid")
    draft.more.append("Never in the same wash as bleach.")
    return draft


def _acid(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    row = desk.context.doses[
        "citric-acid-hydration" if any(w in wish.text for w in ("hydrat", "wilted", "revive")) else "citric-acid-vase"
    ]
    weighed = _by_litre("acid", wish, inputs, volume) if wish.slot("concentration") is None else None
    if weighed is not None and weighed.unit == "g":
        target, used, mix = weighed.agent.times(1000 / volume.value), None, weighed
    else:
        target, used = _take(inputs, "concentration", row, "mg/l")
        mix = ppm_solution(target, volume.value)
    draft = Draft(
        f"{_amount(mix, desk)} of citric acid in {desk.speech.volume(volume.value)} for {number_span(target.low, target.high, 6)} ppm.",
        figures=[_figure(mix, inputs, "g = mg/l × l / 1000", used.source if used else (), used.basis if used else "")],
    )
    draft.triggers.append("acid")
    return draft


def _food(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    label = wish.slot("label_dose")
    parts, strength = wish.slot("parts"), wish.slot("strength")
    liquid = "liquid" in wish.text or (label is not None and label.unit == "ml/l")
    used: Dose | None = None
    if label is not None and label.unit not in ("ml/l", "g/l"):
        return _in_packets(wish, desk, inputs, volume)
    if label is None and parts is not None:
        taken = inputs.said("parts", unit="parts")
        assert taken is not None
        mix = by_parts(1, taken, volume.value, convention="to-water", agent="food")
        formula = "V / (1 + parts)"
    elif label is None and strength is not None:
        taken = inputs.said("strength", unit="%")
        assert taken is not None
        mix = per_litre(taken.times(10), volume.value, unit="ml" if liquid else "g")
        formula = "% × 10 × litres"
    else:
        row = desk.context.doses["flower-food-liquid" if liquid else "flower-food"]
        dose, used = _take(inputs, "label_dose", row, row.unit)
        mix = per_litre(dose, volume.value, unit="ml" if liquid else "g")
        formula = "dose a litre × litres"
    figure = _figure(mix, inputs, formula, used.source if used else (), used.basis if used else "")
    draft = Draft(f"{_amount(mix, desk)} of flower food for {desk.speech.volume(volume.value)}.", figures=[figure])
    return _labelled(draft)


def _in_packets(wish: Wish, desk: Desk, inputs: Inputs, volume: Estimate) -> Draft:
    """ "One sachet does half a litre": as many of them as the water asks for."""
    label = wish.slot("label_dose")
    assert label is not None
    unit = label.unit.removesuffix("/l")
    each = inputs.said("label_dose")
    assert each is not None
    number = each.times(volume.value)
    figure = Figure.of("dose", None, number, unit, inputs=tuple(inputs.used), formula="so many a litre × litres")
    return _labelled(
        Draft(f"{significant(number.value)} {unit} for {desk.speech.volume(volume.value)}.", figures=[figure])
    )


def _labelled(draft: Draft) -> Draft:
    draft.more.append("The label of the product in your hand comes first; never guess a half dose.")
    draft.triggers.append("chemical")
    return draft
