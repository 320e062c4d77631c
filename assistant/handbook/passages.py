"""The handbook as passages: short, self-contained pieces of text that an answer can quote whole.

A material gives one passage a section, a rule gives one passage. The wording of facts is made here from the
entry's numbers, so a passage and the entry can never disagree; prose is the entry's own.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from assistant.handbook.loading import Handbook
from assistant.handbook.models import Cited, Hazard, Material, Measure, Model, Rule, Season, Span, Statement

SECTIONS = (
    "names", "life", "storage", "ethylene", "water", "conditioning", "buying", "order", "drying", "keeping", "hazards",
    "substitutes", "notes",
)  # fmt: skip
_SECTION_TITLES = {
    "names": "what it is", "life": "how long it lasts", "storage": "storage", "ethylene": "ethylene",
    "water": "water and foam", "conditioning": "conditioning", "buying": "buying", "order": "sizes, packs and season",
    "drying": "drying", "keeping": "keeping", "hazards": "hazards", "substitutes": "what can stand in",
    "notes": "notes",
}  # fmt: skip
MAX_WORDS = 120


@dataclass(frozen=True, slots=True)
class Passage:
    """A quotable piece of the handbook. `id` is `material/section` or `topic/rule`."""

    id: str
    title: str
    text: str
    sources: tuple[str, ...]
    materials: tuple[str, ...] = ()
    asked_as: tuple[str, ...] = ()

    @property
    def section(self) -> str:
        return self.id.split("/", 1)[1]


def all_passages(handbook: Handbook) -> Iterator[Passage]:
    """Every passage, in a stable order: materials by id, then topics and their rules."""
    for material in handbook.materials.values():
        yield from material_passages(material, handbook)
    for topic in handbook.topics.values():
        for rule in topic.rules:
            yield rule_passage(topic.topic, rule)


def rule_passage(topic: str, rule: Rule) -> Passage:
    text = _fit(_rule_sentences(rule))
    return Passage(f"{topic}/{rule.id}", rule.title, text, sources_of(rule), rule.materials, rule.asked_as)


def rule_words(rule: Rule) -> int:
    """How many words a rule's passage would have if nothing were left out."""
    return sum(len(part.split()) for part in _rule_sentences(rule))


def _rule_sentences(rule: Rule) -> list[str]:
    parts = [rule.text]
    if rule.when:
        parts.append(f"When: {sentence(rule.when)}")
    if rule.why:
        parts.append(f"Why: {sentence(rule.why)}")
    if rule.steps:
        parts.append("Steps: " + " ".join(f"{n}. {sentence(step)}" for n, step in enumerate(rule.steps, 1)))
    if rule.symptom:
        parts.insert(0, f"Symptom: {sentence(rule.symptom)}")
    return [sentence(part) for part in parts]


def material_passages(material: Material, handbook: Handbook) -> Iterator[Passage]:
    for section in SECTIONS:
        passage = material_passage(material, section, handbook)
        if passage:
            yield passage


def material_passage(material: Material, section: str, handbook: Handbook) -> Passage | None:
    """One section of a material, or None where the entry says nothing about it."""
    said, cited = _SECTION_WRITERS[section](material, handbook)
    text = _fit(sentence(part) for part in said if part)
    if not text:
        return None
    sources = tuple(dict.fromkeys(source for item in cited for source in sources_of(item)))
    title = f"{material.name[:1].upper()}{material.name[1:]}: {_SECTION_TITLES[section]}"
    return Passage(f"{material.id}/{section}", title, text, sources, (material.id,))


def sources_of(model: Model) -> tuple[str, ...]:
    """Source ids cited anywhere inside an entry, first mention first."""
    found: list[str] = []
    if isinstance(model, Cited):
        found += model.source
    for name in type(model).model_fields:
        value = getattr(model, name)
        if isinstance(value, Model):
            found += sources_of(value)
        elif isinstance(value, tuple):
            for item in value:
                if isinstance(item, Model):
                    found += sources_of(item)
    return tuple(dict.fromkeys(found))


# --- wording ------------------------------------------------------------------------------------------------------

_UNIT_WORDS = {
    "d": "days",
    "h": "hours",
    "degC": "°C",
    "ml/d": "ml a day",
    "ratio": "",
    "months": "months",
    "cm": "cm",
    "%": "%",
}


_DEGC = re.compile(r"\bdegC\b")


def sentence(text: str) -> str:
    """Text with a full stop at its end and a capital at its start."""
    text = text.strip()
    if not text:
        return ""
    text = text[0].upper() + text[1:]
    return text if text[-1] in ".!?:" else text + "."


