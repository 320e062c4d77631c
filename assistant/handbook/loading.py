"""Load and validate the handbook, and lay a shop's own folder over it.

A handbook folder holds `sources.yaml`, `materials/*.yaml` (one material a file, named after its id),
`rules/*.yaml` (one topic a file) and `tables/*.yaml`. A shop's overlay folder has the same shape; what it
says replaces the handbook's entry of the same id, field by field for materials.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from assistant.handbook.documents import Document, Problem, read_document
from assistant.handbook.models import Cited, Material, Model, Rule, Source, SourceList, Table, Topic

M = TypeVar("M", bound=BaseModel)


class HandbookError(Exception):
    """The handbook cannot be used as it is; `problems` lists everything that is wrong, not only the first."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = tuple(problems)
        count = len(self.problems)
        super().__init__(f"{count} problem{'s' if count != 1 else ''} in the handbook")


@dataclass(frozen=True)
class Handbook:
    """Everything the assistant knows, by id. `origin` names the file each entry came from."""

    materials: dict[str, Material]
    rules: dict[str, Rule]
    topics: dict[str, Topic]
    tables: dict[str, Table]
    sources: dict[str, Source]
    origin: dict[str, str] = field(default_factory=dict)

    def table(self, name: str) -> Table:
        return self.tables[name]

    def topic_of(self, rule_id: str) -> Topic:
        return next(topic for topic in self.topics.values() if any(rule.id == rule_id for rule in topic.rules))


def knowledge_folder() -> Path:
    """Where the handbook stands: inside the wheel, or at the top of a checkout."""
    inside = Path(__file__).resolve().parents[1] / "knowledge"
    return inside if inside.is_dir() else Path(__file__).resolve().parents[2] / "knowledge"


# --- one file ---------------------------------------------------------------------------------------------------

_PLAIN_WORDS = {
    "missing": "is missing; add it",
    "extra_forbidden": "is not a field of this entry; check the spelling or remove it",
    "float_type": "must be a number, written without quotes or units",
    "int_type": "must be a whole number",
    "string_type": "must be text; put it in quotes if it looks like a number",
    "dict_type": "must be a block of fields",
    "model_type": "must be a block of fields",
    "tuple_type": "must be a list in square brackets or with dashes",
}


def _in_plain_words(error: Any) -> str:
    kind, context, given = error["type"], error.get("ctx", {}), error.get("input")
    if kind in _PLAIN_WORDS:
        said = _PLAIN_WORDS[kind]
        return f"{said} (found {given!r:.60})" if kind.endswith("_type") else said
    if kind == "literal_error":
        return f"must be {context['expected']} (found {given!r:.60})"
    if kind == "string_pattern_mismatch":
        return f"must look like the pattern {context['pattern']} (found {given!r:.60})"
    message = str(error["msg"])
    return message.removeprefix("Value error, ")


def _validate(document: Document, model: type[M]) -> tuple[M | None, list[Problem]]:
    try:
        return model.model_validate(document.data), []
    except ValidationError as error:
        problems = []
        for item in error.errors(include_url=False):
            path = tuple(step for step in item["loc"] if isinstance(step, int) or not _is_union_tag(step))
            problems.append(document.problem(path, _in_plain_words(item)))
        return None, _without_echoes(problems)


def _is_union_tag(step: str) -> bool:
    """pydantic adds the branch of a union to `loc`; the reader of the file has no such field."""
    return step.startswith(("literal[", "tuple[", "float", "function-", "constrained", "nullable"))


def _without_echoes(problems: list[Problem]) -> list[Problem]:
    seen: dict[tuple[int, str], Problem] = {}
    for problem in problems:
        seen.setdefault((problem.line, problem.message), problem)
    return list(seen.values())


def _read(path: Path, root: Path, model: type[M], problems: list[Problem]) -> tuple[M | None, Document | None]:
    document, found = read_document(path, _shown(path, root))
    problems += found
    if document is None or found:
        return None, document
    entry, found = _validate(document, model)
    problems += found
    return entry, document


def _shown(path: Path, root: Path) -> str:
    return str(Path(root.name) / path.relative_to(root))


