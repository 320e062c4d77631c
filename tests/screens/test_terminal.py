"""The app in a real terminal (tmux): what people type and see, odd pastes, and the terminal as it was afterwards."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

pytestmark = pytest.mark.skipif(shutil.which("tmux") is None, reason="tmux is not installed")

PATIENCE = 60.0  # seconds until a wait is given up; nothing is asserted about how long anything took
QUESTION = "how long do carnations last at 24 degrees"
SIZES = [(80, 24), (140, 40)]
READY = ("ask about flowers", "search by meaning: ready")


class Terminal:
    """One tmux pane on a socket of its own, in which `bucketside` is run as from a shell."""

    def __init__(self, folder: Path, width: int, height: int) -> None:
        self.folder = folder
        self._socket = tempfile.mkdtemp(prefix="bs-tmux-")  # a socket's path must be short, unlike tmp_path
        environment = {
            "BUCKETSIDE_DATA": str(folder / "data"),
            "BUCKETSIDE_CACHE": str(folder / "cache"),
            "BUCKETSIDE_MOTION": "off",
            "LC_ALL": "C.UTF-8",
        }
        sets = [word for name, value in environment.items() for word in ("-e", f"{name}={value}")]
        size = ["-x", str(width), "-y", str(height)]
        kept = {name: shlex.quote(str(folder / name)) for name in ("before", "code", "after")}
        # What a shell does around a program, without depending on anybody's shell; cat is there for what comes after.
        script = (
            f"echo waiting; read -r go; stty -g > {kept['before']}; {shlex.join([sys.executable, '-m', 'assistant.cli'])}; "
            f"echo $? > {kept['code']}; stty -g > {kept['after']}; echo back in the shell; exec cat"
        )
        self.tmux("-f", "/dev/null", "new-session", "-d", "-s", "bench", *size, *sets, "-c", str(Path.cwd()), script)

    def tmux(self, *words: str, input: bytes | None = None) -> str:
        # -S and no TMUX: whoever runs the tests inside a tmux keeps theirs.
        outside = {name: value for name, value in os.environ.items() if name not in ("TMUX", "TMUX_PANE", "NO_COLOR")}
        done = subprocess.run(
            ["tmux", "-u", "-S", f"{self._socket}/s", *words],
            capture_output=True,
            env=outside,
            input=input,
            check=False,
        )
        assert done.returncode == 0, (words, done.stderr)
        return done.stdout.decode()

    def screen(self) -> str:
        return self.tmux("capture-pane", "-p", "-t", "bench")

    def modes(self) -> str:
        """Whether the other screen is shown, the cursor is there, the mouse is asked for, keys are changed."""
        flags = ("alternate_on", "cursor_flag", "mouse_any_flag", "mouse_sgr_flag", "keypad_flag", "keypad_cursor_flag")
        return self.tmux("display-message", "-p", "-t", "bench", " ".join(f"{f}=#{{{f}}}" for f in flags))

    def until(self, done: Callable[[], bool], wanted: str) -> None:
        """Look again and again; what was seen instead is said when patience runs out."""
        end = time.monotonic() + PATIENCE
        while not done():
            if time.monotonic() > end:
                pytest.fail(f"waited {PATIENCE:.0f} s in vain for {wanted}; last seen:\n{self.screen()}")
            time.sleep(0.05)

    def shows(self, *texts: str | re.Pattern[str], gone: str | None = None) -> str:
        """Wait until the pane shows all of these, and no longer `gone`; gives what it shows then."""
        patterns = [re.compile(re.escape(text)) if isinstance(text, str) else text for text in texts]
        seen = ""

        def shown() -> bool:
            nonlocal seen
            seen = self.screen()
            return all(pattern.search(seen) for pattern in patterns) and (gone is None or gone not in seen)

        self.until(shown, f"{texts} without {gone!r}" if gone else f"{texts}")
        return seen

    def type(self, text: str) -> None:
        self.tmux("send-keys", "-t", "bench", "-l", text)

    def press(self, *keys: str) -> None:
        self.tmux("send-keys", "-t", "bench", *keys)

    def paste(self, text: str) -> None:
        """As a terminal does it, between the marks of a paste where the program asked for them."""
        self.tmux("load-buffer", "-b", "clip", "-", input=text.encode())
        self.tmux("paste-buffer", "-p", "-r", "-d", "-b", "clip", "-t", "bench")

    def ask(self, text: str) -> None:
        self.type(text)
        self.shows(text)
        self.press("Enter")

    def start(self) -> None:
        """Run the app, from the project's folder so that it is this one, until it is ready."""
        self.shows("waiting")
        self.press("Enter")
        self.shows(*READY)

    def kept(self, name: str) -> str:
        return (self.folder / name).read_text().strip()

    def turns(self) -> list[dict[str, object]]:
        """Every turn kept in the data folder."""
        out: list[dict[str, object]] = []
        for path in sorted((self.folder / "data" / "conversations").glob("*.jsonl")):
            lines = path.read_text().splitlines(keepends=True)
            out += [json.loads(line) for line in lines[1:] if line.endswith("\n")]  # the last may be half written
        return out

    def end(self) -> None:
        self.tmux("kill-server")
        shutil.rmtree(self._socket, ignore_errors=True)


