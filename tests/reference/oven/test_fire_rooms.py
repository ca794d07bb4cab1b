"""Two measured fires in rooms with one open door, run as ovens with the coefficients of an unread house.

How long the fires had burnt when they were read was not seen; half an hour is our own choice.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache

import pytest

from hearthtide.heat.openings import neutral_m
from hearthtide.oven.advance import advance
from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.gas import Flows, flows
from hearthtide.oven.hearth import RectangularHearth
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.program import run_program
from published import Published

pytestmark = pytest.mark.subject("air and rooms")
BOX_SOURCE, ROOM_SOURCE = "Bryner et al., NISTIR 5568", "Steckler et al., NBSIR 82-2520, test 14"
STILL_AIR = "a free plume; a real flame leans in the door's draught and draws twice as much"

BURNT_S = 1800.0
# Bryner, Johnsson and Pitts, NISTIR 5568 (1994; its open data): 0.95 m wide, 1.44 m deep, 0.98 m high, door
# 0.48 x 0.81 m, 25 mm calcium-silicate board, natural gas burner about 0.15 m across in the middle.
BOX_BOARD = (Layer("calcium_silicate", 0.025),)
BOX = OvenDesign(
    name="box",
    hearth=RectangularHearth(0.95, 1.44),
    crown=Crown("flat", 0.98, 0.0),
    mouth=Mouth(0.48, 0.81),
    floor=BOX_BOARD,
    walls=BOX_BOARD,
    burners=(Burner("cluster", bearing_deg=90.0, breadth_m=0.15, standoff_m=0.475),),
    fuel="natural_gas",
    levels=(FlameLevel("burning", 50e3),),
)
BOX_ROOM_C = 20.0  # not seen in the source; own choice
# Steckler, Quintiere and Rinkinen, NBSIR 82-2520 (1982), test 14: 2.8 x 2.8 x 2.13 m, door 0.74 x 1.83 m,
# 62.9 kW of methane in the middle of the floor, 13 mm fibreboard, 29 °C. Burner 0.30 m across: from memory,
# not re-read.
ROOM_BOARD = (Layer("fibreboard", 0.013),)
ROOM = replace(
    BOX,
    name="room",
    hearth=RectangularHearth(2.8, 2.8),
    crown=Crown("flat", 2.13, 0.0),
    mouth=Mouth(0.74, 1.83),
    floor=ROOM_BOARD,
    walls=ROOM_BOARD,
    burners=(Burner("cluster", breadth_m=0.30, standoff_m=1.4),),
    fuel="methane",
)
ROOM_POWER_W, ROOM_C, DOOR_M = 62.9e3, 29.0, 1.83


@dataclass(frozen=True, eq=False)
class Burnt:
    oven: Oven
    state: OvenState
    now: Flows


@cache
def burnt(design: OvenDesign, power_W: float, room_C: float) -> Burnt:
    oven = build_oven(design)
    run = run_program(oven, oven.cold(room_C), ((0.0, power_W),), BURNT_S, 4.0, 300.0)
    return Burnt(oven, run.state, flows(oven, run.state, oven.fire(power_W)))


@pytest.mark.parametrize(("power_W", "rear_C", "front_C"), [(50e3, 357.0, 413.0), (100e3, 473.0, 578.0)])
def test_upper_gas_of_a_gas_fired_box(
    published: Published, power_W: float, rear_C: float, front_C: float
) -> None:
    """NISTIR 5568: the upper layer's rear and front lie 15 to 21 % of their rise apart; within 15 % of it."""
    measured_K = (rear_C + front_C) / 2 - BOX_ROOM_C
    published(
        f"gas-fired box with an open door, {power_W / 1000:g} kW: rise of the upper gas",
        BOX_SOURCE,
        expected=measured_K,
        computed=burnt(BOX, power_W, BOX_ROOM_C).state.upper_C - BOX_ROOM_C,
        relative=0.15,
        unit="K",
    )


def test_box_is_nearly_settled_after_half_an_hour() -> None:
    """The upper gas moves less than 1 K a minute (own choice)."""
    fire = burnt(BOX, 50e3, BOX_ROOM_C)
    later = advance(fire.oven, fire.state, 50e3, 4.0, steps=15).state
    assert 0.0 < later.upper_C - fire.state.upper_C < 1.0


