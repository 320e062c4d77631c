"""What it costs. The sums are plain arithmetic; the mark-ups are the handbook's rules `mark-up` and `cost-of-goods-target`."""

from __future__ import annotations

import pytest

from assistant.dialogue.answer import Answer
from assistant.dialogue.conversation import Conversation


def costs(answer: Answer) -> list[tuple[str | None, float]]:
    return [(f.material, pytest.approx(f.value)) for f in answer.figures if f.kind == "cost"]


def test_several_materials_are_added_up_line_by_line(talk: Conversation) -> None:
    answer = talk.turn("4 bunches of pampas at 22 quid and 3 of dried oats at 8 quid, add it up for me would you")
    assert costs(answer) == [("pampas-grass", 88.0), ("dried-oats", 24.0), (None, 112.0)]
    assert all(words in answer.reply for words in ("pampas grass 88.00", "dried oats 24.00", "112.00 in all"))


def test_a_line_of_the_bill_can_be_changed_and_added_to(talk: Conversation) -> None:
    talk.turn("12 roses at 1.20 a stem and 20 stocks at 85p a stem, what does that come to")
    assert costs(talk.turn("make it 30 stocks"))[-1] == (None, 14.4 + 25.5)
    assert costs(talk.turn("and 1.50 for the roses"))[-1] == (None, 18.0 + 25.5)
    assert costs(talk.turn("add 5 bunches of salal at 6 a bunch"))[-1] == (None, 18.0 + 25.5 + 30.0)
    assert costs(talk.turn("put 3x on that"))[-1] == (None, 3 * 73.5)


def test_a_material_without_a_price_is_asked_for_and_not_guessed(talk: Conversation) -> None:
    answer = talk.turn("roses at 2.20 a stem, 12 of them, and 20 stocks, total?")
    assert costs(answer) == [("rose", 26.4)]
    assert "What do stocks cost you?" in answer.reply


def test_one_or_the_other_is_not_summed(talk: Conversation) -> None:
    answer = talk.turn("oncidium or mokara at 3.20 and 4.10 a stem, I need 20. which costs less?")
    assert costs(answer)[-2:] == [("oncidium-orchid", 64.0), ("mokara-orchid", 82.0)]
    assert "Oncidium orchids cost less, by 18.00" in answer.reply


@pytest.mark.parametrize(
    ("text", "cost"),
    [
        ("hellebores are 11.20 for a bunch of ten. what's that per stem", 1.12),
        ("$26 for a box of six preserved roses... so one head is how much", 26 / 6),
        ("A bunch of ten leucadendron costs 12.40. What does one stem cost?", 1.24),
        ("lisianthus 18.50 for a bunch of ten and I throw away 10 percent, what does a stem cost me", 18.5 / 9),
        ("palm spears, the dried kind, $2.15 a stem and I want eighteen of them", 38.7),
        ("proteas are four quid a head and I use three per bouquet, eight bouquets. cost?", 96.0),
        ("48 gerbera at 0.85, what's that", 40.8),
        ("i pay 85 cents a stem for tulips. what should 50 cost me with 10 percent loss", 56 * 0.85),
    ],
)
def test_the_price_of_a_stem_and_of_many(talk: Conversation, text: str, cost: float) -> None:
    assert talk.turn(text).figures[0].value == pytest.approx(cost)


def test_pieces_times_stems_are_bought_in_whole_bunches(talk: Conversation) -> None:
    """24 stems in bunches of five with 8 % loss: five bunches hold 25, of which 24 sound ones are unlikely; six do."""
    figure = talk.turn("winterberry, 6 vases with 4 stems each, 7.20 for a bunch of five. What do I spend?").figures[0]
    assert figure.value == pytest.approx(6 * 7.2)
    assert {(i.name, i.value) for i in figure.inputs} >= {("pieces", 6.0), ("pack_size", 5.0)}


def test_a_count_without_a_piece_is_not_multiplied(talk: Conversation) -> None:
    assert costs(talk.turn("60 stems of alstroemeria at 75p for 6 vases, cost?")) == [("alstroemeria", 45.0)]


def test_what_was_counted_before_is_priced(talk: Conversation) -> None:
    talk.turn("dried wheat for a harvest arch, 300 stems. how many bunches is that")
    talk.turn("and if they come 100 to the bunch with nothing wasted")
    assert costs(talk.turn("what do i pay for those at £14.50 a bunch")) == [("dried-wheat", 43.5)]


