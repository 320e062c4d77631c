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
        ("you needn't allow anything for wastage", 0),
        ("no need to add any for breakages", 0),
        ("1 in 10 is rubbish", 10),
        ("say 1 in 10 snaps", 10),
        ("8 in 10 are good", 20),
        ("a quarter of it goes in the bin", 25),
        ("and if none get chucked away", 0),
        ("bin nothing", 0),
        ("assume that no stem is lost", 0),
        ("with nothing wasted", 0),
        ("none go to waste", 0),
        ("assume every stem's a good one", 0),
        ("don't count on any breaking", 0),
        ("don't add anything on for waste", 0),
        ("dont add any for loss", 0),
        ("none are going to be wasted", 0),
        ("nothing will be thrown away", 0),
        ("don't worry about losses", 0),
        ("nothing's going to waste", 0),
        ("don't bother adding any for breakages", 0),
        ("no extra for the damaged", 0),
        ("1 in every 20 won't make it", 5),
        ("about 1 in 8 gets crushed on the way", 12.5),
        ("writing off 1 in 12", 100 / 12),
        ("we bin every eighth nigella", 12.5),
        ("a fifth are bent", 20),
        ("make the breakage one in 5", 20),
        ("i bin about one trail in 20", 5),
        ("every fifth one gets squashed in the box", 20),
        ("he now says every tenth", 10),
        ("when 4 in the 100 fail", 4),
        ("reckon on a tenth breaking", 10),
        ("i only trust 9 out of 10 of this grower's stems", 10),
        ("i never lose any", 0),
        ("i never lose a one", 0),
        ("the van is gentle and nothing snaps", 0),
        ("nothing extra, please", 0),
        ("no extras", 0),
        ("i don't want to be binning any", 0),
        ("not budgeting for any duds", 0),
        ("if we reckon on nothing getting wasted", 0),
        ("bank on them all being good", 0),
        ("i'm not counting on any going bad", 0),
        ("i refuse to throw any away", 0),
        ("bunch of 25, half rubbish", 50),
    ],
)
def test_losses_are_read(text: str, percent: float) -> None:
    assert next(iter(losses(text, _free))).reading.number == pytest.approx(percent)


@pytest.mark.parametrize(
    "text",
    [
        "2 in 3 weddings",
        "how many days do i lose",
        "a fifth stem",
        "nothing fancy",
        "don't forget to allow for waste",
        "change the water every third day",
        "i never lose one in 10",
        "i bin 2 roses in 3 days",
        "visits every tenth day",
        "with nothing extra in the water",
        "we don't want to lose any more",
        "nothing is going off",
        "i don't want to waste water",
        "no extras in the vase",
    ],
)
def test_other_shares_are_no_losses(text: str) -> None:
    assert not list(losses(text, _free))
