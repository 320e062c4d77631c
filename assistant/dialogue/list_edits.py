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
    r"\b(?:without|drop|remove|leave out|minus|skip|lose|take out|forget|ditch|scrap|bin|"
    r"(?:take|leave|knock|strike|cut|keep) (?=(?:the |those |that )?[a-z' -]+ (?:out|off)\b))"
)
_ADDED = re.compile(r"\b(?:add|plus|include|also (?:have|use|add|want|need|put)|chuck|throw|bung|toss|pop)\b")
_TOO = re.compile(r"\b(?:too|as well|also)\b(?: please)?(?:\W*$|[.,;!])")
_SWAP = re.compile(r"\b(?:swap|switch|change|replace|exchange|rather than|instead of|in place of)\b")
# From this score on an ask is more than an edit.
_ASKED = 2.5


def recounted(q: Question, last: Wish) -> tuple[Item, ...] | None:
    """ "The skimmia comes in eights", "rosemary down to 3": the list with that one material's pack or count."""
    named = {m.id for m in q.mentions if not m.negated}
    if last.task not in _COUNTED or len(last.items) < 2 or not named or not named <= set(last.ids):
        return None
    if any(m.bunches or m.negated for m in q.mentions) or asks_anew(q.normal) or _TAKEN_OUT.search(q.normal):
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


def without_counts(slots: Mapping[str, Reading]) -> dict[str, Reading]:
    """Slots less what belongs to one material of the list."""
    return {name: reading for name, reading in slots.items() if name not in _COUNTS}


def swapped(
    q: Question, named: tuple[Item, ...], items: tuple[Item, ...], task: Task, *, billed: bool
) -> tuple[Item, ...] | None:
    """The list `items` after "swap X for Y", "add X", "without X", the message's materials being `named`; None where it
    says no such thing. `billed` says that a material comes with its price, to a bill."""
    known = {i.id for i in items}
    taken_out = _TAKEN_OUT.search(q.normal)
    without = {i for m in q.mentions if m.negated for i in m.ids}
    if taken_out and not without:  # "drop the stock, bump roses to ten": what follows the verb, up to the comma
        clause = re.split(r"[,;.]| and ", q.normal[taken_out.end() :])[0]
        end = taken_out.end() + len(clause)
        without = {i for m in q.mentions if taken_out.end() <= m.start < end for i in m.ids}
    gone = tuple(i for i in named if i.id in known and (not without or i.id in without))
    resaid = {i.id: i for i in named if i.id in known and i not in gone}
    new = tuple(i for i in named if i.id not in known)
    kept = tuple(i for i in items if i.id not in {g.id for g in gone})
    strongest = q.asks[0].score if q.asks else 0.0
    if _SWAP.search(q.normal) and gone and new:
        old = next(i for i in items if i.id == gone[0].id)
        return kept + tuple(
            replace(i, stems=i.stems or old.stems, bunches=i.bunches or old.bunches, unavailable=False) for i in new
        )
    if gone and new and without and not taken_out and task in LISTS:  # "no X then, Y"
        return tuple(i for i in items if i.id not in without) + tuple(replace(i, unavailable=False) for i in new)
    if taken_out and gone and not (strongest > _ASKED and q.asks[0].task == "longevity"):
        return tuple(resaid.get(i.id, i) for i in kept) + new or None
    if _TOO.search(q.normal) and new and not gone and not q.asks:
        return items + new if task in LISTS else new
    if _ADDED.search(q.normal) and new and not gone and (strongest < _ASKED or billed):
        return items + new
    return None
