"""What is there now, of a log with lots that are over: the same labels as from all entries."""

from __future__ import annotations

from pathlib import Path

import pytest

from hearthtide.cli.lots_there import lots_there
from hearthtide.errors import InputError
from hearthtide.printing.lot_labels import label_of, left_of
from hearthtide.service.records.book import LOG, Book
from hearthtide.service.records.entries import LotBecame, LotMade, ProcedureKept, Pulled, TimeMarked
from hearthtide.store.database import open_database
from kept_lots import Lots, house_by
from read_by_hand import at


@pytest.fixture
def lots() -> Lots:
    """A chilled lot of which one portion is served already, one that was thrown away, one made of a third."""
    one = Lots()
    one.chilled()
    one.write(Pulled("chicken/1", "chicken", "1 half"), "20:00")
    one.write(LotBecame("chicken/1", "discarded"), "20:20")
    one.write(LotMade("stock", "stock", "4 l"), "20:30")
    one.write(LotMade("soup", "soup", "8", made_of=("stock",)), "20:40")
    one.became("discarded", "20:50", "stock")
    return one


def saved(lots: Lots, folder: Path) -> Path:
    with open_database(str(folder / "nights.db")) as database:
        book = Book(database.log(LOG), None)
        for record in Book(lots.log, None).read().records:
            book.write(record)
    return folder


def test_lots_that_are_there_and_those_that_are_over(lots: Lots, tmp_path: Path) -> None:
    found = lots_there(saved(lots, tmp_path), None)
    assert (found.lots, found.gone) == (("chicken", "soup"), ("chicken/1", "stock"))


def test_what_is_kept_decides_as_all_entries_do(lots: Lots, tmp_path: Path) -> None:
    found, whole = lots_there(saved(lots, tmp_path), None), Book(lots.log, None).about(lambda _: True)
    assert len(found.ledger.records) <= len(whole.records)
    for lot in found.lots:
        assert left_of(found.ledger, lot) == left_of(whole, lot)
        by_few, by_all = (
            label_of(one, lot, house_by(), {}, lots.now, False) for one in (found.ledger, whole)
        )
        assert by_few == by_all
    assert left_of(found.ledger, "chicken") == 11


def test_a_procedure_for_time_alone_decides_about_what_left_the_cold(tmp_path: Path) -> None:
    one = Lots()
    one.write(ProcedureKept("time alone", "binder 3"), "11:00")
    one.chilled()
    one.pulled("19:20")
    one.write(TimeMarked("chicken/1", at("23:00", one.day)), "19:21")
    found = lots_there(saved(one, tmp_path), None)
    told = label_of(found.ledger, "chicken/1", house_by(), {}, one.now, False)
    assert (told.why, told.warning) == ("as marked", "")


def test_entries_of_what_is_over_are_left_out(tmp_path: Path) -> None:
    one = Lots()
    one.chilled()
    one.became("discarded", "20:00")
    one.made("21:00", "chicken 2")
    found = lots_there(saved(one, tmp_path), None)
    assert found.lots == ("chicken 2",) and len(found.ledger.records) == 1


def test_a_house_without_records_is_told_which_file_lacks(tmp_path: Path) -> None:
    with pytest.raises(InputError, match=r"nights\.db"):
        lots_there(tmp_path, None)
