"""Which what-ifs can be taken back, and how many steps of the conversation each of them was."""

from __future__ import annotations


class WhatIfs:
    """A wheel turned on and on is one what-if, however many steps the conversation took for it."""

    def __init__(self) -> None:
        self._steps: list[int] = []
        self._turning: str | None = None

    def __bool__(self) -> bool:
        return bool(self._steps)

    def turned(self, slot: str) -> bool:
        """Count a step; True when it belongs to the what-if before."""
        merged = slot == self._turning and bool(self._steps)
        if merged:
            self._steps[-1] += 1
        else:
            self._steps.append(1)
        self._turning = slot
        return merged

    def let_go(self) -> None:
        """The chip was left: what comes next is a what-if of its own."""
        self._turning = None

    def take_back(self) -> int:
        """Forget the last what-if; how many steps it was."""
        self._turning = None
        return self._steps.pop()

    def clear(self) -> None:
        self._steps.clear()
        self._turning = None
