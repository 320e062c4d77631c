"""The labelled answers of the evaluation, by words alone: the bars hold without the sentence model too."""

from __future__ import annotations

import pytest

from assistant.drill.items import Bank
from assistant.drill.marking.marker import Marker
from evals.drill import AGREEMENT_BAR, RIGHT_MARKED_WRONG_BAR, labelled_answers


@pytest.mark.parametrize("part", ["answers", "heldout"])
def test_marking_agrees_with_the_labels(bank: Bank, marker: Marker, part: str) -> None:
    rows = [(row, marker.mark(row.item, row.said).verdict) for row in labelled_answers(bank, part)]
    assert len(rows) >= 300
    agreed = sum(row.label == got for row, got in rows) / len(rows)
    rights = [got for row, got in rows if row.label == "right"]
    assert agreed >= AGREEMENT_BAR
    assert sum(got in ("wrong", "unknown") for got in rights) / len(rights) <= RIGHT_MARKED_WRONG_BAR
