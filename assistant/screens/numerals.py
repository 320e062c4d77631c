"""Large figures, three rows high, from half blocks: readable from the other side of the bench."""

from __future__ import annotations

# Three columns by five rows of dots; a row is three characters, "#" is ink.
_DOTS = {
    "0": "### #.# #.# #.# ###",
    "1": ".#. ##. .#. .#. ###",
    "2": "### ..# ### #.. ###",
    "3": "### ..# .## ..# ###",
    "4": "#.# #.# ### ..# ..#",
    "5": "### #.. ### ..# ###",
    "6": "### #.. ### #.# ###",
    "7": "### ..# ..# .#. .#.",
    "8": "### #.# ### #.# ###",
    "9": "### #.# ### ..# ###",
    ".": ". . . . #",
    "–": "... ... ### ... ...",
    "-": ".. .. ## .. ..",
    "k": "#.# #.# ##. #.# #.#",
}
_HALVES = {"..": " ", "#.": "▀", ".#": "▄", "##": "█"}
HEIGHT = 3


def large(number: str) -> list[str]:
    """A number as three lines of equal width; characters without a large form are left out."""
    glyphs = [_DOTS[c].split() for c in number if c in _DOTS]
    rows = [" ".join(glyph[row] for glyph in glyphs).replace(" ", ".") for row in range(5)]
    width = len(rows[0]) if glyphs else 0
    rows.append("." * width)
    return ["".join(_HALVES[a + b] for a, b in zip(rows[n], rows[n + 1], strict=True)) for n in (0, 2, 4)]
