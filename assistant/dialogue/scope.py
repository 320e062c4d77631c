"""Is this message about the work at all? Deciding to decline, from words alone."""

from __future__ import annotations

from assistant.dialogue.memory import Wish
from assistant.language.question import Question

# Names that are also food, people or everyday things: alone they don't make a message about flowers.
_EVERYDAY = frozenset(
    """
    stock stocks rose iris mint rosemary oats wheat barley dill olive bay lavender cotton sage heather holly ivy lily daisy
    box palm pine oak cedar fir moss cherry blossom apple pepper ginger lotus poppy flax grass
    """.split()
)
_NEEDS_MATERIAL = frozenset({"longevity", "storage", "season", "describe", "quantity", "compare", "substitute", "cost", "water", "hazard", "refresh"})


def is_foreign(q: Question, in_conversation: bool) -> bool:
    """True when the message is about something else and no answer should be tried."""
    if q.mentions:
        plain = [m for m in q.mentions if m.said not in _EVERYDAY]
        strange = len(q.foreign_words) + len(q.unknown)
        return not plain and q.domain_words == 0 and strange >= 2 and "audience" not in q.slots
    if q.foreign_words and q.domain_words < len(q.foreign_words) + len(q.unknown) and not _is_bare_follow_up(q):
        return True
    if q.asks and q.domain_words == 0 and q.unknown and not any(s in q.slots for s in ("colours", "kinds", "roles", "support", "vessel")):
        return True
    return not q.asks and not q.slots and q.domain_words <= 1 and bool(q.unknown or q.foreign_words)


def _is_bare_follow_up(q: Question) -> bool:
    return q.refers_back and not q.unknown and len(q.foreign_words) <= 1


def needs_subject(wish: Wish, q: Question) -> bool:
    """The ask needs a material, the message names something, and that something is not in the handbook."""
    if wish.task not in _NEEDS_MATERIAL or wish.items:
        return False
    if wish.task in ("water", "refresh", "hazard", "quantity") and not q.near:
        return False
    if wish.task in ("compare", "substitute") and any(s in q.slots for s in ("kinds", "roles", "colours")) and not q.near:
        return False
    if wish.task in ("storage", "describe") and q.domain_words >= 2 and not q.near:
        return False
    return bool(q.unknown or q.foreign_words or q.near)
