"""The question sets as typed records. A mistake in a file is named by file, line and conversation."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, ValidationError, model_validator

from assistant.dialogue.answer import Outcome
from assistant.handbook.documents import Document, Problem, read_document
from assistant.handbook.loading import Handbook
from assistant.handbook.models import Trigger
from assistant.language.question import Task

HERE = Path(__file__).parent
SETS = {
    name: HERE / name
    for name in ("questions", "heldout", "paraphrases", "voices", "retold", "talks", "unseen", "wide", "wide_unseen")
}
MOST_TURNS = 6

Persona = Literal["new-hire", "florist", "trainer"]


class SetError(Exception):
    """The question files cannot be used; `problems` names every reason."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__("\n".join(str(problem) for problem in self.problems))


def _as_tuple(value: Any) -> Any:
    """One value stands for a list of one."""
    if isinstance(value, list):
        return tuple(value)
    return value if isinstance(value, tuple) else (value,)


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class ExpectedFigure(_Strict):
    """A figure of this kind (and unit, money has none) whose value lies in `low`–`high`."""

    kind: str
    low: float
    high: float
    unit: str | None = None

    @model_validator(mode="after")
    def _window_is_ordered(self) -> ExpectedFigure:
        if self.low > self.high:
            raise ValueError(f"the window is upside down: {self.low:g} is more than {self.high:g}")
        return self


class Turn(_Strict):
    """One message and what a good answer to it contains; a field left out is not judged.

    `inputs` are those of the expected figure, or of any figure where the turn names none.
    """

    ask: str
    outcome: Annotated[tuple[Outcome, ...], BeforeValidator(_as_tuple), Field(min_length=1)]
    task: Annotated[tuple[Task, ...], BeforeValidator(_as_tuple)] = ()
    materials: Annotated[tuple[str, ...], BeforeValidator(_as_tuple)] | None = None
    figure: ExpectedFigure | None = None
    inputs: dict[str, float] = Field(default_factory=dict)
    cautions: Annotated[tuple[Trigger, ...], BeforeValidator(_as_tuple)] = ()
    relevant: Annotated[tuple[str, ...], BeforeValidator(_as_tuple)] = ()

    @property
    def in_scope(self) -> bool:
        """An answer is expected and declining would be wrong."""
        return "answered" in self.outcome and "not_covered" not in self.outcome

    @property
    def out_of_scope(self) -> bool:
        """Declining is expected and an answer would be wrong."""
        return "not_covered" in self.outcome and "answered" not in self.outcome


class Conversation(_Strict):
    """Turns asked in order, starting with an empty memory. `theme` is the file it stands in."""

    id: str
    persona: Persona
    turns: Annotated[tuple[Turn, ...], BeforeValidator(_as_tuple), Field(min_length=1, max_length=MOST_TURNS)]
    theme: str = ""


class _File(_Strict):
    conversations: Annotated[tuple[Conversation, ...], BeforeValidator(_as_tuple), Field(min_length=1)]


def load(folder: Path, themes: Iterable[str] = ()) -> tuple[Conversation, ...]:
    """Every conversation of a folder (or only of the named themes), in the order of files and lines.

    Raises:
        SetError: with every problem found, each naming file, line, field and conversation.
    """
    wanted = tuple(themes)
    files = {path.stem: path for path in sorted(folder.glob("*.yaml"))}
    unknown = [theme for theme in wanted if theme not in files]
    if unknown or not files:
        known = ", ".join(files) or "none"
        named = ", ".join(unknown) or "any"
        raise SetError([Problem(str(folder), 0, 0, "", f"there is no theme {named}; there are: {known}")])
    problems: list[Problem] = []
    loaded: dict[str, Conversation] = {}
    for theme, path in files.items():
        if wanted and theme not in wanted:
            continue
        document, found = read_document(path)
        problems += found
        if document is None or found:
            continue
        for index, conversation in enumerate(_conversations(document, problems)):
            if conversation.id in loaded:
                where = ("conversations", index, "id")
                problems.append(
                    document.problem(where, f"'{conversation.id}' also stands in {loaded[conversation.id].theme}.yaml")
                )
            loaded[conversation.id] = conversation.model_copy(update={"theme": theme})
    if problems:
        raise SetError(problems)
    return tuple(loaded.values())


def unknown_ids(conversations: Iterable[Conversation], handbook: Handbook, passage_ids: Iterable[str]) -> list[str]:
    """Materials and passages that turns name and the handbook does not hold, one sentence each."""
    passages = set(passage_ids)
    known = passages | set(handbook.topics)
    said = []
    for conversation in conversations:
        for number, turn in enumerate(conversation.turns, 1):
            here = f"{conversation.theme}.yaml: {conversation.id} turn {number}"
            said += [f"{here}: there is no material '{m}'" for m in turn.materials or () if m not in handbook.materials]
            said += [f"{here}: there is no passage '{r}'" for r in turn.relevant if r not in known]
    return said


def _conversations(document: Document, problems: list[Problem]) -> tuple[Conversation, ...]:
    try:
        return _File.model_validate(document.data).conversations
    except ValidationError as error:
        for item in error.errors(include_url=False):
            message = str(item["msg"]).removeprefix("Value error, ")
            if item["type"] == "extra_forbidden":
                message = f"is not a field here; fields of a turn are {', '.join(Turn.model_fields)}"
            problem = document.problem(tuple(item["loc"]), message + _whose(document.data, item["loc"]))
            # A failure inside a list of alternatives is reported once for each; the place is the same.
            if problem not in problems:
                problems.append(problem)
        return ()


def _whose(data: Any, path: tuple[int | str, ...]) -> str:
    """The conversation a path lies in, in brackets."""
    if len(path) < 2 or path[0] != "conversations":
        return ""
    name = data["conversations"][path[1]].get("id") if isinstance(data["conversations"][path[1]], dict) else None
    return f" (in {name})" if name else ""
