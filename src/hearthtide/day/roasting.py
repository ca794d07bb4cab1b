"""How long a tray takes that goes in at one minute of the climb, in heat that grows meanwhile."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

from hearthtide.day.climb import EVERY_S, Climb
from hearthtide.food.column import BELOW_C
from hearthtide.food.cooking import reached, until
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import NOTHING_ASKED, Food, FoodState, flip, heat_on, prepare, run_until, start
from hearthtide.food.outcome import colour_steps, core_C
from hearthtide.house.files import portion
from hearthtide.house.models import COLOUR_STEP, House
from hearthtide.oven.model import OvenState
from hearthtide.planning.exposure import evened, faces_W_m2, seat, stone_exposure
from hearthtide.planning.places import Places
from hearthtide.planning.response import covered, stone_below, target_of
from hearthtide.ranges import Array

LOOK_S = 120.0  # how long the heat from above is taken as it is; own choice
FLIPS_AGREE = 0.05  # share by which a time may miss the one its flips were set by; own choice
TRIES = 4
LONGEST_S = 3 * 3600.0  # a tray that wants longer is none for this window; own choice


@dataclass(frozen=True)
class Roasted:
    """One tray in one place from one minute on: seconds until it is done (None: not in this climb), and how.

    `too_dark`: some part is then a whole step past what its dish allows.
    """

    seconds: float | None
    core_C: float
    colour_most: float
    too_dark: bool


Asked = dict[tuple[str, int, int], tuple[Roasted, float]]
"""Answers by dish, place and start, each with when its tray was out [s]: for every climb alike until then."""


class Roasting:
    """Asks the food model along one climb; what has been asked is kept, in `asked` beyond this climb."""

    def __init__(self, climb: Climb, house: House, places: Places, asked: Asked) -> None:
        self.climb, self.house, self.places, self.asked = climb, house, places, asked
        self.food = cache(self._food)
        self.heat = cache(self._heat)
        self.own = cache(self._roast)

    def roast(self, key: str, place: int, start_s: int) -> Roasted:
        """A tray of that dish put at that place `start_s` after lighting."""
        known = self.asked.get((key, place, start_s))
        if known is not None and known[1] <= self.climb.alike_until_s:
            return known[0]
        found = self.own(key, place, start_s)
        if found.seconds is not None and start_s + found.seconds <= self.climb.alike_until_s:
            self.asked[key, place, start_s] = found, start_s + found.seconds
        return found

    def _food(self, key: str) -> tuple[Food, FoodState]:
        food = covered(prepare(portion(self.house, key)), self.house.dishes[key].stages[0])
        return food, start(food)

    def _roast(self, key: str, place: int, start_s: int) -> Roasted:
        fractions = self.house.dishes[key].stages[0].flips
        found = self._run(key, place, start_s, ())
        for _ in range(TRIES if fractions else 0):
            if found.seconds is None:
                break
            guess_s = found.seconds
            found = self._run(key, place, start_s, tuple(f * guess_s for f in fractions))
            if found.seconds is not None and abs(found.seconds - guess_s) <= FLIPS_AGREE * guess_s:
                break
        return found

    def _run(self, key: str, place: int, start_s: int, flips: tuple[float, ...]) -> Roasted:
        dish, (food, state) = self.house.dishes[key], self.food(key)
        target, left = target_of(dish.stages[0]), list(flips)
        stone = stone_below(self.climb.oven, self._state(start_s), self._under(place))
        most_s = min(LONGEST_S, self.climb.until_s - start_s)
        heat, now_s, done = (
            heat_on(food, state, self.heat(key, place, self._at(start_s)), stone=stone),
            0.0,
            False,
        )
        while not done and now_s < most_s - 1:
            end_s = min(most_s, now_s + LOOK_S, left[0] if left else most_s)
            asks = NOTHING_ASKED if left else until(food, state, target)
            state, took_s = run_until(food, state, heat, asks, max(0.5, end_s - now_s))
            now_s += took_s
            done = not left and reached(food, state, target)
            if left and now_s >= left[0] - 0.5:
                left.pop(0)
                state = flip(food, state)
            met = self.heat(key, place, self._at(start_s + now_s))
            heat = heat_on(food, state, replace(met, stone_C=float(heat.around[BELOW_C])), stone=heat.stone)
        colour = colour_steps(food, state)
        most = max(colour.bottom, *colour.sectors)
        too_dark = most >= COLOUR_STEP[dish.colour_at_most] + 1
        return Roasted(now_s if done else None, core_C(food, state), most, too_dark)

    def _at(self, time_s: float) -> int:
        return min(len(self.climb.states) - 1, round(time_s / EVERY_S))

    def _state(self, time_s: float) -> OvenState:
        return self.climb.states[self._at(time_s)]

    def _under(self, place: int) -> Array:
        return seat(self.climb.oven, self.places.spots[place]).under

    def _heat(self, key: str, place: int, at: int) -> Exposure:
        """What a tray meets there in the state of that number; evened out where it is turned."""
        state, chair = self.climb.states[at], seat(self.climb.oven, self.places.spots[place])
        faces = faces_W_m2(self.climb.oven, state, self.climb.flame.power_W(EVERY_S * at), [chair])[0]
        met = stone_exposure(float(chair.under @ state.floor_C), faces, state.gas_C)
        stage = self.house.dishes[key].stages[0]
        return evened(met) if stage.turns or stage.spins else met
