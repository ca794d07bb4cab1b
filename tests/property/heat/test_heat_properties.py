from __future__ import annotations

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.heat.columns import Slab, advance_columns, links, wall
from hearthtide.heat.materials import material, tabled
from hearthtide.heat.radiosity import enclosure
from hearthtide.heat.views import balanced

CONSTANT = wall((Slab(0.05, 1.0, 2.2e6), Slab(0.1, 0.12, 6e5)), 8, 4, 1.2)
LAYERS = ("fireclay", "calcium_silicate")
TABLED = wall(tuple(Slab(0.06, *tabled(material(name))) for name in LAYERS), 8, 4, 1.2)
BODIES = {"constant": CONSTANT, "tabled": TABLED}
COMPILING = settings(deadline=None)  # the first call may wait for the compiler


@COMPILING
@given(
    body=st.sampled_from(sorted(BODIES)),
    seed=st.integers(0, 2**32 - 1),
    dt_s=st.floats(0.1, 3600),
    film=st.floats(0.0, 500.0),
    flux=st.floats(0.0, 5e4),
)
def test_columns_keep_every_joule(body: str, seed: int, dt_s: float, film: float, flux: float) -> None:
    nodes = np.random.default_rng(seed).uniform(0, 500, (12, 5))
    at = links(BODIES[body], nodes.mean(1), 10.0)
    step = advance_columns(at, dt_s, nodes, np.full(5, flux + film * 300), np.full(5, film), 20.0)
    stored = at.capacity_J_m2K @ (step.nodes_C - nodes)
    np.testing.assert_allclose(stored, dt_s * (step.in_W_m2 - step.out_W_m2), rtol=1e-8, atol=1e-3)


@COMPILING
@given(
    body=st.sampled_from(sorted(BODIES)),
    seed=st.integers(0, 2**32 - 1),
    dt_s=st.floats(0.1, 3600),
    film=st.floats(0.1, 500.0),
)
def test_columns_stay_between_what_surrounds_them(body: str, seed: int, dt_s: float, film: float) -> None:
    nodes = np.random.default_rng(seed).uniform(100, 400, (12, 5))
    at = links(BODIES[body], nodes.mean(1), 10.0)
    step = advance_columns(at, dt_s, nodes, np.full(5, film * 450), np.full(5, film), 20.0)
    assert step.nodes_C.min() >= 20 - 1e-9
    assert step.nodes_C.max() <= 450 + 1e-9
    assert step.face_C.max() <= 450 + 1e-9


@given(seed=st.integers(0, 2**32 - 1), n=st.integers(3, 12))
def test_balanced_exchange_is_reciprocal_and_closed(seed: int, n: int) -> None:
    rng = np.random.default_rng(seed)
    raw = rng.uniform(0.1, 1, (n, n))
    area = rng.uniform(0.5, 2, n)
    exchange = balanced(raw + raw.T, area)
    np.testing.assert_allclose(exchange, exchange.T, rtol=1e-12)
    np.testing.assert_allclose(exchange.sum(1), area, rtol=1e-10)


@settings(max_examples=50)
@given(seed=st.integers(0, 2**32 - 1), n=st.integers(3, 12))
def test_enclosures_lose_nothing(seed: int, n: int) -> None:
    """All that is absorbed was emitted or came from the source; equal surfaces exchange nothing."""
    rng = np.random.default_rng(seed)
    raw, area = rng.uniform(0.1, 1, (n, n)), rng.uniform(0.5, 2, n)
    room = enclosure(balanced(raw + raw.T, area), area, rng.uniform(0.05, 1, n))
    emission, source = rng.uniform(0, 3e4, n), rng.uniform(0, 1e4, n)
    absorbed = area * room.emissivity @ (room.from_emission @ emission + room.from_source @ source)
    given_off = area * room.emissivity @ emission + area @ source
    np.testing.assert_allclose(absorbed, given_off, rtol=1e-9)
    np.testing.assert_allclose(room.from_emission.sum(1), 1.0, rtol=1e-9)
