"""A browser for all tests of a worker, the screens bundled once, boards and tablets as tests ask for them."""

import threading
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer

import pytest
from playwright.sync_api import sync_playwright

from screens import BoardProcess, Tablet, build_screens, chromium


@pytest.fixture(scope="session")
def browser():
    path = chromium()
    with sync_playwright() as playwright:
        # Without its sandbox, which a container seldom lets it have; every page it opens is our own.
        one = playwright.chromium.launch(executable_path=path, args=["--no-sandbox", "--disable-gpu"])
        yield one
        one.close()


@pytest.fixture(scope="session")
def static(tmp_path_factory):
    out = tmp_path_factory.mktemp("screens")
    build_screens(out)
    return out


class Quiet(SimpleHTTPRequestHandler):
    def log_message(self, *_):
        """Tests print nothing of what was fetched."""


@pytest.fixture(scope="session")
def invented(tmp_path_factory):
    """Where the pages on invented data are."""
    out = tmp_path_factory.mktemp("invented")
    build_screens(out, "--fixtures")
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Quiet, directory=str(out))) as server:
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield f"http://127.0.0.1:{server.server_port}/dev.html"
        server.shutdown()


@pytest.fixture
def board(tmp_path, static):
    one = BoardProcess(tmp_path, static)
    one.start()
    yield one
    one.kill()


@pytest.fixture(scope="session")
def standing_board(tmp_path_factory, static):
    """One board for all tests that neither stop it nor tell it anything."""
    one = BoardProcess(tmp_path_factory.mktemp("standing"), static)
    one.start()
    yield one
    one.kill()


@pytest.fixture
def tablets(browser):
    """Opens a tablet at an address. Fails when one of its pages complained of something."""
    opened: list[Tablet] = []

    def opens(address: str, size: str = "tablet", **options) -> Tablet:
        opened.append(Tablet(browser, address, size, **options))
        return opened[-1].open()

    yield opens
    complaints = [words for one in opened for words in one.complaints if not _expected(words)]
    for one in opened:
        one.close()
    assert complaints == []


@pytest.fixture
def tablet(tablets, board):
    """Opens a tablet of the test's own board: `tablet()`, `tablet("hand")`."""
    return lambda size="tablet", **options: tablets(board.address, size, **options)


def _expected(words: str) -> bool:
    """A browser writes down every request that got no answer, or a refusal, whatever the page makes of it."""
    return any(part in words for part in ("Failed to load resource", "net::ERR", "fetching the script"))
