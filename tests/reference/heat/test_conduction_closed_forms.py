"""Layered columns against closed forms and worked examples of textbooks (text values as printed there)."""

from __future__ import annotations

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np
import pytest

from hearthtide.heat.columns import Slab, Wall, advance_columns, links, wall
from published import Published

pytestmark = pytest.mark.subject("conduction")


def run(
    body: Wall, start_C: float, seconds: float, dt_s: float, gain_W_m2: float, loss_W_m2K: float
) -> tuple[np.ndarray, float, float]:
    """Nodes, face and inward flux of one column after a time with a constant surface condition."""
    nodes = np.full((len(body.step_m), 1), start_C)
    at = links(body, nodes[:, 0], 0.0)
    gain, loss = np.array([gain_W_m2]), np.array([loss_W_m2K])
    for _ in range(round(seconds / dt_s)):
        step = advance_columns(at, dt_s, nodes, gain, loss, start_C)
        nodes = step.nodes_C
    return nodes[:, 0], float(step.face_C[0]), float(step.in_W_m2[0])


def deep(conductivity: float, diffusivity: float, depth_m: float, nodes: int = 120) -> Wall:
    return wall((Slab(depth_m, conductivity, conductivity / diffusivity),), nodes, 1, 1.02)


def test_steel_under_constant_flux_holman_4_2_b(published: Published) -> None:
    body = deep(45.0, 1.4e-5, 0.25)
    nodes, face, _ = run(body, 35.0, 30.0, 0.02, 3.2e5, 0.0)
    inside, source = float(np.interp(0.025, body.depth_m, nodes)), "Holman 4.2"
    what = "steel under a constant flux, 30 s"
    published(f"{what}, 25 mm in", source, expected=79.3, computed=inside, relative=0.005, unit="°C")
    published(f"{what}, face", source, expected=199.4, computed=face, relative=0.005, unit="°C")


def test_steel_with_held_surface_holman_4_2_a(published: Published) -> None:
    body = deep(45.0, 1.4e-5, 0.25)
    nodes, _, _ = run(body, 35.0, 30.0, 0.02, 250.0 * 1e9, 1e9)
    inside, what = float(np.interp(0.025, body.depth_m, nodes)), "steel with a held face, 25 mm in after 30 s"
    published(what, "Holman 4.2", expected=118.5, computed=inside, relative=0.005, unit="°C")


def bisect(rising: Callable[[float], float], low: float, high: float) -> float:
    """Zero of a rising function between two bounds."""
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (low, middle) if rising(middle) > 0 else (middle, high)
    return low


def plane_wall_exact_C(biot: float, fourier: float, x: float, start: float, fluid: float) -> float:
    """The series of a wall insulated at x = 0 and washed at x = 1, summed to 60 terms."""
    total = 0.0
    for n in range(60):
        low, high = n * math.pi + 1e-9, n * math.pi + math.pi / 2 - 1e-9
        root = bisect(lambda z: z * math.tan(z) - biot, low, high)
        weight = 4 * math.sin(root) / (2 * root + math.sin(2 * root))
        total += weight * math.exp(-root * root * fourier) * math.cos(root * x)
    return fluid + (start - fluid) * total


def test_pipe_wall_incropera_5_4(published: Published) -> None:
    k, rho, c, h, thickness = 63.9, 7832.0, 434.0, 500.0, 0.04
    body = wall((Slab(thickness, k, rho * c),), 60, 1, 1.0)
    nodes, face, flux = run(body, -20.0, 480.0, 0.25, h * 60.0, h)
    fourier = k / (rho * c) * 480.0 / thickness**2
    outer = plane_wall_exact_C(h * thickness / k, fourier, 0.0, -20.0, 60.0)
    inner = plane_wall_exact_C(h * thickness / k, fourier, 1.0, -20.0, 60.0)
    book, what = "Incropera 5.4 (one term of the series)", "pipe wall washed by oil, 8 min"
    for side, exact, printed, found in (("outer", outer, 42.9, nodes[-1]), ("inner", inner, 45.2, face)):
        at = f"{what}, {side} face"
        published(at, "exact series", expected=exact, computed=found, absolute=0.05, unit="°C")
        published(at, book, expected=printed, computed=found, absolute=0.3, unit="°C")
    published(f"{what}, flux", book, expected=7400.0, computed=flux, relative=0.02, unit="W/m²")


