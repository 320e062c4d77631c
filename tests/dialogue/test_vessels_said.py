"""Sizes of vessels as people measure them; volumes of a cylinder by hand, pi r^2 h."""

from __future__ import annotations

import math

import pytest

from assistant.dialogue.conversation import Conversation


@pytest.mark.parametrize(
    ("text", "diameter", "level"),
    [
        ("a straight vase of inner radius 9 cm, 25 cm tall, water to 3 cm below the rim. Volume?", 18, 22),
        ("47 cm round the outside of the cylinder, 20 cm of water in it. how much is that", 47 / math.pi, 20),
        ('how much water to put 10" in a cylinder that\'s 8" across', 8 * 2.54, 25.4),
        ("cylinder twenty-two, sorry 20.5 cm, water to 28, how many litres", 20.5, 28),
        ("cylinder nine inches across and a foot of water in it, what's that", 9 * 2.54, 30.48),
    ],
)
def test_a_cylinders_sizes(talk: Conversation, text: str, diameter: float, level: float) -> None:
    figure = next(f for f in talk.turn(text).figures if f.kind == "vessel_volume")
    assert figure.value == pytest.approx(math.pi * (diameter / 2) ** 2 * level / 1000, rel=0.02)


def test_a_taper_a_cube_and_a_ring(talk: Conversation) -> None:
    taper = talk.turn("jug, base 9 cm, top 14 cm, 18 cm of water in it, litres").figures[0]
    assert taper.value == pytest.approx(math.pi * 18 / 12 * (9**2 + 9 * 14 + 14**2) / 1000, rel=0.02)
    cube = talk.turn("5 inch cube vase with 4 inches of water in, how much water is that").figures[0]
    assert cube.value == pytest.approx(12.7**2 * 10.16 / 1000, rel=0.02)
    ring = talk.turn("ring tray, outer diameter 30 cm, hole in the middle 20 cm, 4 cm deep, how much water").figures[0]
    assert ring.value == pytest.approx(math.pi * (15**2 - 10**2) * 4 / 1000, rel=0.02)
