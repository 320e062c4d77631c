"""Cautions by rule: a turn meets triggers, the handbook's caution rules supply the words.

Triggers come from what the question is about (the task, the agent, the audience, the place) and from the
entries of the materials in play. Nothing is left to the wording of the question alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.dialogue.context import Context
from assistant.dialogue.memory import Wish
from assistant.handbook.models import Hazards, Material, Rule

_HARMFUL = frozenset({"mild", "moderate", "severe", "listed"})
_GRAVE = frozenset({"moderate", "severe", "listed"})
_SKIN = frozenset({"irritant", "sensitiser", "moderate", "severe", "mild", "listed"})
_HANDLING_TASKS = frozenset({"care", "hazard", "describe"})
_MAX_SHOWN = 5


# Words that bring a danger into the question itself, whatever the task.
_SPOKEN: tuple[tuple[str, re.Pattern[str]], ...] = (
    ("bleach", re.compile(r"\b(?:bleach\w*|chlorine|hypochlorite)\b")),
    ("acid", re.compile(r"\b(?:acid|descaler)\b")),
    ("knife", re.compile(r"\b(?:knife|knives|secateurs|shears|scissors|blades?|cut (?:my|his|her|your) (?:thumb|finger|hand))\b")),
    ("lifting", re.compile(r"\b(?:lift\w*|carry|carrying|shift (?:it|them|that|this)|haul\w*|heavy|weigh\w*|ladder|pick(?:ed|ing)? (?:it |them )?up)\b")),
    ("fire", re.compile(r"\b(?:candles?|tea ?lights?|fire\w*|flame\w*|log burners?|stoves?|heaters?|radiators?|halogen|spotlights?)\b")),
    ("dust", re.compile(r"\bdust\w*|\basthma\w*|\bwheez\w*")),
    ("foam-dust", re.compile(r"\bdry foam\b|\bfoam dust\b|\b(?:cut|cutting|crumbl\w+|slic\w+|saw\w*) (?:up )?(?:the |dry )*foam\b|\bfoam\b[^.?!]*\b(?:dust|powder)\b")),
    ("cold-store", re.compile(r"\bwalk[- ]?in\b|\b(?:inside|working in|be in|locked in) the (?:cooler|cold ?(?:room|store))\b")),
    ("glycerin", re.compile(r"\bglycerine?\b")),
    ("pesticide", re.compile(r"\bpesticides?\b|\bsprayed with\b")),
    ("thorns", re.compile(r"\bthorn\w*|\bprickl\w+")),
    ("pollen", re.compile(r"\bpollen\b|\bhay ?fever\b")),
)  # fmt: skip


def triggers_for(wish: Wish, context: Context, extra: Iterable[str] = ()) -> list[str]:
    """Triggers a wish meets, most urgent first, without repeats."""
    found: list[str] = list(extra)
    audience = wish.slot("audience")
    watched = set(audience.words) if audience else set()
    place = wish.slot("place")
    if place and place.text in context.places:
        watched |= set(context.places[place.text].audience)
    for item in wish.items:
        found += _of_material(context.material(item.id), watched, wish.task)
    found += [t for t in ("hospital", "food") if t in watched and (wish.items or wish.task in ("hazard", "substitute"))]
    if (
        watched & {"poison-cats", "poison-dogs", "children"}
        and wish.task in ("substitute", "compare", "hazard")
        and not wish.items
    ):
        found += [t for t in ("poison-cats", "poison-dogs", "children") if t in watched]
    found += [trigger for trigger, pattern in _SPOKEN if pattern.search(wish.text)]
    if "pollen" in watched:
        found.append("pollen")
    if "fire" in watched:
        found.append("fire")
    if "skin" in watched and wish.items:
        found.append("skin")
    return list(dict.fromkeys(found))


def _of_material(material: Material, watched: set[str], task: str) -> list[str]:
    hazards = material.hazards
    found: list[str] = []
    if (_level(hazards, "cats") in _GRAVE and ("poison-cats" in watched or _level(hazards, "cats") == "severe")) or (
        "poison-cats" in watched and _level(hazards, "cats") in _HARMFUL
    ):
        found.append("poison-cats")
    if "poison-dogs" in watched and _level(hazards, "dogs") in _HARMFUL:
        found.append("poison-dogs")
    people = _level(hazards, "people")
    if people in _GRAVE or (
        people in _HARMFUL and (task in _HANDLING_TASKS or watched & {"children", "people", "food"})
    ):
        found.append("poison-people")
    if "children" in watched and (people in _HARMFUL or material.kind == "berry"):
        found.append("children")
    skin = {h.level for h in hazards.skin}
    if skin & _SKIN and (task in _HANDLING_TASKS or "skin" in watched or "severe" in skin):
        found.append("skin")
    if "mechanical" in skin and not material.is_dry and task in _HANDLING_TASKS and _has_thorns(material):
        found.append("thorns")
    if material.is_dry:
        found.append("fire")
        if "mechanical" in skin or material.part == "grass" or "pollen" in watched:
            found.append("dust")
    return found


def _has_thorns(material: Material) -> bool:
    said = " ".join(h.says or "" for h in material.hazards.skin).lower()
    return any(word in said for word in ("thorn", "prickle", "spine", "spiny", "sharp"))


def _level(hazards: Hazards, who: str) -> str:
    hazard = getattr(hazards, who)
    return hazard.level if hazard else "unknown"


def cautions_for(triggers: Iterable[str], context: Context, materials: Iterable[str] = ()) -> list[str]:
    """The caution texts for the triggers, each once, at most a handful.

    A rule that names materials applies only to those; a general rule speaks where no closer one does.
    """
    named = set(materials)
    texts: list[str] = []
    for trigger in triggers:
        general: list[tuple[Rule, str]] = []
        close: list[tuple[Rule, str]] = []
        others: list[tuple[Rule, str]] = []
        for rule in context.handbook.rules.values():
            if rule.caution and trigger in rule.caution.triggers:
                if rule.materials and not named & set(rule.materials):
                    others.append((rule, rule.caution.text))
                    continue
                (close if rule.materials else general).append((rule, rule.caution.text))
        # The safety topic speaks for a trigger; other topics' cautions belong to their own rules.
        safety = (
            {rule.id for rule in context.handbook.topics["safety"].rules}
            if "safety" in context.handbook.topics
            else set()
        )
        general.sort(key=lambda pair: (pair[0].id not in safety, bool(pair[0].kinds)))
        for _, text in [*close[:1], *general[:1]] or others[:1]:
            if text not in texts:
                texts.append(text)
    return texts[:_MAX_SHOWN]
