from __future__ import annotations

from dataclasses import replace
from functools import cache

import numpy as np
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from hearthtide.oven.advance import advance
from hearthtide.oven.field import receivers
from hearthtide.oven.footprint import Disc, Rect, cover_fractions
from hearthtide.oven.gas import with_gas
from hearthtide.oven.grid import Grid
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.load import NO_LOAD, Load
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.zones import floor_C_at
from small_oven import DESIGN as ON_NATURAL_GAS

SMALL = Grid(cells=12, rings=4, sectors=10, hot_nodes=5, further_nodes=2, growth=1.3)
DESIGN = replace(ON_NATURAL_GAS, fuel="propane")
POWERS = st.lists(st.one_of(st.just(0.0), st.floats(100.0, 40_000.0)), min_size=1, max_size=12)


@cache
def oven(bearing_deg: float = -45.0) -> Oven:
    burner = replace(DESIGN.burners[0], bearing_deg=bearing_deg)
    return build_oven(replace(DESIGN, burners=(burner,)), SMALL)


def run(kiln: Oven, powers: list[float], dt_s: float, load: Load = NO_LOAD) -> tuple[OvenState, Ledger]:
    state, ledger = kiln.cold(20.0), Ledger()
    for power in powers:
        step = advance(kiln, state, power, dt_s, load)
        state, ledger = step.state, ledger + step.ledger
    return state, ledger


@settings(max_examples=15, deadline=None)
@given(bearing=st.sampled_from([-120.0, -90.0, -45.0, -10.0, 0.0]), powers=POWERS)
def test_mirror_oven_has_the_mirror_state(bearing: float, powers: list[float]) -> None:
    left, right = oven(bearing), oven(-bearing)
    one, other = run(left, powers, 20.0)[0], run(right, powers, 20.0)[0]
    mirrored = right.cells_m * (-1, 1)
    same = np.linalg.norm(left.cells_m[:, None] - mirrored[None], axis=2).argmin(1)
    np.testing.assert_allclose(one.floor_C, other.floor_C[same], atol=1e-7)
    np.testing.assert_allclose(np.sort(one.dome_C), np.sort(other.dome_C), atol=1e-7)
    at, facing = (
        np.array([[-0.2, 0.6, 0.04], [0.3, 0.5, 0.04]]),
        np.array([[-1.0, 0.3, 0.1], [0.0, 0.0, 1.0]]),
    )
    here = receivers(left, at, facing).irradiance_W_m2(left, one, powers[-1])
    there = receivers(right, at * (-1, 1, 1), facing * (-1, 1, 1)).irradiance_W_m2(right, other, powers[-1])
    np.testing.assert_allclose(here, there, rtol=1e-3)


@settings(max_examples=25, deadline=None)
@given(power=st.floats(200.0, 20_000.0), times=st.floats(1.5, 3.0), dt=st.floats(0.5, 60))
def test_a_much_larger_flame_heats_a_cold_oven_more(power: float, times: float, dt: float) -> None:
    """A little more flame may cool: its plume stirs cold air into the gas under a hot roof."""
    low, high = run(oven(), [power] * 6, dt)[0], run(oven(), [times * power] * 6, dt)[0]
    assert np.all(high.floor_C >= low.floor_C)
    assert np.all(high.dome_C >= low.dome_C)
    assert high.upper_C >= low.upper_C


@given(ambient=st.floats(-20, 50), dt=st.floats(0.1, 3000))
@settings(max_examples=20, deadline=None)
def test_unfired_oven_at_ambient_stays(ambient: float, dt: float) -> None:
    start = with_gas(oven().cold(ambient), ambient, ambient)
    step = advance(oven(), start, 0.0, dt)
    np.testing.assert_allclose(step.state.floor_C, ambient, atol=1e-9)
    np.testing.assert_allclose(step.state.dome_C, ambient, atol=1e-9)
    assert abs(step.ledger.residual_J) < 1e-4


