"""What every task needs at hand: the handbook's numbers in the calculators' terms, passages, the clock."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING

from assistant.calculators.longevity import LifeConstants
from assistant.calculators.ranges import Estimate, exact
from assistant.calculators.substitutes import Profile
from assistant.calculators.water import VesselSize, vapour_pressure_deficit_kpa
from assistant.dialogue.answer import PassageShown
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Constant, Dose, FoamBlock, Material, Place, Vessel
from assistant.handbook.passages import Passage, all_passages, material_passage
from assistant.language.features import FollowUp
from assistant.language.parsing import Parser
from assistant.language.question import Question, Task
from assistant.language.reader import SURE
from assistant.language.reader import in_scope as scope_by_words
from assistant.language.reader import read_task as read_by_words

if TYPE_CHECKING:
    from assistant.retrieval.retriever import Retriever


# Between these the words alone do not settle whether a message is about the trade.
_UNSURE_OUT, _UNSURE_IN = 0.02, 0.97


@dataclass
class Context:
    """The handbook and its helpers, shared by all conversations. Nothing in it changes after start."""

    handbook: Handbook
    clock: Callable[[], date]
    retriever: Retriever | None = None
    market: str = "EU"
    # The shop's own loss of a material and where it comes from, once its stock has seen enough of it.
    own_loss: Callable[[str], tuple[Estimate, str] | None] = field(default=lambda _: None)
    parser: Parser = field(init=False)
    _profiles: dict[tuple[str, str], Profile] = field(init=False, default_factory=dict)
    _scoped: tuple[Question, float] | None = field(init=False, default=None)
    _read: tuple[Question, dict[Task, float]] | None = field(init=False, default=None)
    # What the reader should be told once, such as that search by meaning is off.
    notices: list[str] = field(default_factory=list)

    def __post_init__(self) -> None:
        self.parser = Parser(self.handbook)

    @property
    def today(self) -> date:
        return self.clock()

    @property
    def sees_meaning(self) -> bool:
        """The encoder is there: the readers' chances are those that confidence was fitted on."""
        return self.retriever is not None and self.retriever.encoder() is not None

    def task_chances(self, question: Question) -> dict[Task, float]:
        """Probability of each task: by words, and by words and meaning where those are unsure. The last one is kept."""
        if self._read is not None and self._read[0] is question:
            return self._read[1]
        chances = self._task_chances(question)
        self._read = (question, chances)
        return chances

    def _task_chances(self, question: Question) -> dict[Task, float]:
        chances = read_by_words(question, self.handbook)
        if max(chances.values()) < SURE and self.retriever is not None:
            encoder = self.retriever.encoder()
            if encoder is not None:
                from assistant.retrieval.reader import read_task as read_by_meaning

                meant = read_by_meaning(question, self.handbook, encoder)
                chances = {task: (chances[task] + meant[task]) / 2 for task in chances}
        return chances

    def read_follow_up(self, question: Question, last: Task) -> tuple[FollowUp, float] | None:
        """What a message in a talk most likely is after an answer to `last`, and its probability; None without the encoder."""
        chances = self.follow_up_chances(question, last)
        if chances is None:
            return None
        likeliest = max(chances, key=lambda kind: chances[kind])
        return likeliest, chances[likeliest]

    def follow_up_chances(self, question: Question, last: Task) -> dict[FollowUp, float] | None:
        """Probability of each thing a message in a talk can be; None without the encoder."""
        encoder = self.retriever.encoder() if self.retriever is not None else None
        if encoder is None:
            return None
        from assistant.retrieval.reader import read_follow_up as read_by_meaning

        return read_by_meaning(question, last, self.handbook, encoder)

    def in_scope(self, question: Question, *, named: bool = False) -> float:
        """Probability that a message is about the trade: by words, and by words and meaning where those are unsure.

        Without the encoder a message that names a material plainly (`named`) has the benefit of the doubt.
        """
        if self._scoped is None or self._scoped[0] is not question:
            self._scoped = (question, scope_by_words(question, self.handbook))
        chance = self._scoped[1]
        if not _UNSURE_OUT < chance < _UNSURE_IN:
            return chance
        encoder = self.retriever.encoder() if self.retriever is not None else None
        if encoder is None:
            return 1.0 if named else chance
        from assistant.retrieval.reader import in_scope as scope_by_meaning

        return (chance + scope_by_meaning(question, self.handbook, encoder)) / 2

    # --- tables ---------------------------------------------------------------------------------------------------

    @cached_property
    def constants(self) -> dict[str, Constant]:
        return {row.id: row for table in self.handbook.tables.values() for row in table.constants}

    @cached_property
    def places(self) -> dict[str, Place]:
        return {row.id: row for table in self.handbook.tables.values() for row in table.places}

    @cached_property
    def vessels(self) -> dict[str, Vessel]:
        return {row.id: row for table in self.handbook.tables.values() for row in table.vessels}

    @cached_property
    def doses(self) -> dict[str, Dose]:
        return {row.id: row for table in self.handbook.tables.values() for row in table.doses}

    @cached_property
    def foam_blocks(self) -> dict[str, FoamBlock]:
        return {row.id: row for table in self.handbook.tables.values() for row in table.foam_blocks}

    @cached_property
    def srgb(self) -> dict[str, str]:
        return {row.id: row.srgb for table in self.handbook.tables.values() for row in table.colours}

    def constant(self, name: str) -> Estimate:
        """A table's constant as an Estimate."""
        row = self.constants[name]
        low, high = row.span
        return Estimate(low, row.value, high)

    @cached_property
    def life_constants(self) -> LifeConstants:
        rows = {row.id: self.constant(row.id) for row in self.handbook.table("longevity").constants}
        return LifeConstants.from_rows(rows)

    # --- materials --------------------------------------------------------------------------------------------------

    def material(self, material_id: str) -> Material:
        return self.handbook.materials[material_id]

    def name(self, material_id: str) -> str:
        return self.material(material_id).name

    def plural(self, material_id: str) -> str:
        """How to speak of several of it."""
        material = self.material(material_id)
        if material.plural:
            return material.plural
        name = material.name
        if material.kind in ("foliage", "grass", "dried", "preserved") or name.endswith(("s", "fern", "gyp")):
            return name
        if name.endswith("y") and name[-2] not in "aeiou":
            return name[:-1] + "ies"
        return name + ("es" if name.endswith(("x", "ch", "sh")) else "s")

    def pack(self, material_id: str) -> tuple[Estimate, str] | None:
        """Stems in a bunch and the market they hold for; None where the handbook has no stem count."""
        packs = [p for p in self.material(material_id).packs if p.stems]
        for market in (self.market, "any", "EU", "UK", "US"):
            for pack in packs:
                if pack.market == market and pack.stems:
                    low, high = pack.stems
                    low, high = low if low is not None else high, high if high is not None else low
                    assert low is not None
                    assert high is not None
                    return Estimate(low, (low + high) / 2, high), market
        return None

    def loss_rate(self, material_id: str) -> Estimate:
        """Share of stems lost, from the quantity table, by kind; the shop's own rate is `own_loss`. [1]"""
        kind = self.material(material_id).kind
        for name in (f"loss-{kind}", "loss"):
            if name in self.constants:
                share = self.constant(name)
                return share.times(0.01) if self.constants[name].unit == "%" else share
        return Estimate(0.05, 0.075, 0.1)

    @staticmethod
    def vessel_size(row: Vessel) -> VesselSize:
        """The inner sizes of a vessel of the table. [cm]"""
        return VesselSize(
            row.shape, row.height_cm, row.top_cm, row.bottom_cm, row.length_cm, row.width_cm, row.outer_cm, row.inner_cm
        )

    def uptake(self, material: Material) -> Estimate:
        """Water one stem takes up in the reference room: the material's own, else its kind's, else its role's. [ml/d]

        A published uptake is brought from the air it was measured in to the reference room by the ratio of the
        dryness of the air, as the water calculator does the other way.
        """
        own = material.water_uptake
        if own is None:
            for key in (material.kind, material.roles[0]):
                if f"uptake-{key}" in self.constants:
                    return self.constant(f"uptake-{key}")
            return self.constant("uptake-mass")
        low, high = own.span
        uptake = Estimate(low, (low + high) / 2, high)
        if own.degC is None or own.humidity is None:
            return uptake
        measured = vapour_pressure_deficit_kpa(exact(own.degC), exact(own.humidity)).value
        return uptake.times(self.constant("reference-vpd").value / measured)

    def profile(self, material_id: str, life_d: Estimate | None = None) -> Profile:
        """The material as the substitutes calculator sees it; `life_d` replaces the life of the test room."""
        key = (material_id, self.market)
        if key not in self._profiles:
            self._profiles[key] = self._profile(material_id)
        known = self._profiles[key]
        return known if life_d is None else replace(known, life_d=life_d)

    def _profile(self, material_id: str) -> Profile:
        m = self.material(material_id)
        life: tuple[float, float] | None = None
        if m.vase_life:
            life = m.vase_life.span
        if life is None and m.keeping:
            low, high = m.keeping.shelf_life.span
            life = (low * 30.4, high * 30.4)
        hazards = {who: h.level for who in ("people", "cats", "dogs") if (h := getattr(m.hazards, who)) is not None}
        if m.hazards.skin:
            order = ["none", "unknown", "mechanical", "mild", "irritant", "moderate", "listed", "sensitiser", "severe"]
            hazards["skin"] = max((h.level for h in m.hazards.skin), key=order.index)
        if m.hazards.food:
            hazards["food"] = m.hazards.food.rule
        months: set[int] = set()
        for season in m.season:
            months |= set(range(1, 13)) if season.months == "all" else set(season.months)
        pack = self.pack(material_id)
        return Profile(
            id=m.id,
            name=m.name,
            kind=m.kind,
            roles=frozenset(m.roles),
            part=m.part,
            colours=tuple(self.srgb[c] for c in m.colours.names if c in self.srgb) if m.colours else (),
            bloom_cm=m.bloom_diameter.span if m.bloom_diameter else None,
            spread_cm=m.spread.span if m.spread else None,
            stem_cm=m.stem_length.span if m.stem_length else None,
            life_d=life,
            months=frozenset(months) or None,
            hazards=hazards,
            ethylene=m.ethylene.sensitivity if m.ethylene else None,
            heavy_pollen="pollen" in " ".join(s.text.lower() for s in (*m.conditioning, *m.treatment, *m.notes)),
            stems_per_bunch=pack[0] if pack else None,
            listed={s.id: s.why for s in m.substitutes},
            state="dry" if m.is_dry else "fresh",
        )

    # --- passages -----------------------------------------------------------------------------------------------------

    @cached_property
    def passages(self) -> dict[str, Passage]:
        return {passage.id: passage for passage in all_passages(self.handbook)}

    def sections(self, material_id: str, *names: str) -> list[PassageShown]:
        """Passages of a material, in the order asked; sections the entry is silent on are left out."""
        out = []
        for name in names:
            passage = material_passage(self.material(material_id), name, self.handbook)
            if passage:
                out.append(shown(passage, 1.0))
        return out

    def rules(self, ids: Iterable[str], score: float = 0.9) -> list[PassageShown]:
        """Rule passages by rule id; unknown ids are left out."""
        return [shown(self._by_rule[rule_id], score) for rule_id in ids if rule_id in self._by_rule]

    @cached_property
    def _by_rule(self) -> dict[str, Passage]:
        return {
            passage_id.split("/", 1)[1]: p
            for passage_id, p in self.passages.items()
            if p.id.split("/")[0] not in self.handbook.materials
        }


def shown(passage: Passage, score: float) -> PassageShown:
    return PassageShown(passage.id, passage.title, passage.text, score, passage.sources)
