"""Ways out for what does not fit the falling heat as it is, each tried on the whole plan, cheapest first.

Smaller and hotter, or gentler and longer, as the house wrote it; the door propped; a little fire lit again
and cleared. What costs is somebody before the rota has them, then fuel.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor, log

import numpy as np

from hearthtide.day.falling_check import broken
from hearthtide.day.falling_oven import BURN_S, Relit
from hearthtide.day.falling_plan import STEP_S, planned
from hearthtide.day.falling_things import Fall, Night, Stay, Thing, Way
from hearthtide.house.rota_file import Hours
from hearthtide.ranges import Array

EVERY_KG, MOST_KG = 0.5, 6.0  # of wood lit again; own choice
EVERY_BURN_S, MOST_BURN_S = 300.0, 2400.0  # of gas
QUARTER_S = 900  # fires are lit on quarter hours; own choice
MOST_EARLY_S = 2 * 3600  # nobody is asked to come earlier than that; own choice
MOST_LATE_S = 2 * 3600  # after somebody came: later the day's own fire is nearer; own choice
SETTLE_S = 300.0  # from coals out until something goes in, for the brush and the door; own choice
AFTER_S = 2 * 3600.0  # run by the model after the coals are out; then by the night's own shares; own choice

Standing = Sequence[tuple[Thing, Stay]]


@dataclass(frozen=True)
class Means:
    """What may be done beside waiting. `propped_share_h(stone_C)`: how much more of the excess an hour takes
    with the door propped; `relit(stone_C, amount, after_s)`: the model's fire, the amount in kg of wood or
    seconds of gas. None: there is no such means.
    """

    room_C: float
    propped_share_h: Callable[[float], float] | None
    relit: Callable[[float, float, float], Relit] | None


def ways_out(night: Night, thing: Thing, standing: Standing, means: Means) -> tuple[Way, ...]:
    """All ways that hold with what stands already, cheapest first."""
    found = [*_instead(night, thing, standing), *_propped(night, thing, standing, means)]
    found += _relit(night, thing, standing, means)
    return tuple(sorted(found, key=lambda way: (way.early_s, way.fuel_kg + way.fuel_kWh, way.stays[0].in_s)))


def _instead(night: Night, thing: Thing, standing: Standing) -> Iterator[Way]:
    """The house's own other manners."""
    for other in thing.instead:
        plan = planned(night, (other,), standing)
        if not plan.short:
            first = plan.stays[0]
            stone_C = float(night.falls[other.place].at_C(first.in_s))
            sums = (
                f"{other.low_C:.0f} to {other.high_C:.0f} °C wanted, the {other.place} "
                f"{stone_C:.0f} °C at {night.when(first.in_s)}",
            )
            yield Way("instead", other.name, sums, plan.stays, other, night)


def _propped(night: Night, thing: Thing, standing: Standing, means: Means) -> Iterator[Way]:
    """The door propped once somebody is there and nothing needs it, shut again when the thing goes in."""
    door_s, fall = night.fires.door_on_s, night.falls["stone"]
    if means.propped_share_h is None or door_s is None or not _stone_alone(thing, standing):
        return
    free_s = max([door_s, *(stay.out_s for one, stay in standing if one.door != "off" and not _takes(one))])
    from_s = _next_there(night, free_s)
    if from_s is None or float(fall.at_C(from_s)) <= thing.high_C:
        return
    stone_C = float(fall.at_C(from_s))
    extra_h = means.propped_share_h(stone_C)
    until_s = _reached_s(fall, from_s, extra_h, thing.high_C, means.room_C)
    for shut_s in _marks(until_s, night.end_s, STEP_S):
        if not _there(night, shut_s):
            continue
        after = replace(night, falls={"stone": _shut_again(fall, from_s, shut_s, extra_h, means.room_C)})
        wanted = replace(thing, door="any")
        if float(after.falls["stone"].at_C(shut_s)) < thing.low_C:
            return
        plan = planned(after, (wanted,), standing)
        if plan.short or plan.stays[0].in_s > shut_s + STEP_S or _spoils(after, standing):
            continue
        shut_h, reach_h = (until_s - from_s) / 3600, _share_h(fall, from_s, until_s, means.room_C)
        sums = (
            f"shut it loses {reach_h:.1%} of the excess an hour, propped {extra_h:.1%} more by the model",
            f"{stone_C:.0f} °C at {night.when(from_s)} is {thing.high_C:.0f} °C after "
            f"ln({stone_C - means.room_C:.0f} / {thing.high_C - means.room_C:.0f}) / "
            f"{reach_h + extra_h:.3f} = {shut_h:.1f} h",
        )
        words = (
            f"prop the door a quarter open at {night.when(from_s)}, shut it again when {thing.name} are in"
        )
        yield Way("prop", words, sums, plan.stays, wanted, after)
        return


