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
from assistant.language.packs import packs
from assistant.language.prices import factor_of_share, factors, plain_money, prices
from assistant.language.quantities import METRIC_UNITS, US_UNITS, Quantity, find_quantities, to_number, to_si
from assistant.language.question import Mention, Reading

# Plural words that count no pieces.
_NO_PIECES = frozenset(
    """
    stems stem blooms heads flowers leaves days weeks hours months years degrees litres liters gallons pints quarts cups grams percent bunches bundles
    parts times dozens inches centimetres millimetres feet metres bricks blocks wraps packs boxes visits sprays blades fronds branches spoons tablespoons teaspoons
    """.split()
)
_COOLER = r"cooler|fridge|refrigerat\w*|cold ?(?:store|storage|room)|walk-?in|chiller|chilled|storage|stored|storing|(?:(?<=to )|(?<=i )|(?<=we )|(?<=you ))store(?!'s)|boxe[sd]|in the box\b|dry ?pack\w*"
_STORING = re.compile(rf"\b(?:{_COOLER})\b")
_IN_COOLER = re.compile(
    r"\b(?:in|into|from|out of|inside|at the back of) (?:the |a |my |our )?(?:[\w°.]+ ){0,3}(?:cooler|fridge|cold ?(?:store|storage|room)|"
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
    r"installation)|\bcan'?t have (?:a |any )?water\b|\bnae water\b|\b(?:hung|wired|pinned|tied|taped)(?: up)? dry\b|\b(?:won't|wont|will not|doesn't|don't|can't) (?:have|get|be in|see) (?:any |a drop of )?water\b|"
    r"\b(?:arch|arbou?r|crown|installation|cloud)\b[^.?!]{0,20}\bdry\b|\bdry in (?:a|an|the|my) (?:[a-z]+ )?(?:crown|arch|garland|buttonhole|hat)\b|\bwithout a drink\b|\bno water source\b|\bno reservoir\b|\bwithout a (?:water source|reservoir)\b|\b(?:not|isn't|isnt|aren't|arent|won't be|wont be) in (?:any )?water\b|\b(?:as good as|nearly|almost) dry\b|\b(?:hasn't|haven't|hasnt|havent|has not|have not|doesn't|don't|not) (?:got|get|have|had) (?:any|a drop of) water\b|\bwith no (?:water|drink)\b|\bno drink\b|\b(?:no way to|can't|cannot|couldn't) (?:get|give) (?:it |them )?(?:any )?water\b|\b(?:left|leave|stands?|standing|sits?|sitting|lies?|lying|kept|laid|go(?:es)?|going) dry\b|\b(?:left|leave|lying|standing) (?!the )[^.?!,]{0,24}\bdry\b(?! (?:room|air|place|cool|store|box))|\b(?:completely|totally|bone) dry\b|\b(?:on|for) an? (?:arch|arbou?r|flower crown)\b"
)
_SUPPORTS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("foam-drying", re.compile(r"\bfoam\b[^.?!]{0,40}\b(?:dry(?:ing)? out|dries|left to dry|not topped|never topped|no top|nobody waters|forgot)\b|\bdr(?:y|ying|ied)(?: out)? foam\b")),
    ("foam-kept-wet", re.compile(r"\b(?:floral |wet |soaked )?foam\b|\b(?:in|into|with) (?:the |a |wet )?sponge\b")),
    ("out-of-water", _OUT_OF_WATER),
    ("plain-water", re.compile(r"\b(?:plain|tap|just|only|clean|straight) water\b|\b(?:no|without|w/o) (?:any )?(?:flower |plant )?(?:food|preservative|feed)\b|\bwithout feeding\b")),
    ("vase-food", re.compile(r"\b(?:flower|vase|plant) ?(?:food|feed|preservative)\b|\bpreservative\b|\bwith food\b|\bin a vase\b|\bvase (?:water|solution)\b|\b(?:holding|vase) solution\b|\bin water\b")),
)  # fmt: skip
_NOT = re.compile(
    r"\b(?:not|no(?! (?:in|on|with)\b)|never|nowhere (?:to put|for)(?: \w+ or)?|no room for(?: \w+ or)?|without|isn't|aren't|rather than|instead of|except|but not|nothing with|avoid|hates?)(?: (?:in|on|with|any|the|a|use|using|be|to))* *$"
)
_WORN = re.compile(
    r"\b(?:old|ago|already|so far|since|has been|have been|been|had (?:them|it|these|those)|sitting|sat|left out|standing out)\b"
)
_BEEN = re.compile(
    r"\b(?:been|had (?:them|it|these)|sitting|sat|standing|stood|after|already|held|kept|spent|was|were)\b"
)
# Nobody shows flowers colder than this; where they are said to be held, the colder of two temperatures may be warmer.
_COLDEST_SHOWN = 10.0
_COLDEST_SHOWN_HELD = 15.0
_HELD = re.compile(r"\b(?:held|hold|holding|stored|kept|cooler|chiller|fridge|cold ?(?:room|store)|cellar)\b")
_OUTLOOK = re.compile(
    r"\b(?:for|last|lasts|lasting|to last|hold|keep|survive|stay|through|over|another|next|need(?:s|ed)?|must|display|run|event|of)\b[^.?!,;]{0,24}$"
)

