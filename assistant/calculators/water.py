"""Water: what a vessel holds, how fast it goes, when to top up, what it weighs full."""

# ruff: noqa: N803 - degC keeps the capital of the unit everywhere in the project
from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, NamedTuple

from assistant.calculators.ranges import (
    Estimate,
    OutOfRange,
    Spread,
    count,
    estimate,
    exact,
    ordered,
    product,
    total,
    within,
)

VesselShape = Literal["cylinder", "taper", "bowl", "box", "ring"]
LiftingFlag = Literal["light", "take_care", "two_people"]
# Share of a vessel that foam fills: it is cut to fit with a finger's breadth left for pouring (common practice).
FOAM_SHARE = 0.9
_SLICES = 200


class VesselSize(NamedTuple):
    """Inner sizes of a vessel, in centimetres.

    cylinder: height, top (diameter); taper: height, top, bottom; bowl: height (depth), top: a cap of a ball;
    box: height, length, width; ring: height, outer, inner (diameters of the trough).
    """

    shape: VesselShape
    height_cm: float
    top_cm: float | None = None
    bottom_cm: float | None = None
    length_cm: float | None = None
    width_cm: float | None = None
    outer_cm: float | None = None
    inner_cm: float | None = None


def _sizes(vessel: VesselSize) -> None:
    needs = {
        "cylinder": ("top_cm",), "taper": ("top_cm", "bottom_cm"), "bowl": ("top_cm",),
        "box": ("length_cm", "width_cm"), "ring": ("outer_cm", "inner_cm"),
    }.get(vessel.shape)  # fmt: skip
    if needs is None:
        raise OutOfRange(f"I know the vessel shapes cylinder, taper, bowl, box and ring, not '{vessel.shape}'.")
    for name in ("height_cm", *needs):
        value = getattr(vessel, name)
        what = f"{name.removesuffix('_cm')} of the vessel"
        if value is None:
            raise OutOfRange(f"A {vessel.shape} needs the {what} in centimetres.")
        within(value, 0.1, 1000, what, "cm")
    if vessel.shape == "ring" and _given(vessel.inner_cm) >= _given(vessel.outer_cm):
        raise OutOfRange("The inner diameter of a ring must be smaller than the outer one.")


def _given(x: float | None) -> float:
    assert x is not None  # _sizes has checked it
    return float(x)


def _surface(vessel: VesselSize, level_cm: float) -> float:
    if vessel.shape == "cylinder":
        return math.pi * _given(vessel.top_cm) ** 2 / 4
    if vessel.shape == "taper":
        bottom, top = _given(vessel.bottom_cm), _given(vessel.top_cm)
        across = bottom + (top - bottom) * level_cm / vessel.height_cm
        return math.pi * across**2 / 4
    if vessel.shape == "bowl":
        radius = _ball_radius(vessel)
        return math.pi * level_cm * (2 * radius - level_cm)
    if vessel.shape == "box":
        return _given(vessel.length_cm) * _given(vessel.width_cm)
    return math.pi * (_given(vessel.outer_cm) ** 2 - _given(vessel.inner_cm) ** 2) / 4


def _ball_radius(vessel: VesselSize) -> float:
    rim, depth = _given(vessel.top_cm) / 2, vessel.height_cm
    return (rim**2 + depth**2) / (2 * depth)


def _volume(vessel: VesselSize, level_cm: float) -> float:
    if vessel.shape == "taper":
        bottom, top = _given(vessel.bottom_cm), _given(vessel.top_cm)
        across = bottom + (top - bottom) * level_cm / vessel.height_cm
        return math.pi * level_cm / 12 * (bottom**2 + bottom * across + across**2)
    if vessel.shape == "bowl":
        return math.pi * level_cm**2 * (_ball_radius(vessel) - level_cm / 3)
    return _surface(vessel, level_cm) * level_cm


def surface_cm2(vessel: VesselSize, level_cm: float | None = None) -> float:
    """Area of the water surface [cm2] at a level [cm] above the inner bottom; at the rim if no level is given."""
    _sizes(vessel)
    level = vessel.height_cm if level_cm is None else within(level_cm, 0, vessel.height_cm, "water level", "cm")
    return _surface(vessel, level)


