"""Chilled, ready-to-eat food heated through on the hearth: minutes by thickness and start, by the food model.

Only what was cooked through and chilled is re-heated. What goes in raw is cooked; a par-cooked piece is raw
in law until it is cooked through, and is refused here as such. Models foresee; a probe decides.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Literal

from hearthtide.day.reheat_slab import diffusivity_m2_s, slab_seconds
from hearthtide.errors import Finding, InputError
from hearthtide.food.exposure import rest_exposure
from hearthtide.food.model import Food, FoodState, advance, prepare, start
from hearthtide.food.outcome import core_C as core_of
from hearthtide.food.outcome import face_C
from hearthtide.house.files import portion
from hearthtide.house.models import DishFile, House
from hearthtide.house.thickest import thickest_part
from hearthtide.oven.model import Oven
from hearthtide.planning.build import stage_masks
from hearthtide.planning.exposure import Seat, seat
from hearthtide.planning.places import Places
from hearthtide.planning.response import Moment, covered, middle_spot, respond
from hearthtide.safety.rules import Hold, Parts, Reheat, RuleSet

THICKNESSES_M = (0.015, 0.020, 0.025, 0.030, 0.035, 0.040, 0.050)
FRIDGE_C = (2.0, 4.0, 8.0)
HOT_HOLDS_C = (57.0, 63.0)  # the two a rule set may state, where a house has chosen none
HOUSE_CORE_C = 74.0  # a house re-heats to this at least, whatever its code asks for one order; trade teaching
TEMPER_S = 1800  # a piece in its pan on the bench, before it goes on; own choice
TEMPER_STEP_S = 10.0
Kind = Literal["fridge", "tempered", "hot hold"]


@dataclass(frozen=True)
class Start:
    """Where a re-heat begins: the fridge, the fridge and so long on the bench, or a hot hold."""

    kind: Kind
    start_C: float
    temper_s: float = 0.0

    @property
    def words(self) -> str:
        """As a row of the table says it.

        >>> Start("tempered", 4.0, 1800).words
        'fridge 4 °C, 30 min out'
        """
        if self.kind == "tempered":
            return f"fridge {self.start_C:.0f} °C, {self.temper_s / 60:.0f} min out"
        return f"{self.kind} {self.start_C:.0f} °C"


@dataclass(frozen=True)
class Heated:
    """One thickness from one start: seconds on the hearth until the core is there, None: not within 40 min of
    a stage; the slab rule's seconds; core and face as it goes in."""

    thickness_m: float
    start: Start
    seconds: float | None
    slab_s: float
    core_C: float
    face_C: float


@dataclass(frozen=True)
class Target:
    """The core a re-heat is taken to, for how long, and why."""

    core_C: float
    held_s: int
    words: str


def refuse_raw(house: House, key: str) -> None:
    """InputError for a dish that is not re-heated from cooked and chilled."""
    dish = house.dishes[key]
    if dish.ready_to_eat:
        return
    state = "it goes in raw" if dish.raw else "it is not said to be ready to eat as it goes in"
    expected = "a dish with `ready_to_eat: true`, cooked through and chilled"
    remedy = (
        f"{dish.name}: {state}. Par-cooked is raw in law: it is cooked, not re-heated (`hearthtide dish`)."
    )
    raise InputError((Finding(f"dishes/{key}.yaml", 0, "DISH", key, expected, remedy),))


def starts_of(rules: RuleSet | None) -> tuple[Start, ...]:
    """Fridges, a while on the bench, and the hot hold of the house's own rules (else both there are)."""
    hold = (
        next((r for r in rules.of(Hold) if r.side == "hot" and r.limit is not None), None) if rules else None
    )
    hot = HOT_HOLDS_C if hold is None or hold.limit is None else (float(hold.limit.in_unit("C")),)
    return (
        *(Start("fridge", at_C) for at_C in FRIDGE_C),
        Start("tempered", 4.0, TEMPER_S),
        *(Start("hot hold", at_C) for at_C in hot),
    )


def target_of(rules: RuleSet | None, dish: DishFile) -> Target:
    """The hottest of the dish's own core, the house rule of 74 °C, and the code's for one order."""
    core = max(HOUSE_CORE_C, dish.slow_core_C)
    rule = next((r for r in rules.of(Reheat) if r.purpose == "one order"), None) if rules else None
    if rule is None:
        return Target(core, 0, f"{core:.0f} °C: the house rule; no code chosen here states one")
    if not rule.lines:
        return Target(
            core, 0, f"{core:.0f} °C: the house rule; {rule.cited} states none for one order at once"
        )
    asked = min(rule.lines, key=lambda line: (line.held_s, line.limit.in_unit("C")))
    code_C = float(asked.limit.in_unit("C"))
    if code_C >= core:
        held = f" for {asked.held_s} s" if asked.held_s else ""
        return Target(code_C, asked.held_s, f"{asked.limit.words}{held} by {rule.cited}")
    return Target(core, 0, f"{core:.0f} °C: the house rule, above the {asked.limit.words} of {rule.cited}")


