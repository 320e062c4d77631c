"""The result of marking, and what may help with it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Literal, Protocol

Verdict = Literal["right", "partly", "wrong", "unknown"]


@dataclass(frozen=True, slots=True)
class Mark:
    """A verdict with its credit (0 to 1), one sentence why, and what an explanation left out.

    `unknown` is "I don't know": no credit and no blame. `unread` says that nothing could be made of the answer, so that
    a screen can ask again before it counts.
    """

    verdict: Verdict
    credit: float
    why: str = ""
    missing: tuple[str, ...] = ()
    unread: bool = False


RIGHT = Mark("right", 1.0)


def unread(why: str) -> Mark:
    return Mark("wrong", 0.0, why, unread=True)


def partly(credit: float, why: str, missing: tuple[str, ...] = ()) -> Mark:
    return Mark("partly", round(credit, 3), why, missing)


class Encoder(Protocol):
    """Anything that turns texts into unit vectors, such as `assistant.retrieval.encoder`'s."""

    def encode(self, texts: Sequence[str]) -> Any: ...
