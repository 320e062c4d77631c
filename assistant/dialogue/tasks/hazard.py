"""Is it safe: what published lists say for people, animals, skin and food. Yes or no first; no list is no proof."""

from __future__ import annotations

import re
from collections.abc import Iterable

from assistant.dialogue.answer import Figure
from assistant.dialogue.cautions import cautions_for
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.memory import Wish
from assistant.dialogue.pools import pool, words
from assistant.dialogue.wording import capital, listed
from assistant.handbook.models import Hazard, Material, Rule

_WHO = {
    "poison-cats": "cats",
    "poison-dogs": "dogs",
    "children": "people",
    "people": "people",
    "poison-people": "people",
}
_WORDS = {
    "none": "no harm is on record",
    "mild": "mildly poisonous",
    "moderate": "poisonous",
    "severe": "severely poisonous",
    "listed": "listed as poisonous",
    "unknown": "nothing is known either way",
}
# Dangers that lie in dry material, and the words of a question that ask for them.
_DRY_DANGERS = {"fire": {"fire"}, "dust": {"pollen"}}
# Somebody is hurt: whatever else is said, first aid comes first.
INJURY = re.compile(
    r"(?<!sap )(?<!stems )(?<!stem )(?<!ends )(?<!ends are )(?<!colour )(?<!color )(?<!dye )(?<!milk )\bbleed\w*\b(?! (?:(?:that|this|a|the|some|its|sticky|white|milky) ){0,3}(?:colou?rs?|dye|sap|milky?|white|ink|latex|out|onto)\b)|\b(?:cut|sliced|stabbed|slashed|nicked) (?:my|his|her|their|a|the) (?:thumb|finger|hand|arm|leg|palm)\b|"
    r"\b(?:thumb|finger|hand|palm)(?:'s| is| has been| got)? (?:cut|sliced|split) (?:open|and|badly)|\b(?:knife|blade) slipped\b"
)


# A yes or a no is given only where the words say which way it was asked.
_ASKS_HARM = re.compile(
    r"\b(?:poison\w*|toxic|harm(?!less)\w*|hurts?|danger\w*|kills?|sick|ill|irritat\w*|bad|problem|worry|worried|risk\w*|upset\w*|unsafe|not safe|isn't safe|avoid|nasty|venomous|allerg\w*|rash|itch\w*|sting\w*|scratch\w*)\b"
)
_ASKS_SAFE = re.compile(
    r"\b(?:safe|safer|ok|okay|fine|alright|all right|suitable|edible|can (?:i|we|she|he|they|you)|may (?:i|we|she|he|they)|allowed|good|better|friendly|harmless|acceptable|permitted|let (?:her|him|them))\b"
)
# A plant nobody could name: no list can be asked about it.
_UNIDENTIFIED = re.compile(
    r"\b(?:no (?:idea|clue)|don't know|dont know|not sure|can't tell|cant tell|dunno|couldn't say) (?:what (?:it|they|this|that|these|those)\b|the name|its name)|"
    r"\bno label\b|\bunlabel\w+|\bunidentified\b|\bwhatever (?:it|this|that) is\b|\bnobody knows what\b"
)


def answer(wish: Wish, desk: Desk) -> Draft:
    if INJURY.search(wish.text):
        return _first_aid(desk)
    if _UNIDENTIFIED.search(wish.text):
        return asked_back(
            "Which plant is it? I can't tell one from its looks. Until somebody who knows has named it, take it for poisonous: gloves on, away from mouths, children and animals.",
            "materials",
        )
    if not wish.items:
        return _listing(wish, desk) or _general(wish, desk)
    audience = wish.slot("audience")
    watched = audience.words if audience else ()
    draft = Draft("")
    said = []
    for item in wish.items:
        material = desk.context.material(item.id)
        said.append(_of(material, watched, wish, draft, desk))
        draft.passages += desk.context.sections(item.id, "hazards")
    draft.lead = " ".join(said)
    draft.more.append("No listing is no proof of safety; if something was eaten, call a poison centre, doctor or vet.")
    if "hospital" in watched:
        draft.more.append("Many wards allow no flowers at all; ask the ward first.")
        draft.passages += desk.context.rules(("ask-the-ward", "hospital-rooms", "ask-ward-before-delivery"))
    draft.follow_ups = ["what could I use instead?", "source?"]
    return draft


