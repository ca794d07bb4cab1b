"""Writers of records killed at random instants: the chain is whole, and nothing acknowledged is lost.

As test_killed.py: SIGKILL, which stands for no power cut; as many kills as `--kills` says.
"""

import random
from pathlib import Path

import pytest

from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.chain import checked
from hearthtide.service.records.entries import Corrected
from hearthtide.service.records.ledger import Ledger
from hearthtide.store.database import open_database
from killed_kitchen import Kitchen

OPENING_S, WRITING_S, MOST_ACKS = 0.04, 0.008, 12  # as in test_killed.py


@pytest.fixture
def killed():
    kitchen = Kitchen(Path(__file__).with_name("killed_record_writer.py"))
    yield kitchen
    kitchen.close()


def test_no_acknowledged_record_is_lost_and_the_chain_is_whole(killed, tmp_path, request):
    kills, rng = request.config.getoption("--kills"), random.Random(11)
    path, acknowledged, unanswered = tmp_path / "records.db", [], "none"
    for run in range(kills):
        acks, wait_s = rng.choice(((0, OPENING_S), (rng.randint(1, MOST_ACKS), WRITING_S)))
        told = killed.killed(path, run, acks, rng.uniform(0.0, wait_s), unanswered)
        acknowledged += [id for id in told if id not in acknowledged]
        if not path.exists():
            continue
        with open_database(path) as database:
            book = Book(database.log(LOG), None)
            head, broken = checked(book.walk())
            assert broken is None
            ids = [one.id for one in book.read().records]
        assert head.count == len(ids) == len(set(ids))
        assert set(acknowledged) <= set(ids)
        acknowledged = list(ids)  # what was written and killed before it could say so is there too
        unanswered = ids[-1] if ids else "none"
    assert acknowledged, "some were written"
    with open_database(path) as database:
        ledger = Ledger(Book(database.log(LOG), None).read().records)
    for one in ledger.records:
        if isinstance(one.body, Corrected):
            assert ledger.as_it_stands(one.body.of) == one.body.reading
