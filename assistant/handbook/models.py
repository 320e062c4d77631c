"""The shape of the handbook: what a material, a rule, a source and a table may say.

The YAML is the authority on facts; these models are the authority on form. Scalars are strict (a number in
quotes is an error, not a number), unknown fields are errors, and everything is frozen once loaded.

Every number carries `source` (ids of sources.yaml) and `basis`:

- `published`: the figure was seen in the named source;
- `memory`: known from the literature but not re-read (a source may be named, it was not opened);
- `practice`: common practice of the trade, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Annotated, Any, Literal, Self

from pydantic import (
    AfterValidator,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    Strict,
    StringConstraints,
    model_validator,
)

Basis = Literal["published", "memory", "practice"]
Kind = Literal["flower", "foliage", "berry", "branch", "grass", "dried", "preserved"]
Role = Literal["line", "mass", "form", "filler", "foliage", "accent"]
Part = Literal["flower", "foliage", "berry", "branch", "grass", "seed-head", "pod", "moss", "vine"]
Market = Literal["US", "EU", "UK", "any"]

# C0/C1 controls, bidirectional overrides and zero-width characters could drive a terminal or hide text.
_UNSAFE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f-\x9f\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff]")
_DIGIT = re.compile(r"\d")


def _plain(text: str) -> str:
    if _UNSAFE.search(text):
        raise ValueError("text may not hold control or invisible characters")
    return " ".join(text.split())


def as_tuple(value: Any) -> Any:
    """Let a single value stand for a list of one."""
    if value is None:
        return ()
    if isinstance(value, list | tuple):
        return tuple(value)
    return (value,)


Text = Annotated[str, Strict(), StringConstraints(min_length=1), AfterValidator(_plain)]
ID_PATTERN = r"^[a-z0-9]+(-[a-z0-9]+)*$"
SOURCE_PATTERN = r"^[a-z0-9]+(_[a-z0-9]+)*$"
SRGB_PATTERN = r"^#[0-9a-f]{6}$"
Id = Annotated[str, Strict(), StringConstraints(pattern=ID_PATTERN, min_length=2, max_length=60)]
SourceId = Annotated[str, Strict(), StringConstraints(pattern=SOURCE_PATTERN)]
Srgb = Annotated[str, Strict(), StringConstraints(pattern=SRGB_PATTERN)]
Number = Annotated[float, Strict()]
Month = Annotated[int, Strict(), Field(ge=1, le=12)]
Texts = Annotated[tuple[Text, ...], BeforeValidator(as_tuple)]
Ids = Annotated[tuple[Id, ...], BeforeValidator(as_tuple)]
Span = tuple[Number | None, Number | None]


class Model(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True, str_strip_whitespace=True, allow_inf_nan=False)


class Cited(Model):
    """Anything that must say where it comes from."""

    source: Annotated[tuple[SourceId, ...], BeforeValidator(as_tuple)] = ()
    basis: Basis

    @model_validator(mode="after")
    def _source_fits_basis(self) -> Self:
        if self.basis == "published" and not self.source:
            raise ValueError("basis 'published' needs a source; name one or use 'memory' or 'practice'")
        if self.basis == "practice" and self.source:
            raise ValueError("basis 'practice' means no source; drop the source or use 'published' or 'memory'")
        return self


def _ordered(span: Span, what: str) -> None:
    low, high = span
    if low is None and high is None:
        raise ValueError(f"{what} needs at least one of its two numbers")
    if low is not None and high is not None and low > high:
        raise ValueError(f"{what} is upside down: {low:g} is more than {high:g}; write the smaller number first")


class Measure(Cited):
    """A range low–high in a stated unit, under stated conditions. One end may be open."""

    low: Number | None = None
    high: Number | None = None
    unit: Text
    at: Text | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _range_is_ordered(self) -> Self:
        _ordered((self.low, self.high), "the range")
        return self

    @property
    def span(self) -> tuple[float, float]:
        """Both ends as numbers; an open end takes the other's value."""
        low = self.low if self.low is not None else self.high
        high = self.high if self.high is not None else self.low
        if low is None or high is None:  # the validator has ruled this out
            raise ValueError("the range has no numbers")
        return low, high

    @property
    def mid(self) -> float:
        low, high = self.span
        return (low + high) / 2


class Days(Measure):
    unit: Literal["d"]
    low: Annotated[float, Strict(), Field(ge=0)] | None = None
    high: Annotated[float, Strict(), Field(ge=0)] | None = None


