"""A process that forks writers, and what they acknowledged before they were killed."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import time
from pathlib import Path


class Kitchen:
    """The process that forks writers, and what they acknowledged."""

    def __init__(self, script: Path) -> None:
        self.process = subprocess.Popen(
            [sys.executable, str(script)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env=os.environ | {"PYTHONPATH": os.pathsep.join(sys.path)},
        )

    def killed(self, path: Path, run: int, acks: int, wait_s: float, unanswered: str = "none") -> list[str]:
        """Starts a writer, kills it `wait_s` after so many acknowledgements; gives all that were."""
        assert self.process.stdin is not None and self.process.stdout is not None
        self.process.stdin.write(f"{path}\t{run}\t{unanswered}\n")
        self.process.stdin.flush()
        lines: list[str] = []
        while not any(line.startswith("pid ") for line in lines):
            lines.append(self.process.stdout.readline().rstrip("\n"))
        pid = next(int(line[4:]) for line in lines if line.startswith("pid "))
        while sum(line.startswith("ack ") for line in lines) < acks and lines[-1] != "dead":
            lines.append(self.process.stdout.readline().rstrip("\n"))
        time.sleep(wait_s)
        if lines[-1] != "dead":
            os.kill(pid, signal.SIGKILL)
        while lines[-1] != "dead":
            lines.append(self.process.stdout.readline().rstrip("\n"))
        assert not [line for line in lines if line.startswith("failed")], lines
        return [line[4:] for line in lines if line.startswith("ack ")]

    def close(self) -> None:
        self.process.communicate(timeout=20)
