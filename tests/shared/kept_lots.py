"""Records of the invented house by a rule set it has chosen, with lots written down as a cook tells them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime, timedelta
from decimal import Decimal
from itertools import count
from typing import cast

from hearthtide.house.models import House
from hearthtide.house.rules_file import RulesFile
from hearthtide.safety.readings import Point, Reading, Unit
from hearthtide.safety.rules import FoodClass
from hearthtide.safety.states import State
from hearthtide.service.log import Log, MemoryLog
from hearthtide.service.records.chain import Head
from hearthtide.service.records.entries import Body, LotBecame, LotMade, Pulled, ReadingTaken, Record
from hearthtide.service.records.keeping import Keeping
from hearthtide.service.records.told import Place
from read_by_hand import DAY, at
from told_night import kitchen

WEST_MIN = -240  # four hours behind UTC


def house_by(rules: str | None = "us-fda-2022") -> House:
    """The invented house, gone by a rule set."""
    house = kitchen().house
    chosen = None if rules is None else RulesFile(set=rules)
    return house.model_copy(update={"file": house.file.model_copy(update={"rules": chosen})})


def kept(
    log: Log, clock: Callable[[], float], midnight: datetime = DAY, rules: str | None = "us-fda-2022"
) -> Keeping:
    """Records of that house; `clock` is in seconds from `midnight`."""
    place = Place(midnight, lambda _: WEST_MIN)
    return Keeping(log, house_by(rules), place, lambda: midnight + timedelta(seconds=clock()))


class Lots:
    """Records as one cook writes them on one day: `14:00` is UTC, a reading `165F`."""

    def __init__(self, rules: str | None = "us-fda-2022", day: datetime = DAY) -> None:
        self.now, self.day, self.log, self.ids = day, day, MemoryLog(), count(1)
        self.keeping = kept(self.log, lambda: (self.now - day).total_seconds(), day, rules)

    def write(self, body: Body, when: str, person: str = "Ben", id: str = "") -> Head:
        self.now = at(when, self.day)
        name = id or f"entry-{next(self.ids):04}"
        return self.keeping.write(
            Record(name, person, "tablet", self.now, self.now, WEST_MIN, _with_id(body, name))
        )

    def made(self, when: str = "12:00", lot: str = "chicken", food: FoodClass | None = "poultry") -> Head:
        return self.write(LotMade(lot, "half_chicken", "12 halves", food=food), when)

    def read(
        self,
        value: str,
        when: str,
        point: str = "coldest",
        lot: str = "chicken",
        held_s: int = 0,
        **more: str,
    ) -> Head:
        unit, instant = cast(Unit, value[-1]), at(when, self.day)
        reading = Reading(
            "", lot, instant, WEST_MIN, Decimal(value[:-1]), unit, cast(Point, point),
            more.get("instrument", "probe 1"), "Ben", more.get("place", ""), held_s,
        )  # fmt: skip
        return self.write(ReadingTaken(reading), when)

    def became(self, state: State, when: str, lot: str = "chicken") -> Head:
        return self.write(LotBecame(lot, state), when)

    def pulled(self, when: str, lot: str = "chicken/1", of: str = "chicken") -> Head:
        return self.write(Pulled(lot, of, "1 half"), when)

    def chilled_by(self, *values: str) -> None:
        """Cooked and chilled as in `chilled`, with these readings of the warmest part."""
        self.made()
        self.read("75C", "12:48", place="thigh")
        self.became("cooked", "12:50")
        self.became("cooling", "12:55")
        for value, when in zip(values, ("13:00", "14:45", "18:00"), strict=True):
            self.read(value, when, "warmest")
        self.became("chilled", "18:01")

    def chilled(self) -> None:
        """Cooked at 12:50, 135 °F at 13:00, 70 °F at 15:00 and 41 °F at 19:00: the reference's pace, met."""
        self.made()
        self.read("166F", "12:48", place="thigh")
        self.became("cooked", "12:50")
        self.became("cooling", "12:55")
        for value, when in (("135F", "13:00"), ("70F", "15:00"), ("41F", "19:00")):
            self.read(value, when, "warmest")
        self.became("chilled", "19:01")


def _with_id(body: Body, id: str) -> Body:
    return ReadingTaken(replace(body.reading, id=id)) if isinstance(body, ReadingTaken) else body
