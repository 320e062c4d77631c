"""What mark-up is usual, from the handbook's rules, and a person's own factor held against it."""

from __future__ import annotations

import re

from assistant.dialogue.desk import Desk, Draft
from assistant.dialogue.general import draft_of
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import number_span

RULES = ("mark-up", "cost-of-goods-target", "price-list-per-job")
_MARK_UP = re.compile(
    r"\bmark(?:ing|ed|s)?(?: it| them| that| those| things)?[ -]?ups?\b|\bmultipl(?:e|ier)s?\b|\btimes (?:the )?cost\b|\b(?:double|triple|treble|quadruple) (?:the|their|your|my|our) costs?\b|\badd on (?:top|to)\b|\bon top of (?:the )?cost\b"
)
_COST_OF_GOODS = re.compile(
    r"\bcosts? of goods\b|\bmargins?\b|\b(?:share|part|percent|percentage|much|proportion) of (?:the |my |our )?(?:sales|takings|turnover)\b"
)
_CHARGE = re.compile(
    r"\b(?:what|how much) (?:should|do|would|must|can) (?:i|we|you|shops?|florists?|people) (?:charge|sell)\b"
)
_USUAL = re.compile(
    r"\b(?:normal\w*|usual\w*|typical\w*|standard|common|reasonable|fair|sensible|about right|enough|too (?:much|high|low|little)|steep|cheeky|do shops|do florists|most (?:shops|florists|people))\b"
)
_OWN = re.compile(r"\bwhat(?:'s| is) (?:my|our|the) (?:mark[ -]?up|margin|factor)\b")


def asks_what_is_usual(text: str) -> bool:
    """ "What mark-up do shops put on?", "what share of sales may flowers cost?": of no job in particular."""
    return any(pattern.search(text) for pattern in (_MARK_UP, _COST_OF_GOODS, _CHARGE))


def judges_a_factor(wish: Wish) -> bool:
    """ "Is that a normal mark-up?", "I sell at 45 and it cost 15, what's my mark-up?": a factor to be judged, no sum."""
    own = _OWN.search(wish.text)
    summed = {"price", "stems", "bunches", "count"} & wish.asked.keys() and not own
    marked_up = _MARK_UP.search(wish.text) or wish.slot("factor") is not None
    return bool(marked_up and not summed and (own or _USUAL.search(wish.text)))


def what_is_usual(wish: Wish, desk: Desk) -> Draft | None:
    """The handbook's rule on mark-up, or on the cost of goods, with the person's own factor held against it; None
    where the handbook lacks the rule."""
    goods = _COST_OF_GOODS.search(wish.text) and not _MARK_UP.search(wish.text)
    name = "cost-of-goods-target" if goods else "mark-up"
    rule = desk.context.handbook.rules.get(name)
    if rule is None:
        return None
    draft = draft_of(rule, desk, desk.context.rules((name, *(n for n in RULES if n != name))))
    factor = wish.slot("factor")
    if factor is None or goods:
        return draft
    trade = "event work" if re.search(r"\bevents?\b|\bweddings?\b", wish.text) else "fresh flowers"
    if re.search(r"\bhard goods\b|\bsundr\w+\b|\bribbons?\b|\bglassware\b", wish.text):
        trade = "hard goods"
    number = next((n for n in rule.numbers if n.name == trade), None)
    if number is not None:
        low, high = number.span
        place = "below" if factor.number < low else "above" if factor.number > high else "inside"
        draft.lead = (
            f"{factor.number:g} times cost is {place} the handbook's {number_span(low, high)} for {trade}. {draft.lead}"
        )
    return draft
