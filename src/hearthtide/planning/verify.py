"""The verifier: the nominal oven and every item's food model run together over the finished schedule.

Food takes heat from the very cells it lies on and the stone recovers by itself; each item meets the
stone and the radiation of its own spot. What comes out is what the models expect, never a reading.
A vessel that preheats is taken as hot as its dish says when the food is loaded; what it draws until then
is not counted.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from hearthtide.food import model as food_model
from hearthtide.food.column import LONGEST_S, met
from hearthtide.food.cooking import Target, cook, until
from hearthtide.food.exposure import Exposure, Sectors, rest_exposure
from hearthtide.food.model import NOTHING_ASKED, Food, FoodState
from hearthtide.food.outcome import Colour, burn_margin_s, colour_steps, core_C, top_colour, weight_loss
from hearthtide.house.files import portion
from hearthtide.house.models import Act, House
from hearthtide.oven.advance import Standing, advance, standing
from hearthtide.oven.footprint import side_by_side
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.zones import working_zone
from hearthtide.planning.draw import NOTHING, Draw, DrawNow
from hearthtide.planning.exposure import Seat, faces_W_m2, mean_faces, seat
from hearthtide.planning.flame import FlamePlan, free_stone_C, pattern_C
from hearthtide.planning.places import Places
from hearthtide.planning.plan import StoneMap
from hearthtide.planning.problem import Booked, Placed, Schedule, turned_deg
from hearthtide.planning.response import covered, target_of

Floats = NDArray[np.float64]

# Measured against half-second steps in docs/validation.md.
LOADED_DT_S, EMPTY_DT_S, HEAT_UP_DT_S = 4.0, 8.0, 15.0
FACES_EVERY_S = 10.0  # radiation at a spot is looked at anew this often, and at every move
AIR_EVERY_S = 30.0  # air flows and the walls' properties under food; `advance` takes them for a minute
RESTING_DT_S = 2.0  # of food off the stone, which browns no more
COARSE_DT_S = 2.0  # of food of which only what it draws from the stone is asked
SAMPLE_S = 10.0  # of the tracks that are drawn
LONGER_S = 900.0  # how much longer an unfinished stage is followed to say what it lacks


@dataclass(frozen=True)
class StageSeen:
    """One stage as it went: stone under the item, and seconds after which its target was true.

    `met_s` None: not even after another quarter of an hour.
    """

    planned_s: int
    met_s: float | None
    core_C: float
    stone_C_in: float
    stone_C_out: float


@dataclass(frozen=True)
class ItemSeen:
    """One item as it went, up to its landing."""

    key: str
    stages: tuple[StageSeen, ...]
    core_C_at_pull: float
    core_C_at_landing: float
    colour: Colour
    burn_margin_s: float
    weight_loss: float
    times_s: tuple[float, ...]
    cores_C: tuple[float, ...]
    colours: tuple[float, ...]


@dataclass(frozen=True)
class Seen:
    """The whole night as the models saw it.

    `zone_C` is the free working stone as `flame.free_stone_C` reads it.
    """

    items: dict[str, ItemSeen]
    times_s: tuple[float, ...]
    zone_C: tuple[float, ...]
    dome_C: tuple[float, ...]
    maps: tuple[StoneMap, ...]
    draw: Draw
    fuel_J: float
    residual_J: float
    steps: int


@dataclass
class _Cooking:
    """One item on the stone while the night runs."""

    placed: Placed
    foods: tuple[Food, ...]
    targets: tuple[Target, ...]
    state: FoodState
    stage: int = 0
    turned_deg: float = 0.0
    began_s: float = 0.0
    stone_in_C: float = 0.0
    met_s: float | None = None
    exposure: Exposure | None = None
    asks: Floats = field(default_factory=lambda: NOTHING_ASKED)
    stages: list[StageSeen] = field(default_factory=list)
    times_s: list[float] = field(default_factory=list)
    cores_C: list[float] = field(default_factory=list)
    colours: list[float] = field(default_factory=list)

    @property
    def food(self) -> Food:
        return self.foods[self.stage]

    def ask(self) -> None:
        """Put what its stage wants as the food's loops ask it, for the way up it lies."""
        self.asks = until(self.food, self.state, self.targets[self.stage])


def turn_deg(placed: Placed, act: Act, stage: int) -> float:
    """How far one act of a stage turns an item."""
    return turned_deg(act, sum(handle.act == "turn" for handle in placed.item.stages[stage].handles))


