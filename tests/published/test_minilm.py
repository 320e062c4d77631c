"""all-MiniLM-L6-v2 against the similarities that sentence-transformers publishes for it.

Its documentation (quickstart) encodes three sentences with this model and prints their cosine similarities.
"""

from __future__ import annotations

import numpy as np
import pytest

from assistant.retrieval.encoder import Encoder, OnnxEncoder, ReferenceEncoder

SENTENCES = ("The weather is lovely today.", "It's so sunny outside!", "He drove to the stadium.")
PUBLISHED = np.array([[1.0000, 0.6660, 0.1046], [0.6660, 1.0000, 0.1411], [0.1046, 0.1411, 1.0000]])


@pytest.mark.parametrize(("form", "tolerance"), [(ReferenceEncoder, 1e-3), (OnnxEncoder, 0.02)])
def test_similarities_of_the_published_example(form: type[Encoder], tolerance: float) -> None:
    vectors = form().encode(SENTENCES)
    assert vectors @ vectors.T == pytest.approx(PUBLISHED, abs=tolerance)
