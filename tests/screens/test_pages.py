"""Quiz, stock and plan as a person goes through them: opened from the chat and by key, odd input, what is on disk."""

from __future__ import annotations

import asyncio
import threading
from datetime import date
from pathlib import Path

import pytest
from textual.events import Paste
from textual.pilot import Pilot
from textual.widgets import OptionList, Static

from assistant.dialogue.answer import Answer
from assistant.dialogue.context import Context
from assistant.drill.sets import SetDescription
from assistant.drill.store import Store
from assistant.handbook.loading import load_handbook
from assistant.screens.app import BucketsideApp
from assistant.screens.errands import PlanWanted, errand_of
from assistant.screens.line import LineInput
from assistant.screens.plan_page import PlanPage
from assistant.screens.quiz_page import QuizPage
from assistant.screens.replay import replayed
from assistant.screens.replies import Replies
from assistant.screens.shelf import lots_there
from assistant.screens.stock_page import StockPage
from assistant.screens.turn import TurnView
from assistant.stock.folder import stock_file
from tests.screens.conftest import NOW, MakeApp, ask, ready

RECIPE = "14 lisianthus, 2 bunches of salal; sixteen days at 22 °C; install Monday 7 December"


def text_of(app: BucketsideApp, selector: str) -> str:
    return str(app.screen.query_one(selector, Static).visual)


def on_the_bench(app: BucketsideApp) -> bool:
    return len(app.screen_stack) == 1


def last(app: BucketsideApp) -> TurnView:
    return app.bench.turns.views[-1]


async def settle(pilot: Pilot[None]) -> None:
    await pilot.pause()
    await pilot.pause()


async def enter(pilot: Pilot[None], text: str) -> None:
    """Type into the field of a page and send it."""
    field = pilot.app.screen.query_one(LineInput)
    field.focus()
    field.value = text
    await pilot.press("enter")
    await settle(pilot)


async def quiz_ready(pilot: Pilot[None]) -> QuizPage:
    """The quiz page once its questions are there."""
    await settle(pilot)
    page = pilot.app.screen
    assert isinstance(page, QuizPage)
    if page.maker is not None:
        await asyncio.to_thread(page.maker.join)
    await settle(pilot)
    return page


def rows(app: BucketsideApp) -> list[str]:
    listing = app.screen.query_one("#lots", OptionList)
    return [str(listing.get_option_at_index(n).prompt) for n in range(listing.option_count)]


# --- what is an errand and what a question --------------------------------------------------------------------


@pytest.mark.parametrize(
    "question",
    [
        "12 roses, 8 stock and 2 bunches of salal, how many bunches for 5 tables",
        "what is the vase life of stock?",
        "what's the best temperature to store stock",
        "how many roses are left if I lose 10% of 40",
        "how many bunches do I have to order for 140 stems of carnation?",
        "what is the difference between bench and cooler storage",
        "which flower goes off first, tulip or rose?",
        "what do I use first, preservative or water, for roses?",
        "I used 12 roses and 5 ruscus in a vase 30 cm tall",
        "they came in on Tuesday",
        "I got roses in on Tuesday",
        "moved the roses to the bench",
        "refresh plan for 12 tulips and 5 ruscus over 14 days from Monday",
        "how many bunches for 12 roses and 8 stock, 14 days, install 7 December?",
        "compare 12 roses and 10 tulips over 14 days, install Monday 7 December",
        "12 roses and 8 stock",
        "I bought 10 roses yesterday and the shop is at 24 degrees",
        "are 14 lisianthus and 10 statice enough for 14 days, install Monday 7 December",
        "test the water",
        "nothing-here.yaml",
        "x" * 300 + ".csv",
        "",
    ],
)
def test_questions_stay_questions(real_context: Context, question: str) -> None:
    assert errand_of(question, real_context) is None
    assert not stock_file().exists()


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("quiz me on storage temperatures", SetDescription),
        ("got 4 bunches of stock today", Answer),
        ("what must I use first?", Answer),
        ("show my stock", Answer),
        ("how many roses do I have left?", Answer),
        ("what is in the cooler?", Answer),
        ("40 roses came in on Monday, in the cooler at 3 degrees", Answer),
        ("sold 3 roses yesterday", Answer),
        (RECIPE, PlanWanted),
        ("The install is Monday 7 December and it will stand 14 days: 14 lisianthus, 10 statice", PlanWanted),
    ],
)
def test_errands_are_known(real_context: Context, text: str, kind: type) -> None:
    assert isinstance(errand_of(text, real_context), kind)


