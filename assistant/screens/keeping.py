"""Putting an answer or a conversation into a file; each returns the sentence to show and whether it worked."""

from __future__ import annotations

from pathlib import Path

from assistant.screens.export import conversation_markdown, write_new
from assistant.screens.names import Names
from assistant.screens.transcripts import Transcript


def keep_copy(folder: Path, text: str) -> tuple[str, bool]:
    """What was copied, for terminals whose clipboard cannot be reached."""
    path = folder / "exports" / "last-copied.txt"
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    except OSError as error:
        return f"Copied. It could not be kept in a file: {error.strerror or error}.", False
    return f"Copied. If your terminal has no clipboard, it is in {path}.", True


def save_markdown(folder: Path, transcript: Transcript, names: Names) -> tuple[str, bool]:
    """The whole conversation as a Markdown file of its own."""
    text = conversation_markdown(transcript, names, transcript.started)
    try:
        path = write_new(folder / "exports", f"{transcript.started:%Y-%m-%d-%H%M}", text)
    except OSError as error:
        return f"It could not be saved: {error.strerror or error}.", False
    return f"Saved as {path}.", True
