"""The handbook beside the published rows: what agrees, what an entry explains, what is left.

`data/reference_rows.csv` holds facts seen in a published source, one a row, under the name the source's material goes
by; `data/reference_names.csv` says which entries that name means. Run ``python -m tests.published.agreement`` from the
top folder to write `knowledge/AGREEMENT.md` afresh and to see every comparison that is left.
"""

from __future__ import annotations

import csv
import re
import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, cast

from assistant.calculators.longevity import Leg, LifeConstants, Method, days_remaining
from assistant.calculators.ranges import Estimate
from assistant.handbook.loading import Handbook, load_handbook
from assistant.handbook.models import Cited, Hazard, Material, Measure, Span, Statement, Storage

DATA = Path(__file__).with_name("data")
REPORT = Path(__file__).resolve().parents[2] / "knowledge" / "AGREEMENT.md"
AFTER_STORAGE = "vase_life_after_storage"
ATTRIBUTES = (
    "storage_temp", "storage_life", "vase_life", AFTER_STORAGE, "ethylene_sensitivity", "toxic_to_cats",
    "toxic_to_dogs", "toxic_to_humans",
)  # fmt: skip
BAR = 0.95
# 36 degF is 2.2 degC and "near 0" is not 0.0: a reading of a thermometer, not a difference of opinion.
TEMPERATURE_TOLERANCE = 0.5
# Trial means are printed to a tenth of a day, and repeats of one trial scatter by more than that.
DAYS_TOLERANCE = 0.5

Verdict = Literal["agrees", "explained in the entry", "differs", "absent"]


@dataclass(frozen=True)
class Row:
    """One published fact. `low` or `high` may be open; classes and severities stand in `value`."""

    name: str
    attribute: str
    low: float | None
    high: float | None
    value: str
    conditions: str
    source: str


@dataclass(frozen=True)
class Comparison:
    """One row against one entry."""

    row: Row
    material: str
    verdict: Verdict
    said: str

    @property
    def key(self) -> tuple[str, str, str, str]:
        return self.material, self.row.attribute, self.row.source, figure_words(self.row)


def rows() -> list[Row]:
    def number(text: str) -> float | None:
        return float(text) if text else None

    with (DATA / "reference_rows.csv").open(encoding="utf-8", newline="") as file:
        return [
            Row(
                r["name"], r["attribute"], number(r["low"]), number(r["high"]), r["value"], r["conditions"], r["source"]
            )
            for r in csv.DictReader(file)
        ]


def names() -> dict[str, tuple[str, ...]]:
    """Reference name to the ids it means; empty where the handbook has no such material (the file says why)."""
    with (DATA / "reference_names.csv").open(encoding="utf-8", newline="") as file:
        return {r["name"]: tuple(r["materials"].split()) for r in csv.DictReader(file)}


def explained() -> dict[tuple[str, str, str, str], str]:
    """The reviewed list: comparisons that differ for a reason that belongs to no entry."""
    with (DATA / "explained.csv").open(encoding="utf-8", newline="") as file:
        return {(r["material"], r["attribute"], r["source"], r["figure"]): r["reason"] for r in csv.DictReader(file)}


def comparisons(handbook: Handbook) -> list[Comparison]:
    known = names()
    out = [compare(row, handbook.materials[material]) for row in rows() for material in known[row.name]]
    return out + after_storage(handbook)


def compare(row: Row, material: Material) -> Comparison:
    """The verdict on one row: overlap, else a note of the field that says why not."""
    field = _FIELDS[row.attribute](material)
    said = "; ".join(_words(item) for item in field)
    if any(_meets(row, item) for item in field):
        return Comparison(row, material.id, "agrees", said)
    remarks = [*field, *material.notes, *material.ends_by]
    if row.attribute.startswith("storage"):
        remarks += material.storage
    if _explains(row, remarks):
        return Comparison(row, material.id, "explained in the entry", said)
    return Comparison(row, material.id, "differs" if field else "absent", said or "the entry says nothing")


