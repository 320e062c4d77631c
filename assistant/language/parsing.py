"""Text to Question: the whole reading of one message, in one direction."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date

from assistant.handbook.loading import Handbook
from assistant.language.cleaning import normalise, safe_text
from assistant.language.listed_counts import counted_after, counted_alike, counted_by_a_pronoun, summed
from assistant.language.names import NameIndex, key_of
from assistant.language.numbers import words_to_digits
from assistant.language.ordinary import is_ordinary_word
from assistant.language.packs import packs_beside
from assistant.language.prices import prices_beside
from assistant.language.quantities import Quantity, asked_in_us_units, find_bare_numbers, find_quantities, to_si
from assistant.language.question import Ask, Mention, Question, Reading, Task
from assistant.language.shares import shared
from assistant.language.slots import SlotReader, counts_beside
from assistant.language.spelling import put_right
from assistant.language.tasks import SUPERLATIVE, YES_NO, choose_task, score_tasks
from assistant.language.words import DOMAIN_WORDS, FOREIGN_WORDS, FUNCTION_WORDS, HOMONYMS

_SECOND_ASK = re.compile(
    r"(?:[?!.;]+\s+|,?\s+(?:and|also|plus|then|oh and|as well as|but)\s+(?=(?:also |then )?(?:how|what|when|where|which|who|why|is|are|will|can|could|do|does|should|would|"
    r"if i|i need to know|tell|give|please)\b)|,\s+(?=(?:how|what|when|where|which|why|will|can|should|is it|are they)\b))"
)
_BACK = re.compile(
    r"\b(?:it|its|they|them|their|those|these|that one|this one|the same|same|ones?|that|both|all of them|the (?:first|second|third|last|other) (?:one|two)?)\b"
)
_FOLLOW = re.compile(
    r"^\W*(?:(?:ok|okay|right|so|hm+|um|er|well|cool|great|thanks|good|fine|sure|oh|ah|alright)[ ,.!]+)*(?:and\b|what about|how about|what if|ditto|same (?:for|with|again|but|thing|query|question|as)|make (?:it|that|them)|no[ ,]|nope|actually|"
    r"sorry|i mean|i meant|or (?:in|at|with|for|if|maybe|what)|then\b|but (?:in|at|with|if|what|for)|instead|double|halve|half (?:that|it|of)|twice|triple|for \d|at \d|in (?:foam|plain|water|a vase|the cooler)|"
    r"with(?:out)? |change|now |(?:the )?(?:first|second|third|last|other)\b|not |if (?:it|they|the|i|we|my|our|you|he|she)\b|say |let's say|try |set |go with|use |only |just |add |plus |also |drop |remove |leave out |swap |switch )"
)
_NO_WAIT = re.compile(
    r"\b(?:no,? wait|wait,? no|scratch that|scrap that|no,? i tell a lie|(?:no|sorry),? (?:scrap that,? )?i (?:mean|meant|said (?:it|that) wrong|got (?:it|that) wrong|misspoke)|but no,? it's|"
    r"(?:no,? (?:hang|hold) on|(?:hang|hold) on,? no)(?!,? (?:and|also|add|plus|with|what about|do|does|just))|(?:hang|hold) on,? i (?:mean|meant)|(?:oh,? |no,? )?what am i (?:saying|on about|talking about))\b"
)
# "Foxtail barley, I mean foxtail millet": so said only right before the name that is meant.
_I_MEAN = re.compile(r"[,;.–-] ?(?:(?:oh|er|um|sorry|no|well),? )*i (?:mean|meant),? (?:the |some |my |our )?$")
# "Our stock (the flower)": a homonym told by its speaker.
_THE_FLOWER = re.compile(r",? ?\(?(?:i mean )?(?:the|as in the|meaning the) (?:flowers?|plant)\b")
# Of what goes by its bare name when dried: "fresh lotus heads".
_SAID_FRESH = re.compile(r"\bfresh (?:green |cut )?$")
_RIGHT_ONE = re.compile(
    r"\b(?:i (?:meant|mean)|meant|make (?:that|it)|should (?:be|have been)|sorry|rather|scratch that)\b"
)
# What a change comes to, said last.
_COME_TO = re.compile(
    r"\b(?:more|extra|another|added|fewer|less|lost|cracked|broken?|leak\w*|missing|dropped|gone|found|smashed)\b[^.?!]*\bso (?:that's |it's |we're |we've |i've |just |only |now |make it )*(\d+(?:\.\d+)?)\W*$"
)
_ORDINALS = {
    "first": 0,
    "second": 1,
    "third": 2,
    "fourth": 3,
    "fifth": 4,
    "last": -1,
    "former": 0,
    "latter": -1,
    "top": 0,
}
_ORDINAL = re.compile(
    r"\b(?:the )?(?P<word>first|second|third|fourth|fifth|last|former|latter|top)(?: (?:one|option|choice|suggestion|candidate|of (?:those|them|these)))\b|"
    r"^\W*(?:the )?(?P<only>first|second|third|fourth|fifth|last|former|latter)\W*(?:please|then)?\W*$|\b(?:number|option|no\.?|#) ?(?P<number>[1-9])\b|^\W*(?P<digit>[1-9])\W*$"
)
_COMMANDS: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("what_moves", re.compile(r"^\W*(?:what would (?:change|move|help)|what (?:matters|moves|changes|affects)(?: it| that| this| the figure| the answer)?(?: most| the most)?|what if anything changes|which input)\b")),
    ("why", re.compile(r"^\W*(?:but |and |ok |so )?(?:why(?: (?:is that|that|so(?: \w+)?|is it(?: so)?|only|not|\d+|do you say that|does it say that|\d[\d. ]* ?(?:days?|bunches?|stems?)))?|how come|says who|explain(?: (?:that|it|this|please|how|the figure|your answer|the number|that figure))?|"
                       r"how (?:did|do|have) you (?:get|work|come|come up with|arrive|arrive at|figure|calculate)(?: (?:that|to|at|with|it|this|there|out|up|the|figure|number|answer))*|show (?:me )?(?:the |your )?(?:working|work|formula|maths?|sums|calculation)s?|what(?:'s| is) the (?:formula|calculation|working|maths?)|"
                       r"how(?:'s| is| was) (?:that|it|this) (?:worked out|calculated|computed))\W*(?:please)?\W*$")),
    ("sources", re.compile(r"^\W*(?:(?:what(?:'s| is| are)?|give|show|list|name|any|your|the|where(?:'s)?|and|me|who)\b[ ]*)*(?:sources?|references?|citations?|cite|cited)\b\W*(?:please|for that|is that|are (?:they|you using)|of that|do you have|says that|did you use)?\W*$|"
                           r"^\W*(?:where (?:does|did|do|is) (?:that|this|it|those|you)[^?]*(?:come from|from|get (?:that|it|this)(?: from)?)|says who|who says(?: so| that)?|according to (?:who|whom|what)|where(?:'s| is) that from|how do you know(?: that)?)\W*$")),
    ("forget", re.compile(r"^\W*(?:forget (?:it|that|all (?:of )?that|everything|the (?:job|room))|start (?:over|again|afresh)|reset|clear|new (?:job|question|conversation)|never ?mind|scrap that)\W*$")),
    ("undo", re.compile(r"^\W*(?:undo|go back|back to (?:before|the original|what it was)|revert|put it back)\W*$")),
    ("help", re.compile(r"^\W*(?:help|what can (?:you|i) (?:do|ask)(?: you)?|how does this work|how do (?:i|you) use (?:this|you)|commands?)\W*$")),
    ("thanks", re.compile(r"^\W*(?:(?:ok|okay|great|perfect|brilliant|cool|lovely|super)[ ,!.]*)*(?:thanks|thank you|thx|ta|cheers|thank you so much|thanks a (?:lot|bunch|million)|much appreciated|bye|goodbye|see you|ok|okay|great|perfect|brilliant|cool|lovely)(?: (?:very much|so much|a lot|again|mate|love|for (?:that|the help|your help)))?\W*$")),
    ("greeting", re.compile(r"^\W*(?:hi|hiya|hello|hey|good (?:morning|afternoon|evening|day)|morning|yo|howdy|evening)(?: (?:there|again|all|everyone|mate|you|bucketside))?\W*$")),
)  # fmt: skip
_UNAVAILABLE_BEFORE = re.compile(
    r"\b(?:instead of|in place of|no|(?<!get )(?<!getting )(?<!got )(?<!have )(?<!days )(?<!life )(?<!more )out of|without|replace(?:ment)?s?(?: for)?|substitut\w*(?: for)?|alternatives? (?:to|for)|swap(?:s|ped)?(?: out)?(?: for)?|subs? for|can'?t (?:get|find|source|have)|"
    r"couldn'?t (?:get|find)|stand[- ]?ins? for|similar to|something like|closest to|nearest to|not any|run out of|ran out of|short (?:of|on)|shorted (?:me|us)(?: on)?|look(?:s)? like|lost the|missing|equivalent (?:to|of|for))\W*(?:the |my |our |any |some |of |all |white |red |pink |blue |these |those )*$"
)
_UNAVAILABLE_AFTER = re.compile(
    r"^\W*(?:[a-z]+ )?(?:are|is|was|were|aren't|isn't|didn't|have|has|not|never|came|look)?\W*(?:unavailable|sold out|out of (?:stock|season)|not available|gone|not coming|n't come|not (?:there|to be had)|didn't (?:come|arrive|show)|dead|short|missing|rubbish|terrible|too expensive|didn't turn up|didnt come|came in damaged|arrived damaged)\b|"
    r"^(?:'s|s|'re)? (?:is |are |was |were )?(?:not|isn't|aren't|ain't) in\b(?! (?:water|foam|a|the|season|bud|flower))|^ (?:replacements?|sub(?:s|st)it?utes?|alternatives?|options)\b|^\W*(?:options|alternatives?|sub(?:s|st)it?utes?)\?"
)
_NEGATED = re.compile(
    r"\b(?:no|not|without|except|anything but|other than|but not|apart from|avoid|don't (?:want|use|like)|not using|leave out|skip|hates?|forget) (?:the |any |to use )?$"
)
_SAID_TO_BE = re.compile(
    r"[ .,]+(?:(?:is|are|be|really|actually|just|true|count(?:s|ed)? as|classed as|belongs? to|belong|this|plant|flower|it|one of|related to|an?|the|(?:kind|type|sort) of)[ ,.]*)*"
)
_IS_IT_THE = re.compile(r"\bis (?:that|it|this) (?:the|an?) (?:[a-z]+ )?$")
_PARTS = frozenset({"grass", "grasses", "berry", "berries", "pod", "pods", "seed pod", "seed pods", "seedpods"})
_ELSE = re.compile(
    r"\b(?:what|something|anything) else\b|\bwhat other\b|\binstead\b|\belse is there\b|\balternativ\w*|\bsubstitut\w*|\bbut\b[^.?!]{0,24}\b(?:want|need|like|after|looking for) something\b|\b(?:red|orange|black|white|pink) berr(?:y|ies)\b[^?]*\b(?:anything )?(?:but|except|(?:just )?not)\b"
)
# "Nothing yellow", "anything but pink": a colour that is not wanted.
_NOT_IN = re.compile(r"\b(?:nothing|no|not|without|anything but|not in|avoid(?:ing)?|hates?) (?:too )?$")
_ITS_PART = re.compile(r" (?:foliage|leaf|leaves|grass|flowers?|branch(?:es)?)$")
_FOAM = re.compile(r"\bfoam\b")
# "The croton was left in the rose fridge": no roses are asked about.
_ITS_COOLER = re.compile(r" (?:fridge|cooler|cold ?room|walk-?in)\b")


_SHARES = {
    "half": 0.5,
    "a half": 0.5,
    "a third": 1 / 3,
    "two thirds": 2 / 3,
    "2 thirds": 2 / 3,
    "a quarter": 0.25,
    "a fifth": 0.2,
    "a tenth": 0.1,
    "three quarters": 0.75,
    "3 quarters": 0.75,
}
_SHARE_OF_THEM = re.compile(
    rf"\b(?:(?P<share>{'|'.join(sorted(_SHARES, key=len, reverse=True))})|(?P<percent>\d{{1,2}}) ?%) of (?:them|those|these|it|that|which|the lot)(?: (?:is|are|being|as|should be|will be))? "
)
_MADE = re.compile(
    r"\b(?:doing|making|building|do|make|build|times|x) (?:just |only )?(\d{1,3})(?: of (?:them|those|these))?(?=\W*$|[.,;?!])"
)
# What flowers go in or are made into; beside such a word "40 of them" are pieces.
_IN_PIECES = re.compile(
    r"\b(?:vases?|tables?|jars?|pots?|pieces?|centre ?pieces?|center ?pieces?|bouquets?|posy|posies|urns?|arrangements?|buttonholes?|corsages?|wreaths?|"
    r"garlands?|displays?|designs?|cylinders?|bowls?|boxes|baskets?|ends?|swags?|arch(?:es)?)\b"
)
# "We haven't enough carnations and I shall need 84 of them": of what was named last.
_NEEDED = re.compile(r"(?:need|want) \d+ of (?:them|those|these)$")
_LENGTHS = {"metre": "m", "meter": "m", "m": "m", "foot": "ft", "ft": "ft"}
_PER_LENGTH = re.compile(r"\b(?:to (?:the|a)|per|a|each|every) (?:running )?(?P<unit>metre|meter|m|foot|ft)\b")
# The score of an ask that no word spoke for, only the slots.
IMPLIED = 1.0
_IMPLIED: tuple[tuple[tuple[str, ...], Task], ...] = (
    (
        (
            "display_temperature",
            "humidity",
            "stored_days",
            "elapsed_days",
            "since_date",
            "dry_days",
            "until_date",
            "display_days",
        ),
        "longevity",
    ),
    (("storage_temperature", "storage_method"), "storage"),
    (("form",), "quantity"),
    (("diameter", "fill_height", "volume"), "water"),
    (("stems", "bunches", "pieces", "pack_size"), "quantity"),
    (("support",), "longevity"),
    (("audience",), "hazard"),
    (("month",), "season"),
    (("width", "length"), "quantity"),
    (("price",), "cost"),
    (("place",), "longevity"),
)


_SIZED = ("diameter", "width", "height", "length", "depth", "fill_height", "outer", "vessel", "shape", "form")


_TAKEN_BACK = re.compile(
    r"\b(?:ok(?:ay)? )?(?:forget that|scrap that|scratch that|ignore that|no,? wait|(?:no,? )?hang on|(?:no,? )?hold on)\b(?=[^?]*\d)"
)


# A measure said again comes with so few words.
_RESAID_WORDS = 9
_SAID_ANEW = re.compile(
    r"\b(?P<first>\d+(?:\.\d+)?)(?P<named>(?: (?!and\b|in\b|at\b|for\b|cm\b|days?\b)[a-z']+){0,3}?),? (?:no,? (?:sorry|wait|hang on|hold on|make (?:it|that)|i (?:mean|meant)),?|sorry,?(?: no,?)?|i mean,?|i meant,?) "
    r"(?:make (?:it|that) )?(?P<last>\d+(?:\.\d+)?)\b(?! (?:degrees|c\b|days|weeks|litres?|%|ppm))"
)


# "It's 22 in the shop, sorry no, I'm looking at it now, it's 24": told twice in the same words.
_TOLD_TWICE = re.compile(
    r"\b(?P<frame>(?:it|that)(?:'s| is| was)|they(?:'re| are)|i(?:'ve got| need| want)|we(?:'ve got| need| want)|there(?:'s| are)) (?P<about>about |around |only )?"
    r"(?P<first>\d+(?:\.\d+)?)\b(?P<rest>(?![.\d])[^?!\d]{0,40}?),? (?:oh,? |er,? |um,? )?"
    r"(?:sorry,? no|no,? sorry|no,? wait|wait,? no|hang on,? no|no,? hang on|actually,? no|no,? actually|i tell a lie|correction|sorry)\b[^?!\d]{0,40}?"
    r"(?<!\band )\b(?P=frame) (?:about |around |only |really |actually )?(?P<last>\d+(?:\.\d+)?)\b(?!\.?\d)"
)


def _with_the_last_said(text: str) -> str:
    """ "Four roses, no sorry, five": the number put right is the one that counts."""
    text = _TOLD_TWICE.sub(lambda m: f"{m['frame']} {m['about'] or ''}{m['last']}{m['rest']}", text)
    return _SAID_ANEW.sub(lambda m: m["last"] + m["named"], text)


def _without_taken_back(text: str) -> str:
    """ "10 g/l for 18 litres, scratch that, 13 litres": the one measure said again takes the old one's place.

    "2 teaspoons per gallon... forget that, it says 10 ml": else the numbers before are void, the words stay.
    """
    match = _TAKEN_BACK.search(text)
    # "Hang on, not four, five": only the number denied is void.
    denied = match is not None and re.match(r"\W*not \d", text[match.end() :])
    if match is None or denied or not re.search(r"\d", text[: match.start()]):
        return text
    before, after = text[: match.start()], text[match.start() :]
    one = re.match(r"\W*(\d+) ([a-z]+)", text[match.end() :])
    same = list(re.finditer(rf"\b\d+(?= {one[2]}\b)", before)) if one else []
    if one and same:  # "15 salal... no hang on, 18 salal": that one number is put right, the others stand
        rest = text[match.end() + one.end() :]
        return f"{before[: same[-1].start()]}{one[1]} {one[2]}{rest}"
    anew = find_quantities(after)
    old = [q for q in find_quantities(before) if anew and q.unit == anew[0].unit]
    if old and len(re.findall(r"\d+(?:\.\d+)?", after)) == 1 and len(after.split()) <= _RESAID_WORDS:
        said = anew[0].said
        return before[: old[-1].start] + said + before[old[-1].end :] + after.replace(said, "", 1)
    return re.sub(r"\d+(?:\.\d+)?", "some", text[: match.start()]) + text[match.start() :]


class Parser:
    """Reads messages against one handbook. Thread-safe: it keeps nothing between calls."""

    def __init__(self, handbook: Handbook, names: NameIndex | None = None) -> None:
        self.handbook = handbook
        self.names = names or NameIndex(handbook)
        self._palette = {
            key_of(name): colour.id
            for table in handbook.tables.values()
            for colour in table.colours
            for name in (colour.id, *colour.names)
        }
        longest = sorted(self._palette, key=len, reverse=True)
        self._colour = re.compile(rf"\b(?:{'|'.join(map(re.escape, longest))})\b") if longest else None

    def parse(self, text: str, *, today: date, speaks_us: bool | None = None) -> Question:
        """Understand one message.

        Args:
            text: what was typed, at most `MAX_CHARACTERS` characters.
            today: the day "today" means.
            speaks_us: whether the person has been using US units (None: not known).

        Raises:
            TooLong: see `assistant.language.cleaning`.
        """
        shown = safe_text(text)
        normal = words_to_digits(put_right(normalise(text), self.names))
        normal = _without_taken_back(_with_the_last_said(normal))
        named = self.names.find(normal)
        reader = SlotReader(normal, today, self.handbook, speaks_us)
        reader.named = [(m.start, m.end) for m in named]
        # A sort without its head ("globe" of the thistles) is no shape or measure either.
        reader.protected = [
            (m.start, m.end)
            for m in named
            if m.how in ("exact", "shared") and (" " in m.said or not self.names.look_up(m.said))
        ]
        reader.read_measures()
        mentions = [m for m in named if not self._is_not_meant(m, normal, reader)]
        mentions = [m for m in mentions if len(mentions) < 2 or not _ITS_COOLER.match(normal[m.end :])]
        mentions = [self._part_of(m, normal) for m in self._colours(normal, reader, mentions)]
        reader.spans += [(m.start, m.end) for m in mentions]
        numbers = find_bare_numbers(normal, reader.spans)
        numbers = reader.read_bare_temperatures(numbers)
        reader.held_cold_without_a_unit()
        reader.read_stays()
        mentions = self._just_one(list(counts_beside(mentions, reader, numbers)), normal)
        mentions = self._counted_in_other_ways(mentions, reader, numbers)
        mentions = self._share_of_all(mentions, reader)
        self._along(reader, mentions)
        self._made_so_often(reader, mentions)
        mentions, counted = prices_beside(mentions, normal, reader.prices, [*reader.counts, *numbers])
        reader.spans += counted
        mentions = [
            self._told_apart(
                self._state(self._the_dry_one(self._standing(m, normal), normal), normal), mentions, normal
            )
            for m in mentions
        ]
        mentions = self._put_right(
            self._said_once_more(
                self._what_it_is(self._a_part_of_it(self._its_sort(self._not_twice(mentions, normal), normal)), normal),
                normal,
            ),
            normal,
        )
        times = re.search(r"\b(\d+) of (?:them|these|those)\b", normal)
        counted_each = sum(bool(m.stems or m.bunches) for m in mentions)
        free = times is not None and not any(s <= times.start(1) < e for s, e in reader.spans)
        if (
            times
            and free
            and (  # "3 roses, 2 stock. Ten of them.", "25 of them, and every one gets four freesias"
                counted_each >= 2
                or (counted_each == 1 and re.search(r"\b(?:each|every) one\b|\beach (?:gets|has|takes)\b", normal))
            )
        ):
            reader.slots.setdefault("pieces", Reading(float(times[1]), "pieces", said=times[0]))
        self._pieces_of_a_flower(reader, mentions)
        self._leftover_numbers(normal, reader, numbers)
        reader.read_surroundings()
        for name in ("shape", "vessel"):
            if name in reader.slots and reader.slots[name].said in {m.said for m in mentions}:
                del reader.slots[name]  # "sea holly or globe": the thistle
        self._degrees_of_a_place(reader)
        command = self._command(normal)
        unknown, domain, foreign = self._residue(normal, reader, mentions)
        asks = () if command else self._with_the_dose(self._asks(normal, mentions, reader), normal, mentions, reader)
        near = self._near(unknown) if not mentions else ()
        ordinal = self._ordinal(normal)
        return Question(
            text=shown,
            normal=normal,
            asks=asks,
            mentions=tuple(mentions),
            slots=dict(reader.slots),
            refers_back=bool(_BACK.search(normal)) or bool(_FOLLOW.search(normal)) or ordinal is not None,
            ordinal=ordinal,
            command=command,  # type: ignore[arg-type]
            unknown=unknown,
            near=near,
            domain_words=domain,
            foreign_words=foreign,
            corrections=bool(_FOLLOW.search(normal)),
            impossible=reader.impossible,
            speaks_us=reader.speaks_us if (asked_in := asked_in_us_units(normal)) is None else asked_in,
        )

    def as_ask(self, question: Question, task: Task, score: float) -> Ask:
        """The whole message as one ask for a task."""
        superlative = SUPERLATIVE.search(question.normal)
        kind = next((k for k, v in superlative.groupdict().items() if v), None) if superlative else None
        return Ask(
            task, score, question.normal, question.mentions, question.slots, bool(YES_NO.search(question.normal)), kind
        )

    # --- materials ------------------------------------------------------------------------------------------------

    def _is_not_meant(self, mention: Mention, text: str, reader: SlotReader) -> bool:
        """Names that are also everyday words, in a setting where the everyday word is meant."""
        if any(start < mention.end and mention.start < end for start, end in reader.spans):
            return mention.said not in ("wheat", "oats")
        pattern = HOMONYMS.get(mention.said)
        if pattern is None or _THE_FLOWER.match(text[mention.end :]):
            return False
        around = text[max(0, mention.start - 30) : mention.start] + "‹›" + text[mention.end : mention.end + 30]
        return bool(pattern.search(around))

    def _colours(self, text: str, reader: SlotReader, mentions: list[Mention]) -> list[Mention]:
        if self._colour is None:
            return mentions
        found: list[str] = []
        unwanted: list[str] = []
        kept = list(mentions)
        for match in self._colour.finditer(text):
            inside = [m for m in kept if m.start < match.end() and match.start() < m.end]
            if inside:
                # "lavender roses": a colour word that is also a material, right before another material.
                whole = inside[0].start == match.start() and inside[0].end == match.end()
                follows = any(
                    re.fullmatch(r"[ -]", text[match.end() : m.start]) for m in kept if m.start > match.start()
                )
                if not (whole and follows):
                    continue
                kept.remove(inside[0])
            if any(s <= match.start() < e for s, e in reader.spans):
                continue
            if re.match(
                r" (?:thiosulph\w*|thiosulf\w*|nitrate|room|house|card|finger|light|waste|bin)\b", text[match.end() :]
            ):
                continue
            colour = self._palette[key_of(match[0])]
            if (
                colour in ("green",)
                and re.search(
                    r"\b(?:which|what|a|an|any|best|lasting|longest|good|tough|other|of) $", text[: match.start()]
                )
                and not re.match(
                    r" (?:rose|flower|filler|bloom|carnation|hydrangea|mum|[a-z]+ flower)", text[match.end() :]
                )
            ):
                continue  # "which green lasts longest": foliage, not a colour
            if not kept and _NOT_IN.search(text[: match.start()]):
                unwanted.append(match[0])
            else:
                found.append(colour)
            reader.spans.append((match.start(), match.end()))
        if unwanted and not found:
            reader.impossible = (
                f"I can search for colours that are wanted, not for all but {unwanted[0]}: say which colours it may be."
            )
        if found:
            reader.slots.setdefault("colours", Reading(tuple(dict.fromkeys(found)), "ids", said=", ".join(found)))
        return kept

    def _standing(self, mention: Mention, text: str) -> Mention:
        before = text[max(0, mention.start - 60) : mention.start]
        after = text[mention.end : mention.end + 40]
        if _UNAVAILABLE_BEFORE.search(before) or _UNAVAILABLE_AFTER.search(after):
            mention = replace(mention, unavailable=True)
        if _NEGATED.search(before) and not re.search(r"\bsets? [^.?!]{0,40}\bapart from $", before):
            # "Don't want pampas, what else is there": what is turned down is what must be replaced.
            mention = replace(mention, negated=True, unavailable=mention.unavailable or bool(_ELSE.search(text)))
        return mention

    def _state(self, mention: Mention, text: str) -> Mention:
        """ "Fresh" or "dried" beside a shared name picks the meaning of that state."""
        if mention.id is not None and self.handbook.materials[mention.id].is_dry:
            fresh = self.names.in_state(mention.id, "fresh") if _SAID_FRESH.search(text[: mention.start]) else None
            bare = fresh is not None and not re.search(r"\b(?:dried|preserved|bleached)\b", mention.said)
            return replace(mention, ids=(fresh,)) if fresh is not None and bare else mention
        if len(mention.ids) < 2:
            return mention
        around = text[max(0, mention.start - 12) : mention.start] + " | " + text[mention.end : mention.end + 16]
        fresh_ones = re.search(r"\bfresh ones?\b|\bnot (?:the )?(?:dried|dry)\b|, fresh\W*$", text) is not None
        wants_dry = bool(re.search(r"\b(?:dried|preserved)\b", around)) and not fresh_ones
        wants_fresh = fresh_ones or bool(re.search(r"\b(?:fresh|green)\b", around))
        if wants_dry == wants_fresh:
            return mention
        fitting = [i for i in mention.ids if self.handbook.materials[i].is_dry == wants_dry]
        if not fitting or len(fitting) == len(mention.ids):
            return mention
        return replace(
            mention,
            ids=tuple(fitting),
            usual=mention.usual if mention.usual in fitting else None,
            how="exact" if len(fitting) == 1 else "shared",
        )

    def _the_dry_one(self, mention: Mention, text: str) -> Mention:
        """ "This eucalyptus … the preserved one": the state said later on."""
        if mention.id is not None and self.handbook.materials[mention.id].is_dry:
            return mention
        match = re.search(
            r"(?<!not )(?<!not the )\b(dried|dry|preserved|bleached) (?:one|ones|sort|kind|stuff|version)\b", text
        )
        state = {"dry": "dried"}.get(match[1], match[1]) if match else ""
        heads = re.match(r" (?:seed ?|dried )?(?:heads?|pods?)\b", text[mention.end :]) is not None and mention.id
        name = self.handbook.materials[mention.ids[0]].name
        bare = _ITS_PART.sub("", mention.said)
        tried = ((mention.said, bare, *((f"{name} pod", f"{name} head") if heads else ()))) if match else ()
        found = next((ids for said in tried if len(ids := self.names.look_up(f"{state} {said}")) == 1), ())
        return replace(mention, ids=found, usual=None, how="exact") if found else mention

    def _told_apart(self, mention: Mention, others: list[Mention], text: str) -> Mention:
        """A shared name whose meaning the rest of the message settles: "lilies - the oriental ones"."""
        if len(mention.ids) < 2:
            return mention
        for other in others:
            if other is not mention and len(other.ids) > 1:
                both = tuple(i for i in mention.ids if i in other.ids)
                if len(both) == 1:
                    return replace(mention, ids=both, usual=None, how="exact")
        said = {word.rstrip("s") for word in re.findall(r"[a-z]+", text[: mention.start] + " " + text[mention.end :])}
        own = {word.rstrip("s") for word in re.findall(r"[a-z]+", mention.said)}
        fitting = []
        for material_id in mention.ids:
            words = {w.rstrip("s") for w in re.findall(r"[a-z]+", self.handbook.materials[material_id].name.lower())}
            words -= own | {"lily", "lilie", "fern", "eucalyptu", "chrysanthemum", "orchid", "leaf", "pod", "dried"}
            if words and words <= said:
                fitting.append(material_id)
        return replace(mention, ids=(fitting[0],), usual=None, how="exact") if len(fitting) == 1 else mention

    @staticmethod
    def _put_right(mentions: list[Mention], text: str) -> list[Mention]:
        """ "X, no wait, Y" means Y."""
        denied = {i for m in mentions if m.negated and not m.unavailable for i in m.ids}
        if denied and any(not m.negated and not denied & set(m.ids) for m in mentions):
            mentions = [m for m in mentions if m.negated or not denied & set(m.ids)]  # "tulips, sorry, not tulips"
        said = _NO_WAIT.search(text)
        right = said.end() if said else next((m.start for m in mentions if _I_MEAN.search(text[: m.start])), 0)
        return [m for m in mentions if m.start >= right] or mentions

    @staticmethod
    def _not_twice(mentions: list[Mention], text: str) -> list[Mention]:
        """A shared name beside a plain one that is one of its meanings says nothing more."""
        plain = {m.ids[0] for m in mentions if len(m.ids) == 1}
        told_apart = re.search(r"\bapart\b|\bdiffer\w*|\bversus\b|\bvs?\b", text) is not None
        kept = []
        for m in mentions:
            rest = tuple(i for i in m.ids if i not in plain)
            if len(m.ids) == 1 or len(rest) == len(m.ids):
                kept.append(m)
            elif told_apart and len(rest) == 1:  # "what sets statice apart from limonium"
                kept.append(replace(m, ids=rest, usual=None, how="exact"))
        return kept

    def _part_of(self, mention: Mention, text: str) -> Mention:
        """ "The leaves of anthurium", "ivy with berries on": the leaf or the berry, where the handbook has one of its own."""
        part = (
            "leaf"
            if re.search(r"\bleaves of (?:the )?$", text[: mention.start])
            else "berry"
            if re.match(r" with (?:the |its |some )?berries\b", text[mention.end :])
            else None
        )
        found = self.names.look_up(f"{mention.said} {part}") if part else ()
        return replace(mention, ids=found, usual=None, how="exact") if len(found) == 1 else mention

    @staticmethod
    def _just_one(mentions: list[Mention], text: str) -> list[Mention]:
        """ "3 sprigs of lavender and one dried strawflower": beside other counts, one is a count as well."""
        if not any(m.stems for m in mentions):
            return mentions
        one = re.compile(r"\b(?:one|a single|1) (?:(?:[a-z]+ )?(?:sprigs?|stems?|heads?|pieces?|bits?) of |[a-z]+ )?$")
        return [
            replace(m, stems=1.0) if not (m.stems or m.bunches) and one.search(text[: m.start]) else m for m in mentions
        ]

    @classmethod
    def _counted_in_other_ways(
        cls, mentions: list[Mention], reader: SlotReader, numbers: list[Quantity]
    ) -> list[Mention]:
        """Counts after the names, counts added up, parts of a total, and packs said with each name."""
        text = reader.text
        free = [q for q in numbers if not any(s < q.end and q.start < e for s, e in reader.spans)]
        per_piece = cls._said_of_each(reader)
        mentions = counted_by_a_pronoun(mentions, text)
        mentions, used = counted_after(mentions, text, [*reader.counts, *free, *per_piece])
        reader.spans += used
        if any((q.start, q.end) in used for q in per_piece):
            del reader.slots["stems"]
        added = summed(mentions, text) if len({m.ids for m in mentions}) == 1 else None
        if added is not None:
            reader.spans += added.used
            reader.slots.pop("stems", None)
            if added.of_pieces:
                reader.slots.pop("pieces", None)
            mentions = [added.mention]
        total = reader.slots.get("stems")
        alike = counted_alike(mentions, total.said, total.number) if total is not None else None
        if alike is not None:
            del reader.slots["stems"]
            return packs_beside(alike, text, reader.packs)
        parts = shared(mentions, text, total.number) if total is not None else None
        if parts is not None:
            reader.slots.pop("strength", None)
            mentions = parts
        return packs_beside(mentions, text, reader.packs)

    @staticmethod
    def _said_of_each(reader: SlotReader) -> list[Quantity]:
        """The stems said of each piece ("6 to an urn"), where they stand in the message."""
        said = reader.slots.get("stems")
        found = (
            re.search(rf"(?<![\w.]){re.escape(said.said)}", reader.text) if said and said.said[:1].isdigit() else None
        )
        if said is None or found is None:
            return []
        return [Quantity(said.number, said.number, "stems", "count", *found.span(), found[0])]

    @staticmethod
    def _share_of_all(mentions: list[Mention], reader: SlotReader) -> list[Mention]:
        """ "80 stems, a quarter of them leucadendron": a share of what is counted in all."""
        total = reader.slots.get("stems")
        match = _SHARE_OF_THEM.search(reader.text)
        if total is None or match is None:
            return mentions
        share = float(match["percent"]) / 100 if match["percent"] else _SHARES[match["share"]]
        kept = [
            replace(m, stems=float(round(share * total.number))) if m.start == match.end() and not m.bunches else m
            for m in mentions
        ]
        if kept != mentions:
            del reader.slots["stems"]
        return kept

    @staticmethod
    def _along(reader: SlotReader, mentions: list[Mention]) -> None:
        """ "Eight to the metre, the runner's 12 metres": a piece for each metre."""
        step = _PER_LENGTH.search(reader.text)
        side = next((name for name in ("length", "width", "height") if name in reader.slots), None)
        counted = any(m.stems and m.end <= step.start() for m in mentions) if step else False
        if step is None or side is None or not counted or "pieces" in reader.slots:
            return
        along, unit = reader.slots.pop(side), to_si(1.0, _LENGTHS[step["unit"]])
        reader.slots["pieces"] = Reading(along.number / unit, "pieces", said=along.said)
        reader.slots["per_length"] = Reading(unit, "cm", said=step[0])

    @staticmethod
    def _made_so_often(reader: SlotReader, mentions: list[Mention]) -> None:
        """ "Recipe is 5 protea, 7 seeded euc, 3 skimmia. Doing four": the number of pieces, said last."""
        made = next(
            (
                m
                for m in _MADE.finditer(reader.text)
                if not any(s < m.end(1) and m.start(1) < e for s, e in reader.spans)
            ),
            None,
        )
        several = sum(bool(m.stems) for m in mentions) > 1 or re.search(r"\b(?:each|every|per|apiece)\b", reader.text)
        if made and several and mentions and "pieces" not in reader.slots:
            reader.slots["pieces"] = Reading(float(made[1]), "pieces", said=made[0])
            reader.spans.append((made.start(1), made.end(1)))

    @staticmethod
    def _its_sort(mentions: list[Mention], text: str) -> list[Mention]:
        """ "Callas I meant, the mini callas": the bare head said before its sort is no second material."""
        kept = []
        for m in mentions:
            sort = next(
                (o for o in mentions if o.start >= m.end and o.id and o.said.endswith(f" {m.said}") and o.ids != m.ids),
                None,
            )
            between = text[m.end : sort.start] if sort else ""
            head = m.said.rstrip("s")
            again = any(o.id and o.end <= m.start and o.said.rstrip("s").endswith(f" {head}") for o in mentions)
            if again and m.id is None and re.search(r"(?<!or )(?<!and )(?<!than )(?<!with )\bthe $", text[: m.start]):
                continue  # "36 preserved ruscus … just the ruscus"
            told = {o.ids for o in mentions if o.id and o.ids != m.ids and o.said.rstrip("s").endswith(f" {head}")}
            if len(told) > 1 and not re.search(
                r"\b(?:and|or|vs?|versus|than|against|from|with) (?:a |the )?$", text[: m.start]
            ):
                continue  # "still learning my roses: a garden rose against a spray rose"
            if sort is None or not re.fullmatch(
                r",? (?:i (?:meant?|mean)|sorry|that is|well)?,? ?(?:the |some )?", between
            ):
                kept.append(m)
        return kept

    @staticmethod
    def _a_part_of_it(mentions: list[Mention]) -> list[Mention]:
        """ "The berries on euonymus": a word for a part is no material of its own beside a name, and its count is that
        of the one name ("dried lotus: three pods on each")."""
        if not any(m.id and m.said not in _PARTS for m in mentions):
            return mentions
        kept = [m for m in mentions if m.said not in _PARTS]
        counts = [m.stems for m in mentions if m.said in _PARTS and m.stems]
        if len(kept) == len(counts) == 1 and not (kept[0].stems or kept[0].bunches):
            kept = [replace(kept[0], stems=counts[0])]
        return kept

    @staticmethod
    def _what_it_is(mentions: list[Mention], text: str) -> list[Mention]:
        """ "Are teasels thistles?": a shared name that one is said to be names no second material."""
        kept = []
        for m in mentions:
            before = next(
                (p for p in mentions if p.id and p.end < m.start and _SAID_TO_BE.fullmatch(text[p.end : m.start])), None
            )
            if not m.id and any(p.id and p.end < m.start for p in mentions) and _IS_IT_THE.search(text[: m.start]):
                continue  # "guelder rose, is that the white pompom or the berry"
            asked = before is not None and re.search(
                r"\b(?:is|are|isn't|aren't|do|does|count|classed|belongs?|call)\b", text[: m.start]
            )
            if m.id or not asked:
                kept.append(m)
        return kept

    def _said_once_more(self, mentions: list[Mention], text: str) -> list[Mention]:
        """ "Dried helichrysum, you know, strawflowers": the bare name after the dry one means the same stems, unless the
        fresh ones are told from them."""
        if len(mentions) < 2 or re.search(r"\b(?:fresh|both)\b", text):
            return mentions
        dry = {m.ids[0] for m in mentions if m.id and self.handbook.materials[m.ids[0]].is_dry}
        again = [
            m
            for m in mentions
            if m.id
            and m.id not in dry
            and any(d in dry for state in ("dried", "preserved") for d in self.names.look_up(f"{state} {m.said}"))
            and not re.search(
                r"\b(?:than|or|vs?\.?|versus|and|from|with|to|against) (?:the |a |an |some )?$", text[: m.start]
            )
            and not re.match(r"\W*(?:or|vs?\.?|versus|and|against|from|than|compared) ", text[m.end :])
        ]
        return [m for m in mentions if m not in again]

    def _near(self, unknown: tuple[str, ...]) -> tuple[tuple[str, str], ...]:
        near = []
        for word in unknown:
            if not is_ordinary_word(word.split()[0]):
                near += [(word, ids[0]) for ids, _ in self.names.nearest(word, 3)]
        return tuple(near)

    # --- words ----------------------------------------------------------------------------------------------------

    def _residue(
        self, text: str, reader: SlotReader, mentions: list[Mention]
    ) -> tuple[tuple[str, ...], int, tuple[str, ...]]:
        """What is left when names, measures and everyday words are taken away: unknown words, and how many of the
        others belong to the trade or to another subject."""
        free = list(text)
        for start, end in [*reader.spans, *((m.start, m.end) for m in mentions)]:
            free[start:end] = " " * (end - start)
        unknown: list[str] = []
        foreign: list[str] = []
        domain = 0
        for match in re.finditer(r"[a-z]+(?:'[a-z]+)?\d*", "".join(free)):
            word = match[0]
            root = word.removesuffix("'s").rstrip("s") if len(word) > 3 else word
            if word in DOMAIN_WORDS or root in DOMAIN_WORDS:
                domain += 1
            elif word in FOREIGN_WORDS or root in FOREIGN_WORDS:
                foreign.append(word)
            elif word not in FUNCTION_WORDS and root not in FUNCTION_WORDS:
                unknown.append(word)
        return tuple(unknown), domain, tuple(foreign)

    @staticmethod
    def _pieces_of_a_flower(reader: SlotReader, mentions: list[Mention]) -> None:
        """ "Statice, 200 pieces": pieces of one flower that nothing else counts are its stems."""
        pieces = reader.slots.get("pieces")
        counted = (
            any(m.stems or m.bunches for m in mentions) or {"stems", "width", "form", "vessel"} & reader.slots.keys()
        )
        flowers = pieces is not None and (
            re.search(r"(?<![a-z])pieces$", pieces.said) is not None
            or (pieces.said.endswith(("of them", "of those", "of these")) and not _IN_PIECES.search(reader.text))
            or (
                mentions
                and _NEEDED.match(pieces.said)
                and mentions[-1].end <= reader.text.find(pieces.said)
                and not _IN_PIECES.search(reader.text[mentions[-1].end :])
            )
        )
        if pieces is not None and flowers and len(mentions) == 1 and not counted:
            reader.slots["stems"] = replace(reader.slots.pop("pieces"), unit="stems")

    @staticmethod
    def _degrees_of_a_place(reader: SlotReader) -> None:
        """ "Cymbids, hotel lobby, 23": a lone number beside a room is its temperature."""
        count = reader.slots.get("count")
        alone = not {"display_temperature", "stems", "bunches", "pieces"} & reader.slots.keys()
        ordered = re.search(r"\b(?:order|buy|bunch(?:es)?|stems?)\b", reader.text)
        if count is not None and re.search(rf"\b{re.escape(count.said.strip())} [a-z]{{3,}}s\b", reader.text):
            return  # "the office, 12 desks": what it counts stands behind it
        if count is not None and alone and not ordered and "place" in reader.slots and 8 <= count.number <= 40:
            low, high = count.span
            del reader.slots["count"]
            reader.slots["display_temperature"] = Reading(
                count.number, "degC", low, high, count.said, f"{count.said} taken as °C"
            )

    _SIDES = (
        (re.compile(r"^\W*(?:cm |mm )?(?:tall|high|in height)\b"), "height"),
        (re.compile(r"^\W*(?:cm )?(?:wide|across|in width|diameter|diam?|id)\b"), "width"),
        (re.compile(r"^\W*(?:cm )?(?:long|in length)\b"), "length"),
        (re.compile(r"^\W*(?:cm )?(?:at|across) the (?:top|rim|lip|mouth|neck)\b"), "diameter"),
        (re.compile(r"^\W*(?:cm )?(?:at|across) the (?:base|bottom|foot)\b"), "base_diameter"),
        (
            re.compile(
                r"^\W*(?:cm )?(?:deep|in depth|up|full(?! \d| (?:[a-z]+ ){0,2}(?:buckets?|vases?|bowls?|jugs?|urns?|tanks?))|of water)\b"
            ),
            "fill_height",
        ),
        (
            re.compile(
                r"^\W*(?:cm )?(?:inside|inner|(?:for |in |across )?(?:the |its )?(?:hole|middle|centre|center))\b"
            ),
            "inner",
        ),
        (re.compile(r"^\W*(?:cm )?(?:outside|outer)\b"), "outer"),
    )

    def _leftover_numbers(self, text: str, reader: SlotReader, numbers: list[Quantity]) -> None:
        """A number nobody claimed: a side of the vessel in hand, or a count."""
        in_mm = any(reader.slots[n].said.endswith("mm") for n in ("length", "depth", "diameter") if n in reader.slots)
        factor = 0.1 if in_mm else 2.54 if reader.speaks_us else 1.0
        sized = bool(_FOLLOW.search(text)) or any(name in reader.slots for name in _SIZED)
        right = max((m.end() for m in _RIGHT_ONE.finditer(text)), default=0)
        come_to = _COME_TO.search(text)
        for q in numbers:
            if any(s <= q.start < e for s, e in reader.spans) or text[: q.start].endswith(
                ("not ", "instead of ", "rather than ")
            ):
                continue
            if q.end <= right and any(other.start >= right for other in numbers):
                continue  # "did I say sixty, I meant eighty"
            if re.match(r" (?:flights?|floors?|storeys|stairs|steps)\b", text[q.end :]):
                continue  # what a filled vessel is carried up
            if come_to is not None and q.end <= come_to.start(1):
                continue  # "one bucket cracked so 16", "they found 8 more so 20"
            before, after = text[max(0, q.start - 30) : q.start], text[q.end : q.end + 20]
            side = next((name for pattern, name in self._SIDES if pattern.search(after)), None)
            if any(name in reader.slots for name in _SIZED) and re.search(
                r"\b(?:fill\w*|pour\w*|put(?:ting)?|stop\w*|water|depth|level)\b[^.,;]{0,14}\b(?:to|of|at|up|is)? ?(?:about )?$|\bup to $",
                before,
            ):
                side = side or "fill_height"
            if sized and re.search(r"\b(?:diameter|across|width|wide) (?:of |is )?$", before):
                side = side or "diameter"
            if sized and re.search(r"\b(?:height|tall) (?:of |is )?$", before):
                side = side or "height"
            if re.search(r"\binner (?:one|diameter|side|ring)?(?:'s| is| of)? ?$", before):
                side = "inner"
            poured = (
                re.search(r"\bfill(?:ed|ing)?(?: it| them)? (?:up )?to (?:about |only |just )?$", before) is not None
            )
            side = side or ("fill_height" if poured else None)
            if side and (sized or poured):
                reader.slots.setdefault(side, Reading(q.low * factor, "cm", q.low * factor, q.high * factor, q.said))
            elif not re.search(r"\b(?:loss|waste|confidence|sure)\b(?!,)", before):
                reader.slots.setdefault("count", Reading(q.low, "count", q.low, q.high, q.said))
            if q.low < 0:
                reader.impossible = f"{q.said} cannot be counted out; give a number above zero."

    # --- asks -----------------------------------------------------------------------------------------------------

    def _command(self, text: str) -> str | None:
        return next((name for name, pattern in _COMMANDS if pattern.search(text)), None)

    def _ordinal(self, text: str) -> int | None:
        match = _ORDINAL.search(text)
        if not match:
            return None
        if match["number"] or match["digit"]:
            return int(match["number"] or match["digit"]) - 1
        return _ORDINALS[match["word"] or match["only"]]

    def _asks(self, text: str, mentions: list[Mention], reader: SlotReader) -> tuple[Ask, ...]:
        clauses = self._clauses(text)
        whole = choose_task(text, score_tasks(text), reader.slots, len(mentions), len(mentions))
        scored = []
        for start, end in clauses:
            clause = text[start:end]
            inside = tuple(m for m in mentions if start <= m.start < end)
            scores = choose_task(clause, score_tasks(clause), reader.slots, len(inside), len(mentions))
            if scores:
                scored.append((clause, inside, scores))
        if len(scored) > 1:
            scored = self._drop_weak(scored)
        if len(scored) <= 1:
            if not whole:
                implied = self._implied(mentions, reader)
                return (self._ask(text, text, tuple(mentions), {implied: IMPLIED}, reader),) if implied else ()
            clause = scored[0][0] if scored and len(clauses) > 1 else text
            scores = scored[0][2] if scored and len(clauses) > 1 and max(scored[0][2].values()) >= 2 else whole
            return (self._ask(text, clause, tuple(mentions), scores, reader),)
        asks: list[Ask] = []
        for clause, inside, scores in scored:
            ask = self._ask(text, clause, inside or tuple(mentions), scores, reader)
            same = [
                a for a in asks if a.task == ask.task and {m.ids for m in a.mentions} == {m.ids for m in ask.mentions}
            ]
            if not same:
                asks.append(ask)
        return tuple(asks)

    def _with_the_dose(
        self, asks: tuple[Ask, ...], text: str, mentions: list[Mention], reader: SlotReader
    ) -> tuple[Ask, ...]:
        """ "50 genista at 90p a stem, and food for 12 litres at 8 g a litre": a bill and a dose in one breath are two asks;
        the lines of one bill are one."""
        bills = [ask for ask in asks if ask.task == "cost"]
        if len(bills) > 1:
            bill = self._ask(text, text, tuple(mentions), {"cost": max(ask.score for ask in bills)}, reader)
            asks = (*(bill if ask is bills[0] else ask for ask in asks if ask not in bills[1:]),)
        if {"price", "label_dose"} <= reader.slots.keys() and [ask.task for ask in asks] in (["cost"], ["mixing"]):
            other: Task = "mixing" if asks[0].task == "cost" else "cost"
            return (*asks, self._ask(text, text, tuple(mentions), {other: asks[0].score}, reader))
        return asks

    def _implied(self, mentions: list[Mention], reader: SlotReader) -> Task | None:
        """A material and its conditions, and no verb: "glads at 25" asks for the days, "roses on a cake" for safety."""
        vessel = {"vessel", "shape"} & reader.slots.keys() or {"diameter", "fill_height"} <= reader.slots.keys()
        if vessel and any(
            name in reader.slots
            for name in ("diameter", "height", "fill_height", "length", "width", "volume", "outer", "fill_share")
        ):
            return "water"
        if not mentions:
            return None
        if any(m.unavailable for m in mentions):
            return "substitute"
        slots = reader.slots
        if "price" in slots:
            return "cost"
        different = {m.ids for m in mentions}
        counted = any(m.stems or m.bunches for m in mentions) or {"stems", "bunches", "pieces"} & slots.keys()
        if re.search(r"\bdisplay\b|\binstallation\b", reader.text) and {"display_days", "until_date"} & slots.keys():
            return "refresh"
        if "month" in slots and "support" not in slots:
            return "season"
        if (
            len(different) >= 2
            and not counted
            and not {"since_date", "elapsed_days", "stored_days", "until_date", "audience"} & slots.keys()
        ):
            return "compare"
        for names, task in _IMPLIED:
            if any(name in slots for name in names):
                return task
        return None

    def _ask(
        self, text: str, clause: str, mentions: tuple[Mention, ...], scores: dict[Task, float], reader: SlotReader
    ) -> Ask:
        task = max(scores, key=lambda t: (scores[t], t))
        superlative = SUPERLATIVE.search(clause) or SUPERLATIVE.search(text)
        kind = next((k for k, v in superlative.groupdict().items() if v), None) if superlative else None
        return Ask(
            task=task,
            score=scores[task],
            text=clause.strip(),
            mentions=mentions,
            slots=dict(reader.slots),
            yes_no=bool(YES_NO.search(clause.strip())),
            superlative=kind,
        )

    def _clauses(self, text: str) -> list[tuple[int, int]]:
        out, start = [], 0
        for match in _SECOND_ASK.finditer(text):
            out.append((start, match.start() + 1))
            start = match.end()
        out.append((start, len(text)))
        return [(s, e) for s, e in out if re.search(r"\w", text[s:e])]

    def _drop_weak(
        self, scored: list[tuple[str, tuple[Mention, ...], dict[Task, float]]]
    ) -> list[tuple[str, tuple[Mention, ...], dict[Task, float]]]:
        """A clause that only sets the scene ("it's in foam.") is no ask of its own when another clause is a clear one."""
        strong = [row for row in scored if max(row[2].values()) >= 2.0 and self._asks_something(row[0])]
        return strong or scored

    def _asks_something(self, clause: str) -> bool:
        return bool(
            "?" in clause
            or re.search(
                r"\b(?:how|what|when|where|which|who|why|will|can|could|should|would|do i|do we|is|are|does|tell|give|need|want|list|suggest|compare|find|show|any|price|cost|order|work out|calculate|help|explain)\b",
                clause,
            )
        )
