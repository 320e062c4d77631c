"""Where the stock stands on disk."""

from __future__ import annotations

import os
from pathlib import Path

FILE_NAME = "stock.sqlite"


def data_folder() -> Path:
    """The user's data folder for this program, or what BUCKETSIDE_DATA names."""
    named = os.environ.get("BUCKETSIDE_DATA")
    if named:
        return Path(named).expanduser()
    from platformdirs import user_data_dir  # deferred: only needed where no folder is named

    return Path(user_data_dir("bucketside"))


def stock_file() -> Path:
    return data_folder() / FILE_NAME
