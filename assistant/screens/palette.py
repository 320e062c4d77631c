"""What the command palette finds beside the fixed commands: entries of the handbook and questions asked before."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING, cast

from textual.command import DiscoveryHit, Hit, Hits, Provider

if TYPE_CHECKING:
    from assistant.screens.app import BucketsideApp


class FindProvider(Provider):
    """Materials by name, and past questions to ask again."""

    @property
    def _owner(self) -> BucketsideApp:
        return cast("BucketsideApp", self.app)

    async def search(self, query: str) -> Hits:
        matcher = self.matcher(query)
        bench = self._owner.bench
        context = bench.names.context
        if context is not None:
            for material in context.handbook.materials.values():
                score = matcher.match(material.name)
                if score > 0:
                    yield Hit(
                        score,
                        matcher.highlight(material.name),
                        partial(bench.open_entry, material.id),
                        text=material.name,
                        help="open the entry",
                    )
        for question in bench.past_questions():
            score = matcher.match(question)
            if score > 0:
                yield Hit(
                    score * 0.9,
                    matcher.highlight(question),
                    partial(bench.ask, question),
                    text=question,
                    help="ask again",
                )

    async def discover(self) -> Hits:
        bench = self._owner.bench
        for question in bench.past_questions()[:5]:
            yield DiscoveryHit(question, partial(bench.ask, question), help="ask again")