def volume_ml(vessel: VesselSize, level_cm: float | None = None) -> float:
    """Volume of an empty vessel up to a level.

    Parameters
    ----------
    vessel : VesselSize
        Inner sizes. [cm]
    level_cm : float or None
        Height of the level above the inner bottom; the rim if not given. [cm]

    Returns
    -------
    float
        Volume. [ml]

    Raises
    ------
    OutOfRange
        For a missing or impossible size, or a level above the rim.

    Notes
    -----
    cylinder, box, ring: base times level. taper: frustum ``pi/12 * y * (b^2 + b*a + a^2)`` with ``b`` the bottom and
    ``a`` the diameter at the level. bowl: cap ``pi * y^2 * (R - y/3)`` of a ball with
    ``R = (rim^2 + depth^2) / (2 * depth)``; a bowl narrower at the rim than at the belly is covered, a flat bottom
    is not.

    References
    ----------
    openstax_calc, openstax_prealg.
    """
    _sizes(vessel)
    level = vessel.height_cm if level_cm is None else within(level_cm, 0, vessel.height_cm, "water level", "cm")
    return _volume(vessel, level)


def level_cm(vessel: VesselSize, water_ml: float) -> float:
    """Level [cm] that an amount of water [ml] reaches in an empty vessel; an error if it runs over."""
    _sizes(vessel)
    full = _volume(vessel, vessel.height_cm)
    wanted = within(water_ml, 0, full, "amount of water", "ml")
    low, high = 0.0, vessel.height_cm
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if _volume(vessel, middle) < wanted else (low, middle)
    return (low + high) / 2


def stem_displacement_ml(stems: float, stem_diameter_cm: Spread, depth_cm: float) -> Estimate:
    """Water pushed aside by stems [ml]: number, thickness [cm], depth under water [cm]; stems read as rods."""
    number = count(stems, "number of stems")
    thick = estimate(stem_diameter_cm, "stem thickness", 0.05, 15, "cm")
    depth = within(depth_cm, 0, 1000, "depth of the stems in the water", "cm")
    return thick.map(lambda d: number * math.pi * d * d / 4 * depth)


@dataclass(frozen=True)
class Fill:
    """What goes into a vessel.

    Attributes
    ----------
    empty_ml : float
        Volume up to the level without anything in it. [ml]
    free_ml : Estimate
        Water standing free around stems and foam. [ml]
    in_foam_ml : Estimate
        Water held by the foam. [ml]
    water_ml : Estimate
        Both: what to pour, starting dry. [ml]
    """

    empty_ml: float
    free_ml: Estimate
    in_foam_ml: Estimate
    water_ml: Estimate


def fill(
    vessel: VesselSize,
    *,
    level_cm: float | None = None,
    stems: float = 0,
    stem_diameter_cm: Spread = 0.5,
    foam_cm3: float = 0.0,
    foam_water_share: Spread | None = None,
) -> Fill:
    """Water a vessel takes up to a level, with stems and foam in it.

    Parameters
    ----------
    vessel : VesselSize
    level_cm : float or None
        Level to fill to; the rim if not given. [cm]
    stems, stem_diameter_cm : float, Spread
        Stems standing to the bottom, and how thick. [stems], [cm]
    foam_cm3 : float
        Foam below the level. [cm3]
    foam_water_share : float, (low, high) or Estimate
        Share of the foam's volume that is water when soaked; needed when there is foam. [1]

    Returns
    -------
    Fill

    Notes
    -----
    ``free = V(level) - stems - foam``; ``in foam = foam * share``. Stems standing in foam displace nothing more.
    """
    empty = volume_ml(vessel, level_cm)
    depth = vessel.height_cm if level_cm is None else level_cm
    foam = within(foam_cm3, 0, 1e6, "amount of foam", "cm3")
    if foam > empty:
        raise OutOfRange("That much foam does not fit below the water line of this vessel.")
    if foam and foam_water_share is None:
        raise OutOfRange("To reckon with foam I need the share of it that water fills.")
    share = exact(0.0) if foam_water_share is None else estimate(foam_water_share, "share of water in foam", 0, 1)
    pushed = exact(0.0) if foam else stem_displacement_ml(stems, stem_diameter_cm, depth)
    if pushed.low >= empty - foam and stems:
        raise OutOfRange("That many stems of that thickness do not fit into this vessel.")
    free = ordered(*(max(0.0, empty - foam - p) for p in (pushed.high, pushed.value, pushed.low)))
    held = share.times(foam)
    return Fill(empty, free, held, ordered(*(f + h for f, h in zip(free, held, strict=True))))


