"""What a conversation remembers: the job, the last asks, the last figures."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

from assistant.dialogue.answer import Answer
from assistant.language.question import JOB_SLOTS, Reading, Task


@dataclass(frozen=True, slots=True)
class Item:
    """A material in play, with what was said to hold for it alone."""

    id: str
    stems: float | None = None
    bunches: float | None = None
    unavailable: bool = False
    said: str = ""
    taken_for: bool = False
    # Stems in its bunch, where that was said of it alone.
    pack: float | None = None
    price: Reading | None = None
    # Its part of the stems of the whole piece, 0 to 1.
    share: float | None = None


@dataclass(frozen=True, slots=True)
class Wish:
    """One ask, complete: what memory, defaults and the message together say. The unit a task answers.

    `asked` holds slots said in this message, `earlier` those said before; a figure's inputs report which.
    """

    task: Task
    items: tuple[Item, ...]
    asked: Mapping[str, Reading] = field(default_factory=dict)
    earlier: Mapping[str, Reading] = field(default_factory=dict)
    text: str = ""
    yes_no: bool = False
    superlative: str | None = None
    refers_back: bool = False

    def slot(self, name: str) -> Reading | None:
        return self.asked.get(name) or self.earlier.get(name)

    @property
    def ids(self) -> tuple[str, ...]:
        return tuple(item.id for item in self.items)

    def with_slot(self, name: str, reading: Reading) -> Wish:
        """The same wish with one slot replaced: how a what-if is asked."""
        return replace(self, asked={**self.asked, name: reading})


@dataclass(frozen=True, slots=True)
class Held:
    """An answer held back until the person says that it is what was asked, and the memory from before it."""

    answer: Answer
    before: Memory


@dataclass
class Memory:
    """The state of one conversation. Only `Conversation` changes it."""

    job: dict[str, Reading] = field(default_factory=dict)
    wishes: tuple[Wish, ...] = ()
    answer: Answer | None = None
    figured: Answer | None = None
    # The last life asked about, whatever came after it.
    life: Wish | None = None
    # The last comparison of materials named, likewise.
    compared: Wish | None = None
    pending: Wish | None = None
    pending_slot: str | None = None
    choices: tuple[str, ...] = ()
    alternatives: tuple[str, ...] = ()
    # What the last edit of a list took out of it, for "something in its place".
    dropped: tuple[str, ...] = ()
    recent: tuple[str, ...] = ()
    speaks_us: bool | None = None
    held: Held | None = None
    undo: list[tuple[tuple[Wish, ...], dict[str, Reading]]] = field(default_factory=list)

    def keep_job(self, slots: Mapping[str, Reading]) -> None:
        """Remember what describes the job; it stays until changed or dropped."""
        self.job |= {name: reading for name, reading in slots.items() if name in JOB_SLOTS}

    def snapshot(self) -> Memory:
        """The memory as it is now, safe from what comes."""
        return replace(self, job=dict(self.job), undo=list(self.undo), held=None)

    def note_materials(self, ids: tuple[str, ...]) -> None:
        """Keep the last few materials spoken of, for "those three"."""
        self.recent = tuple(dict.fromkeys((*(i for i in self.recent if i not in ids), *ids)))[-8:]

    def drop(self, name: str) -> None:
        self.job.pop(name, None)

    @property
    def items(self) -> tuple[Item, ...]:
        """The materials of the last turn, in the order named."""
        seen: dict[str, Item] = {}
        for wish in self.wishes:
            for item in wish.items:
                seen.setdefault(item.id, item)
        return tuple(seen.values())
