"""The count at close: sums by hand, what could explain a difference, the morning's table read back."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from hearthtide.cli.count_told import stock_table, take_count, told_lots
from hearthtide.house.pars_file import MadeFile
from hearthtide.house.stock_file import take_stock
from hearthtide.printing.lot_codes import in_groups, lot_number
from hearthtide.service.records.book import Book
from hearthtide.service.records.entries import LotMade, Pulled
from kept_lots import Lots, house_by
from read_by_hand import DAY

MADE = {
    "chicken": MadeFile(name="Half chickens roasted", uses={"half_chicken": 1}, days=3, cost=6.5, price=24),
    "wings": MadeFile(name="Wings", uses={"wings": 1}, days=3, cost=3, price=14),
}


def written() -> Lots:
    """12 halves of which 3 were pulled, 20 wings, a dip by weight; a lot thrown away."""
    lots = Lots()
    lots.chilled()
    lots.pulled("20:00")
    lots.write(Pulled("chicken/2", "chicken", "2 halves"), "20:05")
    lots.write(LotMade("wings", "wings", "20"), "21:00")
    lots.write(LotMade("dip", "cheese_dip", "6 kg"), "21:01")
    lots.write(LotMade("gone", "wings", "5"), "21:02")
    lots.became("discarded", "21:03", "gone")
    return lots


def told(counted: dict[str, int]):
    ledger = Book(written().log, None).about(lambda _: True)
    lots = ("chicken", "chicken/1", "chicken/2", "wings", "dip")
    return {one.lot: one for one in told_lots(ledger, lots, counted, house_by(), MADE)}


def test_what_should_be_there_is_what_was_made_less_what_was_pulled() -> None:
    found = told({})
    assert {lot: one.told for lot, one in found.items()} == {
        "chicken": 12 - 1 - 2, "chicken/1": 1, "chicken/2": 2, "wings": 20, "dip": None,
    }  # fmt: skip
    assert all(one.off is None and one.could_be == () for one in found.values())


def test_a_count_as_told_needs_no_explaining() -> None:
    found = told({"chicken": 9, "wings": 20})
    assert found["chicken"].off == 0 and found["chicken"].could_be == ()


def test_a_shortfall_is_explained_and_one_that_another_lot_has_over_is_named_first() -> None:
    found = told({"chicken": 7, "wings": 22})
    assert (found["chicken"].off, found["wings"].off) == (-2, 2)
    assert found["chicken"].could_be[0] == "2 counted as wings by mistake, which is 2 over"
    assert found["wings"].could_be[0] == "2 of chicken counted here by mistake, which is 2 short"
    alone = told({"chicken": 7, "wings": 20})
    assert alone["chicken"].could_be[0] == "served, and nobody wrote down that they were pulled"


def test_a_table_names_lots_by_name_or_number_and_adds_up_what_stands_twice(tmp_path: Path) -> None:
    table = tmp_path / "count.csv"
    number = in_groups(lot_number("wings"))
    table.write_text(
        f"lot,portions\nchicken,4\nchicken,3\n{number},20\nwing,1\ndip,some\n,2\n", encoding="utf-8"
    )
    found, wrong = take_count(table, ["chicken", "wings", "dip"])
    assert found == {"chicken": 7, "wings": 20}
    assert [(one.line, one.field) for one in wrong] == [(5, "lot"), (6, "portions"), (7, "lot")]
    assert "`wings`" in wrong[0].remedy


def test_the_morning_reads_the_count_as_pars_reads_it(tmp_path: Path) -> None:
    found = told({"chicken": 7, "chicken/1": 0, "wings": 20, "dip": 3})
    stock = tmp_path / "stock.csv"
    stock.write_text(stock_table(tuple(found.values())), encoding="utf-8")
    lots, wrong = take_stock(stock, MADE, DAY.date() + timedelta(1))
    assert wrong == ()
    assert sorted((one.key, one.made, one.portions) for one in lots) == [
        ("chicken", DAY.date(), 7), ("wings", DAY.date(), 20),
    ]  # fmt: skip