def _of(material: Material, watched: Iterable[str], wish: Wish, draft: Draft, desk: Desk) -> str:
    watched = tuple(watched)
    name = capital(material.name)
    parts: list[str] = []
    bad = False
    asked = [w for w in watched if w in _WHO]
    explicit = list(dict.fromkeys(_WHO[w] for w in asked if not (w == "people" and len(asked) > 1)))
    if (
        "cats" in explicit
        and "dogs" in explicit
        and "dog" not in wish.text
        and "pet" not in wish.text
        and "animal" not in wish.text
    ):
        explicit.remove("dogs")
    if "food" in watched or "cake" in wish.text:
        rule = material.hazards.food
        bad = True
        people = material.hazards.people
        if rule is None:
            parts.append("food: nothing in the handbook, so keep it off food; shop stock is not grown for eating")
        elif rule.rule == "never":
            parts.append("food: keep it off cakes and plates")
        else:
            parts.append("food: only food-grade flowers may touch food, and shop stock is not food-grade")
        if people and people.level not in ("none", "unknown"):
            parts.append(_phrase("people", people))
        _count(draft, material, "food", list(rule.source) if rule else [])
    if "skin" in watched or (not explicit and not parts and any(w in wish.text for w in ("skin", "rash", "glove"))):
        skin = [h for h in material.hazards.skin if h.level not in ("none", "unknown")]
        bad = bad or bool(skin)
        parts.append("skin: " + (listed([h.says or h.level for h in skin]) if skin else "no harm on record"))
        _count(draft, material, "skin", [s for h in material.hazards.skin for s in h.source])
    dry = [danger for danger in _DRY_DANGERS if material.is_dry and _DRY_DANGERS[danger] & set(watched)]
    if dry:
        bad = True
        parts += [
            f"{danger}: {text[:1].lower()}{text[1:].rstrip('.')}" for danger in dry for text in _caution(danger, desk)
        ]
    if not explicit and not parts:
        explicit = ["people", "cats", "dogs"]
    for who in explicit:
        hazard = getattr(material.hazards, who)
        if hazard is None:
            parts.append(f"{who}: the handbook has no listing")
            _count(draft, material, who, [])
            continue
        bad = bad or hazard.level not in ("none", "unknown")
        parts.append(_phrase(who, hazard))
        _count(draft, material, who, list(hazard.source))
    if "poison-people" not in watched and bad and material.hazards.parts:
        parts.append(f"parts: {material.hazards.parts}")
    verdict = ""
    if wish.yes_no:
        unknown = all("no listing" in p or "nothing" in p for p in parts)
        if unknown:
            verdict = "Not known: "
        elif _ASKS_HARM.search(wish.text):
            verdict = "Yes: " if bad else "Not by the lists: "
        elif _ASKS_SAFE.search(wish.text):
            verdict = "No: " if bad else "As far as the lists go, yes: "
    return f"{verdict}{name} – {'; '.join(parts)}."


def _caution(danger: str, desk: Desk) -> list[str]:
    """The general rule's words on a danger; none where the handbook has no such rule."""
    return cautions_for([danger], desk.context)[:1]


def _phrase(who: str, hazard: Hazard) -> str:
    words = _WORDS.get(hazard.level, hazard.level)
    return f"{who}: {words}" + (f" ({hazard.says})" if hazard.says and hazard.says.lower() not in words else "")


