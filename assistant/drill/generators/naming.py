"""Names: the trade's other names and the botanical ones, both ways round."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from functools import partial
from random import Random

from assistant.drill.distractors import WRONG_OPTIONS, near_materials, same_trade
from assistant.drill.generators.known import Known
from assistant.drill.item import Blueprint, Botanical, Choice, Item, Key, Name, fingerprint, shuffled
from assistant.handbook.models import Material
from assistant.handbook.models import Name as OtherName
from assistant.language.names import key_of, plurals_of

_MARKETS = {"US": " in the United States", "EU": " in Europe", "UK": " in Britain", "any": ""}


def naming_blueprints(known: Known) -> Iterator[Blueprint]:
    owners = Counter(m.botanical.casefold() for m in known.ordered)
    for m in known.ordered:
        yield from _other_names(known, m)
        make = partial(Blueprint, topic="names", kind=m.kind, fingerprint=fingerprint(m.botanical))
        yield make(id=f"botanical:{m.id}:name", level=3, build=partial(_botanical, m, known))
        yield make(id=f"botanical:{m.id}:choice", level=2, build=partial(_botanical_choice, m, known))
        alone = owners[m.botanical.casefold()] == 1 and known.names.look_up(m.botanical) in ((m.id,), ())
        if alone and key_of(m.botanical) not in _own_keys(m):
            yield make(id=f"plant:{m.id}:name", level=3, build=partial(_plant, m, known))


def _own_keys(m: Material) -> set[str]:
    """The material's name in the forms that say nothing new."""
    keys = {key_of(m.name), key_of(m.plural or m.name)}
    return keys | {plural for key in keys for plural in plurals_of(key)}


def _further_names(m: Material) -> list[OtherName]:
    """Names of the trade that are more than the name itself in the plural."""
    own = _own_keys(m)
    return [n for n in m.other_names if n.kind != "botanical" and key_of(n.name) not in own]


def _other_names(known: Known, m: Material) -> Iterator[Blueprint]:
    spoken = _further_names(m)
    make = partial(Blueprint, topic="names", kind=m.kind)
    if spoken:
        mark = fingerprint(sorted(n.name for n in spoken))
        yield make(id=f"other-name:{m.id}:name", level=1, fingerprint=mark, build=partial(_another_name, m, known))
    own = set(key_of(m.name).split()) | set(key_of(m.plural or m.name).split())
    for other in spoken:
        key = key_of(other.name)
        # A name that holds the material's own gives itself away; one that several materials share has no one answer.
        if own & set(key.split()) or known.names.look_up(other.name) != (m.id,):
            continue
        slug = key.replace(" ", "-")
        free = partial(_known_as, m, other, slug, known)
        choice = partial(_known_as_choice, m, other, slug, known)
        yield make(id=f"known-as:{m.id}:{slug}", level=2, fingerprint=fingerprint(m.id), build=free)
        yield make(id=f"known-as:{m.id}:{slug}-choice", level=1, fingerprint=fingerprint(m.id), build=choice)


def _item(
    m: Material,
    known: Known,
    name: str,
    level: int,
    question: str,
    key: Key,
    answer: str,
    choices: tuple[Choice, ...] = (),
) -> Item:
    """`name` is the item's id with @ for the material."""
    return known.item(
        m, name.replace("@", m.id), topic="names", level=level, section="names", question=question, key=key,
        answer=answer, cited=m.summary, ask=f"what is {m.name}?", choices=choices,
    )  # fmt: skip


def _another_name(m: Material, known: Known, _: Random) -> Item:
    others = ", ".join(n.name for n in _further_names(m))
    return _item(m, known, "other-name:@:name", 1, f"Give another name for {m.name}.", Name(m.id, asked=m.name), others)


def _heard(other: OtherName) -> str:
    return f" (so called{_MARKETS[other.market]})" if other.market != "any" else ""


def _known_as(m: Material, other: OtherName, slug: str, known: Known, _: Random) -> Item:
    question = f"By which name does the handbook list “{other.name}”{_heard(other)}?"
    return _item(m, known, f"known-as:@:{slug}", 2, question, Name(m.id, asked=other.name), m.name)


def _known_as_choice(m: Material, other: OtherName, slug: str, known: Known, rng: Random) -> Item | None:
    meant = known.names.look_up(other.name)
    wrong = near_materials(m, known.ordered, lambda o: o.id not in meant and not same_trade(m, o), rng)
    if wrong is None:
        return None
    choices, key = shuffled(material_choice(m), [material_choice(w) for w in wrong], rng)
    question = f"Which of these is also called “{other.name}”{_heard(other)}?"
    return _item(m, known, f"known-as:@:{slug}-choice", 1, question, key, m.name, choices)


def _botanical(m: Material, known: Known, _: Random) -> Item:
    names = (m.botanical, *(n.name for n in m.other_names if n.kind == "botanical"))
    question = f"What is the botanical name of {m.name}?"
    return _item(m, known, "botanical:@:name", 3, question, Botanical(names), m.botanical)


def _botanical_choice(m: Material, known: Known, rng: Random) -> Item | None:
    wrong = near_materials(m, known.ordered, lambda other: not same_trade(m, other), rng, count=12) or []
    distinct = list({w.botanical.split()[0].casefold(): w for w in wrong}.values())[:WRONG_OPTIONS]
    if len(distinct) < WRONG_OPTIONS:
        return None
    choices, key = shuffled(Choice(m.botanical), [Choice(w.botanical) for w in distinct], rng)
    question = f"Which is the botanical name of {m.name}?"
    return _item(m, known, "botanical:@:choice", 2, question, key, m.botanical, choices)


def _plant(m: Material, known: Known, _: Random) -> Item:
    question = f"What does the trade call {m.botanical}?"
    return _item(m, known, "plant:@:name", 3, question, Name(m.id, asked=m.botanical), m.name)


def material_choice(m: Material) -> Choice:
    return Choice(m.name, material=m.id)
