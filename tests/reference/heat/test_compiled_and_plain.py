"""The same steps of a whole oven with the compiler and without, each in a process of its own."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import numpy as np

STEPS = """
import sys
import numpy as np
from hearthtide.compiled import COMPILES
from hearthtide.oven.advance import advance
from hearthtide.oven.footprint import Disc, cover_fractions
from hearthtide.oven.grid import QUICK
from hearthtide.oven.load import Load
from hearthtide.oven.model import build_oven
from small_oven import DESIGN

oven = build_oven(DESIGN, QUICK)
y_m = DESIGN.hearth.centre_m[1]
food = [Disc(-0.15, y_m, 0.28), Disc(0.2, y_m + 0.1, 0.2)]
contact, bases, tops = np.array([[150.0, 300.0], [60.0, 80.0], [90.0, 95.0]])
load = Load(cover_fractions(oven, food), contact, bases, tops)
heated = advance(oven, oven.cold(20.0), 26_000.0, 2.0, steps=25)
step = advance(oven, heated.state, 26_000.0, 2.0, load, steps=25)
state = step.state
np.savez(
    sys.argv[1],
    compiles=COMPILES,
    floor=state.floor_C,
    dome=state.dome_C,
    floor_nodes=state.floor_nodes_C,
    dome_nodes=state.dome_nodes_C,
    gas=np.array([state.lower_C, state.upper_C]),
    heat=np.concatenate([step.contact_W, step.top_W]),
    ledger=np.array(list(vars(step.ledger).values())),
)
"""


def after_fifty_steps(plain: bool, file: Path) -> dict[str, np.ndarray]:
    shared = Path(__file__).parents[2] / "shared"
    paths = os.pathsep.join([str(shared), *filter(None, sys.path)])
    run = {**os.environ, "NUMBA_DISABLE_JIT": "1" if plain else "0", "PYTHONPATH": paths}
    subprocess.run([sys.executable, "-c", STEPS, str(file)], env=run, check=True, timeout=300)
    with np.load(file) as kept:
        return dict(kept)


def test_fifty_steps_with_and_without_the_compiler(tmp_path: Path) -> None:
    """25 steps of heat-up from cold and 25 with two items: loops against rows, temperatures to 1e-9 K."""
    by_loops = after_fifty_steps(False, tmp_path / "compiled.npz")
    by_rows = after_fifty_steps(True, tmp_path / "plain.npz")
    assert by_loops.pop("compiles")
    assert not by_rows.pop("compiles")
    assert by_loops["floor"].max() > 30
    for name in ("floor", "dome", "floor_nodes", "dome_nodes", "gas"):
        np.testing.assert_allclose(by_rows[name], by_loops[name], rtol=0, atol=1e-9, err_msg=name)
    np.testing.assert_allclose(by_rows["heat"], by_loops["heat"], rtol=1e-9)
    scale = abs(by_loops["ledger"]).max()
    np.testing.assert_allclose(by_rows["ledger"], by_loops["ledger"], rtol=0, atol=1e-9 * scale)
