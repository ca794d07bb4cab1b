"""Draws what a step of the oven costs against its nodes: `python benchmarks/draw_cost.py PICTURE.svg`."""

from __future__ import annotations

import sys

import matplotlib
import numpy as np
from test_oven_steps import SIZES, WITH_A_DOOR, nodes_of, seconds

from hearthtide.oven.advance import advance
from hearthtide.oven.grid import Grid
from hearthtide.oven.model import build_oven

BETWEEN = (
    Grid(cells=40, rings=10, sectors=30, hot_nodes=12, further_nodes=6, growth=1.2),
    Grid(cells=62, rings=12, sectors=36, hot_nodes=16, further_nodes=8, growth=1.15),
)
INK, WARM = "#17191c", "#D55E00"  # as in the reports


def measured() -> np.ndarray:
    """Rows of nodes, surfaces, and ms a step as runs take them, half a minute at once."""
    rows = []
    for grid in (*SIZES.values(), *BETWEEN):
        oven = build_oven(WITH_A_DOOR, grid)
        state = oven.cold(25.0)
        step_s = seconds(lambda o=oven, s=state: advance(o, s, 14_000.0, 2.0, steps=15), 4) / 15
        rows.append((nodes_of(oven), len(oven.enclosure.area_m2), 1e3 * step_s))
    return np.array(sorted(rows))


def draw(rows: np.ndarray, path: str) -> None:
    """Nodes against ms on logarithmic axes, and a line of equal cost per node through the coarsest oven.

    The radiosity costs the square of the surfaces, so ovens of as many nodes lie higher with more surfaces.
    """
    matplotlib.use("Agg")
    matplotlib.rcParams.update({"svg.hashsalt": "oven", "font.size": 11})
    from matplotlib import pyplot, ticker

    figure, axes = pyplot.subplots(figsize=(7.2, 4.4), layout="constrained")
    nodes, surfaces, cost_ms = rows.T
    linear_ms = cost_ms[0] * nodes / nodes[0]
    axes.loglog(nodes, cost_ms, "o", color=WARM, label="measured, one thread")
    axes.loglog(nodes, linear_ms, "--", color=INK, label="linear: same cost per node")
    for x, y, count, even in zip(nodes, cost_ms, surfaces, linear_ms, strict=True):
        place, side = ((-7, 5), "right") if y > even else ((7, -12), "left")
        text = f"{count:.0f} surfaces"
        axes.annotate(text, (x, y), place, textcoords="offset points", color=INK, ha=side, fontsize=9)
    axes.set_xlabel("nodes of floor, walls and dome (thousands)")
    axes.set_ylabel("one step in a run (ms)")
    axes.set_xticks([10e3, 20e3, 50e3, 100e3, 150e3])
    axes.xaxis.set_major_formatter(ticker.FuncFormatter(lambda value, _: f"{value / 1e3:g}"))
    axes.yaxis.set_major_formatter(ticker.FuncFormatter(lambda value, _: f"{value:g}"))
    axes.minorticks_off()
    axes.set_yticks([0.05, 0.1, 0.2, 0.5, 1.0, 2.0])
    axes.grid(alpha=0.25)
    axes.set_xlim(9e3, 190e3)
    axes.set_ylim(0.05, 2.0)
    axes.legend(frameon=False)
    figure.savefig(path, metadata={"Date": None} if path.endswith(".svg") else None)


if __name__ == "__main__":
    found = measured()
    for row in found:
        print(f"{row[0]:7.0f} nodes, {row[1]:5.0f} surfaces: {row[2]:.3f} ms")
    for name in sys.argv[1:]:
        draw(found, name)
