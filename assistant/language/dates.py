"""Days said in words, against a clock the caller supplies: "came in Tuesday", "for the 12th", "until 5 December".

Weekdays, relative days and bare ordinals are read by our own grammar, since their direction (past or future)
depends on the words around them; spelled-out dates go to dateparser, on the date-shaped span only.
"""

from __future__ import annotations

import calendar
import re
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Literal

Direction = Literal["past", "until", "start", "plain"]

_DAYS = {
    "mon": 0,
    "tue": 1,
    "tues": 1,
    "wed": 2,
    "weds": 2,
    "thu": 3,
    "thur": 3,
    "thurs": 3,
    "fri": 4,
    "sat": 5,
    "sun": 6,
} | {name.lower(): number for number, name in enumerate(calendar.day_name)}
_MONTHS = {name.lower(): number for number, name in enumerate(calendar.month_name) if name} | {
    name.lower(): number for number, name in enumerate(calendar.month_abbr) if name and name != "May"
} | {"sept": 9}  # fmt: skip
_DAY = "|".join(sorted(_DAYS, key=len, reverse=True))
_MONTH = "|".join(sorted(_MONTHS, key=len, reverse=True))
_ORDINAL = r"\d{1,2}(?:st|nd|rd|th)"
# Feasts of a fixed day; Twelfth Night is the eve of Epiphany. Read only as the end of a stretch ("up till twelfth night").
_FEASTS = {
    "christmas eve": (12, 24),
    "christmas day": (12, 25),
    "christmas": (12, 25),
    "boxing day": (12, 26),
    "new year's eve": (12, 31),
    "new year's day": (1, 1),
    "new year's": (1, 1),
    "new year": (1, 1),
    "twelfth night": (1, 5),
    "12th night": (1, 5),
    "epiphany": (1, 6),
    "valentine's day": (2, 14),
    "valentine's": (2, 14),
    "halloween": (10, 31),
}
# "They sat at 21", "sun on it all day" name no weekday.
_NO_DAY = {
    "sat": re.compile(r"(?<!on )(?<!by )(?<!for )(?<!next )(?<!this )(?<!last )‹› (?:at|in|on|out|there|here|for|by|around|under|dry|unsold|since|(?:about |over )?\d+ (?:hour|day|week))"),
    "sun": re.compile(r"\b(?:the|full|direct|hot|afternoon|morning|evening|no|bright|in) ‹›|‹›'s\b|‹› (?:on|shin\w*|all|comes|hits|beat\w*|stream\w*)\b"),
}  # fmt: skip
_FEAST = "|".join(sorted(_FEASTS, key=len, reverse=True))
_TO_A_FEAST = re.compile(r"\b(?:until|till|'til|til|to|through|thru|past|after) (?:the )?$")

