"""Quality beyond the schema: what a handbook that is valid can still get wrong.

Each gate is one function from the handbook to the problems it finds; `quality_problems` runs them all. An error would
mislead somebody; a warning makes the handbook worse to read or to keep.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from assistant.handbook.documents import Path_, Problem, dotted
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material, Model, Rule, Span
from assistant.handbook.passages import MAX_WORDS, all_passages, rule_words, sources_of

MEAN_GRADE = 8.0
WORST_GRADE = 12.0


@dataclass(frozen=True, slots=True)
class Quality:
    """What the gates found."""

    errors: tuple[Problem, ...]
    warnings: tuple[Problem, ...]


def quality_problems(handbook: Handbook) -> Quality:
    """Run every gate."""
    return Quality(_run(ERROR_GATES, handbook), _run(WARNING_GATES, handbook))


def _run(gates: Sequence[Gate], handbook: Handbook) -> tuple[Problem, ...]:
    return tuple(sorted((p for gate in gates for p in gate(handbook)), key=lambda p: (p.file, p.field, p.message)))


def _problem(handbook: Handbook, entry: str, path: Path_, message: str) -> Problem:
    return Problem(handbook.origin.get(entry, entry), 0, 0, dotted(path), f"{entry}: {message}")


# --- ranges -------------------------------------------------------------------------------------------------------

# What can be at all, in the unit of the field. Wide on purpose: a number outside is a slip of the pen or of the unit.
BOUNDS: dict[str, tuple[float, float]] = {
    "vase_life": (1, 70),
    "q10": (1, 8),
    "chilling_threshold": (0, 16),
    "freezing_point": (-10, 0),
    "water_uptake": (0, 400),
    "hydration": (0, 48),
    "opening": (0, 21),
    "out_of_water": (0, 120),
    "stem_length": (1, 300),
    "bloom_diameter": (0.1, 60),
    "spread": (0.1, 150),
    "storage.degC": (-2, 20),
    "storage.days": (0.5, 200),
    "storage.humidity": (50, 100),
    "packs.stems": (1, 200),
    "packs.grams": (50, 5000),
    "drying.days": (0.5, 120),
    "keeping.shelf_life": (1, 180),
    "keeping.humidity": (20, 70),
}
# Nothing sold by the bunch is held in such a range; both ends may be right and the pair still useless.
WIDEST_RATIO = {"vase_life": 6.0, "keeping.shelf_life": 12.0}


def ranges_are_sane(handbook: Handbook) -> Iterator[Problem]:
    """Every range lies where such a figure can lie, and isn't so wide that it says nothing."""
    for material in handbook.materials.values():
        for name, path, span in _spans(material):
            low, high = BOUNDS[name]
            ends = [end for end in span if end is not None]
            if any(not low <= end <= high for end in ends):
                said = " to ".join(f"{end:g}" for end in ends)
                yield _problem(handbook, material.id, path, f"{said} is outside {low:g} to {high:g}; check the unit")
            ratio = WIDEST_RATIO.get(name)
            if ratio and len(ends) == 2 and ends[1] > ratio * ends[0]:
                yield _problem(handbook, material.id, path, f"{ends[0]:g} to {ends[1]:g} is too wide to plan with")


def _spans(material: Material) -> Iterator[tuple[str, Path_, Span]]:
    for name in BOUNDS:
        field, _, part = name.partition(".")
        value = getattr(material, field)
        if value is None:
            continue
        if isinstance(value, tuple):
            for index, row in enumerate(value):
                span = getattr(row, part)
                if span is not None:
                    yield name, (field, index, part), span
            continue
        measure = getattr(value, part) if part else value
        if measure is not None:
            yield name, (field, part) if part else (field,), (measure.low, measure.high)


