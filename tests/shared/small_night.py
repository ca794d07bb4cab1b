"""A small house and its nights, put together in Python, for the tests of planning. Invented.

The dishes carry the house's own minutes, so that the search can be tested without any physics.
Minutes are those of the trade's plain ticket: pizza 3:00, steak 7:30 and 5:00 rest, shrimp 5:00,
boned half chicken 10:00 and 2:00 by the flame and 2:00 rest, dip 6:00; plating 0:45.
"""

from __future__ import annotations

import random
from dataclasses import replace
from functools import cache
from typing import Any

from hearthtide.food.outcome import Colour
from hearthtide.house.files import oven_design
from hearthtide.house.models import DishFile, House, HouseFile, NightFile, OvenFile, ZonesFile
from hearthtide.house.places import Outline
from hearthtide.oven.design import FlameLevel, OvenDesign
from hearthtide.oven.grid import QUICK
from hearthtide.oven.model import Oven, build_oven
from hearthtide.planning.build import build_problem, house_choices, house_outlines
from hearthtide.planning.draw import Draw
from hearthtide.planning.engine.search import search
from hearthtide.planning.flame import FlamePlan, Held
from hearthtide.planning.places import Places, enumerate_places
from hearthtide.planning.plan import Plan
from hearthtide.planning.problem import Placed, Problem, Schedule
from hearthtide.planning.report import Night, assemble
from hearthtide.planning.verify import ItemSeen, Seen, StageSeen, Verifier
from hearthtide.quantities.parse import parse_clock_s

ALL_ACTS = ("dress", "launch", "load", "turn", "spin", "flip", "move", "pull", "cut", "flame")
PAN = {"kind": "pan", "width": "26 cm", "depth": "20 cm", "metal": "carbon_steel", "mass": "0.9 kg"}
STEEL_DISC = {"kind": "platter", "diameter": "26 cm", "metal": "cast_iron", "mass": "1.8 kg"}

DISHES: dict[str, dict[str, Any]] = {
    "pizza": {
        "name": "Pizza",
        "vessel": {"kind": "stone", "diameter": "28 cm"},
        "layers": [
            {"food": "pizza_dough", "thickness": "4 mm"},
            {"food": "tomato_sauce", "thickness": "2 mm"},
            {"food": "mozzarella", "thickness": "3 mm"},
        ],
        "rim": "16 mm",
        "start": "20 C",
        "clear_of_flame": "30 cm",
        "dressed": True,
        "cut": True,
        "stages": [
            {
                "name": "bake",
                "places": ["mid", "edge"],
                "until": {"core": "85 C", "colour": "golden"},
                "minutes": "3:00",
                "turns": ["40 %", "70 %"],
            }
        ],
        "hold": "2:30",
    },
    "steak": {
        "name": "Strip steak",
        "vessel": STEEL_DISC | {"from_bank": True},
        "layers": [{"food": "beef_strip", "thickness": "25 mm"}],
        "food_area": 0.0115,
        "start": "12 C",
        "stages": [
            {
                "name": "sear",
                "places": ["near"],
                "until": {"core": "50 C"},
                "minutes": "7:30",
                "flips": ["50 %"],
            }
        ],
        "rest": "5:00",
        "hold": "3:00",
        "core_at_landing": "52 C",
    },
    "shrimp": {
        "name": "Shrimp in butter",
        "vessel": PAN,
        "layers": [{"food": "butter", "thickness": "3 mm"}, {"food": "shrimp", "thickness": "14 mm"}],
        "food_area": 0.013,
        "start": "4 C",
        "stages": [
            {
                "name": "sizzle",
                "places": ["near", "mid"],
                "until": {"core": "63 C"},
                "minutes": "5:00",
                "spins": ["50 %"],
            }
        ],
        "hold": "2:00",
    },
    "chicken": {
        "name": "Half chicken",
        "vessel": PAN | {"metal": "cast_iron", "mass": "1.9 kg"},
        "layers": [{"food": "chicken_cooked", "thickness": "24 mm"}],
        "food_area": 0.0165,
        "start": "4 C",
        "stages": [
            {
                "name": "warm through",
                "places": ["mid"],
                "until": {"core": "65 C"},
                "minutes": "10:00",
                "spins": ["50 %"],
                "covered": "60 %",
            },
            {"name": "crisp", "places": ["near"], "until": {"core": "74 C"}, "minutes": "2:00"},
        ],
        "rest": "2:00",
        "hold": "5:00",
    },
    "dip": {
        "name": "Cheese dip",
        "vessel": {"kind": "crock", "diameter": "15 cm", "metal": "cast_iron", "mass": "0.8 kg"},
        "layers": [{"food": "cheese_dip", "thickness": "30 mm"}],
        "food_area": 0.011,
        "start": "4 C",
        "stages": [
            {"name": "heat", "places": ["edge", "mouth"], "until": {"bubbling": True}, "minutes": "6:00"}
        ],
        "hold": "4:00",
    },
}

