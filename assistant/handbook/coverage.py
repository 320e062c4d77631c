"""How much of the handbook is filled in, and how much of that was seen in a published source."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from operator import attrgetter
from typing import get_args

from assistant.handbook.loading import Handbook
from assistant.handbook.models import Cited, Hazards, Keeping, Kind, Material, Model

KINDS: tuple[str, ...] = get_args(Kind)
# What identifies an entry rather than says something about it, and what other rows already count.
_NOT_COUNTED = frozenset({"id", "name", "plural", "botanical", "kind", "part", "roles", "substitutes", "other_names"})

_IN_PARTS: dict[str, type[Model]] = {"hazards": Hazards, "keeping": Keeping}

Records = Callable[[Material], Iterable[Cited]]


def _one(item: Cited | None) -> tuple[Cited, ...]:
    return () if item is None else (item,)


ACTED_ON: dict[str, Records] = {
    "vase life": lambda m: _one(m.vase_life),
    "shelf life": lambda m: _one(m.keeping.shelf_life if m.keeping else None),
    "storage temperature": lambda m: [r for r in m.storage if r.degC],
    "storage life": lambda m: [r for r in m.storage if r.days],
    "chilling": lambda m: _one(m.chilling_threshold),
    "freezing": lambda m: _one(m.freezing_point),
    "ethylene": lambda m: _one(m.ethylene),
    "hazards: people": lambda m: _one(m.hazards.people),
    "hazards: cats": lambda m: _one(m.hazards.cats),
    "hazards: dogs": lambda m: _one(m.hazards.dogs),
    "hazards: skin": lambda m: m.hazards.skin,
    "hazards: food": lambda m: _one(m.hazards.food),
}
"""The numbers and classes people act on, and where an entry keeps them."""


def cited_records(value: object) -> Iterator[Cited]:
    """Every record with a source and a basis at or inside a value."""
    if isinstance(value, Cited):
        yield value
    if isinstance(value, Model):
        for name in type(value).model_fields:
            yield from cited_records(getattr(value, name))
    elif isinstance(value, tuple):
        for item in value:
            yield from cited_records(item)


def acted_on(materials: Iterable[Material]) -> dict[str, Counter[str]]:
    """How many records of each acted-on number rest on which basis."""
    listed = list(materials)
    return {
        name: Counter(record.basis for material in listed for record in records(material))
        for name, records in ACTED_ON.items()
    }


def published_share(counts: Iterable[Counter[str]]) -> float:
    """Share of records whose basis is `published`, 0 to 1; 0 where there are none."""
    total: Counter[str] = Counter()
    for count in counts:
        total += count
    return total["published"] / total.total() if total else 0.0


def coverage_table(handbook: Handbook) -> str:
    """Two Markdown tables: field by kind, and the basis of the numbers people act on."""
    materials = list(handbook.materials.values())
    by_kind = {kind: [m for m in materials if m.kind == kind] for kind in KINDS}
    counts = acted_on(materials)
    lines = [
        "# What the handbook holds",
        "",
        "Made by `bucketside check --coverage`; a test keeps it current.",
        "",
        f"{len(materials)} materials, {len(handbook.rules)} rules in {len(handbook.topics)} topics, "
        f"{len(handbook.sources)} sources.",
        "",
        "## Fields by kind",
        "",
        "Of the materials of a kind: % that have the field / % of those whose field holds a published figure.",
        "",
        *_aligned([["field", *(f"{kind} ({len(group)})" for kind, group in by_kind.items())], *_field_rows(by_kind)]),
        "",
        "## Numbers people act on",
        "",
        "One record is one figure or class with its source and basis.",
        "",
        *_aligned([["number", "records", "published", "memory", "practice"], *_basis_rows(counts)]),
    ]
    return "\n".join(lines)


def _field_rows(by_kind: dict[str, list[Material]]) -> Iterator[list[str]]:
    for field in Material.model_fields:
        if field in _NOT_COUNTED:
            continue
        for label, look in _parts(field):
            yield [label, *(_cell([look(m) for m in group]) for group in by_kind.values())]


def _parts(field: str) -> Iterator[tuple[str, Callable[[Material], object]]]:
    """A field as it is counted: hazards and keeping part by part, everything else whole."""
    if field not in _IN_PARTS:
        yield field.replace("_", " "), attrgetter(field)
        return
    for part in _IN_PARTS[field].model_fields:
        yield f"{field}: {part.replace('_', ' ')}", _part_getter(field, part)


def _part_getter(field: str, part: str) -> Callable[[Material], object]:
    return lambda material: getattr(getattr(material, field), part, None)


def _cell(values: Sequence[object]) -> str:
    filled = [value for value in values if value not in (None, ())]
    if not filled:
        return "–"
    cited = [records for value in filled if (records := list(cited_records(value)))]
    published = sum(any(record.basis == "published" for record in records) for records in cited)
    of_those = f"{_percent(published, len(cited))}" if cited else "–"
    return f"{_percent(len(filled), len(values))} / {of_those}"


def _basis_rows(counts: dict[str, Counter[str]]) -> Iterator[list[str]]:
    total: Counter[str] = Counter()
    for name, count in counts.items():
        total += count
        yield _basis_row(name, count)
    yield _basis_row("total", total)


def _basis_row(name: str, count: Counter[str]) -> list[str]:
    n = count.total()
    return [name, str(n), *(f"{_percent(count[basis], n)} %" for basis in ("published", "memory", "practice"))]


def _percent(part: int, whole: int) -> int:
    """Rounded down, so that 100 means all."""
    return 100 * part // whole if whole else 0


def _aligned(rows: Sequence[Sequence[str]]) -> list[str]:
    """A Markdown table that also reads as plain text: padded cells, the first column to the left."""
    widths = [max(len(row[column]) for row in rows) for column in range(len(rows[0]))]

    def line(cells: Sequence[str]) -> str:
        first, *others = (
            cell.ljust(width) if index == 0 else cell.rjust(width)
            for index, (cell, width) in enumerate(zip(cells, widths, strict=True))
        )
        return "| " + " | ".join([first, *others]) + " |"

    rule = "|" + "|".join([":" + "-" * (widths[0] + 1), *("-" * (width + 1) + ":" for width in widths[1:])]) + "|"
    return [line(rows[0]), rule, *(line(row) for row in rows[1:])]
