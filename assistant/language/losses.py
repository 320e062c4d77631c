"""Shares of stems that are lost, as people put them: "5 in 100 are duds", "we lose a fifth", "nothing wasted"."""

from __future__ import annotations

import re

from assistant.language.claims import Claim, Claims, Taken
from assistant.language.question import Reading

_WASTE = (
    r"(?:loss(?:es)?|wast(?:e|age)|shrink(?:age)?|spares?|allowance|duds?|breakages?|safety margin|contingency|overage)"
)
_WASTED = r"(?:lost|wasted|thrown(?: away| out)?|binned|broken|chucked|snapped|spoil(?:ed|t)|damaged|to waste|to the bin|in(?:to)? the (?:bin|compost|skip)|off|bad)"
_LOSING_ANY = r"(?:wast(?:e|age|ing)|loss(?:es)?|los(?:e|ing)|break(?:age|ages|ing)?|going (?:off|over)|dud)"
_NOTHING = re.compile(
    "|".join(
        (
            r"\b(?:no|zero|without(?: any)?|nil|0|not (?:allowing|counting|expecting|adding)(?: for)?(?: any)?|"
            rf"(?:allow|allowing|count|counting|expect|expecting) (?:for )?no) {_WASTE}\b",
            r"\b(?:don'?t|do not|won'?t|not|without|no need to|(?<!don't )(?<!dont )(?<!not )(?:skip|forget|leave out|ignore|drop)) (?:to )?(?:(?:bother|worry)(?:ing)? (?:(?:with|about|to) )?)?"
            r"(?:(?:add|allow|count|reckon|plan|bank|expect|factor|budget|cater|provide|provid)(?:n?ing)?)?(?: on| for| in)? ?"
            r"(?:any(?:thing)? |more |the |a single |an? |to )*(?:extras? |allowance |spares? )?(?:on |in |on top )?(?:for )?(?:the |any )?"
            r"(?:wast(?:e|age)|loss(?:es)?|los(?:e|ing)(?: any| a single(?: one)?| one)?|spares?|duds?|break(?:ages?|ing)?)\b",
            r"\b(?:don'?t|do not) want (?:any|one|a single one)(?: of (?:them|it))? "
            r"(?:going (?:in|to)|ending up|wasted|binned|thrown|in the bin)\b",
            r"\bnothing(?:'s| is) going (?:in the bin|to waste|to be (?:lost|wasted|binned|thrown))\b",
            rf"\b(?:nothing|none(?: of (?:them|it|those|these))?)(?: (?:at all|ever))? (?:getting|being|going|ending up|goes|go|ends up|end up|will go|gets|get|turns out|turn out) {_WASTED}(?! (?:the|in|for|at|before|by|until)\b)",
            r"\b(?:no extras?|without(?: any)?) (?:for )?(?:the |any )?(?:damaged|broken|bad|dud|duds)(?: ones)?\b",
            r"\b(?:needn'?t|need not|mustn'?t|no need to|don'?t (?:have|need) to|shan'?t|not going to) (?:allow|add|count|reckon|include|budget|order)(?: anything| any(?: more)?| extra| more)*(?: for| on)? (?:any |the )?"
            rf"{_WASTE}\b",
            r"\b(?:bank|count|rely|reckon) on (?:every (?:single |last )?(?:one|stem)|(?:them|it) all being (?:good|fine|sound|usable))\b",
            r"\bnothing extra(?=\W*$|[,.;:!?]| (?:please|ordered|on top|thanks|then|so|and)\b)|\bno extra (?:stems|flowers|ones)\b|"
            r"\b(?:no|zero|without(?: any)?) extras(?=\W*$|[,.;:!?]| (?:please|ordered|on top|thanks)\b)",
            r"\b(?:don'?t|do not|won'?t|not|rather not|hate)(?: (?:want|wish|mean|intend|plan|plann?ing|expect|expecting|like|looking|going|to|be))*"
            r" (?:bin|binning|los(?:e|ing)|wast(?:e|ing)|chuck(?:ing)?|throw(?:ing)?(?: (?:away|out))?) "
            r"(?:any|a single (?:one|stem)|a stem|one|anything)(?: (?:of (?:it|them|those|these)|away|out))?(?=\W*$|[,.;!?]| (?:so|and|please|then|what|how)\b)",
            r"\bwon't be any (?:wast(?:e|age)|loss(?:es)?)\b",
            rf"\b(?:no|zero|nil|0|without) (?:extras?|allowance|margin)(?: \w+)? for (?:any )?{_WASTE}\b",
            r"(?<!don't )(?<!dont )(?<!not )\b(?:skip|forget|leave out|ignore) (?:the |any )?(?:wast(?:e|age)|loss(?:es)?|breakages?)\b",
            r"\bno (?:stems?|flowers?|heads?) (?:is|are|gets?|will be|being) (?:lost|wasted|broken|binned|thrown|bad)\b",
            r"\bnothing (?:(?:will|is going to|'s going to|is|gets|to) (?:be |get )?(?:lost|wasted|thrown|binned|broken)|lost|wasted|broken|for (?:loss|waste)|breaks?|snaps?|cracks?|bruises?|spoils?|fails?|gets? [a-z]+)\b",
            r"\bnone (?:of (?:them|it|those|these) )?(?:(?:gets?|are|is|will be|to be|goes|are going to be|are going to get|will get|should be) )?"
            r"(?:lost|wasted|broken|spare|to waste|chucked|thrown|binned|snapped|cracked|spoil(?:ed|t)|in the bin)\b",
            r"\b(?:bin|bins|lose|loses|waste|chuck|throw|break) (?:nothing|none|nowt)\b",
            r"\b(?:never|not going to|won'?t|(?:do not|don'?t|didn'?t) (?:ever )?) ?(?:lose|break|waste|bin) (?:any|a single one|a one|one|a stem|a thing)\b"
            r"(?! (?:more|in|out|of every)\b)",
            r"\bassum\w+ no(?:ne| loss|thing)\b",
            r"\bevery (?:last |single )?(?:stem|one|flower|head)(?: of (?:them|those|these))?(?:'s)? (?:is |will be |comes |to be |being |as |turns out )?(?:an? )?(?:perfect|good|fine|usable|sound)\b",
            r"\brefus(?:e|ing) to (?:lose|waste|bin|throw|chuck)\b(?! (?:more|the (?:first|leaves|buds)))",
            rf"\b(?:not|don'?t|do not|won'?t)(?: be)? (?:count|bank|reckon|plan|expect|budget|allow)(?:n?ing)?(?: on| for)? (?:any|a single one|one|some)(?: of (?:them|it|those))? (?:to be |being |going |getting |to go |ending up |to get )?{_WASTED}",
            r"\blos(?:e|ing) (?:none|nothing|not one|no stems)\b",
            r"\ball (?:of them )?(?:good|perfect|usable)\b",
        )
    )
)
# "15 in a hundred turn up useless", "one stem in twenty is lost", "eight in ten are any good".
_OF = re.compile(
    r"\b(\d+)(?: stems?| flowers?)? (?:in|out of|of) (?:a |an |each |every |the )?(?:hundred|(\d+))\b(?P<rest>[^.?!]{0,60})"
)
# "Call it 1 in 20", with nothing said of what becomes of it: a loss said again.
_AGAIN = re.compile(
    r"\b(?:call it|make it|make that|more like|nearer|say|(?:breakages?|loss(?:es)?|wast(?:e|age))(?: is| to| at| as|'s)?) (\d+|one) in (?:every )?(\d+)(?=\W*$|[,.;])"
)
# "I only trust nine out of ten of this grower's stems": the rest is lost.
_TRUSTED = re.compile(
    r"\b(?:trust|rely on|count on|bank on|can use) (?:only |about |just )?(\d+) (?:in|out of) (?:every )?(\d+) (?:of|stems?|heads?|flowers?)\b"
)
_LOSE = r"\b(?:los(?:e|es|ing)|writ(?:e|es|ing) off|bin(?:s|ning)?|chuck(?:s|ing)?|throw(?:s|ing)?(?: out| away)?|wast(?:e|es|ing)) (?:about |around |roughly |nearly )?"
_LOSING = re.compile(
    rf"(?<!never )(?<!hardly ){_LOSE}(\d+|one)(?: (?!in\b|out\b|to\b|on\b|at\b)[a-z]+)? (?:in|out of) (?:every |each )?(\d+)\b(?! (?:days?|weeks?|hours?|minutes?)\b)"
)
_PARTS = {"twentieth": 5.0, "tenth": 10.0, "fifth": 20.0, "quarter": 25.0, "third": 100 / 3}
_PART = rf"(?:a|1|one) (?P<part>{'|'.join(_PARTS)})"
_LOSING_PART = re.compile(rf"{_LOSE}{_PART}\b")
# "Bunch of 25, half rubbish."
_HALF_LOST = re.compile(
    r"\b(?<!other )half (?:of (?:it|them|those|these|the (?:bunch|box|lot)) )?(?:(?:is|are|was|were|will be|turn(?:s|ed)? (?:up|out)|comes?|goes|gets?|end up) )?(?:rubbish|useless|duds?|duff|bad|no good|binned|in the bin|broken|wasted|lost|snapped|unusable|chucked)\b"
)
# "We bin every eighth nigella."
_EVERY = {
    "third": 3,
    "fourth": 4,
    "fifth": 5,
    "sixth": 6,
    "seventh": 7,
    "eighth": 8,
    "ninth": 9,
    "tenth": 10,
    "twelfth": 12,
    "twentieth": 20,
}
_LOSING_EVERY = re.compile(rf"{_LOSE}(?:one in )?every (?P<every>{'|'.join(_EVERY)})\b")
# "Every fifth one gets squashed"; "he now says every tenth", which says a loss again.
_EVERY_LOST = re.compile(
    rf"\bevery (?P<every>{'|'.join(_EVERY)}) (?!day\b|week\b|month\b|year\b|table\b|vase\b|visit\b)(?:[a-z]+ )?[^.?!,]{{0,24}}?\b(?:lost|binned|bin|bad|useless|dies|dead|wast\w*|"
    r"chucked|thrown|dud|duff|fails|spoil\w*|bent|torn|crushed|squashed|brown|bruis\w*|damaged|broken|breaks|snap(?:s|ped)|crack(?:s|ed)|shatter\w*)\b"
)
_EVERY_AGAIN = re.compile(
    rf"^[^.?!,]{{0,24}}\b(?:says?|reckons?|it's|make it|make that|call it|more like|nearer) every (?P<every>{'|'.join(_EVERY)})(?: one| stem)?\W*$"
)
_LOST_PART = re.compile(
    rf"\b{_PART}\b[^.?!]{{0,20}}\b(?:lost|lose|binned|bin|bad|useless|die|dead|waste\w*|chucked|duds?|duff|fail|goes|go|spoil\w*|bent|torn|crushed|squashed|"
    r"brown|bruised|damaged|broken|break(?:s|ing|age)?|crumbl\w*|crack\w*|snap(?:s|ped)?|shatter\w*)\b"
)
_BAD = re.compile(
    r"\b(?:useless|lost|bad|binned|duds?|duff|disappoint\w*|fail\w*|die|dead|broken|waste\w*|no good|rubbish|spoil\w*|"
    r"crushed|squashed|bent|torn|brown|bruised?|damaged|shatter\w*|"
    r"snapped|snaps?|cracked|cracks?|chucked|thrown|unusable|fails?|goes|go)\b"
)
_GOOD = re.compile(r"\b(?:good|fine|usable|sound|survive|ok|okay|make it)\b")

