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
        ("chrysanths, them with the one great big head", {"standard-chrysanthemum"}),
        ("chrysanths with a single huge bloom", {"standard-chrysanthemum"}),
        ("chrysanths with lots of little heads", {"spray-chrysanthemum"}),
        (
            "hydrangea, there's the preserved kind and there's the dried kind",
            {"preserved-hydrangea", "dried-hydrangea"},
        ),
        ("all the rose heads are drooping at the neck", {"rose"}),
        ("rose heads, dried", {"dried-rose"}),
        ("larkspur bunches at 20", {"larkspur"}),
        ("statice, also dried", {"dried-statice"}),
        ("statice, also dried lavender", {"statice", "dried-lavender"}),
        ("30 fresh lotus heads", {"lotus-pod"}),
        ("before i stock up on celosia that's been dried", {"dried-celosia"}),
        ("tell me what foxtail barley is, oh no hang on I mean foxtail millet", {"foxtail-millet"}),
        ("roses, I mean the spray roses", {"spray-rose"}),
        ("tulips, hang on, and roses", {"tulip", "rose"}),
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
        ("gerbera or mini for a table at 25", {"gerbera", "mini-gerbera"}),
        ("seeded or parvifolia, which is tougher", {"seeded-eucalyptus", "parvifolia-eucalyptus"}),
        ("fraser or douglas for a swag", {"fraser-fir", "douglas-fir"}),
        ("the mini callas or the big white ones", {"mini-calla", "calla"}),
        ("scabiosa pods vs flower, what are they", {"scabiosa-pod", "scabiosa"}),
        ("do strawflowers last longer fresh or dried", {"strawflower", "dried-strawflower"}),
        ("something dried, and it's either wheat or oats", {"dried-wheat", "dried-oats"}),
        ("hydrangea heads, forty of them - preserved, not dried", {"preserved-hydrangea"}),
        ("globe thistle that is already dry, how long does it keep", {"dried-globe-thistle"}),
        ("how many oats, and are dried oats different from oats", {"oats", "dried-oats"}),
        ("ivy with berries on, is that a worry", {"ivy-berry"}),
        ("keep hydrangeas fresh, then dry them", {"hydrangea"}),
        ("thirty lotus pods, not the dry ones, fresh", {"lotus-pod"}),
        ("love-in-a-mist seed heads, the dried ones", {"dried-nigella-pod"}),
        ("chrysanthemums with the one large bloom apiece", {"standard-chrysanthemum"}),
        ("two sorts of cedar, the incense and the western red", {"incense-cedar", "western-red-cedar"}),
        ("would preserved ruscus do for the fresh italian in bowls", {"preserved-ruscus", "italian-ruscus"}),
        ("how cool for torch ginger, and can the red share its shelf", {"torch-ginger", "red-ginger"}),
        ("no italian ruscus to be had, they've sent israeli", {"italian-ruscus", "large-leaved-ruscus"}),
        ("a thistle for a buttonhole, globe or sea holly", {"globe-thistle", "sea-holly"}),
        ("36 preserved ruscus at 1.15, just the ruscus", {"preserved-ruscus"}),
        ("preserved ruscus or the italian, which lasts", {"preserved-ruscus", "italian-ruscus"}),
        ("guelder rose, is that the white pompom or the berry", {"snowball-viburnum"}),
        ("the croton was in the rose fridge all night", {"croton-leaf"}),
        ("red roses and the white in foam", {"rose"}),
        ("spray chrysanthemums in the red", {"spray-chrysanthemum"}),
        ("4 globes of water and a sea holly", {"sea-holly"}),
    ],
)
def test_sorts_are_told_from_the_head(parser: Parser, text: str, ids: set[str]) -> None:
    question = parser.parse(text, today=date(2026, 11, 25))
    assert {m.ids[0] for m in question.mentions} == ids


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("I dried a load of larkspur last summer, how long is it good for", {"dried-larkspur"}),
        ("that quaking grass we do dried - how long before it's past it", {"dried-quaking-grass"}),
        ("need something dried round a door frame, wheat or oats", {"dried-wheat", "dried-oats"}),
        ("can larkspur be dried", {"larkspur"}),
        ("anything dried to replace larkspur", {"larkspur"}),
        ("statice and dried fruit in a box", {"statice"}),
        ("the larkspur has gone over, dried in a week", {"larkspur"}),
        ("wheat, green, not dried", {"wheat"}),
        ("love-in-a-mist seed pods, the dried nigella ones", {"dried-nigella-pod"}),
    ],
)
def test_a_state_said_by_itself_holds_for_all_that_is_named(parser: Parser, text: str, ids: set[str]) -> None:
    question = parser.parse(text, today=date(2026, 11, 25))
    assert {i for m in question.mentions for i in m.ids} == ids
