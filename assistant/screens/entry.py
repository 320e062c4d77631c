"""One entry of the handbook as a page: every fact, how well it stands, and the sources in full."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import VerticalScroll
from textual.content import Content
from textual.widgets import Static

from assistant.screens import pictures
from assistant.screens.curves import life_plot
from assistant.screens.facts import Section, sections_of, sources_named
from assistant.screens.names import Names
from assistant.screens.pages import Page
from assistant.screens.plots import draw

if TYPE_CHECKING:
    from assistant.dialogue.context import Context
    from assistant.handbook.models import Material, Rule


class EntryPage(Page):
    """`entry` is a material's id, or the id of a rule's passage ("topic/rule")."""

    BINDINGS: ClassVar[list[BindingType]] = [
        Binding("a", "ask", "Ask about it", show=False),
        Binding("enter", "ask", "Ask about it", show=False),
    ]

    def __init__(self, entry: str, context: Context) -> None:
        super().__init__()
        self.entry = entry
        self.context = context

    @property
    def material(self) -> Material | None:
        return self.context.handbook.materials.get(self.entry.split("/")[0])

    @property
    def rule(self) -> Rule | None:
        return self.context.handbook.rules.get(self.entry.split("/")[-1])

    def compose(self) -> ComposeResult:
        material, rule = self.material, self.rule
        title = material.name if material else rule.title if rule else self.entry
        yield self.title_line(title[:1].upper() + title[1:])
        yield self.keys_line(
            "↑↓ PgUp PgDn scroll   a ask about it   Esc back" if material else "↑↓ PgUp PgDn scroll   Esc back"
        )
        with VerticalScroll(id="page"):
            if material is not None:
                yield from self._material(material)
            elif rule is not None:
                yield _text(rule_text(rule), "page-text")
                yield self._sources(rule.source)
            else:
                yield _text(Content(f"There is no entry “{self.entry}” in the handbook."), "page-text")

    def _material(self, material: Material) -> ComposeResult:
        colours = Names(self.context).colours(material.id)
        if colours:
            names = ", ".join(n.replace("-", " ") for n in material.colours.names) if material.colours else ""
            yield _text(Content.assemble(*pictures.swatches(colours, 14), (f" {names}", "$quiet")), "page-text")
        months = Names(self.context).months(material.id)
        if months:
            yield _text(
                Content.assemble(("months ", "$quiet"), *pictures.months(months, self.context.today.month)), "page-text"
            )
        ids: list[str] = []
        from assistant.handbook.passages import sources_of

        for section in sections_of(material, self.context.handbook):
            box = _text(section_text(section), "caution section" if section.hazard else "section")
            if section.hazard:
                box.border_title = "HAZARDS"
            yield box
        plot = life_plot([material], self.context)
        if plot is not None:
            yield _text(draw(plot, min(72, self.app.size.width - 8), 12), "section plot")
        ids += sources_of(material)
        yield self._sources(tuple(ids))

    def _sources(self, ids: tuple[str, ...]) -> Static:
        named = sources_named(ids, self.context.handbook)
        body = "\n".join(named) if named else "Common practice of the trade; no published source."
        return _text(Content.assemble(("sources", "bold $accent"), "\n", body), "section")

    def action_ask(self) -> None:
        if self.material is not None:
            self.dismiss(f"{self.material.name} ")


def section_text(section: Section) -> Content:
    parts: list[tuple[str, str] | str] = [] if section.hazard else [(section.title, "bold $accent"), "\n"]
    for number, fact in enumerate(section.facts):
        if number:
            parts.append("\n")
        parts.append(f"• {fact.text}")
        if fact.standing:
            parts.append((f"  [{fact.standing}]", "" if section.hazard else "$secondary"))
    return Content.assemble(*parts)


def rule_text(rule: Rule) -> Content:
    parts: list[tuple[str, str] | str] = [rule.text]
    for label, words in (("Symptom", rule.symptom), ("When", rule.when), ("Why", rule.why)):
        if words:
            parts += ["\n\n", (f"{label}: ", "bold $accent"), words]
    for number, step in enumerate(rule.steps, 1):
        parts += ["\n" if number > 1 else "\n\n", (f"{number}. ", "bold"), step]
    if rule.caution is not None:
        parts += ["\n\n", (" CAUTION ", "bold reverse $error"), f" {rule.caution.text}"]
    return Content.assemble(*parts)


def _text(content: Content, classes: str) -> Static:
    return Static(content, classes=classes, markup=False)
