"""Heat that kills: pasteurisation times of a cookery table, and the rows of the time tables themselves."""

import csv
from functools import cache
from pathlib import Path

import numpy as np
import pytest

from hearthtide.food import chill_grid
from hearthtide.food.chill_grid import CORE
from hearthtide.food.lethality import log_reduction, organism
from hold_tables import HoldTable, equivalent_course_s, equivalent_s, hold_s, hold_table, table_share
from published import Published

pytestmark = pytest.mark.subject("food properties")

BALDWIN = "Baldwin, A Practical Guide, table 5.1"
FSIS_BEEF, FSIS_POULTRY = "FSIS 1999, Appendix A", "FSIS, poultry tables (as quoted)"
# Film and conductivity of that table's model; its diffusivity 1.11e-7 and its shape, slab to 30 mm, then an
# exponent of 0.28, from memory; the conductivity assumed.
FILM_W_m2K, K_W_mK, SHAPE, BEEF_m2_s = 95.0, 0.48, 0.28, 1.11e-7
STEP_S = 10.0


def beef_rows() -> tuple[list[float], list[tuple[float, list[float]]]]:
    text = Path(__file__).with_name("baldwin_beef.csv").read_text(encoding="utf-8")
    head, *rows = csv.reader(line for line in text.splitlines() if not line.startswith("#"))
    return [float(bath) for bath in head[1:]], [(float(row[0]), [float(m) for m in row[1:]]) for row in rows]


@cache
def excess(thickness_mm: float, exponent: float, diffusivity_m2_s: float) -> tuple[np.ndarray, np.ndarray]:
    """Times, and the share of the first difference from the bath that is left in the middle; ten hours."""
    degrees = chill_grid.TABLE_TO_C - chill_grid.TABLE_FROM_C + 1
    tables = np.vstack((np.full(degrees, K_W_mK), np.full(degrees, K_W_mK / diffusivity_m2_s)))
    grid = chill_grid.chill_grid(thickness_mm / 1000, exponent, tables)
    around = np.zeros(chill_grid.SURROUNDINGS)
    around[chill_grid.TOP_W_M2K] = FILM_W_m2K
    around[chill_grid.BOTTOM_W_M2K] = 0.0 if exponent else FILM_W_m2K
    steps = round(10 * 3600 / STEP_S)
    course = np.zeros((4, steps + 1))
    course[:3, 0] = 1.0
    chill_grid.run(np.ones(chill_grid.NODES), grid.shape, grid.tables, around, STEP_S, -1.0, course)
    return STEP_S * np.arange(steps + 1), course[CORE]


KILLS = (("listeria_beef", 6.0), ("salmonella_beef", 6.5), ("e_coli_beef", 5.0))


def pasteurised_min(thickness_mm: float, bath_C: float) -> float:
    """Minutes from 5 °C in stirred water until the core has all three reductions of the table's caption."""
    times_s, left = excess(thickness_mm, SHAPE if thickness_mm > 30 else 0.0, BEEF_m2_s)
    core_C = (bath_C + (5.0 - bath_C) * left)[:, None]
    latest_s = 0.0
    for name, logs in KILLS:
        target = organism(name)
        course_s = equivalent_course_s(times_s, core_C, target.T_ref_C, target.z_K)[:, 0]
        latest_s = max(latest_s, float(np.interp(logs * target.D_s, course_s, times_s)))
    return latest_s / 60


def test_minutes_of_pasteurised_beef(published: Published) -> None:
    # 168 cells, rounded by the publisher to 15 min above one hour.
    baths_C, rows = beef_rows()
    within = []
    for thickness_mm, cells in rows:
        for bath_C, told_min in zip(baths_C, cells, strict=True):
            margin = max(17.0, 0.15 * told_min)
            within.append(abs(pasteurised_min(thickness_mm, bath_C) - told_min) <= margin)
    assert len(within) == 168
    published(
        "pasteurised beef: cells of the table within 17 min or 15 %",
        BALDWIN,
        expected=(95, 100),
        computed=100 * sum(within) / len(within),
        unit="%",
    )


@pytest.mark.parametrize(("thickness_mm", "bath_C"), [(5, 55), (25, 60), (30, 66), (40, 57), (70, 66)])
def test_some_cells_of_pasteurised_beef(published: Published, thickness_mm: float, bath_C: float) -> None:
    baths_C, rows = beef_rows()
    told_min = dict(rows)[thickness_mm][baths_C.index(bath_C)]
    published(
        "pasteurised beef, chilled into a bath",
        BALDWIN,
        expected=told_min,
        computed=pasteurised_min(thickness_mm, bath_C),
        absolute=17,
        unit="min",
        at=f"{thickness_mm} mm, {bath_C} °C",
    )


@pytest.mark.parametrize(
    ("thickness_mm", "told_min"),
    [(10, 19), (15, 35), (20, 50), (25, 75), (30, 90), (35, 120), (40, 150), (50, 210), (60, 285)],
)
def test_minutes_to_heat_a_slab(published: Published, thickness_mm: float, told_min: float) -> None:
    # Slabs from 5 °C to 0.5 °C below the bath; times from memory, rounded to 5 and 15 min above.
    times_s, left = excess(thickness_mm, 0.0, 1.4e-7)
    published(
        "slab of meat from 5 to 54.5 °C in a bath of 55 °C",
        "Baldwin, heating times (from memory)",
        expected=told_min,
        computed=float(np.interp(-0.01, -left, times_s)) / 60,
        relative=0.1,
        unit="min",
        at=f"{thickness_mm} mm",
    )


