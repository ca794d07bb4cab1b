"""Dough by age and tray: which to use first, which to bin. All of it common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from pathlib import Path
from typing import Literal

from hearthtide.errors import Finding
from hearthtide.house.sheet import Row, read_sheet

COLUMNS = ("tray", "made", "balls", "out")
# Good on day 1, best on day 2, day 3 the last; once out of the cold two hours, three at the most. Trade
# teaching, common practice, no source: put your own dough's in its place.
BEST_DAY, LAST_DAY = 2, 3
OUT_GOOD, OUT_MOST = timedelta(hours=2), timedelta(hours=3)
_CLOCK = re.compile(r"([01]?\d|2[0-3]):([0-5]\d)")
Fate = Literal["use now", "use first", "use", "keep", "bin"]
ORDER: tuple[Fate, ...] = ("use now", "use first", "use", "keep", "bin")


@dataclass(frozen=True)
class Tray:
    """A tray of balls: the date it was made, when it left the cold (None: it is there still)."""

    tray: str
    made: date
    balls: int
    out: datetime | None


@dataclass(frozen=True)
class TrayTold:
    """What is to become of a tray, and why; `day` counts the date it was made as 1."""

    tray: Tray
    day: int
    fate: Fate
    why: str


def take_trays(path: Path, now: datetime) -> tuple[tuple[Tray, ...], tuple[Finding, ...]]:
    """The trays of a table, and what is wrong with rows set aside.

    `now` is a clock of the place. `out` is a clock or empty; one later than now is yesterday's.
    """
    trays: list[Tray] = []
    wrong: list[Finding] = []
    for row in read_sheet(path, path.name, COLUMNS):
        found = _tray(row, now)
        if isinstance(found, Tray):
            trays.append(found)
        else:
            wrong += found
    return tuple(trays), tuple(wrong)


def _tray(row: Row, now: datetime) -> Tray | tuple[Finding, ...]:
    wrong: list[Finding] = []
    made, balls, clock = row.day("made", "year-month-day"), row.whole("balls"), row.cells["out"]
    if isinstance(made, Finding):
        wrong.append(made)
    elif made > now.date():
        wrong.append(row.wrong("made", f"a day up to {now.date().isoformat()}", "Correct the date."))
    if balls is None or isinstance(balls, Finding):
        wrong.append(balls or row.wrong("balls", "a whole number", "Count it, or remove the row."))
    match = _CLOCK.fullmatch(clock)
    if clock and match is None:
        wrong.append(row.wrong("out", "a clock such as 16:30, or nothing", "Write when it left the cold."))
    if wrong or isinstance(made, Finding) or not isinstance(balls, int):
        return tuple(wrong)
    out = None if match is None else _before(now, time(int(match[1]), int(match[2])))
    if out is not None and out.date() < made:
        return (row.wrong("out", f"a clock up to {now:%H:%M}: it was made today", "Correct it."),)
    return Tray(row.cells["tray"], made, balls, out)


def _before(now: datetime, clock: time) -> datetime:
    """The last time that it was so late."""
    at = datetime.combine(now.date(), clock)
    return at if at <= now else at - timedelta(days=1)


def trays_told(trays: Sequence[Tray], now: datetime) -> tuple[TrayTold, ...]:
    """What is to become of each tray at `now`, a clock of the place: first what is used first.

    Out of the cold before in the cold, the longest out first; in the cold the oldest that may be used first.
    ValueError for a tray that is out only after now.
    """
    if any(tray.out is not None and tray.out > now for tray in trays):
        raise ValueError("expected trays that left the cold before now")
    told = [_told(tray, now) for tray in trays]
    cold = [one for one in told if one.fate == "use"]
    if cold and not any(one.fate == "use now" for one in told):
        oldest = max(one.day for one in cold)
        told = [
            TrayTold(one.tray, one.day, "use first", one.why)
            if one.fate == "use" and one.day == oldest
            else one
            for one in told
        ]
    return tuple(sorted(told, key=lambda one: _place(one, now)))


def _place(one: TrayTold, now: datetime) -> tuple[int, float, int, str]:
    out_s = 0.0 if one.tray.out is None else (now - one.tray.out).total_seconds()
    return ORDER.index(one.fate), -out_s, -one.day, one.tray.tray


def _told(tray: Tray, now: datetime) -> TrayTold:
    day = (now.date() - tray.made).days + 1
    if day > LAST_DAY:
        return TrayTold(tray, day, "bin", f"day {day}: the last is day {LAST_DAY}")
    if tray.out is not None:
        since = now - tray.out
        minutes = round(since.total_seconds() / 60)
        words = f"out {minutes // 60} h {minutes % 60:02} min"
        if since > OUT_MOST:
            return TrayTold(tray, day, "bin", f"{words}: three hours are the most")
        over = ": past two hours, look at it" if since > OUT_GOOD else ""
        return TrayTold(tray, day, "use now", words + over)
    if day == LAST_DAY:
        return TrayTold(tray, day, "use", f"day {day}, its last")
    return TrayTold(
        tray, day, "use" if day == BEST_DAY else "keep", f"day {day}{', its best' if day == BEST_DAY else ''}"
    )
