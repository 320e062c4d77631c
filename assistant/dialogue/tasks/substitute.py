"""What to use instead, or what fits a description; hard limits first, then a score with reasons."""

from __future__ import annotations

from assistant.calculators.ranges import Estimate, OutOfRange
from assistant.calculators.substitutes import Candidate, Need, Profile, find_substitutes, why_not
from assistant.dialogue.answer import CandidateShown, Figure
from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.lives import life_of
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.pools import is_narrowed, pool, pool_words, words
from assistant.dialogue.wording import capital, count, date_words, listed

_SHOWN = 5


def answer(wish: Wish, desk: Desk) -> Draft:
    wanted = [item for item in wish.items if item.unavailable] or list(wish.items[:1])
    if wanted:
        return _instead(wanted[0], wish, desk)
    if is_narrowed(wish):
        return find(wish, desk)
    return asked_back("What do you need to replace, or what should it look like?", "materials")


def _need(wish: Wish, desk: Desk, avoid: frozenset[str]) -> Need:
    context = desk.context
    month = wish.slot("month")
    day = wish.slot("until_date") or wish.slot("start_date")
    audience = set(words(wish, "audience"))
    place = wish.slot("place")
    if place and place.text in context.places:
        audience |= set(context.places[place.text].audience)
    goal = desk.inputs(wish).days_until()
    roles = words(wish, "roles")
    ethylene = any(word in wish.text for word in ("ethylene", "fruit", "ripening"))
    return Need(
        role=roles[0] if roles else None,
        month=int(month.number) if month else day.day.month if day else None,
        life_d=goal[0] if goal and "until_date" not in wish.asked else None,
        audience=frozenset(
            audience & {"children", "poison-people", "poison-cats", "poison-dogs", "skin", "food", "hospital", "pollen"}
        ),
        ethylene_in_air=ethylene,
        colours=tuple(context.srgb[c] for c in words(wish, "colours") if c in context.srgb),
        avoid=avoid,
    )


def _profiles(wish: Wish, desk: Desk, ids: list[str]) -> list[Profile]:
    """Profiles with lives at the display, when its conditions were said."""
    at_display = any(wish.slot(name) for name in ("display_temperature", "support", "place"))
    out = []
    for material_id in ids:
        life: Estimate | None = None
        if at_display:
            try:
                found = life_of(
                    desk.context.material(material_id),
                    desk.inputs(Wish("longevity", (Item(material_id),), wish.asked, wish.earlier)),
                )
            except OutOfRange:
                found = None
            life = found.days if found else None
        out.append(desk.context.profile(material_id, life))
    return out


def _instead(item: Item, wish: Wish, desk: Desk) -> Draft:
    context = desk.context
    material = context.material(item.id)
    avoid = frozenset(i.id for i in wish.items if not i.unavailable and i.id != item.id and " or " not in wish.text)
    need = _need(wish, desk, avoid)
    stems_slot = wish.slot("stems") or wish.slot("count")
    stems = item.stems or (stems_slot.number if stems_slot else None)
    inputs = desk.inputs(wish)
    inputs.said("display_temperature", unit="degC")
    inputs.days_until()
    if item.bunches and stems is None:
        known = context.pack(item.id)
        stems = item.bunches * known[0].value if known else None
    if stems is None:
        stems = 10.0
        inputs.note("stems", 10.0, "stems", "assumed")
        inputs.assume("for ten stems")
    else:
        inputs.note("stems", stems, "stems", "asked")
    if need.month is None and not material.is_dry:
        month = context.today.month
        need = Need(
            need.role, month, need.life_d, need.audience, need.ethylene_in_air, need.state, need.colours, need.avoid
        )
        inputs.assume(f"on the market now, {date_words(context.today).split(' ')[-1]}")
    wanted = _profiles(wish, desk, [item.id])[0]
    named = [m for m in wish.items if not m.unavailable and m.id != item.id]
    ids = [m for m in context.handbook.materials if m != item.id]
    kinds = set(words(wish, "kinds")) & {"dried", "preserved"}
    if kinds and not material.is_dry:
        need = Need(need.role, None, None, need.audience, False, "dry", need.colours, need.avoid)
    if kinds:
        ids = [i for i in ids if context.material(i).kind in kinds]
    looked_for = set(words(wish, "kinds")) & {"berry", "branch", "foliage", "grass"}
    if looked_for and not kinds:  # "what white berry then", of mistletoe
        ids = [i for i in ids if context.material(i).kind in looked_for]
    search = find_substitutes(wanted, _profiles(wish, desk, ids), need, stems=stems, limit=_SHOWN)
    draft = Draft("", assumptions=inputs.assumptions)
    draft.passages = context.sections(item.id, "substitutes", "order")
    if not search.candidates:
        return not_covered(
            f"Nothing in the handbook meets all of that in place of {context.plural(item.id)}; drop a condition.",
            draft.passages,
        )
    best = search.candidates[0]
    draft.candidates = [_shown(c) for c in search.candidates]
    draft.figures = _figures(best, inputs.used, context.name(item.id))
    others = listed([context.plural(c.id) for c in search.candidates[1:4]], "or")
    amount = f"{best.stems} stems" + (f", so {count(best.bunches, 'bunch')}" if best.bunches is not None else "")
    colour = f" in {listed([c.replace('-', ' ') for c in words(wish, 'colours')])}" if words(wish, "colours") else ""
    draft.lead = f"In place of {stems:g} {context.plural(item.id)}{colour}: {context.plural(best.id)}, {amount}; {best.why[0] if best.why else 'close in use'}."
    if named:
        draft.lead = _named_choice(named, wanted, need, desk, stems) + " " + draft.lead
    if others:
        draft.more.append(f"Then {others}.")
    for candidate in search.candidates[:2]:
        draft.passages += context.sections(candidate.id, "names", "order")
    draft.passages += context.rules(("substitutes-in-writing",))
    draft.triggers += [t for t in need.audience if t in ("poison-cats", "poison-dogs", "children", "food", "hospital")]
    draft.follow_ups = [
        "the second one",
        f"how long do {context.plural(best.id)} last?",
        f"how many bunches of {context.plural(best.id)} for 30 stems",
    ]
    return draft


