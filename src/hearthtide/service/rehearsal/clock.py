"""A rehearsed night's clock: real time at a speed, or moved on by hand.

A planner is as quick as it is, at any speed. So no clock here lets more of the night pass while a plan is
made than a real evening would: the quick one goes at real speed meanwhile, the one moved by hand stands and
is then moved on by what an evening's planner takes.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from threading import Lock

PLANNED_S = 0.5  # of the night, for a plan made in no more than USUAL_S of real time: its search's budget
USUAL_S = 2.0  # a slower plan costs the night as long as it really took


class SpeedClock:
    """Runs on by itself. Calling it gives the seconds of the night; safe from several threads."""

    def __init__(self, from_s: float, speed: float, real: Callable[[], float] = time.monotonic) -> None:
        self._real, self._lock = real, Lock()
        self._since, self._at_s = real(), from_s
        self._full, self._speed = speed, speed

    def __call__(self) -> float:
        with self._lock:
            return self._at_s + (self._real() - self._since) * self._speed

    def thinking(self, thinks: bool) -> None:
        """Goes at real speed while a plan is being made, at its own otherwise."""
        self._go(min(1.0, self._full) if thinks else self._full)

    def stand(self) -> None:
        """Stops it until it is told of thinking again."""
        self._go(0.0)

    def _go(self, speed: float) -> None:
        with self._lock:
            now = self._real()
            self._at_s += (now - self._since) * self._speed
            self._since, self._speed = now, speed


class StepClock:
    """Stands until it is moved on."""

    def __init__(self, from_s: float) -> None:
        self._at_s = from_s

    def __call__(self) -> float:
        return self._at_s

    def on(self, seconds: float) -> None:
        """Moves it on."""
        self._at_s += seconds

    def planned(self, took_s: float) -> None:
        """Moves it on by what a plan costs an evening that took so long to make."""
        self.on(PLANNED_S if took_s <= USUAL_S else took_s)
