"""`hearthtide board`: the first device, a PIN, a command, a kill, and the night goes on."""

import io
import re
import shutil
import signal
import ssl
import subprocess
import sys
from pathlib import Path

import httpx2
import pytest

from at_the_prompt import typed

HOUSE = Path(__file__).parents[3] / "examples" / "brindlecote"


class Running:
    """The command as a process; its address, and all it printed until it was ready."""

    def __init__(self, store, *words, pin=""):
        command = [
            sys.executable,
            "-m",
            "hearthtide.cli",
            "board",
            str(HOUSE),
            "--store",
            str(store),
            "--port",
            "0",
        ]
        self.process = subprocess.Popen(
            [*command, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        self.process.stdin.write(f"{pin}\n")
        self.process.stdin.flush()
        self.printed = ""
        while "No rule set" not in self.printed:
            line = self.process.stdout.readline()
            if not line:
                raise AssertionError(self.process.stderr.read())
            self.printed += line
        self.address = re.search(r"(https?://\S+?)/\s", self.printed)[1].replace("0.0.0.0", "127.0.0.1")

    def post(self, path, body, token=None):
        headers = {} if token is None else {"Authorization": f"Bearer {token}"}
        return httpx2.post(f"{self.address}{path}", json=body, headers=headers, timeout=30)

    def stop(self, how=signal.SIGTERM):
        self.process.send_signal(how)
        _, err = self.process.communicate(timeout=20)
        return self.process.returncode, err


def test_a_night_from_the_first_device_over_a_kill_to_its_end(tmp_path):
    first = Running(tmp_path / "nights.db", "--night", "2026-03-06", "--chef", "Ana", pin="2580")
    assert "night of 2026-03-06" in first.printed and "Only this machine reaches it" in first.printed
    code = re.search(r"within 5 minutes: ([0-9]{8})", first.printed)[1]
    device = first.post("/api/devices", {"code": code, "device": "tablet"}).json()["token"]
    token = first.post("/api/sessions", {"name": "Ana", "pin": "2580"}, device).json()["token"]
    # That night is long over: the clock is beyond a night's end, so a device's own minute lies in the past.
    told = {"id": "tablet-1-0001", "at_s": 68_400, "what": {"kind": "flame_out"}}
    assert first.post("/api/commands", told, token).json()["taken"]
    assert first.stop(signal.SIGKILL)[0] == -signal.SIGKILL

    second = Running(tmp_path / "nights.db", "--night", "2026-03-06")
    assert "1 events so far" in second.printed and "No device is enrolled" not in second.printed
    again = second.post("/api/commands", told, token).json()
    assert (again["seq"], again["taken"], again["repeat"]) == (1, True, True)
    assert second.stop() == (0, "")


def test_beyond_this_machine_it_says_what_that_means(tmp_path):
    board = Running(tmp_path / "nights.db", "--host", "0.0.0.0", "--chef", "Ana", pin="2580")
    assert board.post("/api/state", {}).status_code == 405  # it is up: stopped before, it is a mere Ctrl-C
    returned, said = board.stop(signal.SIGINT)
    assert returned == 0
    assert "Everything on this network reaches it" in said and "readable to all on it" in said


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ([], "the chef's name, the first time"),
        (["--chef", "Ana"], "4 to 12 digits"),
        (["--chef", "Ana", "--night", "friday"], "a day such as 2026-03-06"),
        (["--chef", "Ana", "--certificate", "x.pem"], "a certificate and its key"),
    ],
)
def test_what_it_cannot_start_with_is_told_in_a_line(tmp_path, monkeypatch, words, said):
    monkeypatch.setattr(sys, "stdin", io.StringIO("1\n"))
    done = typed("board", HOUSE, "--port", "0", "--store", tmp_path / "nights.db", *words)
    assert done.returncode == 2 and said in done.stderr and "Traceback" not in done.stderr


def test_with_a_certificate_it_speaks_tls_alone_and_its_cookie_goes_by_nothing_else(tmp_path):
    if shutil.which("openssl") is None:
        pytest.skip("no `openssl` here to make a certificate with: TLS is not tried")
    files = [str(tmp_path / name) for name in ("key.pem", "certificate.pem")]
    make = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:P-256",
        "-nodes",
        "-days",
        "2",
    ]
    names = ["-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1"]
    subprocess.run([*make, "-keyout", files[0], "-out", files[1], *names], check=True, capture_output=True)
    board = Running(
        tmp_path / "nights.db", "--chef", "Ana", "--key", files[0], "--certificate", files[1], pin="2580"
    )
    assert board.address.startswith("https://")
    code = re.search(r"within 5 minutes: ([0-9]{8})", board.printed)[1]
    with httpx2.Client(base_url=board.address, verify=ssl.create_default_context(cafile=files[1])) as client:
        device = client.post("/api/devices", json={"code": code, "device": "tablet"}).json()["token"]
        came_in = client.post(
            "/api/sessions",
            json={"name": "Ana", "pin": "2580"},
            headers={"Authorization": f"Bearer {device}"},
        )
        assert "secure" in came_in.headers["set-cookie"].lower()
        assert client.get("/api/state").status_code == 200  # by its cookie
    with pytest.raises(httpx2.HTTPError):
        httpx2.get(board.address.replace("https", "http") + "/health", timeout=5)
    assert board.stop()[0] == 0
