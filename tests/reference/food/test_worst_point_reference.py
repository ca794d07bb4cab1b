"""The worst depth of steaks on a hot plate, turned once, late, or often; and what rest adds."""

import math
from dataclasses import dataclass

import numpy as np
import pytest

from hearth_trials import on_plate, second_on_plate
from hearthtide.food.exposure import REST
from hearthtide.food.lethality import judge, organism
from hearthtide.food.model import advance, flip, start
from hold_tables import equivalent_s
from legs import as_laid_C, heights_m
from published import Published

pytestmark = pytest.mark.subject("food properties")

GILL, GILL_2013 = "Gill et al. 2014 (abstract)", "Gill 2013 (as quoted)"
SALMON = "gas-grilled salmon 2024 (abstract)"
# What is in none of the abstracts and is assumed throughout: a plate at 200 °C, the contact of metal, meat at
# 4 °C, and D and z (the caption of Baldwin's beef table).
PLATE_C = 200.0


@dataclass(frozen=True)
class Course:
    """Temperatures of every depth, each second, until the middle read what it had to, and rest."""

    node_C: np.ndarray
    heights_m: np.ndarray

    def worst_log(self, name: str) -> float:
        target = organism(name)
        times_s = np.arange(len(self.node_C), dtype=float)
        seconds = equivalent_s(times_s, self.node_C, target.T_ref_C, target.z_K)
        return judge(seconds, self.heights_m, target).core_log

    @property
    def worst_peak_C(self) -> float:
        """The least of the highest temperatures, faces left out."""
        return float(self.node_C.max(axis=0)[1:-1].min())


def grilled(
    food: str, thickness_mm: float, turns_s: tuple[int, ...], stop_C: float, rest_s: int = 0
) -> Course:
    prepared, bare = on_plate(food, thickness_mm / 1000, 4.0, PLATE_C)
    heights, state = heights_m(prepared), start(prepared)
    kept = [as_laid_C(state)]
    for second in range(3600):
        if second in turns_s:
            state = flip(prepared, state)
        state = second_on_plate(prepared, state, bare, PLATE_C)
        kept.append(as_laid_C(state))
        if second > turns_s[0] and np.interp(heights[-1] / 2, heights, kept[-1]) >= stop_C:
            break
    else:
        raise AssertionError(f"{food} did not read {stop_C} °C in an hour")
    for _ in range(rest_s):
        state = advance(prepared, state, REST, 1.0)
        kept.append(as_laid_C(state))
    return Course(np.array(kept), heights)


def every(seconds: int) -> tuple[int, ...]:
    return tuple(range(seconds, 3600, seconds))


@pytest.mark.parametrize("turn_min", [2, 4, 6, 8])
def test_a_steak_turned_once_and_early_keeps_survivors(published: Published, turn_min: int) -> None:
    # 2 cm, 5.9 log of E. coli in the mid-plane; turned once after 8 min or less, survivors even at 71 °C.
    published(
        "E. coli killed in a 2 cm steak turned once, when its middle reads 71 °C",
        GILL,
        expected=(0.0, 5.9),
        computed=grilled("beef_lean", 20, (60 * turn_min,), 71.0).worst_log("e_coli_beef"),
        unit="log",
        at=f"turned at {turn_min} min",
    )


def test_three_minutes_of_rest_do_not_help_a_steak_turned_once_at_four(published: Published) -> None:
    published(
        "E. coli killed in a 2 cm steak turned once at 4 min, at 71 °C and rested 3 min",
        GILL,
        expected=(0.0, 5.9),
        computed=grilled("beef_lean", 20, (240,), 71.0, 180).worst_log("e_coli_beef"),
        unit="log",
    )