class Lighting(Protocol):
    """What the verifier has to know of a night: when the fire is lit [s of the clock], and the room [°C]."""

    @property
    def lit(self) -> float: ...

    @property
    def ambient(self) -> float: ...


class Verifier:
    """Runs schedules of one house and night; spots made ready are kept between runs.

    With `draw_only` food is followed as coarsely as its draw of heat bears, and no item is told.
    """

    def __init__(
        self, oven: Oven, house: House, night: Lighting, places: Places, draw_only: bool = False
    ) -> None:
        self.oven, self.house, self.night, self.places = oven, house, night, places
        self.draw_only = draw_only
        self.zone = working_zone(oven)
        self._seats: dict[int, Seat] = {}
        self._foods = {
            key: tuple(covered(food_model.prepare(portion(house, key)), stage) for stage in dish.stages)
            for key, dish in house.dishes.items()
        }

    def seat(self, place: int) -> Seat:
        if place not in self._seats:
            self._seats[place] = seat(self.oven, self.places.spots[place])
        return self._seats[place]

    def run(
        self,
        schedule: Schedule,
        flame: FlamePlan,
        map_times: tuple[int, ...] = (),
        on_progress: Callable[[float], None] = lambda _: None,
        until_s: float = -math.inf,
    ) -> Seen:
        """The night from lighting to the last pull (or `until_s`, the later), then each item's rest."""
        return _Run(self, schedule, flame, map_times).all(on_progress, until_s)


