"""A network between a tablet and its board that goes silent without closing anything, as a radio does."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress


class BadNetwork:
    """Passes on what goes between a port of its own and the board's; while `silent` it swallows all of it."""

    def __init__(self, board_port: int) -> None:
        self.board_port, self.silent = board_port, False
        self._at = socket.create_server(("127.0.0.1", 0))
        self.port = self._at.getsockname()[1]
        threading.Thread(target=self._accept, daemon=True).start()

    @property
    def address(self) -> str:
        return f"http://127.0.0.1:{self.port}/"

    def close(self) -> None:
        self._at.close()

    def _accept(self) -> None:
        with suppress(OSError):  # closed: the test is over
            while True:
                near, _ = self._at.accept()
                threading.Thread(target=self._join, args=(near,), daemon=True).start()

    def _join(self, near: socket.socket) -> None:
        try:
            far = socket.create_connection(("127.0.0.1", self.board_port))
        except OSError:  # the board is down
            near.close()
            return
        back = threading.Thread(target=self._pass, args=(far, near), daemon=True)
        back.start()
        self._pass(near, far)

    def _pass(self, one: socket.socket, other: socket.socket) -> None:
        with suppress(OSError):  # either side went away: so does the other
            while data := one.recv(65536):
                if not self.silent:
                    other.sendall(data)
        with suppress(OSError):
            other.shutdown(socket.SHUT_WR)
