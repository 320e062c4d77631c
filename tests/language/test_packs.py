"""What a bunch holds, as it is said at the bench; common practice, no source."""

from __future__ import annotations

import pytest

from assistant.language.packs import packs


def _free(start: int, end: int) -> bool:
    return False


@pytest.mark.parametrize(
    ("text", "stems"),
    [
        ("48 gerberas in tens", 10),
        ("24 branches, bundled in sixes", 6),
        ("the skimmia comes in eights", 8),
        ("lily grass in hundreds", 100),
        ("emerald palm, 20 leaves to the bunch", 20),
        ("40 preserved ferns, tens please", 10),
        ("and from 25s", 25),
        ("twelves are cheaper", 12),
        ("heliconia, packed 5", 5),
        ("12 bunches in the bucket, 10 in each", 10),
        ("if a bunch of sprengeri has 25 in it", 25),
        ("12 king proteas, sold singly", 1),
        ("60 to the bundle", 60),
        ("the other place does sixties", 60),
        ("counted a bunch of salal this morning: 22. need 200", 22),
        ("our bunches run to 120", 120),
        ("garden roses come to us 12 at a time", 12),
        ("60 pips, boxes of 25, please", 25),
        ("bunches are 10s", 10),
        ("200 / tens / 15%", 10),
        ("the sheaves here hold 100. sheaves?", 100),
        ("sheaves of 80 is all they had", 80),
        ("they come 5 in a sleeve", 5),
        ("12.90 by the bunch and that's 10", 10),
        ("bundles, dried, about 100 in one", 100),
        ("bunch costs me 6.40, 10 stems. i need 48", 10),
        ("and they go per 10", 10),
        ("bunches being tens", 10),
        ("bunches hold 25 carnations and 5 % are lost", 25),
        ("25 come in a bunch", 25),
        ("10 make a bunch", 10),
        ("12 are tied in a bunch", 12),
        ("need 90, box has 50, how many boxes", 50),
    ],
)
def test_packs_are_read(text: str, stems: int) -> None:
    assert next(iter(packs(text, _free))).reading.number == stems


@pytest.mark.parametrize(
    "text",
    [
        "roses at 22 in the tent",
        "ready in 24 hours",
        "a bunch of ten minutes",
        "in 200",
        "no cut it in 2",
        "bunches hold 7 days in the cooler",
        "the box is 40 and i need 12",
        "12 boxes of 25 roses",
        "6 sheaves of 80 ears each",
        "3 bunches and 20 in one vase",
        "a bunch at 6.40, 10 days ago",
    ],
)
def test_other_numbers_are_no_packs(text: str) -> None:
    assert not list(packs(text, _free))


def test_what_is_claimed_is_left_alone() -> None:
    assert not list(packs("gerberas in tens", lambda start, end: True))
