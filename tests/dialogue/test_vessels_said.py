"""Sizes of vessels as people measure them; volumes of a cylinder by hand, pi r^2 h."""

from __future__ import annotations

import math

import pytest

from assistant.dialogue.cautions import cautions_for
from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation


def taper(foot: float, mouth: float, level: float) -> float:
    """A cut cone, as every geometry book has it. [cm to litres]"""
    return math.pi * level / 12 * (foot**2 + foot * mouth + mouth**2) / 1000


def half_ball(across: float) -> float:
    return math.pi * across**3 / 12 / 1000


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


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("trough 25 cm across and 90 long, water up to 15 cm, how much is that", 25 * 90 * 15 / 1000),
        ("long planter, 80 centimetres, it's 15 wide and 12 deep, what does it take", 80 * 15 * 12 / 1000),
        ("20 deep, 8cm across, got 6, how much water", 6 * math.pi * 4**2 * 20 / 1000),
        ("long trough 1.2 m by 15 by 12, fill it to 8 cm, how many litres", 120 * 15 * 8 / 1000),
        ("trough 900 x 140 x 110 mm, fill to 90, how much water", 90 * 14 * 9 / 1000),
        ("ring tray, 40 outside, 26 the hole, 45 mm of water", math.pi * (20**2 - 13**2) * 4.5 / 1000),
        ("ring tray outer 30, inner 20, 4 deep, how much water", math.pi * (15**2 - 10**2) * 4 / 1000),
        ("a cylinder 11 wide and i put 17 in, how much water", math.pi * 5.5**2 * 17 / 1000),
        ("cylinder 24 cm across and I stop at 18 cm. litres", math.pi * 12**2 * 18 / 1000),
        ("cylinders 10 cm across, 20 cm of water, 60 of em. litres", 60 * math.pi * 5**2 * 20 / 1000),
        ("square vases 5 in by 5 in, 6 inches of water in, there are twenty. how much water", 20 * 12.7**2 * 15.24 / 1000),
        ("two buckets, 10 litres each, to fill five cylinders 15 cm across to 20 cm. how much water", 5 * math.pi * 7.5**2 * 20 / 1000),
    ],
)  # fmt: skip
def test_sides_and_counts_as_they_are_called(talk: Conversation, text: str, litres: float) -> None:
    figure = next(f for f in talk.turn(text).figures if f.kind == "vessel_volume")
    assert figure.value == pytest.approx(litres, rel=0.01)


@pytest.mark.parametrize(
    ("talked", "litres"),
    [
        (["cylinder 16 cm across, filled to 20 cm, how much water", "I have five", "hang on, the fill is 25"], 5 * math.pi * 8**2 * 25 / 1000),
        (["glass tank 30 x 10 and 20 tall, three quarters full, how much water", "half"], 3.0),
        (["glass tank 30 x 10 and 20 tall, three quarters full, how much water", "12 cm will do"], 3.6),
        (["square vase 14 cm by 14 cm, filled 9 cm deep, litres", "times a dozen"], 12 * 14 * 14 * 9 / 1000),
    ],
)  # fmt: skip
def test_the_filling_changes_in_a_follow_up(talk: Conversation, talked: list[str], litres: float) -> None:
    answer = [talk.turn(text) for text in talked][-1]
    figure = next(f for f in answer.figures if f.kind == "vessel_volume")
    assert figure.value == pytest.approx(litres, rel=0.01)


def test_a_globe_filled_to_the_half_holds_less_than_half_a_ball(talk: Conversation) -> None:
    """A ball of 30 cm holds 14.1 l, half of it 7.07 l; a vase of that shape has its foot and opening cut off."""
    figure = talk.turn("a fishbowl vase thirty centimetres wide, filled to the half. how much water").figures[0]
    assert 6.0 < figure.value < 4 / 3 * math.pi * 15**3 / 2000


def test_water_above_the_rim_is_asked_about(talk: Conversation) -> None:
    answer = talk.turn("a vase 10 cm wide and 15 cm tall, I want 30 cm of water in it, how much is that")
    assert answer.outcome == "asked_back"
    assert "15 cm" in answer.reply
    assert "30 cm" in answer.reply


def test_a_ring_without_its_hole_is_asked_about(talk: Conversation) -> None:
    answer = talk.turn("ring tray 35 cm across, 4 cm deep, how much water")
    assert answer.outcome == "asked_back"
    assert "hole" in answer.reply