_PAST = re.compile(
    r"\b(?:came|come|got|received|arrived|delivered|delivery|bought|cut|picked|since|from|in on|unpacked|landed|had (?:them|it)|"
    r"has been|have been|been in|been here|conditioned|turned up|put (?:them|it) (?:in|out|up)|made|built|did|done|set up|"
    r"went (?:up|in|out|into)|hung|unboxed|unwrapped|unloaded)\b"
)
_WENT = re.compile(
    r"(?<!be )(?<!get )(?<!gets )\b(?:went (?:up|in|out|into)|bought|unboxed|unwrapped|unloaded|hung|took (?:them|it) out|(?:was|were|i|we) installed)\b"
    r"(?!.*\b(?:until|till|for|by|from)\b)[^?]{0,40}$"
)
# "Put skimmia out on display monday": told of what was done, where nothing before it makes it a plan.
_PUT_OUT = re.compile(
    r"(?:^\W*|[,;] |(?<!if )(?<!when )(?<!once )\b(?:i|we|she|he|they|who|and|boss|just|already) |\b(?:was|were|got|been) )(?:(?:only|just|already) )?(?:put|stood|set) (?!in (?:an? )?order)"
    r"(?:(?!\b(?:to|for|by|until|till|at)\b)[a-z'-]+ ){0,5}(?:out|up|in|on)(?: (?:on|in|at) (?:the |our |my )?(?:display|show|shop|window|foyer|lobby|counter|shelf|(?:shop ?)?floor|vase|hall|reception))?(?: (?:on|last))? (?:the )?$"
)
# What asks how much is left looks back on the day before it.
_LEFT = re.compile(
    r"\b(?:how (?:many|much) (?:more|longer|further)|how many days (?:more|left|are left|have)|(?:more|days) (?:days )?left|have (?:they|i|we|it) (?:still )?(?:got )?left|still (?:good|got|have)|left in (?:it|them)|life left|been (?:there|out|up|on show) ever since|longer|will (?:they|it) (?:still )?(?:last|do|make it|hold|see|be (?:good|fine|ok|okay|alright)))\b"
)
_FOR_SO_LONG = (
    r"(?:and )?(?:it's |it is |it stays |it runs |they're |that's |lasting |running |runs )?(?:for )?(?:about )?"
)
_UNTIL = re.compile(
    r"\b(?:until|till|til|'til|through|thru|to|by|before|for|make it to|last to|wedding|event|party|funeral|service|opening|install|"
    r"installs|installation|open on|starts?|starting|deliver on|on|comes down|down|strike|struck)\W*(?:on |the |next |this |a |coming )*$"
)
_START = re.compile(
    r"\b(?:install\w*|decorat(?:e|ing)|dress(?:ing)?|starts?|starting|begins?|set ?up|goes (?:up|in)|going (?:up|in)|opens?|put up|beginning|build|(?:if|when) (?:i|we|they) (?:put|set|install|build)|goes live|up on|up from)\b[^.?!]{0,20}$"
)


@dataclass(frozen=True, slots=True)
class SaidDate:
    day: date
    direction: Direction
    start: int
    end: int
    said: str


_SPAN = re.compile(
    rf"\b(?:(?P<rel>day before yesterday|day before today|day after tomorrow|yesterday|today|tonight|tomorrow|this morning|this afternoon|"
    rf"last night|this evening)"
    rf"|(?P<full>(?:(?:{_DAY})[, ]+)?(?:the )?(?:\d{{1,2}}(?:st|nd|rd|th)?(?: of)? (?:{_MONTH})|(?:{_MONTH}) \d{{1,2}}(?:st|nd|rd|th)?)\b"
    rf"(?:,? \d{{4}})?)"
    rf"|(?P<iso>\d{{4}}-\d{{2}}-\d{{2}})"
    rf"|(?P<wday>(?:(?:last|next|this|coming|past) )?(?:{_DAY})(?: (?:the )?(?P<wnum>{_ORDINAL}))?(?: (?:gone|week))?)"
    rf"|the (?P<ord>{_ORDINAL})(?! (?:floor|fl|storey|story|row|batch|bucket|bunch|time|go|one|sort|window|table|vase|bride|wedding|avenue|street|century)\b)"
    rf"|(?P<feast>{_FEAST})(?! (?:wreath|tree|rose|cactus|box|fair|market|flower|display|arrangement|table|garland|green|part)(?:s|es|ies|ery|y)?\b))\b"
)
_BARE_MONTH = re.compile(
    rf"\b(?:in|during|for|through|by|about|around|this|next|early|late|mid|and|or|to|-)[ -](?:early |late |mid[ -]?)?(?P<m>{_MONTH})\b"
)


_LAST_MONTH = re.compile(rf"(?:^|[,:] ?|\b(?:in|for|about) )(?P<m>{_MONTH})\W*$")
_SEASONS = {"winter": 1, "spring": 4, "summer": 7, "autumn": 10, "fall": 10}
_IN_SEASON = re.compile(
    r"\b(?:in|during|for|over|this|next) (?:the )?(?P<s>winter|spring|summer|autumn|fall)\b(?! (?:apart|over|wedding|party|event|display|piece|work))"
)


def find_season(text: str) -> tuple[str, int, int, int] | None:
    """A season asked about ("in winter"): its word, its middle month (northern), and span."""
    match = _IN_SEASON.search(text)
    return (match["s"], _SEASONS[match["s"]], match.start("s"), match.end("s")) if match else None


