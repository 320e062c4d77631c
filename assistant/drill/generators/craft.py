"""From the rules: why it is done, which cause a symptom has, in which order the steps go, the numbers they name."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from functools import partial
from random import Random

from assistant.drill.distractors import WRONG_OPTIONS
from assistant.drill.generators.known import Known
from assistant.drill.item import Blueprint, Choice, Item, Key, Number, Order, Points, fingerprint, shuffled
from assistant.drill.points import content, points_of
from assistant.handbook.models import NumberSaid, Rule
from assistant.handbook.passages import degrees, span_words

# Units of rule numbers that can be asked in a plain question, with the unit of the key, its words and its rounding;
# others ("x tallest stem") need their whole rule.
_ASKED: dict[str, tuple[str, str, float]] = {
    "degC": ("degC", "°C or °F", 0.6),
    "d": ("d", "days", 0.5),
    "h": ("h", "hours", 0.25),
    "min": ("min", "minutes", 1.0),
    "cm": ("cm", "centimetres", 0.5),
    "%": ("%", "%", 1.0),
    "% RH": ("%", "% humidity", 1.0),
    "mg/l": ("ppm", "mg a litre or ppm", 0.0),
    "g/l": ("g/l", "grams a litre", 0.0),
    "ml/l": ("ml/l", "millilitres a litre", 0.0),
    "stems": ("stems", "stems", 0.0),
    "kg": ("kg", "kilograms", 0.5),
    "m": ("m", "metres", 0.0),
    "ml": ("ml", "millilitres", 0.0),
}
# A number that is one study's finding and not a working figure is no quiz matter.
_FINDING = re.compile(
    r"\b(?:found|survey|study|average|guide|measured|share of|of 121|gained|lost|trial|organisms|cultivars|life "
    r"at|without|"
    r"anchor|best at|limit|in one|florists with|in foam|fluoride|in pure|of five|small head|first change|access "
    r"width)\b"
)
_FEWEST_STEPS = 3
_SORTS_OF_CAUSE = {
    "thirst": r"block|clog|bacteri|slim|air in|air or|flow resist|thirst|\bdr(?:y|ie)|recut|drink|takes? up|lose more|"
    r"limp|wilt|crush|sap",
    "ethylene": r"ethylene|fruit|\bgas\b|smoke",
    "cold": r"\bice\b|freez|chill|cold|frost|glassy",
    "warmth": r"warm|heat|\bsun\b|\bage|ageing|\bold\b",
    "light": r"\blight|\bdark",
    "damp": r"damp|mould|fungus|humid|moist|free water",
    "growth": r"\bgrow",
    "salts": r"\bsalt|fluoride|\blime\b",
    "food": r"sugar|\bfood",
    "hormones": r"hormone",
    "leaks": r"\bwick",
    "foam": r"foam|keeps it out",
}


def sorts_of_cause(text: str) -> frozenset[str]:
    """Which families of causes a text speaks of."""
    lower = text.lower()
    return frozenset(sort for sort, pattern in _SORTS_OF_CAUSE.items() if re.search(pattern, lower))


def craft_blueprints(known: Known) -> Iterator[Blueprint]:
    rules = tuple(known.context.handbook.rules.values())
    symptomatic = tuple(rule for rule in rules if rule.symptom and rule.why and sorts_of_cause(rule.why))
    for rule in rules:
        topic = known.context.handbook.topic_of(rule.id).topic
        make = partial(Blueprint, topic=topic, kind="rule")
        if rule.why and points_of(rule.why, given=rule.title):
            mark = fingerprint(rule.why)
            yield make(id=f"why:{rule.id}:why", level=3, fingerprint=mark, build=partial(_why, known, rule, topic))
        if len(rule.steps) >= _FEWEST_STEPS:
            build = partial(_steps, known, rule, topic)
            yield make(id=f"steps:{rule.id}:order", level=2, fingerprint=fingerprint(rule.steps), build=build)
        if rule in symptomatic:
            cause = partial(_cause, known, rule, topic, symptomatic)
            yield make(id=f"symptom:{rule.id}:cause", level=2, fingerprint=fingerprint(rule.why), build=cause)
        for number, slug in askable_numbers(rule):
            mark = fingerprint(number.low, number.high, number.unit)
            ask = partial(_number, known, rule, topic, number, slug)
            yield make(id=f"rule-number:{rule.id}:{slug}", level=3, fingerprint=mark, build=ask)


def askable_numbers(rule: Rule) -> Iterator[tuple[NumberSaid, str]]:
    """The rule's working figures, each with a slug of its name."""
    names = [n.name for n in rule.numbers]
    for number in rule.numbers:
        if number.low is None or number.high is None or number.unit not in _ASKED or names.count(number.name) > 1:
            continue
        if not _FINDING.search(f"{number.name} {number.at or ''}"):
            yield number, re.sub(r"[^a-z0-9]+", "-", number.name.lower()).strip("-")


