"""How sure an answer is about what was meant: the chance that it is the answer to what was asked.

A linear model (logistic) over what understanding and retrieval leave behind: how likely the readers hold the task and
the subject, which numbers and names of the message the answer does not use, how near the shown passages are. It is
fitted by `evals/fit_confidence.py` on answers that the readers were not fitted on; `evals/results/` holds the
reliability diagram.
"""

from __future__ import annotations

import json
import math
import re
from functools import cache
from importlib import resources
from itertools import combinations, permutations
from typing import TYPE_CHECKING, Any

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.dialogue.memory import Memory
from assistant.language.features import TASKS
from assistant.language.pieces import no_counts
from assistant.language.question import Question, Task

if TYPE_CHECKING:
    from collections.abc import Iterator

NAMES: tuple[str, ...] = (
    "task likely", "task certain", "in scope", "numbers unused", "names unused", "materials from before", "follow-up",
    "several asks", "unknown words", "foreign words", "misspelt name", "shared name", "length", "corrects itself", "no figure",
    "passage near", "no material", "words for the task", "slots unused", "says the same again", "lead of the task",
    "other words for another task", *(f"task {task}" for task in TASKS),
)  # fmt: skip
# A number said; a day, a time or a part of a word is none.
_NUMBER = re.compile(r"(?<![\w.:/])\d+(?:\.\d+)?(?!\.?\d|st\b|nd\b|rd\b|th\b|[ap]m\b| ?o'?clock|:\d|/\d)")
# A number that the message itself takes back, before or after the one that counts.
_DENIED = re.compile(
    r"\b(?:not|no longer|instead of|rather than|used to be|from(?= \d+(?: [a-z]+)? (?:down |up )?to\b)) (\d+(?:\.\d+)?)\b|"
    r"(?<![\d.])(\d+(?:\.\d+)?)(?: [a-z]+)? (?:goes|becomes|went|changes|turns|turned|is now|are now)(?: up| down)?(?: to| into)? \d"
)
_CHANGES = re.compile(
    r"\b(?:drop\w*|cut\w*|down|up|now|instead|rather|too (?:much|many)|a bit (?:much|many|heavy)|lost|gone|fewer|chang\w*|make (?:it|that))\b"
)
# Said in hundredths: of a whole, or of a pound.
_HUNDREDTHS = re.compile(r" ?(?:%|per ?cent\b|percent\b|p\b|pence\b|cents?\b|c\b)")
# "Ten fewer", "knock 15 off": a difference to what was figured before.
_BY_SO_MUCH = re.compile(
    r"\b(?:more|fewer|less|another|extra|add|adding|plus|minus|off|by|already|additional|further|deeper|higher|lower|wider|taller)\b"
)
_SHARED_OUT = re.compile(r"\b(?:half|quarters?|thirds?|fifth|tenth|rest|remainder|others?|per ?cent|bricks?)\b|%")
# So many numbers of a message are tried as parts of one sum.
_MOST_ADDED = 6
# Up to this a number is as often no number at all.
_SMALL = 3
_CORRECTS = re.compile(r"\b(?:sorry|no wait|scrap|scratch|i mean|i meant|rather|instead|not|except|but)\b")
# Slots whose value no figure takes as a number, and which change the answer in other ways.
_SPOKEN = frozenset({"place", "audience", "kinds", "roles", "colours", "form", "shape", "vessel", "month"})
# Tasks whose figure is worked out from the numbers of the message, and those whose figure is a life that they change.
SUMS = frozenset({"quantity", "water", "mixing", "cost"})
LIVES = frozenset({"longevity", "refresh", "storage", "compare"})