def probe_points(house: House, key: str, rules: RuleSet | None) -> tuple[str, ...]:
    """Where the probe goes: the thickest part, every piece, off the bone; parts that the rules name."""
    dish = house.dishes[key]
    name, _, thickness_m = thickest_part(house, dish)
    points = [f"{name}: the middle of its thickest, {1000 * thickness_m:.0f} mm, from the side"]
    points += [f"{part.name}: its own middle too" for part in dish.also]
    pieces = max((part.shape.pieces for part in dish.parts if part.shape is not None), default=1)
    points.append(
        f"each of the {pieces} pieces, the thickest first" if pieces > 1 else "both pieces where it is two"
    )
    points.append("beside the bone, not on it, where there is one")
    if rules is not None and any(word in key or word in dish.name.lower() for word in ("chicken", "bird")):
        for rule in rules.of(Parts):
            named = " and ".join(" or ".join(words) for words in rule.places)
            points.append(f"half or whole bird: {named} ({rule.cited})")
    return tuple(points)


def as_thick(dish: DishFile, thickness_m: float, start_C: float, core_C: float) -> DishFile:
    """The same dish with its piece so thick, so warm, and its last stage taken to that core."""
    now = sum(layer.thickness for layer in dish.layers)
    layers = tuple(
        layer.model_copy(update={"thickness": layer.thickness * thickness_m / now}) for layer in dish.layers
    )
    last = dish.stages[-1]
    until = last.until.model_copy(update={"core": core_C})
    stages = (*dish.stages[:-1], last.model_copy(update={"until": until}))
    return dish.model_copy(update={"layers": layers, "also": (), "start": start_C, "stages": stages})


class Hearth:
    """The house's oven in its band, with the spots a dish stands at: the middle of its first wish."""

    def __init__(self, oven: Oven, moment: Moment, places: Places) -> None:
        self.oven, self.moment, self.places = oven, moment, places

    def seats(self, dish: DishFile) -> tuple[Seat, ...]:
        """A seat for each stage. Raises InputError where a stage has no place on this hearth."""
        made = []
        for n, stage in enumerate(dish.stages):
            mask = next((mask for mask in stage_masks(dish, n, self.places) if mask), 0)
            if not mask:
                at = f"stages[{n + 1}]"
                where = "a place on this hearth"
                raise InputError((Finding(dish.name, 0, at, stage.name, where, "Give it another place."),))
            made.append(seat(self.oven, self.places.spots[middle_spot(self.places, mask)]))
        return tuple(made)


def heated(
    hearth: Hearth, house: House, key: str, thickness_m: float, begin: Start, core_C: float, room_C: float
) -> Heated:
    """One re-heat by the models, and by the slab rule from the same start."""
    dish = as_thick(house.dishes[key], thickness_m, begin.start_C, core_C)
    one = house.model_copy(update={"dishes": {**house.dishes, key: dish}})
    food = prepare(portion(one, key))
    state = _tempered(food, start(food), begin.temper_s, room_C)
    core, face = core_of(food, state), face_C(food, state)
    _, stuff, _ = thickest_part(one, dish)
    slab_s = slab_seconds(thickness_m, core, core_C, diffusivity_m2_s(stuff))
    total = 0.0
    for stage, chair in zip(dish.stages, hearth.seats(dish), strict=True):
        food = covered(food, stage)
        answer = respond(hearth.oven, hearth.moment, chair, food, state, stage)
        if answer.seconds is None:
            return Heated(thickness_m, begin, None, slab_s, core, face)
        total, state = total + answer.seconds, answer.state
    return Heated(thickness_m, begin, total, slab_s, core, face)


def _tempered(food: Food, state: FoodState, seconds: float, room_C: float) -> FoodState:
    """The piece after a while on the bench in its pan."""
    room, done = rest_exposure(room_C, "platter" if state.on_platter else "board"), 0.0
    while done < seconds:
        state = advance(food, state, room, min(TEMPER_STEP_S, seconds - done))
        done += TEMPER_STEP_S
    return state


def table(
    hearth: Hearth,
    house: House,
    key: str,
    starts: Sequence[Start],
    core_C: float,
    room_C: float,
    thicknesses_m: Sequence[float] = THICKNESSES_M,
    tell: Callable[[float], None] = lambda _: None,
) -> tuple[tuple[Heated, ...], ...]:
    """A row for each start, a column for each thickness."""
    rows, whole = [], len(starts) * len(thicknesses_m)
    for n, begin in enumerate(starts):
        row = []
        for m, thickness_m in enumerate(thicknesses_m):
            row.append(heated(hearth, house, key, thickness_m, begin, core_C, room_C))
            tell((n * len(thicknesses_m) + m + 1) / whole)
        rows.append(tuple(row))
    return tuple(rows)
