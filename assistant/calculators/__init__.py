"""The calculators: pure functions on plain numbers with units in their names. No I/O, no clock, no handbook."""

from assistant.calculators.ranges import Estimate, OutOfRange, Spread, exact, span

__all__ = ["Estimate", "OutOfRange", "Spread", "exact", "span"]
