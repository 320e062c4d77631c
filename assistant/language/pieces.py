"""How many pieces are made, said in other ways than by their name: "25 of them", "so make it ten", "a class of 14"."""

from __future__ import annotations

import re
from collections.abc import Callable

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Reading

_NOUNS = (
    r"(?:vases|tables|jars|pots|pieces|cent(?:re|er) ?pieces|bouquets|posies|urns|arrangements|buttonholes|boutonnieres|corsages|wreaths|garlands|"
    r"displays|designs|cylinders|bowls|baskets|chairs|pews|chair ends|pew ends|swags|arches|jugs|bottles|lanterns|hoops|trestles|place cards|"
    r"pedestals|tins|crates|hampers|favours|crowns|cloches|sprays|boxes)"
)
_THING = "vase|table|jar|pot|piece|centre ?piece|bouquet|posy|urn|arrangement|buttonhole|corsage|wreath|garland|bowl|basket|chair|pew|swag|jug|place card"
_ONE = rf"(?:{_THING}|one)"
# "There's twenty-five of those", "a pair of them": how many of the piece just described.
_SUCH = re.compile(
    r"\b(?:there(?:'?s| are|'ll be| will be| is)|i(?:'ve| have)?(?: got)?|we(?:'ve| have)?(?: got)?|got|have|making|doing|make|need|want|filling|fill) (?:only |just |actually |now |all )?"
    r"(?P<n>\d{1,3})(?: of (?:them|those|these|it|(?:the )?same)| like (?:that|this|it)| the same| the same size| alike| such| identical)\b"
)

# "20 deep, 8 across, got 6": so many of the vessel just measured.
_GOT = re.compile(
    r"\b(?:deep|across|wide|tall|high|diameter),? (?:i've |we've )?(?:got|have) (?P<n>\d{1,3})(?=\W*$|[,.;?!])"
)

# "I'm doing bud vases, 25 of them."
_OF_THEM = re.compile(
    r"\b(?:vases|tables|jars|pots|pieces|centre ?pieces|center ?pieces|bouquets|posies|urns|arrangements|buttonholes|corsages|wreaths|garlands|"
    r"displays|designs|cylinders|bowls|baskets|chairs|pews|chair ends|pew ends|swags|arches|boxes|jugs|bottles|lanterns|hoops|trestles)\b[^.?!\d]{0,24}?[,;] ?(?:(?:and )?there(?:'s| are) )?(?P<n>\d{1,3}) of (?:them|these|those)\b"
)

# "Table count 18", "22 tables": what a list of guests and tables says of the pieces.
_COUNT_OF = re.compile(
    r"\b(?:table|vase|jar|centre ?piece|center ?piece|piece|bouquet|posy) (?:count|numbers?)(?: is| of|:)? (?P<n>\d{1,4})\b"
)

# "They've added two urns so make it 10": what they come to, not what was added.
_ALTOGETHER = re.compile(
    r"\b(?:added|adding|add|extra|more|another|fewer|less|dropped|lost|losing|cancelled|pulled out|taken away)\b[^.?!]{0,40}\b(?:(?:so )?make (?:it|that|them)|so (?:it's|that's|now)|so(?= \d+\W*$)|that's|now (?:it's)?|in all|total(?:ling)?|altogether) "
    r"(?P<n>\d{1,3})\b(?! ?(?:stems?|days?|cm|%|degrees|litres?|bunch\w*))"
)

