"""What the screens would call out, and how often: the rule of web/src/ear once more, to be counted.

Exceptions only. Hazards are always called; of all else one call in ten minutes on average, two saved up.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Literal

from hearthtide.service.facts import Facts
from hearthtide.service.shown import Shown, ShownHouse, ShownMove

# The same as in web/src/ear/calls.ts and pace.ts; a test holds them together.
PROBE_AHEAD_S, FIRST_AHEAD_S, OUT_OF_ORDER_S, FLAME_AHEAD_S = 10, 20, 20, 15
EACH_S, SAVED, AGAIN_S, FORGET_S = 600, 2, 30, 900
SLACK_S, MOST_MOVES = 3, 3  # of web/src/pages/hearth/next.ts
LASTS_S = 120.0  # so long after its second a probe or a flame change is still called
FRESH_S = 15.0  # an act told so long ago is still news
Level = Literal["hazard", "act", "note"]


@dataclass(frozen=True)
class Call:
    """Something that deserves a sound; the same `key` is called once."""

    key: str
    level: Level


@dataclass(frozen=True)
class Due:
    """A move that is next, and when it is to begin with what was put off."""

    move: ShownMove
    due_s: float
    put_off: bool


def calls_now(house: ShownHouse, shown: Shown, facts: Facts, now_s: float) -> tuple[Call, ...]:
    """Everything that is an exception now, the gravest first."""
    moves = next_moves(shown, facts, now_s)
    return (
        *_flame(shown, facts, now_s),
        *_probes(shown, facts, now_s),
        *_late(house, shown),
        *_order(shown, facts, moves, now_s),
        *_floor(house, shown),
        *_first(moves, now_s),
    )


def next_moves(shown: Shown, facts: Facts, now_s: float) -> tuple[Due, ...]:
    """The moves on the screen, soonest first, three at most."""
    plates = [p for t in facts.tickets for p in t.plates]
    done = {(p.key, d.act, d.nth) for p in plates for d in p.done}
    later = {(p.key, w.act, w.nth): w.until_s for p in plates for w in p.later}
    found = []
    for move in shown.moves:
        key = (move.item, move.act, move.nth)
        until_s = later.get(key, -1.0)
        due_s = max(move.start_s, until_s)
        if key not in done and due_s + move.hands_s + SLACK_S > now_s:
            found.append(Due(move, due_s, until_s > move.start_s))
    return tuple(sorted(found, key=lambda d: (d.due_s, d.move.table))[:MOST_MOVES])


def _flame(shown: Shown, facts: Facts, now_s: float) -> Iterator[Call]:
    if facts.flame_out is not None:
        yield Call(f"out {facts.flame_out.at_s}", "hazard")
        return
    for change in shown.fire.changes:
        if change.level != shown.fire.level and change.at_s - FLAME_AHEAD_S <= now_s < change.at_s + LASTS_S:
            yield Call(f"flame {change.at_s}", "act")


def _probes(shown: Shown, facts: Facts, now_s: float) -> Iterator[Call]:
    for probe in shown.probes:
        read = probe.last_s is not None and probe.last_s >= probe.at_s - 60
        if probe.at_s - PROBE_AHEAD_S <= now_s < probe.at_s + LASTS_S and not read:
            yield Call(f"probe {probe.item}", "act")


def _late(house: ShownHouse, shown: Shown) -> Iterator[Call]:
    for slip in shown.slips:
        by_s = slip.is_s - slip.was_s
        if by_s >= house.late_after_s:
            yield Call(f"late {slip.table}/{slip.course} {int(by_s // house.late_after_s)}", "note")


def _order(shown: Shown, facts: Facts, moves: tuple[Due, ...], now_s: float) -> Iterator[Call]:
    first = moves[0] if moves else None
    if first is None or first.put_off or now_s < first.due_s:
        return
    starts = {(m.item, m.act, m.nth): m.start_s for m in shown.moves}
    for plate in (p for t in facts.tickets for p in t.plates if p.key != first.move.item):
        for done in (d for d in plate.done if not d.assumed and d.at_s > now_s - FRESH_S):
            if starts.get((plate.key, done.act, done.nth), 0.0) > first.due_s + OUT_OF_ORDER_S:
                yield Call(f"order {first.move.item} {first.move.act} {first.move.nth}", "note")
                return


def _floor(house: ShownHouse, shown: Shown) -> Iterator[Call]:
    if shown.fire.floor:
        low_C, high_C = house.band_C
        now_C = shown.fire.floor[0].zone_C
        if now_C > high_C:
            yield Call("floor high", "note")
        elif now_C < low_C:
            yield Call("floor low", "note")


def _first(moves: tuple[Due, ...], now_s: float) -> Iterator[Call]:
    for due in moves:
        if due.move.first_of_table and due.due_s - FIRST_AHEAD_S <= now_s < due.due_s:
            yield Call(f"first {due.move.table}", "note")


@dataclass
class Ear:
    """Counts what would be heard; `listen` is asked whenever anything changes."""

    saved: float = SAVED
    since_s: float | None = None
    at_s: float = 0.0
    called: dict[str, float] = field(default_factory=dict)
    heard: list[tuple[float, str]] = field(default_factory=list)
    hazards: int = 0
    kept_quiet: int = 0

    def listen(self, calls: tuple[Call, ...], now_s: float) -> None:
        """Makes at most one call of those that could be made."""
        if self.since_s is None:
            self.since_s = self.at_s = now_s
        self.saved = min(SAVED, self.saved + max(0.0, now_s - self.at_s) / EACH_S)
        self.at_s = now_s
        self.called = _remembered(self.called, calls, now_s)
        for call in calls:
            if call.level == "hazard" and now_s - self.called.get(call.key, -AGAIN_S) >= AGAIN_S:
                self.called[call.key] = now_s
                self.hazards += 1
                return
        fresh = [c for c in calls if c.level != "hazard" and c.key not in self.called]
        one = next((c for c in fresh if c.level == "act"), fresh[0] if fresh else None)
        if one is None:
            return
        self.called[one.key] = now_s
        if self.saved < 1:
            self.kept_quiet += 1
        else:
            self.saved -= 1
            self.heard.append((now_s, one.key))


def _remembered(called: Mapping[str, float], calls: tuple[Call, ...], now_s: float) -> dict[str, float]:
    still = {call.key for call in calls}
    return {key: at_s for key, at_s in called.items() if key in still or now_s - at_s < FORGET_S}
