"""A small house and a plan made by hand: two tables, four plates, one late, for the report's tests."""

from __future__ import annotations

from dataclasses import replace

from hearthtide.house.models import DishFile, House, HouseFile, OvenFile
from hearthtide.planning.plan import (
    Beside,
    Check,
    Comparison,
    FlameChange,
    ItemReport,
    ItemTrack,
    Landing,
    Late,
    Limit,
    Move,
    Need,
    OnStone,
    OvenTrack,
    Plan,
    StoneMap,
    WayOut,
)

HOUR_S = 3600
SEVEN = 19 * HOUR_S

OVEN = OvenFile.model_validate(
    {
        "name": "Test hearth",
        "shape": "round",
        "diameter": "1.2 m",
        "crown_rise": "42 cm",
        "mouth_width": "50 cm",
        "mouth_height": "25 cm",
        "floor": [{"material": "fireclay", "thickness": "50 mm"}],
        "dome": [{"material": "castable", "thickness": "60 mm"}],
        "fuel": "natural_gas",
        "burners": [{"kind": "ribbon", "bearing": "-45 deg", "length": "50 cm", "standoff": "8 cm"}],
        "flames": [{"name": "low", "power": "7 kW"}, {"name": "full", "power": "30 kW"}],
        "floor_band": {"low": "345 C", "high": "370 C"},
    }
)


def dish(name: str, vessel: dict[str, str | bool], allergens: dict[str, list[str]]) -> DishFile:
    return DishFile.model_validate(
        {
            "name": name,
            "vessel": vessel,
            "layers": [{"food": "pizza_dough", "thickness": "4 mm"}],
            "start": "20 C",
            "stages": [{"name": "bake", "places": ["mid"], "until": {"core": "85 C", "colour": "golden"}}],
            "allergens": allergens,
        }
    )


def house(pizza_name: str = "Pizza") -> House:
    file = HouseFile.model_validate(
        {
            "name": "Testing House",
            "cooks": [{"name": "Oven", "acts": ["launch", "pull"]}, {"name": "Pass", "acts": ["cut"]}],
        }
    )
    pan: dict[str, str | bool] = {
        "kind": "pan",
        "width": "20 cm",
        "depth": "26 cm",
        "metal": "cast_iron",
        "mass": "1.9 kg",
    }
    dishes = {
        "pizza": dish("Pizza", {"kind": "stone", "diameter": "28 cm"}, {"contains": ["wheat"]}),
        "half_chicken": dish("Half chicken", pan, {"may_contact": ["wheat"]}),
    }
    dishes["pizza"] = dishes["pizza"].model_copy(update={"name": pizza_name})
    return House(folder="", file=file, oven=OVEN, dishes=dishes)


def on_disc(start_s: int, end_s: int, x_m: float, y_m: float) -> OnStone:
    return OnStone(start_s, end_s, x_m, y_m, 0.28, None, None)


def on_pan(start_s: int, end_s: int, x_m: float, y_m: float) -> OnStone:
    return OnStone(start_s, end_s, x_m, y_m, None, 0.20, 0.26)


def plate(item: str, dish_key: str, stay: OnStone, ready_s: int) -> ItemReport:
    times = (float(stay.start_s), float(stay.end_s), float(ready_s + 60))
    return ItemReport(
        item=item,
        dish=dish_key,
        ticket=item.split("-")[0],
        diameter_m=stay.diameter_m,
        width_m=stay.width_m,
        depth_m=stay.depth_m,
        stays=(stay,),
        ready_s=ready_s,
        minutes_from="house",
        core_C_at_pull=88.4,
        core_C_at_landing=84.0,
        colour_step=3.2,
        colour_least=2.6,
        colour_most=4.1,
        bottom_colour=2.0,
        burn_margin_s=43.0,
        weight_loss=0.134,
        stone_C_at_launch=360.0,
        stone_C_at_pull=290.0,
        comment="as the house does it",
        track=ItemTrack(times, (20.0, 88.4, 84.0), (1.0, 3.2, 3.2)),
    )


def handled(item: ItemReport, act_s: int, act: str, facing_deg: float, words: str) -> Move:
    stay = item.stays[0]
    return Move(
        start_s=act_s,
        hands_s=10,
        cook="Oven",
        act="launch" if act == "launch" else "pull",
        item=item.item,
        dish=item.dish,
        ticket=item.ticket,
        spot_x_m=stay.x_m,
        spot_y_m=stay.y_m,
        facing_deg=facing_deg,
        words=words,
    )