def _yaml_files(folder: Path, problems: list[Problem], root: Path) -> list[Path]:
    if not folder.is_dir():
        return []
    files = []
    for path in sorted(folder.iterdir()):
        if path.suffix == ".yaml":
            files.append(path)
        elif path.suffix in (".yml", ".json"):
            problems.append(Problem(_shown(path, root), 0, 0, "", "not read: rename it to end in .yaml"))
    return files


# --- a folder ---------------------------------------------------------------------------------------------------


@dataclass
class _Folder:
    """What one folder said, before it is checked against the rest."""

    materials: dict[str, tuple[Any, Document]] = field(default_factory=dict)
    topics: dict[str, tuple[Topic, Document]] = field(default_factory=dict)
    tables: dict[str, tuple[Table, Document]] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)


def _read_folder(root: Path, problems: list[Problem], base: _Folder | None) -> _Folder:
    out = _Folder()
    if (root / "sources.yaml").is_file():
        listed, document = _read(root / "sources.yaml", root, SourceList, problems)
        for index, source in enumerate(listed.sources if listed else ()):
            if source.id in out.sources and document:
                problems.append(document.problem(("sources", index, "id"), f"source '{source.id}' stands twice"))
            out.sources[source.id] = source
    for path in _yaml_files(root / "materials", problems, root):
        _read_material(path, root, out, problems, base)
    for path in _yaml_files(root / "rules", problems, root):
        topic, document = _read(path, root, Topic, problems)
        if topic and document:
            if topic.topic != path.stem:
                problems.append(document.problem(("topic",), f"the file is named '{path.stem}'; make the two the same"))
            out.topics[topic.topic] = (topic, document)
    for path in _yaml_files(root / "tables", problems, root):
        table, document = _read(path, root, Table, problems)
        if table and document:
            if table.table != path.stem:
                problems.append(document.problem(("table",), f"the file is named '{path.stem}'; make the two the same"))
            out.tables[table.table] = (table, document)
    return out


def _read_material(path: Path, root: Path, out: _Folder, problems: list[Problem], base: _Folder | None) -> None:
    document, found = read_document(path, _shown(path, root))
    problems += found
    if document is None or found:
        return
    if not isinstance(document.data, dict):
        problems.append(document.problem((), "a material file is a block of fields, starting with id:"))
        return
    below = base.materials.get(path.stem) if base else None
    data = {**below[0], **document.data} if below else document.data
    entry, found = _validate(Document(document.file, data, document.marks), Material)
    problems += found
    if entry is None:
        return
    if entry.id != path.stem:
        problems.append(document.problem(("id",), f"the file is named '{path.stem}'; make the two the same"))
        return
    out.materials[entry.id] = (data, document)


def load_handbook(folder: Path | None = None, overlays: Iterable[Path] = ()) -> Handbook:
    """Read a handbook folder and lay overlay folders over it, in order.

    Raises:
        HandbookError: with every problem found, each naming file, line, field and what would be right.
    """
    handbook, problems = check_handbook(folder, overlays)
    if problems or handbook is None:
        raise HandbookError(problems)
    return handbook


def check_handbook(folder: Path | None = None, overlays: Iterable[Path] = ()) -> tuple[Handbook | None, list[Problem]]:
    """Read and validate; returns the handbook (None if a file failed) and all problems."""
    root = folder or knowledge_folder()
    problems: list[Problem] = []
    if not root.is_dir():
        return None, [Problem(str(root), 0, 0, "", "no such folder; give the folder that holds materials/ and rules/")]
    layers = [_read_folder(root, problems, None)]
    for overlay in overlays:
        if not overlay.is_dir():
            problems.append(Problem(str(overlay), 0, 0, "", "no such folder; the shop's own folder was not found"))
            continue
        layers.append(_read_folder(overlay, problems, _merged(layers)))
    merged = _merged(layers)
    if not merged.materials and not problems:
        problems.append(Problem(str(root), 0, 0, "", "holds no materials; is this a handbook folder?"))
    problems += _cross_checks(merged)
    if problems:
        return None, sorted(problems, key=lambda p: (p.file, p.line, p.column))
    return _build(merged), []


