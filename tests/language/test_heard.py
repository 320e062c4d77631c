"""What dictation and hurry make of small words; the sound-alikes are common practice of dictation, no source."""

from __future__ import annotations

import pytest

from assistant.language.heard import as_meant


@pytest.mark.parametrize(
    ("heard", "meant"),
    [
        ("how mulch water", "how much water"),
        ("wood they last a weak", "would they last a week"),
        ("witch is safer near cats", "which is safer near cats"),
        ("what does a 12 litre bucket way", "what does a 12 litre bucket weigh"),
        ("6 bunch's of roses", "6 bunches of roses"),
        ("do peony's last", "do peonies last"),
        ("what do flours need", "what do flowers need"),
        ("weather they need food", "whether they need food"),
        ("many how stems", "how many stems"),
        ("is what bent neck", "what is bent neck"),
        ("foxtail lilly", "foxtail lily"),
        ("how mulch longer", "how much longer"),
        ("but never witch ones", "but never which ones"),
        ("fifteen stem's apiece", "fifteen stems apiece"),
        ("someone asked me weather genista is toxic", "someone asked me whether genista is toxic"),
        ("sixty stems of stalk", "sixty stems of stock"),
        ("shes got a cat wood that one be alright", "shes got a cat would that one be alright"),
        ("eighteen in are back room", "eighteen in our back room"),
        ("wear did you get that from", "where did you get that from"),
        ("decent for the weak and dry", "decent for the week and dry"),
    ],
)
def test_sound_alikes_are_spelled_as_meant(heard: str, meant: str) -> None:
    assert as_meant(heard) == meant


@pytest.mark.parametrize(
    "text",
    [
        "weak stems", "a weak solution", "the rose's petals drop", "put wood in the vase", "is it wood that lasts", "the ones in are fine", "which way round", "cake flour",
        "the display's in for a fortnight", "what is the weather", "ask about the weather in town", "tell me weather for tomorrow", "strip the stalk", "a bay's berries", "too much mulch", "wear gloves",
    ],
)  # fmt: skip
def test_what_is_rightly_spelled_stays(text: str) -> None:
    assert as_meant(text) == text
