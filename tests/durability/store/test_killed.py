"""A kitchen killed at random instants loses nothing it acknowledged and applies nothing twice.

Killed is SIGKILL: what the process wrote and had not forced out is still in the machine's memory, so this
does not stand for a power cut; SQLite's own tests do (sqlite.org/atomiccommit.html, section 9).
As many kills as `--kills` says: 30; `--kills 1000` takes some two minutes.
"""

from __future__ import annotations

import random
import sqlite3
from pathlib import Path

import pytest

from hearthtide.service.state import folded, snapshot_of
from hearthtide.store.database import open_database
from killed_kitchen import Kitchen
from told_night import Told

# Half of the writers are killed so long after their start, which is while they open the file; the others so
# long after some command was acknowledged, which is while the next is written. A command takes 1 to 10 ms.
OPENING_S, WRITING_S, MOST_ACKS = 0.04, 0.008, 12


@pytest.fixture
def killed():
    kitchen = Kitchen(Path(__file__).with_name("killed_writer.py"))
    yield kitchen
    kitchen.close()


def test_no_acknowledged_command_is_lost_and_none_is_applied_twice(killed, tmp_path, request):
    kills, rng = request.config.getoption("--kills"), random.Random(7)
    path, acknowledged, unanswered = tmp_path / "nights.db", [], "none"
    lost_answers = 0
    for run in range(kills):
        acks, wait_s = rng.choice(((0, OPENING_S), (rng.randint(1, MOST_ACKS), WRITING_S)))
        told = killed.killed(path, run, acks, rng.uniform(0.0, wait_s), unanswered)
        acknowledged += [id for id in told if id != unanswered]
        if not path.exists():
            continue
        with open_database(path) as database:
            entries = database.log("tonight").read()
        ids = [entry.id for entry in entries]
        assert [entry.seq for entry in entries] == list(range(1, len(ids) + 1))
        assert len(set(ids)) == len(ids)
        assert set(acknowledged) <= set(ids)
        extra = set(ids) - set(acknowledged)
        lost_answers += len(extra)
        # Written, and killed before it could say so: the next writer tells it again and is told it stands.
        acknowledged += extra
        unanswered = ids[-1] if ids else "none"
    with open_database(path) as database:
        night = Told(database.log("tonight"))
        state = folded(night.log.read())
        assert snapshot_of(night.night.state) == snapshot_of(state)
        assert [taken.reading.place for taken in state.facts.readings] == [e.id for e in night.log.read()]
    with sqlite3.connect(path) as connection:
        assert connection.execute("PRAGMA integrity_check").fetchone() == ("ok",)
    connection.close()
    print(f"{kills} kills, {len(acknowledged)} commands, {lost_answers} of them written but not answered")
    assert len(acknowledged) >= kills


def test_killed_while_the_tables_are_made_the_file_opens_again(killed, tmp_path, request):
    rng = random.Random(8)
    for run in range(max(5, request.config.getoption("--kills") // 10)):
        path = tmp_path / f"nights-{run}.db"
        acks = killed.killed(path, run, 0, rng.uniform(0.0, OPENING_S))
        with open_database(path) as database:
            night = Told(database.log("tonight"))
            assert {entry.id for entry in night.log.read()} >= set(acks)
