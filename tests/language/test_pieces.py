"""How many pieces are made, as people say it; common practice, no source."""

from __future__ import annotations

import pytest

from assistant.language.pieces import no_counts, pieces


def read(text: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for claim in pieces(text, lambda start, end: False, lambda end: False):
        found.setdefault(claim.slot, claim.reading.number)
    return found


@pytest.mark.parametrize(
    ("text", "number"),
    [
        ("4 to a jam jar, the jars are 22 in number", 22),
        ("baskets are 18 and want 6 apiece", 18),
        ("pew ends, 16. on each, 3 of soft ruscus", 16),
        ("at every chair end, of which there are 25", 25),
        ("boxes - there's 31 of them", 31),
        ("we've 25 now, and every one gets a single rose", 25),
        ("9 vase, 4 in each", 9),
        ("14 sheaves, 30 ears apiece of wheat", 14),
        ("2 casket sprays and in each 18 salal", 2),
        ("we've lost 2 pews to the heating, so 9", 9),
        ("9 of the table things, each one gets 4", 9),
        ("14 of the jam jar jobs, each gets 3", 14),
        ("every other table of 20 gets 6", 10),
        ("25 pew-end chairs to dress and every one gets 4", 25),
        ("and if i have 10 pieces of the same vase", 10),
        ("10 the same, and each takes 4 solidago", 10),
        ("6, 8 cm across, water up to 20", 6),
        ("alternate pews of 31", 16),
    ],
)
def test_pieces_are_read(text: str, number: float) -> None:
    assert read(text)["pieces"] == number


@pytest.mark.parametrize(
    "text",
    [
        "of which i have 40 to do, a sprig of thryptomene apiece",
        "144 bud vases, tweedia in every one, just the one",
        "there's 80 of them, one each",
    ],
)
def test_one_stem_for_each_piece(text: str) -> None:
    assert read(text)["stems"] == 1


@pytest.mark.parametrize(
    "text",
    ["the vases are 20 and dusty", "a size 9 vase", "60 sheaves of wheat", "tables 5, roses 3", "one each please"],
)
def test_other_numbers_count_no_pieces(text: str) -> None:
    assert not read(text)


@pytest.mark.parametrize(
    "text",
    [
        "to numbers 12, 14 and 18",
        "red hot job for unit 17:",
        "for all 3.",
        "number 40 this year",
        "2 things about eucharis",
        "which of the 2 is worse",
    ],
)
def test_labels_count_nothing(text: str) -> None:
    (start, end), *_ = no_counts(text)
    assert any(c.isdigit() for c in text[start:end])
