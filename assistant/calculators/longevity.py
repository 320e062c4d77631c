"""How many days are left: thermal time for fresh material, shelf life for dried and preserved material.

Fresh material is read as having a store of life that is used faster when it is warm and when it stands badly.
Every stretch of its history is a leg; storage legs and display legs add up in one account.
"""

# ruff: noqa: N803, N806, N815 - degC keeps the capital of the unit everywhere in the project
from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Literal, get_args

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, estimate, exact, finite, ordered, within

Method = Literal["vase-food", "plain-water", "foam-kept-wet", "foam-drying", "out-of-water", "cooler-wet", "cooler-dry"]
METHODS: tuple[str, ...] = get_args(Method)
COOLER: frozenset[str] = frozenset({"cooler-wet", "cooler-dry"})
STANDARD_DEGC = 20.0
STANDARD_SUPPORT: Method = "vase-food"
DAYS_PER_MONTH = 365.25 / 12

WARNINGS: tuple[str, ...] = (
    "frozen", "may_freeze", "freezing_unknown", "below_chilling", "past_storage_life", "storage_life_unknown",
    "extrapolated", "used_up", "may_be_used_up", "too_damp", "too_dry",
)  # fmt: skip
"""Every code that can stand in the `warnings` of a result."""

# The rate is not monotone in Q10 when a history crosses the reference temperature, so its extreme is searched.
_Q10_STEPS = 24


@dataclass(frozen=True)
class Leg:
    """One stretch of a material's history.

    Parameters
    ----------
    days : float
        How long it lasted. [d]
    degC : float, (low, high) or Estimate
        Temperature during it. [degC]
    method : str
        One of `METHODS`.
    """

    days: float
    degC: Spread
    method: Method = "vase-food"


@dataclass(frozen=True)
class LifeConstants:
    """The numbers of `tables/longevity.yaml` that belong to no single material.

    Parameters
    ----------
    factors : mapping of method to Estimate
        How much faster life is used than in a vase with food. [1]
    dry_slope_per_degC : Estimate
        Rise of the dry-storage factor per degree above 0 degC. [1/degC]
    chilling_factor : Estimate
        Use of life below the chilling threshold, against a day at 20 degC. [1]
    valid_degC : (low, high)
        Temperatures between which the response was seen to hold. [degC]
    """

    factors: Mapping[str, Estimate]
    dry_slope_per_degC: Estimate
    chilling_factor: Estimate
    valid_degC: tuple[float, float]

    @classmethod
    def from_rows(cls, rows: Mapping[str, Spread]) -> LifeConstants:
        """Build from ``{row id: (low, high) or Estimate}`` of the table `longevity`."""
        valid = estimate(rows["valid-temperature"], "valid temperatures")
        return cls(
            factors={method: estimate(rows[f"support-{method}"], f"factor for {method}", 0) for method in METHODS},
            dry_slope_per_degC=estimate(rows["dry-slope"], "dry slope", 0),
            chilling_factor=estimate(rows["chilling-factor"], "chilling factor", 1),
            valid_degC=(valid.low, valid.high),
        )


@dataclass(frozen=True)
class Remaining:
    """What is left of a fresh material.

    Attributes
    ----------
    remaining_d : Estimate
        Days left at the display. [d]
    used_share : Estimate
        Share of the life used so far; above 1 it ended before today. [1]
    leg_shares : tuple of Estimate
        The share each leg used, in order. [1]
    rate : Estimate
        How fast life is used at the display, against the conditions the life was measured in. [1]
    warnings : tuple of str
        Codes of what weakens the figure, from `WARNINGS`.
    """

    remaining_d: Estimate
    used_share: Estimate
    leg_shares: tuple[Estimate, ...]
    rate: Estimate
    warnings: tuple[str, ...]


@dataclass(frozen=True)
class ShelfRemaining:
    """What is left of a dried or preserved material. `remaining_d` in [d]."""

    remaining_d: Estimate
    warnings: tuple[str, ...]


