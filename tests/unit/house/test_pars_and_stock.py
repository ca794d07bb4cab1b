from datetime import date
from pathlib import Path

import pytest

from hearthtide.errors import InputError, StoreError
from hearthtide.house.changes_file import NAME, add_change, read_changes
from hearthtide.house.files import read_house
from hearthtide.house.pars_file import read_pars
from hearthtide.house.sold import Change, Lot
from hearthtide.house.stock_file import take_stock

GOOD = "currency: €\nmade:\n  dough: {name: Dough, uses: {pizza: 1}, days: 3, cost: 0.9, price: 13}\n"
TOLD = Change("2026-06-01T09:00:00+02:00", date(2026, 6, 2), "covers", 83, 70, "Ana", 'rain, "all day"')


def pars(folder, text):
    (folder / "pars.yaml").write_text(text, encoding="utf-8")
    return read_pars(read_house(folder))


def test_what_is_made_ahead_is_read(folder):
    made = pars(folder, GOOD).made["dough"]
    assert made.short_costs == pytest.approx(12.1)
    assert pars(folder, GOOD.replace("price: 13", "short: 5")).made["dough"].short_costs == 5


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("uses: {pizza: 1}", "uses: {pasta: 1}", "a dish of this house"),
        ("uses: {pizza: 1}", "uses: {}", "at least 1"),
        ("days: 3", "days: 0", "at least 1"),
        ("days: 3", "days: 30", "at most 7"),
        ("price: 13", "price: 0.5", "more than cost"),
        (", price: 13", "", "either price or short"),
        ("price: 13", "price: 13, short: 4", "either price or short"),
        ("price: 13", "short: 0", "something to lose"),
        ("price: 13", "price: 13, made_on: [Funday]", "one of monday"),
        ("price: 13", "price: 13, colour: red", "a known key"),
        ("  dough", "  Dough balls", ""),
    ],
)
def test_what_cannot_be_meant_is_told(folder, old, new, told):
    assert old in GOOD
    with pytest.raises(InputError, match=r"pars\.yaml") as refused:
        pars(folder, GOOD.replace(old, new))
    assert told in str(refused.value)


def test_a_house_that_makes_nothing_ahead_is_told_how(folder):
    with pytest.raises(InputError, match=r"docs/day\.md"):
        read_pars(read_house(folder))


def test_lots_are_read_and_bad_rows_told(tmp_path):
    rows = (
        "item,made,portions",
        "dough,2026-05-31,14",
        "doug,2026-05-31,3",
        "dough,2026-06-09,3",
        "dough,yesterday,3",
        "dough,2026-06-01,",
        "dough,2026-06-01,many",
        "dough,2026-06-02,2",
    )
    path = tmp_path / "stock.csv"
    path.write_text("\n".join(rows), encoding="utf-8")
    lots, wrong = take_stock(path, {"dough"}, date(2026, 6, 2))
    assert lots == (Lot("dough", date(2026, 5, 31), 14), Lot("dough", date(2026, 6, 2), 2))
    assert [one.line for one in wrong] == [3, 4, 5, 6, 7]
    told = "\n".join(map(str, wrong))
    for words in ("Did you mean `dough`", "a day up to 2026-06-02", "such as 2026-03-14", "Count it"):
        assert words in told


def test_a_change_comes_back_as_it_was_told(tmp_path):
    assert read_changes(tmp_path) == ((), ())
    add_change(tmp_path, TOLD)
    add_change(tmp_path, TOLD)
    assert read_changes(tmp_path) == ((TOLD, TOLD), ())


def test_a_cut_off_or_altered_line_is_told_and_the_others_stay(tmp_path):
    add_change(tmp_path, TOLD)
    path = tmp_path / NAME
    with path.open("a", encoding="utf-8") as file:
        file.write("2026-06-01T09:00:00+02:00,2026-06-02,covers,eight")  # no end, as after a power cut
    add_change(tmp_path, TOLD)
    changes, wrong = read_changes(tmp_path)
    assert changes == (TOLD, TOLD)
    assert {one.line for one in wrong} == {3}


def test_a_folder_that_cannot_be_written_is_told():
    with pytest.raises(StoreError, match="cannot be written"):
        add_change(Path("/proc/nowhere"), TOLD)
