"""Sets in plain words, and which chat messages ask for a quiz."""

from __future__ import annotations

import pytest

from assistant.drill.items import Bank
from assistant.drill.sets import EVERYTHING, SetDescription, describe_set, start_from_chat


def described(bank: Bank, text: str, lists: dict[str, tuple[str, ...]] | None = None) -> SetDescription:
    return describe_set(text, bank.context.handbook, bank.known.names, lists)


def templates(bank: Bank, description: SetDescription) -> set[str]:
    return {b.template for b in bank if description.matches(b)}


@pytest.mark.parametrize(
    ("text", "holds", "lacks"),
    [
        ("storage temperatures", "storage-temperature", "storage-days"),
        ("ethylene", "ethylene", "life"),
        ("latin names", "botanical", "known-as"),
        ("what is poisonous to cats", "harmful-cats", "harmful-dogs"),
        ("bunches", "figure-bunches", "figure-dose"),
        ("the steps", "steps", "why"),
        ("vase life", "life", "shelf-life"),
        ("spot the mistake", "mistake", "life"),
        ("rules", "why", "life"),
        ("safety", "why", "life"),
    ],
)
def test_a_topic_is_known_by_its_words(bank: Bank, text: str, holds: str, lacks: str) -> None:
    found = templates(bank, described(bank, text))
    assert holds in found
    assert lacks not in found
    assert described(bank, text).unknown == ""


def test_kind_and_level_narrow(bank: Bank) -> None:
    description = described(bank, "foliage, level 1")
    chosen = [b for b in bank if description.matches(b)]
    assert chosen
    assert {b.kind for b in chosen} == {"foliage"}
    assert {b.level for b in chosen} == {1}


def test_dried_means_the_material_and_the_rules(bank: Bank) -> None:
    description = described(bank, "dried")
    chosen = [b for b in bank if description.matches(b)]
    assert {b.kind for b in chosen} == {"dried", "rule"}


def test_materials_by_any_name(bank: Bank) -> None:
    assert described(bank, "roses, lissies and baby's breath").entries == {"rose", "lisianthus", "gypsophila"}


def test_a_trainers_list(bank: Bank) -> None:
    found = described(bank, "monday list", {"Monday": ("rose", "iris")})
    assert found.entries == {"rose", "iris"}
    assert found.unknown == ""


def test_the_shops_own(bank: Bank) -> None:
    found = described(bank, "our own materials")
    rose = bank.blueprints["life:rose:number"]
    assert found.own
    assert found.matches(rose, frozenset({"rose"}))
    assert not found.matches(rose)


def test_what_names_nothing_is_handed_back(bank: Bank) -> None:
    assert described(bank, "quantum physics").unknown == "quantum physics"


@pytest.mark.parametrize(
    "text",
    [
        "quiz me on storage temperatures",
        "Can you test me on storage temperatures please?",
        "give us a quick quiz about storage temperatures",
        "drill the team on storage temperatures",
        "ask me 10 questions about storage temperatures",
        "a quiz on storage temperatures",
    ],
)
def test_a_chat_message_starts_the_set(bank: Bank, text: str) -> None:
    found = start_from_chat(text, bank.context.handbook, bank.known.names)
    assert found is not None
    assert "storage-temperature" in found.templates
    assert found.words == "storage temperatures"


@pytest.mark.parametrize("text", ["quiz me", "quiz", "let's do a quiz", "another quiz please", "test us!"])
def test_a_bare_request_means_everything(bank: Bank, text: str) -> None:
    assert start_from_chat(text, bank.context.handbook, bank.known.names) == EVERYTHING


@pytest.mark.parametrize(
    "text",
    [
        "how long do roses last",
        "how do I test the water?",
        "test the foam for water",
        "what is a drill bit",
        "at what temperature are roses stored",
        "run a small vase test",
        "quiz" * 100,
        "",
    ],
)
def test_other_messages_do_not(bank: Bank, text: str) -> None:
    assert start_from_chat(text, bank.context.handbook, bank.known.names) is None