class _Run:
    """One pass over the night."""

    def __init__(
        self, by: Verifier, schedule: Schedule, flame: FlamePlan, map_times: tuple[int, ...]
    ) -> None:
        self.by, self.flame = by, flame
        self.oven = by.oven
        self.state: OvenState = self.oven.cold(by.night.ambient)
        self.now = float(round(by.night.lit))
        self.booked = {p.item.key: b for b in schedule.booked for p in b.placed}
        self.events = _events(schedule.booked)
        self.map_times = set(map_times)
        self.cooking: dict[str, _Cooking] = {}
        self.preheating: dict[str, _Cooking] = {}
        self.done: dict[str, ItemSeen] = {}
        self.faces: tuple[tuple[float, Sectors], ...] = ()
        self.faces_at = -1e9
        self.covers: dict[tuple[int, ...], Floats] = {}
        self.held: Standing | None = None
        self.held_at = -1e9
        self.times: list[float] = []
        self.zone_C: list[float] = []
        self.dome_C: list[float] = []
        self.maps: list[StoneMap] = []
        self.draws: list[DrawNow] = []
        self.pattern_C: Floats = np.zeros(len(self.oven.cells_m))
        self.food_dt_s = COARSE_DT_S if by.draw_only else LONGEST_S
        self.pulled = 0
        self.fuel_J = self.residual_J = 0.0
        self.steps = 0

    def all(self, on_progress: Callable[[float], None], until_s: float) -> Seen:
        start = self.now
        end = max(float(max(self.events, default=start)), until_s)
        self.events.setdefault(int(end), [])
        marks = {float(t) for t in self.events}
        marks |= {float(h.start_s) for h in self.flame.held if start < h.start_s < end}
        marks |= {float(t) for t in self.map_times if start < t < end}
        marks |= {start + 60.0 * i for i in range(int((end - start) // 60) + 1)}
        for mark in sorted(marks):
            self._go_to(mark)
            self._acts(mark)
            if (mark - start) % 60 == 0:
                self._record()
                on_progress((mark - start) / max(1.0, end - start))
            if mark in self.map_times:
                self.maps.append(StoneMap(int(mark), tuple(map(float, self.state.floor_C))))
        return Seen(
            items=self.done,
            times_s=tuple(self.times),
            zone_C=tuple(self.zone_C),
            dome_C=tuple(self.dome_C),
            maps=tuple(self.maps),
            draw=Draw((*self.times, end), (*self.draws, NOTHING), self.oven.cells_m),
            fuel_J=self.fuel_J,
            residual_J=self.residual_J,
            steps=self.steps,
        )

    def _record(self) -> None:
        load = self._load(list(self.cooking.values()))
        floor_C = self.state.floor_C
        if not self.cooking and not self.pulled:
            self.pattern_C = pattern_C(floor_C, self.by.zone)
        self.times.append(self.now)
        self.draws.append(_draw(self.oven, load))
        self.zone_C.append(free_stone_C(floor_C - self.pattern_C, self.by.zone, load))
        self.dome_C.append(self.oven.dome_mean_C(self.state))

    def _go_to(self, until: float) -> None:
        first = min(self.events)
        while self.now < until - 1e-9:
            idle = HEAT_UP_DT_S if self.now < first else EMPTY_DT_S
            if self.cooking:
                self._step(min(LOADED_DT_S, until - self.now))
            else:
                steps = math.ceil((until - self.now - 1e-9) / idle)
                self._advance((until - self.now) / steps, NO_LOAD, steps)

    def _step(self, dt: float) -> None:
        fire = self.oven.fire(self.flame.power_W(self.now))
        going = list(self.cooking.values())
        load = self._load(going)
        if self.now - self.faces_at >= FACES_EVERY_S - 1e-9:
            seats = [self._seat(c) for c in going]
            self.faces = mean_faces(faces_W_m2(self.oven, self.state, fire, seats, load))
            self.faces_at = self.now
        if self.held is None or self.now - self.held_at >= AIR_EVERY_S - 1e-9 or self.held.fire != fire:
            self.held, self.held_at = standing(self.oven, self.state, fire), self.now
        for cooking, (up_W_m2, rim_W_m2) in zip(going, self.faces, strict=True):
            stone_C = float(self._seat(cooking).under @ self.state.floor_C)
            self._cook(cooking, Exposure("stone", stone_C, up_W_m2, rim_W_m2, self.state.gas_C), dt)
        self._advance(dt, load, 1, self.held)

    def _advance(self, dt: float, load: Load, steps: int, held: Standing | None = None) -> None:
        power = self.flame.power_W(self.now)
        step = advance(self.oven, self.state, power, dt, load, steps=steps, held=held)
        self.state = step.state
        self.fuel_J += step.ledger.fuel_J
        self.residual_J += step.ledger.residual_J
        self.steps += steps
        self.now += steps * dt

    def _seat(self, cooking: _Cooking) -> Seat:
        return self.by.seat(cooking.placed.stays[cooking.stage].place)

    def _load(self, going: list[_Cooking]) -> Load:
        if not going:
            return NO_LOAD
        places = tuple(c.placed.stays[c.stage].place for c in going)
        if places not in self.covers:
            self.covers = {places: side_by_side(np.array([self._seat(c).cover for c in going]))}
        return Load(
            cover=self.covers[places],
            conductance_W_m2K=np.array([c.food.stone_conductance_W_m2K(c.state) for c in going]),
            base_C=np.array([c.state.base_C for c in going]),
            top_C=np.array([c.state.top_C for c in going]),
        )

    def _cook(self, cooking: _Cooking, exposure: Exposure, dt: float) -> None:
        cooking.exposure = exposure
        cooking.state = food_model.advance(
            cooking.food, cooking.state, exposure, dt, cooking.turned_deg, self.food_dt_s
        )
        if self.by.draw_only:
            return
        since = self.now + dt - cooking.began_s
        if cooking.met_s is None:
            cut = cooking.food.forms[cooking.state.over].cut
            # A copy as in `cooking.reached`: no second compiled form of it for what nobody may write.
            if met(cooking.state.cells.copy(), cut, cooking.asks):
                cooking.met_s = since
        if not cooking.times_s or self.now - cooking.times_s[-1] >= SAMPLE_S:
            self._sample(cooking, self.now)

    def _sample(self, cooking: _Cooking, at_s: float) -> None:
        cooking.times_s.append(at_s)
        cooking.cores_C.append(core_C(cooking.food, cooking.state))
        cooking.colours.append(top_colour(cooking.food, cooking.state))

    def _acts(self, mark: float) -> None:
        for key, act, stage in self.events.get(int(mark), ()) if mark == int(mark) else ():
            self.faces_at = -1e9
            if act == "launch":
                self._launch(key)
            elif act == "load":
                self._load_food(key)
            elif act in ("move", "pull"):
                self._end_stage(self.cooking[key])
                if act == "move":
                    self._begin_stage(self.cooking[key], stage)
                else:
                    self._pull(self.cooking.pop(key))
            elif act == "flip":
                cooking = self.cooking[key]
                cooking.state = food_model.flip(cooking.food, cooking.state)
                cooking.ask()
            else:
                cooking = self.cooking[key]
                cooking.turned_deg += turn_deg(cooking.placed, act, stage)

    def _launch(self, key: str) -> None:
        placed = next(p for p in self.booked[key].placed if p.item.key == key)
        dish = self.by.house.dishes[placed.item.dish]
        foods = self.by._foods[placed.item.dish]
        targets = tuple(target_of(stage) for stage in dish.stages)
        cooking = _Cooking(placed, foods, targets, food_model.start(foods[0]))
        waiting = dish.stages[0].preheat
        (self.preheating if waiting else self.cooking)[key] = cooking
        self._begin_stage(cooking, 0)

    def _load_food(self, key: str) -> None:
        """The food goes onto the vessel that has preheated: its first stage was as long as it was."""
        cooking = self.preheating.pop(key)
        spent, stone = self.now - cooking.began_s, float(self._seat(cooking).under @ self.state.floor_C)
        core = core_C(cooking.food, cooking.state)
        cooking.stages.append(StageSeen(round(spent), spent, core, cooking.stone_in_C, stone))
        self.cooking[key] = cooking
        self._begin_stage(cooking, 1)

    def _begin_stage(self, cooking: _Cooking, stage: int) -> None:
        cooking.stage, cooking.began_s, cooking.met_s = stage, self.now, None
        cooking.stone_in_C = float(self._seat(cooking).under @ self.state.floor_C)
        cooking.ask()

    def _end_stage(self, cooking: _Cooking) -> None:
        """Book the stage; where its target is not yet true, follow it on in the heat it was in."""
        spent = self.now - cooking.began_s
        met_s, target = cooking.met_s, cooking.targets[cooking.stage]
        if met_s is None and cooking.exposure is not None and not self.by.draw_only:
            more = cook(cooking.food, cooking.state, cooking.exposure, target, LONGER_S)
            met_s = spent + more.seconds if more.met else None
        stone = float(self._seat(cooking).under @ self.state.floor_C)
        core = core_C(cooking.food, cooking.state)
        cooking.stages.append(StageSeen(round(spent), met_s, core, cooking.stone_in_C, stone))

    def _pull(self, cooking: _Cooking) -> None:
        """Off the stone: what a cook would see now, then rest, wait and plating up to the landing."""
        self.pulled += 1
        if self.by.draw_only:
            return
        key, food = cooking.placed.item.key, cooking.food
        self._sample(cooking, self.now)
        core = cooking.cores_C[-1]
        colour = colour_steps(food, cooking.state)
        margin = 0.0
        if cooking.exposure is not None:
            margin = burn_margin_s(food, cooking.state, cooking.exposure, facing_deg=cooking.turned_deg)
        away = rest_exposure(self.by.night.ambient, "platter" if self._stays_in_vessel(cooking) else "board")
        landing = self.booked[key].landing_s
        while self.now + 1e-9 < landing and cooking.times_s[-1] < landing - 1e-9:
            dt = min(SAMPLE_S, landing - cooking.times_s[-1])
            cooking.state = food_model.advance(food, cooking.state, away, dt, longest_s=RESTING_DT_S)
            self._sample(cooking, cooking.times_s[-1] + dt)
        self.done[key] = ItemSeen(
            key=key,
            stages=tuple(cooking.stages),
            core_C_at_pull=core,
            core_C_at_landing=cooking.cores_C[-1],
            colour=colour,
            burn_margin_s=margin,
            weight_loss=weight_loss(food, cooking.state),
            times_s=tuple(cooking.times_s),
            cores_C=tuple(cooking.cores_C),
            colours=tuple(cooking.colours),
        )

    def _stays_in_vessel(self, cooking: _Cooking) -> bool:
        """Dishes with a rest leave their hot metal for a board; the others go to the table in it."""
        return cooking.food.platter is not None and cooking.placed.item.rest_s == 0


def _events(booked: tuple[Booked, ...]) -> dict[int, list[tuple[str, Act, int]]]:
    """What happens on the stone at each second: (item, act, stage); pulls before launches."""
    events: dict[int, list[tuple[str, Act, int]]] = {}
    for order in booked:
        for placed in order.placed:
            for handling in placed.handlings:
                if handling.stage >= 0:
                    row = (placed.item.key, handling.act, handling.stage)
                    events.setdefault(handling.start_s, []).append(row)
    for rows in events.values():
        rows.sort(key=lambda row: row[1] != "pull")
    return events


def _draw(oven: Oven, load: Load) -> DrawNow:
    """All items of a load as one, averaged by the area they cover."""
    if not load.items:
        return NOTHING
    area = load.cover.sum(1) * oven.cell_area_m2
    share = area / area.sum()
    return DrawNow(
        float(area.sum()),
        float(share @ load.conductance_W_m2K),
        float(share @ load.base_C),
        float(share @ load.top_C),
        load.covered,
    )
