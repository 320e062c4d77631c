"""Answers from a rule: for questions of craft that no calculator answers alone.

The rule is found by retrieval, its own text is the reply, and its own numbers are the figures.
"""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from assistant.dialogue.answer import Figure, PassageShown
from assistant.dialogue.context import shown
from assistant.dialogue.desk import Desk, Draft, not_covered
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import listed
from assistant.handbook.models import NumberSaid, Rule
from assistant.handbook.passages import measure_words, sentence
from assistant.retrieval.lexical import words_of

if TYPE_CHECKING:
    from assistant.retrieval.retriever import Hit

# A passage is about what was asked when its meaning alone is near, or words and meaning together; set on the
# development questions (evals/calibration.py prints the curve).
NEAR_BY_MEANING = 0.50
NEAR_BY_BOTH = 0.44
NEAR_BY_WORDS = 0.45
# The chance that the best rule is the one asked for, from its score and from its lead over the fourth (the second and
# third are often about the same and would do as well); fitted on the `dev` part of evals/data/rule_questions.yaml, as it
# stands and wrapped in talk (`python -m evals.rule_search`). There right answers less wrong ones are most about this cut.
FIT = (-4.2, 4.6, 27.6)
LEAD_OVER = 3
ANSWER_FROM = 0.45
# Below it the nearest rules are named, not answered with; below this nothing is near.
NEAREST_FROM = 0.25
# Search by words alone: a rule's score there.
RULE_BY_WORDS = 0.5
# A rule of the topics a task prefers may lie this much behind the best.
PREFERRED_BEHIND = 0.03
# "My class always asks me why …", "somebody put it to me that …": what follows is the question.
_REPORTED = re.compile(
    r"\b(?:ask(?:s|ed|ing)?|wonder(?:s|ed|ing)?|tell|tells|told|taught|explain|say|says|said|put it|know|sure|remind(?:s|ed)?)"
    r"(?: (?:me|us|him|her|them|you|to|of|always|again|today|earlier|yesterday|about))* "
    r"(?P<asked>(?:why|how|what|which|whether|if|when|where|that)\b.+)"
)


def search(wish: Wish, desk: Desk, *, limit: int = 6, materials: Sequence[str] = ()) -> list[Hit]:
    """Passages for the wish's own words; empty without a retriever."""
    retriever = desk.context.retriever
    if retriever is None or not wish.text:
        return []
    results = retriever.search(wish.text, materials=materials, limit=limit, semantic="wait")
    desk.context.notices += results.notices
    return list(results.hits)


def rule_of(hit_id: str, desk: Desk) -> Rule | None:
    return desk.context.handbook.rules.get(hit_id.split("/", 1)[1])


def is_close(hit: Hit) -> bool:
    """Is this passage about what was asked?"""
    if hit.semantic is not None:
        return hit.semantic >= NEAR_BY_MEANING or hit.score >= NEAR_BY_BOTH
    return hit.lexical >= NEAR_BY_WORDS


@dataclass(frozen=True, slots=True)
class Found:
    """The rules nearest to a question, best first, and the chance that the first is the one asked for."""

    hits: tuple[Hit, ...]
    chance: float


def find(text: str, desk: Desk, *, materials: Sequence[str] = ()) -> Found:
    """The rules for a text, or for the sentence of it that a rule answers best. Empty without a retriever."""
    found = _find(text, desk, materials)
    if found.chance >= ANSWER_FROM:
        reported = _REPORTED.search(text)  # "the trainee asks what conditioning is" is no question about trainees
        return max(found, _find(reported["asked"], desk, materials), key=_chance) if reported else found
    return max([found, *(_find(part, desk, materials) for part in _sentences(text))], key=_chance)


def _chance(found: Found) -> float:
    return found.chance


def _find(text: str, desk: Desk, materials: Sequence[str]) -> Found:
    retriever = desk.context.retriever
    if retriever is None or not words_of(text):
        return Found((), 0.0)
    results = retriever.rules(text, materials=materials, limit=10, semantic="wait")
    desk.context.notices += results.notices
    return Found(results.hits, chance_of(results.hits))


