"""Is this message about the work at all, and does it name something the handbook lacks?"""

from __future__ import annotations

import re
from typing import Protocol

from assistant.dialogue.memory import Wish
from assistant.language.features import EVERYDAY_NAMES
from assistant.language.ordinary import is_ordinary_word
from assistant.language.question import Question
from assistant.language.reader import SURE
from assistant.language.slips import rank_of
from assistant.language.strangers import PHRASES, PLANTS
from assistant.language.words import PARSED_WORDS

# Words of general English commoner than this are no names of plants.
_RARE = 20_000
# Subjects beside the trade's: gardens, kitchens, meanings, stories. They decline even a message that names a flower.
_OTHER_SUBJECT = re.compile(
    r"\binjections?\b|\bvaccin\w+|\bprun(?:e|es|ed|ing)\b|\bre-?pot\w*|\bfertili[sz]\w*|\bslugs?\b|\baphids?\b|\bgreenfly\b|\bmulch\w*|\bgerminat\w*|\bpropagat\w*|\btransplant(?:ing|ed)?\b|\bsow(?:ing|n)?\b|"
    r"\bfrom (?:seed|bulbs?|cuttings?)\b|\bseedlings?\b|\b(?:when|where|how|can i|should i|want|going) (?:do i |should i |can i |we |to )*plant\b|\bplant(?:ing)? (?:my|the|all|some|a|more|out|bulbs|them)\b|"
    r"\bsoil\b|\bcompost for\b|\b(?:how|when|where|can|to|help) (?:do |to |can |i |you |we |my )*grow\b|\bgrow(?:ing)? (?:my|our|your|own|indoors|outdoors)\b|\b(?:bush|hedge|shrub|lawn|flower ?bed|allotment)(?:es|s)?\b|"
    r"\b(?:my|our|the|a|her|his|their) (?:front |back |side |sunny |shady )?(?:border|fence|shed|garden|patio|back ?yard)\b|\bin(?:to)? the ground\b|\b(?:cut|cutting) back\b|\b(?:size|bigger|new|its|out of its) pot\b|\bhaircut\b|"
    r"\bverses?\b|\b(?:the|in|into) (?:japanese|french|german|spanish|italian|chinese|dutch) (?:word |name )?for\b|\b(?:ring|phone|call) (?:up )?(?:the|my|our) (?:wholesaler|supplier|shop)\b|"
    r"\btubers?\b|\bcorms?\b|\b(?:my|our|a|the) [a-z]+ plant (?:has|is|keeps|looks|won'?t)\b|\bwater (?:the|my) pot\b|\bhouse ?plants?\b|\bpot(?:ted)? plants?\b|\bwon'?t flower\b|\bwont flower\b|\bdeadhead\w*|\bover-?winter\w*|"
    r"(?<!like )\bcook(?:s|ed|ing)?\b(?! spaghetti)|(?<!be )(?<!'s )(?<!its )(?<!is )(?<!foyers )(?<!room )(?<!here )\bbak(?:e|ed|ing)\b(?! soda| hot| in (?:here|there)| sun| day)|\bin (?:a|my|the) recipe\b.*\b(?:cook|eat|dish|cup)|\btastes?\b|\b(?:make|making|buy|wear|wearing|sell|bottle of) (?:a |some |my |her )?perfumes?\b|\bpoems?\b|\bsongs?\b|\bsing\b|\bjokes?\b|\btranslat\w*|\bhistory of\b|"
    r"\b(?:swimming )?pool (?:chlorine|water|tablets?)\b|\b(?:tomato|rose bush|lawn|orchid plant) (?:feed|food)\b|\bcordials?\b|\bmarmalade\b|\bmeringues?\b|\binvent\w*|\bsymboli\w*|\b(?:bad|good) luck\b|\bsuperstiti\w*|\bmood\b|\bhoroscope\b|\bzodiac\b|\bbirth ?flower\b|\bnational flower\b|\btattoo\w*|\bmania\b|\bpaint(?:ing)? (?:a|my|the)\b|\bdraw (?:a|me)\b(?! (?:up|a list|list|bunch))|"
    r"\b(?:dog|cat|pet|baby|puppy) food\b|\b(?:is|are|looks?) ill\b|\bpepper\b.*\bsalt\b|\bsalt\b.*\bpepper\b|\bthe wait\b|\bwait (?:time )?at\b|\bwait times?\b|\bto-?do list\b|"
    r"\b(?:humidity|temperature|forecast|weather)\b[^.?!]*\b(?:today|tomorrow|tonight|outside|will be)\b|\bweather\b|(?<!degrees )(?<!°c )\bforecast\b(?! (?:is |of |at |for )?\d)|\b(?:going to|gonna|will it|is it) (?:be )?(?:rain\w*|wet|sunny|snow\w*)\b|\b(?:place|send|put in|submit) (?:an?|the|my|our) order\b|\b(?:gets?|getting) rid of (?:it|them|moss|weeds)\b|\bgrass at home\b|\b(?:scent|perfume|cologne) (?:to|i can|for me to) wear\b|\bhow (?:do|would) (?:you|i|we|they) say\b[^.?!]*\bin (?:japanese|french|german|spanish|italian|chinese|dutch|welsh)\b|\bmakes? (?:people|you|me|us|them) feel\b|\bwhat (?:feeling|emotion|mood)s?\b|\bwho (?:first |originally )?(?:came up with|thought of|started|invented)\b(?! (?:these|those|the|your) (?:figures|numbers|values))|\b(?:flower|florist) shops? (?:near|round|around) (?:me|here)\b|\bflorists? near\b|"
    r"\b(?:sort|kind|rate|rates) of pay\b|\bpay (?:rise|packet|slip|day)s?\b|\bpayslips?\b|\bsalar(?:y|ies)\b|\bearn(?:s|ing)? (?:a|an|per|each|in a) (?:year|hour|week|month)\b|\bdo (?:they|florists|shops) pay (?:you|me|people|staff|trainees)\b|\b(?:florists?|trainees?|apprentices?) (?:earn|get paid|make a living)\b|\bwhat(?:'s|s| is) it like (?:out|outside)\b|"
    r"\bwax out of\b|\border me\b|\bfall in love\b|\bapologi[sz]e\b|\b(?:wife|girlfriend|boyfriend|husband|mum|mother|anniversary|valentine'?s?) (?!(?:likes|loves) …)(?:like|love|gift|present)\w*"
)
# Cut flowers are the trade's, wherever they grew: "I cut dahlias from the garden", "roses from my garden".
_CUT_IN_A_GARDEN = re.compile(
    r"(?:\b(?:cut(?! back)|picked|pick|picking|cutting(?! back)|gathered|gather|snipped|brought in|bring in)\b[^.?!,;]{0,40}|…,? )"
    r"(?:cut |picked |fresh |straight |just )*(?:from|out of) (?:my|our|the|a|her|his|their|your)(?: own| mum's| mother's| neighbour's)? (?:front |back |cutting )?(?:garden|border|allotment|plot|back ?yard)\b"
)
_AGENT = re.compile(
    r"\b(?:food|feed|preservative|bleach|chlorine|sanitis\w*|sanitiz\w*|disinfect\w*|sugar|sucrose|acid|citric|lemon|vinegar|glycerin\w*|ppm|solution|bottle|dose|strength)\b"
)
_MEANING = re.compile(
    r"\bmeanings? of\b|\bwhat (?:do|does) (?!(?:s?he|they|it|that|this|you)\b|(?:the |my |our )?boss\b)[^.?!]*\b(?:mean|stand for|represent)\b|"
    r"\b(?:red|white|yellow|pink|black|blue|orange) [a-z]+s?,? (?:and )?what (?:do|does|would) (?:they|it|that|those) (?:mean|stand for|say|signify|represent)\b|"
    r"\bwhat (?:is|'s|does|do) (?:he|she|they|someone|somebody|a man|a woman|it|that|one) (?:saying|says?|telling|mean\w*) (?:with|by|when)\b[^.?!]*\b(?:rose|roses|flowers?|lil(?:y|ies)|carnations?)\b|"
    r"\b(?:gives?|giving|sends?|sending|gets?)\b[^.?!]*\b(?:roses?|flowers?|lil(?:y|ies)|carnations?)\b[^.?!]*\bwhat (?:is|'s|does) (?:he|she|it|that) (?:saying|says?|mean\w*)\b"
)
_NEEDS_MATERIAL = frozenset(
    {
        "longevity",
        "storage",
        "season",
        "describe",
        "quantity",
        "compare",
        "substitute",
        "cost",
        "water",
        "hazard",
        "refresh",
    }
)


