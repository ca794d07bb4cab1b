"""A house's sales as they really come: rows that cannot be used are told by line, good ones are kept."""

import re
from datetime import date

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house
from hearthtide.house.history_file import take_history

YAML = """table: sales.csv
dates: year-month-day
columns: {date: Day, covers: Guests, booked: Booked, holiday: Holiday, note: Remark, ran_out: Gone}
dishes:
  pizza: [Red, White]
"""
HEAD = "Day,Guests,Booked,Holiday,Remark,Gone,Red,White"
GOOD = (
    "2026-05-05,60,20,,,,20,10",  # a Tuesday, line 2
    "2026-05-06,70,25,,,,22,12",
    "2026-05-07,80,30,,snow,pizza,25,15",
    "2026-05-08,130,60,Feast,,,50,30",
    "2026-05-12,62,22,,,,21,11",
    "2026-05-13,71,26,,,,23,12",
    "2026-05-14,,,,shut: boiler,,,",
    "2026-05-15,128,61,,,,49,29",
    "2026-05-19,,24,,,,,",
)


@pytest.fixture
def taken(folder):
    """What is taken of a table: the good one, or with other lines, another first line or history.yaml."""

    def take(rows=GOOD, head=HEAD, yaml=YAML, encoding="utf-8"):
        (folder / "history.yaml").write_text(yaml, encoding="utf-8")
        (folder / "sales.csv").write_bytes("\n".join([head, *rows, ""]).encode(encoding))
        return take_history(read_house(folder))

    return take


def test_good_days_are_read_as_they_stand(taken):
    found = taken()
    assert found.wrong == () and found.lacks == ()
    days = found.history.by_date
    assert len(days) == 9 and len(found.history.open_days) == 7
    snow = days[date(2026, 5, 7)]
    assert (snow.covers, snow.booked, snow.note, snow.dishes, snow.ran_out) == (
        80,
        30,
        "snow",
        {"pizza": 40},
        frozenset({"pizza"}),
    )
    assert days[date(2026, 5, 8)].holiday == "Feast" and not days[date(2026, 5, 8)].ordinary
    assert days[date(2026, 5, 14)].covers is None and not found.history.is_open(date(2026, 5, 14))
    assert days[date(2026, 5, 19)].booked == 24  # still to come


def test_a_till_s_own_ways_of_writing_are_taken(taken):
    yaml = YAML.replace("year-month-day", "day.month.year")
    rows = ["05.05.2026;60,00;20;;;;20;10", '06.05.2026;70,0;25;;"snow; ice";;22;12']
    found = taken(rows, HEAD.replace(",", ";"), yaml)
    assert found.wrong == ()
    assert [one.covers for one in found.history.days] == [60, 70]
    assert found.history.days[1].note == "snow; ice"


BAD = {  # a line in place of line 4: the field, and a word of what to do
    "2026-05-07,eighty,30,,,,25,15": ("Guests = eighty", "a whole number", "Write the number alone"),
    "2026-05-07,8o,30,,,,25,15": ("Guests = 8o", "a whole number", "Write the number alone"),
    "2026-05-07,-80,30,,,,25,15": ("Guests = -80", "a whole number", "leave the cell empty"),
    '2026-05-07,"80,5,0",30,,,,25,15': ("Guests = 80,5,0", "a whole number", "Write the number alone"),
    '2026-05-07,"80,5",30,,,,25,15': ("Guests = 80,5", "a whole number", "Write the number alone"),
    "2026-05-07,80.5,30,,,,25,15": ("Guests = 80.5", "a whole number", "Write the number alone"),
    "2026-05-07,99999,30,,,,25,15": ("Guests = 99999", "0 to 5000", "Write the number alone"),
    "2026-05-07,80,30,,,,25,x": ("White = x", "a whole number", "Write the number alone"),
    "2026-05-07,80,5,0,30,,,,25,15": ("beyond the last column", "no more cells", "quotes"),
    "07/05/2026,80,30,,,,25,15": ("Day = 07/05/2026", "year-month-day", "change `dates:`"),
    "2026-02-30,80,30,,,,25,15": ("Day = 2026-02-30", "a day that exists", "Correct it"),
    ",80,30,,,,25,15": ("Day", "a date", "Write it so"),
    "2026-05-06,81,30,,,,25,15": ("Day = 2026-05-06", "line 3 has it already", "Add the two up"),
    "2026-05-07,80,30,,,pasta,25,15": ("Gone = pasta", "a dish that history.yaml names", "pizza"),
}


