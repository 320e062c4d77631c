"""How far the model of days remaining lies from measured storage trials, and where its storage factors come from.

Run from the top folder: ``python evals/longevity_fit.py``. It prints predicted against measured loss of vase life
for every row of `longevity_rows.csv`, fits the two storage factors on the rows marked `wet` and `dry`, and shows what
leaving out one material at a time does to them. The result is copied by hand into `knowledge/tables/longevity.yaml`.

A storage trial says how many days of vase life at room temperature were lost, and the model predicts just that,
``d * r(T) * m``, whatever the life of the unstored stem was. Where a row gives no Q10 of its own the table's holds.
"""

# ruff: noqa: N803, N815 - degC keeps the capital of its unit; this script's product is what it prints
from __future__ import annotations

import csv
import statistics
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[1]))

from assistant.calculators.longevity import Leg, LifeConstants, days_remaining, rate_at
from assistant.calculators.ranges import Estimate
from assistant.handbook.documents import read_document
from assistant.handbook.models import Table

ROWS = Path(__file__).with_name("longevity_rows.csv")
TABLE = Path(__file__).resolve().parents[1] / "knowledge" / "tables" / "longevity.yaml"


@dataclass(frozen=True)
class Trial:
    row: str
    material: str
    days: float
    degC: tuple[float, float]
    method: str
    minus_days: float
    minus_degC: float
    q10: float | None
    loss: tuple[float | None, float | None]
    use: str
    source: str
    note: str

    def off(self, predicted: float) -> float:
        """Predicted minus measured; 0 inside a measured range; an open end is met from its own side only."""
        low, high = self.loss
        if low is not None and predicted < low:
            return predicted - low
        if high is not None and predicted > high:
            return predicted - high
        return 0.0


def trials() -> list[Trial]:
    def number(text: str) -> float | None:
        return float(text) if text else None

    with ROWS.open(encoding="utf-8", newline="") as file:
        return [
            Trial(
                r["row"], r["material"], float(r["days"]), (float(r["degC_low"]), float(r["degC_high"])), r["method"],
                number(r["minus_days"]) or 0.0, number(r["minus_degC"]) or 0.0, number(r["q10"]),
                (number(r["loss_low"]), number(r["loss_high"])), r["use"], r["source"], r["note"],
            )
            for r in csv.DictReader(file)
        ]  # fmt: skip


def table_rows() -> dict[str, tuple[float, float, float]]:
    table = Table.model_validate(read_document(TABLE, TABLE.name)[0].data)
    return {c.id: (c.span[0], c.value, c.span[1]) for c in table.constants}


def constants() -> tuple[LifeConstants, tuple[float, float, float]]:
    rows = table_rows()
    return LifeConstants.from_rows({key: Estimate(*three) for key, three in rows.items()}), rows["q10"]


def predicted_loss(trial: Trial, life: LifeConstants, q10: float) -> tuple[float, float, float]:
    """Loss of vase life at 20 degC, as the calculator itself gives it."""
    fresh = 400.0  # long enough that nothing is used up; the loss does not depend on it

    def loss(days: float, degC: tuple[float, float]) -> tuple[float, float, float]:
        leg = Leg(days, degC, trial.method)  # type: ignore[arg-type]
        share = days_remaining(fresh, display_degC=20, q10=trial.q10 or q10, constants=life, legs=[leg]).used_share
        return share.low * fresh, share.value * fresh, share.high * fresh

    low, value, high = loss(trial.days, trial.degC)
    if trial.minus_days:
        back = loss(trial.minus_days, (trial.minus_degC, trial.minus_degC))
        # The same factors hold for both legs of one comparison, so like is taken from like.
        low, value, high = low - back[0], value - back[1], high - back[2]
    return low, value, high


def _fit(rows: Sequence[Trial], predict: Callable[[Trial, float], float]) -> float:
    """The factor with the least sum of squared errors, on a grid fine enough for two digits."""
    grid = [i / 200 for i in range(801)]
    return min(grid, key=lambda x: sum(t.off(predict(t, x)) ** 2 for t in rows))


