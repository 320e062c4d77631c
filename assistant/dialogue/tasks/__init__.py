"""One module a task. Each has `answer(wish, desk) -> Draft`; `TASKS` is the only list of them.

Modules are imported when first asked for, so a quantity question never loads the colour library.
"""

from __future__ import annotations

from collections.abc import Callable
from importlib import import_module

from assistant.dialogue.desk import Desk, Draft
from assistant.dialogue.memory import Wish
from assistant.language.question import Task

TASKS: dict[Task, str] = {
    "longevity": "longevity",
    "quantity": "quantity",
    "water": "water",
    "mixing": "mixing",
    "substitute": "substitute",
    "care": "care",
    "storage": "storage",
    "hazard": "hazard",
    "refresh": "refresh",
    "compare": "compare",
    "explain": "explain",
    "season": "season",
    "describe": "describe",
    "cost": "cost",
}


def task_function(task: Task) -> Callable[[Wish, Desk], Draft]:
    """The function that answers a task."""
    module = import_module(f"assistant.dialogue.tasks.{TASKS[task]}")
    function: Callable[[Wish, Desk], Draft] = module.answer
    return function