def test_looking_makes_no_stock(real_context: Context) -> None:
    found = errand_of("what must I use first?", real_context)
    assert isinstance(found, Answer)
    assert found.reply == "There is nothing in stock."
    assert not stock_file().exists()


# --- the chat ---------------------------------------------------------------------------------------------------


async def test_stock_said_in_the_chat_is_written_down_and_answered(real: MakeApp, real_context: Context) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "got 4 bunches of stock today")
        assert last(app).record.answer.reply.startswith("Lot 1: ")
        assert lots_there()[0].material == "stock"
        assert app.screen.query_one(Replies).offers[0].line == "what must I use first?"
        await pilot.press("1", "enter")
        await settle(pilot)
        assert last(app).record.answer.reply.startswith("Use first: ")
        await ask(pilot, "threw out 600 stock")
        assert last(app).record.answer.reply == "There are 40 stems of stock in stock, not 600."
        await ask(pilot, "how long do roses last at 24 degrees?")
        assert last(app).record.answer.task == "longevity"
        records = [view.record for view in app.bench.turns.views]
    left = lots_there()[0].left
    talk = replayed(real_context, records)
    assert lots_there()[0].left == left  # a conversation opened again writes nothing twice
    assert [wish.task for wish in talk.memory.wishes] == ["longevity"]


async def test_an_ordinary_recipe_question_goes_to_the_conversation(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "12 roses, 8 stock and 2 bunches of salal, how many bunches for 5 tables")
        assert on_the_bench(app)
        assert last(app).record.answer.task == "quantity"


async def test_stock_that_cannot_be_written_is_one_sentence(real: MakeApp) -> None:
    stock_file().parent.mkdir(parents=True, exist_ok=True)
    stock_file().write_text("this is no database, and it is longer than a header of a hundred bytes is. " * 3)
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "got 4 bunches of stock today")
        assert "is not a stock file; it was left as it is." in last(app).record.answer.reply
        await pilot.press("f6")
        await settle(pilot)
        assert "is not a stock file" in text_of(app, "#said")


async def test_the_replies_follow_a_what_if(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "how long do roses last at 24 degrees?")
        app.bench.prompt.replies = ("stale",)
        await pilot.press("tab", "up")
        await settle(pilot)
        answer = last(app).record.answer
        assert last(app).record.changes
        assert app.bench.prompt.replies == (answer.choices or answer.follow_ups)[:9]


# --- quiz -------------------------------------------------------------------------------------------------------


async def test_a_quiz_asked_for_in_the_chat(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "quiz me on storage temperatures")
        page = await quiz_ready(pilot)
        assert page.session is not None
        item = page.session.current
        assert item is not None
        assert item.question in text_of(app, "#quiz-text").replace("\n", " ")
        assert "storage temperatures" in text_of(app, ".page-title")
        await enter(pilot, "I don't know")
        assert page.outcome is not None
        shown = text_of(app, "#quiz-text")
        assert "NO MATTER" in shown
        assert page.outcome.answer in shown
        assert page.outcome.passage is not None
        assert page.outcome.passage.title in shown
        assert "From: " in shown
        wanted = page.outcome.ask
        await pilot.press("a")
        await settle(pilot)
        assert on_the_bench(app)
        assert app.bench.prompt.value == wanted
    with Store() as store:
        assert [learner.name for learner in store.learners()] == ["me"]


