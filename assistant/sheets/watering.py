"""Vessel and water: how full, how much food, how fast it goes, when and how much to top up, what it weighs."""

from __future__ import annotations

import math
from collections.abc import Sequence
from datetime import timedelta

from assistant.calculators.mixing import per_litre
from assistant.calculators.ranges import Estimate, exact, product, total
from assistant.calculators.refresh import Planting, refresh_plan
from assistant.calculators.water import (
    FOAM_SHARE,
    VesselSize,
    days_of_water,
    days_until_level,
    fill,
    filled_weight,
    top_up,
    uptake_ml_per_day,
    vapour_pressure_deficit_kpa,
    volume_ml,
)
from assistant.dialogue.context import Context
from assistant.sheets.job import Job, VesselUse, weekday_numbers
from assistant.sheets.parts import Need, TopUpDay, VesselWater, Water

FOOD = "flower-food"


def size_of(use: VesselUse, context: Context) -> tuple[VesselSize, str]:
    """Inner sizes [cm] and what to call it."""
    row = context.vessels.get(use.vessel) if use.vessel else None
    if row is None:
        return use.size(None), f"{use.shape} vessel"
    return use.size(context.vessel_size(row)), row.title


def total_uptake(needs: Sequence[Need], context: Context, vpd_kpa: Estimate) -> Estimate:
    """What all stems drink a day. [ml/d]"""
    reference = context.constant("reference-vpd").value
    parts = [
        uptake_ml_per_day(need.stems or 0, context.uptake(context.material(need.material)), vpd_kpa, reference)
        for need in needs
    ]
    return total(*parts) if parts else exact(0.0)


def mean_by_role(prefix: str, needs: Sequence[Need], context: Context) -> Estimate:
    """A table's number by role (`stem-weight`, `stem-thickness`), averaged over the stems."""
    stems = sum(need.stems or 0 for need in needs)
    parts = [context.constant(f"{prefix}-{need.role}").times((need.stems or 0) / stems) for need in needs]
    return total(*parts)


def in_foam(job: Job) -> bool:
    return job.support.startswith("foam")


def water_of(wet: Sequence[Need], job: Job, context: Context, degC: Estimate, humidity: Estimate) -> Water | None:  # noqa: N803
    """Water of the whole job; None where nothing drinks, nothing stands in water, or no vessel is named.

    Stems are spread over the vessels in proportion to what they hold.

    Raises:
        OutOfRange: where the stems do not fit, or the water does not last from one open day to the next.
    """
    stems = sum(need.stems or 0 for need in wet)
    if not job.vessels or not stems or job.support == "out-of-water":
        return None
    vpd = vapour_pressure_deficit_kpa(degC, humidity)
    uptake = total_uptake(wet, context, vpd)
    sizes = [size_of(use, context) for use in job.vessels]
    room = sum(volume_ml(size) * use.count * job.pieces for use, (size, _) in zip(job.vessels, sizes, strict=True))
    vessels = tuple(
        _vessel(use, size, title, volume_ml(size) / room, stems, uptake, wet, job, context, vpd)
        for use, (size, title) in zip(job.vessels, sizes, strict=True)
    )
    every = min(vessel.every_d for vessel in vessels)
    dose = context.doses[FOOD]
    per_l = Estimate(dose.span[0], dose.value, dose.span[1])
    days = _top_up_days(vessels, max(1, every), job, per_l)
    water = total(*(v.fill.water_ml.times(v.count) for v in vessels))
    return Water(vessels, vpd, every, days, water, total(*(v.food_g.times(v.count) for v in vessels)), per_l)


def _vessel(
    use: VesselUse, size: VesselSize, title: str, share: float, stems: int, uptake: Estimate, wet: Sequence[Need],
    job: Job, context: Context, vpd: Estimate,
) -> VesselWater:  # fmt: skip
    own = math.ceil(stems * share - 1e-9)
    full = use.fill_share or context.constant("fill-share").value
    level = size.height_cm * full
    foam = volume_ml(size, level) * FOAM_SHARE if in_foam(job) else 0.0
    held = fill(
        size, level_cm=level, stems=own, stem_diameter_cm=mean_by_role("stem-thickness", wet, context), foam_cm3=foam,
        foam_water_share=context.constant("foam-water-share") if foam else None,
    )  # fmt: skip
    drink = uptake.times(share)
    evaporation = context.constant("evaporation-still-air")
    if "draught" in job.near or "heater" in job.near:
        evaporation = product(evaporation, context.constant("evaporation-draught"))
    low = None
    if foam:
        usable = product(held.water_ml, context.constant("foam-usable-share"))
        days, loss = days_of_water(usable, drink), drink
    else:
        low = days_until_level(
            size, start_cm=level, stop_cm=level * context.constant("lowest-share").value, uptake_ml_per_day=drink,
            evaporation_mm_per_day=product(evaporation, vpd), displaced_share=context.constant("displaced-share"),
        )  # fmt: skip
        days, loss = low.days, low.loss_ml_per_day
    rhythm = top_up(days, loss, job.display_days, most_every_d=job.water_check_days)
    limit = context.constant("lifting-alone")
    weight = filled_weight(
        held.water_ml, vessel_kg=context.constant(f"vessel-weight-{use.made_of}").times(volume_ml(size) / 1000),
        limit_kg=(limit.low, limit.high), stems=own, stem_g=mean_by_role("stem-weight", wet, context),
    )  # fmt: skip
    food = food_g(held.water_ml, context)
    return VesselWater(
        use, title, size, use.count * job.pieces, own, level, held, food, low, days, loss, rhythm.every_d, weight
    )


def food_g(water_ml: Estimate, context: Context) -> Estimate:
    """Food for an amount of water at the table's dose; the label in hand comes first. [g]"""
    dose = context.doses[FOOD]
    return per_litre(Estimate(dose.span[0], dose.value, dose.span[1]), water_ml.value / 1000).agent


def _top_up_days(vessels: Sequence[VesselWater], every: int, job: Job, per_l: Estimate) -> tuple[TopUpDay, ...]:
    rounds = refresh_plan(
        [Planting("water", 0, float(job.display_days))], job.display_days, start=job.install, top_up_every_d=every,
        open_weekdays=weekday_numbers(job.open_days) or None,
    ).rounds  # fmt: skip
    days = []
    last = 0
    for row in rounds:
        gap = row.day - last
        last = row.day
        each = tuple(vessel.loss_ml.times(gap) for vessel in vessels)
        whole = total(*(ml.times(vessel.count) for ml, vessel in zip(each, vessels, strict=True)))
        food = per_litre(per_l, whole.value / 1000).agent
        days.append(TopUpDay(job.install + timedelta(days=row.day), row.day, gap, each, whole, food))
    return tuple(days)
