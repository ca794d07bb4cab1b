"""Core and colour of each item, small, one picture per dish: minutes since launch across."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

from hearthtide.house.models import COLOUR_STEP, DishFile
from hearthtide.planning.plan import ItemReport
from hearthtide.printing.axes import UpAxis
from hearthtide.printing.picture import HALF, TEXT, Disc, Line, Mark, Picture, Words, text_width
from hearthtide.printing.shown import degrees, span_text

LEFT, RIGHT = 62.0, 12.0
TOP, CORE_LOW, COLOUR_TOP, COLOUR_LOW, HEIGHT = 46.0, 176.0, 204.0, 288.0, 318.0
STEPS_MIN = (1, 2, 5, 10, 20, 30)


def core_picture(dish: DishFile, items: Sequence[ItemReport]) -> Picture:
    """Core and colour of every plate of a dish; a dot where each leaves the stone."""
    longest = max((i.track.times_s[-1] - i.track.times_s[0]) / 60 for i in items)
    across = _Across(max(longest, 0.5))
    top = max(100.0, *(c for i in items for c in i.track.core_C))
    low = min(0.0, *(c for i in items for c in i.track.core_C))
    core = UpAxis(low, top, CORE_LOW, TOP)
    colour = UpAxis(1.0, 5.0, COLOUR_LOW, COLOUR_TOP)
    plates = "1 plate" if len(items) == 1 else f"{len(items)} plates"
    marks: list[Mark] = [Words((0.0, 16.0), f"{dish.name}, {plates}", bold=True)]
    marks += across.marks(TOP, COLOUR_LOW)
    marks += core.marks(25.0, LEFT, HALF - RIGHT)
    marks.append(Words((0.0, TOP + TEXT * 0.36), "°C"))
    marks += _words_of_colour(colour)
    for item in items:
        marks += _one(item, across, core, colour)
    marks += _asked(dish, core, colour)
    says = _says(items)
    return Picture(f"Core and colour of {dish.name.lower()}", says, HALF, HEIGHT, tuple(marks))


def asked_core_C(dish: DishFile) -> float | None:
    """The core the dish's last stage with one asks for; None when none does."""
    asked = [stage.until.core for stage in dish.stages if stage.until.core is not None]
    return asked[-1] if asked else None


class _Across:
    """Minutes since launch from left to right."""

    def __init__(self, longest_min: float) -> None:
        self.longest_min = longest_min

    def x(self, minutes: float) -> float:
        return LEFT + minutes / self.longest_min * (HALF - LEFT - RIGHT)

    def marks(self, top: float, bottom: float) -> Iterator[Mark]:
        room = text_width("00") + 10
        wide = [s for s in STEPS_MIN if self.x(s) - LEFT >= room]
        step = wide[0] if wide else STEPS_MIN[-1]
        for minute in range(0, math.floor(self.longest_min) + 1, step):
            x = self.x(minute)
            yield Line(((x, top), (x, bottom)), "faint", width=0.7)
            yield Words((x, bottom + 20), str(minute), anchor="middle")
        yield Words((LEFT - 16, bottom + 20), "min", anchor="end")


def _words_of_colour(colour: UpAxis) -> Iterator[Mark]:
    for word, step in COLOUR_STEP.items():
        y = colour.y(step)
        yield Line(((LEFT, y), (HALF - RIGHT, y)), "faint", width=0.7)
        yield Words((LEFT - 6, y + TEXT * 0.36), word, anchor="end")


def _one(item: ItemReport, across: _Across, core: UpAxis, colour: UpAxis) -> Iterator[Mark]:
    """One plate's two lines: full on the stone, thin after the pull."""
    times, pulled_s = item.track.times_s, item.stays[-1].end_s
    xs = [across.x((t - times[0]) / 60) for t in times]
    on = max(1, sum(t <= pulled_s for t in times))
    for up, values in ((core, item.track.core_C), (colour, item.track.colour)):
        points = tuple((x, up.y(v)) for x, v in zip(xs, values, strict=True))
        yield Line(points[:on], "blue", width=1.4)
        if len(points) > on:
            yield Line(points[on - 1 :], "ink", width=0.8)
        yield Disc(points[on - 1], 2.8, "blue", "paper", 0.8)


def _asked(dish: DishFile, core: UpAxis, colour: UpAxis) -> Iterator[Mark]:
    """What the dish asks for, as dashed levels."""
    asked = asked_core_C(dish)
    if asked is not None:
        y = core.y(asked)
        yield Line(((LEFT, y), (HALF - RIGHT, y)), "orange", width=2.0, dash=(6, 4), name="asked core")
        yield Words((HALF - RIGHT, TOP - 10), f"dashed: {degrees(asked)} °C asked", anchor="end")
    words = [stage.until.colour for stage in dish.stages if stage.until.colour is not None]
    if words:
        y = colour.y(COLOUR_STEP[words[-1]])
        yield Line(((LEFT, y), (HALF - RIGHT, y)), "orange", width=2.0, dash=(6, 4), name="asked colour")


def _says(items: Sequence[ItemReport]) -> str:
    cores = [item.core_C_at_pull for item in items]
    steps = [item.colour_step for item in items]
    return (
        f"Core at the pull {span_text(cores)} °C, "
        f"colour {span_text(steps, 1)} on the scale from 1 pale to 5 dark."
    )
