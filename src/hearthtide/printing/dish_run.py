"""One dish over time: core, face and underside, colour, lost weight, from launch to the end of its rest."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.food.column import Floats
from hearthtide.food.doneness import ProteinEvent
from hearthtide.house.models import COLOUR_STEP
from hearthtide.planning.dish_course import DishAct, DishCourse, StageCourse
from hearthtide.printing.axes import TimeAxis, UpAxis
from hearthtide.printing.curves import kept_apart
from hearthtide.printing.flags import ROW, flags, rows
from hearthtide.printing.picture import (
    LETTER,
    TEXT,
    WIDE,
    Area,
    Disc,
    Ink,
    Line,
    Mark,
    Picture,
    Words,
    text_width,
)
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import PROBE_IT

LEFT, RIGHT = 62.0, 96.0  # room beside the plots: figures and colour words; the curves' names
HEAD, STRIP, GAP = 22.0, 22.0, 40.0  # the title; the stages' strip; between two plots, with the lower's title
HIGH_C, HIGH_COLOUR, HIGH_LOSS = 236.0, 112.0, 60.0
STEPS_S = (30, 60, 120, 300, 600, 1200)
LEVELS_C = (20.0, 50.0, 100.0, 200.0)
LEVELS_LOST = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0)
LEVEL_ROOM = 30.0  # least units between printed levels
UNDER: tuple[float, ...] = (6, 4)  # dashes of the underside
ASKED: tuple[float, ...] = (2, 4)  # of what the dish asks for
NOTE = (
    f"{PROBE_IT} Round the core: a tenth of likely portions lies beyond "
    "either edge. Round the top's colour: from its palest side to its darkest. Dotted: asked for."
)


@dataclass(frozen=True)
class Read:
    """A probe reading: seconds from launch, °C."""

    at_s: float
    value_C: float


@dataclass(frozen=True)
class _Curve:
    """Values over times, with the name that stands right of its end; `low`, `high` its ribbon."""

    name: str
    times_s: Floats
    values: Floats
    ink: Ink
    dash: tuple[float, ...] = ()
    low: Floats | None = None
    high: Floats | None = None


def run_picture(
    course: DishCourse,
    vessel: str,
    readings: Sequence[Read] = (),
    width: float = WIDE,
    events: Sequence[ProteinEvent] = (),
) -> Picture:
    """The course of a dish, `width` units wide; `vessel` is the house's word for what it lies on.

    `events` are drawn as bars in a fourth plot, from when the core comes to each until it is through.

    Three plots over one clock from launch: temperatures with the core's ribbon, colours from pale to dark,
    weight lost; the acts as uprights through all of them, the stages as a strip above.
    """
    end_s = float(course.track.times_s[-1])
    across = TimeAxis(0.0, max(end_s, 1.0), LEFT, width - RIGHT)
    told = [line for text in _stage_words(course) for line in _wrapped(text, width)]
    flagged = flags(((across.x(act.at_s), *_flag(course, act)) for act in _flagged(course)), width + 8)
    strip = HEAD + ROW * (len(told) + rows(flagged)) + 6
    warm = UpAxis(0.0, 1.0, strip + STRIP + GAP + HIGH_C, strip + STRIP + GAP)
    brown = UpAxis(1.0, 5.0, warm.bottom + GAP + HIGH_COLOUR, warm.bottom + GAP)
    light = UpAxis(0.0, 1.0, brown.bottom + GAP + HIGH_LOSS, brown.bottom + GAP)
    marks: list[Mark] = [Words((0.0, 16.0), course.dish, bold=True)]
    marks += [Words((0.0, 16.0 + ROW * (i + 1)), line) for i, line in enumerate(told)]
    marks += _clock(across, strip + STRIP, light.bottom)
    marks += _stages(course, across, strip, end_s)
    marks += _temperatures(course, vessel, readings, across, warm)
    marks += _colours(course, across, brown)
    marks += _lost(course, across, light)
    bars = list(_events(course, across, light.bottom + 24 + GAP, events))
    marks += bars
    pairs = [flag.marks(strip, light.bottom) for flag in flagged]
    marks += [pole for pole, _ in pairs]
    marks += [words for _, words in pairs]
    notes = _wrapped(NOTE, width)
    bottom = max(
        (y for bar in bars if isinstance(bar, Area) for _, y in bar.points), default=light.bottom + 24
    )
    foot = bottom + ROW
    marks += [Words((0.0, foot + ROW * (i + 0.4)), line) for i, line in enumerate(notes)]
    return Picture(f"{course.dish} over time", _says(course), width, foot + ROW * len(notes), tuple(marks))


def _wrapped(text: str, width: float) -> list[str]:
    return textwrap.wrap(text, int(width / (0.9 * LETTER * TEXT)))


def _stage_words(course: DishCourse) -> Iterator[str]:
    yield f"From {course.start_C:.0f} °C, flame {course.power_W / 1000:.0f} kW."
    for stage in course.stages:
        away = "" if stage.flame_m is None else f", {100 * stage.flame_m:.0f} cm from the flame"
        end = "" if stage.done else ": not done in 40 min"
        yield f"{stage.name} at {stage.place}{away}, stone {stage.stone_C:.0f} °C{end}."


def _flagged(course: DishCourse) -> list[DishAct]:
    return [act for act in course.acts if act.act != "launch"]


def _flag(course: DishCourse, act: DishAct) -> tuple[str, str]:
    """The act's name and its words with its minute."""
    at = duration_text(act.at_s)
    match act.act:
        case "move":
            return "move", f"to {course.stages[act.stage].place} {at}"
        case "rest":
            return "rest", f"rested {at}"
        case _:
            return act.act, f"{act.act} {at}"