# "At every chair end, of which there are 25", "it's 14 to make".
_OF_WHICH = re.compile(r"\bof which (?:there(?:'?s| are)|i have|we have) (?P<n>\d{1,3})\b")
_TO_MAKE = re.compile(r"(?<![\d.])(?P<n>\d{1,3})(?= (?:of them )?to (?:make|do|build)\b)")
# "Room 7 wants six vases": a number that only tells one from the other.
_LABEL = re.compile(
    r"(?<!each )(?<!every )(?<!per )(?<!a )\b(?:room|suite|ward|flat|house) \d{1,4} (?=wants|needs|gets|has|is (?:having|getting)|takes|asked)|"
    r"\b(?:job|invoice|order no\.?|(?<!the )(?<!that )number|no\.) (?:number |no\.? |#)?\d{1,5}\b(?! (?:of|stems?|bunch\w*|pieces?)\b)|"
    r"\b\d{1,2} (?=(?:matters|questions|points)\b)|\b(?:numbers|nos\.?) \d{1,4}(?:(?:, | and |, and | & )\d{1,4})+\b|\bunit \d{1,4}(?=[:,])|\b(?:for|of|in) all [2-9](?=\W*$|[.,;])|"
    r"\bnumber \d{1,4} (?=this (?:year|month|week|season)\b)"
)
# "Cut it in two", "a vase with four sides".
_PARTS = re.compile(
    r"\b(?:cut|chop|split|slice|divide) (?:it|that|this|them|those|these|the [a-z]+)(?: down)? (?:in|into) [2-5]\b(?! [a-z]+s\b)|\b4[- ](?:[a-z]+ )?(?:sides?|sided|corners|walls)\b|(?<![\d.])[2-9] (?:thirds|quarters|fifths|tenths) (?:of )?(?:it|that|this|them|those|these)\b"
)
# "Two things about eucharis": what is asked, not what is bought.
_ASKED = re.compile(r"(?<![\d.])\d{1,2} (?:quick |small |little )*(?:things|questions|points|queries|bits of advice)\b")
# "Which of the two is worse for a cat": the ones spoken of.
_OF_THE_TWO = re.compile(
    r"\b(?:of|between|out of) (?:the|those|these) [2-5]\b(?! ?(?:days?|weeks?|hours?|lit(?:re|er)s?|gallons?|buckets?|vases?|tables?|pieces?|arrangements?|bunch\w*|stems?|degrees?|cm|inch\w*|[%°]))"
)
# "How many do you get in one bunch of it": of any bunch.
_ONE_BUNCH = re.compile(
    r"\bhow many\b[^.?!\d]*\b(?:in|to|per|from|out of|make) (?:just |the |only )?(?P<n>1) (?:bunch|wrap|pack|bundle|sleeve)\b"
)
# "By half three on Friday": a time of the day.
_CLOCK = re.compile(
    r"\b(?:at|by|before|from|till|until|about|around|for) (?:half|half past|quarter to|quarter past|\d{1,2} past) \d{1,2}\b(?! ?(?:stems?|bunch|dozen|%|roses))"
)
# "Three pedestals either side, so six in total": all of them, whatever stands on a side.
_BOTH_SIDES = re.compile(
    r"\b\d{1,2}\b[^.?!\d]{0,24}\b(?:either|each) side\b[^.?!\d]{0,40}\b(?P<n>\d{1,3}) (?:in total|in all|altogether|all told|of them|together)\b"
)
# "25 of the vases": pieces spoken of before.
_OF_THE = re.compile(
    r"\b(?P<n>\d{1,4}) of (?:the|these|those) (?:[a-z]+ ){0,2}(?:vases|tables|jars|pots|pieces|bouquets|posies|urns|arrangements|chairs|bowls|baskets)\b"
)
# "Every other table of 20": half of them.
_EVERY_OTHER = re.compile(
    rf"\b(?:every (?:other|second)|alternate) (?:{_THING}|pew end|chair end)s?(?:,)? (?:of|out of|from) (?:the |all )?(?P<n>\d{{1,4}})\b(?! ?(?:cm|inch|people|guests))"
)
# "Nine of the table things, each one gets four": whatever they are called, each of them gets something.
_OF_THE_THINGS = re.compile(
    r"(?<![\d.])(?P<n>\d{1,3}) (?:of (?:the|these|those|them|her|his|my|our) )?(?:[a-z]+ ){0,2}?(?:things?|thing(?:y|ies)|ones|bits|jobs|numbers|affairs|efforts|what'?s?its|doo-?dahs?)"
    r"\b[^.?!\d]{0,30}\b(?:each|every|all)(?: (?:one|single one|thing))?(?: of (?:them|these|those))?(?: (?:to|will|should|must))? (?:gets?|get|getting|has|have|having|takes?|taking|wants?|wanting|needs?|needing|with|holds?)\b"
)
# "25 pew-end chairs to dress and every one gets four": the same of any plural.
_EVERY_ONE = re.compile(
    r"(?<![\d.])(?P<n>\d{1,3}) (?:[a-z-]+ ){0,3}?(?!stems|bunches|flowers|heads|days|weeks|hours|months|litres|liters|inches|degrees|times|percent)[a-z-]{3,}s\b[^.?!\d]{0,30}\b(?:each|every) (?:single )?one(?: of (?:them|these|those))? (?:gets?|has|takes?|wants?|needs?|is having|is getting)\b"
)
# "Half a dozen, 8 cm across": so many of a size.
_OF_A_SIZE = re.compile(
    r"^\W*(?P<n>\d{1,3})(?: of (?:them|these|those))?,? (?:each |all )?\d+(?:\.\d+)? ?(?:cm|mm|in|inch(?:es)?|\")? (?:across|wide|in diameter)\b"
)
# "Ten the same, and each takes four".
_ALIKE = re.compile(
    r"(?<![\d.])(?P<n>\d{1,3}) (?:all )?(?:the same|alike|identical)\b(?=[^?]*\b(?:each|every|apiece)\b)"
)
# "Ten pieces of the same vase".
_OF_THE_SAME = re.compile(
    rf"(?<![\d.])(?P<n>\d{{1,3}}) (?:pieces?|pcs?|copies|lots) of (?:the same|that|this|such(?: an?)?) (?:{_THING})s?\b"
)
# "24 clumps x 5 nigella + 3 larkspur".
_BY_THE_PIECE = re.compile(
    r"(?<![\d.])(?P<n>\d{1,3}) (?:[a-z]+ )?[a-z]{3,}s ?(?:x|@|of) ?(?=\d{1,3} [a-z-]+ ?(?:\+|&|,|and|plus)\W*\d)"
)
# "Wreaths, 25. Dried statice four": what the list is for comes first.
_HEADED = re.compile(rf"^\W*(?:[a-z]+ )?{_NOUNS}(?:,|:| x| -) ?(?P<n>\d{{1,3}})(?=[.;:]|, | - )")
# "The jars are twenty two in number", "baskets are eighteen and want 6 apiece".
_NOUNS_ARE = re.compile(
    rf"\b{_NOUNS} (?:are|number|come to|add up to) (?P<n>\d{{1,3}})\b(?= in (?:number|all|total)\b| altogether\b|,? (?:and|each|they all|all) (?:each )?(?:wants?|wanting|needs?|needing|takes?|taking|gets?|getting|having)\b|,? (?:each|every|all) (?:of them )?with\b)"
)
# "Red hot job: hypericum, ten a box; ivy berry, four a box; boxes - there's thirty one of them".
_THERE_ARE = re.compile(
    rf"\b{_NOUNS}(?:,|:| -)? (?:and )?there(?:'?s| are) (?P<n>\d{{1,3}})(?: of (?:them|those|these))?(?=\W*$|[.,;])"
)
# "6 hydrangeas per vase and there's 8": so many of what each gets so much.
_OF_EACH = re.compile(
    rf"\b(?:per|each|every|a) (?:{_THING})\b[^.?!]*\b(?:there'?s|there are|theres|we have|i have|i've got) (?P<n>\d{{1,3}})(?=\W*$|[,.;?!])"
)
# "Buttonholes with a sprig of thryptomene apiece", "80 of them, one each": one stem for a piece.
_PART = r"(?:sprig|stem|head|bloom|flower|spray|pod|leaf|blade|frond|twig|bit|single one)"
# "14 sheaves, thirty ears apiece": sheaves that are made, not bought.
_SHEAVES = re.compile(
    r"(?<![\d.])(?P<n>\d{1,3}) sheaves(?= (?:with|taking|each|of them)\b|,[^.?!]{0,40}\b\d+ (?:ears|stems|stalks|heads)\b)"
)
_ONE_EACH = re.compile(
    rf"\b(?:an?|one|1)(?: single)? {_PART}(?: of [a-z' -]{{3,30}}?)? (?:each|apiece|a ?piece|per {_ONE}|(?:in|on|to|for) (?:each|every)(?: {_ONE})?)\b|"
    rf"\b(?:one|1|just the one) (?:each|apiece|a ?piece|(?:in|on|to|for) (?:each|every)(?: {_ONE})?)(?=\W*$|[,.;?!])|"
    rf"\b(?:in|on|for|to) (?:each|every)(?: {_ONE})?,? just (?:the )?(?:one|1)(?=\W*$|[,.;?!])"
)
# "9 vase, 4 in each": said without the plural.
_SINGULAR = re.compile(
    rf"(?<![\d.])(?<!size )(?<!number )(?<!no )(?P<n>[2-9]|[1-9]\d{{1,2}}) (?:{_THING})(?=\W*$|[,;?!]|\.(?!\d)| (?:and|with|each|have|need|take|all)\b)"
)
# "We've 25 now, and every one gets a single rose."
_SPRAYS = re.compile(r"(?<![\d.])(?P<n>\d{1,3}) (?:casket|coffin|funeral|standing|grave) sprays\b")
_AND_EACH = re.compile(
    r"\b(?:i've|we've|i have|we have|there are|there's)(?: got)? (?P<n>\d{1,3})(?: now| altogether| in all)?,? and (?:each|every)(?: one| of them)? (?:gets?|has|takes?|wants?|needs?)\b"
)
_SO_MANY = re.compile(rf"(?<![\d.])\d{{1,4}} (?:[a-z]+ ){{0,2}}?{_NOUNS}\b")
# "11 booked, each does 4 chamomile".
_BOOKED = re.compile(r"(?<![\d.])(?P<n>\d{1,3})(?= (?:booked|signed up|enrolled)\b)")
_CLASS = re.compile(r"\b(?:class|group|workshop|team) of (?P<n>\d{1,3})\b")
# "A third urn for the porch as well": what they come to with that one.
_ONE_MORE = re.compile(
    r"\b(?P<nth>third|fourth|fifth|sixth|seventh|eighth|ninth|tenth) (?:urn|vase|jar|bowl|pedestal|table|arrangement|bouquet|posy|wreath|swag|arch|basket|pot|piece|garland)\b"
    r"[^.?!]{0,30}\b(?:as well|too|also)\b"
)
_NTH = ("third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")