AUDIENCE: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("poison-cats", re.compile(r"\b(?:cats?|kitt(?:y|ies|ens?)|felines?|tabb(?:y|ies)|mogg(?:y|ies)|tom ?cats?|siamese|pets?|animals?|vets?)\b")),
    ("poison-dogs", re.compile(r"\b(?:dogs?|dogg(?:y|ies)|pupp(?:y|ies)|pups?|canines?|hounds?|mutts?|pooch(?:es)?|labradors?|labs?|spaniels?|collies?|retrievers?|terriers?|poodles?|"
                             r"beagles?|dachshunds?|whippets?|greyhounds?|alsatians?|bulldogs?|corgis?|pugs?|pets?|animals?|vets?)\b")),
    ("children", re.compile(r"\b(?:child(?:ren)?|kids?|my little one|little (?:boy|girl|lad)s?|my (?:son|daughter|boy|girl)s?|grand(?:son|daughter)s?|toddlers?|tots?|youngsters?|playgroups?|play ?schools?|playroom|kindergartens?|cr[eè]ches?|day ?care|flower girls?|page ?boys?|bairns?|\d[- ]?(?:and[- ]a[- ]half[- ])?year[- ]?olds?|pupils?|bab(?:y|ies)(?!'?s?[ -]breath| blue)|nursery|school|infants?|crawl\w*|little ones|grandchild\w*)\b")),
    ("hospital", re.compile(r"\b(?:hospitals?|wards?|icu|intensive care|clinic|patients?|hospice|care home|nursing home|immuno\w*|transplant|oncology|burns? unit)\b")),
    ("food", re.compile(r"\b(?:cakes?|cupcakes?|edible|eat(?:en|ing)?|(?<!flower )(?<!plant )(?<!vase )(?<!in )(?<!with )(?<!no )(?<!without )(?<!some )(?<!cut )food(?! in\b| for the| per| solution)|"
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
    ("box", re.compile(r"\b(?:box|trough|tray|cube|square|rectang\w+|planter|window box|liner)\b")),
    ("ring", re.compile(r"\b(?:ring|wreath)\b")),
)  # fmt: skip
_VESSELISH = re.compile(
    r"\b(?:cylinders?|vases?|bowls?|buckets?|box(?:es)?|troughs?|trays?|tanks?|cubes?|urns?|ring|jars?|pots?|compotes?|fish ?bowls?|planters?|globes?|vessels?|"
    r"containers?|bottles?|jugs?|churns?|glass|dish|square|round)\b"
)
_BOXY = re.compile(r"\b(?:box|trough|tray|cube|square|rectang\w+|planter|window box|liner|tank)\b")
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


# Slot, whether it only makes sense with a vessel, words right before the number, words right after it.
_SIDES: tuple[tuple[str, bool, re.Pattern[str] | None, re.Pattern[str] | None], ...] = (
    ("outer", False, re.compile(r"\b(?:outside|outer)\W*(?:diameter(?:'s)? )?(?:of |is )?$"), re.compile(r"\W*(?:outside|outer|out to out)\b")),
    ("inner", False, re.compile(r"\b(?:inner)\W*(?:diameter )?(?:of |is )?$|\bhole\b[^.;,\d]{0,16}$"), re.compile(r"\W*(?:inside|inner)\b(?! diameter)")),
    ("diameter", False, re.compile(r"\bdiameter\W*(?:of |is )?$"), None),
    ("diameter", False, re.compile(r"\b(?:top|rim|mouth)\W*(?:is |of )?$"), None),
    ("diameter", False, None, re.compile(r"[ \"]*(?:at |across )?(?:the |its )?(?:top|rim|mouth)\b(?! up)")),
    ("base_diameter", False, re.compile(r"\b(?:base|bottom|foot)\b\W*(?:\w+ )?$"), re.compile(r"\W*(?:at|across) (?:the|its) (?:base|bottom|foot)\b")),
    ("fill_height", True,
     re.compile(r"\b(?:depth|level|mark|height of water|high of water|water level)\W*(?:of |at |is |to )?(?:about )?$"
                r"|\b(?:fill\w*|pour\w*|bring\w*|water|top\w*)\b[^.,;]{0,26}\b(?:to|up to|up|at|until|till|with|is|stands) (?:a |the )?(?:about |around )?$|\bup to (?:the |a )?$|\bwater(?:'s)? (?:just |only |about |around )*$|\bfill(?:ed|ing)? (?:it|them) (?:only |just |about )*$|\b(?:water|level)\b[^.,;]{0,20}\b(?:comes?|goes|is|stands) (?:only )?up(?: to)? $|\b(?:filled?|fill|filling) (?:about |around )?$"),
     re.compile(r"\W*(?:of (?:the )?water|deep in water|full of water|full\b|below the rim|up\b(?! to)|mark\b|line\b)| *water\b(?! (?:to|up)\b)")),
    ("height", False, re.compile(r"\b(?:height|tall)\W*(?:of |is )?$"), re.compile(r"\W*(?:in )?(?:tall|high|height)\b")),
    ("diameter", False, re.compile(r"\b(?:diameter|dia|across)\W*(?:of |is )?$"), re.compile(r"\W*(?:in |inside |internal )?(?:diameter|across|wide|width|round|dia\b|opening)")),
    ("diameter", True, None, re.compile(r"\W*(?:cylinders?|vases?|bowls?|round|pots?|globes?|fish ?bowls?|jars?|bucket)\b")),
    ("length", False, re.compile(r"\blength\W*(?:of |is )?$"), re.compile(r"\W*(?:in )?(?:long|length|counter|table|desk|mantel\w*|garland|reception|bar)\b")),
    ("fill_height", True, None, re.compile(r"\W*(?:in )?(?:deep|depth)\b")),
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
    impossible: str | None = None
    units_said: set[str] = field(default_factory=set)
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

    def _number(self, name: str, q: Quantity, unit: str, assumed: str = "") -> None:
        middle = (q.low + q.high) / 2
        self._put(name, Reading(middle, unit, q.low, q.high, q.said, assumed), (q.start, q.end))

    def _before(self, at: int, size: int = 40) -> str:
        return re.split(r"[.?!;]", self.text[max(0, at - size) : at])[-1]

    def _after(self, at: int, size: int = 30) -> str:
        return re.split(r"[.?!;]", self.text[at : at + size])[0]

    # --- the whole ------------------------------------------------------------------------------------------------

    def read_measures(self) -> None:
        """Everything with a unit, a date or a fixed phrase; call before names are searched."""
        self._too_large()
        self._claim(plain_money(self.text, self.named))
        self._claim(doses(self.text, self._taken))
        self.impossible = impossible_dose(self.text) or self.impossible
        self._dimensions()
        quantities = [q for q in find_quantities(self.text) if not self._claimed(q)]
        for q in quantities:
            if q.unit in US_UNITS:
                self.units_said.add("us")
            elif q.unit in METRIC_UNITS:
                self.units_said.add("metric")
        if self.units_said:
            self.speaks_us = "us" in self.units_said and "metric" not in self.units_said
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
                    self._before(q.start, 5).endswith("per ") or q.said.startswith(("per ", "each ", "every "))
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
        # Sides that say which they are go first: in `10" in a cylinder 8" across` the 10 is what is left.
        for q in sorted(lengths, key=lambda q: self._side(q) is None):
            self._length(self._across(q))
        self._below_the_rim()
        self._scale_said_first()
        self._held_cold(quantities)
        self._claim(prices(self.text, self._taken, self.named, priced=bool(self.prices)))
        if self.prices:
            self.slots["price"] = min(self.prices, key=lambda claim: claim.span or (0, 0)).reading
        self._dates()
        self._counts()
        self._shapes()
        self._support()
        self._claim(factors(self.text, priced="price" in self.slots))
        self._claim(parts(self.text))

    def _claimed(self, q: Quantity) -> bool:
        return self._taken(q.start, q.end)

    def _taken(self, start: int, end: int) -> bool:
        return any(s < end and start < e for s, e in (*self.spans, *self.protected))

    # --- temperature ----------------------------------------------------------------------------------------------

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
        before, after = self._before(q.start), self._after(q.end)
        near_before = re.split(r",| then | and (?!at\b)|\bnow\b|\bbut\b", before)[-1]
        near_after = re.split(r",| then | and | now\b|\bbut\b", after)[0]
        stored = _STORING.search(near_before) or re.match(
            rf"\W*(?:c|f)?\W*(?:in )?(?:the |a |my |our )?(?:{_COOLER})\b", near_after
        )
        shown = re.search(
            r"\b(?:display|room|shop|office|lobby|venue|vase at|tent|marquee|church|outside)\b", near_before
        )
        set_cold = re.search(r"\bset (?:to|at) ?$", before) and _STORING.search(self.text) and q.high <= 16
        name = "storage_temperature" if (stored or set_cold) and not shown else "display_temperature"
        self._number(name, q, "degC", assumed)

    def read_bare_temperatures(self, numbers: list[Quantity]) -> list[Quantity]:
        """Numbers without a unit that can only be degrees ("at 28", "it's 85 in the tent"); returns the rest."""
        rest = []
        for q in numbers:
            before, after = self._before(q.start, 24), self._after(q.end, 24)
            degrees = re.search(
                r"(?:\bat(?: about| around| roughly| say)?|\bto|\bit's|\bits|\bit is|\bis|\bmust be|\bgot to be|\bgotta be|\bhits?|\breach(?:es)?|\bgets? (?:up )?to|\b(?:climbs?|rises?|creeps?|goes|went|raise[ds]?(?: the \w+| it)?) (?:up )?to|\bmake it|\bthat's|\bset (?:to|at)|\b(?:cooler|fridge|chiller|cold ?room|walk-?in)(?:'s| is| runs| sits| set| only| just| goes| gets| stays| holds| down)* (?:on|at|to|does|reads|says|is|holds)|\bif it's|"
                r"\b(?:heating|thermostat|air ?con(?:ditioning)?|temperature)(?: [a-z]+){0,3} to|\babout|\baround|\blike|\bnearly|\balmost|\bwhat if(?: it's| its| it is| it was)?|\bhot|\bwarm|\broom(?:'?s)?|\bhall(?:'?s)?|\bshop(?:'?s)?|\bup to|\bdown to|\bthere's)(?: (?:about|around|roughly|say|nearly|almost|more like|like|round about|only|now|just|over|under))* ?$", before
            )  # fmt: skip
            filled = re.search(
                r"\b(?:fill\w*|pour\w*)\b[^.,;]{0,16}\b(?:to|at) (?:about |around )?$|\btop\w*\b[^.,;]{0,16}\bto (?:about |around )?$|\bwater (?:up )?to (?:about |around )?$",
                before,
            )
            counted = filled or re.match(
                r"\W*(?:of|stems?|bunch(?:es)?|pieces?|arrangements?|tables?|vases?|times|per|each|a |in a|pm|am|o'clock|wide|tall|high|deep|across|long|cm|more|less|by|x)\b",
                after,
            )
            about_heat = re.search(
                r"\b(?:degrees?|temp(?:erature)?|heating|thermostat|air ?con(?:ditioning)?|oven|sauna|boiling|baking|sweltering|freezing|toasty|chilly|warm(?:er)?|hot(?:ter)?|cold(?:er)?|cool(?:er)?|fridge|chiller|heat|tent|marquee|room|celsius)\b",
                self.text,
            )
            corrected = re.match(r"\W*(?:no\b|sorry|actually|oops|i tell a lie|make (?:it|that))", self.text)
            felt = re.search(
                r"\b(?:oven|sauna|boiling|baking|sweltering|freezing|toasty|chilly|warm|hot)(?: in (?:here|there))?,? $",
                before,
            )
            if felt and 5 <= q.low <= q.high <= 110 and not counted and not self._counts_a_name(q.end):
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)
                continue
            if self._counts_a_name(q.end) or (
                corrected and not about_heat and re.search(r"\b(?:it's|its|it is|is|to) ?$", before)
            ):
                rest.append(q)  # "no, it's 96" corrects whatever number was said before
                continue
            inside = re.match(
                r" (?:in|inside|outside) (?:here\b|there\b|(?:the|her|his|my|our|their) (?:shop|tent|room|marquee|house|hall|office|lobby|church|van|flat|kitchen|venue)\b)",
                after,
            )
            if inside and 5 <= q.low <= q.high <= 110:
                scaled, assumed = self._scale(q)
                self._put_temperature(scaled, assumed)
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
                        r"\bat|\bif|\bit's|\bits|\bit is|\bmust be|\bhits?|gets? (?:up )?to|climbs?|rises?|creeps?|reach",
                        degrees[0],
                    )
                )
            ) or only:
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

    def _counts_a_name(self, end: int) -> bool:
        """Does a name follow within two words ("60 roses", "5 pink peonies")?"""
        return any(
            start >= end and re.fullmatch(r" ?(?:[a-z'-]+ ){0,2}", self.text[end:start]) for start, _ in self.named
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
            or (_IN_COOLER.search(near_before) and not re.search(r"\b(?:display|vase|room)\b", near_after))
        )
        if cooled:
            return self._number("stored_days", q, "d")
        if re.search(r"\b(?:will|would|still)\b[^.?!]{0,40}\bafter (?:about )?$", near_before):
            return self._number("display_days", q, "d")  # "will they still be good after 7 days"
        if re.match(r"\W*(?:old(?:er)?|ago|in already|(?:in (?:the|our) (?:shop|store)|with us|on the shelf|out)? ?already|so far|since (?:they|it|we|i|he|she)\b|in (?:(?:the|a) )?(?:vase|bucket)|on the bench|on display)\b", near_after) or re.search(
            r"\b(?:been(?: \w+){0,4}|(?:we|i|they|he|she)(?:'ve| have)? had(?: \w+){1,7} for|had(?: them| it| these| those)?(?: \w+)?|already(?: (?:done|had|been|spent|got|stood|sat))?|(?:has|have|had|'s|'ve) (?:now |already )*(?:stood|sat|done|spent|managed|given (?:me|us))|sitting(?: \w+){0,3}|sat(?: \w+){0,3}|after|since|day) (?:for |about |around )*$", near_before
        ):  # fmt: skip
            return self._number("elapsed_days", q, "d")
        return self._number("display_days", q, "d")

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
        elif re.search(r"\b(?:rh|humid\w*|humidity)\b", around):
            self._number("humidity", q, "%")
        elif re.match(r"\W*(?:sure|certain\w*|confiden\w*|chance|probab\w*)\b", after):
            self._number("confidence", q, "%")
        elif re.search(
            r"\b(?:loss|losses|los(?:e|es|ing|t)|wast(?:e|ed|age)|shrink\w*|spoil\w*|duds?|duff|bad|breakage|broken|dead|die|rejects?|fail\w*|writ(?:e|ing|ten) off|crushed|crack\w*|no good|binn?(?:ed|ing)?|thrown|throw(?:ing)?|chuck(?:ed|ing)?|useless|unusable)\b",
            around,
        ):
            self._number("loss_rate", q, "%")
        elif re.search(r"\b(?:sure|certain\w*|confiden\w*|chance|probab\w*|safe|guarante\w*)\b", around):
            self._number("confidence", q, "%")
        elif re.search(r"\b(?:full|filled)\b", around):
            self._number("fill_share", q, "%")
        elif (factor := factor_of_share(q.low, around)) is not None:
            self._put("factor", Reading(factor, "ratio", said=q.said), (q.start, q.end))
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
        (re.compile(r"\b(?:half ?way(?: up)?|half[ -]?fill|half full|half filled|filled half|(?:fill(?:ed|ing)?(?: it| them)?|full)(?: only| just)? (?:up )?(?:to )?(?:a )?half|only half|at half)\b"), 50.0),
        (re.compile(r"\b(?:2|two)[ -]thirds\b|\b2/3\b"), 200 / 3),
        (re.compile(r"\b(?:3|three)[ -]quarters?\b|\b3/4\b"), 75.0),
        (re.compile(r"\b(?:4|four)[ -]fifths\b|\b4/5\b"), 80.0),
        (re.compile(r"\b(?:9|nine)[ -]tenths\b"), 90.0),
        (re.compile(r"\b(?:a|one|1)[ -]third\b|\b1/3\b"), 100 / 3),
        (re.compile(r"\b(?:a|one|1)[ -]quarter (?:full|of the way)\b"), 25.0),
        (re.compile(r"\bto the (?:rim|brim|top)\b|\bbrim ?full\b|\bfill\w*(?: it| them)? (?:right|all the way) up\b|\bright up to the\b"), 100.0),
    )  # fmt: skip

    def _fill_shares(self) -> None:
        told = _VESSELISH.search(self.text) or re.search(
            r"^\W*(?:(?:and|so|or|ok|now|then)\W+)*(?:right |all the way )?(?:up )?to the (?:rim|brim|top)\b|\bfull of water\b|\bfill(?:ed|ing)?(?: (?:it|them|when|to|only)\b|\W*$)|\bwater (?:only |just |to |up )*half ?way\b",
            self.text,
        )
        if not told or not re.search(r"\b(?:fill\w*|full|water|way|half-?way|only half|rim|brim|top)\b", self.text):
            return
        for pattern, share in self._FILL_SHARE:
            match = pattern.search(self.text)
            if match:
                self._put("fill_share", Reading(share, "%", share, share, match[0]), (match.start(), match.end()))
                return

    def _dimensions(self) -> None:
        self._fill_shares()
        for match in _BY.finditer(self.text):
            word = match["u"] or match["ua"] or match["ub"]
            unit = _LENGTH_UNITS.get(word, word) or "cm"
            a, b = to_si(to_number(match["a"]), unit), to_si(to_number(match["b"]), unit)
            self.units_said.add("us" if unit in ("in", "ft") else "metric")
            span = (match.start(), match.end())
            said = match[0].strip()
            assumed = "" if word else "sizes taken in cm"
            if match["c"]:
                c = to_si(to_number(match["c"]), unit)
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
        if "diameter" in self.slots and self.slots["diameter"].said == q.said and self._taken(q.start, q.end):
            return None  # a radius or a way round, read as the diameter it makes
        name = self._side(q)
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

    def _below_the_rim(self) -> None:
        """ "3 cm below the rim", of a vessel whose height was said: the water stands that much lower."""
        rim = re.search(
            r"(\d+(?:\.\d+)?) ?(?:cm|mm|inch(?:es)?|in\b|\") (?:below|from|short of|under) the (?:rim|top|brim)\b",
            self.text,
        )
        height, level = self.slots.get("height"), self.slots.get("fill_height")
        if rim and height is not None and level is not None and level.number < height.number and rim[1] in level.said:
            value = height.number - level.number
            self.slots["fill_height"] = Reading(
                value, "cm", value, value, rim[0], f"{rim[0]} taken as filled to {value:g} cm"
            )

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
        r"(-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(\d+))? ?(?:good |nice |usable |fresh |single |individual |long |cut )?(?:stems?|blooms?|heads?|flowers|blades|fronds)\b"
    )
    _BUNCHES = re.compile(
        r"(-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(\d+))? ?(?:whole |full |big )?(?:bunch(?:es)?|bchs?|bundles?|wraps?|packs|packets|sleeves)\b"
    )
    _PIECES = re.compile(
        r"(-?\d+)(?: (?!(?:an?|and|at|in|then|of|for|to|on|the|by|with|or|per|each|every)\b)[a-z]+){0,2}?(?: |(?<=\d))(?:pieces?|arrangements?|centre ?pieces?|center ?pieces?|vases\b|tables?|bouquets?|displays?|designs?|window ?boxes|planters|hampers|crates|jugs|swags|arches|pedestals|plinths|pews|chairs|lanterns\b(?= (?:to|with|each|for|,))|tins|bottles|"
        r"urns|pots|buttonholes|boutonnieres|corsages|bridesmaids?|garlands|wreaths|jars|posies)\b(?! of (?!\d))"
    )
    _VESSELS = re.compile(
        r"(?<![\d.])(\d{1,3}) (?:[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? ?(?:x|by) ?[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? |of (?:them|these) |identical |such |same |\d+(?:\.\d+)? ?(?:l|lit(?:re|er)|cm|inch|gallon)s? )?(?:(?:cylinder|glass|round|bud) )?(?:cylinders|vases|bowls|troughs|jars|urns|tanks|cubes|buckets)\b"
    )
    _OUT_OF = re.compile(r"\b(\d+) (?:times |cases )?out of (\d+)(?: cases| times)?\b(?! (?:are|is|turn|were|get|go))")
    # "Nine chances in ten", "tighten that to 95 in a hundred": how sure an order must be.
    _CHANCES = re.compile(
        r"\b(\d+) (?:chances?|times|cases) (?:in|out of) (?:every )?(\d+|a hundred)\b|\b(?:tighten\w*|loosen\w*|be|make)(?: (?:it|that|this))?(?: sure)? (?:to|of|in) (\d+) (?:in|out of) (?:every )?(\d+|a hundred)\b"
    )
    _EACH = re.compile(
        r"(?:\bat |\bwith |\busing |\btakes? )?(\d+)(?: of (?:them|these|those))?(?: stems?)? (?:per|a|in each|in every|to a|to each|for each|each|in a|on each|on every) ?(?:window ?box|planter|hamper|crate|jug|swag|arch|pedestal|plinth|tin|bottle|jar|chair|pew|basket|tray|box|bowl|bucket|pot|guest|place|piece|table|vase|arrangement|bouquet|centre ?piece|center ?piece|posy|design|bridesmaid|buttonhole|urn|jar|one)\b|"
        r"(?<!\bbunches, )(?:\bwith |\busing |\btakes? )(\d+)(?: stems?)? (?:in|on|to|for) each(?=\W*$|[,.?!;])"
    )

    # "There's twenty-five of those", "a pair of them": how many of the piece just described.
    _SUCH = re.compile(
        r"\b(?:there(?:'s| are|'ll be| will be| is)|i(?:'ve| have)?(?: got)?|we(?:'ve| have)?(?: got)?|got|have|making|doing|make|need|want|filling|fill) (?:only |just |actually |now |all )?"
        r"(?P<n>\d{1,3})(?: of (?:them|those|these|it|(?:the )?same)| like (?:that|this|it)| the same| the same size| alike| such| identical)\b"
    )

    # "I'm doing bud vases, 25 of them."
    _OF_THEM = re.compile(
        r"\b(?:vases|tables|jars|pots|pieces|centre ?pieces|center ?pieces|bouquets|posies|urns|arrangements|buttonholes|corsages|wreaths|garlands|"
        r"displays|designs|cylinders|bowls|baskets|chair ends|pew ends|swags|arches|boxes|jugs|bottles|lanterns)\b[^.?!\d]{0,24}?[,;] ?(?:(?:and )?there(?:'s| are) )?(\d{1,3}) of (?:them|these|those)\b"
    )

    # "Table count 18", "22 tables": what a list of guests and tables says of the pieces.
    _COUNT_OF = re.compile(
        r"\b(?:table|vase|jar|centre ?piece|center ?piece|piece|bouquet|posy) (?:count|numbers?)(?: is| of|:)? (\d{1,4})\b"
    )

    # "They've added two urns so make it 10": what they come to, not what was added.
    _ALTOGETHER = re.compile(
        r"\b(?:added|adding|add|extra|more|another|fewer|less|dropped)\b[^.?!]{0,40}\b(?:(?:so )?make (?:it|that|them)|so (?:it's|that's|now)|that's|now (?:it's)?|in all|total(?:ling)?|altogether) "
        r"(\d{1,3})\b(?! ?(?:stems?|days?|cm|%|degrees|litres?|bunch\w*))"
    )

    def _counts(self) -> None:
        broken = re.search(r"\bbunch(?:es)? of \d+\.\d+", self.text)
        if broken:
            self.impossible = f"A {broken[0]} cannot be tied; give a whole number of stems."
        self._claim(losses(self.text, self._taken))
        times = re.fullmatch(r"\W*(?:and |so |ok )*x ?(\d{1,3})(?: please)?\W*", self.text)
        if times:
            self._put("pieces", Reading(float(times[1]), "pieces", said=times[0]), (times.start(1), times.end(1)))
        such = self._SUCH.search(self.text)
        if such and not self._taken(such.start("n"), such.end("n")) and not self._counts_a_name(such.end("n")):
            self._put("pieces", Reading(float(such["n"]), "pieces", said=such[0]), (such.start("n"), such.end("n")))
        tables = self._COUNT_OF.search(self.text) or self._OF_THEM.search(self.text)
        if tables and not self._taken(tables.start(1), tables.end(1)):
            self._put("pieces", Reading(float(tables[1]), "pieces", said=tables[0]), (tables.start(1), tables.end(1)))
        altogether = self._ALTOGETHER.search(self.text)
        if altogether and not self._taken(altogether.start(1), altogether.end(1)):
            span = (altogether.start(1), altogether.end(1))
            self._put("pieces", Reading(float(altogether[1]), "pieces", said=altogether[0].strip()), span)
        odds = self._CHANCES.search(self.text) or self._OUT_OF.search(self.text)
        good, of = [int(g) if g.isdigit() else 100 for g in odds.groups() if g] if odds else (0, 0)
        if odds and 0 < good < of:
            value = 100 * good / of
            self._put("confidence", Reading(value, "%", value, value, odds[0]), (odds.start(), odds.end()))
        if "pieces" not in self.slots and re.search(
            r"\b(?:each|every|apiece|a piece|per)\b|\b\d+ an? [a-z]+\b|\b(?:to|in|on|for) (?:a|an) [a-z]+\b", self.text
        ):
            for match in re.finditer(r"(?<![\d.])(\d{1,4}) (?:[a-z]+ )?([a-z]{3,}s)\b", self.text):
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
        for match in self._EACH.finditer(self.text):
            group = 1 if match[1] else 2
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

    def _shapes(self) -> None:
        form = re.search(
            r"\b(?:dome|garland|posy|bouquet|ball shape|fan shape|fan|swag|crescent|centre ?piece|center ?piece|wreath)\b",
            self.text,
        )
        if form:
            self._put("form", Reading(form[0], "id", said=form[0]))
        vessel = self._named_vessel()
        if vessel == "cylinder-vase" and re.search(r"\b(?:square|cube|rectang\w+)\b", self.text):
            vessel = None  # a vase that is no cylinder
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
        audience = tuple(name for name, pattern in AUDIENCE if pattern.search(hidden))
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
        padded = f" {key_of(text)} "
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
            if q.unit == "" and re.fullmatch(r"\W{0,2}(?:x|times) ?", reader.text[mention.end : q.start]):
                found["stems"] = q.high  # "anemones x 75"
                used.add(q.start)
                continue
            of_that = re.match(r" of (?:that|those|them|it)\b", reader.text[q.end :])
            if q.unit == "" and of_that and mention is mentions[-1] and mention.end <= q.start:
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
