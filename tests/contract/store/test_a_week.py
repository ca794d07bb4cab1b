"""A week of nights kept on SQLite and on PostgreSQL: the same states, bit for bit."""

from itertools import count
from random import Random

import pytest

from hearthtide.service import commands as told
from hearthtide.service.commands import Command
from hearthtide.service.log import MemoryLog
from hearthtide.service.night import Night
from hearthtide.service.state import folded, snapshot_of
from hearthtide.service.tickets import Course, Plate, Ticket
from hearthtide.store.database import open_database
from told_night import kitchen

DISHES = sorted(kitchen().house.dishes)
DOORS_S, CALLS = 17 * 3600.0, 40


def a_night(seed):
    """Commands of a night and when each is heard: tickets, what becomes of them, some of it taken back."""
    rng, ids, at_s = Random(seed), count(1), DOORS_S

    def say(what, ago_s=0.0):
        return round(at_s, 3), Command(f"night-{seed}-{next(ids):05}", "Ana", round(at_s - ago_s, 3), what)

    for n in range(CALLS):
        at_s += rng.expovariate(1 / 120)
        table = f"{rng.choice('ABC')}{n}"
        plates = tuple(Plate(rng.choice(DISHES)) for _ in range(rng.randint(1, 6)))
        yield say(told.TicketCalled(Ticket(table, 2, at_s, (Course(at_s + 1500, plates),)), "tapped"))
        for k in range(1, len(plates) + 1):
            at_s += rng.random() * 9
            done = say(told.MoveDone(f"{table}-{k}", rng.choice(("launch", "turn", "pull"))))
            yield done
            if rng.random() < 0.3:
                yield say(told.Undo(done[1].id), ago_s=rng.random())
            yield say(told.Reading(round(rng.gauss(60, 9), 2), "core", "probe 2", item=f"{table}-{k}"))
        yield say(rng.choice((told.EightySix(rng.choice(DISHES)), told.Drag(table, 240), told.Landed(table))))


def tell(log, seed):
    now = [0.0]
    night = Night(log, kitchen(), lambda: now[0])
    for heard_s, command in a_night(seed):
        now[0] = heard_s
        night.tell(command)
        if command.id.endswith("00"):
            night.keep()
            night = Night(log, kitchen(), lambda: now[0])
    return snapshot_of(night.state)


def test_a_server_that_drops_every_connection_costs_at_most_one_try(server):
    """A command whose answer was lost is told again and stands once; the next ones go on."""
    with open_database(server) as database, open_database(server) as other:
        now = [0.0]
        night = Night(database.log("dropped"), kitchen(), lambda: now[0])
        for n, (heard_s, command) in enumerate(a_night(99)):
            now[0] = heard_s
            night.tell(command)
            if n % 20 == 0:
                with other._engine.begin() as connection:
                    connection.exec_driver_sql(
                        "SELECT pg_terminate_backend(pid) FROM pg_stat_activity "
                        "WHERE pid <> pg_backend_pid() AND datname = current_database()"
                    )
            assert night.tell(command).repeat
            if n == 100:
                break
        ids = [entry.id for entry in other.log("dropped").read()]
    assert len(ids) == len(set(ids)) == 101


@pytest.mark.parametrize("seed", range(7))
def test_a_week_of_nights_is_the_same_on_both_databases(server, tmp_path, seed):
    wanted = tell(MemoryLog(), seed)
    assert wanted.seq > 300
    for where in (tmp_path / "nights.db", server):
        with open_database(where) as database:
            assert tell(database.log(f"of the week {seed}"), seed) == wanted
        with open_database(where) as database:
            assert snapshot_of(folded(database.log(f"of the week {seed}").read())) == wanted