OVEN: dict[str, Any] = {
    "name": "Small hearth",
    "shape": "round",
    "diameter": "1.2 m",
    "crown_rise": "42 cm",
    "mouth_width": "50 cm",
    "mouth_height": "25 cm",
    "floor": [
        {"material": "fireclay", "thickness": "50 mm"},
        {"material": "calcium_silicate", "thickness": "100 mm"},
    ],
    "dome": [
        {"material": "castable", "thickness": "60 mm"},
        {"material": "fibre_blanket", "thickness": "120 mm"},
    ],
    "fuel": "natural_gas",
    "burners": [{"kind": "ribbon", "bearing": "-45 deg", "length": "50 cm", "standoff": "8 cm"}],
    "flames": [
        {"name": "idle", "power": "2.4 kW"},
        {"name": "low", "power": "7 kW"},
        {"name": "half", "power": "14 kW"},
        {"name": "high", "power": "22 kW"},
        {"name": "full", "power": "30 kW"},
    ],
    "floor_band": {"low": "345 C", "high": "370 C"},
}

HEARTHS: dict[str, dict[str, Any]] = {
    "round, ribbon": {},
    "box, ribbon and fire below": {
        "shape": "rectangular",
        "diameter": None,
        "width": "1.5 m",
        "depth": "1.1 m",
        "crown": "barrel",
        "wall_height": "15 cm",
        "crown_rise": "35 cm",
        "fuel": "propane",
        "burners": [
            {"kind": "ribbon", "bearing": "-90 deg", "length": "60 cm", "standoff": "8 cm"},
            {"kind": "under", "share": "20 %"},
        ],
    },
    "round, wood": {
        "diameter": "1.4 m",
        "crown": "flat",
        "wall_height": "40 cm",
        "crown_rise": None,
        "fuel": "wood",
        "burners": [{"kind": "bed", "bearing": "90 deg", "standoff": "22 cm", "diameter": "36 cm"}],
    },
}
"""What differs from OVEN on hearths of other shapes and fires."""


def small_house(
    cooks: int | dict[str, tuple[str, ...]] = 1,
    platters: int | None = 12,
    oven: dict[str, Any] | None = None,
    **file: Any,
) -> House:
    """The house with so many all-round pairs of hands (or these, with their acts) and platters."""
    bank = None if platters is None else {"count": platters, "hot": "230 C", "turnaround": "10 min"}
    hands = {f"Cook {n}": ALL_ACTS for n in range(1, cooks + 1)} if isinstance(cooks, int) else cooks
    people = [{"name": name, "acts": acts} for name, acts in hands.items()]
    return House(
        folder="",
        file=HouseFile.model_validate(
            {"name": "Small house", "cooks": people, "platters": bank, "pizza_recovery": "45 s"} | file
        ),
        oven=OvenFile.model_validate(OVEN | (oven or {})),
        dishes={key: DishFile.model_validate(dish) for key, dish in DISHES.items()},
    )


def small_night(*tickets: tuple[str, str, str, tuple[str, ...]]) -> NightFile:
    """A night from rows of table, called, wanted, dishes."""
    rows = [
        {"table": table, "covers": len(dishes), "called": called, "wanted": wanted, "dishes": dishes}
        for table, called, wanted, dishes in tickets
    ]
    times = {"lit": "14:00", "doors": "17:00", "last_call": "21:30"}
    return NightFile.model_validate({"name": "Small night", **times, "tickets": rows})


