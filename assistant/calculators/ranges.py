"""A number with its honest range, and the error every calculator raises on impossible input."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple, TypeAlias


class OutOfRange(ValueError):  # noqa: N818 - reads as a sentence where it is caught
    """An input that cannot be. The message is one plain sentence meant for the person who asked."""


class Estimate(NamedTuple):
    """A working value between a low and a high end: ``low <= value <= high``."""

    low: float
    value: float
    high: float

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    def map(self, function: Callable[[float], float]) -> Estimate:
        """Carry the range through a function that only rises or only falls."""
        ends = (function(self.low), function(self.high))
        return ordered(min(ends), function(self.value), max(ends))

    def times(self, factor: float) -> Estimate:
        return self.map(lambda x: x * factor)


Spread: TypeAlias = float | tuple[float, float] | Estimate
"""What a calculator accepts for an uncertain input: one number, (low, high), or an Estimate."""


def exact(x: float) -> Estimate:
    """An Estimate without a range."""
    return Estimate(x, x, x)


def span(low: float, high: float) -> Estimate:
    """An Estimate whose working value is the middle of the range."""
    return Estimate(low, (low + high) / 2, high)


def ordered(low: float, value: float, high: float) -> Estimate:
    """An Estimate from three numbers of which rounding error may have pushed the middle one out."""
    return Estimate(low, min(max(value, low), high), high)


def finite(x: float, what: str) -> float:
    """Return `x` as a float, or say that `what` is not a number."""
    number = float(x)
    if not math.isfinite(number):
        raise OutOfRange(f"The {what} must be a plain number.")
    return number


def within(x: float, low: float, high: float, what: str, unit: str = "") -> float:
    """Return `x` if it lies in [low, high]; otherwise raise with the bounds that hold."""
    number = finite(x, what)
    if not low <= number <= high:
        tail = f" {unit}" if unit else ""
        raise OutOfRange(f"The {what} must be between {low:.12g} and {high:.12g}{tail}, not {number:.12g}.")
    return number


def estimate(x: Spread, what: str, low: float = -math.inf, high: float = math.inf, unit: str = "") -> Estimate:
    """Turn any accepted input into an Estimate and check both ends against what is possible."""
    if isinstance(x, Estimate):
        result = x
    elif isinstance(x, tuple):
        result = span(finite(x[0], what), finite(x[1], what))
    else:
        result = exact(finite(x, what))
    for end in result:
        if math.isfinite(low) and math.isfinite(high):
            within(end, low, high, what, unit)
        elif finite(end, what) < low:
            raise OutOfRange(f"The {what} must be at least {low:g}{' ' + unit if unit else ''}, not {end:g}.")
        elif end > high:
            raise OutOfRange(f"The {what} must be at most {high:g}{' ' + unit if unit else ''}, not {end:g}.")
    if not result.low <= result.value <= result.high:
        raise OutOfRange(f"The {what} must be given with the smaller number first.")
    return result


def count(x: float, what: str, low: int = 0, high: int = 100_000) -> int:
    """A whole number of things, such as stems or pieces."""
    number = within(x, low, high, what)
    if number != int(number):
        raise OutOfRange(f"The {what} must be a whole number, not {number:g}.")
    return int(number)


def product(*factors: Estimate) -> Estimate:
    """Multiply estimates that are all zero or more and do not depend on one another."""
    low = value = high = 1.0
    for factor in factors:
        low, value, high = low * factor.low, value * factor.value, high * factor.high
    return ordered(low, value, high)


def ratio(over: Estimate, under: Estimate) -> Estimate:
    """Divide one positive estimate by another that does not depend on it."""
    return ordered(over.low / under.high, over.value / under.value, over.high / under.low)


def total(*parts: Estimate) -> Estimate:
    """Add estimates."""
    return ordered(sum(p.low for p in parts), sum(p.value for p in parts), sum(p.high for p in parts))