def rate_at(degC: float, q10: float, reference_degC: float = STANDARD_DEGC) -> float:
    """Speed of ageing at a temperature against a reference temperature.

    Parameters
    ----------
    degC : float
        Temperature. [degC]
    q10 : float
        Factor by which ageing speeds up for 10 degrees more. [1]
    reference_degC : float
        Temperature at which the rate is 1. [degC]

    Returns
    -------
    float
        Rate. [1]

    Notes
    -----
    ``r = Q10 ** ((T - T_ref) / 10)``. Assumes one Q10 over the whole range, which measured respiration does not
    quite have (it is often higher between 0 and 10 degC than above).
    """
    return float(q10 ** ((degC - reference_degC) / 10))


@dataclass(frozen=True)
class _Corner:
    """One choice of every uncertain input: all of them pessimistic, all middling, or all optimistic."""

    pick: Literal["low", "value", "high"]  # which end of a *harmful* quantity (a high rate is harmful)

    def of(self, e: Estimate) -> float:
        return float(getattr(e, self.pick))

    def against(self, e: Estimate) -> float:
        return {"low": e.high, "value": e.value, "high": e.low}[self.pick]


_PESSIMIST, _MIDDLE, _OPTIMIST = _Corner("high"), _Corner("value"), _Corner("low")


@dataclass(frozen=True)
class _Stand:
    """A temperature, a way of standing, and the numbers that turn them into a rate of use."""

    degC: Estimate
    method: str
    measured_degC: float
    measured_support: str
    chilling_degC: float | None
    constants: LifeConstants
    life: Estimate
    out_of_water: Estimate | None

    def _support(self, degC: float, q10: float, corner: _Corner) -> float:
        if self.method == self.measured_support:
            return 1.0  # the life was measured this way: the factor cancels and brings no range of its own
        if self.method == "out-of-water" and self.out_of_water is not None:
            # The material's own time out of water replaces the general factor: life / time, at room temperature.
            return corner.against(self.life) / corner.against(self.out_of_water) / self.plain_room_rate(q10)
        own = corner.of(self.constants.factors[self.method])
        if self.method == "cooler-dry":
            own *= 1 + corner.of(self.constants.dry_slope_per_degC) * max(0.0, degC)
        return own / corner.against(self.constants.factors[self.measured_support])

    def rate(self, q10: float, corner: _Corner) -> float:
        """Rate of use, relative to the conditions the life was measured in."""
        chill = self.chilling_degC
        degC = corner.of(self.degC)
        if chill is None or self.degC.low >= chill:
            return self._unhurt(degC, q10, corner)
        # Damage never makes it better than the same cold would be to a hardy flower.
        floor = self.plain_room_rate(q10) * corner.of(self.constants.chilling_factor)
        hurt = max(floor, self._unhurt(degC, q10, corner))
        if self.degC.high < chill or corner is _PESSIMIST:
            return hurt
        # The range straddles the threshold: the good end is the better of both sides.
        if corner is _OPTIMIST:
            return min(hurt, self._unhurt(chill, q10, corner))
        return hurt if degC < chill else self._unhurt(degC, q10, corner)

    def _unhurt(self, degC: float, q10: float, corner: _Corner) -> float:
        return rate_at(degC, q10, self.measured_degC) * self._support(degC, q10, corner)

    def plain_room_rate(self, q10: float) -> float:
        """Rate of a day without any credit for cold."""
        return rate_at(STANDARD_DEGC, q10, self.measured_degC)


def _method(method: str) -> str:
    if method not in METHODS:
        raise OutOfRange(f"I know these ways of standing: {', '.join(METHODS)}; not '{method}'.")
    return method


def _temperature(x: Spread, what: str) -> Estimate:
    return estimate(x, what, -30, 45, "degC")


def _q10_grid(q10: Estimate, *, ends_only: bool) -> list[float]:
    """Values of Q10 among which the worst or best is looked for.

    Without a past and clear of chilling the rate is a power of Q10, so its extremes lie at the ends.
    """
    if ends_only:
        return [q10.value, q10.low, q10.high]
    width = q10.high - q10.low
    return [q10.value, *(q10.low + width * i / _Q10_STEPS for i in range(_Q10_STEPS + 1))]


