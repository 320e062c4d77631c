"""How a message in a talk opens, and whether it asks something anew or only changes what was asked."""

from __future__ import annotations

import re

# What opens a follow-up and asks nothing by itself ("and if", "what about").
_OPENING = re.compile(
    r"^\W*(?:(?:and|so|but|ok|okay|then|um|er|oh|well|no|sorry|right|hm+|ah|yes|yeah)[ ,]+)*(?:what if|what about|how about|and if|if|what when)?\b"
)
_ASKS_ANEW = re.compile(
    r"\b(?:how|what|what's|whats|when|which|why|where|who|whether|tell|give|compare|list|explain|state|determine|work out|order|need|shopping)\b|"
    r"^\W*(?:is|are|can|could|will|would|do|does|did|should|shall|may|any)\b|\b(?:can|could|will|would|should) (?:i|we|they|it|you)\b|"
    r"\b(?:is|are|do|does) (?:it|they|these|those|the|that|this)\b|\b(?:price|cost|instead|swap|substitute|safe|poison\w*|toxic|store|cooler|fridge|condition\w*|season|life|example)\b"
)


def asks_anew(text: str) -> bool:
    """Does the message ask something of its own, its opening ("and if", "what about") left out?"""
    return _ASKS_ANEW.search(_OPENING.sub("", text)) is not None


def holds_an_ask(text: str) -> bool:
    """The same of the whole message, opening and all."""
    return _ASKS_ANEW.search(text) is not None
