"""A house's chill.yaml as the model takes it: its cold units with starting values, and lots of its things."""

from __future__ import annotations

import math
from collections.abc import Collection, Sequence
from dataclasses import replace

from hearthtide.day.chill_lots import ColdUnit, HotLot, Rack
from hearthtide.food.chill_grid import ellipsoid_exponent
from hearthtide.food.chill_methods import PAN_WAYS, PIECE_WAYS, ChillMethod
from hearthtide.food.chilling import ToChill
from hearthtide.house.chill_file import ChillFile, Kind, ThingFile, ToCool, UnitFile
from hearthtide.house.files import food_of
from hearthtide.house.models import House

# What a unit takes away and what comes in, by its inside and kind, where a house has not said it. From memory
# of what is sold for such rooms, not re-read, good to a factor of two: replace them by the plate's figures.
TAKES_W_M3: dict[Kind, float] = {"walk-in": 150.0, "reach-in": 400.0}
GAINS_SHARE: dict[Kind, float] = {"walk-in": 0.5, "reach-in": 0.4, "blast": 0.1}
# A blast chiller takes its hot kilograms from 70 to 3 °C in 90 min (how such are sold, from memory): 43 W/kg
# at 3.5 kJ/(kg K), and half as much again, as the most heat comes at the beginning.
BLAST_W_KG = 65.0
AIR_J_M3K = 1290.0  # of air at 3 °C: 1.28 kg/m3 times 1005 J/(kg K)
# Inner walls and shelves: sheet of 0.6 mm (common practice, no source) at 7900 kg/m3 and 490 J/(kg K) on all
# faces, once more as much in shelves and coil (own choice).
METAL_J_M2K = 2 * 0.0006 * 7900 * 490
# Half a bird on the bone, by its thickest part: 50 by 120 by 200 mm is some 0.65 kg. Own choice.
BIRD = (1.0, 2.4, 4.0)


def units_of(file: ChillFile, without: Collection[str] = ()) -> tuple[ColdUnit, ...]:
    """The units of a house, but for those that are out of order, in the order they are written."""
    return tuple(unit_of(key, one) for key, one in file.units.items() if key not in without)


def unit_of(key: str, file: UnitFile) -> ColdUnit:
    """One unit; what is a starting value is named in `assumed`."""
    assumed = []
    takes_W, gain_W = file.takes, file.gains
    if file.kind == "ice" or file.inside is None:
        takes_W, gain_W, holds_J_K = 1.0, 0.0, 1e4
    else:
        if takes_W is None:
            takes_W = _starting_W(file, file.inside.volume_m3)
            assumed.append(f"takes {takes_W:.0f} W")
        if gain_W is None:
            gain_W = GAINS_SHARE[file.kind] * takes_W
            assumed.append(f"gains {gain_W:.0f} W")
        holds_J_K = AIR_J_M3K * file.inside.volume_m3 + METAL_J_M2K * file.inside.faces_m2
    return ColdUnit(
        key=key,
        name=file.name,
        air_C=file.air,
        takes_W=takes_W,
        gain_W=gain_W,
        holds_J_K=holds_J_K,
        most_hot_kg=file.most_hot,
        racks=tuple(Rack(name, one.trays, one.apart) for name, one in file.racks.items()),
        pieces=None if file.pieces is None else _in_air(PIECE_WAYS[file.pieces], file.air),
        pans=None if file.pans is None else _in_air(PAN_WAYS[file.pans], file.air),
        room_C=file.room,
        keeps=file.kind in ("walk-in", "reach-in"),
        held=file.kind == "ice",
        most_ice_kg=file.ice or 0.0,
        assumed=tuple(assumed),
    )


def _in_air(method: ChillMethod, air_C: float) -> ChillMethod:
    """The way in the unit's own air; what is under melting ice has none."""
    return method if method.held else replace(method, air_C=air_C)


def _starting_W(file: UnitFile, volume_m3: float) -> float:
    return BLAST_W_KG * file.most_hot if file.kind == "blast" else TAKES_W_M3[file.kind] * volume_m3


def lots_of(
    house: House, file: ChillFile, rows: Sequence[ToCool], units: Sequence[ColdUnit]
) -> tuple[HotLot, ...]:
    """Hot lots of the house's things; a thing that comes twice is numbered: `wings`, `wings 2`."""
    lots: list[HotLot] = []
    for row in rows:
        thing = file.things[row.item]
        before = sum(1 for one in lots if one.key == row.item or one.key.startswith(f"{row.item} "))
        number = f" {before + 1}" if before else ""
        lots.append(
            HotLot(
                key=row.item + number,
                name=thing.name + number,
                what=to_chill(house, thing, units),
                mass_kg=row.portions * thing.portion,
                trays=math.ceil(row.portions / thing.per_tray),
                core_C=thing.core if row.core_C is None else row.core_C,
                ready_s=row.ready_s,
                portions=row.portions,
                in_pan=thing.shape == "pan",
                wanted_s=row.wanted_s,
            )
        )
    return tuple(lots)


def to_chill(house: House, thing: ThingFile, units: Sequence[ColdUnit]) -> ToChill:
    """One piece or pan; a bird's shape for the hardest film of the units, which is the slow side."""
    exponent = {"log": 1.0, "ball": 2.0}.get(thing.shape, 0.0)
    if thing.shape == "bird":
        film = max((one.pieces.top_W_m2K for one in units if one.pieces is not None), default=16.6)
        axes = (thing.thickness * BIRD[0], thing.thickness * BIRD[1], thing.thickness * BIRD[2])
        exponent = ellipsoid_exponent(axes, film)
    food = food_of(house.foods, thing.food)
    return ToChill(food, thing.thickness, exponent, lid=thing.lid, contents=thing.contents)
