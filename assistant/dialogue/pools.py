"""Which materials a question without a name is about: "white filler, safe with cats, in October"."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.dialogue.context import Context
from assistant.dialogue.memory import Wish
from assistant.handbook.models import Material

_DRY = frozenset({"dried", "preserved"})


def pool(wish: Wish, context: Context) -> Iterator[Material]:
    """Materials that fit the kinds, roles, colours and month a wish names. Dry material only when asked for."""
    kinds = set(words(wish, "kinds"))
    roles = set(words(wish, "roles"))
    colours = set(words(wish, "colours"))
    month = wish.slot("month")
    if kinds & _DRY:
        wanted_kinds = kinds & _DRY
    elif kinds - {"flower"}:
        wanted_kinds = kinds - {"flower"}
    elif roles:
        wanted_kinds = {"flower"} if "flower" in kinds else {"flower", "foliage", "berry", "branch", "grass"}
    else:
        wanted_kinds = kinds
    for material in context.handbook.materials.values():
        if wanted_kinds and material.kind not in wanted_kinds:
            continue
        if not wanted_kinds and material.is_dry:
            continue
        if roles and not roles & set(material.roles):
            continue
        if colours and not (material.colours and colours & set(material.colours.names)):
            continue
        if month is not None and material.season and not any(s.covers(int(month.number)) for s in material.season):
            continue
        yield material


def words(wish: Wish, name: str) -> tuple[str, ...]:
    reading = wish.slot(name)
    return reading.words if reading else ()


def is_narrowed(wish: Wish) -> bool:
    """Does the wish say what sort of material is meant?"""
    return any(wish.slot(name) is not None for name in ("kinds", "roles", "colours"))


def pool_words(wish: Wish) -> str:
    """What was searched, for the reply: "white filler"."""
    colours = [c.replace("-", " ") for c in words(wish, "colours")]
    kinds = [
        {
            "flower": "flowers",
            "foliage": "greens",
            "berry": "berries",
            "branch": "branches",
            "grass": "grasses",
            "dried": "dried material",
            "preserved": "preserved material",
        }[k]
        for k in words(wish, "kinds")
    ]
    roles = list(words(wish, "roles"))
    return " ".join([*colours, *(roles or kinds)]) or "material"
