"""What one turn gives back, and its JSON form (the contract people's scripts rely on; extend it, don't bend it)."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, Literal

from assistant.calculators.ranges import Estimate

Outcome = Literal["answered", "asked_back", "not_covered"]
Origin = Literal["asked", "earlier", "handbook", "assumed"]


@dataclass(frozen=True, slots=True)
class Input:
    """A number or word a figure was computed from, and where it came from."""

    name: str
    value: float | str
    unit: str
    origin: Origin
    low: float | None = None
    high: float | None = None

    def to_json(self) -> dict[str, Any]:
        value = _rounded(self.value) if isinstance(self.value, float | int) else self.value
        out: dict[str, Any] = {"name": self.name, "value": value, "unit": self.unit, "origin": self.origin}
        if self.low is not None and self.high is not None and self.low != self.high:
            out |= {"low": _rounded(self.low), "high": _rounded(self.high)}
        return out


@dataclass(frozen=True, slots=True)
class Figure:
    """A computed figure. `dates` is filled where the figure is a plan; `series` where it can be drawn."""

    kind: str
    material: str | None
    value: float
    low: float
    high: float
    unit: str
    inputs: tuple[Input, ...] = ()
    formula: str = ""
    sources: tuple[str, ...] = ()
    dates: tuple[str, ...] = ()
    basis: str = ""

    @classmethod
    def of(cls, kind: str, material: str | None, estimate: Estimate, unit: str, **rest: Any) -> Figure:
        return cls(kind, material, estimate.value, estimate.low, estimate.high, unit, **rest)

    def to_json(self) -> dict[str, Any]:
        out: dict[str, Any] = {
            "kind": self.kind,
            "material": self.material,
            "value": _rounded(self.value),
            "low": _rounded(self.low),
            "high": _rounded(self.high),
            "unit": self.unit,
            "inputs": [item.to_json() for item in self.inputs],
            "formula": self.formula,
            "sources": list(self.sources),
        }
        if self.dates:
            out["dates"] = list(self.dates)
        if self.basis:
            out["basis"] = self.basis
        return out


@dataclass(frozen=True, slots=True)
class CandidateShown:
    """A material that could serve, best first."""

    material: str
    score: float
    why: tuple[str, ...]
    stems: int | None = None
    bunches: int | None = None

    def to_json(self) -> dict[str, Any]:
        return {
            "material": self.material,
            "score": round(self.score, 3),
            "why": list(self.why),
            "stems": self.stems,
            "bunches": self.bunches,
        }


@dataclass(frozen=True, slots=True)
class PassageShown:
    """A handbook passage behind an answer, quoted whole."""

    id: str
    title: str
    text: str
    score: float
    sources: tuple[str, ...]

    def to_json(self) -> dict[str, Any]:
        return {
            "id": self.id,
            "title": self.title,
            "text": self.text,
            "score": round(self.score, 3),
            "sources": list(self.sources),
        }


@dataclass(frozen=True, slots=True)
class Answer:
    """The whole of one turn."""

    question: str
    outcome: Outcome
    task: str | None
    reply: str
    tasks: tuple[str, ...] = ()
    materials: tuple[str, ...] = ()
    figures: tuple[Figure, ...] = ()
    candidates: tuple[CandidateShown, ...] = ()
    passages: tuple[PassageShown, ...] = ()
    cautions: tuple[str, ...] = ()
    follow_ups: tuple[str, ...] = ()
    choices: tuple[str, ...] = ()
    notices: tuple[str, ...] = field(default=())
    # The chance that this is the answer to what was asked; None where nothing was answered.
    confidence: float | None = None

    def to_json(self) -> dict[str, Any]:
        """Plain data in the order of the contract."""
        out: dict[str, Any] = {
            "question": self.question,
            "outcome": self.outcome,
            "task": self.task,
            "tasks": list(self.tasks or ((self.task,) if self.task else ())),
            "materials": list(self.materials),
            "reply": self.reply,
            "figures": [figure.to_json() for figure in self.figures],
            "candidates": [candidate.to_json() for candidate in self.candidates],
            "passages": [passage.to_json() for passage in self.passages],
            "cautions": list(self.cautions),
            "follow_ups": list(self.follow_ups),
        }
        if self.choices:
            out["choices"] = list(self.choices)
        if self.notices:
            out["notices"] = list(self.notices)
        if self.confidence is not None:
            out["confidence"] = round(self.confidence, 2)
        return out


def _rounded(value: float) -> float:
    """Four significant decimals are more than any figure here deserves; they keep JSON free of float dust."""
    return round(float(value), 4) + 0.0
