"""Files and folders a person names; files are written whole or not at all."""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path


def write_whole(path: Path, data: bytes) -> None:
    """Put `data` at `path`, in place of what was there. Raises OSError; the old file stands then."""
    part = path.with_name(f"{path.name}.part{os.getpid()}")
    try:
        part.write_bytes(data)
        os.replace(part, path)
    finally:
        with suppress(OSError):
            part.unlink(missing_ok=True)


def path_of(text: str) -> Path:
    """A path as typed, `~` taken as the home folder. Raises OSError for a `~name` nobody has."""
    try:
        return Path(text).expanduser()
    except RuntimeError as error:
        raise FileNotFoundError(f"there is no home folder “{text.split('/')[0]}”") from error
