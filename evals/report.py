"""The numbers of a run: headline figures with their intervals, and tables by task, persona and theme."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import ir_measures
import numpy as np
from ir_measures import RR, R

from evals.judge import binds
from evals.run import Asked

ROUNDS = 2000
SEED = 20261125


@dataclass(frozen=True, slots=True)
class Headline:
    """A mean over the turns it was asked of, with its middle 95 % of bootstrap means."""

    name: str
    value: float
    low: float
    high: float
    turns: int

    def to_json(self) -> dict[str, Any]:
        return {"value": _short(self.value), "low": _short(self.low), "high": _short(self.high), "turns": self.turns}


Measure = Callable[[Asked], float | None]


def _flag(value: bool | None) -> float | None:
    return None if value is None else float(value)


def _follow_up_slots(a: Asked) -> float | None:
    """After the first message: the materials and the inputs that a follow-up keeps, changes or drops are all right."""
    asked = [value for value in (a.verdict.materials, a.verdict.inputs) if value is not None]
    return None if a.number == 1 or not asked else float(all(asked))


MEASURES: dict[str, Measure] = {
    "all right": lambda a: float(a.verdict.right),
    "outcome": lambda a: float(a.verdict.outcome),
    "task": lambda a: _flag(a.verdict.task),
    "materials exact": lambda a: _flag(a.verdict.materials),
    "materials precision": lambda a: a.verdict.precision,
    "materials recall": lambda a: a.verdict.recall,
    "materials F1": lambda a: a.verdict.f1,
    "figure": lambda a: _flag(a.verdict.figure),
    "inputs": lambda a: _flag(a.verdict.inputs),
    "cautions": lambda a: _flag(a.verdict.cautions),
    "follow-up slots": lambda a: _follow_up_slots(a),
    "confidently wrong": lambda a: float(a.verdict.confidently_wrong),
    "in scope, declined": lambda a: float(a.answer.outcome == "not_covered") if a.expected.in_scope else None,
    # Asking back counts where the turn accepts it: an impossible number is better asked about than declined.
    "out of scope, declined": lambda a: float(a.verdict.outcome) if a.expected.out_of_scope else None,
}
# Columns of the tables by task, persona and theme.
_COLUMNS = ("all right", "outcome", "task", "materials F1", "figure", "inputs", "cautions", "confidently wrong")


def headlines(asked: Sequence[Asked]) -> list[Headline]:
    """Every measure of the run that was asked of at least one turn."""
    out = [headline(name, [(a.conversation, measure(a)) for a in asked]) for name, measure in MEASURES.items()]
    for name, values in _retrieval(asked).items():
        out.append(headline(name, values))
    return [row for row in out if row.turns]


def _retrieval(asked: Sequence[Asked]) -> dict[str, list[tuple[str, float | None]]]:
    """Recall and reciprocal rank of the passages an answer shows, for turns that say which are right."""
    bound = [a for a in asked if a.expected.relevant and binds(a.expected, a.answer)]
    qrels, run = [], []
    for number, a in enumerate(bound):
        qrels += [ir_measures.Qrel(str(number), wanted, 1) for wanted in a.expected.relevant]
        shown = list(dict.fromkeys(_stands_for(p.id, a.expected.relevant) for p in a.answer.passages))
        run += [ir_measures.ScoredDoc(str(number), passage, -place) for place, passage in enumerate(shown)]
    measures = {"recall@1": R @ 1, "recall@5": R @ 5, "MRR": RR}
    found: dict[str, dict[str, float]] = {name: {} for name in measures}
    names = {measure: name for name, measure in measures.items()}
    for metric in ir_measures.iter_calc(list(names), qrels, run) if run else ():
        found[names[metric.measure]][metric.query_id] = metric.value
    # An answer that shows no passage at all is a miss, not a turn to leave out.
    return {
        name: [(a.conversation, by_query.get(str(number), 0.0)) for number, a in enumerate(bound)]
        for name, by_query in found.items()
    }


def _stands_for(passage: str, relevant: tuple[str, ...]) -> str:
    """A wanted topic is met by any of its rules; everything else stands for itself."""
    topic = passage.partition("/")[0]
    return topic if topic in relevant else passage


def headline(name: str, values: Iterable[tuple[str, float | None]]) -> Headline:
    """Resamples conversations, not turns: the turns of one conversation fail together."""
    sums: dict[str, list[float]] = {}
    for conversation, value in values:
        if value is not None:
            sums.setdefault(conversation, [0.0, 0.0])
            sums[conversation][0] += value
            sums[conversation][1] += 1
    if not sums:
        return Headline(name, 0.0, 0.0, 0.0, 0)
    by_conversation = np.array(list(sums.values()))
    draw = np.random.default_rng(SEED).integers(0, len(by_conversation), size=(ROUNDS, len(by_conversation)))
    totals = by_conversation[draw].sum(axis=1)
    low, high = np.quantile(totals[:, 0] / totals[:, 1], [0.025, 0.975])
    mean = float(by_conversation[:, 0].sum() / by_conversation[:, 1].sum())
    return Headline(name, mean, float(low), float(high), int(by_conversation[:, 1].sum()))


# --- tables -------------------------------------------------------------------------------------------------------


def groups(asked: Sequence[Asked]) -> dict[str, dict[str, list[Asked]]]:
    """The turns by task (the first accepted; none is out of scope), by persona and by theme."""
    by: dict[str, dict[str, list[Asked]]] = {"task": {}, "persona": {}, "theme": {}}
    for a in asked:
        task = a.expected.task[0] if a.expected.task else "(none)"
        for name, key in (("task", task), ("persona", a.persona), ("theme", a.theme)):
            by[name].setdefault(key, []).append(a)
    return {name: dict(sorted(parts.items())) for name, parts in by.items()}


def mean(asked: Iterable[Asked], measure: Measure) -> float | None:
    values = [value for a in asked if (value := measure(a)) is not None]
    return sum(values) / len(values) if values else None


def table(head: Sequence[str], rows: Iterable[Sequence[str]]) -> str:
    """A Markdown table, padded so that it also reads well in a terminal."""
    lines = [list(head), *(list(row) for row in rows)]
    widths = [max(len(line[i]) for line in lines) for i in range(len(head))]

    def line(cells: Sequence[str]) -> str:
        padded = [c.ljust(w) if i == 0 else c.rjust(w) for i, (c, w) in enumerate(zip(cells, widths, strict=True))]
        return f"| {' | '.join(padded)} |"

    rule = f"|{'|'.join('-' * (w + 2) if i == 0 else '-' * (w + 1) + ':' for i, w in enumerate(widths))}|"
    return "\n".join([line(lines[0]), rule, *(line(cells) for cells in lines[1:])])


def headline_table(rows: Iterable[Headline]) -> str:
    return table(
        ("measure", "value", "95 % interval", "turns"),
        ((h.name, f"{h.value:.3f}", f"{h.low:.3f}–{h.high:.3f}", str(h.turns)) for h in rows),
    )


def group_tables(asked: Sequence[Asked]) -> str:
    parts = []
    for name, by in groups(asked).items():
        rows = [
            (key, str(len(turns)), *(_cell(mean(turns, MEASURES[column])) for column in _COLUMNS))
            for key, turns in by.items()
        ]
        parts.append(f"### By {name}\n\n" + table((name, "turns", *_COLUMNS), rows))
    return "\n\n".join(parts)


def groups_json(asked: Sequence[Asked]) -> dict[str, Any]:
    return {
        name: {
            key: {"turns": len(turns)} | {c: _short(mean(turns, MEASURES[c])) for c in _COLUMNS}
            for key, turns in by.items()
        }
        for name, by in groups(asked).items()
    }


def _cell(value: float | None) -> str:
    return "–" if value is None else f"{value:.3f}"


def _short(value: float | None) -> float | None:
    return None if value is None else round(value, 4)


# --- failing turns ------------------------------------------------------------------------------------------------


def failure_lines(a: Asked) -> str:
    """A failing turn in a few lines: what was asked, then wanted and got for each field that is wrong."""
    mark = "  CONFIDENTLY WRONG" if a.verdict.confidently_wrong else ""
    lines = [f"{a.conversation}#{a.number}  {a.expected.ask!r:.200}{mark}"]
    if a.error:
        return "\n".join([*lines, f"    crash      {a.error}"])
    wanted, got = a.expected, a.answer
    shown = {
        "outcome": ("/".join(wanted.outcome), f"{got.outcome}: {got.reply[:140]}"),
        "task": ("/".join(wanted.task), "/".join(got.tasks) or str(got.task)),
        "materials": (_listed(wanted.materials or ()), _listed(got.materials)),
        "figure": (_window(a), _listed(f"{f.kind} {f.value:.4g} {f.unit}" for f in got.figures)),
        "inputs": (
            _listed(f"{name}={value:g}" for name, value in wanted.inputs.items()),
            _inputs(a),
        ),
        "cautions": (_listed(wanted.cautions), _listed(f"“{text[:40]}…”" for text in got.cautions)),
    }
    for field in a.verdict.failed:
        lines.append(f"    {field:10} wanted {shown[field][0]}  got {shown[field][1]}")
    return "\n".join(lines)


def _listed(items: Iterable[str]) -> str:
    return ", ".join(items) or "none"


def _window(a: Asked) -> str:
    f = a.expected.figure
    return f"{f.kind} {f.low:g}–{f.high:g} {f.unit or ''}".strip() if f else "none"


def _inputs(a: Asked) -> str:
    kind = a.expected.figure.kind if a.expected.figure else ""
    figure = next((f for f in a.answer.figures if f.kind == kind), None)
    if figure is None:
        return f"no {kind}"
    return _listed(
        f"{i.name}={i.value:.4g}" if not isinstance(i.value, str) else f"{i.name}={i.value}" for i in figure.inputs
    )