def _stone_alone(thing: Thing, standing: Standing) -> bool:
    """Whether all of it goes by the stone: of the dome nothing is known once the night is another."""
    return all(one.place == "stone" for one in (thing, *(one for one, _ in standing)))


def _spoils(night: Night, standing: Standing) -> bool:
    """Whether what stands already would not hold in that night."""
    return bool(broken(night, {one.key: one for one, _ in standing}, [stay for _, stay in standing]))


def _takes(thing: Thing) -> bool:
    """Whether a thing may stand behind a propped door: one that must stay hot may not."""
    return not thing.hot and thing.door in ("any", "ajar") and thing.least_C == 0


def _reached_s(fall: Fall, from_s: float, extra_h: float, aim_C: float, room_C: float) -> float:
    """When the propped stone is down to `aim_C`."""
    times_s = np.arange(from_s, from_s + 72 * 3600, 60.0)
    value_C = room_C + (fall.at_C(times_s) - room_C) * np.exp(-extra_h * (times_s - from_s) / 3600)
    below = np.flatnonzero(value_C <= aim_C)
    return float(times_s[below[0]]) if len(below) else float(times_s[-1])


def _share_h(fall: Fall, from_s: float, until_s: float, room_C: float) -> float:
    ratio = (float(fall.at_C(from_s)) - room_C) / (float(fall.at_C(until_s)) - room_C)
    return log(ratio) / ((until_s - from_s) / 3600)


def _shut_again(fall: Fall, from_s: float, shut_s: float, extra_h: float, room_C: float) -> Fall:
    """The fall with so much more lost between two times."""
    lost_h = np.clip(fall.times_s - from_s, 0.0, shut_s - from_s) / 3600
    kept = np.exp(-extra_h * lost_h)

    def fallen(value: Array) -> Array:
        return room_C + (value - room_C) * kept

    return replace(fall, value_C=fallen(fall.value_C), low_C=fallen(fall.low_C), high_C=fallen(fall.high_C))


def _relit(night: Night, thing: Thing, standing: Standing, means: Means) -> Iterator[Way]:
    """A small fire while somebody is there all the time, its coals out (or gas shut) before the door goes on.

    First with the rota's people, the soonest they can; then by somebody who comes earlier, as little as does.
    """
    fall, wood = night.falls["stone"], night.fires.fuel == "wood"
    if means.relit is None or not _stone_alone(thing, standing):
        return
    for lit_s, early_s in _lightings(night, thing):
        stone_C = float(fall.at_C(lit_s))
        if stone_C >= thing.low_C:
            continue
        somebody = Hours("somebody", round(lit_s), round(lit_s + early_s), frozenset({"hearth"}))
        people = (*night.people, somebody) if early_s else night.people
        for amount in _amounts(wood):
            clear_s = lit_s + (BURN_S if wood else amount)
            ready_s = clear_s + SETTLE_S
            late = thing.by_s is not None and ready_s + _least_s(night, thing, standing, clear_s) > thing.by_s
            if late or not _watched(people, lit_s, clear_s):
                break
            run = means.relit(stone_C, float(amount), AFTER_S)
            if _stands_in_the_way(standing, lit_s, run):
                break
            later_C = run.stone_C[run.times_s >= run.burn_s]
            if not ((later_C >= thing.low_C) & (later_C <= thing.high_C)).any():
                continue
            after = _lit_night(night, fall, lit_s, run, people, means.room_C)
            plan = planned(after, (thing,), standing)
            fits = not plan.short and all(stay.in_s >= ready_s for stay in plan.stays)
            if fits and not _spoils(after, standing):
                yield _relit_way(
                    after, thing, plan.stays, run, lit_s, early_s, _meanwhile(standing, lit_s, run)
                )
                return
            if float(run.stone_C[-1]) > thing.high_C:
                break


def _least_s(night: Night, thing: Thing, standing: Standing, from_s: float) -> float:
    """The least time that all its loads take one after another beside what stands at `from_s`."""
    taken_m2 = sum(stay.portions * one.area_m2 for one, stay in standing if stay.in_s <= from_s < stay.out_s)
    most = floor((night.usable_m2 - taken_m2) / thing.area_m2 + 1e-9)
    loads = ceil(thing.portions / most) if most > 0 else 1000
    return loads * thing.least_s + (loads - 1) * thing.hands_s


def _amounts(wood: bool) -> Array:
    step, most = (EVERY_KG, MOST_KG) if wood else (EVERY_BURN_S, MOST_BURN_S)
    return np.arange(step, most + step / 2, step)


