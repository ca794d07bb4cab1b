"""One invented day of the invented house as `hearthtide day --keep` would keep it; its numbers are nobody's.

`python tests/shared/invented_day.py` writes web/fixtures/day.json, for pages drawn without a board.
`keep_invented` keeps it in a folder: the day whose clock the boards of the tests run by.
"""

from __future__ import annotations

import csv
import math
from datetime import date
from pathlib import Path
from typing import Any

from hearthtide.service.day_kept import DayNow, KeptDay, keep_day

TUESDAY = date(2026, 6, 2)
LINES = Path(__file__).parent / "data" / "invented_day.csv"
FIXTURE = Path(__file__).parents[2] / "web" / "fixtures" / "day.json"
LIT, BAND_C, AMBIENT_C = "13:00", (345, 370), 28.0
CURVE_C, CURVE_H = 372.0, 1.15  # what the stone is invented to climb to, and how slowly

LOADS = (
    ("peppers 1", "14:00", "14:40", 24),
    ("chicken 1", "14:35", "15:10", 4),
    ("chicken 2", "14:37", "15:12", 4),
    ("roots 1", "14:42", "15:25", 30),
    ("chicken 3", "15:20", "15:58", 4),
    ("roots 2", "15:27", "16:10", 30),
    ("wings 1", "15:40", "16:10", 16),
)
FIGURES = (
    ("covers", "78", "61 to 97 in eight nights of ten; last Tuesdays 68"),
    ("half chickens", "12", "par 11 for 7 wanted (4 to 11), 0 there, boxes of 4: 3 boxes"),
    ("lit at", "13:00", "3 h 20 to 345 °C with the trays in it, 3 h 05 without"),
    ("gas to doors", "96 kWh", "29 kW at full for 2 h, at a third for 1 h 20, pilot left out"),
    ("hot into the walk-in", "4.6 kg an hour", "8 halves at 15:16, 4 at 16:02, 0.4 kg each; it takes 6"),
)
CAUTIONS = (
    "Trays and stone burn through wet cloths: dry ones, long sleeves, say `hot behind`.",
    "Gas that did not light: off, wait as the oven's own instructions say. A smell of gas: out, and call.",
    "Times are foreseen. A probe in the thickest part decides what is cooked, your food code how it chills.",
)
PROBLEMS = (
    "wings 2 (2 kg) does not fit: the walk-in takes 6 kg an hour. Chill it in ice, or roast it on Monday.",
)


def clock(text: str) -> int:
    """Seconds of the day; what the falling heat does is written on beyond 24:00."""
    hours, minutes = text.split(":")
    return int(hours) * 3600 + int(minutes) * 60


def plain_day() -> dict[str, Any]:
    """The day as its file has it."""
    begin = clock(LIT)
    times = [begin + 300 * step for step in range(49)]
    return {
        "document": "hearthtide day",
        "schema_version": 1,
        "house": "Brindlecote",
        "day": TUESDAY.isoformat(),
        "lines": _lines(),
        "figures": [{"words": words, "value": value, "sum": sum} for words, value, sum in FIGURES],
        "curve": {
            "times_s": times,
            "stone_C": [round(_stone_C((at - begin) / 3600), 1) for at in times],
            "band_low_C": BAND_C[0],
            "band_high_C": BAND_C[1],
        },
        "loads": [
            {"tray": tray, "in_s": clock(since), "out_s": clock(until), "portions": many}
            for tray, since, until, many in LOADS
        ],
        "cautions": list(CAUTIONS),
        "problems": list(PROBLEMS),
    }


def _lines() -> list[dict[str, Any]]:
    with LINES.open(encoding="utf-8", newline="") as table:
        return [
            {
                "from_s": clock(row["from"]),
                "until_s": clock(row["until"]) if row["until"] else None,
                **{key: row[key] for key in ("who", "kind", "where", "what", "how_much")},
                "due_s": clock(row["due"]) if row["due"] else None,
                "why": row["why"],
            }
            for row in csv.DictReader(table)
        ]


def _stone_C(hours: float) -> float:
    return AMBIENT_C + (CURVE_C - AMBIENT_C) * (1 - math.exp(-hours / CURVE_H))


def keep_invented(folder: Path, day: date = TUESDAY) -> Path:
    """Keeps it in a house's folder, as the day of that date."""
    return keep_day(folder, KeptDay.model_validate(plain_day() | {"day": day.isoformat()}))


if __name__ == "__main__":
    now = DayNow(day=TUESDAY, midnight_s=0.0, kept=KeptDay.model_validate(plain_day()), wrong=())
    FIXTURE.write_text(now.model_dump_json() + "\n", encoding="utf-8")