async def test_a_quiz_goes_on_and_sums_up(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await pilot.press("ctrl+g")
        page = await quiz_ready(pilot)
        assert page.session is not None
        await enter(pilot, "dunno")
        await pilot.press("enter")
        await settle(pilot)
        assert "question 2 of 10" in text_of(app, ".page-title")
        await enter(pilot, "no idea")
        await pilot.press("escape")
        await settle(pilot)
        assert "2 questions: 0 right, 2 not known (0%)" in text_of(app, "#quiz-text")
        await pilot.press("escape")
        await settle(pilot)
        assert on_the_bench(app)
        # The questions are kept: the second quiz begins at once.
        await pilot.press("ctrl+g")
        await settle(pilot)
        again = app.screen
        assert isinstance(again, QuizPage)
        assert again.maker is None
        assert again.session is not None


async def test_options_by_letter_digit_and_list(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "quiz me on ethylene")
        page = await quiz_ready(pilot)
        assert page.session is not None
        tried: set[str] = set()
        for _ in range(10):
            item = page.session.current
            if item is None:
                break
            letter = item.right_letter
            if not letter:
                await enter(pilot, "pass")
            elif "digit" not in tried and all(choice.span is None for choice in item.choices):
                tried.add("digit")
                await enter(pilot, str("abcdefgh".index(letter) + 1))
                assert page.outcome is not None
                assert page.outcome.mark.verdict == "right"
            elif "list" not in tried:
                tried.add("list")
                await pilot.press("down", *["down"] * "abcdefgh".index(letter), "enter")
                await settle(pilot)
                assert page.outcome is not None
                assert page.outcome.mark.verdict == "right"
            else:
                tried.add("letter")
                await pilot.press(letter, "enter")
                await settle(pilot)
                assert page.outcome is not None
                assert "RIGHT" in text_of(app, "#quiz-text")
            await pilot.press("enter")
            await settle(pilot)
        assert tried == {"digit", "list", "letter"}


async def test_an_unreadable_answer_is_asked_again_once(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "quiz me on storage temperatures")
        page = await quiz_ready(pilot)
        await enter(pilot, "[bold]zzqx[/bold] \x1b[2J")
        assert page.outcome is None
        assert text_of(app, "#said").strip()
        await enter(pilot, "[bold]zzqx[/bold]")
        assert page.outcome is not None
        assert "[bold]zzqx[/bold]" in text_of(app, "#quiz-text")


async def test_a_set_nobody_has_is_said_and_esc_goes_back(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "quiz me on [red]steam engines[/red]")
        await quiz_ready(pilot)
        assert "The handbook has no set called" in text_of(app, "#quiz-text")
        await pilot.press("escape")
        await settle(pilot)
        assert on_the_bench(app)


async def test_a_record_that_is_no_record_is_one_sentence(real: MakeApp, tmp_path: Path) -> None:
    (tmp_path / "drill.sqlite3").write_text("no record at all " * 20)
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("ctrl+g")
        await quiz_ready(pilot)
        assert "drill.sqlite3" in text_of(app, "#quiz-text")
        await pilot.press("enter")
        await settle(pilot)
        assert on_the_bench(app)


async def test_the_shops_own_entries_are_a_set(real: MakeApp, tmp_path: Path) -> None:
    from assistant.screens.quizzing import own_entries

    shop = Path(__file__).parents[2] / "demo" / "shop"
    context = Context(load_handbook(overlays=[shop]), lambda: date(2026, 11, 25))
    own = own_entries(context, [shop])
    assert {"salal", "house-no-foam"} <= own
    assert "rose" not in own
    app = BucketsideApp(lambda: context, folder=tmp_path, now=lambda: NOW, shops=[shop])
    async with app.run_test() as pilot:
        await ready(pilot)
        await ask(pilot, "quiz me on our own materials")
        page = await quiz_ready(pilot)
        assert page.session is not None
        assert page.session.current is not None
        assert page.session.current.entry in own


# --- stock ------------------------------------------------------------------------------------------------------


async def test_stock_from_empty_to_used_up(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await pilot.press("f6")
        await settle(pilot)
        assert isinstance(app.screen, StockPage)
        assert "There is nothing in stock yet." in text_of(app, "#lots-empty")
        assert isinstance(app.focused, LineInput)
        assert not stock_file().exists()
        await enter(pilot, "got 4 bunches of stock today")
        await enter(pilot, "40 carnations came in yesterday")
        assert len(rows(app)) == 2
        assert "stock" in rows(app)[0]  # it lasts shorter than carnations, so it stands first
        assert "2 lots, 80 stems" in text_of(app, ".page-title")
        await pilot.press("tab" if isinstance(app.focused, LineInput) else "home")
        app.screen.query_one("#lots").focus()
        await pilot.press("home", "d")
        await settle(pilot)
        assert "how many stems of lot 1" in text_of(app, "#said").lower()
        await pilot.press("6", "enter")
        await settle(pilot)
        assert "6 stems of stock thrown away, from lot 1." in text_of(app, "#said")
        assert " 34 " in rows(app)[0]
        assert app.focused is app.screen.query_one("#lots")
        await pilot.press("m")
        await settle(pilot)
        assert "is on the bench" in text_of(app, "#said")
        assert "bench" in next(row for row in rows(app) if "stock" in row)
        await pilot.press("m")
        await settle(pilot)
        assert "is in the cooler" in text_of(app, "#said")
        await pilot.press("u")
        await settle(pilot)
        await pilot.press(*"all", "enter")
        await settle(pilot)
        assert len(rows(app)) == 1
        await pilot.press("x")
        await settle(pilot)
        await pilot.press(*"no", "enter")
        await settle(pilot)
        assert "stays" in text_of(app, "#said")
        await pilot.press("x")
        await settle(pilot)
        await pilot.press(*"yes", "enter")
        await settle(pilot)
        assert "There is nothing in stock yet." in text_of(app, "#lots-empty")
        await pilot.press("escape")
        await settle(pilot)
        assert on_the_bench(app)


async def test_what_is_due_says_so_without_colour(real: MakeApp, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await pilot.press("f6")
        await settle(pilot)
        await enter(pilot, "30 tulips came in on 10 november, on the bench at 24 degrees")
        await enter(pilot, "got 3 bunches of dried strawflowers today")
        assert "use now" in rows(app)[0]
        assert " mo " in rows(app)[1]
        assert all(len(row) <= 78 for row in rows(app))
        assert len(text_of(app, ".page-keys")) <= 78
        app.screen.query_one("#lots").focus()
        await pilot.press("end", "m")
        await settle(pilot)
        assert "is kept dry" in text_of(app, "#said")


@pytest.mark.parametrize("odd", ["999", "-3", "2.5", "[bold]", "\x1b[31m", "many", "0"])
async def test_odd_numbers_of_stems_change_nothing(real: MakeApp, odd: str) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, "got 40 roses today")
        await pilot.press("f6")
        await settle(pilot)
        await pilot.press("s")
        await settle(pilot)
        asked = text_of(app, "#said")
        await enter(pilot, odd)
        assert lots_there()[0].left == 40
        assert "\x1b" not in text_of(app, "#said")
        if odd != "\x1b[31m":  # nothing is left of that one, and an empty line writes nothing
            assert text_of(app, "#said") != asked


async def test_what_is_no_entry_says_how(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("f6")
        await settle(pilot)
        await enter(pilot, "hello [red]there[/red]")
        assert text_of(app, "#said").startswith("Say what came in")
        await enter(pilot, "got roses today")
        assert "How many stems or bunches of rose?" in text_of(app, "#said")
        await enter(pilot, "word " * 700)
        assert text_of(app, "#said").strip()
        assert lots_there() == ()


async def test_esc_takes_one_step_back_at_a_time(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, "got 40 roses today")
        await pilot.press("f6", "d", "5")
        await settle(pilot)
        await pilot.press("escape")
        await settle(pilot)
        assert isinstance(app.screen, StockPage)
        assert app.focused is app.screen.query_one("#lots")
        await pilot.press("escape")
        await settle(pilot)
        assert on_the_bench(app)
        assert lots_there()[0].left == 40


# --- plan -------------------------------------------------------------------------------------------------------


async def test_a_recipe_pasted_in_the_chat_opens_its_plan(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        app.bench.prompt.post_message(Paste(RECIPE.replace("; ", "\n")))
        await settle(pilot)
        await pilot.press("enter")
        await settle(pilot)
        page = app.screen
        assert isinstance(page, PlanPage)
        assert page.plan is not None
        assert page.plan.job.install == date(2026, 12, 7)
        assert "Mon 7 Dec 2026" in text_of(app, "#sheet")
        assert "Lisianthus" in text_of(app, "#sheet")


async def test_one_thing_changed_and_taken_back(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, RECIPE)
        page = app.screen
        assert isinstance(page, PlanPage)
        assert page.plan is not None
        before = text_of(app, "#sheet")
        await enter(pilot, "make it 27 degrees")
        assert page.plan.job.degC == (27.0, 27.0)
        assert text_of(app, "#said") == "Changed: temperature."
        assert "27" in text_of(app, "#sheet")
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert text_of(app, "#sheet") == before
        await pilot.press("ctrl+z")
        await settle(pilot)
        assert text_of(app, "#said") == "There is no change to take back."
        page.query_one("#page").scroll_home(animate=False)
        await pilot.press("pagedown")
        await settle(pilot)
        assert page.query_one("#page").scroll_y > 0
        assert len(text_of(app, ".page-keys")) <= 78


async def test_a_table_wider_than_the_terminal_can_be_moved_sideways(real: MakeApp) -> None:
    async with real().run_test(size=(48, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, RECIPE)
        sheet = app.screen.query_one("#page")
        await pilot.press("right")
        await settle(pilot)
        assert sheet.scroll_x > 0
        await pilot.press("left", "2", "left")  # with something typed the arrows move in the line
        await settle(pilot)
        assert sheet.scroll_x == 0
        assert app.screen.query_one(LineInput).cursor_position == 0


@pytest.mark.parametrize(
    "odd", ["make it 300 degrees", "hello", "[bold red]x[/]", "\x1b[2Jmore", "0 pieces", "word " * 700]
)
async def test_odd_changes_leave_the_plan(real: MakeApp, odd: str) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, RECIPE)
        page = app.screen
        assert isinstance(page, PlanPage)
        assert page.plan is not None
        job = page.plan.job
        await enter(pilot, odd)
        assert page.plan.job == job
        assert text_of(app, "#said").strip()


async def test_an_unfinished_recipe_is_asked_for_what_it_lacks(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("f9")
        await settle(pilot)
        page = app.screen
        assert isinstance(page, PlanPage)
        await pilot.press("ctrl+y")
        await settle(pilot)
        assert text_of(app, "#said") == "There is no plan to copy yet."
        await enter(pilot, "14 lisianthus and 10 statice")
        assert text_of(app, "#said") == "How many days must it look well?"
        await enter(pilot, "for 12 days")
        assert text_of(app, "#said") == "Which day does it go up?"
        await enter(pilot, "install Monday 7 December")
        assert page.plan is not None
        assert page.plan.job.display_days == 12


async def test_a_home_nobody_has(real: MakeApp) -> None:
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("f9")
        await settle(pilot)
        await enter(pilot, "~nobody-of-that-name/counter.yaml")
        assert "there is no home folder" in text_of(app, "#said").replace("\n", " ")


async def test_a_job_file_its_copy_and_its_files(
    real: MakeApp, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    job = tmp_path / "winter counter.yaml"
    job.write_text(
        "job: winter-counter\ntitle: Winter [bold]counter[/bold]\ninstall: 2026-12-07\ndisplay_days: 14\ndegC: 21\n"
        "recipe:\n  - {material: lisianthus, stems: 14}\n",
        encoding="utf-8",
    )
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        await ask(pilot, str(job))
        page = app.screen
        assert isinstance(page, PlanPage)
        assert "Winter [bold]counter[/bold]" in text_of(app, "#sheet")
        await pilot.press("ctrl+y")
        await settle(pilot)
        assert app.clipboard.startswith("# Winter ")
        folder = tmp_path / "taken along"
        await pilot.press("ctrl+s")
        await settle(pilot)
        await enter(pilot, str(folder))
        assert sorted(p.name for p in folder.iterdir()) == [
            f"winter-counter.{kind}" for kind in ("csv", "html", "ics", "pdf")
        ]
        assert "Written to " in text_of(app, "#said")
        await pilot.press("ctrl+s")
        await settle(pilot)
        await enter(pilot, str(job))  # a file, so no folder
        assert "can't be written to" in text_of(app, "#said")
        await pilot.press("ctrl+s")
        await settle(pilot)
        await enter(pilot, "~nobody-of-that-name/\x1b[2J[bold]plans")
        assert not [p for p in tmp_path.iterdir() if p.name.startswith("~")]
        assert "[bold]plans" in text_of(app, "#said")
        await pilot.press("ctrl+s", "escape")
        await settle(pilot)
        assert app.screen is page
        await pilot.press("escape")
        await settle(pilot)
        assert on_the_bench(app)


@pytest.mark.parametrize(
    ("name", "content", "says"),
    [
        ("gone.yaml", None, "cannot be read"),
        ("gone.csv", None, "cannot be read"),
        ("x" * 300 + ".csv", None, "can't be read"),
        ("x" * 300 + ".yaml", None, "cannot be read"),
        ("bad.yaml", "job: [", "bad.yaml"),
        (
            "no-such.yaml",
            "job: a-job\ntitle: T\ninstall: 2026-12-07\ndisplay_days: 3\nrecipe:\n  - {material: moonbeam, stems: 3}\n",
            "moonbeam",
        ),
        ("only.csv", "material,stems\nlisianthus,14\n", "A CSV holds the recipe only"),
    ],
)
async def test_files_that_are_no_job(real: MakeApp, tmp_path: Path, name: str, content: str | None, says: str) -> None:
    if content is not None:
        (tmp_path / name).write_text(content, encoding="utf-8")
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await pilot.press("f9")
        await settle(pilot)
        await enter(pilot, str(tmp_path / name))
        assert says in text_of(app, "#said").replace("\n", " ")
        page = app.screen
        assert isinstance(page, PlanPage)
        assert page.plan is None


async def test_a_csv_recipe_with_its_days_behind_it(real: MakeApp, tmp_path: Path) -> None:
    (tmp_path / "counter.csv").write_text("material,stems\nlisianthus,14\n", encoding="utf-8")
    async with real().run_test() as pilot:
        app = await ready(pilot)
        await ask(pilot, f"plan {tmp_path / 'counter.csv'}, 14 days, install Monday 7 December")
        page = app.screen
        assert isinstance(page, PlanPage)
        assert page.plan is not None
        assert (page.plan.job.display_days, page.plan.job.install) == (14, date(2026, 12, 7))


async def test_the_palette_and_the_help_name_the_pages(real: MakeApp) -> None:
    async with real().run_test(size=(80, 24)) as pilot:
        app = await ready(pilot)
        titles = {command.title for command in app.get_system_commands(app.screen)}
        assert {"Stock", "Plan a job", "Quiz"} <= titles
        await pilot.press("f1")
        await settle(pilot)
        shown = text_of(app, ".page-text")
        for key in ("F6", "F9", "Ctrl+G"):
            assert key in shown


async def test_before_the_handbook_is_read_the_pages_wait(scripted: MakeApp, real_context: Context) -> None:
    go = threading.Event()

    def make() -> Context:
        go.wait(10)
        return real_context

    async with scripted(make).run_test() as pilot:
        app = pilot.app
        assert isinstance(app, BucketsideApp)
        await pilot.pause()
        for key in ("f6", "f9", "ctrl+g"):
            await pilot.press(key)
        await settle(pilot)
        assert on_the_bench(app)
        go.set()
        await ready(pilot)
        await pilot.press("f9")
        await settle(pilot)
        assert isinstance(app.screen, PlanPage)
