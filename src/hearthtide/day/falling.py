"""The falling heat of one night: what goes in when, why something does not, and what would make it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from hearthtide.day.falling_check import broken, untended
from hearthtide.day.falling_plan import Marks, Window, in_band, planned, windows
from hearthtide.day.falling_things import Night, Stay, Thing, Way
from hearthtide.day.falling_ways import Means, ways_out


@dataclass(frozen=True)
class Told:
    """One thing: when the heat is in its band, when it may go in with the people there, its stays, or why it
    has none and then the ways out.
    """

    thing: Thing
    band_s: tuple[tuple[float, float], ...]
    windows: tuple[Window, ...]
    stays: tuple[Stay, ...]
    why: str
    ways: tuple[Way, ...]


@dataclass(frozen=True)
class Falling:
    """The plan of a night. `broken`: what the checker finds in it, in who is there for the fire, or in a
    way out; nothing if all holds.
    """

    night: Night
    told: tuple[Told, ...]
    broken: tuple[str, ...]


def falling(night: Night, things: Sequence[Thing], means: Means) -> Falling:
    """What fits, and the ways out for the rest, each held against what stands already and checked."""
    plan, marks = planned(night, things), Marks(night)
    by_key = {thing.key: thing for thing in things}
    standing = [(by_key[stay.key], stay) for stay in plan.stays]
    told = []
    for thing in things:
        stays = tuple(stay for stay in plan.stays if stay.key == thing.key)
        found = windows(marks, thing)
        why = "" if stays else _why(marks, thing, found, plan.short[thing.key])
        ways = () if stays else ways_out(night, thing, standing, means)
        told.append(Told(thing, in_band(night, thing), found, stays, why, ways))
    wrong = [*untended(night), *broken(night, by_key, plan.stays)]
    for one in told:
        for way in one.ways:
            both = {**by_key, way.thing.key: way.thing}
            wrong += broken(way.night, both, (*plan.stays, *way.stays))
    return Falling(night, tuple(told), tuple(wrong))


def _why(marks: Marks, thing: Thing, found: Sequence[Window], placed: int) -> str:
    """The first thing that keeps it out: heat, time in the heat, people, door or stone."""
    night, wanted = marks.night, f"{thing.low_C:.0f} to {thing.high_C:.0f} °C"
    if thing.door == "ajar":
        return "it wants the door ajar, and nothing is planned behind a door left open"
    band = in_band(night, thing)
    if not band:
        return f"the {thing.place} is never from {wanted} until {night.when(night.end_s)}"
    when = " and ".join(f"{night.when(a)} to {night.when(b)}" for a, b in band)
    if found:
        return (
            f"the {thing.place} is at {wanted} {when}; of {thing.portions} only {placed} find room and hands"
        )
    if windows(marks, thing, people=False):
        watch = ", and it is watched all the time" if thing.watched else ""
        alone = f"nobody is there to put it in or take it out{watch}"
        return f"the {thing.place} is at {wanted} {when}, when {alone}"
    return f"the {thing.place} is at {wanted} {when}, but not for its time, its last minute or its door"
