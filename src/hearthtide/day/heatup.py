"""The heat-up window planned end to end: when to light, the flame, which tray goes in when and where.

Trays are first put into the stone's straight climb. Where that is too short for all of them the stone is held
at the house's roasting heat for as long as they want it. Then the coupled models run the plan, and what they
see takes the place of what was supposed: each tray's own minutes, and how the load slows the oven.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from copy import copy
from dataclasses import dataclass, replace
from functools import partial

from hearthtide.day.climb import Climb, Climber
from hearthtide.day.laying import MINUTE_S, Ask, Laid, Why, Window, alike, lay
from hearthtide.day.load import Act, Tray
from hearthtide.day.roasting import Asked, Roasting
from hearthtide.day.run_trays import Lit, as_schedule, draw_since, flame_at
from hearthtide.day.stations import stations
from hearthtide.day.trays import trays_of
from hearthtide.day.window import HeatUp, Way, Went
from hearthtide.errors import Finding, InputError
from hearthtide.house.ahead_file import Ahead
from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.house.oven_file import FloorBandFile
from hearthtide.house.places import Outline
from hearthtide.house.rota_file import Hours
from hearthtide.oven.grid import NOMINAL, QUICK
from hearthtide.oven.model import build_oven
from hearthtide.planning.build import house_outlines, stage_masks
from hearthtide.planning.draw import Draw
from hearthtide.planning.judge import FLOOR_GIVE_C
from hearthtide.planning.night import Progress, silent
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.response import with_margin
from hearthtide.planning.verify import ItemSeen, Seen, Verifier
from hearthtide.quantities.show import clock_text

ROAST_STEP_S = 600  # the roasting is made as short as it can be, to so much; own choice
FEW, MANY = 4, 24  # orders of the trays tried for a way out, and for the plan; own choice
MOST_VERIFIED = 3  # runs of the coupled models; own choice
SHARED_S = 300  # starts so close share one answer of the food model; own choice
HOUR_S = 3600
LIT_STEP_S = 300  # the fire is lit on whole five minutes
LATE_TRAY = 1.3  # how much longer a tray is given that the models did not see done; own choice
PACE = (0.7, 1.6)  # how far what the models saw may move a tray's minutes at once; own choice


@dataclass(frozen=True)
class _Draft:
    """A window laid out and not yet run, and how its food was asked."""

    climb: Climb
    lit_s: int
    laid: Laid
    ask: Ask


def plan_heat_up(
    ahead: Ahead, wanted: Mapping[str, int], hours: Sequence[Hours], tell: Progress = silent
) -> HeatUp:
    """The window for so many portions of each batch with these people there.

    The latest lighting that does it all is taken: lit sooner the oven burns for nothing. Somebody who tends
    the hearth is there from lighting to doors: InputError where nobody can be. KeyError for an unknown batch.
    """
    return Planner(ahead, hours, tell).plan(wanted)


class Planner:
    """One house's window while it is planned."""

    def __init__(self, ahead: Ahead, hours: Sequence[Hours], tell: Progress = silent) -> None:
        self.ahead, self.file, self.tell = ahead, ahead.file, tell
        design = oven_design(ahead.house)
        self.quick, self.nominal = build_oven(design, QUICK), build_oven(design, NOMINAL)
        self.places = enumerate_places(design, ahead.house.file.zones, house_outlines(ahead.house))
        self.people = tuple(one for one in hours if "hearth" in one.does)
        hands = self.file.hands
        self.act_s: dict[Act, int] = {
            "put in": round(hands.put_in),
            "turn": round(hands.turn),
            "take out": round(hands.take_out),
        }
        self.brush_s = math.ceil(hands.brush / MINUTE_S) * MINUTE_S
        self.clean_by_s = round(self.file.doors - self.file.ready_before)
        there_s = watched_from(self.people, round(self.file.doors))
        if there_s is None or there_s > self.clean_by_s - LIT_STEP_S:
            raise _unwatched(self.clean_by_s, round(self.file.doors))
        self.lit_from_s = _whole(max(self.file.lit_from, there_s), math.ceil)
        self.longest_s = self.clean_by_s - self.lit_from_s
        self.stations = _stations(ahead, self.places)
        self.sooner_s, self.pace = 0, dict[str, float]()
        self.asked: Asked = {}
        self.climber = self._climber(Draw((), ()))

    def plan(self, wanted: Mapping[str, int]) -> HeatUp:
        trays = trays_of(self.ahead, wanted, self.places, self.stations)
        bare = self._draft(self.climber.climb(0), ())
        draft = self.drafted(trays)
        if draft.laid.loads:
            self._learn(draft, self._run(draft, Verifier(self.quick, *self._where(draft), draw_only=True)))
            draft = self.drafted(trays)
        for run in range(1, MOST_VERIFIED + 1):
            seen = self._run(draft, Verifier(self.nominal, *self._where(draft)))
            found = self._found(draft, seen, bare, run)
            if found.kept or (found.left and run > 1) or run == MOST_VERIFIED:
                break
            self._learn(draft, seen, found)
            draft = self.drafted(trays)
        return replace(found, capacity=self.capacity(draft), ways=self.ways(trays, draft))

    def capacity(self, draft: _Draft) -> dict[str, int]:
        """Portions of each batch that the window takes when nothing else is cooked in it."""
        window = self.window(draft.lit_s)
        return {
            tray.kind: sum(load.tray.portions for load in lay(alike(tray), window, draft.ask, 0).loads)
            for tray in self._full_trays()
        }

    def ways(self, trays: tuple[Tray, ...], draft: _Draft) -> tuple[Way, ...]:
        """What would take in the trays left over, cheapest first, each laid out anew."""
        if not draft.laid.left:
            return ()
        window = self.window(draft.lit_s)
        more = Hours("one more", self.lit_from_s, round(self.file.doors), frozenset({"hearth"}))
        tried: tuple[tuple[str, Callable[[], Laid]], ...] = (
            (
                "twice the trays",
                lambda: lay([replace(t, of_kind=2 * t.of_kind) for t in trays], window, draft.ask, FEW),
            ),
            (
                "one more pair of hands",
                lambda: lay(trays, replace(window, people=(*window.people, more)), draft.ask, FEW),
            ),
            ("the fire lit an hour sooner", lambda: self._sooner(trays)),
            ("stone without end", lambda: lay(trays, replace(window, stone_binds=False), draft.ask, FEW)),
        )
        left = sum(one.tray.portions for one in draft.laid.left)
        found = [
            Way(words, left - laid.cost[0], laid.cost[0]) for words, again in tried for laid in (again(),)
        ]
        return tuple(way for way in found if way.gains > 0)

    def _sooner(self, trays: tuple[Tray, ...]) -> Laid:
        """All trays in a window that begins an hour sooner, somebody there for it."""
        sooner = copy(self)
        sooner.lit_from_s, sooner.longest_s = self.lit_from_s - HOUR_S, self.longest_s + HOUR_S
        sooner.people = (
            *self.people,
            Hours("somebody", sooner.lit_from_s, self.lit_from_s, frozenset({"hearth"})),
        )
        sooner.climber, sooner.asked = sooner._climber(self.climber.draw), {}
        return sooner.drafted(trays).laid

    def _full_trays(self) -> tuple[Tray, ...]:
        full = {kind: batch.portions for kind, batch in self.file.batches.items()}
        return trays_of(self.ahead, full, self.places, self.stations)

    def drafted(self, trays: tuple[Tray, ...]) -> _Draft:
        """Into the straight climb, else into the shortest stretch of roasting that takes them all."""
        straight = self._draft(self._climb(0), trays, MANY)
        if not straight.laid.left:
            return straight
        low, high = 0, self.longest_s // ROAST_STEP_S
        while high > 1 and self._climb(high * ROAST_STEP_S).ready_s is None:
            high -= 1  # longer, and the floor is not back in its band in time
        best = self._draft(self._climb(high * ROAST_STEP_S), trays)
        if best.laid.left:
            return min((straight, best), key=lambda one: one.laid.cost[0])
        while high - low > 1:
            middle = (low + high) // 2
            found = self._draft(self._climb(middle * ROAST_STEP_S), trays)
            low, high, best = (middle, high, best) if found.laid.left else (low, middle, found)
        return self._draft(best.climb, trays, MANY)

    def _climb(self, roast_until_s: int) -> Climb:
        return self.climber.climb(roast_until_s, partial(self.tell, "oven"))

    def _climber(self, draw: Draw) -> Climber:
        band, file = self.ahead.house.oven.floor_band, self.file
        return Climber(self.quick, band, file.ambient, draw, file.roast, self.longest_s)

    def _draft(self, run: Climb, trays: tuple[Tray, ...], tries: int = 0) -> _Draft:
        """Lit as late as the floor allows."""
        needs_s = run.until_s if run.ready_s is None else run.ready_s
        lit_s = max(self.lit_from_s, _whole(self.clean_by_s - needs_s - self.sooner_s, math.floor))
        ask = self.asker(run, lit_s)
        return _Draft(run, lit_s, lay(trays, self.window(lit_s), ask, tries), ask)

    def window(self, lit_s: int) -> Window:
        return Window(lit_s, self.clean_by_s - self.brush_s, self.people, self.places, self.act_s)

    def asker(self, run: Climb, lit_s: int) -> Ask:
        """What the food model says of a tray at a place from a minute on, along that climb."""
        roasting = Roasting(run, self.ahead.house, self.places, self.asked)

        def ask(tray: Tray, place: int, time_s: int) -> float | Why:
            since_s = time_s - lit_s
            at_C = run.stone_at_C(since_s)
            if not tray.stone_from_C <= at_C <= tray.stone_to_C:
                return "too cold" if at_C < tray.stone_from_C else "too hot"
            found = roasting.roast(tray.dish, place, since_s // SHARED_S * SHARED_S)
            if found.seconds is None:
                return "never done"
            return "too dark" if found.too_dark else self.pace.get(tray.key, 1.0) * with_margin(found.seconds)

        return ask

    def _where(self, draft: _Draft) -> tuple[House, Lit, Places]:
        return self.ahead.house, Lit(draft.lit_s, self.file.ambient), self.places

    def _run(self, draft: _Draft, by: Verifier) -> Seen:
        return by.run(
            as_schedule(draft.laid.loads, self.ahead.house),
            flame_at(draft.climb.flame, draft.lit_s),
            on_progress=partial(self.tell, "run by the models"),
            until_s=self.file.doors,
        )

    def _learn(self, draft: _Draft, seen: Seen, found: HeatUp | None = None) -> None:
        """What the trays draw; once the models have followed them on such a stone, their own minutes too."""
        self.climber, self.asked = self._climber(draw_since(seen.draw, draft.lit_s)), {}
        if found is None:
            return
        ready_s = found.doors_s if found.ready_s is None else found.ready_s
        self.sooner_s += max(0, ready_s - self.clean_by_s)
        for load in draft.laid.loads:
            done_s, pace = found.went[load.tray.key].done_s, self.pace.get(load.tray.key, 1.0)
            wants = LATE_TRAY if done_s is None else with_margin(done_s) / load.asked_s
            self.pace[load.tray.key] = min(PACE[1], max(PACE[0], pace * wants))

    def _found(self, draft: _Draft, seen: Seen, bare: _Draft, runs: int) -> HeatUp:
        band, doors_s = self.ahead.house.oven.floor_band, round(self.file.doors)
        roast_s = draft.climb.roast_until_s
        return HeatUp(
            lit_s=draft.lit_s,
            doors_s=doors_s,
            clean_by_s=self.clean_by_s,
            flame=flame_at(draft.climb.flame, draft.lit_s),
            loads=draft.laid.loads,
            left=draft.laid.left,
            went={key: _went(item) for key, item in seen.items.items()},
            places=self.places,
            times_s=seen.times_s,
            stone_C=seen.zone_C,
            band=band,
            ready_s=ready_from(seen.times_s, seen.zone_C, band),
            fuel_J=seen.fuel_J,
            bare_fuel_J=bare.climb.fuel_J(doors_s - bare.lit_s),
            roast_until_s=draft.lit_s + roast_s if roast_s else None,
            capacity={},
            ways=(),
            runs=runs,
        )


def watched_from(people: Sequence[Hours], doors_s: int) -> int | None:
    """Since when somebody of these is there without a break until doors; None when nobody is at doors.

    >>> ana, ben = Hours("Ana", 30, 50, frozenset()), Hours("Ben", 45, 90, frozenset())
    >>> watched_from((ana, ben), 80), watched_from((ana, ben), 95), watched_from((ben,), 80)
    (30, None, 45)
    """
    since = doors_s
    for one in sorted(people, key=lambda one: -one.until_s):
        if one.from_s < since <= one.until_s:
            since = one.from_s
    return None if since == doors_s else since


def _unwatched(clean_by_s: int, doors_s: int) -> InputError:
    expected = (
        f"somebody who does `hearth` from before {clock_text(clean_by_s)} until doors, "
        f"{clock_text(doors_s)}: no fire burns alone"
    )
    remedy = "Write who tends the fire in rota.yaml, or doors as they are in ahead.yaml."
    return InputError((Finding("rota.yaml", 0, "people", "", expected, remedy),))


def ready_from(times_s: Sequence[float], stone_C: Sequence[float], band: FloorBandFile) -> int | None:
    """From when on the stone stands in the band or above until the end; None when it does not.

    Less than the ±15 K that the oven model claims below the band is within it.

    >>> ready_from((0.0, 60.0, 120.0), (300.0, 335.0, 360.0), FloorBandFile(low="345 C", high="370 C"))
    60
    """
    ready: int | None = None
    for time_s, at_C in zip(times_s, stone_C, strict=True):
        if at_C < band.low - FLOOR_GIVE_C:
            ready = None
        elif ready is None:
            ready = round(time_s)
    return ready


def _went(item: ItemSeen) -> Went:
    stage = item.stages[0]
    return Went(
        stage.met_s,
        item.core_C_at_pull,
        max(item.colour.bottom, *item.colour.sectors),
        stage.stone_C_in,
        stage.stone_C_out,
    )


def _whole(time_s: float, towards: Callable[[float], int]) -> int:
    return towards(time_s / LIT_STEP_S) * LIT_STEP_S


def _stations(ahead: Ahead, places: Places) -> int:
    """Bits of the places where trays stand all through the window, for each outline by itself."""
    taken = 0
    outlines = dict[Outline, int]()
    for batch in ahead.file.batches.values():
        dish = ahead.house.dishes[batch.dish]
        for mask in stage_masks(dish, 0, places):
            outline = Outline.of(dish.vessel)
            outlines[outline] = outlines.get(outline, 0) | mask
    for mask in outlines.values():
        taken |= sum(1 << place for place in stations(places, (mask,)))
    return taken
