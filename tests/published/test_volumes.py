"""Vessels and shapes against textbook exercises and against slicing them numerically."""

import math

import pytest
from scipy import integrate

from assistant.calculators.coverage import visible_area_cm2
from assistant.calculators.water import VesselSize, level_cm, volume_ml


# openstax_prealg works with pi = 3.14, so its answers lie 0.05 % low.
@pytest.mark.parametrize(
    ("radius", "height", "printed"), [(4, 7, 351.68), (4, 13, 653.12), (8, 19, 3818.24), (5, 13, 1020.5)]
)
def test_cylinders_of_the_textbook(radius, height, printed):
    assert volume_ml(VesselSize("cylinder", height, top_cm=2 * radius)) == pytest.approx(printed, rel=0.0007)


def test_inch_cylinder_and_box_of_the_textbook():
    # openstax_prealg: r 3 in, h 5 in: 141.3 cubic inches; box 2 x 1.5 x 3 m: 9 cubic metres.
    ml = volume_ml(VesselSize("cylinder", 5 * 2.54, top_cm=6 * 2.54))
    assert ml / 2.54**3 == pytest.approx(141.3, rel=0.0007)
    assert volume_ml(VesselSize("box", 300, length_cm=200, width_cm=150)) == pytest.approx(9e6)


def test_sphere_of_the_textbook():
    # openstax_prealg: r 4.5 cm: 381.51 cm3. A bowl as deep as it is wide across its belly, closed at the top: the
    # rim shrinks towards nothing and the cap becomes the ball.
    assert volume_ml(VesselSize("bowl", 9, top_cm=0.1)) == pytest.approx(381.51, rel=0.001)


def test_frustum_of_the_textbook():
    # openstax_calc: cutting a half-size cone off a cone leaves 7/24 of pi r^2 h (the frustum is h/2 high).
    r, h = 10.0, 30.0
    left = volume_ml(VesselSize("taper", h / 2, top_cm=2 * r, bottom_cm=r))
    assert left == pytest.approx(7 / 24 * math.pi * r**2 * h)
    # and R 12, r 10, h 18 in (derived from its formula): 6861.24 cubic inches.
    inches = volume_ml(VesselSize("taper", 18 * 2.54, top_cm=24 * 2.54, bottom_cm=20 * 2.54)) / 2.54**3
    assert inches == pytest.approx(6861.24, abs=0.01)


def test_cap_of_the_textbook():
    # openstax_calc: a ball of radius 10 with a cap 4 high cut off; the cap holds 435.634 (derived, both formulas).
    rim = math.sqrt(10**2 - 6**2)
    assert volume_ml(VesselSize("bowl", 4, top_cm=2 * rim)) == pytest.approx(435.634, abs=0.001)
    assert volume_ml(VesselSize("bowl", 4, top_cm=2 * rim)) == pytest.approx(math.pi / 6 * 4 * (3 * rim**2 + 16))


VESSELS = [
    VesselSize("cylinder", 25, top_cm=12), VesselSize("taper", 22, top_cm=16, bottom_cm=10),
    VesselSize("taper", 20, top_cm=11, bottom_cm=13), VesselSize("bowl", 10, top_cm=24),
    VesselSize("bowl", 18, top_cm=12), VesselSize("box", 14, length_cm=60, width_cm=15),
    VesselSize("ring", 4, outer_cm=30, inner_cm=19),
]  # fmt: skip


def slice_area(vessel, y):
    """Area of a horizontal slice, from the outline alone."""
    if vessel.shape == "cylinder":
        return math.pi * (vessel.top_cm / 2) ** 2
    if vessel.shape == "taper":
        r = vessel.bottom_cm / 2 + (vessel.top_cm - vessel.bottom_cm) / 2 * y / vessel.height_cm
        return math.pi * r * r
    if vessel.shape == "bowl":
        # centre height c of the ball that touches the bottom and passes through the rim
        rim, depth = vessel.top_cm / 2, vessel.height_cm
        c = (rim**2 + depth**2) / (2 * depth)
        return math.pi * (c**2 - (y - c) ** 2)
    if vessel.shape == "box":
        return vessel.length_cm * vessel.width_cm
    return math.pi * ((vessel.outer_cm / 2) ** 2 - (vessel.inner_cm / 2) ** 2)


@pytest.mark.parametrize("vessel", VESSELS, ids=str)
@pytest.mark.parametrize("share", [0.2, 0.5, 1.0])
def test_volume_by_slices_and_back(vessel, share):
    level = vessel.height_cm * share
    sliced, _ = integrate.quad(lambda y: slice_area(vessel, y), 0, level)
    assert volume_ml(vessel, level) == pytest.approx(sliced, rel=1e-9)
    assert level_cm(vessel, sliced * (1 - 1e-12)) == pytest.approx(level, rel=1e-6)


@pytest.mark.parametrize(("length", "width", "height"), [(30, 30, 15), (30, 30, 25), (60, 25, 15), (90, 20, 12)])
def test_area_of_domes_and_oblongs_by_integration(length, width, height):
    a, b, c = length / 2, width / 2, height

    def patch(theta, phi):
        x, y, z = (
            math.sin(theta) * math.cos(phi) * b * c, math.sin(theta) * math.sin(phi) * a * c, math.cos(theta) * a * b
        )  # fmt: skip
        return math.sin(theta) * math.sqrt(x * x + y * y + z * z)

    whole, _ = integrate.dblquad(patch, 0, 2 * math.pi, 0, math.pi / 2, epsabs=1e-3)
    shape, sizes = ("dome", {}) if length == width else ("oblong", {"length_cm": length})
    seen = visible_area_cm2(shape, width_cm=width, height_cm=height, view="all-round", **sizes).value
    # Thomsen's approximation promises 1.061 % at worst.
    assert seen == pytest.approx(whole, rel=0.0107)