class VaseLife(Days):
    """Vase life in days. `degC` and `support` say how it was measured; both default to the standard test room."""

    degC: Annotated[float, Strict(), Field(ge=-5, le=45)] = 20.0  # noqa: N815 - the unit is the name
    support: Id = "vase-food"


class Hours(Measure):
    unit: Literal["h"]


class Centimetres(Measure):
    unit: Literal["cm"]
    low: Annotated[float, Strict(), Field(gt=0)] | None = None
    high: Annotated[float, Strict(), Field(gt=0)] | None = None


class DegreesC(Measure):
    unit: Literal["degC"]


class Ratio(Measure):
    unit: Literal["ratio"]


class Uptake(Measure):
    """Water one stem takes up in a day. `degC` and `humidity` (% RH) say in what air it was measured, where known."""

    unit: Literal["ml/d"]
    degC: Annotated[float, Strict(), Field(ge=-5, le=45)] | None = None  # noqa: N815 - the unit is the name
    humidity: Annotated[float, Strict(), Field(ge=0, lt=100)] | None = None


class Months(Measure):
    unit: Literal["months"]


class Percent(Measure):
    unit: Literal["%"]


class Statement(Cited):
    """One thing the handbook says in words."""

    text: Text

    @model_validator(mode="before")
    @classmethod
    def _bare_text_is_practice(cls, value: Any) -> Any:
        if isinstance(value, str):
            if _DIGIT.search(value):
                raise ValueError(
                    "this text holds a number, so it needs a source and a basis: write {text: …, source: …, basis: …}"
                )
            return {"text": value, "basis": "practice"}
        return value


Statements = Annotated[tuple[Statement, ...], BeforeValidator(as_tuple)]


class Name(Model):
    """Another name, with the market where it is used and what kind of name it is."""

    name: Text
    market: Market = "any"
    kind: Literal["common", "trade", "abbreviation", "botanical", "regional"] = "common"

    @model_validator(mode="before")
    @classmethod
    def _bare_text_is_a_common_name(cls, value: Any) -> Any:
        return {"name": value} if isinstance(value, str) else value


class Colours(Cited):
    """Names from tables/palette.yaml, where their sRGB stands."""

    names: Annotated[tuple[Id, ...], BeforeValidator(as_tuple), Field(min_length=1)]


class Pack(Cited):
    """What one bunch holds in a market: stems, or grams where it is sold by weight."""

    market: Market
    stems: Span | None = None
    grams: Span | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _one_measure(self) -> Self:
        if (self.stems is None) == (self.grams is None):
            raise ValueError("a pack is given either in stems or in grams: write [low, high] for one of them")
        span = self.stems or self.grams
        assert span is not None
        _ordered(span, "the pack")
        if any(end is not None and end <= 0 for end in span):
            raise ValueError("a pack holds more than nothing")
        return self


class Season(Cited):
    """Months in which the trade has it, northern hemisphere imports included unless the note says otherwise."""

    months: Literal["all"] | tuple[Month, ...]
    market: Market = "any"
    note: Text | None = None

    def covers(self, month: int) -> bool:
        return self.months == "all" or month in self.months


class Storage(Cited):
    """One way of keeping it: at which temperature, how long, how wet the air."""

    method: Literal["dry", "wet", "either"]
    degC: Span | None = None  # noqa: N815 - the unit is the name
    days: Span | None = None
    humidity: Span | None = None
    at: Text | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if self.degC is None and self.days is None:
            raise ValueError("a storage record needs degC: [low, high] or days: [low, high]")
        for what, span in (("degC", self.degC), ("days", self.days), ("humidity", self.humidity)):
            if span is not None:
                _ordered(span, what)
        return self


class Ethylene(Cited):
    sensitivity: Literal["none", "low", "medium", "high", "varies"]
    symptom: Text | None = None
    note: Text | None = None


class Hazard(Cited):
    """A listing. `level` is our reading; `says` is what the list itself says. None known is no proof of safety."""

    level: Literal["none", "mild", "moderate", "severe", "listed", "irritant", "sensitiser", "mechanical", "unknown"]
    says: Text | None = None


class FoodContact(Cited):
    rule: Literal["never", "only-food-grade"]
    says: Text | None = None


class Hazards(Model):
    people: Hazard | None = None
    cats: Hazard | None = None
    dogs: Hazard | None = None
    skin: Annotated[tuple[Hazard, ...], BeforeValidator(as_tuple)] = ()
    food: FoodContact | None = None
    parts: Text | None = None