def span_words(span: Span, unit: str) -> str:
    """`(7, 14), "d"` as "7–14 days"; open ends as "at least" and "at most"."""
    low, high = span
    words = _UNIT_WORDS.get(unit, unit)
    tail = "%" if words == "%" else (f" {words}" if words else "")
    if low is not None and high is not None:
        joined = f"{low:g}" if low == high else f"{low:g} to {high:g}" if low < 0 or high < 0 else f"{low:g}–{high:g}"
        tail = " day" if tail == " days" and low == high == 1 else tail
        return joined + tail
    if low is not None:
        return f"at least {low:g}{tail}"
    return f"at most {high:g}{tail}"


def degrees(text: str) -> str:
    """The files say degC, which every keyboard has; people read °C."""
    return _DEGC.sub("°C", text)


def measure_words(measure: Measure) -> str:
    words = span_words((measure.low, measure.high), measure.unit)
    return f"{words} ({degrees(measure.at)})" if measure.at else words


def months_words(season: Season) -> str:
    if season.months == "all" or len(season.months) == 12:
        return "all year"
    months = sorted(season.months)
    runs: list[list[int]] = []
    for month in months:
        if runs and month == runs[-1][-1] + 1:
            runs[-1].append(month)
        else:
            runs.append([month])
    if len(runs) > 1 and runs[0][0] == 1 and runs[-1][-1] == 12:
        runs[0] = runs.pop() + runs[0]
    name = calendar.month_name
    return ", ".join(name[r[0]] if len(r) == 1 else f"{name[r[0]]} to {name[r[-1]]}" for r in runs)


def _fit(parts: Iterable[str]) -> str:
    """Join whole sentences up to the word limit; the page of the entry shows the rest."""
    out: list[str] = []
    words = 0
    for part in parts:
        for piece in re.split(r"(?<=[.!?]) (?=[A-Z0-9])", part):
            count = len(piece.split())
            if words + count > MAX_WORDS:
                return degrees(" ".join(out))
            out.append(piece)
            words += count
    return degrees(" ".join(out))


_Written = tuple[list[str], list[Cited]]


def _statements(items: Iterable[Statement]) -> _Written:
    listed = list(items)
    return [item.text for item in listed], list(listed)


def _names(m: Material, _: Handbook) -> _Written:
    said = [m.summary.text, f"Botanical name: {m.botanical}"]
    others = [n.name for n in m.other_names if n.kind != "botanical"]
    if others:
        said.append(f"Also called {', '.join(others)}")
    said.append(f"Used as {' and '.join(m.roles)}")
    cited: list[Cited] = [m.summary]
    if m.colours:
        said.append(f"Colours on the market: {', '.join(c.replace('-', ' ') for c in m.colours.names)}")
        cited.append(m.colours)
    return said, cited


def _life(m: Material, _: Handbook) -> _Written:
    said: list[str] = []
    cited: list[Cited] = []
    if m.vase_life:
        said.append(f"Vase life {measure_words(m.vase_life)}")
        cited.append(m.vase_life)
        if m.vase_life.note:
            said.append(m.vase_life.note)
    if m.q10:
        said.append(f"Ageing speeds up by a factor of {span_words((m.q10.low, m.q10.high), 'ratio')} for each 10 °C")
        cited.append(m.q10)
    if said or not m.is_dry:
        texts, more = _statements(m.ends_by)
        if texts:
            said += ["Its end: " + texts[0], *texts[1:]]
            cited += more
    return said, cited


def _storage(m: Material, _: Handbook) -> _Written:
    said: list[str] = []
    for record in m.storage:
        how = {"dry": "Dry", "wet": "In water", "either": "Dry or in water"}[record.method]
        bits = []
        if record.degC:
            bits.append(f"at {span_words(record.degC, 'degC')}")
        if record.days:
            bits.append(f"for {span_words(record.days, 'd')}")
        if record.humidity:
            bits.append(f"at {span_words(record.humidity, '%')} humidity")
        if record.at:
            bits.append(f"({record.at})")
        said.append(f"{how}: {' '.join(bits)}")
        if record.note:
            said.append(record.note)
    cited: list[Cited] = list(m.storage)
    if m.chilling_threshold:
        said.append(
            f"Chilling hurts it below {span_words((m.chilling_threshold.low, m.chilling_threshold.high), 'degC')}"
        )
        cited.append(m.chilling_threshold)
    if m.freezing_point:
        said.append(f"Freezes at about {span_words((m.freezing_point.low, m.freezing_point.high), 'degC')}")
        cited.append(m.freezing_point)
    return said, cited


def _ethylene(m: Material, _: Handbook) -> _Written:
    if not m.ethylene:
        return [], []
    level = {"none": "not known to react to ethylene", "varies": "ethylene sensitivity varies with the cultivar"}
    words = level.get(m.ethylene.sensitivity, f"ethylene sensitivity {m.ethylene.sensitivity}")
    said = [f"{m.name}: {words}"]
    if m.ethylene.symptom and m.ethylene.symptom.lower() != "none":
        said.append(f"What it does: {m.ethylene.symptom}")
    if m.ethylene.note:
        said.append(m.ethylene.note)
    return said, [m.ethylene]


