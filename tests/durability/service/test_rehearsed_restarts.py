"""A night rehearsed while its board dies again and again: nothing told is lost, nothing piles up."""

from __future__ import annotations

import threading

import pytest

from hearthtide.service.commands import event_of
from hearthtide.store.database import open_database
from small_night import clock, small_night
from small_rehearsal import small_rehearsal, upsets

TABLES = small_night(
    *(
        (f"T{n}", f"18:{5 * n:02}", f"18:{5 * n + 17:02}", ("pizza", "steak", "dip")[: 1 + n % 3])
        for n in range(6)
    )
)
DEATHS = [
    {"at": at, "board": "killed"} for at in ("18:03:10", "18:11:41", "18:18:05", "18:26:33", "18:37:20")
]


@pytest.fixture(scope="module")
def soaked(tmp_path_factory):
    where = tmp_path_factory.mktemp("soak") / "night.db"
    with open_database(where) as database:
        rehearsal = small_rehearsal(
            upsets(upsets=DEATHS), books=TABLES, seed=2, cooks=2, open_log=lambda: database.log("soak")
        )
        threads = threading.active_count()
        came = rehearsal.run()
        yield rehearsal, came, threading.active_count() - threads


def test_every_event_that_was_answered_is_in_the_log_once(soaked):
    rehearsal, came, _ = soaked
    assert came.outcome.board_restarts == len(DEATHS)
    assert came.outcome.lost == 0
    ids = [entry.id for entry in rehearsal.night.since(0)]
    assert len(ids) == len(set(ids))
    assert set(rehearsal.telling.answered) <= set(ids)


def test_every_table_lands_once_though_the_board_died(soaked):
    rehearsal, came, _ = soaked
    assert came.outcome.unserved == 0
    told = [event_of(entry) for entry in rehearsal.night.since(0)]
    landed = [e.command.what.table for e in told if e.command.what.kind == "landed" and not e.refused]
    assert sorted(landed) == sorted(t.table for t in TABLES.tickets)


def test_no_thread_is_left_behind(soaked):
    assert soaked[2] == 0


def test_acts_are_told_in_the_order_they_were_done(soaked):
    rehearsal, _, _ = soaked
    facts = rehearsal.night.state.facts
    for plate in (p for t in facts.tickets for p in t.plates if not p.off):
        acts = {d.act: d.at_s for d in plate.done}
        assert acts["launch"] < acts["pull"]
        assert clock("18:00") <= acts["launch"]
