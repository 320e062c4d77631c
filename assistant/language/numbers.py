"""Number words to digits, with the trade's dozens and everyday halves.

text2num reads each run of number words ("one hundred and forty"); what it leaves alone (dozens, halves,
couples) is added here. A lone "one" stays a word unless it counts something: "the first one" is no quantity.
"""

from __future__ import annotations

import re

from text_to_num import text2num

_UNITS = "one|two|three|four|five|six|seven|eight|nine"
_TEENS = "ten|eleven|twelve|thirteen|fourteen|fifteen|sixteen|seventeen|eighteen|nineteen"
_TENS = "twenty|thirty|forty|fourty|fifty|sixty|seventy|eighty|ninety"
_BIG = "hundred|thousand"
_WORD = f"(?:{_UNITS}|{_TEENS}|{_TENS}|{_BIG}|zero)"
_RUN = re.compile(
    rf"\b(?:an? (?=(?:{_BIG})\b))?{_WORD}(?:(?:[ -]|(?<=hundred)(?: and | )|(?<=thousand)(?: and | )){_WORD})*\b"
)
_COUNTED = (
    r"(?: (?:and a half|dozen|bunch|bunches|stems?|days?|weeks?|hours?|months?|bricks?|blocks?|boxe?s?|buckets?|vases?|"
    r"pieces?|arrangements?|lit(?:re|er)s?|(?:us |uk |imperial )?(?:gallons?|pints?|quarts?)|cups?|teaspoons?|tablespoons?|inch(?:es)?|f(?:oo|ee)t|"
    r"met(?:re|er)s?|percent|per cent|degrees?|pounds?|dollars?|euros?|quid|parts?|tables?|pieces?|to|or|in|"
    r"(?:heads?|sprigs?|blooms?|flowers?|leaf|pods?|sprays?) (?:each|apiece|per|in each|on each))\b)"
)
_THAT_ONE = re.compile(r"\ba (?:[a-z]+er|big|small|bigger|smaller|new|different) $")
_ORDINAL_BEFORE = re.compile(r"(?:first|second|third|last|that|this|which|other|another|any|each|every|the|no|some) $")


# Decimals are said digit by digit: "zero point zero five".
_POINT = re.compile(rf"(?<=\bpoint )(?:(?:oh|nought|zero|{_UNITS})\b ?)+")


def _decimals(match: re.Match[str]) -> str:
    """The digits after the point, with the space that stood behind them."""
    digits = "".join("0" if word in ("oh", "nought") else str(text2num(word, "en")) for word in match[0].split())
    return digits + (" " if match[0].endswith(" ") else "")


