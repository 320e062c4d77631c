"""`bucketside serve` in a real browser: a question typed into the page, the answer read from its terminal.

Chromium is driven over its own devtools protocol with aiohttp, which textual-serve needs anyway: no browser is
downloaded and no driver installed. The browser can look up no name at all, so whatever the page wants from elsewhere
fails, and the test sees that it was asked for.
"""

from __future__ import annotations

import asyncio
import json
import os
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
from collections.abc import AsyncIterator, Awaitable, Callable, Iterator
from contextlib import asynccontextmanager, contextmanager
from itertools import count
from pathlib import Path
from typing import Any
from urllib.parse import urlsplit

import pytest

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome", "microsoft-edge")
CHROMIUM = next((path for name in CHROMIUMS if (path := shutil.which(name))), None)

pytest.importorskip("textual_serve", reason="textual-serve is not installed")
aiohttp = pytest.importorskip("aiohttp", reason="aiohttp comes with textual-serve")
pytestmark = pytest.mark.skipif(CHROMIUM is None, reason=f"no browser: none of {', '.join(CHROMIUMS)} is installed")

PATIENCE = 60.0  # seconds until a wait is given up; nothing is asserted about how long anything took
QUESTION = "how long do carnations last at 24 degrees"

# The page keeps its terminal to itself, and draws on a canvas. Its `this.terminal = …` runs into this setter, which
# makes the property it would have made and keeps a reference for the test to read the cells from.
CATCH_TERMINAL = """
Object.defineProperty(Object.prototype, "terminal", {
  configurable: true,
  set(value) {
    Object.defineProperty(this, "terminal", {value, writable: true, configurable: true, enumerable: true});
    if (value && value.buffer) window.caughtTerminal = value;
  },
});
"""
SCREEN = """
(() => {
  const terminal = window.caughtTerminal;
  if (!terminal) return "";
  const buffer = terminal.buffer.active, rows = [];
  for (let y = 0; y < terminal.rows; y++) rows.push(buffer.getLine(buffer.viewportY + y).translateToString(true));
  return rows.join("\\n");
})()
"""


class Page:
    """One page of a browser, over the devtools protocol. `asked_for` is every address the page wanted."""

    def __init__(self, socket: aiohttp.ClientWebSocketResponse) -> None:
        self._socket = socket
        self._numbers = count(1)
        self._replies: dict[int, asyncio.Future[dict[str, Any]]] = {}
        self.asked_for: list[str] = []
        self._reading = asyncio.create_task(self._read())

    async def _read(self) -> None:
        async for message in self._socket:
            data = json.loads(message.data)
            if "id" in data:
                self._replies.pop(data["id"]).set_result(data)
            elif data.get("method") == "Network.requestWillBeSent":
                self.asked_for.append(data["params"]["request"]["url"])
            elif data.get("method") == "Network.webSocketCreated":
                self.asked_for.append(data["params"]["url"])

    async def do(self, method: str, **parameters: object) -> dict[str, Any]:
        number = next(self._numbers)
        reply = self._replies[number] = asyncio.get_running_loop().create_future()
        await self._socket.send_json({"id": number, "method": method, "params": parameters})
        data = await asyncio.wait_for(reply, PATIENCE)
        assert "error" not in data, (method, data)
        return dict(data["result"])

    async def value(self, expression: str) -> Any:
        result = await self.do("Runtime.evaluate", expression=expression, returnByValue=True)
        assert "exceptionDetails" not in result, result
        return result["result"].get("value")

    async def text(self) -> str:
        return str(await self.value(SCREEN))

    async def open(self, address: str) -> None:
        await self.do("Page.enable")
        await self.do("Network.enable")
        await self.do("Page.addScriptToEvaluateOnNewDocument", source=CATCH_TERMINAL)
        await self.do("Page.navigate", url=address)

    async def shows(self, *texts: str) -> str:
        """Wait until the terminal shows all of these."""

        async def look() -> str | None:
            screen = await self.text()
            return screen if all(text in screen for text in texts) else None

        return await until(look, lambda: self.text(), f"{texts} on the page")

    async def tap(self, x: int, y: int) -> None:
        for kind in ("mousePressed", "mouseReleased"):
            await self.do("Input.dispatchMouseEvent", type=kind, x=x, y=y, button="left", clickCount=1)

    async def type(self, text: str) -> None:
        for character in text:
            await self.do("Input.dispatchKeyEvent", type="keyDown", text=character, key=character)
            await self.do("Input.dispatchKeyEvent", type="keyUp", key=character)

    async def press(self, key: str, code: int, modifiers: int = 0, text: str = "") -> None:
        shared = {"key": key, "code": key, "windowsVirtualKeyCode": code, "modifiers": modifiers}
        await self.do(
            "Input.dispatchKeyEvent",
            type="keyDown" if text else "rawKeyDown",
            **shared,
            **({"text": text} if text else {}),
        )
        await self.do("Input.dispatchKeyEvent", type="keyUp", **shared)

    async def ask(self, text: str) -> None:
        await self.type(text)
        await self.shows(text)
        await self.press("Enter", 13, text="\r")

    async def close(self) -> None:
        await self._socket.close()
        await self._reading


