"""A house's own readings of a cooling night as a curve: the excess over the room falls by a share an hour,
and that share itself slows.

The form is d(ln excess)/dt = -share / (1 + slows t). For slows 0 it is an even share: the last, slowest mode
of any cooling body. For large t the excess goes as a power of time: the face of a thick stone that still
soaks goes with -1/2 (heat put on a half space at once, from memory, not re-read). The form, between the two,
is our own choice.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.day.falling_things import Fall
from hearthtide.ranges import Array, require

EVERY_S = 300.0  # between the points of a curve; own choice
MOST_SLOWS_H = 3.0  # the share a quarter of itself after an hour: no oven was read to slow more; own choice
LEAST_LAST_S = 3600.0  # between the readings that the share is carried on from; own choice
TRIES, ROUNDS = 61, 6  # grid of `slows`, narrowed so often: to 1e-6 per hour
LEAST_MISS_K = 5.0  # two readings of one spot by the same gun hardly agree better; common practice, no source


@dataclass(frozen=True)
class Seen:
    """A reading: clock time in s, °C."""

    at_s: float
    value_C: float


@dataclass(frozen=True)
class Slowing:
    """The fit. `log_K`: ln of the excess at `from_s`; shares per hour. `last_share_h`: between the last two
    readings an hour apart. `misses_K`: of each reading foretold by all others (told less read).
    """

    room_C: float
    from_s: float
    log_K: float
    share_h: float
    slows_h: float
    last_s: float
    last_share_h: float
    misses_K: tuple[float, ...]

    @property
    def off_K(self) -> float:
        """How far off the curve may be between its readings: the largest miss, and no less than a gun's."""
        return max([LEAST_MISS_K, *map(abs, self.misses_K)])

    def share_at_h(self, time_s: float) -> float:
        """Share of the excess lost per hour at a time between first and last reading."""
        return self.share_h / (1 + self.slows_h * (time_s - self.from_s) / 3600)

    def slowing_C(self, times_s: Array | float) -> Array:
        """The curve, slowing on and on."""
        hours = (np.asarray(times_s, dtype=float) - self.from_s) / 3600
        return np.asarray(self.room_C + np.exp(self.log_K - self.share_h * _gone(hours, self.slows_h)))

    def at_C(self, times_s: Array | float) -> Array:
        """The curve up to the last reading; from there on by the share of the last two."""
        times = np.asarray(times_s, dtype=float)
        until = self.slowing_C(np.minimum(times, self.last_s))
        past_h = np.maximum(times - self.last_s, 0.0) / 3600
        return np.asarray(self.room_C + (until - self.room_C) * np.exp(-self.last_share_h * past_h))


def _gone(hours: Array, slows_h: float) -> Array:
    """The integral of 1 / (1 + slows t), h."""
    if slows_h == 0:
        return hours
    # Before the first reading the share was larger; nothing is asked for where it would have no bound.
    return np.asarray(np.log(np.maximum(1 + slows_h * hours, 1e-3)) / slows_h)


def fitted(seen: Sequence[Seen], room_C: float) -> Slowing:
    """The fit to two or more readings after the door went on, in order of time; two give an even share.

    Least squares in ln(excess): in closed form for each `slows`, which is searched from 0 up. Raises
    PhysicalRangeError for fewer than two readings, times that do not rise, readings not above the room or
    that rise on the whole.
    """
    require("number of readings", float(len(seen)), "", 2, 1000)
    times_s = np.array([one.at_s for one in seen])
    excess_K = np.array([one.value_C for one in seen]) - room_C
    require("steps between readings", np.diff(times_s), "s", 60.0, 1e6)
    require("reading above the room", excess_K, "K", 1.0, 700.0)
    require("fall from first to last reading", float(excess_K[0] - excess_K[-1]), "K", 1e-6, 700.0)
    misses = [_left_out_K(seen, i, room_C) for i in range(len(seen))] if len(seen) > 2 else []
    log_K, share_h, slows_h = _least_squares((times_s - times_s[0]) / 3600, np.log(excess_K))
    # The last two readings, an hour or more apart: closer ones say more of the gun than of the stone.
    far = np.flatnonzero(times_s <= times_s[-1] - LEAST_LAST_S)
    k = int(far[-1]) if len(far) else 0
    last_share_h = max(0.0, float(np.log(excess_K[k] / excess_K[-1])) / ((times_s[-1] - times_s[k]) / 3600))
    return Slowing(
        room_C, float(times_s[0]), log_K, share_h, slows_h, float(times_s[-1]), last_share_h, tuple(misses)
    )


def _left_out_K(seen: Sequence[Seen], i: int, room_C: float) -> float:
    """A reading as all others foretell it, less what was read."""
    others = [one for k, one in enumerate(seen) if k != i]
    hours = np.array([one.at_s - others[0].at_s for one in others]) / 3600
    log_K, share_h, slows_h = _least_squares(hours, np.log([one.value_C - room_C for one in others]))
    at_h = np.array((seen[i].at_s - others[0].at_s) / 3600)
    told_C = room_C + float(np.exp(log_K - share_h * _gone(at_h, slows_h)))
    return told_C - seen[i].value_C


def _least_squares(hours: Array, logs: Array) -> tuple[float, float, float]:
    """ln of the excess at 0, share per hour, and how it slows; an even share through two readings."""
    if len(hours) == 2:
        return *_line(hours, logs, 0.0)[:2], 0.0
    low, high = 0.0, MOST_SLOWS_H
    for _ in range(ROUNDS):
        tries = np.linspace(low, high, TRIES)
        best = int(np.argmin([_line(hours, logs, float(slows))[2] for slows in tries]))
        low, high = float(tries[max(0, best - 1)]), float(tries[min(TRIES - 1, best + 1)])
    slows = float(tries[best])
    log_K, share_h, _ = _line(hours, logs, slows)
    return log_K, share_h, slows


def _line(hours: Array, logs: Array, slows_h: float) -> tuple[float, float, float]:
    """Least squares of a line in `_gone`, and the squares left over."""
    gone = _gone(hours, slows_h)
    away = gone - gone.mean()
    share = -float(away @ logs / (away @ away))
    level = float(logs.mean() + share * gone.mean())
    return level, share, float(np.square(logs - level + share * gone).sum())


def fall_of(fit: Slowing, before: Sequence[Seen], door_on_s: float, until_s: float) -> Fall:
    """The curve of a night from its first reading to `until_s`.

    Before the door is on, straight between readings and the fit at the door. After the last reading the lower
    bound falls on by the last share, the upper one goes on slowing.
    """
    first_s = min([door_on_s, *(one.at_s for one in before)])
    times_s = np.append(np.arange(first_s, until_s, EVERY_S), until_s)
    value_C = fit.at_C(times_s)
    early = [one for one in before if one.at_s < door_on_s]
    if early:
        known_s = np.array([*(one.at_s for one in early), door_on_s])
        known_C = np.array([*(one.value_C for one in early), float(fit.at_C(door_on_s))])
        value_C = np.where(times_s < door_on_s, np.interp(times_s, known_s, known_C), value_C)
    slow_C = np.maximum(value_C, np.where(times_s > fit.last_s, fit.slowing_C(times_s), value_C))
    return Fall(
        times_s,
        value_C,
        np.maximum(value_C - fit.off_K, np.minimum(fit.room_C, value_C)),
        slow_C + fit.off_K,
        "the house's own readings",
        fit.last_s,
    )
