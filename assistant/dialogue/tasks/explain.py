"""Why: the craft behind a rule. (Why a figure came out as it did is the conversation's own command.)"""

from __future__ import annotations

from assistant.dialogue.desk import Desk, Draft, not_covered
from assistant.dialogue.general import from_rules, nearest
from assistant.dialogue.memory import Wish
from assistant.dialogue.tasks.mixing import mixes_bleach, never_together
from assistant.dialogue.wording import listed


def answer(wish: Wish, desk: Desk) -> Draft:
    if mixes_bleach(wish.text):
        return never_together(wish, desk)  # no search may miss it
    draft = from_rules(wish, desk, materials=wish.ids)
    if draft is None:
        return (
            _of_the_material(wish, desk)
            or nearest(wish, desk)
            or not_covered("That is not in the handbook, so I won't guess.")
        )
    for item in wish.items[:2]:
        draft.passages += desk.context.sections(item.id, "conditioning", "life")
    return draft


def _of_the_material(wish: Wish, desk: Desk) -> Draft | None:
    """No rule gives the reason: what the entry itself says of handling, said as no more than that."""
    passages = [
        p for item in wish.items[:2] for p in desk.context.sections(item.id, "conditioning", "ethylene", "life")
    ]
    if not passages:
        return None
    names = listed([desk.context.plural(item.id) for item in wish.items[:2]])
    return Draft(f"The handbook gives no reason for that. Of {names} it says: {passages[0].text}", passages=passages)
