"""Everything an entry says, as sections of text with the sources named in full."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.handbook.loading import Handbook
    from assistant.handbook.models import Cited, Hazard, Material, Measure, Source, Statement

_BASIS = {"published": "published", "memory": "from memory of the literature", "practice": "common practice"}


@dataclass(frozen=True, slots=True)
class Fact:
    """One statement with its standing: "published: source ids" or "common practice"."""

    text: str
    standing: str


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    facts: tuple[Fact, ...]
    hazard: bool = False


def sections_of(material: Material, handbook: Handbook) -> list[Section]:
    """All facts of a material, in reading order; what the entry is silent on is left out."""
    from assistant.handbook.passages import degrees, measure_words, months_words, span_words

    def measured(label: str, measure: Measure | None) -> list[Fact]:
        if measure is None:
            return []
        note = _more(measure.note)
        return [Fact(f"{label}: {measure_words(measure)}{note}", standing(measure))]

    def said(statements: tuple[Statement, ...]) -> list[Fact]:
        return [Fact(s.text, standing(s)) for s in statements]

    m = material
    out: list[tuple[str, list[Fact]]] = []
    names = [Fact(m.summary.text, standing(m.summary)), Fact(f"Botanical name: {m.botanical}", "")]
    names += [
        Fact(f"Also: {n.name} ({n.kind}{'' if n.market == 'any' else ', ' + n.market})", "") for n in m.other_names
    ]
    names.append(Fact(f"{m.kind}; used as {', '.join(m.roles)}", ""))
    if m.colours:
        names.append(Fact(f"Colours: {', '.join(c.replace('-', ' ') for c in m.colours.names)}", standing(m.colours)))
    out.append(("what it is", names))
    life = measured("Vase life", m.vase_life) + measured("Factor for each 10 °C", m.q10)
    if m.keeping:
        life += measured("Shelf life", m.keeping.shelf_life) + measured("Air it keeps in", m.keeping.humidity)
        life += said((m.keeping.reuse,)) if m.keeping.reuse else []
    life += said(m.ends_by) + measured("Out of water", m.out_of_water)
    out.append(("how long it lasts", life))
    stored = []
    for record in m.storage:
        bits = [{"dry": "Dry", "wet": "In water", "either": "Dry or in water"}[record.method]]
        bits += [f"at {span_words(record.degC, 'degC')}"] if record.degC else []
        bits += [f"for {span_words(record.days, 'd')}"] if record.days else []
        bits += [f"at {span_words(record.humidity, '%')} humidity"] if record.humidity else []
        bits += [f"({degrees(record.at)})"] if record.at else []
        stored.append(Fact(" ".join(bits) + _more(record.note), standing(record)))
    stored += measured("Chilling hurts below", m.chilling_threshold) + measured("Freezes at", m.freezing_point)
    out.append(("storage", stored))
    if m.ethylene:
        bits = [f"Sensitivity: {m.ethylene.sensitivity}", m.ethylene.symptom or "", m.ethylene.note or ""]
        out.append(("ethylene", [Fact(". ".join(b for b in bits if b), standing(m.ethylene))]))
    water = (
        measured("Drinks a stem", m.water_uptake)
        + measured("Let it drink first", m.hydration)
        + measured("Buds open in", m.opening)
    )
    if m.foam:
        water.append(Fact(f"In foam: {m.foam.use}" + _more(m.foam.says), standing(m.foam)))
    out.append(("water and foam", water))
    out.append(("conditioning and treatment", said(m.conditioning) + said(m.treatment)))
    out.append(("what to look for when buying", said(m.buying)))
    sizes = (
        measured("Stem length", m.stem_length)
        + measured("Head", m.bloom_diameter)
        + measured("Width from the front", m.spread)
    )
    for pack in m.packs:
        amount = span_words(pack.stems, "stems") if pack.stems else span_words(pack.grams or (None, None), "g")
        sizes.append(Fact(f"Bunch ({pack.market}): {amount}" + _more(pack.note), standing(pack)))
    for season in m.season:
        where = "" if season.market == "any" else f" ({season.market})"
        sizes.append(
            Fact(
                f"On the market{where}: {months_words(season)}" + _more(season.note),
                standing(season),
            )
        )
    out.append(("sizes, packs, season", sizes))
    drying = []
    for way in m.drying:
        days = f" in {span_words(way.days, 'd')}" if way.days else ""
        drying.append(
            Fact(
                f"{way.method.replace('-', ', ')}: dries {way.result}{days}" + _more(way.note),
                standing(way),
            )
        )
    out.append(("drying", drying))
    out.append(("what can stand in", [Fact(f"{_name(handbook, s.id)}: {s.why}", "") for s in m.substitutes]))
    out.append(("notes", said(m.notes)))
    made = [Section(title, tuple(facts)) for title, facts in out if facts]
    hazards = _hazards(m)
    if hazards:
        made.insert(1, Section("hazards", tuple(hazards), hazard=True))
    return made


def standing(item: Cited) -> str:
    """How well a statement stands: its basis and the ids of its sources."""
    basis = _BASIS[item.basis]
    return f"{basis}: {', '.join(item.source)}" if item.source else basis


def _hazards(material: Material) -> list[Fact]:
    h = material.hazards
    rows: list[tuple[str, Hazard | None]] = [
        ("People", h.people),
        ("Cats", h.cats),
        ("Dogs", h.dogs),
        *(("Skin", s) for s in h.skin),
    ]
    out = [Fact(f"{who}: {row.level}" + _more(row.says), standing(row)) for who, row in rows if row]
    if h.parts:
        out.append(Fact(f"Parts: {h.parts}", ""))
    if h.food:
        rule = {"never": "keep it off food", "only-food-grade": "only food-grade stock may touch food"}[h.food.rule]
        out.append(Fact(f"Food: {h.food.says or rule}", standing(h.food)))
    return out


def sources_named(ids: tuple[str, ...], handbook: Handbook) -> list[str]:
    """Sources in full, in the order given."""
    return [source_words(handbook.sources[i]) for i in ids if i in handbook.sources]


def source_words(source: Source) -> str:
    bits = [
        source.authors or "",
        f"({source.year})" if source.year else "",
        source.title,
        source.publisher or "",
        source.url or "",
    ]
    return f"{source.id}: " + " ".join(b if b.endswith((".", ")")) or b == source.url else b + "." for b in bits if b)


def _more(note: str | None) -> str:
    """A note, if there is one, as a sentence of its own after the fact."""
    return f". {note[:1].upper()}{note[1:]}" if note else ""


def _name(handbook: Handbook, material_id: str) -> str:
    return handbook.materials[material_id].name if material_id in handbook.materials else material_id