def foam_water_ml(length_cm: float, width_cm: float, height_cm: float, water_share: Spread) -> Estimate:
    """Water [ml] a piece of foam holds when soaked: its sizes [cm] and the share of its volume water fills [1]."""
    volume = 1.0
    for size, what in ((length_cm, "length"), (width_cm, "width"), (height_cm, "height")):
        volume *= within(size, 0.1, 500, f"{what} of the foam", "cm")
    return estimate(water_share, "share of water in foam", 0, 1).times(volume)


def saturation_vapour_pressure_kpa(degC: float) -> float:
    """Saturation vapour pressure over water.

    Parameters
    ----------
    degC : float
        Air temperature, -10 to 60. [degC]

    Returns
    -------
    float
        Pressure. [kPa]

    Notes
    -----
    ``e = 0.6108 * exp(17.27 * T / (T + 237.3))``.

    References
    ----------
    fao56 (Irrigation and Drainage Paper 56, equation 11); constants confirmed in evap_tutorial.
    """
    t = within(degC, -10, 60, "air temperature", "degC")
    return 0.6108 * math.exp(17.27 * t / (t + 237.3))


def vapour_pressure_deficit_kpa(degC: Spread, humidity_pct: Spread) -> Estimate:
    """How much drier the air is than it could be.

    Parameters
    ----------
    degC, humidity_pct : float, (low, high) or Estimate
        Air temperature [degC] and relative humidity [%].

    Returns
    -------
    Estimate
        ``e(T) * (1 - RH/100)``. [kPa]

    References
    ----------
    fao56.
    """
    t = estimate(degC, "air temperature", -10, 60, "degC")
    rh = estimate(humidity_pct, "humidity", 0, 100, "%")
    es = saturation_vapour_pressure_kpa
    return ordered(es(t.low) * (1 - rh.high / 100), es(t.value) * (1 - rh.value / 100), es(t.high) * (1 - rh.low / 100))


def uptake_ml_per_day(
    stems: float, uptake_ml_per_stem_day: Spread, vpd_kpa: Spread, reference_vpd_kpa: Spread
) -> Estimate:
    """Water the stems drink.

    Parameters
    ----------
    stems : float
        [stems]
    uptake_ml_per_stem_day : float, (low, high) or Estimate
        Of one stem in the reference room. [ml/d]
    vpd_kpa, reference_vpd_kpa : float, (low, high) or Estimate
        Dryness of the air where it stands, and where the uptake was measured. [kPa]

    Returns
    -------
    Estimate
        [ml/d]

    Notes
    -----
    ``stems * uptake * VPD / VPD_ref``: transpiration in proportion to the deficit. Real stems close their pores in
    very dry air and still drink a little in wet air, so it is best between a third and three times the reference.
    """
    number = count(stems, "number of stems")
    each = estimate(uptake_ml_per_stem_day, "uptake of one stem", 0, 5000, "ml a day")
    air = estimate(vpd_kpa, "vapour pressure deficit", 0, 20, "kPa")
    reference = estimate(reference_vpd_kpa, "reference vapour pressure deficit", 0.05, 20, "kPa")
    scale = ordered(air.low / reference.high, air.value / reference.value, air.high / reference.low)
    return product(exact(float(number)), each, scale)