@settings(max_examples=20, deadline=None)
@given(powers=POWERS, dt=st.floats(1.0, 60.0))
def test_heat_never_flows_from_cold(powers: list[float], dt: float) -> None:
    """Without a flame the hottest node only falls, and nothing falls below the room."""
    state, _ = run(oven(), powers, 30.0)
    for _ in range(20):
        hottest = max(state.floor_nodes_C.max(), state.dome_nodes_C.max(), state.floor_C.max())
        hottest = max(hottest, state.dome_C.max())
        state = advance(oven(), state, 0.0, dt).state
        assert max(state.floor_C.max(), state.dome_C.max(), state.floor_nodes_C.max()) <= hottest + 1e-9
        assert min(state.floor_C.min(), state.dome_C.min(), state.gas_C) >= 20.0 - 1e-9


@settings(max_examples=25, deadline=None)
@given(
    powers=POWERS,
    base=st.floats(0, 300),
    top=st.floats(0, 300),
    conductance=st.floats(0, 2000),
    dt=st.floats(0.1, 60),
)
def test_every_joule_is_booked(
    powers: list[float], base: float, top: float, conductance: float, dt: float
) -> None:
    cover = cover_fractions(oven(), (Disc(0.0, 0.6, 0.3), Rect(0.3, 0.5, 0.2, 0.1), Disc(-0.1, 0.2, 0.25)))
    load = Load(cover, np.full(3, conductance), np.full(3, base), np.full(3, top))
    _, ledger = run(oven(), [*powers, 10_000.0], dt, load)
    assert abs(ledger.residual_J) <= 1e-9 * ledger.fuel_J + 1e-9 * abs(ledger.food_J)


@settings(max_examples=25, deadline=None)
@given(powers=POWERS, base=st.floats(0, 600))
def test_contact_heat_flows_from_hot_to_cold(powers: list[float], base: float) -> None:
    state, _ = run(oven(), powers, 30.0)
    cover = cover_fractions(oven(), (Disc(0.0, 0.6, 0.08),))
    step = advance(
        oven(), state, 0.0, 1.0, Load(cover, np.full(1, 300.0), np.full(1, base), np.full(1, base))
    )
    under = step.state.floor_C[cover[0] > 0]
    assume(under.max() < base or under.min() > base)
    assert (step.contact_W[0] > 0) == (under.min() > base)


@given(x=st.floats(-0.2, 0.2), y=st.floats(0.35, 0.75), size=st.floats(0.02, 0.4), other=st.floats(0.02, 0.4))
@settings(deadline=None)
def test_cover_has_the_footprints_area(x: float, y: float, size: float, other: float) -> None:
    for shape in (Disc(x, y, size), Rect(x, y, size, other)):
        cover = cover_fractions(oven(), (shape,))
        np.testing.assert_allclose(cover.sum() * oven().cell_area_m2, shape.area_m2, rtol=0.02)
        assert cover.min() >= 0
        assert cover.max() <= 1


@given(x=st.floats(-0.2, 0.2), y=st.floats(0.4, 0.7), a=st.floats(0.02, 0.3), b=st.floats(0.02, 0.3))
@settings(deadline=None)
def test_items_that_touch_do_not_overlap(x: float, y: float, a: float, b: float) -> None:
    apart = (a + b) / 2
    pairs = (
        (Disc(x, y, a), Disc(x + apart * 0.6, y + apart * 0.8, b)),
        (Disc(x, y, a), Rect(x + apart, y, b, a)),
        (Rect(x, y, a, b), Rect(x + a, y, a, b)),
    )
    for pair in pairs:
        assert cover_fractions(oven(), pair).sum(0).max() <= 1 + 1e-9


@given(
    slope=st.tuples(st.floats(-300, 300), st.floats(-300, 300)), x=st.floats(-0.3, 0.3), y=st.floats(0.3, 0.9)
)
@settings(deadline=None)
def test_interpolation_is_exact_on_a_plane(slope: tuple[float, float], x: float, y: float) -> None:
    plane = replace(oven().cold(20.0), floor_C=300 + oven().cells_m @ np.array(slope))
    found = floor_C_at(oven(), plane, np.array([[x, y]]))[0]
    assert abs(found - (300 + slope[0] * x + slope[1] * y)) < 1e-8
