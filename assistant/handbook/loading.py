"""Load and validate the handbook, and lay a shop's own folder over it.

A handbook folder holds `sources.yaml`, `materials/*.yaml` (one material a file, named after its id),
`rules/*.yaml` (one topic a file) and `tables/*.yaml`. A shop's overlay folder has the same shape: a material is
laid over the handbook's field by field, rules and table rows replace those of the same id (shared names: of the same
name), and what is new is added. A field left empty takes the handbook's away.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from assistant.handbook.documents import Document, Path_, Problem, read_document
from assistant.handbook.models import (
    ID_PATTERN,
    SOURCE_PATTERN,
    SRGB_PATTERN,
    Cited,
    Material,
    Model,
    Rule,
    SharedName,
    Source,
    SourceList,
    Table,
    Topic,
)

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

_PATTERN_WORDS = {
    ID_PATTERN: "must be lower-case words joined by hyphens, such as garden-rose",
    SOURCE_PATTERN: "must be lower-case words joined by underscores, such as osu_6426",
    SRGB_PATTERN: "must be a colour such as '#c81e3a': six lower-case digits or letters a to f, in quotes",
}
_LIMIT_WORDS = {
    "greater_than": ("more than", "gt"),
    "greater_than_equal": ("at least", "ge"),
    "less_than": ("less than", "lt"),
    "less_than_equal": ("at most", "le"),
}
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
        wanted = _PATTERN_WORDS.get(context["pattern"], f"must look like {context['pattern']}")
        return f"{wanted} (found {given!r:.60})"
    if kind in _LIMIT_WORDS:
        words, limit = _LIMIT_WORDS[kind]
        return f"must be {words} {context[limit]:g} (found {given!r:.60})"
    if kind in ("too_short", "string_too_short"):
        return "is empty or too short; fill it in or remove it"
    message = str(error["msg"])
    return message.removeprefix("Value error, ")


def validated(document: Document, model: type[M]) -> tuple[M | None, list[Problem]]:
    """The document as the model, or None with every problem, each at its file and line."""
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
    entry, found = validated(document, model)
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

_TABLE_SECTIONS = ("constants", "vessels", "colours", "places", "doses", "foam_blocks", "shared_names")


@dataclass
class _Folder:
    """What has been read so far: every entry with the document that says it."""

    materials: dict[str, tuple[Material, Document]] = field(default_factory=dict)
    topics: dict[str, tuple[Topic, Document]] = field(default_factory=dict)
    tables: dict[str, tuple[Table, Document]] = field(default_factory=dict)
    sources: dict[str, Source] = field(default_factory=dict)
    # Files that could not be read, such as materials/rose: what they would have said must not be reported as missing.
    broken: set[str] = field(default_factory=set)

    def knows_material(self, key: str) -> bool:
        return key in self.materials or f"materials/{key}" in self.broken

    def knows_source(self, key: str) -> bool:
        return key in self.sources or "sources" in self.broken

    def colours(self) -> set[str] | None:
        """Ids of the palette; None where a broken table might have held more."""
        if any(name.startswith("tables/") for name in self.broken):
            return None
        return {row.id for table, _ in self.tables.values() for row in table.colours}


def _lay(root: Path, below: _Folder, problems: list[Problem]) -> None:
    """Read one folder and lay it over what stands, in place."""
    if (root / "sources.yaml").is_file():
        listed, document = _read(root / "sources.yaml", root, SourceList, problems)
        if listed is None:
            below.broken.add("sources")
        seen: set[str] = set()
        for index, source in enumerate(listed.sources if listed else ()):
            if source.id in seen and document:
                problems.append(document.problem(("sources", index, "id"), f"source '{source.id}' stands twice"))
            seen.add(source.id)
            below.sources[source.id] = source
    for path in _yaml_files(root / "materials", problems, root):
        if not _lay_file(path, root, Material, "id", (), below.materials, problems):
            below.broken.add(f"materials/{path.stem}")
    for path in _yaml_files(root / "rules", problems, root):
        _lay_file(path, root, Topic, "topic", ("rules",), below.topics, problems)
    for path in _yaml_files(root / "tables", problems, root):
        if not _lay_file(path, root, Table, "table", _TABLE_SECTIONS, below.tables, problems):
            below.broken.add(f"tables/{path.stem}")


def _lay_file(
    path: Path,
    root: Path,
    model: type[M],
    id_field: str,
    row_fields: Sequence[str],
    out: dict[str, tuple[M, Document]],
    problems: list[Problem],
) -> bool:
    """Read one entry's file, lay it over the entry of its name where there is one, validate it; whether that went."""
    document, found = read_document(path, _shown(path, root))
    problems += found
    if document is None or found:
        return False
    if not isinstance(document.data, dict):
        problems.append(document.problem((), f"this file must be a block of fields, starting with {id_field}:"))
        return False
    if path.stem in out:
        document = _laid_over(document, out[path.stem][1], row_fields)
    entry, found = validated(document, model)
    problems += found
    if entry is None:
        return False
    if getattr(entry, id_field) != path.stem:
        problems.append(document.problem((id_field,), f"the file is named '{path.stem}'; make the two the same"))
        return False
    out[path.stem] = (entry, document)
    return True


