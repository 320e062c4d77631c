"""The question files: all of them load, and a mistake is named by file, line and conversation."""

from __future__ import annotations

from pathlib import Path

import pytest

from assistant.handbook.loading import load_handbook
from evals import oos, sets

GOOD = """\
conversations:
  - id: one
    persona: florist
    turns:
      - ask: "how long do roses last"
        outcome: answered
        task: longevity
        materials: [rose]
        figure: {kind: days_remaining, low: 5, high: 9, unit: d}
"""


def written(folder: Path, text: str, name: str = "theme.yaml") -> Path:
    (folder / name).write_text(text, encoding="utf-8")
    return folder


@pytest.mark.parametrize("name", sorted(sets.SETS))
def test_the_sets_load_and_name_only_materials_of_the_handbook(name: str) -> None:
    conversations = sets.load(sets.SETS[name])
    handbook = load_handbook()
    named = {m for c in conversations for t in c.turns for m in t.materials or ()}
    assert named
    assert named <= set(handbook.materials)


def test_no_question_stands_in_both_sets() -> None:
    seen = {turn.ask.casefold() for c in sets.load(sets.SETS["questions"]) if len(c.turns) == 1 for turn in c.turns}
    held = {turn.ask.casefold() for c in sets.load(sets.SETS["heldout"]) if len(c.turns) == 1 for turn in c.turns}
    assert not seen & held


def test_single_values_stand_for_lists(tmp_path: Path) -> None:
    (conversation,) = sets.load(written(tmp_path, GOOD))
    turn = conversation.turns[0]
    assert conversation.theme == "theme"
    assert (turn.outcome, turn.task, turn.materials) == (("answered",), ("longevity",), ("rose",))
    assert turn.in_scope
    assert not turn.out_of_scope


@pytest.mark.parametrize(
    ("old", "new", "line", "says"),
    [
        ("outcome: answered", "outcome: answerd", 6, "answered"),
        ("task: longevity", "task: lifetime", 7, "longevity"),
        ("low: 5, high: 9", "low: 9, high: 5", 9, "upside down"),
        ("materials:", "material:", 8, "is not a field here"),
        ("persona: florist", "persona: boss", 3, "trainer"),
        ("low: 5", "low: five", 9, "number"),
    ],
)
def test_a_mistake_names_file_line_and_conversation(tmp_path: Path, old: str, new: str, line: int, says: str) -> None:
    with pytest.raises(sets.SetError) as caught:
        sets.load(written(tmp_path, GOOD.replace(old, new)))
    assert len(caught.value.problems) == 1
    problem = caught.value.problems[0]
    assert problem.file.endswith("theme.yaml")
    assert problem.line == line
    assert says in problem.message
    assert "(in one)" in problem.message


def test_an_id_may_stand_only_once(tmp_path: Path) -> None:
    written(tmp_path, GOOD)
    with pytest.raises(sets.SetError, match=r"theme\.yaml:2:5: .*'one' also stands in other\.yaml") as caught:
        sets.load(written(tmp_path, GOOD, "other.yaml"))
    assert len(caught.value.problems) == 1


def test_an_unknown_theme_is_answered_with_the_known_ones(tmp_path: Path) -> None:
    with pytest.raises(sets.SetError, match="there is no theme tea; there are: theme"):
        sets.load(written(tmp_path, GOOD), ["tea"])


def test_passages_and_materials_that_are_not_in_the_handbook_are_named(tmp_path: Path) -> None:
    text = GOOD.replace("[rose]", "[rose, unicorn]") + "        relevant: [rose/life, rose/wings, safety]\n"
    said = sets.unknown_ids(sets.load(written(tmp_path, text)), load_handbook(), ["rose/life"])
    assert said == [
        "theme.yaml: one turn 1: there is no material 'unicorn'",
        "theme.yaml: one turn 1: there is no passage 'rose/wings'",
    ]


def test_the_out_of_scope_file_is_one_message_a_line(tmp_path: Path) -> None:
    path = tmp_path / "far.txt"
    path.write_text("what is the capital of france\n\nplay a song\n", encoding="utf-8")
    loaded = oos.load(path)
    assert [c.turns[0].ask for c in loaded] == ["what is the capital of france", "play a song"]
    assert all(c.turns[0].out_of_scope for c in loaded)
    assert oos.load(tmp_path / "absent.txt") == ()
    assert len(oos.load()) == 480