def features(q: Question, answer: Answer, memory: Memory, last: Task | None, context: Context) -> list[float]:
    """What is known of an answer, in the order of `NAMES`; `last` is the task asked before this message."""
    likely = _task_chance(q, answer, last, context)
    before = memory.answer
    shown = set(answer.materials)
    taken_out = set(before.materials) - shown if before is not None else set()  # "strike out the willow"
    mentions = [m for m in q.mentions if not (m.negated or set(m.ids) & taken_out)]
    named = {i for m in mentions for i in m.ids}
    labels = no_counts(q.normal)
    numbers = [m[0] for m in _NUMBER.finditer(q.normal) if not any(s <= m.start() < e for s, e in labels)]
    unused = unused_numbers(q, answer, memory)
    inputs = {i.name for f in answer.figures for i in f.inputs}
    idle = [n for n in q.slots if n not in _SPOKEN and n not in inputs and not any(n in name for name in inputs)]
    nearest = max((p.score for p in answer.passages), default=0.0)
    again = before is not None and bool(answer.figures) and answer.figures == before.figures
    first, second = sorted(context.task_chances(q).values(), reverse=True)[:2]
    spoken = max(q.asks, key=lambda a: a.score, default=None)
    return [
        likely,
        float(likely > 0.9),
        context.in_scope(q),
        min(len(unused), 3) / 3 if numbers else 0.0,
        float(bool(named) and not named & shown)
        + 0.5 * float(len(mentions) > 1 and len(shown) < len({m.ids for m in mentions})),
        float(bool(named) and bool(shown - named) and not answer.candidates),
        float(last is not None),
        float(len(answer.tasks) > 1),
        min(len(q.unknown), 5) / 5,
        min(len(q.foreign_words), 3) / 3,
        float(any(m.how == "fuzzy" for m in q.mentions)),
        float(any(m.id is None for m in q.mentions)),
        min(len(q.normal.split()), 40) / 40,
        float(bool(_CORRECTS.search(q.normal))),
        float(not answer.figures),
        nearest,
        float(not shown),
        min(max((a.score for a in q.asks if a.task == answer.task), default=0.0), 5.0) / 5,
        min(len(idle), 3) / 3,
        float(again),
        first - second,
        float(spoken is not None and spoken.task not in {answer.task, *answer.tasks}),
        *(float(answer.task == task) for task in TASKS),
    ]


def unused_numbers(q: Question, answer: Answer, memory: Memory) -> list[str]:
    """The numbers of a message that its answer took into no figure, as they were typed."""
    used = list(_values(answer, memory))
    labels = no_counts(q.normal)
    said = [m for m in _NUMBER.finditer(q.normal) if not any(s <= m.start() < e for s, e in labels)]
    numbers = [(m[0], _HUNDREDTHS.match(q.normal, m.end()) is not None) for m in said]
    unused = [n for n, parts in numbers if not any(_same(float(n), value, parts) for value in used)]
    if unused and memory.answer is not None and _BY_SO_MUCH.search(q.normal):
        old = list(_numbers_of(memory.answer))
        unused = [n for n in unused if not any(abs(abs(u - o) - float(n)) < 1e-6 for u in used for o in old)]
    if unused and answer.task in SUMS:
        added = _added_up([float(n) for n, _ in numbers], used)
        unused = [n for n in unused if float(n) not in added]
    if len(unused) == len(numbers):
        return unused
    # "57 not 75", "eight goes to nine": a number put right by another one that was taken in.
    denied = {n for match in _DENIED.finditer(q.normal) for n in match.groups() if n}
    before = list(_numbers_of(memory.answer)) if memory.answer is not None and _CHANGES.search(q.normal) else []
    return [n for n in unused if n not in denied and not any(abs(float(n) - value) < 1e-6 for value in before)]


def _added_up(said: list[float], used: list[float]) -> set[float]:
    """The numbers that together make one that was used: "12 at 4 and 6 on top", "8, half with 5 and half with 3"."""
    added: set[float] = set()
    said = said[:_MOST_ADDED]
    plain = {*said, *(a * b for a, b in combinations(said, 2))}
    sums = [u for u in used if not any(abs(u - p) < 1e-6 for p in plain)]  # four twelves are no more than that
    for many, one, more in permutations(said, 3):
        if any(abs(x - u) < 1e-6 for x in (many * one + more, many * (one + more) / 2) for u in sums):
            added |= {many, one, more}
    return added


