"""Shares of stems that are lost, as people put them: "5 in 100 are duds", "we lose a fifth", "nothing wasted"."""

from __future__ import annotations

import re

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Reading

_WASTE = r"(?:loss(?:es)?|wast(?:e|age)|shrink(?:age)?|spares?|allowance|duds?|breakages?)"
_LOSING_ANY = r"(?:wast(?:e|age|ing)|loss(?:es)?|los(?:e|ing)|break(?:age|ages|ing)?|going (?:off|over)|dud)"
_NOTHING = re.compile(
    "|".join(
        (
            r"\b(?:no|zero|without(?: any)?|nil|0|not (?:allowing|counting|expecting|adding)(?: for)?(?: any)?|"
            rf"(?:allow|allowing|count|counting|expect|expecting) (?:for )?no) {_WASTE}\b",
            r"\b(?:don't|do not|won't|not|without|no need to|skip|forget|leave out|ignore|drop) "
            r"(?:(?:add|allow|count|reckon|plan|bank|expect|factor)(?:ing)?)?(?: on| for| in)? ?"
            r"(?:any(?:thing)? |the |a single |an? |to )*(?:extras? |allowance |spares? )?(?:for )?(?:the |any )?"
            r"(?:wast(?:e|age)|loss(?:es)?|los(?:e|ing)(?: any| a single(?: one)?| one)?|spares?|break(?:ages?|ing)?)\b",
            r"\b(?:don't|do not) want (?:any|one|a single one)(?: of (?:them|it))? "
            r"(?:going (?:in|to)|ending up|wasted|binned|thrown|in the bin)\b",
            r"\bwon't be any (?:wast(?:e|age)|loss(?:es)?)\b",
            r"\bno (?:extras?|allowance|margin)(?: \w+)? for (?:wast(?:e|age)|loss(?:es)?|breakages?)\b",
            r"\b(?:skip|forget|leave out|ignore) (?:the |any )?(?:wast(?:e|age)|loss(?:es)?|breakages?)\b",
            r"\bno (?:stems?|flowers?|heads?) (?:is|are|gets?|will be|being) (?:lost|wasted|broken|binned|thrown|bad)\b",
            r"\bnothing (?:lost|wasted|for (?:loss|waste)|breaks?|gets? [a-z]+)\b",
            r"\bnone (?:of (?:them|it) )?(?:(?:gets?|are|is|will be|to be|goes) )?"
            r"(?:lost|wasted|broken|spare|to waste|chucked|thrown|binned|snapped|cracked|spoil(?:ed|t)|in the bin)\b",
            r"\b(?:bin|bins|lose|loses|waste|chuck|throw|break) (?:nothing|none|nowt)\b",
            r"\bassum\w+ no(?:ne| loss|thing)\b",
            r"\bevery (?:stem|one|flower) (?:is |will be |comes )?(?:perfect|good|fine|usable)\b",
            r"\brefuse to lose\b",
            r"\blos(?:e|ing) (?:none|nothing|not one|no stems)\b",
            r"\ball (?:of them )?(?:good|perfect|usable)\b",
        )
    )
)
# "15 in a hundred turn up useless", "one stem in twenty is lost", "eight in ten are any good".
_OF = re.compile(
    r"\b(\d+)(?: stems?| flowers?)? (?:in|out of|of) (?:a |an |each |every )?(?:hundred|(\d+))\b(?P<rest>[^.?!]{0,40})"
)
# "Call it 1 in 20", with nothing said of what becomes of it: a loss said again.
_AGAIN = re.compile(r"\b(?:call it|make it|make that|more like|nearer|say) (\d+) in (?:every )?(\d+)(?=\W*$)")
_LOSE = r"\b(?:los(?:e|es|ing)|bin(?:s|ning)?|chuck(?:s|ing)?|throw(?:s|ing)?(?: out| away)?|wast(?:e|es|ing)) (?:about |around |roughly |nearly )?"
_LOSING = re.compile(rf"{_LOSE}(\d+)(?: stems?| flowers?)? (?:in|out of) (?:every )?(\d+)\b")
_PARTS = {"twentieth": 5.0, "tenth": 10.0, "fifth": 20.0, "quarter": 25.0, "third": 100 / 3}
_PART = rf"(?:a|1|one) (?P<part>{'|'.join(_PARTS)})"
_LOSING_PART = re.compile(rf"{_LOSE}{_PART}\b")
_LOST_PART = re.compile(
    rf"\b{_PART}\b[^.?!]{{0,20}}\b(?:lost|lose|binned|bin|bad|useless|die|dead|waste\w*|chucked|dud|fail|goes|go|spoil\w*)\b"
)
_BAD = re.compile(
    r"\b(?:useless|lost|bad|binned|duds?|disappoint\w*|fail\w*|die|dead|broken|waste\w*|no good|rubbish|spoil\w*|"
    r"snapped|snaps?|cracked|cracks?|chucked|thrown|unusable|fails?|goes|go)\b"
)
_GOOD = re.compile(r"\b(?:good|fine|usable|sound|survive|ok|okay|make it)\b")


def losses(text: str, taken: Taken) -> Claims:
    """The loss rate of a message. [%]"""
    losing = _LOSING.search(text)
    if losing and not taken(losing.start(1), losing.end(2)) and float(losing[1]) <= float(losing[2]):
        yield _rate(100 * float(losing[1]) / float(losing[2]), losing[0], (losing.start(1), losing.end(2)))
    of = _OF.search(text)
    if of and not taken(of.start(), of.end(1)):
        yield from _share_of(of)
    again = _AGAIN.search(text)
    if again and not taken(again.start(1), again.end(2)) and 0 < float(again[1]) < float(again[2]):
        yield _rate(100 * float(again[1]) / float(again[2]), again[0], (again.start(1), again.end(2)))
    part = _LOSING_PART.search(text) or _LOST_PART.search(text)
    if part:
        yield _rate(_PARTS[part["part"]], part[0], None)
    nothing = _NOTHING.search(text)
    if nothing:
        yield _rate(0.0, nothing[0], (nothing.start(), nothing.end()))


def _share_of(match: re.Match[str]) -> Claims:
    """ "N in M": lost where it says so, else what is not good."""
    of = float(match[2] or 100)
    share = 100 * float(match[1]) / of if of else 0.0
    span = (match.start(), match.start("rest"))
    if share <= 100 and _BAD.search(match["rest"]) and not re.search(r"\bany good\b", match["rest"]):
        yield _rate(share, match[0], span)
    elif share <= 100 and _GOOD.search(match["rest"]):
        yield _rate(100 - share, match[0], span)


def _rate(share: float, said: str, span: tuple[int, int] | None) -> Claim:
    return Claim("loss_rate", Reading(share, "%", share, share, said), span)
