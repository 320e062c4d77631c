"""Answers from a rule: for questions of craft that no calculator answers alone.

The rule is found by retrieval, its own text is the reply, and its own numbers are the figures.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from assistant.dialogue.answer import Figure, PassageShown
from assistant.dialogue.context import shown
from assistant.dialogue.desk import Desk, Draft
from assistant.dialogue.memory import Wish
from assistant.handbook.models import NumberSaid, Rule
from assistant.handbook.passages import measure_words, sentence

if TYPE_CHECKING:
    from assistant.retrieval.retriever import Hit

# A passage is about what was asked when its meaning alone is near, or words and meaning together; set on the
# development questions (evals/calibration.py prints the curve).
NEAR_BY_MEANING = 0.50
NEAR_BY_BOTH = 0.44
NEAR_BY_WORDS = 0.45


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


def from_rules(wish: Wish, desk: Desk, *, prefer: Collection[str] = (), materials: Sequence[str] = ()) -> Draft | None:
    """The best rule as a whole answer, or None when nothing is close."""
    hits = search(wish, desk, limit=10, materials=materials)
    rules = _close_rules(hits, desk)
    if not rules:  # a question wrapped in talk: one of its sentences may be near
        for part in _sentences(wish.text):
            found = search(replace(wish, text=part), desk, limit=10, materials=materials)
            near = _close_rules(found, desk)
            if near and (not rules or near[0][0].score > rules[0][0].score):
                hits, rules = found, near
    if not rules:
        return None
    best_score = rules[0][0].score
    close = [pair for pair in rules if pair[0].passage.id.split("/")[0] in prefer and pair[0].score >= 0.9 * best_score]
    _, rule = (close or rules)[0]
    return draft_of(rule, desk, [shown(hit.passage, hit.score) for hit in hits[:5]])


def _close_rules(hits: Sequence[Hit], desk: Desk) -> list[tuple[Hit, Rule]]:
    return [(hit, rule) for hit in hits if (rule := rule_of(hit.passage.id, desk)) is not None and is_close(hit)]


def _sentences(text: str) -> list[str]:
    """The sentences of a longer message that could be asked alone."""
    parts = [
        part.strip()
        for part in re.split(r"[.?!;:]+(?:\s|$)|,\s(?=(?:what|how|why|is|are|do|does|can|should|which|when)\b)", text)
    ]
    return [part for part in parts if len(part.split()) >= 3 and part != text.strip()]


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