# Likewise, but only where no material is named.
_OTHER_SUBJECT_UNNAMED = re.compile(
    r"\bshopping list\b|\bcarpet\b|\btablecloth\b|\bfinger\b|\bstains?\b|\btaxi\b|\bmattress\w*|\btoys?\b|\bwages\b|\b(?:the|any|good|what|what sort of|what kind of|decent) (?:pay|money)\b[^.?!]{0,24}\b(?:florists?|job|trade|work|career|a living|this line)\b|\bflorists? (?:get paid|paid|earn|make a living|make a year)\b|\b(?:my|the) bath\b|\bhow long (?:do|will|can) (?:bananas|apples|pears|fruit)\b|\b(?:bananas?|apples?|pears?) (?:from )?(?:going|go|turning) (?:brown|black|off)\b|\bflights?\b(?! of (?:stairs|steps))"
)
# Below this probability of being about the trade a message is declined; evals/fit_reader.py reports what that costs.
IN_SCOPE = 0.5
# In the middle of a talk a message that refers back has the benefit of the doubt.
IN_SCOPE_IN_TALK = 0.2


class ScopeReader(Protocol):
    """Gives the probability that a message is about the trade; `named` says that it names a material plainly."""

    def __call__(self, question: Question, *, named: bool = False) -> float: ...


