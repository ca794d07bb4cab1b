from __future__ import annotations

import math

import numpy as np
import pytest

from hearthtide.errors import NoConvergence, PhysicalRangeError
from hearthtide.heat.columns import Slab, advance_columns, links, wall
from hearthtide.heat.combustion import METHANE, fuel, products_extra_W_K
from hearthtide.heat.materials import TABLE_C
from hearthtide.heat.views import balanced
from hearthtide.ranges import require, require_shape


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, np.array([0.5, math.nan]), np.array([2.0])])
def test_out_of_range_names_quantity_and_unit(value: float) -> None:
    with pytest.raises(PhysicalRangeError, match=r"speed = .* m/s \(expected 0 to 1 m/s\)"):
        require("speed", value, "m/s", 0.0, 1.0)


def test_wrong_shape_is_refused() -> None:
    with pytest.raises(PhysicalRangeError, match=r"x has shape \(2,\)"):
        require_shape("x", np.zeros(2), (3,))


def test_wall_steps_add_up_and_grow() -> None:
    body = wall((Slab(0.05, 1.0, 2e6), Slab(0.1, 0.1, 5e5)), 12, 6, 1.2)
    assert body.step_m[:12].sum() == pytest.approx(0.05)
    assert body.step_m[12:].sum() == pytest.approx(0.1)
    assert body.step_m[1] / body.step_m[0] == pytest.approx(1.2)
    assert links(body, np.full(18, 20.0), 0.0).capacity_J_m2K.sum() == pytest.approx(0.05 * 2e6 + 0.1 * 5e5)


def test_wall_between_the_temperatures_of_its_tables() -> None:
    """k = 1 + T/1000 and rho c = 1e6 + 1000 T are straight, so every temperature on the table is exact; held
    beyond its ends at -50 and 1500 °C. Nodes of 0.02 m: 1 / (0.01 / k1 + 0.01 / k2) between two, k1 / 0.01 to
    the face, 1 / (0.01 / k2 + 1 / 10) to the air behind.
    """
    body = wall((Slab(0.04, 1 + TABLE_C / 1000, 1e6 + 1000 * TABLE_C),), 2, 1, 1.0)
    at = links(body, np.array([110.0, 637.5]), 10.0)
    assert at.conductivity_W_mK == pytest.approx([1.11, 1.6375])
    assert at.capacity_J_m2K == pytest.approx([0.02 * 1.11e6, 0.02 * 1.6375e6])
    assert at.link_W_m2K == pytest.approx([1 / (0.01 / 1.11 + 0.01 / 1.6375)])
    assert at.surface_W_m2K == pytest.approx(111.0)
    assert at.back_W_m2K == pytest.approx(1 / (0.01 / 1.6375 + 0.1))
    beyond = links(body, np.array([-200.0, 3000.0]), 0.0)
    assert beyond.conductivity_W_mK == pytest.approx([0.95, 2.5], rel=1e-5)
    assert beyond.back_W_m2K == 0.0


@pytest.mark.parametrize(
    "slabs",
    [
        (),
        (Slab(0.0, 1.0, 2e6),),
        (Slab(0.05, -1.0, 2e6),),
        (Slab(0.05, 1.0, math.nan),),
        (Slab(0.05, np.where(TABLE_C > 900.0, 0.0, 1.0), 2e6),),
    ],
)
def test_impossible_walls(slabs: tuple[Slab, ...]) -> None:
    with pytest.raises(PhysicalRangeError):
        wall(slabs, 4, 4, 1.1)


@pytest.mark.parametrize("dt_s", [0.0, -1.0, math.nan, 1e5])
def test_impossible_steps(dt_s: float) -> None:
    at = links(wall((Slab(0.05, 1.0, 2e6),), 4, 4, 1.1), np.zeros(4), 10.0)
    with pytest.raises(PhysicalRangeError, match="dt_s"):
        advance_columns(at, dt_s, np.zeros((4, 1)), np.zeros(1), np.zeros(1), 20.0)


@pytest.mark.parametrize("film", [-1.0, math.nan, 1e10])
def test_impossible_film(film: float) -> None:
    with pytest.raises(PhysicalRangeError, match="outer_film_W_m2K"):
        links(wall((Slab(0.05, 1.0, 2e6),), 4, 4, 1.1), np.zeros(4), film)


@pytest.mark.parametrize(("first", "others", "ratio"), [(0, 4, 1.1), (4, 0, 1.1), (4, 4, 0.5)])
def test_impossible_division(first: int, others: int, ratio: float) -> None:
    with pytest.raises(PhysicalRangeError):
        wall((Slab(0.05, 1.0, 2e6),), first, others, ratio)


@pytest.mark.parametrize("power_W", [-1.0, 2e6, math.nan])
def test_impossible_flame(power_W: float) -> None:
    with pytest.raises(PhysicalRangeError, match="power_W"):
        products_extra_W_K(METHANE, power_W)


@pytest.mark.parametrize("moisture", [-0.01, 0.51, math.nan])
def test_impossible_wood(moisture: float) -> None:
    with pytest.raises(PhysicalRangeError, match="moisture"):
        fuel("wood", moisture)


def test_unknown_fuel_lists_those_there_are() -> None:
    with pytest.raises(KeyError, match="methane, natural_gas, propane, wood"):
        fuel("peat")


def test_patch_that_sees_nothing() -> None:
    with pytest.raises(PhysicalRangeError, match="sees no other"):
        balanced(np.array([[0.0, 0.0], [0.0, 1.0]]), np.ones(2))


def test_enclosure_that_cannot_close() -> None:
    """A patch of 1 m² that only sees a patch of 2 m² which sees nothing else cannot close."""
    with pytest.raises(NoConvergence, match="rows off"):
        balanced(np.array([[0.0, 1.0], [1.0, 0.0]]), np.array([1.0, 2.0]), rounds=200)
