"""A rehearsal's board keeps records, and nobody takes them for the house's."""

from __future__ import annotations

from pathlib import Path

from hearthtide.cli.rehearse_board import RECORDS, rehearsal_records
from hearthtide.service.records.book import LOG
from hearthtide.service.records.entries import LotMade, Record
from hearthtide.store.database import open_database
from kept_lots import house_by


def test_lots_of_a_rehearsal_are_kept_in_a_log_of_their_own(tmp_path: Path) -> None:
    with open_database(tmp_path / "rehearsal.db") as database:
        keeping = rehearsal_records(database, house_by(), lambda: 15 * 3600.0)
        now = keeping.now()
        made = LotMade("chicken", "half_chicken", "12", food="poultry")
        keeping.write(Record("one-0001", "Chef", "tablet", now, now, 0, made))
        (lot,) = keeping.watched().lots
        assert (lot.lot, lot.made_s) == ("chicken", 15 * 3600.0)
        assert [entry.id for entry in database.log(RECORDS).read()][1:] == ["one-0001"]
        assert not database.log(LOG).read()
