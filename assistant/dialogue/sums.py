"""Follow-ups in sums and doses: when a message reckons with its own price or strength, and what the next one keeps."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from assistant.dialogue.answer import Answer
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.tasks.mixing import agents_meant, agents_of
from assistant.language.prices import BUNCH, MONEY
from assistant.language.question import Question, Reading, Task
from assistant.language.tasks import score_tasks

# How strong a mix is to be, in the ways people say it.
STRENGTHS = ("label_dose", "concentration", "strength", "parts")
# What is worth its price is more than a sum.
_VALUE = re.compile(r"\bwhich\b|\bfor (?:my|the|your|our) money\b|\bvalue\b")
_IN_BUNCHES = re.compile(r"\b(?:bunch(?:es)?|wraps?|packs?|boxes)\b")
# "Would nine bunches do", of an order in stems.
_WOULD_DO = re.compile(
    r"\b(?:do|enough|suffice|be (?:ok|okay|alright|fine|plenty)|cover (?:it|that|them)|manage with|get away with)\b"
)
# From these scores on a price or a dose said in the message leaves no doubt what is asked.
_PRICE_SAID = 3.0
_DOSE_SAID = 5.0
# A second ask speaks at least this strongly.
_BESIDE_A_SUM = 2.0


def after_mixing(
    earlier: Mapping[str, Reading], last: Wish, q: Question, figured: Answer | None = None
) -> dict[str, Reading]:
    """What a mixing ask takes over from the one before: its agent, and its strengths unless another agent is named.

    `figured` is the last answer with figures: water that it took from a vessel worked out before stays the water."""
    before, named = agents_meant(last), agents_of(q.normal, plainly=True)
    kept = {n: r for n, r in earlier.items() if n not in STRENGTHS or not named or set(named) <= set(before)}
    dose = figured.figures[0] if figured is not None and figured.task == "mixing" and figured.figures else None
    poured = next((i for i in dose.inputs if i.name == "volume" and i.origin == "earlier"), None) if dose else None
    if poured is not None and isinstance(poured.value, float) and last.slot("volume") is None:
        kept["volume"] = Reading(poured.value, "l", said=f"{poured.value:g} litres in all")
    return {**kept, "agent": Reading(before, "ids")} if before else kept


def priced_as(old: Item, new: Item) -> Item:
    """The new item with the old one's price, or with its own, which buys what the old one bought unless said."""
    if new.price is None or old.price is None:
        return replace(new, price=new.price or old.price)
    return replace(new, price=replace(new.price, unit=old.price.unit)) if new.price.unit == MONEY else new


def asks_only(q: Question, task: Task) -> bool:
    return len(q.asks) == 1 and q.asks[0].task == task


def reckons(q: Question) -> bool:
    """Is the one ask a sum with a price, or a dose with its strength, said in the message itself?"""
    if len(q.asks) != 1:
        return False
    ask = q.asks[0]
    said = ("price",) if ask.task == "cost" else STRENGTHS if ask.task == "mixing" else ()
    enough = _PRICE_SAID if ask.task == "cost" else _DOSE_SAID
    beside = max(
        (s for t, s in score_tasks(q.normal).items() if t not in (ask.task, "quantity", "describe")), default=0.0
    )
    weighed = ask.task == "cost" and _VALUE.search(q.normal)
    return any(name in q.slots for name in said) and ask.score >= enough and beside < _BESIDE_A_SUM and not weighed


def said_anew(items: tuple[Item, ...], asked: Mapping[str, Reading], q: Question) -> tuple[Item, ...]:
    """ "And at 1.50?", "19 then", with no material named: the new price is that of them all, the bunches of the one."""
    if q.mentions:
        return items
    if "price" in asked:
        items = tuple(replace(item, price=None) for item in items)
    tried = bool(items) and items[0].stems is not None and _WOULD_DO.search(q.normal) is not None
    if "bunches" in asked and len(items) == 1 and (items[0].bunches or tried):
        items = (replace(items[0], bunches=asked["bunches"].number),)
    return items


def priced_by_the_bunch(
    items: tuple[Item, ...], earlier: Mapping[str, Reading], last: Wish
) -> tuple[tuple[Item, ...], dict[str, Reading]]:
    """ "What do I pay at that price", after an order in bunches: a price said with it is the price of a bunch."""
    if last.task != "quantity" or not _IN_BUNCHES.search(last.text):
        return items, dict(earlier)
    items = tuple(
        replace(i, price=replace(i.price, unit=BUNCH)) if i.price is not None and i.price.unit == MONEY else i
        for i in items
    )
    price = earlier.get("price")
    bought = {"price": replace(price, unit=BUNCH)} if price is not None and price.unit == MONEY else {}
    return items, {**earlier, **bought}
