"""What a number without a unit means in a follow-up: "make that 30", "there's five of them", "take it up to 200".

Words beside it decide first, then the number said before that it is nearest to, in the unit it was said in, and last
what the task usually counts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace

from assistant.dialogue.memory import Wish
from assistant.language.prices import MONEY
from assistant.language.question import NUMBER_SLOTS, Reading, Task

# Numbers a person says again to correct them.
_SAID_AGAIN = frozenset({
    "display_temperature", "storage_temperature", "display_days", "stored_days", "stems", "pieces", "pack_size", "volume", "concentration",
    "strength", "label_dose", "loss_rate", "fill_height", "diameter", "price", "factor",
})  # fmt: skip
_SIZES = frozenset({"diameter", "fill_height", "height", "width", "length", "depth"})
# "Let's do 12": of what has been counted in pieces; else it may be anything.
_AGAIN = "pieces again"
_CUES: tuple[tuple[str, str], ...] = (
    ("factor", r"\b(?:times|x|by) ?{n}\b|\b{n} ?(?:x|times)\b"),
    ("volume", r"\b{n} in (?:there|it)\b"),
    ("stored_days", r"\bin there (?:for |just |only |about )*{n}\b|\b{n} (?:in there|nights?)\b"),
    ("stems", r"\b{n} (?:on|in|per|to|for|at) (?:each|every|a piece)\b|\b{n} (?:each|apiece)\b|\b{n} an? (?:vase|piece|table|jar|bowl|jug|arrangement|posy)\b|\beach (?:one )?(?:to|at) {n}\b"),
    ("pieces", r"\b{n} (?:of (?:them|those|these|it)|like (?:that|this|it)|(?:the )?same|identical|alike|such|altogether|in all|done|made|on the order)\b|\b(?:there(?:'s| are|'ll be)|filling) {n}(?: of| now| instead|,|\W*$)"),
    ("pieces", r"\b(?:vases|pieces|tables|jars|bowls|cylinders|buckets|urns) (?:are|is) {n}\b"),
    (_AGAIN, r"\b(?:make|making|do|doing|fill) {n}(?: of| now| instead|\W*$)"),
    ("pack_size", r"\b(?:tied|bundled|bunched|bunch|bunches|come|comes|packed|packs|sold|sells|ties)\b[^.?!]{{0,14}}\b(?:in|by|by the) {n}"),
    ("diameter", r"\b{n} (?:across|wide|round|in diameter)\b"),
    ("fill_height", r"\b(?:up to|fill\w*(?: it| them)? to|water (?:at|to|is|should be)|level (?:at|of|is)|(?:depth|deep)(?: is| should be)?(?: just| only)?|water [^.?!]{{0,20}} to) (?:about |only |just )?{n}\b|\b{n} (?:deep|of water)\b|\bwith {n} in (?:it|there)\b"),
    ("height", r"\b{n} (?:tall|high)\b"),
)  # fmt: skip
# The tasks that know such a number; a slot that is not here fits any.
_FOR: Mapping[str, tuple[Task, ...]] = {
    **dict.fromkeys(_SIZES, ("water",)),
    "stored_days": ("longevity", "storage"),
    "volume": ("mixing",),
    "factor": ("cost",),
}
_USUAL: Mapping[Task, str] = {
    "longevity": "display_temperature",
    "compare": "display_temperature",
    "storage": "storage_temperature",
    "refresh": "display_days",
    "mixing": "volume",
}
# What was read of a bare number as if it had a unit, where the task that goes on knows no such thing.
_MISPLACED: Mapping[Task, frozenset[str]] = {
    "longevity": _SIZES | {"pack_size"},
    "compare": _SIZES | {"pack_size"},
    "storage": _SIZES | {"pack_size"},
    "refresh": _SIZES | {"pack_size"},
    "mixing": _SIZES | {"display_temperature"},
    "quantity": _SIZES | {"display_temperature"},
    "cost": _SIZES | {"display_temperature"},
}
# No bucket holds so little, and no label asks for more. [ml or g]
_A_LABELS_AMOUNT = 200.0
_OF_THEM = ("of them", "of those", "of these", "of it")
# A count of so few that is so far from a vessel's sizes counts the vessels.
_FEW = 12
_FAR = math.log(2.0)


def without_misplaced(asked: Mapping[str, Reading], wish: Wish) -> dict[str, Reading]:
    """ "They've added some, it's 20 now": a bare number read as degrees or centimetres, where stems are counted and
    nobody spoke of heat or sizes, is a count again. A bare per cent after an order is its loss."""
    out = dict(asked)
    for name in _MISPLACED.get(wish.task, frozenset()) & out.keys():
        number = re.fullmatch(r"\W*(?:in )?(\d+(?:\.\d+)?)\W*", out[name].said)
        if number is not None and wish.slot(name) is None and "count" not in out:
            del out[name]
            value = float(number[1])
            out["count"] = Reading(value, "count", value, value, number[1])
    if (
        ((wish.task == "quantity" and _is_uncounted(wish)) or (wish.task == "cost" and wish.slot("pieces") is None))
        and "pieces" in out
        and out["pieces"].said.endswith(_OF_THEM)
    ):
        out["stems"] = replace(out.pop("pieces"), unit="stems")  # "I need 60 of those", of flowers not yet counted
    named = {"vessel", "shape"} & out.keys()
    if wish.task == "water" and "width" in out and not named and wish.slot("diameter") and wish.slot("length") is None:
        out.setdefault("diameter", out.pop("width"))  # "the 20 cm one", of a round vessel
    step = wish.slot("per_length")
    side = next((name for name in ("length", "width", "height") if name in out), None)
    if step is not None and side is not None:  # "it is 9 m now", of so many stems to the metre
        along = out.pop(side)
        out["pieces"] = replace(along, value=along.number / step.number, unit="pieces", low=None, high=None)
    label = wish.slot("label_dose")
    if wish.task == "mixing" and label is not None and "label_dose" not in out:
        out |= _label_put_right(out, label)
    if wish.task in ("quantity", "cost") and "strength" in out and "loss_rate" not in out:
        out["loss_rate"] = out.pop("strength")
    return out


def _label_put_right(out: dict[str, Reading], label: Reading) -> dict[str, Reading]:
    """ "No, the label says 30 ml": of a label that gave millilitres or grams, so few of them are its amount again."""
    name, scale = ("volume", 1000.0) if label.unit == "ml/l" else ("mass", 1000.0)
    amount = re.match(r"\d+(?:\.\d+)?", label.said)
    new = out.get(name)
    if new is None or amount is None or new.number * scale > _A_LABELS_AMOUNT:
        return {}
    del out[name]
    dose = label.number * new.number * scale / float(amount[0])
    return {
        "label_dose": Reading(dose, label.unit, dose, dose, new.said, f"{new.said.strip()} read as the label's amount")
    }


def meaning_of(reading: Reading, wish: Wish, text: str, *, speaks_us: bool) -> tuple[str, Reading]:
    """The slot of a bare number in a follow-up to a wish, and its reading there in SI units."""
    value = reading.number
    if wish.task == "water" and re.search(r"\b(?:bricks?|blocks?)\b", text):
        return "count", reading  # of foam: what the water task counts them by
    name = _cued(reading, wish, text)
    if name is None and wish.task == "cost" and _is_uncounted(wish) and wish.items and value == int(value):
        name = "stems"  # "20?", after the price of one
    marked_up = wish.slot("factor")
    if name is None and wish.task == "cost" and marked_up is not None and marked_up.number == value:
        name = "factor"  # "is 3 too steep?"
    one_by_one = wish.task == "cost" and wish.slot("pieces") is None
    if name == "pieces" and (one_by_one or (wish.task == "quantity" and _is_uncounted(wish))):
        name = "stems"
    name = name or _nearest(value, wish) or _USUAL.get(wish.task, "stems")
    factor = _said_of(wish).get(name, (1.0, 1.0))[1]
    low, high = (x * factor for x in reading.span)
    value *= factor
    if name.endswith("temperature") and (speaks_us or value > 45):
        low, high, value = ((x - 32) / 1.8 for x in (low, high, value))
    words = f"{reading.said} read as {name.replace('_', ' ')}"
    meant = Reading(value, NUMBER_SLOTS.get(name, "stems"), low, high, reading.said, words)
    return name, of_the_same(meant, wish) if name == "price" else meant


def of_the_same(price: Reading, wish: Wish) -> Reading:
    """A new price with nothing said of what it buys ("and at 7?") is for what the last one bought."""
    before = wish.slot("price")
    return replace(price, unit=before.unit) if before is not None and price.unit == MONEY else price


def _is_uncounted(wish: Wish) -> bool:
    """Neither stems nor a piece they would go in has been said yet."""
    sized = any(wish.slot(name) is not None for name in ("stems", "pieces", "width", "length", "diameter", "form"))
    return not sized and not any(item.stems or item.bunches for item in wish.items)


def _cued(reading: Reading, wish: Wish, text: str) -> str | None:
    number = re.escape(reading.said.strip())
    for name, pattern in _CUES:
        if wish.task in _FOR.get(name, (wish.task,)) and re.search(pattern.format(n=number), text):
            if name != _AGAIN:
                return name
            if wish.slot("pieces") is not None or len(wish.items) > 1 or wish.task == "water":
                return "pieces"
    return None


def _nearest(value: float, wish: Wish) -> str | None:
    """The number said before that this one is nearest to and differs from."""
    said = {name: number for name, (number, _) in _said_of(wish).items() if number != value}
    if wish.task in ("quantity", "cost", "mixing"):  # the room's degrees are nothing to count by
        said.pop("display_temperature", None)
    if "volume" in said:
        said.pop("label_dose", None)  # the bucket changes, the label does not
    if wish.task == "quantity" and len(wish.items) > 1 and all(i.stems for i in wish.items):
        said.pop("stems", None)
    if not said or value <= 0:
        return None
    name = min(said, key=lambda n: abs(math.log(said[n] / value)))
    vessels = wish.task == "water" and not wish.items and value <= _FEW and value == int(value)
    if vessels and name in _SIZES and abs(math.log(said[name] / value)) > _FAR:
        return "pieces"
    return name


def _said_of(wish: Wish) -> dict[str, tuple[float, float]]:
    """The numbers of the wish by slot: as they were said, and what makes that SI ("3 gallons": 3 and 3.785)."""
    newest = {n: r for n, r in wish.asked.items() if n in _SAID_AGAIN} or {**wish.earlier, **wish.asked}
    said: dict[str, tuple[float, float]] = {}
    for name, reading in newest.items():
        if not isinstance(reading.value, int | float) or name not in _SAID_AGAIN or reading.number <= 0:
            continue
        number = _written(reading.said) if name in ("volume", *_SIZES) else 0.0
        said[name] = (number, reading.number / number) if number else (reading.number, 1.0)
    counted = [item.stems for item in wish.items if item.stems]
    if counted or "count" in wish.asked:
        said["stems"] = (counted[-1] if counted else wish.asked["count"].number, 1.0)
    return said


def _written(said: str) -> float:
    """The number in the words of a measure; "a gallon" is one, and words without a measure give 0."""
    digits = re.search(r"\d+(?:\.\d+)?", said)
    if digits:
        return float(digits[0])
    return 1.0 if re.match(r"(?:an?|the|one|this|next|per|each|every)\b", said.strip()) else 0.0
