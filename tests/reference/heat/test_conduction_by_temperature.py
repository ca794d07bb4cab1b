"""Walls whose conductivity and heat capacity follow temperature, against SciPy's BDF on every node's own."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.integrate import solve_ivp
from scipy.sparse import diags

from hearthtide.heat.columns import Slab, Wall, advance_columns, links, wall
from hearthtide.heat.materials import TABLE_C, material, tabled
from hearthtide.ranges import Array
from published import Published

pytestmark = pytest.mark.subject("conduction")

ROOM_C, FILM_W_m2K, BACK_W_m2K, HEAT_UP_S = 25.0, 50.0, 10.0, 7200.0


def body(*layers: tuple[str, float]) -> Wall:
    return wall(tuple(Slab(thick_m, *tabled(material(name))) for name, thick_m in layers), 12, 6, 1.2)


BODIES = {
    "floor": body(("fireclay", 0.05), ("calcium_silicate", 0.08)),
    "dome": body(("dense_castable", 0.06), ("fibre_blanket", 0.10)),
}


def own(tables: Array, nodes_C: Array) -> Array:
    """A property (nodes, n) from tables (nodes, t), every node of every column at its own temperature."""
    return np.stack([np.interp(row_C, TABLE_C, row) for row_C, row in zip(nodes_C, tables, strict=True)])


def by_bdf(layered: Wall, gas_C: Array) -> tuple[Array, Array]:
    """Faces (n,) and nodes (nodes, n) after the heat-up of columns that each see their own gas."""
    step_m, shape = layered.step_m[:, None], (len(layered.step_m), len(gas_C))

    def half(nodes_C: Array) -> Array:
        return step_m / (2 * own(layered.conductivity_W_mK, nodes_C))

    def rate(_: float, flat: Array) -> Array:
        nodes = flat.reshape(shape)
        to_middle, gained = half(nodes), np.zeros(shape)
        flow = (nodes[:-1] - nodes[1:]) / (to_middle[:-1] + to_middle[1:])
        gained[:-1] -= flow
        gained[1:] += flow
        gained[0] += (gas_C - nodes[0]) / (to_middle[0] + 1 / FILM_W_m2K)
        gained[-1] += (ROOM_C - nodes[-1]) / (to_middle[-1] + 1 / BACK_W_m2K)
        return (gained / (own(layered.capacity_J_m3K, nodes) * step_m)).ravel()

    start = np.full(shape[0] * shape[1], ROOM_C)
    pattern = diags([1.0, 1.0, 1.0], [-shape[1], 0, shape[1]], shape=(start.size, start.size))
    done = solve_ivp(rate, (0, HEAT_UP_S), start, "BDF", rtol=1e-7, atol=1e-5, jac_sparsity=pattern)
    nodes = done.y[:, -1].reshape(shape)
    inward = 1 / half(nodes)[0]
    return (gas_C * FILM_W_m2K + nodes[0] * inward) / (FILM_W_m2K + inward), nodes


def ours(layered: Wall, gas_C: Array, renew_every: int, dt_s: float = 2.0) -> tuple[Array, Array]:
    film, face = np.full(len(gas_C), FILM_W_m2K), gas_C
    nodes = np.full((len(layered.step_m), len(gas_C)), ROOM_C)
    at = links(layered, nodes.mean(1), BACK_W_m2K)
    for step in range(round(HEAT_UP_S / dt_s)):
        if step % renew_every == 0:
            at = links(layered, nodes.mean(1), BACK_W_m2K)
        after = advance_columns(at, dt_s, nodes, film * gas_C, film, ROOM_C)
        nodes, face = after.nodes_C, after.face_C
    return face, nodes


def state_worst(
    published: Published, what: str, found_C: Array, expected_C: Array, within_K: float, at: str
) -> None:
    """The node or face that is farthest off."""
    worst = np.unravel_index(np.argmax(abs(found_C - expected_C)), found_C.shape)
    source = "SciPy's BDF, every node's own properties"
    told, found = float(expected_C[worst]), float(found_C[worst])
    published(what, source, expected=told, computed=found, absolute=within_K, unit="°C", at=at)


@pytest.mark.parametrize("name", BODIES)
@pytest.mark.parametrize("gas_C", [500.0, 900.0])
@pytest.mark.parametrize("renew_every", [1, 15], ids=["every step", "every half minute"])
def test_one_column_over_a_heat_up(published: Published, name: str, gas_C: float, renew_every: int) -> None:
    """Found: faces within 0.03 K, nodes within 0.06 K (floor) and 0.19 K (dome).

    With the properties of 200 °C throughout, the floor's face would be 4 K and the dome's nodes 27 K off.
    """
    face, nodes = ours(BODIES[name], np.array([gas_C]), renew_every)
    expected_face, expected = by_bdf(BODIES[name], np.array([gas_C]))
    at = f"{name}, gas {gas_C:g} °C"
    what = "wall whose properties follow temperature, 2 h"
    state_worst(published, f"{what}, face", face, expected_face, 0.1, at)
    state_worst(published, f"{what}, inside", nodes, expected, 0.5, at)


@pytest.mark.parametrize("name", BODIES)
def test_columns_that_differ_by_a_hundred_degrees(published: Published, name: str) -> None:
    """All columns take the properties of their mean, each of its own in BDF. Found: faces within 0.4 K on the
    floor and 0.04 K on the dome, nodes within 0.6 and 1.1 K (in the insulation).
    """
    gas_C = np.linspace(470.0, 600.0, 5)
    face, nodes = ours(BODIES[name], gas_C, 15)
    expected_face, expected = by_bdf(BODIES[name], gas_C)
    assert np.ptp(expected_face) > 100.0
    what = "five columns of one wall that end 114 K apart"
    state_worst(published, f"{what}, faces", face, expected_face, 0.5, name)
    state_worst(published, f"{what}, inside", nodes, expected, 1.5, name)