def after_storage(handbook: Handbook) -> list[Comparison]:
    """Trials whose storage is stated, against what the calculator makes of the handbook's own numbers for it."""
    table = {constant.id: constant for constant in handbook.table("longevity").constants}
    spreads = {key: Estimate(c.span[0], c.value, c.span[1]) for key, c in table.items()}
    life = LifeConstants.from_rows(spreads)
    out = []
    with (DATA / "after_storage.csv").open(encoding="utf-8", newline="") as file:
        for r in csv.DictReader(file):
            material = handbook.materials[r["material"]]
            row = Row(
                material.name, AFTER_STORAGE, float(r["low"]), float(r["high"]) if r["high"] else None, "",
                f"{r['days']} d at {r['degC_low']} to {r['degC_high']} degC, {r['method']}", r["source"],
            )  # fmt: skip
            stood = (float(r["days"]), (float(r["degC_low"]), float(r["degC_high"])), r["method"])
            low, high = _days_left(material, stood, life, spreads["q10"])
            agrees = overlaps((low, high), (row.low, row.high), DAYS_TOLERANCE)
            said = f"{low:.1f} to {high:.1f} d foreseen"
            out.append(Comparison(row, material.id, "agrees" if agrees else "differs", said))
    return out


def _days_left(
    material: Material, stood: tuple[float, tuple[float, float], str], life: LifeConstants, q10: Estimate
) -> tuple[float, float]:
    """Foreseen days at 20 degC; where wet or dry isn't stated, from the worse of the two to the better."""
    days, degrees, method = stood
    entry = material.vase_life
    if entry is None:
        raise ValueError(f"{material.id} has no vase life to foresee from")
    ends = [end for record in material.storage for end in record.days or () if end is not None]
    ways = ["cooler-wet", "cooler-dry"] if method == "either" else [method]
    found = [
        days_remaining(
            entry.span,
            display_degC=20.0,
            q10=material.q10.span if material.q10 else q10,
            constants=life,
            legs=[Leg(days, degrees, cast(Method, one))],
            support=cast(Method, entry.support),  # the trial's vase was the one its life was measured in
            measured_degC=entry.degC,
            measured_support=cast(Method, entry.support),
            chilling_threshold_degC=material.chilling_threshold.span[0] if material.chilling_threshold else None,
            storage_life_d=(min(ends), max(ends)) if ends else None,
        ).remaining_d
        for one in ways
    ]
    return min(e.low for e in found), max(e.high for e in found)


# --- what of an entry answers a row -------------------------------------------------------------------------------


def _one(item: Cited | None) -> list[Cited]:
    return [] if item is None else [item]


_FIELDS: dict[str, Callable[[Material], Sequence[Cited]]] = {
    "storage_temp": lambda m: [r for r in m.storage if r.degC],
    "storage_life": lambda m: [r for r in m.storage if r.days],
    "vase_life": lambda m: _one(m.vase_life),
    "ethylene_sensitivity": lambda m: _one(m.ethylene),
    "toxic_to_cats": lambda m: _one(m.hazards.cats),
    "toxic_to_dogs": lambda m: _one(m.hazards.dogs),
    "toxic_to_humans": lambda m: _one(m.hazards.people),
}
_SEVERITY = ("none", "mild", "moderate", "severe")


def _meets(row: Row, item: Cited) -> bool:
    if isinstance(item, Storage):
        span, tolerance = (item.degC, TEMPERATURE_TOLERANCE) if row.attribute == "storage_temp" else (item.days, 0.0)
        return span is not None and overlaps(span, (row.low, row.high), tolerance)
    if isinstance(item, Measure):
        return overlaps((item.low, item.high), (row.low, row.high))
    if isinstance(item, Hazard):
        return hazard_agrees(item, row)
    sensitivity = getattr(item, "sensitivity", "")
    if sensitivity == "varies" and row.source in item.source:
        return True  # the entry names this source beside one that found otherwise
    if row.value == "sensitive":  # the source says that it reacts, not how much
        return sensitivity in ("low", "medium", "high", "varies")
    return bool(sensitivity == row.value)


def overlaps(span: Span, other: Span, tolerance: float = 0.0) -> bool:
    """Whether two ranges share a value; an open end reaches as far as it likes."""
    low = max(_at_least(span), _at_least(other))
    high = min(_at_most(span), _at_most(other))
    return low <= high + tolerance


def _at_least(span: Span) -> float:
    return -float("inf") if span[0] is None else span[0]


def _at_most(span: Span) -> float:
    return float("inf") if span[1] is None else span[1]


def hazard_agrees(hazard: Hazard, row: Row) -> bool:
    """Whether the entry warns as the list does, or more where it names that list and another one is stricter.

    A level without a grade (listed, irritant …) is a warning and no more, so it answers "mild".
    """
    if hazard.level not in _SEVERITY:
        return row.value == "mild" and hazard.level != "unknown"
    if hazard.level == row.value:
        return True
    stricter = _SEVERITY.index(hazard.level) > _SEVERITY.index(row.value)
    return stricter and row.source in hazard.source and len(hazard.source) > 1


