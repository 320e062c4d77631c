"""Shares of stems lost, as they are said at the bench; common practice, no source. The arithmetic is by hand."""

from __future__ import annotations

import pytest

from assistant.language.losses import losses


def _free(start: int, end: int) -> bool:
    return False


@pytest.mark.parametrize(
    ("text", "percent"),
    [
        ("we lose about a fifth of our maidenhair", 20),
        ("losing 7 in every 100", 7),
        ("1 in 10 is rubbish", 10),
        ("say 1 in 10 snaps", 10),
        ("8 in 10 are good", 20),
        ("a quarter of it goes in the bin", 25),
        ("and if none get chucked away", 0),
        ("bin nothing", 0),
        ("assume that no stem is lost", 0),
        ("with nothing wasted", 0),
        ("don't count on any breaking", 0),
    ],
)
def test_losses_are_read(text: str, percent: float) -> None:
    assert next(iter(losses(text, _free))).reading.number == pytest.approx(percent)


@pytest.mark.parametrize("text", ["2 in 3 weddings", "how many days do i lose", "a fifth stem", "nothing fancy"])
def test_other_shares_are_no_losses(text: str) -> None:
    assert not list(losses(text, _free))
