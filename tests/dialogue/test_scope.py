"""Plants the handbook lacks and subjects beside the trade's; the plants are common knowledge, no source."""

from __future__ import annotations

import pytest

from assistant.dialogue.conversation import Conversation
from assistant.dialogue.scope import stranger
from assistant.handbook.loading import Handbook
from assistant.language.names import NameIndex
from assistant.language.parsing import Parser
from assistant.language.strangers import PLANTS
from tests.conftest import TODAY


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("how long does edelweiss last", "edelweiss"),
        ("can oleander go on a dining table", "oleander"),
        ("thlaspi got left off the order, which green would do", "thlaspi"),
        ("what vase life on blue glimmerleaf", "glimmerleaf"),
    ],
)
def test_a_plant_the_handbook_lacks_is_named_and_not_passed_over(
    parser: Parser, talk: Conversation, text: str, word: str
) -> None:
    assert stranger(parser.parse(text, today=TODAY)) == word
    answer = talk.turn(text)
    assert answer.outcome == "not_covered"
    assert not answer.figures


def test_a_plant_with_an_entry_is_no_stranger(handbook: Handbook, parser: Parser) -> None:
    names = NameIndex(handbook)
    for plant in sorted(PLANTS):
        if names.look_up(plant):
            assert stranger(parser.parse(f"how long do {plant} last", today=TODAY)) is None


@pytest.mark.parametrize(
    "text",
    [
        "what should I buy my wife as an anniversary present", "how do you say peony in japanese",
        "will it rain on the wedding day", "place an order with the wholesaler for 50 roses",
        "when do daffodil bulbs go in the ground", "the cat's picked up fleas, what should i do", "whats the pay like for a florist, roughly", "red roses, what do they stand for",
        "when a man gives roses and they are red, what is he saying with it",
    ],
)  # fmt: skip
def test_other_subjects_are_declined(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "not_covered"


def test_an_order_to_be_drawn_up_is_no_drawing(talk: Conversation) -> None:
    answer = talk.turn("five urns, in every one twelve roses and ten salal, so please draw me up what to order")
    assert (answer.outcome, set(answer.materials)) == ("answered", {"rose", "salal"})


def test_a_month_has_its_flowers(talk: Conversation, handbook: Handbook) -> None:
    answer = talk.turn("which flowers are in season in May")
    assert answer.outcome == "answered"
    assert answer.task in ("season", "substitute")


def test_a_price_each_is_a_stems_and_a_price_a_bunch_a_bunchs(talk: Conversation) -> None:
    """Plain arithmetic: 40 x 0.35 = 14; 60 stems in bunches of ten at 7.5 % loss are 7 bunches, 7 x 6 = 42."""
    assert talk.turn("carnations are 35p each and I want 40, total?").figures[0].value == pytest.approx(14.0)
    figure = talk.turn("60 stems of stock, and the bunches are 6 each. What's the bill?").figures[0]
    assert (figure.kind, figure.value) == ("cost", pytest.approx(42.0))


@pytest.mark.parametrize(
    "text",
    [
        "every time I cut dahlias from the garden they've wilted within the hour",
        "roses from my garden, how long will they last in a vase at 20",
        "my mum loves peonies, how long do they last",
    ],
)
def test_cut_flowers_are_of_the_trade_wherever_they_grew(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "answered"


@pytest.mark.parametrize(
    "text",
    ["should I cut back the roses in the garden", "when do I plant dahlias in the garden", "would my wife love roses"],
)
def test_plants_in_the_ground_and_presents_are_not(talk: Conversation, text: str) -> None:
    assert talk.turn(text).outcome == "not_covered"


def test_the_age_of_a_child_is_no_age_of_flowers(parser: Parser) -> None:
    child = parser.parse("is it ok to give foxgloves to a six year old", today=TODAY)
    assert "elapsed_days" not in child.slots
    assert child.slots["audience"].words == ("children",)
    wreath = parser.parse("a 2 year old wreath of dried hydrangea, is it still good", today=TODAY)
    assert "elapsed_days" in wreath.slots
    assert "audience" not in wreath.slots
