"""Every colour that carries text stands out from the ground it is put on."""

from __future__ import annotations

import pytest
from textual.color import Color
from textual.theme import Theme

from assistant.screens.theme import LOOKS, starting_look

GROUNDS = ("background", "surface", "panel")
INKS = ("foreground", "primary", "secondary", "accent", "warning", "error", "success", "quiet")
PAIRS = (
    *((ink, ground) for ink in INKS for ground in GROUNDS),
    ("foreground", "picked"),
    ("on-held", "held"),
    ("caution-ink", "caution-ground"),
    ("error", "caution-ground"),
    ("background", "error"),
    ("input-cursor-foreground", "input-cursor-background"),
    ("block-cursor-foreground", "block-cursor-background"),
)


def contrast(first: str, second: str) -> float:
    """Contrast ratio of two opaque colours after WCAG 2 (relative luminance)."""

    def luminance(colour: str) -> float:
        def linear(part: float) -> float:
            return part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4

        red, green, blue = (linear(x) for x in Color.parse(colour).normalized)
        return 0.2126 * red + 0.7152 * green + 0.0722 * blue

    high, low = sorted((luminance(first), luminance(second)), reverse=True)
    return (high + 0.05) / (low + 0.05)


def test_contrast_of_known_pairs() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21.0)
    assert contrast("#777777", "#ffffff") == pytest.approx(4.48, abs=0.01)


@pytest.mark.parametrize("look", sorted(LOOKS))
@pytest.mark.parametrize(("ink", "ground"), PAIRS)
def test_text_is_readable(look: str, ink: str, ground: str) -> None:
    colours = _colours(LOOKS[look])
    assert contrast(colours[ink], colours[ground]) >= 4.5


def test_the_looks_name_the_same_colours() -> None:
    assert _colours(LOOKS["night"]).keys() == _colours(LOOKS["day"]).keys()


@pytest.mark.parametrize(
    ("chosen", "environ", "look"),
    [
        (None, {}, "night"),
        (None, {"COLORFGBG": "0;15"}, "day"),
        (None, {"COLORFGBG": "15;0"}, "night"),
        (None, {"COLORFGBG": "0;default;7"}, "day"),
        (None, {"COLORFGBG": "odd"}, "night"),
        ("day", {"COLORFGBG": "15;0"}, "day"),
        ("day", {"BUCKETSIDE_LOOK": "night"}, "night"),
        ("day", {"BUCKETSIDE_LOOK": "purple"}, "night"),
    ],
)
def test_starting_look(chosen: str | None, environ: dict[str, str], look: str) -> None:
    assert starting_look(chosen, environ) == look


def _colours(theme: Theme) -> dict[str, str]:
    own = {
        name: getattr(theme, name)
        for name in (*GROUNDS, "foreground", "primary", "secondary", "accent", "warning", "error", "success")
    }
    return {**own, **theme.variables}