def _explains(row: Row, items: Sequence[Cited]) -> bool:
    """A remark counts when it goes with the row's own source, names the row's figure, or warns more than a list does.

    A remark that warns less than the list explains nothing.
    """
    figures = {f"{end:g}" for end in (row.low, row.high) if end is not None}
    for item in items:
        text = " ".join(filter(None, (getattr(item, field, None) for field in ("at", "note", "says", "text"))))
        if not text:
            continue
        if isinstance(item, Hazard):
            if item.level in _SEVERITY and _SEVERITY.index(item.level) > _SEVERITY.index(row.value):
                return True
        elif row.source in item.source or (figures and figures <= set(re.findall(r"-?\d+(?:\.\d+)?", text))):
            return True
    return False


def figure_words(row: Row) -> str:
    """What the row says, short: `4-14`, `>=7`, `<=2`, `severe`."""
    if row.low is None and row.high is None:
        return row.value
    if row.low is None:
        return f"<={row.high:g}"
    if row.high is None:
        return f">={row.low:g}"
    return f"{row.low:g}" if row.low == row.high else f"{row.low:g}-{row.high:g}"


def _words(item: Cited) -> str:
    if isinstance(item, Storage):
        return f"{item.degC} degC {item.days} d"
    if isinstance(item, Measure):
        return f"{item.low}-{item.high}"
    if isinstance(item, Statement):
        return item.text
    return str(getattr(item, "level", getattr(item, "sensitivity", "")))


# --- the report ---------------------------------------------------------------------------------------------------


def by_row(found: Iterable[Comparison]) -> dict[Row, Verdict]:
    """A row that means several entries counts once, with the worst of its verdicts."""
    out: dict[Row, Verdict] = {}
    for c in found:
        out[c.row] = max(out.get(c.row, "agrees"), c.verdict, key=_WORSE.index)
    return out


_WORSE: tuple[Verdict, ...] = ("agrees", "explained in the entry", "absent", "differs")


def report(handbook: Handbook) -> str:
    """The text of `knowledge/AGREEMENT.md`."""
    found = by_row(comparisons(handbook))
    lines = [
        "# The handbook beside the published figures",
        "",
        "Made by `python -m tests.published.agreement`; a test keeps it current. One row is one published figure",
        "against every entry it is about. It agrees when",
        "",
        "- a range shares a value with the published one (life after storage: with what the calculator foresees from",
        "  the entry, within half a day);",
        "- an ethylene class is the same, or varies and the entry names the source among others that differ;",
        "- a hazard is graded as the list grades it, or more severely where two named lists differ.",
        "",
        "A row that does not agree is explained by a note in the entry or stands in the reviewed list below.",
        "",
        "| what | rows | agree | explained in the entry | in the reviewed list | agreement |",
        "|---|---:|---:|---:|---:|---:|",
    ]
    for attribute in (*ATTRIBUTES, None):
        count = Counter(verdict for row, verdict in found.items() if attribute in (None, row.attribute))
        total = count.total()
        name = attribute.replace("_", " ") if attribute else "**all**"
        lines.append(
            f"| {name} | {total} | {count['agrees']} | {count['explained in the entry']} "
            f"| {count['absent'] + count['differs']} | {100 * count['agrees'] / total:.1f} % |"
        )
    lines += ["", "## The reviewed list", "", "| material | what | published | source | why |", "|---|---|---|---|---|"]
    for (material, attribute, source, figure), reason in sorted(explained().items()):
        lines.append(f"| {material} | {attribute.replace('_', ' ')} | {figure} | `{source}` | {reason} |")
    return "\n".join(lines) + "\n"


def left_over(found: Iterable[Comparison]) -> Iterator[Comparison]:
    """What neither agrees nor is explained by its entry."""
    return (c for c in found if c.verdict in ("differs", "absent"))


def main() -> None:
    handbook = load_handbook()
    REPORT.write_text(report(handbook), encoding="utf-8")
    for c in left_over(comparisons(handbook)):
        sys.stdout.write(f"{'|'.join(c.key)}|{c.row.conditions}|{c.verdict}|{c.said}\n")


if __name__ == "__main__":
    main()
