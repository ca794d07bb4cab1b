from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.advance import advance
from hearthtide.oven.design import FlameLevel, Layer, OvenDesign
from hearthtide.oven.field import receivers
from hearthtide.oven.footprint import Disc, Rect, cover_fractions
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import Load
from hearthtide.oven.model import build_oven
from hearthtide.oven.program import power_at_W, run_program
from hearthtide.oven.zones import flame_distance_m, floor_C_at, working_zone
from small_oven import DESIGN

OVEN = build_oven(DESIGN, QUICK)
COLD = OVEN.cold(22.0)


@pytest.mark.parametrize(
    ("design", "names"),
    [
        (replace(DESIGN, diameter_m=0.0), "diameter_m"),
        (replace(DESIGN, diameter_m=float("nan")), "diameter_m"),
        (replace(DESIGN, dome_height_m=2.0), "dome_height_m"),
        (replace(DESIGN, mouth_width_m=1.19), "mouth_width_m"),
        (replace(DESIGN, mouth_height_m=0.42), "mouth_height_m"),
        (replace(DESIGN, excess_air=-0.1), "excess_air"),
        (replace(DESIGN, mouth_flow_kg_s=5.0), "mouth_flow_kg_s.*kg/s"),
        (replace(DESIGN, emissivity_floor=1.2), "emissivity"),
        (replace(DESIGN, floor_convection_W_m2K=-1.0), "floor_convection_W_m2K.*W/m²K"),
        (replace(DESIGN, levels=()), "levels"),
        (replace(DESIGN, levels=(FlameLevel("sun", 1e9),)), "levels.sun.power_W"),
        (replace(DESIGN, floor=()), "slabs"),
        (replace(DESIGN, burner=replace(DESIGN.burner, length_m=9.0)), "burner.length_m"),
    ],
)
def test_impossible_designs(design: OvenDesign, names: str) -> None:
    with pytest.raises(PhysicalRangeError, match=names):
        build_oven(design, QUICK)


def test_unknown_wall_material() -> None:
    with pytest.raises(KeyError, match="moon_rock"):
        build_oven(replace(DESIGN, floor=(Layer("moon_rock", 0.05),)), QUICK)


def test_grid_needs_even_cells() -> None:
    with pytest.raises(PhysicalRangeError, match="even number"):
        Grid(15, 5, 12, 6, 3, 1.2)


@pytest.mark.parametrize(
    ("power_W", "dt_s", "names"),
    [(-1.0, 1.0, "power_W.*W"), (3e5, 1.0, "power_W"), (1e4, 0.0, "dt_s.*s"), (float("nan"), 1.0, "power_W")],
)
def test_impossible_steps_of_the_oven(power_W: float, dt_s: float, names: str) -> None:
    with pytest.raises(PhysicalRangeError, match=names):
        advance(OVEN, COLD, power_W, dt_s)


def test_impossible_weather() -> None:
    with pytest.raises(PhysicalRangeError, match="ambient_C"):
        OVEN.cold(500.0)


def load(cover: np.ndarray, conductance: float = 200.0, base: float = 60.0, top: float = 70.0) -> Load:
    return Load(cover, *(np.full(len(cover), value) for value in (conductance, base, top)))


def test_items_may_not_overlap() -> None:
    cover = cover_fractions(OVEN, (Disc(0.0, 0.6, 0.3), Disc(0.1, 0.6, 0.3)))
    with pytest.raises(PhysicalRangeError, match="cover"):
        load(cover)


@pytest.mark.parametrize(("kind", "value"), [("conductance", -1.0), ("base", 2000.0), ("top", float("nan"))])
def test_impossible_items(kind: str, value: float) -> None:
    with pytest.raises(PhysicalRangeError, match=kind):
        load(cover_fractions(OVEN, (Disc(0.0, 0.6, 0.3),)), **{kind: value})


def test_load_of_another_grid_is_refused() -> None:
    with pytest.raises(PhysicalRangeError, match="cover"):
        advance(OVEN, COLD, 0.0, 1.0, load(np.zeros((1, 5))))


def test_load_of_uneven_arrays_is_refused() -> None:
    with pytest.raises(PhysicalRangeError, match="base_C"):
        Load(np.zeros((1, 5)), np.ones(1), np.ones(2), np.ones(1))


def test_hearth_is_the_disc_behind_the_sill() -> None:
    oven = build_oven(DESIGN, NOMINAL)
    x, y = oven.cells_m.T
    assert np.all(y > 0)
    assert np.all(x**2 + (y - DESIGN.centre_m[1]) ** 2 <= DESIGN.radius_m**2)
    half_angle = np.arcsin(0.25 / 0.6)
    sliver = 0.6**2 * (half_angle - np.sin(half_angle) * np.cos(half_angle))
    assert len(x) * oven.cell_area_m2 == pytest.approx(np.pi * 0.6**2 - sliver, rel=0.01)


def test_mouth_has_its_own_area() -> None:
    assert OVEN.mouth_area_m2.sum() == pytest.approx(0.5 * 0.24, rel=1e-9)


