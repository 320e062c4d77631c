"""The handbook as the generators read it: one reading of each fact, shared by all of them."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

from assistant.calculators.substitutes import Profile
from assistant.dialogue.context import Context
from assistant.dialogue.lives import storage_degC, storage_life
from assistant.drill.item import Choice, Item, Key, Span
from assistant.handbook.models import Cited, Hazard, Material
from assistant.language.names import NameIndex
from assistant.language.numbers import words_to_digits

HARMFUL = frozenset({"mild", "moderate", "severe", "listed"})
ALL_YEAR = frozenset(range(1, 13))
_COUNT_WORDS = re.compile(r"\d|\b(?:twos|threes|fours|fives|sixes|eights|tens|twelves|fifteens|twenties|dozens?)\b")


@dataclass(frozen=True, slots=True)
class Fact:
    """A number the handbook gives: its range, where it comes from and under which conditions it holds."""

    span: Span
    sources: tuple[str, ...]
    basis: str
    at: str = ""


@dataclass
class Known:
    """Facts of one handbook. `own` are the ids that a shop's overlay brought or changed."""

    context: Context
    own: frozenset[str] = frozenset()
    _profiles: dict[str, Profile] = field(default_factory=dict)

    @property
    def materials(self) -> dict[str, Material]:
        return self.context.handbook.materials

    @property
    def names(self) -> NameIndex:
        return self.context.parser.names

    @cached_property
    def ordered(self) -> tuple[Material, ...]:
        return tuple(self.materials.values())

    def plural(self, material: Material) -> str:
        return self.context.plural(material.id)

    def passage(self, material: Material, section: str) -> str:
        """The passage id of a section; of the names section where the entry is silent on it."""
        wanted = f"{material.id}/{section}"
        return wanted if wanted in self.context.passages else f"{material.id}/names"

    def text(self, material: Material, section: str) -> str:
        found = self.context.passages.get(f"{material.id}/{section}")
        return found.text if found else ""

    def rule_passage(self, rule_id: str) -> str:
        return f"{self.context.handbook.topic_of(rule_id).topic}/{rule_id}"

    def profile(self, material: Material) -> Profile:
        if material.id not in self._profiles:
            self._profiles[material.id] = self.context.profile(material.id)
        return self._profiles[material.id]

    def item(
        self,
        m: Material,
        item_id: str,
        *,
        topic: str,
        level: int,
        section: str,
        question: str,
        key: Key,
        answer: str,
        cited: Cited | Fact | None,
        ask: str,
        choices: tuple[Choice, ...] = (),
    ) -> Item:
        """An item about a material. `section` is where the answer stands, `cited` what it rests on."""
        sources = cited.sources if isinstance(cited, Fact) else cited.source if cited else ()
        return Item(
            item_id, topic, level, question, key, answer, self.passage(m, section), sources,
            cited.basis if cited else "practice", ask, choices,
        )  # fmt: skip

    # --- single facts -------------------------------------------------------------------------------------------

    def life(self, m: Material) -> Fact | None:
        """Vase life in the standard test room; lives measured otherwise can't be compared and are left out."""
        entry = m.vase_life
        if entry is None or entry.low is None or entry.high is None:
            return None
        if entry.degC != 20.0 or entry.support != "vase-food":
            return None
        return Fact((entry.low, entry.high), entry.source, entry.basis)

    def storage_temperature(self, m: Material) -> Fact | None:
        """Over all records; None where they disagree so much that no single answer is right."""
        records = [r for r in m.storage if r.degC]
        found = storage_degC(m) if records else None
        if found is None or found.high - found.low > 6:
            return None
        return Fact(
            (found.low, found.high), tuple(dict.fromkeys(s for r in records for s in r.source)), _basis(records)
        )

    def storage_days(self, m: Material) -> Fact | None:
        records = [r for r in m.storage if r.days]
        found = storage_life(m, None) if records else None
        if found is None or found.low <= 0 or found.high > 5 * found.low:
            return None
        return Fact(
            (found.low, found.high), tuple(dict.fromkeys(s for r in records for s in r.source)), _basis(records)
        )

    def pack(self, m: Material, market: str) -> Fact | None:
        """Stems in a bunch in one market; None where a note gives further sizes."""
        rows = [p for p in m.packs if p.market == market]
        if not rows or any(p.grams or (p.note and _COUNT_WORDS.search(words_to_digits(p.note.lower()))) for p in rows):
            return None
        ends = [end for p in rows if p.stems for end in p.stems]
        if not ends or any(end is None for end in ends):
            return None
        numbers = [float(end) for end in ends if end is not None]
        return Fact((min(numbers), max(numbers)), tuple(dict.fromkeys(s for p in rows for s in p.source)), _basis(rows))

    def packs_anywhere(self, m: Material) -> tuple[Span, ...]:
        return tuple(
            (p.stems[0], p.stems[1]) for p in m.packs if p.stems and p.stems[0] is not None and p.stems[1] is not None
        )

    def months(self, m: Material) -> frozenset[int]:
        """Every month in which some market has it; empty where the handbook doesn't say."""
        months: set[int] = set()
        for season in m.season:
            months |= ALL_YEAR if season.months == "all" else set(season.months)
        return frozenset(months)

    def hazard(self, m: Material, who: str) -> bool | None:
        """Listed as harmful (True) or as harmless (False); None where nothing or something in between is said."""
        entry: Hazard | None = getattr(m.hazards, who)
        if entry is None or entry.level == "unknown":
            return None
        if entry.level in HARMFUL:
            return True
        if entry.level != "none" or (entry.says and not re.search(r"\bno[nt]?\b", entry.says.lower())):
            return None
        return False

    def ethylene(self, m: Material) -> str | None:
        """The level, where it holds for the whole material and not by cultivar."""
        entry = m.ethylene
        return None if entry is None or entry.sensitivity == "varies" or entry.note else entry.sensitivity

    def foam(self, m: Material) -> str | None:
        return m.foam.use if m.foam else None


def _basis(rows: Sequence[object]) -> str:
    bases = {getattr(row, "basis", "") for row in rows}
    return next(b for b in ("published", "memory", "practice", "") if b in bases or b == "")
