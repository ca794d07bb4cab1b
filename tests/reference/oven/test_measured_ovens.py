"""Whole ovens against what was measured in one and what houses say of theirs, and a hot mouth by hand."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
import pytest

from hearthtide.heat.flames import line_flame_power_W
from hearthtide.heat.wood import fed_power_W
from hearthtide.oven.advance import advance
from hearthtide.oven.answers import power_for
from hearthtide.oven.design import Burner, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.hearth import Hearth, RectangularHearth, RoundHearth
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.program import Trace, run_program
from hearthtide.oven.readings import settled_state
from hearthtide.oven.zones import flame_distance_m, working_zone
from published import Published

pytestmark = pytest.mark.subject("ovens")
PRACTICE, FALCIANO = "common practice, no source", "Falciano, Masi and Moresi 2022"
UNSEEN = "its geometry was not seen: three assumed ovens lie 230 K apart. Half the heat leaves with the air"
BREATHING = (
    "air that comes and goes through the hot mouth takes 5 kW; one factor (`entrainment`) waits for a "
    "house's readings"
)

HOUR_S = 3600.0
# A traditional wood oven, assumed: the source's own geometry was not seen. Chosen once, before any run.
WOOD = OvenDesign(
    name="wood",
    hearth=RoundHearth(1.05, 0.45),
    crown=Crown("dome", 0.0, 0.40),
    mouth=Mouth(0.45, 0.22),
    floor=(Layer("fireclay", 0.06), Layer("sand", 0.10), Layer("perlite_mix", 0.10)),
    walls=(Layer("fireclay", 0.10), Layer("perlite_mix", 0.10)),
    burners=(Burner("bed", bearing_deg=-90.0, breadth_m=0.30, standoff_m=0.20),),
    fuel="wood",
    levels=(FlameLevel("fed", 12e3),),
    moisture=0.20,
)
# Two others as plausible: smaller, thinner, well insulated; and larger, thicker, under sand.
LIGHT = replace(
    WOOD,
    name="light",
    hearth=RoundHearth(0.90, 0.42),
    crown=Crown("dome", 0.0, 0.35),
    mouth=Mouth(0.42, 0.20),
    floor=(Layer("fireclay", 0.05), Layer("calcium_silicate", 0.10)),
    walls=(Layer("fireclay", 0.06), Layer("fibre_blanket", 0.10)),
    burners=(Burner("bed", bearing_deg=-90.0, breadth_m=0.30, standoff_m=0.18),),
)
HEAVY = replace(
    WOOD,
    name="heavy",
    hearth=RoundHearth(1.2, 0.5),
    crown=Crown("dome", 0.0, 0.45),
    mouth=Mouth(0.5, 0.25),
    floor=(Layer("fireclay", 0.08), Layer("sand", 0.20)),
    walls=(Layer("fireclay", 0.12), Layer("sand", 0.10)),
)
# A gas hearth of 1.4 m, assumed, chosen once: burners of its class give 30 to 40 kW.
GAS = OvenDesign(
    name="gas",
    hearth=RoundHearth(1.4, 0.6),
    crown=Crown("dome", 0.0, 0.45),
    mouth=Mouth(0.6, 0.28),
    floor=(Layer("fireclay", 0.06), Layer("calcium_silicate", 0.10)),
    walls=(Layer("dense_castable", 0.08), Layer("fibre_blanket", 0.10)),
    burners=(Burner("ribbon", bearing_deg=-90.0, length_m=0.6, standoff_m=0.08),),
    fuel="natural_gas",
    levels=(FlameLevel("high", 40e3),),
)
PIZZA_C = 345.0


@cache
def fed(design: OvenDesign) -> Trace:
    """Six hours of 3 kg/h from cold, one row every half hour."""
    oven = build_oven(design)
    power_W = fed_power_W(3.0, design.moisture)
    return run_program(oven, oven.cold(20.0), ((0.0, power_W),), 6 * HOUR_S, 5.0, HOUR_S / 2)


@pytest.mark.parametrize("design", [WOOD, LIGHT, HEAVY], ids=["assumed", "light", "heavy"])
def test_dome_of_a_wood_oven_is_hotter_than_its_floor(published: Published, design: OvenDesign) -> None:
    """546 against 453 °C (Falciano, Masi and Moresi 2022), from four to six hours on."""
    run = fed(design)
    published(
        "wood oven at 3 kg/h after 4 to 6 h: vault less floor, three assumed ovens",
        f"{FALCIANO}: the vault is hotter",
        expected=(0.0, np.inf),
        computed=float((run.dome_C[8:] - run.floor_mean_C[8:]).min()),
        unit="K",
        at=design.name,
    )


@pytest.mark.parametrize(
    ("name", "part", "measured_C", "spread_K"),
    [("floor", "floor_mean_C", 453.0, 32.0), ("vault", "dome_C", 546.0, 53.0)],
)
def test_wood_oven_at_3_kg_h_misses(
    published: Published, name: str, part: str, measured_C: float, spread_K: float
) -> None:
    """Floor 453 +/- 32, vault 546 +/- 53 °C after 4 to 6 h (Falciano, Masi and Moresi 2022).

    Too cold, both, by 170 to 240 K. Half the heat leaves with 3.7 times the air the wood needs beyond its
    own, and 0.44 of it is still being stored. The three assumed ovens lie up to 230 K apart after 6 h, so the
    geometry that was not seen decides; the light one's floor gets there, its vault stays 18 K under the band.
    """
    found_C = float(np.mean(getattr(fed(WOOD), part)[8:]))
    assert measured_C - found_C < 260.0
    published(
        f"wood oven at 3 kg/h after 4 to 6 h, an assumed one of 1.05 m: {name}",
        FALCIANO,
        expected=measured_C,
        computed=found_C,
        absolute=spread_K,
        unit="°C",
        missed=UNSEEN,
    )


def test_light_wood_oven_comes_near(published: Published) -> None:
    """The same, of the smaller oven after 6 h: floor within 32 K, vault 0 to 100 K under 546."""
    run = fed(LIGHT)
    floor_C, vault_C = run.floor_mean_C[-1], run.dome_C[-1]
    what = "wood oven at 3 kg/h after 6 h, a light one of 0.90 m"
    assert 0.0 < 546.0 - vault_C < 100.0
    published(f"{what}: floor", FALCIANO, expected=453.0, computed=floor_C, absolute=32.0, unit="°C")
    published(
        f"{what}: vault",
        FALCIANO,
        expected=546.0,
        computed=vault_C,
        absolute=53.0,
        unit="°C",
        missed=UNSEEN,
    )


@cache
def gas_oven() -> Oven:
    return build_oven(GAS)


@cache
def hours_to_pizza_heat(power_W: float) -> float:
    """Until the working zone's mean is 345 °C, from cold."""
    oven = gas_oven()
    run = run_program(oven, oven.cold(20.0), ((0.0, power_W),), 6 * HOUR_S, 5.0, 60.0)
    assert run.zone_C[-1] > PIZZA_C
    return float(np.interp(PIZZA_C, run.zone_C, run.times_s)) / HOUR_S