async def until(
    look: Callable[[], Awaitable[Any]], seen: Callable[[], Awaitable[object]], wanted: str, every: float = 0.05
) -> Any:
    """Look again and again until there is something; what was seen instead is said when patience runs out."""
    loop = asyncio.get_running_loop()
    end = loop.time() + PATIENCE
    while not (found := await look()):
        if loop.time() > end:
            pytest.fail(f"waited {PATIENCE:.0f} s in vain for {wanted}; last seen:\n{await seen()}")
        await asyncio.sleep(every)
    return found


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


@contextmanager
def started(command: list[str], environment: dict[str, str], log: Path) -> Iterator[subprocess.Popen[bytes]]:
    """A process with all its children, which are gone at the end. What it says goes to `log`."""
    with log.open("wb") as said:
        process = subprocess.Popen(
            command, env=environment, stdin=subprocess.DEVNULL, stdout=said, stderr=said, start_new_session=True
        )
        try:
            yield process
        finally:
            # The group may outlive its first process; when all have gone there is no group to signal.
            for last in (signal.SIGTERM, signal.SIGKILL):
                try:
                    os.killpg(process.pid, last)
                    process.wait(10)
                except (ProcessLookupError, PermissionError, subprocess.TimeoutExpired):
                    continue
            process.wait(10)


@pytest.fixture
def folders(tmp_path: Path) -> dict[str, str]:
    """The environment of a person whose data and cache are this test's own."""
    own = {"BUCKETSIDE_DATA": str(tmp_path / "data"), "BUCKETSIDE_CACHE": str(tmp_path / "cache")}
    return {**os.environ, **own, "BUCKETSIDE_MOTION": "off", "PYTHONUNBUFFERED": "1"}


@pytest.fixture
async def served(tmp_path: Path, folders: dict[str, str]) -> AsyncIterator[tuple[str, subprocess.Popen[bytes]]]:
    """The address `bucketside serve` answers at, and its process."""
    port, log = free_port(), tmp_path / "serve.log"
    command = [sys.executable, "-m", "assistant.cli", "serve", "--port", str(port)]
    with started(command, folders, log) as process:

        async def answers() -> bool:
            assert process.poll() is None, log.read_text()
            try:
                _, writer = await asyncio.open_connection("127.0.0.1", port)
            except OSError:
                return False
            writer.close()
            await writer.wait_closed()
            return True

        await until(answers, lambda: asyncio.to_thread(log.read_text), "the server to listen")
        yield f"http://127.0.0.1:{port}/", process


