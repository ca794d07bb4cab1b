"""`hearthtide heat-up`: when to light, and which tray goes in when and where while the stone climbs."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import asdict
from datetime import date
from pathlib import Path

from rich.markup import escape

from hearthtide.cli.day_shared import day_asked, day_words
from hearthtide.cli.prep_command import read_day
from hearthtide.cli.shared import out, print_json, progress
from hearthtide.day.heatup import plan_heat_up
from hearthtide.day.heatup_check import Facts, check_window
from hearthtide.day.load import Load
from hearthtide.day.whole import spot_words
from hearthtide.day.window import HeatUp
from hearthtide.errors import Finding, InputError
from hearthtide.house.ahead_file import Ahead, read_ahead
from hearthtide.house.files import oven_design, read_house
from hearthtide.house.models import House
from hearthtide.house.pars_file import NAME as PARS
from hearthtide.house.pars_file import read_pars
from hearthtide.house.rota_file import Hours, read_rota, there_on
from hearthtide.house.validate import close_to
from hearthtide.quantities.show import clock_text
from hearthtide.safety.cautions import EMBERS_CAUTION, FLAME_CAUTION, HOUSE_CAUTIONS, PROBE_IT
from hearthtide.safety.rule_sets import chosen_words

_MAKE = re.compile(r"\s*([A-Za-z0-9_-]+)\s*=\s*(\d{1,5})\s*")
MOST_PORTIONS = 2000  # of one batch; own choice
KWH_J = 3.6e6
PAR_COOKED = (
    "{names}: PAR-COOKED, raw in law. Only by a written procedure that your authority has approved; first "
    "heat 60 minutes at most, chilled at once, marked, kept apart from what is ready to eat, cooked fully "
    "later."
)


def cautions_for(ahead: Ahead) -> tuple[str, ...]:
    """What stands under a heat-up: by the house's fuel, its rules, and what is stopped half cooked."""
    wood = ahead.house.oven.fuel == "wood"
    half = ", ".join(kind for kind, batch in ahead.file.batches.items() if batch.par_cook)
    return (
        *((PAR_COOKED.format(names=half),) if half else ()),
        PROBE_IT,
        EMBERS_CAUTION if wood else FLAME_CAUTION,
        "Somebody who tends fires stays with it from lighting on, extraction running.",
        "Trays come out at more than 200 °C and spit: dry gloves, say hot, a clear way from mouth to rack.",
        HOUSE_CAUTIONS[0],
        chosen_words(ahead.house.file.chosen_rules),
    )


def run_heat_up(folder: Path, asked: str, make: Sequence[str], stock: Path | None, json: bool) -> bool:
    """Prints the window; True when every tray finds its place and the floor is ready."""
    day, house = day_asked(asked), read_house(folder)
    ahead, hours = read_ahead(house, _made(house)), there_on(read_rota(house), day)
    wanted = asked_for(make, ahead) if make else wanted_by_pars(ahead, folder, asked, stock)
    with progress() as tell:
        plan = plan_heat_up(ahead, wanted, hours, tell)
    faults = faults_of(plan, ahead, hours, wanted)
    if json:
        print_json("heat-up", body(plan, ahead, day, wanted, faults))
    else:
        _print(plan, ahead, day, wanted, faults)
    return plan.kept and not faults


def _made(house: House) -> tuple[str, ...] | None:
    return tuple(read_pars(house).made) if (Path(house.folder) / PARS).is_file() else None


def asked_for(make: Iterable[str], ahead: Ahead) -> dict[str, int]:
    """Portions as typed, `chicken=12`. Raises InputError with all that is wrong."""
    found, wrong = dict[str, int](), []
    for text in make:
        match = _MAKE.fullmatch(text)
        if match is None or int(match[2]) > MOST_PORTIONS:
            expected = f"BATCH=NUMBER, such as {next(iter(ahead.file.batches))}=12, up to {MOST_PORTIONS}"
            wrong.append(Finding("the command", 0, "--make", text, expected, "Write it so."))
        elif match[1] in found:
            remedy = "Name each batch once."
            wrong.append(Finding("the command", 0, "--make", text, f"{match[1]} once", remedy))
        elif match[1] not in ahead.file.batches:
            remedy = close_to(match[1], ahead.file.batches)
            wrong.append(Finding("the command", 0, "--make", match[1], "a batch of ahead.yaml", remedy))
        else:
            found[match[1]] = int(match[2])
    if wrong:
        raise InputError(tuple(wrong))
    return found


