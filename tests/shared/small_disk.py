"""A store filled until it says no, in this process or in one whose files may not grow.

Here and not beside its test: a new process imports what it is to run by name.
"""

import resource

import pytest

from hearthtide.errors import StoreError
from hearthtide.service import commands as told
from hearthtide.store.database import open_database
from told_night import AT_S, Told


def fill(night, most=5000):
    """Tells readings until the store says no; how many it took, and the one it did not."""
    for n in range(most):
        reading = told.Reading(60 + n % 40, "core", "probe 2", place="x" * 60)
        command = told.Command(f"tablet-1-{n:05}", "Ana", AT_S, reading)
        try:
            assert night.night.tell(command).taken
        except StoreError as err:
            return n, command, str(err)
    pytest.fail(f"{most} readings were taken, expected the store to be full before")


def fill_a_small_disk(path, tell):
    """In a process of its own, in which no file may grow beyond 1.5 MB."""
    resource.setrlimit(resource.RLIMIT_FSIZE, (1_500_000, 1_500_000))
    with open_database(path) as database:
        night = Told(database.log("tonight"))
        taken, _, words = fill(night)
        tell.send((taken, words, night.night.state.seq))