@asynccontextmanager
async def browser(tmp_path: Path) -> AsyncIterator[Callable[[], Awaitable[Page]]]:
    """A headless Chromium that knows no address but this machine's; gives a function that makes a new page."""
    assert CHROMIUM is not None
    # Not under tmp_path: Chromium's own sockets need a short path, and its helpers may still write while it ends.
    profile = Path(tempfile.mkdtemp(prefix="bs-chrome-"))
    command = [
        CHROMIUM,
        "--headless=new",
        "--no-sandbox",  # it refuses to start as root otherwise; the only page it sees is ours
        "--disable-gpu",
        "--disable-dev-shm-usage",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--no-first-run",
        "--no-default-browser-check",
        "--no-proxy-server",
        "--host-resolver-rules=MAP * ~NOTFOUND , EXCLUDE 127.0.0.1",
        "--window-size=1024,768",
        "--remote-debugging-port=0",
        f"--user-data-dir={profile}",
        "about:blank",
    ]
    log = tmp_path / "chromium.log"
    pages: list[Page] = []
    try:
        with started(command, dict(os.environ), log) as process:

            async def where() -> int | None:
                assert process.poll() is None, log.read_text(errors="replace")
                found = profile / "DevToolsActivePort"
                lines = found.read_text().splitlines() if found.exists() else []
                return int(lines[0]) if len(lines) == 2 else None

            port = await until(where, lambda: asyncio.to_thread(log.read_text, errors="replace"), "Chromium to start")
            async with aiohttp.ClientSession() as session:

                async def new_page() -> Page:
                    async with session.put(f"http://127.0.0.1:{port}/json/new?about:blank") as reply:
                        target = await reply.json(content_type=None)
                    pages.append(Page(await session.ws_connect(target["webSocketDebuggerUrl"], max_msg_size=0)))
                    return pages[-1]

                yield new_page
                for page in pages:
                    await page.close()
    finally:
        shutil.rmtree(profile, ignore_errors=True)


def turns(data: Path) -> list[dict[str, Any]]:
    """Every turn of every conversation kept in a data folder."""
    out = []
    for path in sorted((data / "conversations").glob("*.jsonl")):
        lines = path.read_text().splitlines(keepends=True)
        out += [json.loads(line) for line in lines[1:] if line.endswith("\n")]  # the last may be half written
    return out


async def test_a_question_in_the_browser(
    served: tuple[str, subprocess.Popen[bytes]], folders: dict[str, str], tmp_path: Path
) -> None:
    address, server = served
    data = Path(folders["BUCKETSIDE_DATA"])
    async with browser(tmp_path) as new_page:
        page = await new_page()
        await page.open(address)
        await page.shows("Bucketside", "ask about flowers", "search by meaning")
        await page.tap(500, 300)  # anywhere: typing goes to the prompt
        await page.ask(QUESTION)
        screen = await page.shows("Carnations: about", "left at 24", "days left", "Carnation: how long it lasts")
        assert "published" in screen
        await page.ask("and at 28?")
        await page.shows("› and at 28?", "left at 28")

        # What the page says is what is kept.
        async def both_kept() -> bool:
            return len(turns(data)) == 2

        await until(both_kept, page.text, "both turns to be kept")
        kept = turns(data)
        assert [turn["text"] for turn in kept] == [QUESTION, "and at 28?"]
        assert kept[0]["answer"]["reply"].startswith("Carnations: about")

        # Markup is text here too.
        await page.ask("[bold]markup[/]")
        await page.shows("› [bold]markup[/]")

        # All that the page is made of comes from this machine, its font included.
        away = {host for url in page.asked_for if (host := urlsplit(url).hostname or "") not in ("127.0.0.1", "")}
        assert not away, page.asked_for
        near = [urlsplit(url).path for url in page.asked_for if urlsplit(url).hostname == "127.0.0.1"]
        assert {"/", "/ws"} <= set(near)
        assert any(path.endswith(".js") for path in near)
        assert any(path.endswith((".ttf", ".woff2")) for path in near)

        # Quitting ends the session and says so; the server goes on for the next visitor.
        await page.press("q", 81, modifiers=2)
        await until(
            lambda: page.value("document.body.classList.contains('-closed')"), page.text, "the page to say it has ended"
        )
        assert server.poll() is None
        second = await new_page()
        await second.open(address)
        await second.shows("no job remembered yet", "ask about flowers")
        assert QUESTION not in await second.text()


async def test_stopping_the_server(served: tuple[str, subprocess.Popen[bytes]], tmp_path: Path) -> None:
    address, server = served
    async with browser(tmp_path) as new_page:
        page = await new_page()
        await page.open(address)
        await page.shows("ask about flowers")
        server.send_signal(signal.SIGINT)  # what Ctrl+C sends
        assert await asyncio.to_thread(server.wait, PATIENCE) == 0, (tmp_path / "serve.log").read_text()
        await until(
            lambda: page.value("document.body.classList.contains('-closed')"), page.text, "the page to say it has ended"
        )
    assert "Traceback" not in (tmp_path / "serve.log").read_text()
