"""From which width passages stand beside the conversation, and from which height there is room for frames."""

from __future__ import annotations

WIDE = 110
TALL = 32
# Classes a screen gets by its size; a tuple of (least cells, class) as Textual wants them.
ACROSS = [(0, "-narrow"), (WIDE, "-wide")]
DOWN = [(0, "-short"), (TALL, "-tall")]
