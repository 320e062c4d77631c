"""How long it lasts: days left of each material, yes or no first where a day was named."""

from __future__ import annotations

from assistant.dialogue.desk import Desk, Draft, asked_back, not_covered
from assistant.dialogue.general import from_rules
from assistant.dialogue.lives import WARNINGS, Life, life_of
from assistant.dialogue.memory import Wish
from assistant.dialogue.wording import capital, day_span, days, listed

SUPPORT_WORDS = {
    "vase-food": "in a vase with flower food",
    "plain-water": "in plain water",
    "foam-kept-wet": "in foam that is kept wet",
    "foam-drying": "in foam left to dry",
    "out-of-water": "out of water",
}


def answer(wish: Wish, desk: Desk) -> Draft:
    if not wish.items:
        if not wish.refers_back:
            term = from_rules(wish, desk, prefer=("terms",))
            if term is not None:
                return term
        return asked_back("Which material do you mean? Name the flower, green or dried stem.", "materials")
    lives: list[Life] = []
    missing: list[str] = []
    assumptions: list[str] = []
    target: tuple[float, str] | None = None
    for item in wish.items:
        material = desk.context.material(item.id)
        inputs = desk.inputs(wish)
        inputs.assumptions = assumptions
        target = inputs.days_until() or target
        found = life_of(material, inputs)
        if found is None:
            missing.append(item.id)
            continue
        lives.append(found)
    if not lives:
        names = listed([desk.context.plural(i) for i in missing])
        return not_covered(
            f"The handbook has no vase life for {names}, so I won't guess a number of days.",
            [p for i in missing for p in desk.context.sections(i, "life", "water", "conditioning")],
        )
    lead = _verdict(lives, target, desk) if target else _plain(lives, desk)
    draft = Draft(lead, figures=[life.figure for life in lives], assumptions=assumptions)
    draft.more += _warnings(lives, desk)
    if missing:
        draft.more.append(f"No vase life in the handbook for {listed([desk.context.plural(i) for i in missing])}.")
    for life in lives:
        draft.passages += desk.context.sections(life.material.id, "keeping" if life.material.is_dry else "life")
    for life in lives:
        if not life.material.is_dry:
            stored = wish.slot("stored_days") or wish.slot("storage_temperature")
            draft.passages += desk.context.sections(
                life.material.id, *(("storage", "water") if stored else ("water", "storage"))
            )
    draft.follow_ups = _follow_ups(lives, wish)
    return draft


def _where(life: Life, desk: Desk) -> str:
    if life.display_degC is None:
        return "on the shelf"
    air = desk.speech.temperatures(life.display_degC.low, life.display_degC.high)
    return f"at {air} {SUPPORT_WORDS.get(life.support, '')}".rstrip()


def _amount(life: Life) -> str:
    """The figure in words: months for what keeps, days for what drinks."""
    if life.material.is_dry:
        months = [round(x / 30.44) for x in life.days]
        if months[2] < 2:
            return f"about {days(life.days.value)}"
        return f"about {months[1]} months ({months[0]}–{months[2]})"
    if life.days.high <= 0:
        return "no days"
    middle = days(life.days.value)
    span = day_span(life.days, bare=True)
    return f"about {middle}" if span == middle.split()[0] else f"about {middle} ({span})"


def _plain(lives: list[Life], desk: Desk) -> str:
    if len(lives) == 1:
        life = lives[0]
        name = capital(desk.context.plural(life.material.id))
        if life.material.is_dry:
            return f"{name}: {_amount(life)} of shelf life, kept dry and out of the sun; no water."
        return f"{name}: {_amount(life)} left {_where(life, desk)}."
    parts = [f"{desk.context.plural(life.material.id)} {_amount(life)}" for life in lives]
    shared = _where(lives[0], desk) if all(_where(x, desk) == _where(lives[0], desk) for x in lives) else ""
    first = min(lives, key=lambda x: x.days.low)
    tail = (
        f" {capital(desk.context.plural(first.material.id))} go first." if len({x.days.low for x in lives}) > 1 else ""
    )
    return f"{capital(listed(parts))}{' ' + shared if shared else ''}.{tail}"


def _verdict(lives: list[Life], target: tuple[float, str], desk: Desk) -> str:
    goal, said = target
    words = []
    for life in lives:
        name = desk.context.plural(life.material.id)
        low, middle, high = life.days
        if low >= goal:
            word = "Yes"
        elif middle >= goal:
            word = "Probably"
        elif high >= goal:
            word = "Probably not"
        else:
            word = "No"
        until = f"the {days(goal)} to {said}" if said else days(goal)
        words.append(f"{word}: {name} have {_amount(life)} {_where(life, desk)}, against {until}.")
    return " ".join(words)


def _warnings(lives: list[Life], desk: Desk) -> list[str]:
    out = []
    for life in lives:
        said = [
            WARNINGS[w]
            for w in life.warnings
            if w in WARNINGS and w not in ("storage_life_unknown", "freezing_unknown")
        ]
        if said:
            out.append(f"{capital(desk.context.name(life.material.id))}: {'; '.join(said)}.")
    return out[:2]


def _follow_ups(lives: list[Life], wish: Wish) -> list[str]:
    first = lives[0].material
    if first.is_dry:
        return [f"how do I store {first.name}", "source?"]
    out = []
    if "display_temperature" not in wish.asked:
        out.append("and at 26 °C?")
    if lives[0].support != "foam-kept-wet":
        out.append("and in foam?")
    return [*out, "why?"]
