"""Orders: letters or the steps' own words in sequence; credit for the pairs that stand the right way round."""

from __future__ import annotations

import re
from itertools import combinations

from rapidfuzz import fuzz

from assistant.drill.item import LETTERS, Item, Order
from assistant.drill.marking.mark import RIGHT, Mark, partly, unread
from assistant.language.names import NameIndex, key_of

_ENOUGH = 2 / 3


def mark_order(item: Item, key: Order, normal: str, names: NameIndex) -> Mark:
    """Marks a sequence such as "b, a, d, c", "badc", "2 1 4 3" or the options' own words."""
    sequence = _letters(normal, len(key.order)) or _words(item, normal, names)
    if sequence is None:
        return unread(f"name each of the {len(key.order)} once, such as {' '.join(LETTERS[: len(key.order)])}")
    if tuple(sequence) == key.order:
        return RIGHT
    place = {option: n for n, option in enumerate(key.order)}
    pairs = list(combinations(sequence, 2))
    share = sum(place[a] < place[b] for a, b in pairs) / len(pairs)
    if share >= _ENOUGH:
        return partly(
            share, f"{sum(place[a] < place[b] for a, b in pairs)} of {len(pairs)} pairs stand the right way round"
        )
    return Mark("wrong", 0.0, "most of them stand the wrong way round")


def _letters(normal: str, count: int) -> list[int] | None:
    allowed = LETTERS[:count]
    text = re.sub(
        r"\b(?:then|and|first|next|finally|last|lastly|order|the|is|it's|to|before|followed by|i think|answer)\b",
        " ",
        normal,
    )
    marks = re.findall(r"[a-z0-9]", text)
    # Letters run together make one "word"; two words or more are the options' own words.
    if len(marks) != count or len(re.findall(r"[a-z]{2,}", text)) > 1:
        return None
    digits = "".join(str(n) for n in range(1, count + 1))
    for alphabet in (allowed, digits):
        if sorted(marks) == sorted(alphabet):
            return [alphabet.index(mark) for mark in marks]
    return None


def _words(item: Item, normal: str, names: NameIndex) -> list[int] | None:
    if all(choice.material for choice in item.choices):
        ids = [choice.material for choice in item.choices]
        seen = [i for m in names.find(normal) for i, material in enumerate(ids) if material in m.ids]
        unique = list(dict.fromkeys(seen))
        return unique if len(unique) == len(ids) else None
    parts = [p for p in re.split(r"[,;>\n]|\.(?= |$)|\bthen\b|->", normal) if p.strip()]
    if len(parts) != len(item.choices):
        return None
    out: list[int] = []
    for part in parts:
        scores = [
            (fuzz.token_set_ratio(key_of(part), key_of(choice.text)), -i)
            for i, choice in enumerate(item.choices)
            if i not in out
        ]
        best = max(scores)
        if best[0] < 60:
            return None
        out.append(-best[1])
    return out
