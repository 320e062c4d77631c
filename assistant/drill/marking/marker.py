"""The door to marking: `Marker.mark(item, said)`."""

from __future__ import annotations

import re

from assistant.drill.item import LETTERS, Botanical, Item, Name, Number, OneOf, Order, Points
from assistant.drill.marking.choices import read_choice
from assistant.drill.marking.explanations import mark_points
from assistant.drill.marking.mark import RIGHT, Encoder, Mark, unread
from assistant.drill.marking.naming import mark_botanical, mark_name
from assistant.drill.marking.numbers import mark_number
from assistant.drill.marking.orders import mark_order
from assistant.language.cleaning import normalise, safe_text
from assistant.language.names import NameIndex

_DONT_KNOW = re.compile(
    r"^\W*(?:(?:sorry|um+|er+|hm+|oh|well|honestly|ok|no)[ ,.!]+)*(?:i (?:really |just |honestly )?(?:don'?t|do "
    r"not|dont) (?:know|remember|recall|have a clue)|(?:i'?ve |i have )?(?:no|not a) (?:idea|clue)|dunno|"
    r"don'?t know|do not know|idk|dk|not sure|i'?m not sure|no clue|pass|skip|next|\?+|can'?t (?:say|remember|"
    r"recall)|i forgot|forgot(?:ten)?|i give up|give up|beats me|haven'?t a clue|search me)"
    r"(?:[ ,.!]+(?:that|this|it|one|this one|that one|sorry|at all|yet|either|really|mate))*\W*$"
)


def is_dont_know(normal: str) -> bool:
    return not normal.strip(" .!-") or bool(_DONT_KNOW.match(normal))


class Marker:
    """Marks answers against one handbook's names. Keeps nothing between calls.

    Args:
        names: the same matcher the chat uses.
        encoder: a sentence encoder for explanations; without one they are marked by their words alone.
    """

    def __init__(self, names: NameIndex, encoder: Encoder | None = None) -> None:
        self.names = names
        self.encoder = encoder

    def mark(self, item: Item, said: str) -> Mark:
        """What the answer is worth.

        Raises:
            TooLong: for more text than anyone answers with; see `assistant.language.cleaning`.
        """
        # The chat spells out shorthand ("y" is "why" there); to a question, these two letters are an answer.
        normal = {"y": "yes", "n": "no"}.get(safe_text(said).lower().strip(" .!"), "") or normalise(said)
        if is_dont_know(normal):
            return Mark("unknown", 0.0, "no matter; here it is")
        match item.key:
            case OneOf(index):
                chosen = read_choice(item, normal, self.names)
                if isinstance(chosen, str):
                    return unread(chosen)
                return RIGHT if chosen == index else Mark("wrong", 0.0, f"you chose {LETTERS[chosen]}")
            case Number():
                return mark_number(item.key, normal)
            case Name():
                return mark_name(item.key, normal, self.names)
            case Botanical():
                return mark_botanical(item.key, normal)
            case Points():
                return mark_points(item.key, normal, self.encoder)
            case Order():
                return mark_order(item, item.key, normal, self.names)
