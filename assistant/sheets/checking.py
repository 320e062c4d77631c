"""What to check before ordering: season, hazards for the place, ethylene, heat, foam, lives that are too short."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date

from assistant.calculators.substitutes import Need as Limits
from assistant.calculators.substitutes import why_not
from assistant.dialogue.cautions import cautions_for, triggers_for
from assistant.dialogue.context import Context
from assistant.dialogue.lives import WARNINGS
from assistant.dialogue.memory import Item, Wish
from assistant.dialogue.wording import capital, count, date_words, listed
from assistant.language.question import Reading
from assistant.sheets.job import Job
from assistant.sheets.parts import Flag, Life, Need, Visit, Water
from assistant.stock.lives import Left

_HOT = ("heater", "candles", "lamps", "sun")
_ETHYLENE = ("fruit", "exhaust")
_HEAT_WORDS = {"heater": "a heater", "candles": "candles", "lamps": "hot lamps", "sun": "direct sun"}
_AIR_WORDS = {"fruit": "fruit", "exhaust": "exhaust fumes"}
_WHO = {
    "children": "children are there", "poison-people": "people at risk are there", "poison-cats": "cats are there",
    "poison-dogs": "dogs are there", "food": "food is near", "hospital": "a sickroom", "skin": "people handle it",
    "pollen": "pollen troubles somebody", "thorns": "people brush past",
}  # fmt: skip
_REBUILD_RULE = "know-when-to-rebuild"
_MORE_SAID = ("storage_life_unknown", "freezing_unknown", "used_up", "may_be_used_up")


def audience_of(job: Job, context: Context) -> frozenset[str]:
    """Who is there: said by the job, or implied by the place."""
    place = context.places.get(job.place) if job.place else None
    return frozenset({*job.audience, *(place.audience if place else ())})


def material_flags(
    needs: Sequence[Need], lives: Mapping[str, Life], left: Mapping[str, Left], job: Job, context: Context,
    days: Sequence[date],
) -> list[Flag]:  # fmt: skip
    """Flags of single materials. `days` are those of the installation and the visits, for the season."""
    flags: list[Flag] = []
    months = sorted({day.month for day in days})
    audience = sorted(audience_of(job, context))
    for need in needs:
        name = capital(context.plural(need.material))
        flags += _limit_flags(need, name, months, audience, context)
        foam = context.material(need.material).foam
        if foam and job.support.startswith("foam") and foam.use in ("poor", "avoid"):
            says = f" {foam.says}" if foam.says else ""
            flags.append(Flag("watch", "foam", need.material, f"{name}: {foam.use} in foam.{says}"))
        flags += _life_flags(need, name, lives.get(need.material), left.get(need.material), job)
        if need.pack is None:
            text = f"{name}: the handbook has no stem count for a bunch; ask how it is sold."
            flags.append(Flag("watch", "pack", need.material, text))
    return flags


def _limit_flags(
    need: Need, name: str, months: Sequence[int], audience: Sequence[str], context: Context
) -> list[Flag]:  # fmt: skip
    """Season and hazards, by the same hard limits that rule substitutes out."""
    profile = context.profile(need.material)
    other = replace(profile, id=f"{profile.id}?")  # the limits compare with another material, never with itself
    flags = []
    if any(why_not(profile, other, Limits(month=month)) for month in months):
        text = f"{name}: out of season then; ask the wholesaler first or swap."
        flags.append(Flag("watch", "season", need.material, text))
    reasons: dict[str, list[str]] = {}
    for trigger in audience:
        reason = why_not(profile, other, Limits(audience=frozenset({trigger})))
        if reason:
            reasons.setdefault(reason, []).append(_WHO.get(trigger, trigger))
    for reason, who in reasons.items():
        text = f"{name}: {reason} ({', '.join(who)}); swap it or keep it out of reach."
        flags.append(Flag("stop", "hazard", need.material, text))
    return flags


def shared_flags(needs: Sequence[Need], job: Job, context: Context) -> list[Flag]:
    """Flags several materials share, one sentence each: ethylene company, and dried material near heat."""

    def named(ids: Sequence[str]) -> str:
        return capital(listed([context.plural(i) for i in ids]))

    flags = []
    entries = [context.material(need.material) for need in needs]
    near = [_AIR_WORDS[n] for n in job.near if n in _ETHYLENE]
    for strength in ("high", "medium"):
        ids = [m.id for m in entries if m.ethylene and m.ethylene.sensitivity == strength]
        if ids and near:
            text = (
                f"{named(ids)}: {strength} ethylene sensitivity, and {' and '.join(near)} will be near; move it away."
            )
            flags.append(Flag("stop" if strength == "high" else "watch", "ethylene", ids[0], text))
        elif ids and strength == "high":
            text = f"{named(ids)}: keep well away from fruit, exhaust and fading flowers (ethylene)."
            flags.append(Flag("note", "ethylene", ids[0], text))
    dry = [m.id for m in entries if m.is_dry]
    hot = [_HEAT_WORDS[n] for n in job.near if n in _HOT]
    if dry and hot:
        text = f"{named(dry)}: dry and quick to burn, and {' and '.join(hot)} will be near; move one of them."
        flags.append(Flag("stop", "heat", dry[0], text))
    return flags


def _life_flags(need: Need, name: str, life: Life | None, left: Left | None, job: Job) -> list[Flag]:
    if left is None:
        text = f"{name}: no life in the handbook, so no visit is planned for it."
        return [Flag("stop", "life", need.material, text)]
    if life is None:
        text = f"{name}: may last less than a day there; choose something else or cool the room."
        return [Flag("stop", "life", need.material, text)]
    flags = []
    if life.days.low < job.display_days:
        low, high = int(life.days.low), int(life.days.high)
        lasts = f"{low}–{high} days" if life.days.high < job.display_days else f"may last only {count(low, 'day')}"
        times = {0: "it stays, so look at it now and then", 1: "replaced once", 2: "replaced twice"}.get(
            life.times_replaced, f"replaced {life.times_replaced} times"
        )
        flags.append(Flag("watch", "life", need.material, f"{name}: {lasts} of the {job.display_days}; {times}."))
    for warning in left.warnings:
        if warning in WARNINGS and warning not in _MORE_SAID:
            kind = "air" if warning.startswith("too") else "storage"
            flags.append(Flag("watch", kind, need.material, f"{name}: {WARNINGS[warning]}."))
    return flags


def whole_flags(
    visits: Sequence[Visit], water: Water | None, wet: Sequence[Need], job: Job, context: Context,
    order_by: date | None, today: date | None,
) -> list[Flag]:  # fmt: skip
    """Flags of the job as a whole."""
    flags: list[Flag] = []
    if today is not None and order_by is not None and order_by < today:
        text = f"The first order should have gone out by {date_words(order_by)}; ask what can still come."
        flags.append(Flag("stop", "late", None, text))
    if wet and water is None and not job.vessels and job.support != "out-of-water":
        text = "No vessel is named, so fill and top-ups are not worked out; add vessels: to the job."
        flags.append(Flag("watch", "water", None, text))
    if water is not None:
        flags += _water_flags(water)
    rule = context.handbook.rules.get(_REBUILD_RULE)
    limit = next((n.span[1] / 100 for n in rule.numbers if n.unit == "%"), None) if rule else None
    for visit in visits:
        if limit is not None and visit.share_changed > limit:
            text = f"Visit {visit.number} changes {visit.share_changed:.0%} of the stems; plan the time of a rebuild."
            flags.append(Flag("note", "rebuild", None, text))
    return flags


def _water_flags(water: Water) -> list[Flag]:
    flags = []
    if water.every_d == 0:
        text = "A vessel is too small: at the fast end its water is down within a day; use a larger one or fewer stems."
        flags.append(Flag("stop", "water", None, text))
    for vessel in water.vessels:
        heavy = f"{vessel.title}: up to {vessel.weight.weight_kg.high:.0f} kg filled"
        if vessel.weight.flag == "two_people":
            flags.append(Flag("watch", "lifting", None, f"{heavy}; fill it in place, never carry it full."))
        elif vessel.weight.flag == "take_care":
            flags.append(Flag("note", "lifting", None, f"{heavy}; two people or a trolley."))
    return flags


def cautions_of(needs: Sequence[Need], job: Job, context: Context, water: Water | None) -> list[str]:
    """The handbook's cautions this job meets, most urgent first."""
    asked = {"audience": Reading(tuple(job.audience), "ids")}
    if job.place:
        asked["place"] = Reading(job.place, "id")
    wish = Wish("refresh", tuple(Item(need.material) for need in needs), asked)
    extra = []
    if any(context.material(need.material).is_dry for need in needs):
        extra.append("fire")
    if water is not None and any(vessel.weight.flag != "light" for vessel in water.vessels):
        extra.append("lifting")
    if job.support.startswith("foam"):
        extra.append("foam-dust")
    triggers = triggers_for(wish, context, extra)
    late = [] if water is None else ["floor-water"]
    return cautions_for([*triggers, *late, "knife"], context, [need.material for need in needs])
