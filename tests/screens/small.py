"""A made-up handbook and a scripted conversation: what the snapshots show depends on nothing else."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from typing import Any

from assistant.dialogue.answer import Answer, CandidateShown, Figure, Input, PassageShown
from assistant.dialogue.context import Context
from assistant.dialogue.memory import Item, Wish
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Material, Rule, Source, Table, Topic
from assistant.language.question import Reading

TODAY = date(2026, 11, 25)


def _material(
    material_id: str, name: str, kind: str, roles: list[str], colours: list[str], life: tuple[int, int], **rest: Any
) -> Material:
    return Material.model_validate(
        {
            "id": material_id,
            "name": name,
            "botanical": f"Fictus {material_id}",
            "kind": kind,
            "roles": roles,
            "summary": f"A made-up {kind} for the tests",
            "colours": {"names": colours, "basis": "practice"},
            "vase_life": {"low": life[0], "high": life[1], "unit": "d", "basis": "published", "source": "trial_one"},
            "season": [{"months": [1, 2, 11, 12], "basis": "practice"}],
            "stem_length": {"low": 40, "high": 60, "unit": "cm", "basis": "practice"},
            **rest,
        }
    )


def small_handbook() -> Handbook:
    materials = [
        _material("anise-bell", "anise bell", "flower", ["mass"], ["white", "plum"], (5, 9)),
        _material("brook-reed", "brook reed", "grass", ["line"], ["sand"], (12, 18)),
        _material(
            "coast-fern",
            "coast fern",
            "foliage",
            ["foliage", "filler"],
            ["moss"],
            (8, 14),
            hazards={
                "cats": {
                    "level": "moderate",
                    "says": "stomach upset [see note 1]",
                    "basis": "published",
                    "source": "trial_one",
                }
            },
            conditioning=["Cut the ends on a slant"],
            other_names=["shore fern"],
        ),
    ]
    rows = {
        "q10": 2.5,
        "valid-temperature": 20,
        "dry-slope": 0.05,
        "chilling-factor": 1.5,
        "support-vase-food": 1,
        "support-plain-water": 1.2,
        "support-foam-kept-wet": 1.3,
        "support-foam-drying": 2,
        "support-out-of-water": 4,
        "support-cooler-wet": 1,
        "support-cooler-dry": 1.2,
    }
    constants = [
        {
            "id": name,
            "title": name,
            "value": value,
            "low": 0 if name == "valid-temperature" else value,
            "high": 30 if name == "valid-temperature" else value,
            "unit": "ratio",
            "basis": "practice",
        }
        for name, value in rows.items()
    ]
    colours = [("white", "#f2f3f4"), ("plum", "#6b2f5b"), ("sand", "#d8c39a"), ("moss", "#5b7036")]
    rule = Rule.model_validate(
        {
            "id": "clean-buckets",
            "title": "Begin with clean buckets",
            "text": "Scrub the bucket before it is filled",
            "why": "Old slime blocks stems",
            "steps": ["Rinse", "Scrub", "Rinse again"],
            "basis": "practice",
            "caution": {"text": "Wear gloves.", "triggers": ["bleach"]},
        }
    )
    return Handbook(
        materials={m.id: m for m in materials},
        rules={rule.id: rule},
        topics={"buckets": Topic(topic="buckets", title="Buckets", rules=(rule,))},
        tables={
            "longevity": Table.model_validate({"table": "longevity", "title": "t", "constants": constants}),
            "palette": Table.model_validate(
                {
                    "table": "palette",
                    "title": "t",
                    "colours": [{"id": i, "srgb": s, "basis": "practice"} for i, s in colours],
                }
            ),
        },
        sources={
            "trial_one": Source(
                id="trial_one",
                authors="A. Nobody",
                year=1990,
                title="A trial of made-up flowers",
                publisher="The Bench Press",
            )
        },
    )


def small_context() -> Context:
    return Context(small_handbook(), lambda: TODAY)


_PASSAGES = (
    PassageShown("coast-fern/hazards", "Coast fern: hazards", "Cats: stomach upset [see note 1].", 1.0, ("trial_one",)),
    PassageShown("anise-bell/life", "Anise bell: how long it lasts", "Vase life 5–9 days.", 1.0, ("trial_one",)),
    PassageShown("buckets/clean-buckets", "Begin with clean buckets", "Scrub the bucket before it is filled.", 0.9, ()),
)


def life_answer(degrees: float, question: str = "how long do anise bells last at 24?") -> Answer:
    """Three quarters of a day less for each degree: easy to reckon in a test."""
    value = round(25 - 0.75 * degrees, 2)
    inputs = (
        Input("display_temperature", degrees, "degC", "asked"),
        Input("support", "vase-food", "", "assumed"),
        Input("display_days", 9.0, "d", "earlier"),
        Input("vase_life", 7.0, "d", "handbook", 5.0, 9.0),
    )
    figure = Figure(
        "days_remaining",
        "anise-bell",
        value,
        value - 2,
        value + 2,
        "d",
        inputs,
        "L / r",
        ("trial_one",),
        (),
        "published",
    )
    return Answer(
        question,
        "answered",
        "longevity",
        f"Anise bells: about {value:.0f} days at {degrees:g} °C. Assumed: a vase with flower food.",
        ("longevity",),
        ("anise-bell",),
        (figure,),
        (),
        _PASSAGES[1:],
        (),
        ("and in foam?", "why?"),
    )


def answers() -> dict[str, Answer]:
    """Answers of every shape, by question."""
    stems = (
        Input("stems", 12.0, "stems", "asked"),
        Input("pack_size", 10.0, "stems", "handbook"),
        Input("loss_rate", 0.08, "ratio", "handbook"),
    )
    water = (
        Input("vessel_diameter", 15.0, "cm", "asked"),
        Input("vessel_height", 30.0, "cm", "asked"),
        Input("fill_level", 20.0, "cm", "assumed"),
        Input("lowest_share", 0.5, "ratio", "handbook"),
    )
    plan = (Input("display_days", 14.0, "d", "asked"),)
    out = [
        life_answer(24),
        Answer(
            "is coast fern safe for cats?",
            "answered",
            "hazard",
            "No: coast fern upsets a cat's stomach [1]. It is no list of everything.",
            ("hazard",),
            ("coast-fern",),
            (Figure("listings", "coast-fern", 1, 1, 1, "sources", (), "sources", ("trial_one",)),),
            (),
            _PASSAGES[:1],
            ("Keep it away from cats.", "If a cat ate any, call a vet at once."),
            ("what could I use instead?",),
        ),
        Answer(
            "how many bunches?",
            "answered",
            "quantity",
            "Order 2 bunches of anise bell.",
            ("quantity",),
            ("anise-bell",),
            (Figure("bunches", "anise-bell", 2, 2, 3, "bunches", stems, "binomial"),),
            (),
            _PASSAGES[1:2],
        ),
        Answer(
            "what can stand in?",
            "answered",
            "substitute",
            "In place of it: brook reed, 9 stems.",
            ("substitute",),
            ("anise-bell",),
            (),
            (
                CandidateShown("brook-reed", 0.9, ("lasts longer", "about the same size"), 9, 1),
                CandidateShown("coast-fern", 0.6, ("greener", "about the same size"), 14, 2),
            ),
            _PASSAGES[1:],
        ),
        Answer(
            "refresh plan",
            "answered",
            "refresh",
            "2 replacement visits in 14 days: day 6 and day 12.",
            ("refresh",),
            ("anise-bell", "brook-reed"),
            (
                Figure("refresh_dates", "anise-bell", 2, 1, 2, "visits", plan, "every", (), ("day 6", "day 12")),
                Figure("refresh_dates", "brook-reed", 0, 0, 0, "visits", plan, "every", ()),
            ),
            (),
            _PASSAGES[1:2],
        ),
        Answer(
            "how often top up?",
            "answered",
            "water",
            "About 4 days until it is down to half.",
            ("water",),
            (),
            (
                Figure("days_until_refill", None, 4.0, 2.0, 8.0, "d", water, "water"),
                Figure("vessel_volume", None, 3.5, 3.5, 3.5, "l", water, "area × height"),
            ),
            (),
            (),
            ("Water on the floor makes people slip.",),
        ),
        Answer(
            "compare them",
            "answered",
            "compare",
            "Brook reed lasts longest.",
            ("compare",),
            ("brook-reed", "anise-bell"),
            (
                Figure(
                    "days_remaining",
                    "brook-reed",
                    14,
                    11,
                    17,
                    "d",
                    (Input("display_temperature", 22.0, "degC", "asked"),),
                    "L / r",
                ),
                Figure(
                    "days_remaining",
                    "anise-bell",
                    6,
                    4,
                    8,
                    "d",
                    (Input("display_temperature", 22.0, "degC", "asked"),),
                    "L / r",
                ),
            ),
            (),
            _PASSAGES[1:],
        ),
        Answer(
            "which bell?",
            "asked_back",
            "describe",
            "Which do you mean: anise bell or brook reed?",
            choices=("anise bell", "brook reed"),
        ),
        Answer("what is the weather?", "not_covered", None, "That is not in the handbook, so I won't guess."),
    ]
    return {answer.question: answer for answer in out}


@dataclass
class ScriptedMemory:
    """As much of a memory as the screens look at."""

    job: dict[str, Reading] = field(default_factory=dict)
    wishes: tuple[Wish, ...] = ()
    speaks_us: bool | None = None


class ScriptedConversation:
    """Answers from a list; a turned room temperature gives another life."""

    def __init__(self, context: Context) -> None:
        self.context = context
        self.memory = ScriptedMemory()
        self.heard: list[str] = []
        self._answers = answers()
        self._degrees = [24.0]

    def turn(self, text: str) -> Answer:
        self.heard.append(text)
        if text == "break":
            raise KeyError(text)
        answer = self._answers.get(text, Answer(text, "answered", "describe", f"Heard: {text}"))
        if answer.task == "longevity":
            self.memory.wishes = (Wish("longevity", (Item("anise-bell"),)),)
            self.memory.job = {
                "display_temperature": Reading(24.0, "degC", 24.0, 24.0, "24"),
                "audience": Reading(("poison-cats",), "ids"),
            }
        return replace(answer, question=text)

    def revise(self, name: str, reading: Reading) -> Answer:
        if name == "display_temperature" and reading.number > 40:
            return Answer("", "asked_back", None, "No room is that hot.")
        if name == "display_temperature":
            self._degrees.append(reading.number)
            self.memory.job = {**self.memory.job, name: reading}
        else:
            self._degrees.append(self._degrees[-1])
        return life_answer(self._degrees[-1], f"{name} {reading.said}")

    def undo(self) -> Answer:
        if len(self._degrees) == 1:
            return Answer("", "asked_back", None, "There is nothing to undo.")
        self._degrees.pop()
        return life_answer(self._degrees[-1], "undo")

    def forget(self, name: str | None = None) -> None:
        self.memory.job = {} if name is None else {n: r for n, r in self.memory.job.items() if n != name}
