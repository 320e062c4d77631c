"""Where the stems have been and where they go next: "four days at 2 in the cooler, and now out to a room at 22".

A message is cut where the stems are said to move. A temperature with a time of its own before the last cut is a stretch of
their past, in the cold or not; the temperature behind it is that of the room they go to.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from assistant.language.quantities import Quantity

COOLER = r"(?:cooler|fridge|refrigerator|cold ?(?:store|storage|room|cell)|cool ?room|cooling (?:cell|room)|walk-? ?in|chiller)"
# Words of moving on; what stands behind them is where the stems are going.
_ON = re.compile(
    rf"\b(?:(?:and |but )?(?:then|now|today)|(?:going|goes|go|gone|went|moves?|moving|moved|off|straight|comes?|coming|came|out|brought|taken) "
    rf"(?:(?:them|it|on|out|back|straight) )?(?:(?:today|tonight|now|tomorrow) )?(?:in)?to|out (?:at|in)|before going|put (?:them |it )?(?:out|on display))\b"
    rf"(?! (?:(?:in|into|to|the|a|my|our|it's|they're) )*{COOLER})"
)
_COLD_PLACE = re.compile(
    rf"\b(?:{COOLER}|stored|storing|storage|(?<!the )(?<!our )(?<!my )(?<!your )store(?!'s)|refrigerated|chilled|cellar|(?:in|from) the cold(?! (?:air|snap|weather|water|morning|night|shop|church)))\b"
)
# "At 2 since Sunday": a day of the calendar says how long.
_SINCE = re.compile(r"\bsince\b")
# "What's it got at 20 after that": the room named behind the stretch, with the word of moving on behind it.
_AFTER_THAT = re.compile(
    r"\W*(?:c\b|f\b|celsius|degrees?)?\W*(?:(?:right |straight )?after(?:wards?| that| it)?|from then on|once (?:it's|they're|they are|it is) out)(?=\W*$|[,.;?!])"
)
_HELD = re.compile(rf"\b(?:held|hold|holding|kept|keep|stood in the cold|bagged|boxed|cellar|cold|{COOLER})\b")
_THERE = re.compile(r"\b(?:in there|of that|like that|at that)\b")
# Nobody shows flowers as cold as this; where they are said to be held, somewhat warmer is still storage. [degC]
_COLD = 10.0
_COLD_HELD = 15.0

# Neither "not the cooler" nor "in the cooler, sorry, the porch" says that anything is in it.
DENIED = re.compile(
    rf"\b(?:not|isn't|aren't|never) (?:in |into |at )?(?:the |a |my |our )?{COOLER}\b|\b{COOLER}\b(?: though)?\W*(?:no,? wait|sorry|oops|i mean(?:t)?)\b"
)


@dataclass(frozen=True, slots=True)
class Way:
    """A stretch of the stems' past and the room behind it. `cold` tells storage from standing; any part may be unsaid."""

    degC: Quantity | None  # noqa: N815
    days: Quantity | None
    cold: bool
    room: Quantity


def way(text: str, warmth: Sequence[Quantity], times: Sequence[Quantity]) -> Way | None:
    """The stretch of the past that a message tells of, and the room after it; None unless it tells of both.

    Args:
        text: the message, normalised.
        warmth: its temperatures, in °C.
        times: its durations, in days.
    """
    cuts = [match.end() for match in _ON.finditer(text)]
    for t in warmth[1:]:  # the first of them is the past's
        if _AFTER_THAT.match(text[t.end :]):
            cuts.append(max(w.end for w in (*warmth, *times) if w.end <= t.start))
    room = next((t for t in warmth if any(cut <= t.start for cut in cuts) and _is_a_room(text, t, cuts)), None)
    if room is None:
        return None
    cut = min(c for c in cuts if c <= room.start and not any(c <= t.start < room.start for t in warmth))
    here = [t for t in warmth if t.end <= cut]
    spans = [t for t in times if t.end <= cut]
    before = text[:cut]
    if not here and not (spans and (_COLD_PLACE.search(before) or _THERE.search(before))):
        return None
    degrees = here[-1] if here else None
    days = _beside(degrees, spans, text) if degrees else spans[-1]
    if degrees is None:
        return Way(None, days, True, room)
    place = bool(_COLD_PLACE.search(before)) and not DENIED.search(text)
    limit = _COLD_HELD if _HELD.search(before) else _COLD
    cold = degrees.high < room.low and (place or degrees.high <= limit)
    if days is None and not (cold and place) and _SINCE.search(before) is None:
        return None
    return Way(degrees, days, cold, room)


def _is_a_room(text: str, t: Quantity, cuts: Sequence[int]) -> bool:
    """Does nothing between the last move and this temperature say that it is the cooler's?"""
    last = max(cut for cut in cuts if cut <= t.start)
    return _COLD_PLACE.search(text[last : t.start]) is None


def _beside(degrees: Quantity, times: Sequence[Quantity], text: str) -> Quantity | None:
    """The time nearest to a temperature, no full stop between them."""

    def apart(time: Quantity) -> str:
        return text[degrees.end : time.start] if time.start >= degrees.end else text[time.end : degrees.start]

    near = [time for time in times if not re.search(r"[.?!]", apart(time)) and len(apart(time)) <= 40]
    return min(near, key=lambda time: len(apart(time)), default=None)
