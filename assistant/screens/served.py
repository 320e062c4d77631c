"""The browser server without two surprises: its page asks nothing of the internet, and Ctrl+C ends it at once."""

from __future__ import annotations

import asyncio
import re
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from aiohttp import web
    from textual_serve.server import Server

# textual-serve asks a font service for a font that it also brings along.
_ELSEWHERE = re.compile(r"<link\b[^>]*\bhref=\"https?://(?:fonts\.|[^\"]*googleapis)[^>]*>")
_FONT = (
    '<style>@font-face { font-family: "Roboto Mono"; font-weight: 100 700; '
    'src: url("static/fonts/RobotoMono-VariableFont_wght.ttf"); }</style>'
)


def kept_local(server: type[Server]) -> type[Server]:
    """The server class of textual-serve, kept to this machine and quick to end."""

    class LocalServer(server):  # type: ignore[misc, valid-type]
        def __init__(self, command: str, host: str, port: int, title: str) -> None:
            super().__init__(command, host=host, port=port, title=title)
            self._visits: set[asyncio.Task[object]] = set()

        async def handle_index(self, request: web.Request) -> web.Response:
            response: web.Response = await super().handle_index(request)
            response.text = _ELSEWHERE.sub(_FONT, response.text or "")
            return response

        async def handle_websocket(self, request: web.Request) -> web.WebSocketResponse:
            visit = asyncio.current_task()
            assert visit is not None
            self._visits.add(visit)
            try:
                socket: web.WebSocketResponse = await super().handle_websocket(request)
                return socket
            finally:
                self._visits.discard(visit)

        async def on_shutdown(self, app: web.Application) -> None:
            # Otherwise the web server waits a minute for the pages that are still open.
            for visit in tuple(self._visits):
                visit.cancel()

    return LocalServer
