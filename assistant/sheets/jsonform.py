"""A plan as JSON for scripts: the figures in the form of every answer, then the parts of the sheet. SI units."""

from __future__ import annotations

from typing import Any

from assistant.calculators.ranges import Estimate
from assistant.sheets.parts import Delivery, OrderLine, Plan, Prep


def as_json(plan: Plan) -> dict[str, Any]:
    """Plain data; a range is {"low", "value", "high"}, a day is 2026-12-07, unknown is null."""
    job = plan.job
    return {
        "job": job.job,
        "title": job.title,
        "install": job.install.isoformat(),
        "ends": plan.ends.isoformat(),
        "display_days": job.display_days,
        "air": {"degC": _span(plan.degC), "humidity_pct": _span(plan.humidity)},
        "flags": [{"severity": f.severity, "kind": f.kind, "material": f.material, "text": f.text} for f in plan.flags],
        "orders": [_delivery(delivery) for delivery in plan.deliveries],
        "stock": [{"lot": d.lot, "material": d.material, "stems": d.stems, "days": _span(d.days)} for d in plan.draws],
        "proposal": [{"role": row.role, "stems": _span(row.stems)} for row in plan.proposal],
        "lives": [
            {"material": x.material, "days": _span(x.days), "every_d": x.every_d, "stays": x.stays, "basis": x.basis}
            for x in plan.lives
        ],
        "water": _water(plan),
        "visits": [
            {
                "number": visit.number, "on": visit.on.isoformat(), "top_up": visit.top_up,
                "changes": [{"material": c.material, "stems": c.stems, "bunches": c.bunches} for c in visit.changes],
            }
            for visit in plan.visits
        ],
        "build": [{"title": s.title, "materials": [list(m) for m in s.materials], "text": s.text} for s in plan.build],
        "kept": [{"material": k.material, "stems": k.stems, "days": _span(k.days), "text": k.text} for k in plan.kept],
        "cost": _money(plan),
        "cautions": list(plan.cautions),
        "assumptions": list(plan.assumptions),
        "figures": [figure.to_json() for figure in plan.figures],
    }  # fmt: skip


def _span(estimate: Estimate | None) -> dict[str, float] | None:
    if estimate is None:
        return None
    return {name: round(end, 4) for name, end in zip(("low", "value", "high"), estimate, strict=True)}


def _delivery(delivery: Delivery) -> dict[str, Any]:
    preps = {prep.material: prep for prep in delivery.preps}
    return {
        "delivery": delivery.number,
        "on": delivery.on.isoformat(),
        "ready": delivery.ready.isoformat(),
        "order_by": delivery.order_by.isoformat() if delivery.order_by else None,
        "probability": delivery.probability,
        "lines": [_line(line, preps[line.material]) for line in delivery.lines],
    }


def _line(line: OrderLine, prep: Prep) -> dict[str, Any]:
    return {
        "material": line.material,
        "stems_needed": line.needed,
        "from_stock": line.from_stock,
        "pack": _span(line.pack),
        "bunches": line.to_order if line.bunches else None,
        "stems_ordered": line.ordered,
        "spare": line.spare,
        "probability": line.probability,
        "confidence": line.confidence,
        "loss_rate": _span(line.loss),
        "loss_from": line.loss_said,
        "price_per_bunch": _span(line.price),
        "cost": _span(line.cost),
        "order_by": prep.order_by.isoformat(),
        "receive": prep.receive.isoformat(),
        "hydrate_h": _span(prep.hydrate_h),
        "opening_d": _span(prep.opening_d),
        "stays_out_of_cooler": prep.stays_out_of_cooler,
    }


def _water(plan: Plan) -> dict[str, Any] | None:
    water = plan.water
    if water is None:
        return None
    return {
        "vessels": [
            {
                "title": v.title, "count": v.count, "stems": v.stems, "level_cm": round(v.level_cm, 2),
                "water_ml": _span(v.fill.water_ml), "food_g": _span(v.food_g), "loss_ml_per_day": _span(v.loss_ml),
                "days_until_low": _span(v.days), "every_d": v.every_d, "weight_kg": _span(v.weight.weight_kg),
                "lifting": v.weight.flag,
            }
            for v in water.vessels
        ],
        "total_ml": _span(water.total_ml),
        "food_g": _span(water.food_g),
        "top_ups": [
            {
                "on": day.on.isoformat(), "each_ml": [_span(ml) for ml in day.each_ml], "total_ml": _span(day.total_ml),
                "food_g": _span(day.food_g),
            }
            for day in water.days
        ],
    }  # fmt: skip


def _money(plan: Plan) -> dict[str, Any] | None:
    found = plan.money
    if found is None:
        return None
    return {
        "currency": found.currency,
        "cost": _span(found.cost),
        "retail": _span(found.retail),
        "factor": found.factor,
        "per_piece": _span(found.per_piece),
        "without_price": list(found.without_price),
    }