def test_six_of_them_priced_after_another_ask(talk: Conversation) -> None:
    talk.turn("what is telopea?")
    assert costs(talk.turn("Six of them at 4.25 each, what is the bill?")) == [("waratah", 25.5)]
    assert costs(talk.turn("And marked up 2.8 times?"))[-1] == (None, 71.4)


def test_a_factor_is_put_on_a_cost_that_names_no_material(talk: Conversation) -> None:
    answer = talk.turn("urn cost me 38 in flowers, what's the price at three and a half times")
    assert costs(answer) == [(None, 38.0), (None, 133.0)]
    assert costs(talk.turn("and at 3?"))[-1] == (None, 114.0)


def test_a_new_price_buys_what_the_old_one_bought(talk: Conversation) -> None:
    """60 stems of stock in bunches of ten with 8 % loss are seven bunches."""
    talk.turn("stock is 6 a bunch, i need 60 stems, what do i pay")
    assert costs(talk.turn("he might put it up to 7, then what")) == [("stock", 49.0)]


@pytest.mark.parametrize(
    "text", ["what mark up do shops put on fresh flowers", "what's the usual mark-up on a wedding", "what should I charge for flowers"],
)  # fmt: skip
def test_what_is_usual_comes_from_the_handbook(talk: Conversation, text: str) -> None:
    answer = talk.turn(text)
    assert answer.outcome == "answered"
    assert (3.0, 4.0) in {(f.low, f.high) for f in answer.figures}


def test_the_share_of_sales_comes_from_the_handbook(talk: Conversation) -> None:
    answer = talk.turn("what percentage of sales should flowers cost me")
    assert (25.0, 35.0) in {(f.low, f.high) for f in answer.figures}


def test_ones_own_factor_is_held_against_the_usual(talk: Conversation) -> None:
    talk.turn("urn cost me 38 in flowers, what's the price at six times")
    assert (
        "6 times cost is above the handbook's 3–5 for event work"
        in talk.turn("is that a normal mark-up for event work?").reply
    )


def test_tax_is_not_reckoned_and_that_is_said(talk: Conversation) -> None:
    talk.turn("what's 40 stems of freesia at 55p")
    answer = talk.turn("and with 8% vat?")
    assert costs(answer) == [("freesia", 22.0)]
    assert "not reckoned" in answer.reply


def test_a_budget_buys_so_many(talk: Conversation) -> None:
    answer = talk.turn("budget of £60, roses at £2.20 a stem, how many can I have")
    assert [(f.kind, f.value) for f in answer.figures] == [("stems", 27)]


def test_a_bill_and_a_dose_in_one_breath(talk: Conversation) -> None:
    answer = talk.turn(
        "fifty genista at 90p a stem, plus food for 12 litres at 8 g a litre - cost of the stems and grams of food"
    )
    assert {(f.kind, round(f.value, 6)) for f in answer.figures} == {("cost", 45.0), ("dose", 96.0)}


def test_a_what_if_on_the_price_keeps_what_it_buys(talk: Conversation) -> None:
    from assistant.dialogue.inputs import reading_of

    talk.turn("tulips are 4 a bunch of ten, three bunches, total?")
    assert talk.revise("price", reading_of(5.0, "money")).figures[0].value == pytest.approx(15.0)


def test_what_a_counted_lot_cost_is_its_price(talk: Conversation) -> None:
    answer = talk.turn("40 stems of seeded eucalyptus cost me 24 quid, what do I charge at 3x")
    assert {f.value for f in answer.figures} == {24, 72}


def test_bunches_said_again_are_bunches_and_a_price_like_the_last_one_is_a_price(talk: Conversation) -> None:
    talk.turn("17 bunches of strawflower at 5.75")
    assert costs(talk.turn("19 then")) == [("strawflower", 19 * 5.75)]
    assert costs(talk.turn("or at 5.20 a bunch")) == [("strawflower", 19 * 5.20)]


def test_an_old_price_buys_nothing(talk: Conversation) -> None:
    answer = talk.turn("dusty miller was 6.50 last year, it's 7.10 a bunch of ten now. 85 stems with no losses, i pay?")
    assert costs(answer) == [("dusty-miller", 9 * 7.10)]


