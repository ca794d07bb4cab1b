"""What holds for every log: in memory, in SQLite, in PostgreSQL."""

from concurrent.futures import ThreadPoolExecutor

import pytest

from hearthtide.service import commands as told
from hearthtide.service.log import AlreadyThere, Entry, LogMoved, Snapshot
from told_night import AT_S, Told, called


def test_entries_are_numbered_from_one_and_read_from_anywhere(new_log):
    log = new_log()
    assert log.read() == () and log.by_id("device-a-1") is None
    entries = [log.append(f"device-a-{n}", f'{{"n":{n}}}', n - 1) for n in range(1, 5)]
    assert entries == [Entry(n, f"device-a-{n}", f'{{"n":{n}}}') for n in range(1, 5)]
    assert list(log.read()) == entries
    assert list(log.read(2)) == entries[2:]
    assert list(log.read(9)) == []
    assert log.by_id("device-a-3") == entries[2]


def test_who_believes_another_end_is_told_where_it_is(new_log):
    log = new_log()
    log.append("device-a-1", "one", 0)
    for after in (0, 2, 7):
        with pytest.raises(LogMoved) as moved:
            log.append("device-a-2", "two", after)
        assert moved.value.last == 1
    assert len(log.read()) == 1


def test_an_id_stands_once(new_log):
    log = new_log()
    first = log.append("device-a-1", "one", 0)
    with pytest.raises(AlreadyThere) as there:
        log.append("device-a-1", "other", 1)
    assert there.value.entry == first
    assert list(log.read()) == [first]


def test_text_comes_back_byte_for_byte(new_log):
    log = new_log()
    body = '{"b": 1,  "a":"\\u0000 é ☃ \\ud83d", "n":1.10}\n' + "x" * 5000
    log.append("device-a-1", body, 0)
    assert log.read()[0].body == body


def test_the_last_snapshot_is_kept_and_an_older_one_is_gone(new_log):
    log = new_log()
    assert log.snapshot() is None
    log.keep(Snapshot(3, 1, "three"))
    log.keep(Snapshot(5, 2, "five"))
    assert log.snapshot() == new_log().snapshot() == Snapshot(5, 2, "five")


def test_many_hands_at_once_lose_nothing_and_write_nothing_twice(new_log):
    def write(hand):
        log, last, written = new_log(), 0, 0
        while written < 25:
            try:
                last = log.append(f"device-{hand}-{written}", str(hand), last).seq
                written += 1
            except LogMoved as moved:
                last = moved.last

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(write, range(4)))
    entries = new_log().read()
    assert [entry.seq for entry in entries] == list(range(1, 101))
    assert {entry.id for entry in entries} == {f"device-{h}-{n}" for h in range(4) for n in range(25)}


def test_one_command_told_by_many_hands_at_once_is_taken_once(new_log):
    """Two services on one log, four threads each, all with the same command: one answer is the first."""
    nights = [Told(new_log()), Told(new_log())]
    command = told.Command("tablet-1-0001", "Ana", AT_S, called())
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda k: nights[k % 2].night.tell(command), range(8)))
    assert sorted(answer.repeat for answer in answers) == [False] + [True] * 7
    assert {(answer.seq, answer.taken) for answer in answers} == {(1, True)}
    for night in nights:
        assert [t.table for t in night.night.read_on().facts.tickets] == ["B4"]


def test_a_night_told_is_the_same_state_from_any_log(new_log):
    """The state folded from this log is, byte for byte, that of the same night told to memory."""
    here, memory = Told(new_log()), Told()
    for night in (here, memory):
        night.taken(called(later="cheese_dip"))
        night.taken(told.MoveDone("B4-1", "launch"), id="tablet-1-0001")
        night.refused(called())
        night.now_s += 4.2
        night.taken(told.Undo("tablet-1-0001"))
        night.taken(told.Reading(61.45, "core", "probe 2", item="B4-2"), at_s=AT_S + 1 / 3)
        night.taken(told.Amended("B4", covers=3))
        night.night.keep()
    assert [e.body for e in here.log.read()] == [e.body for e in memory.log.read()]
    assert here.log.snapshot() == memory.log.snapshot()
    assert Told(new_log()).night.state == memory.night.state
