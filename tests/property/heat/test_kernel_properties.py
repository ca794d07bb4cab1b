"""The compiled loops: equal to the rows that run without a compiler, and to the equations they solve."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.heat.kernel import from_the_sides, sides_loops, sides_rows, sweep, sweep_loops, sweep_rows
from hearthtide.ranges import Array

SEEDS = st.integers(0, 2**32 - 1)
COMPILING = settings(deadline=None)  # the first call may wait for the compiler


@dataclass(frozen=True)
class Columns:
    """One step's inputs, as `sweep` takes them."""

    nodes: Array
    storage: Array
    link: Array
    surface: float
    back: float
    gain: Array
    loss: Array
    behind: float
    held: Array

    def copied(self) -> tuple[Array | float, ...]:
        return tuple(v.copy() if isinstance(v, np.ndarray) else v for v in vars(self).values())


def columns(seed: int, depth: int, places: int, insulated: bool, fluxed: bool) -> Columns:
    """Walls from felt to steel at steps from a second to a quarter of an hour; W/m²K, °C, W/m²."""
    rng = np.random.default_rng(seed)
    return Columns(
        nodes=rng.uniform(-20, 900, (depth, places)),
        storage=10 ** rng.uniform(1, 4.5, depth),
        link=10 ** rng.uniform(0, 4, max(depth - 1, 0)),
        surface=float(10 ** rng.uniform(1, 4)),
        back=0.0 if insulated else float(10 ** rng.uniform(0, 3)),
        gain=rng.uniform(-1e3, 5e4, places),
        loss=np.zeros(places) if fluxed else 10 ** rng.uniform(0, 3, places),
        behind=float(rng.uniform(-20, 60)),
        held=rng.uniform(-1e3, 1e3, (depth, places)),
    )


def close(found: Array, expected: Array, tolerance: float) -> None:
    """Equal to `tolerance` of the largest value."""
    np.testing.assert_allclose(
        found, expected, rtol=tolerance, atol=tolerance * abs(expected).max(initial=1.0)
    )


@COMPILING
@given(
    seed=SEEDS,
    depth=st.integers(1, 24),
    places=st.integers(1, 40),
    insulated=st.booleans(),
    fluxed=st.booleans(),
)
def test_columns_in_loops_and_in_rows(
    seed: int, depth: int, places: int, insulated: bool, fluxed: bool
) -> None:
    case = columns(seed, depth, places, insulated, fluxed)
    by_loops, by_rows = case.copied(), case.copied()
    close(sweep_loops(*by_loops), sweep_rows(*by_rows), 1e-10)
    close(by_loops[0], by_rows[0], 1e-10)


@COMPILING
@given(seed=SEEDS, depth=st.integers(1, 24), insulated=st.booleans(), fluxed=st.booleans())
def test_columns_solve_their_equations(seed: int, depth: int, insulated: bool, fluxed: bool) -> None:
    """Face and nodes of one column at once, by dense elimination (NumPy)."""
    case = columns(seed, depth, 1, insulated, fluxed)
    matrix, right = np.zeros((depth + 1, depth + 1)), np.zeros(depth + 1)
    joins = [case.surface, *case.link]
    for k, join in enumerate(joins):
        matrix[k : k + 2, k : k + 2] += join * np.array([[1, -1], [-1, 1]])
    matrix[0, 0] += case.loss[0]
    right[0] = case.gain[0]
    matrix[np.arange(1, depth + 1), np.arange(1, depth + 1)] += case.storage
    right[1:] = case.storage * case.nodes[:, 0] + case.held[:, 0]
    matrix[depth, depth] += case.back
    right[depth] += case.back * case.behind
    expected = np.linalg.solve(matrix, right)
    given_in = case.copied()
    face = sweep(*given_in)
    close(np.concatenate([face, given_in[0][:, 0]]), expected, 1e-8)


@dataclass(frozen=True)
class Sides:
    """A flattened lattice, as `from_the_sides` takes it, before what it writes into."""

    nodes: Array
    spread_x: Array
    spread_y: Array
    joined_x: Array
    joined_y: Array
    row: int


def sides(seed: int, depth: int, rows: int, row: int) -> Sides:
    """Any places joined: also ones that no oven joins, such as the end of a row and the next one's start."""
    rng = np.random.default_rng(seed)
    places = rows * row
    return Sides(
        nodes=rng.uniform(-20, 900, (depth, places)),
        spread_x=10 ** rng.uniform(-1, 3, depth),
        spread_y=10 ** rng.uniform(-1, 3, depth),
        joined_x=rng.integers(0, 2, places - 1).astype(float),
        joined_y=rng.integers(0, 2, places - row).astype(float),
        row=row,
    )


LATTICES = {"seed": SEEDS, "depth": st.integers(1, 5), "rows": st.integers(2, 9), "row": st.integers(2, 9)}


@COMPILING
@given(**LATTICES)
def test_sides_in_loops_and_in_rows(seed: int, depth: int, rows: int, row: int) -> None:
    case = sides(seed, depth, rows, row)
    by_loops, by_rows = np.full_like(case.nodes, np.nan), np.full_like(case.nodes, np.nan)
    sides_loops(*vars(case).values(), by_loops)
    sides_rows(*vars(case).values(), by_rows)
    close(by_loops, by_rows, 1e-10)


@COMPILING
@given(**LATTICES)
def test_what_one_place_gains_from_the_side_another_loses(seed: int, depth: int, rows: int, row: int) -> None:
    case = sides(seed, depth, rows, row)
    held = np.full_like(case.nodes, np.nan)
    from_the_sides(*vars(case).values(), held)
    np.testing.assert_allclose(held.sum(1), 0.0, atol=1e-12 * abs(held).sum() + 1e-9)


@COMPILING
@given(**LATTICES)
def test_heat_flows_from_warm_to_cold_neighbours(seed: int, depth: int, rows: int, row: int) -> None:
    """The warmest place gains nothing, the coldest loses nothing; even temperatures move no heat."""
    case = sides(seed, depth, rows, row)
    held = np.full_like(case.nodes, np.nan)
    from_the_sides(*vars(case).values(), held)
    depths = np.arange(depth)
    assert np.all(held[depths, case.nodes.argmax(1)] <= 0)
    assert np.all(held[depths, case.nodes.argmin(1)] >= 0)
    from_the_sides(np.full_like(case.nodes, 300.0), *list(vars(case).values())[1:], held)
    assert np.all(held == 0.0)
