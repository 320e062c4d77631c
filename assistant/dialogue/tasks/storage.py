"""How to keep it: storage temperature and life, chilling and freezing."""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.calculators.longevity import rate_at
from assistant.calculators.ranges import Estimate
from assistant.dialogue.answer import Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.general import draft_of, from_rules
from assistant.dialogue.inputs import Inputs
from assistant.dialogue.lives import q10_of, storage_degC, storage_life
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import capital, day_span, listed
from assistant.handbook.models import Material, Storage

# A cooler this much warmer than the records is as good as they are. [degC]
_AS_ADVISED = 1.5
# A cooler this much colder than the records is told of; less is the dial's own error. [degC]
_COLDER = 1.0
_COLD_ROOM = r"(?:walk-? ?in(?: cooler| cold ?(?:room|store))?|cooler|cold ?(?:room|store)|cool ?room|chiller)"
# Somebody in the cold store, not flowers; and the one dial for all that stands in it.
_SURELY = (
    (
        "cold-store-safety",
        re.compile(
            rf"\b(?:(?:i|we|she|he|somebody|someone|staff|a lad|the lad|a girl|the girl)(?:'ll| will|'m|'re| am| are| is)?|(?:got|want|wants|wanting|have|having|sending|asked|told) (?:me|us)) (?:to |going to |have to |need to |got to )?(?:be |spend |stay |work|working|sort|sorting|stuck)"
            rf"[^.?!]{{0,30}}\b(?:in|inside|into) (?:the |our |my )?{_COLD_ROOM}\b(?![^.?!]{{0,40}}\b(?:flowers|stems|bunches|them|those|these) (?:be|last|keep|stay|go)\b)"
        ),
    ),
    (
        "cooler-temperature",
        re.compile(
            rf"\b(?:dial|thermostat|temp\w*|degrees|reading|set|read|run)\b[^.?!]*\b{_COLD_ROOM}\b[^.?!]*\b(?:general|mixed|most (?:things|flowers|stems)|everything|all-?round)\b"
            rf"|\b{_COLD_ROOM}\b[^.?!]*\b(?:dial|thermostat|temp\w*|degrees|reading|set|read)\b[^.?!]*\b(?:general|mixed|most (?:things|flowers|stems)|everything|all-?round)\b"
            rf"|\btemp\w*\b[^.?!]*\b{_COLD_ROOM}\b[^.?!]*\bmost (?:things|flowers|stems)\b"
            rf"|\b{_COLD_ROOM}\b[^.?!]*[.?!] what (?:ought|should|must) it (?:to )?(?:read|be|show|say)\b"
        ),
    ),
)


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        return _without_material(wish, desk)
    draft = Draft("")
    said: list[str] = []
    for item in wish.items:
        material = desk.context.material(item.id)
        sentence = _dry(material, wish, draft, desk) if material.is_dry else _fresh(material, wish, draft, desk)
        said.append(sentence)
        draft.passages += desk.context.sections(
            item.id, *(("keeping",) if material.is_dry else ("storage", "ethylene"))
        )
    draft.lead = " ".join(said)
    if not draft.figures:
        return not_covered(
            draft.lead, draft.passages or desk.context.rules(("cooler-temperature", "rotate-first-in-first-out"))
        )
    draft.follow_ups = ["how long will they last after that?", "source?"]
    return draft


# "Give me three things that must never go in a cooler": those that cold hurts.
_LISTS = re.compile(r"\b(?:which|what|name|list|give me|examples?|(?:flowers|stems) that)\b")
_COLD_HURTS = re.compile(
    r"\bchill|\btoo cold\b|\bmust(?: not|n't)\b|\bshouldn't go\b|\b(?:should|ought to|must|may|would you|you should|to) never\b|\bought never\b|\bnever (?:to )?(?:go|put|be put)\b|"
    r"\bkeep out\b|\b(?:hates?|suffer\w*) (?:from )?(?:the )?cold\b|\bdamaged?\b|\b(?:harm|hurt|spoil)\w*\b"
)