def cold_is_ordered(handbook: Handbook) -> Iterator[Problem]:
    """No storage starts below the freezing point or the chilling threshold unless its note says so."""
    for material in handbook.materials.values():
        limits = [
            (what, measure.span[0])
            for what, measure in (("freezes", material.freezing_point), ("chills", material.chilling_threshold))
            if measure
        ]
        for index, record in enumerate(material.storage):
            ends = [end for end in record.degC or () if end is not None]
            for what, limit in limits:
                if ends and ends[0] < limit and not (record.note or record.at):
                    message = (
                        f"stored from {ends[0]:g} °C, but it {what} at {limit:g} °C; raise it or say why in a note"
                    )
                    yield _problem(handbook, material.id, ("storage", index, "degC"), message)


# --- links --------------------------------------------------------------------------------------------------------

_SMALL_WORDS = frozenset(
    """
    the and but for with from into than that this its are was has have not yet same when where more less very
    """.split()
)


def explains(why: str) -> bool:
    """Whether a substitute's `why` tells a florist anything: at least two words that carry meaning."""
    words = {word for word in re.findall(r"[a-z]{3,}", why.lower()) if word not in _SMALL_WORDS}
    return len(words) >= 2


def substitutes_make_sense(handbook: Handbook) -> Iterator[Problem]:
    """A substitute is another material, named once, and either mutual or explained."""
    for material in handbook.materials.values():
        seen: set[str] = set()
        for index, substitute in enumerate(material.substitutes):
            path = ("substitutes", index)
            if substitute.id == material.id:
                yield _problem(handbook, material.id, path, "names itself as its substitute")
            if substitute.id in seen:
                yield _problem(handbook, material.id, path, f"names '{substitute.id}' twice")
            seen.add(substitute.id)
            other = handbook.materials.get(substitute.id)
            mutual = other is not None and any(back.id == material.id for back in other.substitutes)
            if not mutual and not explains(substitute.why):
                message = f"'{substitute.why}' does not say why '{substitute.id}' can stand in; say what it shares"
                yield _problem(handbook, material.id, path, message)


def rules_can_be_reached(handbook: Handbook) -> Iterator[Problem]:
    """Every rule can be found: by a question, a material or kind, a symptom, or as a caution."""
    for rule in handbook.rules.values():
        if not (rule.asked_as or rule.materials or rule.kinds or rule.caution or rule.symptom):
            message = "nothing leads to this rule; add asked_as, materials, kinds, a symptom or a caution"
            yield _problem(handbook, rule.id, (), message)


def names_do_not_clash(handbook: Handbook) -> Iterator[Problem]:
    """No regular plural of one material's name is a name of another, unless it is declared as shared."""
    shared = {name.name.casefold() for table in handbook.tables.values() for name in table.shared_names}
    shared |= {plural for name in shared for plural in regular_plurals(name)}
    owners: dict[str, str] = {}
    for material in handbook.materials.values():
        for name in _own_names(material):
            owners.setdefault(name, material.id)
    for material in handbook.materials.values():
        for name in sorted(_own_names(material)):
            for plural in regular_plurals(name):
                owner = owners.get(plural, material.id)
                if owner != material.id and plural not in shared:
                    message = f"'{plural}', the plural of '{name}', is a name of '{owner}'; declare it in names.yaml"
                    yield _problem(handbook, material.id, ("other_names",), message)


def _own_names(material: Material) -> set[str]:
    names = {material.name.casefold(), *(name.name.casefold() for name in material.other_names)}
    return names | ({material.plural.casefold()} if material.plural else set())


def regular_plurals(name: str) -> tuple[str, ...]:
    """The plural English would make of a name by rule: `iris` gives `irises`, `lily` gives `lilies`."""
    if re.search(r"[^aeiou]y$", name):
        return (name[:-1] + "ies",)
    if re.search(r"(s|x|z|ch|sh)$", name):
        return (name + "es",)
    return (name + "s",)