class Foam(Cited):
    """How it drinks in floral foam."""

    use: Literal["good", "fair", "poor", "avoid"]
    says: Text | None = None


class Drying(Cited):
    method: Literal["air-hung", "air-upright", "air-flat", "in-vase", "silica", "press", "glycerin", "freeze"]
    result: Literal["well", "partly", "poorly"]
    days: Span | None = None
    note: Text | None = None


class Keeping(Model):
    """How dried or preserved material keeps: shelf life and the air it stands in, never a water figure."""

    shelf_life: Months
    humidity: Percent | None = None
    reuse: Statement | None = None


class Substitute(Model):
    id: Id
    why: Text


class Material(Model):
    """One material as the trade sells it. What is unknown is absent."""

    id: Id
    name: Text
    plural: Text | None = None
    other_names: tuple[Name, ...] = ()
    botanical: Text
    kind: Kind
    part: Part | None = None
    roles: Annotated[tuple[Role, ...], BeforeValidator(as_tuple), Field(min_length=1)]
    summary: Statement
    colours: Colours | None = None
    bloom_diameter: Centimetres | None = None
    spread: Centimetres | None = None
    stem_length: Centimetres | None = None
    packs: tuple[Pack, ...] = ()
    season: tuple[Season, ...] = ()
    vase_life: VaseLife | None = None
    q10: Ratio | None = None
    storage: tuple[Storage, ...] = ()
    chilling_threshold: DegreesC | None = None
    freezing_point: DegreesC | None = None
    ethylene: Ethylene | None = None
    water_uptake: Uptake | None = None
    hydration: Hours | None = None
    opening: Days | None = None
    foam: Foam | None = None
    out_of_water: Days | None = None
    ends_by: Statements = ()
    buying: Statements = ()
    conditioning: Statements = ()
    treatment: Statements = ()
    drying: tuple[Drying, ...] = ()
    keeping: Keeping | None = None
    hazards: Hazards = Hazards()
    substitutes: tuple[Substitute, ...] = ()
    notes: Statements = ()

    @property
    def is_dry(self) -> bool:
        """Dried and preserved material keeps; it does not drink."""
        return self.kind in ("dried", "preserved")

    @model_validator(mode="after")
    def _kind_decides_what_it_can_say(self) -> Self:
        if self.is_dry:
            wet = ("vase_life", "q10", "water_uptake", "hydration", "opening", "foam", "out_of_water")
            said = [field for field in wet if getattr(self, field) is not None]
            if said:
                raise ValueError(
                    f"{self.kind} material keeps on a shelf and takes no water; remove {', '.join(said)} "
                    "and use keeping"
                )
            if self.keeping is None:
                raise ValueError(f"{self.kind} material needs keeping: with its shelf_life")
            if self.part is None:
                raise ValueError(f"{self.kind} material needs part: (flower, foliage, grass, pod, …)")
        elif self.keeping is not None:
            raise ValueError("keeping is for dried and preserved material; fresh material has vase_life")
        return self


class NumberSaid(Measure):
    """A number inside a rule, named so that a calculator or a quiz can use it."""

    name: Text


Trigger = Literal[
    "poison-people", "poison-cats", "poison-dogs", "children", "skin", "thorns", "food", "hospital",
    "bleach", "acid", "chemical", "knife", "lifting", "fire", "dust", "foam-dust", "floor-water", "cold-store",
    "pesticide", "pollen", "disposal", "glycerin",
]  # fmt: skip


class Caution(Model):
    """A warning an answer must carry whenever one of its triggers is met."""

    text: Text
    triggers: Annotated[tuple[Trigger, ...], BeforeValidator(as_tuple), Field(min_length=1)]


class Rule(Cited):
    """One idea of the craft: what to do, when it applies, why."""

    id: Id
    title: Text
    text: Text
    when: Text | None = None
    why: Text | None = None
    materials: Ids = ()
    kinds: Annotated[tuple[Kind, ...], BeforeValidator(as_tuple)] = ()
    numbers: tuple[NumberSaid, ...] = ()
    steps: Texts = ()
    symptom: Text | None = None
    asked_as: Texts = ()
    caution: Caution | None = None


class Topic(Model):
    """One file of rules/."""

    topic: Id
    title: Text
    rules: tuple[Rule, ...]


