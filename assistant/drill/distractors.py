"""Wrong options: plausible (the same sort of thing, a near value) and provably wrong by the handbook.

A number is wrong only if it stays clear of every number of that kind that the entry's own passage speaks of, so a
remark such as "the trade counts on a week" can never make a wrong option right. A material is wrong only where the
handbook says so; where it is silent the material is not used.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from functools import lru_cache
from random import Random

from assistant.drill.item import Span
from assistant.handbook.models import Material
from assistant.language.cleaning import normalise
from assistant.language.numbers import words_to_digits
from assistant.language.quantities import find_quantities

WRONG_OPTIONS = 3
# How many of the nearest candidates the draw is made from: near enough to be plausible, enough to vary.
_NEAREST = 8


def apart(a: Span, b: Span, gap: float) -> bool:
    """Do two ranges stay at least `gap` away from each other?"""
    return a[0] - b[1] >= gap or b[0] - a[1] >= gap


@lru_cache(maxsize=4096)
def spoken(text: str, dimension: str) -> tuple[Span, ...]:
    """Every quantity of a dimension ("time" in days, "temperature" in °C) that a text speaks of."""
    found = find_quantities(words_to_digits(normalise(text)[:2000]))
    return tuple((q.low, q.high) for q in found if q.dimension == dimension)


def near_spans(key: Span, pool: Iterable[Span], barred: Sequence[Span], rng: Random, gap: float) -> list[Span] | None:
    """Three ranges near the key, clear of the key, of everything barred and of each other; None if there aren't."""
    middle = sum(key) / 2
    fits = {span for span in pool if apart(span, key, gap) and all(apart(span, other, gap) for other in barred)}
    ranked = sorted(fits, key=lambda span: (abs(sum(span) / 2 - middle), span))
    chosen: list[Span] = []
    head, tail = ranked[:_NEAREST], ranked[_NEAREST:]
    rng.shuffle(head)
    for span in (*head, *tail):
        if all(apart(span, other, gap) for other in chosen):
            chosen.append(span)
        if len(chosen) == WRONG_OPTIONS:
            return chosen
    return None


def near_materials(
    entry: Material,
    pool: Iterable[Material],
    is_wrong: Callable[[Material], bool],
    rng: Random,
    count: int = WRONG_OPTIONS,
) -> list[Material] | None:
    """Materials that are provably wrong, those of the same role and kind first; None if there aren't enough."""
    wrong = [m for m in pool if m.id != entry.id and is_wrong(m)]
    if len(wrong) < count:
        return None
    rng.shuffle(wrong)
    wrong.sort(key=lambda m: -_likeness(entry, m))
    head = wrong[: max(_NEAREST, count)]
    return rng.sample(head, count)


def _likeness(a: Material, b: Material) -> int:
    dry = 2 if a.is_dry == b.is_dry else 0
    return dry + (1 if a.kind == b.kind else 0) + (2 if set(a.roles) & set(b.roles) else 0)


def same_trade(a: Material, b: Material) -> bool:
    """Do two entries share the plant or a name, so that one might pass for the other?"""
    return a.botanical.split()[0].casefold() == b.botanical.split()[0].casefold()
