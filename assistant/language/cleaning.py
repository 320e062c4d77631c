"""Make typed text safe and even: no control sequences, one form of quotes, dashes and fractions."""

from __future__ import annotations

import re
import unicodedata

from assistant.language.heard import as_meant

MAX_CHARACTERS = 2000

# CSI, OSC and other escape sequences go as a whole, so that "\x1b[31m" leaves no "[31m" behind.
_ESCAPES = re.compile(
    r"\x1b\][^\x07\x1b]*(?:\x07|\x1b\\)?"  # OSC … BEL or ST
    r"|\x1b[PX^_][^\x1b]*(?:\x1b\\)?"  # DCS, SOS, PM, APC
    r"|(?:\x1b\[|\x9b)[0-?]*[ -/]*[@-~]?"  # CSI
    r"|\x1b[ -/]*[0-~]?"
)
_INVISIBLE = {"Cc", "Cf", "Cs", "Co", "Cn"}
_SAME_AS = str.maketrans({
    "‘": "'", "’": "'", "ʼ": "'", "`": "'", "´": "'", "“": '"', "”": '"', "″": '"', "′": "'",
    "–": "-", "—": "-", "−": "-", "‐": "-", "‑": "-", "⁄": "/", "×": "x", "º": "°", "˚": "°", "…": "...",
})  # fmt: skip
_FRACTIONS = {"½": ".5", "¼": ".25", "¾": ".75", "⅓": ".333", "⅔": ".667", "⅛": ".125"}


# Texting and bench shorthand, spelled out. Single letters only where nothing else is meant by them.
_SHORTHAND = {
    "hw": "how", "doz": "dozen", "wt": "what", "wat": "what", "wots": "what's", "wot": "what", "dz": "does", "r": "are", "u": "you", "ur": "your", "abt": "about",
    "b4": "before", "w/o": "without", "w/": "with", "w": "with", "dbl": "double", "h2o": "water", "fud": "food", "nah": "no", "nope": "no",
    "cyl": "cylinder", "em": "them", "'em": "them", "2day": "today", "2moro": "tomorrow", "tmrw": "tomorrow", "l8r": "later", "gd": "good", "lst": "last", "cud": "could",
    "shud": "should", "wud": "would", "cos": "because", "coz": "because", "cuz": "because", "pls": "please", "plz": "please", "n": "and", "&": "and",
    "wi'": "with", "watter": "water", "@": "at", "bunchs": "bunches", "bnch": "bunch", "stms": "stems", "stox": "stock", "whatve": "what have", "longve": "long have", "whatll": "what will", "itll": "it will", "thatll": "that will", "theyll": "they will", "wholl": "who will", "therell": "there will", "y": "why",
}  # fmt: skip
_SHORT = re.compile(
    r"(?<![\w'])(?:" + "|".join(re.escape(k) for k in sorted(_SHORTHAND, key=len, reverse=True)) + r")(?![\w'])"
)
_MINUS = re.compile(r"\bminus (?=\d|[a-z]+ (?:stems|bunches|days|degrees|roses|tulips))")
# A letter alone, or before a comma, is an answer ("y", "n, twenty"), no shortened word.
_ANSWER = re.compile(r"^\W*[yn](?=\W*$|\s*[,.;!])")
# Small words people in a hurry leave out, where the recognisers and the reader's grammar count on them.
_LEFT_OUT = (
    (
        re.compile(
            r"\b(?P<lead>what(?:'?s| is| are)|tell me|give me|work out) (?=(?:(?:best|right|ideal|usual|normal|botanical|latin|"
            r"common|vase|shelf|storage|water|flower|room|cooler|fridge) )*"
            r"(?:temp\w*|humidity|life|lifespan|name|difference|volume|capacity|weight|dose|ratio|strength|season|pack size|"
            r"cost|price|level|diameter|height)\b)"
        ),
        r"\g<lead> the ",
    ),
    (
        re.compile(
            r"\b(?P<lead>for|in|within|after|over|about|than|takes?) (?=(?:week|month|fortnight|day|year|hour)\b"
            r"(?! (?:\d|one|two|three|four|five|six|seven)))"
        ),
        r"\g<lead> a ",
    ),
    (re.compile(r"\b(?P<lead>(?:in|to|for|into|of|have|has|got|make|'?ve|from) )(?=(?:gallon|litre|liter|pint|quart|cupful|bunch)\b(?! (?:of )?\d))"), r"\g<lead>a "),
    (re.compile(r"\b(?P<lead>\d+ ?(?:g|ml|grams?|mg|millilitres?|milliliters?|teaspoons?|tablespoons?|tsp|tbsp|sachets?)) (?=(?:litre|liter|gallon|quart|pint)\b)"), r"\g<lead> a "),
    (re.compile(r"(?<!\ba )(?<!\bone )(?<!\d )(?<!\bhalf )(?<!two )(?<!three )\b(?=foot of water\b)"), "a "),
    (re.compile(r"(?<=\bof )'?em\b"), "them"),
    (re.compile(r"(?<!\ba )(?<!\bone )(?<!\d )(?<!two )\b(?=(?:third|quarter) full\b)"), "a "),
    (re.compile(r"\b(?P<lead>until|till|til|by|before|on|since|from|to|through|for) (?=\d{1,2}(?:st|nd|rd|th)\b(?! ?(?:of )?"
                r"(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec|floor|birthday|wedding|anniversary|century)))"),
     r"\g<lead> the "),
)  # fmt: skip
# "Cooler" as a comparison is no fridge.
_COOLER_THAN = re.compile(
    r"\b(?P<before>somewhere|bit|little|lot|much|even|any|far|slightly|it's|its|gets?|keep it|made it) cooler\b|\bcooler(?= (?:than|room|spot|place|like|part|corner|air|climate|weather|end|day))"
)


