"""The same questions, typed worse: generated from the set with a seed, judged by the same expectations."""

from __future__ import annotations

import random
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any

from num2words import num2words

from evals.run import Asked
from evals.sets import Conversation

SEED = 7
SAMPLE = 60
_LONG_WORD = re.compile(r"\b[A-Za-z]{5,}\b")
_NEIGHBOURS = {
    "a": "qsz", "b": "vgn", "c": "xdv", "d": "sfe", "e": "wrd", "f": "dgr", "g": "fht", "h": "gjy", "i": "uok",
    "j": "hku", "k": "jli", "l": "kop", "m": "nj", "n": "bmh", "o": "ipl", "p": "ol", "q": "wa", "r": "etf",
    "s": "adw", "t": "ryg", "u": "yij", "v": "cbf", "w": "qes", "x": "zcs", "y": "tuh", "z": "xas",
}  # fmt: skip
# Ways of writing one unit; any member of a row stands for any other. All of a row mean exactly the same.
_UNITS = (
    ("litres", "liters", "l", "ltr"),
    ("litre", "liter"),
    ("ml", "millilitres", "mL"),
    ("cm", "centimetres", "centimeters"),
    ("°C", "degrees C", "deg C", "celsius", "C"),
    ("°F", "degrees F", "fahrenheit", "F"),
    ("inches", "in.", "inch"),
    ("days", "d"),
    ("g", "grams", "gr"),
    ("kg", "kilos"),
    ("%", " percent", " per cent"),
    ("ppm", "mg/l", "parts per million"),
)
_UNIT_OF = {form.strip().lower(): row for row in _UNITS for form in row}
_AFTER_NUMBER = re.compile(
    r"(?<=\d)(\s?)(" + "|".join(sorted(map(re.escape, _UNIT_OF), key=len, reverse=True)) + r")(?![\w/°])", re.IGNORECASE
)

# What dictation writes for a word it heard right: the same sound, another spelling. Numbers and "for" are left out:
# "two" heard as "to" is lost on any reader.
_HEARD_AS = {
    "stock": "stalk", "flower": "flour", "flowers": "flours", "need": "knead", "which": "witch", "would": "wood",
    "week": "weak", "their": "there", "they're": "their", "lily": "lilly", "thyme": "time", "buy": "by",
    "whole": "hole",
    "leaves": "leafs", "peonies": "peony's", "roses": "rose's", "stems": "stem's", "through": "threw", "where": "wear",
    "whether": "weather", "gerbera": "gerber a", "carnations": "car nations", "right": "write", "weigh": "way",
    "bunches": "bunch's", "our": "are", "much": "mulch",
}  # fmt: skip

# Words that hurried fingers change places of; a name, a number and what belongs to it stay together.
_MOVABLE = frozenset(
    """
    how many much long do does did i we you they it is are was will would can could should shall need
    have has been get the a my our these those them what when which who why please just really still
    also now then so and often
    """.split()
)

Change = Callable[[str, random.Random], str]


def _in_one_word(text: str, draw: random.Random, change: Callable[[str, int], str]) -> str:
    """Change one inner place of one word of five letters or more; the first letter stays, as it does under a thumb."""
    words = list(_LONG_WORD.finditer(text))
    if not words:
        return text
    word = draw.choice(words)
    place = draw.randrange(1, len(word[0]) - 1)
    return text[: word.start()] + change(word[0], place) + text[word.end() :]


def typo(text: str, draw: random.Random) -> str:
    """One letter missing, doubled, or its neighbour on the keyboard."""
    how = draw.choice(("drop", "double", "neighbour"))

    def change(word: str, at: int) -> str:
        if how == "drop":
            return word[:at] + word[at + 1 :]
        if how == "double":
            return word[:at] + word[at] + word[at:]
        return word[:at] + draw.choice(_NEIGHBOURS[word[at].lower()]) + word[at + 1 :]

    return _in_one_word(text, draw, change)


def swapped_letters(text: str, draw: random.Random) -> str:
    """Two neighbouring letters the wrong way round."""
    return _in_one_word(text, draw, lambda word, at: word[:at] + word[at + 1] + word[at] + word[at + 2 :])


def no_articles(text: str, _: random.Random) -> str:
    return re.sub(r"\b(?:an?|the)\s+(?=\w)", "", text, flags=re.IGNORECASE)


