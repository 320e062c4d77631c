"""Train the reading heads (`assistant.retrieval.head`): the same network in torch, with its three questions at once.

Seeded and on a fixed number of threads: two runs on one machine give the same weights.
"""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import torch
from numpy.typing import NDArray
from torch import nn

from assistant.language.features import DENSE_NAMES, FOLLOW_UP_NAMES, FOLLOW_UPS, SCOPE_NAMES, TASKS
from assistant.retrieval.encoder import DIMENSION
from assistant.retrieval.head import ATTENTION_HEADS, QUERIES, SHARPNESS, WIDTH

SEEDS = (3, 11, 29)
EPOCHS = 12
BATCH = 32
# So many batches' worth of messages are sorted by length before they are dealt out.
ALIKE = 16
RATE = 1e-3
DECAY = 0.02
DROPPED = 0.2
SMOOTHING = 0.05
THREADS = 2


@dataclass
class Example:
    """One message: the states of its tokens (n, 384) and what is known of it; None where that is not known.

    `task`, `follow_up` are places in TASKS and FOLLOW_UPS; the features are scaled as at run time.
    """

    states: NDArray[np.float16]
    dense: Sequence[float]
    scope: Sequence[float]
    leaning: Sequence[float] | None = None
    task: int | None = None
    in_scope: bool | None = None
    follow_up: int | None = None


class Head(nn.Module):
    """The network of `assistant.retrieval.head`, with the names its weights have there."""

    def __init__(self) -> None:
        super().__init__()
        self.inp = nn.Linear(DIMENSION, WIDTH)
        self.block = nn.TransformerEncoderLayer(WIDTH, ATTENTION_HEADS, 2 * WIDTH, DROPPED, batch_first=True)
        self.queries = nn.Parameter(torch.randn(QUERIES, WIDTH) * 0.1)
        seen = QUERIES * WIDTH
        self.task = nn.Linear(seen + len(DENSE_NAMES), len(TASKS))
        self.scope = nn.Linear(seen + len(SCOPE_NAMES), 1)
        self.follow_up = nn.Linear(seen + len(DENSE_NAMES) + len(FOLLOW_UP_NAMES), len(FOLLOW_UPS))
        self.dropped = nn.Dropout(DROPPED)

    def vectors(self, states: torch.Tensor, mask: torch.Tensor) -> torch.Tensor:
        """Reading vectors (messages, QUERIES * WIDTH) from padded states (messages, tokens, 384)."""
        x = torch.relu(self.inp(self.dropped(states)))
        x = self.block(x, src_key_padding_mask=mask == 0)
        looked = torch.einsum("bnd,hd->bhn", x, self.queries) / WIDTH**0.5 * SHARPNESS
        looked = looked.masked_fill(mask[:, None] == 0, -1e9).softmax(-1)
        return torch.einsum("bhn,bnd->bhd", looked, x).flatten(1)


def train(examples: Sequence[Example], seed: int) -> dict[str, NDArray[np.float16]]:
    """The weights of one head, by name."""
    torch.manual_seed(seed)
    torch.set_num_threads(THREADS)
    draw = random.Random(seed)
    head = Head()
    optimiser = torch.optim.AdamW(head.parameters(), lr=RATE, weight_decay=DECAY)
    order = list(range(len(examples)))
    steps = EPOCHS * -(-len(order) // BATCH)
    step = 0
    for _ in range(EPOCHS):
        for batch in _batches(order, examples, draw):
            for group in optimiser.param_groups:
                group["lr"] = RATE * max(0.02, 1 - step / steps)
            loss = _loss(head, [examples[i] for i in batch])
            optimiser.zero_grad()
            loss.backward()  # type: ignore[no-untyped-call]
            optimiser.step()
            step += 1
    return {name: array.detach().numpy().astype(np.float16) for name, array in head.state_dict().items()}


def _batches(order: list[int], examples: Sequence[Example], draw: random.Random) -> list[list[int]]:
    """All examples in chance order, those of like length together: a batch is as long as its longest message."""
    draw.shuffle(order)
    batches = []
    for start in range(0, len(order), ALIKE * BATCH):
        near = sorted(order[start : start + ALIKE * BATCH], key=lambda i: len(examples[i].states))
        batches += [near[i : i + BATCH] for i in range(0, len(near), BATCH)]
    draw.shuffle(batches)
    return batches


def _loss(head: Head, batch: Sequence[Example]) -> torch.Tensor:
    """The sum of what each question costs over the messages whose answer is known."""
    longest = max(len(example.states) for example in batch)
    states = torch.zeros(len(batch), longest, DIMENSION)
    mask = torch.zeros(len(batch), longest)
    for row, example in enumerate(batch):
        states[row, : len(example.states)] = torch.from_numpy(example.states.astype(np.float32))
        mask[row, : len(example.states)] = 1
    seen = head.dropped(head.vectors(states, mask))
    loss = torch.zeros(())
    rows = [i for i, example in enumerate(batch) if example.in_scope is not None]
    if rows:
        features = torch.tensor([list(batch[i].scope) for i in rows])
        known = torch.tensor([float(bool(batch[i].in_scope)) for i in rows])
        scores = head.scope(torch.cat([seen[rows], features], 1))[:, 0]
        loss = loss + nn.functional.binary_cross_entropy_with_logits(scores, known)
    rows = [i for i, example in enumerate(batch) if example.task is not None]
    if rows:
        features = torch.tensor([list(batch[i].dense) for i in rows], dtype=torch.float32)
        known = torch.tensor([batch[i].task for i in rows])
        scores = head.task(torch.cat([seen[rows], features], 1))
        loss = loss + nn.functional.cross_entropy(scores, known, label_smoothing=SMOOTHING)
    rows = [i for i, example in enumerate(batch) if example.follow_up is not None]
    if rows:
        leaning = [[*batch[i].dense, *(batch[i].leaning or ())] for i in rows]
        known = torch.tensor([batch[i].follow_up for i in rows])
        scores = head.follow_up(torch.cat([seen[rows], torch.tensor(leaning, dtype=torch.float32)], 1))
        loss = loss + nn.functional.cross_entropy(scores, known, label_smoothing=SMOOTHING)
    return loss
