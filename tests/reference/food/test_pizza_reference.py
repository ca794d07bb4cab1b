"""Pizza on brick and on steel against a published energy balance."""

import pytest

from hearth_trials import Floor
from hearthtide.food import column
from hearthtide.food.column import STEFAN_BOLTZMANN_W_m2K4
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import advance, prepare, start
from hearthtide.food.spec import FoodLayer, Portion
from published import Published

pytestmark = pytest.mark.subject("food on the hearth")

VARLAMOV = "Varlamov, Glatz, Grasso 2018 (answers by press, constants from memory)"
# What their pizza of 5 mm takes up: 80 K of dough (c 2250, rho 700) and a fifth of a water of 1000 kg/m³.
NEEDS_J_m2 = 0.005 * (2250 * 700 * 80 + 0.2 * 2.26e6 * 1000)
PIZZA = Portion(
    "pizza",
    (FoodLayer("pizza_dough", 0.004), FoodLayer("tomato_sauce", 0.0015), FoodLayer("mozzarella", 0.003)),
    0.062,
    20.0,
    rim_thickness_m=0.016,
)


def seconds_to_take(needs_J_m2: float, oven_C: float, floor: Floor) -> float:
    """Seconds until the middle of the house pizza has taken in so much heat, walls black at the oven's °C."""
    food = prepare(PIZZA)
    state, walls_W_m2 = start(food), STEFAN_BOLTZMANN_W_m2K4 * (oven_C + 273.15) ** 4
    for second in range(900):
        if state.cells[0, column.HEAT] >= needs_J_m2:
            return float(second)
        stone_C = floor.surface_under_C(food.stone_conductance_W_m2K(state), state.base_C, 1.0)
        heat = Exposure("stone", stone_C, walls_W_m2, (walls_W_m2,) * 4, oven_C)
        state = advance(food, state, heat, 1.0)
    raise AssertionError(f"{needs_J_m2} J/m² not taken in 15 min")


TOUCH = "dough touches perfectly there, through 125 W/(m² K) here: with 1000 brick takes 100 s, steel 114 s"


@pytest.mark.parametrize(
    ("name", "oven_C", "floor", "told_s", "missed"),
    [
        ("brick", 330.0, Floor(330.0, 0.86, 2500 * 840.0), 125.0, ""),
        ("steel", 230.0, Floor(230.0, 18.0, 7900 * 496.0, 0.006), 170.0, TOUCH),
    ],
    ids=["brick", "steel"],
)
def test_seconds_of_a_pizza_by_its_energy(
    published: Published, name: str, oven_C: float, floor: Floor, told_s: float, missed: str
) -> None:
    published(
        f"house pizza to the energy of that balance, {name} at {oven_C:g} °C",
        VARLAMOV,
        expected=told_s,
        computed=seconds_to_take(NEEDS_J_m2, oven_C, floor),
        relative=0.08,
        unit="s",
        missed=missed,
    )


def test_a_busy_brick_oven_is_faster(published: Published) -> None:
    # 390 °C, "about 50 s, poorer quality": by their own balance 85 s.
    published(
        "house pizza to the energy of that balance, brick at 390 °C",
        "the same balance, worked apart from this code",
        expected=85,
        computed=seconds_to_take(NEEDS_J_m2, 390.0, Floor(390.0, 0.86, 2500 * 840.0)),
        relative=0.08,
        unit="s",
        missed=TOUCH.split(":")[0],
    )
