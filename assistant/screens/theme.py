"""Two looks, night and day, and which one to start in.

Every colour that carries text is checked for contrast in tests/screens/test_theme.py; nothing is said by colour
alone (labels, borders and fill patterns say it too).
"""

from __future__ import annotations

from collections.abc import Mapping

from textual.theme import Theme

NIGHT = Theme(
    name="night-bench",
    primary="#86c9a5",
    secondary="#93bfe0",
    accent="#f0b873",
    warning="#eec65a",
    error="#ff9c8c",
    success="#9fd58c",
    foreground="#e8ede6",
    background="#0f1715",
    surface="#16211e",
    panel="#1f2d29",
    boost="#263732",
    dark=True,
    variables={
        "quiet": "#a3b3ab",
        "rule": "#486158",
        "picked": "#31473f",
        "held": "#f0b873",
        "on-held": "#1a1206",
        "caution-ground": "#3a1712",
        "caution-ink": "#ffe3dc",
        "block-cursor-foreground": "#1a1206",
        "block-cursor-background": "#f0b873",
        "input-cursor-background": "#f0b873",
        "input-cursor-foreground": "#1a1206",
        "footer-key-foreground": "#f0b873",
        "border": "#486158",
        "border-blurred": "#31473f",
        "scrollbar": "#486158",
        "scrollbar-background": "#16211e",
        "scrollbar-hover": "#86c9a5",
        "scrollbar-active": "#86c9a5",
    },
)
DAY = Theme(
    name="day-bench",
    primary="#1d6244",
    secondary="#1f5278",
    accent="#84430a",
    warning="#6e4a00",
    error="#97221a",
    success="#2a6428",
    foreground="#18231f",
    background="#f7f6f0",
    surface="#fffefa",
    panel="#ebebe1",
    boost="#e2e3d6",
    dark=False,
    variables={
        "quiet": "#4a5952",
        "rule": "#98a79d",
        "picked": "#d8e6da",
        "held": "#84430a",
        "on-held": "#fff8ee",
        "caution-ground": "#fde4de",
        "caution-ink": "#5c120c",
        "block-cursor-foreground": "#fff8ee",
        "block-cursor-background": "#84430a",
        "input-cursor-background": "#84430a",
        "input-cursor-foreground": "#fff8ee",
        "footer-key-foreground": "#84430a",
        "border": "#98a79d",
        "border-blurred": "#c3cdc5",
        "scrollbar": "#98a79d",
        "scrollbar-background": "#ebebe1",
        "scrollbar-hover": "#1d6244",
        "scrollbar-active": "#1d6244",
    },
)
LOOKS: dict[str, Theme] = {"night": NIGHT, "day": DAY}


def starting_look(chosen: str | None, environ: Mapping[str, str]) -> str:
    """ "night" or "day": the person's choice, else what the terminal says of its background, else night.

    Terminals that say it do so in COLORFGBG ("15;0": light on dark); 7 and 9 to 15 are light backgrounds.
    """
    asked = environ.get("BUCKETSIDE_LOOK", "") or chosen
    if asked in LOOKS:
        return asked
    background = environ.get("COLORFGBG", "").rpartition(";")[2]
    return "day" if background.isdigit() and int(background) in (7, *range(9, 16)) else "night"
