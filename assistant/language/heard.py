"""What dictation and hurry make of small words: the same sound in another spelling ("how mulch", "bunch's"), or two
that changed places ("much how").

Each row holds only where the words around it leave no other meaning; a name heard as an everyday word ("stalk") is not
put right here, as that would turn one material into another in silence.
"""

from __future__ import annotations

import re

_ASKED = r"(?:i|we|you|they|it|he|she|that|this|these|those|a|an|the|some|one)"
_COUNTED = r"(?:\d+|\w+(?:teen|ty)|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|dozen|hundred|many|few)"
_ROWS: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"\b(?P<a>how|so|too|as|not|very|that|don't|dont|isn't|pretty) mulch\b"), r"\g<a> much"),
    (re.compile(r"\bmulch (?=(?:longer|shorter|more|less|better|worse|water|food|bleach|use|time)\b)"), "much "),
    (re.compile(rf"^(?P<a>\W*)wood (?={_ASKED}\b)"), r"\g<a>would "),
    (re.compile(r"\bwood (?=(?:that|it|they|this|these|those|he|she|you|i|we)(?: (?:one|lot))? (?:be|do|last|work|go|hold|make|need|have|want)\b)"), "would "),
    (re.compile(r"\b(?P<a>in|of|at|from|for|to|on|with|into|round) are (?=(?:[a-z]+ )?(?:room|shop|hall|cooler|fridge|workroom|place|office|house|window|tables?|kitchen|lobby|church|buckets?|vases?|marquee)\b)"), r"\g<a> our "),
    (re.compile(rf"\b(?P<a>how long|how many|what|when|which) wood (?={_ASKED}\b)"), r"\g<a> would "),
    (re.compile(r"\bknead\b(?! the (?:dough|bread))"), "need"),
    (re.compile(r"(?:(?<=^)|(?<=\band )|(?<=\bor )|(?<=\bso )|(?<=\bthen ))witch\b(?! hazel)"), "which"),
    (re.compile(r"\bwitch (?=(?:ones?|months?|is|are|of|do|does|flowers?|greens?|way|days?|will|would|can|lasts?)\b)"), "which "),
    (re.compile(r"\b(?P<a>a|per|one|next|this|each|every|\d+|two|three|four) weak\b(?! (?:stem|neck|solution|mix|acid|light))"), r"\g<a> week"),
    (re.compile(r"\b(?P<a>(?:for|all|in|by|within|over|during|of) the) weak\b(?! (?:ones?|stems?|necks?|solution|mix|acid|light|side|heads?))"), r"\g<a> week"),
    (re.compile(r"\b(?P<a>how much (?:does|do|will|would) \w+(?: \w+){0,3}|what (?:does|do|will|would) \w+(?: \w+){0,4}) way\b(?=\W*$| (?:when|once|full|filled|roughly|about|then))"), r"\g<a> weigh"),
    (re.compile(r"\blilly\b"), "lily"),
    (re.compile(r"\blill(?:ie|y)s\b"), "lilies"),
    (re.compile(r"\b(?P<a>a|one|1|the) (?P<b>fortnight|week|month)s (?=(?:display|show|run|exhibition|event|piece|contract|job|hire|install\w*)\b)"), r"\g<a> \g<b> "),
    (re.compile(r"\bleafs\b"), "leaves"),
    (re.compile(r"\bflours\b"), "flowers"),
    (re.compile(r"\bflour(?= (?:food|feed|heads?|stems?|foam|water|shop|shapes?|will|won't|last))"), "flower"),
    (re.compile(r"^(?P<a>\W*)wear (?=(?:do|does|did|can|should|is|are)\b)"), r"\g<a>where "),
    (re.compile(r"\b(?P<a>(?:stems?|bunch(?:es)?|heads?) of) stalk\b"), r"\g<a> stock"),
    (re.compile(r"\b(?P<a>(?:ask(?:s|ed|ing)?|wonder(?:s|ed|ing)?|know|say|see|check|tell|told)(?: (?:me|us|him|her|them))?) weather (?!(?:will|in|on|for|at|of|like|is)\b)"), r"\g<a> whether "),
    (re.compile(r"\bweather (?=(?:i|we|they|it|to|the \w+ (?:will|are|is|can)|these|those)\b)"), "whether "),
    (re.compile(r"\bthrew (?=(?:a|the|to|till|until|monday|tuesday|wednesday|thursday|friday|saturday|sunday)\b)"), "through "),
    # Two small words that changed places.
    (re.compile(r"\b(?P<a>much|many|long|often|deep|old) how\b"), r"how \g<a>"),
    (re.compile(r"^(?P<a>\W*)(?P<b>is|are|do|does) (?P<c>what|why|which|when|how long)\b"), r"\g<a>\g<c> \g<b>"),
    # A plural written as a possession: so many of them, or nothing of theirs follows.
    (re.compile(rf"\b(?P<a>{_COUNTED}|in|of) bunch's\b"), r"\g<a> bunches"),
    (re.compile(rf"\b(?P<a>{_COUNTED}) (?P<b>stem|head|vase|table|bucket)'s\b"), r"\g<a> \g<b>s"),
    (re.compile(r"\b(?P<a>stem|bloom|flower|day|week|litre|liter|gallon|vase|piece|leave|rose|tulip|bucket|bouquet)'s(?= (?:of|in|at|for|from|and|or|with|on|to|per|each|each|last|will|do|are|need|\d)\b|\W*$)"), r"\g<a>s"),
    (re.compile(r"\b(?P<a>bunch|branch|box)'s(?= (?:of|in|at|for|from|and|or|with|on|to|per|each|do|are|will|\d)\b|\W*$)"), r"\g<a>es"),
    (re.compile(r"\b(?P<a>(?!(?:no|any|some|every)bod)\w{2,}[^\Waeiou_\d])y's(?= (?:of|in|at|for|from|and|or|with|on|to|last|will|do|are|need)\b|\W*$)"), r"\g<a>ies"),
)  # fmt: skip


def as_meant(text: str) -> str:
    """Normalised text with what was heard wrongly spelled as it was meant."""
    for pattern, meant in _ROWS:
        text = pattern.sub(meant, text)
    return text
