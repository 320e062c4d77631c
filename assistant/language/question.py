"""What was understood of one message: asks, materials, slots. Plain data, no behaviour beyond look-ups."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from typing import Literal

Task = Literal[
    "longevity", "quantity", "water", "mixing", "substitute", "care", "storage", "hazard", "refresh", "compare",
    "explain", "season", "describe", "cost",
]  # fmt: skip

# The slots a message can fill. Numbers are in SI units (d, degC, cm, l, kg, %, mg/l) whatever was typed.
NUMBER_SLOTS: Mapping[str, str] = {
    "display_temperature": "degC",
    "storage_temperature": "degC",
    "elapsed_temperature": "degC",
    "humidity": "%",
    "display_days": "d",
    "stored_days": "d",
    "elapsed_days": "d",
    "dry_days": "d",
    "stems": "stems",
    "bunches": "bunches",
    "pieces": "pieces",
    "pack_size": "stems",
    "loss_rate": "%",
    "confidence": "%",
    "volume": "l",
    "concentration": "mg/l",
    "strength": "%",
    "label_dose": "g/l",
    "width": "cm",
    "height": "cm",
    "depth": "cm",
    "diameter": "cm",
    "base_diameter": "cm",
    "fill_height": "cm",
    "fill_share": "%",
    "length": "cm",
    "per_length": "cm",
    "outer": "cm",
    "inner": "cm",
    "mass": "kg",
    "parts": "parts",
    "count": "count",
    "price": "money",
    "factor": "ratio",
    "month": "month",
}
# Slots that describe the job and stay until changed; the others belong to one question.
JOB_SLOTS = frozenset({
    "display_temperature", "humidity", "display_days", "pieces", "support", "place", "audience", "vessel", "diameter",
    "base_diameter", "height", "width", "depth", "length", "outer", "inner", "shape", "fill_height", "fill_share", "start_date", "until_date",
    "market", "confidence",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Reading:
    """One slot's value. Numbers carry a range (low = high when one number was said); `assumed` says what was
    taken for granted in reading it, in words for the reply."""

    value: float | str | tuple[str, ...] | date
    unit: str = ""
    low: float | None = None
    high: float | None = None
    said: str = ""
    assumed: str = ""

    @property
    def number(self) -> float:
        assert isinstance(self.value, int | float)
        return float(self.value)

    @property
    def span(self) -> tuple[float, float]:
        """Low and high of a number."""
        value = self.number
        return (self.low if self.low is not None else value, self.high if self.high is not None else value)

    @property
    def text(self) -> str:
        assert isinstance(self.value, str)
        return self.value

    @property
    def words(self) -> tuple[str, ...]:
        assert isinstance(self.value, tuple)
        return self.value

    @property
    def day(self) -> date:
        assert isinstance(self.value, date)
        return self.value


@dataclass(frozen=True, slots=True)
class Mention:
    """A stretch of the message read as a material.

    `ids` has one entry when the name is plain, several when it is shared ("ruscus"). `how` tells how it was read;
    `near` is set for a misspelling and must be said in the reply ("I took X for Y").
    """

    ids: tuple[str, ...]
    said: str
    start: int
    end: int
    how: Literal["exact", "squashed", "fuzzy", "shared"] = "exact"
    usual: str | None = None
    score: float = 1.0
    stems: float | None = None
    bunches: float | None = None
    negated: bool = False
    unavailable: bool = False
    # Its own price; the unit says what that buys (`assistant.language.prices`).
    price: Reading | None = None
    # Stems in its own bunch, and its part of a total (0 to 1), where they were said of it alone.
    pack: float | None = None
    share: float | None = None

    @property
    def id(self) -> str | None:
        """The one material meant, if it is one."""
        return self.ids[0] if len(self.ids) == 1 else None


@dataclass(frozen=True, slots=True)
class Ask:
    """One thing asked. `score` is how strongly the words say so; `yes_no` asks for yes or no first."""

    task: Task
    score: float
    text: str
    mentions: tuple[Mention, ...] = ()
    slots: Mapping[str, Reading] = field(default_factory=dict)
    yes_no: bool = False
    superlative: str | None = None
    filters: tuple[str, ...] = ()
    topic: str | None = None


@dataclass(frozen=True, slots=True)
class Question:
    """A whole message, understood as far as its words go. What is missing is the dialogue's business."""

    text: str
    normal: str
    asks: tuple[Ask, ...]
    mentions: tuple[Mention, ...]
    slots: Mapping[str, Reading]
    refers_back: bool
    ordinal: int | None = None
    command: Literal["why", "sources", "forget", "greeting", "thanks", "help", "undo", "what_moves"] | None = None
    unknown: tuple[str, ...] = ()
    near: tuple[tuple[str, str], ...] = ()
    domain_words: int = 0
    foreign_words: tuple[str, ...] = ()
    corrections: bool = False
    impossible: str | None = None
    speaks_us: bool | None = None
    # How sure the reader of follow-ups is that this message leans on the answer before it; 0 where it was not asked.
    follows: float = 0.0
