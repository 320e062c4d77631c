"""Seasons: what can be had in a month, and in which month a material can be had."""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from functools import partial
from random import Random

from assistant.drill.distractors import WRONG_OPTIONS, near_materials
from assistant.drill.generators.known import Known
from assistant.drill.generators.naming import material_choice
from assistant.drill.item import Blueprint, Choice, Item, fingerprint, shuffled
from assistant.handbook.models import Material
from assistant.handbook.passages import months_words


def clear_of(months: frozenset[int]) -> list[int]:
    """Months that are neither in a season nor next to it: seasons have soft edges."""
    soft = {(m + step - 1) % 12 + 1 for m in months for step in (-1, 0, 1)}
    return [month for month in range(1, 13) if month not in soft]


def season_blueprints(known: Known) -> Iterator[Blueprint]:
    seasonal = {m.id: months for m in known.ordered if 0 < len(months := known.months(m)) < 12}
    for material_id, months in seasonal.items():
        m = known.materials[material_id]
        make = partial(Blueprint, topic="season", kind=m.kind, fingerprint=fingerprint(sorted(months)))
        yield make(id=f"season-which:{m.id}:choice", level=2, build=partial(_which, known, m, seasonal))
        if len(clear_of(months)) >= WRONG_OPTIONS:
            yield make(id=f"season-month:{m.id}:choice", level=1, build=partial(_month, known, m, months))


def _which(known: Known, m: Material, seasonal: dict[str, frozenset[int]], rng: Random) -> Item | None:
    month = rng.choice(sorted(seasonal[m.id]))

    def is_out(other: Material) -> bool:
        return other.id in seasonal and month in clear_of(seasonal[other.id])

    wrong = near_materials(m, known.ordered, is_out, rng)
    if wrong is None:
        return None
    choices, key = shuffled(material_choice(m), [material_choice(w) for w in wrong], rng)
    return known.item(
        m, f"season-which:{m.id}:choice", topic="season", level=2, section="order",
        question=f"Which of these is in season in {calendar.month_name[month]}?", key=key,
        answer=f"{m.name}: {_words(m)}", cited=m.season[0], ask=f"when is {m.name} in season?", choices=choices,
    )  # fmt: skip


def _month(known: Known, m: Material, months: frozenset[int], rng: Random) -> Item:
    right = rng.choice(sorted(months))
    wrong = rng.sample(clear_of(months), WRONG_OPTIONS)
    choices, key = shuffled(_choice(right), [_choice(w) for w in wrong], rng)
    return known.item(
        m, f"season-month:{m.id}:choice", topic="season", level=1, section="order",
        question=f"In which of these months is {m.name} in season?", key=key, answer=_words(m), cited=m.season[0],
        ask=f"when is {m.name} in season?", choices=choices,
    )  # fmt: skip


def _choice(month: int) -> Choice:
    name = calendar.month_name[month]
    return Choice(name, also=(name[:3], name[:4], str(month)))


def _words(m: Material) -> str:
    return "; ".join(months_words(s) + (f" ({s.market})" if s.market != "any" else "") for s in m.season)