def _lightings(night: Night, thing: Thing) -> Iterator[tuple[float, float]]:
    """Times to light, with how much earlier than the rota that is: as the rota has it, then ever earlier."""
    start_s = max(night.fires.ready_s, night.fires.door_on_s or 0.0)
    arrivals = sorted(one.from_s for one in night.people if "hearth" in one.does and one.from_s > start_s)
    until_s = night.end_s if thing.by_s is None else thing.by_s
    for begin in arrivals[:1]:
        for lit_s in _marks(begin, min(until_s, begin + MOST_LATE_S), QUARTER_S):
            if _there(night, lit_s):
                yield lit_s, 0.0
        for back in range(1, MOST_EARLY_S // QUARTER_S + 1):
            yield begin - back * QUARTER_S, float(back * QUARTER_S)


def _stands_in_the_way(standing: Standing, lit_s: float, run: Relit) -> bool:
    """Whether something in the oven would stand on more heat than it may."""
    peak_C = float(run.stone_C.max())
    return any(
        stay.in_s < lit_s + run.burn_s and stay.out_s > lit_s and peak_C > one.high_C
        for one, stay in standing
    )


def _lit_night(
    night: Night, fall: Fall, lit_s: float, run: Relit, people: tuple[Hours, ...], room_C: float
) -> Night:
    """The night with that fire in it. The spread of the reading it starts from is carried along; where the
    model's run ends the stone loses the shares that the night's own curve does.
    """
    ran_s = lit_s + run.times_s
    before, past = fall.times_s < lit_s, fall.times_s > ran_s[-1]

    def joined(own: Array) -> Array:
        off_C = float(np.interp(lit_s, fall.times_s, own)) - run.from_C
        left = (own[past] - room_C) / max(1.0, float(np.interp(ran_s[-1], fall.times_s, own)) - room_C)
        on_C = room_C + (float(run.stone_C[-1]) + off_C - room_C) * left
        return np.concatenate([own[before], run.stone_C + off_C, on_C])

    lit = replace(
        fall,
        times_s=np.concatenate([fall.times_s[before], ran_s, fall.times_s[past]]),
        value_C=joined(fall.value_C),
        low_C=joined(fall.low_C),
        high_C=joined(fall.high_C),
    )
    fires = replace(night.fires, lit=(*night.fires.lit, (lit_s, lit_s + run.burn_s + SETTLE_S)))
    return replace(night, falls={"stone": lit}, fires=fires, people=people)


def _meanwhile(standing: Standing, lit_s: float, run: Relit) -> tuple[str, ...]:
    """What stands in the oven while the fire burns, and how much heat it may take."""
    return tuple(
        f"{one.name} stay in meanwhile, lids on and away from the fire: good to {one.high_C:.0f} °C"
        for one, stay in standing
        if stay.in_s < lit_s + run.burn_s and stay.out_s > lit_s
    )


def _relit_way(
    night: Night,
    thing: Thing,
    stays: tuple[Stay, ...],
    run: Relit,
    lit_s: float,
    early_s: float,
    meanwhile: tuple[str, ...],
) -> Way:
    wood, clear_s, first = night.fires.fuel == "wood", lit_s + run.burn_s, stays[0]
    fed = f"{run.kg:g} kg of wood" if wood else f"the top flame for {run.burn_s / 60:.0f} min"
    clear = "coals out into the lidded bin" if wood else "gas shut"
    early = f", somebody there {early_s / 60:.0f} min before the rota" if early_s else ""
    words = (
        f"extraction on, door off, light {fed} at {night.when(lit_s)}{early} and stay by it; {clear} and "
        f"brushed by {night.when(clear_s)}, only then the door"
    )
    sums = (
        f"by the oven model {fed} bring the stone from {run.from_C:.0f} to {run.stone_C.max():.0f} °C, "
        f"{float(np.interp(run.burn_s, run.times_s, run.stone_C)):.0f} at {night.when(clear_s)}, "
        f"{float(night.falls['stone'].at_C(first.in_s)):.0f} at {night.when(first.in_s)}: {run.kWh:.0f} kWh",
        *meanwhile,
    )
    return Way(
        "relight",
        words,
        sums,
        stays,
        thing,
        night,
        fuel_kg=run.kg,
        fuel_kWh=0.0 if wood else run.kWh,
        early_s=early_s,
    )


def _next_there(night: Night, from_s: float) -> float | None:
    """The first mark from then on at which somebody is there."""
    return next((at for at in _marks(from_s, night.end_s, STEP_S) if _there(night, at)), None)


def _marks(from_s: float, until_s: float, step_s: int) -> Iterator[float]:
    yield from (float(at) for at in range(ceil(from_s / step_s) * step_s, floor(until_s) + 1, step_s))


def _there(night: Night, at_s: float) -> bool:
    return _watched(night.people, at_s, at_s + STEP_S)


def _watched(people: Sequence[Hours], from_s: float, until_s: float) -> bool:
    """Whether somebody for the hearth is there all the time."""
    marks = np.arange(from_s, until_s, 60.0)
    there = [(marks >= one.from_s) & (marks < one.until_s) for one in people if "hearth" in one.does]
    return bool(np.any(there, axis=0).all()) if there else False
