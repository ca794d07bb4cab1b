"""One way to compile a numeric loop, so that the rest of the room stays plain typed functions."""

from __future__ import annotations

import importlib
import os
from collections.abc import Callable
from typing import Any, TypeVar, cast

# Whether loops are compiled in this process.
COMPILES = os.environ.get("NUMBA_DISABLE_JIT", "0") != "1"

Loop = TypeVar("Loop", bound=Callable[..., object])


def compiled(loop: Loop) -> Loop:
    """`loop` compiled to machine code on its first call, and kept on disk for the next process.

    With NUMBA_DISABLE_JIT=1 in the environment the plain function comes back; both give the same
    numbers to rounding. Numba publishes no types, hence the import by name.
    """
    numba = importlib.import_module("numba")
    made = numba.njit(cache=True, error_model="numpy")(loop)
    return cast(Loop, _one_for_all_values(made, numba.types.unliteral) if COMPILES else made)


def _one_for_all_values(made: Any, plain: Callable[[object], object]) -> Any:
    """The compiled loop, asked for by type alone when another compiled loop calls it.

    Numba would compile it once more for every constant it is called with: the search, half of whose
    calls name an act or a row, then takes three times as long to compile.
    """
    template = made.get_call_template

    def by_type(args: tuple[object, ...], kws: dict[str, object]) -> object:
        return template(tuple(map(plain, args)), {name: plain(kind) for name, kind in kws.items()})

    made.get_call_template = by_type
    return made