@pytest.mark.parametrize(
    ("power_W", "most_h", "missed"), [(40e3, 3.0, ""), (35e3, 3.7, BREATHING), (30e3, 5.2, BREATHING)]
)
def test_hours_to_pizza_heat(published: Published, power_W: float, most_h: float, missed: str) -> None:
    """Roughly two hours, 1.3 to 3, at 30 to 40 kW (common practice, no source).

    At 40 kW it is; 35 kW takes 0.3 h too long and 30 kW 1.5 h: half of the heat goes out with about
    three times the air the flame needs.
    """
    found = hours_to_pizza_heat(power_W)
    assert found < most_h
    what = f"gas hearth of 1.4 m to 345 °C at {power_W / 1000:g} kW"
    published(what, PRACTICE, expected=(1.3, 3.0), computed=found, unit="h", missed=missed)


@cache
def at_pizza_heat() -> OvenState:
    """When 40 kW have just brought the working zone there."""
    oven, until_s = gas_oven(), hours_to_pizza_heat(40e3) * HOUR_S
    return run_program(oven, oven.cold(20.0), ((0.0, 40e3),), until_s, 5.0, until_s).state


def test_stone_near_a_high_flame_is_much_hotter(published: Published) -> None:
    """Within 30 cm of it by at least 40 K (common practice, no source)."""
    oven, floor_C = gas_oven(), at_pizza_heat().floor_C
    near = flame_distance_m(oven, oven.cells_m) < 0.30
    hotter_K = floor_C[near].mean() - floor_C[working_zone(oven)].mean()
    what = "stone within 30 cm of a high flame, over the working zone"
    published(what, PRACTICE, expected=(40.0, np.inf), computed=hotter_K, unit="K")