def test_freezing_ground_geankoplis_5_3_1(published: Published) -> None:
    body = deep(0.865, 4.65e-7, 1.5)
    _, face, _ = run(body, 15.6, 5 * 3600.0, 10.0, 11.36 * -17.8, 11.36)
    what = "face of ground under frost, 5 h"
    published(what, "Geankoplis 5.3-1", expected=-5.2, computed=face, absolute=0.1, unit="°C")


def test_depth_of_frost_incropera_5_6(published: Published) -> None:
    """Soil at 20 °C whose face is held at -15 °C for 60 d: erf(x / 2 sqrt(a t)) = 15 / 35 at 0.6766 m."""
    conductivity, diffusivity = 0.52, 0.52 / (2050 * 1840)
    body = deep(conductivity, diffusivity, 6.0)
    nodes, _, _ = run(body, 20.0, 60 * 86_400.0, 3600.0, -15.0 * 1e9, 1e9)
    depth = float(np.interp(0.0, nodes, body.depth_m))
    exact = bisect(lambda x: math.erf(x / 2 / math.sqrt(diffusivity * 60 * 86_400)) - 15 / 35, 0.0, 6.0)
    what = "depth of frost in soil after 60 d"
    published(what, "closed form of Incropera 5.6", expected=exact, computed=depth, relative=0.005, unit="m")


def test_brass_plate_cengel_4_4(published: Published) -> None:
    """40 mm of brass, 20 °C into an oven of 500 °C for 7 min: 279.6 °C by the series (by chart 281)."""
    k, capacity, h, half_m = 110.0, 110 / 33.9e-6, 120.0, 0.02
    body = wall((Slab(half_m, k, capacity),), 60, 1, 1.0)
    _, face, _ = run(body, 20.0, 420.0, 0.1, h * 500.0, h)
    source = "exact series, data of Cengel 4-4"
    exact = plane_wall_exact_C(h * half_m / k, 33.9e-6 * 420 / half_m**2, 1.0, 20.0, 500.0)
    what = "face of a brass plate in an oven, 7 min"
    published(what, source, expected=exact, computed=face, relative=0.005, unit="°C")


def test_aluminium_plate_holman_4_6(published: Published) -> None:
    """50 mm at 200 °C in a fluid of 70 °C for 60 s: 150.4 °C at a quarter of it and 6.05 MJ/m² by the series,
    diffusivity 8.4e-5 m²/s and 2700 * 900 J/m³K apart as in the book (by its charts 147.7 and 6.48).
    """
    k, diffusivity, h, half_m, source = 215.0, 8.4e-5, 525.0, 0.025, "exact series, data of Holman 4.6"
    body = wall((Slab(half_m, k, k / diffusivity),), 60, 1, 1.0)
    nodes, _, _ = run(body, 200.0, 60.0, 0.01, h * 70.0, h)
    inside = float(np.interp(half_m / 2, body.depth_m, nodes))
    given = 2 * 2700 * 900 * float(body.step_m @ (200.0 - nodes)) / 1e6
    what = "aluminium plate in a fluid, 60 s"
    published(f"{what}, a quarter in", source, expected=150.4, computed=inside, relative=0.005, unit="°C")
    published(f"{what}, heat given", source, expected=6.05, computed=given, relative=0.005, unit="MJ/m²")


def test_aluminium_slab_holman_4_5(published: Published) -> None:
    """Deep slab, 200 °C into 70 °C: 40 mm in it is at 120 °C after 3561 s by the exact form."""
    body = deep(215.0, 8.4e-5, 4.0)
    nodes, _, _ = run(body, 200.0, 3561.0, 1.0, 525.0 * 70.0, 525.0)
    found, source = float(np.interp(0.04, body.depth_m, nodes)), "exact form, data of Holman 4.5"
    what = "aluminium slab 40 mm in, after 3561 s"
    published(what, source, expected=120.0, computed=found, relative=0.005, unit="°C")


