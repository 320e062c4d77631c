"""Make typed text safe and even: no control sequences, one form of quotes, dashes and fractions."""

from __future__ import annotations

import re
import unicodedata

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
    return unicodedata.normalize("NFC", text).lower()
