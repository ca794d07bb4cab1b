"""The count at close: sums by hand, what could explain a difference, the morning's table read back."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

from hearthtide.cli.count_told import left_out, stock_table, take_count, told_lots
from hearthtide.house.pars_file import MadeFile
from hearthtide.house.stock_file import take_stock
from hearthtide.printing.lot_codes import in_groups, lot_number
from hearthtide.service.records.book import Book
from hearthtide.service.records.entries import FreezerMoved, LotMade, Pulled
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
    return told_of(written(), ("chicken", "chicken/1", "chicken/2", "wings", "dip"), counted)


def told_of(lots: Lots, names: tuple[str, ...], counted: dict[str, int], days: int = 0):
    ledger, now = Book(lots.log, None).about(lambda _: True), lots.now + timedelta(days)
    return {one.lot: one for one in told_lots(ledger, names, counted, house_by(), MADE, now)}


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
    assert [(one.key, one.made, one.portions) for one in lots] == [("chicken", DAY.date(), 7)]


NOTHING = "item,made,portions\n"


def test_raw_birds_and_what_left_the_cold_are_nothing_to_serve_from_in_the_morning() -> None:
    # FDA Food Code 2022 1-201.10: ready-to-eat is what is cooked as 3-401.11 asks; a raw bird is not.
    found = tuple(told({"chicken": 7, "chicken/1": 1, "wings": 20, "dip": 3}).values())
    assert stock_table(found) == f"{NOTHING}chicken,{DAY.date()},7\n"
    assert {one.lot: one.not_stock for one in left_out(found) if one.lot != "chicken/1"} == {
        "wings": "it is raw, not chilled", "dip": "it is raw, not chilled",
    }  # fmt: skip
    (pulled,) = (one for one in left_out(found) if one.lot == "chicken/1")
    assert pulled.not_stock == pulled.warning and pulled.warning.startswith("DO NOT USE: time not marked")


def test_what_is_past_its_days_or_fell_or_is_frozen_is_left_out_and_says_why() -> None:
    def why(lots: Lots, days: int = 0) -> str:
        found = tuple(told_of(lots, ("chicken",), {"chicken": 7}, days).values())
        out = left_out(found)
        assert (stock_table(found) == NOTHING) == bool(out)
        return out[0].not_stock if out else ""

    lots = Lots()
    lots.chilled()
    assert why(lots, days=2) == ""
    assert why(lots, days=3).startswith("DO NOT USE: last day was")
    lots.read("55F", "21:00", "warmest")
    assert why(lots).startswith("DO NOT USE. kept cold: fail")
    frozen = Lots()
    frozen.chilled()
    frozen.write(FreezerMoved("chicken", "in"), "19:05")
    assert why(frozen) == "it is in the freezer"
