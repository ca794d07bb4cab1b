from __future__ import annotations

from dataclasses import replace
from importlib.resources import files

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.materials import TABLE_C, Material, material, material_names, tabled

PLAIN = Material(
    name="plain",
    conductivity=((100.0, 1.0), (300.0, 2.0)),
    heat_capacity=((0.0, 800.0),),
    density_kg_m3=2000.0,
    emissivity=0.9,
    max_C=1000.0,
    sources={},
)
PROPERTIES = {"conductivity", "heat_capacity", "density_kg_m3", "emissivity", "max_C"}


def test_unknown_material_lists_those_there_are() -> None:
    with pytest.raises(KeyError, match="fibre_blanket"):
        material("moon_rock")


@pytest.mark.parametrize(
    ("temperature_C", "conductivity_W_mK"),
    [(-50.0, 1.0), (100.0, 1.0), (150.0, 1.25), (300.0, 2.0), (900.0, 2.0)],
)
def test_linear_between_pairs_and_held_beyond(temperature_C: float, conductivity_W_mK: float) -> None:
    """By hand: 1 + (150 - 100) / (300 - 100) = 1.25."""
    assert PLAIN.conductivity_W_mK(temperature_C) == pytest.approx(conductivity_W_mK)


def test_one_pair_is_a_constant_in_the_shape_asked_for() -> None:
    asked = np.array([[-40.0, 20.0, 400.0], [600.0, 1000.0, 1500.0]])
    assert np.array_equal(PLAIN.heat_capacity_J_kgK(asked), np.full((2, 3), 800.0))


def test_effusivity_and_diffusivity_by_hand() -> None:
    """At 200 °C k = 1.5: sqrt(1.5 * 2000 * 800) = 1549.19; 1.5 / (2000 * 800) = 9.375e-7."""
    assert PLAIN.effusivity_J_m2Ks05(200.0) == pytest.approx(1549.19, rel=1e-5)
    assert PLAIN.diffusivity_m2_s(200.0) == pytest.approx(9.375e-7)


def test_table_grid() -> None:
    assert (TABLE_C[0], TABLE_C[-1], len(TABLE_C)) == (-50.0, 1500.0, 63)
    assert np.all(np.diff(TABLE_C) == 25.0)


def test_tabled_by_hand() -> None:
    """k 1.0 at 100, 1.125 at 125 °C; rho c 2000 * 800 = 1.6e6 everywhere."""
    conductivity, capacity = tabled(PLAIN)
    assert conductivity[TABLE_C == 100.0] == pytest.approx(1.0)
    assert conductivity[TABLE_C == 125.0] == pytest.approx(1.125)
    assert np.all(capacity == 1.6e6)


@pytest.mark.parametrize("name", material_names())
def test_every_material_is_possible(name: str) -> None:
    """Limits of solids and air; rho c is at least the 1000 J/m³K that the wall model asks for."""
    stuff = material(name)
    conductivity, capacity = tabled(stuff)
    assert conductivity.shape == capacity.shape == TABLE_C.shape
    assert 0.02 < conductivity.min() <= conductivity.max() < 100
    assert 1000 <= capacity.min() <= capacity.max() < 5e7
    assert 1 <= stuff.density_kg_m3 < 10_000
    assert 0.5 < stuff.emissivity <= 1
    assert 300 < stuff.max_C < 2000


@pytest.mark.parametrize("name", material_names())
def test_every_value_has_a_source_that_exists(name: str) -> None:
    known = (files("hearthtide") / "data" / "sources.bib").read_text(encoding="utf-8")
    sources = material(name).sources
    assert set(sources) == PROPERTIES
    for key, source in sources.items():
        assert source == "memory" or f"{{{source}," in known, f"{name}.{key}: {source}"


@given(name=st.sampled_from(material_names()), temperature_C=st.floats(-273.0, 5000.0))
def test_always_within_the_table(name: str, temperature_C: float) -> None:
    stuff = material(name)
    for table, value in (
        (stuff.conductivity, stuff.conductivity_W_mK(temperature_C)),
        (stuff.heat_capacity, stuff.heat_capacity_J_kgK(temperature_C)),
    ):
        values = [pair[1] for pair in table]
        assert min(values) <= value <= max(values)


@pytest.mark.parametrize("temperature_C", [-300.0, float("nan"), np.array([20.0, 6000.0])])
def test_impossible_temperatures_are_refused(temperature_C: float) -> None:
    with pytest.raises(PhysicalRangeError, match="temperature_C"):
        PLAIN.conductivity_W_mK(temperature_C)


@pytest.mark.parametrize(
    ("changed", "words"),
    [
        ({"conductivity": ()}, "no pair"),
        ({"conductivity": ((300.0, 1.0), (100.0, 2.0))}, "rising"),
        ({"heat_capacity": ((100.0, 800.0), (100.0, 900.0))}, "rising"),
        ({"conductivity": ((20.0, 0.0),)}, "plain.conductivity = 0 W/mK"),
        ({"heat_capacity": ((20.0, float("nan")),)}, "plain.heat_capacity"),
        ({"density_kg_m3": -1.0}, "plain.density_kg_m3"),
        ({"emissivity": 1.1}, "plain.emissivity"),
        ({"max_C": 1e4}, "plain.max_C"),
    ],
)
def test_impossible_materials_are_refused(changed: dict[str, object], words: str) -> None:
    with pytest.raises(PhysicalRangeError, match=words):
        replace(PLAIN, **changed)