def wanted_by_pars(ahead: Ahead, folder: Path, asked: str, stock: Path | None) -> dict[str, int]:
    """Portions of each batch that the day's pars want made, a chef's own numbers before ours."""
    today = read_day(folder, asked, stock)
    return portions_by_batch(ahead, {key: today.make(key) for key in today.pars})


def portions_by_batch(ahead: Ahead, amounts: Mapping[str, int]) -> dict[str, int]:
    """Portions of each batch, of so many to be made of each thing of pars.yaml.

    What several batches make is shared out as the house wrote it.
    """
    found = {
        kind: math.ceil(batch.share * amounts.get(batch.makes or kind, 0))
        for kind, batch in ahead.file.batches.items()
    }
    return {kind: count for kind, count in found.items() if count > 0}


def faults_of(
    plan: HeatUp, ahead: Ahead, hours: Sequence[Hours], wanted: Mapping[str, int]
) -> tuple[str, ...]:
    """What the independent check finds wrong with the plan."""
    file = ahead.file
    left = dict.fromkeys(wanted, 0)
    for one in plan.left:
        left[one.tray.kind] += one.tray.portions
    facts = Facts(
        design=oven_design(ahead.house),
        spots=plan.places.spots,
        people=hours,
        act_s={
            "put in": round(file.hands.put_in),
            "turn": round(file.hands.turn),
            "take out": round(file.hands.take_out),
        },
        lit_s=plan.lit_s,
        out_by_s=math.floor(plan.clean_by_s - file.hands.brush),
        clean_by_s=plan.clean_by_s,
        doors_s=plan.doors_s,
        wanted=wanted,
        trays={kind: batch.trays for kind, batch in file.batches.items()},
    )
    return check_window(plan.loads, left, facts)


def _print(plan: HeatUp, ahead: Ahead, day: date, wanted: Mapping[str, int], faults: Sequence[str]) -> None:
    out.print(f"[bold]{escape(ahead.house.file.name)}, {day_words(day)}[/]: the heat-up window")
    for line in (*fire_lines(plan), *_load_lines(plan, ahead), *_sum_lines(plan, ahead, wanted)):
        out.print(line)
    for fault in faults:
        out.print(f"[bold]The check finds[/]: {escape(fault)}")
    for words in cautions_for(ahead):
        out.print(f"[dim]{escape(words)}[/]")


def fire_lines(plan: HeatUp) -> list[str]:
    """When to light, what the flame does, when the floor is ready."""
    roast_s = plan.roast_until_s
    held = roast_s is not None and (plan.ready_s is None or roast_s < plan.ready_s)
    roast = f"; held for roasting until {clock_text(roast_s or 0)}" if held else ""
    ready = (
        "not in its band by doors" if plan.ready_s is None else f"in its band from {clock_text(plan.ready_s)}"
    )
    lines = [
        f"  [bold]Light at {clock_text(plan.lit_s)}[/]{roast}. The floor is {ready}, wanted by "
        f"{clock_text(plan.clean_by_s)}; at doors, {clock_text(plan.doors_s)}, it stands at "
        f"{plan.stone_at_C(plan.doors_s):.0f} °C.",
        "  Flame: "
        + ", ".join(
            f"{clock_text(h.start_s)} {escape(h.level.name)}"
            for h in plan.flame.held
            if h.start_s < plan.doors_s
        ),
    ]
    return lines


