"""Lots in a house's units against the trade's table by thickness, measured pans and a worked scenario."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from scipy.optimize import brentq

from cold_units import COLD_C, HOUR_S, US, WALK_IN, lot
from hearthtide.day.chill_plan import plan_chilling
from hearthtide.day.chill_room import Body, Leg, run_units
from hearthtide.day.chill_units import lots_of, units_of
from hearthtide.food.chill_grid import first_root
from hearthtide.food.chill_methods import FAN_PAN, STILL_PAN, ChillMethod
from hearthtide.food.chilling import ToChill, chill, passed_s
from hearthtide.food.composition import conductivity_W_mK, density_kg_m3, heat_capacity_J_kgK
from hearthtide.house.chill_file import ToCool, read_chill
from hearthtide.house.files import read_house
from published import Published

pytestmark = pytest.mark.subject("chilling")
TABLE = "thickness rule of the trade (a table computed elsewhere, films not stated)"
# 57 to 21 °C in 3 °C air, minutes by thickness. Its rows grow with thickness as a slab's MEAN does, not as
# its warmest point (found in tests/reference/food/test_chilling_measured.py): a core is later than its row.
ROWS = {
    "still air": {15: 58, 20: 78, 25: 99, 30: 120, 35: 142, 40: 165, 50: 212},
    "fan": {15: 32, 20: 44, 25: 56, 30: 69, 35: 82, 40: 97, 50: 127},
}
MARROWBY = Path(__file__).parents[3] / "examples" / "marrowby-sheds"


def dry(film_W_m2K: float) -> ChillMethod:
    return ChillMethod("dry faces", 3.0, film_W_m2K, film_W_m2K, "no", "read off 30 mm")


def film_of(room: str) -> float:
    """The film in which a 30 mm slab's mean takes the row's own time: the row states none."""

    def off(film: float) -> float:
        course = chill(ToChill("chicken_cooked", 0.03), 57.0, dry(film), US)
        return (passed_s(course.times_s, course.mean_C, 21.0) or 0.0) / 60 - ROWS[room][30]

    return float(brentq(off, 2.0, 60.0, xtol=0.01))


def later_s(thickness_mm: int, film: float) -> float:
    """How much later a slab's centre passes a mark than its mean: L2 ln(z / sin z) / (alpha z2)."""
    food = ToChill("chicken_cooked", 0.03).stuff.composition
    k, half_m = conductivity_W_mK(food, 39.0), thickness_mm / 2000
    alpha = k / (density_kg_m3(food, 39.0) * heat_capacity_J_kgK(food, 39.0))
    z = first_root(0.0, film * half_m / k)
    return half_m**2 / (alpha * z * z) * math.log(z / math.sin(z))


@pytest.mark.parametrize("room", ROWS)
def test_a_lot_in_a_room_takes_the_rows_time_and_its_core_s_lag(published: Published, room: str) -> None:
    film = film_of(room)
    unit = replace(WALK_IN, takes_W=1e5)
    for thickness_mm, minutes in ROWS[room].items():
        if thickness_mm == 30:
            continue
        what = ToChill("chicken_cooked", thickness_mm / 1000)
        body = Body(what, 2.0, 57.0, 0.0, (Leg(0, dry(film)),), (10 * HOUR_S,))
        run = run_units((unit,), (body,), 0.0, 10 * HOUR_S, 30.0)
        published(
            f"57 to 21 °C of a lot's core, {room}, the table's mean and the lag of a slab's centre",
            TABLE,
            expected=minutes + later_s(thickness_mm, film) / 60,
            computed=(passed_s(run.times_s, run.core_C[0], 21.0) or math.inf) / 60,
            relative=0.05,
            unit="min",
            at=f"{thickness_mm} mm",
        )


