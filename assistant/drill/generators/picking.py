"""Pick the one it is true of: roles, hazards, ethylene, foam, drying, the whole year, the warm store."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from random import Random

from assistant.drill.distractors import near_materials
from assistant.drill.generators.known import Known
from assistant.drill.generators.naming import material_choice
from assistant.drill.item import Blueprint, Item, fingerprint, shuffled
from assistant.handbook.models import Cited, Material
from assistant.handbook.passages import span_words

_COLD, _WARM = 5.0, 7.0  # °C: a cold store ends and a warm one begins, with a clear gap between


@dataclass(frozen=True)
class Pick:
    """A question of the form "which of these …": whom it fits and whom it certainly does not fit."""

    template: str
    topic: str
    section: str
    level: int
    question: str
    fits: Callable[[Known, Material], bool]
    fails: Callable[[Known, Material], bool]
    answer: Callable[[Known, Material], str]
    cited: Callable[[Material], Cited | None]
    ask: str


def _role(role: str) -> Pick:
    return Pick(
        template=f"role-{role}",
        topic="names",
        section="names",
        level=1,
        question=f"Which of these does the handbook use as {role}?",
        fits=lambda _, m: role in m.roles,
        fails=lambda _, m: role not in m.roles,
        answer=lambda _, m: f"{m.name}: used as {' and '.join(m.roles)}",
        cited=lambda m: m.summary,
        ask="what is {name} used for?",
    )


def _harm(who: str, harmful: bool) -> Pick:
    words = "is listed as harmful to" if harmful else "is not listed as harmful to"
    return Pick(
        template=f"{'harmful' if harmful else 'harmless'}-{who}",
        topic="hazards",
        section="hazards",
        level=2,
        question=f"Which of these {words} {who}?",
        fits=lambda known, m: known.hazard(m, who) is harmful,
        fails=lambda known, m: known.hazard(m, who) is (not harmful),
        answer=lambda known, m: f"{m.name}: {listing(known, m, who)}",
        cited=lambda m: getattr(m.hazards, who),
        ask=f"is {{name}} safe for {who}?",
    )


def listing(known: Known, m: Material, who: str) -> str:
    """What the lists say, with the caution that must go with a clean listing."""
    entry = getattr(m.hazards, who)
    says = f" ({entry.says})" if entry.says else ""
    if known.hazard(m, who):
        return f"listed as harmful to {who}{says}"
    return f"not listed as harmful to {who}{says}; no listing is no proof of safety"


def _storage(template: str, level: int, question: str, warm: bool) -> Pick:
    def is_cold(known: Known, m: Material) -> bool:
        found = known.storage_temperature(m)
        return found is not None and found.span[1] <= _COLD

    def is_warm(known: Known, m: Material) -> bool:
        found = known.storage_temperature(m)
        return found is not None and found.span[0] >= _WARM

    def answer(known: Known, m: Material) -> str:
        found = known.storage_temperature(m)
        return f"{m.name}: {span_words(found.span, 'degC')}" if found else m.name

    return Pick(
        template=template,
        topic="storage",
        section="storage",
        level=level,
        question=question,
        fits=is_warm if warm else is_cold,
        fails=is_cold if warm else is_warm,
        answer=answer,
        cited=lambda m: next((r for r in m.storage if r.degC), None),
        ask="at what temperature should I store {name}?",
    )


def _ethylene(template: str, level: int, question: str, fits: tuple[str, ...], fails: tuple[str, ...]) -> Pick:
    return Pick(
        template=template,
        topic="ethylene",
        section="ethylene",
        level=level,
        question=question,
        fits=lambda known, m: known.ethylene(m) in fits,
        fails=lambda known, m: known.ethylene(m) in fails,
        answer=lambda known, m: f"{m.name}: {known.ethylene(m)}",
        cited=lambda m: m.ethylene,
        ask="is {name} sensitive to ethylene?",
    )


def _foam(template: str, question: str, fits: tuple[str, ...], fails: tuple[str, ...]) -> Pick:
    return Pick(
        template=template,
        topic="water",
        section="water",
        level=2,
        question=question,
        fits=lambda known, m: known.foam(m) in fits,
        fails=lambda known, m: known.foam(m) in fails,
        answer=lambda known, m: f"{m.name}: {known.foam(m)}",
        cited=lambda m: m.foam,
        ask="can I use {name} in foam?",
    )


def _hangs(result: str) -> Callable[[Known, Material], bool]:
    def test(_: Known, m: Material) -> bool:
        return not m.is_dry and {d.result for d in m.drying if d.method == "air-hung"} == {result}

    return test


PICKS: tuple[Pick, ...] = (
    *(_role(role) for role in ("line", "mass", "form", "filler", "accent")),
    *(_harm(who, harmful) for who in ("people", "cats", "dogs") for harmful in (True, False)),
    _ethylene("ethylene-high", 1, "Which of these is highly sensitive to ethylene?", ("high",), ("none", "low")),
    _ethylene("ethylene-safe", 2, "Which of these is not known to react to ethylene?", ("none",), ("medium", "high")),
    _foam(
        "foam-avoid",
        "Which of these drinks poorly in floral foam or should be kept out of it?",
        ("poor", "avoid"),
        ("good",),
    ),
    _foam("foam-good", "Which of these drinks well in floral foam?", ("good",), ("poor", "avoid")),
    Pick(
        template="hangs-well",
        topic="drying",
        section="drying",
        level=2,
        question="Which of these dries well hung in air?",
        fits=_hangs("well"),
        fails=_hangs("poorly"),
        answer=lambda _, m: f"{m.name}: well",
        cited=lambda m: next(d for d in m.drying if d.method == "air-hung"),
        ask="how do I dry {name}?",
    ),
    Pick(
        template="all-year",
        topic="season",
        section="order",
        level=1,
        question="Which of these can be had all year?",
        fits=lambda _, m: not m.is_dry and bool(m.season) and all(s.months == "all" for s in m.season),
        fails=lambda known, m: 0 < len(known.months(m)) <= 8,
        answer=lambda _, m: f"{m.name}: all year",
        cited=lambda m: m.season[0],
        ask="when is {name} in season?",
    ),
    _storage("warm-store", 1, f"Which of these must be stored warmer than {_COLD:g} °C?", warm=True),
    _storage("cold-store", 2, f"Which of these is stored at {_COLD:g} °C or colder?", warm=False),
)


def picking_blueprints(known: Known) -> Iterator[Blueprint]:
    for pick in PICKS:
        wrong = tuple(m for m in known.ordered if pick.fails(known, m))
        for m in known.ordered:
            if pick.fits(known, m):
                yield Blueprint(
                    id=f"{pick.template}:{m.id}:choice",
                    topic=pick.topic,
                    kind=m.kind,
                    level=pick.level,
                    fingerprint=fingerprint(pick.template),  # an entry that no longer fits has no such item at all
                    build=partial(_build, known, pick, m, wrong),
                )


def _build(known: Known, pick: Pick, m: Material, pool: tuple[Material, ...], rng: Random) -> Item | None:
    wrong = near_materials(m, pool, lambda _: True, rng)
    if wrong is None:
        return None
    choices, key = shuffled(material_choice(m), [material_choice(w) for w in wrong], rng)
    return known.item(
        m, f"{pick.template}:{m.id}:choice", topic=pick.topic, level=pick.level, section=pick.section,
        question=pick.question, key=key, answer=pick.answer(known, m), cited=pick.cited(m),
        ask=pick.ask.format(name=m.name), choices=choices,
    )  # fmt: skip
