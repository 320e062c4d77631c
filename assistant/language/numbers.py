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
    r"met(?:re|er)s?|percent|per cent|degrees?|pounds?|dollars?|euros?|quid|parts?|tables?|pieces?|to|or|in)\b)"
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
    text = re.sub(r"\ba (?=(?:foot|metre|meter) of\b)", "1 ", text)
    text = re.sub(r"(?<=[a-z] )x(?=\d{1,4}\b)", "x ", text)  # "anemones x75"
    text = _DIGIT_HUNDREDS.sub(lambda m: str(int(m[1]) * (100 if m[2] == "hundred" else 1000)), text)
    text = _POINT.sub(_decimals, text)
    text = _RUN.sub(lambda match: _run(match, text), text)
    text = re.sub(r"\b(\d+) point (?=\d)", r"\1.", text)
    text = _ORDINAL_DAY.sub(lambda m: _ordinal(m[1] or m[2] or m[3]), text)
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
# "One fifty" at the end of what is wanted is a hundred and fifty.
_HUNDREDS = re.compile(r"(?<=\bto )([1-9]) ([2-9]0)(?=\W*$| stems?\b)")

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
        if picked or _ORDINAL_BEFORE.search(before) or not re.match(_COUNTED, after):
            return words
        return "1"
    prepared = re.sub(r"^an? ", "one ", words).replace("fourty", "forty")
    if re.match(r"one[ -](?!hundred|thousand)", prepared) and _THAT_ONE.search(text[: match.start()]):
        return "one " + _digits(prepared[4:])  # "a fatter one, twenty across" counts nothing
    return _digits(prepared)


def _digits(words: str) -> str:
    """A run of number words as one number; two numbers side by side ("two three days") each by itself."""
    try:
        return str(text2num(words.replace("-", " "), "en"))
    except ValueError:
        return " ".join(_single(word) for word in re.split(r"[ -]", words) if word != "and")


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


def _dozens(text: str) -> str:
    text = _PRICED_DOZEN.sub(r"\1 for 12", text)
    text = re.sub(r"\ba (?:pair|couple)(?= of (?:them|those|these)\b|\W*$|[,.;])", "2", text)
    text = re.sub(r"\b(?:a )?dozen dozen\b|\b(?:a|1|one) gross\b(?! (?:margin|profit|price|total))", "144", text)
    text = re.sub(r"\b(?:a|1) score(?: of)?\b|(?<!\d )\bscore of(?= (?!the|a|an|my|that|this)[a-z])", "20", text)
    text = re.sub(r"\b(\d+) score(?: of)?\b", lambda m: str(int(m[1]) * 20), text)
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
    text = re.sub(r"\bdozen\b(?= \w)", "12", text)
    return re.sub(r"\b(?:a )?(?:couple|pair)(?: of)?\b(?= (?!and\b)\w)", "2", text)


_MEASURES = (
    r"(?:days?|weeks?|hours?|months?|gallons?|lit(?:re|er)s?|pints?|quarts?|cups?|inch(?:es)?|f(?:oo|ee)t|met(?:re|er)s?|"
    r"teaspoons?|tablespoons?|bunch(?:es)?|bricks?|blocks?|kilos?|pounds?|buckets?)"
)


def _halves(text: str) -> str:
    text = re.sub(r"\b(\d+) (?:and|&) (?:a|1|one) half\b", lambda m: m[1] + ".5", text)
    text = re.sub(rf"\b(\d+) (?:and|&) half(?= {_MEASURES}\b|\W*$)", r"\1.5", text)
    text = re.sub(r"\b(\d+) (?:and|&) (?:a|1|one) quarter\b", lambda m: m[1] + ".25", text)
    text = re.sub(r"\b(\d+) (?:and|&)? ?(\d)/(\d)\b", lambda m: _mixed(int(m[1]), m[2], m[3]), text)
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
