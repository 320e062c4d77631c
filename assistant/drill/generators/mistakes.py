"""Spot the mistake: four statements about one material, one of them turned false."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import partial
from random import Random

from assistant.drill.distractors import near_spans, same_trade
from assistant.drill.generators.known import Fact, Known
from assistant.drill.generators.numbers import ALL_NUMBER_FACTS, GAPS, NumberFact, barred_spans, said
from assistant.drill.item import Blueprint, Choice, Item, Span, fingerprint, shuffled
from assistant.handbook.models import Material

STATEMENTS = 4
_NUMBER_STATEMENTS = {
    "life": "It lasts {} in a vase with flower food at 20 °C.",
    "storage-temperature": "It is stored at {}.",
    "chilling": "Chilling hurts it below {}.",
    "hydration": "It should drink for {} before use.",
    "stem-length": "Its stems are {} long.",
    "shelf-life": "It keeps for {} on the shelf.",
    "shelf-humidity": "It keeps best at {} humidity.",
    "pack-eu": "A bunch holds {} in Europe.",
    "pack-us": "A bunch holds {} in the United States.",
    "pack-any": "A bunch holds {}.",
}
_ETHYLENE = {
    "none": "It is not known to react to ethylene.",
    "low": "Its ethylene sensitivity is low.",
    "medium": "Its ethylene sensitivity is medium.",
    "high": "It is highly sensitive to ethylene.",
}
_OPPOSITE = {"none": "high", "low": "high", "medium": "none", "high": "none"}


@dataclass(frozen=True)
class Remark:
    """One thing that can be said of a material: the truth, and a way to make it false (None if there is none)."""

    field: str
    true: str
    false: Callable[[Random], str | None]
    section: str
    sources: tuple[str, ...]
    basis: str
    mark: str


def mistake_blueprints(known: Known) -> Iterator[Blueprint]:
    pools = {f.template: frozenset(x.span for m in known.ordered if (x := f.read(known, m))) for f in ALL_NUMBER_FACTS}
    for m in known.ordered:
        remarks = tuple(remarks_on(known, m, pools))
        if len(remarks) < STATEMENTS:
            continue
        for remark in remarks:
            build = partial(_spot, known, m, remark, remarks)
            yield Blueprint(f"mistake:{m.id}:{remark.field}", "mistakes", m.kind, 2, remark.mark, build)


def remarks_on(known: Known, m: Material, pools: dict[str, frozenset[Span]]) -> Iterator[Remark]:
    for fact in ALL_NUMBER_FACTS:
        if fact.template in _NUMBER_STATEMENTS and (found := fact.read(known, m)) is not None:
            words = _NUMBER_STATEMENTS[fact.template]
            false = partial(_false_number, known, fact, m, found.span, pools[fact.template], words)
            yield Remark(
                fact.template,
                words.format(said(found.span, fact.unit)),
                false,
                fact.section,
                found.sources,
                found.basis,
                fingerprint(found.span),
            )
    yield from _said_in_words(known, m)


def _false_number(
    known: Known, fact: NumberFact, m: Material, span: Span, pool: frozenset[Span], words: str, rng: Random
) -> str | None:
    wrong = near_spans(span, pool, barred_spans(known, fact, m), rng, GAPS[fact.unit])
    return words.format(said(wrong[0], fact.unit)) if wrong else None


def _said_in_words(known: Known, m: Material) -> Iterator[Remark]:
    level = known.ethylene(m)
    if level is not None and m.ethylene:
        yield _fixed(
            "ethylene", _ETHYLENE[level], _ETHYLENE[_OPPOSITE[level]], "ethylene", m.ethylene.source, m.ethylene.basis
        )
    for who in ("people", "cats", "dogs"):
        harmful = known.hazard(m, who)
        if harmful is not None:
            entry = getattr(m.hazards, who)
            yes, no = f"It is listed as harmful to {who}.", f"It is not listed as harmful to {who}."
            yield _fixed(
                f"hazard-{who}", yes if harmful else no, no if harmful else yes, "hazards", entry.source, entry.basis
            )
    if m.foam and m.foam.use in ("good", "poor", "avoid"):
        good, poor = "It drinks well in floral foam.", "It drinks poorly in floral foam or should be kept out of it."
        is_good = m.foam.use == "good"
        yield _fixed("foam", good if is_good else poor, poor if is_good else good, "water", m.foam.source, m.foam.basis)
    yield Remark(
        "botanical", f"Its botanical name is {m.botanical}.", partial(_false_botanical, known, m), "names",
        m.summary.source, m.summary.basis, fingerprint(m.botanical),
    )  # fmt: skip
    roles = [r for r in ("line", "mass", "form", "filler") if r not in m.roles]
    if m.kind == "flower" and roles:
        yield Remark(
            "role", f"It is used as {m.roles[0]}.", lambda rng: f"It is used as {rng.choice(roles)}.", "names",
            m.summary.source, m.summary.basis, fingerprint(sorted(m.roles)),
        )  # fmt: skip


def _fixed(field: str, true: str, false: str, section: str, sources: tuple[str, ...], basis: str) -> Remark:
    return Remark(field, true, lambda _: false, section, sources, basis, fingerprint(true))


def _false_botanical(known: Known, m: Material, rng: Random) -> str | None:
    others = [o for o in known.ordered if not same_trade(m, o) and o.kind == m.kind]
    return f"Its botanical name is {rng.choice(others).botanical}." if others else None


def _spot(known: Known, m: Material, remark: Remark, remarks: tuple[Remark, ...], rng: Random) -> Item | None:
    false = remark.false(rng)
    if false is None:
        return None
    # Two remarks about packs, or about one kind of harm, would give each other away or read as a pair.
    others = [r for r in remarks if r.field.split("-")[0] != remark.field.split("-")[0]]
    if len(others) < STATEMENTS - 1:
        return None
    true = rng.sample(others, STATEMENTS - 1)
    choices, key = shuffled(Choice(false), [Choice(r.true) for r in true], rng)
    return known.item(
        m, f"mistake:{m.id}:{remark.field}", topic="mistakes", level=2, section=remark.section,
        question=f"Three of these are true of {m.name}. Which one is the mistake?", key=key,
        answer=f"the handbook says: {remark.true}", cited=Fact((0.0, 0.0), remark.sources, remark.basis),
        ask=f"what is {m.name}?", choices=choices,
    )  # fmt: skip
