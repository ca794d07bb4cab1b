"""Invented nights played on the service itself, for pages drawn without a board.

`python tests/shared/pages_fixture.py` writes web/fixtures/tuesday.json and friday.json, one minute of each as
screens are told it, and answers.json, what a board would answer to the pages of the people, the tickets,
closing and the night again. The same every time.
"""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, replace
from functools import partial
from pathlib import Path

from hearthtide.board.after_api import ClosingNow
from hearthtide.board.plan_api import AT_THE_DOOR, Quoted, minute_of
from hearthtide.house.files import read_house, read_night
from hearthtide.planning.engine.search import search
from hearthtide.planning.night import prepare_night
from hearthtide.planning.quote import quotes
from hearthtide.quantities.show import clock_text
from hearthtide.service import commands as told
from hearthtide.service.closing import closing
from hearthtide.service.history import history
from hearthtide.service.lateness import late_courses
from hearthtide.service.playing import Score
from hearthtide.service.quoting import door_orders
from hearthtide.service.replay import plans_then, replay
from hearthtide.service.shown_house import shown_house
from hearthtide.service.tickets import Course, Plate, Spot, Ticket, ticket_of
from live_night import ROUNDS, LiveNight
from small_night import clock

ROOT = Path(__file__).parents[2]
FIXTURES = ROOT / "web" / "fixtures"
STEP_S = 5.0  # between two looks at the clock
COOK, PASS = "Ana", "Ben"
BY_HAND = ("launch", "load", "pull")  # acts the cook says are done; the others are taken as done
Said = tuple[str, str, told.What]  # when, by whom, what

TUESDAY: tuple[Said, ...] = (
    ("16:54", COOK, told.Reading(352, "floor", "gun 1", spot=Spot(0, 0.6))),
    ("18:24", COOK, told.Reading(361, "floor", "gun 1", spot=Spot(0, 0.6))),
    ("19:07", COOK, told.Spill(-0.2, 0.5, 0.2, clock("19:16"), "shrimp butter")),
    ("19:09", COOK, told.Refire("F3-1")),
    ("20:30", COOK, told.Reading(366, "floor", "gun 1", spot=Spot(0, 0.6))),
    ("22:00", PASS, told.EightySix("wings")),
    ("23:00", COOK, told.Waste("half_chicken", 3)),
    ("23:00", COOK, told.Waste("pizza", 1, "burnt")),
    ("23:01", COOK, told.Handover("Use the old dough first.")),
)


class Evening:
    """A house's night told as its books foresee it, and whatever else is `said`."""

    def __init__(self, folder: str, name: str, said: Iterable[Said] = ()) -> None:
        self.house = read_house(ROOT / "examples" / folder)
        self.books = read_night(self.house, name)
        self.ready = prepare_night(self.house, self.books)
        score = Score(self.house, self.books, lambda: self.ready)
        calls = [(t.called, PASS, told.TicketCalled(ticket_of(t), "tapped")) for t in self.books.tickets]
        others = [(float(clock(when)), by, what) for when, by, what in said]
        self.to_come = sorted([*calls, *others], key=lambda one: one[0])
        self.live = LiveNight(clock_text(self.to_come[0][0] - 60.0), score=score)
        self.spoken = set[tuple[str, str, int]]()

    def until(self, then: str) -> None:
        while self.live.now_s < clock(then):
            self.live.until(min(clock(then), self.live.now_s + STEP_S))
            while self.to_come and self.to_come[0][0] <= self.live.now_s:
                at_s, by, what = self.to_come.pop(0)
                self.say(by, what, at_s)
            for move in self.live.shown.moves:
                act = move.item, move.act, move.nth
                by_hand = move.table and move.act in BY_HAND and act not in self.spoken
                if by_hand and move.start_s <= self.live.now_s:
                    self.spoken.add(act)
                    self.say(COOK, told.MoveDone(*act), move.start_s)

    def say(self, by: str, what: told.What, at_s: float) -> None:
        answer = self.live.tell(what, at_s, by)
        if not answer.taken:
            raise SystemExit(f"{clock_text(at_s)}, {what}: {answer.words}")

    def document(self) -> dict[str, object]:
        """What a screen is told first, and of this minute."""
        facts = replace(self.live.night.state.facts, plan=None)
        house = shown_house(self.house, self.books, self.books.name)
        return {"house": asdict(house), "shown": asdict(self.live.shown), "facts": asdict(facts)}

    def quoted(self) -> dict[str, object]:
        """The minutes a pair at the door could be told now, for a pizza and a steak."""
        now_s = self.live.now_s
        ticket = Ticket(AT_THE_DOOR, 2, now_s, (Course(now_s + 1.0, (Plate("pizza"), Plate("strip_steak"))),))
        orders = door_orders(self.house, self.ready, ticket, round(now_s))
        soonest, polite = quotes(self.live.playing.live.running, orders, partial(search, rounds=ROUNDS))
        return Quoted(soonest=minute_of(soonest), polite=minute_of(polite)).model_dump(mode="json")

    def looked_back_on(self) -> dict[str, object]:
        state, late_after_s = self.live.night.state, self.house.file.late_after
        back = history(self.live.night.since(0))
        page = ClosingNow(
            state.seq,
            self.live.now_s,
            closing(state.facts, back.told, self.house.dishes, self.books.doors),
            late_courses(state.facts, back.told, plans_then(back.plans), late_after_s),
        )
        again = replay(state.facts, back, late_after_s)
        return {"/api/closing": asdict(page), "/api/replay": asdict(again)}


def main() -> None:
    friday = Evening("osmer-and-vane", "friday")
    friday.until("19:25")
    _write("friday", friday.document())
    tuesday = Evening("brindlecote", "tuesday", TUESDAY)
    tuesday.until("19:10")
    _write("tuesday", tuesday.document())
    quoted = tuesday.quoted()
    tuesday.until("23:02")
    people = (("Ana", "chef"), ("Ben", "cook"), ("Iva", "inspector"))
    answers = {
        "/api/people": [{"name": name, "role": role} for name, role in people],
        "/api/devices": ["tablet at the mouth", "tablet at the pass", "screen on the wall"],
        "/api/feeds": ["till"],
        "/api/codes": {"code": "40718263", "good_for_s": 300.0},
        "/api/quotes": quoted,
    }
    _write("answers", tuesday.looked_back_on() | answers)


def _write(name: str, document: dict[str, object]) -> None:
    text = json.dumps(_rounded(document), separators=(",", ":"), ensure_ascii=False)
    (FIXTURES / f"{name}.json").write_text(text + "\n", encoding="utf-8")


def _rounded(told: object) -> object:
    """Numbers as short as a screen needs them, so that a fixture can be read."""
    if isinstance(told, float):
        return int(told) if told == int(told) else round(told, 3)
    if isinstance(told, dict):
        return {key: _rounded(value) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return [_rounded(one) for one in told]
    return told


if __name__ == "__main__":
    main()
