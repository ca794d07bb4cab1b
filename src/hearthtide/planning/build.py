"""From what the house wrote down to what the search sees: places, items, orders, limits."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from itertools import groupby, pairwise
from typing import get_args

from hearthtide.house.models import Act, CookFile, DishFile, House, NightFile, StageFile, TicketFile
from hearthtide.house.places import Outline
from hearthtide.house.weights_file import WeightsFile
from hearthtide.planning.engine.search import fits_alone
from hearthtide.planning.flame import FlamePlan
from hearthtide.planning.orders import course_key, courses_of, numbered
from hearthtide.planning.places import Places
from hearthtide.planning.problem import (
    LEAST_STAGE_S,
    Bank,
    Choice,
    Chore,
    Closed,
    Handle,
    Hands,
    Item,
    Order,
    Problem,
    Stage,
    Weights,
    split,
)

StageChoices = Mapping[tuple[str, int], tuple[tuple[Choice, ...], ...]]


def house_outlines(house: House) -> tuple[Outline, ...]:
    return tuple(dict.fromkeys(Outline.of(dish.vessel) for dish in house.dishes.values()))


def stage_masks(dish: DishFile, stage: int, places: Places) -> tuple[int, ...]:
    """The places of a stage as bit masks, one per wish of the dish, the first wish first."""
    outline = Outline.of(dish.vessel)
    wishes = dish.stages[stage].places
    return tuple(places.mask(outline, (zone,), dish.clear_of_flame) for zone in wishes)


# How much sooner or later a vessel that preheats may have its food: hot metal waits (common practice, no
# source), and what a second of it costs (own choice: a fifth of a stage that cooks).
PREHEAT_EARLY_S, PREHEAT_LATE_S, PREHEAT_OFF_PER_S = 60, 240, 0.02
FLAME_GIVE_S = (
    90  # the stone answers a flame after minutes: its hand may come so much sooner or later; own choice
)


def house_choices(dish: DishFile, stage: int, places: Places) -> tuple[tuple[Choice, ...], ...] | None:
    """The stage on the house's own minutes, the same all night; None when the house states none."""
    written = dish.stages[stage]
    if written.minutes is None:
        return None
    masks = stage_masks(dish, stage, places)
    found = (Choice(round(written.minutes), mask, rank) for rank, mask in enumerate(masks) if mask)
    return (tuple(banded(choice, written) for choice in found),)


def banded(choice: Choice, stage: StageFile) -> Choice:
    """The choice with its stage's band: as the house wrote it, wide for a preheat, else the planner's own."""
    early, late = stage.band.early, stage.band.late
    if stage.preheat:
        early = PREHEAT_EARLY_S if early is None else early
        late = PREHEAT_LATE_S if late is None else late
        choice = replace(choice, off_per_s=PREHEAT_OFF_PER_S)
    if early is not None:
        choice = replace(choice, early_s=min(round(early), max(0, choice.seconds - LEAST_STAGE_S)))
    return choice if late is None else replace(choice, late_s=round(late))


def handles_of(dish: DishFile, stage: int) -> tuple[Handle, ...]:
    """The stage's flips, turns and spins in order of time."""
    written = dish.stages[stage]
    acts: tuple[tuple[Act, tuple[float, ...]], ...] = (
        ("flip", written.flips),
        ("turn", written.turns),
        ("spin", written.spins),
    )
    found = [Handle(act, fraction) for act, fractions in acts for fraction in fractions]
    return tuple(sorted(found, key=lambda handle: handle.fraction))


def build_problem(
    house: House,
    night: NightFile,
    places: Places,
    choices: StageChoices,
    chores: tuple[Chore, ...] = (),
) -> Problem:
    """The night's problem. `choices[dish, stage]` gives places and seconds by half hour."""
    file = house.file
    if places.splash_m != file.splash:  # the same places keep what has been counted of them
        places = replace(places, splash_m=file.splash)
    problem = Problem(
        orders=(),
        places=places,
        cooks=tuple(_hands(cook) for cook in file.cooks),
        act_s={act: round(getattr(file.act_seconds, act)) for act in get_args(Act)},
        bank=None if file.platters is None else Bank(file.platters.count, round(file.platters.turnaround)),
        plating_s=round(file.plating),
        together_s=round(file.together),
        late_after_s=round(file.late_after),
        recovery_s=_recovery_s(house, choices),
        from_s=first_call_s(night),
        weights=weights_of(file.weights),
        one_handed=frozenset(file.one_handed),
        chores=chores,
        closed=tuple(
            Closed(places.near(shut.x, shut.y, shut.radius), round(shut.from_s), round(shut.until))
            for shut in night.closed
        ),
    )
    stages = dish_stages(house, choices)
    found = (order for ticket in night.tickets for order in ticket_orders(problem, house, ticket, stages))
    return replace(problem, orders=tuple(found))


def ticket_orders(
    problem: Problem, house: House, ticket: TicketFile, stages: Mapping[str, tuple[Stage, ...]]
) -> tuple[Order, ...]:
    """A ticket's orders: its courses, each in the drops the house wishes, or in as many as the hands need."""
    courses = courses_of(house, ticket, problem.places, stages)
    return numbered(drop for order in courses for drop in fitting_drops(problem, order))


def _hands(cook: CookFile) -> Hands:
    own = {act: getattr(cook.act_seconds, act) for act in get_args(Act)}
    return Hands(
        cook.name,
        frozenset(cook.acts),
        {act: round(seconds) for act, seconds in own.items() if seconds is not None},
    )


