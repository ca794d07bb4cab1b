"""A PostgreSQL server of the tests' own: in a temporary folder, on a socket there, without a network.

Taken from the machine (`initdb`, `pg_ctl`) as it is installed. Not there: the tests are skipped and say so;
where CI is set they fail.
"""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

# What a server writes is not forced to its disk here: the tests stop it cleanly.
SETTINGS = "-c listen_addresses='' -c fsync=off -c full_page_writes=off -c shared_buffers=16MB"


def _tool(name: str) -> str | None:
    places = sorted(Path("/usr/lib/postgresql").glob(f"*/bin/{name}"), reverse=True)
    return shutil.which(name) or next(map(str, places), None)


def _owner() -> str | None:
    """A server refuses to run as root: there it runs as the user its package made. Empty: there is none."""
    if os.getuid() != 0:
        return None
    return next((one.pw_name for one in pwd.getpwall() if one.pw_name == "postgres"), "")


@contextmanager
def running_server() -> Iterator[str]:
    """The address of a database on a server that runs as long as this."""
    initdb, control = _tool("initdb"), _tool("pg_ctl")
    user = _owner()
    if initdb is None or control is None or user == "":
        words = (
            "PostgreSQL is not installed here (initdb, pg_ctl, its user): its half of the store is not tested"
        )
        if os.environ.get("CI"):
            pytest.fail(words)
        pytest.skip(words)
    folder = Path(tempfile.mkdtemp(prefix="hearthtide-pg-", dir="/tmp"))
    if user is not None:
        os.chown(folder, pwd.getpwnam(user).pw_uid, -1)
    data = folder / "data"

    def run(*words: str) -> None:
        subprocess.run(words, check=True, user=user, cwd=folder, stdout=subprocess.DEVNULL, timeout=60)

    run(initdb, "-D", str(data), "-U", "cook", "-A", "trust", "-E", "UTF8", "--no-sync")
    run(control, "-D", str(data), "-w", "-l", str(folder / "log"), "-o", f"{SETTINGS} -k {folder}", "start")
    try:
        yield f"postgresql://cook@/postgres?host={folder}"
    finally:
        run(control, "-D", str(data), "-w", "-m", "immediate", "stop")
        shutil.rmtree(folder)
