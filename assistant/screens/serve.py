"""The app in a browser, for a tablet on the bench: one app a visitor, on this machine unless told otherwise.

textual-serve has neither a password nor a check of who asks: everybody who reaches the address can read and write the
conversations. So it listens on the loopback address, and on any other only when that is asked for in so many words.
"""

from __future__ import annotations

import ipaddress
import shlex
import sys
from collections.abc import Callable, Sequence

LOOPBACK = "127.0.0.1"
WARNING = (
    "Anyone who can reach {host}:{port} can use this program, read the saved conversations and run it as you. "
    "There is no password. Use it only in a network you trust, and stop it with Ctrl+C when you are done."
)


def _to_stderr(line: str) -> None:
    sys.stderr.write(line + "\n")


class NotServed(Exception):  # noqa: N818 (a refusal, said in one sentence)
    """Serving was refused or can't be done; the message is one sentence for the reader."""


def is_loopback(host: str) -> bool:
    """Whether an address can only be reached from this machine. Names other than localhost count as outside."""
    if host == "localhost":
        return True
    try:
        return ipaddress.ip_address(host.strip("[]")).is_loopback
    except ValueError:
        return False


def serve(
    host: str = LOOPBACK,
    port: int = 8765,
    *,
    anyone: bool = False,
    options: Sequence[str] = (),
    warn: Callable[[str], None] = _to_stderr,
) -> None:
    """Serve the app until interrupted.

    Args:
        host, port: where to listen.
        anyone: allow an address that others can reach; a warning is given through `warn`.
        options: words passed on to the app's own command, such as a shop's folder.

    Raises:
        NotServed: for another address without `anyone`, a port that can't be, or a missing textual-serve.
    """
    if not 1 <= port <= 65535:
        raise NotServed(f"{port} is no port; choose one from 1 to 65535.")
    if not is_loopback(host):
        if not anyone:
            raise NotServed(
                f"{host} can be reached from other machines and there is no password; add --anyone if you mean it."
            )
        warn(WARNING.format(host=host, port=port))
    try:
        from textual_serve.server import Server
    except ImportError as error:
        raise NotServed("Serving needs the package textual-serve: install bucketside[serve].") from error
    from assistant.screens.served import kept_local

    kept_local(Server)(shlex.join(app_command(options)), host=host, port=port, title="Bucketside").serve()


def app_command(options: Sequence[str] = ()) -> list[str]:
    """The command each visitor's app is started with: this very interpreter, so that no other installation answers."""
    return [sys.executable, "-m", "assistant.screens", *options]
