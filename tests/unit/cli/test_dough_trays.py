"""Dough by age and tray. Common practice, no source: good day 1, best 2, binned after 3; 2 to 3 h out."""

from __future__ import annotations

from datetime import date, datetime, time, timedelta
from pathlib import Path

import pytest

from hearthtide.cli.dough_trays import Tray, take_trays, trays_told

TODAY = date(2026, 6, 4)
NOW = datetime.combine(TODAY, time(18, 0))


def tray(name: str, day: int, out: str = "") -> Tray:
    """A tray on its so-manieth day, out of the cold since a clock of today."""
    since = None if not out else datetime.combine(TODAY, time.fromisoformat(out))
    return Tray(name, TODAY - timedelta(day - 1), 12, since)


def fates(*trays: Tray, now: datetime = NOW) -> list[tuple[str, str]]:
    return [(one.tray.tray, one.fate) for one in trays_told(trays, now)]


@pytest.mark.parametrize(
    ("day", "fate"), [(1, "keep"), (2, "use first"), (3, "use first"), (4, "bin"), (9, "bin")]
)
def test_a_tray_alone_in_the_cold_by_its_day(day: int, fate: str) -> None:
    assert fates(tray("a", day)) == [("a", fate)]


def test_the_day_it_was_made_is_day_one() -> None:
    assert trays_told([tray("a", 1)], NOW)[0].day == 1
    assert trays_told([tray("a", 1)], datetime.combine(TODAY, time(0, 5)))[0].day == 1


@pytest.mark.parametrize(
    ("out", "fate", "why"),
    [
        ("18:00", "use now", "out 0 h 00 min"),
        ("16:00", "use now", "out 2 h 00 min"),
        ("15:59", "use now", "out 2 h 01 min: past two hours, look at it"),
        ("15:00", "use now", "out 3 h 00 min: past two hours, look at it"),
        ("14:59", "bin", "out 3 h 01 min: three hours are the most"),
    ],
)
def test_once_out_it_has_two_hours_and_three_at_the_most(out: str, fate: str, why: str) -> None:
    (one,) = trays_told([tray("a", 2, out)], NOW)
    assert (one.fate, one.why) == (fate, why)


def test_what_is_out_goes_before_what_is_cold_and_the_longest_out_first() -> None:
    order = fates(
        tray("d1", 1),
        tray("d3", 3),
        tray("d2", 2),
        tray("o1", 2, "17:30"),
        tray("o2", 2, "16:30"),
        tray("old", 4),
    )
    assert order == [
        ("o2", "use now"), ("o1", "use now"), ("d3", "use"), ("d2", "use"), ("d1", "keep"), ("old", "bin"),
    ]  # fmt: skip


def test_with_nothing_out_the_oldest_that_may_be_used_goes_first() -> None:
    assert fates(tray("d2", 2), tray("d3", 3), tray("d1", 1)) == [
        ("d3", "use first"),
        ("d2", "use"),
        ("d1", "keep"),
    ]


def test_an_old_tray_is_binned_though_it_came_out_just_now() -> None:
    assert fates(tray("a", 4, "17:59")) == [("a", "bin")]


def test_a_table_of_trays_is_read_and_its_bad_rows_are_told(tmp_path: Path) -> None:
    table = tmp_path / "trays.csv"
    table.write_text(
        "tray,made,balls,out\nA,2026-06-03,12,\nB,2026-06-04,10,16:30\nC,2026-06-09,8,\nD,2026-06-03,x,\n"
        "E,2026-06-03,8,half four\n",
        encoding="utf-8",
    )
    trays, wrong = take_trays(table, NOW)
    assert trays == (
        Tray("A", date(2026, 6, 3), 12, None),
        Tray("B", TODAY, 10, datetime(2026, 6, 4, 16, 30)),
    )
    assert [(one.line, one.field) for one in wrong] == [(4, "made"), (5, "balls"), (6, "out")]


def taken(tmp_path: Path, row: str, now: datetime):
    table = tmp_path / "trays.csv"
    table.write_text(f"tray,made,balls,out\n{row}\n", encoding="utf-8")
    return take_trays(table, now)


@pytest.mark.parametrize(
    ("out", "fate", "why"),
    [
        ("21:00", "bin", "out 3 h 30 min: three hours are the most"),
        ("22:30", "use now", "out 2 h 00 min"),
        ("00:30", "use now", "out 0 h 00 min"),
        ("00:31", "bin", "out 23 h 59 min: three hours are the most"),
    ],
)
def test_counted_after_midnight_a_clock_later_than_now_is_yesterdays(
    tmp_path: Path, out: str, fate: str, why: str
) -> None:
    now = datetime(2026, 6, 5, 0, 30)
    trays, wrong = taken(tmp_path, f"A,2026-06-04,12,{out}", now)
    assert wrong == ()
    assert [(one.fate, one.why) for one in trays_told(trays, now)] == [(fate, why)]


def test_dough_made_today_cannot_have_left_the_cold_yesterday(tmp_path: Path) -> None:
    trays, wrong = taken(tmp_path, "A,2026-06-04,12,18:30", NOW)
    assert trays == () and [(one.field, one.value) for one in wrong] == [("out", "18:30")]
    with pytest.raises(ValueError, match="before now"):
        trays_told([tray("a", 1, "18:30")], NOW)
