"""Facts that are numbers: life, storage, packs, sizes. Each is asked as a free number and as a choice."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from random import Random

from assistant.drill.distractors import WRONG_OPTIONS, near_spans, spoken
from assistant.drill.generators.known import Fact, Known
from assistant.drill.item import Blueprint, Choice, Item, Key, Number, Span, fingerprint, shuffled
from assistant.handbook.models import Material, Measure
from assistant.handbook.passages import degrees, sources_of, span_words

MARKETS = {"EU": " in Europe", "US": " in the United States", "UK": " in Britain", "any": ""}
# How far a wrong option must stay away, and how much rounding an answer may have, by unit.
GAPS = {"d": 0.5, "h": 0.5, "degC": 1.0, "cm": 0.5, "month": 1.0, "%": 2.0, "stems": 1.0}
_SLACKS = {"d": 0.5, "h": 0.25, "degC": 0.6, "cm": 0.5, "month": 0.5, "%": 1.0, "stems": 0.0}
# The unit in which `spoken` gives a dimension, turned into the unit of the item.
_SPOKEN = {"d": ("time", 1.0), "h": ("time", 24.0), "month": ("time", 12 / 365.25), "degC": ("temperature", 1.0),
           "cm": ("length", 1.0), "%": ("share", 1.0)}  # fmt: skip
# Rooms flowers are left in: plausible for any material, and an option only where the entry is clear of them.
_ROOMS: frozenset[Span] = frozenset({(16.0, 18.0), (18.0, 21.0)})
_SHOWN = {"month": "months"}
_UNIT_ASKED = {
    "d": "days",
    "h": "hours",
    "degC": "°C or °F",
    "cm": "centimetres",
    "month": "months",
    "%": "%",
    "stems": "stems",
}


@dataclass(frozen=True)
class NumberFact:
    """How one number of a material is read and asked about."""

    template: str
    topic: str
    section: str
    level: int
    unit: str
    read: Callable[[Known, Material], Fact | None]
    question: str  # with {plural} and {name}
    ask: str


def _measure(field: str) -> Callable[[Known, Material], Fact | None]:
    def read(_: Known, m: Material) -> Fact | None:
        return _fact(getattr(m, field))

    return read


def _fact(measure: Measure | None) -> Fact | None:
    if measure is None or measure.low is None or measure.high is None:
        return None
    return Fact((measure.low, measure.high), sources_of(measure), measure.basis, measure.at or "")


def _keeping(field: str) -> Callable[[Known, Material], Fact | None]:
    def read(_: Known, m: Material) -> Fact | None:
        return _fact(getattr(m.keeping, field)) if m.keeping else None

    return read


NUMBER_FACTS: tuple[NumberFact, ...] = (
    NumberFact(
        "life",
        "life",
        "life",
        2,
        "d",
        Known.life,
        "How many days do {plural} last in a vase with flower food at 20 °C?",
        "how long do {plural} last?",
    ),
    NumberFact(
        "storage-temperature",
        "storage",
        "storage",
        1,
        "degC",
        Known.storage_temperature,
        "At what temperature should {plural} be stored?",
        "at what temperature should I store {plural}?",
    ),
    NumberFact(
        "storage-days",
        "storage",
        "storage",
        2,
        "d",
        Known.storage_days,
        "How many days can {plural} be kept in cold storage?",
        "how long can I store {plural}?",
    ),
    NumberFact(
        "chilling",
        "storage",
        "storage",
        2,
        "degC",
        _measure("chilling_threshold"),
        "Below what temperature does chilling hurt {plural}?",
        "does cold hurt {plural}?",
    ),
    NumberFact(
        "freezing",
        "storage",
        "storage",
        3,
        "degC",
        _measure("freezing_point"),
        "At what temperature do {plural} freeze?",
        "when do {plural} freeze?",
    ),
    NumberFact(
        "hydration",
        "water",
        "water",
        2,
        "h",
        _measure("hydration"),
        "How many hours should {plural} drink before they are used?",
        "how long should {plural} drink before use?",
    ),
    NumberFact(
        "opening",
        "water",
        "water",
        3,
        "d",
        _measure("opening"),
        "How many days do buds of {plural} take to open?",
        "how long do {plural} take to open?",
    ),
    NumberFact(
        "out-of-water",
        "water",
        "water",
        3,
        "d",
        _measure("out_of_water"),
        "How long do {plural} hold out of water?",
        "how long do {plural} last out of water?",
    ),
    NumberFact(
        "stem-length",
        "sizes",
        "order",
        3,
        "cm",
        _measure("stem_length"),
        "How long are the stems of {plural} as the trade sells them?",
        "how long are the stems of {plural}?",
    ),
    NumberFact(
        "bloom",
        "sizes",
        "order",
        3,
        "cm",
        _measure("bloom_diameter"),
        "How wide is one head of {name}?",
        "how big is a head of {name}?",
    ),
    NumberFact(
        "shelf-life",
        "keeping",
        "keeping",
        2,
        "month",
        _keeping("shelf_life"),
        "How many months does {name} keep on the shelf?",
        "how long does {name} keep?",
    ),
    NumberFact(
        "shelf-humidity",
        "keeping",
        "keeping",
        2,
        "%",
        _keeping("humidity"),
        "At what humidity does {name} keep best?",
        "at what humidity should I keep {name}?",
    ),
)


def _pack_fact(market: str) -> NumberFact:
    where = MARKETS[market]
    return NumberFact(
        f"pack-{market.lower()}", "packs", "order", 1, "stems", lambda known, m: known.pack(m, market),
        f"How many stems does a bunch of {{plural}} hold{where}?", "how many stems in a bunch of {plural}?",
    )  # fmt: skip


ALL_NUMBER_FACTS = (*NUMBER_FACTS, *(_pack_fact(market) for market in MARKETS))


def number_blueprints(known: Known) -> Iterator[Blueprint]:
    """Two blueprints for each number of each material: free and choice."""
    for fact in ALL_NUMBER_FACTS:
        readings = {m.id: found for m in known.ordered if (found := fact.read(known, m)) is not None}
        pool = frozenset(found.span for found in readings.values())
        if fact.template == "storage-temperature":
            pool |= _ROOMS
        for material_id, found in readings.items():
            m = known.materials[material_id]
            make = partial(Blueprint, topic=fact.topic, kind=m.kind, fingerprint=fingerprint(found.span, fact.unit))
            free = partial(_free, known, fact, m, found)
            yield make(id=f"{fact.template}:{m.id}:number", level=fact.level, build=free)
            if len(pool) > WRONG_OPTIONS:
                choice = partial(_choice, known, fact, m, found, pool)
                yield make(id=f"{fact.template}:{m.id}:choice", level=max(1, fact.level - 1), build=choice)


def said(span: Span, unit: str) -> str:
    """The range in words, as the handbook's passages put it."""
    words = span_words(span, _SHOWN.get(unit, unit))
    return "1 stem" if words == "1 stems" else words