class Source(Model):
    id: SourceId
    authors: Text | None = None
    year: Annotated[int, Strict()] | None = None
    title: Text
    publisher: Text | None = None
    url: Text | None = None
    kind: Text | None = None
    seen: Text | None = None
    # A source that no entry cites is kept where a formula or a check rests on it.
    used_in: Literal["formulas", "tests"] | None = None


class Colour(Cited):
    id: Id
    names: Texts = ()
    srgb: Srgb


class Constant(Measure):
    """A number a calculator needs that belongs to no single material. `value` is the working middle."""

    id: Id
    title: Text
    value: Number

    @model_validator(mode="after")
    def _value_inside(self) -> Self:
        low, high = self.span
        if not low <= self.value <= high:
            raise ValueError(f"value {self.value:g} lies outside {low:g} to {high:g}")
        return self


class Vessel(Cited):
    """Inner sizes in centimetres. `top` and `bottom` are diameters; box and ring use length and width."""

    id: Id
    title: Text
    names: Texts = ()
    shape: Literal["cylinder", "taper", "bowl", "box", "ring"]
    height_cm: Annotated[float, Strict(), Field(gt=0)]
    top_cm: Annotated[float, Strict(), Field(gt=0)] | None = None
    bottom_cm: Annotated[float, Strict(), Field(gt=0)] | None = None
    length_cm: Annotated[float, Strict(), Field(gt=0)] | None = None
    width_cm: Annotated[float, Strict(), Field(gt=0)] | None = None
    outer_cm: Annotated[float, Strict(), Field(gt=0)] | None = None
    inner_cm: Annotated[float, Strict(), Field(gt=0)] | None = None

    @model_validator(mode="after")
    def _sizes_fit_the_shape(self) -> Self:
        needs = {
            "cylinder": ("top_cm",),
            "taper": ("top_cm", "bottom_cm"),
            "bowl": ("top_cm",),
            "box": ("length_cm", "width_cm"),
            "ring": ("outer_cm", "inner_cm"),
        }[self.shape]
        missing = [name for name in needs if getattr(self, name) is None]
        if missing:
            raise ValueError(f"a {self.shape} needs {', '.join(missing)}")
        return self


class Place(Cited):
    """A kind of room and the air to assume in it when nobody measured."""

    id: Id
    title: Text
    names: Texts = ()
    degC: Span  # noqa: N815 - the unit is the name
    humidity: Span
    audience: Annotated[tuple[Trigger, ...], BeforeValidator(as_tuple)] = ()


class Dose(Measure):
    """How much of an agent goes into water."""

    id: Id
    title: Text
    names: Texts = ()
    agent: Literal["food", "bleach", "sugar", "acid", "sanitiser", "glycerin", "other"]
    value: Number
    caution: Annotated[tuple[Trigger, ...], BeforeValidator(as_tuple)] = ()


class FoamBlock(Cited):
    id: Id
    title: Text
    names: Texts = ()
    length_cm: Annotated[float, Strict(), Field(gt=0)]
    width_cm: Annotated[float, Strict(), Field(gt=0)]
    height_cm: Annotated[float, Strict(), Field(gt=0)]
    water_l: Span
    note: Text | None = None


class Meaning(Model):
    id: Id
    market: Market = "any"


class SharedName(Model):
    """A name that means different materials in different mouths: the assistant asks, or answers for all."""

    name: Text
    meanings: Annotated[tuple[Meaning, ...], Field(min_length=2)]
    usual: Id | None = None
    note: Text | None = None

    @model_validator(mode="before")
    @classmethod
    def _bare_ids_are_meanings(cls, value: Any) -> Any:
        if isinstance(value, dict) and isinstance(value.get("meanings"), list):
            meanings = [{"id": m} if isinstance(m, str) else m for m in value["meanings"]]
            return {**value, "meanings": meanings}
        return value


class Table(Model):
    """One file of tables/: rows of exactly one sort."""

    table: Id
    title: Text
    constants: tuple[Constant, ...] = ()
    vessels: tuple[Vessel, ...] = ()
    colours: tuple[Colour, ...] = ()
    places: tuple[Place, ...] = ()
    doses: tuple[Dose, ...] = ()
    foam_blocks: tuple[FoamBlock, ...] = ()
    shared_names: tuple[SharedName, ...] = ()

    def rows(self) -> Iterator[Model]:
        for name in type(self).model_fields:
            value = getattr(self, name)
            if isinstance(value, tuple):
                yield from value


class SourceList(Model):
    sources: tuple[Source, ...]
