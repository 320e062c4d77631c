"""Writes answers until it is killed; run as a program by the tests. Prints a number once its answer is safe."""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from assistant.drill.marking.mark import Mark
from assistant.drill.schedule import Schedule
from assistant.drill.store import Answered, Store

NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)


def main() -> None:
    path, name, count = Path(sys.argv[1]), sys.argv[2], int(sys.argv[3])
    schedule, mark = Schedule(), Mark("right", 1.0)
    with Store(path) as store:
        learner = store.learner(name, NOW)
        for number in range(count):
            item = f"life:item-{number % 7}:number"
            answered = Answered(item, "life", NOW, "s", f"question {number}", "10", "right", 1.0)
            store.record(learner, answered, lambda known, item=item: schedule.review(item, known, mark, NOW, "f"))  # type: ignore[misc]
            sys.stdout.write(f"{number}\n")
            sys.stdout.flush()


if __name__ == "__main__":
    main()
