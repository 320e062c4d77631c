"""Prices and mark-up factors in a message. Money has no currency here: what was said is what is reckoned with.

A price's unit says what it buys: `STEM`, `BUNCH` (whatever is sold as one: a bunch, a box, ten tied together), `EACH`
(one of what is counted) or `MONEY` where the words don't tell.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.quantities import Quantity
from assistant.language.question import Mention, Reading

MONEY, STEM, BUNCH, EACH = "money", "money/stem", "money/bunch", "money/each"


def _any_of(*alternatives: str) -> re.Pattern[str]:
    return re.compile("|".join(alternatives))


_NUMBER = r"\d+(?:\.\d+)?"
_PENCE = r"(?<![\d.])(\d+\.\d{2})"
_STEM_WORDS = r"(?:stems?|heads?|blooms?|flowers?|sprays?|spears?|blades?|fronds?|branch(?:es)?|pods?|cones?)\b"
_BUNCH_WORDS = r"(?:bunch(?:es)?|bchs?|wraps?|bundles?|packs?|packets?|box(?:es)?|trays?|sleeves?)\b"
_ONE = r"(?:for |by )?(?:an?|per|each|every|the|1|one)(?: (?:whole|single|full|cut|good))?"
_A_THING = rf"{_ONE} (?:{_STEM_WORDS}|{_BUNCH_WORDS})"

# --- prices with a currency --------------------------------------------------------------------------------------------

_MARKED = _any_of(
    r"(?P<whole>\d+) (?:pounds?|dollars?|euros?|quid) (?P<pence>\d{2})(?! ?(?:stems?|days|bunch))"
    r"(?=\W*$|[,.?!;]| (?:an?|per|each|apiece|for|and|the)\b)",
    rf"[$£€] ?(?P<marked>{_NUMBER})",
    rf"(?P<named>{_NUMBER}) ?(?:dollars?\b|pounds?(?= (?:an?|per|each|the|for \d+)\b)|euros?\b|bucks\b|quid\b|pence\b|cents?\b|p\b)",
    rf"(?P<cents>{_NUMBER}) ?c(?= (?:each|(?:a|per) (?:stem|head|bloom))\b)",
    r"\ba (?P<note>fiver|tenner)\b",
)
_PENNIES = re.compile(r"(?:pence|cents?|p|c)$")
_NOTES = {"fiver": 5.0, "tenner": 10.0}

# --- prices without one; the first group that matched is the number ------------------------------------------------------

# "Cost me 38 in flowers", "spent 42 on stems": money whatever follows.
_SPENT = re.compile(
    r"\b(?:costs? (?:me|us|them)|(?:set|sets|stood|stands) (?:me|us|them)(?: back)?|spen[dt]|spending|paid out) "
    rf"(?:at |in at )?(?:about |around )?({_NUMBER})\b(?! ?(?:%|°|deg|stems?\b|bunch|days?\b|hours?\b|weeks?\b))"
)
_BUDGET = re.compile(
    rf"\b(?:budget(?:'s| is| of)?|no more than|spend up to) [£$€]?({_NUMBER})\b|\b(?:got|have) (?:only |just )?[£$€]?({_NUMBER}) to spend"
)
# A number with its pence is money, whatever else is said: "at 1.20 each", "48 gerbera at 0.85".
_WITH_PENCE = _any_of(
    rf"{_PENCE} (?:each\b|apiece\b|a piece\b|a pop\b|a go\b|{_A_THING})",
    rf"\b\d+ (?:in|to) (?:a|the|each) {_BUNCH_WORDS} for ({_NUMBER})(?=\W*$|[,.;?!])",
    # "Bunch of five is 7.90."
    rf"\b{_BUNCH_WORDS}(?: of \d+)? (?:is|are|costs?|'s|now|at|for) (\d+\.\d{{2}})(?=\W*$|[,;?!]|\.(?!\d)| (?:now|and|so|then)\b)",
    # "If ten stems are 14.50 and I want thirty-five."
    rf"\b\d+ {_STEM_WORDS} (?:is|are|costs?|come to|go for) (\d+\.\d{{2}})(?=\W*$|[,;?!]|\.(?!\d)| (?:now|and|so|then)\b)",
    rf"{_PENCE}(?= (?:and|or) \d+\.\d{{2}} {_A_THING})",
    r"(?<= at )(\d+\.\d{2})(?=\W*$|[,;?!]|\.(?!\d)| (?:and|plus) \d)",
)
# Pence and no measure, beside a name: "roses 1.10", "both 1.30", "14.50 per 10".
_BARE_PENCE = re.compile(
    r"(?<!ph )(?<![\d.-])(\d+\.\d{2})(?!\d|\.\d|-)(?! ?(?:x|times|to|%|°|[a-z]?m|l|lit\w+|gal\w*|pints?|quarts?|inch\w*|in|f(?:oo|ee)?t|k?g|degrees?|c|f|ppm|bleach|household)\b)"
)
# "One piece costs 1.10."
_ONE_COSTS = re.compile(
    r"\b(?:1|one|a single|each|a) (?P<what>piece|stem|head|bloom|flower) (?:costs?|is|comes to) (?:me )?(?P<price>\d+\.\d{2})(?!\.?\d)"
)
_OF_SO_MANY = re.compile(rf"(?<![\d.])({_NUMBER})(?= (?:for )?(?:an?|the|each|per) {_BUNCH_WORDS} of \d)")
# "Paying 6.40 for ten tulips".
_PAID_FOR = re.compile(
    rf"\b(?:pay(?:ing)?|paid|charge[sd]?|charging|costs?(?: me| us)?) ({_NUMBER})"
    r"(?= for (?:a bunch of )?\d+ (?!days?\b|weeks?\b|stems? a)[a-z])"
)
_AT_SO_MUCH_A_THING = _any_of(rf"\bat ({_NUMBER}) (?={_A_THING})", rf"(?<![\d.])({_NUMBER}) (?=each {_BUNCH_WORDS})")
_NO_MEASURE = r"(?! ?(?:°|deg|c\b|f\b|%|cm|l\b))"
_ENDS = rf"(?= (?:each|apiece|and)\b|\W*$|[,;]){_NO_MEASURE}"
_PLAIN = _any_of(
    # "Bride coming in at four and ..." is a time.
    rf"(?<!coming in )(?<!comes in )(?<!coming )(?<!due in )(?<!due )(?<!here )(?<!back )\bat ({_NUMBER}){_ENDS}",
    r"\b(?:for|is|are|reads|comes to|costs?(?: me| us)?|pay(?:ing)?|paid|charge[sd]?|=) "
    rf"({_NUMBER})(?:{_ENDS}|(?=[?!]|\.(?!\d)))",
    rf"\b(?:it's|they're|they are|it is|that's) ({_NUMBER})(?= (?:each|apiece)\b)",
    rf"(?<![\d.])({_NUMBER}) (?:a|per|each|for a|for the|for each|the) (?:bunch|stem|wrap|box|bloom|head|pop|piece)\b",
    r"\bfor (\d+\.\d{2})\b",
    rf"\bat ({_NUMBER})(?=[.?](?!\d))",
)
_ABOUT_MONEY = _any_of(
    r"\b(?:costs?|price(?:s|d|wise)?|comes? to|charge|money|total|worth(?! of)|mark[ -]?up|pay|paid|sell|bill|invoice)\b",
    r"\b(?:stands? me|set (?:me|us) back|spend\w*|owe|bought|wholesale|retail|a pop|damage|outlay|cheaper|dearer|lands? at|landed at|in for)\b",
    r"\b(?:add|tot|reckon) (?:it|that|them|these|those|everything)(?: all)? up\b",
)
# "The room's at 22", "how long will they stand at 22": no price.
_WARMTH = _any_of(
    r"\b(?:room|shop|hall|lobby|office|tent|church|cooler|fridge|display)(?:'?s)?\b[^.?!]{0,12}$",
    r"\b(?:stand|last|hold|keep|kept|live|sit|stored?)(?:s|ing)?\b(?! (?:me|us|them) (?:in|back)\b)[^.?!,]{0,12}$",
    r"\bhow (?:long|many days)\b[^.?!\d]{0,16}$",
)
# Beside a price said before only what stands right after a name is another one: "tulips at 6 and stocks at 9".
_AFTER_A_NAME = re.compile(r"(?:'s|s)? ?")

# --- what a price buys -------------------------------------------------------------------------------------------------

_A_STEM = re.compile(rf"(?:[^\w.?!;]{{0,2}}{_ONE} | ?/ ?){_STEM_WORDS}")
_A_BUNCH = re.compile(
    rf"(?:[^\w.?!;]{{0,2}}{_ONE} | ?/ ?){_BUNCH_WORDS}(?: of (?P<holds>\d+)\b(?! ?(?:bunch|wrap|bundle)))?"
)
_A_NAME = re.compile(r"\W{0,2}(?:for )?(?:an?|per|each) ")
_AND_SO_MUCH = re.compile(rf" (?:and|or) [£$€]?{_NUMBER}(?= {_A_THING}| each\b)")
_EACH_ONE = re.compile(r"\W{0,2}(?:(?:in |of |for )?flowers )?(?:each|apiece|a ?piece|a pop|a go)\b")
# "£26 for 6 roses" pays for all six; "at 2 for 6 tables" and "£60 for 6 vases" say what it is for.
_FOR_SO_MANY = re.compile(
    r" (?:for|per) (?P<holds>\d+)\b(?!\.?\d|%)(?! ?(?:cm|mm|l|lit\w+|days?|weeks?|months?|hours?|tables?|vases?|pieces?|arrangements?|"
    r"bouquets?|people|guests?|jars?|urns?|bowls?|buckets?|stems? (?:a|per|each))\b)"
)
# "75 stems of eryngium at a tenner for ten": what is wanted is counted, so the other number is of what is bought.
_COUNTED_STEMS = re.compile(rf"(?<![\d.])\d+ {_STEM_WORDS}")
_SOLD_AT = re.compile(r"\b(?:comes?|came|goes?|sells?|sold) (?:in )?at $")
_IS_AT = r"[^.?!,\d]{0,30}\b(?:costs?|is|are|at|for|reads|price[sd]?)\b[^.?!\d]{0,8}$"
# "25 for 8.75" pays for all of them.
_SO_MANY_FOR = re.compile(
    r"(?<![\d.])(?P<holds>\d{1,3})(?:(?: of (?:them|those|these)| stems?| heads?)? for| (?:stems?|heads?) (?:is|are|costs?|come to|go for)) (?:about |only |just )?$"
)
# "It was 6.50 last year, 7.10 now": no price of today.
_OLD = re.compile(
    rf"\b(?:was|were|used to be|had been|from|paid|cost) [£$€]?(?P<old>{_NUMBER})(?: ?(?:p|quid|pounds?))?(?: (?:a|per) (?:bunch|stem|box|wrap))? "
    r"(?:last (?:year|month|week|time|season|order)|before\b|originally|a (?:year|month|week) ago|until now|yesterday)"
)
_BUNCH_BEFORE = re.compile(rf"\b{_BUNCH_WORDS}(?: of (?P<holds>\d+)\b(?! ?(?:bunch|wrap|bundle)))?{_IS_AT}")
_STEM_BEFORE = re.compile(rf"\b{_STEM_WORDS}{_IS_AT}")
_TIED_BEFORE = re.compile(
    r"(?P<holds>(?<![\d.])\d+) (?:[a-z-]+ ){1,4}(?:tied|bundled|packed|bunched|boxed|sold)\b(?: [a-z]+){0,3} (?:for|at) $"
)

# --- factors -----------------------------------------------------------------------------------------------------------

_MARK_UP_WORD = r"(?:mark[ -]?up|multiplier)(?: [a-z]+){0,3}? (?:is|of|at)|mark[ -]?up|multiplier"
_MARKED_UP = (
    r"mark(?:ed|ing|s)?(?: it| that| them| those)?[ -]?up (?:by )?|mark(?:ed|ing)?[ -]?up(?: it| that| them)? by"
)
_MULTIPLIED = r"multipl\w+ (?:(?:it|that|them|this) )?(?:by|of)"
_TIMES = r" ?(?:x|times)"
_FACTOR = _any_of(
    rf"\b(?:times|x|factor(?: of)?|{_MARK_UP_WORD}|{_MARKED_UP}|{_MULTIPLIED}) ?({_NUMBER})(?:{_TIMES})?\b(?! ?%)",
    rf"(?<![\d.])({_NUMBER})(?:-?{_TIMES}|[ -]?fold)?(?= mark[ -]?up)",
    rf"\b({_NUMBER}){_TIMES}(?= (?:mark|cost|wholesale|that|it|on|over|what)|$| ?[?.,])",
)
_FACTOR_WITHOUT_PRICE = _any_of(
    r"\bmark(?:ed|ing|s)?(?: it| them| that| those)?[ -]?up\b",
    r"\bmultipl\w+ (?:it|that|this|them|the cost|my cost)\b",
    rf"\b{_NUMBER}{_TIMES} (?:that|it|the cost|cost|on (?:it|that|them|top))\b",
)
# "And we double it", "I want to triple it".
_TIMES_IT = re.compile(
    r"\b(?P<word>double|treble|triple|quadruple) (?:it|that|them|the (?:cost|price))\b(?! (?:of|number)\b)"
)
_TIMES_WORDS = {"double": 2.0, "treble": 3.0, "triple": 3.0, "quadruple": 4.0}
# A price with its factor: "cost me 12, times 3".
_PRICE_AND_FACTOR = _any_of(
    rf"\b(?:bought|cost\w*|paid) (?:at |me |us )?({_NUMBER})\b[^.?!]{{0,20}}\b(?:multipl\w+|times|x) (?:it )?(?:by )?({_NUMBER})\b",
    rf"\bmark(?:ing|ed)?[ -]?up ({_NUMBER}) by ({_NUMBER})\b",
    rf"\b({_NUMBER}) marked up ({_NUMBER})\b",
    rf"\b(?:at|for) ({_NUMBER}),? (?:and )?(?:multiply\w*|times) (?:it )?(?:by )?({_NUMBER})\b",
)
# What it sells for and what it cost: the factor between them.
_SOLD = re.compile(
    rf"\b(?:sell\w*|sold|charge[sd]?|charging|goes) (?:[a-z]+ ){{0,4}}(?:for|at|is)? ?[£$€]?(?P<sold>{_NUMBER})\b(?! ?(?:x|times|%))[^.?!]{{0,40}}?"
    rf"\b(?:cost\w*|paid|pay) (?:[a-z]+ ){{0,3}}[£$€]?(?P<cost>{_NUMBER})\b|"
    rf"\b(?:cost\w*|paid|pay) (?:[a-z]+ ){{0,3}}[£$€]?(?P<cost2>{_NUMBER})\b[^.?!]{{0,40}}?"
    rf"\b(?:sell\w*|sold|charge[sd]?|charging|goes) (?:[a-z]+ ){{0,4}}(?:for|at|is) [£$€]?(?P<sold2>{_NUMBER})\b(?! ?(?:x|times|%))"
)
_MARK_UP_ON = re.compile(rf"(?<![\d.])({_NUMBER})(?:{_TIMES})? mark[ -]?up (?:on|over) [£$€]?({_NUMBER})(?! ?%)")


def old_prices(text: str) -> list[tuple[int, int]]:
    """Where the prices of some time ago stand that another number follows: nothing is bought at them."""
    return [m.span("old") for m in _OLD.finditer(text) if re.search(r"\d", text[m.end() :])]


def plain_money(text: str, named: Sequence[tuple[int, int]]) -> Claims:
    """What is money whatever else is said: "£4.20", "22 quid", "85p", "cost me 38 in flowers", "marking up 45 by 3";
    and a budget, which is money and no price.

    `named` are the stretches of materials' names.
    """
    sold = _SOLD.search(text) if re.search(r"\bmark[ -]?up\b|\bmargin\b|\bfactor\b", text) else None
    if sold:
        cost, price = (float(sold[name] or sold[f"{name}2"]) for name in ("cost", "sold"))
        if 0 < cost <= price:
            yield Claim("price", Reading(cost, MONEY, said=f"{cost:g}"), sold.span())
            yield Claim("factor", Reading(price / cost, "ratio", said=f"{price:g}"))
            return
    both = _PRICE_AND_FACTOR.search(text)
    if both:
        price, factor = (float(g) for g in both.groups() if g)
        yield Claim("price", Reading(price, MONEY, said=f"{price:g}"), both.span())
        yield Claim("factor", Reading(factor, "ratio", said=f"{factor:g}"))
    budget = _BUDGET.search(text)
    if budget:
        yield Claim("budget", Reading(float(budget[1] or budget[2]), MONEY, said=budget[0]), budget.span())
    for match in _SPENT.finditer(text):
        if both is None or match.start(1) >= both.end():
            yield from _price(text, float(match[1]), *match.span(1), named)
    for match in _MARKED.finditer(text):
        if match["whole"]:
            value = float(match["whole"]) + float(match["pence"]) / 100
        elif match["note"]:
            value = _NOTES[match["note"]]
        else:
            value = float(match["marked"] or match["named"] or match["cents"])
            value *= 0.01 if _PENNIES.search(match[0]) else 1.0
        of_old = any(start < match.end() and match.start() < end for start, end in old_prices(text))
        if not of_old and (budget is None or not budget.start() <= match.start() < budget.end()):
            yield from _price(text, round(value, 4), match.start(), match.end(), named)


def prices(text: str, taken: Taken, named: Sequence[tuple[int, int]], *, priced: bool) -> Claims:
    """Prices without a currency, and the factors said with them; `priced` says that money was read already."""
    over = _MARK_UP_ON.search(text)
    if over:
        yield Claim("factor", Reading(float(over[1]), "ratio", said=over[1]), over.span(1))
        if not taken(*over.span(2)):
            yield Claim("price", Reading(float(over[2]), MONEY, said=over[2]), over.span(2))
    one = _ONE_COSTS.search(text)
    if one and not taken(*one.span()):
        priced = True
        yield Claim(
            "price", Reading(float(one["price"]), EACH if one["what"] == "piece" else STEM, said=one[0]), one.span()
        )
    marked_up = [m.span() for m in _FACTOR.finditer(text)] if _FACTOR_WITHOUT_PRICE.search(text) else []
    about_money = _ABOUT_MONEY.search(text) is not None
    always = [_OF_SO_MANY, _PAID_FOR, _WITH_PENCE, *([_BARE_PENCE] if named or about_money else [])]
    if about_money or not re.search(r"\bhow many\b", text):
        always.append(_AT_SO_MUCH_A_THING)  # "at 10 a bunch, how many bunches" says what one holds
    for pattern in always:
        for start, end in _numbers(pattern, text):
            if not taken(start, end) and not any(s <= start < e for s, e in marked_up):
                priced = True
                yield from _price(text, float(text[start:end]), start, end, named)
    if not about_money:
        return
    for start, end in _numbers(_PLAIN, text):
        before = re.sub(r"\S+ $", "", text[:start])
        again = any(_AFTER_A_NAME.fullmatch(before, last) for _, last in named if last <= len(before))
        again = again or any(text[last:start] == " " for _, last in named)
        warm = text[:start].endswith("at ") and _WARMTH.search(before)
        factor = any(s <= start < e for s, e in marked_up)
        if not again and text[:start].endswith("at ") and re.match(r"[.?]", text[end:]):
            continue  # "two of brunia at eleven." is a price after its name, "it stands at 22." is none
        if not taken(start, end) and not warm and not factor and (again or not priced):
            priced = True
            yield from _price(text, float(text[start:end]), start, end, named)


# "Thirty-two a box … for two boxes": what a box costs buys boxes.
_BOXES = re.compile(r"(?<![\d.])(\d{1,3}) (?:boxes|trays|sleeves|cartons)\b(?! (?:of|with)\b)")
_A_BOX = re.compile(r"\b(?:an?|per|each|the) (?:box|tray|sleeve|carton)\b")


def boxes_bought(text: str, price: Reading, taken: Taken) -> Claims:
    """The boxes of a message that gives the price of a box. [bunches]"""
    counted = _BOXES.search(text) if price.unit == BUNCH and _A_BOX.search(price.said) else None
    if counted and not taken(*counted.span(1)):
        yield Claim("bunches", Reading(float(counted[1]), "bunches", said=counted[0]), counted.span())


def both_ways(prices: Sequence[Claim]) -> Claims:
    """Where one material has the price of a stem and that of a bunch: both, each in a slot of its own."""
    ways = {claim.reading.unit: claim.reading for claim in prices}
    single = ways.get(STEM) or ways.get(EACH)
    if len(prices) == 2 and BUNCH in ways and single is not None:
        yield Claim("stem_price", single)
        yield Claim("bunch_price", ways[BUNCH])


def _numbers(pattern: re.Pattern[str], text: str) -> Iterator[tuple[int, int]]:
    """Where the number of each match stands."""
    for match in pattern.finditer(text):
        yield match.span(next(n for n, group in enumerate(match.groups(), 1) if group))


def _price(text: str, value: float, start: int, end: int, named: Sequence[tuple[int, int]]) -> Claims:
    """A price with what it buys, and how many stems that holds where they are said with it."""
    unit, end_of_unit, holds = _bought(text, start, end, named)
    yield Claim("price", Reading(value, unit, said=text[start:end_of_unit].strip()), (start, end))
    if holds is not None:
        number = text[holds[0] : holds[1]]
        yield Claim("pack_size", Reading(float(number), "stems", said=number), holds)


def _bought(
    text: str, start: int, end: int, named: Sequence[tuple[int, int]]
) -> tuple[str, int, tuple[int, int] | None]:
    """The unit of a price at `start`–`end`, where its words end, and the stretch of the number of stems it pays for."""
    before = text[:start]
    listed = _AND_SO_MUCH.match(text, end)
    if listed:  # "3.20 and 4.10 a stem"
        unit, _, _ = _bought(text, start, listed.end(), named)
        return unit, end, None
    if match := _A_BUNCH.match(text, end):
        return BUNCH, match.end(), match.span("holds") if match["holds"] else None
    if match := _A_STEM.match(text, end):
        return STEM, match.end(), None
    name = _A_NAME.match(text, end)
    of_one = next((last for first, last in named if name and first == name.end()), None)
    whole = name is not None and "for" not in name[0]
    if name and of_one is not None and (whole or re.match(rf" {_STEM_WORDS}|\W*$|[,.;]", text[of_one:])):
        return STEM, name.end(), None
    each_of_them = before.endswith("at ") and not _SOLD_AT.search(before) and not _COUNTED_STEMS.search(before)
    lot = None if each_of_them else _FOR_SO_MANY.match(text, end)
    if lot:
        return BUNCH, end, lot.span("holds")
    each = _EACH_ONE.match(text, end)
    so_many = None if each else _SO_MANY_FOR.search(before)
    if so_many:
        return BUNCH, end, so_many.span("holds")
    end = each.end() if each else end
    for unit, pattern in ((BUNCH, _BUNCH_BEFORE), (BUNCH, _TIED_BEFORE), (STEM, _STEM_BEFORE)):
        if match := pattern.search(before):
            holds = match.groupdict().get("holds")
            return unit, end, match.span("holds") if holds else None
    return (EACH if each else MONEY), end, None


def factors(text: str, *, priced: bool) -> Claims:
    """Mark-up factors; where no price was said only a message that plainly marks something up holds one."""
    if not priced and not _FACTOR_WITHOUT_PRICE.search(text):
        return
    by_word = _TIMES_IT.search(text) if priced else None
    if by_word:
        yield Claim("factor", Reading(_TIMES_WORDS[by_word["word"]], "ratio", said=by_word[0]), by_word.span())
    for match in _FACTOR.finditer(text):
        yield Claim("factor", Reading(float(match[1] or match[2] or match[3]), "ratio", said=match[0]), match.span())


def factor_of_share(percent: float, around: str) -> float | None:
    """A mark-up ("plus 40 %") or a margin (40 % of the selling price) as a factor on cost; None where it is neither."""
    if re.search(r"\bmark(?:ed|ing|s)?(?: it| that| them| those)?[ -]?up\b", around):
        return 1 + percent / 100
    if re.search(r"\bmargins?\b", around) and percent < 100:
        return 1 / (1 - percent / 100)
    return None


_PUT_ON = re.compile(
    r"\b(?:plus|add(?:ing)?|put(?:ting)?|stick(?:ing)?)(?: (?:on|another|an extra|a further|about))* $"
)
_MONEY_SAID = re.compile(r"[£$€]|\d\.\d\d\b|\b\d+(?:\.\d+)? ?(?:p|pence|quid|pounds?|dollars?|euros?|cents?)\b")
_TAX = re.compile(r"\W*(?:on top )?(?:for |of )?(?:the )?(?:vat|tax)\b")


def added_on(before: str) -> bool:
    """Do the words before a per cent put it on something ("plus 30 %", "add another 10 %")?"""
    return _PUT_ON.search(before) is not None


def about_money(text: str) -> bool:
    """Does the message name a price or ask for one?"""
    return bool(_MONEY_SAID.search(text) or _ABOUT_MONEY.search(text))


def factor_put_on(percent: float, before: str, after: str, text: str) -> float | None:
    """ "12 roses at 2.50 each plus 30 %": what is put on a price that the message gives, tax aside; None where there is no
    price."""
    put_on = added_on(before) and _MONEY_SAID.search(text) and not _TAX.match(after)
    return 1 + percent / 100 if put_on else None


# --- prices and the materials they belong to ------------------------------------------------------------------------------

_OF_EACH = re.compile(r"\b(?:of|for) each\b")
# "Yarrow at 9.20, craspedia at 7.80, sixty wanted, which saves me money": so many of either.
_FOR_EITHER = re.compile(r"\bwhich\b[^.?!]*\b(?:cheap\w*|saves?|dearer|less|better|money)\b")
# A bare count of no more than this after the price of a bunch counts bunches.
_FEW_BUNCHES = 12
# "Bowls take five", "one vase cost what": a piece's stems, and the piece itself.
_PIECE = (
    r"(?:vases?|tables?|arrangements?|bouquets?|cent(?:re|er) ?pieces?|jars?|urns?|pos(?:y|ies)|buttonholes?|corsages?|bowls?|pots?|baskets?|"
    r"pews?|chairs?|wreaths?|jugs?|swags?|garlands?)"
)
_ONE_HAS = re.compile(rf"\b{_PIECE} (?:takes?|wants?|gets?|has|have|needs?|holds?) (?:about |only |just )?$")
_OF_PIECES = re.compile(rf" (?:[a-z]+ )?{_PIECE}\b")
_ATTACHED = re.compile(r" ?(?:(?!and\b|plus\b|then\b|with\b)[a-z]+ ){0,2}")


def prices_beside(
    mentions: Sequence[Mention], text: str, prices: Sequence[Claim], counts: Sequence[Quantity]
) -> tuple[list[Mention], list[tuple[int, int]]]:
    """Give each material the price said with it, and a count said after its price ("at 85p a stem, 30 stems").

    A price belongs to the materials named since the price before it, or, where a price comes first, to those up to the
    next one; as many prices as materials, all said after them, go to them in order. Returns the materials and the
    stretches of the counts given to them.
    """
    told = sorted((claim for claim in prices if claim.span), key=lambda claim: claim.span or (0, 0))
    places = sorted(mentions, key=lambda m: m.start)
    if not told or not places:
        return list(mentions), []
    out: list[Mention] = []
    used: list[tuple[int, int]] = []
    owners = _owners(places, told)
    for place, (mention, owner) in enumerate(zip(places, owners, strict=True)):
        if owner is None:
            out.append(mention)
            continue
        mention = _in_bunches_too(replace(mention, price=owner.reading), places[:place], text)
        shared = owners.count(owner) > 1 and not any(
            m.stems or m.bunches for m, o in zip(places, owners, strict=True) if o is owner
        )
        if not (mention.stems or mention.bunches or shared):
            following = places[place + 1].start if place + 1 < len(places) else len(text)
            mention, spans = _counted_after(mention, following, text, told, counts)
            used += spans
        out.append(mention)
    in_order = len(told) == len(places) > 1 and owners[0] is not owners[-1] and _starts(told)[0] > places[-1].start
    of_either = _FOR_EITHER.search(text) and places[-1].stems is None
    if (
        (in_order or of_either or _OF_EACH.search(text))
        and out[-1].stems
        and not any(m.stems or m.bunches for m in out[:-1])
    ):
        out = [replace(m, stems=out[-1].stems) for m in out]
    return [next(m for m in out if m.start == old.start) for old in mentions], used


def _owners(places: Sequence[Mention], told: Sequence[Claim]) -> list[Claim | None]:
    """The price of each material, None where none was said for it; both in the order of the message."""
    starts = _starts(told)
    if len(told) == len(places) and starts[0] > places[-1].start:
        return list(told)
    prices_first = starts[0] < places[0].start and starts[-1] < places[-1].start
    if prices_first:
        return [
            next((c for c, at in reversed(list(zip(told, starts, strict=True))) if at < m.start), None) for m in places
        ]
    return [next((c for c, at in zip(told, starts, strict=True) if at > m.start), None) for m in places]


def _starts(told: Sequence[Claim]) -> list[int]:
    return [claim.span[0] for claim in told if claim.span]


def _in_bunches_too(mention: Mention, before: Sequence[Mention], text: str) -> Mention:
    """ "4 bunches of oats and 3 of wheat": the second count is of bunches too; so is "2 boxes of wheat at 18 a box"."""
    counted = re.search(
        r"(?<![\d.])(\d+) (boxes |trays |packs |packets |sleeves )?(?:of )(?:[a-z]+ ){0,2}$", text[: mention.start]
    )
    if counted is None or mention.stems != float(counted[1]):
        return mention
    by_the_bunch = counted[2] and mention.price is not None and mention.price.unit in (BUNCH, EACH)
    if by_the_bunch or (not counted[2] and before and before[-1].bunches):
        return replace(mention, stems=None, bunches=mention.stems)
    return mention


def _counted_after(
    mention: Mention, following: int, text: str, prices: Sequence[Claim], counts: Sequence[Quantity]
) -> tuple[Mention, list[tuple[int, int]]]:
    """The mention with the count that stands between it and the next material, if that count is nobody else's."""
    for count in sorted(counts, key=lambda q: q.start):
        inside = mention.end <= count.start and count.end <= following
        of_a_price = any(c.span and c.span[0] < count.end and count.start < c.span[1] for c in prices)
        of_the_next = following < len(text) and _ATTACHED.fullmatch(text, count.end, following)
        pieces = not count.unit and _OF_PIECES.match(text, count.end)
        if not inside or of_a_price or of_the_next or pieces or count.unit not in ("", "stems", "bunches"):
            continue
        if count.unit == "bunches" or (not count.unit and _counts_bunches(mention, count, text)):
            return replace(mention, bunches=count.high), [(count.start, count.end)]
        return replace(mention, stems=count.high), [(count.start, count.end)]
    return mention, []


def _counts_bunches(mention: Mention, count: Quantity, text: str) -> bool:
    """ "4.50 a wrap, I want 7": a few of what the price buys; "12 in each", or more than a few, are stems."""
    by_the_bunch = mention.price is not None and mention.price.unit == BUNCH
    packed = re.search(rf"\b{_BUNCH_WORDS} of \d|\d for \d|\bfor {int(count.high)}\b|\d[ -]stem", text) is not None
    of_a_piece = re.match(r" (?:in|per|to|for|on) |\W*each\b", text[count.end :]) is not None
    of_a_piece = of_a_piece or _ONE_HAS.search(text[: count.start]) is not None
    return by_the_bunch and not packed and not of_a_piece and count.high <= _FEW_BUNCHES
