"""A thick cut with upright sides: strips from its flame side to its lee, heat flowing between them."""

from __future__ import annotations

import numpy as np

from hearthtide.food.column import GAP, GAP_K, NODES, VOLUME, Cut
from hearthtide.food.form import Form, over
from hearthtide.food.grid import inner_half, layer_grid
from hearthtide.food.spec import Body, FoodLayer

STRIPS = 9


def strip_forms(layers: tuple[FoodLayer, ...], body: Body) -> tuple[Form, Form]:
    """Upright and turned over. With `body.round` the strips are half rings, exact at 1."""
    grid = layer_grid(layers)
    edges = np.linspace(-1.0, 1.0, STRIPS + 1)
    middle = (edges[:-1] + edges[1:]) / 2
    step_m = body.width_m / STRIPS
    # A middle disc, given in the measure of half rings.
    lengths = 1 - body.round + body.round * np.maximum(np.abs(middle), 0.5 / STRIPS)
    touch = 1 - body.round + body.round * np.abs(edges[1:-1])
    share = lengths / lengths.sum()
    halves = grid[GAP_K, : NODES - 1] * grid[GAP, : NODES - 1] / 2
    along_W_K = np.concatenate((halves, [0.0])) + np.concatenate(([0.0], halves))
    edge = np.zeros((STRIPS, NODES))
    edge[[0, -1]] = grid[VOLUME] / (lengths.sum() * step_m)
    ones, none = np.ones(STRIPS), np.zeros(STRIPS)
    upright = Form(
        cut=Cut(
            grids=grid[None],
            of=np.zeros(STRIPS, dtype=np.int64),
            share=share,
            under=share,
            shown=share,
            across=touch[:, None] * along_W_K / (lengths.sum() * step_m**2),
            inward=np.zeros(STRIPS, dtype=np.int64),
        ),
        top_area=ones,
        below_area=ones,
        side=none,
        bearing_deg=90.0 + 90.0 * np.sign(middle.round(9)),
        gap_m=none,
        sky=share,
        edge=edge,
        edge_m2K_W=step_m / 2 / float(along_W_K.sum() / grid[VOLUME].sum()),
        core_columns=slice(STRIPS // 2, STRIPS // 2 + 1),
        core_nodes=inner_half(grid),
        turns_from=np.arange(STRIPS),
        turns_about=np.ones(STRIPS, dtype=bool),
    )
    return upright, over(upright)
