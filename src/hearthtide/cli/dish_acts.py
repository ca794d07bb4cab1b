"""When to turn, flip, move, pull and rest a dish, in words and as JSON."""

from __future__ import annotations

from dataclasses import asdict

import numpy as np

from hearthtide.cli.dish_spot import spot_text
from hearthtide.food.column import Floats
from hearthtide.food.lethality import CAUTION, DRY_SURFACE
from hearthtide.planning.dish_course import Carry, DishAct, DishCourse, Killed, StageCourse
from hearthtide.planning.hearth_map import StageSpots
from hearthtide.planning.words import round_words
from hearthtide.quantities.show import duration_text

LOG = "One log leaves one in ten alive, two logs one in a hundred, and so on"
MOST_POINTS = 120  # of a course in JSON


def acts_lines(course: DishCourse) -> list[str]:
    """A line per act with minutes:seconds from launch; what it lies within, where that is known."""
    lines = [f"  {duration_text(act.at_s):>5}  {_words(course, act)}" for act in course.acts]
    if not course.done:
        lines.append(f"         {course.stages[-1].name} is not done there in 40 min")
    if course.killed is not None:
        target = course.killed.target
        lines.append(
            f"  {target.what} (as in {target.medium}): {course.killed.found.words}. {LOG}. {CAUTION}"
        )
    return lines


def _words(course: DishCourse, act: DishAct) -> str:
    stage = course.stages[act.stage]
    match act.act:
        case "launch":
            return f"in at {_where(stage)}: {stage.name}"
        case "move":
            return f"move to {_where(stage)}: {stage.name}{_within(act)}"
        case "turn" | "spin":
            return f"{act.act} {round_words(act.turned_deg)}"
        case "pull":
            return f"pull{_within(act)}; {_found(course, act.at_s)}"
        case "rest":
            return f"rested{_carried(course.carry)}"
        case _:
            return act.act


def _where(stage: StageCourse) -> str:
    return f"{stage.place} ({spot_text(stage.x_m, stage.y_m)})"


def _within(act: DishAct) -> str:
    if act.low_s is None:
        return ""
    high = "over 40 min" if act.high_s is None else duration_text(act.high_s)
    return f" ({duration_text(act.low_s)} to {high})"


def _found(course: DishCourse, at_s: float) -> str:
    i = int(np.searchsorted(course.track.times_s, at_s))
    sectors = course.track.colour[i, 1:]
    sides = f" (sides {sectors.min():.1f} to {sectors.max():.1f})"
    uneven = sides if f"{sectors.min():.1f}" != f"{sectors.max():.1f}" else ""
    return f"core {course.track.core_C[i]:.0f} °C, top {sectors.mean():.1f}{uneven}"


def _carried(carry: Carry | None) -> str:
    if carry is None:
        return ""
    core = f": core {carry.core_C_at_end:.0f} °C"
    if carry.rise_K < 0.5:
        return f"{core}, no carry-over"
    return f"{core}; highest {carry.rise_K:+.0f} °C after {duration_text(carry.after_s)} of rest"


def acts_body(course: DishCourse) -> dict[str, object]:
    """The acts, the stages, the rest and the course as JSON carries them."""
    return {
        "acts": [_act(course, act) for act in course.acts],
        "stages": [_stage(stage) for stage in course.stages],
        "killed": None if course.killed is None else _killed(course.killed),
        "rest": None if course.carry is None else _rest(course, course.carry),
        "course": course_body(course),
    }


def _act(course: DishCourse, act: DishAct) -> dict[str, object]:
    return {
        "act": act.act,
        "stage": course.stages[act.stage].name,
        "at_s": round(act.at_s),
        "low_s": None if act.low_s is None else round(act.low_s),
        "high_s": None if act.high_s is None else round(act.high_s),
        "turned_deg": round(act.turned_deg),
    }


def _stage(stage: StageCourse) -> dict[str, object]:
    return {
        "name": stage.name,
        "place": stage.place,
        "x_m": round(stage.x_m, 3),
        "y_m": round(stage.y_m, 3),
        "begin_s": round(stage.begin_s),
        "end_s": round(stage.end_s),
        "done": stage.done,
    }


def _killed(killed: Killed) -> dict[str, object]:
    return {
        "organism": killed.target.name,
        "what": killed.target.what,
        "medium": killed.target.medium,
        "core_log": killed.found.told_log,
        "more_than_core_log": killed.found.beyond,
        "worst_m": round(killed.found.worst_m, 4),
        "worst_is": "under the skin" if killed.found.under_skin else "above the side first laid down",
        "surface": DRY_SURFACE,
        "caution": CAUTION,
    }


def _rest(course: DishCourse, carry: Carry) -> dict[str, object]:
    return {
        "seconds": round(course.rest_s),
        "core_C_at_pull": round(carry.core_C_at_pull, 1),
        "carry_over_K": round(carry.rise_K, 1),
        "highest_after_s": round(carry.after_s),
        "core_C_at_end": round(carry.core_C_at_end, 1),
    }


def course_body(course: DishCourse) -> dict[str, list[float]]:
    """The course thinned out to some hundred moments, the last one kept."""
    track = course.track
    n = len(track.times_s)
    kept = np.unique(np.append(np.arange(0, n, max(1, -(-n // MOST_POINTS))), n - 1))
    sectors = track.colour[:, 1:]

    def thin(values: Floats, digits: int) -> list[float]:
        return [round(float(value), digits) for value in values[kept]]

    return {
        "times_s": thin(track.times_s, 0),
        "core_C": thin(track.core_C, 1),
        "core_low_C": thin(track.core_low_C, 1),
        "core_high_C": thin(track.core_high_C, 1),
        "top_C": thin(track.top_C, 1),
        "base_C": thin(track.base_C, 1),
        "top_colour": thin(sectors.mean(1), 2),
        "top_colour_least": thin(sectors.min(1), 2),
        "top_colour_most": thin(sectors.max(1), 2),
        "underside_colour": thin(track.colour[:, 0], 2),
        "weight_loss": thin(track.loss, 3),
    }


def map_body(tried: StageSpots) -> dict[str, object]:
    """One stage all over the hearth as JSON carries it."""
    return {"stage": tried.stage, "spots": [asdict(spot) for spot in tried.spots]}
