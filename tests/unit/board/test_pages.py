"""The screens' own files as the board answers them: kinds, how long they are kept, what they may do."""

import pytest
from fastapi import FastAPI
from fastapi.testclient import TestClient

from hearthtide.board.pages import add_pages
from hearthtide.board.troubles import add_troubles
from live_board import LiveBoard

FILES = {
    "index.html": "<!doctype html><title>here</title>",
    "sw.js": "self",
    "manifest.webmanifest": "{}",
    "stamp": "0123",
    "assets/main-ABCD.js": "1",
    "assets/main-ABCD.css": "a{}",
}


@pytest.fixture
def static(tmp_path):
    for name, text in FILES.items():
        path = tmp_path / "static" / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
    (tmp_path / "secret.txt").write_text("not for screens")
    return tmp_path / "static"


def client(static):
    app = FastAPI()
    add_pages(app, static)
    add_troubles(app)
    return TestClient(app)


@pytest.mark.parametrize(
    ("address", "name", "kind"),
    [
        ("/", "index.html", "text/html; charset=utf-8"),
        ("/sw.js", "sw.js", "text/javascript; charset=utf-8"),
        ("/manifest.webmanifest", "manifest.webmanifest", "application/manifest+json"),
        ("/assets/main-ABCD.css", "assets/main-ABCD.css", "text/css; charset=utf-8"),
    ],
)
def test_each_file_is_answered_as_what_it_is(static, address, name, kind):
    answer = client(static).get(address)
    assert (answer.status_code, answer.text, answer.headers["content-type"]) == (200, FILES[name], kind)


def test_a_file_named_by_its_content_is_kept_for_good_and_no_other(static):
    here = client(static)
    assert "immutable" in here.get("/assets/main-ABCD.js").headers["cache-control"]
    for address in ("/", "/sw.js", "/manifest.webmanifest"):
        assert here.get(address).headers["cache-control"] == "no-cache"


def test_a_page_runs_and_asks_only_what_is_the_boards_own(static):
    policy = client(static).get("/").headers["content-security-policy"]
    rules = dict(rule.strip().split(" ", 1) for rule in policy.split(";"))
    assert rules["default-src"] == "'self'"
    assert "unsafe" not in policy and not any(kind.startswith("script-src") for kind in rules)


@pytest.mark.parametrize(
    "address",
    [
        "/stamp",
        "/assets/../stamp",
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/assets/%2e%2e%2fstamp",
        "/index.html",
    ],
)
def test_nothing_else_is_answered(static, address):
    assert client(static).get(address).status_code == 404


def test_without_the_screens_the_board_says_how_to_get_them(tmp_path):
    answer = client(tmp_path / "none").get("/")
    assert answer.status_code == 503 and "make run" in answer.json()["words"]


def test_a_page_is_answered_under_our_own_names_alone(tmp_path):
    board = LiveBoard(tmp_path)
    answer = board.client().get("/", headers={"Host": "elsewhere.example"})
    board.database.close()
    assert answer.status_code == 421
