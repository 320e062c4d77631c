"""The handbook as a list to search, narrow and sort."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.handbook.models import Material

KINDS = ("flower", "foliage", "berry", "branch", "grass", "dried", "preserved")
ROLES = ("line", "mass", "form", "filler", "foliage", "accent")
LIVES = ("up to 5 days", "5 to 10 days", "10 to 21 days", "3 weeks and more", "keeps dry")
MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
SORTS = ("name", "longest life", "shortest life", "longest stem", "kind")


@dataclass(frozen=True, slots=True)
class Row:
    """One material as the list shows it. `life` is its middle in days; None where the handbook has none."""

    id: str
    name: str
    kind: str
    roles: tuple[str, ...]
    colours: tuple[tuple[str, str], ...]
    months: frozenset[int]
    life: float | None
    life_words: str
    stem_cm: float | None
    dry: bool
    haystack: str

    @property
    def life_band(self) -> str:
        if self.dry:
            return LIVES[4]
        if self.life is None:
            return ""
        return next((LIVES[n] for n, top in enumerate((5, 10, 21)) if self.life <= top), LIVES[3])


@dataclass(frozen=True, slots=True)
class View:
    """What the list is narrowed to; "" and 0 mean everything."""

    text: str = ""
    kind: str = ""
    role: str = ""
    colour: str = ""
    month: int = 0
    life: str = ""
    sort: str = SORTS[0]


def rows_of(context: Context) -> list[Row]:
    return [_row(material, context) for material in context.handbook.materials.values()]


def colour_names(rows: Iterable[Row]) -> list[str]:
    """Colours that occur, by name."""
    return sorted({name for row in rows for name, _ in row.colours})


def narrowed(rows: Iterable[Row], view: View) -> list[Row]:
    """The rows that fit every condition, sorted."""
    words = view.text.lower().split()
    kept = [
        row
        for row in rows
        if all(word in row.haystack for word in words)
        and (not view.kind or row.kind == view.kind)
        and (not view.role or view.role in row.roles)
        and (not view.colour or any(name == view.colour for name, _ in row.colours))
        and (not view.month or view.month in row.months)
        and (not view.life or row.life_band == view.life)
    ]
    keys = {
        "name": lambda r: (0.0, r.name.lower()),
        "longest life": lambda r: (-(r.life if r.life is not None else -1.0), r.name.lower()),
        "shortest life": lambda r: (r.life if r.life is not None else 1e9, r.name.lower()),
        "longest stem": lambda r: (-(r.stem_cm or -1.0), r.name.lower()),
        "kind": lambda r: (float(KINDS.index(r.kind)), r.name.lower()),
    }
    kept.sort(key=keys[view.sort])
    if words:  # a name that begins with what was typed comes first
        kept.sort(key=lambda r: not r.name.lower().startswith(view.text.lower().strip()))
    return kept


def _row(material: Material, context: Context) -> Row:
    months: set[int] = set()
    for season in material.season:
        months |= set(range(1, 13)) if season.months == "all" else set(season.months)
    life: float | None = None
    words = "–"
    if material.vase_life is not None:
        low, high = material.vase_life.span
        life, words = material.vase_life.mid, f"{low:g}–{high:g} d" if low != high else f"{low:g} d"
    elif material.keeping is not None:
        low, high = material.keeping.shelf_life.span
        life, words = material.keeping.shelf_life.mid * 30.44, f"{low:g}–{high:g} mo"
    names = material.colours.names if material.colours else ()
    colours = tuple((name, context.srgb[name]) for name in names if name in context.srgb)
    haystack = " ".join(
        [
            material.name,
            material.id,
            material.plural or "",
            material.botanical,
            *(n.name for n in material.other_names),
            *names,
        ]
    ).lower()
    return Row(
        material.id,
        material.name,
        material.kind,
        tuple(material.roles),
        colours,
        frozenset(months),
        life,
        words,
        material.stem_length.span[1] if material.stem_length else None,
        material.is_dry,
        haystack,
    )
