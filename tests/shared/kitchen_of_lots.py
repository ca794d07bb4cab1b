"""A kitchen that does random things to one lot: it heats, reads, cools, waits and wishes, well and badly.

What is proved comes from the rule set's verdicts on the lot's own readings and times. Beside it stands an
oracle that reads the same record by hand, in minutes and degrees of the FDA Food Code 2022 (3-401.11(A)(3),
3-401.14(A), 3-403.11, 3-501.14, 3-501.16 to .19), and asks no rule set: `Unproved` where an arrow was taken
without it.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from random import Random

from hearthtide.safety.cooling import cooled
from hearthtide.safety.cooling_acts import Again, heated_through_verdict
from hearthtide.safety.dates import Kept, date_verdict
from hearthtide.safety.par_cook import Procedure, first_heat_verdict
from hearthtide.safety.readings import Point, Reading
from hearthtide.safety.rules import Piece, RuleSet
from hearthtide.safety.states import ARROWS, SERVED, Lot, NotYet, Proof, State, become
from hearthtide.safety.time_control import Out, may_return, time_rules, time_verdict
from hearthtide.safety.verdicts import (
    ToReheat,
    Verdict,
    cook_verdict,
    gravest,
    hold_verdict,
    reheat_verdict,
)

BEGIN = datetime(2026, 6, 2, 8, tzinfo=UTC)
PROCEDURE = Procedure("PC-7", "county", date(2026, 3, 1))
# At a limit twice as often as beside it, so that long ways are walked too.
HEAT = ("165F", "74C", "170F", "80C", "165F", "74C", "164.9F", "73.9C", "615F")
HOT = ("135F", "57C", "140F", "60C", "135F", "57C", "134.9F", "56.9C")
MILD = ("70F", "21C", "60F", "15C", "70F", "21C", "70.1F", "21.1C")
COLD = ("41F", "5C", "38F", "3C", "41F", "5C", "41.1F", "5.1C")
PARTS = ("thigh", "breast")
STATES: list[State] = sorted({state for arrow in ARROWS for state in arrow} | {"discarded"})


class Unproved(AssertionError):
    """An arrow was taken on a record that does not show what it needs."""


@dataclass
class Kitchen:
    """One lot and its record; minutes count from the morning it came in raw."""

    random: Random
    rules: RuleSet
    piece: Piece | None = "half bird"
    lot: Lot = field(default_factory=lambda: Lot("birds"))
    now: int = 0
    record: list[Reading] = field(default_factory=list)
    since: dict[str, int] = field(default_factory=dict)
    marked_min: int | None = None
    marked_day: int = 6
    arrows: int = 0
    taken: int = 0  # readings

    def at(self, minute: int) -> datetime:
        return BEGIN + timedelta(minutes=minute)

    def read(self, values: tuple[str, ...], point: Point, held: tuple[int, ...] = (0,)) -> None:
        """Both parts at once, or by a slip one of them."""
        for place in PARTS if self.random.random() < 0.9 else PARTS[:1]:
            said = self.random.choice(values) if self.random.random() < 0.4 else values[0]
            unit = "F" if said.endswith("F") else "C"
            reading = Reading(
                f"r{self.taken}", "birds", self.at(self.now), 0, Decimal(said[:-1]), unit, point,
                "probe", "Ben", place, self.random.choice(held),
            )  # fmt: skip
            self.record.append(reading)
            self.taken += 1

    def wait(self, *minutes: int) -> None:
        self.now += self.random.choice(minutes)

    def run(self, wishes: int) -> list[State]:
        """So many wishes, or fewer where it ends before; what it became, in order."""
        became: list[State] = []
        for _ in range(wishes):
            if self.done:
                break
            taken = self.arrows
            self.step()
            if self.arrows > taken:
                became.append(self.lot.state)
        return became

    def step(self) -> None:
        """One wish: an arrow from here or any state at all, prepared for or not."""
        ways = [to for (at, to) in ARROWS if at == self.lot.state]
        to = self.random.choice(ways) if ways and self.random.random() < 0.9 else self._any()
        if self.random.random() < 0.85:
            self.prepare(to)
        else:
            self.wait(0, 1, 30, 600, 1440)
        proofs = self.proofs(to)
        before = self.lot
        try:
            self.lot = become(before, to, proofs)
        except NotYet:
            return
        self.arrows += 1
        self.check(before, to)
        self.entered(to)

    def _any(self) -> State:
        return self.random.choice(STATES)

    @property
    def done(self) -> bool:
        """Whether nothing more can become of it."""
        return self.lot.state in (*SERVED, "discarded")

    def prepare(self, to: State) -> None:
        """What a cook would do for it, each step near its limit."""
        state = self.lot.state
        if state == "par-cooked" or (state, to) == ("cooling", "chilled"):
            self._cool()
        if to == "par-cooked":
            self.since["first"] = self.now
            self.wait(30, 59, 60, 61)
        elif to == "cooked" and state == "cooling":
            self.wait(60, 119, 120, 121)
            self.since["back"] = self.now
            self.wait(20, 120, 121)
            self.read(HEAT, "coldest", (15, 15, 14))
        elif to == "cooked":
            self.since["heat"] = self.now
            self.wait(20, 45)
            self.read(HEAT, "coldest")
        elif to == "time-controlled" or state == "time-controlled":
            self._on_time()
        elif state == "chilled":
            self.since["left cold"] = self.now
            self.wait(5, 119, 120, 121)
            self.read(HEAT, "coldest", (15, 15, 14))
        elif state in ("held hot", "re-heated and held"):
            for _ in range(self.random.randint(1, 3)):
                self.wait(30, 239, 240, 241)
                self.read(HOT, "coldest")

    def _cool(self) -> None:
        self.read(HOT, "warmest")
        self.wait(60, 119, 119, 120, 121)
        self.read(MILD, "warmest")
        self.wait(100, 239, 239, 240, 241)
        self.read(COLD, "warmest")

    def _on_time(self) -> None:
        if self.lot.state != "time-controlled":
            self.since["out"] = self.now
            self.read(HOT + COLD, "coldest")
            self.marked_min = self.random.choice((None, self.now + 240, self.now + 241))
        self.wait(0, 60, 239, 240, 241)

    def entered(self, to: State) -> None:
        """What starts when a lot becomes that."""
        if to in ("par-cooked", "cooked"):
            self.since["left heat"] = self.now
            self.record = [one for one in self.record if one.at == self.at(self.now)]
        if to in ("held hot", "re-heated and held"):
            self.since["hold"] = self.now
        if to == "cooling" and self.lot.state == "cooling":
            self.since["left heat"] = self.since.get("hold", self.since["left heat"])

    def _after(self, mark: str) -> tuple[Reading, ...]:
        begun = self.at(self.since.get(mark, 0))
        return tuple(one for one in self.record if one.at >= begun)

    def _cooling(self, until: int) -> Verdict:
        left = self.since.get("left heat")
        taken = tuple(one for one in self.record if one.at <= self.at(until))
        stages = cooled(self.rules, taken, None if left is None else self.at(left), self.at(until)).stages
        return next(one for one in stages if one.answer == gravest(stages))

    def _kept(self) -> Kept:
        return Kept(BEGIN.date(), marked=BEGIN.date() + timedelta(days=self.marked_day))

    def proofs(self, to: State) -> dict[Proof, Verdict]:
        """What the arrow asks for, by the rule set, on the record; now and then one is left out."""
        wanted = [one for one in ARROWS.get((self.lot.state, to), ()) if self.random.random() < 0.97]
        found = {proof: self.proof(proof) for proof in wanted}
        return {proof: one for proof, one in found.items() if one is not None}

    def proof(self, proof: Proof) -> Verdict | None:
        """One proof as the record gives it; None where what it is of never began."""
        rules, now, record = self.rules, self.at(self.now), tuple(self.record)
        heat, left = self.since.get("heat", 0), self.since.get("left heat")
        if proof == "cooked":
            return cook_verdict(rules, "poultry", self._after("heat"), self.piece)
        if proof == "first heat":
            out = now if left is None else self.at(left)
            return first_heat_verdict(rules, PROCEDURE, self.at(self.since.get("first", 0)), out, now.date())
        if proof in ("cooling", "first cooling"):
            return self._cooling(self.now if proof == "cooling" else max(heat, left or 0))
        if proof == "date":
            return date_verdict(rules, self._kept(), now.date())
        if proof == "held":
            return hold_verdict(rules, "hot", self._after("hold"))
        if proof in ("re-heated for one", "re-heated to hold") and "left cold" in self.since:
            chilled, dated = self._cooling(self.now), date_verdict(rules, self._kept(), now.date())
            lot = ToReheat("poultry", True, chilled, dated, self.at(self.since["left cold"]), self.piece)
            return reheat_verdict(rules, "one order" if proof == "re-heated for one" else "hold", lot, record)
        if proof in ("in its time", "may return") and "out" in self.since:
            marked = None if self.marked_min is None else self.at(self.marked_min)
            out, way = Out(self.at(self.since["out"]), marked, procedure=True), time_rules(rules)[0]
            return may_return(way, out, now) if proof == "may return" else time_verdict(way, out, record, now)
        if proof == "heated through in time" and "back" in self.since:
            began = None if left is None else self.at(left)
            back = self.at(self.since["back"])
            again = Again("poultry", back, began, self.piece, self.lot.begun_anew)
            return heated_through_verdict(rules, again, record)
        return None

    # --- the oracle: the record by hand -------------------------------------------------------------

    def check(self, before: Lot, to: State) -> None:
        """Raises Unproved where the record does not show what the arrow needs."""
        wanted = {
            "cooked": self._hot_enough("heat", 0) if before.state != "cooling" else True,
            "first heat": self.since.get("left heat", self.now) - self.since.get("first", 0) <= 60,
            "cooling": self._cold_in_time(self.now),
            "first cooling": self._cold_in_time(self.since.get("heat", 0)),
            "date": self.now < (min(6, self.marked_day) + 1) * 1440 - 8 * 60,
            "held": self._hot_all_along(),
            "re-heated to hold": self._hot_enough("left cold", 15, 120),
            "in its time": self._in_time(),
            "may return": False,
            "heated through in time": self._hot_enough("back", 15, 120) and not before.begun_anew,
        }  # fmt: skip
        for proof in ARROWS.get((before.state, to), ()):
            if not wanted.get(proof, True):
                raise Unproved(f"{before.state} to {to} without {proof} at minute {self.now}: {self.record}")

    def _minute(self, one: Reading) -> int:
        return round((one.at - BEGIN).total_seconds() / 60)

    def _real(self, point: Point) -> list[Reading]:
        """What can be so: 615 °F cannot."""
        hottest = {"F": 221, "C": 105}
        return [one for one in self.record if one.point == point and one.value <= hottest[one.unit]]

    def _hot_enough(self, mark: str, held_s: int, within: int | None = None) -> bool:
        """Each part's last reading since then at 165 °F or 74 °C, both parts of a half bird among them."""
        if mark not in self.since:
            return False
        begun = self.since[mark]
        since = [one for one in self._real("coldest") if self._minute(one) >= begun]
        last = {
            place: max(self._minute(o) for o in since if o.place == place)
            for place in {o.place for o in since}
        }
        if self.piece == "half bird" and not {"thigh", "breast"} <= set(last):
            return False
        ends = [one for one in since if self._minute(one) == last[one.place]]
        good = all(o.value >= {"F": 165, "C": 74}[o.unit] and o.held_s >= held_s for o in ends)
        return bool(ends) and good and (within is None or max(last.values()) - begun <= within)

    def _cold_in_time(self, until: int) -> bool:
        """Each part at 70 °F within 120 minutes of when it was last hot, 41 °F within 360, and so since."""
        taken = [one for one in self._real("warmest") if self._minute(one) <= until]
        if not taken or "left heat" not in self.since:
            return False
        starts = []
        for place in {one.place for one in taken}:
            own = sorted((o for o in taken if o.place == place), key=self._minute)
            cool = [self._minute(o) for o in own if o.value < {"F": 135, "C": 57}[o.unit]]
            first_cool = min(cool, default=until + 1)
            hot = [self._minute(o) for o in own if self._minute(o) < first_cool]
            starts.append(max(hot, default=self.since["left heat"]))
        start = min(starts)
        for place in {one.place for one in taken if self._minute(one) >= start}:
            own = sorted(
                (o for o in taken if o.place == place and self._minute(o) >= start), key=self._minute
            )
            for limit, minutes in (({"F": 70, "C": 21}, 120), ({"F": 41, "C": 5}, 360)):
                late = [o for o in own if self._minute(o) - start >= minutes and o.value > limit[o.unit]]
                met = [o for o in own if self._minute(o) - start <= minutes and o.value <= limit[o.unit]]
                if late or not met:
                    return False
        return True

    def _hot_all_along(self) -> bool:
        held = [one for one in self._real("coldest") if self._minute(one) >= self.since.get("hold", 0)]
        return bool(held) and all(one.value >= {"F": 135, "C": 57}[one.unit] for one in held)

    def _in_time(self) -> bool:
        """Out from 41 °F or below or 135 or above, marked for no more than four hours, and not past it."""
        if "out" not in self.since or self.marked_min is None:
            return False
        out = self.since["out"]
        began = [o for o in self._real("coldest") if out - 30 <= self._minute(o) <= out]
        ok = any(
            o.value <= {"F": 41, "C": 5}[o.unit] or o.value >= {"F": 135, "C": 57}[o.unit] for o in began
        )
        return ok and self.marked_min - out <= 240 and self.now <= self.marked_min