def _named_choice(named: list[Item], wanted: Profile, need: Need, desk: Desk, stems: float) -> str:
    """The person proposed a substitute: say whether it passes."""
    said = []
    for item in named[:2]:
        reason = why_not(desk.context.profile(item.id), wanted, Need(month=need.month, audience=need.audience))
        name = capital(desk.context.plural(item.id))
        said.append(f"{name}: not ideal, it {reason}." if reason else f"{name}: yes, that can work.")
    return " ".join(said)


def _shown(candidate: Candidate) -> CandidateShown:
    return CandidateShown(candidate.id, candidate.score, candidate.why, candidate.stems, candidate.bunches)


def _figures(best: Candidate, used: list, instead_of: str) -> list[Figure]:  # type: ignore[type-arg]
    stems = float(best.stems)
    out = [
        Figure(
            "stems",
            best.id,
            stems,
            stems,
            stems,
            "stems",
            inputs=tuple(used),
            formula=f"same visible area as the {instead_of}",
        )
    ]
    if best.bunches is not None:
        bunches = float(best.bunches)
        out.insert(
            0,
            Figure(
                "bunches",
                best.id,
                bunches,
                bunches,
                bunches,
                "bunches",
                inputs=tuple(used),
                formula="stems to whole bunches, 10 % loss, 90 % sure",
            ),
        )
    return out


def find(wish: Wish, desk: Desk) -> Draft:
    """No material to replace: what in the handbook fits the description, longest-lasting first."""
    context = desk.context
    need = _need(wish, desk, frozenset(i.id for i in wish.items))
    rows = []
    refused = 0
    for material in pool(wish, context):
        profile = context.profile(material.id)
        reason = why_not(
            profile, Profile("-", "-", material.kind, frozenset(material.roles), state=profile.state), need
        )
        if reason:
            refused += 1
            continue
        unknown = _unknown_hazards(profile, need)
        found = life_of(material, desk.inputs(Wish("longevity", (Item(material.id),), wish.asked, wish.earlier)))
        if found is None:
            continue
        rows.append((unknown, -found.days.low, material.id, found))
    if not rows:
        return not_covered(f"Nothing in the handbook is {pool_words(wish)} and meets all of that; drop a condition.")
    rows.sort(key=lambda row: row[:3])
    top = rows[:_SHOWN]
    draft = Draft("")
    longest = max(row[3].days.value for row in rows) or 1.0
    for unknown, _, material_id, found in top:
        material = context.material(material_id)
        why = [f"lasts {found.days.low:.0f}–{found.days.high:.0f} days", f"used as {' and '.join(material.roles)}"]
        if unknown:
            why.append("no hazard listing on record, which is no proof of safety")
        draft.candidates.append(CandidateShown(material_id, min(1.0, found.days.value / longest), tuple(why)))
        draft.figures.append(found.figure)
    names = [f"{context.plural(i)} ({f.days.low:.0f}–{f.days.high:.0f} days)" for _, _, i, f in top]
    draft.lead = f"{capital(pool_words(wish))} that fit, longest-lasting first: {listed(names)}."
    draft.more.append(f"{count(len(rows), 'entry', 'entries')} of the handbook fit; {refused} fail a condition.")
    for _, _, material_id, _ in top[:3]:
        draft.passages += context.sections(material_id, "names", "life")
    draft.triggers += [t for t in need.audience if t in ("poison-cats", "poison-dogs", "children", "food", "hospital")]
    draft.follow_ups = ["the first one", "how many bunches for 40 stems"]
    return draft


def _unknown_hazards(profile: Profile, need: Need) -> int:
    keys = {"poison-cats": "cats", "poison-dogs": "dogs", "children": "people", "poison-people": "people"}
    return sum(profile.hazards.get(keys[t], "unknown") == "unknown" for t in need.audience if t in keys)