def dry_oxygen(burnt_share: float) -> float:
    """Oxygen by volume in dry gas of methane burnt with 1 / `burnt_share` times the air it needs.

    CH4 + 2 O2 -> CO2 + 2 H2O in air of 0.2095 oxygen: of each mole of air 0.2095 (1 - s) is left, and half
    of what burnt stays as CO2. By hand.
    """
    return 0.2095 * (1 - burnt_share) / (1 - 0.2095 * burnt_share / 2)


@pytest.mark.parametrize(
    ("power_W", "measured", "low", "high", "missed"),
    [
        (55e3, 0.163, 0.95, 1.15, ""),
        (91e3, 0.103, 1.35, 1.80, "the same free plume, and a real room's gas is not mixed"),
    ],
)
def test_oxygen_of_a_gas_fired_box(
    published: Published, power_W: float, measured: float, low: float, high: float, missed: str
) -> None:
    """NISTIR 5568, upper layer in front: 0.163 at 55 kW, 0.103 at 91 kW (taken as dry; its tolerance was not
    seen). The first comes out 9 % high, the second 59 %: the measured gas holds the burnt gas of about twice
    less air than the computed plume brings up at 91 kW. The gas of a real room is not mixed.
    """
    fire = burnt(BOX, power_W, BOX_ROOM_C)
    gas = fire.oven.fuel
    found = dry_oxygen(power_W / gas.calorific_J_kg * gas.air_kg_kg / fire.now.rise_kg_s)
    assert low < found / measured < high
    published(
        f"gas-fired box with an open door, {power_W / 1000:g} kW: oxygen of the upper gas in front",
        BOX_SOURCE,
        expected=measured,
        computed=found,
        relative=0.15,
        missed=missed,
    )


@cache
def room() -> Burnt:
    return burnt(ROOM, ROOM_POWER_W, ROOM_C)


def test_lower_gas_of_a_room_with_a_door(published: Published) -> None:
    """Test 14: 44 °C, 15 K over the air outside; within 4 K (own choice)."""
    what, found = "room with a door: lower gas", room().state.lower_C
    published(what, ROOM_SOURCE, expected=44.0, computed=found, absolute=4.0, unit="°C")


def test_air_through_the_door_misses(published: Published) -> None:
    """Test 14: 0.57 kg/s (measured profile times 0.90), good to 12 %. Ours is some 28 % low: the draught from
    the door leans the real flame and feeds it, the plume in still air knows nothing of that.
    """
    found = room().now.inflow_kg_s
    assert 0.60 < found / 0.57 < 0.88
    published(
        "room with a door: air through it",
        ROOM_SOURCE,
        expected=0.57,
        computed=found,
        relative=0.12,
        unit="kg/s",
        missed=STILL_AIR,
    )


def test_upper_gas_of_a_room_with_a_door_misses(published: Published) -> None:
    """Test 14: 115 to 129 °C, 93 K over the air outside, good to 10 %. Ours is 24 % high: less air."""
    found = room().state.upper_C - ROOM_C
    assert 1.10 < found / (122.0 - ROOM_C) < 1.35
    published(
        "room with a door: rise of the upper gas",
        ROOM_SOURCE,
        expected=122.0 - ROOM_C,
        computed=found,
        relative=0.10,
        unit="K",
        missed=STILL_AIR,
    )


def test_neutral_plane_of_a_room_with_a_door_misses(published: Published) -> None:
    """Test 14: 0.56 of the door's height, good to 0.03. Ours is 0.04 high with the interface (0.66): less air
    comes up, so the hot layer is thin.
    """
    fire = room()
    fuel_kg_s = ROOM_POWER_W / fire.oven.fuel.calorific_J_kg
    layers = (fire.now.interface_m, ROOM_C, fire.state.lower_C, fire.state.upper_C)
    discharge = fire.oven.design.coefficients.discharge
    plane = neutral_m(0.74, DOOR_M, *layers, fuel_kg_s, 0.0, discharge) / DOOR_M
    assert 0.03 < plane - 0.56 < 0.06
    published(
        "room with a door: neutral plane, share of its height",
        ROOM_SOURCE,
        expected=0.56,
        computed=plane,
        absolute=0.03,
        missed=STILL_AIR,
    )
