"""Shows a finished report on this machine: its folder over HTTP on the loopback, to read only."""

from __future__ import annotations

import errno
import signal
import socket
import sys
import threading
from collections.abc import Callable
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from types import FrameType
from urllib.parse import unquote, urlsplit

from hearthtide.errors import HearthtideError

LOOPBACK = "127.0.0.1"
TYPES = {
    ".html": "text/html; charset=utf-8",
    ".svg": "image/svg+xml",
    ".pdf": "application/pdf",
    ".json": "application/json",
    ".csv": "text/csv; charset=utf-8",
    ".txt": "text/plain; charset=utf-8",
}
HEADERS = {
    "Cache-Control": "no-store",
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "no-referrer",
    "Content-Security-Policy": "default-src 'none'; style-src 'unsafe-inline'; img-src data:",
}
IDLE_S = 20.0  # a connection that says nothing for so long is closed: own choice


class ServeError(HearthtideError):
    """The report cannot be shown; the message says why and what to do."""


def serve(folder: Path, port: int = 0, on_ready: Callable[[str], None] = lambda _url: None) -> None:
    """Serves the files of `folder` on 127.0.0.1 until stopped by an interrupt (Ctrl-C) or SIGTERM.

    `port` 0 takes any free one. `on_ready` is told the address once requests are answered. Only GET and
    HEAD are answered, only for files inside the folder, and only when asked for under a loopback name.

    Raises
    ------
    ServeError
        `folder` holds no index.html, or the port is taken or not allowed.
    """
    server = make_server(folder, port)
    stopped = threading.Event()
    before = _on_sigterm(stopped)
    thread = threading.Thread(target=server.serve_forever, kwargs={"poll_interval": 0.1}, daemon=True)
    thread.start()
    try:
        on_ready(address(server))
        stopped.wait()
    except KeyboardInterrupt:
        stopped.set()
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
        _restore_sigterm(before)


def make_server(folder: Path, port: int = 0) -> ThreadingHTTPServer:
    """The server, bound and not yet answering; raises as `serve` does."""
    if not (folder / "index.html").is_file():
        raise ServeError(f"{folder} holds no index.html. Write the report first.")
    root = folder.resolve()

    class Handler(_Files):
        files = root

    try:
        return _Server((LOOPBACK, port), Handler)
    except OverflowError as err:
        raise ServeError(f"port {port} does not exist (expected 0 to 65535).") from err
    except OSError as err:
        if err.errno == errno.EADDRINUSE:
            words = f"port {port} is taken by another program. Choose another port, or 0 for any free one."
        else:
            words = f"port {port} cannot be used: {err.strerror or err}. Choose another port."
        raise ServeError(words) from err


def address(server: ThreadingHTTPServer) -> str:
    """Where to point a browser on this machine."""
    return f"http://{LOOPBACK}:{server.server_address[1]}/"


Address = tuple[str, int]
Request = socket.socket | tuple[bytes, socket.socket]


class _Server(ThreadingHTTPServer):
    daemon_threads = True
    allow_reuse_address = True

    def handle_error(self, request: Request, client_address: Address) -> None:
        """A browser that leaves in the middle of an answer is no error worth words."""
        if not isinstance(sys.exc_info()[1], ConnectionError | TimeoutError):
            super().handle_error(request, client_address)


class _Files(BaseHTTPRequestHandler):
    """GET and HEAD for regular files inside `files`; everything else is refused."""

    files = Path()
    server_version = "hearthtide"
    sys_version = ""
    timeout = IDLE_S

    def do_GET(self) -> None:
        self._answer(with_body=True)

    def do_HEAD(self) -> None:
        self._answer(with_body=False)

    def end_headers(self) -> None:
        for name, value in HEADERS.items():
            self.send_header(name, value)
        super().end_headers()

    def log_message(self, format: str, *args: object) -> None:
        """Requests are not worth a line."""

    def _answer(self, with_body: bool) -> None:
        if not self._asked_as_loopback():
            self._refuse(HTTPStatus.FORBIDDEN, with_body)
            return
        try:
            path = _inside(self.files, self.path)
            body = None if path is None else path.read_bytes()
        except (OSError, RuntimeError):  # a name too long, a loop of links, a file that may not be read
            path = body = None
        if path is None or body is None:
            self._refuse(HTTPStatus.NOT_FOUND, with_body)
            return
        self.send_response(HTTPStatus.OK)
        self.send_header("Content-Type", TYPES[path.suffix])
        self._send(body, with_body)

    def _asked_as_loopback(self) -> bool:
        """Is the Host header one of our own? Another name is a page elsewhere that points here."""
        port = int(self.connection.getsockname()[1])
        names = {f"{name}:{port}" for name in (LOOPBACK, "localhost")}
        if port == 80:
            names |= {LOOPBACK, "localhost"}
        hosts = self.headers.get_all("Host") or []
        return len(hosts) == 1 and hosts[0].strip().lower() in names

    def _refuse(self, status: HTTPStatus, with_body: bool) -> None:
        self.send_response(status)
        self.send_header("Content-Type", TYPES[".txt"])
        self._send(f"{status.phrase}\n".encode(), with_body)

    def _send(self, body: bytes, with_body: bool) -> None:
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        if with_body:
            self.wfile.write(body)


def _inside(root: Path, target: str) -> Path | None:
    """The file a request means, when it is a regular file of a known kind inside the folder."""
    asked = unquote(urlsplit(target).path, errors="replace").lstrip("/") or "index.html"
    if "\0" in asked or "\\" in asked:
        return None
    path = (root / asked).resolve()
    if not path.is_relative_to(root) or path.suffix not in TYPES or not path.is_file():
        return None
    return path


def _on_sigterm(stopped: threading.Event) -> object:
    """Lets SIGTERM stop the server; only the main thread may change signals, elsewhere nothing is changed."""
    if threading.current_thread() is not threading.main_thread():
        return None

    def stop(_number: int, _frame: FrameType | None) -> None:
        stopped.set()

    return signal.signal(signal.SIGTERM, stop)


def _restore_sigterm(before: object) -> None:
    if callable(before) or isinstance(before, signal.Handlers):
        signal.signal(signal.SIGTERM, before)
