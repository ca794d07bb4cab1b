from __future__ import annotations

import math

import numpy as np
import pytest

from hearthtide.errors import NoConvergence, PhysicalRangeError
from hearthtide.heat.columns import Slab, factor, wall
from hearthtide.heat.combustion import METHANE, carried_W_K
from hearthtide.heat.materials import material, material_names
from hearthtide.heat.ranges import require, require_shape
from hearthtide.heat.views import balanced


@pytest.mark.parametrize("value", [math.nan, math.inf, -1.0, np.array([0.5, math.nan]), np.array([2.0])])
def test_out_of_range_names_quantity_and_unit(value: float) -> None:
    with pytest.raises(PhysicalRangeError, match=r"speed = .* m/s \(expected 0 to 1 m/s\)"):
        require("speed", value, "m/s", 0.0, 1.0)


def test_wrong_shape_is_refused() -> None:
    with pytest.raises(PhysicalRangeError, match=r"x has shape \(2,\)"):
        require_shape("x", np.zeros(2), (3,))


def test_unknown_material_lists_those_there_are() -> None:
    with pytest.raises(KeyError, match="fibre_blanket"):
        material("moon_rock")


@pytest.mark.parametrize("name", material_names())
def test_every_material_is_possible(name: str) -> None:
    stuff = material(name)
    assert 0.01 < stuff.conductivity_W_mK < 500
    assert 50 < stuff.density_kg_m3 < 20_000
    assert 100 < stuff.heat_capacity_J_kgK < 5000
    assert 0 < stuff.emissivity <= 1
    assert 300 < stuff.max_C < 2500


def test_every_material_value_has_a_source_that_exists() -> None:
    from importlib.resources import files

    text = (files("hearthtide") / "data" / "sources.bib").read_text(encoding="utf-8")
    for name in material_names():
        for source in material(name).sources.values():
            assert source == "memory" or f"{{{source}," in text, f"{name}: {source}"


def test_effusivity_of_fireclay() -> None:
    """sqrt(1.05 * 2150 * 956) by hand."""
    assert material("fireclay").effusivity_J_m2Ks05 == pytest.approx(1469.1, rel=1e-3)


def test_wall_steps_add_up_and_grow() -> None:
    body = wall((Slab(0.05, 1.0, 2e6), Slab(0.1, 0.1, 5e5)), 12, 6, 1.2)
    assert body.step_m[:12].sum() == pytest.approx(0.05)
    assert body.step_m[12:].sum() == pytest.approx(0.1)
    assert body.step_m[1] / body.step_m[0] == pytest.approx(1.2)
    assert body.capacity_J_m2K.sum() == pytest.approx(0.05 * 2e6 + 0.1 * 5e5)


@pytest.mark.parametrize(
    "slabs", [(), (Slab(0.0, 1.0, 2e6),), (Slab(0.05, -1.0, 2e6),), (Slab(0.05, 1.0, math.nan),)]
)
def test_impossible_walls(slabs: tuple[Slab, ...]) -> None:
    with pytest.raises(PhysicalRangeError):
        wall(slabs, 4, 4, 1.1)


@pytest.mark.parametrize(("dt_s", "film"), [(0.0, 10.0), (-1.0, 10.0), (1.0, -1.0), (math.nan, 1.0)])
def test_impossible_steps(dt_s: float, film: float) -> None:
    with pytest.raises(PhysicalRangeError):
        factor(wall((Slab(0.05, 1.0, 2e6),), 4, 4, 1.1), dt_s, film)


def test_impossible_flame() -> None:
    with pytest.raises(PhysicalRangeError, match="power_W"):
        carried_W_K(METHANE, -1.0, 1.0)


def test_patch_that_sees_nothing() -> None:
    with pytest.raises(PhysicalRangeError, match="sees no other"):
        balanced(np.array([[0.0, 0.0], [0.0, 1.0]]), np.ones(2))


def test_enclosure_that_cannot_close() -> None:
    """A patch of 1 m² that only sees a patch of 2 m² which sees nothing else cannot close."""
    with pytest.raises(NoConvergence, match="rows off"):
        balanced(np.array([[0.0, 1.0], [1.0, 0.0]]), np.array([1.0, 2.0]), rounds=200)
