"""Axes for small pictures: a time of day across, a quantity up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from hearthtide.printing.picture import TEXT, Line, Mark, Words, text_width
from hearthtide.quantities.show import clock_text

STEPS_S = (300, 600, 900, 1800, 3600, 7200)


@dataclass(frozen=True)
class TimeAxis:
    """Times of day from `start_s` to `end_s` laid from `left` to `right` of a sheet."""

    start_s: float
    end_s: float
    left: float
    right: float

    def x(self, time_s: float) -> float:
        return self.left + (time_s - self.start_s) / (self.end_s - self.start_s) * (self.right - self.left)

    @property
    def step_s(self) -> int:
        """The shortest round step whose clock texts do not touch."""
        room = text_width("00:00") + 14
        span = self.end_s - self.start_s
        wide = [s for s in STEPS_S if s / span * (self.right - self.left) >= room]
        return wide[0] if wide else STEPS_S[-1]

    def marks(self, top: float, bottom: float) -> Iterator[Mark]:
        """Faint uprights at round times, the clock above them."""
        first = -(-int(self.start_s) // self.step_s)
        for i in range(first, int(self.end_s) // self.step_s + 1):
            x = self.x(i * self.step_s)
            yield Line(((x, top + 5), (x, bottom)), "faint", width=0.7)
            yield Words((x, top), clock_text(i * self.step_s), anchor="middle")


@dataclass(frozen=True)
class UpAxis:
    """A quantity from `low` at `bottom` to `high` at `top` of a sheet."""

    low: float
    high: float
    bottom: float
    top: float

    def y(self, value: float) -> float:
        return self.bottom - (value - self.low) / (self.high - self.low) * (self.bottom - self.top)

    def marks(self, step: float, left: float, right: float) -> Iterator[Mark]:
        """Faint levels at multiples of a step, the figure before them."""
        value = -(-self.low // step) * step
        while value <= self.high:
            y = self.y(value)
            yield Line(((left, y), (right, y)), "faint", width=0.7)
            yield Words((left - 6, y + TEXT * 0.36), f"{value:.0f}", anchor="end")
            value += step