def is_foreign(q: Question, in_conversation: bool, in_scope: ScopeReader) -> bool:
    """True when the message is about something else and no answer should be tried.

    `in_scope` is only asked where nothing plainer decides.
    """
    if is_of_another_subject(q):
        return True
    plain = [m for m in q.mentions if m.said not in EVERYDAY_NAMES and m.how != "fuzzy"]
    if plain:
        in_talk = in_conversation and (q.follows or q.refers_back or q.corrections)
        return in_scope(q, named=True) < (IN_SCOPE_IN_TALK if in_talk else IN_SCOPE)
    if {"label_dose", "concentration", "pack_size", "diameter", "fill_height"} & q.slots.keys() and not q.foreign_words:
        return False
    if {"outer", "inner"} <= q.slots.keys():
        return False  # a ring tray by its sizes, though a dish may be of the kitchen
    if q.follows >= SURE:
        return False
    short = len(q.normal.split()) <= 6
    if in_conversation and (q.follows or q.refers_back or q.corrections or q.ordinal is not None or short):
        if not q.foreign_words:
            return False
        return in_scope(q) < IN_SCOPE_IN_TALK
    return in_scope(q) < IN_SCOPE


def is_of_another_subject(q: Question) -> bool:
    """Do its words say plainly that the message is about gardens, kitchens, meanings or the like?"""
    # Whoever may eat of a plant may do so in a garden: harm is the trade's business wherever the plant stands.
    harm = bool(q.mentions) and "audience" in q.slots and any(ask.task == "hazard" for ask in q.asks)
    said = _CUT_IN_A_GARDEN.sub(" ", without_names(q))
    if (_OTHER_SUBJECT.search(said) and not harm) or (q.mentions and _MEANING.search(q.normal)):
        return True
    return not q.mentions and _OTHER_SUBJECT_UNNAMED.search(q.normal) is not None


def without_names(q: Question) -> str:
    """The message less the materials it names: a woolly bush is no shrub in the garden."""
    text = q.normal
    for mention in sorted(q.mentions, key=lambda m: -m.start):
        text = text[: mention.start] + "…" + text[mention.end :]
    return text


def stranger(q: Question) -> str | None:
    """A word that stands where a material would and is none the handbook has ("bunches of edelweiss"), or None."""
    if q.near:
        return q.near[0][0]
    for phrase in PHRASES:
        at = re.search(rf"\b{re.escape(phrase)}\b", q.normal)
        if at and all(at.start() <= m.start and m.end <= at.end() and m.said != phrase for m in q.mentions):
            return phrase
    words: list[str] = re.findall(r"[a-z-]+", q.normal)
    plant = None if q.mentions else next((word for word in words if word in PLANTS), None)
    if plant is not None:
        return plant
    for word in (*q.unknown, *q.foreign_words):
        if (
            word in _NEVER_MATERIALS
            or word in PARSED_WORDS
            or is_ordinary_word(word)
            or (rank_of(word) or _RARE) < _RARE
        ):
            continue
        if len(word) > 4 and any(name in q.slots for name in ("colours", "kinds", "roles")):
            return word  # "blue glimmerleaf"
        place = (
            rf"\b(?:of|are|is|do|does|will|some|about|with|my|our|these|those|the|fresh|cut) (?:the |my |our |fresh |white |red |pink |cut )?{re.escape(word)}\b"
            rf"(?= (?:last|keep|hold|live|safe|poison\w*|toxic|in|at|for|on|be|survive|stay|from|and)\b|\W*$)|^\W*{re.escape(word)}\b(?=,| (?:in|on|at|for|last|how|is|are)\b)"
        )
        if re.search(place, q.normal):
            return word
    return None


def needs_subject(wish: Wish, q: Question) -> bool:
    """The ask needs a material, the message names something, and that something is not in the handbook."""
    if wish.items:
        return False
    if wish.task == "mixing":
        dosed = {"label_dose", "concentration", "strength"} & q.slots.keys()
        return bool(q.unknown or q.foreign_words) and not dosed and not _AGENT.search(q.normal)
    if wish.task not in _NEEDS_MATERIAL:
        return False
    if wish.task == "substitute" and any(_missed(word).search(q.normal) for word in q.unknown):
        return True
    if wish.task == "water" and {"vessel", "shape", "volume", "diameter", "length"} & q.slots.keys():
        return False
    return stranger(q) is not None


def _missed(word: str) -> re.Pattern[str]:
    """ "No X", "out of X", "instead of X", "forgot the X"."""
    gone = r"no|out of|instead of|short of|forgot|without|replace|(?:replacement|substitute|sub|swap) for|missing|lost"
    return re.compile(rf"\b(?:{gone}) (?:the |my |our |any |some )?{re.escape(word)}\b")


_NEVER_MATERIALS = frozenset(
    """
    someone something display job event shop wedding christening baptism housewarming delivery stuff things customer customers client people boss staff days weeks
    piece pieces arrangement bouquet water cooler fridge bucket vase room place party church service funeral guests table tables
    answer answers figure figures number numbers difference reason point morning evening
    """.split()
)