def chance_of(hits: Sequence[Hit]) -> float:
    """The chance that the first of these rules is the one asked for, 0..1; by words alone only yes (1) or no (0)."""
    if not hits:
        return 0.0
    best = hits[0]
    if best.semantic is None:
        return float(best.lexical >= RULE_BY_WORDS)
    lead = best.score - hits[min(LEAD_OVER, len(hits) - 1)].score
    base, of_score, of_lead = FIT
    return 1 / (1 + math.exp(-(base + of_score * best.score + of_lead * lead)))


def from_rules(
    wish: Wish,
    desk: Desk,
    *,
    prefer: Collection[str] = (),
    materials: Sequence[str] = (),
    least: float = ANSWER_FROM,
    fits: Callable[[Rule], bool] = lambda _: True,
) -> Draft | None:
    """The best rule as a whole answer, or None when it is less likely than `least` to be the one asked for or unfit."""
    found = find(wish.text, desk, materials=materials)
    if found.chance < least:
        return None
    near = [hit for hit in found.hits if hit.score >= found.hits[0].score - PREFERRED_BEHIND]
    best = next((hit for hit in near if hit.passage.id.split("/")[0] in prefer), near[0])
    rule = rule_of(best.passage.id, desk)
    assert rule is not None
    if not fits(rule):
        return None
    return draft_of(rule, desk, [shown(hit.passage, hit.score) for hit in found.hits[:5]])


def nearest(wish: Wish, desk: Desk, *, materials: Sequence[str] = ()) -> Draft | None:
    """Not covered, but what comes nearest in the handbook by name, ready to be asked for; None when nothing does."""
    found = find(wish.text, desk, materials=materials)
    if found.chance < NEAREST_FROM:
        return None
    rules = [rule for hit in found.hits[:3] if (rule := rule_of(hit.passage.id, desk)) is not None]
    titles = listed([f"“{rule.title}”" for rule in rules])
    draft = not_covered(
        f"I found no rule on exactly that. Nearest in the handbook: {titles}.",
        [shown(hit.passage, hit.score) for hit in found.hits[:3]],
    )
    draft.follow_ups = [rule.asked_as[0] for rule in rules if rule.asked_as]
    return draft


def _sentences(text: str) -> list[str]:
    """The sentences of a longer message that could be asked alone, and what somebody is said to have asked."""
    parts = [
        part.strip()
        for part in re.split(r"[.?!;:]+(?:\s|$)|,\s(?=(?:what|how|why|is|are|do|does|can|should|which|when)\b)", text)
    ]
    parts += [said["asked"] for part in (text.strip(), *parts) if (said := _REPORTED.search(part))]
    return [part for part in dict.fromkeys(parts) if tells(part) and part != text.strip()]


def tells(text: str) -> bool:
    """Could this be searched for alone? "Do I need to do that" and "what is the reason" are near to anything."""
    return len(words_of(text)) >= 2


def draft_of(rule: Rule, desk: Desk, passages: list[PassageShown]) -> Draft:
    """A rule's text as the reply, its numbers as figures."""
    topic = desk.context.handbook.topic_of(rule.id).topic
    figures = [figure_of(number, topic) for number in rule.numbers]
    said = ""
    if rule.numbers and not any(character.isdigit() for character in rule.text):
        said = " ".join(sentence(f"{n.name}: {measure_words(n)}") for n in rule.numbers[:2])
    draft = Draft(rule.text, figures=figures, passages=passages)
    if said:
        draft.more.append(said)
    if rule.why:
        draft.more.append(sentence(rule.why))
    draft.triggers += list(rule.caution.triggers) if rule.caution else []
    draft.follow_ups = ["source?", *rule.asked_as[1:2]]
    return draft


def figure_of(number: NumberSaid, topic: str = "") -> Figure:
    """A rule's number as a figure: a cited row, not a calculation."""
    low, high = number.span
    kind = {("cooler", "degC"): "storage_temperature", ("cooler", "%"): "humidity"}.get(
        (topic, number.unit), "guideline"
    )
    return Figure(
        kind, None, (low + high) / 2, low, high, number.unit, formula=f"{number.name} (handbook row)",
        sources=number.source, basis=number.basis,
    )  # fmt: skip
