"""Right answers held against a rehearsed night: each looked at once, at its minute."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict, dataclass, replace
from itertools import pairwise

from hearthtide.house.models import House
from hearthtide.house.upsets_file import ExpectFile
from hearthtide.planning.engine.search import search
from hearthtide.planning.limits import binding_limit
from hearthtide.planning.night import Prepared
from hearthtide.planning.problem import Problem, Reality, Schedule
from hearthtide.planning.quote import quotes
from hearthtide.planning.told import Running
from hearthtide.quantities.show import clock_text, duration_text
from hearthtide.service.facts import Facts, LiveTicket
from hearthtide.service.open_orders import as_called
from hearthtide.service.quoting import door_orders
from hearthtide.service.rehearsal.outcome import Outcome
from hearthtide.service.rehearsal.people import Pass
from hearthtide.service.shown import Shown

SETTLED_S = 5.0  # after its minute, when the plan has taken in what was told then; own choice
SHARE = 0.1  # of the time from the question to the minute answered: the tolerance where none is written
DEGREES = 10.0
ROUNDS = 300  # of a search asked for one answer, as the live planner's longest look
BINDING_ROUNDS = 600


@dataclass(frozen=True)
class Checked:
    """One right answer, what was found, and whether it was met."""

    asked: str
    expected: str
    found: str
    met: bool


@dataclass(frozen=True)
class Now:
    """The night as it stands when an answer is looked at."""

    now_s: float
    shown: Shown
    facts: Facts
    running: Running


class Expected:
    """Call `step` after each second's plans, `at_end` once the night is over."""

    def __init__(self, house: House, ready: Prepared, expect: Iterable[ExpectFile], seed: int) -> None:
        self._house, self._ready, self._seed = house, ready, seed
        expect = tuple(expect)
        self._to_come = sorted((e for e in expect if e.at is not None), key=lambda e: e.at or 0.0)
        self._last = [e for e in expect if e.at is None]
        self._before: dict[ExpectFile, dict[str, float]] = {}
        self.checked: list[Checked] = []

    def step(self, now: Now) -> None:
        landings = {one.table: one.planned_s for one in sorted(now.shown.landings, key=lambda s: s.planned_s)}
        for one in self._to_come:
            if one.at is not None and now.now_s < one.at:
                self._before[one] = landings
        while self._to_come and now.now_s >= (self._to_come[0].at or 0.0) + SETTLED_S:
            one = self._to_come.pop(0)
            self.checked.append(self._now(one, now, landings))

    def at_end(self, passed: Pass, outcome: Outcome) -> tuple[Checked, ...]:
        """Everything that was to be looked at; what never came to its minute is not met."""
        for one in self._to_come:
            self.checked.append(Checked(_asked(one), _minute(one.minute), "the night ended before", False))
        for one in self._last:
            if one.figure is not None:
                self.checked.append(_figure(one, outcome))
            else:
                own = [s for (table, _), s in passed.landed.items() if table == one.lands]
                self.checked.append(_at_minute(one, max(own, default=None), None))
        return tuple(self.checked)

    def _now(self, one: ExpectFile, now: Now, landings: dict[str, float]) -> Checked:
        if one.slips is not None:
            return _slip(one, self._before.get(one, {}).get(one.slips), landings.get(one.slips))
        if one.lands is not None:
            return _at_minute(one, landings.get(one.lands), one.at)
        if one.goes_in is not None:
            plates = {p.item: p.in_s for landing in now.shown.landings for p in landing.plates}
            return _at_minute(one, plates.get(one.goes_in), one.at)
        if one.floor is not None:
            return _floor(one, now.shown)
        if one.binds is not None:
            return self._binds(one, now)
        return _at_minute(one, self._soonest(one.soonest or "", now), one.at)

    def _soonest(self, table: str, now: Now) -> float | None:
        """The earliest landing of a table as if it stood at the door; None once it has begun."""
        ticket, running = now.facts.ticket(table), now.running
        if ticket is None or any(p.begun for p in ticket.plates):
            return None
        orders = tuple(o for o in running.problem.orders if o.ticket != table)
        booked = tuple(b for b in running.schedule.booked if b.order.ticket != table)
        others = Running(
            replace(running.problem, orders=orders), replace(running.schedule, booked=booked), running.now_s
        )
        plates = {n: tuple(p for p in ticket.plates if p.course == n and not p.off) for n in _courses(ticket)}
        called = as_called(ticket, _courses(ticket), plates)
        asked = door_orders(self._house, self._ready, called, running.now_s)
        soonest, _ = quotes(others, asked, self._search, self._seed, 100)
        return soonest.planned_s

    def _search(self, problem: Problem, reality: Reality, told: Schedule) -> Schedule:
        return search(problem, reality, told, seed=self._seed, rounds=ROUNDS)

    def _binds(self, one: ExpectFile, now: Now) -> Checked:
        """What binds on all the night's tickets with the hands, stone and platters there are now."""
        out = {since.name for since in now.facts.cooks_out}
        own = self._ready.problem
        cooks = tuple(replace(c, acts=frozenset()) if c.name in out else c for c in own.cooks)
        problem = replace(own, cooks=cooks)
        found = binding_limit(problem, search(problem, rounds=BINDING_ROUNDS, seed=self._seed), self._seed)
        binds = "nothing" if found is None else found.binds
        return Checked(_asked(one), one.binds or "", binds, binds == one.binds)


