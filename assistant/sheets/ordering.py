"""The order list: what the stock gives, then the fewest bunches that are sure enough, at the shop's own prices."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from assistant.calculators.bunches import bunches_needed
from assistant.calculators.cost import CostLine, cost_of
from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.context import Context
from assistant.sheets.job import Job
from assistant.sheets.parts import Draw, Flag, Life, Money, Need, OrderLine
from assistant.sheets.prices import PriceList
from assistant.stock.holdings import Holdings
from assistant.stock.lives import Lives


def reckoned(days: Estimate, job: Job) -> float:
    """The days that decide when a material is changed: the short end or the middle, as the job says. [d]"""
    return days.low if job.plan_on == "short" else days.value


def draw_on_stock(
    needs: Sequence[Need],
    lives: Mapping[str, Life],
    stock: Holdings,
    lot_lives: Lives,
    job: Job,
    degC: Estimate,  # noqa: N803 - degC keeps the capital of the unit
    humidity: Estimate,
) -> tuple[list[Draw], list[Flag]]:
    """Stems the stock can give on the day the piece goes up, the lot that expires first before the others.

    A lot is only drawn on when what it has left reaches the material's first replacement (or the end, for what
    stays): an older lot may not upset the visits. What is passed over for that is said.
    """
    on = job.install
    draws: list[Draw] = []
    flags: list[Flag] = []
    for need in needs:
        life = lives.get(need.material)
        open_ = need.stems
        if life is None or not open_:
            continue
        material = lot_lives.handbook.materials[need.material]
        rows = []
        for lot in stock.lots:
            if lot.material == need.material and lot.left > 0 and lot.received <= on:
                left = lot_lives.left(
                    material, lot.legs(on), display_degC=degC, support=job.support, humidity_pct=humidity
                )
                if left is not None:
                    rows.append((left.days, lot))
        for days, lot in sorted(rows, key=lambda row: (row[0], row[1].id)):
            if open_ <= 0:
                break
            if reckoned(days, job) < life.every_d:
                has = int(reckoned(days, job))
                text = (
                    f"Lot {lot.id} ({lot.left} stems) is left out: it may have only {has} days left when the piece "
                    f"goes up, and {life.every_d} are needed."
                )
                flags.append(Flag("note", "stock", need.material, text))
                continue
            taken = min(open_, lot.left)
            draws.append(Draw(lot.id, need.material, taken, days))
            open_ -= taken
    return draws, flags


def loss_of(material: str, context: Context, stock: Holdings) -> tuple[Estimate, str]:
    """Share lost [1] and where it comes from: the shop's own lots once there are enough, else the handbook."""
    own = stock.losses.get(material)
    if own is not None and own.enough:
        return own.rate, own.said
    return context.loss_rate(material), "the handbook's usual loss"


def order_line(
    need: Need,
    wanted: int | None,
    from_stock: int,
    job: Job,
    context: Context,
    stock: Holdings,
    prices: PriceList | None,
) -> OrderLine:
    """One line of an order for `wanted` stems (None: bunches were asked and their stems are not known)."""
    loss, said = loss_of(need.material, context, stock)
    price_row = prices.by_material.get(need.material) if prices else None
    price = price_row.per_bunch(need.pack) if price_row else None
    open_ = None if wanted is None else max(0, wanted - from_stock)
    bunches: Estimate | None = None
    ordered = spare = None
    probability = confidence = None
    if need.bunches is not None:
        if open_ is None or need.pack is None:
            bunches = exact(float(need.bunches))
        else:
            per_bunch = math.floor(need.pack.low)
            bunches = exact(float(math.ceil(open_ / per_bunch)))
            ordered = int(bunches.value) * per_bunch
            spare = ordered - open_
    elif open_ is not None and need.pack is not None:
        order = bunches_needed(open_, need.pack, loss, job.confidence or context.constant("confidence").value)
        bunches, ordered, spare = order.bunches, order.stems_ordered, order.spare
        probability, confidence = order.probability, order.confidence
    cost = None
    if price is not None and bunches is not None:
        cost = cost_of([CostLine(need.material, int(bunches.value), price)]).cost
    return OrderLine(
        need.material, wanted, from_stock, need.pack, bunches, ordered, spare, probability, confidence,
        loss if probability is not None else None, said, price, cost,
    )  # fmt: skip


def all_suffice(lines: Sequence[OrderLine]) -> float | None:
    """Chance that no material of an order runs short; None where none has a chance of its own. [1]"""
    known = [line.probability for line in lines if line.probability is not None]
    return math.prod(known) if known else None


def money_of(lines: Sequence[OrderLine], job: Job, prices: PriceList | None) -> Money | None:
    """The whole cost; None where the shop has no prices."""
    if prices is None:
        return None
    priced = [
        CostLine(line.material, line.to_order, line.price)
        for line in lines
        if line.price is not None and line.bunches is not None
    ]
    missing = tuple(
        dict.fromkeys(line.material for line in lines if line.cost is None and (line.bunches is None or line.to_order))
    )
    factor = job.mark_up or prices.mark_up
    cost = cost_of(priced, own_factor=factor, pieces=job.pieces if job.pieces > 1 else None)
    return Money(prices.currency, cost.cost, cost.retail, factor, cost.per_piece, missing)
