"""The first frame waits for nothing heavy, quitting waits for nobody, and serving keeps to this machine."""

from __future__ import annotations

import subprocess
import sys
import threading
from pathlib import Path
from types import ModuleType

import pytest
from typer.testing import CliRunner

from assistant.screens import serve as serving
from assistant.screens.serve import NotServed, app_command, is_loopback, serve

HEAVY = (
    "pydantic",
    "yaml",
    "numpy",
    "faiss",
    "onnxruntime",
    "torch",
    "sentence_transformers",
    "sklearn",
    "tokenizers",
    "rapidfuzz",
    "coloraide",
    "assistant.dialogue.conversation",
    "assistant.handbook.models",
)


def loaded_by(module: str) -> set[str]:
    code = f"import {module}, sys; print('\\n'.join(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    return set(done.stdout.split())


def test_nothing_heavy_before_the_first_frame() -> None:
    assert not loaded_by("assistant.screens.app") & set(HEAVY)


def test_the_commands_do_not_load_textual() -> None:
    modules = loaded_by("assistant.screens.commands") | loaded_by("assistant.screens.serve")
    assert not {m for m in modules if m.split(".")[0] in ("textual", "textual_serve", "rich_pixels", *HEAVY)}


def test_loading_threads_are_daemons() -> None:
    from assistant.screens.loading import load_in_background

    wait = threading.Event()

    def never() -> object:
        wait.wait(10)
        raise RuntimeError("let go")

    thread = load_in_background(lambda message: None, never)  # type: ignore[arg-type]
    assert thread.daemon
    wait.set()
    thread.join()


def test_a_message_after_the_app_has_gone_is_no_error(recwarn: pytest.WarningsRecorder) -> None:
    from assistant.screens.loading import load_in_background
    from tests.screens.small import small_context

    def closed(message: object) -> object:
        raise RuntimeError("Event loop is closed")

    load_in_background(closed, small_context).join()
    assert not list(recwarn)  # pytest reports an exception in a thread as a warning


@pytest.mark.parametrize(
    ("host", "inside"),
    [
        ("127.0.0.1", True),
        ("localhost", True),
        ("::1", True),
        ("[::1]", True),
        ("127.9.9.9", True),
        ("0.0.0.0", False),
        ("192.168.1.5", False),
        ("bench.example", False),
        ("", False),
    ],
)
def test_what_counts_as_this_machine(host: str, inside: bool) -> None:
    assert is_loopback(host) is inside


def test_other_addresses_need_the_flag(monkeypatch: pytest.MonkeyPatch) -> None:
    started: list[tuple[object, ...]] = []

    class FakeServer:
        def __init__(self, command: str, host: str, port: int, title: str) -> None:
            started.append((command, host, port))

        def serve(self) -> None:
            started.append(("served",))

    module = ModuleType("textual_serve.server")
    module.Server = FakeServer  # type: ignore[attr-defined]
    monkeypatch.setitem(sys.modules, "textual_serve", ModuleType("textual_serve"))
    monkeypatch.setitem(sys.modules, "textual_serve.server", module)
    warnings: list[str] = []
    with pytest.raises(NotServed, match="add --anyone"):
        serve("0.0.0.0", warn=warnings.append)
    assert started == []
    serve("0.0.0.0", 9000, anyone=True, warn=warnings.append)
    assert "no password" in warnings[0]
    assert started[0][1:] == ("0.0.0.0", 9000)
    warnings.clear()
    serve(options=["--market", "US"], warn=warnings.append)
    assert warnings == []
    assert str(started[-2][0]).endswith("-m assistant.screens --market US")


def test_without_the_extra_it_says_what_to_install(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "textual_serve", None)
    monkeypatch.setitem(sys.modules, "textual_serve.server", None)
    with pytest.raises(NotServed, match=r"bucketside\[serve\]"):
        serve()


@pytest.mark.parametrize("port", [0, -1, 70000])
def test_impossible_ports(port: int) -> None:
    with pytest.raises(NotServed, match="no port"):
        serve(port=port)


def test_the_served_app_is_this_one() -> None:
    assert app_command(["--market", "UK"]) == [sys.executable, "-m", "assistant.screens", "--market", "UK"]


def test_serve_command_refuses_in_one_sentence() -> None:
    import typer

    from assistant.screens.commands import serve as command

    app = typer.Typer()
    app.command()(command)
    result = CliRunner().invoke(app, ["--host", "0.0.0.0"])
    assert result.exit_code == 2
    assert "add --anyone" in result.output


def test_unknown_market_is_refused() -> None:
    import typer

    from assistant.screens.commands import chat

    app = typer.Typer()
    app.command()(chat)
    result = CliRunner().invoke(app, ["--market", "MOON"])
    assert result.exit_code == 2
    assert "EU, UK or US" in result.output


def test_the_look_file_is_beside_the_app() -> None:
    assert (Path(serving.__file__).parent / "look.tcss").is_file()


def test_the_screen_never_waits_for_the_model(real_context: object) -> None:
    from assistant.dialogue.context import Context
    from assistant.retrieval.encoder import EncoderUnavailable
    from assistant.screens.unwaiting import UnwaitingRetriever

    assert isinstance(real_context, Context)
    retriever = UnwaitingRetriever(real_context.handbook)
    loading, go = threading.Event(), threading.Event()

    def slow_encoder() -> object:
        loading.set()
        assert go.wait(30)
        raise EncoderUnavailable("No model on this machine.")

    retriever._encoder_factory = slow_encoder  # type: ignore[assignment]
    thread = threading.Thread(target=retriever.prepare, daemon=True)
    thread.start()
    assert loading.wait(30)
    # The model is being loaded in the other thread: nobody here is held up by it.
    assert retriever.encoder() is None
    found = retriever.search("how do I clean a bucket", semantic="wait")
    assert found.used == "lexical"
    assert found.hits
    go.set()
    thread.join()
    assert retriever.encoder() is None
    assert not retriever.ready
    assert "No model on this machine." in retriever.search("bucket", semantic="wait").notices


def test_loading_tells_how_far_it_is() -> None:
    from assistant.screens.loading import HandbookReady, MeaningLoaded, MeaningProgress, load_in_background
    from tests.screens.small import small_context

    class Ready:
        def prepare(self, progress: object) -> bool:
            for done in range(201):
                progress(done, 200)  # type: ignore[operator]
            return True

    context = small_context()
    context.retriever = Ready()  # type: ignore[assignment]
    heard: list[object] = []
    load_in_background(heard.append, lambda: context).join()
    assert isinstance(heard[0], HandbookReady)
    assert [m.percent for m in heard if isinstance(m, MeaningProgress)] == list(range(101))
    assert isinstance(heard[-1], MeaningLoaded)
    assert heard[-1].on


def test_quitting_while_a_library_loads_ends_cleanly_and_at_once() -> None:
    code = """
import sys, tempfile, threading, time
from pathlib import Path
from assistant.screens import app as module

def make():
    threading.Event().wait()  # as a native library that never comes back

class Quick(module.BucketsideApp):
    def on_ready(self):
        self.call_later(self.exit)

with tempfile.TemporaryDirectory() as folder:
    app = Quick(make, folder=Path(folder))
    app.run(headless=True, size=(80, 24))
    assert module.still_loading()
    module.leave_at_once(app.return_code or 0)
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