def _courses(ticket: LiveTicket) -> range:
    return range(1, len(ticket.courses) + 1)


def _asked(one: ExpectFile) -> str:
    kinds = ("lands", "soonest", "goes_in", "slips", "binds", "figure")
    kind = next((k for k in kinds if getattr(one, k) is not None), "floor")
    of = "" if kind in ("binds", "floor") else f" {getattr(one, kind)}"
    at = "" if one.at is None else f", at {clock_text(one.at)}"
    return f"{kind.replace('_', ' ')}{of}{at}"


def _minute(minute_s: float | None) -> str:
    return "" if minute_s is None else clock_text(minute_s)


def _at_minute(one: ExpectFile, found_s: float | None, asked_s: float | None) -> Checked:
    assert one.minute is not None
    within_s = one.within
    if within_s is None:
        within_s = SHARE * (one.minute - asked_s) if asked_s is not None else 180.0
    expected = f"{clock_text(one.minute)} within {duration_text(within_s)}"
    if found_s is None:
        return Checked(_asked(one), expected, "nothing", False)
    return Checked(_asked(one), expected, clock_text(found_s), abs(found_s - one.minute) <= within_s)


def _slip(one: ExpectFile, was_s: float | None, is_s: float | None) -> Checked:
    assert one.by is not None
    within_s = SHARE * one.by if one.within is None else one.within
    expected = f"{duration_text(one.by)} within {duration_text(within_s)}"
    if was_s is None or is_s is None:
        return Checked(_asked(one), expected, "nothing", False)
    by_s = is_s - was_s
    sign = "-" if by_s < 0 else ""
    return Checked(_asked(one), expected, sign + duration_text(abs(by_s)), abs(by_s - one.by) <= within_s)


def _floor(one: ExpectFile, shown: Shown) -> Checked:
    """The stone foreseen for the minute, between the times that are told of it."""
    assert one.floor is not None and one.at is not None
    within_C = DEGREES if one.degrees is None else one.degrees
    expected = f"{one.floor:.0f} °C within {within_C:.0f}"
    at_s = one.at if one.minute is None else one.minute
    found_C = _between([(f.at_s, f.zone_C) for f in shown.fire.floor], at_s)
    if found_C is None:
        return Checked(_asked(one), expected, "nothing", False)
    return Checked(_asked(one), expected, f"{found_C:.0f} °C", abs(found_C - one.floor) <= within_C)


def _between(points: list[tuple[float, float]], at_s: float) -> float | None:
    for (s0, c0), (s1, c1) in pairwise(points):
        if s0 - 60 <= at_s <= s1:
            return c0 + (c1 - c0) * max(0.0, at_s - s0) / (s1 - s0)
    return None


def _figure(one: ExpectFile, outcome: Outcome) -> Checked:
    figures = asdict(outcome)
    name = one.figure or ""
    words = [f"at least {one.at_least:g}"] if one.at_least is not None else []
    words += [f"at most {one.at_most:g}"] if one.at_most is not None else []
    value = figures.get(name)
    if value is None:
        return Checked(f"figure {name}", " and ".join(words), "nothing", False)
    low = one.at_least is None or value >= one.at_least
    high = one.at_most is None or value <= one.at_most
    return Checked(f"figure {name}", " and ".join(words), f"{value:g}", low and high)
