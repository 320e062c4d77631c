"""Give each quantity, date and condition of a message its slot, by the words around it."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from datetime import date

from assistant.handbook.loading import Handbook
from assistant.language.claims import Claim, Claims
from assistant.language.dates import find_date_range, find_dates, find_month, find_season, impossible_date
from assistant.language.doses import doses, impossible_dose, parts
from assistant.language.losses import losses
from assistant.language.names import key_of
from assistant.language.packs import boxed, packs
from assistant.language.pieces import no_counts, pieces
from assistant.language.prices import (
    about_money,
    added_on,
    both_ways,
    boxes_bought,
    factor_of_share,
    factor_put_on,
    factors,
    old_prices,
    plain_money,
    prices,
)
from assistant.language.quantities import METRIC_UNITS, US_UNITS, Quantity, find_quantities, to_number, to_si
from assistant.language.question import Mention, Reading
from assistant.language.stays import DENIED, way
from assistant.language.vessel_sizes import vessel_sizes

# Plural words that count no pieces.
_NO_PIECES = frozenset(
    """
    stems stem blooms heads flowers ones wants needs gets takes holds goes comes does costs makes looks lasts seems leaves days weeks hours months years degrees litres liters gallons pints quarts cups grams percent bunches bundles
    parts times dozens inches centimetres millimetres feet metres bricks blocks wraps packs boxes visits sprays blades fronds branches spoons tablespoons teaspoons
    """.split()
)
_COOLER = r"cooler|fridge|refrigerat\w*|cold ?(?:store|storage|room|cell)|cool ?room|cooling (?:cell|room)|walk-?in|chiller|chilled|storage|stored|storing|(?:(?<=to )|(?<=i )|(?<=we )|(?<=you ))store(?!'s)|boxe[sd]|in the box\b|dry ?pack\w*"
_STORING = re.compile(rf"\b(?:{_COOLER})\b")
_IN_COOLER = re.compile(
    r"\b(?:in|into|from|out of|inside|at the back of) (?:the |a |my |our )?(?:[\w°.]+ ){0,3}(?:cooler|fridge|cold ?(?:store|storage|room|cell)|cool ?room|cooling (?:cell|room)|"
    r"walk-?in|chiller|box(?:es)?|storage)\b|\bstored\b|\brefrigerated\b|\bchilled\b|\bdry[- ]?(?:packed|stored)\b|\bboxed\b"
)
_DRY_STORE = re.compile(
    r"\bdry[- ]?(?:pack\w*|stor\w*|box\w*|in (?:the|a) (?:cooler|box|fridge))|\bstored? dry\b|\bin (?:the|a|their|its) box(?:es)?\b|\bboxed\b"
)
_WET_STORE = re.compile(
    r"\b(?:wet[- ]?stor\w*|stored? wet|stored? in water|in (?:a |the )?buckets?(?: of water)? in (?:the |a )?(?:cooler|fridge))\b"
)
_OUT_OF_WATER = re.compile(
    r"\bout of (?:the |their |its |a )?(?:water|buckets?)\b|\bwithout (?:any )?water\b|\bno water(?: source)?\b|\bdry,? (?:on|onto|in) (?:the|a|an) (?:bench|arch|arbou?r|frame|"
    r"installation)|\bcan'?t have (?:a |any )?water\b|\bnae water\b|\b(?:hung|wired|pinned|tied|taped)(?: up)?(?: (?:indoors|inside|outdoors|outside|on|in|from|over|along|up|the|a|wall|door|wood|stairs|bannister|mantel|mantelpiece))* dry\b|\b(?:won't|wont|will not|doesn't|don't|can't) (?:have|get|be in|see) (?:any |a drop of )?water\b|"
    r"\b(?:arch|arbou?r|crown|installation|cloud)\b[^.?!]{0,20}\bdry\b|\bdry in (?:a|an|the|my) (?:[a-z]+ )?(?:crown|arch|garland|buttonhole|hat)\b|\bwithout a drink\b|\bnothing to drink\b|\b(?:days?|hours?) dry\b(?! (?:room|air|place|out|off))|\b(?:not|isn't|isnt|aren't|won't be) (?:sitting|standing|stood|sat|kept) in (?:any )?water\b|\b(?:can'?t|cannot|couldn'?t|won'?t) drink\b|\b(?:going|goes|sent|sending) out dry\b|\bmanages? [^.?!]{0,24}\bdry\b(?! (?:room|air|place|out|off))|\bno way (?:of giving|to give) (?:it|them) (?:a drink|(?:any )?water)\b|\b(?:ok|okay|good|fine|alright|survives?|copes?) (?:for \w+ days )?dry\b(?! (?:room|air|place|spot))|\bnot a drop of water\b|\bno water source\b|\bno reservoir\b|\bwithout a (?:water source|reservoir)\b|\b(?:not|isn't|isnt|aren't|arent|won't be|wont be) in (?:any )?water\b|\b(?:as good as|nearly|almost) dry\b|\b(?:hasn't|haven't|hasnt|havent|has not|have not|doesn't|don't|not) (?:got|get|have|had) (?:any|a drop of) water\b|\bwith no (?:water|drink)\b|\bno drink\b|\b(?:no way to|can't|cannot|couldn't) (?:get|give) (?:it |them )?(?:any )?water\b|\b(?:left|leave|stands?|standing|sits?|sitting|lies?|lying|kept|laid|go(?:es)?|going) dry\b|\b(?:left|leave|lying|standing) (?!the )[^.?!,]{0,24}\bdry\b(?! (?:room|air|place|cool|store|box))|\b(?:completely|totally|bone) dry\b|\b(?:on|for) (?:an? )?(?:arch|arbou?r|flower crown)\b|\b(?:will not|won't|wont) be any water\b|\bthere'?ll be no water\b"
)
_SUPPORTS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("foam-drying", re.compile(r"\bfoam\b[^.?!]{0,40}\b(?:dry(?:ing)? out|dries|left to dry|not topped|never topped|no top|nobody waters|forgot)\b|\bdr(?:y|ying|ied)(?: out)? foam\b")),
    ("foam-kept-wet", re.compile(r"\b(?:floral |wet |soaked )?foam\b|\b(?:in|into|with) (?:the |a |wet )?sponge\b")),
    ("out-of-water", _OUT_OF_WATER),
    ("plain-water", re.compile(r"\b(?:plain|tap|just|only|clean|straight) water\b|\bwith nothing in (?:it|the water)\b|\bnothing (?:added|in the water)\b|\b(?:no|without|w/o) (?:any )?(?:flower |plant )?(?:food|preservative|feed)\b|\bwithout feeding\b")),
    ("vase-food", re.compile(r"\b(?:flower|vase|plant) ?(?:food|feed|preservative)\b|\b(?:put|putting|with) (?:some |the )?food in\b|\bfood in (?:it|the water|there)\b|\bpreservative\b|\bwith food\b|\bin a vase\b|\bvase (?:water|solution)\b|\b(?:holding|vase) solution\b|\bin water\b")),
)  # fmt: skip
_NOT = re.compile(
    r"\b(?:not|no(?! (?:in|on|with)\b)|never|nowhere (?:to put|for)(?: \w+ or)?|no room for(?: \w+ or)?|without|isn't|aren't|rather than|instead of|except|but not|nothing with|avoid|hates?)(?: (?:in|on|with|any|the|a|use|using|be|to))* *$"
)
_BEEN = re.compile(
    r"\b(?:been|had (?:them|it|these)|sitting|sat|standing|stood|after|already|held|kept|spent|was|were)\b"
)
# Nobody shows flowers colder than this; where they are said to be held, the colder of two temperatures may be warmer.
_COLDEST_SHOWN = 10.0
_COLDEST_SHOWN_HELD = 15.0
# "The stock room runs at 45 per cent", "it's 75 per cent in here": of air, not of a bottle or an order.
_AIRY = re.compile(
    r"\bdamp(?:ness)?(?: is| at| of|:|,)* (?:about |around )?‹›|\b(?:store ?room|stock ?room|loft|cellar|attic|shed|garage|bathroom|chapel|back room|gadget|gauge)\b[^.?!]{0,16}(?:is|'s|at|to|says|reads|shows) (?:about |around |up to )?‹›|‹› (?:damp|in here|up there|down there)\b"
)
# "Her lounge is 23": of a room in which flowers stand, a bare number is its degrees.
_ROOM_IS = re.compile(
    r"\b(?:lounge|kitchen|hallway|bench|lobby|studio|conservatory|bedroom|room|hall|shop|church|restaurant|place|house|nave|porch|chapel|flat|ballroom|foyer|landing|office|venue|marquee|tent|workroom|garage|shed|cellar|(?<=the )bar(?= (?:runs|sits|stays|gets)))"
    r"(?:'s| is| runs| sits| will be| gets| stays| was)+ (?:at |about |around |only |just |nearly |up to )*$|\bthermometer[^.?!\d]{0,20}$"
    r"|\btemp(?:erature)?(?:'s| is| of|:|,)* (?:about |around )?$|\b(?:warm|hot|cool|cold|cosy|toasty) as in (?:about )?$"
)
# "Heated lounge, 25:": the room and its degrees, and nothing that they could count.
_ROOM_THEN = re.compile(
    r"\b(?:lounge|kitchen|hallway|lobby|studio|conservatory|bedroom|living room|dining room|nave|porch|foyer|restaurant|ballroom|church|chapel|office|flat),? $"
)
# "In a 21 room".
_SUCH_A_ROOM = re.compile(
    r" (?:room|lounge|kitchen|hallway|lobby|studio|conservatory|bedroom|hall|nave|porch|foyer|church|office|flat)\b"
)
_NO_ROOM = re.compile(
    r"\b(?:tables?|vases?|pieces?|stems?|bunch(?:es)?|each|per|arrangements?|bouquets?|urns?|jars?|bowls?|jugs?)\b"
)
# Words of buying: a month beside them is no display's.
_SUPPLY = re.compile(
    r"\b(?:availab\w*|season\w*|in stock|get hold|buy\w*|sourc\w*|suppl\w*|market|wholesaler|grow\w*|order\w*)\b"
)
# "Twelve days flat and dry", "flat moss": how it lies, and nobody's home.
_FLAT = re.compile(
    r"\bflat (?:and|in|on|out|packed|pack|moss|leaf|leaves|fern)\b|\b(?:lay|lays|lie|lies|lying|laid|stored?|boxed|dried|pressed) flat\b"
)
_RENEWED = re.compile(r"\b(?:replac\w*|refresh\w*|renew\w*|swap\w*|chang\w*|visits?)\b")
_HELD = re.compile(r"\b(?:held|hold|holding|stored|kept|cooler|chiller|fridge|cold ?(?:room|store)|cellar)\b")
# "A six year old's birthday": how old a child is, and no age of flowers.
_CHILD = re.compile(
    r"\b(?:1?\d)[ -](?:year|yr)[ -]olds?(?='s\b| (?:boys?|girls?|child|children|kids?|sons?|daughters?|niece|nephew|grand\w+)\b)|"
    r"\b(?:a|an|my|her|his|our|your|their|for|to|with|of) 1?\d[ -](?:year|yr)[ -]olds?(?=\W*(?:$|[.,;:?!])| (?:who|will|would|eats?|ate|might|could|can|about|around|in|at|is|here)\b)"
)
# "At 10am", "an 8 o'clock party": a time of day is no number of anything.
_CLOCK = re.compile(
    r"\b\d{1,2}(?:[:.]\d\d)? ?(?:am|pm|a\.m\.?|p\.m\.?|o'? ?clock)(?![a-z])|\b\d{1,2}:\d\d\b(?! ?(?:ratio|mix|parts))"
    r"|\b(?:wedding|party|ceremony|event|service|funeral|delivery|doors)\b[^.?!,;\d]{0,20} at (?P<hour>[1-9]|1[0-2])\b(?! ?(?:°|deg|c\b|f\b|%|\d|celsius|fahrenheit|in the))"
)
# "Three days in the cooler at 3 and two on the bench": the second stretch said without its days.
_AND_SO_MANY = re.compile(
    r"\b\d+ (?:days?|nights?)\b[^.?!]{0,40}?(?:\band|\bthen|,)(?: (?:then|and|another))* (?P<n>[1-9]) (?:more )?(?:on|in|out in|out on) (?:the |a |my |our )?(?:bench|vase|bucket|water|display|window|counter|shelf)\b"
)
# "Wedding's in four", after days were spoken of.
_EVENT_IN = re.compile(
    r"\b(?:wedding|party|event|funeral|ceremony|show|service|opening|do|dinner|ball|fete|fair)(?:'s| is|,)? in (?:about |another )?(?P<n>\d{1,2})(?=\W*$|[,.;?!]| (?:and|so|will|do|can)\b)"
)
# By what part something said before changes.
_BY_SO_MUCH = re.compile(
    r"\b(?:up|increas\w*|rais\w*|bump\w*|push\w*|put|lift|cut|reduc\w*|drop\w*|bring|take|knock|shrink|lower\w*|slash)\b[^.?!]{0,20}\bby (?:about |another )?‹›|‹› (?:more|fewer|less|weaker|stronger)\b"
)
# "They're on day four", "third day in the vase": that day has begun, so the days gone are one less or as many.
_NTH = ("first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth")
_ON_DAY = re.compile(
    r"(?:(?<!^)(?<!wedding )(?<!event )(?<!party )(?<!show )(?<!funeral )\b(?:are|is|now|already|they're|these're|it's|'s)(?: (?:now|already|only|just|both|all))? (?:(?:up )?to |on |at |in(?:to)? )?(?:its |their )?|\bon (?:its |their ))day (?P<n>\d{1,2})\b(?! (?:of (?:the|a|an|our|my|your|this)\b|old))|"
    rf"\b(?P<nth>{'|'.join(_NTH)}|\d{{1,2}}(?:st|nd|rd|th)) day (?:in|on|out of)(?: (?:the|a|its|their|my|our))? (?:vase|water|bucket|bench|display|shop|foam|shelf|counter|window)\b"
)
# "Stood six days in the tall bucket at 17": the degrees of a past that is told, whatever costs something behind it.
_STOOD_AT = re.compile(
    r"\b(?:stood|standing|sat|sitting|kept|been|spent)\b[^.?!£$€]{0,60}?\b\d+ (?:hours?|days?|nights?|weeks?)\b[^.?!£$€,]{0,30}? at (?P<n>\d{1,2}(?:\.\d)?)\b"
    r"(?! ?(?:each|apiece|an?\b|per|p\b|cents?|quid|pounds?|dollars?|euros?|stems?|%|am|pm|o'))"
)

AUDIENCE: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("poison-cats", re.compile(r"\b(?:cats?|kitt(?:y|ies|ens?)|felines?|tabb(?:y|ies)|mogg(?:y|ies)|tom ?cats?|siamese|pets?|animals?|vets?)\b")),
    ("poison-dogs", re.compile(r"\b(?:dogs?|dogg(?:y|ies)|pupp(?:y|ies)|pups?|canines?|hounds?|mutts?|pooch(?:es)?|labradors?|labs?|spaniels?|collies?|retrievers?|terriers?|poodles?|"
                             r"beagles?|dachshunds?|whippets?|greyhounds?|alsatians?|bulldogs?|corgis?|pugs?|pets?|animals?|vets?)\b")),
    ("children", re.compile(r"\b(?:child(?:ren)?|pre-?schools?|kids?|my little one|little (?:boy|girl|lad)s?|my (?:son|daughter|boy|girl)s?|grand(?:son|daughter)s?|toddlers?|tots?|youngsters?|playgroups?|play ?schools?|playroom|kindergartens?|cr[eè]ches?|day ?care|flower girls?|page ?boys?|bairns?|\d[- ]?(?:and[- ]a[- ]half[- ])?year[- ]?olds?|pupils?|bab(?:y|ies)(?!'?s?[ -]breath| blue)|nursery|school|infants?|crawl\w*|little ones|grandchild\w*)\b")),
    ("hospital", re.compile(r"\b(?:hospitals?|wards?|icu|intensive care|clinic|patients?|hospice|care home|nursing home|immuno\w*|transplant|oncology|burns? unit)\b")),
    ("food", re.compile(r"\b(?:cakes?|cupcakes?|edible|(?<!cat )(?<!dog )(?<!puppy )(?<!kitten )(?<!pet )(?<!rabbit )(?<!cats )(?<!dogs )(?<!pets )(?<!were to )(?<!might )eat(?:en|ing)?|(?<!flower )(?<!plant )(?<!vase )(?<!in )(?<!with )(?<!no )(?<!without )(?<!some )(?<!cut )food(?! in\b| for the| per| solution)|"
                        r"(?:table|buffet|counter|plates?) with (?:the )?food|desserts?|puddings?|dishes|casseroles?|stews?|soups?|napkins?|canap[eé]s?|platters?|cheese ?boards?|chew(?:ed|ing)? (?:the |a |some )?(?:leaf|leaves|petals?)|chef|caf[eé]|cocktails?|(?:on|in|for|with) (?:the )?drinks|drinks (?:table|tray|trolley)|plates?|salads?|garnish|icing|buffet|dinner plates?)\b")),
    ("people", re.compile(r"\b(?:people|humans?|guests?|customers?|clients?|staff|adults?)\b")),
    ("skin", re.compile(r"\b(?:skin|rash|rashes|itch\w*|dermatitis|gloves?|allerg\w*|hands?|sap|irritat\w*|sting|stings)\b")),
    ("pollen", re.compile(r"\b(?:pollen|hay ?fever|asthma\w*|scented?|fragran\w*|smell\w*|sneez\w*)\b")),
    ("fire", re.compile(r"\b(?:candles?|tea ?lights?|candle ?light|fire|fires|fireplaces?|log burners?|wood ?burners?|stoves?|hearths?|open grate|sparklers?|heaters?|radiators?|flammab\w*|burn|burns|catch light|spotlights?|halogen|hot lamps?|flames?)\b")),
)  # fmt: skip

_KINDS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("foliage", re.compile(r"\b(?:greens?\b(?! (?:flowers?|roses?|mums?|bloom))|greenery|foliages?|leaves|leafy|evergreens?|ferns?)\b")),
    ("berry", re.compile(r"\bberr(?:y|ies)\b")),
    ("branch", re.compile(r"\b(?:branch(?:es)?|twigs?|woody stems?)\b")),
    ("grass", re.compile(r"\b(?:grass(?:es)?|seed ?heads?)\b")),
    ("dried", re.compile(r"\bdried\b(?! out)|\bdry (?:material|flowers?|stuff)\b|\beverlasting\b")),
    ("preserved", re.compile(r"\bpreserved\b")),
    ("flower", re.compile(r"\b(?:flowers?|blooms?)\b(?! (?:food|shop|cooler|fridge|bucket|market|tape|feed))")),
)  # fmt: skip
_ROLES: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("filler", re.compile(r"\bfillers?\b|\bairy\b")),
    ("line", re.compile(r"\b(?:line (?:flowers?|material|stems?)|linear|spiky|spikes?|spires?|tall (?:flowers?|lines?))\b")),
    ("mass", re.compile(r"\bmass (?:flowers?|material)\b")),
    ("form", re.compile(r"\b(?:focals?|focal (?:flowers?|points?)|form flowers?|statement (?:flowers?|blooms?)|showstoppers?)\b")),
    ("accent", re.compile(r"\b(?:accents?|textures?|texture)\b")),
)  # fmt: skip

_SHAPES: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("cylinder", re.compile(r"\b(?:cylinder|cylindrical|tube|round) ?(?:vase)?\b")),
    ("taper", re.compile(r"\b(?:taper(?:ed|ing)?|conical|cone|flared|bucket shaped)\b")),
    ("bowl", re.compile(r"\b(?:bowl|hemispher\w+|fish ?bowl)\b")),
    ("box", re.compile(r"\b(?:box|trough|tray|cube|square|rectang\w+|planter|window box|liner|(?:4|four)[- ](?:[a-z]+[- ])?(?:sides?|sided|corners?|walls?))\b")),
    ("ring", re.compile(r"\b(?:ring|wreath)\b")),
)  # fmt: skip
_VESSELISH = re.compile(
    r"\b(?:cylinders?|vases?|bowls?|buckets?|box(?:es)?|troughs?|trays?|tanks?|cubes?|urns?|ring|jars?|pots?|compotes?|fish ?bowls?|planters?|globes?|vessels?|"
    r"containers?|bottles?|jugs?|churns?|glass|dish|square|round)\b"
)
# "My vase has four sides": a box by another name.
_SQUARE = re.compile(
    r"\bsquare\b(?! (?:cm|inch|in\b|f(?:oo|ee)t|m\b|met))|\b(?:each|every) side\b|\ball (?:the )?(?:four |4 )?sides\b"
)
_FOUR_SIDED = r"(?:4|four)(?:[- ](?:equal|flat|straight|glass))?[- ](?:sides?|sided|corners?|walls?)|square[- ]sided"
_BOXY = re.compile(
    rf"\b(?:box|trough|tray|cube|square|rectang\w+|planter|window box|liner|esky|cool ?box|tank|{_FOUR_SIDED})\b"
)
_BY = re.compile(
    r"(?P<a>\d+(?:\.\d+)?) ?(?P<ua>cm|centimet(?:re|er)s?|mm|m|inch(?:es)?|in|\"|ft|feet|')? ?(?:x|by|\*) ?(?P<b>\d+(?:\.\d+)?) ?(?P<ub>cm|centimet(?:re|er)s?|mm|m|inch(?:es)?|in|\"|ft|feet|')?"
    r"(?:,? ?(?:x|by|\*|and) ?(?P<c>\d+(?:\.\d+)?)(?= ?(?:(?:cm|mm|inch(?:es)?|in\b|\"|centimet\w+)? ?(?:deep|high|tall|in height|in depth|depth|height)|[^a-z]|$|cm|mm|inch|centimet|\")))? ?(?P<u>cm|centimet(?:re|er)s?|mm|m\b|inch(?:es)?|in\b(?! (?:height|depth))|\"|ft\b|f(?:ee|oo)t|')?"
)
_LENGTH_UNITS = {
    "centimetre": "cm",
    "centimetres": "cm",
    "centimeter": "cm",
    "centimeters": "cm",
    "inch": "in",
    "inches": "in",
    '"': "in",
    "feet": "ft",
    "foot": "ft",
    "'": "ft",
    None: "cm",
}


_SIZE = r"(?<![\d.])(?P<n>\d+(?:\.\d+)?)(?: ?(?P<unit>cm|centimet(?:re|er)s?|mm|inch(?:es)?|in|\"))?"
# "1.2 m by 15 by 12": what follows the length of something large without a unit is in the small one.
_SMALLER = {"m": "cm", "ft": "in"}
# No trough is so wide. [m or ft]
_WIDEST = 4.0


def _units_by(match: re.Match[str]) -> tuple[str, str, str]:
    """The unit of each of the sides of `_BY`: its own, or the one said beside another side."""
    own = [match["ua"], match["ub"], match["u"] if match["c"] else None]
    last = match["u"] if not match["c"] else None
    said = [_LENGTH_UNITS.get(word, word) for word in (own[0], own[1] or last, own[2]) if word]
    common = said[-1] if said else "cm"
    units = [_LENGTH_UNITS.get(word, word) if word else common for word in (own[0], own[1] or last, own[2])]
    lone = own[0] is not None and not any((own[1], own[2], last))
    if lone and common in _SMALLER and to_number(match["b"]) > _WIDEST:
        units[1] = units[2] = _SMALLER[common]
    return units[0] or "cm", units[1] or "cm", units[2] or "cm"


# Slot, whether it only makes sense with a vessel, words right before the number, words right after it.
_SIDES: tuple[tuple[str, bool, re.Pattern[str] | None, re.Pattern[str] | None], ...] = (
    ("outer", False, re.compile(r"\b(?:outside|outer)\W*(?:diameter(?:'s)? )?(?:of |is )?$"), re.compile(r"\W*(?:outside|outer|out to out)\b")),
    ("inner", False, re.compile(r"\b(?:inner)\W*(?:diameter )?(?:of |is )?$|\b(?:hole|middle)\b[^.;,\d]{0,16}$"), re.compile(r"\W*(?:(?:inside|inner)\b(?! diameter)|(?:for |in |across )?(?:the |its )?(?:hole|middle|centre|center)\b)")),
    ("diameter", False, re.compile(r"\bdiameter\W*(?:of |is )?$"), None),
    ("diameter", False, re.compile(r"\b(?:top|rim|mouth)\W*(?:is |of )?$"), None),
    ("diameter", False, None, re.compile(r"[ \"]*(?:at |across )?(?:the |its )?(?:top|rim|mouth|lip|neck)\b(?! up)")),
    ("base_diameter", False, re.compile(r"\b(?:base|bottom|foot)\b\W*(?:\w+ )?$"), re.compile(r"\W*(?:at|across) (?:the|its) (?:base|bottom|foot)\b")),
    ("fill_height", True,
     re.compile(r"\b(?:depth|level|mark|height of water|high of water|water level)\W*(?:of |at |is |to )?(?:about )?$"
                r"|\b(?:fill\w*|pour\w*|bring\w*|water|top\w*)\b[^.,;]{0,26}\b(?:to|up to|up|at|until|till|with|is|stands) (?:a |the )?(?:about |around )?$|\bup to (?:the |a )?$|\bwater(?:'s)? (?:just |only |about |around )*$|\bfill(?:ed|ing)? (?:it|them) (?:only |just |about )*$|\b(?:water|level)\b[^.,;]{0,20}\b(?:comes?|goes|is|stands) (?:only )?up(?: to)? $|\b(?:filled?|fill|filling) (?:about |around )?$|\bstop\w*(?: it| them| filling| pouring| short)? at (?:about |around )?$|\b(?:fill|level)(?:'s| is| was| should be) (?:only |just |about )?$|\b(?:across|wide|diameter),? (?:and )?(?:filled |up |full )*to (?:about )?$"),
     re.compile(r"\W*(?:of (?:the )?water|deep in water|full of water|full\b|below the rim|up\b(?! to)|mark\b|line\b)| *water\b(?! (?:to|up)\b)")),
    ("height", False, re.compile(r"\b(?:height|tall)\W*(?:of |is )?$"), re.compile(r"\W*(?:in )?(?:tall|high|height)\b")),
    ("diameter", False, re.compile(r"\b(?:diameter|dia|across)\W*(?:of |is )?$"), re.compile(r"\W*(?:in |inside |internal )?(?:diameter|across|wide|width|round|dia\b|opening)")),
    ("diameter", True, None, re.compile(r"\W*(?:cylinders?|vases?|bowls?|round|pots?|globes?|fish ?bowls?|jars?|bucket)\b")),
    ("length", False, re.compile(r"\blength\W*(?:of |is )?$|\blong (?:planter|trough|tray|box|tank),? (?:of |is |it's )?$"), re.compile(r"\W*(?:in )?(?:long|length|counter|table|desk|mantel\w*|garland|reception|bar)\b")),
    ("fill_height", True, None, re.compile(r"\W*(?:in |of )?(?:deep|depth)\b")),
    ("depth", False, None, re.compile(r"\W*(?:in )?(?:deep|depth)\b")),
)  # fmt: skip


@dataclass
class SlotReader:
    """Reads slots of one message. `spans` collects what was claimed, so that names are not searched there."""

    text: str
    today: date
    handbook: Handbook
    speaks_us: bool | None = None
    slots: dict[str, Reading] = field(default_factory=dict)
    spans: list[tuple[int, int]] = field(default_factory=list)
    counts: list[Quantity] = field(default_factory=list)
    # Every price said; the slot holds the first.
    prices: list[Claim] = field(default_factory=list)
    packs: list[Claim] = field(default_factory=list)
    impossible: str | None = None
    units_said: set[str] = field(default_factory=set)
    # Every temperature said, in °C, with what was assumed of its scale; and every duration.
    warmth: list[tuple[Quantity, str]] = field(default_factory=list)
    times: list[Quantity] = field(default_factory=list)
    # Names of several words: "september aster" holds no month.
    protected: list[tuple[int, int]] = field(default_factory=list)
    # All names, so that "3 pink peonies" counts no pieces and "it's 60 roses" is no temperature.
    named: list[tuple[int, int]] = field(default_factory=list)

    # --- helpers --------------------------------------------------------------------------------------------------

    def _put(self, name: str, reading: Reading, span: tuple[int, int] | None = None) -> None:
        self.slots.setdefault(name, reading)
        if span:
            self.spans.append(span)

    def _claim(self, claims: Claims) -> None:
        """Put down each claim before the next one is looked for."""
        for claim in claims:
            self._put(claim.slot, claim.reading, claim.span)
            if claim.slot == "price":
                self.prices.append(claim)
            elif claim.slot == "pack_size":
                self.packs.append(claim)

    def _number(self, name: str, q: Quantity, unit: str, assumed: str = "") -> None:
        middle = (q.low + q.high) / 2
        self._put(name, Reading(middle, unit, q.low, q.high, q.said, assumed), (q.start, q.end))

    def _before(self, at: int, size: int = 40) -> str:
        return re.split(r"[.?!;]", self.text[max(0, at - size) : at])[-1]

    def _after(self, at: int, size: int = 30) -> str:
        behind = re.sub(
            r"^\.(?= (?:of|wide|deep|tall|high|long|across)\b)", "", self.text[at : at + size]
        )  # "4 in. of water"
        return re.split(r"[.?!;]", behind)[0]

    # --- the whole ------------------------------------------------------------------------------------------------

    def read_measures(self) -> None:
        """Everything with a unit, a date or a fixed phrase; call before names are searched."""
        self._too_large()
        self.spans += [match.span("hour" if match["hour"] else 0) for match in _CLOCK.finditer(self.text)]
        self.spans += old_prices(self.text)
        self._claim(plain_money(self.text, self.named))
        self._claim(doses(self.text, self._taken))
        self.impossible = impossible_dose(self.text) or self.impossible
        self._gallons_first()
        holds = self._HOLDS.search(self.text)
        if holds is None and ("label_dose" in self.slots or self._AGENT.search(self.text)):
            holds = self._BUCKET_OF.search(self.text)
        if holds is not None and not self._taken(*holds.span(1)):
            value = float(holds[1])
            self._put(
                "volume", Reading(value, "l", said=holds[1], assumed=f"{holds[1]} taken as litres"), holds.span(1)
            )
        self._vessel_sizes()
        self._dimensions()
        quantities = [q for q in find_quantities(self.text) if not self._claimed(q)]
        for q in quantities:
            if q.unit in US_UNITS:
                self.units_said.add("us")
            elif q.unit in METRIC_UNITS:
                self.units_said.add("metric")
        if self.units_said:
            self.speaks_us = "us" in self.units_said and "metric" not in self.units_said
        self.times = [q for q in quantities if q.dimension == "time" and q.low >= 0]
        lengths: list[Quantity] = []
        for q in quantities:
            match q.dimension:
                case "temperature":
                    self._temperature(q)
                case "time":
                    self._time(q)
                case "volume" if q.unit in ("us_tsp", "us_tbsp"):
                    self.spans.append((q.start, q.end))  # spoons measure an agent, never the water
                case "volume" if not q.said.strip()[:1].isdigit() and (
                    self._before(q.start, 5).endswith("per ")
                    or (self._before(q.start, 5).endswith("to ") and q.said.startswith("the "))
                    or q.said.startswith(("per ", "each ", "every "))
                ):
                    self.spans.append((q.start, q.end))  # "2 teaspoons per gallon" names no bucket
                case "volume":
                    self._number("volume", q, "l")
                case "concentration":
                    self._number("concentration", q, "mg/l")
                case "dose":
                    self._number("label_dose", q, q.unit)
                case "share":
                    self._share(q)
                case "length":
                    lengths.append(q)
                case "mass":
                    self._number("mass", q, "kg")
        self._on_its_nth_day()
        self._days_left_out()
        # Sides that say which they are go first: in `10" in a cylinder 8" across` the 10 is what is left.
        for q in sorted(lengths, key=lambda q: self._side(q) is None):
            self._length(self._across(q))
        self._scale_said_first()
        self._held_cold(quantities)
        stood = _STOOD_AT.search(self.text)
        if stood and not self._taken(*stood.span("n")):
            value = float(stood["n"])
            self._temperature(Quantity(value, value, "degree", "temperature", *stood.span("n"), stood["n"]))
        self._claim(prices(self.text, self._taken, self.named, priced=bool(self.prices)))
        if self.prices:
            self.slots["price"] = min(self.prices, key=lambda claim: claim.span or (0, 0)).reading
            self._claim(boxes_bought(self.text, self.slots["price"], self._taken))
            if len(self.named) <= 1:
                self._claim(both_ways(self.prices))
        self._dates()
        self._counts()
        self._shapes()
        self._all_sides()
        self._support()
        self._claim(factors(self.text, priced="price" in self.slots))
        self._claim(parts(self.text))

    def _all_sides(self) -> None:
        """ "A square vase, each side 12 cm": one side told is the length of all."""
        sides = {"width", "length"} & self.slots.keys()
        if len(sides) == 1 and "depth" not in self.slots and _SQUARE.search(self.text):
            side = self.slots[sides.pop()]
            words = f"{side.said.strip()} taken for both sides of a square"
            for name in {"width", "length"} - self.slots.keys():
                self._put(name, replace(side, assumed=words))

    def _claimed(self, q: Quantity) -> bool:
        return self._taken(q.start, q.end)

    def _taken(self, start: int, end: int) -> bool:
        return any(s < end and start < e for s, e in (*self.spans, *self.protected))

    # --- temperature ----------------------------------------------------------------------------------------------

    # "The bucket holds 12", with nothing said of what.
    _HOLDS = re.compile(
        r"\b(?:bucket|tank|bin|dustbin|butt|tub|sink|drum|barrel|churn|vat|pail|jug|urn)s? (?:only |just )?(?:holds?|takes?) (?:about |only |just )?(\d+(?:\.\d+)?)(?=\W*(?:$|[,.?!;] )|\W*(?:so|and|how|what|but|when)\b)"
    )

    _AGENT = re.compile(
        r"\b(?:bleach|chlorine|ppm|glycerine?|sugar|citric|vinegar|(?:flower|plant) (?:food|feed)|preservative)\b"
    )
    # "A bucket of 9", in a message on a mix.
    _BUCKET_OF = re.compile(
        r"\b(?:bucket|tank|bin|dustbin|butt|tub|sink|drum|barrel|churn|vat|pail|jug)(?: of|'s|,? that'?s| is| with)(?: about| only| just)? (\d+(?:\.\d+)?)(?! ?%)(?=\W*(?:$|[,.?!;] )|\W*(?:so|and|how|what|but|when)\b)"
    )

    def _gallons_first(self) -> None:
        """ "Imperial gallons, two": the unit before the number."""
        match = re.search(
            r"\b(imperial|imp|uk|british|us|american)(?: gal(?:lon)?s?)?,? (?:so |then |that's |and )?(\d+(?:\.\d+)?)(?! ?(?:gal|imp|uk|us\b|l\b|lit|pint|ml|g\b|ppm|%|\d))",
            self.text,
        )
        ones = re.search(
            r"\b(?:(?P<imp>imperial|uk|british)|us|american)(?: ones?(?= |\W*$)| gal(?:lon)?s\b)", self.text
        )
        if ones and not re.search(r"\d", self.text) and not self._taken(*ones.span()):
            value = to_si(1.0, "imp_gal" if ones["imp"] else "us_gal")
            self._put("volume", Reading(value, "l", value, value, ones[0]), ones.span())
            self.units_said.add("metric" if ones["imp"] else "us")
        if match is None or "gal" not in match[0] or self._taken(*match.span()):
            return
        us = match[1] in ("us", "american")
        self.units_said.add("us" if us else "metric")
        value = to_si(float(match[2]), "us_gal" if us else "imp_gal")
        self._put("volume", Reading(value, "l", value, value, match[0]), match.span())

    def _scale_said_first(self) -> None:
        """ "Fahrenheit 68": the scale before the number."""
        match = re.search(
            r"\b(fahrenheit|celsius|centigrade),? (-?\d+(?:\.\d+)?)\b(?! ?(?:days|cm|stems|%))", self.text
        )
        if match and not self._taken(match.start(), match.end()):
            unit = "degF" if match[1] == "fahrenheit" else "degC"
            value = to_si(float(match[2]), unit)
            self._put_temperature(Quantity(value, value, unit, "temperature", match.start(), match.end(), match[0]), "")
            self.units_said.add("us" if unit == "degF" else "metric")

    def _temperature(self, q: Quantity) -> None:
        assumed = ""
        if q.unit == "degree":
            q, assumed = self._scale(q)
        self._put_temperature(q, assumed)

    def _scale(self, q: Quantity) -> tuple[Quantity, str]:
        """A degree without a scale: the speaker's habit decides, else the size of the number."""
        storing = bool(_STORING.search(self._before(q.start)) or _STORING.search(self._after(q.end)))
        fahrenheit = self.speaks_us if self.speaks_us is not None else q.high > 45 or (storing and q.low >= 32)
        if self.speaks_us and q.high < (25 if storing else 30):
            fahrenheit = False  # no cooler is set to what freezes flowers
        if not fahrenheit:
            return Quantity(q.low, q.high, "degC", "temperature", q.start, q.end, q.said), f"{q.low:g} taken as °C"
        low, high = ((value - 32) / 1.8 for value in (q.low, q.high))
        return Quantity(
            low, high, "degF", "temperature", q.start, q.end, q.said
        ), f"{q.low:g} taken as °F ({low:.0f} °C)"

    def _put_temperature(self, q: Quantity, assumed: str) -> None:
        if not -30 <= q.low <= q.high <= 60:
            self.spans.append((q.start, q.end))
            self.impossible = f"{q.said.strip()} is no temperature flowers are kept at; give one between -30 and 60 °C (-22 and 140 °F)."
            return
        self.warmth.append((q, assumed))
        before, after = self._before(q.start), self._after(q.end)
        near_before = re.split(r",| then | and (?!at\b)|\bnow\b|\bbut\b", before)[-1]
        near_after = re.split(r",| then | and | now\b|\bbut\b", after)[0]
        stored = not DENIED.search(self.text) and (
            _STORING.search(near_before)
            or re.match(rf"\W*(?:c|f)?\W*(?:in )?(?:the |a |my |our )?(?:{_COOLER})\b", near_after)
        )
        shown = re.search(
            r"\b(?:display|room|shop|office|lobby|venue|vase at|tent|marquee|church|outside)\b", near_before
        )
        set_cold = (
            DENIED.search(self.text) is None
            and re.search(r"\bset (?:to|at) ?$", before)
            and _STORING.search(self.text)
            and q.high <= 16
        )
        name = "storage_temperature" if (stored or set_cold) and not shown else "display_temperature"
        self._number(name, q, "degC", assumed)

    def read_bare_temperatures(self, numbers: list[Quantity]) -> list[Quantity]:
        """Numbers without a unit that can only be degrees ("at 28", "it's 85 in the tent"); returns the rest."""
        rest = []
        for q in numbers:
            before, after = self._before(q.start, 24), self._after(q.end, 24)
            degrees = re.search(
                r"(?:\bat(?: about| around| roughly| say)?|\bto|\bit's|\bits|\bit is|\bis|\bmust be|\bgot to be|\bgotta be|\bhits?|\breach(?:es)?|\bgets? (?:up )?to|\b(?:climbs?|rises?|creeps?|goes|went|raise[ds]?(?: the \w+| it)?) (?:up )?to|\bmake it|\bthat's|\bset (?:to|at)|\b(?:cooler|fridge|chiller|cold ?(?:room|store)|walk-? ?in)(?:'s| is| runs| sits| set| only| just| goes| gets| stays| holds| down| dial| door| gauge| thermometer)* (?:on|at|to|does|reads|says|is|holds|showing|shows|reading)|\b(?:they|these|those|flowers|stems)(?:'ll| will|'re|'d| would| are| then| all| now)* (?:come|coming|go|going|move|moving|get taken|brought|taken|moved) (?:back )?out (?:to|at)|(?:out|going|goes|go|straight|moves?|moving|moved)(?: (?:today|tonight|tomorrow|now))? into|\broom of|\b(?:it|van|room|garage|shed|porch|church|marquee|tent)(?:'s| has)? (?:went|gone|dropped|fell|drops|falls) (?:right |as low as )*(?:down )?to|\bif it's|"
                r"\b(?:heating|thermostat|air ?con(?:ditioning)?|temperature)(?: [a-z]+){0,3} to|\babout|\baround|\blike|\bnearly|\balmost|\bwhat if(?: it's| its| it is| it was)?|\bhot|\bwarm|\broom(?:'?s)?|\bhall(?:'?s)?|\bshop(?:'?s)?|\bup to|\bdown to|\bthere's)(?: (?:about|around|roughly|say|nearly|almost|more like|like|round about|only|now|just|over|under))* ?$", before
            )  # fmt: skip
            filled = re.search(
                r"\b(?:fill\w*|pour\w*)\b[^.,;]{0,16}\b(?:to|at) (?:about |around )?$|\btop\w*\b[^.,;]{0,16}\bto (?:about |around )?$|\bwater (?:up )?to (?:about |around )?$",
                before,
            )
            counted = filled or re.match(
                r"\W*(?:of|stems?|bunch(?:es)?|pieces?|arrangements?|tables?|vases?|times|per|each|a |in a|pm|am|o'clock|cm|more|less|by|x)\b|[ -]*(?:wide|tall|high|deep|across|long|up the side)\b| (?:that )?(?:i|we|she|he|they)(?:'m|'re|'s| am| are| is)? (?:after|wanting|want|wants|need|needs)\b",
                after,
            )
            if re.search(
                r"\b(?:coming|comes|arriv\w+|due|opens?|opening|clos(?:es?|ing)|starts?|starting|collect\w*)(?: in| up| round)? at (?:about )?$",
                before,
            ):
                self.spans.append((q.start, q.end))  # "bride coming in at four"
                continue
            about_heat = re.search(
                r"\b(?:degrees?|temp(?:erature)?|heating|thermostat|air ?con(?:ditioning)?|oven|sauna|boiling|baking|sweltering|freezing|toasty|chilly|warm(?:er)?|hot(?:ter)?|cold(?:er)?|cool(?:er)?|fridge|chiller|heat|tent|marquee|room|celsius)\b",
                self.text,
            )
            corrected = re.match(
                r"\W*(?:(?:oh|ah|so|and|hm+|er|um)\W+)*(?:no\b|sorry|actually|oops|whoops|i tell a lie|make (?:it|that)|forgive me|pardon|my (?:mistake|fault|error|bad)|apologies|i (?:misread|miscounted|misheard|mistyped))",
                self.text,
            )
            felt = re.search(
                r"\b(?:oven|sauna|boiling|baking|sweltering|freezing|toasty|chilly|warm|hot)(?: in (?:here|there))?,? $",
                before,
            )
            if felt and 5 <= q.low <= q.high <= 110 and not counted and not self._counts_a_name(q.end):
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)
                continue
            put_in = re.search(r"\b(?:with|put(?:ting)?) (?:only |just |about )?$", before)
            inside = not put_in and re.match(
                r" (?:in|inside|outside) (?:here\b|there\b|(?:the|her|his|my|our|their) (?:shop|tent|room|marquee|house|hall|office|lobby|church|van|flat|kitchen|venue|shade|sun)\b)| outside(?: today| now| here)?(?=\W*(?:$|[,.?!;]))| where (?:the|my|our|they|it|these|those)\b",
                after,
            )
            roomy = (
                _ROOM_IS.search(before)
                if not counted
                and not re.match(r"\W*(?:people|guests|seats|pews|strong|or so (?:people|guests))\b", after)
                else None
            )
            beside = (
                5 <= q.low <= q.high <= 40
                and not _NO_ROOM.search(self.text)
                and not self._counts_a_name(q.end)
                and (
                    (_ROOM_THEN.search(before) and re.match(r"\W*(?:$|[,.;:?!])(?!\d)", after))
                    or (re.search(r"\b(?:an?|my|our|her|his|their|the) $", before) and _SUCH_A_ROOM.match(after))
                )
            )
            if (inside or beside or (roomy and not self._counts_a_name(q.end))) and 5 <= q.low <= q.high <= 110:
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)
                continue
            if self._counts_a_name(q.end) or (
                corrected and not about_heat and re.search(r"\b(?:it's|its|it is|is|to) ?$", before)
            ):
                rest.append(q)  # "no, it's 96" corrects whatever number was said before
                continue
            moved_on = self.warmth and (
                re.search(r"\b(?:goes|going|go|moves?|moved|moving|off) (?:up |out )?to (?:about )?$", before)
                or (self.times and re.search(r"\b(?:now|then)(?: at| in| it's)? ?$", before))
            )
            if moved_on and 5 <= q.low <= q.high <= 110 and not counted:
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)  # "three days at 25 and now 18"
                continue
            only = re.fullmatch(
                r"\W*(?:and |what about |how about |or |so |ok |what if (?:it's |it is |its )?)*(?:at|if it's|when it's) ?",
                self.text[: q.start],
            )
            if (
                degrees
                and not counted
                and q.low >= -5
                and q.high <= 110
                and (
                    about_heat
                    or re.search(
                        r"\bat|\bif|\bit's|\bits|\bit is|\bmust be|\bhits?|gets? (?:up )?to|climbs?|rises?|creeps?|reach|into|out to|room of|walk-|cold|went|dropped|drops|fell|falls|gone",
                        degrees[0],
                    )
                )
            ) or (only and not counted):
                if re.search(r"\bat $", before) and not about_heat and not only and re.match(r"\W*%", after):
                    rest.append(q)
                    continue
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)
            else:
                rest.append(q)
        return rest

    def _held_cold(self, quantities: list[Quantity]) -> None:
        """ "Held five days at 36F, then out at 70F": the cold one of two temperatures is storage, and so are its days."""
        warm = [q for q in quantities if q.dimension == "temperature"]
        times = [q for q in quantities if q.dimension == "time"]
        if "display_temperature" not in self.slots:
            return
        cold = self.slots["display_temperature"]
        if (
            len(warm) == 1
            and cold.number <= 7
            and "storage_temperature" not in self.slots
            and not re.search(r"\b(?:last|vase|display|live|room|church|porch|outside|outdoors?)\b", self.text)
        ):
            # Nobody shows flowers at three degrees: a lone cold number is a cooler's.
            self.slots["storage_temperature"] = self.slots.pop("display_temperature")
            for name in ("display_days", "elapsed_days"):
                if name in self.slots and "stored_days" not in self.slots:
                    self.slots["stored_days"] = self.slots.pop(name)
            return
        others = [q for q in warm if q.said != cold.said]
        stored = self.slots.get("storage_temperature")
        if stored is not None:  # "in the cold room, 2 °C, for 4 days; off to a 22 °C room now"
            self._stored_for(next((q for q in warm if q.said == stored.said), None), times)
            return
        coldest = _COLDEST_SHOWN_HELD if _HELD.search(self.text) else _COLDEST_SHOWN
        if cold.number > coldest or not others or max(q.high for q in others) <= cold.number:
            if (
                len(warm) == 1
                and cold.number <= _COLDEST_SHOWN
                and re.search(r"\bbefore (?:the|it|they|we|our|my)\b", self.text)
            ):
                self.slots["storage_temperature"] = self.slots.pop(
                    "display_temperature"
                )  # "9 degrees for four days before the wedding"
                self._stored_for(warm[0], times)
            return
        self.slots["storage_temperature"] = self.slots.pop("display_temperature")
        for q in others:
            scaled, assumed = self._scale(q) if q.unit == "degree" else (q, "")
            self._number("display_temperature", scaled, "degC", assumed)
        self._stored_for(next(q for q in warm if q.said == cold.said), times)

    def _stored_for(self, here: Quantity | None, times: list[Quantity]) -> None:
        """The days said right beside the cold temperature are those of storage."""
        if here is None or "stored_days" in self.slots:
            return
        for time in times:
            ahead = re.fullmatch(r"[ ,]*(?:in \w+ )?(?:at |@ )?(?:about )?", self.text[time.end : here.start])
            behind = re.fullmatch(r"[ ,°cf]*(?:for )?(?:about )?", self.text[here.end : time.start])
            if not ahead and not behind:
                continue
            for name in ("display_days", "elapsed_days"):
                if name in self.slots and self.slots[name].said == time.said:
                    self.slots["stored_days"] = self.slots.pop(name)
                    return

    def held_cold_without_a_unit(self) -> None:
        """ "Hold protea at 3": a verb of keeping and a cold bare number speak of the cooler."""
        cold = self.slots.get("display_temperature")
        if cold is None or "storage_temperature" in self.slots or cold.number > 7:
            return
        if re.search(r"\b(?:hold|keep|stor\w*|chill\w*)\b", self.text) and not re.search(
            r"\b(?:last|vase|display|live|room|church|porch|outside|outdoors?)\b", self.text
        ):
            self.slots["storage_temperature"] = self.slots.pop("display_temperature")

    def read_stays(self) -> None:
        """A stretch of the past and the room after it, once every temperature is known; see `assistant.language.stays`."""
        found = way(self.text, sorted((q for q, _ in self.warmth), key=lambda q: q.start), self.times)
        if found is None:
            return
        said = {q.start: assumed for q, assumed in self.warmth}
        for name in ("display_temperature", "storage_temperature"):
            self.slots.pop(name, None)
        for name in ("display_days", "stored_days", "elapsed_days"):
            if found.days is not None and name in self.slots and self.slots[name].said == found.days.said:
                del self.slots[name]
        where = "storage_temperature" if found.cold else "elapsed_temperature"
        how_long = "stored_days" if found.cold else "elapsed_days"
        self._number("display_temperature", found.room, "degC", said.get(found.room.start, ""))
        if found.degC is not None:
            self._number(where, found.degC, "degC", said.get(found.degC.start, ""))
        if found.days is not None:
            self._number(how_long, found.days, "d")
            for time in self.times:  # what stood behind the first time is read now that this one has its place
                if time is not found.days:
                    self._time(time)

    def _counts_a_name(self, end: int) -> bool:
        """Does a name follow within two words ("60 roses", "5 pink peonies")?"""
        return any(
            start >= end
            and re.fullmatch(r" ?(?:(?!overnight\b|outside\b|tonight\b)[a-z'-]+ ){0,2}", self.text[end:start])
            for start, _ in self.named
        )

    # --- time -----------------------------------------------------------------------------------------------------

    def _time(self, q: Quantity) -> None:
        before, after = self._before(q.start, 60), self._after(q.end, 45)
        near_before = re.split(r",| then | and (?:then |now )?|\bbut\b", before)[-1]
        near_after = re.split(r",| then | and | now\b|\bbut\b", after)[0]
        if q.low < 0:
            self.impossible = f"{q.said.strip()} cannot be a time; give a number of days above zero."
            return self.spans.append((q.start, q.end))
        if re.match(r"\W*(?:lasting|old rule|later|earlier)\b", near_after):
            return None
        if re.match(r"(?:a|1) ", q.said.strip()) and re.search(
            r"\b(?:drinks?|uses?|used?|takes? up|gets? through|loses?|water|litres?|ml)\b[^.?!]*\b(?:in|over|per) $|\bdrinks? $",
            before,
        ):
            return self.spans.append((q.start, q.end))  # "drink in a day": a rate, and no deadline
        if (
            _OUT_OF_WATER.search(near_after)
            or _OUT_OF_WATER.search(near_before)
            or re.search(r"\bdry for $", near_before)
        ):
            if (
                re.search(r"\b(?:how|last|survive|will|can|make)\b", near_before)
                and not _BEEN.search(near_before)
                and q.low >= 1
            ):
                return self._number("display_days", q, "d")
            return self._number("dry_days", q, "d")
        cooled = (
            re.search(r"\b(?:walk-? ?in|cooler|fridge|chiller|cold ?(?:room|store))\b.*\bin there (?:for )?$", before)
            or _IN_COOLER.search(near_after)
            or re.match(r"\W*(?:the |a |our )?(?:cooler|fridge|chiller|cold ?(?:room|store)|walk-?in)\b", near_after)
            or re.search(
                r"\b(?:cooler|fridge|chiller|(?:cold )?storage|cold ?(?:room|store)|walk-?in)(?: time| stay| stretch| spell)?(?:'s| is| was| to| at| of| for)+ (?:just |only |about )?$",
                before,
            )
            or (_IN_COOLER.search(near_before) and not re.search(r"\b(?:display|vase|room)\b", near_after))
        )
        if cooled:
            return self._number("stored_days", q, "d")
        if re.search(r"\b(?:will|would|still)\b[^.?!]{0,40}\bafter (?:about )?$", near_before):
            return self._number("display_days", q, "d")  # "will they still be good after 7 days"
        if re.search(
            r"\b(?:i|we)(?:'ve| have) (?:only |just |now )*been (?:here|doing|working|trading|open|at)\b[^.?!,]*$",
            near_before,
        ):
            return self.spans.append((q.start, q.end))  # "I've only been here a month": of the person
        if any(child.start() <= q.start < child.end() for child in _CHILD.finditer(self.text)):
            return self.spans.append((q.start, q.end))
        if self._is_gone(q, near_before, near_after):
            return self._number("elapsed_days", self._with_more(q, before), "d")
        further = re.match(r" (?:further|farther) (?:on|along|gone)\b", near_after)
        if further and re.search(
            r"\b(?:they|these|those|them|it|flowers|blooms|stems|lot|batch)(?:'re|'s|'d| are| is| were| was| had| been| being| already| all| now)* (?:about |say )?$",
            before,
        ):
            return self._number("elapsed_days", replace(q, said=f"further {q.said}"), "d")  # added to the age before
        if (
            re.match(r"\W*(?:on display|in (?:the )?(?:vase|bucket))\b", near_after)
            and _RENEWED.search(self.text)
            and not _BEEN.search(before)
        ):
            return self._number("display_days", q, "d")  # "two weeks on display, how often do I replace them"
        if re.match(r"\W*(?:(?:because |as |since |cos )?that(?:'s| is) how long (?:they|it|these|those)|old(?:er)?|ago|in already|(?:in (?:the|our) (?:shop|store)|with us|on the shelf|out)? ?already|so far|since (?:they|it|we|i|he|she)\b|in (?:(?:the|a) )?(?:vase|bucket)|on the bench|on display)\b", near_after) or re.search(
            r"\b(?:been(?: \w+){0,4}|(?:we|i|they|he|she)(?:'ve| have)? had(?: \w+){1,7} for|had(?: them| it| these| those)?(?: \w+)?|already(?: (?:done|had|been|spent|got|stood|sat))?|(?:has|have|had|'s|'ve) (?:now |already )*(?:stood|sat|done|spent|managed|given (?:me|us))|sitting(?: \w+){0,3}|sat(?: \w+){0,3}|after|since|day) (?:for |about |around |another |a further |an extra )*$", near_before
        ):  # fmt: skip
            return self._number("elapsed_days", self._with_more(q, before), "d")
        return self._number("display_days", self._with_more(q, before), "d")

    def _days_left_out(self) -> None:
        """ "Three days in the cooler and two on the bench", "they're three days old, wedding's in four"."""
        if not self.times:
            return
        for pattern, name in ((_AND_SO_MANY, "elapsed_days"), (_EVENT_IN, "display_days")):
            match = pattern.search(self.text)
            if match is not None and not self._taken(*match.span("n")) and name not in self.slots:
                days = float(match["n"])
                words = f"{match['n']} taken as days"
                self._put(name, Reading(days, "d", days, days, match["n"], words), match.span("n"))

    def _on_its_nth_day(self) -> None:
        """ "They're on day four", "third day in the vase": an age."""
        match = _ON_DAY.search(self.text)
        if match is None or self._taken(*match.span()):
            return
        number = match["n"] or re.sub(r"\D", "", match["nth"])
        day = float(number) if number else float(_NTH.index(match["nth"]) + 1)
        if day >= 1:
            self._put("elapsed_days", Reading(day - 0.5, "d", day - 1, day, match[0]), match.span())

    def _is_gone(self, q: Quantity, before: str, after: str) -> bool:
        """ "Two days of that are gone", "stood in the bucket six days", "five days on them": time that lies behind."""
        if re.match(
            r"\W*(?:of (?:that|those|it|them|this)(?: time)? )?(?:are |is |have |has |were |'s )?(?:already |now )?(?:gone|used up|behind (?:them|it|us)|spent|passed)\b|"
            r"\W*on (?:them|it)\b",
            after,
        ):
            return True
        had = re.search(r"(?:'ve|have|has|'s) had\b[^.?!]{0,50}$", before)
        if had is not None and re.match(r"\W*now\b", self.text[q.end :]):
            return True  # "we've had these out in the shop three days now"
        stood = re.search(r"\b(?:stood|sat|hung)(?: \w+){0,6} (?:for |about |around |now |another )*$", before)
        ahead = re.search(r"\b(?:can|could|will|would|should|may|might|must|shall|do|does|how long)\b", before)
        return stood is not None and ahead is None

    @staticmethod
    def _with_more(q: Quantity, before: str) -> Quantity:
        """ "Another five days": said as more of them, so that the dialogue adds them to those said before."""
        more = re.search(r"\b(?:another|a further|an extra) (?:about )?$", before)
        return replace(q, said=f"{more[0]}{q.said}") if more else q

    # --- the rest of the measures -------------------------------------------------------------------------------------

    def _share(self, q: Quantity) -> None:
        before, after = self._before(q.start, 30), self._after(q.end, 30)
        around = before + " " + after
        if not 0 <= q.low <= q.high <= 100:
            self.impossible = f"{q.said.strip()} is not a share of anything here; give a percentage from 0 to 100."
        elif q.low >= 100 and re.match(r"\W*(?:guarante\w*|sure|certain\w*)\b", after):
            self.impossible = (
                "No order is 100 % sure to suffice; ask for 99 % or less, and I'll add the stems that takes."
            )
        elif re.search(r"\b(?:sure|certain|confident)(?: (?:to|of|at|by))? (?:about |at least )?$", before):
            self._number("confidence", q, "%")  # "sure to 99 per cent, 6 % loss"
        elif re.search(r"\b(?:rh|humid\w*|hygrometer|dehumidifier)\b", around) or _AIRY.search(f"{before}‹›{after}"):
            self._number("humidity", q, "%")
        elif re.match(r"\W*(?:sure|certain\w*|confiden\w*|chance|probab\w*)\b", after):
            self._number("confidence", q, "%")
        elif re.search(
            r"\b(?:loss|losses|los(?:e|es|ing|t)|wast(?:e|ed|age)|shrink\w*|spoil\w*|duds?|duff|bad|breakages?|damages?|damaged|accidents?|casualt\w+|broken|dead|die|rejects?|fail\w*|writ(?:e|ing|ten) off|crushed|crack\w*|no good|binn?(?:ed|ing)?|thrown|throw(?:ing)?|chuck(?:ed|ing)?|useless|unusable|by the (?:board|wayside)|won't make it)\b",
            before + " " + self._after(q.end, 44),
        ) or re.search(r"\ballow(?:ing)?(?: for)?(?: (?:about|another|an extra))? $", before):
            self._number("loss_rate", q, "%")
        elif re.search(r"\b(?:surer?|certain\w*|confiden\w*|chance|probab\w*|safer?|guarante\w*)\b", around):
            self._number("confidence", q, "%")
        elif re.search(r"\b(?:full|filled)\b", around):
            self._number("fill_share", q, "%")
        elif (factor := factor_of_share(q.low, around) or factor_put_on(q.low, before, after, self.text)) is not None:
            self._put("factor", Reading(factor, "ratio", said=q.said), (q.start, q.end))
        elif self.named and re.match(r" (?:more|extra|spare)\b", after) and not self._AGENT.search(self.text):
            self._number("loss_rate", q, "%")  # "60 roses and 10 % extra"
        elif _BY_SO_MUCH.search(f"{before}‹›{after}") and not self._AGENT.search(self.text):
            self.spans.append((q.start, q.end))  # "increase that by 50 %", "20 % fewer"
        elif re.match(r" of (?:that|it|them|those|this|these)\b", after) and not self._AGENT.search(self.text):
            self.spans.append((q.start, q.end))  # "do 50 % of that": a part of a figure or of an order
        elif self.named and added_on(before) and not (self._AGENT.search(self.text) or about_money(self.text)):
            self._number("loss_rate", q, "%")  # "60 roses plus 10 %"
        elif (
            "strength" in self.slots
            and re.search(r"bleach|chlorine|hypochlorite|vinegar", self.text)
            and q.low != self.slots["strength"].number
        ):
            # Two strengths: the bottle's and the one wanted.
            bottle = self.slots["strength"]
            wanted = min(q.low, bottle.number)
            strong = max(q.high, bottle.number)
            self.slots["strength"] = Reading(strong, "%", strong, strong, bottle.said if strong > q.high else q.said)
            self._put("concentration", Reading(wanted * 10_000, "mg/l", said=f"{wanted:g} %"), (q.start, q.end))
        else:
            self._number("strength", q, "%")

    _FILL_SHARE: tuple[tuple[re.Pattern[str], float], ...] = (
        (re.compile(r"\b(?:half ?way(?: up)?|(?:full|filled|fill(?: it)?|up) (?:only |just )?to (?:the )?middle|half[ -]?fill|half full|half filled|filled half|(?:fill(?:ed|ing)?(?: it| them)?|full)(?: only| just)? (?:up )?(?:to )?(?:(?:a|the|about) )*half(?![ -](?:sphere|round|ball|moon|dome|barrel|dozen|litre|liter|gallon|pint))|only half|at half|(?:water|up|it|them) (?:up )?to (?:(?:about|the) )*half(?! (?:an?|of)\b))\b|^\W*(?:(?:and|so|or|ok|just|only|then|no)\W+)*(?:a )?half(?: then| instead| of it| now)?\W*$"), 50.0),
        (re.compile(r"\b(?:2|two)[ -]thirds\b|\b2/3\b"), 200 / 3),
        (re.compile(r"\b(?:3|three)[ -]quarters?\b|\b3/4\b"), 75.0),
        (re.compile(r"\b(?:4|four)[ -]fifths\b|\b4/5\b"), 80.0),
        (re.compile(r"\b(?:9|nine)[ -]tenths\b"), 90.0),
        (re.compile(r"\b(?:a|one|1)[ -]third\b|\b1/3\b|\b(?:filled|fill|full) third\b|\bthird (?:full|of (?:the )?way)\b"), 100 / 3),
        (re.compile(r"\b(?:a|one|1)[ -]quarter (?:full|of the way)\b"), 25.0),
        (re.compile(r"\bto the (?:rim|brim|top)\b|\bbrim ?full\b|\bfill\w*(?: it| them)? (?:right|all the way) up\b|\bright up to the\b"), 100.0),
    )  # fmt: skip

    def _fill_shares(self) -> None:
        told = _VESSELISH.search(self.text) or re.search(
            r"^\W*(?:(?:and|so|or|ok|now|then)\W+)*(?:right |all the way )?(?:up )?to the (?:rim|brim|top)\b|\bfull of water\b|\bfill(?:ed|ing)?(?: (?:it|them|when|to|only)\b|\W*$)|\bwater (?:is |was |stands |only |just |to |up )*half ?way\b|"
            r"\b(?:half|thirds?|quarters?|fifths?|tenths?|3/4|2/3|1/3|1/2) (?:full|filled|of the way)\b|\bhalf ?way (?:up|mark)\b|\bstop\w* (?:at |it )?half ?way\b|\b(?:put|pour|water)\w*\b[^.?!]{0,24}\bto half ?way\b|^\W*(?:(?:and|so|or|ok|just|only|then|no)\W+)*(?:(?:a )?half|(?:2|two)[ -]thirds|(?:3|three)[ -]quarters)(?: then| instead| of it| now)?\W*$",
            self.text,
        )
        if not told or not re.search(
            r"\b(?:fill\w*|full|water|way|half-?way|only half|rim|brim|top)\b|^\W*(?:[a-z]+\W+)*(?:half|\d[ -](?:thirds|quarters))\b",
            self.text,
        ):
            return
        for pattern, share in self._FILL_SHARE:
            match = pattern.search(self.text)
            if match:
                self._put("fill_share", Reading(share, "%", share, share, match[0]), (match.start(), match.end()))
                return

    _RING_SIDE = r"(?: (?:one|diameter|side|edge|ring|width|in the middle))?(?:'s| is| of|,|:)* ?"
    _RING: tuple[tuple[str, re.Pattern[str], re.Pattern[str]], ...] = (
        ("outer", re.compile(rf"\bout(?:er|side){_RING_SIDE}{_SIZE}"), re.compile(rf"{_SIZE} ?(?:outside|outer)\b")),
        ("inner", re.compile(rf"\b(?:inner|inside|hole){_RING_SIDE}{_SIZE}"),
         re.compile(rf"{_SIZE} ?(?:for |in |across )?(?:the |its )?(?:hole|middle|inside|inner)\b")),
    )  # fmt: skip

    def _ring_sides(self) -> None:
        """ "Ring tray, 40 outside, 26 the hole", "outer 30, inner 20": the word before its number, or after it."""
        word = re.search(r"\b(?:outer|outside|inner|inside|hole)\b", self.text)
        number = re.search(r"\d", self.text)
        if word is None or number is None or not re.search(r"\b(?:rings?|wreaths?)\b", self.text):
            return
        first = [(n, m) for n, ahead, _ in self._RING if (m := ahead.search(self.text))]
        last = [(n, m) for n, _, behind in self._RING if (m := behind.search(self.text))]
        ahead_of_it = len(first) > len(last) or (len(first) == len(last) and word.start() < number.start())
        found, others = (first, last) if ahead_of_it else (last, first)
        # "40 outside, hole in the middle of 25": the other side may be put the other way round.
        apart = [(n, m) for n, m in others if all(n != k and m.start("n") != f.start("n") for k, f in found)]
        found = [*found, *apart]
        units = [match["unit"] for _, match in found if match["unit"]]
        common = units[-1] if units else "in" if self.speaks_us else "cm"
        for name, match in found:
            unit = match["unit"] or common
            value = to_si(to_number(match["n"]), _LENGTH_UNITS.get(unit, unit))
            self._put(name, Reading(value, "cm", value, value, match[0].strip()), match.span())

    _INCHED = re.compile(
        r"\d ?(?:inch(?:es)?|in\b(?= (?:x|by|wide|deep|across|tall|high|of water|bore|over|long|diameter)\b)|\"|f(?:oo|ee)t\b|ft\b)|\ban? (?:inch|foot)\b"
    )
    _METRIC = re.compile(r"\d ?(?:cms?|mms?|centimet\w+|millimet\w+|met(?:re|er)s?|m)\b")

    def _vessel_sizes(self) -> None:
        """Sizes without a unit are in inches where all the others are, else in what the person has been using."""
        inched, metric = self._INCHED.search(self.text), self._METRIC.search(self.text)
        inches = self.speaks_us if bool(inched) == bool(metric) else bool(inched)
        for claim in vessel_sizes(self.text, self._taken, bare=2.54 if inches else 1.0):
            self._put(claim.slot, claim.reading, claim.span)
            if re.search(r"inch|foot|feet|ft|\"", claim.reading.said):
                self.units_said.add("us")
            elif re.search(r"[cm]m|met(?:re|er)", claim.reading.said):
                self.units_said.add("metric")

    def _dimensions(self) -> None:
        self._fill_shares()
        self._ring_sides()
        for match in _BY.finditer(self.text):
            word = match["u"] or match["ua"] or match["ub"]
            units = _units_by(match)
            a, b = (to_si(to_number(match[side]), unit) for side, unit in zip("ab", units, strict=False))
            self.units_said.add("us" if units[0] in ("in", "ft") else "metric")
            span = (match.start(), match.end())
            said = match[0].strip()
            assumed = "" if word else "sizes taken in cm"
            if match["c"]:
                c = to_si(to_number(match["c"]), units[2])
                for name, value in (("length", a), ("depth", b), ("height", c)):
                    self._put(name, Reading(value, "cm", said=said, assumed=assumed), span)
            elif _BOXY.search(self.text):
                for name, value in (("length", a), ("depth", b)):
                    self._put(name, Reading(value, "cm", said=said, assumed=assumed), span)
            elif re.search(r"\b\d+(?:\.\d+)? ?(?:cm )?deep\b", self.text) and not _VESSELISH.search(self.text):
                for name, value in (("length", a), ("depth", b)):  # two sides and a depth: a box of some sort
                    self._put(name, Reading(value, "cm", said=said, assumed=assumed), span)
                self._put("shape", Reading("box", "id", said="box"))
            elif re.search(r"\b(?:cylinder|vase|bowl|bucket|pot|tank|jar)s?\b", self.text):
                self._put("diameter", Reading(a, "cm", said=said, assumed=assumed), span)
                self._put("height", Reading(b, "cm", said=said, assumed=assumed), span)
            else:
                self._put("width", Reading(a, "cm", said=said, assumed=assumed), span)
                self._put("height", Reading(b, "cm", said=said, assumed=assumed), span)

    def _too_large(self) -> None:
        far = re.search(r"\b\d[\d.,]* ?(?:km|kilomet(?:re|er)s?|miles?)\b", self.text)
        if far:
            self.impossible = f"{far[0]} is larger than any piece; give sizes in centimetres, metres, inches or feet."

    def _length(self, q: Quantity) -> None:
        """A length's slot: the side said beside it, else what is left for it to be."""
        before, after = self._before(q.start, 34), self._after(q.end, 34)
        if re.match(r"\W*(?:bloom|head|flower|stems?|roses?|long stems?)\b", after) and not re.match(
            r"\W*long (?:counter|table|garland)", after
        ):
            return self.spans.append((q.start, q.end))  # the length of a stem, not of the piece
        of_a_person = re.search(r"\b(?:she|he|i|they)(?:'s|'m|'re| is| am| are) (?:only |just |about )?$", before)
        if of_a_person and not re.match(r"\W*(?:across|wide|in diameter|deep|long|over|at the|by|x)\b", after):
            return self.spans.append((q.start, q.end))  # "she's 5 foot nothing"
        if re.search(r"\b(?:that's|that is|i\.?e\.?|so) $", before) and any(
            abs(self.slots[name].number - (q.low + q.high) / 2) < 0.5
            for name in ("length", "diameter", "width", "height")
            if name in self.slots
        ):
            return self.spans.append((q.start, q.end))  # "a metre long, that's 100 centimetres"
        if "diameter" in self.slots and self.slots["diameter"].said == q.said and self._taken(q.start, q.end):
            return None  # a radius or a way round, read as the diameter it makes
        name = self._side(q)
        if name is None and re.match(r"[ -]*(?:mark|line|level)\b(?! (?:flowers?|material|stems?))", after):
            name = "fill_height"  # "stopping at the five inch mark", of a vessel spoken of before
        if name is None and re.fullmatch(
            r"\W*(?:(?:and|so|or|ok|now|then)\W+)*(?:up |only )*to (?:about |just |only )?", self.text[: q.start]
        ):
            name = "fill_height"  # "and to half a metre?", of the water
        if (
            name is None
            and "fill_height" not in self.slots
            and self._poured(before, after)
            and (self._has_side() or self._only_pours(q))
        ):
            name = "fill_height"
        if name is None:
            name = "diameter" if self._round() and "diameter" not in self.slots else "width"
            name = name if name not in self.slots else "height"
        return self._number(name, q, "cm")

    def _across(self, q: Quantity) -> Quantity:
        """A radius or a way round as the diameter it makes; any other length as it is."""
        before, after = self._before(q.start, 34), self._after(q.end, 34)
        if re.search(r"\bradius\W*(?:of |is )?$", before) or re.match(r"\W*(?:in )?radius\b", after):
            factor = 2.0
        elif re.search(r"\bcircumference\W*(?:of |is )?$", before) or re.match(
            r"\W*(?:in circumference\b|(?:a)?round the (?:outside|middle|widest|rim)\b)", after
        ):
            factor = 1 / math.pi
        else:
            return q
        self._number(
            "diameter",
            replace(q, low=q.low * factor, high=q.high * factor),
            "cm",
            f"{q.said.strip()} across the half" if factor == 2.0 else f"{q.said.strip()} round",
        )
        return q

    def _side(self, q: Quantity) -> str | None:
        """The side that the words beside a length say it is; None where they say nothing."""
        before, after = self._before(q.start, 34), self._after(q.end, 34)
        vesselish = bool(
            _VESSELISH.search(self.text)
            or re.search(r"\b(?:fill\w*|of water|how much water|water is|water'?s)\b", self.text)
        )
        for name, needs_vessel, ahead, behind in _SIDES:
            if (needs_vessel and not vesselish) or name in self.slots:
                continue
            if (ahead and ahead.search(before)) or (behind and behind.match(after)):
                if name == "diameter" and re.match(r"\W*wide", after) and not self._round():
                    return "width"
                return name
        return None

    def _has_side(self) -> bool:
        return any(name in self.slots for name in ("diameter", "width", "length"))

    def _only_pours(self, q: Quantity) -> bool:
        """ "I'm only putting 2 cm in": said of a vessel spoken of before."""
        return re.search(r"\b(?:put(?:ting)?|pour\w*|fill\w*)\b[^.,;]{0,12}$", self._before(q.start)) is not None

    @staticmethod
    def _poured(before: str, after: str) -> bool:
        """Is a length without a side what stands in the vessel: "put 10 inches in a cylinder"?"""
        return re.match(r"\W*(?:in|into)\b(?! (?:diameter|height|width|length|depth|all))", after) is not None or (
            re.search(r"\b(?:put|pour\w*|fill\w*|water)\b[^.,;]{0,12}$", before) is not None
        )

    def _round(self) -> bool:
        if re.search(r"\b(?:cube|square)\b", self.text):
            return False
        return bool(
            re.search(
                r"\b(?:(?:cylinder|vase|bowl|bucket|pot|urn|compote|dome|ring|wreath|jar)s?|diameter|round)\b",
                self.text,
            )
        )

    def _both_ahead(self) -> None:
        """ "For the 12th, bought on the 9th": days of one month ahead of us are the days in between, not last month's."""
        since, until = self.slots.get("since_date"), self.slots.get("until_date")
        if since is None or until is None or not since.said.startswith("the ") or since.day.day > until.day.day:
            return
        start = until.day.replace(day=since.day.day)
        if start > self.today and re.search(
            r"\b(?:buy\w*|gett?\w*|order\w*|pick\w*|collect\w*|com(?:e|ing)|arriv\w+)\b", self.text
        ):
            days = float((until.day - start).days)
            del self.slots["since_date"], self.slots["until_date"]
            said = f"{since.said} to {until.said}"
            self.slots["display_days"] = Reading(days, "d", days, days, until.said, f"{said} counted as {days:g} days")

    def _dates(self) -> None:
        wrong = impossible_date(self.text, self.today)
        if wrong:
            self.impossible = f"There is no {wrong}; give a day the calendar has."
        lasting = find_date_range(self.text, self.today)
        if lasting is not None:
            span = (lasting.start, lasting.end)
            whole = lasting.first.day == lasting.last.day == 1  # "all of december" is a month asked about as well
            if whole:
                self._put("month", Reading(float(lasting.first.month), "month", said=lasting.said), span)
            if whole and _SUPPLY.search(self.text):
                lasting = None
        if lasting is not None:
            span = (lasting.start, lasting.end)
            self._put("start_date", Reading(lasting.first, "date", said=lasting.said), span)
            days = float((lasting.last - lasting.first).days)
            self._put("display_days", Reading(days, "d", days, days, lasting.said, f"{lasting.said}: {days:g} days"))
        for said in find_dates(self.text, self.today):
            if self._taken(said.start, said.end):
                continue
            name = {"past": "since_date", "until": "until_date", "start": "start_date"}.get(said.direction)
            if name is None:
                name = "since_date" if said.day < self.today else "until_date" if said.day > self.today else None
            if name == "until_date" and said.day < self.today:
                name = "since_date"
            if name:
                self._put(name, Reading(said.day, "date", said=said.said), (said.start, said.end))
        self._both_ahead()
        month = find_month(self.text)
        if month and not self._taken(month[1], month[2]):
            self._put(
                "month", Reading(float(month[0]), "month", said=self.text[month[1] : month[2]]), (month[1], month[2])
            )
        season = find_season(self.text)
        if season and not self._taken(season[2], season[3]):
            self._put(
                "month",
                Reading(float(season[1]), "month", said=season[0], assumed=f"{season[0]} taken as its middle month"),
                (season[2], season[3]),
            )

    _STEMS = re.compile(
        r"(-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(\d+)| or more)? ?(?:good |sound |perfect |decent |nice |usable |fresh |single |individual |long |cut )?(?:stems?|blooms?|heads?|flowers|blades|fronds|(?<=\d or more good )ones|(?<=\d good )ones|(?<=\d usable )ones|(?<=\d sound )ones|(?<=\d or more usable )ones)\b"
    )
    _BUNCHES = re.compile(
        r"(-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(\d+))? ?(?:whole |full |big |more (?=[a-z]+ of [a-z]))?(?:bunch(?:es)?|bchs?|bundles?|wraps?|packs|packets|sleeves)\b"
    )
    _PIECES = re.compile(
        r"(-?\d+)(?: (?!(?:an?|and|at|in|then|of|for|to|on|the|by|with|or|per|each|every)\b)[a-z]+){0,2}?(?: |(?<=\d))(?:pieces?|arrangements?|centre ?pieces?|center ?pieces?|vases\b|tables?|trestles|hoops|bouquets?|displays?|designs?|window ?boxes|planters|hampers|crates|jugs|swags|arches|pedestals|plinths|(?:pew|chair) ends|pews|chairs|lanterns\b(?= (?:to|with|each|for|,))|tins|bottles|"
        r"urns|pots|buttonholes|boutonnieres|corsages|bridesmaids?|garlands|wreaths|jars|posies)\b(?! of (?!\d))"
    )
    _VESSELS = re.compile(
        r"(?<![\d.])(\d{1,3}) (?:full )?(?:[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? ?(?:x|by) ?[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? |of (?:them|these) |of (?:the|my|our|those) (?:(?:small|little|wee|big|large|tall|other|old|new|same|blue|green|black|white) )?|identical |such |same |\d+(?:\.\d+)? ?(?:l|lit(?:re|er)|cm|inch|gallon)s? )?(?:(?:cylinder|glass|round|bud|water|flower) )?(?:cylinders|vases|bowls|troughs|jars|urns|tanks|cubes|buckets|pails|churns|rings|trays|tubes|globes|fish ?bowls|jugs)\b"
    )
    _OUT_OF = re.compile(r"\b(\d+) (?:times |cases )?out of (\d+)(?: cases| times)?\b(?! (?:are|is|turn|were|get|go))")
    # "Nine chances in ten", "tighten that to 95 in a hundred": how sure an order must be.
    _CHANCES = re.compile(
        r"\b(\d+) (?:chances?|times|cases) (?:in|out of) (?:every )?(\d+|a hundred)\b|\b(?:tighten\w*|loosen\w*|be|make)(?: (?:it|that|this))?(?: sure)? (?:to|of|in) (\d+) (?:in|out of) (?:every )?(\d+|a hundred)\b"
    )
    _EACH = re.compile(
        r"(?:\bat |\bwith |\busing |\btakes? )?(\d+)(?: of (?:them|these|those))?(?: stems?)?(?: (?:go|goes|going|gets put))? (?:per|a|in each|in every|to a|to each|for each|each|in a|on each|on every) ?(?:window ?box|planter|hamper|crate|jug|swag|arch|pedestal|plinth|tin|bottle|jar|chair|pew|basket|tray|box|bowl|bucket|pot|guest|place|piece|table|vase|arrangement|bouquet|centre ?piece|center ?piece|posy|design|bridesmaid|buttonhole|urn|jar|wreath|corsage|garland|trestle|hoop|place card|card|cloche|one)\b|"
        r"(?<!\bbunches, )(?:\bwith |\busing |\btakes? )(\d+)(?: stems?)? (?:in|on|to|for) each(?=\W*$|[,.?!;])|"
        r"\b(?:vases|jars|urns|bowls|posies|bouquets|pots) of (\d+)(?: of (?:them|these|those|it))?(?=\W*$|[,.;?!])|"
        r"\b(\d+) (?:stems )?of (?:each|both|either)\b(?! (?:vase|table|jar|piece|bunch))|\b(\d+) of (?:the )?(?:1|one),? and \5 of the other\b"
    )

    # "A second one just like it, so the figure for the pair", "the same again beside it".
    _A_SECOND = re.compile(
        r"\b(?:and|with) (?:its|the|a) twin\b|\b(?:a second|another|a matching|a twin)(?: (?:one|vase|bowl|cylinder|urn|jar|bucket|trough|tank|pot|jug|churn))?,? (?:just |exactly )?(?:like (?:it|that|this|the first)|the same(?: size)?|alike|identical|beside it|next to it)\b|"
        r"\b(?:figure|total|litres|water|lot|amount|weight|(?:how (?:much|many|heavy)[^.?!]*)) (?:for|of|in|are) (?:the (?:pair|two)|both)(?: of (?:them|those|these))?(?=\W*$|[,.?!])|"
        r"^\W*(?:(?:and|so|ok|now) )*(?:for )?(?:the|a) (?:matching )?pair(?: (?:of (?:them|those|these)|then|please|now|altogether))*\W*$"
    )

    _SEVERAL = re.compile(r"\b(?:buckets|tanks|bins|tubs|sinks|pails|churns|urns|jugs|drums|vases)\b")
    # Sizes without a unit, which are read after the counts.
    _SAID_WIDE = re.compile(r"\d (?:across|wide|in diameter|dia)\b")
    _SAID_FILLED = re.compile(r"\d (?:of water|deep|up)\b|\bup to \d|\bfill\w*[^.,;\d]{0,16} \d")
    _MEASURED = re.compile(r",? ?(?:of |that are )?\d+(?:\.\d+)? ?(?:cm|inch|in\b|mm|wide|across)")
    # "6 inch of water, 60 of em", "there are twenty": how many of the vessel just measured.
    _ALIKE = re.compile(
        r"[,;.] ?(?:and )?(?:(?:there(?:'s| are)|i've(?: got)?|we've(?: got)?|got) )?(\d{1,3}) of (?:them|em|'em|these|those)\b|"
        r"\bthere(?:'s| are|'re) (\d{1,3})(?=\W*$|[,.;]| and\b)"
    )

    def _vessels_alike(self) -> None:
        """The count of a vessel whose sizes the message gives; what flowers it names may be counted instead."""
        several = list(self._VESSELS.finditer(self.text))
        measured = [m for m in several if self._MEASURED.match(self.text[m.end() :])]
        if len(several) > 1 and len(measured) == 1 and not self._taken(*measured[0].span(1)):
            # "Two buckets, ten litres each, for filling five cylinders 15 cm across": what has a size is filled.
            self._put("pieces", Reading(float(measured[0][1]), "pieces", said=measured[0][0]), measured[0].span(1))
            return
        second = self._A_SECOND.search(self.text)
        if second and not re.search(r"\d", self.text) and not self.named:
            self._put("pieces", Reading(2.0, "pieces", said=second[0].strip()))
            return
        wide = {"diameter", "width", "length"} & self.slots.keys() or self._SAID_WIDE.search(self.text)
        filled = {"fill_height", "height"} & self.slots.keys() or self._SAID_FILLED.search(self.text)
        sized = (wide and filled) or ("volume" in self.slots and self._SEVERAL.search(self.text))
        alike = self._ALIKE.search(self.text)
        if not sized or alike is None or self.named or "pieces" in self.slots:
            return
        group = 1 if alike[1] else 2
        if not self._taken(alike.start(group), alike.end(group)):
            span = (alike.start(group), alike.end(group))
            self._put("pieces", Reading(float(alike[group]), "pieces", said=alike[0].strip(" ,;.")), span)

    def _counts(self) -> None:
        broken = re.search(r"\bbunch(?:es)? of \d+\.\d+", self.text)
        if broken:
            self.impossible = f"A {broken[0]} cannot be tied; give a whole number of stems."
        self._claim(losses(self.text, self._taken))
        self.spans += no_counts(self.text)
        times = re.fullmatch(
            r"\W*(?:and |so |ok |no,? )*(?:x ?|times )(\d{1,3})(?:,? (?:please|rather|instead|then|now|actually))*\W*",
            self.text,
        ) or re.match(
            r"\W*(?:and |so |ok )*x ?(\d{1,3})(?=,? (?:total|altogether|in all|how|what|litres|liters)\b[^\d]*$)",
            self.text,
        )
        if times:
            self._put("pieces", Reading(float(times[1]), "pieces", said=times[0]), (times.start(1), times.end(1)))
        self._vessels_alike()
        self._claim(pieces(self.text, self._taken, self._counts_a_name))
        odds = self._CHANCES.search(self.text) or self._OUT_OF.search(self.text)
        good, of = [int(g) if g.isdigit() else 100 for g in odds.groups() if g] if odds else (0, 0)
        if odds and 0 < good < of and not self._taken(*odds.span()):
            value = 100 * good / of
            self._put("confidence", Reading(value, "%", value, value, odds[0]), (odds.start(), odds.end()))
        if "pieces" not in self.slots and re.search(
            r"\b(?:each|every|apiece|a piece|per)\b|\b\d+ an? [a-z]+\b|\b(?:to|in|on|for) (?:a|an) [a-z]+\b", self.text
        ):
            for match in re.finditer(r"(?<![\d.])(\d{1,4}) (?:[a-z]+ )?([a-z]{3,}s|people)\b", self.text):
                free = (
                    not self._taken(match.start(), match.end())
                    and not self._counts_a_name(match.end(1))
                    and match[2] not in _NO_PIECES
                    and match[2].rstrip("s") not in _NO_PIECES
                )
                if free and re.search(
                    rf"\b(?:each|every|apiece|a piece)\b|\b(?:a|per|each) {re.escape(match[2][:-1])}\b", self.text
                ):
                    self._put(
                        "pieces", Reading(float(match[1]), "pieces", said=match[0]), (match.start(1), match.end(1))
                    )
                    break
        self._claim(boxed(self.text, self._taken))
        for match in self._EACH.finditer(self.text):
            group = next(n for n, number in enumerate(match.groups(), 1) if number)
            if not self._taken(match.start(group), match.end(group)):
                value = float(match[group])
                self._put("stems", Reading(value, "stems", said=match[0]), (match.start(), match.end()))
        self._claim(packs(self.text, self._taken))
        vessels = list(self._VESSELS.finditer(self.text))
        if (
            len(vessels) > 1
        ):  # "will two buckets do for filling five cylinders, 15 cm wide": those with a size are filled
            vessels.sort(
                key=lambda m: (
                    not re.match(
                        r",? ?(?:of |that are )?\d+(?:\.\d+)? ?(?:cm|inch|in\b|mm|wide|across)", self.text[m.end() :]
                    )
                )
            )
        for match in vessels:
            if not self._taken(match.start(1), match.end(1)):
                self._put("pieces", Reading(float(match[1]), "pieces", said=match[0]), (match.start(1), match.end(1)))
        for name, pattern in (("bunches", self._BUNCHES), ("stems", self._STEMS), ("pieces", self._PIECES)):
            for match in pattern.finditer(self.text):
                if any(s < match.end(1) and match.start(1) < e for s, e in self.spans):
                    continue
                value = float(match[1])
                if value < 0 or (value == 0 and name != "bunches"):
                    self.impossible = f"{match[0].strip()} cannot be ordered or arranged; give a number above zero."
                elif value == 0:
                    self.impossible = f"{match[0].strip()} is nothing to work with; give a number above zero."
                elif value > 1_000_000:
                    self.impossible = (
                        f"{match[0].strip()} is more than any shop handles; give a number under a million."
                    )
                name_span = (match.start(1), match.end())
                of_something = name != "pieces" and re.match(
                    r" of (?!them|these|those|it\b|each)[a-z]", self.text[match.end() :]
                )
                if name in self.slots or of_something:
                    # "8 stems of stock": it belongs to the material and is read again beside its name.
                    self.counts.append(
                        Quantity(
                            value,
                            float(match[2]) if name != "pieces" and match[2] else value,
                            name,
                            "count",
                            match.start(1),
                            match.end(),
                            match[0],
                        )
                    )
                    self.spans.append(name_span)
                    continue
                self._put(name, Reading(value, name, said=match[0]), name_span)
                self.counts.append(Quantity(value, value, name, "count", match.start(1), match.end(), match[0]))

    _GLOBE = re.compile(r"\bglobes?\b(?! (?:thistle|amaranth|artichoke|flower))")

    def _shapes(self) -> None:
        form = re.search(
            r"\b(?:dome|garland|posy|bouquet|ball shape|fan shape|fan|swag|crescent|centre ?piece|center ?piece|wreath)\b",
            self.text,
        )
        if form:
            self._put("form", Reading(form[0], "id", said=form[0]))
        vessel = self._named_vessel()
        sided = re.search(rf"\b(?:{_FOUR_SIDED})\b", self.text)
        if sided:
            self.spans.append(sided.span())
        if vessel == "cylinder-vase" and (sided or re.search(r"\b(?:square|cube|rectang\w+)\b", self.text)):
            vessel = None  # a vase that is no cylinder
        if vessel == "tray" and re.search(r"\bring\b", self.text):
            vessel = None  # "a ring-shaped tray"
            self._put("shape", Reading("ring", "id", said="ring"))
        if vessel is None and self._GLOBE.search(self.text):
            self._put("shape", Reading("bowl", "id", said="globe"))  # "a round one, a globe"
        if vessel:
            self._put("vessel", Reading(vessel, "id", said=vessel))
            return
        for shape, pattern in _SHAPES:
            if pattern.search(self.text):
                self._put("shape", Reading(shape, "id", said=shape))
                return

    def _named_vessel(self) -> str | None:
        best: tuple[int, str] | None = None
        padded = f" {key_of(self.text)} "
        for row in (row for table in self.handbook.tables.values() for row in table.vessels):
            for name in (row.title, row.id.replace("-", " "), *row.names):
                key = key_of(name)
                named = f" {key} " in padded or f" {key}s " in padded
                if named and (best is None or len(key) > best[0]):
                    best = (len(key), row.id)
        return best[1] if best else None

    def _support(self) -> None:
        for support, pattern in _SUPPORTS:
            for match in pattern.finditer(self.text):
                if (
                    support != "out-of-water"
                    and not match[0].startswith(("no ", "without", "w/o"))
                    and _NOT.search(self.text[max(0, match.start() - 24) : match.start()])
                ):
                    continue
                if support == "foam-kept-wet" and re.match(r"[ -]free", self.text[match.end() :]):
                    continue
                self._put("support", Reading(support, "id", said=match[0]))
                break
            if "support" in self.slots:
                break
        if _DRY_STORE.search(self.text):
            self._put("storage_method", Reading("dry", "id", said="dry"))
        elif _WET_STORE.search(self.text):
            self._put("storage_method", Reading("wet", "id", said="in water"))

    def read_surroundings(self) -> None:
        """Places and audiences; call after names were found, so that baby's breath is no baby."""
        hidden = self._without_spans()
        audience = tuple(
            name
            for name, pattern in AUDIENCE
            if pattern.search(hidden) or (name == "children" and _CHILD.search(self.text))
        )
        place = self._place(hidden)
        if place:
            self._put("place", Reading(place, "id", said=place))
        for name, patterns in (("kinds", _KINDS), ("roles", _ROLES)):
            found = tuple(value for value, pattern in patterns if pattern.search(hidden))
            if found:
                self._put(name, Reading(found, "ids", said=", ".join(found)))
        if audience:
            self._put("audience", Reading(audience, "ids", said=", ".join(audience)))

    def _without_spans(self) -> str:
        text = list(self.text)
        for start, end in self.spans:
            text[start:end] = " " * (end - start)
        return "".join(text)

    def _place(self, text: str) -> str | None:
        best: tuple[int, str] | None = None
        padded = f" {key_of(_FLAT.sub(' ', text))} "
        for row in (row for table in self.handbook.tables.values() for row in table.places):
            for name in (row.title, row.id.replace("-", " "), *row.names):
                key = key_of(name)
                if f" {key} " in padded and (best is None or len(key) > best[0]):
                    best = (len(key), row.id)
        return best[1] if best else None