@pytest.fixture
def terminal(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Terminal]:
    width, height = getattr(request, "param", (80, 24))
    made = Terminal(tmp_path, width, height)
    try:
        yield made
    finally:
        made.end()


@pytest.mark.parametrize("terminal", SIZES, indirect=True, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize("leave", ["C-q", "C-c"])
def test_a_conversation_and_the_terminal_afterwards(terminal: Terminal, leave: str) -> None:
    terminal.shows("waiting")
    as_it_was = terminal.modes()
    terminal.start()
    assert "^Q quit" in terminal.screen()
    assert terminal.modes() != as_it_was  # so that the comparison at the end can fail

    terminal.ask(QUESTION)
    answer = terminal.shows("› " + QUESTION, "Carnations: about", "24 °C", "Carnation: how long it lasts")
    assert "days left" in answer
    terminal.ask("and at 28?")
    terminal.shows("› and at 28?", "left at 28")
    terminal.until(lambda: len(terminal.turns()) == 2, "both turns to be kept")
    assert [turn["text"] for turn in terminal.turns()] == [QUESTION, "and at 28?"]

    terminal.press(leave)
    after = terminal.shows("back in the shell", gone="ask about flowers")
    assert terminal.kept("code") == "0"
    assert terminal.kept("after") == terminal.kept("before")
    assert terminal.modes() == as_it_was
    assert "Traceback" not in after
    # A mouse that was still reported, or a reply of the terminal nobody read, would show up after this line.
    assert after.rstrip().endswith("back in the shell")
    terminal.type("typed after it")
    terminal.press("Enter")
    terminal.shows("typed after it\ntyped after it")  # once as it is typed, once by cat: lines and echo are back


# What is pasted, and how it is shown.
ODD = {
    "[bold]markup[/] [red]x[/red] [link=y]z[/link]": "[bold]markup[/] [red]x[/red] [link=y]z[/link]",
    "[/] [/nothing] [": "[/] [/nothing] [",
    "roses\r\ntulips\npeonies": "roses tulips peonies",
    "left \u202eright\u202c again": "left right again",
    "花 🌷 ruscus": "花 🌷 ruscus",
}


def test_odd_pastes_are_shown_as_they_are(terminal: Terminal) -> None:
    terminal.start()
    for number, (pasted, shown) in enumerate(ODD.items(), start=1):
        terminal.paste(pasted)
        terminal.shows("▌ " + shown)  # in the prompt
        assert len(terminal.turns()) == number - 1  # a paste is never sent by itself
        terminal.press("Enter")
        terminal.shows("› " + shown, "ask about flowers")  # in the conversation, the prompt empty again
        terminal.until(lambda wanted=number: len(terminal.turns()) == wanted, "the turn to be kept")
    assert [turn["text"] for turn in terminal.turns()] == list(ODD.values())
    _still_answers(terminal)


# Terminals differ in what they make of an escape character in a paste, and Textual takes such a paste for keys, cut
# short or not as the bytes arrive. So nothing is expected of its words, only that it has no power.
CONTROL = (
    "\x1b[31mred\x1b[0m and \x1b[2J\x1b[Hcleared",
    "\x1b]0;stolen title\x07before\x07 after",
    "\x1b[?1049l\x1b[?25h",
)


@pytest.mark.parametrize("pasted", CONTROL, ids=("colours", "title_and_bell", "other_screen"))
def test_control_sequences_have_no_power(terminal: Terminal, pasted: str) -> None:
    terminal.start()
    modes = terminal.modes()
    terminal.paste(pasted)
    terminal.ask(QUESTION)  # whatever of the paste is left stands before it
    terminal.until(
        lambda: any(str(turn["text"]).endswith(QUESTION) for turn in terminal.turns()), "the question to be kept"
    )
    terminal.shows("^Q quit", "ask about flowers")
    assert all(str(turn["text"]).isprintable() for turn in terminal.turns())
    assert terminal.modes() == modes
    assert "stolen" not in terminal.tmux("display-message", "-p", "-t", "bench", "#{pane_title}")
    _leaves(terminal)


def test_far_too_much(terminal: Terminal) -> None:
    terminal.start()
    terminal.paste("petal " * 500)  # more than the conversation takes
    terminal.shows("petal petal")
    terminal.press("Enter")
    terminal.shows("› petal petal", "ask about flowers")
    # The reply may be below such a long question, out of sight; what is kept says what it was.
    terminal.until(lambda: len(terminal.turns()) == 1, "the turn to be kept")
    answer = terminal.turns()[0]["answer"]
    assert isinstance(answer, dict)
    assert answer["reply"].startswith("That message is 2,999 characters long")
    terminal.paste("x" * 10_000)  # more than the prompt takes
    _still_answers(terminal)


def _still_answers(terminal: Terminal) -> None:
    terminal.shows("ask about flowers")  # the prompt is empty
    terminal.ask(QUESTION)
    terminal.shows("› " + QUESTION, "Carnations: about")
    _leaves(terminal)


def _leaves(terminal: Terminal) -> None:
    terminal.press("C-q")
    terminal.shows("back in the shell")
    assert terminal.kept("code") == "0"
