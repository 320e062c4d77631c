"""Who knows what: shares, weakest topics, forgetting curves, and the exports a trainer takes away."""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from assistant.drill.items import Bank
from assistant.drill.schedule import Memory, Schedule
from assistant.drill.store import Answered, Learner, Store

# An item counts as known once it was answered right and while the chance of recall is at least this. [1]
KNOWN_FROM = 0.9
CURVE_DAYS = 30
_BLOCKS = " ▁▂▃▄▅▆▇█"


@dataclass(frozen=True, slots=True)
class TopicProgress:
    """One learner and one topic. Shares are of 1; `items` is what the handbook has, `met` what was asked so far."""

    topic: str
    items: int
    met: int
    known: int
    answers: int
    credit: float
    recall: float

    @property
    def share(self) -> float:
        """Credit per answer. [1]"""
        return self.credit / self.answers if self.answers else 0.0


@dataclass(frozen=True, slots=True)
class LearnerProgress:
    """One learner. `curve` is (days from now, mean chance of recall without another look)."""

    learner: Learner
    answers: int
    credit: float
    due: int
    met: int
    known: int
    last: datetime | None
    topics: tuple[TopicProgress, ...]
    curve: tuple[tuple[int, float], ...]

    @property
    def share(self) -> float:
        return self.credit / self.answers if self.answers else 0.0

    @property
    def weakest(self) -> tuple[TopicProgress, ...]:
        """Topics with at least three answers, the lowest share first."""
        asked = [t for t in self.topics if t.answers >= 3 and t.share < 1]
        return tuple(sorted(asked, key=lambda t: (t.share, t.recall, t.topic))[:5])


def progress_of(store: Store, bank: Bank, learner: Learner, now: datetime) -> LearnerProgress:
    """Where a learner stands. Retired items are left out of what can be known, their answers stay counted."""
    memories = {k: m for k, m in store.memories(learner).items() if k in bank.blueprints}
    answers = store.answers(learner)
    schedule = Schedule()
    topics = _topics(bank, memories, answers, schedule, now)
    known = sum(_is_known(m, schedule, now) for m in memories.values())
    return LearnerProgress(
        learner,
        len(answers),
        sum(a.credit for a in answers),
        sum(m.due <= now for m in memories.values()),
        len(memories),
        known,
        answers[-1].at if answers else None,
        topics,
        forgetting_curve(memories.values(), now),
    )


def _topics(
    bank: Bank, memories: dict[str, Memory], answers: Sequence[Answered], schedule: Schedule, now: datetime
) -> tuple[TopicProgress, ...]:
    items: dict[str, int] = defaultdict(int)
    for blueprint in bank:
        items[blueprint.topic] += 1
    held: dict[str, list[Memory]] = defaultdict(list)
    for item, memory in memories.items():
        held[bank.blueprints[item].topic].append(memory)
    given: dict[str, list[float]] = defaultdict(list)
    for answer in answers:
        given[answer.topic].append(answer.credit)
    return tuple(
        TopicProgress(
            topic=topic,
            items=items[topic],
            met=len(held[topic]),
            known=sum(_is_known(m, schedule, now) for m in held[topic]),
            answers=len(given[topic]),
            credit=sum(given[topic]),
            recall=sum(schedule.recall(m, now) for m in held[topic]) / max(1, len(held[topic])),
        )
        for topic in sorted({*held, *given})
    )


def _is_known(memory: Memory, schedule: Schedule, now: datetime) -> bool:
    return schedule.recall(memory, now) >= KNOWN_FROM


def forgetting_curve(
    memories: Iterable[Memory], now: datetime, days: int = CURVE_DAYS
) -> tuple[tuple[int, float], ...]:
    """Mean chance of recall day by day if nothing is looked at again; empty without a reviewed item. [d], [1]"""
    schedule = Schedule()
    held = [m for m in memories if m.last_review is not None]
    if not held:
        return ()
    return tuple(
        (day, sum(schedule.recall(m, now + timedelta(days=day)) for m in held) / len(held)) for day in range(days + 1)
    )


