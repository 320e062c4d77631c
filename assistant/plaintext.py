"""An answer as plain text for a terminal, wrapped, without colour or markup."""

from __future__ import annotations

import shutil
import textwrap

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.dialogue.explaining import figure_words
from assistant.dialogue.wording import count

_MOST_FIGURES = 6


def answer_text(answer: Answer, context: Context, width: int | None = None) -> str:
    """The reply, then figures, candidates, cautions, passages with their sources, and what to ask next."""
    columns = min(width or shutil.get_terminal_size().columns, 100)
    blocks = [_wrap(answer.reply, columns)]
    for caution in answer.cautions:
        blocks.append(_wrap(f"CAUTION  {caution}", columns, "         "))
    figures = answer.figures[:_MOST_FIGURES]
    if figures:
        blocks.append("\n".join(_wrap(f"= {figure_words(f, context)}", columns, "  ") for f in figures))
    if answer.candidates:
        rows = []
        for n, candidate in enumerate(answer.candidates, 1):
            name = context.name(candidate.material)
            amount = f", {count(candidate.stems, 'stem')}" if candidate.stems else ""
            amount += f", {count(candidate.bunches, 'bunch')}" if candidate.bunches else ""
            rows.append(
                _wrap(f"{n}. {name} ({candidate.score:.2f}{amount}): {'; '.join(candidate.why)}", columns, "   ")
            )
        blocks.append("\n".join(rows))
    for passage in answer.passages[:3]:
        cited = f" [{', '.join(passage.sources)}]" if passage.sources else " [common practice]"
        blocks.append(_wrap(f"› {passage.title}: {passage.text}{cited}", columns, "  "))
    if answer.choices:
        blocks.append(_wrap("Choose: " + " | ".join(answer.choices), columns))
    elif answer.follow_ups:
        blocks.append(_wrap("Next: " + " | ".join(answer.follow_ups), columns))
    for notice in answer.notices:
        blocks.append(_wrap(f"Note: {notice}", columns))
    return "\n\n".join(blocks)


def _wrap(text: str, columns: int, indent: str = "") -> str:
    return textwrap.fill(text, columns, subsequent_indent=indent, break_long_words=True, break_on_hyphens=False)
