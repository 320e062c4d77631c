"""How to treat it: conditioning steps with the hydration time, foam, ethylene, buying, drying; symptoms through rules."""

from __future__ import annotations

import re

from assistant.calculators.ranges import Estimate
from assistant.dialogue.answer import Figure
from assistant.dialogue.context import shown
from assistant.dialogue.desk import Desk, Draft, not_covered
from assistant.dialogue.general import draft_of, find, from_rules, is_close, rule_of, search
from assistant.dialogue.lives import life_of
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import capital, listed, number_span
from assistant.handbook.models import Material, Rule
from assistant.handbook.passages import sentence, span_words

SYMPTOM = re.compile(
    r"\b(?:droop\w*|wilt\w*|limp|flop\w*|bent|bending|bend|nodding|yellow\w*|brown\w*|black\w*|cloudy|smell\w*|slim\w+|mou?ld\w*|botrytis|"
    r"dropp\w+|drop|falling (?:off|out)|shatter\w*|shed\w*|won't open|wont open|not opening|aren't opening|open(?:ing)? (?:too|up too)|sleepy|curl\w*|crisp\w*|translucent|fad\w+|leak\w*|"
    r"blue|bluing|closed|spots?|dull|weep\w*|sad|dying|rescue|revive|perk)\b"
)
# From this chance a rule speaks before what the entry says of handling: "should I hammer lilac stems".
_SURELY_A_RULE = 0.85
_HANDLING = re.compile(r"\b(?:condition\w*|prep\w*|process\w*|treat\w*|handl\w+|look(?:ing)? after|care (?:for|of))\b")
_TOPICS: tuple[tuple[str, re.Pattern[str], tuple[str, ...]], ...] = (
    ("ethylene", re.compile(r"\bethylene\b|\bfruit\b|\bripening\b|\bgas\b"), ("ethylene",)),
    ("foam", re.compile(r"\bfoam\b"), ("water",)),
    ("buying", re.compile(r"\b(?:buy|buying|choose|choosing|pick|look for|check|inspect|good ones|fresh ones|quality|stage)\b"), ("buying",)),
    ("drying", re.compile(r"\bdr(?:y|ies|ying|ied)\b(?! out)|\bpress\w*|\bsilica\b|\bglycerin\w*|\bpreserv(?:e|ing)\b"), ("drying", "keeping")),
    ("ends", re.compile(r"\bwhat (?:kills|ends)|\bhow (?:do|will) (?:they|it|[a-z ]+) (?:die|go over|end|age)\b|\bsigns?\b|\bgoing over\b"), ("life",)),
)  # fmt: skip


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        listing = _ethylene_listing(wish, desk)
        if listing is not None:
            return listing
        draft = from_rules(wish, desk)
        return draft or not_covered(
            "That is not in the handbook, so I won't guess. Name the material or the step you mean."
        )
    symptom = bool(SYMPTOM.search(wish.text))
    draft = Draft("")
    said: list[str] = []
    for item in wish.items:
        said.append(_of(desk.context.material(item.id), wish, desk, draft))
    draft.lead = " ".join(said)
    hits = search(wish, desk, limit=8, materials=wish.ids) if symptom or not draft.figures else []
    rules = [(hit, rule) for hit in hits if (rule := rule_of(hit.passage.id, desk)) and is_close(hit)]
    best = _asked_of_the_craft(wish, desk)
    if best is None and symptom and rules:
        best = next(
            (r for _, r in rules if r.symptom and (not r.materials or set(r.materials) & set(wish.ids))), rules[0][1]
        )
    if best is not None:
        cause = draft_of(best, desk, [])
        draft.more = [draft.lead]
        draft.lead = cause.lead
        draft.figures = cause.figures + draft.figures
        draft.triggers += cause.triggers
        draft.passages = desk.context.rules((best.id,)) + draft.passages
    draft.passages += [shown(hit.passage, hit.score) for hit in hits[:4]]
    draft.triggers.append("knife")
    draft.follow_ups = ["how long will they last?", "how do I store them?", "source?"]
    return draft


def _asked_of_the_craft(wish: Wish, desk: Desk) -> Rule | None:
    """The rule that a question about a material surely means, where its entry has no answer of its own to it."""
    if _HANDLING.search(wish.text) or any(pattern.search(wish.text) for _, pattern, _ in _TOPICS):
        return None
    if "audience" in wish.asked:
        return None  # "she's got toddlers": of harm, which is the entry's to tell
    found = find(wish.text, desk, materials=wish.ids)
    rule = rule_of(found.hits[0].passage.id, desk) if found.chance >= _SURELY_A_RULE else None
    return rule if rule and (not rule.materials or set(rule.materials) & set(wish.ids)) else None


def _ethylene_listing(wish: Wish, desk: Desk) -> Draft | None:
    """ "Which flowers are upset by ethylene": the most sensitive of the handbook."""
    if "ethylene" not in wish.text or not any(word in wish.text for word in ("which", "what flowers", "list", "name ")):
        return None
    rows = sorted(
        m.id for m in desk.context.handbook.materials.values() if m.ethylene and m.ethylene.sensitivity == "high"
    )
    draft = Draft(
        f"{len(rows)} entries of the handbook are very sensitive to ethylene: {listed([desk.context.plural(i) for i in rows[:16]])}{' and others' if len(rows) > 16 else ''}."
    )
    number = float(len(rows))
    draft.figures = [
        Figure("listings", None, number, number, number, "entries", formula="entries rated high for ethylene")
    ]
    draft.passages = [p for i in rows[:3] for p in desk.context.sections(i, "ethylene")] + desk.context.rules(
        ("sensitive-flowers", "keep-sources-apart")
    )
    return draft