def curve_lines(curve: Sequence[tuple[int, float]], height: int = 5) -> tuple[str, ...]:
    """The curve in block characters, from 0 % at the foot to 100 % at the top, one column a day."""
    if not curve:
        return ()
    lines = []
    for row in range(height, 0, -1):
        filled = [min(max(recall * height - (row - 1), 0.0), 1.0) for _, recall in curve]
        label = "100 %" if row == height else "  0 %" if row == 1 else "     "
        lines.append(f"{label} " + "".join(_BLOCKS[round(f * 8)] for f in filled))
    lines.append(f"      today{' ' * max(1, len(curve) - 12)}{curve[-1][0]} days")
    return tuple(lines)


# --- exports ------------------------------------------------------------------------------------------------------

CSV_COLUMNS = (
    "learner",
    "item",
    "topic",
    "entry",
    "level",
    "answers",
    "lapses",
    "last_answered",
    "due",
    "stability_days",
    "recall",
    "state",
)


def to_csv(store: Store, bank: Bank, learners: Sequence[Learner], now: datetime) -> str:
    """One row for each learner and item ever asked, as RFC 4180 text with a heading row."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow(CSV_COLUMNS)
    schedule = Schedule()
    for learner in learners:
        for item, memory in sorted(store.memories(learner).items()):
            blueprint = bank.blueprints.get(item)
            writer.writerow(
                (
                    _cell(learner.name),
                    item,
                    blueprint.topic if blueprint else "",
                    blueprint.entry if blueprint else item.split(":")[1],
                    blueprint.level if blueprint else "",
                    memory.reps,
                    memory.lapses,
                    memory.last_review.isoformat(timespec="seconds") if memory.last_review else "",
                    memory.due.isoformat(timespec="seconds"),
                    f"{memory.stability:.2f}" if memory.stability is not None else "",
                    f"{schedule.recall(memory, now):.3f}",
                    "current" if blueprint else "retired",
                )
            )
    return out.getvalue()


def _cell(text: str) -> str:
    """A spreadsheet takes a cell that starts like this for a formula."""
    return f"'{text}" if text[:1] in "=+-@\t\r" else text


def to_markdown(progress: Sequence[LearnerProgress], now: datetime) -> str:
    """A report with one table for all learners and one for each."""
    lines = [f"# Quiz progress on {now.date().isoformat()}", ""]
    lines += [
        "| learner | answers | share right | items met | known now | due | last answer |",
        "|---|---:|---:|---:|---:|---:|---|",
    ]
    lines += [
        f"| {_escaped(p.learner.name)} | {p.answers} | {p.share:.0%} | {p.met} | {p.known} | {p.due} | "
        f"{p.last.date().isoformat() if p.last else '–'} |"
        for p in progress
    ]
    for p in progress:
        lines += ["", f"## {_escaped(p.learner.name)}", ""]
        if p.weakest:
            lines += [f"Weakest: {', '.join(f'{t.topic} ({t.share:.0%})' for t in p.weakest)}.", ""]
        lines += [
            "| topic | answers | share right | items met | known now | recall today |",
            "|---|---:|---:|---:|---:|---:|",
        ]
        lines += [
            f"| {t.topic} | {t.answers} | {t.share:.0%} | {t.met} of {t.items} | {t.known} | {t.recall:.0%} |"
            for t in p.topics
        ]
        if p.curve:
            lines += ["", "Chance of recall without another look:", "", "```text", *curve_lines(p.curve), "```"]
    return "\n".join(lines) + "\n"


def _escaped(text: str) -> str:
    """A name as plain text in a Markdown table."""
    return "".join(f"\\{c}" if c in "\\`*_{}[]<>()#+!|~" else c for c in text)


def as_json(progress: LearnerProgress) -> dict[str, object]:
    """The same for scripts."""
    return {
        "learner": progress.learner.name,
        "answers": progress.answers,
        "share": round(progress.share, 4),
        "due": progress.due,
        "met": progress.met,
        "known": progress.known,
        "last": progress.last.isoformat() if progress.last else None,
        "weakest": [t.topic for t in progress.weakest],
        "topics": [
            {
                "topic": t.topic,
                "items": t.items,
                "met": t.met,
                "known": t.known,
                "answers": t.answers,
                "share": round(t.share, 4),
                "recall": round(t.recall, 4),
            }
            for t in progress.topics
        ],
        "curve": [{"day": day, "recall": round(recall, 4)} for day, recall in progress.curve],
    }