def test_contact_and_top_take_heat_from_a_hot_oven() -> None:
    state = COLD
    for _ in range(60):
        state = advance(OVEN, state, 26_000.0, 30.0).state
    shapes = (Disc(0.0, 0.7, 0.3), Rect(0.3, 0.5, 0.2, 0.1))
    step = advance(OVEN, state, 26_000.0, 1.0, load(cover_fractions(OVEN, shapes)))
    assert np.all(step.contact_W > 0)
    assert np.all(step.top_W > 0)
    assert step.ledger.food_J == pytest.approx(float(step.contact_W.sum() + step.top_W.sum()))


def test_stone_under_a_cold_item_falls_and_comes_back() -> None:
    state = COLD
    for _ in range(120):
        state = advance(OVEN, state, 26_000.0, 30.0).state
    spot = np.array([[0.0, 0.7]])
    before = floor_C_at(OVEN, state, spot)[0]
    cover = cover_fractions(OVEN, (Disc(0.0, 0.7, 0.3),))
    for _ in range(90):
        state = advance(OVEN, state, 26_000.0, 1.0, load(cover)).state
    under = floor_C_at(OVEN, state, spot)[0]
    for _ in range(300):
        state = advance(OVEN, state, 26_000.0, 1.0).state
    after = floor_C_at(OVEN, state, spot)[0]
    assert under < before - 30
    assert under < after < before + 30


@pytest.mark.parametrize(
    ("point", "names"),
    [((0.0, -0.1), "y_m"), ((0.0, 1.3), "centre"), ((0.59, 0.1), "centre"), ((float("nan"), 0.5), "centre")],
)
def test_points_off_the_hearth(point: tuple[float, float], names: str) -> None:
    with pytest.raises(PhysicalRangeError, match=names):
        floor_C_at(OVEN, COLD, np.array([point]))


@pytest.mark.parametrize(
    ("point", "normal", "names"),
    [
        ((0.0, 0.6, -0.1), (0, 0, 1), "height"),
        ((0.55, 0.6, 0.3), (0, 0, 1), "across the dome"),
        ((0.0, 0.6, 0.04), (0, 0, 0), "normals"),
        ((0.0, -0.02, 0.04), (0, 0, 1), "y_m"),
    ],
)
def test_impossible_receivers(point: tuple[float, ...], normal: tuple[float, ...], names: str) -> None:
    with pytest.raises(PhysicalRangeError, match=names):
        receivers(OVEN, np.array([point]), np.array([normal], dtype=float))


def test_working_zone_keeps_clear() -> None:
    zone = working_zone(OVEN, 0.35)
    assert 0.3 < zone.mean() < 0.9
    assert flame_distance_m(OVEN, OVEN.cells_m[zone]).min() >= 0.35
    assert OVEN.cells_m[zone, 1].min() >= 0.12


def test_flame_distance_by_hand() -> None:
    """The ribbon's middle lies at 0.54 m from the centre towards the back left."""
    x0, y0 = DESIGN.centre_m
    side = np.sqrt(0.5)
    middle = (x0 - 0.54 * side, y0 + 0.54 * side)
    points = np.array([(middle[0] + 0.2 * side, middle[1] - 0.2 * side), (x0, y0)])
    assert flame_distance_m(OVEN, points) == pytest.approx([0.2, 0.54], abs=1e-3)


def test_program_holds_and_changes_on_time() -> None:
    program = ((0.0, 20_000.0), (95.0, 2_000.0))
    assert power_at_W(program, 94.9) == 20_000.0
    assert power_at_W(program, 95.0) == 2_000.0
    seen: list[float] = []
    trace = run_program(OVEN, COLD, program, 200.0, 10.0, 60.0, seen.append)
    assert trace.times_s.tolist() == [0.0, 60.0, 120.0, 180.0, 200.0]
    assert trace.power_W.tolist() == [20_000.0, 20_000.0, 2_000.0, 2_000.0, 2_000.0]
    assert trace.ledger.fuel_J == pytest.approx(95 * 20_000 + 105 * 2_000)
    assert seen == pytest.approx([0.3, 0.6, 0.9, 1.0])
    assert trace.gas_C[1] > trace.gas_C[2]


@pytest.mark.parametrize(
    "program", [(), ((10.0, 1.0), (0.0, 1.0)), ((0.0, 1.0), (0.0, 2.0)), ((300.0, 1.0),), ((0.0, -5.0),)]
)
def test_impossible_programs(program: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(PhysicalRangeError):
        run_program(OVEN, COLD, program, 200.0, 10.0, 60.0)


def test_time_before_the_program() -> None:
    with pytest.raises(PhysicalRangeError, match="before"):
        power_at_W(((10.0, 1.0),), 5.0)


def test_ledgers_add() -> None:
    one = Ledger(*(float(i) for i in range(9)))
    assert one + one == Ledger(*(2.0 * i for i in range(9)))
