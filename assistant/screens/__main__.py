"""`python -m assistant.screens`: the app with its options, as the browser server starts it."""

from __future__ import annotations

from assistant.screens.commands import run

if __name__ == "__main__":
    run()
