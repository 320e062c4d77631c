"""What it costs, from the person's own prices only. The handbook holds no market prices."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from assistant.calculators.cost import Cost, CostLine, cost_of, cost_per_stem
from assistant.calculators.ranges import Estimate, exact
from assistant.dialogue.answer import Figure, Input, Origin
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.tasks.mark_up import RULES, asks_what_is_usual, judges_a_factor, what_is_usual
from assistant.dialogue.tasks.quantity import order_for
from assistant.dialogue.wording import capital, listed, number_span
from assistant.language.prices import BUNCH, EACH, MONEY, STEM
from assistant.language.question import Reading

_NOT_RECKONED = re.compile(
    r"\b(?:vat|gst|tax|taxes|discount)\b|(?:percent|%) off\b|\bless \d+(?:\.\d+)? ?(?:%|percent)"
)
_PIECE = r"(?:pieces?|vases?|tables?|arrangements?|bouquets?|cent(?:re|er) ?pieces?|jars?|urns?|pos(?:y|ies)|buttonholes?|corsages?|bowls?|pots?|baskets?|pews?|chairs?|wreaths?|jugs?|displays?|designs?)"
_ONE_STEM = re.compile(
    r"\b(?:what|what's|how much|that|that's|costs?|comes?|works? out|so)\b[^.?!]{0,30}\b(?:per|each|one|1|an?|single) (?:single )?(?:stem|head|bloom|flower|spray|spear)\b|"
    r"\b(?:stem|head|bloom|flower) (?:is|costs?|comes to) (?:what|how much)\b|(?<!in )(?<!on )(?<!to )(?<!for )\b(?:each|apiece)\W*$|\bper (?:stem|head|bloom|flower)\W*$|"
    r"\bwhat(?:'s| is) (?:just )?one\b|\bone (?:is|costs?|comes) (?:what|how much)\b|\bhow much (?:is|for|does|would) (?:just )?one\b(?! (?:bunch|box|wrap))"
)
_ONE_PIECE = re.compile(
    rf"(?<!stems )(?<!heads )\b(?:per|one|1|each|for an?) {_PIECE}\b(?=\W*$|[?.!]| (?:costs?|costing|comes?|is|cost me)\b)"
)
_FOR_ONE = re.compile(
    rf"\bper {_PIECE}\b|\b(?:an?|one|1|each|every|the) (?:[a-z]+ )?{_PIECE} (?:takes|needs|gets|has|uses|wants|holds)\b"
)
_ONE_TAKES = re.compile(
    rf"\b(?<!\d ){_PIECE} (?:takes|needs|gets|has|uses|wants|holds|(?:take|want|have) (?=\d+\b(?! (?:[a-z]+ )?(?:in all|altogether|between))))\b"
)
# "Six bunches at 9.25", "four at 14".
_LOT = re.compile(
    r"(?<![\d.])(?P<units>\d{1,4})(?: (?P<what>bunch(?:es)?|wraps?|packs?|boxes|box|bundles?|stems?|heads?|blooms?))?(?: of (?:them|those))? (?:at|@|for) [£$€]?(?P<price>\d+(?:\.\d+)?)"
    r"(?! ?(?:%|°|cm|days?|degrees|c\b))"
)
# "One jar standing me", "a vase cost what": the cost of one of what is made.
_FOR_ONE_PIECE = re.compile(
    rf"\b(?:one|1|each|an?|every|per|a single) {_PIECE} (?:costs?|costing|stands?|standing|sets?|setting|comes? to|coming to|is (?:what|how much)|for me)\b|"
    rf"\b(?:what|how much)\b[^.?!]{{0,24}}\b(?:per|for (?:one|1|each|an?)) {_PIECE}\W*$"
)
# Bought by the stem or by the bunch: which is the cheaper way.
_WEIGHED = re.compile(
    r"\b(?:which|cheaper|better|dearer|daft|worth|save|sense|silly|come out|work out|stupid|or by the|best)\b"
)
_ONE_OR_OTHER = re.compile(
    r"\bcheap\w*|\bdearer\b|\bwhich\b[^.?!]*\b(?:less|more|best|better|money|save|buy|get)\b|\b(?:a|per) \w+,? or \b"
)
# What a price with nothing behind it buys, beside such a word.
_SOLD_TIED = re.compile(r"bunch|\b(?:bundles?|sleeves?|sheaf|sheaves)\b")
_OF_THEM = re.compile(r"\bof (?:them|those|these|it|that)$")


_SEVERAL = {"bunch": "bunches", "stem": "stems", "piece": "pieces", "lot": ""}


@dataclass(frozen=True, slots=True)
class _Line:
    """So many units of one material (None: of the order) at one price each. [stems or bunches, money]"""

    material: str | None
    units: int
    unit: str
    price: Estimate
    inputs: tuple[Input, ...]

    @property
    def words(self) -> str:
        """ "4 bunches × 22", or "as said" where nothing is counted."""
        counted = f"{self.units} {self.unit if self.units == 1 else _SEVERAL[self.unit]} × {_plain(self.price.value)}"
        return counted if self.unit != "lot" else "as said"


def answer(wish: Wish, desk: Desk) -> Draft:
    priced = _together(_priced(wish), wish)
    generally = not priced and not wish.items and "factor" not in wish.asked and asks_what_is_usual(wish.text)
    if generally or judges_a_factor(wish):
        usual = what_is_usual(wish, desk)
        if usual is not None:
            return usual
    if not priced:
        return _unpriced(wish, desk)
    lots = _lots(wish)
    if len(lots) > 1:
        return _reckoned(lots, wish, desk, [])
    if len(priced) == 1:
        item, price = priced[0]
        either = _either_way(item, wish, desk)
        if either is not None:
            return either
        one = (
            _one_piece(item, price, wish, desk)
            or _one_stem(item, price, wish, desk)
            or _within_budget(item, price, wish, desk)
        )
        if one is not None:
            return one
    assumptions: list[str] = []
    priced = _as_many_of_each(priced, wish, assumptions)
    lines = []
    for item, price in priced:
        line = _line(item, price, wish, desk, assumptions, alone=len(priced) == 1 or _is_of_either(priced, wish))
        if isinstance(line, str):
            return asked_back(line, "stems")
        lines.append(line)
    return _reckoned(lines, wish, desk, assumptions)


def _lots(wish: Wish) -> list[_Line]:
    """ "Six bunches at 9.25 and four at 14", with no material named: a line for each count with its price."""
    found = list(_LOT.finditer(wish.text)) if not wish.items and not wish.refers_back else []
    lines = []
    for match in found:
        units, price = int(match["units"]), float(match["price"])
        bought = match["what"] or found[0]["what"] or "lot"
        unit = "bunch" if bought.startswith(("bunch", "wrap", "pack", "box", "bundle")) else "stem"
        used = (Input("price", price, "money", "asked"), Input(_SEVERAL[unit], float(units), _SEVERAL[unit], "asked"))
        lines.append(_Line(None, units, unit, exact(price), used))
    return lines if found and found[0]["what"] else []


def _as_many_of_each(
    priced: list[tuple[Item | None, Reading]], wish: Wish, assumptions: list[str]
) -> list[tuple[Item | None, Reading]]:
    """ "Roses at 2.20 and 30 stocks at 85p, which is dearer": what is held against it is as many of the other."""
    counted = [item.stems for item, _ in priced if item and item.stems]
    some = 0 < len(counted) < len(priced) and not any(item and item.bunches for item, _ in priced)
    if not some or _ONE_OR_OTHER.search(wish.text) is None:
        return priced
    assumptions.append(f"{counted[0]:g} of each")
    return [(replace(i, stems=i.stems or counted[0]) if i else i, price) for i, price in priced]


def _is_of_either(priced: Sequence[tuple[Item | None, Reading]], wish: Wish) -> bool:
    """ "Which is dearer for 60 stems, X at 7 or Y at 6": the one count is that of each."""
    return _ONE_OR_OTHER.search(wish.text) is not None and not any(i and (i.stems or i.bunches) for i, _ in priced)


def _unpriced(wish: Wish, desk: Desk) -> Draft:
    if wish.items:
        return not_covered(
            "The handbook holds no market prices. Tell me your own price a bunch, such as “at 12 a bunch”, and I'll reckon the cost.",
            [p for i in wish.ids for p in desk.context.sections(i, "order")],
        )
    return not_covered("The handbook holds no market prices; give me your own price a bunch and I'll reckon with it.")


def _priced(wish: Wish) -> list[tuple[Item | None, Reading]]:
    """The materials with their prices: each its own where it has one, else the one price that was said."""
    said = wish.slot("price")
    if len(wish.items) == 1:
        item = wish.items[0]
        price = item.price or said
        return [(item, price)] if price else []
    own = [(item, item.price) for item in wish.items if item.price is not None]
    if own:
        return list(own)
    if said is None:
        return []
    return [(item, said) for item in wish.items] or [(None, said)]


def _together(priced: list[tuple[Item | None, Reading]], wish: Wish) -> list[tuple[Item | None, Reading]]:
    """ "Roses and stocks at 85p a stem, 40 in all": one price and one count for several materials make one line."""
    counted = any(item and (item.stems or item.bunches) for item, _ in priced)
    one_count = any(wish.slot(name) is not None for name in ("stems", "bunches", "count"))
    if len(priced) > 1 and one_count and not counted and len({price for _, price in priced}) == 1:
        return [(None, priced[0][1])]
    return priced


# --- one line ----------------------------------------------------------------------------------------------------------


def _line(
    item: Item | None, price: Reading, wish: Wish, desk: Desk, assumptions: list[str], *, alone: bool
) -> _Line | str:
    """The units bought and their price, or the question to ask: bunches said, stems, or bunches worked out from stems."""
    inputs = desk.inputs(wish)
    inputs.assumptions = assumptions
    low, high = price.span
    money = Estimate(low, price.number, high)
    inputs.note("price", money.value, "money", "asked" if _is_said(price.said, wish) else "earlier", low, high)
    bunches, stems = _counts(item, wish, alone)
    many = _pieces(wish, bunches if bunches is not None else stems, inputs)
    buys = _buys(price, wish, bunches, stems, assumptions)
    material = item.id if item else None

    def line(units: float, unit: str) -> _Line:
        return _Line(material, math.ceil(units), unit, money, tuple(inputs.used))

    if _is_for_them_all(bunches or stems, price, wish.text):
        return line(1, "lot")
    if (
        bunches is not None
        and buys == BUNCH
        and not re.search(r"\d (?:[a-z]+ )?(?:bunch|bunches|wraps?|box|boxes|packs?)\b", wish.text)
    ):
        inputs.assume(f"{bunches:g} taken as bunches")
    if bunches is not None and buys != STEM:
        inputs.note("bunches", bunches, "bunches", _origin(bunches, wish))
        return line(bunches * many, "bunch")
    if bunches is not None:
        pack = _pack(item, desk, inputs)
        if pack is None:
            return "How many stems does a bunch hold?"
        inputs.note("bunches", bunches, "bunches", _origin(bunches, wish))
        return line(bunches * many * pack.value, "stem")
    if stems is None and buys == EACH and (pieces := wish.slot("pieces")) is not None:
        inputs.note("pieces", pieces.number, "pieces", inputs.origin("pieces"))
        return line(pieces.number, "piece")
    if stems is None:
        return line(1, "lot" if price.unit == MONEY else "bunch" if buys == BUNCH else "stem")
    stems *= many
    if buys != BUNCH:
        inputs.note("stems", stems / many, "stems", _origin(stems / many, wish))
        return line(stems / (1 - _loss(wish, inputs)), "stem")
    if item is not None:
        made = order_for(Item(item.id, stems=stems, pack=item.pack), stems, inputs)
        return made[:1].upper() + made[1:] + "." if isinstance(made, str) else line(made[0].bunches_to_order, "bunch")
    holds = inputs.said("pack_size", unit="stems")
    if holds is None:
        return "Which material is it, or how many bunches?"
    inputs.note("stems", stems, "stems", _origin(stems, wish))
    inputs.assume("nothing lost, as no material was named")
    return line(stems / holds.value, "bunch")


def _is_for_them_all(counted: float | None, price: Reading, text: str) -> bool:
    """ "40 stems of it cost me 24": what was paid for the count said right before, unless it is said to be of each."""
    if counted is None:
        return False
    named = (
        rf"(?<![\d.]){counted:g} (?:[a-z'-]+ ){{1,4}}?(?:cost|costs|came to|come to|comes to|set) (?:me |us |back )*"
    )
    paid = rf"[£$€]?{re.escape(_plain(price.number))}(?:0|\.00)?\b(?! ?[a-z]* ?(?:each|apiece|an? |per |the ))"
    return re.search(named + paid, text) is not None


def _counts(item: Item | None, wish: Wish, alone: bool) -> tuple[float | None, float | None]:
    """Bunches and stems of a line: its own, or, where it is the only one, those said for no material."""
    own = (item.bunches, None if item.bunches else item.stems) if item and (item.bunches or item.stems) else None
    corrected = (
        alone and {"bunches", "stems"} & wish.asked.keys() and own and _origin(own[0] or own[1] or 0, wish) != "asked"
    )
    if own and not corrected:
        return own
    if not alone:
        return None, None
    said = wish.asked if corrected else {**wish.earlier, **wish.asked}
    bunches, stems, of_them = said.get("bunches"), said.get("stems") or said.get("count"), said.get("pieces")
    if bunches is not None:
        return bunches.number, None
    if stems is None and of_them is not None and _OF_THEM.search(of_them.said):
        stems = of_them
    return None, stems.number if stems else None


def _pieces(wish: Wish, counted: float | None, inputs: Inputs) -> float:
    """How many pieces the count is for: 1 unless it was said of each, or before the pieces were."""
    pieces = wish.slot("pieces")
    if pieces is None or counted is None or pieces.number <= 1 or _OF_THEM.search(pieces.said):
        return 1.0
    if _counted_for_one(wish, pieces):
        inputs.note("pieces", pieces.number, "pieces", inputs.origin("pieces"))
        return pieces.number
    number = rf"(?<![\d.]){re.escape(f'{counted:g}')}"
    of_each = re.search(
        rf"{number} (?:[a-z]+ ){{0,3}}(?:each|apiece|(?:in|on|to|for|at) (?:each|every|an?)|(?:an?|per) {_PIECE})\b|"
        rf"\b(?:each|every|per) (?:{_PIECE}|one)\b[^.?!]{{0,20}}{number}\b",
        wish.text,
    )
    if of_each is None and re.search(rf"{number}\b", wish.text):
        return 1.0
    inputs.note("pieces", pieces.number, "pieces", inputs.origin("pieces"))
    return pieces.number


def _counted_for_one(wish: Wish, pieces: Reading) -> bool:
    """ "A vase takes 8 stems", "per jar?", and then "ninety jars": what was counted before was for one of them."""
    before = wish.text[: max(0, wish.text.rfind(pieces.said))]
    later = wish.refers_back and "pieces" in wish.asked and _FOR_ONE.search(before)
    return bool(later or _ONE_TAKES.search(before))


def _buys(price: Reading, wish: Wish, bunches: float | None, stems: float | None, assumptions: list[str]) -> str:
    """What the price buys, settled by what is counted where its own words leave it open."""
    if price.unit == EACH:
        return BUNCH if bunches is not None else STEM if stems is not None else EACH
    if price.unit != MONEY:
        return price.unit
    if bunches is not None or stems is None or _SOLD_TIED.search(wish.text):
        return BUNCH
    said = f"{_plain(price.number)} taken as the price of a stem"
    if said not in assumptions:
        assumptions.append(said)
    return STEM


def _loss(wish: Wish, inputs: Inputs) -> float:
    """The share lost, where it was said: so many more stems are bought."""
    lost = inputs.said("loss_rate", scale=0.01, unit="ratio") if "loss_rate" in wish.asked else None
    if lost is None or _NOT_RECKONED.search(wish.text) or not 0 < lost.value < 1:
        return 0.0
    inputs.assume(f"{lost.value:.0%} more bought for what is lost")
    return lost.value


def _pack(item: Item | None, desk: Desk, inputs: Inputs) -> Estimate | None:
    """Stems in a bunch, said of it, said at all, or by the handbook."""
    if item is not None and item.pack is not None:
        inputs.note("pack_size", item.pack, "stems", "asked")
        return exact(item.pack)
    said = inputs.said("pack_size", unit="stems")
    known = desk.context.pack(item.id) if item and said is None else None
    if item is None or known is None:
        return said
    pack = known[0]
    inputs.note("pack_size", pack.value, "stems", "handbook", pack.low, pack.high)
    inputs.assume(f"{number_span(pack.low, pack.high)} {desk.context.plural(item.id)} a bunch")
    return pack


def _one_stem(item: Item | None, price: Reading, wish: Wish, desk: Desk) -> Draft | None:
    """ "11.20 for a bunch of ten, what's that per stem?": the price shared among the stems of a bunch."""
    asked = _ONE_STEM.search(wish.text.replace(price.said, " "))
    counted = (item and (item.stems or item.bunches)) or any(wish.slot(n) for n in ("stems", "bunches", "count"))
    single = (item is not None and item.stems == 1) or (not counted and re.search(r"\beach one\b", wish.text))
    if price.unit == STEM or not (asked or single) or (price.unit != BUNCH and wish.slot("pack_size") is None):
        return None
    inputs = desk.inputs(wish)
    money = Estimate(price.span[0], price.number, price.span[1])
    inputs.note("price", money.value, "money", "asked" if _is_said(price.said, wish) else "earlier")
    pack = _pack(item, desk, inputs)
    if pack is None:
        return asked_back("How many stems does it hold?", "pack_size")
    loss = inputs.said("loss_rate", scale=0.01, unit="ratio")
    each = cost_per_stem(money, pack, loss.value if loss else 0.0)
    good = "a good stem" if loss and loss.value else "a stem"
    span = f" ({each.low:.2f}–{each.high:.2f})" if each.low != each.high else ""
    draft = Draft(
        f"{each.value:.2f} {good}{span}: {_plain(money.value)} / {number_span(pack.low, pack.high)} stems{_less(loss)}."
    )
    draft.assumptions = inputs.assumptions
    draft.figures.append(
        Figure.of("cost", item.id if item else None, each, "money", inputs=tuple(inputs.used), formula="price / (stems in a bunch × (1 − loss))" if loss else "price / stems in a bunch")
    )  # fmt: skip
    if item:
        draft.passages += desk.context.sections(item.id, "order")
    if loss is None:
        draft.more.append("Stems you throw away make the good ones dearer.")
    return draft


def _one_piece(item: Item | None, price: Reading, wish: Wish, desk: Desk) -> Draft | None:
    """ "7.20 for ten, four to a jar, what's one jar standing me": that many of the stems that the price buys."""
    stems = item.stems if item is not None and item.stems else None
    each = stems or next((r.number for n in ("stems", "count") if (r := wish.slot(n)) is not None), None)
    pieces = wish.slot("pieces")
    of_several = pieces is not None and pieces.number > 1
    if not each or of_several or price.unit in (STEM, EACH) or _FOR_ONE_PIECE.search(wish.text) is None:
        return None
    inputs = desk.inputs(wish)
    inputs.note("price", price.number, "money", "asked" if _is_said(price.said, wish) else "earlier", *price.span)
    pack = _pack(item, desk, inputs)
    if pack is None:
        return asked_back("How many stems does it hold?", "pack_size")
    inputs.note("stems", each, "stems", _origin(each, wish))
    inputs.note("pieces", 1.0, "pieces", "asked")
    cost = cost_per_stem(Estimate(price.span[0], price.number, price.span[1]), pack, 0.0).times(each)
    span = f" ({cost.low:.2f}–{cost.high:.2f})" if cost.low != cost.high else ""
    draft = Draft(
        f"{cost.value:.2f}{span} for one: {each:g} stems × {_plain(price.number)} / {number_span(pack.low, pack.high)}."
    )
    draft.assumptions = inputs.assumptions
    draft.figures.append(
        Figure.of("cost", item.id if item else None, cost, "money", inputs=tuple(inputs.used), formula="stems × price / stems in a bunch")
    )  # fmt: skip
    draft.more.append("Whole bunches are bought, so what is left over comes on top.")
    return draft


def _either_way(item: Item | None, wish: Wish, desk: Desk) -> Draft | None:
    """ "1.35 by the stem, 12.90 the bunch of ten, I need 34, which way": singles, whole bunches, and both mixed."""
    single, bunch = wish.slot("stem_price"), wish.slot("bunch_price")
    anew = "price" in wish.asked and "stem_price" not in wish.asked
    if single is None or bunch is None or anew or _WEIGHED.search(wish.text) is None:
        return None
    inputs = desk.inputs(wish)
    pack = _pack(item, desk, inputs)
    said = wish.slot("stems") or wish.slot("count")
    stems = said.number if said is not None else item.stems if item is not None else None
    if pack is None:
        return asked_back("How many stems does a bunch hold?", "pack_size")
    if stems is None:
        return None
    inputs.note("stems", stems, "stems", _origin(stems, wish))
    for name, price in (("stem_price", single), ("bunch_price", bunch)):
        inputs.note(name, price.number, "money", "asked" if name in wish.asked else "earlier", *price.span)
    whole, rest = math.ceil(stems / pack.value - 1e-9), stems - math.floor(stems / pack.value) * pack.value
    ways = [
        (f"{stems:g} single stems × {_plain(single.number)}", stems * single.number),
        (f"{whole} {'bunch' if whole == 1 else 'bunches'} × {_plain(bunch.number)}", whole * bunch.number),
    ]
    if rest > 0 and whole > 1:
        mixed = (whole - 1) * bunch.number + rest * single.number
        ways.append((f"{whole - 1} {'bunch' if whole == 2 else 'bunches'} and {rest:g} single stems", mixed))
    inputs.note("bunches", float(whole), "bunches", _origin(whole, wish))
    draft = Draft("", assumptions=inputs.assumptions)
    for _, money in ways:
        draft.figures.append(
            Figure.of("cost", item.id if item else None, exact(money), "money", inputs=tuple(inputs.used), formula="stems and bunches × own prices")
        )  # fmt: skip
    least = min(ways, key=lambda way: way[1])
    draft.lead = f"{capital(least[0])} cost least: {least[1]:.2f}."
    draft.more.append(capital("; ".join(f"{words}: {money:.2f}" for words, money in ways if words != least[0])) + ".")
    draft.more.append("Nothing is allowed for loss in these.")
    if item:
        draft.passages += desk.context.sections(item.id, "order")
    return draft


def _within_budget(item: Item | None, price: Reading, wish: Wish, desk: Desk) -> Draft | None:
    """ "A budget of £60, roses at £2.20: how many?": as many as it buys."""
    if "budget" not in wish.asked or price.number <= 0 or (item and (item.stems or item.bunches)):
        return None
    inputs = desk.inputs(wish)
    inputs.said("budget", unit="money")
    inputs.note("price", price.number, "money", "asked" if _is_said(price.said, wish) else "earlier")
    kind = "bunches" if price.unit == BUNCH else "stems"
    number = math.floor(wish.asked["budget"].number / price.number + 1e-9)
    money = number * price.number
    name = f" of {desk.context.plural(item.id)}" if item else ""
    draft = Draft(f"{number} {kind}{name}: {number} × {_plain(price.number)} = {money:.2f}.")
    draft.figures.append(
        Figure(
            kind, item.id if item else None, number, number, number, kind, tuple(inputs.used), formula="budget / price"
        )
    )
    return draft


# --- the sum -----------------------------------------------------------------------------------------------------------


def _reckoned(lines: Sequence[_Line], wish: Wish, desk: Desk, assumptions: list[str]) -> Draft:
    """The cost of the lines, one by one and together, and what they sell for at the person's own factor."""
    inputs = desk.inputs(wish)
    factor = inputs.said("factor", unit="ratio")
    pieces = wish.slot("pieces")
    per_piece = _ONE_PIECE.search(wish.text) is not None and not (pieces and _counted_for_one(wish, pieces))
    shared = int(pieces.number) if pieces and pieces.number > 1 and per_piece else None
    cost = cost_of(
        [CostLine(line.material or "order", line.units, line.price) for line in lines],
        own_factor=factor.value if factor else None,
        pieces=shared,
    )
    draft = Draft("", assumptions=assumptions)
    for line, (_, amount) in zip(lines, cost.lines, strict=True):
        formula = "as said" if line.unit == "lot" else f"{line.unit}s × own price".replace("bunchs", "bunches")
        draft.figures.append(
            Figure.of("cost", line.material, amount, "money", inputs=line.inputs, formula=formula)
        )  # fmt: skip
        if line.material:
            draft.passages += desk.context.sections(line.material, "order")
    if len(lines) > 1 and _ONE_OR_OTHER.search(wish.text):
        return _side_by_side(lines, cost, draft, desk)
    what = lines[0].words if len(lines) == 1 else _each_line(lines, cost, desk)
    draft.lead = f"{cost.cost.value:.2f} ({what})." if len(lines) == 1 else f"{cost.cost.value:.2f} in all: {what}."
    used = tuple(i for line in lines for i in line.inputs)
    if len(lines) > 1:
        draft.figures.append(Figure.of("cost", None, cost.cost, "money", inputs=used, formula="sum of the lines"))
    if cost.per_piece is not None and shared:
        draft.figures.append(
            Figure.of("cost", None, cost.per_piece, "money", inputs=used, formula="cost / pieces")
        )  # fmt: skip
        draft.more.append(f"That is {cost.per_piece.value:.2f} for each of the {shared}.")
    if cost.retail is not None and factor is not None:
        draft.figures.append(
            Figure.of("cost", None, cost.retail, "money", inputs=(*used, *inputs.used), formula="cost × own factor")
        )  # fmt: skip
        draft.lead = (
            f"Cost {draft.lead[:-1]}; at your factor of {factor.value:g} that sells for {cost.retail.value:.2f}."
        )
    if _NOT_RECKONED.search(wish.text):
        draft.more.append("Tax and discounts are not reckoned in this sum.")
    unpriced = [desk.context.plural(i.id) for i in wish.items if i.id not in {line.material for line in lines}]
    if unpriced:
        draft.more.append(
            f"What do {listed(unpriced)} cost you? No price was said for them, so they are not in the sum."
        )
    draft.passages += desk.context.rules(RULES)
    return draft


