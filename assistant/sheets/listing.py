"""The order list as CSV, one row a material and delivery, in plain numbers for a spreadsheet."""

from __future__ import annotations

import csv
import io

from assistant.sheets.parts import OrderLine, Plan

COLUMNS = (
    "order_by", "needed_on", "delivery", "material", "name", "stems_needed", "from_stock", "stems_per_bunch_low",
    "stems_per_bunch_high", "bunches", "stems_ordered", "spare", "confidence", "probability", "loss_rate",
    "price_per_bunch", "cost", "currency",
)  # fmt: skip


def as_csv(plan: Plan) -> str:
    """The order list. Unknown is an empty cell."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for delivery in plan.deliveries:
        preps = {prep.material: prep for prep in delivery.preps}
        what = "install" if delivery.number == 0 else f"visit {delivery.number}"
        for line in delivery.lines:
            order_by = preps[line.material].order_by.isoformat()
            writer.writerow([order_by, delivery.on.isoformat(), what, *_cells(line, plan)])
    return out.getvalue()


def _cells(line: OrderLine, plan: Plan) -> list[object]:
    pack = line.pack
    return [
        line.material, _inert(plan.names[line.material]), _blank(line.needed), line.from_stock,
        f"{pack.low:g}" if pack else "", f"{pack.high:g}" if pack else "", line.to_order if line.bunches else "",
        _blank(line.ordered), _blank(line.spare), _number(line.confidence), _number(line.probability),
        _number(line.loss.value if line.loss else None), _money(line.price.value if line.price else None),
        _money(line.cost.value if line.cost else None), plan.money.currency if plan.money else "",
    ]  # fmt: skip


def _blank(value: int | None) -> object:
    return "" if value is None else value


def _number(value: float | None) -> str:
    return "" if value is None else f"{value:.4f}"


def _money(value: float | None) -> str:
    return "" if value is None else f"{value:.2f}"


def _inert(text: str) -> str:
    """A name from a shop's own folder must not run as a formula in a spreadsheet."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t")) else text
