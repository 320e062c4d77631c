"""What it costs, from the person's own prices only. The handbook holds no market prices."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.calculators.cost import Cost, CostLine, cost_of, cost_per_stem
from assistant.calculators.ranges import Estimate
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
_PIECE = r"(?:pieces?|vases?|tables?|arrangements?|bouquets?|cent(?:re|er) ?pieces?|jars?|urns?|pos(?:y|ies)|buttonholes?|bowls?|pots?|baskets?|pews?|chairs?|wreaths?|jugs?|displays?|designs?)"
_ONE_STEM = re.compile(
    r"\b(?:what|what's|how much|that|that's|costs?|comes?|works? out|so)\b[^.?!]{0,30}\b(?:per|each|one|1|an?|single) (?:single )?(?:stem|head|bloom|flower|spray|spear)\b|"
    r"\b(?:stem|head|bloom|flower) (?:is|costs?|comes to) (?:what|how much)\b|\b(?:each|apiece)\W*$|\bper (?:stem|head|bloom|flower)\W*$|"
    r"\bwhat(?:'s| is) (?:just )?one\b|\bone (?:is|costs?|comes) (?:what|how much)\b|\bhow much (?:is|for|does|would) (?:just )?one\b(?! (?:bunch|box|wrap))"
)
_ONE_PIECE = re.compile(
    rf"(?<!stems )(?<!heads )\b(?:per|one|1|each|for an?) {_PIECE}\b(?=\W*$|[?.!]| (?:costs?|costing|comes?|is|cost me)\b)"
)
_ONE_OR_OTHER = re.compile(
    r"\bcheap\w*|\bdearer\b|\bwhich\b[^.?!]*\b(?:less|more|best|better|money|save|buy|get)\b|\b(?:a|per) \w+,? or \b"
)
_OF_THEM = re.compile(r"\bof (?:them|those|these|it|that)$")


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
        several = {"bunch": "bunches", "stem": "stems", "piece": "pieces", "lot": ""}[self.unit]
        counted = f"{self.units} {self.unit if self.units == 1 else several} × {_plain(self.price.value)}"
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
    if len(priced) == 1:
        item, price = priced[0]
        one = _one_stem(item, price, wish, desk) or _within_budget(item, price, wish, desk)
        if one is not None:
            return one
    assumptions: list[str] = []
    lines = []
    for item, price in priced:
        line = _line(item, price, wish, desk, assumptions, alone=len(priced) == 1)
        if isinstance(line, str):
            return asked_back(line, "stems")
        lines.append(line)
    return _reckoned(lines, wish, desk, assumptions)


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
        made = order_for(Item(item.id, stems=stems), stems, inputs)
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


def _buys(price: Reading, wish: Wish, bunches: float | None, stems: float | None, assumptions: list[str]) -> str:
    """What the price buys, settled by what is counted where its own words leave it open."""
    if price.unit == EACH:
        return BUNCH if bunches is not None else STEM if stems is not None else EACH
    if price.unit != MONEY:
        return price.unit
    if bunches is not None or stems is None or "bunch" in wish.text:
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
    """Stems in a bunch, said or by the handbook."""
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
    shared = int(pieces.number) if pieces and pieces.number > 1 and _ONE_PIECE.search(wish.text) else None
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