def _laid_over(top: Document, below: Document, row_fields: Sequence[str]) -> Document:
    """One document over another: field by field, and row by row for the fields that list rows.

    A row replaces the row of the same id (or name) below it; a field left empty on top takes the one below away.
    The outcome remembers which parts came from below, so that a problem points at the file that says it.
    """
    data: dict[str, Any] = dict(below.data)
    inherited: dict[Path_, tuple[Document, Path_]] = {(key,): (below, (key,)) for key in below.data}
    for key, value in top.data.items():
        inherited.pop((key,), None)
        if value is None:
            data.pop(key, None)
        elif key in row_fields and isinstance(value, list) and isinstance(data.get(key), list):
            data[key], rows = _rows_laid_over(top, below, key)
            inherited |= rows
        else:
            data[key] = value
    return Document(top.file, data, top.marks, inherited)


def _rows_laid_over(top: Document, below: Document, key: str) -> tuple[list[Any], dict[Path_, tuple[Document, Path_]]]:
    """The rows of one field, and where each row that is not on top at its own place stands."""
    rows: list[tuple[Any, Document, int]] = [(row, below, index) for index, row in enumerate(below.data[key])]
    places = {_row_name(row): place for place, (row, _, _) in enumerate(rows)}
    # Only names from below are looked up: a name that stands twice on top must stay, to be reported.
    for index, row in enumerate(top.data[key]):
        place = places.pop(_row_name(row), None)
        if place is None:
            rows.append((row, top, index))
        else:
            rows[place] = (row, top, index)
    bare = Document(top.file, top.data, top.marks)
    stands: dict[Path_, tuple[Document, Path_]] = {
        (key, place): (bare if document is top else document, (key, index))
        for place, (_, document, index) in enumerate(rows)
    }
    return [row for row, _, _ in rows], stands


def _row_name(row: Any) -> str:
    name = row.get("id", row.get("name")) if isinstance(row, dict) else None
    return str(name).casefold() if name is not None else f"unnamed {id(row)}"


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
    read = _Folder()
    _lay(root, read, problems)
    if not read.materials and not problems:
        problems.append(Problem(str(root), 0, 0, "", "holds no materials; is this a handbook folder?"))
    for overlay in overlays:
        if overlay.is_dir():
            _lay(overlay, read, problems)
        else:
            problems.append(Problem(str(overlay), 0, 0, "", "no such folder; the shop's own folder was not found"))
    problems += _cross_checks(read)
    if problems:
        return None, sorted(problems, key=lambda p: (p.file, p.line, p.column))
    return _build(read), []


def _build(read: _Folder) -> Handbook:
    topics = {key: topic for key, (topic, _) in read.topics.items()}
    return Handbook(
        materials={key: material for key, (material, _) in sorted(read.materials.items())},
        rules={rule.id: rule for topic in topics.values() for rule in topic.rules},
        topics=topics,
        tables={key: table for key, (table, _) in read.tables.items()},
        sources=read.sources,
        origin=dict(_origins(read)),
    )


