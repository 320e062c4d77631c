"""The bars this project holds itself to. Raising one is a change; lowering one needs a reason in the commit."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal


@dataclass(frozen=True, slots=True)
class Bar:
    """A named measure and the value it must reach (`at least`) or stay under (`at most`)."""

    measure: str
    sense: Literal["at least", "at most"]
    value: float

    def holds(self, measured: float) -> bool:
        return measured >= self.value if self.sense == "at least" else measured <= self.value


# Names are those of report.MEASURES and of the speed ratios.
QUALITY = (
    Bar("crashes", "at most", 0),
    Bar("task", "at least", 0.95),
    Bar("materials F1", "at least", 0.97),
    Bar("figure", "at least", 0.95),
    Bar("recall@5", "at least", 0.97),
    Bar("confidently wrong", "at most", 0.01),
    Bar("far out of scope, declined", "at least", 0.97),
    Bar("in scope, declined", "at most", 0.02),
)
# What a set of paraphrases that nothing was fitted to must reach (`--set unseen`): the aims of QUALITY, and 0.93 of the
# follow-up slots. The aim for what is confidently wrong is 0.01; two turns more are let pass, as it counts by ones
# and twos. results/unseen.md says where it stands.
UNSEEN = (
    Bar("crashes", "at most", 0),
    Bar("task", "at least", 0.95),
    Bar("materials F1", "at least", 0.97),
    Bar("figure", "at least", 0.95),
    Bar("follow-up slots", "at least", 0.93),
    Bar("all out of scope, declined", "at least", 0.98),
    Bar("in scope, declined", "at most", 0.02),
    Bar("confidently wrong", "at most", 0.0125),
)
SPEED = (
    Bar("cold ask / import sentence_transformers", "at most", 1 / 5),
    Bar("cold ask with encoder / import sentence_transformers", "at most", 1 / 3),
    Bar("warm answer p95 / bare encoder p95", "at most", 2.0),
)

# How far a measure of a set may fall behind the results committed for that set: two standard errors at 500 turns.
MARGIN = 0.02
_FALLING = ("task", "materials F1", "figure", "outcome")
_RISING = ("confidently wrong", "in scope, declined")


def fallen(before: Mapping[str, float], now: Mapping[str, float]) -> list[str]:
    """One sentence for each measure that is worse than the committed results by more than `MARGIN`."""
    worse = [(name, before[name] - now.get(name, 0.0)) for name in _FALLING if name in before]
    worse += [(name, now.get(name, 1.0) - before[name]) for name in _RISING if name in before]
    return [f"{name}: {by:.3f} worse than the committed results" for name, by in worse if by > MARGIN]


def missed(measured: Mapping[str, float], bars: tuple[Bar, ...]) -> list[str]:
    """One sentence for each bar that was not met. A bar whose measure is missing is not met."""
    said = []
    for bar in bars:
        value = measured.get(bar.measure)
        if value is None:
            said.append(f"{bar.measure}: not measured, must be {bar.sense} {bar.value:.3g}")
        elif not bar.holds(value):
            said.append(f"{bar.measure}: {value:.3f}, must be {bar.sense} {bar.value:.3g}")
    return said