def _side_by_side(lines: Sequence[_Line], cost: Cost, draft: Draft, desk: Desk) -> Draft:
    """One material or the other: what each costs, no sum."""
    amounts = [amount.value for _, amount in cost.lines]
    least, next_least = sorted(amounts)[:2]
    cheapest = lines[amounts.index(least)].material
    draft.lead = f"{capital(_each_line(lines, cost, desk))}."
    if cheapest and next_least > least:
        draft.lead += f" {capital(desk.context.plural(cheapest))} cost less, by {next_least - least:.2f}."
    draft.passages += desk.context.rules(RULES)
    return draft


def _each_line(lines: Sequence[_Line], cost: Cost, desk: Desk) -> str:
    return listed([
        f"{desk.context.plural(line.material) if line.material else 'the order'} {amount.value:.2f} ({line.words})"
        for line, (_, amount) in zip(lines, cost.lines, strict=True)
    ])  # fmt: skip


def _less(loss: Estimate | None) -> str:
    return f", {loss.value:.0%} of them lost" if loss and loss.value else ""


def _plain(money: float) -> str:
    """ "22", "1.60"."""
    return f"{money:.0f}" if money == int(money) else f"{money:.2f}"


def _is_said(words: str, wish: Wish) -> bool:
    return bool(words) and words in wish.text


def _origin(number: float, wish: Wish) -> Origin:
    return "asked" if re.search(rf"(?<![\d.]){re.escape(f'{number:g}')}\b", wish.text) else "earlier"