def _clock(across: TimeAxis, top: float, bottom: float) -> Iterator[Mark]:
    """Faint uprights at round times, minutes:seconds below them."""
    wide = text_width(duration_text(across.end_s)) + 14
    span = across.right - across.left
    step = next((s for s in STEPS_S if s / across.end_s * span >= wide), STEPS_S[-1])
    for i in range(math.floor(across.end_s / step) + 1):
        x = across.x(i * step)
        yield Line(((x, top), (x, bottom + 5)), "faint", width=0.7)
        yield Words((x, bottom + 22), duration_text(i * step), anchor="middle")
    yield Words((across.right + RIGHT, bottom + 22), "min:s", anchor="end")


def _stages(course: DishCourse, across: TimeAxis, top: float, end_s: float) -> Iterator[Mark]:
    """The strip above the plots: stages by name where it fits, then the rest."""
    spans = [(stage.name, stage.begin_s, stage.end_s) for stage in course.stages]
    spans += [("rest", course.pulled_s, end_s)] if course.rest_s else []
    for i, (name, begin_s, stop_s) in enumerate(spans):
        x1, x2 = across.x(begin_s), across.x(stop_s)
        resting = i == len(course.stages)
        corners = ((x1, top), (x2, top), (x2, top + STRIP), (x1, top + STRIP))
        yield Area(corners, "ink" if resting else "blue", "ink", 1.0, wash=True, name=name)
        if text_width(name) + 8 <= x2 - x1:
            yield Words((x1 + 6, top + STRIP - 6), name, halo=False)


def _temperatures(
    course: DishCourse, vessel: str, readings: Sequence[Read], across: TimeAxis, box: UpAxis
) -> Iterator[Mark]:
    track = course.track
    on = track.on_vessel > 0
    series = [
        _Curve("top", track.times_s, track.top_C, "orange"),
        _Curve("core", track.times_s, track.core_C, "blue", (), track.core_low_C, track.core_high_C),
    ]
    if on.any():
        series.append(_Curve(vessel, track.times_s[on], track.base_C[on], "ink", UNDER))
    if not on.all():
        series.append(_Curve("under", track.times_s[~on], track.base_C[~on], "ink", UNDER))
    values = np.concatenate([curve.values for curve in series] + [np.array([r.value_C for r in readings])])
    asked = sorted({s.target.core_C for s in course.stages if s.target.core_C is not None})
    high = max(100.0, 20.0 * math.ceil((max(values.max(), *asked, 0.0) + 4) / 20))
    up = UpAxis(min(0.0, 10.0 * math.floor(values.min() / 10)), high, box.bottom, box.top)
    yield from _frame(across, up, "Temperature, °C", LEVELS_C)
    for core_C in asked:
        y = up.y(core_C)
        yield Line(((across.left, y), (across.right, y)), "blue", 2.0, ASKED, "asked core")
    for curve in series:
        yield from _drawn(across, up, curve)
    for read in readings:
        yield Disc((across.x(read.at_s), up.y(read.value_C)), 5.0, "ink", "paper", 1.5, name="reading")
    yield from _named(across, up, series, [(f"{core_C:.0f} asked", core_C) for core_C in asked])


def _events(
    course: DishCourse, across: TimeAxis, top: float, events: Sequence[ProteinEvent]
) -> Iterator[Mark]:
    """A row each: from when the core is first as hot as an event begins until it is as hot as it ends."""
    times_s, peak_C = course.track.times_s, np.maximum.accumulate(course.track.core_C)
    met = [event for event in events if peak_C[-1] >= event.from_C]
    if not met:
        return
    yield Words((0.0, top - 6), "In the core", bold=True)
    y = top + 0.15 * ROW
    for event in met:
        x1 = across.x(float(times_s[np.searchsorted(peak_C, event.from_C)]))
        through = int(np.searchsorted(peak_C, event.to_C))
        x2 = across.x(float(times_s[through])) if through < len(times_s) else across.right
        words = f"{event.name}, {event.from_C:.0f}-{event.to_C:.0f} °C"
        beside = text_width(words) + 8 <= x1
        yield Words((x1 - 8 if beside else 0.0, y + 0.6 * ROW), words, anchor="end" if beside else "start")
        y += 0.0 if beside else 0.9 * ROW
        corners = ((x1, y), (x2, y), (x2, y + 0.7 * ROW), (x1, y + 0.7 * ROW))
        yield Area(corners, "blue", "ink", 1.0, wash=True, name=event.name)
        y += ROW


