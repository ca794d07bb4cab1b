"""A report is shown until it is told to stop, and stops cleanly."""

import signal
import subprocess
import sys
import urllib.request
from pathlib import Path

import pytest

PROGRAM = """
import sys
from pathlib import Path
from hearthtide.board.serve import serve
serve(Path(sys.argv[1]), on_ready=lambda url: print(url, flush=True))
print("stopped", flush=True)
"""


@pytest.mark.parametrize("number", [signal.SIGTERM, signal.SIGINT])
def test_a_signal_stops_it(tmp_path: Path, number: signal.Signals) -> None:
    (tmp_path / "index.html").write_text("<p>tonight</p>", encoding="utf-8")
    command = [sys.executable, "-c", PROGRAM, str(tmp_path)]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        try:
            assert process.stdout is not None and process.stderr is not None
            url = process.stdout.readline().strip()
            with urllib.request.urlopen(url, timeout=5) as answer:
                assert answer.read() == b"<p>tonight</p>"
            process.send_signal(number)
            assert process.wait(timeout=10) == 0
            assert process.stdout.read() == "stopped\n"
            assert process.stderr.read() == ""
        finally:
            process.kill()  # tests run in the background may have it ignore Ctrl-C: it would never end
