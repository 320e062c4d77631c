"""YAML documents that remember where each value stood.

PyYAML's C parser composes the node tree; values are built here from the nodes so that duplicate keys are
errors, `yes` and `12:30` stay text, and every path (`("storage", 0, "degC")`) maps to a line and column.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

try:
    from yaml import CSafeLoader as _BaseLoader
except ImportError:  # pragma: no cover - only where PyYAML was built without libyaml
    from yaml import SafeLoader as _BaseLoader  # type: ignore[assignment]

Path_ = tuple[str | int, ...]
# An entry is three or four levels deep; anything near this is not a handbook file.
MAX_DEPTH = 60


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing wrong with one file, in words a florist can act on. Line and column count from 1; 0 is unknown."""

    file: str
    line: int
    column: int
    field: str
    message: str

    def __str__(self) -> str:
        place = f"{self.file}:{self.line}:{self.column}" if self.line else self.file
        # A file name or a key may hold escape sequences; they are shown, never sent to the terminal.
        return _printable(f"{place}: {self.field}: {self.message}" if self.field else f"{place}: {self.message}")


@dataclass(frozen=True, slots=True)
class Document:
    """A parsed file: plain data, and the mark of every value by its path.

    Where an overlay was laid over another file, `inherited` says which of the paths came from below: the document
    they stand in and their path there. A problem with such a value points at that file.
    """

    file: str
    data: Any
    marks: dict[Path_, tuple[int, int]]
    inherited: Mapping[Path_, tuple[Document, Path_]] = field(default_factory=dict)

    def source_of(self, path: Path_) -> tuple[Document, Path_]:
        """The document that holds the value at `path`, and its path there."""
        for length in range(1, len(path) + 1):
            if path[:length] in self.inherited:
                document, base = self.inherited[path[:length]]
                return document.source_of((*base, *path[length:]))
        return self, path

    def problem(self, path: Path_, message: str) -> Problem:
        """A problem at `path`, or at the nearest parent that has a mark."""
        document, path = self.source_of(path)
        if document is not self:
            return document.problem(path, message)
        here = path
        while here and here not in self.marks:
            here = here[:-1]
        line, column = self.marks.get(here, (1, 1))
        return Problem(self.file, line, column, dotted(path), message)


def dotted(path: Path_) -> str:
    """`("storage", 0, "degC")` as `storage[0].degC`."""
    out = ""
    for step in path:
        out += f"[{step}]" if isinstance(step, int) else (f".{step}" if out else step)
    return out


def _printable(text: str) -> str:
    return "".join(char if char.isprintable() else repr(char)[1:-1] for char in text)


class _Loader(_BaseLoader):
    """The core schema: null, true/false, integers, decimals. Everything else is text."""


_Loader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("tag:yaml.org,2002:null", r"^(?:~|null|)$", ["~", "n", ""]),
    ("tag:yaml.org,2002:bool", r"^(?:true|false)$", list("tf")),
    ("tag:yaml.org,2002:int", r"^[-+]?[0-9]+$", list("-+0123456789")),
    ("tag:yaml.org,2002:float", r"^[-+]?(?:[0-9]+\.[0-9]*|\.[0-9]+)(?:[eE][-+]?[0-9]+)?$", list("-+.0123456789")),
):
    _Loader.add_implicit_resolver(_tag, re.compile(_pattern), _first)


_LONGEST_NUMBER = 30


class _Builder:
    def __init__(self, file: str) -> None:
        self.file = file
        self.marks: dict[Path_, tuple[int, int]] = {}
        self.problems: list[Problem] = []
        self._seen: set[int] = set()

    def build(self, node: yaml.Node, path: Path_) -> Any:
        line, column = node.start_mark.line + 1, node.start_mark.column + 1
        self.marks[path] = (line, column)
        if id(node) in self._seen:  # an alias: the same node a second time
            message = "anchors and aliases (& and *) are not used here; write the value out"
            self.problems.append(Problem(self.file, line, column, dotted(path), message))
            return None
        self._seen.add(id(node))
        if len(path) > MAX_DEPTH:
            self.problems.append(Problem(self.file, line, column, "", "nested too deeply to be read"))
            return None
        if isinstance(node, yaml.MappingNode):
            out: dict[str, Any] = {}
            for key_node, value_node in node.value:
                key = key_node.value
                here = (*path, key)
                line, column = key_node.start_mark.line + 1, key_node.start_mark.column + 1
                if not isinstance(key_node, yaml.ScalarNode):
                    self.problems.append(Problem(self.file, line, column, dotted(path), "a key must be plain text"))
                    continue
                if key in out:
                    message = f"'{key}' stands twice (first on line {self.marks[here][0]}); keep one of them"
                    self.problems.append(Problem(self.file, line, column, dotted(here), message))
                    continue
                out[key] = self.build(value_node, here)
                self.marks[here] = (line, column)
            return out
        if isinstance(node, yaml.SequenceNode):
            return [self.build(child, (*path, index)) for index, child in enumerate(node.value)]
        return self._scalar(node, path)

    def _scalar(self, node: yaml.Node, path: Path_) -> Any:
        tag, text = node.tag, str(node.value)
        match tag:
            case "tag:yaml.org,2002:str":
                return text
            case "tag:yaml.org,2002:null":
                return None
            case "tag:yaml.org,2002:bool":
                return text == "true"
            case "tag:yaml.org,2002:int" if len(text) <= _LONGEST_NUMBER:
                return int(text)
            case "tag:yaml.org,2002:float" if len(text) <= _LONGEST_NUMBER and math.isfinite(float(text)):
                return float(text)
            case "tag:yaml.org,2002:int" | "tag:yaml.org,2002:float":
                message = "this number is too long to mean anything here"
            case _:
                message = f"the YAML tag {tag} is not used here; write plain text"
        line, column = self.marks[path]
        self.problems.append(Problem(self.file, line, column, dotted(path), message))
        return None


def read_document(path: Path, shown_as: str | None = None) -> tuple[Document | None, list[Problem]]:
    """Read one YAML file.

    Returns the document (None where it cannot be read at all) and the problems found on the way. Anchors and
    aliases are refused: a handbook file must be readable from top to bottom, and aliases can be made to explode.
    """
    file = shown_as or str(path)
    try:
        text = path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        return None, [Problem(file, 0, 0, "", f"not UTF-8 text (byte {error.start}); save the file as UTF-8")]
    except OSError as error:
        return None, [Problem(file, 0, 0, "", f"cannot be read: {error.strerror or error}")]
    return parse_document(text, file)


def parse_document(text: str, file: str) -> tuple[Document | None, list[Problem]]:
    """Parse YAML text; see `read_document`."""
    try:
        node = yaml.compose(text, Loader=_Loader)
    except yaml.YAMLError as error:
        return None, [_syntax_problem(error, file)]
    except RecursionError:
        return None, [Problem(file, 1, 1, "", "nested too deeply to be read")]
    if node is None:
        return None, [Problem(file, 1, 1, "", "the file is empty; remove it or fill it in")]
    builder = _Builder(file)
    data = builder.build(node, ())
    return Document(file, data, builder.marks), builder.problems


def _syntax_problem(error: yaml.YAMLError, file: str) -> Problem:
    mark = getattr(error, "problem_mark", None)
    what = getattr(error, "problem", None) or getattr(error, "reason", None) or "cannot be parsed"
    context = getattr(error, "context", None)
    message = f"not valid YAML: {what}" + (f" ({context})" if context else "")
    return Problem(file, mark.line + 1 if mark else 0, mark.column + 1 if mark else 0, "", message)
