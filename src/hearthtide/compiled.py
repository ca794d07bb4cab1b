"""One way to compile a numeric loop, so that the rest of the room stays plain typed functions."""

from __future__ import annotations

import importlib
import os
from collections.abc import Callable
from typing import TypeVar, cast

# Whether loops are compiled in this process.
COMPILES = os.environ.get("NUMBA_DISABLE_JIT", "0") != "1"

Loop = TypeVar("Loop", bound=Callable[..., object])


def compiled(loop: Loop) -> Loop:
    """`loop` compiled to machine code on its first call, and kept on disk for the next process.

    With NUMBA_DISABLE_JIT=1 in the environment the plain function comes back; both give the same
    numbers to rounding. Numba publishes no types, hence the import by name.
    """
    return cast(Loop, importlib.import_module("numba").njit(cache=True, error_model="numpy")(loop))
