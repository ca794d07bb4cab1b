"""`hearthtide heat`: the oven from cold at one flame, and the heat at each kind of place."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import asdict, dataclass
from math import isfinite
from pathlib import Path

import numpy as np
from rich.markup import escape

from hearthtide.cli import heat_pictures as pictures
from hearthtide.cli.heat_asked import Asked, check_asked, check_on_oven
from hearthtide.cli.picture_file import write_picture
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.heat.flames import power_band_W
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.models import House
from hearthtide.house.oven_design import burners_of, power_W
from hearthtide.house.places import Outline, Spot
from hearthtide.oven.answers import Course, course, stone_C
from hearthtide.oven.design import FlameLevel
from hearthtide.oven.field import receivers
from hearthtide.oven.grid import NOMINAL
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState, build_oven
from hearthtide.oven.program import run_program
from hearthtide.oven.readings import spread
from hearthtide.oven.zones import floor_C_at
from hearthtide.planning.exposure import FACE_HEIGHT_M, faces_W_m2, seat
from hearthtide.planning.places import enumerate_places
from hearthtide.planning.settled import AMBIENT_C
from hearthtide.printing.picture import Picture
from hearthtide.quantities.show import clock_text

EVERY_S, DT_S = 300.0, 2.0
HOURS = 3.0  # how long it burns where nothing is asked
PROBE = Outline(0.0, 0.0, 0.10)  # a disc of 20 cm stands for an item
MAP_STEP_M = 0.15


@dataclass(frozen=True)
class HeatRow:
    time_s: float
    working_stone_C: float
    dome_C: float
    gas_C: float


@dataclass(frozen=True)
class PlaceHeat:
    """Heat on an item at a typical place of one kind, and where the heat from above comes from."""

    place: str
    x_m: float
    y_m: float
    from_flame_m: float | None
    stone_C: float
    up_W_m2: float
    toward_flame_W_m2: float
    away_W_m2: float
    flame_share: float
    dome_share: float
    mouth_share: float
    gas_share: float


def run_heat(folder: Path, json: bool, asked: Asked) -> None:
    check_asked(asked)
    house = read_house(folder)
    design = oven_design(house)
    check_on_oven(asked, design)
    oven = build_oven(design, NOMINAL)
    level = design.levels[-1] if asked.flame is None else design.level(asked.flame)
    hours = HOURS if asked.hours is None else asked.hours
    with progress() as tell:
        rows, state, ready_s, ledger = _from_cold(house, oven, level, hours, lambda s: tell("oven", s))
        if asked.picture is not None:
            tell("pictures", 0.0)
            write_picture(_picture(house, oven, level, hours, ready_s), asked.picture, "heat")
    places = _places(house, oven, state, level)
    if json:
        body = {
            "house": house.file.name,
            "flame": level.name,
            "power_W": level.power_W,
            "power_band_W": _power_band_W(house, level),
            "rows": [asdict(row) for row in rows],
            "ready_s": ready_s,
            "places": [asdict(place) for place in places],
            "ledger": asdict(ledger),
        }
        print_json("heat", body)
        return
    _print(house, oven, level, rows, state, ready_s, ledger, places)


def _picture(house: House, oven: Oven, level: FlameLevel, hours: float, ready_s: float | None) -> Picture:
    def run(variant: Oven) -> Course:
        return course(variant, variant.cold(AMBIENT_C), level.power_W, 3600 * hours)

    bounds = spread(oven, lambda variant: run(variant).stone_C, burning=True)
    return pictures.heat_up(house, run(oven), bounds, ready_s)


def _from_cold(
    house: House, oven: Oven, level: FlameLevel, hours: float, tell: Callable[[float], None]
) -> tuple[list[HeatRow], OvenState, float | None, Ledger]:
    """Rows every five minutes; the state when the stone first passes mid-band (else at the end), and when."""
    middle = (house.oven.floor_band.low + house.oven.floor_band.high) / 2
    state, now, ledger = oven.cold(AMBIENT_C), 0.0, Ledger()
    kept, ready = state, None
    rows = [_row(oven, state, now)]
    while now < hours * 3600 - 1e-6:
        trace = run_program(oven, state, ((now, level.power_W),), now + EVERY_S, DT_S, EVERY_S)
        state, now, ledger = trace.state, now + EVERY_S, ledger + trace.ledger
        rows.append(_row(oven, state, now))
        if ready is None:
            kept = state
            ready = now if rows[-1].working_stone_C >= middle else None
        tell(now / (hours * 3600))
    return rows, kept, ready, ledger


def _row(oven: Oven, state: OvenState, now: float) -> HeatRow:
    return HeatRow(
        now, round(stone_C(oven, state), 1), round(oven.dome_mean_C(state), 1), round(state.gas_C, 1)
    )


def _places(house: House, oven: Oven, state: OvenState, level: FlameLevel) -> list[PlaceHeat]:
    places = enumerate_places(oven.design, house.file.zones, (PROBE,))
    found = []
    for zone in ("near", "mid", "edge", "mouth"):
        spots = sorted((s for s in places.spots if s.zone == zone), key=lambda s: s.flame_m)
        if spots:
            found.append(_place_heat(oven, state, level, spots[len(spots) // 2]))
    return found


def _place_heat(oven: Oven, state: OvenState, level: FlameLevel, spot: Spot) -> PlaceHeat:
    chair = seat(oven, spot)
    faces = faces_W_m2(oven, state, level.power_W, [chair])[0]
    up = receivers(oven, np.array([[spot.x_m, spot.y_m, FACE_HEIGHT_M]]), np.array([[0.0, 0.0, 1.0]]))
    shares = up.shares(oven, state, level.power_W)
    parts = np.array([shares.flame_W_m2[0], shares.dome_W_m2[0], shares.mouth_W_m2[0], shares.gas_W_m2[0]])
    flame, dome, mouth, gas = parts / (parts.sum() + shares.floor_W_m2[0])
    return PlaceHeat(
        place=spot.zone,
        x_m=round(spot.x_m, 3),
        y_m=round(spot.y_m, 3),
        from_flame_m=round(spot.flame_m, 3) if isfinite(spot.flame_m) else None,
        stone_C=round(float(chair.under @ state.floor_C), 1),
        up_W_m2=round(float(faces[:5].mean())),
        toward_flame_W_m2=round(float(faces[5])),
        away_W_m2=round(float(faces[7])),
        flame_share=round(float(flame), 3),
        dome_share=round(float(dome), 3),
        mouth_share=round(float(mouth), 3),
        gas_share=round(float(gas), 3),
    )


def _print(
    house: House,
    oven: Oven,
    level: FlameLevel,
    rows: list[HeatRow],
    state: OvenState,
    ready_s: float | None,
    ledger: Ledger,
    places: list[PlaceHeat],
) -> None:
    band = house.oven.floor_band
    out.print(
        f"[bold]{escape(house.file.name)}[/] from cold, flame {escape(level.name)}, "
        f"{level.power_W / 1000:.1f} kW"
    )
    possible_W = _power_band_W(house, level)
    if possible_W is not None:
        out.print(
            "  Its power is inferred from its height; published laws put it anywhere from "
            f"{possible_W[0] / 1000:.1f} to {possible_W[1] / 1000:.1f} kW. "
            "A reading of the gas meter is better."
        )
    out.print("\n  after   working stone   dome")
    for row in rows[:: max(1, len(rows) // 13)]:
        out.print(f"  {clock_text(row.time_s)}   {row.working_stone_C:8.0f} °C  {row.dome_C:6.0f} °C")
    when = "not within that time" if ready_s is None else f"after {ready_s / 60:.0f} min"
    out.print(f"\n  Stone in the middle of the band ({band.low:.0f} to {band.high:.0f} °C): {when}.")
    out.print("\n[bold]The stone then, seen from the mouth[/], °C (mouth at the bottom)")
    for line in _stone_map(oven, state):
        out.print(line)
    out.print("\n[bold]Heat at typical places then[/], kW/m²")
    for p in places:
        away = "" if p.from_flame_m is None else f"{p.from_flame_m * 100:3.0f} cm from the flame, "
        out.print(
            f"  {p.place:5}  {away}stone {p.stone_C:.0f} °C; "
            f"from above {p.up_W_m2 / 1000:.1f} (flame {p.flame_share:.0%}, dome {p.dome_share:.0%}, "
            f"gas {p.gas_share:.0%}), "
            f"side to the flame {p.toward_flame_W_m2 / 1000:.1f}, side away {p.away_W_m2 / 1000:.1f}"
        )
    shares = ", ".join(
        f"{name} {joules / ledger.fuel_J:.0%}"
        for name, joules in (
            ("flue", ledger.flue_J),
            ("dome", ledger.dome_J),
            ("floor", ledger.floor_J),
            ("mouth", ledger.mouth_J),
            ("shell", ledger.shell_J),
        )
    )
    out.print(f"\n  Fuel over the whole run {ledger.fuel_J / 1e6:.0f} MJ: {shares}.")
    out.print("  These are the models' figures with assumed coefficients, not readings of your oven.")


def _power_band_W(house: House, level: FlameLevel) -> tuple[float, float] | None:
    """What a flame's power may be where the house gave only its height; None where it gave better."""
    flame = next(flame for flame in house.oven.flames if flame.name == level.name)
    if flame.height is None:
        return None
    burners = burners_of(house.oven)

    def power_of_W(height_m: float) -> float:
        return power_W(flame.model_copy(update={"height": height_m}), house.oven, burners)

    return power_band_W(flame.height, power_of_W)


def _stone_map(oven: Oven, state: OvenState) -> list[str]:
    """Numbers where the stone is, back row first."""
    hearth = oven.design.hearth
    half = int(hearth.width_m / 2 / MAP_STEP_M)
    across = np.arange(-half, half + 1) * MAP_STEP_M
    lines = []
    for y in np.arange(hearth.depth_m - 0.05, 0.0, -MAP_STEP_M):
        on = [bool(hearth.room_m(np.array([x, y])) >= 0.03) for x in across]
        points = np.array([(x, y) for x, here in zip(across, on, strict=True) if here])
        if not len(points):
            continue
        values = iter(floor_C_at(oven, state, points))
        lines.append("   " + "".join(f"{next(values):5.0f}" if here else "     " for here in on).rstrip())
    return lines
