"""An invented night told from its first ticket to its closing, for pages drawn without a board.

`python tests/shared/again_fixture.py examples/brindlecote tuesday web/fixtures/answers.json` writes what the
board would answer to the pages of the tickets, the people, closing and the night again.
"""

from __future__ import annotations

import json
import sys
from dataclasses import asdict
from itertools import count
from pathlib import Path

from hearthtide.house.files import read_house, read_night
from hearthtide.house.models import House
from hearthtide.planning.night import plan_night
from hearthtide.planning.plan import Plan
from hearthtide.service import commands as told
from hearthtide.service.closing import closing
from hearthtide.service.history import history
from hearthtide.service.kitchen import Kitchen
from hearthtide.service.lateness import late_courses
from hearthtide.service.log import MemoryLog
from hearthtide.service.night import Night
from hearthtide.service.plan_told import KeptAct, KeptOrder, KeptPlate, KeptStay, PlanMade
from hearthtide.service.replay import plans_then, replay
from hearthtide.service.tickets import Course, Plate, Spot, Ticket

SPILT_S, SLIP_S = 19 * 3600.0, 330  # when butter goes over the stone, and what the tables then open lose


def main(folder: str, night_name: str, out: str) -> None:
    house = read_house(Path(folder))
    night = read_night(house, night_name)
    story = Story(house, plan_night(house, night))
    story.run()
    facts, back = story.night.state.facts, history(story.night.since(0))
    late_after_s, doors_s = house.file.late_after, night.doors
    page = {
        "seq": story.night.state.seq,
        "now_s": story.now_s,
        "closing": asdict(closing(facts, back.told, house.dishes, doors_s)),
        "late": [asdict(one) for one in late_courses(facts, back.told, plans_then(back.plans), late_after_s)],
    }
    answers = {
        "/api/closing": page,
        "/api/replay": asdict(replay(facts, back, late_after_s)),
        "/api/people": [
            {"name": name, "role": role}
            for name, role in (("Ana", "chef"), ("Ben", "cook"), ("Iva", "inspector"))
        ],
        "/api/devices": ["tablet at the mouth", "tablet at the pass", "screen on the wall"],
        "/api/feeds": ["till"],
        "/api/codes": {"code": "40718263", "good_for_s": 300.0},
        "/api/quotes": {
            "soonest": quote(69960.0, 0.83, 2, [("F3", 69060.0, 69300.0)]),
            "polite": quote(70500.0, 0.91, 1, []),
        },
    }
    Path(out).write_text(json.dumps(answers, separators=(",", ":")), encoding="utf-8")


def quote(minute_s: float, share: float, drops: int, slips: list[tuple[str, float, float]]) -> dict:
    told_slips = [{"table": t, "course": 1, "was_s": was, "is_s": now} for t, was, now in slips]
    return {
        "minute_s": minute_s,
        "planned_s": minute_s - 40,
        "share": share,
        "drops": drops,
        "slips": told_slips,
    }