def test_low_flame_does_not_hold_the_stone(published: Published) -> None:
    """A flame of 7 to 10 cm holds pizza heat (common practice, no source). It does not: by the law of flames
    against a wall 10 cm on 0.6 m are 3.0 kW, and the air that comes and goes through the hot mouth takes more
    than that, fire or not. By the law of free lines 10 cm would be 8.6 kW, not enough either.
    """
    oven, low_W = gas_oven(), line_flame_power_W(0.10, 0.6)
    run = run_program(oven, at_pizza_heat(), ((0.0, low_W),), HOUR_S, 5.0, HOUR_S)
    assert run.ledger.flue_J > run.ledger.fuel_J
    published(
        "stone after an hour at a flame of 10 cm, which should hold it",
        PRACTICE,
        expected=PIZZA_C,
        computed=run.zone_C[-1],
        absolute=40.0,
        unit="°C",
        missed=BREATHING,
    )


@pytest.mark.parametrize("soaked", [False, True], ids=["bare", "soaked"])
def test_power_that_holds_the_stone_for_two_hours(published: Published, soaked: bool) -> None:
    """A flame of 7 to 10 cm: 1.8 to 3.0 kW by the wall law, 8.6 kW at most by the free one (see above)."""
    oven = build_oven(replace(GAS, levels=(FlameLevel("low", 2e3), *GAS.levels)))
    start = settled_state(oven, PIZZA_C, 20.0) if soaked else at_pizza_heat()
    found_W, _ = power_for(oven, start, PIZZA_C, 2 * HOUR_S, 0.0, 40e3)
    published(
        "power of the 7 to 10 cm flame that holds 345 °C for two hours, "
        + ("soaked" if soaked else "after a bare heat-up"),
        f"{PRACTICE}; wall law to free law",
        expected=(1.8, 8.6),
        computed=found_W / 1000,
        unit="kW",
        missed=BREATHING,
    )


# Black opening of 0.5 x 0.22 m by hand: 5.670374e-8 * 0.11 * ((t + 273.15)^4 - 293.15^4), the 1.7 and 2.2 kW
# of any table. A grey cavity this closed shines 0.97 to 0.99 of that (Holman, equation 8-47).
MOUTHS = [(450.0, 1659.7), (500.0, 2182.7)]
WALLED: list[tuple[Hearth, Crown, float, float]] = [
    (RectangularHearth(1.0, 1.2), Crown("flat", 0.40, 0.0)),
    (RectangularHearth(1.0, 1.2), Crown("barrel", 0.15, 0.30)),
    (RoundHearth(1.2, 0.5), Crown("dome", 0.22, 0.18)),
    (RoundHearth(1.2, 0.5), Crown("dome", 0.0, 0.40)),
]


@pytest.mark.parametrize(("inside_C", "black_W"), MOUTHS)
@pytest.mark.parametrize(("hearth", "crown"), WALLED)
def test_radiation_out_of_a_hot_mouth(
    published: Published, hearth: Hearth, crown: Crown, inside_C: float, black_W: float
) -> None:
    """Within 5 %."""
    oven = build_oven(replace(GAS, hearth=hearth, crown=crown, mouth=Mouth(0.5, 0.22)))
    cold = oven.cold(20.0)
    hot = replace(
        cold,
        floor_C=np.full_like(cold.floor_C, inside_C),
        dome_C=np.full_like(cold.dome_C, inside_C),
        floor_nodes_C=np.full_like(cold.floor_nodes_C, inside_C),
        dome_nodes_C=np.full_like(cold.dome_nodes_C, inside_C),
    )
    out_W = advance(oven, hot, 0.0, 0.01).ledger.mouth_J / 0.01
    published(
        f"radiation out of a mouth of 0.5 x 0.22 m at {inside_C:g} °C, four crowns",
        "black cavity, by hand",
        expected=black_W / 1000,
        computed=out_W / 1000,
        relative=0.05,
        unit="kW",
        at=f"{crown.kind} crown",
    )
