"""A disk that is really full, and one that may only be read: told plainly, nothing lost, on it goes.

The disk is a small one in memory that the test mounts. Where it may not, the tests are skipped and say so;
the same is then tried by a limit on the file alone (tests/unit/store/test_faults.py).
"""

import sqlite3
import subprocess

import pytest

from hearthtide.errors import StoreError
from hearthtide.service import commands as told
from hearthtide.store.database import open_database
from told_night import AT_S, Told


def mount(*words):
    return subprocess.run(["mount", *words], capture_output=True, text=True, check=False)


@pytest.fixture
def disk(tmp_path):
    """A disk of 2 MB."""
    place = tmp_path / "disk"
    place.mkdir()
    try:
        done = mount("-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place))
    except FileNotFoundError:
        pytest.skip("no `mount` here: a disk that is full is not tried")
    if done.returncode != 0:
        pytest.skip(f"this user may not mount a disk ({done.stderr.strip()}): one that is full is not tried")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def reading(n):
    what = told.Reading(61.5, "core", "probe 2", place="x" * 60)
    return told.Command(f"tablet-1-{n:05}", "Ana", AT_S, what)


def refused(night, n):
    with pytest.raises(StoreError) as wrong:
        night.night.tell(reading(n))
    assert "\n" not in str(wrong.value) and "nights.db" in str(wrong.value)
    return str(wrong.value)


def checked(path, taken):
    with open_database(path) as database:
        night = Told(database.log("tonight"))
        assert [entry.seq for entry in night.log.read()] == list(range(1, taken + 1))
        assert len(night.facts.readings) == taken
    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()


def test_a_full_disk_keeps_what_was_taken_and_goes_on_once_there_is_room(disk):
    path, ballast = disk / "nights.db", disk / "ballast"
    ballast.write_bytes(b"x" * 900_000)
    with open_database(path) as database:
        night = Told(database.log("tonight"))
        taken = 0
        try:
            while taken < 5000:
                assert night.night.tell(reading(taken)).taken
                taken += 1
        except StoreError:
            pass
        assert 20 < taken < 5000
        assert "disk" in refused(night, taken)
        assert night.night.state.seq == taken
        ballast.unlink()
        assert night.night.tell(reading(taken)).seq == taken + 1
    checked(path, taken + 1)


def test_a_disk_that_becomes_read_only_keeps_what_was_taken(disk):
    path = disk / "nights.db"
    with open_database(path) as database:
        night = Told(database.log("tonight"))
        for n in range(5):
            assert night.night.tell(reading(n)).taken
    assert mount("-o", "remount,ro", str(disk)).returncode == 0
    with pytest.raises(StoreError, match=r"nights\.db: it (may not be written|cannot be opened)"):
        open_database(path)
    assert mount("-o", "remount,rw", str(disk)).returncode == 0
    checked(path, 5)