def test_a_count_put_in_a_vase_of_flowers_is_of_stems(talk: Conversation) -> None:
    talk.turn("12 roses in a 14 cm wide vase, 16 cm of water, 19 degrees. when does it want topping up")
    answer = talk.turn("and with 20 in there")
    stems = next(i for i in answer.figures[0].inputs if i.name == "stems")
    assert stems.value == 20


@pytest.mark.parametrize(
    ("text", "litres"),
    [
        ("a vase that goes more wide to above: below 10 cm, above 18 cm, and the water stands 20 cm high. How much water", taper(10, 18, 20)),
        ("tapered vase, 10 wide at the base, 18 across the top, filled to 20. litres?", taper(10, 18, 20)),
        ("a vase that flares from 10 to 18 and I fill it to 20 cm, how much water", taper(10, 18, 20)),
        ("base 10, top 18, flared, water 20 deep. how many litres", taper(10, 18, 20)),
        ("urn, 30 at the mouth narrowing to 14 and I fill to 25. litres", taper(14, 30, 25)),
        ("sort of half a ball in china, twenty six over the top, filled right up to the rim. how much went in", half_ball(26)),
        ("globe shaped like half an orange, 24 cm over the top. how many litres", half_ball(24)),
        ("ring dish, forty outside, hole in the middle of twenty five, three deep. how much does it take", math.pi * (20**2 - 12.5**2) * 3 / 1000),
        ("cylinder, wide 15, water till 40 high, is how many liter", math.pi * 7.5**2 * 40 / 1000),
        ("tin churn, ten inches over. water's come up a foot. how many litres", math.pi * 12.7**2 * 30.48 / 1000),
        ("cylinder vase, bore 12, water to 18, how much", math.pi * 6**2 * 18 / 1000),
        ("this box, 20 cm one way and 30 the other, the water's to come up to 10 cm. litres", 6.0),
        ("forty bud vases, inch and a half bore, four inches of water. gallons?", 40 * math.pi * 1.905**2 * 10.16 / 1000),
        ("the vases are 12 across, I go up to 15 with the water and there are nine. how many litres", 9 * math.pi * 6**2 * 15 / 1000),
        ("cylinder 20 across, 40 tall, water up to 3 below the rim, how much", math.pi * 10**2 * 37 / 1000),
    ],
)  # fmt: skip
def test_sizes_in_other_words(talk: Conversation, text: str, litres: float) -> None:
    figure = next(f for f in talk.turn(text).figures if f.kind == "vessel_volume")
    assert figure.value == pytest.approx(litres, rel=0.01)


@pytest.mark.parametrize(
    ("talked", "litres"),
    [
        (["cylinder 16 across, filled to 20. how much water", "a second one just like it, so the figure for the pair"], 2 * math.pi * 8**2 * 20 / 1000),
        (["jar 9 across, water 12. how much", "and its twin"], 2 * math.pi * 4.5**2 * 12 / 1000),
        (["churn, ten inches over, water's come up a foot. how many litres", "tip some out then, leave eight inches in"], math.pi * 12.7**2 * 20.32 / 1000),
        (["cylinder 20 across, 40 tall, filled to the rim, how much", "only to 4 cm below the top"], math.pi * 10**2 * 36 / 1000),
    ],
)  # fmt: skip
def test_the_vessel_put_right(talk: Conversation, talked: list[str], litres: float) -> None:
    *before, last = talked
    for text in before:
        talk.turn(text)
    figure = next(f for f in talk.turn(last).figures if f.kind == "vessel_volume")
    assert figure.value == pytest.approx(litres, rel=0.01)


def test_one_big_one_after_several(talk: Conversation) -> None:
    talk.turn("what do three buckets weigh, six litres in each")
    figure = talk.turn("and one big one with 25 in it").figures[0]
    assert figure.kind == "filled_weight"
    assert 25 < figure.value < 30  # the water alone is 25 kg


def test_water_that_has_sunk_is_a_level(context: Context) -> None:
    slots = context.parser.parse("the water's at 12 now, how much is left", today=context.today).slots
    assert slots["fill_height"].number == 12
    assert "display_temperature" not in slots


@pytest.mark.parametrize(
    ("text", "asks"),
    [
        ("tapered vase 18 cm at the top, filled to 20 cm. How much water?", "at the bottom"),
        ("low bowl 30 across, water to within 2 of the rim. how much", "How tall"),
    ],
)
def test_what_a_size_cannot_tell_is_asked(talk: Conversation, text: str, asks: str) -> None:
    answer = talk.turn(text)
    assert answer.outcome == "asked_back"
    assert asks in answer.reply


