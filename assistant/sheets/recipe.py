"""A job from a file (YAML or CSV) or from pasted text."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

from assistant.handbook.documents import Document, Path_, Problem, parse_document
from assistant.handbook.loading import Handbook, HandbookError, validated
from assistant.sheets.job import Job, Line
from assistant.stock.entries import pack_of

if TYPE_CHECKING:
    from assistant.language.names import NameIndex
    from assistant.language.parsing import Parser
    from assistant.language.question import Question

_MOST_BYTES = 1_000_000
_LONG = re.compile(r"\b(?:counter|mantel|table runner|trough|oblong|long and low|sill|shelf|desk|bar)\b")
_ROUND = re.compile(r"\b(?:dome|ball|centrepiece|centerpiece|round|posy)\b")
_ALL_ROUND = re.compile(r"\b(?:all (?:a)?round|both sides|every side)\b")
# An oblong's depth and height where only its length was said; the note says so.
_OBLONG_CM = (25.0, 45.0)


def read_job(path: Path, handbook: Handbook, changes: dict[str, Any] | None = None) -> Job:
    """Read a job file: YAML, or CSV with a heading `material,stems,bunches` and the rest of the job in `changes`.

    Args:
        path: ends in .yaml or .csv.
        handbook: materials are looked up by id or by any of their names.
        changes: fields of the job that replace or complete the file's ("change one thing").

    Raises:
        HandbookError: with every problem, each naming file, line and field.
    """
    try:
        if path.stat().st_size > _MOST_BYTES:
            raise HandbookError([Problem(str(path), 0, 0, "", "is too large for a job file (over a megabyte)")])
        text = path.read_text(encoding="utf-8")
    except OSError as error:
        raise HandbookError([Problem(str(path), 0, 0, "", f"cannot be read: {error.strerror or error}")]) from error
    except UnicodeDecodeError as error:
        raise HandbookError([Problem(str(path), 0, 0, "", "not UTF-8 text; save the file as UTF-8")]) from error
    suffix = path.suffix.lower()
    if suffix == ".csv":
        return _from_csv(text, path, handbook, changes or {})
    if suffix not in (".yaml", ".yml"):
        raise HandbookError([Problem(str(path), 0, 0, "", "a job file ends in .yaml or .csv")])
    return from_yaml(text, handbook, file=str(path), changes=changes)


def from_yaml(text: str, handbook: Handbook, *, file: str = "job", changes: dict[str, Any] | None = None) -> Job:
    """A job from YAML text; see `read_job`."""
    document, problems = parse_document(text, file)
    if document is None or problems:
        raise HandbookError(problems)
    data = {**document.data, **(changes or {})} if isinstance(document.data, dict) else document.data
    return _checked(Document(file, data, document.marks), handbook)


def _checked(document: Document, handbook: Handbook) -> Job:
    job, problems = validated(document, Job)
    if job is None:
        raise HandbookError(problems)
    lines, problems = _resolved(job, document, handbook)
    places = {row.id for table in handbook.tables.values() for row in table.places}
    if job.place is not None and job.place not in places:
        problems.append(document.problem(("place",), f"'{job.place}' is not in tables/places.yaml"))
    vessels = {row.id for table in handbook.tables.values() for row in table.vessels}
    for index, use in enumerate(job.vessels):
        if use.vessel is not None and use.vessel not in vessels:
            problems.append(
                document.problem(("vessels", index, "vessel"), f"'{use.vessel}' is not in tables/vessels.yaml")
            )
    if problems:
        raise HandbookError(problems)
    return job.model_copy(update={"recipe": lines})


def _resolved(job: Job, document: Document, handbook: Handbook) -> tuple[tuple[Line, ...], list[Problem]]:
    """The recipe with ids for names."""
    problems: list[Problem] = []
    lines: list[Line] = []
    names: NameIndex | None = None
    for index, line in enumerate(job.recipe):
        here: Path_ = ("recipe", index, "material")
        if line.material in handbook.materials:
            lines.append(line)
            continue
        if names is None:
            from assistant.language.names import NameIndex  # deferred: a file that gives ids needs no names

            names = NameIndex(handbook)
        found = names.look_up(line.material)
        if len(found) == 1:
            lines.append(line.model_copy(update={"material": found[0]}))
        elif found:
            problems.append(document.problem(here, f"'{line.material}' can mean {', '.join(found)}; name one of them"))
        else:
            near = [ids[0] for ids, _ in names.nearest(line.material)]
            hint = f"; did you mean {' or '.join(near)}?" if near else ""
            problems.append(document.problem(here, f"there is no material '{line.material}' in the handbook{hint}"))
    return tuple(lines), problems


def changed(job: Job, handbook: Handbook, changes: dict[str, Any]) -> Job:
    """The same job with some fields changed: the plan made from it follows.

    Raises:
        HandbookError: where the change cannot be, in words.
    """
    return _checked(Document("the job", job.model_dump() | changes, {(): (0, 0)}), handbook)


# --- CSV --------------------------------------------------------------------------------------------------------------

_COLUMNS = ("material", "stems", "bunches", "role", "colour", "note")


def _from_csv(text: str, path: Path, handbook: Handbook, changes: dict[str, Any]) -> Job:
    file = str(path)
    reader = csv.DictReader(io.StringIO(text.removeprefix("\ufeff")))
    names = list(reader.fieldnames or ())
    unknown = [name for name in names if name not in _COLUMNS]
    if "material" not in names or unknown:
        said = f"'{unknown[0]}' is not a column" if unknown else "there is no column 'material'"
        raise HandbookError([Problem(file, 1, 1, "", f"{said}; the columns are {', '.join(_COLUMNS)}")])
    rows: list[dict[str, Any]] = []
    marks: dict[Path_, tuple[int, int]] = {(): (1, 1), ("recipe",): (1, 1)}
    problems: list[Problem] = []
    try:
        for row in reader:
            if None in row:
                problems.append(Problem(file, reader.line_num, 1, "", "has more cells than the heading"))
                continue
            marks[("recipe", len(rows))] = (reader.line_num, 1)
            rows.append({key: _cell(key, value.strip()) for key, value in row.items() if value and value.strip()})
    except csv.Error as error:
        problems.append(Problem(file, reader.line_num, 1, "", f"not CSV: {error}"))
    if problems:
        raise HandbookError(problems)
    slug = re.sub(r"[^a-z0-9]+", "-", path.stem.lower()).strip("-") or "job"
    data = {"job": slug if len(slug) > 1 else f"job-{slug}", "title": path.stem, "recipe": rows, **changes}
    missing = [option for field, option in (("install", "--install"), ("display_days", "--days")) if field not in data]
    if missing:
        raise HandbookError([Problem(file, 0, 0, "", f"a CSV holds the recipe only; add {' and '.join(missing)}")])
    return _checked(Document(file, data, marks), handbook)


def _cell(name: str, text: str) -> Any:
    return int(text) if name in ("stems", "bunches") and re.fullmatch(r"\d{1,6}", text) else text


# --- pasted text ------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class TextRead:
    """A recipe read from text: the job, or the one question that is open; and how the words were taken."""

    job: Job | None
    notes: tuple[str, ...] = ()
    question: str | None = None


def from_text(
    text: str, parser: Parser, clock: Callable[[], date], *, changes: dict[str, Any] | None = None
) -> TextRead:
    """A job from a recipe pasted in a chat, such as "14 lisianthus, 2 bunches of salal; sixteen days at 22 °C,
    counter 180 cm; install Monday 7 December".

    Args:
        text: what was pasted.
        parser: the language room's parser.
        clock: what "today" means.
        changes: fields of the job known already, as in `read_job`.

    Raises:
        TooLong: above the parser's limit.
    """
    handbook = parser.handbook
    question = parser.parse(text, today=clock())
    if question.impossible:
        return TextRead(None, question=question.impossible)
    notes: list[str] = []
    lines: list[dict[str, Any]] = []
    for mention in question.mentions:
        material_id = mention.id or mention.usual
        if mention.negated:
            continue
        if material_id is None:
            return TextRead(
                None, question=f"Which {mention.said}: {', '.join(handbook.materials[i].name for i in mention.ids)}?"
            )
        name = handbook.materials[material_id].name
        if mention.how == "fuzzy":
            notes.append(f"I took “{mention.said}” for {name}.")
        elif mention.id is None:
            notes.append(f"I took “{mention.said}” as {name}.")
        for what, value in (("stems", mention.stems), ("bunches", mention.bunches)):
            if value is not None and value != int(value):
                return TextRead(None, tuple(notes), f"{value:g} {what} of {name} can't be cut; give a whole number.")
        line = {"material": material_id}
        if mention.stems:
            line["stems"] = int(mention.stems)  # type: ignore[assignment]
        elif mention.bunches:
            line["bunches"] = int(mention.bunches)  # type: ignore[assignment]
        lines.append(line)
    data: dict[str, Any] = {"recipe": lines, **_facts(question), **(changes or {})}
    if "piece" not in data and any("stems" not in line and "bunches" not in line for line in lines or [{}]):
        piece = _piece(question, notes)
        if piece:
            data["piece"] = piece
    open_question = _open_question(data, handbook)
    if open_question:
        return TextRead(None, tuple(notes), open_question)
    data.setdefault("job", f"job-{data['install']}")
    data.setdefault("title", f"Job of {data['install']}")
    document = Document("the recipe", data, {(): (0, 0)})
    try:
        return TextRead(_checked(document, handbook), tuple(notes))
    except HandbookError as error:
        problem = error.problems[0]
        return TextRead(
            None, tuple(notes), f"{problem.field}: {problem.message}." if problem.field else f"{problem.message}."
        )


def changes_in(text: str, parser: Parser, clock: Callable[[], date]) -> dict[str, Any]:
    """What a sentence says about a job, as `changes`: "make it 27 degrees". Empty where it says nothing.

    Raises:
        TooLong: above the parser's limit.
    """
    return _facts(parser.parse(text, today=clock()))


def _facts(question: Question) -> dict[str, Any]:
    """What the text says about the job besides its materials and the size of the piece."""
    slots = question.slots
    out: dict[str, Any] = {}
    if "display_temperature" in slots:
        out["degC"] = list(slots["display_temperature"].span)
    if "humidity" in slots:
        out["humidity"] = list(slots["humidity"].span)
    start, until = slots.get("start_date"), slots.get("until_date")
    if start is not None:
        out["install"] = start.day
    if "display_days" in slots:
        out["display_days"] = max(1, round(slots["display_days"].span[1]))
    elif start is not None and until is not None and until.day > start.day:
        out["display_days"] = (until.day - start.day).days
    if "pieces" in slots:
        out["pieces"] = int(slots["pieces"].number)
    for slot, name in (("place", "place"), ("support", "support")):
        if slot in slots:
            out[name] = slots[slot].text
    if "audience" in slots:
        out["audience"] = [word for word in slots["audience"].words if word != "people"]
    if "vessel" in slots:
        out["vessels"] = [{"vessel": slots["vessel"].text}]
    if "confidence" in slots:
        out["confidence"] = slots["confidence"].number / 100
    return out


def _piece(question: Question, notes: list[str]) -> dict[str, Any] | None:
    """The piece's size, wanted where a line has no count; how it was read goes to the notes."""
    slots, text = question.slots, question.normal
    across = next((slots[name].number for name in ("length", "width", "diameter") if name in slots), None)
    if across is None:
        return None
    height = slots["height"].number if "height" in slots else None
    view = "all-round" if _ALL_ROUND.search(text) else "front"
    if "garland" in text:
        return {"shape": "garland", "length_cm": across, "width_cm": 15.0, "view": view}
    if _LONG.search(text):
        depth, tall = (slots["depth"].number if "depth" in slots else _OBLONG_CM[0]), height or _OBLONG_CM[1]
        notes.append(f"Read as a long piece, {across:g} cm by {depth:g} cm, {tall:g} cm high.")
        return {"shape": "oblong", "length_cm": across, "width_cm": depth, "height_cm": tall, "view": view}
    shape = "dome" if _ROUND.search(text) else "fan"
    notes.append(f"Read as a {shape}, {across:g} cm wide and {height or across / 2:g} cm high.")
    return {"shape": shape, "width_cm": across, "height_cm": height or across / 2, "view": view}


def _open_question(data: dict[str, Any], handbook: Handbook) -> str | None:
    if not data["recipe"] and "piece" not in data:
        return "Which materials go in, and how many of each? Or how big is the piece?"
    for line in data["recipe"]:
        if "stems" not in line and "bunches" not in line and "piece" not in data:
            return f"How many stems of {handbook.materials[line['material']].name}, or how big is the piece?"
        if "bunches" in line and pack_of(handbook.materials[line["material"]], "EU") is None:
            return f"The handbook has no stem count for a bunch of {line['material']}; how many stems go in?"
    if "display_days" not in data:
        return "How many days must it look well?"
    if "install" not in data:
        return "Which day does it go up?"
    return None