def evaporation_ml_per_day(surface_cm2: float, vpd_kpa: Spread, mm_per_day_kpa: Spread) -> Estimate:
    """Water lost from a still open surface.

    Parameters
    ----------
    surface_cm2 : float
        Free water surface; 0 if foam or a lid closes it. [cm2]
    vpd_kpa : float, (low, high) or Estimate
        Dryness of the air. [kPa]
    mm_per_day_kpa : float, (low, high) or Estimate
        Still-air coefficient of `tables/water.yaml`. [mm/d/kPa]

    Returns
    -------
    Estimate
        [ml/d]

    Notes
    -----
    ``E = k * VPD``, 1 mm over 1 cm2 is 0.1 ml. Water is taken to be as warm as the air; a draught or a heater makes
    it more, a narrow neck less.

    References
    ----------
    smith1998, shuttleworth1993.
    """
    area = within(surface_cm2, 0, 1e6, "water surface", "cm2")
    air = estimate(vpd_kpa, "vapour pressure deficit", 0, 20, "kPa")
    coefficient = estimate(mm_per_day_kpa, "evaporation coefficient", 0, 50, "mm/d/kPa")
    return product(exact(area * 0.1), air, coefficient)


@dataclass(frozen=True)
class Level:
    """How a water level falls.

    Attributes
    ----------
    days : Estimate
        Until the level has fallen to where it must not. [d]
    loss_ml_per_day : Estimate
        Loss at the start. [ml/d]
    usable_ml : Estimate
        Water between the two levels. [ml]
    """

    days: Estimate
    loss_ml_per_day: Estimate
    usable_ml: Estimate


def days_until_level(
    vessel: VesselSize,
    *,
    start_cm: float,
    stop_cm: float,
    uptake_ml_per_day: Spread,
    evaporation_mm_per_day: Spread,
    displaced_share: Spread = 0.0,
    covered_share: float = 0.0,
) -> Level:
    """Days until the level falls from `start_cm` to `stop_cm`, such as the height of the stem ends.

    Parameters
    ----------
    vessel : VesselSize
    start_cm, stop_cm : float
        Levels above the inner bottom. [cm]
    uptake_ml_per_day : float, (low, high) or Estimate
        What all stems drink. [ml/d]
    evaporation_mm_per_day : float, (low, high) or Estimate
        Fall by evaporation alone, coefficient times deficit. [mm/d]
    displaced_share : float, (low, high) or Estimate
        Share of each layer that stems take up. [1]
    covered_share : float
        Share of the surface closed by foam, netting or a lid. [1]

    Returns
    -------
    Level

    Notes
    -----
    ``dt = A(y) * (1 - s) * dy / (uptake + e * A(y) * (1 - s) * (1 - c))`` summed over 200 slices with the area in
    the middle of each; exact for straight-sided vessels. The loss is held constant though uptake falls with age.
    """
    _sizes(vessel)
    start = within(start_cm, 0, vessel.height_cm, "water level", "cm")
    stop = within(stop_cm, 0, vessel.height_cm, "lowest water level", "cm")
    if stop > start:
        raise OutOfRange("The water already stands below that level; top it up now.")
    drink = estimate(uptake_ml_per_day, "uptake", 0, 1e6, "ml a day")
    fall = estimate(evaporation_mm_per_day, "evaporation", 0, 100, "mm a day")
    taken = estimate(displaced_share, "share taken up by stems", 0, 0.95)
    covered = within(covered_share, 0, 1, "covered share of the surface")
    step = (start - stop) / _SLICES
    areas = [_surface(vessel, stop + (i + 0.5) * step) for i in range(_SLICES)]

    def time(u: float, e_mm: float, share: float) -> float:
        days = 0.0
        for area in areas:
            water = area * (1 - share)
            loss = u + e_mm / 10 * water * (1 - covered)
            if loss <= 0:
                return math.inf
            days += water * step / loss
        return days

    if drink.low <= 0 and (fall.low <= 0 or covered == 1) and start > stop:
        raise OutOfRange("With nothing drinking and nothing evaporating the water never goes; check the inputs.")
    days = ordered(
        time(drink.high, fall.high, taken.high), time(drink.value, fall.value, taken.value),
        time(drink.low, fall.low, taken.low),
    )  # fmt: skip
    top = _surface(vessel, start) * (1 - covered)
    loss = ordered(
        drink.low + fall.low / 10 * top * (1 - taken.high), drink.value + fall.value / 10 * top * (1 - taken.value),
        drink.high + fall.high / 10 * top * (1 - taken.low),
    )  # fmt: skip
    between = _volume(vessel, start) - _volume(vessel, stop)
    usable = ordered(*(between * (1 - s) for s in (taken.high, taken.value, taken.low)))
    return Level(days, loss, usable)


