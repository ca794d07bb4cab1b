"""Every kind of log there is, empty, for tests that hold for all of them."""

from itertools import count

import pytest

from hearthtide.service.log import MemoryLog
from hearthtide.store.database import open_database
from postgres import running_server

NIGHTS = count(1)


@pytest.fixture(scope="session")
def server():
    with running_server() as address:
        yield address


@pytest.fixture(params=["memory", "sqlite", "postgresql"])
def new_log(request, tmp_path):
    """Makes a log of a night of its own; called twice it is another hand on the same night."""
    if request.param == "memory":
        only = MemoryLog()
        yield lambda: only
        return
    where = tmp_path / "nights.db" if request.param == "sqlite" else request.getfixturevalue("server")
    night, opened = f"night {next(NIGHTS)}", []

    def make():
        opened.append(open_database(where))
        return opened[-1].log(night)

    yield make
    for database in opened:
        database.close()
