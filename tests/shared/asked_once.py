"""What commands work out anew each time, worked out once for all that tests type in a process."""

from __future__ import annotations

from collections.abc import Callable
from functools import cache, wraps
from typing import Any


@cache
def once(function: Callable[..., Any]) -> Callable[..., Any]:
    """The function, asked once for each set of arguments, which are told apart by all they hold.

    Only for one that answers the same to the same. Arguments that are functions, to hear of progress, are
    not told apart; `repr` must tell the others whole, as it does of houses and nights and not of arrays.
    """
    found: dict[str, Any] = {}

    @wraps(function)
    def asked(*told: Any, **named: Any) -> Any:
        if named:
            raise TypeError(f"{function.__name__}: {sorted(named)} (expected arguments without names)")
        same = repr([one for one in told if not callable(one)])
        if same not in found:
            found[same] = function(*told)
        return found[same]

    return asked
