"""How well the quiz marks, whether its items are beyond doubt, and how fast the next one comes.

    python -m evals.drill [--items N] [--no-meaning] [--show]

Three parts. Marking: the labelled answers of drill_answers.yaml against the marker (agreement, and right answers
marked wrong). Items: N items out of one long session, each checked by `drill_oracle` against the YAML of the
handbook, read anew and without the quiz's own code. Speed: what `next()` took, as measured on this machine.
"""

from __future__ import annotations

import argparse
import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime
from pathlib import Path
from random import Random
from typing import Any

import yaml

from assistant.dialogue.context import Context
from assistant.drill.generators.figures import pose
from assistant.drill.item import LETTERS, Choice, Item, Number, OneOf, Order, Points
from assistant.drill.items import Bank
from assistant.drill.marking.mark import Encoder
from assistant.drill.marking.marker import Marker
from assistant.drill.points import points_of
from assistant.drill.session import DrillSession
from assistant.drill.store import Store
from assistant.handbook.loading import knowledge_folder, load_handbook
from evals.drill_oracle import Oracle

ANSWERS = Path(__file__).with_name("drill_answers.yaml")
VERDICTS = ("right", "partly", "wrong", "unknown")
SEED = 0
NOW = datetime(2026, 11, 25, 9, tzinfo=UTC)
AGREEMENT_BAR, RIGHT_MARKED_WRONG_BAR, NEXT_BAR_MS = 0.97, 0.01, 50.0


@dataclass(frozen=True)
class Labelled:
    """One answer with the mark a fair trainer would give."""

    item: Item
    said: str
    label: str


def make_bank() -> Bank:
    return Bank(Context(load_handbook(), clock=lambda: date(2026, 11, 25)))


def labelled_answers(bank: Bank, part: str, path: Path = ANSWERS) -> Iterator[Labelled]:
    """Every labelled answer of a part with its item; an item the handbook no longer gives is an error, not a gap."""
    for row in yaml.safe_load(path.read_text(encoding="utf-8"))[part]:
        item = _item(bank, row)
        for label in VERDICTS:
            for said in row.get(label, ()):
                yield Labelled(item, _filled(str(said), item), label)


def _item(bank: Bank, row: Mapping[str, Any]) -> Item:
    if "figure" in row:
        return pose(bank.known, row["figure"], row["entry"], **row["numbers"])
    item = bank.build(row["item"], Random(SEED))
    if item is None:
        raise SystemExit(f"The handbook no longer gives the item {row['item']}; replace it in {ANSWERS.name}.")
    return _frozen(item, row["frozen"]) if "frozen" in row else item


def _frozen(item: Item, frozen: Mapping[str, Any]) -> Item:
    """The item as it stood when its answers were labelled: the handbook moves on, a label does not."""
    if "choices" in frozen:
        item = replace(item, choices=tuple(_choice(**choice) for choice in frozen["choices"]))
    match item.key:
        case Number():
            return replace(item, key=replace(item.key, low=float(frozen["low"]), high=float(frozen["high"])))
        case OneOf():
            return replace(item, key=OneOf(frozen["index"]))
        case Order():
            return replace(item, key=Order(tuple(frozen["order"])))
        case Points(_, given, around):
            return replace(item, key=Points(points_of(frozen["reason"], given), given, around))
    return item


def _choice(
    text: str, material: str = "", span: Sequence[float] = (), unit: str = "", also: Sequence[str] = ()
) -> Choice:
    return Choice(text, material, (span[0], span[1]) if span else None, unit, tuple(also))


def _filled(said: str, item: Item) -> str:
    if not isinstance(item.key, OneOf):
        return said
    wrong = next(letter for index, letter in enumerate(LETTERS) if index != item.key.index)
    return said.replace("{right}", item.right_letter).replace("{wrong}", wrong)


def measure_marking(bank: Bank, part: str, encoder: Encoder | None, show: bool) -> bool:
    marker = Marker(bank.known.names, encoder)
    confusion: Counter[tuple[str, str]] = Counter()
    for row in labelled_answers(bank, part):
        got = marker.mark(row.item, row.said)
        confusion[row.label, got.verdict] += 1
        if show and got.verdict != row.label:
            print(f"  {row.item.id}: {row.said!r} is {row.label}, marked {got.verdict} ({got.why})")
    total = sum(confusion.values())
    agreement = sum(count for (label, got), count in confusion.items() if label == got) / total
    rights = sum(count for (label, _), count in confusion.items() if label == "right")
    lost = confusion["right", "wrong"] + confusion["right", "unknown"]
    how = "words and meaning" if encoder else "words only"
    print(f"marking, {part} ({how}): {total} answers, agreement {agreement:.4f} (bar {AGREEMENT_BAR})")
    print(f"  right marked wrong: {lost} of {rights} = {lost / rights:.4f} (bar {RIGHT_MARKED_WRONG_BAR})")
    for label in VERDICTS:
        print(f"  {label:<8}" + "".join(f"{got} {confusion[label, got]:<6}" for got in VERDICTS))
    return agreement >= AGREEMENT_BAR and lost / rights <= RIGHT_MARKED_WRONG_BAR


def measure_items(bank: Bank, count: int) -> bool:
    """One session of `count` items through a real record; every third is answered, so that it is written as in use."""
    oracle = Oracle(knowledge_folder())
    times: list[float] = []
    seen: set[tuple[str, ...]] = set()
    faults: list[str] = []
    templates: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder, Store(Path(folder) / "drill.sqlite3") as store:
        learner = store.learner("eval", NOW)
        session = DrillSession(bank, store, learner, clock=lambda: NOW, seed=SEED, count=count)
        for _ in range(count):
            start = time.perf_counter()
            item = session.next()
            times.append((time.perf_counter() - start) * 1000)
            if item is None:
                faults.append(f"the session ended after {sum(templates.values())} items")
                break
            templates[item.template] += 1
            asked = (item.question, *sorted(choice.text for choice in item.choices))
            if asked in seen:
                faults.append(f"{item.id}: asked twice in one session")
            seen.add(asked)
            faults += [f"{item.id}: {fault}" for fault in oracle.faults(item)]
            if sum(templates.values()) % 3 == 0:
                session.answer("a")
    p95 = statistics.quantiles(times, n=20)[18]
    print(
        f"items: {sum(templates.values())} asked, {len(templates)} templates, {len(faults)} ambiguous, wrong or "
        "repeated"
    )
    for fault in faults[:20]:
        print(f"  {fault}")
    print(
        f"next item: median {statistics.median(times):.2f} ms, p95 {p95:.2f} ms, longest {max(times):.1f} ms "
        f"(bar p95 {NEXT_BAR_MS:g} ms)"
    )
    return not faults and p95 < NEXT_BAR_MS


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--items", type=int, default=10_000)
    parser.add_argument("--no-meaning", action="store_true", help="mark explanations by their words only")
    parser.add_argument("--show", action="store_true", help="print every disagreement")
    options = parser.parse_args()
    start = time.perf_counter()
    bank = make_bank()
    print(f"bank: {len(bank)} items in {time.perf_counter() - start:.2f} s with the handbook")
    encoders: list[Encoder | None] = [None]
    if not options.no_meaning:
        from assistant.retrieval.encoder import load_encoder

        encoders.append(load_encoder())
    good = True
    for encoder in encoders:
        for part in ("answers", "heldout"):
            good = measure_marking(bank, part, encoder, options.show and encoder is encoders[-1]) and good
    good = measure_items(bank, options.items) and good
    return 0 if good else 1


if __name__ == "__main__":
    sys.exit(main())