def days_of_water(available_ml: Spread, loss_ml_per_day: Spread) -> Estimate:
    """Days [d] an amount of water [ml] lasts against a daily loss [ml/d]; for foam, tubes and reservoirs."""
    have = estimate(available_ml, "amount of water", 0, 1e9, "ml")
    lose = estimate(loss_ml_per_day, "daily loss", 0, 1e6, "ml a day")
    if lose.low <= 0:
        raise OutOfRange("With no loss the water never goes; check the number of stems and the air.")
    return ordered(have.low / lose.high, have.value / lose.value, have.high / lose.low)


@dataclass(frozen=True)
class TopUp:
    """When and how much to add: `every_d` whole days, safe for the fast end; `amount_ml` each time; `times`."""

    every_d: int
    amount_ml: Estimate
    times: int
    total_ml: Estimate


def top_up(
    days_until_low: Spread, loss_ml_per_day: Spread, display_d: float, *, most_every_d: int | None = None
) -> TopUp:
    """A round of topping up that never lets the level fall too far.

    Parameters
    ----------
    days_until_low : float, (low, high) or Estimate
        Time until the level is too low, from `days_until_level` or `days_of_water`. [d]
    loss_ml_per_day : float, (low, high) or Estimate
        [ml/d]
    display_d : float
        How long it must stand. [d]
    most_every_d : int or None
        Longest interval wanted anyway, such as fresh water every third day. [d]

    Returns
    -------
    TopUp

    Notes
    -----
    The interval is the whole days in the *fast* end of the time, at least 1 and at most the length of the display;
    where even a day is too long `every_d` is 0: the vessel is too small for its stems.
    """
    time = estimate(days_until_low, "time until the water is low", 0, 1e6, "days")
    loss = estimate(loss_ml_per_day, "daily loss", 0, 1e6, "ml a day")
    span_d = within(display_d, 0, 2000, "length of the display", "days")
    every = math.floor(min(time.low, 100_000))
    if most_every_d is not None:
        every = min(every, count(most_every_d, "interval", 1, 365))
    if every < 1:
        return TopUp(0, exact(0.0), 0, loss.times(span_d))
    times = max(0, math.ceil(span_d / every - 1e-9) - 1)
    return TopUp(every, loss.times(float(every)), times, loss.times(float(every * times)))


@dataclass(frozen=True)
class Weight:
    """Filled weight [kg], its parts [kg] and whether to lift it alone."""

    weight_kg: Estimate
    parts_kg: Mapping[str, Estimate]
    flag: LiftingFlag


def filled_weight(
    water_ml: Spread,
    *,
    vessel_kg: Spread,
    limit_kg: tuple[float, float],
    stems: float = 0,
    stem_g: Spread = 0.0,
    extra_kg: Spread = 0.0,
) -> Weight:
    """Weight of a finished piece with its water.

    Parameters
    ----------
    water_ml : float, (low, high) or Estimate
        All water, foam's included. [ml]
    vessel_kg, extra_kg : float, (low, high) or Estimate
        Empty vessel; stones, sand, frame. [kg]
    limit_kg : (low, high)
        Weights for lifting alone in the best posture, from `tables/water.yaml`: below the low one most adults may,
        above the high one nobody should. [kg]
    stems, stem_g : float, Spread
        [stems], [g]

    Returns
    -------
    Weight
        `flag` is judged on the heavy end: 'light', 'take_care' (above the low limit) or 'two_people'.

    Notes
    -----
    Water is 1 kg a litre. Reaching, twisting, stairs and repetition lower what is safe.
    """
    number = count(stems, "number of stems")
    low, high = limit_kg
    parts = {
        "water": estimate(water_ml, "amount of water", 0, 1e8, "ml").times(0.001),
        "vessel": estimate(vessel_kg, "weight of the vessel", 0, 2000, "kg"),
        "stems": estimate(stem_g, "weight of a stem", 0, 20_000, "g").times(number / 1000),
        "extra": estimate(extra_kg, "extra weight", 0, 5000, "kg"),
    }
    all_of = total(*parts.values())
    flag: LiftingFlag = "light"
    if all_of.high > high:
        flag = "two_people"
    elif all_of.high > low:
        flag = "take_care"
    return Weight(all_of, parts, flag)