@pytest.mark.parametrize("row", BAD)
def test_a_bad_row_is_told_by_line_and_the_others_are_kept(taken, row):
    rows = [*GOOD[:2], row, *GOOD[3:]]
    found = taken(rows)
    assert {str(one) for one in found.wrong} and all(one.line == 4 for one in found.wrong)
    field, expected, remedy = BAD[row]
    told = str(found.wrong[0])
    assert told.startswith("sales.csv:4") and field in told and remedy in told
    assert re.search(expected, told)
    assert len(found.history.days) == 8
    assert [one.covers for one in found.history.open_days] == [60, 70, 130, 62, 71, 128]


def test_all_that_is_wrong_is_told_at_once(taken):
    found = taken([*GOOD[:2], "2026-05-77,x,y,,,,z,15", "2026-05-08,q,60,,,,50,30", *GOOD[4:]])
    assert [one.line for one in found.wrong] == [4, 4, 4, 4, 5]


def test_days_that_lack_are_told_and_shut_ones_are_not(taken):
    weeks = [f"2026-{month:02}-{day:02},60,20,,,,20,10" for month in (4, 5) for day in range(1, 31)]
    mondays = {f"2026-{m:02}-{d:02}" for m in (4, 5) for d in range(1, 31) if date(2026, m, d).weekday() == 0}
    rows = [row for row in weeks if row[:10] not in mondays | {"2026-04-15", "2026-05-20", "2026-05-21"}]
    found = taken(rows)
    assert found.wrong == ()
    assert [one.value for one in found.lacks] == ["2026-04-15", "2026-05-20 to 2026-05-21"]
    assert "if the house was shut, write the date with a note" in str(found.lacks[0])
    first = found.lacks[0].line
    assert rows[first - 2].startswith("2026-04-16"), "the line told is the one after the gap"


@pytest.mark.parametrize(
    ("change", "told"),
    [
        ({"head": HEAD.replace("Guests", "Covers")}, "a column `Guests`"),
        ({"head": HEAD.replace("White", "Red")}, "a column `White`"),
        ({"head": HEAD + ",Guests"}, "each column once"),
        ({"rows": ()}, "at least one day with its covers"),
        ({"rows": ("x,y,z", "u,v")}, "at least one day with its covers"),
        ({"head": "", "rows": ()}, "a first line with the columns"),
        ({"yaml": YAML.replace("pizza:", "pasta:")}, "a dish of this house"),
        ({"yaml": YAML.replace("covers: Guests, ", "")}, "columns.covers"),
        ({"yaml": YAML.replace("year-month-day", "american")}, "one of year-month-day"),
        ({"yaml": YAML.replace("sales.csv", "../sales.csv")}, "table"),
        ({"yaml": YAML.replace("sales.csv", "nothing.csv")}, "a file that can be read"),
        ({"encoding": "utf-16"}, "UTF-8 text"),
    ],
)
def test_a_table_that_cannot_be_read_as_a_whole_is_refused(taken, change, told):
    with pytest.raises(InputError) as refused:
        taken(**change)
    assert told in str(refused.value)


def test_a_house_without_a_history_is_told_to_write_one(folder):
    with pytest.raises(InputError, match=r"history\.yaml"):
        take_history(read_house(folder))


def test_an_unclosed_quote_is_told_by_line(taken):
    with pytest.raises(InputError, match="comma-separated values"):
        taken([*GOOD[:2], '2026-05-07,"80,30,,,,25,15'])