def counts_beside(mentions: list[Mention], reader: SlotReader, numbers: list[Quantity]) -> Iterator[Mention]:
    """Give each mention the count that stands beside it: "12 roses", "2 bunches of salal", "8 stems of stock"."""
    from dataclasses import replace

    used: set[int] = set()
    for mention in mentions:
        found: dict[str, float] = {}
        for q in [*reader.counts, *numbers]:
            if q.start in used:
                continue
            times = q.unit == "" and re.fullmatch(r"\W{0,2}(?:x|times) ?", reader.text[mention.end : q.start])
            if times and "stems" not in found:
                found["stems"] = q.high  # "anemones x 75"
                used.add(q.start)
                continue
            of_that = re.match(r" of (?:that|those|them|it)\b", reader.text[q.end :])
            if q.unit == "" and of_that and "stems" not in found and mention is mentions[-1] and mention.end <= q.start:
                found["stems"] = q.high  # "solidago to go with them, 60 of that"
                used.add(q.start)
                continue
            between = reader.text[q.end : mention.start] if q.end <= mention.start else None
            if between is not None and re.fullmatch(
                r"[ ]*(?:(?:of|good|nice|fresh|white|red|pink|more|the|those|these|cut|big|standard|long|x|-|[a-z]+ed|[a-z]*)[ ]*){0,3}",
                between,
            ):
                if any(other.start >= q.end and other.end <= mention.start for other in mentions):
                    continue
                if reader.text[: q.start].endswith("room of "):
                    continue  # "in a room of 22 the crocosmia"
                if reader.text[: q.start].endswith("at ") and re.match(r"\s*(?:for|with|in)\b", between):
                    continue  # "at 22 for the ginger" is a temperature
                kind = "bunches" if q.unit == "bunches" else "stems" if q.unit in ("stems", "") else None
                if kind and (q.unit or len(between.split()) <= 2) and q.unit != "pieces":
                    found[kind] = q.high
                    used.add(q.start)
        had_none = re.search(
            r"\b(?:had|has|have|got|there(?:'s| is| are| was| were)) 0 (?:[a-z]+ )?$", reader.text[: mention.start]
        )
        if found.get("stems") == 0 and had_none:
            mention, found = replace(mention, unavailable=True), {}  # "the market had zero waratah"
        if found.get("stems", 1) % 1:
            reader.impossible = f"{found['stems']:g} {mention.said} cannot be cut; give a whole number of stems."
        if found.get("stems", 1) <= 0 or found.get("bunches", 1) <= 0:
            reader.impossible = (
                f"{min(found.values()):g} {mention.said} cannot be ordered or arranged; give a number above zero."
            )
        yield replace(mention, stems=found.get("stems"), bunches=found.get("bunches")) if found else mention
    for q in numbers:
        if q.start in used:
            reader.spans.append((q.start, q.end))