def test_buried_pipe_cengel_4_6(published: Published) -> None:
    """Ground at 15 °C whose face is held at -10 °C for 90 d: 0 °C stands 0.801 m deep (chart: 0.78)."""
    body = deep(0.4, 0.15e-6, 6.0)
    nodes, _, _ = run(body, 15.0, 90 * 86_400.0, 3600.0, -10.0 * 1e9, 1e9)
    found, source = float(np.interp(0.0, nodes, body.depth_m)), "exact form, data of Cengel 4-6"
    published("depth of frost in 90 d", source, expected=0.801, computed=found, relative=0.005, unit="m")


def test_finger_in_a_flame_lienhard_5_5(published: Published) -> None:
    body = deep(0.63, 0.135e-6, 0.003)
    _, face, _ = run(body, 37.0, 0.33, 0.0005, 100.0 * 800.0, 100.0)
    what = "finger in a flame, 0.33 s"
    published(what, "Lienhard 5.5", expected=65.0, computed=face, absolute=0.4, unit="°C")


def test_furnace_wall_of_three_layers_jakob_and_hawkins_3_2(published: Published) -> None:
    inch, per_foot = 0.0254, 1.730735
    layers = ((9, 0.72), (5, 0.08), (7.5, 0.5))
    slabs = tuple(Slab(t * inch, k * per_foot, 1e4) for t, k in layers)
    hot, cold = (1500 - 32) / 1.8, (150 - 32) / 1.8
    nodes = np.full((24, 1), cold)
    at = links(wall(slabs, 8, 8, 1.2), nodes[:, 0], 1e9)
    for _ in range(60):
        step = advance_columns(at, 86_400.0, nodes, np.array([hot * 1e9]), np.array([1e9]), cold)
        nodes = step.nodes_C
    flux = float(step.out_W_m2[0])
    first = hot - flux * slabs[0].thickness_m / slabs[0].conductivity_W_mK
    second = first - flux * slabs[1].thickness_m / slabs[1].conductivity_W_mK
    for joint, expected, celsius in (("first", 1312, first), ("second", 375, second)):
        published(
            f"furnace wall of three layers, {joint} joint",
            "Jakob and Hawkins 3.2",
            expected=expected,
            computed=celsius * 1.8 + 32,
            absolute=1.0,
            unit="°F",
        )
    half = slabs[1].thickness_m / 16 / slabs[1].conductivity_W_mK
    assert nodes[8, 0] == pytest.approx(first - flux * half, abs=0.01)


@pytest.mark.parametrize(
    ("name", "stone", "contact_C"),
    [("brick", Slab(0.04, 0.86, 2500 * 900.0), 209.0), ("steel", Slab(0.10, 18.0, 7900 * 500.0), 300.0)],
)
def test_contact_of_dough_and_hot_stone(
    published: Published, name: str, stone: Slab, contact_C: float
) -> None:
    """Varlamov, Glatz, Grasso 2018: dough at 20 °C meets brick or steel at 330 °C (210 and 300 °C printed).

    With the paper's mid values of dough (k 0.5, rho 700, c 2250); one wall holds both, dough outermost.
    """
    dough = Slab(0.01, 0.5, 700 * 2250.0)
    body = wall((dough, stone), 100, 400, 1.0)
    nodes = np.where(np.arange(500) < 100, 20.0, 330.0)[:, None]
    at = links(body, nodes[:, 0], 0.0)
    for _ in range(100):
        nodes = advance_columns(at, 0.05, nodes, np.zeros(1), np.zeros(1), 20.0).nodes_C
    above = dough.conductivity_W_mK / body.step_m[99]
    below = stone.conductivity_W_mK / body.step_m[100]
    joint = (above * nodes[99, 0] + below * nodes[100, 0]) / (above + below)
    what = f"first contact of dough at 20 °C with {name} at 330 °C"
    published(
        what,
        "effusivity rule; Varlamov, Glatz, Grasso 2018",
        expected=contact_C,
        computed=joint,
        absolute=2.0,
        unit="°C",
    )


