"""The reading head multiplied out here is the network that torch trains."""

from __future__ import annotations

import numpy as np
import pytest

from assistant.language.features import DENSE_NAMES, FOLLOW_UP_NAMES, FOLLOW_UPS, SCOPE_NAMES, TASKS
from assistant.retrieval import reader
from assistant.retrieval.encoder import DIMENSION
from assistant.retrieval.head import QUERIES, WIDTH, ReadingHead

torch = pytest.importorskip("torch")


@pytest.mark.parametrize("count", [1, 2, 17])
def test_numpy_and_torch_give_the_same_vector(count: int) -> None:
    """PyTorch's nn.TransformerEncoderLayer is the reference."""
    from evals.reading_head import Head

    torch.manual_seed(5)
    network = Head().eval()
    weights = {name: array.detach().numpy() for name, array in network.state_dict().items()}
    states = np.random.default_rng(count).normal(size=(count, DIMENSION)).astype(np.float32)
    with torch.no_grad():
        wanted = network.vectors(torch.from_numpy(states)[None], torch.ones(1, count)).numpy()[0]
    vector = ReadingHead(weights).vector(states)
    assert vector.shape == (QUERIES * WIDTH,)
    assert np.allclose(vector, wanted, atol=1e-4)


def test_padding_changes_nothing() -> None:
    from evals.reading_head import Head

    torch.manual_seed(5)
    network = Head().eval()
    states = torch.randn(1, 6, DIMENSION)
    padded = torch.cat([states, torch.ones(1, 3, DIMENSION)], 1)
    with torch.no_grad():
        alone = network.vectors(states, torch.ones(1, 6))
        among = network.vectors(padded, torch.tensor([[1.0] * 6 + [0.0] * 3]))
    assert torch.allclose(alone, among, atol=1e-5)


def test_the_packaged_heads_fit_the_features() -> None:
    for head in reader.heads():
        vector = head.vector(np.zeros((3, DIMENSION), dtype=np.float32))
        assert len(head.scores("task", vector, [0.0] * len(DENSE_NAMES))) == len(TASKS)
        assert len(head.scores("scope", vector, [0.0] * len(SCOPE_NAMES))) == 1
        leaning = [0.0] * (len(DENSE_NAMES) + len(FOLLOW_UP_NAMES))
        assert len(head.scores("follow_up", vector, leaning)) == len(FOLLOW_UPS)
