"""Lives compared: which lasts longest or least long, and four in order; only ranges that do not overlap."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from random import Random

from assistant.drill.distractors import near_materials
from assistant.drill.generators.known import Fact, Known
from assistant.drill.generators.naming import material_choice
from assistant.drill.item import Blueprint, Item, Order, fingerprint, shuffled
from assistant.handbook.models import Material
from assistant.handbook.passages import span_words

_IN_ORDER = 4


def life_blueprints(known: Known) -> Iterator[Blueprint]:
    lives = {m.id: fact for m in known.ordered if (fact := known.life(m)) is not None}
    for material_id, fact in lives.items():
        m = known.materials[material_id]
        make = partial(Blueprint, topic="life", kind=m.kind, fingerprint=fingerprint(fact.span))
        yield make(id=f"lasts-longest:{m.id}:choice", level=2, build=partial(_extreme, known, m, lives, True))
        yield make(id=f"lasts-shortest:{m.id}:choice", level=2, build=partial(_extreme, known, m, lives, False))
        yield make(id=f"order-by-life:{m.id}:order", level=3, build=partial(_ordered, known, m, lives))


def _words(m: Material, fact: Fact) -> str:
    return f"{m.name} {span_words(fact.span, 'd')}"


def _extreme(known: Known, m: Material, lives: dict[str, Fact], longest: bool, rng: Random) -> Item | None:
    low, high = lives[m.id].span

    def is_wrong(other: Material) -> bool:
        if other.id not in lives:
            return False
        theirs = lives[other.id].span
        return theirs[1] < low if longest else theirs[0] > high

    wrong = near_materials(m, known.ordered, is_wrong, rng)
    if wrong is None:
        return None
    choices, key = shuffled(material_choice(m), [material_choice(w) for w in wrong], rng)
    word = "longest" if longest else "least long"
    return known.item(
        m, f"lasts-{'longest' if longest else 'shortest'}:{m.id}:choice", topic="life", level=2, section="life",
        question=f"Which of these lasts {word} in a vase with flower food?", key=key,
        answer="; ".join(_words(x, lives[x.id]) for x in (m, *wrong)), cited=lives[m.id],
        ask=f"how long does {m.name} last?", choices=choices,
    )  # fmt: skip


def _ordered(known: Known, m: Material, lives: dict[str, Fact], rng: Random) -> Item | None:
    chosen = [m]
    pool = [known.materials[other] for other in lives if other != m.id]
    rng.shuffle(pool)
    pool.sort(key=lambda other: other.kind != m.kind)
    for other in pool:
        low, high = lives[other.id].span
        if all(high < lives[c.id].span[0] or low > lives[c.id].span[1] for c in chosen):
            chosen.append(other)
        if len(chosen) == _IN_ORDER:
            break
    else:
        return None
    rng.shuffle(chosen)
    order = tuple(sorted(range(_IN_ORDER), key=lambda i: lives[chosen[i].id].span[0]))
    return known.item(
        m, f"order-by-life:{m.id}:order", topic="life", level=3, section="life",
        question="Put these in order of vase life with flower food, the shortest first.", key=Order(order),
        answer=", ".join(_words(chosen[i], lives[chosen[i].id]) for i in order), cited=lives[m.id],
        ask=f"how long does {m.name} last?", choices=tuple(material_choice(c) for c in chosen),
    )  # fmt: skip
