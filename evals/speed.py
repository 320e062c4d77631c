"""Speed as ratios measured in one run, so that a slow machine moves both sides.

Cold times are whole processes started the way a person starts them, each with a cache that holds the index. The
yardstick for them is `import sentence_transformers`, which a program that used it at run time would pay.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path

from assistant.dialogue.conversation import Conversation as Talk
from assistant.retrieval.encoder import load_encoder
from assistant.retrieval.index import CACHE_VARIABLE, PassageIndex
from evals import sets
from evals.run import context_for
from evals.sets import Conversation

UNDERSTOOD = "how long do roses last at 24 degrees"
# About the craft, about no material: found by meaning.
BY_MEANING = "why do stems want a fresh cut before they go in the bucket"
_ROOT = Path(__file__).resolve().parents[1]
_COLD_ROUNDS = 3
_YARDSTICK_ROUNDS = 2
_WARM_QUESTIONS = 150
# Building without packaged vectors takes most of a minute: every so many passages are enough to time one.
_SAMPLED = 20
_LONGEST = 120.0


class SpeedError(Exception):
    """A command that was to be timed failed; the message holds its last line."""


@dataclass(frozen=True, slots=True)
class Speeds:
    """Everything in seconds: medians of a few cold starts each; warm answers and bare encoding by percentile."""

    python: float
    help: float
    sentence_transformers: float
    cold_ask: float
    cold_ask_with_encoder: float
    index_build: float
    encoding_a_passage: float
    passages: int
    warm_p50: float
    warm_p95: float
    encoder_p95: float

    @property
    def ratios(self) -> dict[str, float]:
        """The measures that thresholds.SPEED holds bars for."""
        return {
            "cold ask / import sentence_transformers": self.cold_ask / self.sentence_transformers,
            "cold ask with encoder / import sentence_transformers": self.cold_ask_with_encoder
            / self.sentence_transformers,
            "warm answer p95 / bare encoder p95": self.warm_p95 / self.encoder_p95,
        }

    def rows(self) -> list[tuple[str, float, str]]:
        """Name, value and unit of everything measured."""
        return [
            ("bare python", self.python, "s"),
            ("bucketside --help", self.help, "s"),
            ("import sentence_transformers", self.sentence_transformers, "s"),
            ("cold ask, understood", self.cold_ask, "s"),
            ("cold ask, needs the encoder", self.cold_ask_with_encoder, "s"),
            (f"index build, {self.passages} passages, vectors packaged", self.index_build, "s"),
            ("index build without them, a passage", self.encoding_a_passage * 1000, "ms"),
            ("warm answer p50", self.warm_p50 * 1000, "ms"),
            ("warm answer p95", self.warm_p95 * 1000, "ms"),
            ("bare encoder p95", self.encoder_p95 * 1000, "ms"),
            *((name, value, "ratio") for name, value in self.ratios.items()),
        ]


def measure() -> Speeds:
    """The whole run, about half a minute.

    Raises:
        SpeedError: if a timed command fails.
    """
    with tempfile.TemporaryDirectory(prefix="bucketside-speed-") as folder:
        cache = Path(folder) / "cache"
        build, scratch, passages = _index_build(cache)
        environment = {**os.environ, CACHE_VARIABLE: str(cache), "BUCKETSIDE_DATA": str(Path(folder) / "data")}
        cli = ("-m", "assistant.cli")
        commands: dict[str, tuple[tuple[str, ...], int]] = {
            "python": (("-c", "pass"), _COLD_ROUNDS),
            "help": ((*cli, "--help"), _COLD_ROUNDS),
            "ask": ((*cli, "ask", UNDERSTOOD), _COLD_ROUNDS),
            "encoder": ((*cli, "ask", BY_MEANING), _COLD_ROUNDS),
            "yardstick": (("-c", "import sentence_transformers"), _YARDSTICK_ROUNDS),
        }
        cold = _cold(commands, environment)
    warm_p50, warm_p95, encoder_p95 = _warm(sets.load(sets.SETS["questions"]))
    return Speeds(
        cold["python"], cold["help"], cold["yardstick"], cold["ask"], cold["encoder"], build, scratch,
        passages, warm_p50, warm_p95, encoder_p95,
    )  # fmt: skip


def _index_build(cache: Path) -> tuple[float, float, int]:
    """Seconds with the vectors that come with the package (left in `cache`), seconds a passage with none, passages."""
    retriever = context_for(True).retriever
    assert retriever is not None
    passages, encoder = retriever.passages, load_encoder()
    packaged = _seconds(partial(PassageIndex.open, passages, encoder, cache))
    sample = passages[::_SAMPLED]
    with tempfile.TemporaryDirectory(prefix="bucketside-speed-") as empty:
        scratch = _seconds(partial(PassageIndex.open, sample, encoder, Path(empty), packaged=None))
    return packaged, scratch / len(sample), len(passages)


def _cold(commands: dict[str, tuple[tuple[str, ...], int]], environment: dict[str, str]) -> dict[str, float]:
    """Medians. Rounds go round-robin, so that a busy minute hits every command; one unmeasured start warms the disk."""
    times: dict[str, list[float]] = {name: [] for name in commands}
    for round_ in range(1 + max(rounds for _, rounds in commands.values())):
        for name, (arguments, rounds) in commands.items():
            if round_ <= rounds:
                times[name].append(_seconds(partial(_start, arguments, environment)))
    return {name: statistics.median(measured[1:]) for name, measured in times.items()}


def _start(arguments: Sequence[str], environment: dict[str, str]) -> None:
    done = subprocess.run(
        [sys.executable, *arguments],
        cwd=_ROOT,
        env=environment,
        capture_output=True,
        text=True,
        timeout=_LONGEST,
        check=False,
    )
    if done.returncode != 0:
        last = (done.stderr.strip() or done.stdout.strip() or "it said nothing").splitlines()[-1]
        raise SpeedError(f"python {' '.join(arguments)}: {last}")


def _warm(conversations: Sequence[Conversation]) -> tuple[float, float, float]:
    """p50 and p95 of a warm answer, p95 of the encoder alone, over the same questions, taken in turn."""
    context = context_for(True)
    encoder = load_encoder()
    step = max(1, len(conversations) // _WARM_QUESTIONS)
    questions = [c.turns[0].ask for c in conversations[::step]]
    answers, encodings = [], []
    # The first pass fills every cache that a second question would find filled; its questions are other ones.
    warming = [c.turns[0].ask for c in conversations[step // 2 :: step]][:30]
    for measured in (False, True):
        for text in questions if measured else warming:
            answer = _seconds(partial(Talk(context).turn, text))
            encoding = _seconds(partial(encoder.encode, [text]))
            if measured:
                answers.append(answer)
                encodings.append(encoding)
    return statistics.median(answers), _p95(answers), _p95(encodings)


def _p95(values: Sequence[float]) -> float:
    return sorted(values)[round(0.95 * (len(values) - 1))]


def _seconds(work: Callable[[], object]) -> float:
    started = time.perf_counter()
    work()
    return time.perf_counter() - started
