"""A list of materials edited in a follow-up: swapped, added to, taken from, or one count or pack in it changed."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace

from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.openings import asks_anew
from assistant.language.question import Question, Reading, Task

# Tasks whose materials make one list, which a follow-up may edit.
LISTS = ("compare", "quantity", "water", "cost", "refresh")
# Of these, the ones whose lists hold counts.
_COUNTED = ("quantity", "refresh")
_COUNTS = ("pack_size", "count", "stems")
_TAKEN_OUT = re.compile(
    r"\b(?:without(?! (?:any )?(?:water|food|foam|flower food|loss|spares?)\b)|drop|remove|leave out|minus|skip|lose|take out|gone off|forget|ditch|scrap|bin|(?:strike|cross|knock|leave|take|cut) (?:out|off)\b(?! (?:at|on|in|the (?:ends?|stems?|tops?|leaves|bottoms?))\b)|"
    r"(?:take|leave|knock|strike|cut|keep) (?=(?:the |those |that )?[a-z' -]+ (?:out|off|away|behind)\b)|with (?=(?:the |those |that )?[a-z' -]+ (?:gone|out|off|removed)\b))"
)
_ADDED = re.compile(
    r"\b(?:add|plus|include|also (?:have|use|add|want|need|put)|chuck|throw|bung|toss|pop)\b|"
    r"(?:^\W*|[,;.!?] |\b(?:and|then|ok|right|please|let's|so) )(?:put|stick|shove|work|mix|bring|let) (?=[a-z' -]+ (?:in|into|with)\b)"
)
_INTO_THE_MIX = re.compile(r"\b(?:into|in|to) (?:the |this |that )?(?:mix|comparison|race|list|running|line-?up)\b")
# Into what was compared or asked about together: "put carnations in with them as well".
_IN_WITH_THEM = re.compile(
    r"^(?!.*\b(?:can|may|could|should|shall|might|if) (?:i|we|they|he|she)\b).*"
    r"\b(?:put|stick|throw|chuck|pop|bung|bring|slip|include|add)\b[^.?!]*\b(?:in|into|on) (?:there|(?:along )?with (?:them|those|these|it|that)|(?:the |this |that )(?:list|lot))\b"
)
# Tasks whose answer holds several materials side by side, so that one more may join them.
_SIDE_BY_SIDE = ("compare", "hazard")
_TOO = re.compile(r"\b(?:too|as well|also)\b(?: please)?(?:\W*$|[.,;!])")
_SWAP = re.compile(
    r"(?:\b(?:is|are|'s|'re)|^\W*[a-z ]+) (?:off|gone|sold out|finished)\b|\b(?:trade|swap|switch|change|replace|exchange|rather than|instead|in place of)\b"
)
# "Boss prefers birch to willow", "rosemary for the mint": the one named first in place of the other.
_PREFERRED = re.compile(
    r"\b(?:prefers?|would (?:rather|sooner) have|'d (?:rather|sooner) have|(?:rather|sooner) have) (?:the )?$"
)
_TO = re.compile(r" (?:to|over|than) (?:the |that )?")
_FOR_THE = re.compile(r" (?:in )?(?:for|in place of) (?:the|that) ")
_AND_SO = re.compile(
    r"\W*(?:(?:and|so|no|ok|right|actually|have|use|put|do|make it|give me|go with)\W+)*(?:the |some )?"
)
# What takes the place of a material taken out takes its count too: "give me dill for it", "same four".
_IN_ITS_PLACE = re.compile(
    r"\b(?:for (?:it|them|that)|in (?:its|their|that) (?:place|stead)|instead|there|(?:the )?same (?:\d+|number|amount|count|again))\b"
)
_SAME_NUMBER = re.compile(r"\b(?:the )?same (?:number|amount|count|quantity)\b|\b(?:just )?as many\b")
# Sold out, with nothing named for it.
_OUT = re.compile(r"(?:\b(?:is|are)|'s|'re) (?:all )?(?:off|gone|sold out|finished|over)\b")
# "Make it forty, and ten brunia with them".
_WITH_THEM = re.compile(r"\b(?:along )?with (?:them|those|it)\W*$")
_MAKE_IT = re.compile(r"\bmake (?:it|that|them) (?P<n>\d+)\b")
# A count of each material that is left: "8 flowers each", "ten a go".
_EACH = re.compile(
    r"\b(?P<n>\d+)(?: (?:stems?|flowers?|heads?|blooms?|sprigs?))? (?:each|apiece|a go|(?:in|to|on|for) each|per (?:vase|table|jar|urn|piece|bowl|one))\b"
)
_ALIKE = re.compile(
    r"\b(?:in|worked out|reckoned|done)? ?(?:just |exactly )?the same way\b|\bditto\b|\bsame (?:again|sum|reckoning)\b"
)
# From this score on an ask is more than an edit.
_ASKED = 2.5


def recounted(q: Question, last: Wish) -> tuple[Item, ...] | None:
    """ "The skimmia comes in eights", "rosemary down to 3": the list with that one material's pack or count."""
    named = {m.id for m in q.mentions if not m.negated}
    if last.task not in _COUNTED or len(last.items) < 2 or not named or not named <= set(last.ids):
        return None
    if any(m.bunches or m.negated for m in q.mentions) or asks_anew(q.normal):
        return None
    if _TAKEN_OUT.search(q.normal) or _OUT.search(q.normal):
        return None
    pack, said = q.slots.get("pack_size"), q.slots.get("count") or q.slots.get("stems")
    counts = {m.id: m.stems for m in q.mentions if m.stems}
    if not counts and said is not None and len(named) == 1:
        counts = {next(iter(named)): said.number}
    if pack is None and not counts:
        return None
    return tuple(
        replace(i, pack=pack.number if pack else i.pack, stems=counts.get(i.id, i.stems)) if i.id in named else i
        for i in last.items
    )