def _colours(course: DishCourse, across: TimeAxis, up: UpAxis) -> Iterator[Mark]:
    times_s, colour = course.track.times_s, course.track.colour
    sectors = colour[:, 1:]
    yield Words((0.0, up.top - 14), "Colour", bold=True)
    for word, step in COLOUR_STEP.items():
        y = up.y(step)
        yield Line(((across.left, y), (across.right, y)), "faint", width=0.7)
        yield Words((LEFT - 6, y + TEXT * 0.36), word, anchor="end")
    asked = [s.target.colour for s in course.stages if s.target.colour is not None]
    for step in asked:
        ends = ((across.left, up.y(step)), (across.right, up.y(step)))
        yield Line(ends, "orange", 2.0, ASKED, "asked colour")
    series = [
        _Curve("under", times_s, colour[:, 0], "ink", UNDER),
        _Curve("top", times_s, sectors.mean(1), "orange", (), sectors.min(1), sectors.max(1)),
    ]
    for curve in series:
        yield from _drawn(across, up, curve)
    yield from _named(across, up, series, [("asked", float(step)) for step in asked])


def _lost(course: DishCourse, across: TimeAxis, box: UpAxis) -> Iterator[Mark]:
    lost = 100 * course.track.loss
    most = max(5.0, 5.0 * math.ceil((float(lost.max()) + 0.5) / 5))
    up = UpAxis(min(0.0, float(lost.min())), most, box.bottom, box.top)
    yield from _frame(across, up, "Weight lost, %", LEVELS_LOST)
    curve = _Curve(f"{lost[-1]:.0f} %", course.track.times_s, lost, "ink")
    yield from _drawn(across, up, curve)
    yield from _named(across, up, [curve], [])


def _frame(across: TimeAxis, up: UpAxis, title: str, levels: Sequence[float]) -> Iterator[Mark]:
    yield Words((0.0, up.top - 14), title, bold=True)
    room = min(LEVEL_ROOM, (up.bottom - up.top) / 2)
    step = next((s for s in levels if up.bottom - up.y(up.low + s) >= room), levels[-1])
    yield from up.marks(step, across.left, across.right)


def _drawn(across: TimeAxis, up: UpAxis, curve: _Curve) -> Iterator[Mark]:
    """The ribbon, if it has one, and the line."""
    xs = [across.x(t) for t in curve.times_s.tolist()]
    if curve.low is not None and curve.high is not None:
        below = [(x, up.y(v)) for x, v in zip(xs, curve.low.tolist(), strict=True)]
        above = [(x, up.y(v)) for x, v in zip(xs, curve.high.tolist(), strict=True)]
        yield Area((*below, *reversed(above)), curve.ink, None, wash=True, name=f"{curve.name} between")
    points = tuple((x, up.y(v)) for x, v in zip(xs, curve.values.tolist(), strict=True))
    yield Line(points, curve.ink, 1.8 if curve.dash else 2.4, curve.dash, curve.name)


def _named(
    across: TimeAxis, up: UpAxis, series: Sequence[_Curve], levels: Sequence[tuple[str, float]]
) -> Iterator[Mark]:
    """Names right of the curves' ends and of the levels, kept apart, each tied to its own."""
    ends = [(c.name, across.x(float(c.times_s[-1])), up.y(float(c.values[-1]))) for c in series]
    ends += [(name, across.right, up.y(level)) for name, level in levels]
    inside = [end for end in ends if end[1] < across.right - 1]
    for name, x, y in inside:  # a curve that ends before the sheet does, such as a vessel left at the pull
        yield Words((x - 5, y - 7), name, "end", bold=True)
    outside = [end for end in ends if end not in inside]
    places = kept_apart([y for _, _, y in outside], ROW, up.top, up.bottom + 6)
    for (name, x, y), place in zip(outside, places, strict=True):
        if abs(place - y) > 2:
            yield Line(((x + 2, y), (x + 10, place)), "faint", width=1.0)
        yield Words((x + 13, place + TEXT * 0.36), name, bold="asked" not in name)


def _says(course: DishCourse) -> str:
    parts = [_stage_says(stage) for stage in course.stages]
    if course.carry is not None:
        parts.append(
            f"rest to {duration_text(course.pulled_s + course.rest_s)}, core up {course.carry.rise_K:.0f} °C "
            f"after {duration_text(course.carry.after_s)}"
        )
    return "; ".join(parts) + "."


def _stage_says(stage: StageCourse) -> str:
    begin, end = duration_text(stage.begin_s), duration_text(stage.end_s)
    return f"{stage.name} at {stage.place} {begin} to {end}{'' if stage.done else ', not done'}"