def _water(m: Material, _: Handbook) -> _Written:
    said: list[str] = []
    cited: list[Cited] = []
    if m.hydration:
        said.append(f"Let it drink {measure_words(m.hydration)} before use")
        cited.append(m.hydration)
    if m.opening:
        said.append(f"Buds open in {measure_words(m.opening)}")
        cited.append(m.opening)
    if m.water_uptake:
        said.append(f"Drinks {measure_words(m.water_uptake)} a stem")
        cited.append(m.water_uptake)
    if m.foam:
        use = {
            "good": "drinks well in foam",
            "fair": "drinks fairly in foam",
            "poor": "drinks poorly in foam",
            "avoid": "keep it out of foam",
        }
        said.append(use[m.foam.use])
        if m.foam.says:
            said.append(m.foam.says)
        cited.append(m.foam)
    if m.out_of_water:
        said.append(f"Out of water it holds {measure_words(m.out_of_water)}")
        cited.append(m.out_of_water)
    return said, cited


def _conditioning(m: Material, _: Handbook) -> _Written:
    texts, cited = _statements([*m.conditioning, *m.treatment])
    return texts, cited


def _buying(m: Material, _: Handbook) -> _Written:
    return _statements(m.buying)


def _order(m: Material, _: Handbook) -> _Written:
    said: list[str] = []
    cited: list[Cited] = []
    for pack in m.packs:
        where = "" if pack.market == "any" else f" ({pack.market})"
        what = span_words(pack.stems, "stems") if pack.stems else span_words(pack.grams or (None, None), "g")
        said.append(f"A bunch holds {what}{where}" + (f"; {pack.note}" if pack.note else ""))
        cited.append(pack)
    for label, measure in (
        ("Stem length", m.stem_length),
        ("Head", m.bloom_diameter),
        ("Width as seen from the front", m.spread),
    ):
        if measure:
            said.append(f"{label} {measure_words(measure)}")
            cited.append(measure)
    for season in m.season:
        said.append(f"Available {months_words(season)}" + (f" ({season.market})" if season.market != "any" else ""))
        if season.note:
            said.append(season.note)
        cited.append(season)
    return said, cited


def _drying(m: Material, _: Handbook) -> _Written:
    said = []
    for way in m.drying:
        days = f" in {span_words(way.days, 'd')}" if way.days else ""
        said.append(
            f"Dries {way.result} ({way.method.replace('-', ', ')}){days}" + (f"; {way.note}" if way.note else "")
        )
    return said, list(m.drying)


def _keeping(m: Material, _: Handbook) -> _Written:
    if not m.keeping:
        return [], []
    said = [f"Shelf life {measure_words(m.keeping.shelf_life)}"]
    cited: list[Cited] = [m.keeping.shelf_life]
    if m.keeping.humidity:
        said.append(f"Keep it at {measure_words(m.keeping.humidity)} humidity; it takes no water")
        cited.append(m.keeping.humidity)
    if m.keeping.reuse:
        said.append(m.keeping.reuse.text)
        cited.append(m.keeping.reuse)
    texts, more = _statements(m.ends_by)
    return [*said, *texts], [*cited, *more]


def _hazard_words(who: str, hazard: Hazard) -> str:
    if hazard.says:
        return f"{who}: {hazard.says}"
    level = {"none": "no harm known", "listed": "listed as toxic", "unknown": "not known"}.get(
        hazard.level, hazard.level
    )
    return f"{who}: {level}"


def _hazards(m: Material, _: Handbook) -> _Written:
    h = m.hazards
    said: list[str] = []
    cited: list[Cited] = []
    for who, hazard in (("People", h.people), ("Cats", h.cats), ("Dogs", h.dogs), *(("Skin", skin) for skin in h.skin)):
        if hazard:
            said.append(_hazard_words(who, hazard))
            cited.append(hazard)
    if h.parts:
        said.append(f"Parts: {h.parts}")
    if h.food:
        rule = {
            "never": "keep it off food",
            "only-food-grade": "only food-grade stock may touch food, and shop stock is not",
        }
        said.append(f"Food: {h.food.says or rule[h.food.rule]}")
        cited.append(h.food)
    return said, cited


def _substitutes(m: Material, handbook: Handbook) -> _Written:
    said = [f"{handbook.materials[s.id].name}: {s.why}" for s in m.substitutes if s.id in handbook.materials]
    return ([f"In place of {m.name}", *said] if said else []), []


def _notes(m: Material, _: Handbook) -> _Written:
    return _statements(m.notes)


_SECTION_WRITERS = {
    "names": _names, "life": _life, "storage": _storage, "ethylene": _ethylene, "water": _water,
    "conditioning": _conditioning, "buying": _buying, "order": _order, "drying": _drying, "keeping": _keeping,
    "hazards": _hazards, "substitutes": _substitutes, "notes": _notes,
}  # fmt: skip
