"""Response tables kept on disk by what they were made from, and the tables of a house through that store.

A dish's file is named by a hash of all that its tables depend on: a changed card asks for another file, and
the others stay as they are. A file opens with a hash of its name and content; if that does not agree, it is
not believed.
"""

from __future__ import annotations

import hashlib
import importlib.resources
import io
import os
import sys
import tempfile
from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache
from pathlib import Path

import numpy as np

from hearthtide.food.band import Doubt
from hearthtide.food.library import metal
from hearthtide.house.files import portion
from hearthtide.house.models import House
from hearthtide.oven.model import Oven
from hearthtide.planning.places import Places
from hearthtide.planning.response import Moment
from hearthtide.planning.table_filling import Asked, Tell, fill
from hearthtide.planning.table_spots import hearth_of, kinds_of
from hearthtide.planning.tables import Axes, Hearth, StageTable

MOST_KEPT = 1000  # files, of some 20 kB each; the oldest go first. Own choice.
DIGEST = 64  # characters of a hash in hexadecimal
PHYSICS = {"name", "until", "flips", "turns", "spins", "covered"}  # of a stage; the rest is for the search


@dataclass(frozen=True, eq=False)
class Tables:
    """The tables of each dish's stages, how many dishes came from the store, and what was wrong with it."""

    of: dict[str, tuple[StageTable, ...]]
    kept: int
    troubles: tuple[str, ...]


def silent(_share: float) -> None:
    """Progress for those who do not want any."""


def response_tables(
    house: House,
    oven: Oven,
    moment: Moment,
    places: Places,
    dishes: Iterable[str],
    axes: Axes | None = None,
    folder: Path | None = None,
    workers: int = 1,
    tell: Tell = silent,
) -> Tables:
    """Tables of these dishes, of the kinds of spot of that moment; from `folder` where they are kept there.

    Kept tables need no run. With two `workers` see `table_filling.fill`. A store that cannot be read or
    written costs time only and is told in `troubles`; damaged files are made anew.
    Raises KeyError for an unknown dish, PhysicalRangeError for a portion that the model does not take.
    """
    axes, hearth = axes or Axes(), hearth_of(oven, moment)
    asked = {key: _asked(house, oven, moment, places, key) for key in dishes}
    files = {key: None if folder is None else folder / _file(key, asked[key], hearth, axes) for key in asked}
    troubles: list[str] = []
    found = {key: _kept(files[key], asked[key], hearth, axes, troubles.append) for key in asked}
    missing = [key for key in asked if found[key] is None]
    made = fill(tuple(asked[key] for key in missing), hearth, axes, workers, tell)
    for key, tables in zip(missing, made, strict=True):
        found[key] = tables
        _keep(files[key], tables, troubles.append)
    of = {key: tables for key, tables in found.items() if tables is not None}
    return Tables(of, len(asked) - len(missing), tuple(troubles))


def cache_folder() -> Path:
    """Where this machine's user keeps what can be made again: XDG_CACHE_HOME, or as the platform has it."""
    given = os.environ.get("XDG_CACHE_HOME", "")
    local = os.environ.get("LOCALAPPDATA", "")
    if os.path.isabs(given):
        base = Path(given)
    elif sys.platform == "darwin":
        base = Path.home() / "Library" / "Caches"
    elif sys.platform == "win32" and local:
        base = Path(local)
    else:
        base = Path.home() / ".cache"
    return base / "hearthtide" / "tables"


def _asked(house: House, oven: Oven, moment: Moment, places: Places, key: str) -> Asked:
    raw = portion(house, key)
    stages = house.dishes[key].stages
    kinds = tuple(kinds_of(oven, moment, places, house.dishes[key], i) for i in range(len(stages)))
    return Asked(raw, stages, kinds)


def _file(key: str, asked: Asked, hearth: Hearth, axes: Axes) -> str:
    """The name of a dish's file, by all that its tables are made from: words, rests and such do not count."""
    foods = [layer.stuff for layer in asked.portion.layers]
    metals = [] if asked.portion.platter is None else [metal(asked.portion.platter.metal)]
    stages = [stage.model_dump_json(include=PHYSICS) for stage in asked.stages]
    floor = (hearth.floor.shape, hearth.floor.tolist(), hearth.face_C, hearth.gas_C)
    made_from = (replace(asked.portion, name=""), foods, metals, stages, asked.kinds, floor, axes, Doubt())
    content = hashlib.sha256(repr(made_from).encode() + _code().encode())
    return f"{key}-{content.hexdigest()[:32]}.table"


@cache
def _code() -> str:
    """A hash of the programs that make a table: other programs, other tables."""
    rooms = (("hearthtide.food", ""), ("hearthtide.planning", "table"), ("hearthtide.planning", "response"))
    content = hashlib.sha256()
    for room, begins in rooms:
        for file in sorted(importlib.resources.files(room).iterdir(), key=lambda entry: entry.name):
            if file.name.startswith(begins) and file.name.endswith(".py"):
                content.update(file.read_bytes())
    return content.hexdigest()


def _kept(
    file: Path | None, asked: Asked, hearth: Hearth, axes: Axes, trouble: Callable[[str], None]
) -> tuple[StageTable, ...] | None:
    """The tables in a file; None when there is none, or none to be believed."""
    if file is None:
        return None
    try:
        content = file.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as err:
        trouble(f"kept response table {file.name} cannot be read ({err.strerror}): made anew")
        return None
    digest, body = content[:DIGEST], content[DIGEST:]
    if _seal(file, body) != digest:
        trouble(f"kept response table {file.name} is damaged: made anew")
        return None
    with np.load(io.BytesIO(body), allow_pickle=False) as arrays:
        return tuple(
            StageTable(stage.name, stage.covered, kinds, axes, hearth.gas_C, arrays[f"stage_{i}"])
            for i, (stage, kinds) in enumerate(zip(asked.stages, asked.kinds, strict=True))
        )


def _seal(file: Path, body: bytes) -> bytes:
    """What a file opens with: a hash of its name and of the rest."""
    return hashlib.sha256(file.name.encode() + body).hexdigest().encode()


def _keep(file: Path | None, tables: tuple[StageTable, ...], trouble: Callable[[str], None]) -> None:
    """Write a dish's tables whole or not at all, and drop the oldest files beyond MOST_KEPT."""
    if file is None:
        return
    body = io.BytesIO()
    np.savez(body, allow_pickle=False, **{f"stage_{i}": table.values for i, table in enumerate(tables)})
    content = _seal(file, body.getvalue()) + body.getvalue()
    try:
        file.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.NamedTemporaryFile(dir=file.parent, suffix=".part", delete=False) as part:
            part.write(content)
        os.replace(part.name, file)
        by_age = sorted(file.parent.glob("*.table"), key=lambda each: each.stat().st_mtime, reverse=True)
        for old in by_age[MOST_KEPT:]:
            old.unlink()
    except OSError as err:
        trouble(f"response table {file.name} cannot be kept ({err.strerror})")
