"""Messages about anything but flowers, which must be declined: the public CLINC150 selection in data/.

The out_of_scope theme of the question set is the harder, near kind (gardening, cooking, lilies in a song); these
utterances are the far kind. The two are reported apart.
"""

from __future__ import annotations

from pathlib import Path

from evals.run import Asked
from evals.sets import Conversation, Turn

DATA = Path(__file__).parent / "data" / "out_of_scope_dev.txt"
THEME = "clinc150"


def load(path: Path = DATA) -> tuple[Conversation, ...]:
    """One conversation a line; an empty tuple where the file is absent."""
    if not path.is_file():
        return ()
    lines = (line.strip() for line in path.read_text(encoding="utf-8").splitlines())
    return tuple(
        Conversation(
            id=f"{THEME}-{number:03}",
            persona="new-hire",
            theme=THEME,
            turns=(Turn(ask=line, outcome=("not_covered",)),),
        )
        for number, line in enumerate(lines, 1)
        if line
    )


def declined(asked: Asked) -> bool:
    """Said to be outside the handbook. Asking back keeps the door open, so it is not declining."""
    return asked.answer.outcome == "not_covered"