def sources_are_cited(handbook: Handbook) -> Iterator[Problem]:
    """Every source is cited by an entry, or says itself where else it is used."""
    entries = (*handbook.materials.values(), *handbook.rules.values(), *handbook.tables.values())
    cited = {source for entry in entries for source in sources_of(entry)}
    for source in handbook.sources.values():
        if source.id in cited and source.used_in:
            yield Problem("sources.yaml", 0, 0, source.id, "is cited by an entry; drop used_in")
        elif source.id not in cited and not source.used_in:
            yield Problem("sources.yaml", 0, 0, source.id, "no entry cites this source; remove it")


# --- prose --------------------------------------------------------------------------------------------------------

_SENTENCE_END = re.compile(r"(?<=[.!?])\s+")
_WORD = re.compile(r"[A-Za-z][A-Za-z'’-]*|\d[\d.,]*")


def syllables(word: str) -> int:
    """Syllables of an English word, by its vowel groups less a silent e, es or ed. A number counts as one."""
    bare = re.sub(r"[^a-z]", "", word.lower())
    count = len(re.findall(r"[aeiouy]+", bare))
    silent_e = bare.endswith("e") and not bare.endswith(("le", "ee", "ye"))
    silent_es = bare.endswith("es") and not re.search(r"([sxzcgi]|[cs]h)es$", bare)
    silent_ed = bare.endswith("ed") and not bare.endswith(("ted", "ded", "eed"))
    return max(1, count - (1 if silent_e or silent_es or silent_ed else 0))


def grade(text: str) -> float:
    """Flesch–Kincaid grade: the years of school a reader of this text needs.

    `0.39 words/sentences + 11.8 syllables/words - 15.59` (Kincaid and others, 1975). Text without words is grade 0.
    """
    words = _WORD.findall(text)
    if not words:
        return 0.0
    sentences = [part for part in _SENTENCE_END.split(text.strip()) if part]
    return 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59


def rule_grades(handbook: Handbook) -> dict[str, float]:
    """The grade of each rule's text and reason."""
    return {rule.id: grade(_prose(rule)) for rule in handbook.rules.values()}


def _prose(rule: Rule) -> str:
    parts = [part.strip() for part in (rule.text, rule.why, rule.caution.text if rule.caution else None) if part]
    return " ".join(part if part[-1] in ".!?" else part + "." for part in parts)


def rules_read_easily(handbook: Handbook) -> Iterator[Problem]:
    """The mean grade of the rules is at most `MEAN_GRADE`, and none is above `WORST_GRADE`."""
    grades = rule_grades(handbook)
    if grades and sum(grades.values()) / len(grades) > MEAN_GRADE:
        mean = sum(grades.values()) / len(grades)
        yield Problem("rules", 0, 0, "", f"the rules read at grade {mean:.1f} on average; {MEAN_GRADE:g} is the limit")
    for rule_id, found in grades.items():
        if found > WORST_GRADE:
            message = f"reads at grade {found:.1f}; shorten its sentences to reach {WORST_GRADE:g}"
            yield _problem(handbook, rule_id, ("text",), message)


def passages_are_short(handbook: Handbook) -> Iterator[Problem]:
    """No passage is over the limit, and no rule says more than its passage can hold."""
    for passage in all_passages(handbook):
        count = len(passage.text.split())
        if count > MAX_WORDS:
            entry = passage.materials[0] if passage.materials else passage.section
            yield _problem(handbook, entry, (), f"its passage {passage.id} has {count} words; {MAX_WORDS} is the limit")
    for rule in handbook.rules.values():
        count = rule_words(rule)
        if count > MAX_WORDS:
            message = (
                f"has {count} words with its reason and steps; {MAX_WORDS} is the limit, so the end is never shown"
            )
            yield _problem(handbook, rule.id, ("text",), message)


