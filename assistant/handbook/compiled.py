"""The handbook in one checked JSON file beside the search index, so that a start need not parse 300 YAML files.

The file is keyed by the path, size and time of every YAML file it was made from; a changed, added or removed file
gives another key, and the handbook is read and validated afresh. The compiled form was valid when written and its
checksum is verified, so the models are rebuilt from it without validating a second time.
"""

from __future__ import annotations

import hashlib
import json
import os
import tempfile
from collections.abc import Iterable, Sequence
from pathlib import Path
from typing import Any, TypeVar, get_args

from pydantic import BaseModel

from assistant import __version__
from assistant.handbook.loading import Handbook, knowledge_folder, load_handbook
from assistant.handbook.models import Material, Model, Source, Table, Topic
from assistant.locations import cache_folder

_FORMAT = 2
_KEEP = 4
T = TypeVar("T", bound=BaseModel)


def load_compiled(folder: Path | None = None, overlays: Iterable[Path] = (), cache: Path | None = None) -> Handbook:
    """The handbook, from its compiled form where that is fresh.

    Args:
        folder: the handbook; the packaged one by default.
        overlays: a shop's own folders, laid over it in order.
        cache: folder for the compiled form; the user's cache by default.

    Raises:
        HandbookError: as `load_handbook`, when it has to be read afresh and is not in order.
    """
    root = folder or knowledge_folder()
    layers = [root, *overlays]
    key = _key(layers)
    path = (cache or cache_folder()) / f"handbook-{key[:16]}.json"
    found = _read(path, key)
    if found is not None:
        return found
    handbook = load_handbook(root, layers[1:])
    _write(path, key, handbook)
    return handbook


def _key(layers: Sequence[Path]) -> str:
    digest = hashlib.sha256(f"{_FORMAT} {__version__} {_models_fingerprint()}".encode())
    for layer in layers:
        digest.update(f"\0{layer.resolve()}".encode())
        for path in sorted(layer.rglob("*")):
            if path.suffix in (".yaml", ".yml", ".json") and path.is_file():
                state = path.stat()
                digest.update(f"\0{path.relative_to(layer)} {state.st_size} {state.st_mtime_ns}".encode())
    return digest.hexdigest()


def _models_fingerprint() -> str:
    """Changes with the models' source, so that a newer program never reads an older form."""
    state = Path(__file__).with_name("models.py").stat()
    return f"{state.st_size} {state.st_mtime_ns}"


def _read(path: Path, key: str) -> Handbook | None:
    """The compiled form, or None where it is missing, damaged or of another handbook."""
    try:
        checksum, _, body = path.read_bytes().partition(b"\n")
    except OSError:
        return None
    if checksum.decode("ascii", "replace") != f"{key} {hashlib.sha256(body).hexdigest()}":
        return None
    data = json.loads(body)
    topics = {row["topic"]: _rebuilt(Topic, row) for row in data["topics"]}
    return Handbook(
        materials={row["id"]: _rebuilt(Material, row) for row in data["materials"]},
        rules={rule.id: rule for topic in topics.values() for rule in topic.rules},
        topics=topics,
        tables={row["table"]: _rebuilt(Table, row) for row in data["tables"]},
        sources={row["id"]: _rebuilt(Source, row) for row in data["sources"]},
        origin=data["origin"],
    )


def _write(path: Path, key: str, handbook: Handbook) -> None:
    """Write beside and rename; a cache that cannot be written only costs time."""
    data = {
        "materials": [m.model_dump(mode="json", exclude_unset=True) for m in handbook.materials.values()],
        "topics": [t.model_dump(mode="json", exclude_unset=True) for t in handbook.topics.values()],
        "tables": [t.model_dump(mode="json", exclude_unset=True) for t in handbook.tables.values()],
        "sources": [s.model_dump(mode="json", exclude_unset=True) for s in handbook.sources.values()],
        "origin": handbook.origin,
    }
    body = json.dumps(data, ensure_ascii=False, separators=(",", ":")).encode()
    checksum = f"{key} {hashlib.sha256(body).hexdigest()}\n".encode()
    name = ""
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=".handbook-")
        with os.fdopen(handle, "wb") as file:
            file.write(checksum + body)
        os.replace(name, path)
        _drop_old(path)
    except OSError:
        if name:
            Path(name).unlink(missing_ok=True)


def _drop_old(newest: Path) -> None:
    """Keep the few newest forms: a checkout, an installed copy and a shop's overlay may take turns."""
    found = [path for path in newest.parent.glob("handbook-*.json") if path != newest]
    found.sort(key=lambda path: path.stat().st_mtime_ns, reverse=True)
    for path in found[_KEEP - 1 :]:
        path.unlink(missing_ok=True)


# --- rebuilding ---------------------------------------------------------------------------------------------------

_PLANS: dict[type[BaseModel], dict[str, type[Model] | None]] = {}


def _plan(model: type[BaseModel]) -> dict[str, type[Model] | None]:
    """For each field, the model inside it, if any."""
    plan = _PLANS.get(model)
    if plan is None:
        plan = {name: _model_in(field.annotation) for name, field in model.model_fields.items()}
        _PLANS[model] = plan
    return plan


def _model_in(annotation: Any) -> type[Model] | None:
    if isinstance(annotation, type) and issubclass(annotation, Model):
        return annotation
    found = (_model_in(part) for part in get_args(annotation))
    return next((model for model in found if model is not None), None)


def _rebuilt(model: type[T], data: dict[str, Any]) -> T:
    """A model from its own dump, without validation."""
    values: dict[str, Any] = {}
    plan = _plan(model)
    for name, value in data.items():
        inner = plan[name]
        if isinstance(value, list):
            values[name] = tuple(_rebuilt(inner, item) for item in value) if inner else tuple(value)
        elif inner is not None and isinstance(value, dict):
            values[name] = _rebuilt(inner, value)
        else:
            values[name] = value
    return model.model_construct(**values)
