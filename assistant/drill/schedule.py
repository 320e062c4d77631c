"""When an item comes back: FSRS without fuzz, with ids that last and a clock that is handed in."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import datetime, timedelta

from fsrs import Card, Rating, Scheduler, State

from assistant.drill.marking.mark import Mark

# One short step: in a shop the next look is in this shift or another day, not in a minute.
_STEPS = (timedelta(minutes=10),)


@dataclass(frozen=True, slots=True)
class Memory:
    """What the schedule knows of one learner and one item. `stability` [d]; `changed`: its right answer changed."""

    item: str
    due: datetime
    last_review: datetime | None
    stability: float | None
    difficulty: float | None
    state: int
    step: int | None
    reps: int
    lapses: int
    fingerprint: str
    retired: bool = False
    changed: bool = False

    @property
    def is_learnt(self) -> bool:
        """Past the first steps: the last answer was right, or half right after a right one."""
        return self.state == State.Review


def card_number(item_id: str) -> int:
    """A number for an item that is the same on every machine and day (53 bits, so that JSON keeps it)."""
    return int.from_bytes(hashlib.sha256(item_id.encode()).digest()[:7], "big") >> 3


def rating_of(mark: Mark) -> Rating:
    """Wrong and "I don't know" start over, half right comes back sooner."""
    if mark.verdict == "right":
        return Rating.Good
    return Rating.Hard if mark.verdict == "partly" else Rating.Again


class Schedule:
    """Works out the next date from the last ones. Keeps nothing."""

    def __init__(self, desired_retention: float = 0.9) -> None:
        self._fsrs = Scheduler(
            desired_retention=desired_retention, learning_steps=_STEPS, relearning_steps=_STEPS, enable_fuzzing=False
        )

    def review(self, item_id: str, memory: Memory | None, mark: Mark, now: datetime, fingerprint: str) -> Memory:
        """The memory after an answer. `now` must be in UTC."""
        card, _ = self._fsrs.review_card(_card(item_id, memory, now), rating_of(mark), now)
        failed = mark.verdict in ("wrong", "unknown")
        return Memory(
            item_id, card.due, card.last_review, card.stability, card.difficulty, int(card.state), card.step,
            (memory.reps if memory else 0) + 1, (memory.lapses if memory else 0) + (1 if failed else 0), fingerprint,
        )  # fmt: skip

    def recall(self, memory: Memory, at: datetime) -> float:
        """Probability that the learner knows it at a time; nothing for what was never answered right. [1]

        The model alone would give certainty right after a wrong answer, because the right one was shown.
        """
        if memory.last_review is None or memory.stability is None or not memory.is_learnt:
            return 0.0
        moment = max(at, memory.last_review)
        return float(self._fsrs.get_card_retrievability(_card(memory.item, memory, moment), moment))


def _card(item_id: str, memory: Memory | None, now: datetime) -> Card:
    if memory is None:
        return Card(card_id=card_number(item_id), due=now)
    # A clock that was set back must not make a review lie in the future.
    last = min(memory.last_review, now) if memory.last_review else None
    return Card(
        card_number(item_id), State(memory.state), memory.step, memory.stability, memory.difficulty, memory.due, last
    )
