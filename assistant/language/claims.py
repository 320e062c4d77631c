"""What a reader of one kind of measure hands to the reader of slots: a slot, its value and the stretch it was read from."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from assistant.language.question import Reading

# Is any character of this stretch of the message claimed already?
Taken = Callable[[int, int], bool]


@dataclass(frozen=True, slots=True)
class Claim:
    """A slot read from the message. `span` is the stretch no other reader may read again; None claims nothing."""

    slot: str
    reading: Reading
    span: tuple[int, int] | None = None


# Claims come one at a time, and each is put down before the next is looked for: `Taken` sees it.
Claims = Iterator[Claim]