def test_bunches_in_each_piece_are_multiplied(talk: Conversation) -> None:
    assert costs(talk.turn("eight urns, three bunches of huckleberry in each, £11.25 a bunch")) == [
        ("huckleberry", 270.0)
    ]
    assert costs(talk.turn("two bunches each would fill it")) == [("huckleberry", 180.0)]


def test_so_many_for_a_price_is_a_bunch(talk: Conversation) -> None:
    assert costs(talk.turn("statice came 25 for 8.75, whats one stem")) == [("statice", 0.35)]


def test_the_price_beside_an_order_in_bunches_is_the_bunchs(talk: Conversation) -> None:
    talk.turn("asclepias has gone up to £9.80. 60 stems in tens with no loss, how many bunches is it")
    assert costs(talk.turn("ok so at that price what do i pay")) == [("asclepias", 6 * 9.80)]


def test_what_one_piece_takes_is_multiplied_by_the_pieces_said_after_it(talk: Conversation) -> None:
    talk.turn("a weekly vase takes 8 stems of michaelmas daisy at 0.55 a stem. what does it come to?")
    assert costs(talk.turn("and for fourteen such vases?")) == [("september-aster", 14 * 8 * 0.55)]


def test_one_count_is_that_of_either(talk: Conversation) -> None:
    answer = talk.turn("which works out dearer for 60 stems with no losses, tulips at 7 a bunch or freesias at 6.20")
    assert costs(answer) == [("tulip", 42.0), ("freesia", 37.2)]


def test_a_whole_number_beside_a_price_with_pence_counts(talk: Conversation) -> None:
    talk.turn("ten waratahs at 6.25 apiece, what do I pay")
    assert costs(talk.turn("make it four")) == [("waratah", 25.0)]


def test_what_one_takes_is_multiplied_in_one_message(talk: Conversation) -> None:
    answer = talk.turn(
        "corsage takes one gardenia at 4.80 and three tuberose at 1.35. twelve corsages, what do they cost?"
    )
    assert costs(answer)[-1] == (None, 12 * (4.80 + 3 * 1.35))


@pytest.mark.parametrize(
    ("text", "cost"),
    [
        ("waratah, three of them, six seventy five a go. add it up for me", 20.25),
        ("9 corsages at 6.50 flowers each, total?", 58.5),
        ("reindeer moss thirty two a box, what do I pay for two boxes", 64.0),
        ("torch ginger lands at 11 apiece, four of them", 44.0),
        ("I take thirty gerbera, one piece costs 1.10, what will I pay", 33.0),
        ("dahlias 7.20 for ten, four to a jar, so what's one jar standing me", 2.88),
    ],
)
def test_prices_in_the_words_of_the_trade(talk: Conversation, text: str, cost: float) -> None:
    assert talk.turn(text).figures[0].value == pytest.approx(cost)


def test_a_price_in_words_and_another_after_its_name(talk: Conversation) -> None:
    answer = talk.turn(
        "4 bunches of amaranthus went through at seven fifty and two of brunia at eleven. what's that come to?"
    )
    assert costs(answer)[-1] == (None, 52.0)


def test_by_the_stem_or_by_the_bunch(talk: Conversation) -> None:
    """34 × 1.35 = 45.90; four bunches 51.60; three bunches and four stems 38.70 + 5.40 = 44.10."""
    answer = talk.turn("kangaroo paw is 1.35 by the stem, 12.90 by the bunch of ten. I need 34, which is cheaper")
    assert [v for _, v in costs(answer)] == [45.9, 51.6, 44.1]
    assert answer.reply.startswith("3 bunches and 4 single stems cost least: 44.10.")


def test_two_lots_without_a_name_are_added(talk: Conversation) -> None:
    assert costs(talk.turn("six bunches at 9.25 and four at 14, what am I in for"))[-1] == (None, 111.5)


def test_stems_priced_by_the_ten_are_bought_by_the_ten(talk: Conversation) -> None:
    """35 sound ones of 10 % loss: four tens hold 40, of which 35 are good with less than 90 %; five do."""
    answer = talk.turn("dried physalis: what do they cost me if ten stems are 14.50 and I want thirty-five")
    assert costs(answer)[0][1] == 72.5


def test_an_hour_somebody_comes_at_is_no_price(talk: Conversation) -> None:
    answer = talk.turn(
        "bride coming in at four and I haven't a clue what price to put on her bouquet. how much should I ask?"
    )
    assert answer.outcome == "not_covered"
    assert not answer.figures
    assert "display_temperature" not in talk.memory.job
