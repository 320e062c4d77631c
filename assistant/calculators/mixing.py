"""Doses and dilutions. Each result names the dangers by code; the words of the cautions live in the handbook."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, estimate, exact, ordered, product, within

Agent = Literal["food", "bleach", "sugar", "acid", "sanitiser", "glycerin", "other"]
Parts = Literal["to-water", "in-total"]


@dataclass(frozen=True)
class Mix:
    """What to put together.

    Attributes
    ----------
    agent : Estimate
        Amount of the agent, in `unit`.
    unit : str
        'ml' or 'g'.
    water_ml : Estimate
        Water to add it to. [ml]
    volume_ml : float
        Finished amount. [ml]
    strength_ppm : Estimate or None
        Available chlorine or solids in the finished mix, where it is known. [mg/l]
    dangers : tuple of str
        Caution triggers: 'bleach', 'acid', 'chemical', 'glycerin'.
    """

    agent: Estimate
    unit: Literal["ml", "g"]
    water_ml: Estimate
    volume_ml: float
    strength_ppm: Estimate | None
    dangers: tuple[str, ...]


def _litres(volume_l: float) -> float:
    volume = within(volume_l, 0, 100_000, "amount of solution", "litres")
    if volume == 0:
        raise OutOfRange("The amount of solution must be more than nothing.")
    return volume


def bleach_ppm(bleach_ml: Spread, total_ml: float, available_chlorine_pct: Spread) -> Estimate:
    """Available chlorine in a dilution.

    Parameters
    ----------
    bleach_ml : float, (low, high) or Estimate
        Household bleach. [ml]
    total_ml : float
        Finished amount, bleach included. [ml]
    available_chlorine_pct : float, (low, high) or Estimate
        Strength on the label, weight by volume. [%]

    Returns
    -------
    Estimate
        [mg/l], the trade's ppm.

    Notes
    -----
    ``ppm = 10 000 * % * bleach / total``: 1 % is 10 g in a litre. Old bleach is weaker than its label.

    References
    ----------
    cdc2008, cdc_2020, who2014, bleach_fact.
    """
    whole = within(total_ml, 0.001, 1e9, "finished amount", "ml")
    amount = estimate(bleach_ml, "amount of bleach", 0, whole, "ml")
    strength = estimate(available_chlorine_pct, "strength of the bleach", 0.1, 20, "%")
    return product(amount, strength).times(10_000 / whole)


def bleach_dose(target_ppm: Spread, available_chlorine_pct: Spread, volume_l: float) -> Mix:
    """Household bleach for a wanted strength.

    Parameters
    ----------
    target_ppm : float, (low, high) or Estimate
        Wanted available chlorine. [mg/l]
    available_chlorine_pct : float, (low, high) or Estimate
        Strength on the label. [%]
    volume_l : float
        Finished amount. [l]

    Returns
    -------
    Mix
        Millilitres of bleach; `strength_ppm` is what the working amount gives with bleach from weak to strong.

    Notes
    -----
    ``ml = ppm * volume_ml / (10 000 * %)``.
    """
    volume = _litres(volume_l) * 1000
    target = estimate(target_ppm, "wanted strength", 0, 60_000, "mg/l")
    strength = estimate(available_chlorine_pct, "strength of the bleach", 0.1, 20, "%")
    if target.high > strength.low * 10_000:
        raise OutOfRange("No dilution of this bleach is as strong as that.")
    bleach = ordered(
        target.low * volume / (strength.high * 10_000),
        target.value * volume / (strength.value * 10_000),
        target.high * volume / (strength.low * 10_000),
    )
    result = strength.map(lambda pct: bleach.value * pct * 10_000 / volume)
    return Mix(bleach, "ml", bleach.map(lambda b: volume - b), volume, result, ("bleach",))


def per_litre(dose_per_l: Spread, volume_l: float, *, unit: Literal["ml", "g"] = "g", agent: Agent = "food") -> Mix:
    """A dose by the label, so much for each litre of water.

    Parameters
    ----------
    dose_per_l : float, (low, high) or Estimate
        [g/l] or [ml/l]
    volume_l : float
        Water. [l]
    unit, agent : str
        Of the dose; the agent decides the dangers named.

    Returns
    -------
    Mix
        The dose goes into that much water (label convention: the agent's own volume is not deducted).
    """
    volume = _litres(volume_l)
    each = estimate(dose_per_l, "dose", 0, 2000, f"{unit} a litre")
    solids = each.times(1000.0) if unit == "g" else None
    return Mix(each.times(volume), unit, exact(volume * 1000), volume * 1000, solids, _dangers(agent))


def percent_solution(pct: Spread, volume_l: float, *, agent: Agent = "sugar") -> Mix:
    """A solution of so many per cent weight by volume: 1 % is 10 g in a litre of finished solution.

    Parameters
    ----------
    pct : float, (low, high) or Estimate
        [%]
    volume_l : float
        Finished amount. [l]

    Returns
    -------
    Mix
        Grams to dissolve and make up to the volume; `water_ml` is the finished amount to make up to.
    """
    volume = _litres(volume_l)
    strength = estimate(pct, "strength", 0, 70, "%")
    return Mix(
        strength.times(10 * volume), "g", exact(volume * 1000), volume * 1000, strength.times(10_000.0),
        _dangers(agent),
    )  # fmt: skip


def ppm_solution(ppm: Spread, volume_l: float, *, agent: Agent = "acid") -> Mix:
    """A solid weighed out for a strength in mg per litre [mg/l], such as citric acid; grams for the volume [l]."""
    volume = _litres(volume_l)
    strength = estimate(ppm, "strength", 0, 500_000, "mg/l")
    return Mix(strength.times(volume / 1000), "g", exact(volume * 1000), volume * 1000, strength, _dangers(agent))


def by_parts(parts_agent: float, parts_other: Spread, volume_l: float, *, convention: Parts, agent: Agent) -> Mix:
    """A mix given as parts.

    Parameters
    ----------
    parts_agent, parts_other : float, Spread
        As in 1 : 3.
    volume_l : float
        Finished amount. [l]
    convention : str
        'to-water': 1 part agent and n parts water, so 1 in n + 1. 'in-total': 1 part agent in n parts of finished
        mix. Sheets differ, and 1:10 means either; the answer has to say which.
    agent : str

    Returns
    -------
    Mix

    References
    ----------
    bleach_fact counts 1 in 10 total; who2014 writes 1 part and 99 parts; foster_kramer writes parts to parts.
    """
    volume = _litres(volume_l) * 1000
    one = within(parts_agent, 0.001, 1000, "parts of the agent")
    n = estimate(parts_other, "parts", 0, 100_000)
    if convention == "to-water":
        share = n.map(lambda x: one / (one + x))
    elif convention == "in-total":
        if n.low < one:
            raise OutOfRange("One part in a total needs a total at least as large as the part.")
        share = n.map(lambda x: one / x)
    else:
        raise OutOfRange("Parts are counted either to water or in total; say which.")
    amount = share.times(volume)
    return Mix(amount, "ml", amount.map(lambda a: volume - a), volume, None, _dangers(agent))


def dilute(stock: float, wanted: Spread, volume_l: float, *, agent: Agent = "other") -> Mix:
    """Stock solution [ml] for a weaker one: both strengths in one unit, finished amount [l]; ``C1 V1 = C2 V2``."""
    volume = _litres(volume_l) * 1000
    strong = within(stock, 1e-9, 1e9, "strength of the stock")
    weak = estimate(wanted, "wanted strength", 0, strong)
    amount = weak.times(volume / strong)
    return Mix(amount, "ml", amount.map(lambda a: volume - a), volume, None, _dangers(agent))


def _dangers(agent: str) -> tuple[str, ...]:
    return {
        "bleach": ("bleach",), "acid": ("acid", "chemical"), "sanitiser": ("chemical",), "glycerin": ("glycerin",),
        "other": ("chemical",), "food": ("chemical",),
    }.get(agent, ())  # fmt: skip
