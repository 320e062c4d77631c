"""What an explanation must contain: the clauses of a reason, and the words that carry each."""

from __future__ import annotations

import re
from functools import lru_cache

_WORD = re.compile(r"[a-z0-9]+(?:'[a-z]+)?")
_STOP_WORDS = """
a an the and or but if so as at by for from in into of off on onto out over to up with within without than then that
this these those there their they them it its he she his her you your we our is are was were be been being am do
does did done has have had having can could may might must shall should will would not no nor never only just very
much more most less least few many some any all each every both either own other another same such what which who
whom whose when where why how again also even still yet too about after before until while because since through
between during under above below against once here one two make makes making made get gets got give gives giving
keep keeps kept keeping go goes going come comes let lets put puts take takes taken taking need needs want wants way
well good thing things like need's use uses used using enough ones cannot can't don't doesn't won't isn't aren't
it's that's they're
"""
_STOP = frozenset(_STOP_WORDS.split())
# Words so common in the trade that sharing them says nothing.
_TRADE = frozenset({"flower", "stem", "water", "bloom", "vase", "plant", "leaf", "leave", "petal", "bud"})
# One idea, many words. The first of each line stands for all of them.
_THESAURUS = """
bacteria bacterium germ microbe bug bacterial microorganism microbial
clog block plug stop-up bung jam close obstruct blockage clogging choke
ethylene gas ripening-gas
wilt droop flop limp sag hang
rot decay decompose spoil rotten putrefy mush
mould mold fungus botrytis fungal spore mildew
slow slowly delay retard
fast quick rapid quickly rapidly speed faster quicker
die death dead perish
age ageing aging old older
drink uptake absorb suck take-up
thirsty thirst
dry desiccate dehydrate drying parch dryness dried
cold chill cool chilled cooling coldness chilly
warm heat hot warmth warmer hotter heated
damp moist humid wet moisture humidity dampness wetness
sugar carbohydrate food feed nutrient
break snap collapse shatter broken fracture
fall drop shed fell
open opening bloom-out
harm damage hurt injure spoilt injury ruin
light sun sunlight sunshine bright lit
cut trim recut snip
start begin initiate
stay remain
sell sale sold
cost price money expense expensive pay
customer client buyer guest
clean wash rinse scrub
bend bent curve crooked buckle
weak weaken feeble soft floppy weakness
grow growth grew growing
colour color fade hue
air bubble airlock embolism
lose loss lost losing
fill full filled
heavy weight weigh
poison toxic poisonous
animal pet cat dog
burn fire flame alight ignite
dirt dirty muck grime
hole gap space
speak tell say
help aid
carry bring transport supply
spread pass
child children kid
life live living alive lives
hide conceal cover
""".strip().splitlines()
_SUFFIXES = ("ation", "ingly", "edly", "iness", "ness", "ment", "ing", "ied", "er", "est", "ed", "ly", "y")


@lru_cache(maxsize=8192)
def stem(word: str) -> str:
    """A crude common root: "clogging", "clogs" and "clogged" meet; meaning comes from the thesaurus."""
    word = word.replace("'s", "").replace("'", "")
    if word.endswith("s") and not word.endswith("ss") and len(word) > 3:
        word = word[:-1]
    for suffix in _SUFFIXES:
        if word.endswith(suffix) and len(word) - len(suffix) >= 3:
            word = word[: -len(suffix)]
            break
    if len(word) > 3 and word[-1] == word[-2] and word[-1] not in "sl":
        word = word[:-1]
    return word[:-1] if word[-1] in "ei" and len(word) > 3 else word


def _table() -> dict[str, str]:
    table: dict[str, str] = {}
    for line in _THESAURUS:
        first, *rest = line.split()
        for word in (first, *rest):
            table.setdefault(stem(word), stem(first))
    return table


_SAME = _table()


def idea(word: str) -> str:
    """The root that stands for a word and its synonyms."""
    root = "flower" if word.startswith("flower") else stem(word)
    return _SAME.get(root, root)


def ideas_in_order(text: str) -> list[tuple[str, int]]:
    """The telling words of a text as ideas, each with its place among all words."""
    words = _WORD.findall(text.lower().replace("’", "'"))
    return [(idea(word), n) for n, word in enumerate(words) if word not in _STOP and len(word) > 1]


def ideas(text: str) -> frozenset[str]:
    return frozenset(root for root, _ in ideas_in_order(text))


def content(text: str) -> frozenset[str]:
    """The ideas of a text without those that any text of the trade has."""
    return ideas(text) - frozenset(idea(word) for word in _TRADE)


def points_of(reason: str, given: str = "") -> tuple[str, ...]:
    """The clauses of a reason that say something of their own, beyond what the question gives.

    A clause with a single telling word joins its neighbour: one word is too little to ask for.
    """
    known = content(given)
    out: list[str] = []
    waiting = ""
    for clause in re.split(r"[;:,.]\s*|\s+(?:and|but|so that|because)\s+", reason):
        joined = f"{waiting} and {clause}" if waiting else clause.strip()
        if len(content(joined) - known) >= 2:
            out.append(joined)
            waiting = ""
        elif out:
            out[-1] = f"{out[-1]}, {joined}" if joined else out[-1]
            waiting = ""
        else:
            waiting = joined
    if not out and content(reason) - known:
        out.append(reason.strip(" ."))
    return tuple(out)
