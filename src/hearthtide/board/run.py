"""Running the board: on this machine alone, or on the house's network when asked for."""

from __future__ import annotations

import signal
import socket
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import TYPE_CHECKING

from hearthtide.board.serve import ServeError

if TYPE_CHECKING:
    import uvicorn
    from fastapi import FastAPI

GRACE_S = 1  # what is being answered when the board stops is given this long; own choice


def board_server(
    app: FastAPI, at: socket.socket, certificate: Path | None = None, key: Path | None = None
) -> uvicorn.Server:
    """A server of the application; `.run(sockets=[at])` answers until it is stopped.

    `certificate` and `key` are files of a TLS certificate and its key; without them it speaks plain HTTP.
    """
    import uvicorn

    config = uvicorn.Config(
        app,
        log_config=None,  # as the rest of the program: what matters goes to whoever listens
        log_level="warning",
        access_log=False,
        server_header=False,
        proxy_headers=False,
        timeout_graceful_shutdown=GRACE_S,
        ssl_certfile=None if certificate is None else str(certificate),
        ssl_keyfile=None if key is None else str(key),
    )

    class Server(uvicorn.Server):
        """Lets its screens go and returns on SIGINT or SIGTERM; the library's own ends by the signal."""

        async def shutdown(self, sockets: list[socket.socket] | None = None) -> None:
            app.state.board.hub.end()
            await super().shutdown(sockets)

        @contextmanager
        def capture_signals(self) -> Iterator[None]:
            if threading.current_thread() is not threading.main_thread():
                yield
                return
            before = {one: signal.signal(one, self.handle_exit) for one in (signal.SIGINT, signal.SIGTERM)}
            try:
                yield
            finally:
                for one, handler in before.items():
                    signal.signal(one, handler)

    return Server(config)


def bound(host: str, port: int) -> socket.socket:
    """A socket at that address. Raises ServeError when it cannot be had."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    # The protocol by name: without it the event loop lets small answers wait 40 ms for a fuller packet.
    at = socket.socket(family, socket.SOCK_STREAM, socket.IPPROTO_TCP)
    at.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
    try:
        at.bind((host, port))
        at.listen(2048)  # who comes before the server is up waits instead of being refused
    except (OSError, OverflowError) as err:
        at.close()
        why = getattr(err, "strerror", None) or str(err)
        raise ServeError(f"{host} port {port} cannot be used: {why}. Choose another port.") from err
    return at


def run(
    app: FastAPI,
    host: str,
    port: int,
    certificate: Path | None = None,
    key: Path | None = None,
    on_ready: Callable[[int], None] = lambda _port: None,
) -> None:
    """Serves until an interrupt or SIGTERM; `on_ready` is told the port. Raises ServeError."""
    at = bound(host, port)
    try:
        on_ready(at.getsockname()[1])
        board_server(app, at, certificate, key).run(sockets=[at])
    finally:
        at.close()
