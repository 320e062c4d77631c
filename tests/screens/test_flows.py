"""Every flow as a person goes through it, on the scripted conversation: keys, mouse, what stands on the screen."""

from __future__ import annotations

import asyncio
import threading
from pathlib import Path

import pytest
from textual.events import MouseScrollDown, MouseScrollUp
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from assistant.dialogue.context import Context
from assistant.handbook.documents import Problem
from assistant.handbook.loading import HandbookError
from assistant.screens.app import BucketsideApp
from assistant.screens.browse import BrowsePage
from assistant.screens.chips import Chip
from assistant.screens.entry import EntryPage
from assistant.screens.help import HelpPage
from assistant.screens.job_bar import JobChip
from assistant.screens.loading import MeaningLoaded, MeaningProgress
from assistant.screens.passages_panel import PassageItem, PassagesPanel
from assistant.screens.replies import Replies
from assistant.screens.saved import SavedPage
from assistant.screens.status import MEANING_OFF, READING, StatusLine
from assistant.screens.turn import TurnView, split_reply
from tests.screens.conftest import MakeApp, ask, ready
from tests.screens.small import answers, small_context

LIFE = "how long do anise bells last at 24?"


def words(app: BucketsideApp, selector: str) -> list[str]:
    """The plain text of each widget that fits."""
    return [str(widget.visual) for widget in app.screen.query(selector).results(Static)]


def last(app: BucketsideApp) -> TurnView:
    return app.bench.turns.views[-1]


def chip(app: BucketsideApp, slot: str) -> Chip:
    return next(c for c in app.screen.query(Chip) if c.knob.slot == slot)