def _without_material(wish: Wish, desk: Desk) -> Draft:
    """Cold in general: what cold hurts, or the handbook's rule on the cooler."""
    if _LISTS.search(wish.text) and _COLD_HURTS.search(wish.text):
        said = wish.slot("storage_temperature")
        limit = said.number if said else 4.0
        rows = [
            (m, m.chilling_threshold)
            for m in desk.context.handbook.materials.values()
            if m.chilling_threshold and m.chilling_threshold.span[1] > limit
        ]
        rows.sort(key=lambda row: (-row[1].span[1], row[0].id))
        draft = Draft(
            f"{len(rows)} materials of the handbook are hurt by {desk.speech.temperature(limit)}: "
            f"{listed([desk.context.plural(m.id) for m, _ in rows[:10]])}{' and others' if len(rows) > 10 else ''}."
        )
        draft.figures = [_threshold("chilling_threshold", m, *t.span, t.source) for m, t in rows[:10]]
        draft.passages = [p for m, _ in rows[:3] for p in desk.context.sections(m.id, "storage")] + desk.context.rules(
            ("keep-tropicals-out",)
        )
        return draft
    rule = next((rule for rule, words in _SURELY if words.search(wish.text)), None)
    if rule is not None:
        return draft_of(desk.context.handbook.rules[rule], desk, desk.context.rules([rule]))
    if not wish.refers_back:
        found = from_rules(wish, desk, prefer=("cooler", "ethylene", "safety"))
        if found is not None:
            return found
    return asked_back("Which material do you want to store?", "materials")


def _fresh(material: Material, wish: Wish, draft: Draft, desk: Desk) -> str:
    method_reading = wish.slot("storage_method")
    method = method_reading.text if method_reading else None
    degrees = storage_degC(material, method)
    life = storage_life(material, method)
    name = capital(desk.context.plural(material.id))
    inputs = desk.inputs(wish)
    air = inputs.said("storage_temperature", unit="degC")
    if air is None and "display_temperature" in wish.asked:  # "and at 6?", of the cooler
        air = inputs.said("display_temperature", "storage_temperature", unit="degC")
    if inputs.said("stored_days", unit="d") is None and "display_days" in wish.asked:
        inputs.said("display_days", "stored_days", unit="d")  # "can boxwood sit boxed for 17 days"
    if method:
        inputs.note("storage_method", method, "", inputs.origin("storage_method"))
    said = []
    if degrees is not None:
        records = [r for r in material.storage if r.degC]
        draft.figures.append(_figure("storage_temperature", material, degrees, "degC", records, inputs.used))
        said.append(f"at {desk.speech.temperatures(degrees.low, degrees.high)}")
    if life is not None:
        records = [r for r in material.storage if r.days]
        draft.figures.insert(
            len(draft.figures) - (degrees is not None),
            _figure("storage_days", material, life, "d", records, inputs.used),
        )
        said.append(f"for {day_span(life)}")
    warmer = _in_warmer_air(material, air, degrees, life, inputs, draft, desk)
    methods = {r.method for r in material.storage}
    way = {"dry": "dry", "wet": "in water"}.get(method or (next(iter(methods)) if len(methods) == 1 else ""), "")
    if not said:
        return f"The handbook has no storage figure for {desk.context.plural(material.id)}."
    more = _limits(material, wish, desk, draft, air, degrees)
    kept = " ".join(x for x in ("keep", way) if x)
    verdict = _verdict(wish, degrees, life, desk)
    return f"{verdict}{name} {kept} {' '.join(said)}.{warmer}{more}"


def _in_warmer_air(
    material: Material,
    air: Estimate | None,
    degrees: Estimate | None,
    life: Estimate | None,
    inputs: Inputs,
    draft: Draft,
    desk: Desk,
) -> str:
    """What is left of the storage life where the cooler is warmer than the records; empty where it is not."""
    if air is None or degrees is None or life is None or air.low <= degrees.high + _AS_ADVISED:
        return ""
    q10 = q10_of(material, desk.context)
    rates = [rate_at(t, q, degrees.high) for q in (q10.low, q10.value, q10.high) for t in (air.low, air.high)]
    left = Estimate(
        life.low / max(rates), life.value / rate_at(air.value, q10.value, degrees.high), life.high / min(rates)
    )
    own = inputs.fresh()
    own.used = list(inputs.used)
    own.note("q10", q10.value, "ratio", "handbook", q10.low, q10.high)
    draft.figures.append(
        Figure.of(
            "storage_days",
            material.id,
            left,
            "d",
            inputs=tuple(own.used),
            formula="days · Q10^((T₀ − T)/10)",
            basis="model",
        )
    )
    return f" At {desk.speech.temperature(air.value)} reckon on {day_span(left)}."


