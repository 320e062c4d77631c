"""Start-up stays light: what a command loads is measured in a process of its own."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

_HEAVY = [
    "torch",
    "transformers",
    "sentence_transformers",
    "sklearn",
    "scipy",
    "faiss",
    "numpy",
    "onnxruntime",
    "textual",
    "dateparser",
    "coloraide",
    "pydantic",
]


def _loaded(code: str) -> set[str]:
    script = f"import sys, json\n{code}\nprint('|' + json.dumps([m for m in {_HEAVY!r} if m in sys.modules]))"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, timeout=120, check=True)
    return set(json.loads(done.stdout.rsplit("|", 1)[1]))


@pytest.mark.parametrize("argument", ["--help", "--version"])
def test_help_and_version_load_nothing_heavy(argument: str) -> None:
    code = f"from assistant.cli import app\ntry:\n    app([{argument!r}], standalone_mode=False)\nexcept SystemExit:\n    pass"
    assert _loaded(code) == set()


def test_an_understood_question_loads_no_model() -> None:
    code = "from assistant.cli import app\napp(['ask', '--json', 'how long do carnations last at 24 degrees'], standalone_mode=False)"
    assert _loaded(code) <= {"pydantic"}


def test_a_question_of_craft_loads_the_small_runtime_only() -> None:
    code = "from assistant.cli import app\napp(['ask', '--json', 'why do we recut stems'], standalone_mode=False)"
    assert _loaded(code) & {"torch", "transformers", "sentence_transformers", "sklearn", "textual"} == set()