def words_to_digits(text: str) -> str:
    """`"a dozen and a half"` as `"18"`; `"two and a half gallons"` as `"2.5 gallons"`. Expects lower case."""
    text = re.sub(
        r"\ba (?=(?:foot|metre|meter) (?:of|long|wide|tall|high|deep|across)\b)|(?<=\bfilled to )a (?=foot\b)|(?<=\bup to )a (?=foot\b)",
        "1 ",
        text,
    )
    text = re.sub(r"(?<=[a-z] )x(?=\d{1,4}\b)", "x ", text)  # "anemones x75"
    text = re.sub(r"(?<!an )(?<!one )(?<!\d )\binch and a half\b", "1.5 inch", text)
    text = _HALF_OF_MANY.sub(lambda m: str(_MANY[m[1]] // 2), text)
    text = _DIGIT_HUNDREDS.sub(lambda m: str(int(m[1]) * (100 if m[2] == "hundred" else 1000)), text)
    text = _POINT.sub(_decimals, text)
    text = _RUN.sub(lambda match: _run(match, text), text)
    text = re.sub(r"\b(\d+|one) point (?=\d)", lambda m: ("1" if m[1] == "one" else m[1]) + ".", text)
    text = _ORDINAL_DAY.sub(lambda m: _ordinal(m[1] or m[2] or m[3]), text)
    text = _TIMES.sub(lambda m: str(int(m[1]) * int(m[2])), text)
    text = _SPOKEN_PRICE.sub(r"\1.\2", text)
    if _BILL.search(text):
        text = _SPOKEN_AT.sub(r"\1.\2", text)
    text = _DOUBLE_THAT.sub(_as_many_times, text)
    if not _MONEY.search(text):
        text = _HUNDREDS.sub(lambda m: str(int(m[1]) * 100 + int(m[2])), text)
    return _each(_halves(_dozens(text)))


_ORDINALS = {
    word: number
    for number, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth "
        "sixteenth seventeenth eighteenth nineteenth twentieth".split(),
        1,
    )
} | {"thirtieth": 30}
_MONTH = "january|february|march|april|may|june|july|august|september|october|november|december"
_ORDINAL = rf"(?:(?:20|30)[ -])?(?:{'|'.join(_ORDINALS)})"
# A day of the month in words, with its month beside it.
_ORDINAL_DAY = re.compile(
    rf"\b({_ORDINAL})\b(?=(?: of)? (?:{_MONTH})\b)|(?:(?<=(?:ember ))|(?<=uary )|(?<=march )|(?<=april )|(?<=june )|(?<=july )|(?<=august )|(?<=october ))({_ORDINAL})\b|"
    rf"(?<=\bthe )(?!first\b|second\b|third\b)({_ORDINAL})\b(?=\W*$|[,.?!;]| (?:and|at|in|to|for|what|how|when|if|will)\b)"
)


def _ordinal(words: str) -> str:
    tens, _, last = words.replace("-", " ").rpartition(" ")
    day = int(tens or 0) + _ORDINALS[last]
    return f"{day}{'th' if 10 < day < 14 else {1: 'st', 2: 'nd', 3: 'rd'}.get(day % 10, 'th')}"


# "5 hundred stems" is one number, not five and a hundred.
_DIGIT_HUNDREDS = re.compile(r"(?<![\d.])(\d{1,3}) (hundred|thousand)\b")
# "Half a thousand" is one number too.
_MANY = {"hundred": 100, "thousand": 1000, "gross": 144}
_HALF_OF_MANY = re.compile(rf"\bhalf an? ({'|'.join(_MANY)})\b")
# "One fifty" at the end of what is wanted is a hundred and fifty, where no money is spoken of.
_HUNDREDS = re.compile(
    r"(?:(?<=\bto )|(?<=\bneed )|(?<=\bwant )|(?<=\border )|(?<=\bmake it )|(?<=\bmake that )|(?<=\bscratch that, )|(?<=\bscrap that, ))"
    r"([1-9]) ([2-9]0)(?=\W*$| (?!cm|mm|l\b|lit|in\b|inch|day|week|hour|min|p\b|pence|gram|g\b|met|foot|ft|or\b|to\b)[a-z])"
)
# "Twelve times twelve roses".
_TIMES = re.compile(
    r"\b(\d{1,3}) times (\d{1,3})(?= (?!days?|weeks?|hours?|that|the|it|cost|per|an?\b|as\b|more|or\b|and\b)[a-z])"
)
# "One fifty a stem" is a price with its pence.
_SPOKEN_PRICE = re.compile(
    r"(?<![\d.] )(?<![\d.])\b([1-9]\d?) ([1-9]\d)(?= (?:a|per|each|for a|the) (?:stem|bunch|head|bloom|wrap|spray|box|go|pop)\b)"
)
# "Went through at seven fifty and two of brunia at eleven": where money is asked about, no time of day.
_SPOKEN_AT = re.compile(
    r"(?<!party at )(?<!doors at )(?<!wedding at )(?<!ceremony at )(?<!service at )(?<!starts at )(?<!opens at )(?<!here at )"
    r"(?<=\bat )([1-9]\d?) ([2-9][05])(?=\W*$|[,;?!]|\.(?!\d)| (?:and|each|apiece|with|plus)\b)(?! (?:for|on) )"
)
_BILL = re.compile(
    r"\b(?:come to|comes to|total|add (?:it|them|that) up|bill|owe|charge[sd]?|bought|spen[dt]|invoice|cost(?:s|ing)?|price[sd]?|pay|paid|mark[ -]?up)\b"
)
_MONEY = re.compile(
    r"[£$€]|\b(?:price\w*|costs?|quid|pounds?|dollars?|euros?|pay|paid|a stem|a bunch|per stem|per bunch|each)\b"
)

# "Last time was 35, want double that": so many stems now.
_TIMES_OLD = {"half": 0.5, "double": 2.0, "twice": 2.0, "treble": 3.0, "triple": 3.0, "3 times": 3.0}
_DOUBLE_THAT = re.compile(
    r"(?P<before>\b(?:last (?:time|year|week|month|order)|before|previously|ordered|we had|i had)\b[^.?!\d]{0,24})(?P<old>\d{1,4})\b(?! ?(?:°|deg|c\b|f\b|%|cm|days?|weeks?|hours?|bunch))"
    r"(?P<between>[^.?!\d]{0,30}?\b(?:want|need|order|make it|get|it's|take) )(?P<times>half|double|twice|treble|triple|3 times) (?:that|it|as many|the number)\b"
)


def _as_many_times(match: re.Match[str]) -> str:
    number = float(match["old"]) * _TIMES_OLD[match["times"]]
    return f"{match['before']}some{match['between']}{_number(number)} stems"


_EACH = re.compile(
    r"(?P<price>\b(?:at|is|are|it's|its|costs?|pay|paid) [£$€]?(?!1 )\d+(?:\.\d+)?|(?<![\w.])[£$€]?\d+\.\d{1,2}) "
    r"(?=(?:bunch|stem|piece|table|head)(?:$|[,.?!;]| (?:of|and|what|how|with|but|no|do|so|for|then)\b))"
)
_EACH_AFTER_STEMS = re.compile(r"(?<=, )(?P<price>(?!1 )\d+) (?=bunch(?:$|[,.?!;]))")


def _each(text: str) -> str:
    """`"at 1.20 stem"` as `"at 1.20 a stem"`: after a price, or a number that is not one, a single thing is "each"."""
    text = _EACH.sub(r"\g<price> a ", text)
    return _EACH_AFTER_STEMS.sub(r"\g<price> a ", text) if re.search(r"\d stems\b", text) else text


def _run(match: re.Match[str], text: str) -> str:
    words = match[0]
    if words == "one":
        before, after = text[: match.start()], text[match.end() :]
        picked = re.search(r"\b(?:the|this|that) [a-z]+ $", before) and re.match(
            r" (?:in|or|to)\b", after
        )  # "the fresh one in a vase"
        picked = picked or (re.search(r"\bthe (?:[a-z-]+ ){2,3}$", before) and re.match(r" in the same\b", after))
        if picked or _ORDINAL_BEFORE.search(before) or not re.match(_COUNTED, after):
            return words
        return "1"
    prepared = re.sub(r"^an? ", "one ", words).replace("fourty", "forty")
    if re.match(r"one[ -](?!hundred|thousand)", prepared) and _THAT_ONE.search(text[: match.start()]):
        return "one " + _digits(prepared[4:])  # "a fatter one, twenty across" counts nothing
    return _digits(prepared)


def _digits(words: str) -> str:
    """A run of number words as one number; numbers side by side ("two three days", "six seventy-five") each by itself."""
    parts = [word for word in re.split(r"[ -]", words) if word]
    try:
        return str(text2num(" ".join(parts), "en"))
    except ValueError:
        pass
    out: list[str] = []
    while parts:
        longest = next((n for n in range(len(parts), 1, -1) if _is_number(parts[:n])), 1)
        if longest > 1 or parts[0] != "and":
            out.append(_single(" ".join(parts[:longest])))
        parts = parts[longest:]
    return " ".join(out)


def _is_number(words: list[str]) -> bool:
    try:
        text2num(" ".join(words), "en")
    except ValueError:
        return False
    return words[0] != "and"


def _single(word: str) -> str:
    try:
        return str(text2num(word, "en"))
    except ValueError:
        return word


def _number(value: float) -> str:
    return f"{value:g}" if abs(value) < 1e6 else str(int(value))


# "£9 a dozen": so much for twelve.
_PRICED_DOZEN = re.compile(
    r"([£$€] ?\d+(?:\.\d+)?|\d+(?:\.\d+)? ?(?:quid|pounds?|p|dollars?|bucks|euros?|pence|cents?)|(?<![\d.])\d+\.\d{2}) "
    r"(?:for )?(?:a|per|the) dozen\b"
)


# "9.20 a ten for the yarrow": so much for ten.
_A_TEN = re.compile(r"(?<=\d\.\d\d) (?:a|per) (5|10|12|20|25|50|100)(?=\W*$|[,;?!]| (?:for|of|and|on|so)\b)")
# "What's the bill at 34 a dozen".
_AT_A_DOZEN = re.compile(r"(?<=\bat )(\d+(?:\.\d+)?) (?:a|per|the) dozen\b")
# "Two dozen and four gloriosa" are twenty-eight of one thing.
_DOZENS_AND = re.compile(
    r"\b(?:(\d{1,2})|an?) dozen and (\d{1,2})(?= (?!of\b|in\b|for\b|half\b|to\b|more\b|bunch)[a-z])"
)


def _dozens(text: str) -> str:
    text = _PRICED_DOZEN.sub(r"\1 for 12", text)
    text = _A_TEN.sub(r" a bunch of \1", text)
    text = _AT_A_DOZEN.sub(r"\1 a bunch of 12", text)
    text = re.sub(
        r"\b(?:a |the )?(?:pair|couple)(?= of (?:them|those|these)\b)|\ba (?:pair|couple)(?=\W*$|[,.;])", "2", text
    )
    text = re.sub(
        r"\b(?:a )?dozen dozen\b|\b(?:a|1|one) gross\b(?: of(?= (?!them|those|these|it|the)[a-z]))?(?! (?:margin|profit|price|total))",
        "144",
        text,
    )
    text = re.sub(r"\b(?:a|1) score(?: of)?\b|(?<!\d )\bscore of(?= (?!the|a|an|my|that|this)[a-z])", "20", text)
    text = re.sub(r"\b(\d+) score(?: of)?\b", lambda m: str(int(m[1]) * 20), text)
    text = re.sub(r"^(\W*)gross of\b", r"\g<1>144", text)
    text = _DOZENS_AND.sub(lambda m: str((int(m[1]) if m[1] else 1) * 12 + int(m[2])), text)
    text = re.sub(r"\bhalf (?:a |of a )?dozen\b|\ba half(?: a)? dozen\b", "6", text)
    text = re.sub(
        r"\b(?:(?:(\d+(?:\.\d+)?)|an?) )?dozen(?: and (?:(?:a|1) )?half| & a half)\b(?! (?:a|the|of)\b)",
        lambda m: _number((float(m[1]) if m[1] else 1) * 12 + 6), text,
    )  # fmt: skip
    text = re.sub(
        r"\b(?:(\d+(?:\.\d+)?)(?: and a half)?|a couple(?: of)?|an?) dozens?\b",
        lambda m: (
            _number(float(m[1]) * 12 + (6 if "and a half" in m[0] else 0))
            if m[1]
            else ("24" if "couple" in m[0] else "12")
        ),
        text,
    )
    text = re.sub(r"\ba (trio|threesome|quartet|foursome) of\b", lambda m: "3" if m[1].startswith("t") else "4", text)
    text = re.sub(r"\bdozen\b(?= \w)", "12", text)
    return re.sub(r"\b(?:a )?(?:couple|pair)(?: of)?\b(?= (?!and\b)\w)", "2", text)


_MEASURES = (
    r"(?:days?|weeks?|hours?|months?|(?:us |uk |imperial )?gallons?|lit(?:re|er)s?|pints?|quarts?|cups?|inch(?:es)?|f(?:oo|ee)t|met(?:re|er)s?|"
    r"teaspoons?|tablespoons?|bunch(?:es)?|bricks?|blocks?|kilos?|pounds?|buckets?|degrees?)"
)


# "Three and half in there", not "30 roses and half the tulips", "ten and half as many".
_OF_ITSELF = rf"(?! (?:the|of|a|an|as|that|those|this|these|my|our|to|them|it|price|full|dozen|size|open|past|(?!{_MEASURES}\b|stems\b)[a-z]+s\b)|-)"


def _halves(text: str) -> str:
    text = re.sub(r"\b(\d+) (?:and|&) (?:a|1|one) half\b", lambda m: m[1] + ".5", text)
    text = re.sub(rf"\b(\d+) (?:a )?(?:and|&) half\b{_OF_ITSELF}", r"\1.5", text)
    text = re.sub(r"\b(\d+) (?:and|&) (?:a|1|one) quarter\b", lambda m: m[1] + ".25", text)
    text = re.sub(rf"\b(\d+) (?:a )?(?:and|&) quarter\b{_OF_ITSELF}", r"\1.25", text)
    text = re.sub(r"\b(\d+) (?:and|&)? ?(\d)/(\d)\b", lambda m: _mixed(int(m[1]), m[2], m[3]), text)
    text = re.sub(r"\b(?:an?|1|one) bunch and (?:a|one) half\b", "1.5 bunches", text)
    text = re.sub(rf"\b(?:an?|1|one) ({_MEASURES}) and (?:a|one) half\b", r"1.5 \1", text)
    text = re.sub(
        rf"\bhalf (?:of )?(?:an?|1) ({_MEASURES})\b|\b(?:a )?half[ -]({_MEASURES})\b",
        lambda m: f"0.5 {m[1] or m[2]}",
        text,
    )
    text = re.sub(rf"\b(?:3 |three )quarters? of an? ({_MEASURES})\b", r"0.75 \1", text)
    text = re.sub(rf"\b(?:a )?quarter (?:of an? )?({_MEASURES})\b", r"0.25 \1", text)
    return re.sub(rf"\b(\d)/(\d) (?:of )?(?:an? )?({_MEASURES})\b", lambda m: _mixed(0, m[1], m[2]) + " " + m[3], text)


def _mixed(whole: int, top: str, bottom: str) -> str:
    return _number(whole + int(top) / int(bottom)) if int(bottom) else f"{whole} {top}/{bottom}"