MIXED = small_night(
    ("A1", "18:00", "18:20", ("pizza", "pizza", "steak")),
    ("B2", "18:04", "18:22", ("steak", "dip")),
    ("C3", "18:10", "18:28", ("pizza", "shrimp", "chicken")),
    ("D4", "18:12", "18:31", ("pizza", "pizza", "dip")),
)
"""Four tickets that one pair of hands can land in time."""


def tiny_night(seed: int, dishes: int) -> NightFile:
    """So many dishes in tickets of one to three, all called at 18:00, wanted from 18:15 on."""
    rng, left, wanted, rows = random.Random(1000 * dishes + seed), dishes, 15, []
    while left:
        party = min(left, rng.randint(1, 3))
        chosen = tuple(rng.choice(sorted(DISHES)) for _ in range(party))
        rows.append((f"T{len(rows) + 1}", "18:00", f"18:{wanted}", chosen))
        left, wanted = left - party, wanted + rng.randint(0, 4)
    return small_night(*rows)


def items_of(night: NightFile) -> list[str]:
    """The keys of a night's plates, as a problem names them; nothing is planned for it."""
    return [f"{ticket.table}-{n}" for ticket in night.tickets for n in range(1, len(ticket.dishes) + 1)]


def clock(text: str) -> int:
    return round(parse_clock_s(text))


def problem_of(house: House, night: NightFile) -> Problem:
    """The night on the house's own minutes; no oven is asked."""
    places = places_of(house)
    choices = {}
    for key, dish in house.dishes.items():
        for stage in range(len(dish.stages)):
            found = house_choices(dish, stage, places)
            if found is None:
                raise ValueError(f"{key} states no minutes")
            choices[key, stage] = found
    return build_problem(house, night, places, choices)


def places_of(house: House) -> Places:
    return _places(oven_design(house), house.file.zones, house_outlines(house))


@cache
def _places(design: OvenDesign, zones: ZonesFile, outlines: tuple[Outline, ...]) -> Places:
    return enumerate_places(design, zones, outlines)


def solved(house: House, night: NightFile, rounds: int = 200, seed: int = 1) -> tuple[Problem, Schedule]:
    problem = problem_of(house, night)
    return problem, search(problem, rounds=rounds, seed=seed)


@cache
def quick_oven(design: OvenDesign) -> Oven:
    return build_oven(design, QUICK)


def seen_as_planned(schedule: Schedule) -> Seen:
    """What a verifier would see if every stage's target came true exactly at its end."""
    return Seen(
        items={p.item.key: item_as_planned(p) for b in schedule.booked for p in b.placed},
        times_s=(clock("17:00"),),
        zone_C=(357.5,),
        dome_C=(450.0,),
        maps=(),
        draw=Draw((), ()),
        fuel_J=1e6,
        residual_J=0.0,
        steps=1,
    )


def item_as_planned(placed: Placed, **changed: Any) -> ItemSeen:
    """One item that did what it was planned to do, but for what is `changed`."""
    ends = [*(stay.start_s for stay in placed.stays[1:]), placed.leave_s]
    stages = tuple(
        StageSeen(end - stay.start_s, float(end - stay.start_s), 90.0, 360.0, 340.0)
        for stay, end in zip(placed.stays, ends, strict=True)
    )
    as_planned = ItemSeen(
        key=placed.item.key,
        stages=stages,
        core_C_at_pull=90.0,
        core_C_at_landing=90.0,
        colour=Colour(3.0, (3.0, 3.0, 3.0, 3.0)),
        burn_margin_s=60.0,
        weight_loss=0.1,
        times_s=(float(placed.leave_s - 60), float(placed.leave_s)),
        cores_C=(60.0, 90.0),
        colours=(2.0, 3.0),
    )
    return replace(as_planned, **changed)


def plan_of(house: House, night: NightFile, problem: Problem, schedule: Schedule) -> Plan:
    """The schedule on paper, as a cook would get it, the models left out."""
    verifier = Verifier(quick_oven(oven_design(house)), house, night, problem.places)
    flame = FlamePlan((Held(clock("14:00"), FlameLevel("half", 14_000.0)),), None)
    ran = Night(house, night, problem, schedule, flame, seen_as_planned(schedule), verifier)
    return assemble(ran, {}, seed=1)


def checks_of(plan: Plan) -> dict[str, bool]:
    return {check.name: check.ok for check in plan.checks}
