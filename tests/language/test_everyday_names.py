"""Words of everyday English that are flower names too; what people say is common practice, no source."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.language.parsing import Parser

TODAY = date(2026, 11, 25)


@pytest.mark.parametrize(
    "text",
    [
        "i'd be glad to know how long i can leave it in the cold room",
        "so a tenth of them snap",
        "something i'd stock or something off a coin",
        "doing the stock sheet for the first time",
        "sister on bay 4 won't have yellow powder",
        "the school bop is on friday",
        "a room full of hyper five year olds",
        "what have i got before it carks it",
        "iris and veronica are both off sick",
        "it squirted me in the eye, right on the iris",
        "want to pepper the tables with something",
        "dropping husks all over the till",
        "the van is gentle and nothing snaps",
        "her iris of an eye went red",
        "the lady with the ginger tom",
        "Poppy on the till had a question",
        "my friend Rose is off today",
        "our cat's paw is swollen",
        "counting stock before the weekend",
        "which of the greens we stock are safe for toddlers",
        "we are short on our stock of foam",
        "mum's grave wants something that stands frost",
        "mums grave wants something that stands frost",
        "should i smash the ends with a mallet",
        "what will outlive everything else in there",
        "which keep well in a carton",
        "the sauna has a big vase",
    ],
)
def test_an_everyday_word_is_no_flower(parser: Parser, text: str) -> None:
    assert not parser.parse(text, today=TODAY).mentions


@pytest.mark.parametrize(
    ("text", "material"),
    [
        ("two glads a vase", "gladiolus"),
        ("how long do snaps last", "snapdragon"),
        ("would stock last a week", "stock"),
        ("iris and tulips in one vase", "iris"),
        ("one glad per jug", "gladiolus"),
        ("sixty stems delphinium belladonna", "belladonna-delphinium"),
        ("st. john's wort at 20", "hypericum"),
        ("ginger at 20, how many days", "red-ginger"),
        ("veronica in the office at 20", "veronica"),
        ("iris hates ethylene, doesn't it", "iris"),
        ("rose on its own in a bud vase", "rose"),
        ("poppy heads on the till, safe for children", "poppy-pod"),
        ("what should the rose fridge be set at", "rose"),
        ("our stock (the flower) came in on friday", "stock"),
        ("40 stock for the church", "stock"),
        ("mum's are dropping petals", "spray-chrysanthemum"),
        ("mums for the funeral at 20", "spray-chrysanthemum"),
        ("delfinium in foam", "delphinium"),
        ("feathrey celosia at 23", "plume-celosia"),
    ],
)
def test_a_flower_is_still_one(parser: Parser, text: str, material: str) -> None:
    assert material in {m.ids[0] for m in parser.parse(text, today=TODAY).mentions}


def test_a_name_does_not_reach_over_a_full_stop(parser: Parser) -> None:
    found = parser.parse("4.5 litres, it's for magnolia. glycerin how much", today=TODAY).mentions
    assert [m.id for m in found] == ["magnolia-foliage"]
