"""What the person chose once and wants to find again."""

from __future__ import annotations

import json
from dataclasses import asdict, dataclass
from pathlib import Path


@dataclass
class Settings:
    """`look` is "night", "day" or None (as the terminal says); `motion` False keeps everything still."""

    look: str | None = None
    motion: bool = True

    @classmethod
    def read(cls, folder: Path) -> Settings:
        """The saved settings; a missing or damaged file means the defaults."""
        try:
            data = json.loads((folder / "screens.json").read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return cls()
        if not isinstance(data, dict):
            return cls()
        look = data.get("look")
        return cls(look if look in ("night", "day") else None, data.get("motion") is not False)

    def write(self, folder: Path) -> bool:
        """Save; False where the folder can't be written."""
        try:
            folder.mkdir(parents=True, exist_ok=True)
            (folder / "screens.json").write_text(json.dumps(asdict(self)) + "\n", encoding="utf-8")
        except OSError:
            return False
        return True