def without_packs(slots: Mapping[str, Reading], items: tuple[Item, ...]) -> dict[str, Reading]:
    """Slots less a pack that one of several materials has for its own."""
    pack = slots.get("pack_size")
    own = pack is not None and len(items) > 1 and any(i.pack == pack.number for i in items)
    return {name: reading for name, reading in slots.items() if name != "pack_size" or not own}


def without_counts(slots: Mapping[str, Reading]) -> dict[str, Reading]:
    """Slots less what belongs to one material of the list."""
    return {name: reading for name, reading in slots.items() if name not in _COUNTS}


def as_a_list(items: tuple[Item, ...], wish: Wish) -> tuple[Item, ...]:
    """The one material of an order with the count and the pack that were said apart from it; several stay as they are."""
    if len(items) != 1 or wish.task not in _COUNTED:
        return items
    only, pack = items[0], wish.slot("pack_size")
    said = wish.slot("stems") or wish.slot("count")
    stems = only.stems or (said.number if said is not None else None)
    return (replace(only, stems=stems, pack=only.pack or (pack.number if pack is not None else None)),)


def is_plain(q: Question, before: tuple[Item, ...], after: tuple[str, ...]) -> bool:
    """Is `after` (ids) just the list `before` with what the message takes out gone and what it names instead in it?"""
    said = _TAKEN_OUT.search(q.normal) or _SWAP.search(q.normal) or _in_place_of(q, before)
    asks = q.asks[0].score >= _ASKED and q.asks[0].task not in (*LISTS, "substitute") if q.asks else False
    named, known = {i for m in q.mentions for i in m.ids}, {i.id for i in before}
    gone, new = known & named - set(after), set(after) - known
    if _IN_WITH_THEM.search(q.normal) and len(known) > 1:
        return bool(new) and set(after) == known | named
    return bool(said) and not asks and bool(gone) and new <= named and set(after) == (known - gone) | new


