"""A job as its file says it: the recipe, where and how long it stands, when it goes up."""

from __future__ import annotations

from datetime import date
from typing import Annotated, Any, Literal, Self

from pydantic import BeforeValidator, Field, Strict, model_validator

from assistant.calculators.coverage import Shape, View
from assistant.calculators.longevity import Method
from assistant.calculators.ranges import Estimate
from assistant.calculators.water import VesselShape, VesselSize
from assistant.handbook.models import Id, Model, Number, Role, Text, Texts, Trigger, as_tuple

Weekday = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
WEEKDAYS: tuple[Weekday, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
Near = Literal["heater", "candles", "lamps", "sun", "fruit", "exhaust", "draught"]
MadeOf = Literal["glass", "ceramic", "plastic", "metal", "stone"]
_SIZES = ("height_cm", "top_cm", "bottom_cm", "length_cm", "width_cm", "outer_cm", "inner_cm")

Weekdays = Annotated[tuple[Weekday, ...], BeforeValidator(as_tuple)]
Positive = Annotated[float, Strict(), Field(gt=0)]
Count = Annotated[int, Strict(), Field(ge=1, le=10_000)]


def _day(value: Any) -> Any:
    if isinstance(value, date):
        return value
    if isinstance(value, str):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise ValueError("must be a day written like 2026-12-07")


def _span(value: Any) -> Any:
    """One number or [low, high]."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return (float(value), float(value))
    return value


Day = Annotated[date, BeforeValidator(_day)]
Range = Annotated[tuple[Number, Number], BeforeValidator(_span)]


def weekday_numbers(names: tuple[Weekday, ...]) -> frozenset[int]:
    """`("mon", "sun")` as {0, 6}."""
    return frozenset(WEEKDAYS.index(name) for name in names)


def middle(span: tuple[float, float]) -> Estimate:
    return Estimate(span[0], (span[0] + span[1]) / 2, span[1])


class Line(Model):
    """One material of the recipe: stems or bunches in one piece; neither where the size of the piece is to say."""

    material: Text
    stems: Count | None = None
    bunches: Count | None = None
    role: Role | None = None
    colour: Text | None = None
    note: Text | None = None

    @model_validator(mode="after")
    def _one_count(self) -> Self:
        if self.stems is not None and self.bunches is not None:
            raise ValueError("give stems or bunches, not both")
        return self


class Piece(Model):
    """Outer sizes of one piece, from which stems are proposed where the recipe has none."""

    shape: Shape
    width_cm: Positive
    height_cm: Positive | None = None
    length_cm: Positive | None = None
    view: View = "front"


class VesselUse(Model):
    """A vessel of one piece: by its id in the vessel table, by its own inner sizes, or both (sizes win)."""

    vessel: Id | None = None
    shape: VesselShape | None = None
    height_cm: Positive | None = None
    top_cm: Positive | None = None
    bottom_cm: Positive | None = None
    length_cm: Positive | None = None
    width_cm: Positive | None = None
    outer_cm: Positive | None = None
    inner_cm: Positive | None = None
    count: Count = 1
    made_of: MadeOf = "glass"
    fill_share: Annotated[float, Strict(), Field(gt=0, le=1)] | None = None

    @model_validator(mode="after")
    def _is_some_vessel(self) -> Self:
        if self.vessel is None and (self.shape is None or self.height_cm is None):
            raise ValueError("name a vessel: of the vessel table, or give shape: and its inner sizes")
        return self

    def size(self, table: VesselSize | None) -> VesselSize:
        """Inner sizes [cm]: the table's, overridden by what is said here."""
        own = {name: getattr(self, name) for name in _SIZES if getattr(self, name) is not None}
        if table is None:
            assert self.shape is not None
            return VesselSize(self.shape, **own)
        return table._replace(shape=self.shape or table.shape, **own)


class Job(Model):
    """Everything a plan is made from. Stems, bunches and vessels are those of one piece.

    `plan_on` says which life decides when a material is changed: the short end of its range, so that it never looks
    tired, or the middle, which saves visits and needs somebody to look now and then.
    """

    job: Id
    title: Text
    place: Id | None = None
    degC: Range | None = None  # noqa: N815 - degC keeps the capital of the unit everywhere in the project
    humidity: Range | None = None
    install: Day
    build_days_before: Annotated[int, Strict(), Field(ge=0, le=14)] = 1
    display_days: Annotated[int, Strict(), Field(ge=1, le=366)]
    pieces: Count = 1
    piece: Piece | None = None
    recipe: Annotated[tuple[Line, ...], Field(max_length=500)] = ()
    vessels: tuple[VesselUse, ...] = ()
    support: Method = "vase-food"
    near: Annotated[tuple[Near, ...], BeforeValidator(as_tuple)] = ()
    audience: Annotated[tuple[Trigger, ...], BeforeValidator(as_tuple)] = ()
    open_days: Weekdays = ()
    plan_on: Literal["short", "middle"] = "short"
    water_check_days: Annotated[int, Strict(), Field(ge=1, le=60)] | None = None
    confidence: Annotated[float, Strict(), Field(gt=0, lt=1)] | None = None
    mark_up: Annotated[float, Strict(), Field(ge=1, le=20)] | None = None
    market: Literal["EU", "UK", "US"] = "EU"
    notes: Texts = ()

    @model_validator(mode="after")
    def _can_be(self) -> Self:
        for what, span, low, high in (("degC", self.degC, -10.0, 45.0), ("humidity", self.humidity, 0.0, 100.0)):
            if span is not None and not low <= span[0] <= span[1] <= high:
                raise ValueError(f"{what} must be one number or [low, high] between {low:g} and {high:g}")
        if not self.recipe and self.piece is None:
            raise ValueError("give a recipe:, or a piece: with its size so that one can be proposed")
        if self.piece is None and any(line.stems is None and line.bunches is None for line in self.recipe):
            raise ValueError("a line without stems or bunches needs a piece: with its size to work them out from")
        return self

    def revised(self, **changes: Any) -> Job:
        """The same job with some fields changed, checked again; the plan made from it follows.

        Raises:
            pydantic.ValidationError: where the change cannot be.
        """
        return Job.model_validate(self.model_dump() | changes)
