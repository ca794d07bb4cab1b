"""The names a house may use: materials, foods and metals that the package holds data for.

Read from the data files themselves, so that a house can be checked without loading any model.
"""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Literal

from hearthtide.house.yaml_lines import read_yaml

Kind = Literal["materials", "foods", "metals"]


@cache
def known_names(kind: Kind) -> frozenset[str]:
    """The keys of `data/KIND.yaml`: those below a key `KIND` where it has one, else its own.

    >>> "fireclay" in known_names("materials")
    True
    """
    file = f"{kind}.yaml"
    data = read_yaml((files("hearthtide") / "data" / file).read_bytes(), file).data
    inner = data.get(kind, data)
    return frozenset(inner) if isinstance(inner, dict) else frozenset()
