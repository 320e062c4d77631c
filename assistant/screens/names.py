"""Names, colours and months of materials for the screens; works before the handbook is there, with ids alone."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from assistant.dialogue.context import Context


class Names:
    """Look-ups the widgets share. `context` is set once, when the handbook has been read."""

    def __init__(self, context: Context | None = None) -> None:
        self.context = context

    def name(self, material_id: str | None) -> str:
        if material_id is None:
            return ""
        if self.context is not None and material_id in self.context.handbook.materials:
            return self.context.name(material_id)
        return material_id.replace("-", " ")

    def colours(self, material_id: str) -> tuple[str, ...]:
        """sRGB of the colours on the market."""
        if self.context is None or material_id not in self.context.handbook.materials:
            return ()
        colours = self.context.material(material_id).colours
        return tuple(self.context.srgb[c] for c in colours.names if c in self.context.srgb) if colours else ()

    def months(self, material_id: str | None) -> tuple[int, ...]:
        """Months in which the trade has it."""
        if self.context is None or material_id not in self.context.handbook.materials:
            return ()
        found: set[int] = set()
        for season in self.context.material(material_id).season:
            found |= set(range(1, 13)) if season.months == "all" else set(season.months)
        return tuple(sorted(found))

    @property
    def vessels(self) -> tuple[str, ...]:
        return tuple(self.context.vessels) if self.context is not None else ()
