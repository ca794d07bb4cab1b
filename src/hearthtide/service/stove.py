"""The oven during a live night as the quick model has it: burnt so far, and the half hour to come.

The model goes on from where it stood, under the flame that was told or else planned, and under what the
books will draw. A gun's reading of the floor moves what is foreseen by as much as the model was off; that
fades, since the next readings of a stone say more than the last one of a model.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from hearthtide.oven.design import FlameLevel
from hearthtide.oven.model import OvenState
from hearthtide.oven.zones import floor_C_at
from hearthtide.planning.flame import FlamePlan, QuickNight, pattern_C
from hearthtide.service.facts import Facts, Taken

FADES_S = 1800.0  # after so long a third of a reading's correction is left; own choice
MEAN_MIN = 5  # minutes over which the stone is told; own choice
OUT = FlameLevel("out", 0.0)
# With the gas shut: how long until it is lit again when nobody can say, and the least it takes once somebody
# can (common practice, no source: five minutes' wait, then the oven's own instructions).
UNKNOWN_S, WAIT_S = 900, 300
LONGEST_S = 3600  # beyond which no stone is waited for; own choice


@dataclass(frozen=True)
class Burnt:
    """The oven at `at_s`, its working stone minute by minute of late, how far off a reading said it is."""

    state: OvenState
    at_s: int
    zone_C: tuple[float, ...] = ()
    off_C: float = 0.0
    read_C: float | None = None
    read_s: float = 0.0


@dataclass(frozen=True)
class Foreseen:
    """The working stone now and every so often after it, corrected by the last reading."""

    at_s: tuple[int, ...]
    zone_C: tuple[float, ...]
    heat_C: tuple[float, ...]


def cold(night: QuickNight, ambient_C: float, lit_s: int) -> Burnt:
    """The oven as it is lit."""
    return Burnt(night.oven.cold(ambient_C), lit_s)


def level_at(flame: FlamePlan, facts: Facts, night: QuickNight, time_s: float) -> FlameLevel:
    """What burns: out, the level told unless a change was planned since, the planned one."""
    if facts.flame_out is not None and time_s >= facts.flame_out.at_s:
        return OUT
    planned = [held for held in flame.held if held.start_s <= time_s]
    if facts.flame is not None and facts.flame.at_s <= time_s:
        since = [held for held in planned if held.start_s > facts.flame.at_s]
        return since[-1].level if since else night.oven.design.level(facts.flame.name)
    return planned[-1].level if planned else flame.held[0].level


def burnt_on(
    burnt: Burnt,
    night: QuickNight,
    flame: FlamePlan,
    facts: Facts,
    until_s: int,
    share: float = 1.0,
    shut_s: int = 0,
) -> Burnt:
    """The oven minute by minute up to `until_s`; `night` learns how its stone stands before food.

    `share` is what its flame gives of what its level says. While there is no flame, and until `shut_s`,
    nothing new goes on the stone: it then cools by itself alone.
    """
    state, now, zone_C = burnt.state, burnt.at_s, burnt.zone_C
    while now + 60 <= until_s:
        level = level_at(flame, facts, night, now)
        loaded = level is not OUT and now >= shut_s
        state, _ = night.run(state, now, 60, replace(level, power_W=share * level.power_W), loaded)
        now += 60
        if now < night.draw.first_s:
            night.pattern_C = pattern_C(state.floor_C, night.zone)
        zone_C = (*zone_C[1 - MEAN_MIN :], _zone_C(night, state))
    return replace(burnt, state=state, at_s=now, zone_C=zone_C)


def _zone_C(night: QuickNight, state: OvenState) -> float:
    """The working stone's middle, each cell less its own standing before service."""
    return float(np.median((state.floor_C - night.pattern_C)[night.zone]))


def stone_C(burnt: Burnt, time_s: float) -> float:
    """What is told of the working stone: its mean over the last minutes, corrected by the last reading.

    A cold plate set down on a cell or two must not make the figure jump.
    """
    if not burnt.zone_C:
        return float(burnt.state.floor_C.mean())
    return sum(burnt.zone_C) / len(burnt.zone_C) + _off_C(burnt, time_s)


def read(burnt: Burnt, night: QuickNight, taken: Taken) -> Burnt:
    """What a gun says of the stone, at its spot or of the working stone in general."""
    spot = taken.reading.spot
    if spot is None:
        model_C = _zone_C(night, burnt.state)
    else:
        model_C = float(floor_C_at(night.oven, burnt.state, np.array([[spot.x_m, spot.y_m]]))[0])
    read_C = taken.reading.temperature_C
    return replace(burnt, off_C=read_C - model_C, read_C=read_C, read_s=taken.at_s)


def foreseen(
    burnt: Burnt,
    night: QuickNight,
    flame: FlamePlan,
    facts: Facts,
    ahead_s: tuple[int, ...],
    shut_s: int = 0,
) -> Foreseen:
    """The stone at rising times from `burnt.at_s` on, with the flame as planned or told; shut to `shut_s`."""
    zone = [stone_C(burnt, burnt.at_s)]
    at, heat = burnt, tuple((burnt.state.floor_C + _off_C(burnt, burnt.at_s)).tolist())
    for ahead in ahead_s:
        at = burnt_on(at, night, flame, facts, burnt.at_s + ahead, shut_s=shut_s)
        zone.append(stone_C(at, at.at_s))
    return Foreseen((burnt.at_s, *(burnt.at_s + a for a in ahead_s)), tuple(zone), heat)


def _off_C(burnt: Burnt, time_s: float) -> float:
    return burnt.off_C * math.exp(-max(0.0, time_s - burnt.read_s) / FADES_S)


def back_s(burnt: Burnt, night: QuickNight, flame: FlamePlan, facts: Facts, now_s: int, low_C: float) -> int:
    """When the working stone is `low_C` again after the flame was out: lit as told, else high, and soon.

    Nothing new is on it meanwhile. At most an hour from now.
    """
    lit_s = now_s
    if facts.flame_out is not None:
        lit_s = max(round(facts.flame_out.at_s) + UNKNOWN_S, now_s + WAIT_S)
    as_lit = replace(facts, flame_out=None)
    highest = max(night.oven.design.levels, key=lambda one: one.power_W)
    state, at = burnt.state, burnt.at_s
    while at < now_s + LONGEST_S:
        supposed = highest if facts.flame_out is not None else level_at(flame, as_lit, night, at)
        level = OUT if at < lit_s else supposed
        state, _ = night.run(state, at, 60, level, loaded=False)
        at += 60
        if at >= lit_s and _zone_C(night, state) + _off_C(burnt, at) >= low_C:
            break
    return at
