"""Where Bucketside keeps its files: a cache that may be deleted at any time, and the shop's own data."""

from __future__ import annotations

import os
from pathlib import Path

from platformdirs import user_cache_path, user_data_path


def cache_folder() -> Path:
    """Rebuildable files. `BUCKETSIDE_CACHE` overrides the place."""
    override = os.environ.get("BUCKETSIDE_CACHE")
    return Path(override) if override else user_cache_path("bucketside", appauthor=False)


def data_folder() -> Path:
    """What a person would miss: learners, stock, saved conversations. `BUCKETSIDE_DATA` overrides the place."""
    override = os.environ.get("BUCKETSIDE_DATA")
    return Path(override) if override else user_data_path("bucketside", appauthor=False)
