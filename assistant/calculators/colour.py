"""How far apart two colours look."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache

from assistant.calculators.ranges import OutOfRange

_SRGB = re.compile(r"^#[0-9a-f]{6}$")


@lru_cache(maxsize=4096)
def delta_e_2000(srgb_a: str, srgb_b: str) -> float:
    """Colour difference CIEDE2000.

    Parameters
    ----------
    srgb_a, srgb_b : str
        Colours as '#rrggbb'.

    Returns
    -------
    float
        Difference; about 1 is just visible, 100 is black against white. [1]

    Raises
    ------
    OutOfRange
        If a colour is not written as '#rrggbb'.

    References
    ----------
    Sharma, Wu, Dalal (2005), Color Research & Application 30(1), whose test pairs `tests/published` runs.
    """
    for srgb in (srgb_a, srgb_b):
        if not _SRGB.match(srgb):
            raise OutOfRange(f"A colour is written like #bf1e3a, not '{srgb}'.")
    # Imported here because it costs tenths of a second that most questions never need.
    from coloraide import Color

    return float(Color(srgb_a).delta_e(srgb_b, method="2000"))


def nearest(wanted: Iterable[str], offered: Iterable[str]) -> tuple[float, str, str] | None:
    """The closest pair of two sets of colours: (difference, wanted, offered), or None if a set is empty."""
    others = tuple(offered)
    pairs = [(delta_e_2000(a, b), a, b) for a in wanted for b in others]
    return min(pairs) if pairs else None
