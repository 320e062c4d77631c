"""Times and temperatures of a follow-up: of the stems' past, of the cooler, or of the show?

"Two more days old" adds to the age said before; "six days, I can't count" puts right whichever stretch was said before;
"what is left after, at 21" turns what was kept cold into storage.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date

from assistant.dialogue.memory import Wish
from assistant.language.question import Reading, Task

# Slots that only a life has a use for, and the tasks that have none for them.
LIFE_SLOTS = frozenset({
    "support", "display_temperature", "humidity", "stored_days", "storage_temperature", "elapsed_days", "elapsed_temperature", "dry_days", "since_date",
})  # fmt: skip
_GOALS = frozenset({"display_days", "until_date"})
_NO_LIFE: frozenset[Task] = frozenset({"quantity", "cost", "season", "describe"})
_COUNTS = re.compile(r"\bhow (?:many|much)\b(?! (?:days|longer|time))|\b(?:bricks?|blocks?|cost|price)\b")
_MORE = re.compile(r"\b(?:more|another|further|extra|additional)\b")
_THERE = re.compile(r"\b(?:there|of that|been in|had (?:just |only )?been)\b")
# Words of a show to come: the days beside them are those the work must last.
_AHEAD = re.compile(
    r"\b(?:last|lasts|hold|holds|survive|make it(?! \d)|will|would|(?:can|could) (?:it|they|i|we)|need|needs|must|for|until|till|stay|stays|runs?|show|event|display)\b"
)
_TO_LAST = re.compile(r"\b(?:last|lasts|survive|make it|will (?:they|it)|display|show)\b")
_AFTER = re.compile(
    r"\b(?:after(?:wards)?|after that|from there|then|next|once (?:it's|they're) out|out of (?:it|there))\b"
)
_KEPT_SINCE = "in the cold since"
# "Double the run", "twice as long": of tasks that reckon with the days of a show.
OF_DAYS: frozenset[Task] = frozenset({"longevity", "refresh", "compare"})
OF_A_RUN = re.compile(
    r"\b(?:run|stay|show|stretch|contract|display|booking|hire|let|time|length|long|days|weeks|fortnight|month)\b"
)
# Words that alter one thing of what was said.
_ALTERS = re.compile(
    r"^\W*(?:(?:ok|okay|and|now|then|right|so|just|please|no|sorry|say)[ ,]+)*(?:change|make|set|put|switch|raise|lower|cut|drop|extend|lengthen|shorten|alter)\b[^.?!]{0,24}"
    r"\b(?:cold|cooler|storage|fridge|chiller|cool ?room|walk-?in)\b[^.?!]{0,24}\b(?:to|at|by)\b"
)
# A cooler is no warmer, and no room for flowers is colder. [degC]
_COLD = 10.0
_ROOM = re.compile(
    r"\b(?:room|shop|hall|church|marquee|tent|office|lobby|venue|outside|display|vase|porch|van|house|table)\b"
)


def placed(
    asked: Mapping[str, Reading], earlier: Mapping[str, Reading], last: Wish, task: Task, text: str
) -> tuple[dict[str, Reading], dict[str, Reading]]:
    """The slots said now and those said before, each stretch where it belongs.

    Args:
        asked: slots of the follow-up.
        earlier: slots said before, those of `asked` included where both name one.
        last: the ask before, for which they were said.
        task: the task they are wanted for.
        text: the follow-up, normalised.
    """
    now, before = dict(asked), dict(earlier)
    degrees = now.get("display_temperature")
    of_the_cooler = "storage_temperature" in before and "storage_temperature" not in now and not _ROOM.search(text)
    if of_the_cooler and degrees is not None and degrees.number <= _COLD:
        now["storage_temperature"] = now.pop("display_temperature")  # "somebody put them at 3 instead"
    if task == "longevity":
        _cold_before(now, before, last.task, text)
    if "display_days" in now and "stored_days" in before and not _TO_LAST.search(text):
        now["stored_days"] = now.pop("display_days")  # "only 6 days then", after days in the cooler
    elif (
        "display_days" in now
        and "elapsed_days" in before
        and not _GOALS & (last.asked if "elapsed_days" in last.asked else before).keys()
        and not _AHEAD.search(text)
    ):
        now["elapsed_days"] = now.pop("display_days")  # "three days, I can't count"
    if "elapsed_days" in now and _THERE.search(text) and _kept_cold(before):
        before.pop("since_date", None)  # "it'd been in there ten days", of what came in some day before
    elif "since_date" in now:
        before.pop("elapsed_days", None)  # "came in tuesday in fact", after so many days
    old = now.get("elapsed_days")
    if old is not None and _THERE.search(text) and _kept_cold(before):
        now["stored_days"] = now.pop("elapsed_days")  # "seven days there", after days in the cooler
        before.pop("elapsed_days", None)
    elif old is not None and _MORE.search(old.said) and "elapsed_days" in before:
        now["elapsed_days"] = _sum(old, before["elapsed_days"])
    return now, {name: reading for name, reading in before.items() if name not in now or name == "count"}


def asks_of_the_cold(slots: Mapping[str, Reading], text: str) -> bool:
    """ "How many days do peonies keep at 1 degree": a life in the cold alone, no room and no past beside it."""
    beside = {"display_temperature", "stored_days", "elapsed_days", "since_date", "until_date", "support", "dry_days"}
    in_a_room = "place" in slots and slots["place"].text not in ("cooler", "cold-room")
    return (
        "storage_temperature" in slots and not beside & slots.keys() and not in_a_room and _AFTER.search(text) is None
    )


def in_days(slots: Mapping[str, Reading], today: date) -> dict[str, Reading]:
    """The slots with a last day turned into the days up to it, so that the run can be doubled."""
    out = dict(slots)
    last = out.pop("until_date", None)
    if last is not None:
        start = out.get("start_date")
        days = float((last.day - (start.day if start else today)).days)
        out["display_days"] = Reading(days, "d", days, days, f"to {last.said}")
    return out


def in_the_cold(slots: Mapping[str, Reading]) -> dict[str, Reading]:
    """The slots of an ask for storage alone: its days and its cold degrees are the cooler's, and so they go on being."""
    out = dict(slots)
    degrees = out.get("display_temperature")
    if degrees is not None and degrees.number <= _COLD and "storage_temperature" not in out:
        out["storage_temperature"] = out.pop("display_temperature")
    if "display_days" in out and "stored_days" not in out:
        out["stored_days"] = out.pop("display_days")
    return out


