from __future__ import annotations

import socket
from pathlib import Path

import pytest

from assistant.handbook.loading import Handbook, load_handbook
from assistant.handbook.passages import Passage, all_passages


@pytest.fixture(autouse=True)
def own_cache(tmp_path_factory: pytest.TempPathFactory, monkeypatch: pytest.MonkeyPatch) -> Path:
    """No test reads or writes the real cache folder."""
    folder = tmp_path_factory.mktemp("cache")
    monkeypatch.setenv("BUCKETSIDE_CACHE", str(folder))
    return folder


@pytest.fixture
def no_network(monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object, **__: object) -> None:
        raise AssertionError("the network was asked for")

    for name in ("connect", "connect_ex", "sendto"):
        monkeypatch.setattr(socket.socket, name, refuse)
    for name in ("getaddrinfo", "gethostbyname", "create_connection"):
        monkeypatch.setattr(socket, name, refuse)


@pytest.fixture(scope="session")
def real_handbook() -> Handbook:
    return load_handbook()


@pytest.fixture(scope="session")
def real_passages(real_handbook: Handbook) -> list[Passage]:
    return list(all_passages(real_handbook))
