"""The server of a finished report: this machine only, this folder only, to read only."""

import http.client
import socket
import threading
from collections.abc import Iterator
from http.server import ThreadingHTTPServer
from pathlib import Path

import pytest

from hearthtide.board.serve import ServeError, address, make_server


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A report beside something that is nobody's business."""
    report = tmp_path / "report"
    (report / "pictures").mkdir(parents=True)
    (report / "index.html").write_text("<p>the night</p>", encoding="utf-8")
    (report / "pictures" / "stone-1.svg").write_text("<svg/>", encoding="utf-8")
    (report / "plan.bin").write_bytes(b"\0")
    (tmp_path / "secret.txt").write_text("secret", encoding="utf-8")
    (report / "link.txt").symlink_to(tmp_path / "secret.txt")
    (report / "loop.txt").symlink_to(report / "loop.txt")
    return report


@pytest.fixture
def server(folder: Path) -> Iterator[ThreadingHTTPServer]:
    made = make_server(folder)
    thread = threading.Thread(target=made.serve_forever, kwargs={"poll_interval": 0.02})
    thread.start()
    yield made
    made.shutdown()
    made.server_close()
    thread.join()


def ask(
    server: ThreadingHTTPServer, target: str, method: str = "GET", host: str | None = None
) -> tuple[int, dict[str, str], bytes]:
    port = server.server_address[1]
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
    connection.putrequest(method, target, skip_host=True)
    connection.putheader("Host", f"127.0.0.1:{port}" if host is None else host)
    connection.endheaders()
    answer = connection.getresponse()
    body = answer.read()
    connection.close()
    return answer.status, dict(answer.getheaders()), body


def test_it_listens_on_the_loopback_only(server: ThreadingHTTPServer) -> None:
    assert server.server_address[0] == "127.0.0.1"
    assert address(server) == f"http://127.0.0.1:{server.server_address[1]}/"


def test_the_page_and_its_pictures_are_served(server: ThreadingHTTPServer) -> None:
    for target in ("/", "/index.html", "/index.html?x=1"):
        status, headers, body = ask(server, target)
        assert (status, body) == (200, b"<p>the night</p>")
        assert headers["Content-Type"] == "text/html; charset=utf-8"
    status, headers, body = ask(server, "/pictures/stone-1.svg")
    assert (status, headers["Content-Type"], body) == (200, "image/svg+xml", b"<svg/>")


def test_headers_keep_the_page_to_itself(server: ThreadingHTTPServer) -> None:
    for target in ("/", "/nothing.html"):
        _, headers, _ = ask(server, target)
        assert headers["Cache-Control"] == "no-store"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["Content-Security-Policy"].startswith("default-src 'none'")
        assert "Python" not in headers["Server"]


def test_head_answers_without_a_body(server: ThreadingHTTPServer) -> None:
    status, headers, body = ask(server, "/", "HEAD")
    assert (status, headers["Content-Length"], body) == (200, "16", b"")


@pytest.mark.parametrize("method", ["POST", "PUT", "DELETE", "OPTIONS", "PATCH", "TRACE"])
def test_nothing_but_reading_is_answered(server: ThreadingHTTPServer, method: str) -> None:
    assert ask(server, "/", method)[0] == 501


@pytest.mark.parametrize(
    "target",
    [
        "/../secret.txt",
        "/%2e%2e/secret.txt",
        "/pictures/../../secret.txt",
        "/..%2fsecret.txt",
        "/..%5csecret.txt",
        "//secret.txt",
        "/link.txt",
        "/loop.txt",
        "/plan.bin",
        "/pictures",
        "/pictures/",
        "/index.html%00.txt",
        "/" + "a" * 3000 + ".txt",
        "/%ff%fe.txt",
    ],
)
def test_nothing_outside_the_folder_and_no_unknown_kind(server: ThreadingHTTPServer, target: str) -> None:
    status, _, body = ask(server, target)
    assert status == 404
    assert b"secret" not in body


def test_an_absolute_path_does_not_lead_out(server: ThreadingHTTPServer, folder: Path) -> None:
    assert ask(server, str(folder.parent / "secret.txt"))[0] == 404
    assert ask(server, f"/{folder.parent / 'secret.txt'}")[0] == 404


@pytest.mark.parametrize("host", ["evil.example", "127.0.0.1:1", "127.0.0.1", "localhost.evil.example", ""])
def test_another_host_name_is_refused(server: ThreadingHTTPServer, host: str) -> None:
    status, _, body = ask(server, "/", host=host)
    assert status == 403
    assert b"night" not in body


def test_localhost_is_a_name_of_this_machine(server: ThreadingHTTPServer) -> None:
    assert ask(server, "/", host=f"LocalHost:{server.server_address[1]}")[0] == 200


def test_two_host_headers_are_refused(server: ThreadingHTTPServer) -> None:
    port = server.server_address[1]
    with socket.create_connection(("127.0.0.1", port), timeout=5) as raw:
        raw.sendall(f"GET / HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nHost: evil.example\r\n\r\n".encode())
        assert b" 403 " in raw.recv(4096).split(b"\r\n")[0]


def test_a_port_that_is_taken_is_told(folder: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        port = other.getsockname()[1]
        with pytest.raises(ServeError, match=f"port {port} is taken"):
            make_server(folder, port)


def test_a_port_that_does_not_exist_is_told(folder: Path) -> None:
    with pytest.raises(ServeError, match="port 70000 does not exist"):
        make_server(folder, 70_000)


def test_a_folder_without_a_report_is_told(tmp_path: Path) -> None:
    with pytest.raises(ServeError, match=r"no index\.html"):
        make_server(tmp_path)