def kept_since(slots: Mapping[str, Reading], before: Mapping[str, Reading], today: date) -> dict[str, Reading]:
    """ "In on Thursday, cooler at 2 since": the days since it came are those of storage, where nothing else is said of them.

    A day said anew ("no, they came on Monday") stands for one that was taken so `before`.
    """
    out = dict(slots)
    stored = before.get("stored_days")
    again = stored is not None and stored.assumed.startswith(_KEPT_SINCE)
    if {"stored_days", "elapsed_temperature"} & out.keys() or not ("storage_temperature" in out or again):
        return out
    came, old = out.get("since_date"), out.get("elapsed_days")
    if old is not None and "storage_temperature" in out:
        del out["elapsed_days"]
        out["stored_days"] = old
    elif came is not None and came.day <= today:  # one still to come is told of by the answer
        days = float((today - came.day).days)
        out["stored_days"] = Reading(days, "d", days, days, came.said, f"{_KEPT_SINCE} {came.said}")
    if "stored_days" in out:
        out.pop("since_date", None)
    return out


def alters_the_cold(slots: Mapping[str, Reading], text: str) -> bool:
    """ "Change the cold storage to a week", of a life that was asked about: the same life after another stay."""
    return bool({"stored_days", "storage_temperature"} & slots.keys()) and _ALTERS.search(text) is not None


def out_of_the_cold(slots: Mapping[str, Reading]) -> bool:
    """ "In the cooler at 2 since Sunday, going to a flat at 20": a past in the cold and a room, so a life is asked about."""
    room = slots.get("display_temperature")
    since = {"stored_days", "since_date"} & slots.keys()
    return room is not None and room.number > _COLD and "storage_temperature" in slots and bool(since)


def leaves_the_cold(slots: Mapping[str, Reading], text: str) -> bool:
    """ "And after that at 20, how long", said of what was to be stored: the life of it in a room."""
    room = slots.get("display_temperature")
    return room is not None and room.number > _COLD and _AFTER.search(text) is not None


def _kept_cold(before: Mapping[str, Reading]) -> bool:
    return "stored_days" in before or ("storage_temperature" in before and "elapsed_days" not in before)


def _cold_before(now: dict[str, Reading], before: dict[str, Reading], last: Task, text: str) -> None:
    """Days and degrees of the cold that an earlier turn told of become storage where the stems now go to a room."""
    if "display_temperature" not in now or "display_days" in now or "stored_days" in {**before, **now}:
        return
    cold = before.get("display_temperature")
    was_cold = cold is not None and cold.number <= _COLD < now["display_temperature"].number
    if "display_days" not in before or not (last == "storage" or (was_cold and _AFTER.search(text))):
        return
    before["stored_days"] = before.pop("display_days")
    if was_cold and "storage_temperature" not in before:
        before["storage_temperature"] = before.pop("display_temperature")


def _sum(more: Reading, old: Reading) -> Reading:
    low, high = (a + b for a, b in zip(more.span, old.span, strict=True))
    total = more.number + old.number
    return replace(more, value=total, low=low, high=high)


def of_the_life(asked: Mapping[str, Reading], wishes: tuple[Wish, ...], life: Wish | None, text: str) -> Wish | None:
    """The life asked about before another task came between, where a follow-up changes only what a life depends on:
    "and in floral foam?", after how long and how many; None where that is not so."""
    if life is None or not asked or not asked.keys() <= LIFE_SLOTS or any(w.task not in _NO_LIFE for w in wishes):
        return None
    if _COUNTS.search(text) or any(re.fullmatch(r"\W*\d+(?:\.\d+)?\W*", reading.said) for reading in asked.values()):
        return None  # how many bricks of foam, or a bare number that may count what was asked last
    spoken_of = {i.id: i for w in wishes for i in w.items}
    return replace(life, items=tuple(spoken_of.values())) if spoken_of else life