def _used(
    legs: Sequence[Leg], stands: Sequence[_Stand], q10: float, corner: _Corner, storage_life_d: Estimate | None
) -> list[float]:
    """Days of life (at the conditions it was measured in) each leg used up."""
    allowance = corner.against(storage_life_d) if storage_life_d is not None else None
    spent: list[float] = []
    for leg, stand in zip(legs, stands, strict=True):
        rate = stand.rate(q10, corner)
        credited = leg.days
        if leg.method in COOLER and allowance is not None:
            credited = min(leg.days, allowance)
            allowance -= credited
        late = leg.days - credited
        spent.append(credited * rate + late * max(rate, stand.plain_room_rate(q10)))
    return spent


def days_remaining(
    life_d: Spread,
    *,
    display_degC: Spread,
    q10: Spread,
    constants: LifeConstants,
    legs: Sequence[Leg] = (),
    support: Method = "vase-food",
    measured_degC: float = STANDARD_DEGC,
    measured_support: Method = STANDARD_SUPPORT,
    chilling_threshold_degC: float | None = None,
    freezing_point_degC: float | None = None,
    storage_life_d: Spread | None = None,
    out_of_water_d: Spread | None = None,
) -> Remaining:
    """Days left at the display after a history of legs.

    Parameters
    ----------
    life_d : float, (low, high) or Estimate
        Vase life as measured, from fresh. [d]
    display_degC : float, (low, high) or Estimate
        Temperature where it will stand. [degC]
    q10 : float, (low, high) or Estimate
        Factor of ageing for 10 degrees more. [1]
    constants : LifeConstants
        Factors from `tables/longevity.yaml`.
    legs : sequence of Leg
        What it has been through since harvest, oldest first.
    support : str
        How it stands at the display: one of `METHODS`.
    measured_degC, measured_support : float, str
        Conditions under which `life_d` was measured. [degC]
    chilling_threshold_degC, freezing_point_degC : float or None
        Of the material, if known. [degC]
    storage_life_d : float, (low, high), Estimate or None
        Longest useful stay in the cooler, if known. [d]
    out_of_water_d : float, (low, high), Estimate or None
        How long it looks well without water in a room at 20 degC, if known; replaces the general factor. [d]

    Returns
    -------
    Remaining

    Raises
    ------
    OutOfRange
        For a temperature no flower meets, a negative time, a Q10 below 1 or above 8, an unknown method.

    Notes
    -----
    A leg of ``d`` days at ``T`` uses ``d * r(T) * m`` of ``L`` days, ``r = Q10 ** ((T - T_m) / 10)`` with ``T_m`` the
    temperature of measurement and ``m`` the factor of the way of standing, relative to that of measurement.
    ``remaining = max(0, L - sum) / (r * m at the display)``. Dry storage: ``m = m_0 * (1 + b * max(0, T))``.

    The low end takes every input at its harmful end and the worst Q10 in its range, the high end the reverse; one
    Q10 holds for the whole history. Inputs are otherwise taken as independent, so the range is an outer bound.

    Assumptions: (1) below the chilling threshold a day costs at least a day at 20 degC, times the chilling factor
    (no data fixes that factor), and never less than the same cold costs a hardy flower; (2) at or below the freezing
    point nothing is left; (3) days in the cooler beyond the storage life count like days at 20 degC. The vase air's
    humidity does not enter.

    References
    ----------
    The factors and their rows are named in `tables/longevity.yaml`; `evals/longevity_fit.py` prints how far the
    result lies from measured storage trials.
    """
    life = estimate(life_d, "vase life", 0, 400, "days")
    if life.low <= 0:
        raise OutOfRange("The vase life must be more than 0 days.")
    q = estimate(q10, "Q10", 1, 8)
    display = _temperature(display_degC, "display temperature")
    storage = None if storage_life_d is None else estimate(storage_life_d, "storage life", 0, 2000, "days")
    dry = None if out_of_water_d is None else estimate(out_of_water_d, "time out of water", 0.01, 400, "days")
    within(measured_degC, -5, 45, "temperature at which the life was measured", "degC")

    def stand(degC: Spread, method: str, what: str) -> _Stand:
        return _Stand(
            _temperature(degC, what), _method(method), measured_degC, _method(measured_support),
            chilling_threshold_degC, constants, life, dry,
        )  # fmt: skip

    for leg in legs:
        within(leg.days, 0, 2000, "time", "days")
    past = [stand(leg.degC, leg.method, "temperature") for leg in legs]
    here = stand(display, support, "display temperature")

    simple = not legs and (chilling_threshold_degC is None or here.degC.low >= chilling_threshold_degC)
    grid = _q10_grid(q, ends_only=simple)

    def left(q_: float, corner: _Corner) -> float:
        spent = sum(_used(legs, past, q_, corner, storage))
        unused = max(0.0, corner.against(life) - spent)
        return unused / here.rate(q_, corner)

    lowest = min(left(q_, _PESSIMIST) for q_ in grid)
    middle = left(q.value, _MIDDLE)
    highest = max(left(q_, _OPTIMIST) for q_ in grid)

    def share_of_legs(q_: float, corner: _Corner) -> list[float]:
        return [d / corner.against(life) for d in _used(legs, past, q_, corner, storage)]

    worst = [share_of_legs(q_, _PESSIMIST) for q_ in grid]
    best = [share_of_legs(q_, _OPTIMIST) for q_ in grid]
    mid = share_of_legs(q.value, _MIDDLE)
    leg_shares = tuple(ordered(min(b[i] for b in best), mid[i], max(w[i] for w in worst)) for i in range(len(legs)))
    used = ordered(min(map(sum, best)), sum(mid), max(map(sum, worst)))
    rate = ordered(
        min(here.rate(q_, _OPTIMIST) for q_ in grid),
        here.rate(q.value, _MIDDLE),
        max(here.rate(q_, _PESSIMIST) for q_ in grid),
    )
    remaining = ordered(lowest, middle, highest)
    freezing = _freezing([*past, here], freezing_point_degC)
    if freezing == "frozen":
        remaining = exact(0.0)
    elif freezing == "may_freeze":
        coldest = min(s.degC.value for s in (*past, here))
        dead = freezing_point_degC is not None and coldest <= freezing_point_degC
        remaining = Estimate(0.0, 0.0 if dead else remaining.value, remaining.high)
    warnings = list(_warnings([*past, here], legs, storage, chilling_threshold_degC, constants))
    if freezing is not None:
        warnings.insert(0, freezing)
    if remaining.high <= 0:
        warnings.append("used_up")
    elif remaining.low <= 0:
        warnings.append("may_be_used_up")
    return Remaining(remaining, used, leg_shares, rate, tuple(warnings))