PLATES = (
    plate("B4-1", "pizza", on_disc(SEVEN + 600, SEVEN + 780, -0.25, 0.40), SEVEN + 800),
    plate("B4-2", "half_chicken", on_pan(SEVEN, SEVEN + 720, 0.30, 0.70), SEVEN + 795),
    plate("C7-1", "pizza", on_disc(SEVEN + 1200, SEVEN + 1380, 0.10, 0.85), SEVEN + 1400),
    plate("C7-2", "pizza", on_disc(SEVEN + 1230, SEVEN + 1400, -0.30, 0.35), SEVEN + 1410),
)


def moves() -> tuple[Move, ...]:
    found = []
    for item, facing in zip(PLATES, (90.0, 0.0, 270.0, 180.0), strict=True):
        name = "pizza" if item.dish == "pizza" else "half chicken"
        stay = item.stays[0]
        found.append(
            handled(item, stay.start_s, "launch", facing, f"{item.ticket}, {name} in, spot {item.item}")
        )
        found.append(handled(item, stay.end_s - 8, "pull", facing, f"{item.ticket}, {name} out {item.item}"))
    last = found[-1]
    found.append(replace(last, act="cut", cook="Pass", start_s=last.start_s + 10, words="C7, cut pizza"))
    return tuple(sorted(found, key=lambda m: m.start_s))


def limit() -> Limit:
    """Hands bind; two ways out, one with money."""
    late = (Late("C7", "C7", SEVEN + 1200, 260),)
    later = WayOut("later", "tell 1 table a later minute", 0.0, 1040.0, 1500.0, 1040.0, "told", 4.5, ())
    helped = WayOut("pass", "give cutting to another", 520.0, 520.0, 700.0, 300.0, "5:00", None, late)
    needs = (Need("hands", SEVEN, 40.0, 30.0, "min"),)
    return Limit("hands", 300, 1040.0, {"hands": 0.0, "stone": 1040.0}, late, needs, (later, helped), 9)


def oven_track() -> OvenTrack:
    """A stone that is hotter to the left, so that a mirrored picture would show."""
    side = 0.1
    cells = tuple(
        (round(-0.55 + side * i, 3), round(0.05 + side * j, 3))
        for j in range(11)
        for i in range(12)
        if (-0.55 + side * i) ** 2 + (0.05 + side * j - 0.5454) ** 2 <= 0.36
    )
    floor = tuple(350.0 - 100.0 * x for x, _ in cells)
    times = tuple(float(SEVEN - 7200 + 600 * i) for i in range(18))
    return OvenTrack(
        times_s=times,
        zone_C=tuple(25.0 + 20.0 * i for i in range(18)),
        dome_C=tuple(25.0 + 24.0 * i for i in range(18)),
        power_W=(30_000.0,) * 18,
        cells_m=cells,
        cell_side_m=side,
        maps=(StoneMap(SEVEN + 660, floor), StoneMap(SEVEN + 1320, floor)),
    )


def plan() -> Plan:
    """B4 lands when it is wanted, C7 five minutes late (the house allows two)."""
    return Plan(
        house="Testing House",
        night="Tuesday",
        moves=moves(),
        flame=(
            FlameChange(SEVEN - 7200, "full", 30_000.0, "light, set to full"),
            FlameChange(SEVEN, "low", 7_000.0, "flame down to low"),
        ),
        landings=(
            Landing("B4", 1, 2, SEVEN - 300, SEVEN + 840, SEVEN + 840, SEVEN + 800, 5, ("B4-1", "B4-2")),
            Landing("C7", 1, 3, SEVEN + 600, SEVEN + 1160, SEVEN + 1460, SEVEN + 1400, 10, ("C7-1", "C7-2")),
        ),
        items=PLATES,
        checks=(
            Check("hands", True, "two pairs"),
            Check("on time", False, "C7 lands 5:00 after it was wanted"),
        ),
        figures={"covers": 5.0, "late_total_s": 300.0, "fuel_MJ": 250.0, "floor_ready_s": SEVEN - 3600.0},
        cautions=("No rule set is chosen.", "Carbon monoxide: a working alarm."),
        comparison=(
            Comparison(
                "B4", SEVEN + 840, SEVEN + 810, (Beside("B4-1", "pizza", 180, 150, SEVEN, None, "hot"),)
            ),
            Comparison(
                "C7", SEVEN + 1460, SEVEN + 1400, (Beside("C7-1", "pizza", 180, 120, SEVEN, SEVEN, "x"),)
            ),
        ),
        limit=limit(),
        oven=oven_track(),
    )
