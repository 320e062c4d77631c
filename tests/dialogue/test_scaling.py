"""Figures changed by a part, a multiple or a difference; wordings are common practice, no source, sums by hand."""

from __future__ import annotations

import pytest

from assistant.dialogue.answer import Answer
from assistant.dialogue.conversation import Conversation
from assistant.dialogue.scaling import plain_scale


def given(answer: Answer, name: str) -> float:
    return next(i.value for f in answer.figures for i in f.inputs if i.name == name and isinstance(i.value, float))


@pytest.mark.parametrize(
    ("text", "factor"),
    [
        ("no cut it in 2", 1 / 2),
        ("chop it in half", 1 / 2),
        ("actually just do 50% of that", 1 / 2),
        ("2 thirds of that", 2 / 3),
        ("put it up threefold for the till", 3),
        ("half as many again", 3 / 2),
        ("cut it by a third", 2 / 3),
        ("increase that by 50%", 3 / 2),
        ("a quarter fewer", 3 / 4),
        ("20 per cent more please", 6 / 5),
        ("and 1.5 times that", 3 / 2),
    ],
)
def test_parts_and_multiples(text: str, factor: float) -> None:
    assert plain_scale(text) == pytest.approx(factor)


@pytest.mark.parametrize(
    "text",
    ["and if 50% of them are duds", "should i cut the stems in 2", "with 10% loss", "cut it to 45", "a third urn"],
)
def test_what_is_no_multiple(text: str) -> None:
    assert plain_scale(text) is None


@pytest.mark.parametrize(
    ("text", "stems"),
    [
        ("no, cut it in two", 30),
        ("actually just do 50% of that", 30),
        ("a third fewer", 40),
        ("ten fewer", 50),
        ("up it by twenty", 80),
        ("add ten", 70),
        ("knock 15 off", 45),
        ("minus the 12 I've got", 48),
        ("15 more freesias", 75),
        ("hmm, she's cutting back, fifty is plenty", 50),
        ("forgive me, I misread my own writing, it is eighty", 80),
        ("drop it to 45", 45),
    ],
)
def test_the_count_of_an_order_is_changed(talk: Conversation, text: str, stems: float) -> None:
    talk.turn("60 freesias, how many bunches")
    answer = talk.turn(text)
    assert (answer.outcome, given(answer, "stems")) == ("answered", stems)
    assert "made no use" not in answer.reply


def test_days_and_degrees_are_no_count(talk: Conversation) -> None:
    talk.turn("300 roses for a wedding, how many bunches")
    assert given(talk.turn("and 7 days is plenty"), "stems") == 300


def test_one_count_of_a_list_is_changed(talk: Conversation) -> None:
    talk.turn("50 roses and 40 tulips, how many bunches")
    answer = talk.turn("10 fewer roses")
    assert [i.value for f in answer.figures for i in f.inputs if i.name == "stems"] == [40.0, 40.0]


def test_a_sum_put_up_for_the_till_is_marked_up(talk: Conversation) -> None:
    talk.turn("forty carnations, paying 35 pence a stem, what's that come to")
    answer = talk.turn("now put it up threefold for the till")
    assert [f.value for f in answer.figures] == pytest.approx([14.0, 42.0])
    assert given(answer, "stems") == 40


@pytest.mark.parametrize(
    ("text", "grams"),
    [("what if I only mix it at half the rate", 25), ("at a third of the rate", 50 / 3), ("20% weaker", 40)],
)
def test_the_rate_is_scaled_and_not_the_water(talk: Conversation, text: str, grams: float) -> None:
    talk.turn("flower food for 10 litres at 5 g a litre, how much")
    answer = talk.turn(text)
    assert answer.figures[0].value == pytest.approx(grams)
    assert given(answer, "volume") == 10


@pytest.mark.parametrize(
    ("text", "stems"),
    [
        ("8 vases, half of them with 5 tulips and half with 3, how many bunches", 4 * 5 + 4 * 3),
        ("12 pew ends at 4 roses, 6 extra for the altar, how many bunches", 12 * 4 + 6),
        ("20 tables of 3 gerberas, plus 8 spare gerberas, how many bunches", 20 * 3 + 8),
        ("every other table of 20 gets 6 carnations, how many bunches", 10 * 6),
    ],
)
def test_counts_are_added_up(talk: Conversation, text: str, stems: float) -> None:
    answer = talk.turn(text)
    assert given(answer, "stems") == stems
    assert "made no use" not in answer.reply


def test_what_was_not_added_is_owned_up_to(talk: Conversation) -> None:
    assert "made no use of 9." in talk.turn("12 pew ends at 4 roses, 9 for the altar, how many bunches").reply


def test_what_one_bunch_holds_is_no_order(talk: Conversation) -> None:
    talk.turn("limonium, what is that")
    answer = talk.turn("how many do you get in one bunch of it")
    assert {f.kind for f in answer.figures} == {"pack_size"}


def test_so_many_buckets_of_so_many_litres(talk: Conversation) -> None:
    answer = talk.turn("three buckets of 12 litres at 10 ml per litre, how much flower food in all")
    assert answer.figures[0].value == pytest.approx(360)


@pytest.mark.parametrize(("text", "times"), [("double that", 2), ("half that", 0.5), ("cut it in two", 0.5)])
def test_the_water_of_a_vessel_is_scaled(talk: Conversation, text: str, times: float) -> None:
    before = talk.turn("cylinder 20 cm across, water to 24 cm, how much").figures[0].value
    assert talk.turn(text).figures[0].value == pytest.approx(times * before)


@pytest.mark.parametrize(("text", "opening"), [("would nine bunches do", "No"), ("is 12 bunches enough", "Yes")])
def test_so_many_bunches_are_held_against_the_order(talk: Conversation, text: str, opening: str) -> None:
    talk.turn("need 80 dahlias, bunches of 10, how many bunches")  # ten, by the binomial with 8 % lost
    assert talk.turn(text).reply.startswith(opening)


def test_a_share_of_them_that_is_lost_is_no_smaller_order(talk: Conversation) -> None:
    talk.turn("80 lisianthus, how many bunches")
    answer = talk.turn("I usually bin about 15 percent of them")
    told = {i.name: i.value for i in answer.figures[0].inputs}
    assert told["stems"] == 80
    assert told["loss_rate"] == pytest.approx(0.15)


def test_half_of_what_a_full_vase_holds_is_half_its_height(talk: Conversation) -> None:
    full = talk.turn("cylinder 15 cm across and 20 cm tall, how much water").figures[0].value
    assert talk.turn("half of that").figures[0].value == pytest.approx(full / 2)


def test_a_bare_number_after_bunches_counts_bunches(talk: Conversation) -> None:
    talk.turn("how many stems in 3 bunches of salal")
    assert next(f.value for f in talk.turn("and 5?").figures if f.kind == "bunches") == 5


def test_a_number_of_stems_stays_one_where_bunches_are_asked_for(talk: Conversation) -> None:
    talk.turn("if I buy one bunch of carnations, how many stems do I get")
    answer = talk.turn("I'm after 130, so that makes how many bunches")
    assert given(answer, "stems") == 130


def test_a_large_number_is_written_out(talk: Conversation) -> None:
    assert "(10,000–12,500 stems)" in talk.turn("how many stems in 500 bunches of salal").reply  # packs of 20–25
