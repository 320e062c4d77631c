"""What is kept on disk: turns, conversations, settings, what was typed; damaged files cost as little as possible."""

from __future__ import annotations

import json
from datetime import datetime
from pathlib import Path

import pytest

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.language.question import Reading
from assistant.screens.export import answer_text, conversation_markdown, plain, record_markdown, write_new
from assistant.screens.keeping import keep_copy, save_markdown
from assistant.screens.names import Names
from assistant.screens.recall import MOST, Recall
from assistant.screens.records import Record, answer_from_json
from assistant.screens.replay import replayed
from assistant.screens.settings import Settings
from assistant.screens.transcripts import NotAConversation, Transcript, saved_conversations
from assistant.screens.whatifs import WhatIfs
from tests.screens.small import answers, life_answer, small_context

NOW = datetime.fromisoformat("2026-11-25T09:30:00")


def record(text: str = "how long?", degrees: float = 24) -> Record:
    return Record(text, life_answer(degrees, text), "2026-11-25")


@pytest.mark.parametrize("question", sorted(answers()))
def test_answers_survive_json(question: str) -> None:
    answer = answers()[question]
    assert answer_from_json(json.loads(json.dumps(answer.to_json()))).to_json() == answer.to_json()


def test_records_keep_their_what_ifs() -> None:
    reading = Reading(28.0, "degC", 28.0, 28.0, "28 °C")
    kept = record().with_change(life_answer(28), "display_temperature", reading)
    again = Record.from_json(json.loads(json.dumps(kept.to_json())))
    assert again.changes == kept.changes
    assert again.answer.figures[0].value == 4.0


def test_a_wheel_turned_on_is_one_change() -> None:
    first, second = Reading(25.0, "degC"), Reading(26.0, "degC")
    kept = record().with_change(life_answer(25), "display_temperature", first)
    assert len(kept.with_change(life_answer(26), "display_temperature", second, merge=True).changes) == 1
    assert len(kept.with_change(life_answer(26), "display_temperature", second).changes) == 2


def test_transcript_is_written_and_read_back(tmp_path: Path) -> None:
    transcript = Transcript(tmp_path / "c", NOW)
    assert not (tmp_path / "c").exists()  # nothing said, nothing kept
    for number in range(5):
        assert transcript.append(record(f"question {number}")) == number
    transcript.replace_last(record("question 4", 30))
    transcript.close()
    assert transcript.path is not None
    again = Transcript.reopen(transcript.path)
    assert [r.text for r in again] == [f"question {n}" for n in range(5)]
    assert again.read(4).answer.figures[0].value == 2.5
    again.append(record("one more"))
    assert len(again) == 6
    again.close()


def test_a_torn_last_line_is_dropped(tmp_path: Path) -> None:
    transcript = Transcript(tmp_path, NOW)
    transcript.append(record("kept"))
    transcript.close()
    assert transcript.path is not None
    with transcript.path.open("ab") as file:
        file.write(b'{"text": "half a li')
    again = Transcript.reopen(transcript.path)
    assert [r.text for r in again] == ["kept"]
    again.append(record("next"))
    assert [r.text for r in again] == ["kept", "next"]
    again.close()


def test_two_conversations_of_one_second_have_two_files(tmp_path: Path) -> None:
    both = [Transcript(tmp_path, NOW), Transcript(tmp_path, NOW)]
    for transcript in both:
        transcript.append(record())
        transcript.close()
    assert both[0].path != both[1].path


def test_where_nothing_can_be_written_the_conversation_goes_on(tmp_path: Path) -> None:
    blocked = tmp_path / "file"
    blocked.write_text("not a folder")
    transcript = Transcript(blocked / "inside", NOW)
    transcript.append(record("still here"))
    assert transcript.read(0).text == "still here"
    assert not transcript.kept
    transcript.close()


@pytest.mark.parametrize("content", [b"", b"hello\n", b'{"other": 1}\n', b"\xff\xfe\n"])
def test_other_files_are_no_conversations(tmp_path: Path, content: bytes) -> None:
    path = tmp_path / "x.jsonl"
    path.write_bytes(content)
    with pytest.raises(NotAConversation, match=r"x\.jsonl is not a saved conversation"):
        Transcript.reopen(path)
    assert saved_conversations(tmp_path) == []


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(NotAConversation, match="can't be opened"):
        Transcript.reopen(tmp_path / "none.jsonl")


def test_saved_conversations_newest_first(tmp_path: Path) -> None:
    for day, count in (("20", 1), ("23", 3)):
        transcript = Transcript(tmp_path, datetime.fromisoformat(f"2026-11-{day}T10:00:00"))
        for number in range(count):
            transcript.append(record(f"{day}: {number}"))
        transcript.close()
    assert [(s.first, s.turns) for s in saved_conversations(tmp_path)] == [("23: 0", 3), ("20: 0", 1)]


def test_markdown_holds_everything_and_interprets_nothing() -> None:
    names = Names(small_context())
    answer = answers()["is coast fern safe for cats?"]
    said = record_markdown(Record("*is* [1] <b>safe</b>?", answer, "2026-11-25"), names)
    assert r"\*is\* \[1\] \<b\>safe\</b\>?" in said
    assert "**Caution:** Keep it away from cats." in said
    assert r"trial\_one" in said
    plan = record_markdown(Record("plan", answers()["refresh plan"], "2026-11-25"), names)
    assert "on day 6, day 12" in plan
    whole = conversation_markdown([record("a"), record("b")], names, NOW)
    assert whole.startswith("# Conversation of 2026-11-25 09:30")
    assert whole.count("\n## ") == 2


