"""Times counted back from the day: ready, conditioned, received, ordered, by each material's own drink and opening."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

from assistant.calculators.longevity import Leg
from assistant.calculators.ranges import Estimate
from assistant.dialogue.context import Context
from assistant.handbook.models import Material
from assistant.sheets.job import Job, middle, weekday_numbers
from assistant.sheets.parts import Prep
from assistant.sheets.prices import PriceList
from assistant.stock.entries import usual_air
from assistant.stock.lives import spread_of

# How long before a delivery an order goes out where the shop has not said. Practice; the sheet says it was assumed.
USUAL_ORDER_LEAD_D = 3
FIRST_DRINK_RULE = "first-drink-time"


@dataclass(frozen=True)
class Shop:
    """What preparing needs to know of the shop. Temperatures in degC, lead in days, weekdays 0 Monday to 6 Sunday."""

    order_lead_d: int
    delivery_days: frozenset[int]
    work_days: frozenset[int]
    cooler_degC: Estimate  # noqa: N815
    bench_degC: Estimate  # noqa: N815
    first_drink_h: Estimate | None

    @classmethod
    def of(cls, context: Context, prices: PriceList | None) -> Shop:
        rule = context.handbook.rules.get(FIRST_DRINK_RULE)
        drink = next((spread_of(n.span) for n in rule.numbers if n.unit == "h"), None) if rule else None
        said = prices.order_lead_days if prices else None
        return cls(
            order_lead_d=USUAL_ORDER_LEAD_D if said is None else said,
            delivery_days=weekday_numbers(prices.delivery_days if prices else ()) or frozenset(range(7)),
            work_days=weekday_numbers(prices.work_days if prices else ()) or frozenset(range(7)),
            cooler_degC=middle(prices.cooler_degC)
            if prices and prices.cooler_degC
            else usual_air(context.handbook, "cooler"),
            bench_degC=usual_air(context.handbook, "bench"),
            first_drink_h=drink,
        )


def back_to(day: date, weekdays: frozenset[int]) -> date:
    """The day itself, or the last one before it that is one of the weekdays."""
    return next(day - timedelta(days=n) for n in range(7) if (day - timedelta(days=n)).weekday() in weekdays)


def prepare(material: Material, on: date, job: Job, shop: Shop) -> Prep:
    """Dates and history of one material for an installation or visit on a day.

    It is received early enough to drink at the slow end and to open at the middle of its range (what is still in bud
    then opens in the piece), and never on the day it is made up. On the bench it drinks and opens; the rest of the
    time it waits in the cooler, unless the cooler would hurt it.
    """
    ready = back_to(on - timedelta(days=job.build_days_before), shop.work_days)
    drink, known = _drink(material, shop)
    opening = spread_of(material.opening.span) if material.opening else None
    lead = 1
    if not material.is_dry:
        lead = max(1, math.ceil(opening.value if opening else 0), math.ceil((drink.high if drink else 0) / 24))
    receive = back_to(ready - timedelta(days=lead), shop.delivery_days)
    order_by = back_to(receive - timedelta(days=shop.order_lead_d), shop.work_days)
    hurt = material.chilling_threshold is not None and shop.cooler_degC.low < material.chilling_threshold.span[1]
    return Prep(
        material.id, order_by, receive, ready, on, drink, known, opening,
        _legs(material, (on - receive).days, drink, opening, hurt, shop), hurt and not material.is_dry,
    )  # fmt: skip


def _drink(material: Material, shop: Shop) -> tuple[Estimate | None, bool]:
    """First drink [h], and whether the handbook has it for this material."""
    if material.is_dry:
        return None, True
    if material.hydration:
        return spread_of(material.hydration.span), True
    return shop.first_drink_h, False


def _legs(
    material: Material, days: int, drink: Estimate | None, opening: Estimate | None, hurt: bool, shop: Shop
) -> tuple[Leg, ...]:
    if material.is_dry:
        return (Leg(float(days), shop.bench_degC, "out-of-water"),)
    bench = min(float(days), max(opening.value if opening else 0.0, (drink.high if drink else 0.0) / 24))
    if hurt:
        bench = float(days)
    legs = [Leg(bench, shop.bench_degC, "vase-food"), Leg(days - bench, shop.cooler_degC, "cooler-wet")]
    return tuple(leg for leg in legs if leg.days > 0)


def earliest(preps: Iterable[Prep]) -> date | None:
    return min((prep.order_by for prep in preps), default=None)