def find_dates(text: str, today: date) -> list[SaidDate]:
    """Dates in normalised text, each with the direction its neighbours give it."""
    out = []
    for match in _SPAN.finditer(text):
        before = text[max(0, match.start() - 60) : match.start()]
        if match["feast"] and not _TO_A_FEAST.search(before):
            continue
        if match[0] in ("sat", "sun") and _NO_DAY[match[0]].search(f"{before}‹›{text[match.end() : match.end() + 20]}"):
            continue
        direction = _direction(before, text[match.end() : match.end() + 40])
        if match["wday"] and _PUT_OUT.search(re.split(r"[.?!;]", before)[-1]) and _LEFT.search(text[match.end() :]):
            direction = "past"
        day = _resolve(match, today, direction)
        if day is not None:
            if match["rel"] and direction == "plain":
                direction = "past" if day < today else "until" if day > today else "plain"
            out.append(SaidDate(day, direction, match.start(), match.end(), match[0]))
    return out


# "1 to 15 December", "from the 3rd till the 17th of january": the month stands once, behind both days.
_RANGE = re.compile(
    rf"\b(?:(?:from|between) )?(?:the )?(?P<first>\d{{1,2}})(?:st|nd|rd|th)? ?(?:to|till|until|through|and|-|–) ?(?:the )?"
    rf"(?P<last>\d{{1,2}})(?:st|nd|rd|th)?(?: of)? (?P<month>{_MONTH})\b"
)


# "All of December", "throughout march": a stretch as long as the month.
_WHOLE_MONTH = re.compile(
    rf"\b(?:all (?:of|through)|(?:the )?(?:whole|entire|full)(?: month)? of|throughout|the (?:whole|entire) month of) (?P<month>{_MONTH})\b(?! \d)"
)


@dataclass(frozen=True, slots=True)
class SaidRange:
    first: date
    last: date
    start: int
    end: int
    said: str


def find_date_range(text: str, today: date) -> SaidRange | None:
    """The first stretch of days of one month that a message names, the next such after `today`; None if it names none."""
    match = _RANGE.search(text)
    if match is None:
        return _whole_month(text, today)
    for year in (today.year, today.year + 1):
        try:
            first, last = (date(year, _MONTHS[match["month"]], int(match[name])) for name in ("first", "last"))
        except ValueError:
            return None
        if first < last and last >= today:
            return SaidRange(first, last, match.start(), match.end(), match[0].strip())
    return None