@pytest.mark.parametrize(
    ("text", "slot"),
    [
        ("keep the fridge below 10 and above 2, how long do roses last in water", "base_diameter"),
        ("how much glycerin for 4 parts water to 1, in a vase", "fill_height"),
        ("bring the water up to 20 degrees in the vase before the tulips go in", "fill_height"),
        ("add water to 5 vases", "fill_height"),
        ("dahlias came in on monday, been in water at 20, how long left do you reckon?", "fill_height"),
        ("20 roses for a bowl, 3 over in case. how many bunches", "diameter"),
        ("water carried up 4 flights in a 20 litre urn", "fill_height"),
    ],
)
def test_what_is_no_size(context: Context, text: str, slot: str) -> None:
    assert slot not in context.parser.parse(text, today=context.today).slots


@pytest.mark.parametrize(
    ("talked", "level"),
    [
        (["cylinder 16 cm across, and stop at the 18 line"], 18),
        (["the cylinder is 16 cm across and I'm pouring till it's at twenty, what does that come to"], 20),
        (["I'm filling a cylinder 16 cm across till the water's at 30, how many litres"], 30),
        (["cylinder, 16cm across, water going up to 20cm, how much", "hang on, make that up to the 25 mark"], 25),
        (["cylinder, 16cm across, water going up to 20cm, how much", "hang on, the water's going up to 25"], 25),
        (["cylinder, 16cm across, filled to 20 cm, how much water", "stopping at the 12 cm mark instead"], 12),
        (["cylinder, 16cm across, filled to 20 cm, how much water", "5 cm less"], 15),
        (["cylinder, 16cm across, filled to 20 cm, how much water", "less water, 18 cm"], 18),
    ],
)
def test_the_level_as_it_is_poured(talk: Conversation, talked: list[str], level: float) -> None:
    answer = [talk.turn(text) for text in talked][-1]
    volume = next(f for f in answer.figures if f.kind == "vessel_volume")
    assert volume.value == pytest.approx(math.pi * 8**2 * level / 1000, rel=0.01)


def test_four_sides_make_a_box(talk: Conversation) -> None:
    answer = talk.turn("My vase have four sides, 20 cm by 20 cm, and the water must come up to 25 cm. How much water?")
    assert answer.figures[0].value == pytest.approx(20 * 20 * 25 / 1000)
    assert "made no use" not in answer.reply


def test_a_vase_to_be_picked_up_is_weighed(talk: Conversation) -> None:
    answer = talk.turn("glass vase, 30cm across, water in it to 50cm. am i ok picking that up on my own")
    assert answer.figures[0].kind == "filled_weight"
    assert set(cautions_for(["lifting"], talk.context)) & set(answer.cautions)


def test_one_side_of_a_square_is_the_length_of_all(talk: Conversation) -> None:
    answer = talk.turn("a square glass vase, each side 12 cm and 20 high, how much water")
    assert answer.figures[0].value == pytest.approx(12 * 12 * 20 / 1000)
    assert "both sides of a square" in answer.reply


def test_a_width_changed_in_a_follow_up_is_no_temperature(talk: Conversation) -> None:
    talk.turn("litres for a cylinder vase, diameter 15 cm, water up to 40 cm")
    answer = talk.turn("and if it's 18 across instead")
    assert answer.figures[0].value == pytest.approx(math.pi * 9**2 * 40 / 1000, rel=0.01)


def test_a_figure_is_said_again_in_the_units_asked_for(talk: Conversation) -> None:
    litres = talk.turn("how much water for 3 cylinders 20 cm across filled to 25 cm").figures[0]
    gallons = talk.turn("in gallons?")
    assert gallons.figures[0].value == pytest.approx(litres.value)
    assert "6.2 US gal" in gallons.reply  # 23.56 l of 3.785 l, by hand


def test_water_for_a_vessel_told_whole_is_no_change_to_a_mix(talk: Conversation) -> None:
    talk.turn("40 tulips in a 10 litre bucket, bleach 50 ppm")
    answer = talk.turn("how much water for 3 cylinders 20 cm across filled to 25 cm")
    assert answer.task == "water"
    assert answer.figures[0].value == pytest.approx(3 * math.pi * 10**2 * 25 / 1000)