def _wet(q10: float) -> Callable[[Trial, float], float]:
    def predict(t: Trial, m: float) -> float:
        middle = sum(t.degC) / 2
        return m * (t.days * rate_at(middle, t.q10 or q10) - t.minus_days * rate_at(t.minus_degC, t.q10 or q10))

    return predict


def _dry(q10: float) -> Callable[[Trial, float], float]:
    def predict(t: Trial, slope: float) -> float:
        middle = sum(t.degC) / 2
        return t.days * rate_at(middle, t.q10 or q10) * (1 + slope * max(0.0, middle))

    return predict


def _leave_out(rows: Sequence[Trial], predict: Callable[[Trial, float], float]) -> dict[str, tuple[float, float]]:
    """For each material: the factor without it, and the mean absolute error on it then."""
    result = {}
    for material in sorted({t.material for t in rows}):
        x = _fit([t for t in rows if t.material != material], predict)
        errors = [abs(t.off(predict(t, x))) for t in rows if t.material == material]
        result[material] = (x, statistics.fmean(errors))
    return result


def mean_absolute_error(use: str) -> float:
    life, q10 = constants()
    return statistics.fmean(abs(t.off(predicted_loss(t, life, q10[1])[1])) for t in trials() if t.use == use)


def covered(trial: Trial, life: LifeConstants, q10: tuple[float, float, float]) -> bool:
    """Whether the calculator's range, Q10's included, meets the measured loss (no loss counts as a small one)."""
    low = predicted_loss(trial, life, q10[2])[0]
    high = predicted_loss(trial, life, q10[0])[2]
    least = trial.loss[0] if trial.loss[0] is not None else -1e9
    most = trial.loss[1] if trial.loss[1] is not None else 1e9
    return low <= max(most, 0.5) and least <= high


def main() -> None:
    life, q10 = constants()
    print(f"Q10 where a row has none: {q10[1]:g}. Loss in days of vase life at 20 degC.\n")
    print(f"{'row':22}{'days':>5} {'degC':>8} {'predicted':>20} {'measured':>12} {'off':>6}  use, source")
    for t in trials():
        low, value, high = predicted_loss(t, life, q10[1])
        measured = "–".join("" if x is None else f"{x:g}" for x in dict.fromkeys(t.loss))
        degrees = "–".join(f"{x:g}" for x in dict.fromkeys(t.degC))
        print(
            f"{t.row:22}{t.days:5g} {degrees:>8} {value:8.1f} ({low:4.1f}–{high:5.1f}) {measured:>12} "
            f"{t.off(value):+6.1f}  {t.use}, {t.source}"
        )
    print()
    for use in ("wet", "unstated", "dry"):
        rows = [t for t in trials() if t.use == use]
        held = sum(covered(t, life, q10) for t in rows)
        print(
            f"{use:9} mean absolute error {mean_absolute_error(use):.2f} d over {len(rows)} rows; "
            f"the range takes in {held} of {len(rows)}"
        )
    for use, predict, what in (("wet", _wet(q10[1]), "factor"), ("dry", _dry(q10[1]), "slope per degC")):
        rows = [t for t in trials() if t.use == use]
        print(f"\n{use}: least-squares {what} {_fit(rows, predict):.2f}; leaving out one material at a time:")
        for material, (x, error) in _leave_out(rows, predict).items():
            print(f"   without {material:12} {x:.2f}, then off by {error:.2f} d on it")
    rows = [t for t in trials() if t.use == "dry"]
    for without in (None, "poinsettia"):
        kept = [t for t in rows if t.material != without]
        constant = _fit(kept, _wet(q10[1]))
        error = statistics.fmean(abs(t.off(_wet(q10[1])(t, constant))) for t in kept)
        sloped = _fit(kept, _dry(q10[1]))
        other = statistics.fmean(abs(t.off(_dry(q10[1])(t, sloped))) for t in kept)
        label = f"dry rows without {without}" if without else "all dry rows"
        print(f"\n{label}: one constant factor {constant:.2f} leaves {error:.2f} d; factor 1 + {sloped:.2f} per degC "
              f"leaves {other:.2f} d")  # fmt: skip


if __name__ == "__main__":
    main()
