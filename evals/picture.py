"""The reliability diagram as a picture: how sure the answers were, and how many were right."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from evals.calibration import Bin


def reliability(found: Sequence[Bin], path: Path) -> None:
    """Write the diagram as SVG; the same bins give the same file."""
    import matplotlib

    matplotlib.use("svg")
    matplotlib.rcParams["svg.hashsalt"] = "bucketside"
    from matplotlib import pyplot

    figure, (above, below) = pyplot.subplots(2, 1, figsize=(5, 6), height_ratios=(3, 1), sharex=True)
    above.plot([0, 1], [0, 1], color="0.6", linestyle="--", label="as sure as right")
    above.plot([b.score for b in found], [b.right for b in found], marker="o", color="black", label="measured")
    above.set_ylabel("share right")
    above.set_ylim(0, 1)
    above.legend(loc="upper left")
    below.bar([(b.low + b.high) / 2 for b in found], [b.count for b in found], width=0.08, color="0.5")
    below.set_yscale("log")
    below.set_ylabel("answers")
    below.set_xlabel("confidence")
    figure.tight_layout()
    figure.savefig(path, metadata={"Date": None})
    pyplot.close(figure)
