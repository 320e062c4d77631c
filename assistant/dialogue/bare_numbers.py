"""What a number without a unit means in a follow-up: "make that 30", "there's five of them", "take it up to 200".

Words beside it decide first, then the number said before that it is nearest to, in the unit it was said in, and last
what the task usually counts.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import replace

from assistant.calculators.units import convert
from assistant.dialogue.memory import Item, Wish
from assistant.language.parsing import IMPLIED
from assistant.language.prices import MONEY
from assistant.language.question import NUMBER_SLOTS, Question, Reading, Task

# Numbers a person says again to correct them.
_SAID_AGAIN = frozenset({
    "display_temperature", "storage_temperature", "display_days", "stored_days", "elapsed_days", "stems", "pieces", "pack_size", "volume", "concentration",
    "strength", "label_dose", "loss_rate", "fill_height", "diameter", "price", "factor",
})  # fmt: skip
_SIZES = frozenset({"diameter", "fill_height", "height", "width", "length", "depth"})
# "Let's do 12": of what has been counted in pieces; else it may be anything.
_AGAIN = "pieces again"
_CUES: tuple[tuple[str, str], ...] = (
    ("humidity", r"\b(?:de|re)?(?:humidif\w+|humidity|hygrometer)\b[^.?!]*\b{n}\b"),
    ("factor", r"\b(?:times|x|by) ?{n}\b|\b{n} ?(?:x|times)\b"),
    ("volume", r"\b{n} in (?:there|it)\b"),
    ("volume", r"\b(?:tank|bucket|bin|dustbin|butt|tub|sink|drum|barrel|churn|vat|can|jug|pail|trough|bowl)s?(?:'s|,? that'?s|,? that is|,? which is|,? it'?s| is| are| of| with| takes?| holds?| has| was| now| only| just| actually| down| at| to| about)* {n}\b(?! ?(?:cm|mm|inch|in\b|wide|across|deep|tall|%|ppm|parts|g\b|gram|ml))"),
    ("volume", r"\b(?:the|a|that|this|my|our|other) (?:[a-z]+ )?(?:wee|little|small|smaller|big|bigger|large|larger|tall|short|blue|green|red|black|white|grey|other) one(?:'s|,? that'?s|,? that is|,? which is|,? it'?s| is| of| with| takes?| holds?| has| was| only| just| actually| about)+ {n}\b(?! ?(?:cm|mm|inch|in\b|wide|across|deep|tall|%|ppm|parts|g\b|gram|ml))"),
    ("label_dose", r"\b(?:label|packet|sachet|bottle|box|dose|tub|it)(?:'s)? (?:actually |really )?(?:says?|reads|said) (?:actually |really |just |only )?{n}\b"),
    ("stored_days", r"\bin there (?:for |just |only |about )*{n}\b|\bbeen in (?:for |just |only |about )*{n}\b|\b{n} (?:in there|nights?)\b"),
    ("stems", r"\b{n} (?:on|in|per|to|for|at) (?:each|every|a piece)\b|\b{n} (?:each|apiece)\b|\b{n} an? (?:vase|piece|table|jar|bowl|jug|arrangement|posy)\b|\beach (?:one )?(?:to|at) {n}\b"),
    ("pieces", r"\b{n} (?:of (?:them|those|these|it)|like (?:that|this|it)|(?:the )?same|identical|alike|such|altogether|in all|done|made|on the order)\b|\b(?:there(?:'s| are|'ll be)|filling) {n}(?: of| now| instead|,|\W*$)"),
    ("pieces", r"\b(?:vases|pieces|tables|jars|bowls|cylinders|buckets|urns) (?:are|is) {n}\b"),
    ("pieces", r"\b(?:times|x) ?{n}\b|\b{n} times\b"),
    ("pieces", r"\b{n} (?:more |extra |such |other )?(?:buckets|tanks|bins|tubs|pails|drums|churns|sinks)\b"),
    ("display_temperature", r"\b(?:nearer|closer to|hotter|warmer|cooler|colder)[^.?!\d]{{0,12}} {n}\b(?! ?(?:cm|litres?|stems?|of\b|deep|wide|across))|\b{n} (?:in|of) (?:the|an) (?:afternoons?|mornings?|evenings?|daytime|sun)\b|\b{n} (?:at night|overnight|by (?:noon|midday)|outside|in there by)\b"),
    ("fill_height", r"\b{n} (?:mark|line)\b(?! (?:flowers?|material|stems?))|\b(?:fill|level|water|depth)(?:'s| is| was| should (?:have been|be)| ought to (?:have been|be)| to| be| at| of| only| just| about| up| going| goes| coming| comes| now)+ {n}\b|\b(?:stop\w*|pour\w*)(?: it| them| when it's| till it's| until it's)* (?:at|to) (?:about |the )?{n}\b"),
    (_AGAIN, r"\b(?:make|making|do|doing|fill) {n}(?: of| now| instead|\W*$)"),
    ("pack_size", r"\b(?:tied|bundled|bunched|bunch|bunches|come|comes|packed|packs|sold|sells|ties)\b[^.?!]{{0,14}}\b(?:in|by|by the) {n}"),
    ("diameter", r"\b(?:diameter|width)(?:'s| is| was| should be)* (?:only |just |about )?{n}\b"),
    ("diameter", r"\b{n} (?:across|wide|round|in diameter)\b"),
    ("fill_height", r"\b(?:up to|fill\w*(?: it| them)? to|water (?:at|to|is|should be)|level (?:at|of|is)|(?:depth|deep)(?: is| should be)?(?: just| only)?|water [^.?!]{{0,20}} to) (?:about |only |just )?{n}\b|\b{n} (?:deep|of water)\b|\bwith {n} in (?:it|there)\b"),
    ("height", r"\bheight(?:'s| is| was)* (?:only |just |about )?{n}\b"),
    ("height", r"\b{n} (?:tall|high)\b"),
)  # fmt: skip
# The tasks that know such a number; a slot that is not here fits any.
_FOR: Mapping[str, tuple[Task, ...]] = {
    **dict.fromkeys(_SIZES, ("water",)),
    "stored_days": ("longevity", "storage"),
    "volume": ("mixing",),
    "display_temperature": ("water",),
    "label_dose": ("mixing",),
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
# Prices of one thing differ by less than this.
_LIKE_IT = math.log(3.0)
# "In inches I meant", of sizes that had no unit.
_SHORT_ORDER = 14
_IN_INCHES = re.compile(r"\binch(?:es)?\b")
# What says that a share is of a filling.
_FILLED = re.compile(r"\b(?:full|fill\w*|way|water|rim|brim|top)\b")
_RATIO = re.compile(r"(?<![\d.])1 ?(?:to|in|:) ?(\d+(?:\.\d+)?)\b")
# "And one big one with 25 in it", after several.
_JUST_ONE = re.compile(
    r"\b(?:one|1|a) (?:single )?(?:big|large|small|little|wee|tall|bigger|smaller|larger) (?:one|1) "
)
_MISCOUNTED = re.compile(
    r"\b(?:mis-?count\w*|counted (?:them )?(?:wrong|again)|recounted|(?:went|gone) off|died|dropped|snapped|broke)\b"
)
_IMPERIAL = re.compile(r"\bimperial\b|\b(?:uk|british) (?:gal|ones\b)")
_AMERICAN = re.compile(r"\b(?:us|american) (?:gal|ones\b)")
# "Bigger by four", "four litres more": by how much the water changes.
_BY_SO_MUCH = re.compile(
    r"\b(?:(?:(?P<up>bigger|larger|more|up)|smaller|less|down) by (?P<n>\d+(?:\.\d+)?)|(?P<m>\d+(?:\.\d+)?) ?(?:l|lit(?:re|er)s?) (?:(?P<up2>bigger|larger|more|extra)|smaller|less|fewer))\b(?! ?(?:stems?|days?|ppm|%|g\b|ml|per cent|degrees|points?))"
)
# "Top end please", of a dose that was given as a range.
_END = re.compile(
    r"\b(?:(?P<low>bottom|lower|low|weak(?:er|est)?)|top|upper|higher|high|strong(?:er|est)?) (?:end|figure|number|one|dose)\b"
)
_GOES_TO = re.compile(
    r"(?<![\d.])(\d+(?:\.\d+)?) (?:goes|go|becomes|went|changes|turns|is now|has become)(?: up| down)?(?: to| into)? (\d+(?:\.\d+)?)\b|"
    r"\bfrom (\d+(?:\.\d+)?) (?:up |down )?to (\d+(?:\.\d+)?)\b"
)
# A count of so few that is so far from a vessel's sizes counts the vessels.
_FEW = 12
_FAR = math.log(2.0)


# "Plus 30 %", of a sum.
_PUT_ON = re.compile(
    r"\b(?:plus|on top|(?:add|put|stick)(?: on)?(?= (?:another |an extra )?\d)|for (?:profit|labour|my time))\b"
)
_TAX = re.compile(r"\b(?:vat|tax)\b")


def without_misplaced(asked: Mapping[str, Reading], wish: Wish, text: str = "") -> dict[str, Reading]:
    """ "They've added some, it's 20 now": a bare number read as degrees or centimetres, where stems are counted and
    nobody spoke of heat or sizes, is a count again. A bare per cent after an order is its loss."""
    out = dict(asked)
    old, counted = out.get("count"), {"stems", "pieces", "bunches", "pack_size"} & out.keys()
    if old is not None and counted and any(old.number == number for number, _ in _said_of(wish).values()):
        del out["count"]  # "nine's a bit much, so seven a wreath": the old number said again beside the new
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
    of_the_water = "width" in out and "fill_height" not in out and _OF_THE_WATER.search(text)
    if wish.task == "water" and of_the_water and wish.slot("fill_height") is not None:
        out["fill_height"] = out.pop("width")  # "less water, 18 cm"
    if wish.task == "water" and "width" in out and not named and wish.slot("diameter") and wish.slot("length") is None:
        out.setdefault("diameter", out.pop("width"))  # "the 20 cm one", of a round vessel
    elif wish.task == "water" and not named and wish.slot("length") and (wish.slot("fill_height") or _has_level(wish)):
        lone = "width" in out and not {"fill_height", "length", "depth"} & out.keys()
        if lone and not re.search(r"\b(?:wide|width|across)\b", text):
            out["fill_height"] = out.pop("width")  # "4 inches will do them", of a box that stays what it is
    if wish.task == "water" and "pieces" not in out and wish.slot("pieces") is not None and _JUST_ONE.search(text):
        out["pieces"] = Reading(1.0, "pieces", said="one")
    of_stems = _counts_stems(wish) or _miscounted(wish, text)
    if wish.task == "water" and "pieces" in out and out["pieces"].said.endswith(_OF_THEM) and of_stems:
        out["stems"] = replace(out.pop("pieces"), unit="stems")  # "40 of them", of the stems in the vessel
    if wish.task == "water" and _IN_INCHES.search(text) and not re.search(r"\d", text):
        sizes = {n: r for n in sorted(_SIZES) if (r := wish.slot(n)) is not None and re.fullmatch(r"[\d.]+", r.said)}
        out |= {n: replace(r, value=float(r.said) * 2.54, low=None, high=None) for n, r in sizes.items()}
    if wish.task == "water":
        out = _resized(out, wish, text)
    share = out.get("fill_share")
    if share is not None and not _FILLED.search(share.said + " " + text) and not _has_level(wish):
        del out["fill_share"]  # "half", of what is not filled at all
    step = wish.slot("per_length")
    side = next((name for name in ("length", "width", "height") if name in out), None)
    if step is not None and side is not None:  # "it is 9 m now", of so many stems to the metre
        along = out.pop(side)
        out["pieces"] = replace(along, value=along.number / step.number, unit="pieces", low=None, high=None)
    label = wish.slot("label_dose")
    if wish.task == "mixing" and label is not None and "label_dose" not in out:
        out |= _label_put_right(out, label)
    if wish.task == "mixing":
        right = _mix_put_right(out, wish, text)
        if "parts" in right:
            del out["count"]
        out |= right
        if (changed := _changed_water(wish, text)) is not None:
            out.pop("count", None)
            out["volume"] = changed
    if wish.task == "cost" and "strength" in out and _TAX.search(text):
        del out["strength"]  # the reply says that tax is left out
    elif wish.task == "cost" and "strength" in out and _PUT_ON.search(text):
        share = out.pop("strength")
        out["factor"] = Reading(1 + share.number / 100, "ratio", said=share.said)
    if wish.task in ("quantity", "cost") and "strength" in out and "loss_rate" not in out:
        out["loss_rate"] = out.pop("strength")
    return out


_OF_THE_WATER = re.compile(
    r"^(?!.*\b(?:across|wide|width|round|diameter)\b).*\b(?:(?:less|more|only|the) water|level|deep)\b"
)
# "5 cm less", "two inches deeper", "3 cm wider": by how much a size said before changes.
_SIZE_BY = re.compile(
    r"(?<![\d.])\d+(?:\.\d+)? ?(?:cms?|mm|inch(?:es)?|in|\")? ?(?:(?P<level>(?P<up>more|higher|deeper)|less|lower|shallower)|(?P<wide>(?P<wider>wider)|narrower)|(?P<tall>(?P<taller>taller)|shorter))\b"
)


def _resized(asked: dict[str, Reading], wish: Wish, text: str) -> dict[str, Reading]:
    """The slots with a size that was said as a difference added to the size before, or taken off it."""
    match = _SIZE_BY.search(text)
    name = next((n for n in sorted(_SIZES & asked.keys()) if match and asked[n].said.strip() in match[0]), None)
    if match is None or name is None:
        return asked
    sides = ("fill_height",) if match["level"] else ("diameter", "width") if match["wide"] else ("height",)
    side = next((n for n in sides if wish.slot(n) is not None), None)
    before = wish.slot(side) if side else None
    if side is None or before is None:
        return asked
    more = bool(match["up"] or match["wider"] or match["taller"])
    by = asked[name]
    value = before.number + (by.number if more else -by.number)
    if value <= 0:
        return asked
    words = f"{by.said.strip()} {'more' if more else 'less'}, so {value:g} cm"
    return {n: r for n, r in asked.items() if n != name} | {side: Reading(value, "cm", value, value, by.said, words)}


def _has_level(wish: Wish) -> bool:
    """Is it a vessel that is filled to somewhere, with no flowers counted in it?"""
    counted = any(item.stems for item in wish.items)
    return wish.task == "water" and not counted and bool(wish.slot("fill_share") or wish.slot("fill_height"))


def _counts_stems(wish: Wish) -> bool:
    """Is it stems that "40 of them" counts: of flowers that were counted, in no vessel whose sizes were said?"""
    vessels = any(wish.slot(name) is not None for name in ("pieces", *_SIZES))
    return not vessels and any(item.stems for item in wish.items)


def _of_a_volume(wish: Wish) -> bool:
    """A talk on vessels of so many litres, whose sizes nobody has said."""
    return wish.task == "water" and wish.slot("volume") is not None and not any(wish.slot(n) for n in _SIZES)


def _miscounted(wish: Wish, text: str) -> bool:
    """ "Seven of them only, I miscounted": the stems in the vase, however many vases there are."""
    return any(item.stems for item in wish.items) and _MISCOUNTED.search(text) is not None


def _mix_put_right(out: Mapping[str, Reading], wish: Wish, text: str) -> dict[str, Reading]:
    """ "A bit stronger, one to two", of a mix that was given in parts; "imperial ones", of gallons that were taken as US."""
    count, volume = out.get("count"), wish.slot("volume")
    ratio = _RATIO.search(text)
    if count is not None and ratio is not None and wish.slot("parts") is not None and "parts" not in out:
        return {"parts": Reading(float(ratio[1]), "parts", said=ratio[0])}
    label, end = wish.slot("label_dose"), _END.search(text)
    ranged = label is not None and label.span[0] < label.span[1]
    if end is not None and label is not None and ranged and "label_dose" not in out:
        value = label.span[0 if end["low"] else 1]
        return {"label_dose": replace(label, value=value, low=value, high=value)}
    gallons = re.match(r"(\d+(?:\.\d+)?|an?|the) ?(us|imp\w*|uk|british)? ?gal", volume.said) if volume else None
    if gallons is not None and volume is not None and not re.search(r"\d", text):
        was_us = gallons[2] in (None, "us")
        if (_IMPERIAL if was_us else _AMERICAN).search(text):
            units = ("us_gal", "imp_gal") if was_us else ("imp_gal", "us_gal")
            litres = volume.number / convert(1.0, units[0], "l") * convert(1.0, units[1], "l")
            kind = "imperial" if was_us else "US"
            return {"volume": Reading(litres, "l", litres, litres, f"{gallons[1]} {kind} gallons")}
    return {}


def _changed_water(wish: Wish, text: str) -> Reading | None:
    """ "The blue tub, bigger by four", "2 litres less": the water said before, changed by so much."""
    changed = _BY_SO_MUCH.search(text)
    before = wish.slot("volume") or wish.slot("count")
    if changed is None or before is None:
        return None
    more = float(changed["n"] or changed["m"]) * (1 if changed["up"] or changed["up2"] else -1)
    litres = before.number + more
    words = f"{before.number:g} {'and' if more > 0 else 'less'} {abs(more):g}, so {litres:g} litres"
    # Said in litres from now on: what puts it right later is measured by it.
    return Reading(litres, "l", litres, litres, f"{litres:g} litres", words) if litres > 0 else None


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


# Tasks whose answer no number of stems changes.
_UNCOUNTED: frozenset[Task] = frozenset({"describe", "season", "care", "hazard", "compare", "longevity", "storage"})
_SO_MANY_OF = re.compile(r"(?<![\d.])\d{1,4} (?:of (?:it|them|that|those|these|the [a-z]+)|stems|heads)\b")
_WANTED = re.compile(
    r"\b(?:want|need|order|get|getting|allow|call it|make it|take|buy|so|then|for|at|please|one each|each|apiece)\b|^\W*\d+ of the\b"
)
_HAPPENED = re.compile(
    r"\b(?:have|has|had|are|is|were|was|went|gone|died|dead|dropp\w*|wilt\w*|last|lasts|left|how|why|when|which|what|will|would|can|do|does|did)\b"
)


def counts_an_order(q: Question, last: Task) -> bool:
    """ "It's fifty stems I'm going to want", "60 of the grass then", after talk that no count changes: an order.

    Not where the message asks something of its own, or tells of a room, days, a vessel or a price.
    """
    asked = [a for a in q.asks if a.score > IMPLIED and a.task != "quantity"]
    known = {"stems", "pieces", "count", "pack_size", "loss_rate", "confidence", "kinds", "form"}
    if last not in _UNCOUNTED or asked or q.slots.keys() - known or len(q.normal.split()) > _SHORT_ORDER:
        return False
    counted = _SO_MANY_OF.search(q.normal) is not None and bool(
        {"stems", "pieces", "count"} & q.slots.keys() or any(m.stems for m in q.mentions)
    )
    return counted and _WANTED.search(q.normal) is not None and _HAPPENED.search(q.normal) is None


# "One hundred and fifty is plenty", "80 will do them", "it's only forty she wants".
_ENOUGH = re.compile(
    r"(?<![\d.])\d{1,4}(?: (?:of (?:them|those|it)|stems|heads|flowers))?(?:'s|'ll| is| are| will| would| should| ought to| would be| will be| should be)+ "
    r"(?:(?:be|just|quite|more than|probably|all) )*(?:plenty|enough|ample|do|suffice|fine|the limit|(?:she|he|they|we|i) (?:wants?|needs?|said))\b"
)
_SLIP = re.compile(
    r"\b(?:mis-?read|mis-?heard|mis-?counted|mis-?typed|mis-?spoke|wrong(?:ly)?|my (?:mistake|fault|error|bad)|forgive me|sorry|apologies|pardon|typo|can'?t (?:count|read)|writing|slip)\b"
)
_IT_IS = re.compile(
    r"\b(?:it(?:'s| is| was| should be| should have been)|that(?:'s| is| should be| should have been| says)|make (?:it|that)|i (?:want|need|meant))(?: (?:only|just|really|actually|meant to be))* \d{1,4}(?: stems)?\W*$"
)


_CHANGED_BY = re.compile(
    r"(?<![\d.])(?P<n>\d{1,4}) (?:(?P<up>more|extra|additional)|fewer|less)(?: of)?(?: (?:the|those|my|our))? $|\b(?P<up2>another|an extra|a further) (?P<m>\d{1,4})(?: of)?(?: (?:the|those))? $"
)


def with_changed_counts(q: Question, last: Wish) -> Question:
    """ "10 fewer roses", "another 20 stocks", of what an order holds: the count it comes to, in the place of the difference."""
    held = {i.id: i.stems for i in last.items if i.stems} if last.task in ("quantity", "cost") else {}
    changed: dict[int, float] = {}
    for mention in q.mentions:
        said = _CHANGED_BY.search(q.normal[: mention.start]) if mention.id in held and mention.stems else None
        before = held.get(mention.id or "")
        if said is None or before is None or mention.stems != float(said["n"] or said["m"]):
            continue
        count = before + mention.stems if said["up"] or said["up2"] else before - mention.stems
        if count > 0:
            changed[mention.start] = count
    if not changed:
        return q
    mentions = tuple(replace(m, stems=changed.get(m.start, m.stems)) for m in q.mentions)
    asks = tuple(
        replace(a, mentions=tuple(replace(m, stems=changed.get(m.start, m.stems)) for m in a.mentions)) for a in q.asks
    )
    return replace(q, mentions=mentions, asks=asks)


def counts_anew(q: Question, last: Wish) -> bool:
    """ "She's cutting back, 150 is plenty", "I misread my own writing, it is eighty", "knock 15 off": the count of an order
    said again or changed, whatever the other words are about. One number, no material, no ask."""
    counted = any(item.stems or item.bunches for item in last.items) or last.slot("stems") is not None
    known = {"count", "stems", "display_temperature"}
    if last.task != "quantity" or not counted or q.mentions or q.slots.keys() - known or len(q.slots) != 1:
        return False
    if len(re.findall(r"\d+(?:\.\d+)?", q.normal)) != 1 or any(ask.score > IMPLIED for ask in q.asks):
        return False
    number = re.escape(next(iter(q.slots.values())).said.strip())
    changed = len(last.items) == 1 and any(re.search(p.format(n=number), q.normal) for p in (_MORE, _FEWER))
    said_again = _ENOUGH.search(q.normal) or (_SLIP.search(q.normal) and _IT_IS.search(q.normal))
    return changed or bool(said_again)


def of_the_flower(
    asked: Mapping[str, Reading], items: tuple[Item, ...], kept: Mapping[str, Reading]
) -> dict[str, Reading]:
    """ "I need 35 of them", the first order after other talk of one flower: its stems, where no piece was spoken of."""
    out = dict(asked)
    pieces = out.get("pieces")
    # A vase that was only stood in ("snapdragons in the vase") is no piece; one said with the count may be.
    of_pieces = {"pieces", "stems", "form", "vessel", "width", "diameter"} & (
        kept.keys() - {"vessel"} | out.keys() - {"pieces"}
    )
    if pieces is None or not pieces.said.endswith(_OF_THEM) or of_pieces or len(items) != 1:
        return out
    if not (items[0].stems or items[0].bunches):
        out["stems"] = replace(out.pop("pieces"), unit="stems")
    return out


def meaning_of(reading: Reading, wish: Wish, text: str, *, speaks_us: bool) -> tuple[str, Reading]:
    """The slot of a bare number in a follow-up to a wish, and its reading there in SI units."""
    moved = _moved(reading, wish, text)
    if moved is not None:
        return moved
    value = reading.number
    if wish.task == "water" and re.search(r"\b(?:bricks?|blocks?)\b", text):
        return "count", reading  # of foam: what the water task counts them by
    more = _so_many_more(reading, wish, text)
    if more is not None:
        return more
    name = (
        _size_again(reading, wish, text)
        or _cued(reading, wish, text)
        or _instead_of(wish, text)
        or _priced_anew(reading, wish, text)
    )
    name = name or _bought_anew(reading, wish, text)
    if name is None and wish.task == "cost" and _is_uncounted(wish) and wish.items and value == int(value):
        name = "stems"  # "20?", after the price of one
    marked_up = wish.slot("factor")
    if name is None and wish.task == "cost" and marked_up is not None and marked_up.number == value:
        name = "factor"  # "is 3 too steep?"
    one_by_one = wish.task == "cost" and wish.slot("pieces") is None
    if name == "pieces" and (one_by_one or (wish.task == "quantity" and _is_uncounted(wish))):
        name = "stems"
    name = name or _nearest(value, wish) or _USUAL.get(wish.task, "stems")
    if name == "bunches" and _BUNCHES_ASKED.search(text):
        name = "stems"
    factor = _said_of(wish).get(name, (1.0, 1.0))[1]
    low, high = (x * factor for x in reading.span)
    value *= factor
    if name.endswith("temperature") and (speaks_us or value > 45):
        low, high, value = ((x - 32) / 1.8 for x in (low, high, value))
    words = f"{reading.said} read as {name.replace('_', ' ')}"
    label = wish.slot("label_dose") if name == "label_dose" else None
    unit = label.unit if label is not None else NUMBER_SLOTS.get(name, "stems")  # millilitres stay millilitres
    meant = Reading(value, unit, low, high, reading.said, words)
    return name, of_the_same(meant, wish) if name == "price" else meant


def of_the_same(price: Reading, wish: Wish) -> Reading:
    """A new price with nothing said of what it buys ("and at 7?") is for what the last one bought."""
    before = wish.slot("price")
    return replace(price, unit=before.unit) if before is not None and price.unit == MONEY else price


def _size_again(reading: Reading, wish: Wish, text: str) -> str | None:
    """ "40 across", of a piece whose size stems are worked out from."""
    if wish.task != "quantity":
        return None
    number = re.escape(reading.said.strip())
    for names, words in ((("width", "diameter", "length"), "across|wide|long"), (("height",), "high|tall")):
        if re.search(rf"\b{number} (?:{words})\b", text):
            return next((name for name in names if wish.slot(name) is not None), None)
    return None


_BUNCHES_ASKED = re.compile(r"\b(?:how many|in|number of) bunches\b")
_CHANGED = r"(?: (?:it|that|them|those|the (?:order|total|count|number)))?"
_MORE = (
    r"\b(?:add|adding|plus) {n}\b(?=\W*$|[,.;]| (?:to (?:it|that|them)|on top|then|please|for luck|extra|stems?)\b)|"
    r"\b(?:another|an extra) {n}\b(?! more)|\b{n} (?:more|extra|others|on top)\b(?! (?:days?|weeks?|hours?|degrees|lit(?:re|er)s?))|"
    rf"\b(?:up|increase|raise|bump|put|push){_CHANGED}(?: up)? by (?:another )?{{n}}\b"
)
_FEWER = (
    r"\b{n} (?:fewer|less|too many)\b(?! (?:days?|weeks?|hours?|degrees|lit(?:re|er)s?))|"
    rf"\b(?:knock|take|cut|drop|lose|strike) {{n}}(?: (?:off|out|away|from|off of))?{_CHANGED}(?=\W*$|[,.;]| (?:please|then)\b)|"
    r"\b(?:less|minus) (?:the )?{n}\b(?=\W*$|[,.;]| (?:please|then|(?:i|we)(?:'ve| have| already)?)\b)|"
    rf"\b(?:cut|reduce|drop|bring|take|lower){_CHANGED}(?: down)? by {{n}}\b|"
    r"\b(?:i|we)(?:'ve| have)?(?: already)?(?: got| have)? {n}(?: of (?:them|those))? (?:already|left over|in stock|in the (?:cooler|fridge|back|buckets?|shop)|here)\b"
)


def _so_many_more(reading: Reading, wish: Wish, text: str) -> tuple[str, Reading] | None:
    """ "Two more have enrolled", "ten fewer", "up it by twenty": added to the pieces, or to the stems of the one material,
    where they were said before, or taken from them."""
    number = re.escape(reading.said.strip())
    more, fewer = (re.search(pattern.format(n=number), text) for pattern in (_MORE, _FEWER))
    if wish.task not in ("quantity", "cost", "water") or not (more or fewer):
        return None
    pieces, stems = wish.slot("pieces"), _said_of(wish).get("stems")
    if pieces is None and (stems is None or len(wish.items) != 1):
        return None
    name, before = ("pieces", pieces.number) if pieces is not None else ("stems", stems[0] if stems else 0.0)
    value = before + (reading.number if more else -reading.number)
    if value <= 0:
        return None
    words = f"{reading.number:g} {'more' if more else 'fewer'} {name}, so {value:g}"
    return name, Reading(value, name, value, value, reading.said, words)


def _priced_anew(reading: Reading, wish: Wish, text: str) -> str | None:
    """ "And at 9?", "they want seven": of a sum, a number like the price before it, said as a price is."""
    price = wish.slot("price") or next((item.price for item in wish.items if item.price), None)
    number = re.escape(reading.said.strip())
    said_so = rf"\b(?:at|now|they (?:want|ask|charge)|(?:asking|charging|paying)|(?:price|cost)[a-z']*\b[^.?!\d]{{0,24}}|(?:dropped|gone up|gone down|went up|went down) to|costs?) {number}\b"
    if wish.task != "cost" or price is None or price.number <= 0 or reading.number <= 0:
        return None
    alike = abs(math.log(price.number / reading.number)) < _LIKE_IT
    return "price" if alike and re.search(said_so, text) else None


def _bought_anew(reading: Reading, wish: Wish, text: str) -> str | None:
    """ "Make it four", of ten at 6.25 apiece: a whole number beside a price with its pence counts what is bought."""
    price = wish.slot("price") or next((item.price for item in wish.items if item.price), None)
    whole = reading.number == int(reading.number)
    if wish.task != "cost" or price is None or len(wish.items) != 1 or not whole or price.number == int(price.number):
        return None
    if not re.search(rf"\bmake (?:it|that) {re.escape(reading.said.strip())}\W*$", text):
        return None
    item = wish.items[0]
    return "bunches" if item.bunches else "stems" if item.stems else None


def _is_uncounted(wish: Wish) -> bool:
    """Neither stems nor a piece they would go in has been said yet."""
    sized = any(wish.slot(name) is not None for name in ("stems", "pieces", "width", "length", "diameter", "form"))
    return not sized and not any(item.stems or item.bunches for item in wish.items)


def _cued(reading: Reading, wish: Wish, text: str) -> str | None:
    number = re.escape(reading.said.strip())
    for name, pattern in _CUES:
        fits = wish.task in _FOR.get(name, (wish.task,)) or (name == "volume" and _of_a_volume(wish))
        if fits and re.search(pattern.format(n=number), text):
            if name == "label_dose" and wish.slot("label_dose") is None:
                name = "strength" if wish.slot("concentration") or wish.slot("strength") else name
            if name == "pieces" and wish.task == "water" and (_counts_stems(wish) or _miscounted(wish, text)):
                return "stems"
            if name == "display_temperature" and wish.slot(name) is None:
                continue
            if name == "fill_height" and wish.items and re.search(rf"\b(?:with|put) {number} in\b", text):
                return "stems"  # "and with 20 in there", of a vase of flowers
            if name != _AGAIN:
                return name
            if wish.slot("pieces") is not None or len(wish.items) > 1 or wish.task == "water":
                return "pieces"
    return None


def _moved(reading: Reading, wish: Wish, text: str) -> tuple[str, Reading] | None:
    """ "Eight goes to nine", "from 8 to 9": the new number in the slot of the one slot that held the old."""
    match = _GOES_TO.search(text)
    old, new = (float(n) for n in match.groups() if n) if match else (0.0, 0.0)
    held = [name for name, (number, _) in _said_of(wish).items() if number == old]
    if match is None or reading.number not in (old, new) or len(held) != 1:
        return None
    factor = _said_of(wish)[held[0]][1]
    value = new * factor
    said = f"{new:g}"
    words = f"{said} read as {held[0].replace('_', ' ')}"
    return held[0], Reading(value, NUMBER_SLOTS.get(held[0], "stems"), value, value, said, words)


def _instead_of(wish: Wish, text: str) -> str | None:
    """ "Thirty, not twenty": the slot that held the number taken back."""
    old = re.search(r"\bnot (\d+(?:\.\d+)?)\b", text)
    if old is None:
        return None
    held = [name for name, (number, _) in _said_of(wish).items() if number == float(old[1])]
    return held[0] if len(held) == 1 else None


def _nearest(value: float, wish: Wish) -> str | None:
    """The number said before that this one is nearest to and differs from; stems that are said once more stay stems."""
    if wish.task == "quantity" and any(item.stems == value for item in wish.items):
        return "stems"
    said = {name: number for name, (number, _) in _said_of(wish).items() if number != value}
    if wish.task in ("quantity", "cost", "mixing"):  # the room's degrees are nothing to count by
        said.pop("display_temperature", None)
    if "volume" in said:
        said.pop("label_dose", None)  # the bucket changes, the label does not
    if wish.task == "quantity" and len(wish.items) > 1 and all(i.stems and not i.share for i in wish.items):
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
        by_amount = name == "label_dose" and reading.unit in ("ml/l", "g/l")
        number = _written(reading.said) if by_amount or name in ("volume", *_SIZES) else 0.0
        said[name] = (number, reading.number / number) if number else (reading.number, 1.0)
    counted = [item.stems for item in wish.items if item.stems]
    bought = [item.bunches for item in wish.items if item.bunches]
    # One bunch asked about stands for any.
    if bought and (wish.task == "cost" or (wish.task == "quantity" and not counted and bought[-1] > 1)):
        said["bunches"] = (bought[-1], 1.0)
    total = wish.slot("stems")
    if total is not None and any(item.share for item in wish.items):
        said["stems"] = (total.number, 1.0)
    elif wish.task == "longevity" and "count" in wish.asked:
        said.setdefault("display_temperature", (wish.asked["count"].number, 1.0))  # as `lives` takes a lone number
    elif wish.task == "mixing" and "volume" not in said and (litres := wish.slot("count")) is not None:
        said["volume"] = (litres.number, 1.0)  # as the mixing task takes a lone number
    elif counted or "count" in wish.asked:
        said["stems"] = (counted[-1] if counted else wish.asked["count"].number, 1.0)
    return said


def _written(said: str) -> float:
    """The number in the words of a measure; "a gallon" is one, and words without a measure give 0."""
    digits = re.search(r"\d+(?:\.\d+)?", said)
    if digits:
        return float(digits[0])
    return 1.0 if re.match(r"(?:an?|the|one|this|next|per|each|every)\b", said.strip()) else 0.0