class Story:
    """The night as planned, but for what is spilt at `SPILT_S` and one act that comes late."""

    def __init__(self, house: House, plan: Plan) -> None:
        self.now_s = min(one.called_s for one in plan.landings) - 60.0
        self.plan, self.ids = plan, count(1)
        self.night = Night(MemoryLog(), Kitchen(house), lambda: self.now_s)
        self.items = {one.item: one for one in plan.items}
        self.slipped: dict[str, int] = {}

    def say(self, what: told.What | PlanMade, by: str = "Ana") -> None:
        answer = self.night.tell(told.Command(f"story-{next(self.ids):06}", by, self.now_s, what))
        assert answer.taken, answer.words

    def run(self) -> None:
        for at_s, _, do in sorted(self.steps(), key=lambda one: one[:2]):
            self.now_s = max(self.now_s, at_s)
            do()

    def steps(self):
        n = count()
        for land in self.plan.landings:
            yield land.called_s, next(n), lambda land=land: self.call(land)
            late_s = SLIP_S if land.called_s < SPILT_S < land.planned_s else 0
            yield (
                land.planned_s + late_s + 20,
                next(n),
                lambda land=land: self.say(told.Landed(land.ticket), "Ben"),
            )
        for move in self.plan.moves:
            if move.item in self.items:
                yield self.done_s(move), next(n), lambda move=move: self.act(move)
        for at_s, floor_C in ((16.9, 352), (18.4, 361), (19.2, 344), (20.5, 366)):
            what = told.Reading(floor_C, "floor", "gun 1", spot=Spot(0, 0.6))
            yield at_s * 3600, next(n), lambda what=what: self.say(what)
        yield SPILT_S, next(n), self.spill
        yield 22 * 3600.0, next(n), lambda: self.say(told.EightySix("wings"), "Ben")
        yield 23 * 3600.0, next(n), lambda: self.say(told.Waste("half_chicken", 3))
        yield 23 * 3600.0, next(n), lambda: self.say(told.Waste("pizza", 1, "burnt"))
        yield 23 * 3600.0 + 60, next(n), lambda: self.say(told.Handover("Use the old dough first."))

    def done_s(self, move) -> float:
        late_s = SLIP_S if move.start_s > SPILT_S and self.slips(move.ticket) else 0
        return move.start_s + late_s + (35 if move.act == "launch" and hash_of(move.item) == 0 else 4)

    def slips(self, table: str) -> bool:
        return any(o.ticket == table and o.called_s < SPILT_S < o.planned_s for o in self.plan.landings)

    def call(self, land) -> None:
        plates = tuple(Plate(self.items[key].dish) for key in land.items)
        ticket = Ticket(land.ticket, land.covers, float(self.now_s), (Course(float(land.wanted_s), plates),))
        self.say(told.TicketCalled(ticket, "tapped"), "Ben")
        self.tell_plan()

    def spill(self) -> None:
        self.say(told.Spill(-0.2, 0.5, 0.2, SPILT_S + 420, "shrimp butter"))
        for table in {one.ticket for one in self.plan.landings}:
            if self.slips(table):
                self.slipped[table] = SLIP_S
        self.tell_plan()

    def act(self, move) -> None:
        nth = 1 + sum(
            other.act == move.act and other.item == move.item and other.start_s < move.start_s
            for other in self.plan.moves
        )
        self.say(told.MoveDone(move.item, move.act, nth))

    def tell_plan(self) -> None:
        facts = self.night.state.facts
        orders = []
        for land in self.plan.landings:
            ticket, by_s = facts.ticket(land.ticket), self.slipped.get(land.ticket, 0)
            if ticket is None or ticket.courses[0].landed_s is not None:
                continue
            plates = tuple(self.kept(key, by_s) for key in land.items)
            orders.append(
                KeptOrder(f"{land.ticket}.1", land.ticket, land.wanted_s, land.planned_s + by_s, plates)
            )
        if orders:
            self.say(PlanMade(self.night.state.seq, tuple(orders)), "the plan")

    def kept(self, key: str, by_s: int) -> KeptPlate:
        item = self.items[key]
        stays = tuple(
            KeptStay(n, 0, s.x_m, s.y_m, s.start_s + by_s, s.end_s + by_s, s.end_s + by_s, 0, True)
            for n, s in enumerate(item.stays)
        )
        acts = tuple(
            KeptAct(m.act, m.start_s + by_s, m.hands_s, 0, 0) for m in self.plan.moves if m.item == key
        )
        return KeptPlate(key, item.dish, stays[-1].end_s, item.ready_s + by_s, stays, acts)


def hash_of(key: str) -> int:
    """Every seventh plate or so, the same on every machine."""
    return sum(map(ord, key)) % 7


if __name__ == "__main__":
    main(*sys.argv[1:])
