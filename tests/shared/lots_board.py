"""A board with lots: one a week old and gone, two that cool now, one too slowly. Run as `board_process`."""

from __future__ import annotations

import sys
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import count

from board_process import main
from hearthtide.safety.probe_check import Checked
from hearthtide.safety.readings import Point, Reading, local_date
from hearthtide.safety.states import State
from hearthtide.service.records.entries import (
    Body,
    ChilledBy,
    Deviation,
    LotBecame,
    LotMade,
    LotMarked,
    ProbeChecked,
    Pulled,
    ReadingTaken,
    Record,
)
from hearthtide.service.records.keeping import Keeping


class Wrote:
    """Writes entries as they were so long before now."""

    def __init__(self, keeping: Keeping) -> None:
        self.keeping, self.now, self.ids = keeping, keeping.now(), count(1)

    def at(self, days: int, minutes: int) -> datetime:
        """So many minutes before now; of an earlier day, so many after its local midnight."""
        if days == 0:
            return self.now - timedelta(minutes=minutes)
        offset = timedelta(minutes=self.keeping.place.offset_min(self.now))
        day = (self.now + offset).replace(hour=0, minute=0, second=0, microsecond=0)
        return day - offset - timedelta(days=days) + timedelta(minutes=minutes)

    def say(self, body: Body, when: datetime, person: str = "Ben") -> None:
        id = f"long-ago-{next(self.ids):04}"
        if isinstance(body, ReadingTaken):
            one = body.reading
            body = ReadingTaken(
                Reading(
                    id, one.lot, when, one.offset_min, one.value, one.unit, one.point, "probe 2", person,
                    one.place,
                )
            )  # fmt: skip
        offset = self.keeping.place.offset_min(when)
        self.keeping.write(Record(id, person, "a tablet of the board", when, when, offset, body))

    def read(self, lot: str, value: str, when: datetime, point: Point, place: str = "") -> None:
        offset = self.keeping.place.offset_min(when)
        reading = Reading("x", lot, when, offset, Decimal(value), "F", point, "probe 2", "Ben", place)
        self.say(ReadingTaken(reading), when)

    def became(self, lot: str, state: State, when: datetime) -> None:
        self.say(LotBecame(lot, state), when)

    def cooked(self, lot: str, dish: str, days: int, minutes: int) -> None:
        """Made then; read and cooked after fifty minutes, cooling five minutes later."""
        made = self.at(days, minutes)
        self.say(LotMade(lot, dish, "12", food="poultry"), made)
        for value, place, later in (("168", "thigh", 48), ("171", "breast", 49)):
            self.read(lot, value, made + timedelta(minutes=later), "coldest", place)
        self.became(lot, "cooked", made + timedelta(minutes=50))
        self.became(lot, "cooling", made + timedelta(minutes=55))


def keep(keeping: Keeping) -> None:
    """A week of it; the days are counted from now."""
    if keeping.found("", None, 1)[0]:
        return
    wrote = Wrote(keeping)
    checked = Checked("c", "probe 2", wrote.at(7, 560), "Ana", Decimal("32.5"), Decimal(32), "F", "F")
    wrote.say(ProbeChecked(checked), wrote.at(7, 560), "Ana")
    old = "Half chicken of last week"
    wrote.cooked(old, "half_chicken", 7, 600)
    for value, minutes in (("135", 660), ("69", 775), ("40", 1015)):
        wrote.read(old, value, wrote.at(7, minutes), "warmest")
    wrote.became(old, "chilled", wrote.at(7, 1016))
    made = wrote.at(7, 600)
    last_day = local_date(made, keeping.place.offset_min(made)) + timedelta(days=6)
    wrote.say(LotMarked(old, last_day), wrote.at(7, 1020))
    wrote.say(Pulled(f"{old} / 1", old, "6"), wrote.at(6, 1140))
    wrote.became(f"{old} / 1", "re-heated and served", wrote.at(6, 1155))
    wrote.became(old, "discarded", wrote.at(1, 600))
    wrote.cooked("Half chicken today", "half_chicken", 0, 150)
    wrote.read("Half chicken today", "136", wrote.at(0, 90), "warmest", "thigh")
    wrote.say(ChilledBy("Half chicken today", "fan-rack", 30), wrote.at(0, 88))
    wrote.read("Half chicken today", "84", wrote.at(0, 31), "warmest", "thigh")
    wrote.cooked("Half chicken, deep tray", "half_chicken", 0, 140)
    wrote.read("Half chicken, deep tray", "140", wrote.at(0, 80), "warmest", "middle")
    wrote.say(ChilledBy("Half chicken, deep tray", "covered", 100), wrote.at(0, 79))
    wrote.read("Half chicken, deep tray", "121", wrote.at(0, 21), "warmest", "middle")
    wrote.say(Deviation("Half chicken, deep tray", "CL2", "121 °F after an hour"), wrote.at(0, 20))


if __name__ == "__main__":
    main(*sys.argv[1:], keep=keep)
