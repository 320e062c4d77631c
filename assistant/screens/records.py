"""One turn as it is kept: what was asked, the answer, the inputs changed after it; to JSON and back."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from typing import Any

from assistant.dialogue.answer import Answer, CandidateShown, Figure, Input, PassageShown
from assistant.language.question import Reading


@dataclass(frozen=True, slots=True)
class Record:
    """A turn. `day` is the ISO date it was asked on; `changes` are what-ifs made on it, in order."""

    text: str
    answer: Answer
    day: str
    us: bool = False
    changes: tuple[tuple[str, Reading], ...] = field(default=())

    @property
    def figured(self) -> bool:
        """Whether the turn has figures of its own to turn the inputs of ("why?" only repeats them)."""
        return self.answer.outcome == "answered" and bool(self.answer.figures) and self.answer.task != "explain"

    def with_change(self, answer: Answer, slot: str, reading: Reading, *, merge: bool = False) -> Record:
        """The turn after a what-if; `merge` makes it one with the last (a wheel turned on)."""
        before = self.changes[:-1] if merge else self.changes
        return replace(self, answer=answer, changes=(*before, (slot, reading)))

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {"text": self.text, "day": self.day, "us": self.us, "answer": self.answer.to_json()}
        if self.changes:
            out["changes"] = [
                {"slot": slot, "value": r.value, "unit": r.unit, "said": r.said}
                for slot, r in self.changes
                if isinstance(r.value, int | float | str)
            ]
        return out

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Record:
        """Raises KeyError, TypeError or ValueError for anything that is no record."""
        changes = tuple(
            (str(c["slot"]), Reading(c["value"], str(c["unit"]), *_ends(c["value"]), str(c["said"])))
            for c in data.get("changes", ())
        )
        return cls(str(data["text"]), answer_from_json(data["answer"]), str(data["day"]), bool(data.get("us")), changes)


def _ends(value: object) -> tuple[float | None, float | None]:
    return (float(value), float(value)) if isinstance(value, int | float) else (None, None)


def answer_from_json(data: dict[str, Any]) -> Answer:
    """An answer from the JSON of `Answer.to_json`. Raises KeyError, TypeError or ValueError for anything else."""
    return Answer(
        question=str(data["question"]),
        outcome=data["outcome"],
        task=data["task"],
        reply=str(data["reply"]),
        tasks=_texts(data, "tasks"),
        materials=_texts(data, "materials"),
        figures=tuple(_figure(row) for row in data.get("figures", ())),
        candidates=tuple(
            CandidateShown(
                str(r["material"]), float(r["score"]), tuple(map(str, r["why"])), r.get("stems"), r.get("bunches")
            )
            for r in data.get("candidates", ())
        ),
        passages=tuple(
            PassageShown(
                str(r["id"]), str(r["title"]), str(r["text"]), float(r["score"]), tuple(map(str, r["sources"]))
            )
            for r in data.get("passages", ())
        ),
        cautions=_texts(data, "cautions"),
        follow_ups=_texts(data, "follow_ups"),
        choices=_texts(data, "choices"),
        notices=_texts(data, "notices"),
    )


def _texts(data: dict[str, Any], name: str) -> tuple[str, ...]:
    return tuple(str(x) for x in data.get(name, ()))


def _figure(row: dict[str, Any]) -> Figure:
    inputs = tuple(
        Input(
            str(i["name"]),
            i["value"] if isinstance(i["value"], str) else float(i["value"]),
            str(i["unit"]),
            i["origin"],
            i.get("low"),
            i.get("high"),
        )
        for i in row.get("inputs", ())
    )
    return Figure(
        str(row["kind"]),
        row["material"],
        float(row["value"]),
        float(row["low"]),
        float(row["high"]),
        str(row["unit"]),
        inputs,
        str(row.get("formula", "")),
        tuple(map(str, row.get("sources", ()))),
        tuple(map(str, row.get("dates", ()))),
        str(row.get("basis", "")),
    )
