"""Is this message about the work at all? Deciding to decline, from words alone."""

from __future__ import annotations

import re

from assistant.dialogue.memory import Wish
from assistant.language.question import Question

# Names that are also food, people or everyday things: alone they don't make a message about flowers.
_EVERYDAY = frozenset(
    ["stock", "stocks", "rose", "iris", "mint", "rosemary", "oats", "wheat", "barley", "dill", "olive", "bay", "lavender", "cotton", "sage", "heather", "holly", "ivy", "lily", "daisy", "box", "palm", "pine", "oak", "cedar", "fir", "moss", "cherry", "blossom", "apple", "pepper", "ginger", "lotus", "poppy", "flax", "grass"]
)
# Subjects beside the trade's: gardens, kitchens, meanings, stories. They decline even a message that names a flower.
_OTHER_SUBJECT = re.compile(
    r"\bprun(?:e|es|ed|ing)\b|\bre-?pot\w*|\bfertili[sz]\w*|\bslugs?\b|\baphids?\b|\bgreenfly\b|\bmulch\w*|\bgerminat\w*|\bpropagat\w*|\btransplant(?:ing|ed)?\b|\bsow(?:ing|n)?\b|"
    r"\bfrom (?:seed|bulbs?|cuttings?)\b|\bseedlings?\b|\b(?:when|where|how|can i|should i|want|going) (?:do i |should i |can i |we |to )*plant\b|\bplant(?:ing)? (?:my|the|all|some|a|more|out|bulbs|them)\b|"
    r"\bsoil\b|\bcompost for\b|\b(?:how|when|where|can|to|help) (?:do |to |can |i |you |we |my )*grow\b|\bgrow(?:ing)? (?:my|our|your|own|indoors|outdoors)\b|\b(?:bush|hedge|shrub|lawn|flower ?bed|allotment)(?:es|s)?\b|"
    r"\bhouse ?plants?\b|\bpot(?:ted)? plants?\b|\bwon'?t flower\b|\bwont flower\b|\bdeadhead\w*|\bover-?winter\w*|"
    r"\bcook(?:s|ed|ing)?\b|\bbak(?:e|ed|ing)\b(?! soda)|\bin (?:a|my|the) recipe\b.*\b(?:cook|eat|dish|cup)|\btastes?\b|\bperfumes?\b|\bpoems?\b|\bsongs?\b|\bsing\b|\bjokes?\b|\btranslat\w*|\bhistory of\b|"
    r"\binvent\w*|\bsymboli\w*|\b(?:bad|good) luck\b|\bsuperstiti\w*|\bmood\b|\bhoroscope\b|\bzodiac\b|\bbirth ?flower\b|\bnational flower\b|\btattoo\w*|\bmania\b|\bpaint(?:ing)? (?:a|my|the)\b|\bdraw (?:a|me)\b|"
    r"\b(?:dog|cat|pet|baby|puppy) food\b|\b(?:is|are|looks?) ill\b|\bpepper\b.*\bsalt\b|\bsalt\b.*\bpepper\b|\bthe wait\b|\bwait (?:time )?at\b|\bwait times?\b|\bshopping list\b|\bto-?do list\b|"
    r"\b(?:humidity|temperature|forecast|weather)\b[^.?!]*\b(?:today|tomorrow|tonight|outside|will be)\b|\b(?:weather|forecast)\b|"
    r"\bcarpet\b|\bstains?\b|\border me\b|\bfall in love\b|\bapologi[sz]e\b|\b(?:wife|girlfriend|boyfriend|husband|mum|mother|anniversary|valentine'?s?) (?:want|like|love|gift|present)\w*"
)
_AGENT = re.compile(
    r"\b(?:food|feed|preservative|bleach|chlorine|sanitis\w*|sanitiz\w*|disinfect\w*|sugar|sucrose|acid|citric|lemon|vinegar|glycerin\w*|ppm|solution|bottle|dose|strength)\b"
)
_MEANING = re.compile(r"\bmeanings? of\b|\bwhat (?:do|does) [^.?!]*\b(?:mean|stand for|represent)\b")
_NEEDS_MATERIAL = frozenset(
    {
        "longevity",
        "storage",
        "season",
        "describe",
        "quantity",
        "compare",
        "substitute",
        "cost",
        "water",
        "hazard",
        "refresh",
    }
)


def is_foreign(q: Question, in_conversation: bool) -> bool:
    """True when the message is about something else and no answer should be tried."""
    if _OTHER_SUBJECT.search(q.normal):
        return True
    if q.mentions and _MEANING.search(q.normal):
        return True
    if q.mentions:
        plain = [m for m in q.mentions if m.said not in _EVERYDAY]
        strange = len(q.foreign_words) + len(q.unknown)
        return not plain and q.domain_words == 0 and strange >= 2 and "audience" not in q.slots
    if q.foreign_words and q.domain_words < len(q.foreign_words) + len(q.unknown) and not _is_bare_follow_up(q):
        return True
    if in_conversation and (q.corrections or q.refers_back) and not q.foreign_words and (q.slots or q.asks):
        return False
    if (
        q.asks
        and q.domain_words == 0
        and q.unknown
        and not any(s in q.slots for s in ("kinds", "roles", "support", "vessel"))
    ):
        return True
    if (
        not q.asks
        and q.domain_words == 0
        and not in_conversation
        and not q.mentions
        and not q.slots.keys() - {"until_date", "since_date", "start_date", "month", "audience", "count"}
    ):
        return True
    return not q.asks and not q.slots and q.domain_words <= 1 and bool(q.unknown or q.foreign_words)


def _is_bare_follow_up(q: Question) -> bool:
    return q.refers_back and not q.unknown and len(q.foreign_words) <= 1


def needs_subject(wish: Wish, q: Question) -> bool:
    """The ask needs a material, the message names something, and that something is not in the handbook."""
    if wish.items:
        return False
    if wish.task == "mixing":
        return bool(q.unknown or q.foreign_words) and not _AGENT.search(q.normal)
    if wish.task not in _NEEDS_MATERIAL:
        return False
    if q.foreign_words and q.domain_words == 0:
        return True
    if wish.task in ("water", "refresh", "hazard", "quantity", "compare") and not q.near and not _names_a_stranger(q):
        return False
    if (
        wish.task in ("compare", "substitute")
        and any(s in q.slots for s in ("kinds", "roles", "colours"))
        and not q.near
    ):
        return False
    if wish.task in ("storage", "describe") and q.domain_words >= 2 and not q.near:
        return False
    if wish.task == "describe" and q.domain_words == 0 and not wish.refers_back:
        return True
    return bool(q.unknown or q.foreign_words or q.near)


def _names_a_stranger(q: Question) -> bool:
    """Does an unknown word stand where a material would ("bunches of edelweiss", "oleander, is it safe")?"""
    return any(
        re.search(
            rf"\b(?:of|for|are|is|do|does|will|some|about) (?:the |my |our |fresh |white |red )?{re.escape(word)}\b|^\W*{re.escape(word)}s?\b",
            q.normal,
        )
        and word not in _NEVER_MATERIALS
        for word in (*q.unknown, *q.foreign_words)
    )


_NEVER_MATERIALS = frozenset({"someone", "something", "display", "job", "event", "shop", "wedding"})