def _load_lines(plan: HeatUp, ahead: Ahead) -> list[str]:
    if not plan.loads:
        return ["  No tray found a place." if plan.left else "  No tray is wanted."]
    lines = ["  in     out    tray          portions  stone  core then  where; turned; whose hands"]
    for load in plan.loads:
        went = plan.went[load.tray.key]
        lines.append(
            f"  {clock_text(load.in_s)}  {clock_text(load.out_s)}  {load.tray.key:<14}{load.tray.portions:>6}"
            f"{went.stone_C_in:>9.0f}{went.core_C:>8.0f} °C   {spot_words(plan.places.spots[load.place])}; "
            f"{_turned(load)}; {escape(', '.join(dict.fromkeys(hand.who for hand in load.hands)))}"
        )
    return lines


def _turned(load: Load) -> str:
    times = [clock_text(hand.from_s) for hand in load.hands if hand.act == "turn"]
    return f"turned {', '.join(times)}" if times else "not turned"


def _sum_lines(plan: HeatUp, ahead: Ahead, wanted: Mapping[str, int]) -> list[str]:
    cooked = sum(load.tray.portions for load in plan.loads)
    more_kWh = (plan.fuel_J - plan.bare_fuel_J) / KWH_J
    lines = [
        f"  Fuel until doors {plan.fuel_J / KWH_J:.0f} kWh; the same floor without a tray "
        f"{plan.bare_fuel_J / KWH_J:.0f} kWh"
        + (f": {max(0.0, more_kWh) / cooked:.2f} kWh more a portion" if cooked else "")
    ]
    if plan.capacity:
        takes = ", ".join(f"{count} {kind}" for kind, count in plan.capacity.items())
        lit = clock_text(plan.lit_s)
        lines.append(f"  Lit at {lit} the window would take, of one kind alone: {takes} portions")
    return [*lines, *(f"  [bold]{escape(words)}[/]" for words in plan.problems)]


def body(
    plan: HeatUp, ahead: Ahead, day: date, wanted: Mapping[str, int], faults: Sequence[str]
) -> dict[str, object]:
    """The window as JSON has it."""
    return {
        "house": ahead.house.file.name,
        "day": day.isoformat(),
        "wanted_portions": dict(wanted),
        "lit_s": plan.lit_s,
        "roast_until_s": plan.roast_until_s,
        "clean_by_s": plan.clean_by_s,
        "doors_s": plan.doors_s,
        "ready_s": plan.ready_s,
        "floor_at_doors_C": round(plan.stone_at_C(plan.doors_s), 1),
        "flame": [{"from_s": held.start_s, "level": held.level.name} for held in plan.flame.held],
        "loads": [_load(plan, load) for load in plan.loads],
        "left_over": [{"tray": o.tray.key, "portions": o.tray.portions, "why": o.why} for o in plan.left],
        "ways": [asdict(way) for way in plan.ways],
        "capacity_portions": dict(plan.capacity),
        "fuel_kWh": round(plan.fuel_J / KWH_J, 2),
        "fuel_without_trays_kWh": round(plan.bare_fuel_J / KWH_J, 2),
        "curve": {"times_s": list(plan.times_s), "stone_C": [round(at_C, 1) for at_C in plan.stone_C]},
        "kept": plan.kept,
        "faults": list(faults),
        "problems": list(plan.problems),
        "cautions": list(cautions_for(ahead)),
    }


def _load(plan: HeatUp, load: Load) -> dict[str, object]:
    went, spot = plan.went[load.tray.key], plan.places.spots[load.place]
    return {
        "tray": load.tray.key,
        "batch": load.tray.kind,
        "dish": load.tray.dish,
        "portions": load.tray.portions,
        "mass_kg": round(load.tray.mass_kg, 3),
        "in_s": load.in_s,
        "out_s": load.out_s,
        "place": spot.zone,
        "x_m": round(spot.x_m, 3),
        "y_m": round(spot.y_m, 3),
        "hands": [asdict(hand) for hand in load.hands],
        "done_after_s": None if went.done_s is None else round(went.done_s),
        "core_C": round(went.core_C, 1),
        "stone_C_in": round(went.stone_C_in, 1),
        "colour_most": round(went.colour_most, 2),
    }
