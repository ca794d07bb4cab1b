"""One invented day of the invented house as `hearthtide day --keep` would keep it; its numbers are nobody's.

`python tests/shared/invented_day.py` writes web/fixtures/day.json, for pages drawn without a board.
`keep_invented` keeps it in a folder: the day whose clock the boards of the tests run by.
"""

from __future__ import annotations

import math
from datetime import date
from pathlib import Path
from typing import Any

from hearthtide.service.day_kept import DayNow, KeptDay, keep_day

TUESDAY = date(2026, 6, 2)
FIXTURE = Path(__file__).parents[2] / "web" / "fixtures" / "day.json"
LIT, BAND_C, AMBIENT_C = "13:00", (345, 370), 28.0
CURVE_C, CURVE_H = 372.0, 1.15  # what the stone is invented to climb to, and how slowly

# from, until, who, kind, where, what, how much, due, why
LINES = (
    ("8:30", "8:50", "Ana", "check", "walk-in", "read the cold units, by air and by probe", "4 units", None, ""),
    ("9:00", "9:20", "Cleo", "dough", "walk-in, upper rack", "count the dough by age", "95 balls", None, ""),
    ("10:00", "11:10", "Cleo", "prep", "prep bench", "halve and bone chickens, 25 mm at the thickest", "12 halves", "14:00", "par 11 of 7 wanted"),
    ("11:15", "11:50", "Cleo", "prep", "prep bench", "cut roots", "10 kg", "14:40", ""),
    ("12:40", "12:55", "Ben", "check", "hearth", "draught, extraction and CO alarm before the gas is lit", "", "13:00", "by the oven's own instructions"),
    (LIT, "16:20", "Ben", "fire", "back left", "light, then flame at half", "", None, "345 °C at 16:20 as the stone learned to climb"),
    ("14:00", "14:03", "Ana", "hearth", "mouth, 18 cm right, 25 cm in", "put in peppers 1", "2 trays", "14:20", "stone at 217 °C"),
    ("14:35", "14:36", "Ana", "hearth", "mid, 22 cm left, 40 cm in", "put in chicken 1", "4 portions", "14:50", ""),
    ("14:37", "14:38", "Ana", "hearth", "mid, 22 cm right, 40 cm in", "put in chicken 2", "4 portions", "14:50", ""),
    ("14:40", "14:42", "Cleo", "hearth", "mouth, 18 cm right, 25 cm in", "take out peppers 1, put in roots 1", "5 kg", None, ""),
    ("15:00", None, "Ben", "fire", "", "flame down to a third", "", None, "the chicken colours early otherwise"),
    ("15:10", "15:16", "Ana", "hearth", "mid", "probe the thickest part, take out chicken 1 and 2", "8 portions", None, "35 min for 25 mm"),
    ("15:16", "16:40", "Ana", "chill", "walk-in, fan side, rack 2", "chill chicken 1 and 2, one layer, not covered", "8 portions", "17:16", "57 to 21 °C within 2 h"),
    ("15:20", "15:21", "Ana", "hearth", "mid, 22 cm left, 40 cm in", "put in chicken 3", "4 portions", "15:30", ""),
    ("15:25", "15:27", "Cleo", "hearth", "mouth", "take out roots 1, put in roots 2", "5 kg", None, ""),
    ("15:40", "15:42", "Ana", "hearth", "mid, 20 cm right, 45 cm in", "put in wings 1", "2 kg", "15:50", ""),
    ("15:58", "16:02", "Ana", "hearth", "mid", "probe and take out chicken 3", "4 portions", None, ""),
    ("16:02", "17:30", "Ana", "chill", "walk-in, fan side, rack 3", "chill chicken 3", "4 portions", "18:02", ""),
    ("16:10", "16:13", "Cleo", "hearth", "", "take out wings 1 and roots 2", "", None, ""),
    ("16:20", "16:30", "Ben", "floor", "five spots", "push the fire over, brush, damp cloth, read five spots", "", "16:35", ""),
    ("16:00", "16:10", "Cleo", "dough", "line", "dough out to temper", "60 balls", "16:15", "60 to 90 min before the rush"),
    ("16:40", "16:45", "", "check", "line", "line-up: covers, large tables, what is short, allergies", "", None, ""),
    ("18:20", None, "Ana", "reheat", "lowboy", "pull chicken to temper", "6 portions", None, ""),
    ("22:15", "22:25", "Ben", "falling", "hearth", "put in beans, covered", "3 pans", "22:40", "flame off; nothing that wants watching"),
    ("31:00", "31:10", "Cleo", "falling", "hearth", "take out beans and probe them", "3 pans", None, "57 °C or more all night, or the chill clock starts"),
)  # fmt: skip
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
    ("hot into the walk-in", "4.6 kg an hour", "8 halves at 15:16 and 4 at 16:02, 0.4 kg each; it takes 6"),
)
CAUTIONS = (
    "Trays and stone burn through wet cloths: dry ones, long sleeves, say `hot behind`.",
    "Gas that did not light: off, doors open, wait as the oven's own instructions say. A smell of gas: out, and call.",
    "Times here are foreseen. A probe in the thickest part decides what is cooked, and your food code how it is chilled.",
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
    lines = [
        {
            "from_s": clock(since), "until_s": None if until is None else clock(until), "who": who, "kind": kind,
            "where": where, "what": what, "how_much": much, "due_s": None if due is None else clock(due), "why": why,
        }
        for since, until, who, kind, where, what, much, due, why in LINES
    ]  # fmt: skip
    return {
        "document": "hearthtide day",
        "schema_version": 1,
        "house": "Brindlecote",
        "day": TUESDAY.isoformat(),
        "lines": lines,
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


def _stone_C(hours: float) -> float:
    return AMBIENT_C + (CURVE_C - AMBIENT_C) * (1 - math.exp(-hours / CURVE_H))


def keep_invented(folder: Path, day: date = TUESDAY) -> Path:
    """Keeps it in a house's folder, as the day of that date."""
    return keep_day(folder, KeptDay.model_validate(plain_day() | {"day": day.isoformat()}))


if __name__ == "__main__":
    now = DayNow(day=TUESDAY, midnight_s=0.0, kept=KeptDay.model_validate(plain_day()), wrong=())
    FIXTURE.write_text(now.model_dump_json() + "\n", encoding="utf-8")