def _verdict(wish: Wish, degrees: Estimate | None, life: Estimate | None, desk: Desk) -> str:
    """Yes or no first, when a time or a temperature was named."""
    days = wish.asked.get("stored_days") or wish.asked.get("display_days")
    if days is not None and life is not None:
        asked = days.number
        if asked <= life.low:
            return "Yes. "
        return "At the edge. " if asked <= life.high else "No, that is longer than the handbook allows. "
    temperature = wish.asked.get("storage_temperature") or wish.asked.get("display_temperature")
    if temperature is not None and degrees is not None and wish.yes_no:
        low, high = temperature.span
        if degrees.low - 0.6 <= low and high <= degrees.high + _AS_ADVISED:
            return "Yes. "
        return "No, too cold. " if low < degrees.low else "No, warmer than advised. "
    return ""


def _limits(
    material: Material, wish: Wish, desk: Desk, draft: Draft, air: Estimate | None, degrees: Estimate | None
) -> str:
    said = ""
    if not material.chilling_threshold and air is not None and degrees is not None and air.high < degrees.low - _COLDER:
        said += f" {desk.speech.temperature(air.value)} is colder than that, and the handbook has no figure for what it does to them."
    if material.chilling_threshold:
        low, high = material.chilling_threshold.span
        if air is not None and air.high < low:
            said += f" {desk.speech.temperature(air.value)} is too cold for it."
        said += f" Below {desk.speech.temperature(high)} chilling damages it."
        draft.figures.append(_threshold("chilling_threshold", material, low, high, material.chilling_threshold.source))
    asks_cold = any(word in wish.text for word in ("freez", "frost", "cold", "frozen", "chill"))
    if material.freezing_point and asks_cold:
        low, high = material.freezing_point.span
        said += f" It freezes at about {desk.speech.temperature(high)}."
        draft.figures.append(_threshold("freezing_point", material, low, high, material.freezing_point.source))
    return said


def _threshold(kind: str, material: Material, low: float, high: float, sources: tuple[str, ...]) -> Figure:
    return Figure(kind, material.id, (low + high) / 2, low, high, "degC", formula="handbook row", sources=sources)


def _figure(kind: str, material: Material, estimate: Estimate, unit: str, records: list[Storage], used: list) -> Figure:  # type: ignore[type-arg]
    sources = tuple(dict.fromkeys(s for r in records for s in r.source))
    basis = "published" if any(r.basis == "published" for r in records) else records[0].basis
    return Figure.of(
        kind,
        material.id,
        estimate,
        unit,
        inputs=tuple(used),
        formula="range over the handbook's records",
        sources=sources,
        basis=basis,
    )


def _dry(material: Material, wish: Wish, draft: Draft, desk: Desk) -> str:
    keeping = material.keeping
    assert keeping is not None
    low, high = keeping.shelf_life.span
    month = 365.25 / 12
    draft.figures.append(
        Figure(
            "shelf_life",
            material.id,
            (low + high) / 2 * month,
            low * month,
            high * month,
            "d",
            formula="handbook row",
            sources=keeping.shelf_life.source,
            basis=keeping.shelf_life.basis,
        )
    )
    air = verdict = ""
    inputs = desk.inputs(wish)
    told = inputs.said("humidity", unit="%")
    draft.figures[-1] = replace(draft.figures[-1], inputs=tuple(inputs.used))
    if keeping.humidity:
        a, b = keeping.humidity.span
        air = f" at {a:g}–{b:g} % humidity"
        if told is not None and told.high > b:
            verdict = f" {told.value:g} % is damper than that, and they may mould."
        elif told is not None and told.low < a:
            verdict = f" {told.value:g} % is drier than that, and they may turn brittle."
        draft.figures.append(
            Figure(
                "humidity", material.id, (a + b) / 2, a, b, "%", formula="handbook row", sources=keeping.humidity.source
            )
        )
    draft.triggers.append("fire")
    return f"{capital(desk.context.plural(material.id))} keep {low:g}–{high:g} months in the dark and dry{air}; no cooler and no water.{verdict}"