def _of(material: Material, wish: Wish, desk: Desk, draft: Draft) -> str:
    for topic, pattern, sections in _TOPICS:
        if pattern.search(wish.text):
            sentence_ = _topic_sentence(topic, material, wish, desk, draft)
            if sentence_:
                draft.passages += desk.context.sections(material.id, *sections, "conditioning")
                return sentence_
    draft.passages += desk.context.sections(
        material.id, *(("keeping", "notes") if material.is_dry else ("conditioning", "water", "buying"))
    )
    return _conditioning(material, desk, draft, wish)


def _conditioning(material: Material, desk: Desk, draft: Draft, wish: Wish) -> str:
    name = capital(desk.context.plural(material.id))
    if material.is_dry:
        _life_figure(material, desk, draft, wish)
        texts = [s.text for s in (*material.conditioning, *material.notes)][:2]
        months = draft.figures[-1].value / 30.44 if draft.figures else 0
        return f"{name} keep about {months:.0f} months dry, out of sun, and need no water. " + " ".join(
            sentence(t) for t in texts
        )
    steps = " ".join(sentence(s.text) for s in material.conditioning[:3])
    if material.hydration:
        low, high = material.hydration.span
        draft.figures.append(
            Figure.of("hydration_time", material.id, Estimate(low, (low + high) / 2, high), "h", formula="handbook row",
                      sources=material.hydration.source, basis=material.hydration.basis)
        )  # fmt: skip
        return f"{name}: give them {number_span(low, high)} hours to drink before use. {steps}".strip()
    _life_figure(material, desk, draft, wish)
    return (
        f"{name}: {steps}"
        if steps
        else f"The handbook has no conditioning steps for {desk.context.plural(material.id)}."
    )


def _life_figure(material: Material, desk: Desk, draft: Draft, wish: Wish) -> None:
    found = life_of(material, desk.inputs(Wish("longevity", wish.items, wish.asked, wish.earlier)))
    if found:
        draft.figures.append(found.figure)


def _topic_sentence(topic: str, material: Material, wish: Wish, desk: Desk, draft: Draft) -> str | None:
    name = capital(desk.context.plural(material.id))
    if topic == "ethylene" and not material.is_dry:
        entry = material.ethylene
        if entry is None:
            _life_figure(material, desk, draft, wish)
            return f"The handbook has no ethylene rating for {material.name}."
        _life_figure(material, desk, draft, wish)
        levels = {"none": "not known to react to ethylene", "low": "little sensitive to ethylene", "medium": "sensitive to ethylene",
                  "high": "very sensitive to ethylene", "varies": "sensitive or not depending on the cultivar"}  # fmt: skip
        verdict = (
            ("No: " if entry.sensitivity in ("none", "low") else "Yes: ")
            if wish.yes_no and "sensitive" in wish.text
            else ""
        )
        symptom = f" What you would see: {entry.symptom}." if entry.symptom and entry.symptom.lower() != "none" else ""
        return f"{verdict}{name} are {levels[entry.sensitivity]}.{symptom}"
    if topic == "foam" and material.foam:
        words = {
            "good": "drink well in foam",
            "fair": "do fairly in foam",
            "poor": "do poorly in foam",
            "avoid": "should stay out of foam",
        }
        verdict = ("Yes: " if material.foam.use in ("good", "fair") else "Better not: ") if wish.yes_no else ""
        from assistant.language.question import Reading

        foam = Wish(
            "longevity",
            wish.items,
            {**wish.asked, "support": Reading("foam-kept-wet", "id", said="foam")},
            wish.earlier,
        )
        found = life_of(material, desk.inputs(foam))
        life = ""
        if found:
            draft.figures.append(found.figure)
            life = f", about {found.days.value:.0f} days ({number_span(round(found.days.low), round(found.days.high))}) if it never dries out"
        draft.triggers.append("foam-dust")
        says = f" {sentence(material.foam.says)}" if material.foam.says else ""
        return f"{verdict}{name} {words[material.foam.use]}{life}.{says}"
    if topic == "buying" and material.buying:
        _life_figure(material, desk, draft, wish)
        return f"{name}: " + " ".join(sentence(s.text) for s in material.buying)
    if topic == "drying" and material.drying:
        way = next((d for d in material.drying if d.method.split("-")[0] in wish.text), material.drying[0])
        if way.days:
            low, high = (x if x is not None else 0.0 for x in way.days)
            draft.figures.append(
                Figure(
                    "drying_time",
                    material.id,
                    (low + high) / 2,
                    low,
                    high,
                    "d",
                    formula="handbook row",
                    sources=way.source,
                    basis=way.basis,
                )
            )
        else:
            _life_figure(material, desk, draft, wish)
        verdict = {"well": "Yes: ", "partly": "In part: ", "poorly": "Not really: "}[way.result] if wish.yes_no else ""
        takes = f" in {span_words(way.days, 'd')}" if way.days else ""
        note = f" {sentence(way.note)}" if way.note else ""
        return f"{verdict}{name} dry {way.result} ({way.method.replace('-', ' ')}){takes}.{note}"
    if topic == "ends" and material.ends_by:
        _life_figure(material, desk, draft, wish)
        return f"{name}: " + " ".join(sentence(s.text) for s in material.ends_by)
    return None
