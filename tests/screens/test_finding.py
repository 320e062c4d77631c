"""Completion, the list of the handbook, the page of an entry, the plots: what is found, in which order."""

from __future__ import annotations

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.passages import sources_of
from assistant.screens.catalogue import LIVES, SORTS, View, colour_names, narrowed, rows_of
from assistant.screens.completion import Vocabulary, names_to_complete
from assistant.screens.curves import life_plot, plot_of
from assistant.screens.facts import sections_of, sources_named
from tests.screens.small import answers, small_context


def test_the_longest_beginning_wins() -> None:
    vocabulary = Vocabulary(["rose", "spray rose", "ranunculus", "butterfly ranunculus", "ruscus"])
    assert vocabulary.complete("how long do butterfly r") == ["how long do butterfly ranunculus"]
    assert vocabulary.complete("compare ru") == ["compare ruscus"]
    assert vocabulary.complete("compare Ros") == ["compare Rose"]


def test_openings_of_questions_complete_too() -> None:
    vocabulary = Vocabulary(["hop", "how-long vine"])
    assert vocabulary.complete("how l")[0] == "how long do "


@pytest.mark.parametrize("typed", ["", " ", "zzz", "rose", "a  "])
def test_nothing_to_complete(typed: str) -> None:
    assert Vocabulary(["rose"]).complete(typed) == []


def test_real_names_complete(real_context: Context) -> None:
    vocabulary = Vocabulary(names_to_complete(real_context.handbook.materials.values()))
    assert any("lisianthus" in line for line in vocabulary.complete("how many bunches of lisi"))
    assert all(line.startswith("xyz li") for line in vocabulary.complete("xyz li"))


def test_narrowing_the_list() -> None:
    rows = rows_of(small_context())
    assert [r.id for r in narrowed(rows, View())] == ["anise-bell", "brook-reed", "coast-fern"]
    assert [r.id for r in narrowed(rows, View(text="shore"))] == ["coast-fern"]
    assert [r.id for r in narrowed(rows, View(kind="grass"))] == ["brook-reed"]
    assert [r.id for r in narrowed(rows, View(role="filler"))] == ["coast-fern"]
    assert [r.id for r in narrowed(rows, View(colour="plum"))] == ["anise-bell"]
    assert [r.id for r in narrowed(rows, View(life=LIVES[1]))] == ["anise-bell"]
    assert narrowed(rows, View(month=6)) == []
    assert len(narrowed(rows, View(month=11))) == 3
    assert [r.id for r in narrowed(rows, View(sort="longest life"))] == ["brook-reed", "coast-fern", "anise-bell"]
    assert [r.id for r in narrowed(rows, View(sort="shortest life"))] == ["anise-bell", "coast-fern", "brook-reed"]
    assert colour_names(rows) == ["moss", "plum", "sand", "white"]


def test_a_name_that_begins_with_the_words_comes_first(real_context: Context) -> None:
    found = narrowed(rows_of(real_context), View(text="rose"))
    assert found[0].name.startswith("rose")
    assert len(found) > 3


@pytest.mark.parametrize("sort", SORTS)
def test_sorting_loses_nobody(real_context: Context, sort: str) -> None:
    rows = rows_of(real_context)
    assert {r.id for r in narrowed(rows, View(sort=sort))} == set(real_context.handbook.materials)


def test_an_entry_page_says_everything_and_how_well_it_stands(real_context: Context) -> None:
    handbook = real_context.handbook
    for material in handbook.materials.values():
        facts = [fact for section in sections_of(material, handbook) for fact in section.facts]
        said = " ".join(f.text for f in facts)
        for statement in (*material.conditioning, *material.buying, *material.notes, *material.treatment):
            assert statement.text in said
        standing = " ".join(f.standing for f in facts)
        assert all(source in standing for source in sources_of(material)), material.id
        assert len(sources_named(sources_of(material), handbook)) == len(set(sources_of(material)))


def test_hazards_stand_near_the_top() -> None:
    context = small_context()
    sections = sections_of(context.material("coast-fern"), context.handbook)
    assert [s.title for s in sections[:2]] == ["what it is", "hazards"]
    assert sections[1].hazard
    assert "Stomach upset [see note 1]" in sections[1].facts[0].text


def test_life_falls_with_temperature(real_context: Context) -> None:
    plot = life_plot([real_context.material("rose"), real_context.material("carnation")], real_context, here=24)
    assert plot is not None
    assert [line.name for line in plot.lines] == ["rose", "carnation"]
    for line in plot.lines:
        days = [y for _, y in line.points]
        assert days == sorted(days, reverse=True)
        assert len(days) > 10


def test_the_curve_passes_through_the_figure(real_context: Context) -> None:
    conversation = Conversation(real_context)
    answer = conversation.turn("how long do roses last at 24 degrees?")
    plot = plot_of(answer, real_context, conversation.memory.wishes)
    assert plot is not None
    assert plot.here == 24
    assert dict(plot.lines[0].points)[24.0] == pytest.approx(answer.figures[0].value)


def test_water_falls_to_the_refill_line() -> None:
    plot = plot_of(answers()["how often top up?"], small_context())
    assert plot is not None
    assert plot.lines[0].points == ((0.0, 20.0), (4.0, 10.0))


def test_dry_material_has_no_curve(real_context: Context) -> None:
    dry = next(m for m in real_context.handbook.materials.values() if m.is_dry)
    assert life_plot([dry], real_context) is None


def test_plots_speak_the_units_of_the_question(real_context: Context) -> None:
    conversation = Conversation(real_context)
    answer = conversation.turn("how long do roses last at 75 F?")
    plot = plot_of(answer, real_context, conversation.memory.wishes, us=True)
    assert plot is not None
    assert plot.x_title == "°F"
    assert plot.here == pytest.approx(75, abs=0.1)
    water = plot_of(answers()["how often top up?"], small_context(), us=True)
    assert water is not None
    assert water.y_title == "in"
    assert water.lines[0].points[0][1] == pytest.approx(20 / 2.54)
