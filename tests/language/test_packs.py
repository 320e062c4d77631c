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
        ("40 preserved ferns, tens please", 10),
        ("and from 25s", 25),
        ("twelves are cheaper", 12),
        ("heliconia, packed 5", 5),
        ("12 bunches in the bucket, 10 in each", 10),
        ("if a bunch of sprengeri has 25 in it", 25),
        ("12 king proteas, sold singly", 1),
        ("60 to the bundle", 60),
    ],
)
def test_packs_are_read(text: str, stems: int) -> None:
    assert next(iter(packs(text, _free))).reading.number == stems


@pytest.mark.parametrize("text", ["roses at 22 in the tent", "ready in 24 hours", "a bunch of ten minutes", "in 200"])
def test_other_numbers_are_no_packs(text: str) -> None:
    assert not list(packs(text, _free))


def test_what_is_claimed_is_left_alone() -> None:
    assert not list(packs("gerberas in tens", lambda start, end: True))
