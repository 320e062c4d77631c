"""What a task works with (Desk) and what it hands back (Draft)."""

from __future__ import annotations

from dataclasses import dataclass, field

from assistant.dialogue.answer import CandidateShown, Figure, Outcome, PassageShown
from assistant.dialogue.context import Context
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import Speech


@dataclass(frozen=True)
class Desk:
    """The shared context and how this person speaks."""

    context: Context
    speech: Speech

    def inputs(self, wish: Wish) -> Inputs:
        return Inputs(self.context, wish, self.speech)


@dataclass
class Draft:
    """A task's answer before cautions, memory and follow-ups of the conversation are added.

    `lead` is the sentence with the figure; `more` follows it. `triggers` are caution triggers the task knows of.
    `asks_for` names the slot an asked-back question wants filled.
    """

    lead: str
    more: list[str] = field(default_factory=list)
    figures: list[Figure] = field(default_factory=list)
    candidates: list[CandidateShown] = field(default_factory=list)
    passages: list[PassageShown] = field(default_factory=list)
    triggers: list[str] = field(default_factory=list)
    follow_ups: list[str] = field(default_factory=list)
    choices: list[str] = field(default_factory=list)
    assumptions: list[str] = field(default_factory=list)
    outcome: Outcome = "answered"
    asks_for: str | None = None


def asked_back(question: str, asks_for: str, choices: list[str] | None = None) -> Draft:
    """A draft that asks one thing."""
    return Draft(question, outcome="asked_back", asks_for=asks_for, choices=choices or [])


def not_covered(sentence: str, passages: list[PassageShown] | None = None) -> Draft:
    return Draft(sentence, outcome="not_covered", passages=passages or [])
