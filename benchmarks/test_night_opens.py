"""How long a night of 10,000 events takes to open, and one command to be durable and answered.

390 tickets of five plates each, four acts and a reading for every plate: three busy nights in one.
"""

from itertools import count, islice
from pathlib import Path

import pytest

from hearthtide.house.files import read_house
from hearthtide.service import commands as told
from hearthtide.service.commands import Command
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.night import Night
from hearthtide.service.state import snapshot_of
from hearthtide.service.tickets import Course, Plate, Ticket
from hearthtide.store.database import open_database

HOUSE = Path(__file__).parents[1] / "examples" / "brindlecote"
EVENTS = 10_000
DOORS_S = 17 * 3600.0
ACTS = ("launch", "turn", "spin", "pull")
DISHES = ("pizza", "strip_steak", "shrimp", "half_chicken", "wings")


def a_long_night():
    """Commands with their seconds: a ticket each 40 s, then what becomes of its plates."""
    for n in range(390):
        at_s = DOORS_S + 40.0 * n
        table = f"T{n}"
        plates = tuple(map(Plate, DISHES))
        yield at_s, told.TicketCalled(Ticket(table, 4, at_s, (Course(at_s + 1200, plates),)), "tapped")
        for item in (f"{table}-{k}" for k in range(1, 6)):
            yield from ((at_s + 5, told.MoveDone(item, act)) for act in ACTS)
            yield at_s + 6, told.Reading(70.0, "core", "probe 2", item=item)
        yield at_s + 7, told.Landed(table)


@pytest.fixture(scope="module")
def nights(tmp_path_factory):
    """The night in a file, told through the service; its kitchen."""
    kitchen = Kitchen(read_house(HOUSE))
    now = [DOORS_S]
    with open_database(tmp_path_factory.mktemp("night") / "nights.db") as database:
        night = Night(database.log("tonight"), kitchen, lambda: now[0])
        for n, (at_s, what) in enumerate(islice(a_long_night(), EVENTS)):
            now[0] = at_s
            assert night.tell(Command(f"tablet-1-{n:06}", "Ana", at_s, what)).taken
        yield database, kitchen, night


def test_open_from_every_event(benchmark, nights):
    database, kitchen, night = nights
    opened = benchmark.pedantic(lambda: Night(database.log("tonight"), kitchen, lambda: 0.0), rounds=3)
    assert opened.state == night.state


def test_open_from_a_snapshot(benchmark, nights):
    database, kitchen, night = nights
    database.log("tonight").keep(snapshot_of(night.state))
    opened = benchmark.pedantic(lambda: Night(database.log("tonight"), kitchen, lambda: 0.0), rounds=3)
    assert opened.state == night.state


def test_one_command_told(benchmark, nights):
    _, _, night = nights
    ids = count(1)
    at_s = night.state.heard_s

    def tell():
        reading = told.Reading(70.0, "core", "probe 2", place="pass")
        return night.tell(Command(f"tablet-2-{next(ids):06}", "Ana", at_s, reading))

    assert benchmark.pedantic(tell, rounds=200).taken
