"""One quiz: what comes next, what an answer was worth, what is written down. A screen or a terminal sits on top.

    session = DrillSession(bank, store, learner, description, marker, clock=now, seed=1, count=10)
    while item := session.next():
        outcome = session.answer(input(item.question))

`unread(said)` tells beforehand whether anything can be made of an answer; `current` is the item that waits.
"""

from __future__ import annotations

import uuid
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from random import Random

from assistant.drill.item import LETTERS, Blueprint, Item, OneOf
from assistant.drill.items import Bank
from assistant.drill.marking.mark import Mark
from assistant.drill.marking.marker import Marker
from assistant.drill.schedule import Memory, Schedule
from assistant.drill.sets import EVERYTHING, SetDescription
from assistant.drill.store import Answered, Learner, Store
from assistant.handbook.passages import Passage
from assistant.language.cleaning import safe_text

# How often new items of each level come up: the plain ones first, but not only they.
_LEVEL_WEIGHTS = {1: 5, 2: 3, 3: 2}
_FRESH_TRIES = 40


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one answer: the mark, the right answer and where it stands in the handbook.

    `ask` is a question that can be put to the chat as it is; it is offered after any answer that was not right.
    `due` is when the item comes back. `changed` tells that the handbook's answer is not what it was last time.
    """

    item: Item
    said: str
    mark: Mark
    answer: str
    passage: Passage | None
    sources: tuple[str, ...]
    due: datetime
    ask: str | None
    changed: bool = False


@dataclass(frozen=True, slots=True)
class Summary:
    """A session so far."""

    asked: int
    right: int
    partly: int
    wrong: int
    unknown: int
    credit: float
    weakest: tuple[str, ...]

    @property
    def share(self) -> float:
        """Credit as a share of what was asked. [1]"""
        return self.credit / self.asked if self.asked else 0.0


class DrillSession:
    """A run of items for one learner.

    Args:
        bank: the items of the handbook.
        store: the open record; schedules are brought in line with the handbook at the start.
        learner: whose schedule it is.
        description: which items; everything by default.
        marker: marks the answers.
        clock: gives the time, in UTC.
        seed: decides the draw; the same seed, record and time give the same session.
        count: most items to ask; None: until nothing is left.

    Raises:
        StoreError: if the record can't be written.
    """

    def __init__(
        self,
        bank: Bank,
        store: Store,
        learner: Learner,
        description: SetDescription = EVERYTHING,
        marker: Marker | None = None,
        *,
        clock: Callable[[], datetime],
        seed: int | None = None,
        count: int | None = None,
    ) -> None:
        self.bank, self.store, self.learner, self.description = bank, store, learner, description
        self.marker = marker or Marker(bank.known.names)
        self.clock, self.count = clock, count
        self.id = uuid.uuid4().hex
        self.outcomes: list[Outcome] = []
        self.changed, self.retired = store.follow({b.id: b.fingerprint for b in bank}, clock(), learner)
        self._rng = Random(seed)
        self._schedule = Schedule()
        self._asked: set[tuple[str, ...]] = set()
        self._told: set[tuple[str, str]] = set()
        self._served = 0
        self._current: Item | None = None
        chosen = [b for b in bank if description.matches(b, bank.known.own)]
        self._memories = store.memories(learner)
        self._queue = self._line_up(chosen, clock())
        self._fresh = [b for b in chosen if b.fresh]

    @property
    def size(self) -> int:
        """Items in the set, whether asked or not."""
        return sum(self.description.matches(b, self.bank.known.own) for b in self.bank)

    @property
    def current(self) -> Item | None:
        """The item that waits for an answer."""
        return self._current

    def next(self) -> Item | None:
        """The next item: what is due, then what is new, then what is known, soonest due first. None at the end.

        An item that was not answered counts as passed over and its schedule is left alone.
        """
        self._current = None
        if self.count is not None and self._served >= self.count:
            return None
        self._current = self._from_queue() or self._new_numbers()
        if self._current is not None:
            self._served += 1
        return self._current

    def answer(self, said: str) -> Outcome:
        """Mark an answer, write it down and say when the item comes back.

        Raises:
            ValueError: if no item waits for an answer.
            TooLong: for more text than anyone answers with; nothing is written.
            StoreError: if the record can't be written.
        """
        item = self._current
        if item is None:
            raise ValueError("No question waits for an answer.")
        mark = self.marker.mark(item, said)
        now = self.clock()
        shown = safe_text(said)
        fingerprint = self.bank.blueprints[item.id].fingerprint
        answered = Answered(item.id, item.topic, now, self.id, item.question, shown, mark.verdict, mark.credit)
        was_changed = item.id in self._memories and self._memories[item.id].changed
        memory = self.store.record(
            self.learner, answered, lambda known: self._schedule.review(item.id, known, mark, now, fingerprint)
        )
        outcome = Outcome(
            item, shown, mark, right_answer(item), self.bank.passage(item), self.bank.source_lines(item), memory.due,
            None if mark.verdict == "right" else item.ask, was_changed,
        )  # fmt: skip
        self.outcomes.append(outcome)
        self._current = None
        return outcome

    def unread(self, said: str) -> str | None:
        """Why nothing could be made of an answer, so that it can be asked again before it counts; None if it can."""
        if self._current is None:
            return None
        mark = self.marker.mark(self._current, said)
        return mark.why if mark.unread else None

    def summary(self) -> Summary:
        verdicts = [o.mark.verdict for o in self.outcomes]
        by_topic: dict[str, list[float]] = defaultdict(list)
        for outcome in self.outcomes:
            by_topic[outcome.item.topic].append(outcome.mark.credit)
        weak = sorted((sum(credits) / len(credits), topic) for topic, credits in by_topic.items())
        return Summary(
            len(verdicts),
            verdicts.count("right"),
            verdicts.count("partly"),
            verdicts.count("wrong"),
            verdicts.count("unknown"),
            sum(o.mark.credit for o in self.outcomes),
            tuple(topic for share, topic in weak[:3] if share < 0.8),
        )

    # --- what comes next ------------------------------------------------------------------------------------------

    def _line_up(self, chosen: list[Blueprint], now: datetime) -> Iterator[Blueprint]:
        """Due items by date, changed ones first; new items mixed; known items by date."""
        held: list[tuple[Memory, Blueprint]] = [(m, b) for b in chosen if (m := self._memories.get(b.id)) is not None]
        held.sort(key=lambda pair: (not pair[0].changed, pair[0].due, pair[1].id))
        due = [b for m, b in held if m.due <= now]
        later = [b for m, b in held if m.due > now]
        later.sort(key=lambda b: (self._memories[b.id].due, b.id))
        new = [b for b in chosen if b.id not in self._memories]
        return self._spread(due, new, later)

    def _spread(self, due: list[Blueprint], new: list[Blueprint], later: list[Blueprint]) -> Iterator[Blueprint]:
        """Items that would give each other away (one fact asked in two ways) are put off to the end."""
        put_off: list[Blueprint] = []
        for blueprint in (*due, *self._mixed(new), *later):
            if (blueprint.topic, blueprint.entry) in self._told and not blueprint.fresh:
                put_off.append(blueprint)
            else:
                yield blueprint
        yield from put_off

    def _mixed(self, new: list[Blueprint]) -> Iterator[Blueprint]:
        """New items drawn by level, then by template, so that no template with thousands of items drowns the rest."""
        pools: dict[int, dict[str, list[Blueprint]]] = defaultdict(lambda: defaultdict(list))
        for blueprint in new:
            pools[blueprint.level][blueprint.template].append(blueprint)
        for templates in pools.values():
            for pool in templates.values():
                self._rng.shuffle(pool)
        while pools:
            levels = sorted(pools)
            level = self._rng.choices(levels, [_LEVEL_WEIGHTS.get(n, 1) for n in levels])[0]
            template = self._rng.choice(sorted(pools[level]))
            yield pools[level][template].pop()
            if not pools[level][template]:
                del pools[level][template]
            if not pools[level]:
                del pools[level]

    def _from_queue(self) -> Item | None:
        for blueprint in self._queue:
            item = blueprint.build(self._rng)
            if item is not None and self._is_first(item):
                self._told.add((item.topic, item.entry))
                return item
        return None

    def _new_numbers(self) -> Item | None:
        """When everything was asked, figure problems go on with numbers that were not asked yet."""
        for _ in range(_FRESH_TRIES if self._fresh and self.count is not None else 0):
            item = self._rng.choice(self._fresh).build(self._rng)
            if item is not None and self._is_first(item):
                return item
        return None

    def _is_first(self, item: Item) -> bool:
        """Was this very question not asked in this session?"""
        options = sorted(choice.text for choice in item.choices)
        asked = (item.question, *options)
        if asked in self._asked:
            return False
        self._asked.add(asked)
        return True


def right_answer(item: Item) -> str:
    """The answer in full, with the right letter or order in front of it."""
    if isinstance(item.key, OneOf):
        text = item.choices[item.key.index].text
        return f"{item.right_letter}) {text}" if item.answer == text else f"{item.right_letter}) {text} – {item.answer}"
    return item.answer


def lettered(item: Item) -> tuple[str, ...]:
    """The options as lines, "a) …"."""
    return tuple(f"{letter}) {choice.text}" for letter, choice in zip(LETTERS, item.choices, strict=False))
