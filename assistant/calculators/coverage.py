"""How many stems a shape takes: its visible area, shared out by design role."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, estimate, exact, ordered, within

Shape = Literal["fan", "dome", "oblong", "garland"]
View = Literal["front", "all-round"]
_LONGEST_CM = 5_000.0
# Thomsen's exponent for the surface of an ellipsoid; wrong by 1.061 % at worst.
_THOMSEN = 1.6075


@dataclass(frozen=True)
class RolePart:
    """One role of a design.

    Parameters
    ----------
    role : str
        line, mass, form, filler, foliage or accent (or a material's id).
    footprint_cm2 : float, (low, high) or Estimate
        Area one stem shows: see `disc_cm2` and `spike_cm2`. [cm2]
    share : float, (low, high) or Estimate
        Share of the visible area this role covers, 0 to 1. [1]
    """

    role: str
    footprint_cm2: Spread
    share: Spread


@dataclass(frozen=True)
class RoleStems:
    """Stems of one role: whole stems at each end of the range. [stems]"""

    role: str
    stems: Estimate


def disc_cm2(diameter_cm: Spread) -> Estimate:
    """Area [cm2] of a bloom or head seen from the front, from its diameter [cm]."""
    return estimate(diameter_cm, "bloom diameter", 0.1, 200, "cm").map(lambda d: math.pi * d * d / 4)


def spike_cm2(length_cm: Spread, width_cm: Spread) -> Estimate:
    """Area [cm2] of a spike, frond or branch seen from the side, from its visible length and width [cm].

    Notes
    -----
    Read as an ellipse, ``pi/4 * length * width``.
    """
    length = estimate(length_cm, "visible length", 0.1, 500, "cm")
    width = estimate(width_cm, "width", 0.1, 200, "cm")
    return ordered(*(math.pi / 4 * a * b for a, b in zip(length, width, strict=True)))


def _half_ellipsoid_cm2(length_cm: float, width_cm: float, height_cm: float) -> float:
    a, b, c = length_cm / 2, width_cm / 2, height_cm
    p = _THOMSEN
    mean = ((a * b) ** p + (a * c) ** p + (b * c) ** p) / 3
    return 2 * math.pi * float(mean ** (1 / p))


def visible_area_cm2(
    shape: Shape,
    *,
    width_cm: Spread,
    height_cm: Spread | None = None,
    length_cm: Spread | None = None,
    view: View = "front",
) -> Estimate:
    """Area of flowers somebody sees.

    Parameters
    ----------
    shape : str
        'fan' (half an ellipse standing up; width, height), 'dome' (half a ball; width, height), 'oblong' (long and
        low; length, width, height), 'garland' (a half-round rope; length, width).
    width_cm, height_cm, length_cm : float, (low, high) or Estimate
        Outer sizes; a dome without a height is a half ball. [cm]
    view : str
        'front': seen from one side only. 'all-round': from every side (a fan has two faces, a garland hangs free).

    Returns
    -------
    Estimate
        Visible area. [cm2]

    Raises
    ------
    OutOfRange
        For a size that is missing, zero or larger than 50 m.

    Notes
    -----
    fan ``pi/4 * w * h`` (twice all round); dome and oblong: half an ellipsoid without its base by Thomsen's
    approximation (at most 1.1 % off), half of it from the front; garland ``pi/2 * w * l`` lying or against a wall,
    twice that hanging free. Depth of the faces is not in it: the cover shares carry that.
    """

    def size(x: Spread | None, what: str) -> Estimate:
        if x is None:
            raise OutOfRange(f"A {shape} needs its {what} in centimetres.")
        return estimate(x, what, 1, _LONGEST_CM, "cm")

    width = size(width_cm, "width")
    if view not in ("front", "all-round"):
        raise OutOfRange(f"It is seen from the front or all round, not '{view}'.")
    both = 2.0 if view == "all-round" else 1.0
    if shape == "fan":
        height = size(height_cm, "height")
        ends = [both * math.pi / 4 * w * h for w, h in zip(width, height, strict=True)]
    elif shape == "dome":
        height = size(height_cm, "height") if height_cm is not None else width.times(0.5)
        ends = [both / 2 * _half_ellipsoid_cm2(w, w, h) for w, h in zip(width, height, strict=True)]
    elif shape == "oblong":
        length, height = size(length_cm, "length"), size(height_cm, "height")
        ends = [both / 2 * _half_ellipsoid_cm2(le, w, h) for le, w, h in zip(length, width, height, strict=True)]
    elif shape == "garland":
        length = size(length_cm, "length")
        ends = [both * math.pi / 2 * w * le for w, le in zip(width, length, strict=True)]
    else:
        raise OutOfRange(f"I know the shapes fan, dome, oblong and garland, not '{shape}'.")
    return ordered(*ends)


def stems_by_role(area_cm2: Spread, parts: Sequence[RolePart]) -> tuple[RoleStems, ...]:
    """Stems of each role for an area.

    Parameters
    ----------
    area_cm2 : float, (low, high) or Estimate
        Visible area. [cm2]
    parts : sequence of RolePart
        Roles with the area one stem shows and the share each role covers. The working shares may add up to less
        than 1 (air) but not to more than 2 (layers).

    Returns
    -------
    tuple of RoleStems
        Whole stems, rounded up, in the order given. [stems]

    Notes
    -----
    ``stems = area * share / footprint``; low takes small area, small share and large blooms.
    """
    area = estimate(area_cm2, "visible area", 1, 1e8, "cm2")
    shares = [estimate(part.share, f"share of {part.role}", 0, 1) for part in parts]
    if sum(share.value for share in shares) > 2:
        raise OutOfRange("The cover shares of all roles add up to more than two layers of flowers.")
    result = []
    for part, share in zip(parts, shares, strict=True):
        foot = estimate(part.footprint_cm2, f"area of one stem of {part.role}", 0.01, 1e5, "cm2")
        stems = (
            area.low * share.low / foot.high, area.value * share.value / foot.value, area.high * share.high / foot.low
        )  # fmt: skip
        # A whisker below a whole number is rounding error of the division, not another stem.
        result.append(RoleStems(part.role, ordered(*(float(math.ceil(s - 1e-9)) for s in stems))))
    return tuple(result)


def stems_along(length_cm: Spread, spacing_cm: Spread) -> Estimate:
    """Stems set along a line such as a garland or a ledge: length [cm] over spacing [cm], rounded up. [stems]"""
    length = estimate(length_cm, "length", 1, _LONGEST_CM, "cm")
    spacing = estimate(spacing_cm, "spacing", 0.5, 500, "cm")
    return ordered(
        math.ceil(length.low / spacing.high), math.ceil(length.value / spacing.value),
        math.ceil(length.high / spacing.low),
    )  # fmt: skip


def stems_total(parts: Sequence[RoleStems], pieces: int = 1) -> Estimate:
    """All stems of a design times the pieces. [stems]"""
    times = within(pieces, 0, 10_000, "number of pieces")
    if not parts:
        return exact(0.0)
    return ordered(
        sum(p.stems.low for p in parts) * times, sum(p.stems.value for p in parts) * times,
        sum(p.stems.high for p in parts) * times,
    )  # fmt: skip