_ADDRESS = re.compile(r"https?:|www\.|\b[a-z0-9-]+\.(?:com|org|net|edu|gov|eu|uk)\b|@[a-z]", re.IGNORECASE)
_MARKED = re.compile(r"[®™©]|\((?:r|tm)\)", re.IGNORECASE)
# A name in capitals inside a sentence is a person, a place, a product or a cultivar. These are the ones that may be.
PROPER_WORDS = frozenset(
    """
    January February March April May June July August September October November December Monday Tuesday Wednesday
    Thursday Friday Saturday Sunday Christmas Easter Valentine Mother Mothers Day New Year
    Africa America American Americas Asia Asian Australia Australian Britain British California Colombia Dutch Ecuador
    England English Europe European French Hawaii Holland Israel Italian Italy Japan Japanese Kenya Mediterranean
    Netherlands North Northern South Southern East West Western Zealand Roman Siam
    EC EU UK US USA STS VPD MCP GHS UV RH LED DIY PVC pH mM
    Antique Celsius Fahrenheit
    """.split()
)
_CULTIVAR_CUE = re.compile(r"\b(?:cvs?|cultivars?|lines?)\s+$")
_CAPITAL = re.compile(r"(?<=[a-z,;] )[A-Z][A-Za-z]+(?: [A-Z][A-Za-z]+)*")


def no_addresses_or_marks(handbook: Handbook) -> Iterator[Problem]:
    """No text holds a web address or a trade mark sign: sources are cited by id, and goods by what they are."""
    for entry, path, text in _texts(handbook):
        if _ADDRESS.search(text):
            yield _problem(handbook, entry, path, "holds an address; cite the source by its id")
        if _MARKED.search(text):
            yield _problem(handbook, entry, path, "holds a trade mark sign; name the thing, not the brand")


def no_unknown_names(handbook: Handbook) -> Iterator[Problem]:
    """No word in capitals inside a sentence that is neither a plant's name nor a known proper word: likely a brand.

    The cultivar of a trial may be named, after "cv", "cultivar" or "line".
    """
    plants = {
        word
        for material in handbook.materials.values()
        for name in (material.name, material.botanical, *(other.name for other in material.other_names))
        for word in re.findall(r"[a-z]+", name.lower())
    }
    for entry, path, text in _texts(handbook):
        for found in _CAPITAL.finditer(text):
            words = found[0].split()
            known = all(word in PROPER_WORDS or word.lower() in plants for word in words)
            if not known and not _CULTIVAR_CUE.search(text[: found.start()]):
                yield _problem(handbook, entry, path, f"names '{found[0]}'; use a plain word if it is a brand")


def _texts(handbook: Handbook) -> Iterator[tuple[str, Path_, str]]:
    """Every piece of prose, with its entry and its path there. Names are not prose."""
    entries: dict[str, Model] = {**handbook.materials, **handbook.rules}
    for entry_id, entry in entries.items():
        for path, text in _texts_in(entry, ()):
            yield entry_id, path, text


_NOT_PROSE = frozenset({"id", "name", "plural", "botanical", "other_names", "source", "materials", "unit", "names"})


def _texts_in(model: Model, path: Path_) -> Iterator[tuple[Path_, str]]:
    for field in type(model).model_fields:
        if field not in _NOT_PROSE:
            value = getattr(model, field)
            items = enumerate(value) if isinstance(value, tuple) else [(None, value)]
            for index, item in items:
                here = (*path, field) if index is None else (*path, field, index)
                if isinstance(item, Model):
                    yield from _texts_in(item, here)
                elif isinstance(item, str):
                    yield here, item


Gate = Callable[[Handbook], Iterator[Problem]]
ERROR_GATES: tuple[Gate, ...] = (
    ranges_are_sane, cold_is_ordered, substitutes_make_sense, rules_can_be_reached, names_do_not_clash,
    no_addresses_or_marks, passages_are_short,
)  # fmt: skip
WARNING_GATES: tuple[Gate, ...] = (rules_read_easily, no_unknown_names, sources_are_cited)
