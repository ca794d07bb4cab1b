"""`hearthtide dish --table`: a dish's response tables, for other ovens, hours and places than now."""

from __future__ import annotations

from collections.abc import Sequence
from math import isfinite
from pathlib import Path

import numpy as np
from rich.markup import escape

from hearthtide.cli.dish_asked import Asked, bad, house_asked, named_dish
from hearthtide.cli.shared import TEMP_IT, err, out, print_json, progress
from hearthtide.house.files import read_house
from hearthtide.house.models import House
from hearthtide.planning.banded import turned_to
from hearthtide.planning.build import house_outlines
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.response import LONGEST_S
from hearthtide.planning.settled import settled
from hearthtide.planning.table_filling import HORIZON_S
from hearthtide.planning.table_store import cache_folder, response_tables
from hearthtide.planning.tables import FIGURES, HIGH_S, LOW_S, SECONDS, Kind, StageTable
from hearthtide.quantities.show import duration_text
from hearthtide.safety.cautions import cautions_for
from hearthtide.safety.rule_sets import chosen_words

EVERY = 2  # the page shows every second stone and irradiance; the JSON has them all
FIGURE_KEYS = ("seconds", "seconds_low", "seconds_high", "core_C", "colour_step", "burn_margin_s")
HOW_TO_READ = (
    "In brackets the band: of the likely thicknesses, starts, contacts, stones and fires a tenth lies beyond "
    "it on either side. What the model itself has wrong is not in it. "
    f"{TEMP_IT}"
)


def run_table(folder: Path, key: str, json: bool, asked: Asked) -> bool:
    """Print the tables of a dish; True when every stage is done somewhere on them."""
    if asked.probe or asked.stage:
        raise bad("--table", "with a reading", "it alone", "Leave --probe and --stage out.")
    if asked.spot or asked.picture or asked.map or asked.narrow or asked.proteins:
        remedy = "Leave --spot, --picture, --map, --narrow and --proteins out."
        raise bad("--table", "with a spot or a picture", "it alone", remedy)
    house = read_house(folder)
    named_dish(house, key)
    house = house_asked(house, key, asked)
    with progress() as tell:
        oven, moment = settled(house, lambda share: tell("oven", share))
        if asked.flame is not None:
            moment = turned_to(oven, moment, oven.design.level(asked.flame).power_W)
        places = enumerate_places(oven.design, house.file.zones, house_outlines(house))
        found = response_tables(
            house,
            oven,
            moment,
            places,
            (key,),
            folder=cache_folder(),
            workers=2,
            tell=lambda share: tell("response", share),
        )
    for trouble in found.troubles:
        err.print(escape(trouble))
    tables = found.of[key]
    if json:
        print_json("dish table", _body(house, key, tables, found.kept == 1))
    else:
        out.print(f"[bold]{escape(house.dishes[key].name)}[/]  from {house.dishes[key].start:g} °C")
        for table in tables:
            _print(table)
        out.print(f"\n{HOW_TO_READ}")
        for caution in _cautions(house, key):
            out.print(f"[dim]{escape(caution)}[/]")
    return all(bool(table.met.any()) for table in tables)


def _cautions(house: House, key: str) -> tuple[str, ...]:
    return (*cautions_for("pull", house.dishes[key], house.own_fatty), chosen_words(house.file.chosen_rules))


def _body(house: House, key: str, tables: Sequence[StageTable], from_store: bool) -> dict[str, object]:
    return {
        "house": house.file.name,
        "dish": key,
        "from_store": from_store,
        "stages": [_document(table) for table in tables],
        "cautions": [TEMP_IT, *_cautions(house, key)],
    }


def _print(table: StageTable) -> None:
    out.print(f"\n[bold]{escape(table.stage)}[/]")
    for k, kind in enumerate(table.kinds):
        entry = table.at(k, kind.stone_C, kind.up_W_m2)
        if entry is None:
            out.print(f"  {_where(kind)}: beyond the table")
            continue
        short = entry.burn_margin_s < HORIZON_S
        left = f"{entry.burn_margin_s:.0f} s" if short else f"over {HORIZON_S:.0f} s"
        out.print(
            f"  {_where(kind)}: {_time(entry.seconds, entry.low_s, entry.high_s)}; "
            f"core {entry.core_C:.0f} °C, top {entry.colour:.1f}, {left} to burnt"
        )
    times = [table.values[SECONDS, k] for k in range(len(table.kinds))]
    first = [next(i for i in range(k + 1) if np.array_equal(times[i], times[k])) for k in range(len(times))]
    for k in sorted(set(first)):
        alike = [_name(kind) for kind, of in zip(table.kinds, first, strict=True) if of == k]
        out.print(f"\n  {', '.join(alike)}: over the stone, °C, and the heat from above, kW/m²")
        _grid(table, k)


def _grid(table: StageTable, k: int) -> None:
    heats = table.axes.up_W_m2[::EVERY]
    out.print("       " + "".join(f"{heat / 1000:>21.1f}" for heat in heats))
    for j in range(0, len(table.axes.stone_C), EVERY):
        low, middle, high = (table.values[i, k, j, ::EVERY].tolist() for i in (LOW_S, SECONDS, HIGH_S))
        cells = [_time(m, a, b) for m, a, b in zip(middle, low, high, strict=True)]
        out.print(f"  {table.axes.stone_C[j]:5.0f}" + "".join(f"{cell:>21}" for cell in cells))


def _name(kind: Kind) -> str:
    return f"{kind.place} {kind.third}"


def _where(kind: Kind) -> str:
    away = f"{100 * kind.from_flame_m:.0f} cm from the flame, " if isfinite(kind.from_flame_m) else ""
    return f"{_name(kind)}, {away}stone {kind.stone_C:.0f} °C, {kind.up_W_m2 / 1000:.1f} kW/m²"


def _time(seconds: float, low_s: float, high_s: float) -> str:
    if not isfinite(seconds):
        return "-"
    most = duration_text(high_s) if isfinite(high_s) else f"over {LONGEST_S / 60:.0f}:00"
    return f"{duration_text(seconds)} ({duration_text(low_s)}-{most})"


def _document(table: StageTable) -> dict[str, object]:
    """One stage with all its entries, [kind][stone][irradiance]; null where the target is not met in time."""
    kinds = [
        {
            "place": kind.place,
            "third": kind.third,
            "from_flame_m": kind.from_flame_m if isfinite(kind.from_flame_m) else None,
            "rim_of_up": kind.rim_of_up,
            "stone_C": kind.stone_C,
            "up_W_m2": kind.up_W_m2,
        }
        for kind in table.kinds
    ]
    values = np.where(np.isfinite(table.values), np.round(table.values, 2), np.nan).astype(object)
    values[values != values] = None
    figures = {name: values[i].tolist() for i, name in zip(range(FIGURES), FIGURE_KEYS, strict=True)}
    axes = {"stone_C": table.axes.stone_C, "up_W_m2": table.axes.up_W_m2, "gas_C": table.gas_C}
    return {"stage": table.stage, "kinds": kinds, **axes, **figures}