def no_counts(text: str) -> list[tuple[int, int]]:
    """Where numbers stand that count nothing: a room's, an order's, a time of the day."""
    found = [
        match.span() for pattern in (_LABEL, _PARTS, _CLOCK, _ASKED, _OF_THE_TWO) for match in pattern.finditer(text)
    ]
    return found + [match.span("n") for match in _ONE_BUNCH.finditer(text)]


def pieces(text: str, taken: Taken, counts_a_name: Callable[[int], bool]) -> Claims:
    """The pieces of a message. `counts_a_name` says of the end of a number whether a material's name follows it."""
    counted = False
    for pattern in (
        _SUCH,
        _GOT,
        _BOTH_SIDES,
        _COUNT_OF,
        _OF_THEM,
        _OF_THE,
        _OF_THE_THINGS,
        _EVERY_ONE,
        _OF_THE_SAME,
        _ALIKE,
        _OF_A_SIZE,
        _BY_THE_PIECE,
        _BOOKED,
        _CLASS,
        _OF_WHICH,
        _TO_MAKE,
        _HEADED,
        _NOUNS_ARE,
        _THERE_ARE,
        _OF_EACH,
        _SHEAVES,
        _SINGULAR,
        _SPRAYS,
        _AND_EACH,
        _ALTOGETHER,
    ):
        match = pattern.search(text)
        named = match and pattern in (_SUCH, _OF_THE_THINGS, _EVERY_ONE) and counts_a_name(match.end("n"))
        if match and not taken(*match.span("n")) and not named:
            counted = True
            yield Claim("pieces", Reading(float(match["n"]), "pieces", said=match[0].strip()), match.span("n"))
    half = _EVERY_OTHER.search(text)
    if half and not taken(*half.span("n")):
        number = float(-(-int(half["n"]) // 2))
        yield Claim("pieces", Reading(number, "pieces", said=half[0]), half.span("n"))
    one_each = _ONE_EACH.search(text) if counted or _SO_MANY.search(text) else None
    if one_each and not taken(*one_each.span()):
        yield Claim("stems", Reading(1.0, "stems", said=one_each[0]))
    one_more = _ONE_MORE.search(text)
    if one_more:
        number = float(3 + _NTH.index(one_more["nth"]))
        yield Claim("pieces", Reading(number, "pieces", said=one_more[0]), one_more.span())