def _whole_month(text: str, today: date) -> SaidRange | None:
    """From the first of a month to the first of the next, the coming one of that name or the one that runs."""
    match = _WHOLE_MONTH.search(text)
    if match is None:
        return None
    month = _MONTHS[match["month"]]
    year = today.year + (month < today.month)
    after = date(year + month // 12, month % 12 + 1, 1)
    return SaidRange(date(year, month, 1), after, match.start(), match.end(), match[0])


def impossible_date(text: str, today: date) -> str | None:
    """A spelled-out date that no calendar has ("31st of february"), as said."""
    for match in _SPAN.finditer(text):
        if (match["full"] or match["iso"]) and _resolve(match, today, "plain") is None:
            return match[0]
    return None


def find_month(text: str) -> tuple[int, int, int] | None:
    """A month asked about ("in October"): its number and span."""
    match = _BARE_MONTH.search(text) or _LAST_MONTH.search(text)
    if match and not re.match(r" \d{1,2}\b", text[match.end() :]):
        return _MONTHS[match["m"]], match.start("m"), match.end("m")
    return None


def _direction(before: str, after: str) -> Direction:
    clause = re.split(r"[.?!;]" if re.search(r", from (?:the )?$", before) else r"[.?!;,]", before)[-1]
    if _WENT.search(clause) or re.match(
        r" (?:i|we|they|he|she|you) (?:have |had )?(?:delivered|sent|put|got|cut|bought|picked|had|took|stood|hung|made|unpacked|unboxed|brought)\b",
        after,
    ):
        return "past"
    if re.search(r"\bfrom\b.*\b(?:until|till|til|through|thru|to) (?:the )?$", clause):
        return "until"
    if _START.search(clause):
        return "start"
    if re.search(r"\bfrom (?:the )?$", clause) and (
        re.match(r"\W*(?:to|through|till|until|for|on|onwards?|-)\b", after)
        or re.match(rf",? (?:{_FOR_SO_LONG})?(?:\d+|a) (?:days?|weeks?|fortnight|month)\b", after)
        or re.search(r"\b(?:days?|weeks?|fortnight|month) from (?:the )?$", clause)
        or re.search(r"\b(?:over|for|lasting)\b[^.?!;]{0,20}\b(?:days?|weeks?|fortnight|month)\b", clause)
    ):
        return "start"
    if _UNTIL.search(clause):
        past = re.search(
            r"\b(?:came in|got in|got|delivered|arrived|received|since|came|picked up|in)\b(?:(?! and (?:is|are|will be|gets?|goes|go|we|i|they) )[^.?!;,])* on (?:the )?$",
            clause,
        )
        return "past" if past else "until"
    if _PAST.search(clause) or re.match(r"'s (?!(?:wedding|party|event|funeral|service|open))[a-z]", after):
        return "past"
    return "plain"


def _resolve(match: re.Match[str], today: date, direction: Direction) -> date | None:
    if match["rel"]:
        offset = {
            "day before yesterday": -2,
            "day before today": -1,
            "yesterday": -1,
            "last night": -1,
            "tomorrow": 1,
            "day after tomorrow": 2,
        }
        return today + timedelta(days=offset.get(match["rel"], 0))
    if match["iso"]:
        try:
            return date.fromisoformat(match["iso"])
        except ValueError:
            return None
    if match["feast"]:
        month, number = _FEASTS[match["feast"]]
        return next(d for year in (today.year, today.year + 1) if (d := date(year, month, number)) >= today)
    if match["full"]:
        return _full_date(match["full"], today, direction)
    if match["ord"] or match["wnum"]:
        number = int(re.sub(r"\D", "", match["ord"] or match["wnum"]))
        return _day_of_month(number, today, direction)
    return _weekday(match["wday"], today, direction)


def _full_date(said: str, today: date, direction: Direction) -> date | None:
    import dateparser  # deferred: it costs more than everything else here and few messages spell a date out

    base = datetime(today.year, today.month, today.day, 12, tzinfo=UTC).replace(tzinfo=None)
    settings = {"RELATIVE_BASE": base, "PREFER_DATES_FROM": "past" if direction == "past" else "future"}
    spelled = re.sub(rf"^(?:(?:{_DAY})[, ]+)?(?:the )?|\bof\b ?", "", said)
    parsed = dateparser.parse(spelled, languages=["en"], settings=settings)
    return parsed.date() if parsed else None


def _day_of_month(number: int, today: date, direction: Direction) -> date | None:
    step = -1 if direction == "past" else 1
    year, month = today.year, today.month
    for _ in range(14):
        if 1 <= number <= calendar.monthrange(year, month)[1]:
            found = date(year, month, number)
            if (found <= today) if step < 0 else (found >= today):
                return found
        month += step
        if month in (0, 13):
            year, month = year + step, (12 if month == 0 else 1)
    return None


def _weekday(said: str, today: date, direction: Direction) -> date:
    words = said.split()
    name = next(word for word in words if word in _DAYS)
    ahead = (_DAYS[name] - today.weekday()) % 7
    if direction == "past" or words[0] in ("last", "past") or words[-1] == "gone":
        return today - timedelta(days=(today.weekday() - _DAYS[name]) % 7 or (7 if words[0] == "last" else 0))
    if words[0] == "next" and ahead < 7 - today.weekday():  # "next Friday" on a Wednesday is not the one in two days
        ahead += 7
    if words[-1] == "week" and len(words) > 1:
        ahead += 7
    return today + timedelta(days=ahead or 7)
