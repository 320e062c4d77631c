"""Nothing leaves the machine: sockets are forbidden for a whole conversation, search by meaning included."""

from __future__ import annotations

import socket
from typing import NoReturn

import pytest

from assistant.dialogue.context import Context
from assistant.dialogue.conversation import Conversation
from assistant.handbook.loading import Handbook
from assistant.retrieval import Retriever
from tests.conftest import TODAY


def test_a_conversation_without_a_network(handbook: Handbook, monkeypatch: pytest.MonkeyPatch) -> None:
    def forbidden(*_: object, **__: object) -> NoReturn:
        raise AssertionError("somebody opened a socket")

    monkeypatch.setattr(socket, "socket", forbidden)
    monkeypatch.setattr(socket, "create_connection", forbidden)
    monkeypatch.setattr(socket, "getaddrinfo", forbidden)
    talk = Conversation(Context(handbook, clock=lambda: TODAY, retriever=Retriever(handbook)))
    assert talk.turn("how long do carnations last at 24 degrees").outcome == "answered"
    assert talk.turn("why do we recut stems").outcome == "answered"
    assert talk.context.retriever is not None
    assert talk.context.retriever.ready
