import pytest

from assistant.handbook.loading import Handbook
from assistant.language.names import NameIndex
from assistant.language.parsing import Parser


@pytest.fixture(scope="module")
def names(handbook: Handbook) -> NameIndex:
    return NameIndex(handbook)


@pytest.mark.parametrize(
    ("said", "id_"),
    [
        ("carnations", "carnation"),
        ("glads", "gladiolus"),
        ("gyp", "gypsophila"),
        ("baby's breath", "gypsophila"),
        ("babys breath", "gypsophila"),
        ("alstro", "alstroemeria"),
        ("lissies", "lisianthus"),
        ("daffs", "daffodil"),
        ("snap dragons", "snapdragon"),
        ("spray carns", "spray-carnation"),
        ("lilies of the valley", "lily-of-the-valley"),
        ("birds of paradise", "bird-of-paradise"),
        ("bunny tails", "bunny-tail"),
        ("hydrangea, dried", "dried-hydrangea"),
        ("gerberra", "gerbera"),
        ("hydranja", "hydrangea"),
        ("ranuculus", "ranunculus"),
    ],
)
def test_a_name_however_it_is_said(names: NameIndex, said: str, id_: str) -> None:
    (found,) = names.find(said)
    assert found.ids == (id_,)


def test_a_misspelling_is_marked_so_that_the_reply_can_say_it(names: NameIndex) -> None:
    (found,) = names.find("gerberra")
    assert found.how == "fuzzy"


@pytest.mark.parametrize("text", ["coronation street", "how long is the wait", "edelweiss", "milk", "the process"])
def test_other_words_do_not_become_flowers(names: NameIndex, text: str) -> None:
    assert names.find(text) == []


def test_a_shared_name_keeps_its_meanings(names: NameIndex) -> None:
    (found,) = names.find("ruscus")
    assert found.id is None
    assert {"large-leaved-ruscus", "italian-ruscus"} <= set(found.ids)


def test_a_first_word_borrows_the_last_of_the_next_name(names: NameIndex) -> None:
    assert [m.ids[0] for m in names.find("preserved or dried hydrangea")] == ["preserved-hydrangea", "dried-hydrangea"]


def test_the_rest_of_the_message_tells_a_shared_name_apart(parser: Parser) -> None:
    from datetime import date

    question = parser.parse("how do i get pollen off lilies - oriental ones", today=date(2026, 11, 25))
    assert [m.ids for m in question.mentions] == [("oriental-lily",)]


def test_every_name_of_every_material_finds_it(names: NameIndex, handbook: Handbook) -> None:
    """The property a user feels first: whatever an entry says it is called, asking for it finds the entry."""
    missed = []
    for material in handbook.materials.values():
        for name in (material.name, *(n.name for n in material.other_names)):
            found = names.find(name.lower())
            if not any(material.id in m.ids for m in found):
                missed.append((material.id, name))
    assert missed == []
