"""The parts of a plan, as plain data. Every number on a sheet stands in one of these."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date
from typing import Literal

from assistant.calculators.coverage import RoleStems
from assistant.calculators.longevity import Leg
from assistant.calculators.ranges import Estimate
from assistant.calculators.water import Fill, Level, VesselSize, Weight
from assistant.dialogue.answer import Figure
from assistant.handbook.models import Role
from assistant.sheets.job import Job, VesselUse

Severity = Literal["stop", "watch", "note"]
CountOrigin = Literal["recipe", "size of the piece", "bunches"]


@dataclass(frozen=True, slots=True)
class Need:
    """What the job needs of one material, all pieces together.

    Attributes
    ----------
    stems : int or None
        Stems in the display at one time; None where bunches were asked and the pack is not known. [stems]
    bunches : int or None
        Bunches asked for as such. [bunches]
    proposed : Estimate or None
        The range behind stems worked out from the size of the piece. [stems]
    pack : Estimate or None
        Stems in a bunch. [stems]
    """

    material: str
    role: Role
    stems: int | None
    bunches: int | None
    origin: CountOrigin
    proposed: Estimate | None
    pack: Estimate | None
    pack_market: str | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Prep:
    """When one material is ordered, received, conditioned and ready for one installation or visit.

    Attributes
    ----------
    hydrate_h : Estimate or None
        First drink. [h]
    opening_d : Estimate or None
        From the cut stage it is sold in to open. [d]
    legs : tuple of Leg
        From receipt to the display: on the bench to drink and open, then in the cooler.
    """

    material: str
    order_by: date
    receive: date
    ready: date
    on: date
    hydrate_h: Estimate | None
    hydrate_known: bool
    opening_d: Estimate | None
    legs: tuple[Leg, ...]
    stays_out_of_cooler: bool


@dataclass(frozen=True, slots=True)
class Life:
    """How long a material lasts at the display after its preparation. [d]"""

    material: str
    days: Estimate
    warnings: tuple[str, ...]
    every_d: int
    """Renewed after so many days; the length of the display for what stays. [d]"""
    stays: bool
    times_replaced: int
    basis: str
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Draw:
    """Stems taken from a lot in stock. `days` left at the display on the day it goes up. [stems], [d]"""

    lot: int
    material: str
    stems: int
    days: Estimate


@dataclass(frozen=True, slots=True)
class OrderLine:
    """What to order of one material for one delivery.

    Attributes
    ----------
    needed : int or None
        Good stems the work needs. [stems]
    from_stock : int
        Of them, already there. [stems]
    bunches : Estimate or None
        `value` is what to order. [bunches]
    ordered, spare : int or None
        Stems at the small end of the pack, and those beyond what is needed. [stems]
    probability, confidence : float or None
        Chance of enough good stems, and the chance aimed at. [1]
    loss : Estimate or None
        Share lost that was reckoned with. [1]
    price, cost : Estimate or None
        Of a bunch and of the line, in the shop's own money.
    """

    material: str
    needed: int | None
    from_stock: int
    pack: Estimate | None
    bunches: Estimate | None
    ordered: int | None
    spare: int | None
    probability: float | None
    confidence: float | None
    loss: Estimate | None
    loss_said: str
    price: Estimate | None
    cost: Estimate | None

    @property
    def to_order(self) -> int:
        return int(self.bunches.value) if self.bunches else 0


@dataclass(frozen=True, slots=True)
class Delivery:
    """All that is ordered for the installation (number 0) or one visit."""

    number: int
    on: date
    ready: date
    lines: tuple[OrderLine, ...]
    preps: tuple[Prep, ...]
    probability: float | None
    cost: Estimate | None

    @property
    def order_by(self) -> date | None:
        return min((p.order_by for p in self.preps if self._ordered(p.material)), default=None)

    def _ordered(self, material: str) -> bool:
        return any(line.material == material and line.to_order for line in self.lines)


@dataclass(frozen=True, slots=True)
class Money:
    """The whole cost at the shop's own prices; `retail` only with the shop's own factor; what has no price."""

    currency: str
    cost: Estimate
    retail: Estimate | None
    factor: float | None
    per_piece: Estimate | None
    without_price: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class VesselWater:
    """One kind of vessel: each of the `count` holds and weighs this.

    Attributes
    ----------
    level_cm : float
    fill : Fill
    food_g : Estimate
        Food for one fill. [g]
    low : Level or None
        How its level falls; None where foam holds the water.
    days : Estimate
        Until it must be topped up. [d]
    loss_ml : Estimate
        Loss a day. [ml/d]
    every_d : int
        Whole days between two top-ups it stands by itself; 0 is too small. [d]
    """

    use: VesselUse
    title: str
    size: VesselSize
    count: int
    stems: int
    level_cm: float
    fill: Fill
    food_g: Estimate
    low: Level | None
    days: Estimate
    loss_ml: Estimate
    every_d: int
    weight: Weight


@dataclass(frozen=True, slots=True)
class TopUpDay:
    """A day on which water is topped up, and how much: each vessel of each kind, and all together. [ml], [g]"""

    on: date
    day: int
    gap_d: int
    each_ml: tuple[Estimate, ...]
    total_ml: Estimate
    food_g: Estimate


@dataclass(frozen=True, slots=True)
class Water:
    """Vessel and water of the whole job. `total_ml` is the first fill of all vessels, `food_g` its food."""

    vessels: tuple[VesselWater, ...]
    vpd_kpa: Estimate
    every_d: int
    days: tuple[TopUpDay, ...]
    total_ml: Estimate
    food_g: Estimate
    food_g_per_l: Estimate


@dataclass(frozen=True, slots=True)
class Change:
    """On a visit: stems of one material pulled and replaced, and the bunches ordered for it."""

    material: str
    stems: int
    bunches: int | None


@dataclass(frozen=True, slots=True)
class Visit:
    """A visit to the venue. Day 0 is the day it goes up."""

    number: int
    on: date
    day: int
    changes: tuple[Change, ...]
    top_up: bool
    share_changed: float


@dataclass(frozen=True, slots=True)
class Step:
    """One part of the building, in order."""

    title: str
    materials: tuple[tuple[str, int | None], ...]
    text: str


@dataclass(frozen=True, slots=True)
class Flag:
    """Something to check. `stop` must be settled before ordering."""

    severity: Severity
    kind: str
    material: str | None
    text: str


@dataclass(frozen=True, slots=True)
class Kept:
    """What can be used again afterwards."""

    material: str
    stems: int | None
    days: Estimate
    text: str


@dataclass(frozen=True)
class Plan:
    """A whole job worked out; it follows from the job, the handbook, the stock and the prices, and nothing else."""

    job: Job
    ends: date
    degC: Estimate  # noqa: N815 - degC keeps the capital of the unit everywhere in the project
    humidity: Estimate
    air_said: str
    names: dict[str, str]
    plurals: dict[str, str]
    needs: tuple[Need, ...]
    lives: tuple[Life, ...]
    deliveries: tuple[Delivery, ...]
    draws: tuple[Draw, ...]
    money: Money | None
    water: Water | None
    visits: tuple[Visit, ...]
    build: tuple[Step, ...]
    kept: tuple[Kept, ...]
    flags: tuple[Flag, ...]
    cautions: tuple[str, ...]
    assumptions: tuple[str, ...]
    proposal: tuple[RoleStems, ...]
    own_entries: tuple[tuple[str, str], ...]
    figures: tuple[Figure, ...] = field(default=())

    def life(self, material: str) -> Life | None:
        return next((life for life in self.lives if life.material == material), None)

    def need(self, material: str) -> Need:
        return next(need for need in self.needs if need.material == material)
