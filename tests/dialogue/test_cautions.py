import typing

import pytest

from assistant.dialogue.cautions import cautions_for
from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.models import Trigger


@pytest.mark.parametrize("trigger", typing.get_args(Trigger))
def test_every_trigger_has_words(context: Context, trigger: str) -> None:
    assert cautions_for([trigger], context)


@pytest.mark.parametrize(
    ("text", "trigger"),
    [
        ("5.25 % bleach for 10 litres at 200 ppm", "bleach"),
        ("citric acid 300 mg per litre in 25 l", "acid"),
        ("are lilies safe with cats", "poison-cats"),
        ("paperwhites with dogs", "poison-dogs"),
        ("hellebores on a wedding cake", "food"),
        ("roses for the icu ward", "hospital"),
        ("dried pampas near candles", "fire"),
        ("how heavy is a 30 cm cylinder filled 50 cm", "lifting"),
        ("glycerin for 3 litres one part to two", "glycerin"),
        ("how do i condition monkshood", "poison-people"),
    ],
)
def test_a_danger_brings_its_caution_by_rule(talk: Conversation, context: Context, text: str, trigger: str) -> None:
    answer = talk.turn(text)
    assert set(cautions_for([trigger], context, answer.materials)) & set(answer.cautions)


def test_a_harmless_question_is_not_shouted_at(talk: Conversation) -> None:
    assert talk.turn("how many bunches of gerberas for 40 stems").cautions == ()


@pytest.mark.parametrize(
    "text",
    [
        "ow, i was stripping roses and the knife slipped, it won't stop bleeding",
        "I've cut my finger",
        "my thumb is cut open, how long do roses last",
    ],
)
def test_somebody_hurt_comes_first(talk: Conversation, text: str) -> None:
    """First aid for cuts (pressure, height, help when it does not stop): common practice, no source."""
    answer = talk.turn(text)
    assert answer.outcome == "answered"
    assert "Press a clean cloth" in answer.reply
    assert "emergency number" in answer.reply
    assert set(cautions_for(["knife"], talk.context)) <= set(answer.cautions)