def test_what_was_changed_is_in_the_markdown() -> None:
    changed = record().with_change(life_answer(28), "display_temperature", Reading(28.0, "degC", 28.0, 28.0, "28 °C"))
    assert "Then room set to 28 °C." in record_markdown(changed, Names())


def test_answer_as_text_names_cautions_and_sources() -> None:
    said = answer_text(answers()["is coast fern safe for cats?"], Names(small_context()))
    assert "CAUTION: Keep it away from cats." in said
    assert "Sources: trial_one" in said


def test_plain_text_is_left_alone() -> None:
    assert plain("roses at 24 °C, 5–8 days") == "roses at 24 °C, 5–8 days"


def test_exports_never_overwrite(tmp_path: Path) -> None:
    first, second = write_new(tmp_path / "e", "day", "one"), write_new(tmp_path / "e", "day", "two")
    assert first != second
    assert (first.read_text(), second.read_text()) == ("one", "two")


def test_recall_walks_back_and_forth_and_keeps_the_draft(tmp_path: Path) -> None:
    recall = Recall(tmp_path / "asked.txt")
    for line in ("one", "two", "two", "  three  "):
        recall.add(line)
    assert recall.back("draft") == "three"
    assert recall.back("three") == "two"
    assert recall.back("two") == "one"
    assert recall.back("one") is None
    assert [recall.forward() for _ in range(4)] == ["two", "three", "draft", None]
    assert Recall(tmp_path / "asked.txt").back("") == "three"


def test_recall_is_limited_and_needs_no_file(tmp_path: Path) -> None:
    recall = Recall(tmp_path / "asked.txt")
    for number in range(MOST + 20):
        recall.add(f"line {number}")
    assert len((tmp_path / "asked.txt").read_text().splitlines()) == MOST
    (tmp_path / "blocked").write_text("")
    lonely = Recall(tmp_path / "blocked" / "asked.txt")
    lonely.add("heard")
    assert lonely.back("") == "heard"


def test_settings_survive_and_damage_means_defaults(tmp_path: Path) -> None:
    assert Settings.read(tmp_path) == Settings()
    assert Settings("day", False).write(tmp_path)
    assert Settings.read(tmp_path) == Settings("day", False)
    for damage in ("{", "[]", '{"look": "pink", "motion": "?"}'):
        (tmp_path / "screens.json").write_text(damage)
        assert Settings.read(tmp_path) == Settings()
    (tmp_path / "blocked").write_text("")
    assert not Settings().write(tmp_path / "blocked")


def test_a_full_disk_costs_the_file_and_not_the_conversation(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    transcript = Transcript(tmp_path, NOW)
    transcript.append(record("one"))
    write, tries = Transcript._write, []

    def full(self: Transcript, file: object, data: object) -> None:
        tries.append(file)
        if len(tries) == 1:
            raise OSError(28, "No space left on device")
        write(self, file, data)  # type: ignore[arg-type]

    monkeypatch.setattr(Transcript, "_write", full)
    transcript.append(record("two"))
    transcript.replace_last(record("two, changed"))
    transcript.append(record("three"))
    assert [r.text for r in transcript] == ["one", "two, changed", "three"]
    assert not transcript.kept
    transcript.close()


def test_a_blocked_export_is_said_in_one_sentence(tmp_path: Path) -> None:
    (tmp_path / "exports").write_text("in the way")
    transcript = Transcript(tmp_path, NOW)
    transcript.append(record())
    for sentence, kept in (keep_copy(tmp_path, "text"), save_markdown(tmp_path, transcript, Names())):
        assert not kept
        assert "could not be" in sentence
    transcript.close()


def test_steps_on_one_chip_are_one_what_if() -> None:
    what_ifs = WhatIfs()
    assert [what_ifs.turned(slot) for slot in ("room", "room", "stands", "room")] == [False, True, False, False]
    what_ifs.let_go()
    assert not what_ifs.turned("room")
    assert [what_ifs.take_back() for _ in range(4)] == [1, 1, 1, 2]
    assert not what_ifs


@pytest.mark.parametrize(
    "damage",
    [
        '{"text": "hello"}',
        '{"text": "hello", "day": "x", "answer": []}',
        '{"text": "hello", "day": 1, "answer": {"question": 1}}',
    ],
)
def test_a_damaged_turn_says_so_and_the_others_stay(tmp_path: Path, damage: str) -> None:
    transcript = Transcript(tmp_path, NOW)
    transcript.append(record("good"))
    transcript.close()
    assert transcript.path is not None
    with transcript.path.open("a", encoding="utf-8") as file:
        file.write(damage + "\n")
    again = Transcript.reopen(transcript.path)
    again.append(record("after"))
    said = list(again)
    assert [r.text for r in said] == ["good", "hello", "after"]
    assert said[1].answer.reply == "This turn can't be read back from its file."
    again.close()


def test_replaying_remembers_dates_and_what_ifs_and_survives_a_turn_that_fails(
    real_context: Context, monkeypatch: pytest.MonkeyPatch
) -> None:
    turn = Conversation.turn

    def failing(self: Conversation, text: str) -> Answer:
        if text == "broken":
            raise KeyError(text)
        return turn(self, text)

    monkeypatch.setattr(Conversation, "turn", failing)
    said = Record("how long do roses last at 24 degrees?", life_answer(24), "2026-01-05")
    said = said.with_change(life_answer(27), "display_temperature", Reading(27.0, "degC", 27.0, 27.0, "27 °C"))
    conversation = replayed(real_context, [said, Record("broken", life_answer(24), "nonsense")])
    assert conversation.context is real_context
    assert conversation.memory.job["display_temperature"].number == 27
    assert conversation.turn("and in foam?").materials == ("rose",)