def _origins(read: _Folder) -> Iterator[tuple[str, str]]:
    """Every material, rule and table row (`table/row`) with the file that has the last word on it."""
    for key, (_, document) in read.materials.items():
        yield key, document.file
    for topic, document in read.topics.values():
        for index, rule in enumerate(topic.rules):
            yield rule.id, document.source_of(("rules", index))[0].file
    for key, (table, document) in read.tables.items():
        for section in _TABLE_SECTIONS:
            for index, row in enumerate(getattr(table, section)):
                yield f"{key}/{_name_of(row)}", document.source_of((section, index))[0].file


def _name_of(row: Model) -> str:
    return row.name if isinstance(row, SharedName) else str(getattr(row, "id", ""))


# --- what no single file can know ---------------------------------------------------------------------------------


def _cross_checks(read: _Folder) -> list[Problem]:
    problems: list[Problem] = []
    colours = read.colours()
    for material, document in read.materials.values():
        problems += _sources_exist(material, document, read)
        for index, substitute in enumerate(material.substitutes):
            if not read.knows_material(substitute.id):
                problems.append(document.problem(("substitutes", index), f"there is no material '{substitute.id}'"))
        for index, colour in enumerate(material.colours.names if material.colours else ()):
            if colours is not None and colour not in colours:
                problems.append(
                    document.problem(("colours", "names", index), f"'{colour}' is not a colour of tables/palette.yaml")
                )
    problems += _check_rules(read)
    problems += _check_tables(read)
    shared = {name.name.casefold() for table, _ in read.tables.values() for name in table.shared_names}
    problems += _name_clashes(read.materials, shared)
    return problems


def _check_rules(read: _Folder) -> list[Problem]:
    problems: list[Problem] = []
    seen: dict[str, str] = {}
    for topic, document in read.topics.values():
        problems += _sources_exist(topic, document, read)
        for index, rule in enumerate(topic.rules):
            if rule.id in seen:
                message = f"rule '{rule.id}' also stands in {seen[rule.id]}; give one of them another id"
                problems.append(document.problem(("rules", index, "id"), message))
            seen[rule.id] = document.source_of(("rules", index))[0].file
            for m_index, material_id in enumerate(rule.materials):
                if not read.knows_material(material_id):
                    path = ("rules", index, "materials", m_index)
                    problems.append(document.problem(path, f"there is no material '{material_id}'"))
    return problems


def _check_tables(read: _Folder) -> list[Problem]:
    problems: list[Problem] = []
    for table, document in read.tables.values():
        problems += _sources_exist(table, document, read)
        for section in _TABLE_SECTIONS:
            seen: set[str] = set()
            for index, row in enumerate(getattr(table, section)):
                name = _name_of(row).casefold()
                if name in seen:
                    problems.append(document.problem((section, index), f"'{_name_of(row)}' stands twice; keep one"))
                seen.add(name)
        for index, shared in enumerate(table.shared_names):
            here = ("shared_names", index)
            for meaning in shared.meanings:
                if not read.knows_material(meaning.id):
                    problems.append(document.problem(here, f"there is no material '{meaning.id}'"))
            if shared.usual and shared.usual not in {meaning.id for meaning in shared.meanings}:
                problems.append(document.problem((*here, "usual"), "is not one of the meanings; name one of them"))
    return problems


def _sources_exist(model: Model, document: Document, read: _Folder, path: Path_ = ()) -> list[Problem]:
    problems: list[Problem] = []
    if isinstance(model, Cited):
        for source in model.source:
            if not read.knows_source(source):
                problems.append(document.problem((*path, "source"), f"there is no source '{source}' in sources.yaml"))
    for name in type(model).model_fields:
        value = getattr(model, name)
        if isinstance(value, Model):
            problems += _sources_exist(value, document, read, (*path, name))
        elif isinstance(value, tuple):
            for index, item in enumerate(value):
                if isinstance(item, Model):
                    problems += _sources_exist(item, document, read, (*path, name, index))
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