def _count(draft: Draft, material: Material, who: str, sources: list[str]) -> None:
    """The figure of a hazard answer: how many named sources stand behind it."""
    unique = tuple(dict.fromkeys(sources))
    number = float(len(unique))
    draft.figures.append(
        Figure(
            "listings",
            material.id,
            number,
            number,
            number,
            "sources",
            formula=f"sources in the handbook that speak for {who}",
            sources=unique,
        )
    )


_LISTS = (
    "which",
    "what flowers",
    "what stems",
    "list",
    "name ",
    "any flowers",
    "flowers that",
    "what's safe",
    "whats safe",
)


def _listing(wish: Wish, desk: Desk) -> Draft | None:
    """ "Which flowers are dangerous to cats": the handbook's entries that are listed, worst first; or those that are not."""
    audience = [w for w in words(wish, "audience") if w in _WHO]
    if not audience or not any(word in wish.text for word in _LISTS):
        return None
    asks_safe = (
        any(word in wish.text.split() for word in ("safe", "ok", "okay", "fine", "allowed", "suitable"))
        and "not safe" not in wish.text
        and "never" not in wish.text
    )
    if asks_safe:
        from assistant.dialogue.tasks.substitute import find

        return find(wish, desk)
    whos = list(dict.fromkeys(_WHO[w] for w in audience))
    rank = {"severe": 0, "moderate": 1, "listed": 1, "mild": 2}
    rows = []
    for material in pool(wish, desk.context):
        levels = [h.level for who in whos if (h := getattr(material.hazards, who)) is not None and h.level in rank]
        if levels:
            rows.append((min(rank[level] for level in levels), material.id))
    rows.sort()
    if not rows:
        return None
    worst = [desk.context.plural(i) for level, i in rows if level == rows[0][0]]
    grade = {0: "severely poisonous", 1: "poisonous", 2: "mildly poisonous"}[rows[0][0]]
    draft = Draft(
        f"{len(rows)} entries of the handbook are listed as poisonous to {listed(whos)}; {grade}: {listed(worst[:14])}{' and others' if len(worst) > 14 else ''}."
    )
    number = float(len(rows))
    draft.figures = [
        Figure(
            "listings", None, number, number, number, "entries", formula=f"entries with a listing for {listed(whos)}"
        )
    ]
    draft.passages = [p for _, i in rows[:5] for p in desk.context.sections(i, "hazards")]
    draft.more.append("Stems without a listing are not proven safe; ask a poison centre or vet when in doubt.")
    draft.triggers += [w for w in audience if w != "people"]
    if "people" in whos:
        draft.triggers.append("poison-people")
    return draft


def _first_aid(desk: Desk) -> Draft:
    """The handbook's rule for a cut, whatever else the message says; no search may miss it."""
    from assistant.dialogue.general import draft_of

    rule = desk.context.handbook.rules.get("cut-hand")
    if rule is None:
        return not_covered("Press a clean cloth on it and hold it up; for a bad cut go to a doctor or call for help.")
    draft = draft_of(rule, desk, desk.context.rules((rule.id,)))
    draft.more.append("This is no medical advice: for a bad cut go to a doctor or call the emergency number.")
    draft.triggers.append("knife")
    return draft


_OF_HANDLING = ("conditioning", "hydration", "buying", "mechanics", "large-work", "ordering", "troubleshooting")


def _general(wish: Wish, desk: Desk) -> Draft:
    """A safety question without a material: the handbook's rule on it, found by its words."""
    from assistant.dialogue.general import from_rules

    def of_harm(rule: Rule) -> bool:
        """Does the rule speak of harm at all? How to cut a stem is no answer to whether it is safe."""
        return rule.caution is not None or desk.context.handbook.topic_of(rule.id).topic not in _OF_HANDLING

    draft = from_rules(wish, desk, prefer=("safety", "rooms", "sanitation", "events"), fits=of_harm)
    if draft is None:
        return not_covered(
            "The handbook has no safety rule on that; ask the venue, the product's label or a poison centre."
        )
    return draft
