"""How a roast answers to the oven's temperature, and what evaporation takes from carry-over."""

import numpy as np
import pytest

from hearthtide.food import column
from hearthtide.food.column import STEFAN_BOLTZMANN_W_m2K4
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import advance, prepare, start
from hearthtide.food.outcome import core_C, weight_loss
from hearthtide.food.spec import FoodLayer, Portion
from published import Published

pytestmark = pytest.mark.subject("food on the hearth")

REST = "a plain slab, computed apart from this code"
# Slab of 25 mm by its half, the middle insulated: k 0.48, alpha 1.3e-7, 72 % of 1050 kg/m³ water. Its film
# in the room is not said: 8 W/(m² K), radiation included.
K_W_mK, DIFFUSIVITY_m2_s, HALF_M, WATER_KG_M3, ROOM_W_m2K = 0.48, 1.3e-7, 0.0125, 756.0, 8.0


def half_slab() -> np.ndarray:
    """The upper half of a moist slab whose face its water reaches freely, as one pinned at boiling wants."""
    grid = np.zeros((column.GRID_ROWS, column.NODES))
    gap_m = HALF_M / (column.NODES - 1)
    grid[column.VOLUME] = gap_m
    grid[column.VOLUME, [0, -1]] = gap_m / 2
    grid[column.WATER_0] = WATER_KG_M3 * grid[column.VOLUME]
    grid[column.DRY] = K_W_mK / DIFFUSIVITY_m2_s * grid[column.VOLUME]
    grid[column.DRY] -= column.WATER_J_kgK * grid[column.WATER_0]
    grid[[column.GAP_K, column.GAP_CRUST_K]] = K_W_mK
    grid[column.GAP] = gap_m
    grid[column.GAP_WATER, :-1] = 1e-6 * WATER_KG_M3 / gap_m
    return grid


def carry_over(pulled_C: float, wet: float) -> tuple[float, float]:
    """Rise of the middle [K] and the minute of its peak: 60 W/(m² K) of 300 °C, then air of 25 °C.

    `wet` is the share of the resting face that evaporates; while it heats nothing but boiling does.
    """
    grid, around = half_slab(), np.zeros(column.SURROUNDINGS)
    around[column.TOP_W_M2K], around[column.GAS_C] = 60.0, 300.0
    around[column.VAPOUR_PA], around[column.SUGAR] = 1200.0, 1.0
    cells = np.zeros((2, column.ROW))
    cells[0, : column.NODES] = 5.0
    cells[0, column.WATER : column.PEAK] = grid[column.WATER_0]
    one, first = np.ones(1), np.zeros(1, dtype=np.int64)
    cut = column.Cut(grid[None], first, one, one, one, np.zeros((0, column.NODES)), first)
    dark, still = np.array([[0.0, 1.0, 0.0, 0.0]]), np.zeros((column.STONE_ROWS, 0))
    heat = column.Heat(dark, np.zeros((2, 1, column.NODES)), around, still)

    def second() -> float:
        column.run(cells, cut, heat, np.zeros(0), 1.0, 0.25)
        return float(cells[0, 0])

    while second() < pulled_C:
        pass
    begin_C = best_C = float(cells[0, 0])
    around[column.TOP_W_M2K], around[column.GAS_C] = ROOM_W_m2K, 25.0
    # The loops take a face's wet share from its water by volume.
    around[column.OPEN] = wet * column.WATER_KG_M3 / WATER_KG_M3
    peak_s = 0
    for now_s in range(1, 1200):
        if second() > best_C:
            best_C, peak_s = float(cells[0, 0]), now_s
    return best_C - begin_C, peak_s / 60


@pytest.mark.parametrize(
    ("pulled_C", "wet", "rise_K"),
    [(60, 0.0, 11.9), (60, 0.3, 9.2), (60, 1.0, 7.7), (50, 0.0, 15.5), (50, 0.3, 12.5), (50, 1.0, 10.5)],
)
def test_evaporation_takes_a_third_of_the_carry_over(
    published: Published, pulled_C: float, wet: float, rise_K: float
) -> None:
    found_K, peak_min = carry_over(pulled_C, wet)
    at = f"pulled at {pulled_C} °C, {100 * wet:.0f} % of the face wet"
    what = "carry-over of a slab of 25 mm"
    published(what, REST, expected=rise_K, computed=found_K, absolute=1.0, unit="K", at=at)
    # 2.7 to 6.4 min, all of them together; a film that is not said.
    published(f"peak of the {what}", REST, expected=(2.0, 7.0), computed=peak_min, unit="min", at=at)


# Goñi and Salvadori 2012 (abstract): semitendinosus to 72 °C at its coldest, per degree of the oven -0.25 to
# -0.325 min and +0.175 to +0.275 % of weight. Size and range of temperature are not in it: a muscle 80 mm
# across has the volume over surface of a slab of 40 mm, 180 to 200 °C taken.
GONI = "Goñi and Salvadori 2012 (abstract)"


def roast(oven_C: float) -> tuple[float, float]:
    """Minutes of a lean piece of 40 mm to 72 °C in a dark oven of that temperature, and its loss [%]."""
    food = prepare(Portion("roast", (FoodLayer("beef_lean", 0.04),), 0.01, 7.0))
    state, walls_W_m2 = start(food), STEFAN_BOLTZMANN_W_m2K4 * (oven_C + 273.15) ** 4
    heat = Exposure("board", oven_C, walls_W_m2, (walls_W_m2,) * 4, oven_C)
    seconds = 0
    while core_C(food, state) < 72.0:
        state = advance(food, state, heat, 5.0)
        seconds += 5
    return seconds / 60, 100 * weight_loss(food, state)


def test_a_hotter_oven_is_faster_and_dries_more(published: Published) -> None:
    (mild_min, mild_loss), (hot_min, hot_loss) = roast(180.0), roast(200.0)
    assert hot_min < mild_min
    assert hot_loss > mild_loss
    # Sign, and the figures within a factor of two.
    published(
        "minutes of a roast to 72 °C per degree of the oven",
        GONI,
        expected=(-0.65, -0.125),
        computed=(hot_min - mild_min) / 20,
        unit="min/K",
    )
    published(
        "weight lost by a roast at 72 °C per degree of the oven",
        GONI,
        expected=(0.0875, 0.55),
        computed=(hot_loss - mild_loss) / 20,
        unit="%/K",
        missed="what evaporates is juice that would drip anyway: loss follows the core's temperature",
    )