def _merged(layers: Sequence[_Folder]) -> _Folder:
    out = _Folder()
    for layer in layers:
        out.materials |= layer.materials
        out.topics |= layer.topics
        out.tables |= layer.tables
        out.sources |= layer.sources
    return out


def _build(folder: _Folder) -> Handbook:
    origin = {key: document.file for key, (_, document) in folder.materials.items()}
    origin |= {rule.id: doc.file for topic, doc in folder.topics.values() for rule in topic.rules}
    return Handbook(
        materials={key: Material.model_validate(data) for key, (data, _) in sorted(folder.materials.items())},
        rules={rule.id: rule for topic, _ in folder.topics.values() for rule in topic.rules},
        topics={key: topic for key, (topic, _) in folder.topics.items()},
        tables={key: table for key, (table, _) in folder.tables.items()},
        sources=folder.sources,
        origin=origin,
    )


# --- what no single file can know ---------------------------------------------------------------------------------


def _cross_checks(folder: _Folder) -> list[Problem]:
    problems: list[Problem] = []
    materials = {key: (Material.model_validate(data), document) for key, (data, document) in folder.materials.items()}
    colours = {row.id for table, _ in folder.tables.values() for row in table.colours}
    for material, document in materials.values():
        problems += _sources_exist(material, document, folder.sources)
        for index, substitute in enumerate(material.substitutes):
            if substitute.id not in materials:
                problems.append(document.problem(("substitutes", index), f"there is no material '{substitute.id}'"))
        for index, colour in enumerate(material.colours.names if material.colours else ()):
            if colour not in colours:
                problems.append(
                    document.problem(("colours", "names", index), f"'{colour}' is not a colour of tables/palette.yaml")
                )
    seen_rules: dict[str, str] = {}
    for topic, document in folder.topics.values():
        problems += _sources_exist(topic, document, folder.sources)
        for index, rule in enumerate(topic.rules):
            here = ("rules", index)
            if rule.id in seen_rules:
                problems.append(document.problem((*here, "id"), f"rule '{rule.id}' also stands in {seen_rules[rule.id]}"))
            seen_rules[rule.id] = document.file
            for m_index, material_id in enumerate(rule.materials):
                if material_id not in materials:
                    problems.append(
                        document.problem((*here, "materials", m_index), f"there is no material '{material_id}'")
                    )
    shared: set[str] = set()
    for table, document in folder.tables.values():
        problems += _sources_exist(table, document, folder.sources)
        for index, name in enumerate(table.shared_names):
            shared.add(name.name.casefold())
            for meaning in name.meanings:
                if meaning.id not in materials:
                    problems.append(document.problem(("shared_names", index), f"there is no material '{meaning.id}'"))
            if name.usual and name.usual not in {meaning.id for meaning in name.meanings}:
                problems.append(document.problem(("shared_names", index, "usual"), "is not one of the meanings"))
    problems += _name_clashes(materials, shared)
    return problems


def _sources_exist(
    model: Model, document: Document, sources: dict[str, Source], path: tuple[str | int, ...] = ()
) -> list[Problem]:
    problems: list[Problem] = []
    if isinstance(model, Cited):
        for source in model.source:
            if source not in sources:
                problems.append(document.problem((*path, "source"), f"there is no source '{source}' in sources.yaml"))
    for name in type(model).model_fields:
        value = getattr(model, name)
        if isinstance(value, Model):
            problems += _sources_exist(value, document, sources, (*path, name))
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if isinstance(item, Model):
                    problems += _sources_exist(item, document, sources, (*path, name, index))
    return problems


def _name_clashes(materials: dict[str, tuple[Material, Document]], shared: set[str]) -> list[Problem]:
    problems: list[Problem] = []
    owners: dict[str, str] = {}
    for material, document in materials.values():
        own = {material.name.casefold(), material.id.replace("-", " ")}
        own |= {name.name.casefold() for name in material.other_names}
        if material.plural:
            own.add(material.plural.casefold())
        for name in sorted(own):
            other = owners.setdefault(name, material.id)
            if other != material.id and name not in shared:
                problems.append(
                    document.problem(
                        ("other_names",) if name != material.name.casefold() else ("name",),
                        f"'{name}' is also a name of '{other}'; drop one or declare it in tables/names.yaml",
                    )
                )
    return problems
