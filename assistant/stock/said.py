"""Stock by saying it: "got 4 bunches of stock today", "threw out 6 roses", "what must I use first?"."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING, Literal

from assistant.calculators.ranges import Estimate
from assistant.handbook.loading import Handbook
from assistant.stock.entries import PricePer, Where, chill_warning, new_lot, pack_of, stand_for
from assistant.stock.ledger import Ledger
from assistant.stock.lives import use_first
from assistant.stock.lots import Lot, Stand, StockError, UseKind

if TYPE_CHECKING:
    from assistant.language.parsing import Parser
    from assistant.language.question import Mention, Question

Action = Literal["received", "used", "sold", "discarded", "moved", "first", "list"]

_COLD = r"(?:cooler|fridge|cold ?(?:room|store)|walk-?in|chiller)"
_ACTIONS: tuple[tuple[Action, re.Pattern[str]], ...] = (
    (
        "discarded",
        re.compile(
            r"\b(?:threw|thrown|tossed|binned|chucked|dumped|discard(?:ed)?|composted|wasted)\b|"
            r"\bhad to (?:bin|toss|throw)\b"
        ),
    ),
    ("sold", re.compile(r"\bsold\b")),
    (
        "moved",
        re.compile(
            r"\b(?:moved?|shifted|carried|brought|took|put)\b.*\b(?:to|into|in|onto|on|out of)\b.*"
            rf"\b(?:{_COLD}|bench|workroom|shop floor)\b"
        ),
    ),
    (
        "received",
        re.compile(
            r"\b(?:got|received|bought|came in|come in|arrived|delivered|unpacked|picked up|took in|taken in)\b"
        ),
    ),
    ("used", re.compile(r"\bused(?: up)?\b")),
)
_FIRST = re.compile(
    r"\b(?:use|used|goes?|sell|sold|work with)\b(?: (?:up|out|them|it))? first\b|"
    r"\bfirst (?:to use|out|to go)\b|\bgoes? off (?:first|next)\b"
)
_LIST = re.compile(
    r"\bwhat(?:'s| is| have i got| do i have| do we have| have we got)\b.*\b(?:cooler|stock|fridge|bench|left|there)\b|"
    r"\b(?:how (?:many|much)|what)\b.*"
    r"\b(?:do i have|do we have|have i got|have we got|are left|is left|in stock|in the cooler)\b|"
    r"^\W*(?:show|list) (?:me )?(?:my |the |our )?stock\W*$"
)
_QUESTION = re.compile(r"\?|\b(?:how|what|when|which|why|will|can|could|should|would|is|are|do|does)\b")
_PRICE = re.compile(
    r"(?:\b(?:at|for)|@) ?[$£€]? ?(?P<price>\d+(?:\.\d+)?) ?(?:euros?|pounds?|dollars?|eur|gbp|usd)? ?"
    r"(?:/|a|per|the|for a) ?(?P<per>bunch|stem|piece)\b|"
    r"[$£€] ?(?P<price2>\d+(?:\.\d+)?) ?(?:/|a|per|the) ?(?P<per2>bunch|stem|piece)\b|"
    r"\b(?:paid|cost|costing|costs|for) [$£€]? ?(?P<whole>\d+(?:\.\d+)?)(?: (?:euros?|pounds?|dollars?))?"
    r"(?: (?:in all|altogether|in total|for the lot|for all|together))"
)
_COOLER = re.compile(rf"\b(?:to|into|in|onto)\b[^,;]*\b{_COLD}\b")
_BENCH = re.compile(rf"\b(?:bench|workroom|shop floor|room temperature)\b|\bout of (?:the )?{_COLD}\b")
_BOXED = re.compile(r"\b(?:dry|in (?:the|their|a) box(?:es)?|boxed|dry[- ]?packed)\b")
_PLAIN = re.compile(r"\bplain water\b")


@dataclass(frozen=True, slots=True)
class Item:
    """A material with the stems or bunches said."""

    material: str
    stems: float | None = None
    bunches: float | None = None


@dataclass(frozen=True, slots=True)
class Entry:
    """A sentence about stock, understood. `question` is set where one thing is missing; then nothing is written."""

    action: Action
    items: tuple[Item, ...]
    day: date
    where: Where | None = None
    degC: Estimate | None = None  # noqa: N815 - degC keeps the capital of the unit
    in_box: bool = False
    plain_water: bool = False
    price: float | None = None
    price_per: PricePer = "bunch"
    stems_per_bunch: float | None = None
    notes: tuple[str, ...] = ()
    question: str | None = None


@dataclass(frozen=True, slots=True)
class Done:
    """What was written or found: a reply of one to a few sentences, the lots meant, whether anything changed."""

    reply: str
    lots: tuple[int, ...] = ()
    changed: bool = False


def from_sentence(text: str, parser: Parser, clock: Callable[[], date]) -> Entry | None:
    """Understand a sentence as an entry of stock; None where it is something else (then ask the conversation).

    Args:
        text: what was typed.
        parser: the language room's parser.
        clock: what "today" means.
    """
    today = clock()
    question = parser.parse(text, today=today)
    normal = question.normal
    action = _action(normal)
    if action is None:
        return None
    items, notes, unclear = _items(question.mentions, parser.handbook)
    if action in ("first", "list"):
        return Entry(action, items, today, notes=notes)
    if not items and unclear is None:
        return None
    entry = replace(
        Entry(action, items, _day(question, today), notes=notes, question=unclear or question.impossible),
        where=_where(normal),
        degC=_temperature(question),
        in_box=bool(_BOXED.search(normal)),
        plain_water=bool(_PLAIN.search(normal)),
    )
    price = _PRICE.search(normal)
    if price:
        said = price["price"] or price["price2"] or price["whole"]
        per = {"piece": "stem"}.get(price["per"] or price["per2"] or "lot", price["per"] or price["per2"] or "lot")
        entry = replace(entry, price=float(said), price_per=per)  # type: ignore[arg-type]
    pack = question.slots.get("pack_size")
    if pack is not None and not (price and pack.said.strip() in price[0]):
        entry = replace(entry, stems_per_bunch=pack.number)
    if entry.day > today:
        entry = replace(entry, question=f"{entry.day} has not come yet; tell me when it is there.")
    elif entry.question is None:
        entry = replace(entry, question=_missing(entry, parser.handbook))
    return entry


def _action(text: str) -> Action | None:
    if _FIRST.search(text):
        return "first"
    if _LIST.search(text):
        return "list"
    if _QUESTION.search(text):
        return None
    return next((action for action, pattern in _ACTIONS if pattern.search(text)), None)


def _items(mentions: Sequence[Mention], handbook: Handbook) -> tuple[tuple[Item, ...], tuple[str, ...], str | None]:
    """Materials with counts, how they were read, and a question where a shared name has no usual meaning."""
    items, notes, unclear = [], [], None
    for mention in mentions:
        if mention.negated:
            continue
        material_id = mention.id or mention.usual
        others = [handbook.materials[i].name for i in mention.ids if i != material_id]
        if material_id is None:
            unclear = f"Which {mention.said}: {', '.join(others)}?"
            continue
        name = handbook.materials[material_id].name
        if mention.how == "fuzzy":
            notes.append(f"I took “{mention.said}” for {name}.")
        elif mention.id is None:
            notes.append(f"I took “{mention.said}” as {name}; it can also mean {', '.join(others)}.")
        items.append(Item(material_id, mention.stems, mention.bunches))
    return tuple(items), tuple(notes), unclear


def _day(question: Question, today: date) -> date:
    said = question.slots.get("since_date")
    if said is not None:
        return said.day
    from assistant.language.dates import find_dates  # deferred with the parser: stock itself needs no language

    days = [found.day for found in find_dates(question.normal, today) if found.day <= today]
    return days[0] if days else today


def _where(text: str) -> Where | None:
    if _BENCH.search(text):
        return "bench"
    return "cooler" if _COOLER.search(text) or "cooler" in text else None


def _temperature(question: Question) -> Estimate | None:
    for name in ("storage_temperature", "display_temperature"):
        reading = question.slots.get(name)
        if reading is not None:
            low, high = reading.span
            return Estimate(low, (low + high) / 2, high)
    return None


def _missing(entry: Entry, handbook: Handbook) -> str | None:
    if entry.action == "moved":
        return None if entry.where else "Where did it go: the cooler or the bench?"
    for item in entry.items:
        if item.stems is None and item.bunches is None:
            return f"How many stems or bunches of {handbook.materials[item.material].name}?"
    return None


# --- writing it down --------------------------------------------------------------------------------------------------


def apply(entry: Entry, ledger: Ledger, handbook: Handbook, market: str = "EU") -> Done:
    """Write an understood sentence to the ledger, all of it or nothing, and say what was written.

    Raises:
        StockError, OutOfRange: in words for the person; nothing is changed then.
    """
    if entry.question:
        return Done(entry.question)
    lead = " ".join(entry.notes)
    match entry.action:
        case "received":
            done = _receive(entry, ledger, handbook, market)
        case "moved":
            done = _move(entry, ledger, handbook)
        case "first" | "list":
            done = _tell(entry, ledger, handbook)
        case _:
            done = _take(entry, entry.action, ledger, handbook, market)
    return replace(done, reply=f"{lead} {done.reply}".strip())


def _receive(entry: Entry, ledger: Ledger, handbook: Handbook, market: str) -> Done:
    lots, said, warned = [], [], []
    for item in entry.items:
        material = handbook.materials[item.material]
        where: Where = entry.where or ("bench" if material.is_dry else "cooler")
        stand = stand_for(
            material, handbook, entry.day, where, degC=entry.degC, in_box=entry.in_box, plain_water=entry.plain_water
        )
        lot = new_lot(
            material, stand, stems=item.stems, bunches=item.bunches, stems_per_bunch=entry.stems_per_bunch,
            market=market, price=entry.price, price_per=entry.price_per,
        )  # fmt: skip
        lots.append(lot)
        counted = f", counted at {lot.stems / item.bunches:g} a bunch" if item.stems is None and item.bunches else ""
        paid = f", {lot.paid:.2f} paid" if lot.paid is not None else ""
        place = {"cooler": "in the cooler", "bench": "on the bench"}[where]
        air = degrees(stand.low_degC, stand.high_degC)
        said.append(f"{lot.stems} stems of {material.name}{counted}{paid}, {place} at {air}")
        warned.append(chill_warning(material, stand))
    numbers = ledger.receive(lots)
    head = "Lot" if len(numbers) == 1 else "Lots"
    body = "; ".join(f"{number}: {words}" for number, words in zip(numbers, said, strict=True))
    return Done(" ".join([f"{head} {body}, from {entry.day}.", *(w for w in warned if w)]), numbers, True)


def _move(entry: Entry, ledger: Ledger, handbook: Handbook) -> Done:
    assert entry.where is not None  # a missing place was asked for
    moves: list[tuple[int, Stand]] = []
    warned = []
    wanted = {item.material for item in entry.items}
    for lot in ledger.lots():
        if lot.material not in wanted:
            continue
        material = handbook.materials[lot.material]
        stand = stand_for(
            material,
            handbook,
            entry.day,
            entry.where,
            degC=entry.degC,
            in_box=entry.in_box,
            plain_water=entry.plain_water,
        )
        moves.append((lot.id, stand))
        warned.append(chill_warning(material, stand))
    if not moves:
        raise StockError(f"There is no {_names(wanted, handbook)} in stock.")
    ledger.move(moves)
    moved = [lot_id for lot_id, _ in moves]
    place = "the cooler" if entry.where == "cooler" else "the bench"
    lots = f"Lot{'s' if len(moved) > 1 else ''} {', '.join(map(str, moved))}"
    warnings = dict.fromkeys(w for w in warned if w)
    return Done(" ".join([f"{lots} moved to {place} on {entry.day}.", *warnings]), tuple(moved), True)


def _take(entry: Entry, kind: UseKind, ledger: Ledger, handbook: Handbook, market: str) -> Done:
    takings: list[tuple[int, int]] = []
    said = []
    order = use_first(ledger.lots(), handbook, entry.day)
    for item in entry.items:
        material = handbook.materials[item.material]
        stems = item.stems
        if stems is None:
            pack = pack_of(material, market)
            per_bunch = entry.stems_per_bunch or (pack.stems.low if pack else None)
            if per_bunch is None or item.bunches is None:
                raise StockError(f"The handbook has no stem count for a bunch of {material.name}; say the stems.")
            stems = item.bunches * per_bunch
        part = take_from([row.lot for row in order], item.material, round(stems), material.name)
        takings += part
        lots = f"lot{'s' if len(part) > 1 else ''} {', '.join(str(i) for i, _ in part)}"
        said.append(f"{round(stems)} {material.name} from {lots}")
    ledger.take(takings, kind, entry.day)
    return Done(f"{kind.capitalize()}: {'; '.join(said)}.", tuple(i for i, _ in takings), True)


def take_from(lots: Sequence[Lot], material_id: str, stems: int, name: str) -> list[tuple[int, int]]:
    """Share stems over lots in the order given; (lot, stems) each.

    Raises:
        StockError: where there are not that many.
    """
    open_, takings = stems, []
    for lot in lots:
        if lot.material == material_id and open_ > 0:
            part = min(open_, lot.left)
            takings.append((lot.id, part))
            open_ -= part
    if open_ > 0:
        raise StockError(f"There are {stems - open_} stems of {name} in stock, not {stems}.")
    return takings


def _tell(entry: Entry, ledger: Ledger, handbook: Handbook) -> Done:
    wanted = {item.material for item in entry.items}
    rows = [r for r in use_first(ledger.lots(), handbook, entry.day) if not wanted or r.lot.material in wanted]
    if not rows:
        return Done(f"No {_names(wanted, handbook)} in stock." if wanted else "There is nothing in stock.")
    said = []
    for row in rows[:6]:
        known = handbook.materials.get(row.lot.material)
        name = known.name if known else row.lot.material
        days = f"{days_words(row.left.days)} left" if row.left else "no life in the handbook"
        said.append(f"{row.lot.left} {name} (lot {row.lot.id}, {days})")
    more = f"; and {len(rows) - 6} more" if len(rows) > 6 else ""
    lead = "Use first" if entry.action == "first" else "In stock"
    return Done(
        f"{lead}: {'; '.join(said)}{more}. Days are for a vase with food at 20 °C.", tuple(r.lot.id for r in rows)
    )


def days_words(days: Estimate) -> str:
    """`(3.2, 5, 7.6)` as "3–7 d": the short end is never rounded up."""
    low, high = int(days.low), int(days.high)
    return f"{low} d" if low == high else f"{low}–{high} d"


def degrees(low: float, high: float) -> str:
    return f"{low:g} °C" if low == high else f"{low:g} to {high:g} °C"


def _names(ids: set[str], handbook: Handbook) -> str:
    return " or ".join(sorted(handbook.materials[i].name for i in ids))
