"""Where the board listens."""

import socket

import pytest

from hearthtide.board.run import bound
from hearthtide.board.serve import ServeError


def test_small_answers_are_sent_at_once():
    """Python's event loop has waiting off only for sockets made with TCP by name (asyncio.base_events)."""
    at = bound("127.0.0.1", 0)
    assert at.proto == socket.IPPROTO_TCP
    at.close()


def test_a_port_that_is_taken_is_named():
    at = bound("127.0.0.1", 0)
    port = at.getsockname()[1]
    with pytest.raises(ServeError, match=rf"127\.0\.0\.1 port {port} cannot be used.*Choose another port"):
        bound("127.0.0.1", port)
    at.close()