def test_a_wet_cloth_heats_as_a_slab_of_meat(published: Published) -> None:
    # 30 mm of wet cloth in a bag, 62 % water, 5 to 55 °C in 67 min; its bath is not said: 56 °C taken.
    times_s, left = excess(30, 0.0, 1.4e-7)
    published(
        "pile of wet cloth of 30 mm, 5 to 55 °C",
        "a hobby's measurement, low authority",
        expected=67,
        computed=float(np.interp(-1 / 51, -left, times_s)) / 60,
        relative=0.35,
        unit="min",
    )


def logs_held(table: HoldTable, name: str) -> list[tuple[int, float]]:
    """°F of each row and the decimal logs its hold is worth by D and z."""
    target, found = organism(name), []
    for temperature_C, seconds in zip(table.temperatures_C, table.seconds, strict=True):
        held_C = np.full((2, 1), temperature_C)
        held_s = equivalent_s(np.array([0.0, seconds]), held_C, target.T_ref_C, target.z_K)
        found.append((round(32 + 1.8 * temperature_C), float(log_reduction(held_s, target)[0])))
    return found


WHOLE_MINUTES = "rows of 4 to 8 min are rounded up to whole minutes"


@pytest.mark.parametrize(("name", "logs"), [("beef_6_5_log", 6.5), ("beef_7_log", 7.0)])
def test_a_hold_by_the_beef_table_is_worth_its_logs(published: Published, name: str, logs: float) -> None:
    for row_F, found in logs_held(hold_table(name), "salmonella_beef_fsis"):
        rounded = logs == 6.5 and row_F in (142, 144, 145)
        published(
            f"logs of Salmonella in beef by D and z after the hold for {logs:g}",
            FSIS_BEEF,
            expected=logs,
            computed=found,
            relative=0.06,
            unit="log",
            at=f"{row_F} °F",
            missed=WHOLE_MINUTES if rounded else "",
        )


SHOULDER = "the table carries a shoulder; D and z are a straight line, for pictures only"


@pytest.mark.parametrize(
    ("table", "name", "off"),
    [
        ("chicken_lean_7_log", "salmonella_chicken_lean_fsis", (136, 150)),
        ("chicken_12_fat_7_log", "salmonella_chicken_12_fsis", (160,)),
        ("turkey_lean_7_log", "salmonella_turkey_fsis", (136, 150)),
    ],
)
def test_a_hold_by_a_poultry_table_is_worth_seven_logs(
    published: Published, table: str, name: str, off: tuple[int, ...]
) -> None:
    for row_F, found in logs_held(hold_table(table), name):
        published(
            f"logs of {organism(name).what} in {organism(name).medium} by D and z after the hold for 7",
            FSIS_POULTRY,
            expected=7.0,
            computed=found,
            relative=0.06,
            unit="log",
            at=f"{row_F} °F",
            missed=SHOULDER if row_F in off else "",
        )


@pytest.mark.parametrize("name", ["beef_6_5_log", "beef_7_log", "chicken_lean_7_log", "chicken_12_fat_7_log"])
def test_a_row_of_a_table_held_is_one_whole_hold(published: Published, name: str) -> None:
    table = hold_table(name)
    for temperature_C, seconds in zip(table.temperatures_C, table.seconds, strict=True):
        share = table_share(np.array([0.0, seconds]), np.full((2, 1), temperature_C), table)[0]
        published(
            "hold of a published row, in holds",
            FSIS_BEEF if name.startswith("beef") else FSIS_POULTRY,
            expected=1.0,
            computed=float(share),
            relative=1e-9,
            at=f"{name}, {round(32 + 1.8 * temperature_C)} °F",
        )


def test_every_fifth_row_of_the_beef_table_foretells_those_between(published: Published) -> None:
    # A row of 4 min is a whole minute: half a minute is an eighth of it.
    whole = hold_table("beef_6_5_log")
    some = HoldTable("some", "", 6.5, whole.temperatures_C[::5], whole.seconds[::5], "")
    for temperature_C, seconds in zip(whole.temperatures_C[:26], whole.seconds, strict=False):
        published(
            "row of the beef table by its neighbours 5 °F apart, on a line in log(time)",
            FSIS_BEEF,
            expected=seconds,
            computed=float(hold_s(some, np.array([temperature_C]))[0]),
            relative=0.125,
            unit="s",
            at=f"{round(32 + 1.8 * temperature_C)} °F",
        )


def test_two_minutes_at_seventy_degrees(published: Published) -> None:
    # 70 °C for 2 min, 6 log of Listeria in most foods; the beef's D and z, 15 K above where D was given.
    target = organism("listeria_beef")
    held_s = equivalent_s(np.array([0.0, 120.0]), np.full((2, 1), 70.0), target.T_ref_C, target.z_K)
    published(
        "Listeria killed by 2 min at 70 °C",
        "MPI 2016/05 (as quoted)",
        expected=6,
        computed=float(log_reduction(held_s, target)[0]),
        relative=0.15,
        unit="log",
    )
