"""Sorts told apart from their head; trade names, common practice, no source."""

from __future__ import annotations

from datetime import date

import pytest

from assistant.handbook.loading import Handbook
from assistant.language.parsing import Parser


@pytest.fixture(scope="module")
def parser(handbook: Handbook) -> Parser:
    return Parser(handbook)


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("of the three lilies (LA, oriental and asiatic) which lasts", {"la-lily", "oriental-lily", "asiatic-lily"}),
        ("regular gerberas and the mini ones", {"gerbera", "mini-gerbera"}),
        ("hydrangea that's been dried or hydrangea that's been preserved", {"dried-hydrangea", "preserved-hydrangea"}),
        ("which celosia, the cockscomb type or the plumes", {"cockscomb-celosia", "plume-celosia"}),
        ("how long are hydrangeas good for once they've been dried", {"dried-hydrangea"}),
        ("hydrangeas, preserved and dried", {"dried-hydrangea", "preserved-hydrangea"}),
        ("roses or the spray ones", {"rose", "spray-rose"}),
        ("lilies - the oriental ones", {"oriental-lily"}),
        ("carnations and spray roses", {"carnation", "spray-rose"}),
        ("white roses and dried lavender", {"rose", "dried-lavender"}),
        ("can I dry roses", {"rose"}),
        ("anything on dried helichrysum, you know, strawflowers", {"dried-strawflower"}),
        ("are the berries on euonymus toxic", {"euonymus"}),
    ],
)
def test_sorts_are_told_from_the_head(parser: Parser, text: str, ids: set[str]) -> None:
    question = parser.parse(text, today=date(2026, 11, 25))
    assert {m.ids[0] for m in question.mentions} == ids