def _freezing(stands: Sequence[_Stand], freezing_point_degC: float | None) -> str | None:
    if freezing_point_degC is None:
        # Sap holds sugar, so plain water's 0 degC is not yet the end; below it we cannot say.
        return "freezing_unknown" if any(s.degC.low < 0 for s in stands) else None
    if any(s.degC.high <= freezing_point_degC for s in stands):
        return "frozen"
    if any(s.degC.low <= freezing_point_degC for s in stands):
        return "may_freeze"
    return None


def _warnings(
    stands: Sequence[_Stand],
    legs: Sequence[Leg],
    storage_life_d: Estimate | None,
    chilling_degC: float | None,
    constants: LifeConstants,
) -> Iterable[str]:
    if chilling_degC is not None and any(s.degC.low < chilling_degC for s in stands):
        yield "below_chilling"
    stored = sum(leg.days for leg in legs if leg.method in COOLER)
    if stored and storage_life_d is None:
        yield "storage_life_unknown"
    elif storage_life_d is not None and stored > storage_life_d.low:
        yield "past_storage_life"
    low, high = constants.valid_degC
    if any(s.degC.low < low or s.degC.high > high for s in stands):
        yield "extrapolated"


def life_at_temperature(
    life_d: Spread,
    *,
    degC: Spread,
    q10: Spread,
    constants: LifeConstants,
    support: Method = "vase-food",
    measured_degC: float = STANDARD_DEGC,
    measured_support: Method = STANDARD_SUPPORT,
    chilling_threshold_degC: float | None = None,
    freezing_point_degC: float | None = None,
    out_of_water_d: Spread | None = None,
) -> Remaining:
    """Whole life [d] of fresh material at another temperature [degC] and way of standing; see `days_remaining`."""
    return days_remaining(
        life_d, display_degC=degC, q10=q10, constants=constants, support=support, measured_degC=measured_degC,
        measured_support=measured_support, chilling_threshold_degC=chilling_threshold_degC,
        freezing_point_degC=freezing_point_degC, out_of_water_d=out_of_water_d,
    )  # fmt: skip


