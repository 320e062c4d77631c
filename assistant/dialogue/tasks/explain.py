"""Why: the craft behind a rule. (Why a figure came out as it did is the conversation's own command.)"""

from __future__ import annotations

from assistant.dialogue.desk import Desk, Draft, not_covered
from assistant.dialogue.general import from_rules
from assistant.dialogue.memory import Wish


def answer(wish: Wish, desk: Desk) -> Draft:
    draft = from_rules(wish, desk, materials=wish.ids)
    if draft is None:
        return not_covered("That is not in the handbook, so I won't guess.")
    for item in wish.items[:2]:
        draft.passages += desk.context.sections(item.id, "conditioning", "life")
    return draft