def _item(
    known: Known, rule: Rule, topic: str, field: str, level: int, question: str, key: Key, answer: str, ask: str,
    choices: tuple[Choice, ...] = (),
) -> Item:  # fmt: skip
    """`field` is the item's id with @ for the rule."""
    return Item(
        field.replace("@", rule.id), topic, level, question, key, answer, known.rule_passage(rule.id), rule.source,
        rule.basis, ask, choices,
    )  # fmt: skip


def _ask(rule: Rule) -> str:
    """A way people ask for the rule, so that the chat finds it."""
    return rule.asked_as[0] if rule.asked_as else rule.title


def _why(known: Known, rule: Rule, topic: str, _: Random) -> Item:
    reason = rule.why or ""
    key = Points(points_of(reason, given=rule.title), rule.title, rule.text)
    return _item(known, rule, topic, "why:@:why", 3, f"{rule.title}. Why?", key, reason, _ask(rule))


def _steps(known: Known, rule: Rule, topic: str, rng: Random) -> Item:
    shown = list(range(len(rule.steps)))
    while shown == sorted(shown):  # shown in the right order there would be nothing to do
        rng.shuffle(shown)
    order = tuple(shown.index(step) for step in range(len(rule.steps)))
    return _item(
        known, rule, topic, "steps:@:order", 2, f"{rule.title}. Put these steps in the handbook's order.", Order(order),
        " ".join(f"{n}. {step}" for n, step in enumerate(rule.steps, 1)), _ask(rule),
        tuple(Choice(rule.steps[step]) for step in shown),
    )  # fmt: skip


def _cause(known: Known, rule: Rule, topic: str, symptomatic: tuple[Rule, ...], rng: Random) -> Item | None:
    """Another symptom's cause is wrong only if nothing the whole rule says is of its sort: much has many causes."""
    reason = rule.why or ""
    whole = f"{rule.symptom} {rule.title} {rule.text} {reason}"
    wrong = [
        other.why
        for other in symptomatic
        if other.why
        and not sorts_of_cause(other.why) & sorts_of_cause(whole)
        and not content(other.why) & content(whole)
    ]
    if len(wrong) < WRONG_OPTIONS:
        return None
    wrong = rng.sample(wrong, WRONG_OPTIONS)
    choices, key = shuffled(Choice(reason), [Choice(w) for w in wrong], rng)
    symptom = rule.symptom or ""
    return _item(
        known, rule, topic, "symptom:@:cause", 2, f"A customer says: “{symptom}.” What lies behind it?", key, reason,
        _ask(rule), choices,
    )  # fmt: skip


def _number(known: Known, rule: Rule, topic: str, number: NumberSaid, slug: str, _: Random) -> Item:
    unit, words, slack = _ASKED[number.unit]
    low, high = number.span
    at = f" ({degrees(number.at)})" if number.at else ""
    item = _item(
        known, rule, topic, f"rule-number:@:{slug}", 3, f"{rule.title} – {number.name}{at}: how much? (in {words})",
        Number(low, high, unit, whole=unit == "stems" and low == high, slack=slack),
        span_words((low, high), number.unit), _ask(rule),
    )  # fmt: skip
    return replace(item, sources=number.source, basis=number.basis)