def standard_life(
    life_d: Spread,
    *,
    measured_degC: float,
    measured_support: Method,
    q10: Spread,
    constants: LifeConstants,
) -> Estimate:
    """A life measured elsewhere, as it would be in the standard test room (20 degC, food in the water).

    Parameters
    ----------
    life_d : float, (low, high) or Estimate
        Life as measured. [d]
    measured_degC, measured_support : float, str
        Where it was measured. [degC]
    q10, constants
        As in `days_remaining`.

    Returns
    -------
    Estimate
        Life at 20 degC in a vase with food. [d]
    """
    return life_at_temperature(
        life_d, degC=STANDARD_DEGC, q10=q10, constants=constants, support=STANDARD_SUPPORT,
        measured_degC=measured_degC, measured_support=measured_support,
    ).remaining_d  # fmt: skip


def temperature_curve(
    life_d: Spread,
    *,
    degC_values: Sequence[float],
    q10: Spread,
    constants: LifeConstants,
    support: Method = "vase-food",
    measured_degC: float = STANDARD_DEGC,
    measured_support: Method = STANDARD_SUPPORT,
    chilling_threshold_degC: float | None = None,
    freezing_point_degC: float | None = None,
) -> tuple[tuple[float, Estimate], ...]:
    """Life [d] from fresh at each of several temperatures [degC], for a plot or a table."""
    return tuple(
        (
            finite(degC, "temperature"),
            life_at_temperature(
                life_d, degC=degC, q10=q10, constants=constants, support=support, measured_degC=measured_degC,
                measured_support=measured_support, chilling_threshold_degC=chilling_threshold_degC,
                freezing_point_degC=freezing_point_degC,
            ).remaining_d,
        )
        for degC in degC_values
    )  # fmt: skip


def shelf_days_remaining(
    shelf_life_months: Spread,
    *,
    kept_d: float = 0.0,
    humidity_pct: Spread | None = None,
    humidity_limit_pct: tuple[float, float] | None = None,
) -> ShelfRemaining:
    """Days left of dried or preserved material, which ages on a shelf and takes no water.

    Parameters
    ----------
    shelf_life_months : float, (low, high) or Estimate
        How long it keeps its looks. [months]
    kept_d : float
        How long it has been kept or shown already. [d]
    humidity_pct : float, (low, high), Estimate or None
        Air humidity where it stands. [%]
    humidity_limit_pct : (low, high) or None
        Air it stands well. [%]

    Returns
    -------
    ShelfRemaining
        Days left [d]; outside the humidity limits a warning, `too_damp` or `too_dry`. The days are then a best
        case: no data says how much faster it spoils.

    Notes
    -----
    ``remaining = months * 30.4375 - kept``, not below 0.
    """
    months = estimate(shelf_life_months, "shelf life", 0, 600, "months")
    kept = within(kept_d, 0, 20_000, "time it has been kept", "days")
    left = months.map(lambda m: max(0.0, m * DAYS_PER_MONTH - kept))
    warnings: list[str] = []
    if humidity_pct is not None:
        air = estimate(humidity_pct, "humidity", 0, 100, "%")
        if humidity_limit_pct is not None:
            low, high = humidity_limit_pct
            if air.high > high:
                warnings.append("too_damp")
            if air.low < low:
                warnings.append("too_dry")
    if left.high <= 0:
        warnings.append("used_up")
    elif left.low <= 0:
        warnings.append("may_be_used_up")
    return ShelfRemaining(left, tuple(warnings))