def test_a_late_turn_leaves_fewer(published: Published) -> None:
    # Computed in our sources with a plain slab: 6 min leaves a depth under 5 log, 10 min does not.
    for turn_min, expected in ((6, (0.0, 5.0)), (10, (5.0, math.inf))):
        published(
            f"E. coli killed in a 2 cm steak turned once at {turn_min} min, when its middle reads 71 °C",
            "a plain slab, computed apart from this code",
            expected=expected,
            computed=min(20.0, grilled("beef_lean", 20, (60 * turn_min,), 71.0).worst_log("e_coli_beef")),
            unit="log",
        )


def test_a_steak_turned_often_keeps_none(published: Published) -> None:
    published(
        "E. coli killed in a 2 cm steak turned every 2 min to 71 °C (counted to 20)",
        GILL,
        expected=(5.9, math.inf),
        computed=min(20.0, grilled("beef_lean", 20, every(120), 71.0).worst_log("e_coli_beef")),
        unit="log",
    )


@pytest.mark.parametrize(("turn_s", "stop_C"), [(120, 58.0), (240, 62.0)])
def test_a_steak_turned_often_and_pulled_early(published: Published, turn_s: int, stop_C: float) -> None:
    # None recovered at 58 °C and above turned every 2 min, at 62 °C and above turned every 4 min. Rest of
    # 3 min is counted.
    published(
        f"E. coli killed in a 2 cm steak turned every {turn_s // 60} min to {stop_C:g} °C, rested 3 min",
        GILL,
        expected=(5.9, math.inf),
        computed=grilled("beef_lean", 20, every(turn_s), stop_C, 180).worst_log("e_coli_beef"),
        unit="log",
        missed="the strain's D and the time until sampling are not in the abstract; D55 19.35 min assumed",
    )


@pytest.mark.parametrize(("thickness_mm", "turn_s"), [(10, 60), (20, 240), (30, 360)])
def test_some_depths_never_reach_what_the_middle_reads(
    published: Published, thickness_mm: int, turn_s: int
) -> None:
    # Steaks of 1 to 3 cm turned once: some points never reach the centre's temperature.
    published(
        "highest temperature of the worst depth of a steak turned once, middle at 60 °C",
        GILL_2013,
        expected=(-math.inf, 60.0),
        computed=grilled("beef_lean", thickness_mm, (turn_s,), 60.0).worst_peak_C,
        unit="°C",
        at=f"{thickness_mm} mm, turned at {turn_s} s",
    )


SOFT_GRILL = "a plate at 200 °C heats sooner than the grill's film of 15 W/(m² K): less time near 71 °C"


@pytest.mark.parametrize("turn_min", [2, 3, 4, 5])
@pytest.mark.parametrize("thickness_mm", [20, 25])
def test_salmon_turned_evenly(published: Published, thickness_mm: int, turn_min: int) -> None:
    # Turned every 2, 3, 4, 5 min on a gas grill to 71 °C in the middle: every place above 5.21 log of
    # Listeria. Thickness is not in the abstract; the plate is ours, a gas grill is softer.
    published(
        "Listeria killed in salmon steaks turned evenly, when the middle reads 71 °C",
        SALMON,
        expected=(5.21, math.inf),
        computed=grilled("salmon", thickness_mm, every(60 * turn_min), 71.0).worst_log("listeria_beef"),
        unit="log",
        at=f"{thickness_mm} mm, every {turn_min} min",
        missed=SOFT_GRILL if (thickness_mm, turn_min) == (20, 5) else "",
    )


@pytest.mark.parametrize("turns_s", [(120,), (60, 180)])
def test_salmon_turned_unevenly(published: Published, turns_s: tuple[int, ...]) -> None:
    # Uneven turns can leave survivors even at 71 °C in the middle.
    published(
        "Listeria killed in a 25 mm salmon steak turned early and then no more, middle at 71 °C",
        SALMON,
        expected=(0.0, 5.21),
        computed=grilled("salmon", 25, turns_s, 71.0).worst_log("listeria_beef"),
        unit="log",
        at=f"turned at {' and '.join(str(turn) for turn in turns_s)} s",
    )
