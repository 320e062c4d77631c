"""Choose the substitute: one option meets the need and is named in the handbook, the others each fail a hard limit."""

from __future__ import annotations

import calendar
from collections.abc import Iterator
from dataclasses import dataclass
from functools import partial
from random import Random

from assistant.calculators.substitutes import Need, why_not
from assistant.dialogue.wording import capital
from assistant.drill.distractors import near_materials
from assistant.drill.generators.known import Known
from assistant.drill.generators.naming import material_choice
from assistant.drill.item import Blueprint, Item, fingerprint, shuffled
from assistant.handbook.models import Material, Substitute

_AUDIENCES = {"poison-cats": ("cats", "safe where cats live"), "poison-dogs": ("dogs", "safe where dogs live"),
              "children": ("people", "safe in a children's room")}  # fmt: skip


@dataclass(frozen=True)
class _Asked:
    """The need in the calculator's terms and in words."""

    need: Need
    words: str


def substitute_blueprints(known: Known) -> Iterator[Blueprint]:
    for m in known.ordered:
        for substitute in m.substitutes:
            other = known.materials[substitute.id]
            shared = [role for role in m.roles if role in other.roles]
            if not shared or other.is_dry != m.is_dry:
                continue
            build = partial(_choose, known, m, substitute, shared[0])
            mark = fingerprint(m.id, substitute.id, other.roles, sorted(known.months(other)))
            yield Blueprint(f"substitute:{m.id}:{other.id}", "substitutes", m.kind, 3, mark, build)


def _needs(known: Known, m: Material, other: Material, role: str, rng: Random) -> Iterator[_Asked]:
    """Needs that the substitute provably meets, in random order; the plain role comes last."""
    asked: list[_Asked] = []
    state = "dry" if m.is_dry else "fresh"
    for trigger, (who, words) in _AUDIENCES.items():
        if known.hazard(other, who) is False:
            need = Need(role=role, audience=frozenset({trigger}), state=state)  # type: ignore[arg-type]
            asked.append(_Asked(need, f"{words}, to be used as {role}"))
    months = known.months(other)
    if months and not m.is_dry:
        month = rng.choice(sorted(months))
        asked.append(
            _Asked(
                Need(role=role, month=month, state="fresh"),
                f"in season in {calendar.month_name[month]}, to be used as {role}",
            )
        )
    rng.shuffle(asked)
    yield from asked
    yield _Asked(Need(role=role, state=state), f"{state}, to be used as {role}")  # type: ignore[arg-type]


def _choose(known: Known, m: Material, substitute: Substitute, role: str, rng: Random) -> Item | None:
    other = known.materials[substitute.id]
    ours = known.profile(m)
    named = {s.id for s in m.substitutes} | {s.id for s in other.substitutes}
    for asked in _needs(known, m, other, role, rng):
        if why_not(known.profile(other), ours, asked.need) is not None:
            continue

        def fails(candidate: Material, need: Need = asked.need) -> bool:
            return (
                candidate.id not in named
                and candidate.id != other.id
                and why_not(known.profile(candidate), ours, need) is not None
            )

        wrong = near_materials(m, known.ordered, fails, rng)
        if wrong is None:
            continue
        reasons = [f"{w.name} {why_not(known.profile(w), ours, asked.need)}" for w in wrong]
        choices, key = shuffled(material_choice(other), [material_choice(w) for w in wrong], rng)
        plural = known.plural(m)
        return known.item(
            m, f"substitute:{m.id}:{other.id}", topic="substitutes", level=3, section="substitutes",
            question=f"{capital(plural)} did not come. Which of these can stand in, {asked.words}?", key=key,
            answer=f"{other.name}: {substitute.why}; {'; '.join(reasons)}", cited=None,
            ask=f"what can I use instead of {plural}?", choices=choices,
        )  # fmt: skip
    return None