def weights_of(file: WeightsFile) -> Weights:
    """The planner's weights with the house's own in their place."""
    own = {f.name: getattr(file, f.name) for f in fields(Weights)}
    return replace(Weights(), **{name: worth for name, worth in own.items() if worth is not None})


def _recovery_s(house: House, choices: StageChoices) -> int:
    """The house's own rest after bare dough; where it leaves that out, the longest of its choices'.

    Raises ValueError where neither says it.
    """
    if house.file.pizza_recovery is not None:
        return round(house.file.pizza_recovery)
    bare = {key for key, dish in house.dishes.items() if dish.vessel.kind == "stone"}
    rests = [c.recovery_s for (key, _), bins in choices.items() if key in bare for row in bins for c in row]
    if min(rests, default=0) < 0:
        raise ValueError("bare dough: expected pizza_recovery, or choices asked of the oven (with_rests)")
    return max(rests, default=0)


def flame_chores(house: House, flame: FlamePlan, from_s: int, until_s: int) -> tuple[Chore, ...]:
    """The flame plan's changes as hand work; none where nobody's hands at the hearth do the flame."""
    if not any("flame" in cook.acts for cook in house.file.cooks):
        return ()
    found = []
    for before, held in pairwise(flame.held):
        if from_s <= held.start_s < until_s:
            way = "up" if held.level.power_W > before.level.power_W else "down"
            found.append(Chore("flame", held.start_s, FLAME_GIVE_S, f"flame {way} to {held.level.name}"))
    return tuple(found)


def first_call_s(night: NightFile) -> int:
    """The night's first second for the hands: the first call."""
    return round(min(ticket.called for ticket in night.tickets))


def dish_stages(house: House, choices: StageChoices) -> dict[str, tuple[Stage, ...]]:
    """Every dish's stages as the search sees them, by key."""
    return {key: _stages(key, dish, choices) for key, dish in house.dishes.items()}


def _stages(key: str, dish: DishFile, choices: StageChoices) -> tuple[Stage, ...]:
    return tuple(
        Stage(
            written.name,
            choices[key, i],
            handles_of(dish, i),
            stays=i > 0 and dish.stages[i - 1].preheat,
        )
        for i, written in enumerate(dish.stages)
    )


def fitting_drops(problem: Problem, order: Order) -> list[Order]:
    """The order as few drops as the hands and the stone can each land together with all else cleared away.

    Never in fewer than the house wishes.
    """
    least = max(order.wished_drops, drops_needed(problem, order))
    for drops in range(least, len(order.items)):
        parts = split(order, drops)
        if all(fits_alone(problem, part) for part in parts):
            return parts
    return split(order, len(order.items))


@dataclass(frozen=True)
class Retimed:
    """An item's new `pace`, and the place of each stage it was found at."""

    pace: tuple[float, ...]
    places: tuple[int, ...]


def corrected(problem: Problem, changed: Mapping[str, Retimed]) -> Problem:
    """The problem with these items re-timed, by item key; their courses are cut into drops anew."""
    orders: list[Order] = []
    for course, drops in groupby(problem.orders, key=course_key):
        own = list(drops)
        items = tuple(item for order in own for item in order.items)
        if not any(item.key in changed for item in items):
            orders += own
            continue
        mended = (_retimed(item, changed.get(item.key)) for item in items)
        in_order = sorted(mended, key=lambda item: int(item.key.rpartition("-")[2]))
        weight = sum(order.weight for order in own)
        whole = replace(own[0], key=course, drop=1, items=tuple(in_order), weight=weight)
        orders += fitting_drops(problem, whole)
    return replace(problem, orders=numbered(orders))


def _retimed(item: Item, found: Retimed | None) -> Item:
    if found is None:
        return item
    return replace(item, pace=found.pace, prefer=tuple(1 << place for place in found.places))


def drops_needed(problem: Problem, order: Order) -> int:
    """In how many drops the hands can land these plates together, at the least.

    Two sums bound one drop: pulling and cutting must fit between the first pull and the plates'
    leaving (`together` + plating), and all handling that only those who launch can do into the time the
    drop is on the go.
    """
    act_s, items = problem.act_s, order.items
    enders = max(1, len({*problem.cooks_for("pull"), *problem.cooks_for("cut")}))
    end_s = sum(act_s["pull"] + act_s["cut"] * item.cut for item in items) / enders
    span_s = problem.together_s + problem.plating_s
    quick = [item for item in items if item.dressed]
    launchers = problem.cooks_for("launch")
    only_s = {act: act_s[act] * (set(problem.cooks_for(act)) <= set(launchers)) for act in act_s}
    hands_s = sum(_hands_s(only_s, item) for item in quick) / max(1, len(launchers))
    going_s = span_s + max((item.shortest_s for item in quick), default=0) + act_s["dress"]
    return max(1, math.ceil(end_s / span_s), math.ceil(hands_s / going_s))


def _hands_s(act_s: dict[Act, int], item: Item) -> int:
    turns = sum(act_s[handle.act] for stage in item.stages for handle in stage.handles)
    moves = sum(act_s["load" if stage.stays else "move"] for stage in item.stages[1:])
    bench = act_s["dress"] * item.dressed + act_s["cut"] * item.cut
    return act_s["launch"] + act_s["pull"] + turns + moves + bench
