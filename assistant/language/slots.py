"""Give each quantity, date and condition of a message its slot, by the words around it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

from assistant.handbook.loading import Handbook
from assistant.language.dates import find_dates, find_month, find_season, impossible_date
from assistant.language.names import key_of
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
    r"\bout of (?:the |their |its |a )?(?:water|buckets?)\b|\bwithout (?:any )?water\b|\bno water(?: source)?\b|\bdry,? (?:on|in) (?:the|a) (?:bench|arch|arbou?r|"
    r"installation)|\bcan'?t have (?:a |any )?water\b|\bnae water\b|\bhung (?:up )?dry\b|\b(?:won't|wont|will not|doesn't|don't|can't) (?:have|get|be in|see) (?:any |a drop of )?water\b|"
    r"\b(?:arch|arbou?r|crown|installation|cloud)\b[^.?!]{0,20}\bdry\b|\bdry in (?:a|an|the|my) (?:[a-z]+ )?(?:crown|arch|garland|buttonhole|hat)\b|\bwithout a drink\b|\bno water source\b|\bno reservoir\b|\bwithout a (?:water source|reservoir)\b|\bnot in (?:any )?water\b|\b(?:hasn't|haven't|hasnt|havent|has not|have not|doesn't|don't|not) (?:got|get|have|had) (?:any|a drop of) water\b|\bwith no (?:water|drink)\b|\bno drink\b|\b(?:no way to|can't|cannot|couldn't) (?:get|give) (?:it |them )?(?:any )?water\b|\b(?:left|leave|stands?|standing|sits?|sitting|lies?|lying|kept|laid|go(?:es)?|going) dry\b|\b(?:left|leave|lying|standing) (?!the )[^.?!,]{0,24}\bdry\b(?! (?:room|air|place|cool|store|box))|\b(?:completely|totally|bone) dry\b|\b(?:on|for) an? (?:arch|arbou?r|flower crown)\b"
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
_OUTLOOK = re.compile(
    r"\b(?:for|last|lasts|lasting|to last|hold|keep|survive|stay|through|over|another|next|need(?:s|ed)?|must|display|run|event|of)\b[^.?!,;]{0,24}$"
)

AUDIENCE: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("poison-cats", re.compile(r"\b(?:cats?|kitt(?:y|ies|ens?)|feline|pets?|animals?)\b")),
    ("poison-dogs", re.compile(r"\b(?:dogs?|pupp(?:y|ies)|pups?|canine|pets?|animals?)\b")),
    ("children", re.compile(r"\b(?:child(?:ren)?|kids?|my little one|little (?:boy|girl|lad)s?|my (?:son|daughter|boy|girl)s?|grand(?:son|daughter)s?|toddlers?|bab(?:y|ies)(?!'?s?[ -]breath| blue)|nursery|school|infants?|crawl\w*|little ones|grandchild\w*)\b")),
    ("hospital", re.compile(r"\b(?:hospitals?|wards?|icu|intensive care|clinic|patients?|hospice|care home|nursing home|immuno\w*|transplant|oncology|burns? unit)\b")),
    ("food", re.compile(r"\b(?:cakes?|cupcakes?|edible|eat(?:en|ing)?|(?<!flower )(?<!plant )(?<!vase )(?<!in )(?<!with )(?<!no )(?<!without )(?<!some )(?<!cut )food(?! in\b| for the| per| solution)|"
                        r"(?:table|buffet|counter|plates?) with (?:the )?food|desserts?|puddings?|dishes|chef|caf[eé]|cocktails?|(?:on|in|for|with) (?:the )?drinks|drinks (?:table|tray|trolley)|plates?|salads?|garnish|icing|buffet|dinner plates?)\b")),
    ("people", re.compile(r"\b(?:people|humans?|guests?|customers?|clients?|staff|adults?)\b")),
    ("skin", re.compile(r"\b(?:skin|rash|rashes|itch\w*|dermatitis|gloves?|allerg\w*|hands?|sap|irritat\w*|sting|stings)\b")),
    ("pollen", re.compile(r"\b(?:pollen|hay ?fever|asthma\w*|scented?|fragran\w*|smell\w*|sneez\w*)\b")),
    ("fire", re.compile(r"\b(?:candles?|fire|fireplace|heaters?|radiators?|flammab\w*|burn|burns|catch light|spotlights?|halogen|hot lamps?|flames?)\b")),
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
    ("inner", False, re.compile(r"\b(?:inner)\W*(?:diameter )?(?:of |is )?$"), re.compile(r"\W*(?:inside|inner)\b(?! diameter)")),
    ("diameter", False, re.compile(r"\bdiameter\W*(?:of |is )?$"), None),
    ("diameter", False, None, re.compile(r"\W*(?:at |across )?(?:the )?(?:top|rim|mouth)\b(?! up)")),
    ("base_diameter", False, re.compile(r"\b(?:base|bottom|foot)\b\W*(?:\w+ )?$"), re.compile(r"\W*(?:at|across) the (?:base|bottom)")),
    ("fill_height", True,
     re.compile(r"\b(?:depth|level|mark|height of water|high of water|water level)\W*(?:of |at |is |to )?(?:about )?$"
                r"|\b(?:fill\w*|pour\w*|bring\w*|water|top\w*)\b[^.,;]{0,26}\b(?:to|up to|up|at|until|till|with|is|stands) (?:a |the )?(?:about |around )?$|\bup to (?:the |a )?$|\bwater(?:'s)? (?:just |only |about |around )*$|\bfill(?:ed|ing)? (?:it|them) (?:only |just |about )*$|\b(?:water|level)\b[^.,;]{0,20}\b(?:comes?|goes|is|stands) (?:only )?up(?: to)? $|\b(?:filled?|fill|filling) (?:about |around )?$"),
     re.compile(r"\W*(?:of (?:the )?water|deep in water|full of water|full\b|below the rim|up\b(?! to)|mark\b|line\b|water\b)")),
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
        self._doses()
        self._dimensions()
        quantities = [q for q in find_quantities(self.text) if not self._claimed(q)]
        for q in quantities:
            if q.unit in US_UNITS:
                self.units_said.add("us")
            elif q.unit in METRIC_UNITS:
                self.units_said.add("metric")
        if self.units_said:
            self.speaks_us = "us" in self.units_said and "metric" not in self.units_said
        for q in quantities:
            match q.dimension:
                case "temperature":
                    self._temperature(q)
                case "time":
                    self._time(q)
                case "volume" if q.unit in ("us_tsp", "us_tbsp"):
                    self.spans.append((q.start, q.end))  # spoons measure an agent, never the water
                case "volume" if not q.said.strip()[:1].isdigit() and self._before(q.start, 5).endswith("per "):
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
                    self._length(q)
                case "mass":
                    self._number("mass", q, "kg")
        self._scale_said_first()
        self._held_cold(quantities)
        self._plain_prices()
        self._dates()
        self._counts()
        self._shapes()
        self._support()
        self._prices()

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
                r"(?:\bat(?: about| around| roughly| say)?|\bto|\bit's|\bits|\bit is|\bis|\bhits?|\breach(?:es)?|\bgets? (?:up )?to|\b(?:climbs?|rises?|creeps?|goes|went|raise[ds]?(?: the \w+| it)?) (?:up )?to|\bmake it|\bthat's|\bset (?:to|at)|\b(?:cooler|fridge|chiller|cold ?room|walk-?in)(?:'s| is| runs)? (?:on|at)|\bif it's|"
                r"\babout|\baround|\blike|\bnearly|\balmost|\bwhat if(?: it's| its| it is| it was)?|\bhot|\bwarm|\broom(?:'?s)?|\bhall(?:'?s)?|\bshop(?:'?s)?|\bup to|\bdown to|\bthere's)(?: (?:about|around|roughly|say|nearly|almost|more like|like|round about|only|now|just|over|under))* ?$", before
            )  # fmt: skip
            counted = re.match(
                r"\W*(?:of|stems?|bunch(?:es)?|pieces?|arrangements?|tables?|vases?|times|per|each|a |in a|pm|am|o'clock|wide|tall|high|deep|across|long|cm|more|less|by|x)\b",
                after,
            )
            about_heat = re.search(
                r"\b(?:degrees?|temp(?:erature)?|oven|sauna|boiling|baking|sweltering|freezing|toasty|chilly|warm(?:er)?|hot(?:ter)?|cold(?:er)?|cool(?:er)?|heat|tent|marquee|room|celsius)\b",
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
                        r"\bat|\bif|\bit's|\bits|\bit is|\bhits?|gets? (?:up )?to|climbs?|rises?|creeps?|reach",
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
        if cold.number > 10 or not others or "storage_temperature" in self.slots:
            return
        self.slots["storage_temperature"] = self.slots.pop("display_temperature")
        for q in others:
            scaled, assumed = self._scale(q) if q.unit == "degree" else (q, "")
            self._number("display_temperature", scaled, "degC", assumed)
        here = next(q for q in warm if q.said == cold.said)
        near = [
            t
            for t in times
            if t.end <= here.start
            and re.fullmatch(r"[ ,]*(?:in \w+ )?(?:at |@ )?(?:about )?", self.text[t.end : here.start])
        ]
        for time in near:
            for name in ("display_days", "elapsed_days"):
                if name in self.slots and self.slots[name].said == time.said:
                    self.slots["stored_days"] = self.slots.pop(name)

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
        if re.match(r"\W*(?:old(?:er)?|ago|in already|(?:in (?:the|our) (?:shop|store)|with us|on the shelf|out)? ?already|so far|in (?:(?:the|a) )?(?:vase|bucket)|on the bench|on display)\b", near_after) or re.search(
            r"\b(?:been(?: \w+){0,4}|(?:we|i|they|he|she)(?:'ve| have)? had(?: \w+){1,7} for|had(?: them| it| these| those)?(?: \w+)?|already(?: (?:done|had|been|spent|got))?|sitting(?: \w+){0,3}|sat(?: \w+){0,3}|after|day) (?:for |about |around )*$", near_before
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
            r"\b(?:loss|losses|los(?:e|es|ing|t)|wast(?:e|ed|age)|shrink\w*|spoil\w*|duds?|duff|bad|breakage|broken|dead|die|rejects?|no good|binn?(?:ed|ing)?|thrown|throw(?:ing)?|chuck(?:ed|ing)?|useless|unusable)\b",
            around,
        ):
            self._number("loss_rate", q, "%")
        elif re.search(r"\b(?:sure|certain\w*|confiden\w*|chance|probab\w*|safe|guarante\w*)\b", around):
            self._number("confidence", q, "%")
        elif re.search(r"\b(?:full|filled)\b", around):
            self._number("fill_share", q, "%")
        elif re.search(r"\b(?:mark-?up|margin)\b", around):
            self._put("factor", Reading(1 + q.low / 100, "ratio", said=q.said), (q.start, q.end))
        elif "strength" in self.slots and "bleach" in self.text and q.low != self.slots["strength"].number:
            # Two strengths: the bottle's and the one wanted.
            bottle = self.slots["strength"]
            wanted = min(q.low, bottle.number)
            strong = max(q.high, bottle.number)
            self.slots["strength"] = Reading(strong, "%", strong, strong, q.said)
            self._put("concentration", Reading(wanted * 10_000, "mg/l", said=f"{wanted:g} %"), (q.start, q.end))
        else:
            self._number("strength", q, "%")

    _DOSE = re.compile(
        r"(\d+(?:\.\d+)?) ?(ml|mils?|millilit(?:re|er)s?|gr?|grams?|grammes?) (?:(?!and\b|of water|l\b|lit(?:re|er)s?\b|gal(?:lon)?s?\b)[a-z]+ ){0,5}?(?:per|in|for|does|to|makes|treats|every|into|each|goes|is for|are for|is enough for|a) (?:(?:each|every|a|to|for|the) )*(\d+(?:\.\d+)?|a|one|each)? ?(l|lit(?:re|er)s?|mls?|mils?|millilit(?:re|er)s?|pint|gal(?:lon)?s?)\b"
    )
    _BLEACH_STRENGTH = re.compile(r"(?<![\d.])(\d{1,2}(?:\.\d+)?) ?(?:household )?(?:bleach)\b(?! to)")

    _MILLIGRAMS = re.compile(
        r"(\d+(?:\.\d+)?) ?(?:mg|milligrams?|milligrammes?) (?:[a-z]+ ){0,4}?(?:per|in|to|for|a) (?:(?:each|every|a|one|the|1) )*lit(?:re|er)"
    )

    def _doses(self) -> None:
        """A label's dose ("20 ml per 2 litres") and a bleach's strength without its sign ("5.25 bleach")."""
        grams = self._MILLIGRAMS.search(self.text)
        if grams:
            value = float(grams[1])
            self._put("concentration", Reading(value, "mg/l", value, value, grams[0]), (grams.start(), grams.end()))
        for match in self._DOSE.finditer(self.text):
            amount = float(match[1])
            if self.text[max(0, match.start() - 1) : match.start()] == "-":
                self.impossible = f"-{match[0]} is no dose; give an amount above zero."
            base = float(match[3]) if match[3] and match[3][0].isdigit() else 1.0
            litres = {"ml": 0.001, "p": 0.473176, "g": 3.785412}.get(
                "ml" if match[4].startswith("m") else match[4][0], 1.0
            ) * base
            if (
                (
                    re.match(r"\W*(?:of )?(?:bleach|water)\b", self.text[match.end() :])
                    and not re.search(r"\b(?:every|each|per)\b", match[0])
                )
                or litres <= 0
                or re.match(r"\W*per\b", self.text[match.end() :])
            ):
                continue
            if (
                match[2].startswith("m")
                and re.search(r"\bbleach\b", self.text)
                and not re.search(r"\bfood\b", self.text)
            ):
                continue
            unit = "ml/l" if match[2].startswith("m") else "g/l"
            dose = amount / litres
            self._put("label_dose", Reading(dose, unit, dose, dose, match[0]), (match.start(), match.end()))
        for match in self._BLEACH_STRENGTH.finditer(self.text):
            value = float(match[1])
            if "." in match[1] and not self._taken(match.start(), match.end()):
                self._put("strength", Reading(value, "%", value, value, match[0]), (match.start(), match.end(1)))

    _FILL_SHARE: tuple[tuple[re.Pattern[str], float], ...] = (
        (re.compile(r"\b(?:half ?way(?: up)?|half[ -]?fill|half full|half filled|filled half|(?:fill(?:ed|ing)?(?: it| them)?|full)(?: only| just)? (?:up )?(?:to )?(?:a )?half|only half|at half)\b"), 50.0),
        (re.compile(r"\b(?:2|two)[ -]thirds\b|\b2/3\b"), 200 / 3),
        (re.compile(r"\b(?:3|three)[ -]quarters?\b|\b3/4\b"), 75.0),
        (re.compile(r"\b(?:a|one|1)[ -]third\b|\b1/3\b"), 100 / 3),
        (re.compile(r"\b(?:a|one|1)[ -]quarter (?:full|of the way)\b"), 25.0),
        (re.compile(r"\bto the (?:rim|brim|top)\b|\bbrim ?full\b|\bfill\w*(?: it| them)? (?:right|all the way) up\b|\bright up to the\b"), 100.0),
    )  # fmt: skip

    def _fill_shares(self) -> None:
        told = _VESSELISH.search(self.text) or re.search(
            r"\bfull of water\b|\bfill(?:ed|ing)?(?: (?:it|them|when|to|only)\b|\W*$)|\bwater (?:only |just |to |up )*half ?way\b",
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
        """A length's slot: the first row of `_SIDES` whose words stand right before or after it."""
        before, after = self._before(q.start, 34), self._after(q.end, 34)
        if re.match(r"\W*(?:bloom|head|flower|stems?|roses?|long stems?)\b", after) and not re.match(
            r"\W*long (?:counter|table|garland)", after
        ):
            return self.spans.append((q.start, q.end))  # the length of a stem, not of the piece
        vesselish = bool(
            _VESSELISH.search(self.text)
            or re.search(r"\b(?:fill\w*|of water|how much water|water is|water'?s)\b", self.text)
        )
        for name, needs_vessel, ahead, behind in _SIDES:
            if (needs_vessel and not vesselish) or name in self.slots:
                continue
            if (ahead and ahead.search(before)) or (behind and behind.match(after)):
                if name == "diameter" and re.match(r"\W*wide", after) and not self._round():
                    name = "width"
                return self._number(name, q, "cm")
        name = "diameter" if self._round() and "diameter" not in self.slots else "width"
        return self._number(name if name not in self.slots else "height", q, "cm")

    def _round(self) -> bool:
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
        if start > self.today and re.search(r"\b(?:buy|get|order|pick|collect|com(?:e|ing)|arriv\w+)\b", self.text):
            days = float((until.day - start).days)
            del self.slots["since_date"], self.slots["until_date"]
            said = f"{since.said} to {until.said}"
            self.slots["display_days"] = Reading(days, "d", days, days, until.said, f"{said} counted as {days:g} days")

    def _dates(self) -> None:
        wrong = impossible_date(self.text, self.today)
        if wrong:
            self.impossible = f"There is no {wrong}; give a day the calendar has."
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
        r"(-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(\d+))? ?(?:whole |full |big )?(?:bunch(?:es)?|bchs?|bundles?|wraps?)\b"
    )
    _PIECES = re.compile(
        r"(-?\d+)(?: (?!(?:an?|and|at|in|then|of|for|to|on|the|by|with|or|per|each|every)\b)[a-z]+){0,2}?(?: |(?<=\d))(?:pieces?|arrangements?|centre ?pieces?|center ?pieces?|vases\b|tables?|bouquets?|displays?|designs?|"
        r"urns|pots|buttonholes|boutonnieres|corsages|bridesmaids?|garlands|wreaths|jars|posies)\b(?! of (?!\d))"
    )
    _PACK = re.compile(
        r"\b(?:bunche?s? of|packs? of|wraps? of|bundles? of|comes? in|come in|sold in|packed in|(?:buy|order)(?= \d+'?s\b)|(?:bunch(?:e[sd])?|bundle[sd]?|t(?:ies|ied|ying)|packs?|packed|sells?|come)(?: them| those| these| it)?(?: up| together)? (?:in|by|by the)|(?:bunch|pack|wrap) (?:holds|has|is)|in|by the|packed|bunches of|bunch of) (\d+)'?s?(?= ?(?:stems?|stem bunches|per|a bunch|$|[?,.;])|'?s\b)|\b(?:bunch|bunches|packs|wraps) of (\d+)\b|"
        r"\b(\d+)[ -]?(?:stems?)? ?(?:per|to a|to the|a|in a|each|in each) ?(?:bunch|packet|pack|wrap)\b|\b(\d+)[ -]stem (?:bunch|pack)|\b(?:bunches|packs|wraps)(?: are| hold| have)? (?:only |just )?(\d+)(?= stems?\b)|\b(?:in|(?:bunches|packs|wraps|they)(?:'re| are| come as| hold)) (tens|twenties|fives|twenty-?fives|fifties|dozens|twelves|\d+'?s)\b"
    )

    _VESSELS = re.compile(
        r"(?<![\d.])(\d{1,3}) (?:[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? ?(?:x|by) ?[\d.]+ ?(?:cm|mm|inch|in|\"|\'|ft)? |of (?:them|these) |identical |such |same |\d+(?:\.\d+)? ?(?:l|lit(?:re|er)|cm|inch|gallon)s? )?(?:(?:cylinder|glass|round|bud) )?(?:cylinders|vases|bowls|troughs|jars|urns|tanks|cubes|buckets)\b"
    )
    _NO_LOSS = re.compile(
        r"\b(?:no|zero|without(?: any)?|nil|0|not (?:allowing|counting|expecting|adding)(?: for)?(?: any)?|(?:allow|allowing|count|counting|expect|expecting) (?:for )?no) (?:loss(?:es)?|wast(?:e|age)|shrink(?:age)?|spares?|allowance|duds?|breakages?)\b|\b(?:don't|do not|won't|not|without|no need to|skip|forget|leave out|ignore|drop) (?:(?:add|allow|count|reckon|plan|expect|factor)(?:ing)?)?(?: on| for| in)? ?(?:any(?:thing)? |the |a single |an? |to )*(?:extras? |allowance |spares? )?(?:for )?(?:the |any )?(?:wast(?:e|age)|loss(?:es)?|los(?:e|ing)(?: any| a single| one)?|spares?|breakages?)\b|\bwon't be any (?:wast(?:e|age)|loss(?:es)?)\b|\bno (?:extras?|allowance|margin)(?: \w+)? for (?:wast(?:e|age)|loss(?:es)?|breakages?)\b|\b(?:skip|forget|leave out|ignore) (?:the |any )?(?:wast(?:e|age)|loss(?:es)?|breakages?)\b|\bnothing (?:lost|wasted|for (?:loss|waste)|gets? [a-z]+)\b|"
        r"\bassum\w+ no(?:ne| loss|thing)\b|\bevery (?:stem|one|flower) (?:is |will be |comes )?(?:perfect|good|fine|usable)\b|\brefuse to lose\b|\blos(?:e|ing) (?:none|nothing|not one|no stems)\b|\ball (?:of them )?(?:good|perfect|usable)\b"
    )
    # "15 in a hundred turn up useless", "one stem in twenty is lost", "eight in ten are any good".
    _LOST_OF = re.compile(
        r"\b(\d+)(?: stems?| flowers?)? (?:in|out of|of) (?:a |an |each |every )?(?:hundred|(\d+))\b(?P<rest>[^.?!]{0,40})"
    )
    _LOSING = re.compile(
        r"\b(?:los(?:e|es|ing)|bin(?:s|ning)?|chuck(?:s|ing)?|throw(?:s|ing)?(?: out)?|wast(?:e|ing)) (?:about |around )?(\d+)(?: stems?| flowers?)? (?:in|out of) (?:every )?(\d+)\b"
    )
    _LOST_PART = re.compile(
        r"\b(?:a|1|one) (tenth|fifth|quarter|third|twentieth)\b[^.?!]{0,20}\b(?:lost|lose|binned|bin|bad|useless|die|dead|waste\w*|chucked|dud|fail|goes|go|spoil\w*)\b"
    )
    _BAD = re.compile(
        r"\b(?:useless|lost|bad|binned|duds?|disappoint\w*|fail\w*|die|dead|broken|waste\w*|no good|rubbish|spoil\w*|snapped|chucked|thrown|unusable|goes|go)\b"
    )
    _GOOD = re.compile(r"\b(?:good|fine|usable|sound|survive|ok|okay|make it)\b")

    def _losses(self) -> None:
        before = self._LOSING.search(self.text)
        if before and not self._taken(before.start(1), before.end(2)):
            share = 100 * float(before[1]) / float(before[2])
            if share <= 100:
                self._put("loss_rate", Reading(share, "%", share, share, before[0]), (before.start(1), before.end(2)))
        match = self._LOST_OF.search(self.text)
        if match and not self._taken(match.start(), match.end(1)):
            of = float(match[2] or 100)
            share = 100 * float(match[1]) / of if of else 0.0
            if share <= 100 and self._BAD.search(match["rest"]) and not re.search(r"\bany good\b", match["rest"]):
                self._put(
                    "loss_rate", Reading(share, "%", share, share, match[0]), (match.start(), match.start("rest"))
                )
            elif share <= 100 and self._GOOD.search(match["rest"]):
                lost = 100 - share
                self._put("loss_rate", Reading(lost, "%", lost, lost, match[0]), (match.start(), match.start("rest")))
        part = self._LOST_PART.search(self.text)
        if part:
            share = {"tenth": 10.0, "fifth": 20.0, "quarter": 25.0, "third": 100 / 3, "twentieth": 5.0}[part[1]]
            self._put("loss_rate", Reading(share, "%", share, share, part[0]))

    _OUT_OF = re.compile(r"\b(\d+) (?:times |cases )?out of (\d+)(?: cases| times)?\b(?! (?:are|is|turn|were|get|go))")
    _EACH = re.compile(
        r"(?:\bat |\bwith |\busing |\btakes? )?(\d+)(?: of (?:them|these|those))?(?: stems?)? (?:per|a|in each|in every|to a|to each|for each|each|in a|on each|on every) ?(?:jar|chair|pew|basket|tray|box|bowl|bucket|pot|guest|place|piece|table|vase|arrangement|bouquet|centre ?piece|center ?piece|posy|design|bridesmaid|buttonhole|urn|jar|one)\b"
    )

    # "There's twenty-five of those", "a pair of them": how many of the piece just described.
    _SUCH = re.compile(
        r"\b(?:there(?:'s| are|'ll be| will be| is)|i(?:'ve| have)?(?: got)?|we(?:'ve| have)?(?: got)?|got|have|making|doing|make|need|want|filling|fill) (?:only |just |actually |now |all )?"
        r"(?P<n>\d{1,3})(?: of (?:them|those|these|it|(?:the )?same)| like (?:that|this|it)| the same| the same size| alike| such| identical)\b"
    )

    def _counts(self) -> None:
        broken = re.search(r"\bbunch(?:es)? of \d+\.\d+", self.text)
        if broken:
            self.impossible = f"A {broken[0]} cannot be tied; give a whole number of stems."
        self._losses()
        times = re.fullmatch(r"\W*(?:and |so |ok )*x ?(\d{1,3})(?: please)?\W*", self.text)
        if times:
            self._put("pieces", Reading(float(times[1]), "pieces", said=times[0]), (times.start(1), times.end(1)))
        such = self._SUCH.search(self.text)
        if such and not self._taken(such.start("n"), such.end("n")) and not self._counts_a_name(such.end("n")):
            self._put("pieces", Reading(float(such["n"]), "pieces", said=such[0]), (such.start("n"), such.end("n")))
        nothing = self._NO_LOSS.search(self.text)
        if nothing:
            self._put("loss_rate", Reading(0.0, "%", 0.0, 0.0, nothing[0]), (nothing.start(), nothing.end()))
        odds = self._OUT_OF.search(self.text)
        if odds and 0 < int(odds[1]) < int(odds[2]):
            value = 100 * int(odds[1]) / int(odds[2])
            self._put("confidence", Reading(value, "%", value, value, odds[0]), (odds.start(), odds.end()))
        fives = re.search(r"\bin 20[ -]?fives\b", self.text)
        if fives:
            self._put("pack_size", Reading(25.0, "stems", said="in twenty-fives"), (fives.start(), fives.end()))
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
            if not self._taken(match.start(1), match.end(1)):
                value = float(match[1])
                self._put("stems", Reading(value, "stems", said=match[0]), (match.start(), match.end()))
        for match in self._PACK.finditer(self.text):
            number = next((g for g in match.groups() if g), "0")
            words = {"tens": 10, "twenties": 20, "fives": 5, "fifties": 50, "dozens": 12, "twelves": 12}
            value = float(words.get(number, 25 if number.startswith("twenty") else 0) or number.rstrip("s'"))
            if (match[0].startswith("in ") and value > 100) or self._taken(match.start(), match.end()):
                continue
            self._put("pack_size", Reading(value, "stems", said=match[0]), (match.start(), match.end()))
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

    _PRICE = re.compile(
        r"(?:(?P<whole>\d+) (?:pounds?|dollars?|euros?|quid) (?P<pence>\d{2})(?! ?(?:stems?|days|bunch))\b)|(?:[$£€] ?(\d+(?:\.\d+)?))|(?:(\d+(?:\.\d+)?) ?(?:dollars?|pounds? (?=a|per|each|the)|euros?|bucks|quid|pence|cents?\b|p\b))"
    )
    _FACTOR = re.compile(
        r"\b(?:times|x|factor(?: of)?|mark-?up(?: [a-z]+){0,3}? (?:is|of|at)|mark-?up|mark(?:ed|ing)?(?: it| that| them| those)?[ -]?up (?:by )?|mark(?:ed|ing)?[ -]?up(?: it| that| them)? by|multipl\w+ (?:by|of)) ?(\d+(?:\.\d+)?)\b(?! ?%)|(?<![\d.])(\d+(?:\.\d+)?)(?= mark-?up)|\b(\d+(?:\.\d+)?) ?(?:x|times)(?= (?:mark|cost|wholesale|that|it)|$| ?[?.,])"
    )

    _PLAIN_PRICE = re.compile(
        r"\b(?:at|for|is|are|reads|comes to|costs?(?: me| us)?|pay(?:ing)?|paid|charge[sd]?|=) (\d+(?:\.\d{1,2})?)(?= (?:each|apiece|and)\b|\W*$|[,;])(?! ?(?:°|deg|c\b|f\b|%|cm|l\b))|"
        r"(?<![\d.])(\d+(?:\.\d{1,2})?) (?:a|per|each|for a|for each|the) (?:bunch|stem|wrap|box|bloom|head|pop|piece)\b|\bfor (\d+\.\d{2})\b"
    )
    _MARK_UP = re.compile(
        r"\b(?:bought|cost\w*|paid) (?:at |me |us )?(\d+(?:\.\d+)?)\b[^.?!]{0,20}\b(?:multipl\w+|times|x) (?:it )?(?:by )?(\d+(?:\.\d+)?)\b|"
        r"\bmark(?:ing|ed)?[ -]?up (\d+(?:\.\d+)?) by (\d+(?:\.\d+)?)\b|\b(\d+(?:\.\d+)?) marked up (\d+(?:\.\d+)?)\b|"
        r"\b(?:at|for) (\d+(?:\.\d+)?),? (?:and )?(?:multiply\w*|times) (?:it )?(?:by )?(\d+(?:\.\d+)?)\b"
    )

    # "Paying 6.40 for ten tulips": the price of a bunch and what it holds.
    _PRICE_OF_SO_MANY = re.compile(
        r"\b(?:pay(?:ing)?|paid|charge[sd]?|charging|costs?(?: me| us)?) [£$€]?(\d+(?:\.\d+)?) for (?:a bunch of )?(\d+) (?!days?\b|weeks?\b|stems? a)(?=[a-z])"
    )
    # A number with its pence is money, whatever else is said: "at 1.20 each", "48 gerbera at 0.85".
    _EACH_PRICE = re.compile(
        r"(?<![\d.])(\d+\.\d{2}) (?:each|apiece|a piece|a pop|(?:a|per|the) (?:stem|bunch|head|wrap|bloom))\b|(?<= at )(\d+\.\d{2})(?=\W*$)"
    )
    _MARK_UP_ON = re.compile(
        r"(?<![\d.])(\d+(?:\.\d+)?)(?: ?(?:x|times))? mark-?up (?:on|over) [$£€]?(\d+(?:\.\d+)?)(?! ?%)"
    )

    def _plain_prices(self) -> None:
        """Prices without a currency, where the message is about money."""
        marked = self._MARK_UP.search(self.text)
        if marked:
            price, factor = (float(g) for g in marked.groups() if g)
            self._put("price", Reading(price, "money", said=f"{price:g}"), (marked.start(), marked.end()))
            self._put("factor", Reading(factor, "ratio", said=f"{factor:g}"))
        over = self._MARK_UP_ON.search(self.text)
        if over:
            self._put("factor", Reading(float(over[1]), "ratio", said=over[1]), (over.start(1), over.end(1)))
            self._put("price", Reading(float(over[2]), "money", said=over[2]), (over.start(2), over.end(2)))
        pack = self._PRICE_OF_SO_MANY.search(self.text)
        if pack and not self._taken(pack.start(), pack.end()):
            self._put(
                "price", Reading(float(pack[1]), "money", said=f"{pack[1]} a bunch"), (pack.start(1), pack.end(1))
            )
            self._put("pack_size", Reading(float(pack[2]), "stems", said=pack[2]), (pack.start(2), pack.end(2)))
            return
        each = self._EACH_PRICE.search(self.text)
        if each and not self._taken(each.start(), each.end()):
            number = each[1] or each[2]
            self._put(
                "price", Reading(float(number), "money", said=each[0]), (each.start(), each.start() + len(number))
            )
            return
        if not re.search(
            r"\b(?:costs?|price[sd]?|comes? to|charge|money|total|worth|mark-?up|pay|paid|sell|bill|invoice|stands? me|set (?:me|us) back|spend\w*|owe|bought|wholesale|retail|a pop)\b",
            self.text,
        ):
            return
        for match in self._PLAIN_PRICE.finditer(self.text):
            group = next(n for n in (1, 2, 3) if match[n])
            start = match.start(group)
            if not self._taken(start, start + 1):
                self._put("price", Reading(float(match[group]), "money", said=match[0]), (start, match.end(group)))
                return

    def _prices(self) -> None:
        for match in self._PRICE.finditer(self.text):
            if match["whole"]:
                value = float(match["whole"]) + float(match["pence"]) / 100
                self._put("price", Reading(value, "money", said=match[0]), (match.start(), match.end()))
                continue
            pennies = 0.01 if re.search(r"(?:pence|cents?|p)$", match[0]) else 1.0
            self._put(
                "price",
                Reading(float(match[3] or match[4]) * pennies, "money", said=match[0]),
                (match.start(), match.end()),
            )
        if "price" in self.slots or re.search(
            r"\bmark(?:ed|ing|s)?(?: it| them| that| those)?[ -]?up\b|\b\d+(?:\.\d+)? times (?:that|it|the cost|cost)\b",
            self.text,
        ):
            for match in self._FACTOR.finditer(self.text):
                self._put(
                    "factor",
                    Reading(float(match[1] or match[2] or match[3]), "ratio", said=match[0]),
                    (match.start(), match.end()),
                )
        ratio = re.search(r"\b1 ?(?::|to|in|part (?:[a-z]+ )?(?:to|in)) ?(\d+)\b(?: parts)?", self.text)
        if ratio and re.search(r"\b(?:dilut\w*|mix\w*|bleach|ratio|parts?|glycerin\w*|solution)\b", self.text):
            self._put("parts", Reading(float(ratio[1]), "parts", said=ratio[0]), (ratio.start(), ratio.end()))


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
