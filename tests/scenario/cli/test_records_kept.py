"""`records`: an owner keeps a week's readings, finds last Tuesday's wings, shows that nothing was altered."""

import csv
import json
import sqlite3
from datetime import date
from pathlib import Path

import pytest

from at_the_prompt import typed
from hearthtide.cli.records_command import day_of

WINGS = Path(__file__).parents[3] / "examples" / "readings" / "wings.csv"


@pytest.fixture
def book(tmp_path):
    file = tmp_path / "records.db"
    done = typed("records", "add", file, WINGS)
    assert done.returncode == 0, done.stderr
    assert "5 written" in done.stdout
    return file


def unguarded(database):
    """As whoever owns the file can: without the triggers that refuse to change an entry."""
    for (name,) in database.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
        database.execute(f"DROP TRIGGER {name}")


def test_rows_that_stand_there_already_are_not_written_twice(book):
    assert "0 written, 5 stood there already" in typed("records", "add", book, WINGS).stdout


def test_wings_are_found_by_their_day(book):
    done = typed("records", "find", book, "wings", "--day", "2026-06-02")
    assert done.returncode == 0
    assert "2026-06-02 16:20  wings Tuesday: 70 °F, warmest middle tray, probe 2" in done.stdout
    assert "written late" in done.stdout, "they were typed in long after"
    assert typed("records", "find", book, "shrimp").returncode == 1


@pytest.mark.parametrize(
    ("words", "day"),
    [
        ("last Tuesday", 2),
        ("tuesday", 2),
        ("thursday", 28),
        ("yesterday", 3),
        ("today", 4),
        ("2026-06-01", 1),
    ],
)
def test_days_as_they_are_said(words, day):
    """Said on Thursday 4 June 2026."""
    assert day_of(words, date(2026, 6, 4)).day == day


def test_a_correction_stands_beside_what_it_corrects(book):
    entry = json.loads(typed("records", "find", book, "wings", "--json").stdout)["entries"][3]["id"]
    done = typed("records", "correct", book, entry, "--read", "71F", "--why", "misread", "--person", "Ana")
    assert "70 °F at 16:20 is now 71 °F at 16:20; both stand" in done.stdout
    shown = typed("records", "find", book, "wings").stdout
    assert "70 °F" in shown and "71 °F" in shown and "misread" in shown
    assert typed("records", "check", book).returncode == 0


def test_whoever_alters_a_line_is_seen_and_where(book):
    head = typed("records", "check", book, "--json")
    before = json.loads(head.stdout)["head"]
    with sqlite3.connect(book) as database:
        unguarded(database)
        was, now = '"value":"97"', '"value":"67"'
        altered = "update entries set body = replace(body, ?, ?) where night = 'records'"
        database.execute(altered, (was, now))
    done = typed("records", "check", book)
    assert done.returncode == 1
    assert "Broken at entry 2: entry 2 is not as it was written" in done.stdout
    refused = typed("records", "add", book, WINGS)
    assert refused.returncode == 2 or "stood there already" in refused.stdout
    assert before.startswith("5:")


def test_a_cut_end_shows_against_the_head_that_was_printed(book):
    head = json.loads(typed("records", "check", book, "--json").stdout)["head"]
    with sqlite3.connect(book) as database:
        unguarded(database)
        database.execute("delete from entries where night = 'records' and seq = 5")
    assert typed("records", "check", book).returncode == 0, "alone it cannot be seen"
    done = typed("records", "check", book, "--head", head)
    assert done.returncode == 1
    assert "the end was cut off" in done.stdout


def test_an_export_is_plain_and_carries_the_chain(book, tmp_path):
    table, whole = tmp_path / "out.csv", tmp_path / "out.json"
    assert typed("records", "export", book, "--csv", table, "--json", whole).returncode == 0
    with table.open(encoding="utf-8", newline="") as rows:
        lines = list(csv.DictReader(rows))
    assert [one["read"] for one in lines] == ["135", "97", "76", "70", "41"]
    body = json.loads(whole.read_text(encoding="utf-8"))
    assert len(body["chain"]) == 5
    assert body["chain"][1]["before"] == body["chain"][0]["hash"]


def test_no_cell_is_a_formula_for_a_spreadsheet(tmp_path):
    odd = tmp_path / "odd.csv"
    odd.write_text(
        "lot,time,read,point,instrument,person\n=1+1,2026-06-02T14:00-04:00,-3C,warmest,@probe,+Ben\n",
        encoding="utf-8",
    )
    file, table = tmp_path / "records.db", tmp_path / "out.csv"
    assert typed("records", "add", file, odd).returncode == 0
    assert typed("records", "export", file, "--csv", table).returncode == 0
    with table.open(encoding="utf-8", newline="") as rows:
        (line,) = csv.DictReader(rows)
    assert (line["lot"], line["instrument"], line["person"], line["read"]) == (
        "'=1+1",
        "'@probe",
        "'+Ben",
        "-3",
    )


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("check", "--head", "5"), "COUNT:HASH"),
        (("find", "--day", "someday"), "a date or a day"),
        (("correct", "none", "--read", "hot", "--why", "x", "--person", "Ana"), "the id of a reading"),
    ],
)
def test_asked_wrongly_it_says_what_to_do(book, words, said):
    done = typed("records", words[0], book, *words[1:])
    assert done.returncode == 2
    assert said in done.stderr
