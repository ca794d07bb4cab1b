"""Times at the hearth against the starting numbers of the trade, on a floor that cools under the food.

The ranges are common trade teaching for stone near 350 °C; they check plausibility, not accuracy.
"""

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.food.cooking import Target, reached
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import advance, flip, prepare, start
from hearthtide.food.spec import FoodLayer, Platter, Portion


class Floor:
    """80 mm of fireclay (k 1.0, 2.2 MJ/(m³ K)) that has soaked at one temperature, explicit in time."""

    def __init__(self, stone_C: float) -> None:
        self.nodes_C = np.full(40, stone_C)

    def surface_under_C(self, conductance_W_m2K: float, base_C: float, dt_s: float) -> float:
        gap_m, k_W_mK = 0.002, 1.0
        through = 1 / (1 / conductance_W_m2K + gap_m / 2 / k_W_mK)
        taken = through * (self.nodes_C[0] - base_C)
        flow = k_W_mK / gap_m * (self.nodes_C[:-1] - self.nodes_C[1:])
        change = np.zeros(40)
        change[:-1] -= flow
        change[1:] += flow
        change[0] -= taken
        self.nodes_C = self.nodes_C + change * dt_s / (2.2e6 * gap_m)
        return base_C + taken / conductance_W_m2K


# Incident heat: under a dome at 400 °C alone (sigma T^4), and with a gas flame up some 40 cm away.
DOME_W_m2, FLAME_W_m2 = 11_600.0, 14_000.0


def minutes(
    portion: Portion, target: Target, flip_at_s: int = 0, stone_C: float = 355.0, up_W_m2: float = FLAME_W_m2
) -> float:
    food = prepare(portion)
    state, floor = start(food), Floor(stone_C)
    rim = (1.3 * up_W_m2, up_W_m2, 0.7 * up_W_m2, up_W_m2)
    field = Exposure("stone", stone_C, up_W_m2, rim, stone_C)
    for second in range(2400):
        if second >= flip_at_s and reached(food, state, target):
            return second / 60
        if flip_at_s and second == flip_at_s:
            state = flip(food, state)
        stone = floor.surface_under_C(food.stone_conductance_W_m2K, state.base_C, 1.0)
        state = advance(food, state, replace(field, stone_C=stone), 1.0)
    raise AssertionError(f"{portion.name} was not done in 40 min")


def on_iron(name: str, layers: tuple[FoodLayer, ...], start_C: float, platter_C: float) -> Portion:
    return Portion(name, layers, 0.025, start_C, platter=Platter("cast_iron", 2.0, 0.04, platter_C))


CASES = [
    # Steak 25 mm on a hot dry platter to 50 °C, flipped at half: 6 to 8 min.
    (on_iron("steak 25", (FoodLayer("beef_strip", 0.025),), 4.0, 320.0), Target(50.0), 200, 6, 8),
    # Steak 38 to 50 mm: 14 to 22 min.
    (on_iron("steak 38", (FoodLayer("beef_strip", 0.038),), 4.0, 320.0), Target(50.0), 440, 14, 22),
    # Shrimp 15 mm: 3.5 min by conduction, 4 to 6 min taught.
    (
        on_iron("shrimp", (FoodLayer("shrimp", 0.015), FoodLayer("butter", 0.003)), 4.0, 250.0),
        Target(63.0),
        0,
        3.5,
        6,
    ),
    # Raw wings, 25 mm: 12 to 15 min.
    (on_iron("wings", (FoodLayer("chicken_wing_raw", 0.025),), 4.0, 250.0), Target(74.0), 300, 12, 15),
    # Boned half chicken re-heated, 25 mm: 12 min by conduction, give or take the model's quarter.
    (on_iron("chicken", (FoodLayer("chicken_cooked", 0.025),), 4.0, 22.0), Target(74.0), 300, 9, 15),
    # Vegetables on a platter: 5 to 9 min.
    (on_iron("peppers", (FoodLayer("peppers", 0.012),), 4.0, 250.0), Target(85.0, colour=2), 0, 5, 9),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case[0].name)
def test_times_fall_in_the_range_the_trade_teaches(case):
    portion, target, flip_at_s, low, high = case
    assert low <= minutes(portion, target, flip_at_s) <= high


def test_pizza_takes_two_to_three_and_a_half_minutes_under_the_dome():
    # House pizza of 28 to 30 cm on stone at 345 to 400 °C: 2 to 3.5 min.
    layers = (
        FoodLayer("pizza_dough", 0.004),
        FoodLayer("tomato_sauce", 0.0015),
        FoodLayer("mozzarella", 0.003),
    )
    pizza = Portion("pizza", layers, 0.062, 20.0, rim_thickness_m=0.016)
    assert 2 <= minutes(pizza, Target(95.0, colour=4), up_W_m2=DOME_W_m2) <= 3.5


def test_dip_in_an_iron_pan_takes_five_to_seven_minutes():
    # Cheese dip on stone at 260 to 340 °C: 5 to 7 min to 74 °C and bubbling.
    pan = Platter("cast_iron", 1.0, 0.018, 22.0)
    dip = Portion("dip", (FoodLayer("cheese_dip", 0.018),), 0.015, 4.0, platter=pan)
    assert 5 <= minutes(dip, Target(74.0, bubbling=True), stone_C=300.0) <= 7


def test_thicker_pieces_take_longer_than_in_proportion():
    # Conduction: time grows with the square of thickness, a little less where the crust takes its share.
    times = [
        minutes(on_iron("piece", (FoodLayer("chicken_cooked", t),), 4.0, 250.0), Target(74.0))
        for t in (0.015, 0.030)
    ]
    assert 2.5 < times[1] / times[0] < 5
