"""The pictures of `hearthtide dish` as files: the run over time, and the hearth with every place tried."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from hearthtide.cli.dish_asked import Asked, bad
from hearthtide.cli.dish_tried import Case
from hearthtide.food.doneness import ProteinEvent, events_between, flesh_of
from hearthtide.house.files import portion
from hearthtide.planning.dish_course import DishCourse
from hearthtide.planning.hearth_map import StageSpots
from hearthtide.printing.dish_map import map_picture
from hearthtide.printing.dish_run import Read, run_picture
from hearthtide.printing.pdf import write_png
from hearthtide.printing.picture import HALF, WIDE, Picture, svg
from hearthtide.printing.together import together, with_margin


def draw(case: Case, asked: Asked, course: DishCourse | None, tried: Sequence[StageSpots]) -> None:
    """Write what was asked for. Raises InputError for a file that cannot be written, and without a course."""
    if course is None:
        option, path = ("--map", asked.map) if asked.picture is None else ("--picture", asked.picture)
        raise bad(option, str(path), "a place on this hearth for every stage", "Ask for another place.")
    if asked.picture is not None:
        readings = _readings(case, course)
        vessel = case.house.dishes[case.key].vessel.kind
        width = HALF if asked.narrow else WIDE
        events = _events(case) if asked.proteins else ()
        _write("--picture", run_picture(course, vessel, readings, width, events), asked.picture)
    if asked.map is not None:
        pairs = zip(tried, course.stages, strict=True)
        maps = [map_picture(case.oven.design, spots, stage) for spots, stage in pairs]
        _write("--map", together(maps, 1 if asked.narrow else 2), asked.map)


def _events(case: Case) -> tuple[ProteinEvent, ...]:
    """What may happen in a raw piece of meat or fish; nothing in what is cooked already or is neither."""
    raw = [layer.stuff for layer in portion(case.house, case.key).layers if layer.stuff.raw_muscle]
    return events_between(0.0, 100.0, flesh_of(raw[0].name)) if raw else ()


def _readings(case: Case, course: DishCourse) -> list[Read]:
    """Where the readings lie in the course; none for a stage that it does not come to."""
    if case.read is None or case.read >= len(course.stages):
        return []
    stage, end_s = course.stages[case.read], float(course.track.times_s[-1])
    read = [Read(stage.begin_s + reading.time_s, reading.value_C) for reading in case.readings]
    return [reading for reading in read if reading.at_s <= end_s]


def _write(option: str, picture: Picture, path: Path) -> None:
    framed = with_margin(picture)
    try:
        if path.suffix.lower() == ".png":
            write_png(framed, path)
        else:
            path.write_text(svg(framed, alone=True), encoding="utf-8")
    except OSError as broken:
        why = broken.strerror or str(broken)
        raise bad(option, str(path), f"a file that can be written ({why})", "Name another.") from broken