def swapped(
    q: Question, named: tuple[Item, ...], items: tuple[Item, ...], task: Task, *, billed: bool, apiece: bool
) -> tuple[Item, ...] | None:
    """The list `items` after "swap X for Y", "add X", "without X", the message's materials being `named`; None where it
    says no such thing. `billed` says that a material comes with its price, to a bill; `apiece` that the counts are those
    of one piece of several."""
    known = {i.id for i in items}
    taken_out = _TAKEN_OUT.search(q.normal)
    without = {i for m in q.mentions if m.negated for i in m.ids}
    if taken_out and not without:  # "drop the stock, bump roses to ten": what follows the verb, up to the comma
        clause = re.split(r"[,;.]| (?:and|make it|then|use|have|do) ", q.normal[taken_out.end() :])[0]
        end = taken_out.end() + len(clause)
        without = {i for m in q.mentions if taken_out.end() <= m.start < end for i in m.ids}
    gone = tuple(i for i in named if i.id in known and (not without or i.id in without))
    resaid = {i.id: i for i in named if i.id in known and i not in gone}
    new = tuple(i for i in named if i.id not in known)
    kept = tuple(i for i in items if i.id not in {g.id for g in gone})
    strongest = q.asks[0].score if q.asks else 0.0
    pack, each = q.slots.get("pack_size"), _EACH.search(q.normal)
    if pack is not None and len(new) == 1 and task in _COUNTED:
        new = (replace(new[0], pack=pack.number),)
    if each is not None:  # of what comes in, or else of all that is left
        number = float(each["n"])
        new = tuple(i if i.stems or i.bunches else replace(i, stems=number) for i in new)
        kept = kept if new else tuple(replace(i, stems=number, bunches=None) for i in kept)
    if gone and new and (_SWAP.search(q.normal) or _in_place_of(q, items)):
        return kept + _counted_like(new, items, gone)
    if gone and new and without and not taken_out and task in LISTS:  # "no X then, Y"
        return tuple(i for i in items if i.id not in without) + tuple(replace(i, unavailable=False) for i in new)
    if taken_out and gone and not (strongest > _ASKED and q.asks[0].task == "longevity"):
        if len(gone) == 1 and _IN_ITS_PLACE.search(q.normal):
            new = _counted_like(new, items, gone)
        return tuple(resaid.get(i.id, i) for i in kept) + new or None
    if (
        gone
        and not new
        and task in _COUNTED
        and len(gone) < len(items)
        and strongest < _ASKED
        and _OUT.search(q.normal)
    ):
        return kept
    if new and not gone and len(items) > 1 and task in _SIDE_BY_SIDE and _IN_WITH_THEM.search(q.normal):
        return items + new
    if _ALIKE.search(q.normal) and new and not gone:
        return None  # "freesia as well, worked out the same way": an order of its own, with the numbers of the last
    as_many = _SAME_NUMBER.search(q.normal) is not None and _TOO.search(q.normal) is not None
    alone = task == "quantity" and len(items) == 1 and not (apiece or each or billed or _WITH_THEM.search(q.normal))
    if new and not gone and alone and (as_many or all(i.stems or i.bunches for i in new)):
        # "And sixty solidago" after one material ordered by its total: the next line of an order. What goes into each
        # piece, or to several materials told together, joins their list instead.
        return _counted_like(new, items, items) if as_many else new
    if as_many and new and not gone and task in _COUNTED and items:
        return items + _counted_like(new, items, items[-1:])
    if _TOO.search(q.normal) and new and not gone and not q.asks:
        joins = task in LISTS or _INTO_THE_MIX.search(q.normal) is not None
        joins = joins or (task == "hazard" and _ADDED.search(q.normal) is not None)
        return items + new if joins else new
    if _ADDED.search(q.normal) and new and not gone and (strongest < _ASKED or billed):
        return items + new
    if _WITH_THEM.search(q.normal) and new and not gone and strongest < _ASKED and task in _COUNTED:
        again = _MAKE_IT.search(q.normal)
        if again and len(items) == 1:
            items = (replace(items[0], stems=float(again["n"]), bunches=None),)
        return items + new
    return None


def _in_place_of(q: Question, items: tuple[Item, ...]) -> bool:
    """Does the message name a new one and the one of the list whose place it takes, and say no more?"""
    places, known = sorted(q.mentions, key=lambda m: m.start), {i.id for i in items}
    if len(places) != 2 or known & set(places[0].ids) or not known & set(places[1].ids):
        return False
    before, between = q.normal[: places[0].start], q.normal[places[0].end : places[1].start]
    if _PREFERRED.search(before):
        return _TO.fullmatch(between) is not None
    return _AND_SO.fullmatch(before) is not None and _FOR_THE.fullmatch(between) is not None


def _counted_like(new: tuple[Item, ...], items: tuple[Item, ...], old: tuple[Item, ...]) -> tuple[Item, ...]:
    """The new materials, each with the counts of the first of `old` in the list where it has none of its own."""
    first = next(i for i in items if i.id == old[0].id)
    return tuple(
        replace(i, unavailable=False)
        if i.stems or i.bunches
        else replace(i, stems=first.stems, bunches=first.bunches, unavailable=False)
        for i in new
    )
