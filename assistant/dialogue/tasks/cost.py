"""What it costs, from the person's own prices only. The handbook holds no market prices."""

from __future__ import annotations

import re

from assistant.calculators.cost import CostLine, cost_of, cost_per_stem
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.tasks.quantity import order_for


def answer(wish: Wish, desk: Desk) -> Draft:
    price = wish.slot("price")
    if price is None:
        if wish.items:
            return not_covered(
                "The handbook holds no market prices. Tell me your own price a bunch, such as “at 12 a bunch”, and I'll reckon the cost.",
                [p for i in wish.ids for p in desk.context.sections(i, "order")],
            )
        return not_covered(
            "The handbook holds no market prices; give me your own price a bunch and I'll reckon with it."
        )
    inputs = desk.inputs(wish)
    money = inputs.said("price", unit="money")
    assert money is not None
    factor = inputs.said("factor", unit="ratio")
    said = price.said
    per_bunch = _is_a_bunchs(said, wish.text)
    per_stem = not per_bunch and (
        "stem" in said
        or any(word in wish.text for word in ("a stem", "per stem", "each stem", "stem price", "a pop", "apiece"))
    )
    counted = any(i.stems for i in wish.items) or any(wish.slot(name) is not None for name in ("stems", "count"))
    if not per_bunch and not per_stem and counted and "bunch" not in wish.text + said and "each" not in wish.text:
        per_stem = True
        inputs.assume(f"{money.value:g} taken as the price of a stem")
    elif (
        not per_bunch
        and not per_stem
        and counted
        and "each" in wish.text
        and not any(i.bunches for i in wish.items)
        and wish.slot("bunches") is None
    ):
        per_stem = True
    bunches = _bunches(wish, desk, inputs, per_stem)
    draft = Draft("", assumptions=inputs.assumptions)
    if isinstance(bunches, str):
        return asked_back(bunches, "stems")
    if per_stem and wish.slot("stems") is None and not any(i.stems for i in wish.items):
        known = desk.context.pack(wish.ids[0]) if wish.ids else None
        pack = inputs.said("pack_size", unit="stems") or (known[0] if known else None)
        if pack is not None and "bunch" in wish.text:
            each = cost_per_stem(money, pack)
            draft.figures.append(
                Figure.of(
                    "cost",
                    wish.ids[0] if wish.ids else None,
                    each,
                    "money",
                    inputs=tuple(inputs.used),
                    formula="price / stems in a bunch",
                )
            )
            draft.lead = (
                f"{each.value:.2f} a stem ({each.low:.2f}–{each.high:.2f})."
                if each.low != each.high
                else f"{each.value:.2f} a stem."
            )
            return draft
    cost = cost_of(
        [CostLine(wish.ids[0] if wish.ids else "order", bunches, money)], own_factor=factor.value if factor else None
    )
    draft.figures.append(
        Figure.of(
            "cost",
            wish.ids[0] if wish.ids else None,
            cost.cost,
            "money",
            inputs=tuple(inputs.used),
            formula="bunches × own price",
        )
    )
    one, several = ("stem", "stems") if per_stem else ("bunch", "bunches")
    what = f"{bunches} {one if bunches == 1 else several} × {money.value:g}"
    draft.lead = f"{cost.cost.value:.2f} ({what})."
    if cost.retail is not None and factor is not None:
        draft.figures.append(
            Figure.of("cost", None, cost.retail, "money", inputs=tuple(inputs.used), formula="cost × own factor")
        )
        draft.lead = f"Cost {cost.cost.value:.2f} ({what}); at your factor of {factor.value:g} that sells for {cost.retail.value:.2f}."
    if wish.items:
        draft.passages += desk.context.sections(wish.ids[0], "order")
    draft.passages += desk.context.rules(("mark-up", "cost-of-goods-target", "price-list-per-job"))
    return draft


def _is_a_bunchs(said: str, text: str) -> bool:
    """Is the price said to be that of a bunch: "6.40 for a bunch of ten", "the bunches are 6 each"?"""
    written = re.search(r"\d+(?:\.\d+)?", said)
    price = rf"(?<![\d.]){re.escape(written[0] if written else said)}"
    after = rf"{price}0?\W+(?:for )?(?:a|an|per|each|the|every|1|one) (?:\d+[ -]?(?:stem )?)?(?:bunch|pack|wrap)"
    before = rf"\b(?:bunch(?:es)?|packs?|wraps?)\b[^.?!]{{0,24}}\b(?:costs?|is|are|at|for)\b[^.?!]{{0,8}}{price}"
    return re.search(after, text) is not None or re.search(before, text) is not None


def _bunches(wish: Wish, desk: Desk, inputs: Inputs, per_stem: bool) -> int | str:
    """Units bought: bunches said, or stems when the price is a stem's, or bunches worked out from stems."""
    item = wish.items[0] if wish.items else None
    said = wish.slot("bunches")
    if item and item.bunches:
        inputs.note("bunches", item.bunches, "bunches", "asked")
        return int(item.bunches)
    if said is not None:
        inputs.note("bunches", said.number, "bunches", inputs.origin("bunches"))
        return int(said.number)
    stems_slot = wish.slot("stems") or wish.slot("count")
    stems = item.stems if item and item.stems else stems_slot.number if stems_slot else None
    if stems is None:
        return 1
    if per_stem:
        inputs.note("stems", stems, "stems", "asked")
        return int(stems)
    if item is None:
        return "Which material is it, or how many bunches?"
    made = order_for(Item(item.id, stems=stems), stems, inputs)
    if isinstance(made, str):
        return made[:1].upper() + made[1:] + "."
    return made[0].bunches_to_order