_NOT_GOOD = re.compile(
    rf"\b(?:won't|wont|don't|dont|doesn't|isn't|aren't|will not|not|never) (?:be |get |come )?{_GOOD.pattern}"
)


def losses(text: str, taken: Taken) -> Claims:
    """The loss rate of a message. [%]"""
    losing = _LOSING.search(text)
    if losing and not taken(losing.start(1), losing.end(2)):
        bad, of_so_many = float(losing[1].replace("one", "1")), float(losing[2])
        if bad <= of_so_many:
            yield _rate(100 * bad / of_so_many, losing[0], (losing.start(1), losing.end(2)))
    trusted = _TRUSTED.search(text)
    if trusted and not taken(*trusted.span()) and 0 < float(trusted[1]) < float(trusted[2]):
        yield _rate(100 - 100 * float(trusted[1]) / float(trusted[2]), trusted[0], trusted.span())
    of = _OF.search(text)
    if of and not taken(of.start(), of.end(1)):
        yield from _share_of(of)
    again = _AGAIN.search(text)
    if again and not taken(again.start(1), again.end(2)):
        bad, of_so_many = float(again[1].replace("one", "1")), float(again[2])
        if 0 < bad < of_so_many:
            yield _rate(100 * bad / of_so_many, again[0], (again.start(1), again.end(2)))
    part = _LOSING_PART.search(text) or _LOST_PART.search(text)
    if part:
        yield _rate(_PARTS[part["part"]], part[0], None)
    half = _HALF_LOST.search(text)
    if half:
        yield _rate(50.0, half[0], half.span())
    every = _LOSING_EVERY.search(text) or _EVERY_LOST.search(text) or _EVERY_AGAIN.search(text)
    if every:
        yield _rate(100 / _EVERY[every["every"]], every[0], None)
    nothing = _NOTHING.search(text)
    if nothing:
        yield _rate(0.0, nothing[0], (nothing.start(), nothing.end()))


def _share_of(match: re.Match[str]) -> Claims:
    """ "N in M": lost where it says so, else what is not good."""
    of = float(match[2] or 100)
    share = 100 * float(match[1]) / of if of else 0.0
    span = (match.start(), match.start("rest"))
    rest = match["rest"]
    lost = (_BAD.search(rest) and not re.search(r"\bany good\b", rest)) or _NOT_GOOD.search(rest)
    if share <= 100 and lost:
        yield _rate(share, match[0], span)
    elif share <= 100 and _GOOD.search(match["rest"]):
        yield _rate(100 - share, match[0], span)


def _rate(share: float, said: str, span: tuple[int, int] | None) -> Claim:
    return Claim("loss_rate", Reading(share, "%", share, share, said), span)
