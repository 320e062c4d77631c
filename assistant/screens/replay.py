"""Bringing a saved conversation's memory back by going through its turns again."""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

from assistant.screens.errands import STOCK_TASK
from assistant.screens.records import Record

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.dialogue.conversation import Conversation

# What was said longer ago is shown but no longer remembered; nobody says "and at 28?" two hundred turns later.
MOST_TURNS = 200


def replayed(context: Context, records: Sequence[Record]) -> Conversation:
    """A conversation that has heard the last turns of `records`, each on its own date."""
    from assistant.dialogue.conversation import Conversation

    days = [context.today]
    then = replace(context, clock=lambda: days[0])
    conversation = Conversation(then)
    for record in records[-MOST_TURNS:]:
        if record.answer.task == STOCK_TASK:
            continue  # the stock was told then, and the conversation was not
        days[0] = _day(record.day, context.today)
        # A turn that fails today was still answered then; what follows it must not be lost for that.
        with suppress(Exception):
            conversation.turn(record.text)
            for slot, reading in record.changes:
                conversation.revise(slot, reading)
    conversation.context = context
    return conversation


def _day(text: str, otherwise: date) -> date:
    try:
        return date.fromisoformat(text)
    except ValueError:
        return otherwise