def flux_rise_exact_C(x_m: float, seconds: float, flux: float, k: float, diffusivity: float) -> float:
    """Carslaw and Jaeger: semi-infinite solid under a constant flux (also Incropera's case 2)."""
    root = math.sqrt(diffusivity * seconds)
    return float(
        2 * flux / k * root / math.sqrt(math.pi) * math.exp(-(x_m**2) / (4 * diffusivity * seconds))
        - flux * x_m / k * math.erfc(x_m / (2 * root))
    )


def test_heat_up_follows_flux_over_effusivity(published: Published) -> None:
    """Rise 2 q sqrt(t / pi) / e for fireclay (e 1470) under 10 kW/m2: 133 K after 300 s."""
    capacity = 2150 * 956.0
    body = wall((Slab(0.4, 1.05, capacity),), 80, 1, 1.05)
    _, face, _ = run(body, 25.0, 300.0, 0.25, 1e4, 0.0)
    effusivity = math.sqrt(1.05 * capacity)
    published(
        "fireclay under 10 kW/m² for 300 s, rise",
        "closed form: flux over effusivity",
        expected=2 * 1e4 * math.sqrt(300 / math.pi) / effusivity,
        computed=face - 25.0,
        relative=0.003,
        unit="K",
    )


def test_floor_falls_under_a_pizza_and_recovers_by_conduction(published: Published) -> None:
    """15 kW/m2 for 90 s out of fireclay, then nothing: 109 K, of which 47 to 19 % are left."""
    body = wall((Slab(0.4, 1.05, 2150 * 956.0),), 120, 1, 1.05)
    at, nodes, faces = links(body, np.full(120, 350.0), 0.0), np.full((120, 1), 350.0), [350.0]
    for second in range(690):
        flux = np.array([-15e3 if second < 90 else 0.0])
        step = advance_columns(at, 1.0, nodes, flux, np.zeros(1), 350.0)
        nodes = step.nodes_C
        faces.append(float(step.face_C[0]))
    drop = 2 * 15e3 * math.sqrt(90 / math.pi) / math.sqrt(1.05 * 2150 * 956.0)
    source = "closed form: fluxes superposed on a semi-infinite solid"
    what = "fireclay 90 s under 15 kW/m² of cold food"
    published(f"{what}, fall", source, expected=drop, computed=350 - faces[90], relative=0.01, unit="K")
    for after in (60, 90, 300, 600):
        left = (math.sqrt(90 + after) - math.sqrt(after)) / math.sqrt(90)
        published(
            f"{what}, share of the fall left",
            source,
            expected=100 * left,
            computed=100 * (350 - faces[90 + after]) / (350 - faces[90]),
            absolute=1.0,
            unit="%",
            at=f"{after} s",
        )


def test_first_order_in_time(published: Published) -> None:
    body = wall((Slab(0.5, 1.0, 2.2e6),), 300, 1, 1.005)
    exact = flux_rise_exact_C(0.0, 600.0, 1e4, 1.0, 1 / 2.2e6)
    errors = [run(body, 0.0, 600.0, dt, 1e4, 0.0)[1] - exact for dt in (20.0, 10.0, 5.0)]
    for coarse, fine in pairwise(errors):
        order = math.log2(abs(coarse / fine))
        published("order in time", "closed form", expected=1.0, computed=order, absolute=0.15)


def test_second_order_in_depth(published: Published) -> None:
    errors = []
    for nodes in (6, 12, 24):
        body = wall((Slab(0.05, 1.0, 2.0e6),), nodes, 1, 1.0)
        seconds = 0.3 * 0.05**2 * 2.0e6
        found, _, _ = run(body, 100.0, seconds, seconds / 40_000, 40.0 * 20.0, 40.0)
        # The middle of the last node lies half a step from the insulated face.
        exact = plane_wall_exact_C(2.0, 0.3, 0.5 / nodes, 100.0, 20.0)
        errors.append(found[-1] - exact)
    for coarse, fine in pairwise(errors):
        order = math.log2(abs(coarse / fine))
        published("order in depth", "closed form", expected=(1.8, 2.3), computed=order)