def _item(
    known: Known, fact: NumberFact, m: Material, found: Fact, form: str, level: int, question: str, key: Key,
    choices: tuple[Choice, ...] = (),
) -> Item:  # fmt: skip
    plural = known.plural(m)
    return known.item(
        m, f"{fact.template}:{m.id}:{form}", topic=fact.topic, level=level, section=fact.section, question=question,
        key=key, answer=said(found.span, fact.unit) + (f" ({degrees(found.at)})" if found.at else ""), cited=found,
        ask=fact.ask.format(plural=plural, name=m.name), choices=choices,
    )  # fmt: skip


def _question(known: Known, fact: NumberFact, m: Material) -> str:
    return fact.question.format(plural=known.plural(m), name=m.name)


def _free(known: Known, fact: NumberFact, m: Material, found: Fact, _: Random) -> Item:
    low, high = found.span
    key = Number(low, high, fact.unit, whole=fact.unit == "stems", slack=_SLACKS[fact.unit])
    question = f"{_question(known, fact, m)} (in {_UNIT_ASKED[fact.unit]})"
    return _item(known, fact, m, found, "number", fact.level, question, key)


def barred_spans(known: Known, fact: NumberFact, m: Material) -> list[Span]:
    """What a wrong option must stay clear of besides the key: all that the passage says of that kind."""
    if fact.unit == "stems":
        return list(known.packs_anywhere(m))
    dimension, factor = _SPOKEN[fact.unit]
    return [(low * factor, high * factor) for low, high in spoken(known.text(m, fact.section), dimension)]


def _choice(
    known: Known, fact: NumberFact, m: Material, found: Fact, pool: frozenset[Span], rng: Random
) -> Item | None:
    wrong = near_spans(found.span, pool, barred_spans(known, fact, m), rng, GAPS[fact.unit])
    if wrong is None:
        return None
    options = [Choice(said(span, fact.unit), span=span, unit=fact.unit) for span in (found.span, *wrong)]
    choices, key = shuffled(options[0], options[1:], rng)
    return _item(known, fact, m, found, "choice", max(1, fact.level - 1), _question(known, fact, m), key, choices)
