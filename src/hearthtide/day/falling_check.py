"""The proof of a plan of the falling heat from its stays alone: bands, stone, people, door, coals and gas.

It shares nothing with the planner: minute by minute, on the plain data.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping, Sequence

from hearthtide.day.falling_things import Fires, Night, Stay, Thing

MINUTE_S = 60


def broken(night: Night, things: Mapping[str, Thing], stays: Sequence[Stay]) -> tuple[str, ...]:
    """All that a plan breaks, in words; empty for one that holds.

    A night whose coals or gas are still in when the door goes on is broken whatever stands in it.
    """
    found = [*_fire(night)]
    for stay in stays:
        found += _one(night, things[stay.key], stay)
    found += _room(night, things, stays)
    found += _hands(night, things, stays)
    for key in {stay.key for stay in stays}:
        placed = sum(stay.portions for stay in stays if stay.key == key)
        if placed != things[key].portions:
            found.append(f"{things[key].name}: {placed} of {things[key].portions} are in")
    return tuple(found)


def untended(night: Night) -> tuple[str, ...]:
    """What is done to the fire with nobody there who tends the hearth: coals or gas out, and the door on."""
    fires = night.fires
    out = "the coals come out" if fires.fuel == "wood" else "the gas is shut"
    acts = [(fires.out_s, out)]
    if fires.door_on_s is not None:
        acts.append((fires.door_on_s, "the door goes on"))
    return tuple(
        f"{what} at {night.when(at)} and nobody who tends the hearth is there by the rota"
        for at, what in acts
        if not _there(night, at)
    )


def _fire(night: Night) -> list[str]:
    fires = night.fires
    what = "coals" if fires.fuel == "wood" else "gas"
    found = []
    if fires.door_on_s is not None and fires.door_on_s < fires.out_s:
        found.append(f"the door goes on at {night.when(fires.door_on_s)} before the {what} are out")
    for lit_s, out_s in fires.lit:
        if out_s <= lit_s:
            found.append(f"the fire of {night.when(lit_s)} has no end")
    return found


def _one(night: Night, thing: Thing, stay: Stay) -> list[str]:
    """A stay's own band, time, door and people."""
    name, found = f"{thing.name}, in at {night.when(stay.in_s)}", []
    at_C = _read(night, thing, stay.in_s)
    if not thing.low_C <= at_C <= thing.high_C:
        found.append(f"{name}: the {thing.place} is {at_C:.0f} °C")
    if not thing.least_s <= stay.out_s - stay.in_s <= thing.most_s:
        found.append(f"{name}: in for {(stay.out_s - stay.in_s) / 60:.0f} min")
    minutes = range(int(stay.in_s), int(stay.out_s) + 1, MINUTE_S)
    if any(_read(night, thing, at) < thing.least_C for at in minutes):
        found.append(f"{name}: colder than {thing.least_C:.0f} °C")
    if thing.out_at_s is not None and abs(stay.out_s - thing.out_at_s) >= 5 * MINUTE_S:
        found.append(f"{name}: out at another time than {night.when(thing.out_at_s)}")
    if thing.by_s is not None and stay.out_s > thing.by_s:
        found.append(f"{name}: out after {night.when(thing.by_s)}")
    if stay.in_s < night.fires.ready_s or stay.out_s > night.end_s:
        found.append(f"{name}: outside the night")
    if any(lit_s <= stay.in_s < out_s for lit_s, out_s in night.fires.lit):
        found.append(f"{name}: in over a live fire")
    return found + _door(night.fires, thing, stay, name) + _watch(night, thing, stay, name)


def _door(fires: Fires, thing: Thing, stay: Stay, name: str) -> list[str]:
    on_s = fires.door_on_s
    if thing.door == "on" and (on_s is None or stay.in_s < on_s):
        return [f"{name}: without its door"]
    if thing.door == "off" and on_s is not None and stay.out_s > on_s:
        return [f"{name}: behind a door"]
    return []


def _watch(night: Night, thing: Thing, stay: Stay, name: str) -> list[str]:
    must = {stay.in_s: "goes in", stay.out_s: "comes out"}
    must |= {stay.in_s + turn: "is turned" for turn in thing.turns_s}
    found = [
        f"{name}: nobody there when it {what} at {night.when(at)}"
        for at, what in must.items()
        if not _there(night, at)
    ]
    if thing.watched:
        minutes = range(int(stay.in_s), int(stay.out_s), MINUTE_S)
        if not all(_there(night, at) for at in minutes):
            found.append(f"{name}: left alone")
    return found


def _room(night: Night, things: Mapping[str, Thing], stays: Sequence[Stay]) -> list[str]:
    """Stone taken, at every going in: it is greatest at one of them."""
    found = []
    for at in sorted({stay.in_s for stay in stays}):
        taken = sum(s.portions * things[s.key].area_m2 for s in stays if s.in_s <= at < s.out_s)
        if taken > night.usable_m2 + 1e-6:
            found.append(f"at {night.when(at)} {taken:.2f} m² stand on {night.usable_m2:.2f}")
    return found


def _hands(night: Night, things: Mapping[str, Thing], stays: Sequence[Stay]) -> list[str]:
    """Acts at once, against the people there."""
    acts = []
    for stay in stays:
        hands_s = things[stay.key].hands_s
        acts += [(stay.in_s, stay.in_s + hands_s), (stay.out_s, stay.out_s + hands_s)]
    found = []
    for at in sorted({begin for begin, _ in acts}):
        wanted = sum(begin <= at < end for begin, end in acts)
        there = sum(one.from_s <= at < one.until_s for one in night.people if "hearth" in one.does)
        if wanted > there:
            found.append(f"at {night.when(at)} {wanted} pairs of hands are wanted, {there} there")
    return found


def _there(night: Night, at_s: float) -> bool:
    return any("hearth" in one.does and one.from_s <= at_s < one.until_s for one in night.people)


def _read(night: Night, thing: Thing, at_s: float) -> float:
    """A temperature between two of a curve's points."""
    fall = night.falls[thing.place]
    k = min(max(bisect_right(fall.times_s, at_s) - 1, 0), len(fall.times_s) - 2)
    share = (at_s - fall.times_s[k]) / (fall.times_s[k + 1] - fall.times_s[k])
    return float(fall.value_C[k] + share * (fall.value_C[k + 1] - fall.value_C[k]))
