"""What stone and dome receive from each other: our view factors beside pyviewfactor's, same flat patches.

Our factors are closed forms from the middle of each cell, and from four points of each patch, then balanced;
pyviewfactor integrates over both faces. Roof, walls and mouth of Brindlecote's oven are the same polygons
in both; the floor is one polygon there and square cells here, so receivers on the stone are the blocks of
four whole cells. All emit as black bodies: the roof from 380 °C at the foot to 520 °C at the crown, its left
half 60 K hotter, the stone at 350 °C, the mouth at 25 °C. Irradiance is what is compared.
pyviewfactor runs in its own process that leaves without tearing down, where its libraries may crash.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from pathlib import Path

import numpy as np
import pytest
from test_oven_steps import DESIGN, say

from hearthtide.heat.radiation import blackbody_W_m2
from hearthtide.oven.grid import NOMINAL, QUICK, Grid
from hearthtide.oven.model import Oven, build_oven

LIMIT = 0.01
THEIRS = """
import json, os, sys, time
import numpy as np
import pyviewfactor
import pyvista

faces = json.loads(open(sys.argv[1]).read())
sizes = [len(face) for face in faces]
first = np.cumsum([0, *sizes[:-1]])
index = np.concatenate([[n, *range(a, a + n)] for n, a in zip(sizes, first)])
mesh = pyvista.PolyData(np.concatenate(faces), index)
took = []
for _ in range(2):
    began = time.perf_counter()
    seen = pyviewfactor.compute_viewfactor_matrix(mesh, skip_visibility=True, skip_obstruction=True)
    took.append(time.perf_counter() - began)
np.savez(sys.argv[2], view=seen.T, seconds=took)
os._exit(0)
"""


def whole_blocks(oven: Oven) -> np.ndarray:
    """Blocks of four cells that lie within the floor's outline."""
    stone, outline = oven.stone, oven.room.floor_m
    half = np.array(stone.sides_m) / 2
    inside = np.ones(len(stone.cells_m), dtype=bool)
    for a, b in zip(outline, np.roll(outline, -1, 0), strict=True):
        for turn in ((1, 1), (1, -1), (-1, 1), (-1, -1)):
            corner = stone.cells_m + half * turn - a
            inside &= (b - a)[1] * corner[:, 0] - (b - a)[0] * corner[:, 1] >= 0
    return np.flatnonzero(np.bincount(stone.block, inside, stone.blocks) == 4)


def faces_m(oven: Oven, blocks: np.ndarray) -> list[list[list[float]]]:
    """Patches in radiosity's order, the floor from its middle in triangles, blocks; all face in."""
    room, stone = oven.room, oven.stone
    found = []
    for corners, normal in zip(room.corners_m[oven.order], room.normal[oven.order], strict=True):
        own = corners[:3] if np.allclose(corners[2], corners[3]) else corners
        across = np.cross(own[1] - own[0], own[2] - own[0])
        found.append(own if across @ normal > 0 else own[::-1])
    flat = np.column_stack([room.floor_m, np.zeros(len(room.floor_m))])
    middle = flat.mean(0)
    found += [np.array([middle, b, a]) for a, b in zip(flat, np.roll(flat, -1, 0), strict=True)]
    x, y = stone.sides_m
    square = np.array([(-x, -y, 0.0), (x, -y, 0.0), (x, y, 0.0), (-x, y, 0.0)])
    found += [np.append(stone.cells_m[stone.block == b].mean(0), 0.0) + square for b in blocks]
    return [face.tolist() for face in found]


def their_views(faces: list[list[list[float]]], folder: Path) -> tuple[np.ndarray, np.ndarray]:
    """Factors from every face to every other, and seconds: compiled anew, and again."""
    (folder / "faces.json").write_text(json.dumps(faces))
    files = [str(folder / "faces.json"), str(folder / "views.npz")]
    one = {**os.environ, "NUMBA_NUM_THREADS": "1"}
    subprocess.run([sys.executable, "-c", THEIRS, *files], env=one, check=True)
    with np.load(files[1]) as kept:
        return kept["view"], kept["seconds"]


def emission_W_m2(oven: Oven) -> np.ndarray:
    """Of the patches in radiosity's order."""
    middle = oven.room.middle_m[oven.order]
    hot = 380.0 + 140.0 * middle[:, 2] / middle[:, 2].max() + np.where(middle[:, 0] < 0, 60.0, 0.0)
    return blackbody_W_m2(np.where(oven.room.is_mouth[oven.order], 25.0, hot))


def off(ours: np.ndarray, theirs: np.ndarray, area_m2: np.ndarray) -> tuple[float, float]:
    """Relative error of irradiance: root of the mean square by area, and the largest."""
    error = ours / theirs - 1
    return float(np.sqrt(error**2 @ area_m2 / area_m2.sum())), float(np.abs(error).max())


@pytest.mark.parametrize(("grid", "name"), [(QUICK, "quick"), (NOMINAL, "nominal")])
def test_irradiance(capsys: pytest.CaptureFixture[str], tmp_path: Path, grid: Grid, name: str):
    build_oven(DESIGN, QUICK)
    began = time.perf_counter()
    oven = build_oven(DESIGN, grid)
    built = time.perf_counter() - began
    blocks, patches, b = whole_blocks(oven), oven.room.patches, oven.stone.blocks
    view, seconds = their_views(faces_m(oven, blocks), tmp_path)
    roof = slice(patches, patches + len(oven.room.floor_m))
    sent, stone = emission_W_m2(oven), float(blackbody_W_m2(350.0))
    assert np.abs(view[:patches, : roof.stop].sum(1) - 1).max() < 1e-4
    on_blocks = view[roof.stop :, :patches] @ sent
    on_patches = view[:patches, :patches] @ sent + view[:patches, roof].sum(1) * stone
    ours = oven.enclosure.view @ np.append(np.full(b, stone), sent)
    area = oven.enclosure.area_m2
    lines = [f"view factors, {name} grid: build {built:.2f} s; pyviewfactor {seconds[1]:.2f} s"]
    for what, own, theirs, weight in (
        (f"{len(blocks)} whole blocks of stone", ours[blocks], on_blocks, area[blocks]),
        (f"{patches} patches", ours[b:], on_patches, area[b:]),
    ):
        rms, most = off(own, theirs, weight)
        lines.append(f"  irradiance on {what}: rms {100 * rms:.2f} %, largest {100 * most:.2f} %")
        assert rms < LIMIT
    say(capsys, "\n".join(lines))