def test_stacked_or_still_forty_millimetres_fail_the_two_hours() -> None:
    # TRADE's own conclusion from the table: "stacked or still-air chilling of 40 mm pieces fails the 2 h
    # limit". Still air: on a tray, the pan's bottom shaded. Stacked: two trays that touch, in the fan's air.
    still = replace(WALK_IN, pieces=STILL_PAN)
    (one,) = plan_chilling([lot("halves", ToChill("chicken_cooked", 0.04))], (still,), US, COLD_C).lots
    assert not one.feasible and one.binds == "limit"
    (two,) = plan_chilling([lot("halves", ToChill("chicken_cooked", 0.04))], (WALK_IN,), US, COLD_C).lots
    assert two.feasible and two.stacked_s is not None and two.stacked_s > 2 * HOUR_S


@pytest.mark.parametrize("inches", [2.0, 3.0])
@pytest.mark.parametrize("food", ["tomato_sauce", "beans"])
def test_open_pans_in_a_walk_in_are_not_started(food: str, inches: float) -> None:
    # Roberts et al. 2013 (Food Protection Trends 33(1), abstract): chili and tomato sauce, 2 and 3 in deep,
    # uncovered, in a walk-in: neither stage-pair was met. Beans stand for chili; both airs are tried.
    pan = lot("pan", ToChill(food, inches * 0.0254), kg=8.0, trays=2, in_pan=True, core_C=74.0)
    for way in (STILL_PAN, FAN_PAN):
        (one,) = plan_chilling([pan], (replace(WALK_IN, pans=way),), US, COLD_C, ways=False).lots
        assert not one.feasible and one.binds == "limit"


def test_two_inches_in_a_walk_in_freezer_are_started() -> None:
    # The same study: of all its ways only 2 in in a walk-in freezer met both stages.
    freezer = replace(WALK_IN, key="freezer", air_C=-20.0, keeps=False, takes_W=3000.0)
    pan = lot("pan", ToChill("tomato_sauce", 0.0508), kg=8.0, trays=2, in_pan=True, core_C=74.0)
    (one,) = plan_chilling([pan], (freezer,), US, COLD_C, ways=False).lots
    assert one.feasible
    deep = replace(pan, what=ToChill("tomato_sauce", 0.0762))
    (two,) = plan_chilling([deep], (freezer,), US, COLD_C, ways=False).lots
    assert not two.feasible


def test_forty_millimetre_halves_after_a_cold_that_failed_are_not_cold_before_nine(
    published: Published,
) -> None:
    # The trade's scenario of Marrowby: two loads in the heat-up 14:30 to 16:30 "would not reach 5 °C before
    # ~21:00". Loads of fifty minutes: out 15:20 and 16:10. Stated twice: the last load on its slow side, by
    # which a plan is made; and both as the trade's table is computed, without evaporation.
    house = read_house(MARROWBY)
    file = read_chill(house)
    units = units_of(file)
    rows = [ToCool("chicken", 9, 15.3333 * HOUR_S), ToCool("chicken", 9, 16.1667 * HOUR_S)]
    loads = lots_of(house, file, rows, units)
    source = "the trade's worked scenario of a cold that failed (about 21:00)"
    last = plan_chilling(loads, units, US, COLD_C, ways=False).lots[1]
    assert last.late.end_s is not None
    published(
        "when the last load of 40 mm halves is at 5 °C, slow side, hours of the clock",
        source,
        expected=21.0,
        computed=last.late.end_s / HOUR_S,
        absolute=0.5,
        unit="h",
    )
    no_vapour = [replace(one, what=replace(one.what, wet=0.0)) for one in loads]
    ends_h = [
        one.likely.end_s / HOUR_S for one in plan_chilling(no_vapour, units, US, COLD_C, ways=False).lots
    ]
    published(
        "when loads of 40 mm halves are at 5 °C, no evaporation, the middle of both, hours of the clock",
        source,
        expected=21.0,
        computed=sum(ends_h) / 2,
        absolute=0.5,
        unit="h",
    )
