"""A plan's figures in the form of every answer (the JSON contract), each with its inputs and where they came from."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.answer import Figure, Input, Origin

if TYPE_CHECKING:
    from assistant.sheets.parts import OrderLine, Plan


_FEWEST = "fewest b with P(Binomial(b·pack, 1 − loss) ≥ stems) ≥ confidence"


def _input(name: str, value: Estimate | float, unit: str, origin: Origin) -> Input:
    estimate = value if isinstance(value, Estimate) else exact(float(value))
    return Input(name, estimate.value, unit, origin, estimate.low, estimate.high)


def figures_of(plan: Plan) -> tuple[Figure, ...]:
    """Lives, orders, visits, water, weight and cost."""
    return (*_lives(plan), *_orders(plan), *_water(plan), *_cost(plan))


def _display(plan: Plan) -> tuple[Input, ...]:
    origin: Origin = "asked" if plan.job.degC is not None else "handbook" if plan.job.place else "assumed"
    return (
        _input("display_temperature", plan.degC, "degC", origin),
        Input("support", plan.job.support, "", "asked" if "support" in plan.job.model_fields_set else "assumed"),
        _input("display_days", float(plan.job.display_days), "d", "asked"),
    )


def _lives(plan: Plan) -> Iterator[Figure]:
    for life in plan.lives:
        shared: dict[str, Any] = {"inputs": _display(plan), "sources": life.sources, "basis": life.basis}
        formula = "(L − Σ days·r·m) / (r·m), r = Q10^((T − T₀)/10), from receipt to the display"
        yield Figure.of("days_remaining", life.material, life.days, "d", formula=formula, **shared)
        dates = tuple(v.on.isoformat() for v in plan.visits if any(c.material == life.material for c in v.changes))
        yield Figure.of(
            "refresh_dates", life.material, exact(float(life.times_replaced)), "visits", dates=dates,
            formula="every ⌊short life − margin⌋ days until the end", **shared,
        )  # fmt: skip


def _orders(plan: Plan) -> Iterator[Figure]:
    for delivery in plan.deliveries:
        for line in delivery.lines:
            if line.bunches is None:
                continue
            yield Figure.of(
                "bunches", line.material, line.bunches, "bunches", inputs=tuple(_order_inputs(line)),
                formula=_FEWEST if line.probability else "as asked",
                dates=(delivery.on.isoformat(),),
            )  # fmt: skip


def _order_inputs(line: OrderLine) -> Iterator[Input]:
    if line.needed is not None:
        yield _input("stems", float(line.needed), "stems", "asked")
    if line.from_stock:
        yield _input("from_stock", float(line.from_stock), "stems", "earlier")
    if line.pack:
        yield _input("pack_size", line.pack, "stems", "handbook")
    if line.loss:
        yield _input(
            "loss_rate", line.loss, "ratio", "earlier" if line.loss_said.startswith("your own") else "handbook"
        )
    if line.confidence:
        yield _input("confidence", line.confidence, "ratio", "handbook")


def _water(plan: Plan) -> Iterator[Figure]:
    water = plan.water
    if water is None:
        return
    air = (*_display(plan)[:1], _input("humidity", plan.humidity, "%", "asked" if plan.job.humidity else "handbook"))
    yield Figure.of("water_needed", None, water.total_ml.times(0.001), "l", formula="fill of all vessels")
    yield Figure.of(
        "dose",
        None,
        water.food_g,
        "g",
        formula="water × dose",
        inputs=(_input("dose", water.food_g_per_l, "g/l", "handbook"),),
    )
    for vessel in water.vessels:
        yield Figure.of(
            "days_until_refill",
            None,
            vessel.days,
            "d",
            inputs=air,
            formula="usable water / (uptake × VPD/VPD₀ + evaporation)",
        )
        yield Figure.of("filled_weight", None, vessel.weight.weight_kg, "kg", formula="water + vessel + stems")
    for day in water.days:
        yield Figure.of(
            "top_up",
            None,
            day.total_ml.times(0.001),
            "l",
            inputs=air,
            formula="loss a day × days since",
            dates=(day.on.isoformat(),),
        )


def _cost(plan: Plan) -> Iterator[Figure]:
    if plan.money is not None:
        yield Figure.of("cost", None, plan.money.cost, plan.money.currency, formula="Σ bunches × own price")
        if plan.money.retail is not None:
            yield Figure.of("retail", None, plan.money.retail, plan.money.currency, formula="cost × own factor")
