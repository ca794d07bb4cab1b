"""A board whose night can be looked back on, and which quotes; run as `board_process` is.

F3 was told 18:40 and landed 18:46: a spill came between. Its stone is by two plans written here. A table at
the door is always told the same two minutes.
"""

from __future__ import annotations

import sys
from dataclasses import dataclass
from itertools import count
from types import SimpleNamespace

from board_process import Shows, main
from hearthtide.service import commands as told
from hearthtide.service.night import Night
from hearthtide.service.plan_told import KeptAct, KeptOrder, KeptPlate, KeptStay, PlanMade
from told_night import AT_S, called

LANDS_S = AT_S - 1200  # 18:40
LATE_S = 360
QUOTED_S, POLITE_S = AT_S + 2280, AT_S + 2820  # 19:38, 19:47


@dataclass(frozen=True)
class Quoted:
    """A quote as the API reads it."""

    minute_s: float
    share: float
    drops: int
    slips: tuple[SimpleNamespace, ...] = ()

    @property
    def planned_s(self) -> float:
        return self.minute_s - 30


class Quotes(Shows):
    def quote(self, ticket: object) -> tuple[Quoted, Quoted]:
        slip = SimpleNamespace(ticket="B4", course="B4.1", was_s=AT_S + 2400, is_s=AT_S + 2640)
        return Quoted(QUOTED_S, 0.83, 2, (slip,)), Quoted(POLITE_S, 0.91, 1)


def plan(seq: int, late_s: int) -> PlanMade:
    """F3's two pizzas, each on its spot for three minutes."""
    plates = []
    for n, x_m in ((1, -0.2), (2, 0.2)):
        start_s, end_s = int(LANDS_S - 300 + late_s), int(LANDS_S - 120 + late_s)
        stay = KeptStay(0, 0, x_m, 0.5, start_s, end_s, end_s, 0, True)
        acts = (KeptAct("launch", start_s, 10, 0, 0), KeptAct("pull", end_s, 8, 0, 0))
        plates.append(KeptPlate(f"F3-{n}", "pizza", end_s, end_s, (stay,), acts))
    order = KeptOrder("F3.1", "F3", int(LANDS_S), int(LANDS_S + late_s), tuple(plates))
    return PlanMade(seq, (order,))


def begin(night: Night) -> None:
    """Tells the night of F3, as long ago as it was."""
    ids = count(1)

    def say(what: told.What | PlanMade, at_s: float, by: str = "Ana") -> None:
        answer = night.tell(told.Command(f"late-{next(ids):06}", by, at_s, what))
        assert answer.taken, answer.words

    if night.state.facts.ticket("F3") is not None:
        return
    ticket = called("F3", "pizza pizza", wanted_s=LANDS_S, called_s=LANDS_S - 1200, covers=2)
    say(ticket, LANDS_S - 1200, "Ben")
    say(plan(night.state.seq, 0), LANDS_S - 1200, "the plan")
    say(told.Reading(358, "floor", "gun 1", place="centre"), LANDS_S - 900)
    say(told.MoveDone("F3-1", "launch"), LANDS_S - 300)
    say(told.Spill(-0.2, 0.5, 0.2, LANDS_S + 180, "shrimp butter"), LANDS_S - 240)
    say(plan(night.state.seq, LATE_S), LANDS_S - 230, "the plan")
    say(told.MoveDone("F3-2", "launch"), LANDS_S + 60)
    say(told.MoveDone("F3-2", "pull"), LANDS_S + 240)
    say(told.MoveDone("F3-1", "pull"), LANDS_S + 240)
    say(told.Landed("F3"), LANDS_S + LATE_S, "Ben")


if __name__ == "__main__":
    main(*sys.argv[1:], begin=begin, shows=Quotes)
