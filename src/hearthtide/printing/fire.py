"""Floor and flame through the night: working stone and dome above, the flame's steps below."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from hearthtide.house.files import oven_design
from hearthtide.house.models import House
from hearthtide.planning.plan import Plan
from hearthtide.printing.axes import TimeAxis, UpAxis
from hearthtide.printing.picture import TEXT, WIDE, Area, Line, Mark, Picture, Words, text_width
from hearthtide.printing.shown import clock, degrees

LEFT, RIGHT = 118.0, 74.0
TOP, MIDDLE, LOW, HEIGHT = 30.0, 300.0, 334.0, 470.0  # upper plot TOP..MIDDLE, flame LOW..HEIGHT - FOOT
FOOT = 10.0


def fire_picture(plan: Plan, house: House) -> Picture:
    """The stone's working zone and the dome in °C against the house's band, and the flame's power."""
    oven, band = plan.oven, house.oven.floor_band
    axis = TimeAxis(oven.times_s[0], oven.times_s[-1], LEFT, WIDE - RIGHT)
    highest = max(*oven.zone_C, *oven.dome_C, band.high)
    up = UpAxis(0.0, 100.0 * (1 + highest // 100), MIDDLE, TOP)
    marks: list[Mark] = list(axis.marks(TOP - 12, HEIGHT - FOOT))
    marks += up.marks(100.0, LEFT, WIDE - RIGHT)
    marks.append(Words((0.0, TOP + TEXT * 0.36), "°C"))
    low, high = up.y(band.low), up.y(band.high)
    x1, x2 = LEFT, WIDE - RIGHT
    marks.append(Area(((x1, low), (x2, low), (x2, high), (x1, high)), "blue", "blue", 0.8, wash=True))
    wanted = f"wanted {degrees(band.low)} to {degrees(band.high)}"
    marks.append(Words((x2 - 6, low + TEXT + 2), wanted, anchor="end"))
    marks.append(_along(axis, up, oven.times_s, oven.dome_C, dashed=True))
    marks.append(_along(axis, up, oven.times_s, oven.zone_C, dashed=False))
    marks += _ends(up, oven.zone_C[-1], oven.dome_C[-1])
    marks += _flame(plan, house, axis)
    says = (
        f"Stone {degrees(oven.zone_C[0])} °C at {clock(oven.times_s[0])}, "
        f"{degrees(oven.zone_C[-1])} °C at {clock(oven.times_s[-1])}; "
        f"highest {degrees(max(oven.zone_C))} °C, dome up to {degrees(max(oven.dome_C))} °C."
    )
    return Picture("Floor and flame through the night", says, WIDE, HEIGHT, tuple(marks))


def _along(
    axis: TimeAxis, up: UpAxis, times_s: Sequence[float], values: Sequence[float], dashed: bool
) -> Line:
    points = tuple((axis.x(t), up.y(v)) for t, v in zip(times_s, values, strict=True))
    if dashed:
        return Line(points, "ink", width=1.6, dash=(7, 4), name="dome")
    return Line(points, "blue", width=2.6, name="stone")


def _ends(up: UpAxis, stone_C: float, dome_C: float) -> Iterator[Mark]:
    """The lines' names at their right ends, kept apart."""
    x = WIDE - RIGHT + 6
    stone_y, dome_y = up.y(stone_C), up.y(dome_C)
    if abs(stone_y - dome_y) < TEXT + 2:
        lift = (TEXT + 2 - abs(stone_y - dome_y)) / 2
        away = lift if stone_y >= dome_y else -lift
        stone_y, dome_y = stone_y + away, dome_y - away
    yield Words((x, stone_y + TEXT * 0.36), "stone", bold=True)
    yield Words((x, dome_y + TEXT * 0.36), "dome")


def _flame(plan: Plan, house: House, axis: TimeAxis) -> Iterator[Mark]:
    """Power as filled steps over the house's own levels."""
    powers_W = [level.power_W for level in oven_design(house).levels]
    most = powers_W[-1]
    up = UpAxis(0.0, most, HEIGHT - FOOT, LOW)
    used: list[float] = []
    for flame, power_W in reversed(tuple(zip(house.oven.flames, powers_W, strict=True))):
        y = up.y(power_W)
        yield Line(((LEFT, y), (WIDE - RIGHT, y)), "faint", width=0.7)
        if all(abs(y - other) > TEXT for other in used):
            used.append(y)
            words = f"{flame.name} {power_W / 1000:.3g} kW"
            if text_width(words) > LEFT - 8:
                words = f"{power_W / 1000:.3g} kW"
            yield Words((LEFT - 6, y + TEXT * 0.36), words, anchor="end")
    base = up.y(0.0)
    end = axis.end_s
    points = []
    changes = sorted((c for c in plan.flame if c.start_s < end), key=lambda c: c.start_s)
    for i, change in enumerate(changes):
        until = changes[i + 1].start_s if i + 1 < len(changes) else end
        y = up.y(change.power_W)
        points += [(axis.x(max(change.start_s, axis.start_s)), y), (axis.x(until), y)]
    if points:
        outline = ((points[0][0], base), *points, (points[-1][0], base))
        yield Area(outline, "orange", None, wash=True)
        yield Line(outline, "orange", width=2.0, name="power")
    yield Words((WIDE - RIGHT + 6, base - 4), "flame", bold=True)