async def settle(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.pause()


# --- asking -------------------------------------------------------------------------------------------------


async def test_a_question_gets_its_figure_chips_passages_and_replies(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await pilot.press(*"how long do anise bells last at 24", "question_mark", "enter")
        await settle(pilot)
        view = last(app)
        assert view.record.text == LIFE
        card = words(app, ".card.large")[0]
        assert "anise bell" in card
        assert "between 5 and 9" in card
        assert "█████▓▓░░" in card
        assert [c.knob.slot for c in app.screen.query(Chip)] == ["display_temperature", "support", "display_days"]
        assert [item.passage.id for item in app.screen.query(PassageItem)] == [
            "anise-bell/life",
            "buckets/clean-buckets",
        ]
        assert [o.line for o in app.screen.query_one(Replies).offers] == ["and in foam?", "why?"]
        assert [j.slot for j in app.screen.query(JobChip)] == ["display_temperature", "audience"]
        assert app.bench.prompt.value == ""


async def test_the_question_stands_in_sight_with_its_figure_at_the_default_size(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        for question in (LIFE, "compare them", LIFE):
            await ask(pilot, question)
        view, turns = last(app), app.bench.turns
        for selector in (".question", ".card", ".chip"):
            region = view.query(selector).first().region
            assert turns.region.contains_region(region), selector


async def test_markup_and_escapes_are_shown_not_obeyed(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "is [1] [bold red]safe[/] \x1b[31mnow\x07?")
        assert words(app, ".question")[-1] == "› is [1] [bold red]safe[/] now?"
        assert words(app, ".reply")[-1] == "Heard: is [1] [bold red]safe[/] now?"
        await ask(pilot, "is coast fern safe for cats?")
        assert "[1]" in words(app, ".lead")[-1]
        app.screen.query(PassageItem).first().action_open_close()
        assert "[see note 1]" in words(app, ".passage")[0]


async def test_pasted_lines_become_one_clean_question(scripted: MakeApp) -> None:
    from textual.events import Paste

    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        app.bench.prompt.post_message(Paste("how long\nwill it\x1b[2J last"))
        await settle(pilot)
        assert app.bench.prompt.value == "how long will it last"


async def test_a_caution_is_labelled_boxed_and_announced(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "is coast fern safe for cats?")
        box = last(app).query_one(".caution", Static)
        assert str(box.border_title) == "CAUTION  2 things"
        assert box.styles.border_top[0] == "heavy"
        assert "▲\u00a0CAUTION\u00a0×2" in words(app, ".question")[-1]  # never broken over two lines
        order = [w.region.y for w in (box, last(app).query_one(".card"))]
        assert order == sorted(order)  # asked about a hazard, the caution comes before the figure


async def test_an_answer_asked_back_offers_its_choices_on_digits(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "which bell?")
        assert words(app, ".reply")[-1].startswith("question back")
        await pilot.press("2")
        assert app.bench.prompt.value == "brook reed"
        await pilot.press("enter")
        await settle(pilot)
        assert last(app).record.text == "brook reed"


async def test_a_digit_goes_on_to_be_a_number(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("1", "4", "0", "space", "s")
        assert app.bench.prompt.value == "140 s"
        await pilot.press("escape", "1")
        assert app.bench.prompt.value == "and in foam?"
        await pilot.press("backspace")
        assert app.bench.prompt.value == ""
        await pilot.press("9")  # no ninth reply: just a nine
        assert app.bench.prompt.value == "9"


async def test_a_reply_can_be_clicked(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.click(Replies, offset=(app.screen.query_one(Replies).places[1][1] + 4, 0))
        await settle(pilot)
        assert last(app).record.text == "why?"


async def test_what_cannot_be_worked_out_does_not_end_the_conversation(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "break")
        assert "could not work that out (KeyError)" in words(app, ".reply")[-1]
        await ask(pilot, LIFE)
        assert last(app).live


def test_the_first_sentence_is_the_lead() -> None:
    assert split_reply("About 7 days (5.5 to 8) at 24 °C. Assumed: water.") == (
        "About 7 days (5.5 to 8) at 24 °C.",
        "Assumed: water.",
    )
    assert split_reply("One sentence.") == ("One sentence.", "")


# --- history and completion ---------------------------------------------------------------------------------


async def test_arrows_walk_through_what_was_typed(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "first")
        await ask(pilot, "second")
        await pilot.press("d", "r", "up", "up")
        assert app.bench.prompt.value == "first"
        await pilot.press("down", "down")
        assert app.bench.prompt.value == "dr"


async def test_tab_completes_a_material(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press(*"compare coa")
        await settle(pilot)
        assert words(app, "#replies")[0].split() == ["Tab", "coast", "fern"]
        await pilot.press("tab")
        assert app.bench.prompt.value == "compare coast fern"
        assert app.focused is app.bench.prompt


async def test_a_completion_can_be_clicked(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press(*"bro")
        await settle(pilot)
        offers = app.screen.query_one(Replies)
        row, first, _ = offers.places[0]
        await pilot.click(Replies, offset=(first + offers.gutter.left, row))
        assert app.bench.prompt.value == "brook reed"


# --- chips --------------------------------------------------------------------------------------------------


async def test_arrows_turn_a_chip_and_the_figure_follows(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab")
        assert app.focused is chip(app, "display_temperature")
        await pilot.press("up", "up", "up", "up")
        await settle(pilot)
        assert chip(app, "display_temperature").knob.value == 28
        assert last(app).record.answer.figures[0].value == 4
        assert "what if: room 28 °C   was 7 days (5 to 9)" in words(app, ".lead")[-1]
        assert len(app.bench.turns.views) == 1  # changed in place, not asked again
        assert app.focused is chip(app, "display_temperature")
        assert "28" in str(app.screen.query(JobChip).first().visual)


async def test_undo_takes_the_whole_turn_of_the_wheel_back(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab", "up", "up", "up", "right", "down")
        await settle(pilot)
        assert chip(app, "support").knob.value == "vase-food"  # the scripted answer always says so
        await pilot.press("ctrl+z", "ctrl+z")
        await settle(pilot)
        assert last(app).record.answer.figures[0].value == 7
        assert last(app).record.changes == ()
        assert "what if" not in words(app, ".lead")[-1]


async def test_undo_with_nothing_turned_is_asked_in_words(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert last(app).record.text == "undo"


async def test_typing_a_value_sets_it_on_enter(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab", "2", "0")
        assert chip(app, "display_temperature").typing
        assert chip(app, "display_temperature").knob.value == 24
        await pilot.press("enter")
        await settle(pilot)
        assert last(app).record.answer.figures[0].value == 10
        await pilot.press("9", "backspace", "2", "2", "escape")
        assert not chip(app, "display_temperature").typing
        assert app.focused is chip(app, "display_temperature")
        assert chip(app, "display_temperature").knob.value == 20


async def test_minus_is_a_step_and_after_enter_a_sign(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab", "minus")
        await settle(pilot)
        assert chip(app, "display_temperature").knob.value == 23
        await pilot.press("enter", "minus", "2", "enter")
        await settle(pilot)
        assert chip(app, "display_temperature").knob.value == -2


async def test_what_cannot_be_is_refused_and_nothing_changes(scripted: MakeApp) -> None:
    async with scripted().run_test(notifications=True) as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab", "5", "5", "enter")
        await settle(pilot)
        assert last(app).record.answer.figures[0].value == 7
        assert [n.message for n in app._notifications] == ["No room is that hot."]
        await pilot.press("right", "p", "q", "enter")
        await settle(pilot)
        assert "“pq” does not fit" in [n.message for n in app._notifications][-1]


async def test_the_wheel_turns_only_the_chip_with_the_focus(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)

        async def wheel(kind: type[MouseScrollUp] | type[MouseScrollDown]) -> None:
            here = chip(app, "display_temperature")
            here.post_message(kind(here, 3, 0, 0, 0, 0, False, False, False))
            await settle(pilot)

        await wheel(MouseScrollUp)
        assert chip(app, "display_temperature").knob.value == 24
        chip(app, "display_temperature").focus()
        await settle(pilot)
        await wheel(MouseScrollUp)
        assert chip(app, "display_temperature").knob.value == 25
        await wheel(MouseScrollDown)
        await wheel(MouseScrollDown)
        assert chip(app, "display_temperature").knob.value == 23


async def test_a_tap_on_minus_and_plus(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        room = chip(app, "display_temperature")
        await pilot.click(room, offset=(1, 0))
        await settle(pilot)
        assert chip(app, "display_temperature").knob.value == 23
        line = str(chip(app, "display_temperature").render())
        await pilot.click(chip(app, "display_temperature"), offset=(1 + line.index("▶"), 0))
        await settle(pilot)
        assert chip(app, "display_temperature").knob.value == 24


async def test_a_chip_says_its_origin_and_shows_the_focus_without_colour(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        room = chip(app, "display_temperature")
        assert str(room.render()) == "− room 24 °C +  you said"
        room.focus()
        await settle(pilot)
        assert str(room.render()) == "◀ room 24 °C ▶  you said"


async def test_only_the_newest_figure_has_chips(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await ask(pilot, "how many bunches?")
        assert [v.live for v in app.bench.turns.views] == [False, True]
        assert len(app.screen.query(".chip-bar")) == 1
        await ask(pilot, "what is the weather?")  # no figure: the chips stay where they were
        assert [v.live for v in app.bench.turns.views] == [False, True, False]


# --- job ----------------------------------------------------------------------------------------------------


async def test_the_job_is_dropped_slot_by_slot(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        assert words(app, ".job-chip") == ["room 24 °C ✕", "near cats ✕"]
        app.screen.query(JobChip).first().focus()
        await pilot.press("delete")
        await settle(pilot)
        assert words(app, ".job-chip") == ["near cats ✕"]
        await pilot.click(app.screen.query(JobChip).first())
        await settle(pilot)
        assert words(app, ".job-chip") == []
        assert words(app, ".job-head") == ["Bucketside   no job remembered yet"]
        assert app.focused is app.bench.prompt


# --- passages, entries, browsing ----------------------------------------------------------------------------


async def test_passages_are_titles_below_and_open_beside(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        turns, panel = app.bench.turns, app.screen.query_one(PassagesPanel)
        assert panel.region.y >= turns.region.bottom
        assert [item.is_open for item in app.screen.query(PassageItem)] == [False, False]
        await pilot.resize_terminal(140, 40)
        await settle(pilot)
        assert panel.region.x >= turns.region.right
        assert [item.is_open for item in app.screen.query(PassageItem)] == [True, True]
        assert "sources: trial_one" in words(app, ".passage")[0]


async def test_f3_enter_and_o(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("f3", "enter")
        assert app.screen.query(PassageItem).first().is_open
        await pilot.press("down", "o")
        await settle(pilot)
        assert isinstance(app.screen, EntryPage)
        assert "Rinse again" in words(app, ".page-text")[0]
        assert " CAUTION  Wear gloves." in words(app, ".page-text")[0]
        await pilot.press("escape", "f3")
        await settle(pilot)
        assert app.focused is app.bench.prompt


async def test_f5_opens_the_entry_and_a_asks_about_it(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "is coast fern safe for cats?")
        await pilot.press("f5")
        await settle(pilot)
        page = app.screen
        assert isinstance(page, EntryPage)
        assert str(page.query_one(".caution", Static).border_title) == "HAZARDS"
        said = "\n".join(words(app, "#page Static"))
        assert "Stomach upset [see note 1]" in said
        assert "[published: trial_one]" in said
        assert "A trial of made-up flowers." in said
        await pilot.press("a")
        await settle(pilot)
        assert app.bench.prompt.value == "coast fern "
        assert app.focused is app.bench.prompt


async def test_browse_searches_narrows_sorts_and_opens(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await pilot.press("slash")
        await settle(pilot)
        assert isinstance(app.screen, BrowsePage)
        listing = app.screen.query_one(OptionList)

        def ids() -> list[str | None]:
            return [listing.get_option_at_index(n).id for n in range(listing.option_count)]

        assert ids() == ["anise-bell", "brook-reed", "coast-fern"]
        await pilot.press(*"shore")
        await settle(pilot)
        assert ids() == ["coast-fern"]
        await pilot.press(*["backspace"] * 5, "tab", *"gra", "enter")
        await settle(pilot)
        assert ids() == ["brook-reed"]
        await pilot.press(*"any", "enter", "left", "up")
        await settle(pilot)
        assert ids() == ["brook-reed", "coast-fern", "anise-bell"]  # sorted by the longest life
        listing.focus()
        await pilot.press("down", "enter")
        await settle(pilot)
        assert isinstance(app.screen, EntryPage)
        assert app.screen.entry == "coast-fern"
        await pilot.press("escape", "escape")
        await settle(pilot)
        assert app.screen is app.bench


async def test_enter_in_the_search_opens_the_first(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("f2", *"brook", "enter")
        await settle(pilot)
        assert isinstance(app.screen, EntryPage)
        await pilot.press("a")
        await settle(pilot)
        assert app.bench.prompt.value == "brook reed "


async def test_plot_comes_follows_and_goes(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(100, 40)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "how often top up?")
        await pilot.press("f4")
        await settle(pilot)
        assert "water level over the days" in words(app, ".plot")[0]
        await pilot.press("f4")
        await settle(pilot)
        assert words(app, ".plot") == []


# --- keeping ------------------------------------------------------------------------------------------------


async def test_copy_to_clipboard_and_file(scripted: MakeApp, tmp_path: Path) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "is coast fern safe for cats?")
        await pilot.press("ctrl+y")
        await settle(pilot)
        assert "CAUTION: Keep it away from cats." in app.clipboard
        assert (tmp_path / "exports" / "last-copied.txt").read_text() == app.clipboard


async def test_an_earlier_answer_is_looked_at_and_copied(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await ask(pilot, "what is the weather?")
        await pilot.press("f7", "ctrl+y")
        await settle(pilot)
        assert app.bench.turns.views[0].has_class("-chosen")
        assert "Anise bells: about 7 days" in app.clipboard
        assert app.screen.query_one(PassagesPanel).display
        await pilot.press("escape")
        await settle(pilot)
        assert not app.bench.turns.views[0].has_class("-chosen")
        assert not app.screen.query_one(PassagesPanel).display


async def test_save_as_markdown(scripted: MakeApp, tmp_path: Path) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("ctrl+s")
        assert not (tmp_path / "exports").exists()
        await ask(pilot, LIFE)
        await pilot.press("tab", "up", "ctrl+s")
        await settle(pilot)
        text = (tmp_path / "exports" / "2026-11-25-0930.md").read_text()
        assert "Then room set to 25 °C." in text
        assert "2026-11-25-0930.md" in [n.message for n in app._notifications][-1]


async def test_new_and_reopened_conversation(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await pilot.press("tab", "up", "up")
        await ask(pilot, "what is the weather?")
        await pilot.press("ctrl+n")
        await settle(pilot)
        assert app.bench.turns.views == ()
        assert words(app, ".job-chip") == []
        await pilot.press("ctrl+o")
        await settle(pilot)
        assert isinstance(app.screen, SavedPage)
        await pilot.press("enter")
        await ready(pilot)
        assert app.screen is app.bench
        assert [v.record.text for v in app.bench.turns.views] == [LIFE, "what is the weather?"]
        assert "what if: room 26 °C" in words(app, ".lead")[0]


async def test_start_with_a_saved_conversation_and_go_on(real: MakeApp, tmp_path: Path) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "how long do roses last at 24 degrees?")
        path = app.bench.turns.transcript
        assert path is not None
        saved = path.path
    async with real(reopen=saved).run_test() as pilot:
        app = await ready(pilot)
        await ready(pilot)
        assert app.bench.conversation is not None
        assert app.bench.turns.live is not None
        await ask(pilot, "and at 28?")
        assert last(app).record.answer.materials == ("rose",)
        assert last(app).record.answer.figures[0].value < app.bench.turns.views[0].record.answer.figures[0].value


async def test_a_file_that_is_no_conversation_is_said(scripted: MakeApp, tmp_path: Path) -> None:
    wrong = tmp_path / "notes.jsonl"
    wrong.write_text("shopping\n")
    async with scripted(reopen=wrong).run_test(notifications=True) as pilot:
        app = await ready(pilot)
        assert [n.message for n in app._notifications] == ["notes.jsonl is not a saved conversation."]
        await ask(pilot, LIFE)
        assert wrong.read_text() == "shopping\n"
        assert len(app.bench.turns.views) == 1


# --- start and end ------------------------------------------------------------------------------------------


async def test_a_question_asked_too_early_waits_in_sight(scripted: MakeApp) -> None:
    go = threading.Event()

    def slow() -> Context:
        assert go.wait(30)
        return small_context()

    async with scripted(slow).run_test() as pilot:
        app = pilot.app
        assert isinstance(app, BucketsideApp)
        await settle(pilot)
        assert app.screen.query_one(StatusLine).state == READING
        await ask(pilot, LIFE)
        assert words(app, ".waiting") == [f"› {LIFE}\n… waiting for the handbook"]
        await pilot.press("f1")
        await settle(pilot)
        assert isinstance(app.screen, HelpPage)  # everything else goes on meanwhile
        await pilot.press("escape")
        go.set()
        await ready(pilot)
        await settle(pilot)
        assert words(app, ".waiting") == []
        assert last(app).record.text == LIFE
        assert app.screen.query_one(StatusLine).state == MEANING_OFF


async def test_a_broken_handbook_is_said_with_file_and_line(scripted: MakeApp) -> None:
    def broken() -> Context:
        raise HandbookError([Problem("materials/rose.yaml", 7, 3, "vase_life", "is upside down [5]")])

    async with scripted(broken).run_test() as pilot:
        app = await ready(pilot)
        said = words(app, "#welcome")[0]
        assert "materials/rose.yaml" in said
        assert "is upside down [5]" in said
        await ask(pilot, LIFE)
        assert app.bench.turns.views == ()


async def test_a_broken_installation_is_said_too(scripted: MakeApp) -> None:
    def broken() -> Context:
        raise ImportError("no such library")

    async with scripted(broken).run_test() as pilot:
        app = await ready(pilot)
        assert "ImportError: no such library" in words(app, "#welcome")[0]


@pytest.mark.parametrize("key", ["ctrl+q", "ctrl+c"])
async def test_quitting_does_not_wait_for_loading(scripted: MakeApp, key: str) -> None:
    hold = threading.Event()

    def slow() -> Context:
        hold.wait(30)
        return small_context()

    app = scripted(slow)
    async with app.run_test() as pilot:
        await settle(pilot)
        loader = app.bench.loader
        await pilot.press(key)
    assert loader is not None
    assert loader.is_alive()  # it was still loading when the app had ended
    assert app.return_code == 0
    hold.set()
    await asyncio.to_thread(loader.join)


async def test_look_is_switched_and_remembered(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        assert app.theme == "night-bench"
        await pilot.press("ctrl+t")
        assert app.theme == "day-bench"
    assert scripted().theme == "day-bench"


async def test_movement_is_switched_and_remembered(scripted: MakeApp, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("BUCKETSIDE_MOTION")
    app = scripted()
    assert app.animation_level != "none"
    app.settings.motion = False
    app.settings.write(app.folder)
    assert scripted().animation_level == "none"


async def test_help_by_question_mark_and_by_palette(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("question_mark")
        await settle(pilot)
        assert isinstance(app.screen, HelpPage)
        assert "Ctrl+Z" in words(app, ".page-text")[0]
        await pilot.press("escape")
        await pilot.press("a", "question_mark")  # in a question it is a question mark
        assert app.bench.prompt.value == "a?"
        commands = {command.title: command for command in app.get_system_commands(app.screen)}
        commands["Help"].callback()
        await settle(pilot)
        assert isinstance(app.screen, HelpPage)


async def test_the_palette_finds_entries_and_past_questions(scripted: MakeApp) -> None:
    from assistant.screens.palette import FindProvider

    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        provider = FindProvider(app.screen)
        hits = [hit async for hit in provider.search("coast")]
        assert [hit.text for hit in hits if hasattr(hit, "text")] == ["coast fern"]
        questions = [hit async for hit in provider.search("anise bells last")]
        assert [getattr(hit, "text", None) for hit in questions] == [LIFE]
        assert len([hit async for hit in provider.discover()]) == 1


async def test_escape_backs_out_to_the_prompt(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        for keys in (("tab",), ("f3",), ("shift+tab",)):
            await pilot.press(*keys)
            assert app.focused is not app.bench.prompt
            await pilot.press("escape")
            assert app.focused is app.bench.prompt
        await pilot.press("x", "escape")
        assert app.bench.prompt.value == ""


async def test_everything_can_be_reached_by_tab(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        reached: set[str] = set()
        for _ in range(20):
            await pilot.press("tab")
            assert app.focused is not None
            reached.add(type(app.focused).__name__)
        assert reached == {"Chip", "PassageItem", "JobChip", "Prompt"}


# --- long conversations -------------------------------------------------------------------------------------


async def test_the_window_holds_twenty_turns_and_gives_more_on_demand(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        for number in range(70):
            app.bench.ask(f"turn {number}")
        await settle(pilot)
        turns = app.bench.turns
        assert [v.number for v in turns.views] == list(range(50, 70))
        assert words(app, "#earlier") == ["▲ earlier: 50 more"]
        turns.show_earlier()
        await settle(pilot)
        assert [v.number for v in turns.views] == list(range(30, 70))
        turns.show_earlier()
        turns.show_earlier()
        await settle(pilot)
        assert [v.number for v in turns.views] == list(range(60))  # sixty at most: the newest made room
        assert words(app, "#later") == ["▼ later: 10 more"]
        await ask(pilot, LIFE)
        assert turns.views[-1].number == 70
        assert len(turns.views) <= 20
        assert len(app.screen.query(TurnView)) <= 20


async def test_paging_up_at_the_top_brings_earlier_turns(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        for number in range(30):
            app.bench.ask(f"turn {number}")
        await settle(pilot)
        turns = app.bench.turns
        assert turns.views[0].number == 10
        for _ in range(30):  # more pages than twenty short turns have
            await pilot.press("pageup")
            if turns.views[0].number == 0:
                break
        assert turns.views[0].number == 0


async def test_the_real_dialogue_from_question_to_what_if(real: MakeApp) -> None:
    async with real().run_test(size=(100, 40)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "how long do roses last at 24 degrees?")
        before = last(app).record.answer.figures[0].value
        await pilot.press("tab", "up", "up")
        await settle(pilot)
        assert last(app).record.answer.figures[0].value < before
        await pilot.press("f4")
        await settle(pilot)
        assert "life against temperature" in words(app, ".plot")[0]
        assert "at 26" in words(app, ".plot")[0]
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert last(app).record.answer.figures[0].value == before
        assert "at 24" in words(app, ".plot")[0]


@pytest.mark.parametrize("size", [(80, 24), (140, 40)])
async def test_without_colour_everything_is_still_said(
    scripted: MakeApp, monkeypatch: pytest.MonkeyPatch, size: tuple[int, int]
) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with scripted().run_test(size=size) as pilot:
        app = await ready(pilot)
        assert app.no_color
        await ask(pilot, "is coast fern safe for cats?")
        svg = app.export_screenshot().replace("&#160;", " ")
        assert "CAUTION  2 things" in svg
        assert "┏" in svg
        drawn_around_it = {"#ff5f57", "#febc2e", "#28c840", "#c5c8c6"}  # the window of the screenshot
        colours = _hex_colours(svg) - drawn_around_it
        assert colours
        assert all(c[1:3] == c[3:5] == c[5:7] for c in colours)


def _hex_colours(svg: str) -> set[str]:
    import re

    return set(re.findall(r"fill: (#[0-9a-f]{6})", svg)) | set(re.findall(r'rect fill="(#[0-9a-f]{6})"', svg))


@pytest.mark.parametrize("size", [(20, 6), (40, 12), (200, 60)])
async def test_any_size_holds_every_answer(scripted: MakeApp, size: tuple[int, int]) -> None:
    async with scripted().run_test(size=size) as pilot:
        app = await ready(pilot)
        for question in answers():
            await ask(pilot, question)
            await pilot.press("f4")
        await pilot.press("f2")
        await settle(pilot)
        await pilot.press("escape", "f1")
        await settle(pilot)
        await pilot.press("escape")
        assert app.bench.prompt.region.height >= 1
        assert app.screen.region.contains_region(app.bench.prompt.region)


async def test_the_palette_opens_an_entry_by_name(scripted: MakeApp) -> None:
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("ctrl+p")
        await settle(pilot)
        await pilot.press(*"coast")
        for _ in range(50):  # the palette searches in a task of its own
            await pilot.pause()
            if app.screen.query_one(OptionList).option_count:
                break
        await pilot.press("enter")
        await settle(pilot)
        assert isinstance(app.screen, EntryPage)


async def test_a_conversation_that_cannot_be_kept_says_so_once(scripted: MakeApp, tmp_path: Path) -> None:
    (tmp_path / "conversations").write_text("in the way")
    async with scripted().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, LIFE)
        await ask(pilot, "why?")
        assert [n.message for n in app._notifications] == [
            f"This conversation is not kept: {tmp_path} can't be written."
        ]


async def test_the_status_line_says_how_searching_stands(scripted: MakeApp) -> None:
    async with scripted().run_test(size=(140, 40)) as pilot:
        app = await ready(pilot)
        status = app.screen.query_one(StatusLine)
        app.bench.post_message(MeaningProgress(40))
        await settle(pilot)
        assert "search by meaning: loading 40 %" in str(status.visual)
        app.bench.post_message(MeaningLoaded(True))
        await settle(pilot)
        assert str(status.visual).startswith("3 materials, search by meaning: ready")
        await pilot.resize_terminal(80, 24)
        await settle(pilot)
        assert str(status.visual).startswith("search by meaning: ready")
        assert str(status.visual).endswith("^Q quit")
