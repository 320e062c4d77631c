"""Ask the question sets, judge the answers, print and keep the numbers.

python -m evals                      the whole run: set, out of scope, robustness, calibration; writes results/
python -m evals --check              the same, and exit 1 if a bar of thresholds.py is missed or a measure fell
python -m evals --set paraphrases --check    another set, held against its committed results
python -m evals --theme water --failures 20    one file only, its failing turns; nothing is written
python -m evals --speed [--check]    speed only, as ratios in one run
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any

from assistant.handbook.loading import HandbookError
from assistant.retrieval.encoder import EncoderUnavailable
from evals import calibration, oos, report, robustness, sets, speed, thresholds
from evals.run import Asked, context_for, run

RESULTS = sets.HERE / "results"


def main(arguments: Sequence[str] | None = None) -> int:
    parser = _parser()
    options = parser.parse_args(arguments)
    if options.check and (options.theme or options.quick):
        parser.error("--check needs the whole run: leave out --theme and --quick")
    if options.speed:
        return _speed(options.check)
    try:
        return _quality(options)
    except BrokenPipeError:  # the reader (head, less) has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
    except (sets.SetError, EncoderUnavailable) as error:
        print(error, file=sys.stderr)
    except HandbookError as error:
        print(*error.problems[:20], sep="\n", file=sys.stderr)
    return 2


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="python -m evals", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument(
        "--set", choices=sorted(sets.SETS), default="questions", dest="which", help="heldout is run, never tuned to"
    )
    parser.add_argument("--theme", action="append", default=[], help="only this file of the set; may be repeated")
    parser.add_argument("--failures", type=int, default=0, metavar="N", help="print the first N failing turns")
    parser.add_argument("--among", choices=("set", "far", "typed"), help="print failing turns of this part only")
    parser.add_argument("--json", type=Path, metavar="FILE", help="write every turn, wanted and got, as JSON lines")
    parser.add_argument("--no-semantic", action="store_true", help="search by words only")
    parser.add_argument(
        "--out-of-scope", type=Path, default=oos.DATA, metavar="FILE", help="messages to be declined, one a line"
    )
    parser.add_argument(
        "--quick", action="store_true", help="the question set only: no out-of-scope file, no robustness"
    )
    parser.add_argument("--check", action="store_true", help="exit 1 if a bar of thresholds.py is missed")
    parser.add_argument("--speed", action="store_true", help="measure speed instead")
    parser.add_argument("--jobs", type=int, metavar="N", help="processes (default: two where there are two cores)")
    return parser


def _quality(options: argparse.Namespace) -> int:
    conversations = sets.load(sets.SETS[options.which], options.theme)
    semantic = not options.no_semantic
    partial = bool(options.theme) or options.quick
    far = () if partial else oos.load(options.out_of_scope)
    if not partial and not far:
        print(f"No out-of-scope file at {options.out_of_scope}: that part is skipped.\n")
    changed = [] if partial else robustness.variants(conversations)
    # One pool for all three parts: each process loads the handbook once.
    everything = run([*conversations, *far, *changed], semantic=semantic, probe=not partial, jobs=options.jobs)
    clean = [a for a in everything if a.theme not in robustness.CHANGES and a.theme != oos.THEME]
    declined = [a for a in everything if a.theme == oos.THEME]
    typed_worse = [a for a in everything if a.theme in robustness.CHANGES]

    parts = {"set": clean, "far": declined, "typed": typed_worse, None: [*clean, *declined]}
    _print_failures(parts[options.among], options.failures)
    if options.json:
        _write_turns(options.json, everything)
    text, numbers, measured = _summary(options.which, clean, declined, typed_worse, semantic)
    for sentence in _unknown(conversations, semantic):
        print(f"not in the handbook: {sentence}", file=sys.stderr)
    name = "latest" if options.which == "questions" else options.which
    fallen = thresholds.fallen(_committed(RESULTS / f"{name}.json"), measured)
    if not partial and semantic and options.out_of_scope == oos.DATA:
        RESULTS.mkdir(exist_ok=True)
        (RESULTS / f"{name}.md").write_text(text + "\n", encoding="utf-8")
        (RESULTS / f"{name}.json").write_text(
            json.dumps(numbers, indent=1, ensure_ascii=False) + "\n", encoding="utf-8"
        )
    print(text)
    if not options.check:
        return 0
    for sentence in fallen:
        print(f"fallen: {sentence}", file=sys.stderr)
    bars = {"questions": thresholds.QUALITY, "unseen": thresholds.UNSEEN}.get(options.which, ())
    return max(_verdict(measured, bars), int(bool(fallen)))


def _committed(path: Path) -> dict[str, float]:
    """The measures of the results that stand in the repository; none for a set that has not been run yet."""
    if not path.is_file():
        return {}
    return {name: row["value"] for name, row in json.loads(path.read_text(encoding="utf-8"))["headlines"].items()}


def _summary(
    which: str, clean: list[Asked], declined: list[Asked], typed_worse: list[Asked], semantic: bool
) -> tuple[str, dict[str, Any], dict[str, float]]:
    """The run as Markdown, as JSON data, and as the numbers that bars are held against."""
    headlines = report.headlines(clean)
    if declined:
        values = [(a.conversation, float(oos.declined(a))) for a in declined]
        headlines.append(report.headline("far out of scope, declined", values))
        near = [(a.conversation, report.MEASURES["out of scope, declined"](a)) for a in clean]
        headlines.append(report.headline("all out of scope, declined", [*near, *values]))
    handbook = context_for(semantic).handbook
    size = f"{len({a.conversation for a in clean})} conversations, {len(clean)} turns"
    crashes = sum(bool(a.error) for a in [*clean, *declined, *typed_worse])
    parts = [
        f"# Evaluation: the {which} set",
        f"{size}; {len(handbook.materials)} materials, {len(handbook.rules)} rules; "
        f"search {'by words and meaning' if semantic else 'by words only'}; {crashes} crashes.\n"
        "A turn is all right when every field asked of it is. Intervals: bootstrap over conversations, seeded.",
        report.headline_table(headlines),
        report.group_tables(clean),
    ]
    numbers: dict[str, Any] = {
        "set": which,
        "turns": len(clean),
        "crashes": crashes,
        "headlines": {h.name: h.to_json() for h in headlines},
        "groups": report.groups_json(clean),
    }
    if typed_worse:
        drops = robustness.drops(clean, typed_worse)
        rows = [
            (
                d.kind,
                str(d.turns),
                f"{d.clean:.3f}",
                f"{d.changed:.3f}",
                f"{d.changed - d.clean:+.3f}",
                f"{d.wrong_changed - d.wrong_clean:+.3f}",
            )
            for d in drops
        ]
        head = (
            "typed worse",
            "turns",
            "all right, as written",
            "all right, changed",
            "difference",
            "confidently wrong",
        )
        parts += ["### Typed worse", report.table(head, rows)]
        numbers["robustness"] = {d.kind: d.to_json() for d in drops}
    given = calibration.sure(clean)
    if given:
        parts += ["### What the confidence is worth", calibration.sure_to_markdown(given)]
    points = calibration.scored([*clean, *declined])
    if points and semantic:
        parts += ["### What the search's score is worth", calibration.to_markdown(points)]
        numbers["calibration"] = calibration.to_json(points)
    return "\n\n".join(parts), numbers, {"crashes": float(crashes)} | {h.name: h.value for h in headlines}


def _print_failures(asked: Sequence[Asked], most: int) -> None:
    failing = [a for a in asked if not a.verdict.right]
    for a in failing[:most]:
        print(report.failure_lines(a))
    if most and failing:
        print(f"\n{len(failing)} of {len(asked)} turns fail; {min(most, len(failing))} shown.\n")


def _write_turns(path: Path, asked: Sequence[Asked]) -> None:
    with path.open("w", encoding="utf-8") as file:
        for a in asked:
            line = {
                "conversation": a.conversation,
                "theme": a.theme,
                "turn": a.number,
                "failed": a.verdict.failed,
                "confidently_wrong": a.verdict.confidently_wrong,
                "error": a.error,
                "expected": a.expected.model_dump(mode="json", exclude_defaults=True),
                "answer": a.answer.to_json(),
            }
            file.write(json.dumps(line, ensure_ascii=False) + "\n")


def _unknown(conversations: Sequence[sets.Conversation], semantic: bool) -> list[str]:
    context = context_for(semantic)
    assert context.retriever is not None
    return sets.unknown_ids(conversations, context.handbook, (p.id for p in context.retriever.passages))


def _speed(check: bool) -> int:
    try:
        speeds = speed.measure()
    except (speed.SpeedError, EncoderUnavailable) as error:
        print(error, file=sys.stderr)
        return 2
    rows = [(name, f"{value:.3f}" if unit != "ms" else f"{value:.1f}", unit) for name, value, unit in speeds.rows()]
    text = "# Speed\n\n" + report.table(("measured", "value", "unit"), rows)
    print(text)
    RESULTS.mkdir(exist_ok=True)
    (RESULTS / "speed.md").write_text(text + "\n", encoding="utf-8")
    return _verdict(speeds.ratios, thresholds.SPEED) if check else 0


def _verdict(measured: dict[str, float], bars: tuple[thresholds.Bar, ...]) -> int:
    missed = thresholds.missed(measured, bars)
    for sentence in missed:
        print(f"missed: {sentence}", file=sys.stderr)
    if not missed:
        print(f"\nAll {len(bars)} bars are met.")
    return 1 if missed else 0


if __name__ == "__main__":
    sys.exit(main())
