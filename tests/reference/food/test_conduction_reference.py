"""The columns as plain slabs: against the exact series and a published model of flipping."""

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from hearthtide.food import column
from published import Published

pytestmark = pytest.mark.subject("food properties")

CONDUCTIVITY, DIFFUSIVITY = 0.5, 1.3e-7


def dry_slab(thickness_m: float, k_W_mK: float, alpha_m2_s: float) -> np.ndarray:
    """A uniform slab without water: conduction alone."""
    grid = np.zeros((column.GRID_ROWS, column.NODES))
    gap = thickness_m / (column.NODES - 1)
    grid[column.VOLUME] = gap
    grid[column.VOLUME, [0, -1]] = gap / 2
    grid[column.DRY] = k_W_mK / alpha_m2_s * grid[column.VOLUME]
    grid[column.WATER_0] = 1.0
    grid[[column.GAP_K, column.GAP_CRUST_K]] = k_W_mK
    grid[column.GAP] = gap
    return grid


def between(below_W_m2K: float, below_C: float, top_W_m2K: float, gas_C: float) -> column.Heat:
    around = np.zeros(column.SURROUNDINGS)
    around[column.BELOW_C], around[column.TOP_W_M2K], around[column.GAS_C] = below_C, top_W_m2K, gas_C
    faces = np.array([[0.0, 1.0, below_W_m2K, below_W_m2K]])
    return column.Heat(faces, np.zeros((2, 1, column.NODES)), around, np.zeros((column.STONE_ROWS, 0)))


def slab_state(temperature_C: float) -> np.ndarray:
    cells = np.zeros((2, column.ROW))
    cells[0, : column.NODES] = temperature_C
    return cells


def heated(cells: np.ndarray, grid: np.ndarray, heat: column.Heat, seconds: float, dt_s: float) -> None:
    one, first = np.ones(1), np.zeros(1, dtype=np.int64)
    cut = column.Cut(grid[None], first, one, one, one, np.zeros((0, column.NODES)), first)
    for _ in range(round(seconds / dt_s)):
        column.run(cells, cut, heat, np.zeros(0), dt_s, dt_s)


def series(biot: float, fourier: float, places: np.ndarray) -> np.ndarray:
    """The exact slab between two equal films: theta at x/L, from z tan z = Bi (any heat textbook)."""
    theta = np.zeros_like(places)
    for n in range(40):
        low = n * math.pi + 1e-12
        z = brentq(lambda z: z * math.sin(z) - biot * math.cos(z), low, low + math.pi / 2)
        theta += (
            4 * math.sin(z) / (2 * z + math.sin(2 * z)) * math.exp(-(z**2) * fourier) * np.cos(z * places)
        )
    return theta


@pytest.mark.parametrize("biot", [0.5, 2.0, 10.0])
@pytest.mark.parametrize("fourier", [0.2, 0.5, 1.0])
def test_slab_between_two_films_follows_the_exact_series(
    published: Published, biot: float, fourier: float
) -> None:
    half_m = 0.0125
    film = biot * CONDUCTIVITY / half_m
    cells = slab_state(20.0)
    heated(
        cells,
        dry_slab(2 * half_m, CONDUCTIVITY, DIFFUSIVITY),
        between(film, 80.0, film, 80.0),
        fourier * half_m**2 / DIFFUSIVITY,
        0.1,
    )
    places = np.linspace(-1, 1, column.NODES)
    exact = 80 + (20 - 80) * series(biot, fourier, places)
    # Second-order error of eleven gaps; a few tenths of 60 K.
    worst = abs(cells[0, : column.NODES] - exact).argmax()
    published(
        "food column between two films, from 20 to 80 °C",
        "exact series",
        expected=exact[worst],
        computed=cells[0, worst],
        absolute=0.25,
        unit="°C",
        at=f"Bi {biot:g}, Fo {fourier:g}",
    )


def test_first_roots_are_those_of_the_textbook():
    # Incropera, table 5.1 (from memory, recomputed): Bi, first root, C1 give the centre's one-term value.
    for biot, root, c1 in ((0.1, 0.3111, 1.0161), (1, 0.8603, 1.1191), (10, 1.4289, 1.2620)):
        centre = series(biot, 1.0, np.zeros(1))[0]
        assert centre == pytest.approx(c1 * math.exp(-(root**2)), rel=1e-3)


def test_error_in_time_falls_in_step_with_the_step(published: Published) -> None:
    def centre_C(dt_s: float) -> float:
        cells = slab_state(20.0)
        heated(cells, dry_slab(0.025, 0.5, 1.3e-7), between(80, 80, 80, 80), 400, dt_s)
        return cells[0, 5]

    best = centre_C(0.125)
    coarse, fine = centre_C(8.0) - best, centre_C(4.0) - best
    # Backward Euler is first order.
    published(
        "error of the food column with twice the step, in errors with the step",
        "theory of backward Euler",
        expected=2.0,
        computed=coarse / fine,
        absolute=0.15,
    )


def seconds_to_cook(flip_every_s: float, flips: int) -> float:
    """Seconds until every node has once reached 70 °C: 1 cm, plate 200 °C, air 25 °C."""
    grid, around = dry_slab(0.01, 0.416, 1.2e-7), between(900.0, 200.0, 60.0, 25.0)
    cells = slab_state(25.0)
    cells[0, column.PEAK : column.PEAK + column.NODES] = 25.0
    done = 0
    for quarter in range(4 * 200):
        now_s = quarter / 4
        if done < flips and now_s >= flip_every_s * (done + 1):
            for first in (0, column.PEAK):
                cells[:, first : first + column.NODES] = cells[:, first : first + column.NODES][
                    :, ::-1
                ].copy()
            done += 1
        heated(cells, grid, around, 0.25, 0.05)
        if cells[0, column.PEAK : column.PEAK + column.NODES].min() >= 70:
            return now_s + 0.25
    raise AssertionError("not cooked in 200 s")


def test_one_flip_and_ten_take_the_published_times(published: Published) -> None:
    # Thiffeault 2022, Physica D (arXiv 2206.13900), press summaries: 80 s with one flip, 69 s with ten.
    source = "Thiffeault 2022"
    one = min(seconds_to_cook(at, 1) for at in (35.0, 37.0, 39.0))
    ten = seconds_to_cook(6.0, 10)
    for flips, expected, found in (("one flip", 80, one), ("ten flips", 69, ten)):
        what = f"patty of 1 cm to 70 °C with {flips}"
        published(what, source, expected=expected, computed=found, absolute=3, unit="s")
    published(
        "time with ten flips over time with one",
        source,
        expected=0.8625,
        computed=ten / one,
        absolute=0.03,
        missed="twelve nodes; a 201-node solver gives 80.8 and 68.7 s",
    )
