"""Fluxes round four open burners, from the oven's own sheet of fire and its own receivers."""

from __future__ import annotations

import math
from functools import cache

import numpy as np
import pytest

from hearthtide.oven.design import Burner, Coefficients, Crown, FlameLevel, Layer, Mouth, OvenDesign
from hearthtide.oven.field import receivers
from hearthtide.oven.hearth import RectangularHearth
from hearthtide.oven.model import build_oven
from open_burners import BURNERS
from published import Published

pytestmark = pytest.mark.subject("combustion and flames")

# Gauges known to lie beyond 35 %.
LOADING = "radiant share 0.165 by the burner's loading, 0.129 as measured"
BEYOND = {
    ("P3", "line", 1.33): "gases above the visible tip (0.53 m) still shine",
    ("M11", "floor", 0.692): LOADING,
}
SOURCE = "Hamins, NIST TN 1926"
BOARD = (Layer("fibreboard", 0.013),)


@cache
def ratios(name: str) -> dict[tuple[str, float], float]:
    """Predicted over measured at every gauge: a fire in the middle of a black hall of 5 x 5 x 2 m.

    Only what comes straight from the fire counts; the gauge 12 mm under the burner's rim stands on the floor.
    """
    gas, breadth_m, power_kW, line_m, floor, line = BURNERS[name]
    hall = OvenDesign(
        name=name,
        hearth=RectangularHearth(5.0, 5.0),
        crown=Crown("flat", 2.0, 0.0),
        mouth=Mouth(0.5, 0.3),
        floor=BOARD,
        walls=BOARD,
        burners=(Burner("cluster", breadth_m=breadth_m, standoff_m=2.5),),
        fuel=gas,
        levels=(FlameLevel("burning", power_kW * 1000),),
        coefficients=Coefficients(emissivity_floor=1.0, emissivity_dome=1.0),
    )
    oven = build_oven(hall)
    at = [(r, 2.5, 0.0) for r in floor] + [(line_m, 2.5, max(z, 0.0)) for z in line]
    facing = [(0.0, 0.0, 1.0)] * len(floor) + [(-1.0, 0.0, 0.0)] * len(line)
    gauges = receivers(oven, np.array(at), np.array(facing))
    found = gauges.shares(oven, oven.cold(20.0), power_kW * 1000).flame_W_m2 / 1000
    measured = [(("floor", r), q) for r, q in floor.items()] + [(("line", z), q) for z, q in line.items()]
    return {place: float(f) / q for (place, q), f in zip(measured, found, strict=True)}


GAUGES = [
    (name, where, place)
    for name, (_, _, _, _, floor, line) in BURNERS.items()
    for where, gauges in (("floor", floor), ("line", line))
    for place in gauges
]


@pytest.mark.parametrize(("name", "where", "place_m"), GAUGES)
def test_flux_at_a_gauge(published: Published, name: str, where: str, place_m: float) -> None:
    """Simple flames come within 35 % at 0.2 m and beyond: mid-height point 0.75 to 1.55, even line 0.75 to
    1.35 on these four. Nearer gauges are held to the same; they were not promised it.
    """
    missed, found = BEYOND.get((name, where, place_m), ""), ratios(name)[where, place_m]
    assert 0.30 < found < 1.65
    what = f"flux round open fire {name} over measured, by the oven's own fire"
    published(
        f"{what} ({where} {place_m} m)" if missed else what,
        SOURCE,
        expected=1.0,
        computed=found,
        absolute=0.35,
        at="" if missed else f"{where} {place_m} m",
        missed=missed,
    )


def test_geometric_mean_over_all_gauges(published: Published) -> None:
    """Within 20 %: the gauges' own 16 % and the radiant share's 17 %, k=2."""
    together = [value for name in BURNERS for value in ratios(name).values()]
    assert len(together) == 45
    mean, rms = math.exp(np.log(together).mean()), math.sqrt(np.mean((np.array(together) - 1) ** 2))
    what = "flux at 45 gauges round four open fires over measured, by the oven's own fire"
    published(f"{what}: geometric mean", SOURCE, expected=1.0, computed=mean, absolute=0.20)
    published(f"{what}: rms off", SOURCE, expected=(0, 35), computed=100 * rms, unit="%")


@pytest.mark.parametrize("name", BURNERS)
def test_geometric_mean_round_each_burner(published: Published, name: str) -> None:
    """Within the two uncertainties added squarely, k=2: sqrt(16² + 17²) = 23 %."""
    found, source = math.exp(np.log(list(ratios(name).values())).mean()), f"{SOURCE}, k=2"
    what = "flux round each open fire over measured: geometric mean"
    published(what, source, expected=1.0, computed=found, absolute=0.23, at=name)