class TooLong(ValueError):  # noqa: N818 - reads as a sentence where it is caught
    """The text is longer than anyone's question; it is refused rather than cut."""


def safe_text(text: str) -> str:
    """Text with escape sequences, control and invisible characters removed and white space folded.

    Use it on anything from outside before showing it. Line breaks become spaces.
    """
    text = _ESCAPES.sub(" ", text)
    kept = (
        " " if c in "\t\r\n\v\f" else c for c in text if c in "\t\r\n\v\f" or unicodedata.category(c) not in _INVISIBLE
    )
    return " ".join("".join(kept).split())


def normalise(text: str) -> str:
    """Lower-case text with even quotes, dashes and decimal fractions, ready for the recognisers.

    Shorthand is spelled out and small words left out in a hurry are put back; a lone "y" or "n" stays the answer it is.

    Raises:
        TooLong: above `MAX_CHARACTERS` characters.
    """
    text = safe_text(text)
    if len(text) > MAX_CHARACTERS:
        raise TooLong(
            f"That message is {len(text):,} characters long; please ask in under {MAX_CHARACTERS:,} characters."
        )
    text = text.translate(_SAME_AS)
    for sign, decimal in _FRACTIONS.items():
        text = re.sub(rf"(\d) ?{sign}", lambda m, d=decimal: m[1] + d, text)  # type: ignore[misc]
        text = text.replace(sign, "0" + decimal)
    text = unicodedata.normalize("NFC", text).lower()
    text = re.sub(r"(?<=\d)[- ]?ish\b", "", text)
    text = re.sub(r"(?<![\d.,])(\d{1,3}),(\d{3})(?![\d,])", r"\1\2", text)
    answer = _ANSWER.match(text)
    kept = answer.end() if answer else 0
    text = text[:kept] + _SHORT.sub(lambda m: _SHORTHAND[m[0]], text[kept:])
    return settle(as_meant(text))


def settle(text: str) -> str:
    """Normalised text with left-out small words put back, and words made plain that read as something else.

    Doing it twice changes nothing: it is done again where a misspelt word, put right, has come to light.
    """
    text = _MINUS.sub("-", text)
    for pattern, whole in _LEFT_OUT:
        text = pattern.sub(whole, text)
    return _COOLER_THAN.sub(lambda m: f"{m['before']} less warm" if m["before"] else "less warm", text)
