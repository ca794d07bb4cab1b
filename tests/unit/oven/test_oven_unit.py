from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from hearthtide.errors import PhysicalRangeError
from hearthtide.oven.advance import advance, standing
from hearthtide.oven.design import Burner, Crown, FlameLevel, Flue, Layer, Mouth, OvenDesign
from hearthtide.oven.field import receivers
from hearthtide.oven.flame import Fire, steady_fire
from hearthtide.oven.footprint import Disc, Rect, cover_fractions
from hearthtide.oven.grid import QUICK, Grid
from hearthtide.oven.hearth import RectangularHearth, RoundHearth
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import Load
from hearthtide.oven.model import build_oven
from hearthtide.oven.program import Placed, power_at_W, run_program
from hearthtide.oven.zones import flame_distance_m, floor_C_at, working_zone
from small_oven import DESIGN

OVEN = build_oven(DESIGN, QUICK)
COLD = OVEN.cold(22.0)


RIBBON = DESIGN.burners[0]
OWN = DESIGN.coefficients
BOX = replace(DESIGN, hearth=RectangularHearth(1.0, 0.8))


@pytest.mark.parametrize(
    ("design", "names"),
    [
        (replace(DESIGN, hearth=RoundHearth(0.0, 0.5)), "hearth width.*m"),
        (replace(DESIGN, hearth=RoundHearth(float("nan"), 0.5)), "hearth width"),
        (replace(DESIGN, hearth=RoundHearth(1.2, 1.3)), "sill_m"),
        (replace(DESIGN, hearth=RectangularHearth(1.0, 0.1)), "hearth depth"),
        (replace(DESIGN, crown=Crown("dome", 0.0, 5.0)), "crown.rise_m"),
        (replace(DESIGN, crown=Crown("dome", 0.8, -0.3)), "crown.rise_m"),
        (replace(DESIGN, crown=Crown("dome", -0.1, 0.5)), "crown.wall_m"),
        (replace(DESIGN, crown=Crown("flat", 0.3, 0.1)), "crown.rise_m"),
        (replace(DESIGN, crown=Crown("flat", 0.09, 0.0)), "crown height"),
        (replace(DESIGN, crown=Crown("barrel", 0.1, 0.3)), "barrel on a round hearth"),
        (replace(DESIGN, mouth=Mouth(1.19, 0.24)), "mouth_width_m"),
        (replace(DESIGN, mouth=Mouth(0.5, 0.43)), "mouth_height_m"),
        (replace(DESIGN, mouth=Mouth(0.5, float("nan"))), "mouth_height_m"),
        (replace(DESIGN, mouth=Mouth(0.5, 0.24, gap=1.5)), "gap"),
        (replace(BOX, crown=Crown("flat", 0.2, 0.0), mouth=Mouth(0.5, 0.21)), "mouth_height_m"),
        (replace(BOX, crown=Crown("barrel", 0.1, 0.1), mouth=Mouth(0.9, 0.19)), "mouth_height_m"),
        (
            replace(
                DESIGN,
                hearth=RectangularHearth(0.8, 2.0),
                crown=Crown("dome", 0.0, 0.14),
                mouth=Mouth(0.55, 0.135),
            ),
            "opening cut into the crown",
        ),
        (replace(DESIGN, coefficients=replace(OWN, emissivity_floor=1.2)), "emissivity"),
        (replace(DESIGN, coefficients=replace(OWN, lower_film_W_m2K=-1.0)), "lower_film_W_m2K.*W/m²K"),
        (replace(DESIGN, coefficients=replace(OWN, entrainment=0.0)), "entrainment"),
        (replace(DESIGN, coefficients=replace(OWN, discharge=1.2)), "discharge"),
        (replace(DESIGN, coefficients=replace(OWN, radiant=-1.0)), "radiant"),
        (replace(DESIGN, flue=Flue("inside", -0.1, 2.0)), "flue.diameter_m"),
        (replace(DESIGN, flue=Flue("inside", 0.1, -2.0)), "flue.height_m"),
        (replace(DESIGN, moisture=0.7), "moisture"),
        (replace(DESIGN, levels=()), "levels"),
        (replace(DESIGN, levels=(FlameLevel("sun", 1e9),)), "levels.sun.power_W"),
        (replace(DESIGN, floor=()), "slabs"),
        (replace(DESIGN, burners=()), "number of burners"),
        (replace(DESIGN, burners=(replace(RIBBON, share=0.5),)), "shares"),
        (replace(DESIGN, burners=(replace(RIBBON, share=1.5), Burner("under", share=-0.5))), "burner.share"),
        (replace(DESIGN, burners=(replace(RIBBON, length_m=9.0),)), "burner.length_m"),
        (replace(DESIGN, burners=(replace(RIBBON, breadth_m=0.0),)), "burner.breadth_m"),
        (replace(DESIGN, burners=(replace(RIBBON, standoff_m=-0.1),)), "distance from wall and sill"),
        (
            replace(DESIGN, burners=(replace(RIBBON, bearing_deg=180.0, standoff_m=0.02),)),
            "distance from wall and sill",
        ),
        (replace(DESIGN, burners=(Burner("bed", 0.0, 0.0, 0.6, 0.1),)), "distance from wall and sill"),
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
    [(-1.0, 1.0, "power_W.*W"), (6e5, 1.0, "power_W"), (1e4, 0.0, "dt_s.*s"), (float("nan"), 1.0, "power_W")],
)
def test_impossible_steps_of_the_oven(power_W: float, dt_s: float, names: str) -> None:
    with pytest.raises(PhysicalRangeError, match=names):
        advance(OVEN, COLD, power_W, dt_s)


def test_what_is_held_is_what_would_be_worked_out() -> None:
    hot = advance(OVEN, COLD, 20_000.0, 15.0, steps=40).state
    held = standing(OVEN, hot, 20_000.0)
    anew, kept = advance(OVEN, hot, 20_000.0, 4.0), advance(OVEN, hot, 20_000.0, 4.0, held=held)
    assert np.array_equal(anew.state.floor_nodes_C, kept.state.floor_nodes_C)
    later = advance(OVEN, anew.state, 20_000.0, 4.0, held=held)
    assert later.state.floor_C == pytest.approx(
        advance(OVEN, anew.state, 20_000.0, 4.0).state.floor_C, abs=0.05
    )
    assert abs(later.ledger.residual_J) < 1e-9 * later.ledger.fuel_J
    with pytest.raises(ValueError, match="held of"):
        advance(OVEN, hot, 10_000.0, 4.0, held=held)


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


def test_mouth_is_the_chord_cut_from_the_dome() -> None:
    """Its patches bulge outward a little; the opening that they close together is width x height."""
    room = OVEN.room
    vectors = (room.area_m2[:, None] * room.normal)[room.is_mouth].sum(0)
    assert np.linalg.norm(vectors) == pytest.approx(0.5 * 0.24, rel=0.005)
    assert 0.5 * 0.24 < OVEN.mouth_area_m2.sum() < 1.06 * 0.5 * 0.24


def test_fire_shares_its_power() -> None:
    """Under the floor by share; the rest flames, or for wood flames and embers by what is steady."""
    pair = (replace(RIBBON, share=0.7), Burner("under", share=0.3))
    fire = steady_fire(replace(DESIGN, burners=pair), 10_000.0)
    assert (fire.flame_W, fire.embers_W, fire.under_W) == pytest.approx((7_000.0, 0.0, 3_000.0))
    wood = replace(DESIGN, burners=(Burner("bed", 0.0, 0.0, 0.3, 0.25),), fuel="wood", moisture=0.18)
    fire = steady_fire(wood, 10_000.0)
    assert fire.power_W == pytest.approx(10_000.0)
    # 0.82 x 0.22 x 31 MJ/kg of char in 14.4 MJ/kg of wood.
    assert fire.embers_W == pytest.approx(10_000.0 * 0.82 * 0.22 * 31 / 14.4, rel=0.01)


def test_what_shines_and_what_does_not_is_the_fire() -> None:
    """Propane at 26 kW on 0.5 x 0.04 m shines 0.271 (1 - exp(-1300/200)) = 0.2706 (NIST TN 1926's fit)."""
    oven = build_oven(replace(DESIGN, fuel="propane"), QUICK)
    fire = oven.fire(26_000.0)
    strips = oven.sheet.strip_W(fire)
    assert strips.sum() == pytest.approx(0.2706 * 26_000.0, rel=1e-3)
    assert oven.burning(fire).convective_W == pytest.approx((1 - 0.2706) * 26_000.0, rel=1e-3)
    # 0.034 (26 / 0.5)^(2/3) m (NUREG-1805, 4-1)
    assert oven.sheet.free_length_m(fire) == pytest.approx(0.034 * 52 ** (2 / 3), rel=1e-9)


def test_under_floor_burner_warms_the_stone_from_below() -> None:
    oven = build_oven(replace(DESIGN, burners=(Burner("under"),)), QUICK)
    step = advance(oven, oven.cold(20.0), 5_000.0, 10.0, steps=6)
    nodes = step.state.floor_nodes_C[:, oven.stone.where].mean(1)
    assert np.all(np.diff(nodes) > 0)
    assert nodes[-1] > 20.5
    assert abs(step.ledger.residual_J) < 1e-9 * step.ledger.fuel_J
    # Half of it leaves by that burner's own flue (own choice in the model).
    assert step.ledger.flue_J == pytest.approx(0.5 * 300_000.0, rel=0.01)


def test_shut_door_needs_a_door() -> None:
    with pytest.raises(PhysicalRangeError, match="door"):
        advance(OVEN, COLD, 0.0, 1.0, shut=True)


def test_dying_embers_do_not_stop_a_run() -> None:
    """A bed left overnight halves every half hour and never quite goes out."""
    wood = build_oven(
        replace(DESIGN, burners=(Burner("bed", 0.0, 0.0, 0.3, 0.25),), fuel="wood"),
        QUICK,
    )
    lit = advance(wood, wood.cold(20.0), 15_000.0, 10.0, steps=6).state
    out = advance(wood, lit, 0.0, 10.0).state
    for embers_W in (1.0, 1e-3, 1e-6, 1e-30):
        after = advance(wood, lit, Fire(0.0, embers_W), 10.0).state
        assert after.floor_C == pytest.approx(out.floor_C, abs=0.5)


def test_contact_and_top_take_heat_from_a_hot_oven() -> None:
    state = advance(OVEN, COLD, 26_000.0, 30.0, steps=60).state
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


@pytest.mark.parametrize("point", [(0.0, -0.1), (0.0, 1.3), (0.59, 0.1), (float("nan"), 0.5)])
def test_points_off_the_hearth(point: tuple[float, float]) -> None:
    with pytest.raises(PhysicalRangeError, match="hearth's edge"):
        floor_C_at(OVEN, COLD, np.array([point]))


@pytest.mark.parametrize(
    ("point", "normal", "names"),
    [
        ((0.0, 0.6, -0.1), (0, 0, 1), "inside the oven"),
        ((0.55, 0.6, 0.3), (0, 0, 1), "inside the oven"),
        ((0.0, 0.6, 0.04), (0, 0, 0), "normals"),
        ((0.0, -0.2, 0.04), (0, 0, 1), "inside the oven"),
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
    x0, y0 = DESIGN.hearth.centre_m
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
    assert trace.power_W[1] > trace.power_W[2]


@pytest.mark.parametrize(
    "program", [(), ((10.0, 1.0), (0.0, 1.0)), ((0.0, 1.0), (0.0, 2.0)), ((300.0, 1.0),), ((0.0, -5.0),)]
)
def test_impossible_programs(program: tuple[tuple[float, float], ...]) -> None:
    with pytest.raises(PhysicalRangeError):
        run_program(OVEN, COLD, program, 200.0, 10.0, 60.0)


def test_food_that_overlaps_in_time_is_refused() -> None:
    one = Placed(Disc(0.0, 0.6, 0.3), 0.0, 60.0, 200.0, 60.0, 70.0)
    program = ((0.0, 10_000.0),)
    beside_in_time = replace(one, from_s=60.0, until_s=120.0)
    run_program(OVEN, COLD, program, 120.0, 10.0, 60.0, placed=(one, beside_in_time))
    with pytest.raises(PhysicalRangeError, match="cover"):
        run_program(OVEN, COLD, program, 120.0, 10.0, 60.0, placed=(one, replace(one, from_s=50.0)))


def test_time_before_the_program() -> None:
    with pytest.raises(PhysicalRangeError, match="before"):
        power_at_W(((10.0, 1.0),), 5.0)


def test_ledgers_add() -> None:
    one = Ledger(*(float(i) for i in range(9)))
    assert one + one == Ledger(*(2.0 * i for i in range(9)))