def unread_numbers(q: Question, answer: Answer, memory: Memory) -> list[str]:
    """The unused numbers that no reader made anything of at all: what a reply must own up to.

    Small ones ("one or two", "the two of us") and those that shares, sums or differences may have gone into stay unnamed:
    to deny a number that was used would be worse than to pass one over.
    """
    if not answer.figures or answer.task not in SUMS | LIVES or _SHARED_OUT.search(q.normal):
        return []
    read = [n for name, reading in q.slots.items() if name != "count" for n in _NUMBER.findall(reading.said)]
    read += [n for m in q.mentions for n in _NUMBER.findall(m.said)]
    unread = [n for n in unused_numbers(q, answer, memory) if n not in read and float(n) > _SMALL]
    used = list(_values(answer, memory))
    said = [float(n) for n in _NUMBER.findall(q.normal)]
    made = {
        n
        for pair in combinations(said, 2)
        for n in pair
        if any(abs(x - u) < 1e-6 for x in (sum(pair), abs(pair[0] - pair[1]), pair[0] * pair[1]) for u in used)
    }
    return list(dict.fromkeys(n for n in unread if float(n) not in made))


def of_answer(q: Question, answer: Answer, memory: Memory, last: Task | None, context: Context) -> float:
    """The chance that the answer is the one to what was asked (0–1)."""
    data = _data()
    total = float(data["bias"])
    total += sum(w * x for w, x in zip(data["weights"], features(q, answer, memory, last, context), strict=True))
    return 1 / (1 + math.exp(-max(min(total, 50.0), -50.0)))


@cache
def _data() -> dict[str, Any]:
    path = resources.files("assistant.dialogue") / "confidence.json"
    data: dict[str, Any] = json.loads(path.read_text(encoding="utf-8"))
    return data


def _task_chance(q: Question, answer: Answer, last: Task | None, context: Context) -> float:
    """How likely the readers hold the tasks answered; a follow-up's own reader where there is one."""
    tasks: set[str] = set(answer.tasks) or {answer.task or ""}
    if last is not None:
        read = context.follow_up_chances(q, last)
        if read is not None:
            return min(1.0, sum(p for kind, p in read.items() if kind in tasks or (kind == "same" and last in tasks)))
    chances = context.task_chances(q)
    return min(1.0, sum(p for task, p in chances.items() if task in tasks))


def _values(answer: Answer, memory: Memory) -> Iterator[float]:
    """Every number the answer took in: inputs of its figures, counts of its materials, and what it read of the message."""
    yield from _numbers_of(answer)
    for wish in memory.wishes:
        for held in wish.items:
            yield from (x for x in (held.stems, held.bunches) if x is not None)
        used = {i.name for f in answer.figures for i in f.inputs}
        for name, reading in wish.asked.items():
            taken = name in used or any(name in other for other in used)
            picks = name == "count" and answer.task not in SUMS | LIVES  # "the best 3"
            if taken or picks or name.endswith("_date") or name in _SPOKEN:
                yield from (float(n) for n in _NUMBER.findall(reading.said))


def _numbers_of(answer: Answer) -> Iterator[float]:
    """What the figures of an answer were worked out from, and the stems of one piece where those of all are told."""
    for figure in answer.figures:
        if not figure.inputs:  # a rule's own number
            yield figure.value
        for item in figure.inputs:
            if not isinstance(item.value, str):
                yield item.value
                yield from (x for x in (item.low, item.high) if x is not None)
        told = {i.name: i.value for i in figure.inputs if not isinstance(i.value, str)}
        if "stems" in told and told.get("pieces", 0.0) > 0:
            yield told["stems"] / told["pieces"]


def _same(said: float, value: float, in_hundredths: bool) -> bool:
    """Within two per cent, or Fahrenheit and Celsius; a hundredth of it where it was said so or the value is a share."""
    ways = [said, (said - 32) / 1.8]
    if in_hundredths or 0 < value < 1:
        ways.append(said / 100)
    if 0 < said < 1:
        ways.append(said * 100)
    return any(abs(x - value) <= 0.02 * max(abs(value), 1e-9) for x in ways)
