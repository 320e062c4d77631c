"""The bank: every item the handbook can give, by its lasting id."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property
from random import Random

from assistant.dialogue.context import Context
from assistant.drill.generators.craft import craft_blueprints
from assistant.drill.generators.direct import direct_blueprints
from assistant.drill.generators.figures import figure_blueprints
from assistant.drill.generators.known import Known
from assistant.drill.generators.lives import life_blueprints
from assistant.drill.generators.mistakes import mistake_blueprints
from assistant.drill.generators.naming import naming_blueprints
from assistant.drill.generators.numbers import number_blueprints
from assistant.drill.generators.picking import picking_blueprints
from assistant.drill.generators.seasons import season_blueprints
from assistant.drill.generators.standing_in import substitute_blueprints
from assistant.drill.item import Blueprint, Item
from assistant.handbook.loading import Handbook
from assistant.handbook.passages import Passage

GENERATORS = (
    number_blueprints, naming_blueprints, picking_blueprints, direct_blueprints, season_blueprints, life_blueprints,
    mistake_blueprints, substitute_blueprints, craft_blueprints, figure_blueprints,
)  # fmt: skip


class Bank:
    """All blueprints of one handbook. Nothing is typed in: what the handbook gains or loses, the bank does too.

    Args:
        context: the handbook and its helpers.
        own: ids of materials and rules that a shop's overlay brought or changed; see `changed_entries`.
    """

    def __init__(self, context: Context, own: frozenset[str] = frozenset()) -> None:
        self.known = Known(context, own)
        _ = context.passages  # written now and not while somebody waits for the first question
        self.blueprints: dict[str, Blueprint] = {}
        for generate in GENERATORS:
            for blueprint in generate(self.known):
                # Two spellings of one name may give one id; the first stands.
                self.blueprints.setdefault(blueprint.id, blueprint)

    @property
    def context(self) -> Context:
        return self.known.context

    def __len__(self) -> int:
        return len(self.blueprints)

    def __iter__(self) -> Iterator[Blueprint]:
        return iter(self.blueprints.values())

    def build(self, item_id: str, rng: Random) -> Item | None:
        """The item as it would be asked now; None for an id the handbook no longer gives."""
        blueprint = self.blueprints.get(item_id)
        return blueprint.build(rng) if blueprint else None

    def passage(self, item: Item) -> Passage | None:
        return self.context.passages.get(item.passage)

    def source_lines(self, item: Item) -> tuple[str, ...]:
        """The sources behind the answer as "id: title (year)"; for shop practice there is none, and it says so."""
        found = [self.context.handbook.sources[s] for s in item.sources if s in self.context.handbook.sources]
        lines = tuple(f"{s.id}: {s.title}" + (f" ({s.year})" if s.year else "") for s in found)
        return lines or ("common practice, no source",)

    @cached_property
    def topics(self) -> tuple[str, ...]:
        return tuple(sorted({b.topic for b in self}))


def changed_entries(handbook: Handbook, base: Handbook) -> frozenset[str]:
    """Ids of the materials and rules in which a handbook with overlays differs from the one without."""
    materials = {key for key, m in handbook.materials.items() if base.materials.get(key) != m}
    rules = {key for key, r in handbook.rules.items() if base.rules.get(key) != r}
    return frozenset(materials | rules)