def other_units(text: str, draw: random.Random) -> str:
    """Every unit after a number written in another way that means the same."""

    def other(match: re.Match[str]) -> str:
        space, unit = match.groups()
        row = _UNIT_OF[unit.lower()]
        forms = [form for form in row if form.strip().lower() != unit.lower()]
        form = draw.choice(forms)
        # Words need the space that signs can do without.
        return (space or (" " if len(form.strip()) > 2 else "")) + form.strip() if form.strip() else match[0]

    return _AFTER_NUMBER.sub(other, text)


def lower(text: str, _: random.Random) -> str:
    return text.lower()


def no_punctuation(text: str, _: random.Random) -> str:
    """Without commas, stops, question marks and apostrophes; those inside numbers and units stay."""
    return re.sub(r"(?<!\d)[.,](?!\d)|(?<=\d)[.,](?!\d)|[?!;:]|(?<=\w)['’](?=\w)", "", text)


def swapped_words(text: str, draw: random.Random) -> str:
    """Two neighbouring small words the wrong way round."""
    words = text.split(" ")
    places = [i for i in range(len(words) - 1) if all(word.lower() in _MOVABLE for word in words[i : i + 2])]
    if not places:
        return text
    at = draw.choice(places)
    words[at], words[at + 1] = words[at + 1], words[at]
    return " ".join(words)


def dictated(text: str, draw: random.Random) -> str:
    """As dictation writes it: no capitals, no marks, numbers in words, and one word misheard as its homophone."""
    spoken = re.sub(
        r"(?<![\w.,:/-])\d+(?:\.\d+)?(?![\w,:/-]|\.\d)", lambda m: num2words(m[0]).replace("-", " "), text.lower()
    )
    words = no_punctuation(spoken, draw).split(" ")
    heard = [i for i, word in enumerate(words) if word in _HEARD_AS]
    if heard:
        at = draw.choice(heard)
        words[at] = _HEARD_AS[words[at]]
    return " ".join(words)


CHANGES: dict[str, Change] = {
    "typo": typo,
    "swapped letters": swapped_letters,
    "no articles": no_articles,
    "other units": other_units,
    "lower case": lower,
    "no punctuation": no_punctuation,
    "swapped words": swapped_words,
    "dictated": dictated,
}


def variants(conversations: Sequence[Conversation], sample: int = SAMPLE) -> list[Conversation]:
    """For each kind of change up to `sample` conversations that it changes, with every turn changed.

    Theme is the kind of change; the id keeps the original's after a colon.
    """
    out = []
    for kind, change in CHANGES.items():
        changed = []
        for conversation in conversations:
            draw = random.Random(f"{SEED}:{kind}:{conversation.id}")
            turns = tuple(t.model_copy(update={"ask": change(t.ask, draw)}) for t in conversation.turns)
            if any(new.ask != old.ask for new, old in zip(turns, conversation.turns, strict=True)):
                changed.append(
                    conversation.model_copy(update={"id": f"{kind}:{conversation.id}", "theme": kind, "turns": turns})
                )
        chosen = random.Random(f"{SEED}:{kind}").sample(range(len(changed)), min(sample, len(changed)))
        out += [changed[i] for i in sorted(chosen)]
    return out


@dataclass(frozen=True, slots=True)
class Drop:
    """One kind of change: how many turns, and the shares all right and confidently wrong before and after it."""

    kind: str
    turns: int
    clean: float
    changed: float
    wrong_clean: float
    wrong_changed: float

    def to_json(self) -> dict[str, Any]:
        return {
            "turns": self.turns,
            "clean": round(self.clean, 4),
            "changed": round(self.changed, 4),
            "confidently wrong, clean": round(self.wrong_clean, 4),
            "confidently wrong, changed": round(self.wrong_changed, 4),
        }


def drops(clean: Sequence[Asked], changed: Sequence[Asked]) -> list[Drop]:
    """The changed turns against the same turns as written."""
    before = {(a.conversation, a.number): a for a in clean}
    out = []
    for kind in CHANGES:
        after = [a for a in changed if a.theme == kind]
        pairs = [(before[a.conversation.partition(":")[2], a.number], a) for a in after]
        if not pairs:
            continue
        count = len(pairs)
        out.append(
            Drop(
                kind,
                count,
                sum(b.verdict.right for b, _ in pairs) / count,
                sum(a.verdict.right for _, a in pairs) / count,
                sum(b.verdict.confidently_wrong for b, _ in pairs) / count,
                sum(a.verdict.confidently_wrong for _, a in pairs) / count,
            )
        )
    return out
