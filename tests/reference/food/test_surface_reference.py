"""Faces of food: browning, boiling on a hot plate, evaporation."""

import pytest

from hearth_trials import ROOM_W_m2, on_plate, second_on_plate
from hearthtide.food import column
from hearthtide.food.colour import browning_for
from hearthtide.food.column import browning_1_s
from hearthtide.food.composition import density_kg_m3
from hearthtide.food.exposure import Exposure
from hearthtide.food.library import foodstuff
from hearthtide.food.model import advance, start
from published import Published

pytestmark = pytest.mark.subject("food properties")


@pytest.mark.parametrize(
    ("temperature_C", "rate", "to_26_s", "to_40_s"),
    [
        (140, 3.25e-4, 2131, 4507),
        (165, 9.44e-4, 734, 1553),
        (185, 2.04e-3, 340, 720),
        (210, 4.87e-3, 142, 301),
        (235, 1.07e-2, 65, 137),
        (250, 1.65e-2, 42, 89),
    ],
)
def test_browning_rates_of_dried_crumb(
    published: Published, temperature_C: float, rate: float, to_26_s: float, to_40_s: float
) -> None:
    # Zanoni, Peri, Bruno 1995, LWT 28:604: constants as published, worked apart from this code.
    source, at, found = "Zanoni, Peri, Bruno 1995", f"{temperature_C} °C", browning_1_s(temperature_C)
    published(
        "browning rate of dried crumb",
        source,
        expected=3600 * rate,
        computed=3600 * found,
        relative=5e-3,
        unit="1/h",
        at=at,
    )
    for colour, seconds in ((26, to_26_s), (40, to_40_s)):
        published(
            f"time of dried crumb to a colour difference of {colour}",
            source,
            expected=seconds,
            computed=browning_for(colour) / found,
            relative=0.01,
            unit="s",
            at=at,
        )


@pytest.mark.parametrize("plate_C", [160.0, 200.0, 230.0, 260.0])
def test_a_wet_gel_stays_at_boiling_on_a_hot_plate_and_a_batter_does_not(
    published: Published, plate_C: float
) -> None:
    # Cernela et al. 2015, J. Food Eng. 146:99 (abstract): the gel's underside never passed 100 °C with
    # plates of 160 to 260 °C, a batter's did. Tomato sauce (91 % water) and dough stand in for them.
    gel, bare = on_plate("tomato_sauce", 0.01, 20.0, plate_C)
    batter, _ = on_plate("dough", 0.01, 20.0, plate_C)
    wet, dry = start(gel), start(batter)
    hottest = 0.0
    for _ in range(180):
        wet = second_on_plate(gel, wet, bare, plate_C)
        dry = second_on_plate(batter, dry, bare, plate_C)
        hottest = max(hottest, wet.cells[0, 0])
    assert dry.cells[0, 0] > 105
    published(
        "wet underside on a plate of 160 to 260 °C, at its hottest",
        "Cernela et al. 2015 (abstract)",
        expected=(99, 102),
        computed=hottest,
        unit="°C",
        at=f"plate {plate_C:g} °C",
    )


def test_evaporation_from_a_hot_wet_face_is_far_above_dry_convection(published: Published) -> None:
    # h / gamma (p_sat - p_air) by hand at 80 °C: 8 / 66 (47.4 kPa - 1.2 kPa) = 5.6 kW/m² from an all wet
    # face (steam table), over ten times dry convection. Meat shows its volume share of water.
    food, _ = on_plate("chicken_cooked", 0.02, 80.0, 80.0)
    still = Exposure("board", 22.0, ROOM_W_m2, (ROOM_W_m2,) * 4, 22.0)
    state = advance(food, start(food), still, 0.25)
    gone_kg_m2 = (
        food.forms[0].cut.grids[0][column.WATER_0].sum() - state.cells[0, column.WATER : column.PEAK].sum()
    )
    meat = foodstuff("chicken_cooked").composition
    share = meat.water * density_kg_m3(meat, 60) / 983.8
    # Steam table: 2.308 MJ/kg at 80 °C.
    all_wet_W_m2 = gone_kg_m2 / 0.25 * 2.308e6 / share
    # The face has cooled by some 1 K within the quarter second.
    published(
        "evaporation from a wet face at 80 °C in a room",
        "by hand, steam table",
        expected=8 / 66 * (47.4 - 1.2),
        computed=all_wet_W_m2 / 1000,
        relative=0.06,
        unit="kW/m²",
    )
    assert all_wet_W_m2 > 10 * 8.0 * (80 - 22)
