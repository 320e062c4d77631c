"""What to use instead: hard limits first, then a score with its reasons in words."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import Literal

from assistant.calculators.bunches import bunches_needed
from assistant.calculators.colour import nearest
from assistant.calculators.ranges import OutOfRange, Spread, count, estimate, within

State = Literal["fresh", "dry"]
_HARMFUL = frozenset({"moderate", "severe", "listed"})
_SKIN = frozenset({"irritant", "sensitiser", "severe"})
# Beyond this CIEDE2000 difference two flowers share nothing in colour.
_FAR_COLOUR = 50.0
_MOST_STEMS_FOR_ONE = 4.0


@dataclass(frozen=True)
class Profile:
    """What the comparison needs to know of a material. What is unknown is None and costs no points.

    Parameters
    ----------
    id, name, kind : str
    roles : frozenset of str
    part : str or None
    colours : tuple of str
        sRGB as '#rrggbb'.
    bloom_cm, spread_cm, stem_cm : float, (low, high), Estimate or None
        [cm]
    life_d : float, (low, high), Estimate or None
        Life at the display, or in the standard room if the display is not known; shelf life for dried. [d]
    months : frozenset of int or None
        Months in which the trade has it, 1 to 12.
    hazards : mapping
        'people', 'cats', 'dogs', 'skin', 'food' to the level the handbook gives.
    ethylene : str or None
        Sensitivity: none, low, medium, high, varies.
    stems_per_bunch : float, (low, high), Estimate or None
        [stems]
    listed : Mapping of id to reason
        Substitutes that this material's own handbook entry names.
    state : str
        'fresh' or 'dry'.
    """

    id: str
    name: str
    kind: str
    roles: frozenset[str]
    part: str | None = None
    colours: tuple[str, ...] = ()
    bloom_cm: Spread | None = None
    spread_cm: Spread | None = None
    stem_cm: Spread | None = None
    life_d: Spread | None = None
    months: frozenset[int] | None = None
    hazards: Mapping[str, str] = field(default_factory=dict)
    ethylene: str | None = None
    heavy_pollen: bool = False
    stems_per_bunch: Spread | None = None
    listed: Mapping[str, str] = field(default_factory=dict)
    state: State = "fresh"


@dataclass(frozen=True)
class Need:
    """What the substitute has to meet.

    Parameters
    ----------
    role : str or None
        Design role it must play; None: any role of the wanted material.
    month : int or None
    life_d : float or None
        Days it must last; judged on the low end of its life. [d]
    audience : frozenset of str
        Of 'children', 'poison-people', 'poison-cats', 'poison-dogs', 'skin', 'thorns', 'food', 'hospital',
        'pollen'.
    ethylene_in_air : bool
        Fruit, exhaust or ripening flowers near by.
    state : str or None
        'fresh' or 'dry'; None: like the wanted material.
    colours : tuple of str
        Colours asked for, sRGB; empty: those of the wanted material.
    avoid : frozenset of str
        Ids not to offer.
    """

    role: str | None = None
    month: int | None = None
    life_d: float | None = None
    audience: frozenset[str] = frozenset()
    ethylene_in_air: bool = False
    state: State | None = None
    colours: tuple[str, ...] = ()
    avoid: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Weights:
    """How much each likeness counts; only their proportions matter. [1]"""

    colour: float = 0.30
    size: float = 0.20
    stem: float = 0.10
    habit: float = 0.25
    life: float = 0.15
    listed_bonus: float = 0.15


@dataclass(frozen=True)
class Candidate:
    """A substitute. `score` 0 to 1; `stems` for the same visual weight; `bunches` None if its pack is unknown."""

    id: str
    name: str
    score: float
    why: tuple[str, ...]
    stems: int
    bunches: int | None
    delta_e: float | None
    listed: bool


@dataclass(frozen=True)
class Search:
    """`candidates` best first and `excluded`: (id, the limit it fails, in words)."""

    candidates: tuple[Candidate, ...]
    excluded: tuple[tuple[str, str], ...]


def why_not(candidate: Profile, wanted: Profile, need: Need) -> str | None:
    """The first hard limit a material fails, in words, or None. Unknown is let through: the reasons then say so."""
    if candidate.id == wanted.id or candidate.id in need.avoid:
        return "is the one to be replaced or to be avoided"
    if candidate.state != (need.state or wanted.state):
        return f"is {candidate.state}, not {need.state or wanted.state}"
    roles = frozenset({need.role}) if need.role else wanted.roles
    if not candidate.roles & roles:
        return f"does not serve as {' or '.join(sorted(roles))}"
    if need.month is not None and candidate.months is not None and need.month not in candidate.months:
        return "is out of season then"
    if need.life_d is not None and candidate.life_d is not None:
        shortest = estimate(candidate.life_d, "life").low
        if shortest < need.life_d:
            return f"may last only {shortest:.0f} days there"
    if need.ethylene_in_air and candidate.ethylene == "high":
        return "does not stand ethylene"
    return _hazard(candidate, need.audience)


def _hazard(candidate: Profile, audience: frozenset[str]) -> str | None:
    level = candidate.hazards.get
    if audience & {"children", "poison-people"} and level("people") in _HARMFUL:
        return "is poisonous to people"
    if "poison-cats" in audience and level("cats") in _HARMFUL | {"mild"}:
        return "is poisonous to cats"
    if "poison-dogs" in audience and level("dogs") in _HARMFUL | {"mild"}:
        return "is poisonous to dogs"
    if "skin" in audience and level("skin") in _SKIN:
        return "can hurt the skin"
    if "thorns" in audience and level("skin") == "mechanical":
        return "has thorns or prickles"
    if "food" in audience and (level("food") == "never" or level("people") in _HARMFUL | {"mild"}):
        return "must not touch food"
    if audience & {"hospital", "pollen"} and candidate.heavy_pollen:
        return "sheds pollen"
    return None


def find_substitutes(
    wanted: Profile,
    pool: Sequence[Profile],
    need: Need,
    *,
    stems: float = 10,
    limit: int = 5,
    loss_rate: float = 0.1,
    confidence: float = 0.9,
    weights: Weights | None = None,
) -> Search:
    """Rank substitutes for a material.

    Parameters
    ----------
    wanted : Profile
    pool : sequence of Profile
    need : Need
    stems : float
        Stems of the wanted material to replace. [stems]
    limit : int
        Most candidates to return.
    loss_rate, confidence : float
        For the bunches; see `bunches_needed`. [1]
    weights : Weights or None

    Returns
    -------
    Search

    Notes
    -----
    Score: weighted mean of the likenesses that are known, times what they cover of the whole weight halfway
    (an unknown is worth half), plus the bonus for a substitute the handbook names, at most 1.
    colour ``1 - dE00 / 50``; size, stem and life ``min/max`` of the middles (a longer life is no fault); habit from
    kind, part and shared roles. Stems: the ratio of shown areas, between a quarter and four for one.
    """
    number = count(math.ceil(stems), "number of stems")
    most = count(limit, "number of candidates", 1, 1000)
    if need.month is not None:
        within(need.month, 1, 12, "month")
    chosen = weights or Weights()
    found: list[tuple[Candidate, Spread | None]] = []
    excluded: list[tuple[str, str]] = []
    for profile in pool:
        reason = why_not(profile, wanted, need)
        if reason is not None:
            if profile.id != wanted.id:
                excluded.append((profile.id, reason))
            continue
        found.append((_judge(profile, wanted, need, number, chosen), profile.stems_per_bunch))
    found.sort(key=lambda pair: (-pair[0].score, pair[0].id))
    # Whole bunches cost more to reckon than all the rest: only for those that are shown.
    shown = (
        candidate if pack is None
        else replace(candidate, bunches=bunches_needed(candidate.stems, pack, loss_rate, confidence).bunches_to_order)
        for candidate, pack in found[:most]
    )  # fmt: skip
    return Search(tuple(shown), tuple(excluded))


def _judge(candidate: Profile, wanted: Profile, need: Need, stems: int, weights: Weights) -> Candidate:
    why: list[str] = []
    likeness: list[tuple[float, float | None]] = []
    delta_e: float | None = None
    pair = nearest(need.colours or wanted.colours, candidate.colours)
    if pair is None:
        likeness.append((weights.colour, None))
    else:
        delta_e = pair[0]
        likeness.append((weights.colour, max(0.0, 1 - delta_e / _FAR_COLOUR)))
        why.append(_colour_words(delta_e))
    size = _alike(_size(wanted), _size(candidate))
    likeness.append((weights.size, size))
    if size is not None:
        why.append("about the same size" if size >= 0.75 else f"{_bigger(wanted, candidate)} heads")
    stem = _alike(_middle(wanted.stem_cm), _middle(candidate.stem_cm))
    likeness.append((weights.stem, stem))
    if stem is not None and stem >= 0.75:
        why.append("stems of similar length")
    habit = _habit(wanted, candidate)
    likeness.append((weights.habit, habit))
    shared = sorted(wanted.roles & candidate.roles)
    if shared:
        why.append(f"also works as {' or '.join(shared)}")
    why.extend(_life(wanted, candidate, weights, likeness))
    named = candidate.id in wanted.listed
    if named:
        why.append(f"named in the handbook: {wanted.listed[candidate.id]}")
    why.extend(_doubts(candidate, need))
    per_stem, known = _stems_for_one(wanted, candidate, need)
    if not known:
        why.append("size not known, so reckoned stem for stem")
    replaced = math.ceil(stems * per_stem - 1e-9)
    known_weight = sum(w for w, x in likeness if x is not None)
    whole = sum(w for w, _ in likeness)
    if whole <= 0:
        raise OutOfRange("At least one of the weights must be more than 0.")
    score = sum(w * x for w, x in likeness if x is not None) + 0.5 * (whole - known_weight)
    score = min(1.0, score / whole + (weights.listed_bonus if named else 0.0))
    return Candidate(candidate.id, candidate.name, round(score, 4), tuple(why), replaced, None, delta_e, named)


def _life(
    wanted: Profile, candidate: Profile, weights: Weights, likeness: list[tuple[float, float | None]]
) -> list[str]:
    theirs, ours = _middle(candidate.life_d), _middle(wanted.life_d)
    if theirs is None or ours is None:
        likeness.append((weights.life, None))
        return []
    likeness.append((weights.life, min(1.0, theirs / ours)))
    if theirs >= 1.15 * ours:
        return ["lasts longer"]
    return ["lasts about as long"] if theirs >= 0.85 * ours else ["does not last as long"]


def _doubts(candidate: Profile, need: Need) -> list[str]:
    """What a limit asked for and the handbook does not know."""
    doubts = []
    for trigger, key, words in (
        ("poison-cats", "cats", "cats"), ("poison-dogs", "dogs", "dogs"), ("poison-people", "people", "people"),
        ("children", "people", "children"), ("food", "food", "food"),
    ):  # fmt: skip
        if trigger in need.audience and candidate.hazards.get(key, "unknown") == "unknown":
            doubts.append(f"nothing on record about {words}, which is no proof of safety")
    if need.audience & {"children", "poison-people"} and candidate.hazards.get("people") == "mild":
        doubts.append("mildly harmful if eaten, so out of reach")
    if need.month is not None and candidate.months is None:
        doubts.append("season not on record; ask the supplier")
    if need.life_d is not None and candidate.life_d is None:
        doubts.append("life not on record")
    return doubts


def _colour_words(delta_e: float) -> str:
    if delta_e < 5:
        return "comes in the same colour"
    if delta_e < 12:
        return "comes in a close colour"
    return "comes in a related colour" if delta_e < 25 else "no close colour"


@lru_cache(maxsize=4096)
def _middle(x: Spread | None) -> float | None:
    return None if x is None else estimate(x, "size", 0).value


def _size(profile: Profile) -> float | None:
    """What is seen of it: the head of a flower, the spray of everything else."""
    order = (profile.bloom_cm, profile.spread_cm) if _blooms(profile) else (profile.spread_cm, profile.bloom_cm)
    return next((middle for x in order if (middle := _middle(x)) is not None), None)


def _blooms(profile: Profile) -> bool:
    return bool(profile.roles & {"mass", "form"}) and profile.kind == "flower"


def _alike(a: float | None, b: float | None) -> float | None:
    return None if a is None or b is None or max(a, b) <= 0 else min(a, b) / max(a, b)


def _bigger(wanted: Profile, candidate: Profile) -> str:
    ours, theirs = _size(wanted), _size(candidate)
    return "larger" if ours is not None and theirs is not None and theirs > ours else "smaller"


def _habit(wanted: Profile, candidate: Profile) -> float:
    kind = 0.4 if wanted.kind == candidate.kind else 0.0
    part = 0.0
    if (wanted.part is not None and wanted.part == candidate.part) or (wanted.part is None and candidate.part is None):
        part = 0.1
    union = wanted.roles | candidate.roles
    return kind + part + 0.5 * len(wanted.roles & candidate.roles) / max(1, len(union))


def _stems_for_one(wanted: Profile, candidate: Profile, need: Need) -> tuple[float, bool]:
    """Stems of the candidate that show as much as one of the wanted, and whether that was reckoned."""
    if need.role == "line" or (need.role is None and wanted.roles == {"line"}):
        ours, theirs = _middle(wanted.stem_cm), _middle(candidate.stem_cm)
        power = 1
    else:
        ours, theirs = _size(wanted), _size(candidate)
        power = 2
    if ours is None or theirs is None or theirs <= 0 or ours <= 0:
        return 1.0, False
    ratio = float((ours / theirs) ** power)
    return min(_MOST_STEMS_FOR_ONE, max(1 / _MOST_STEMS_FOR_ONE, ratio)), True
