"""A plan as JSON: names fixed, units in the keys, seconds of the day for every clock."""

from __future__ import annotations

from dataclasses import asdict

from hearthtide.planning.plan import ItemReport, Landing, Limit, Plan


def plan_body(plan: Plan) -> dict[str, object]:
    """Everything a script may rely on, without the tracks that only pictures need."""
    return {
        "house": plan.house,
        "night": plan.night,
        "kept": plan.kept,
        "moves": [asdict(move) for move in plan.moves],
        "flame": [asdict(change) for change in plan.flame],
        "landings": [_landing(landing) for landing in plan.landings],
        "items": [_item(item) for item in plan.items],
        "checks": [asdict(check) for check in plan.checks],
        "figures": plan.figures,
        "limit": None if plan.limit is None else limit_json(plan.limit),
        "comparison": [asdict(one) for one in plan.comparison],
        "oven": {
            "times_s": plan.oven.times_s,
            "working_stone_C": [round(t, 1) for t in plan.oven.zone_C],
            "dome_C": [round(t, 1) for t in plan.oven.dome_C],
            "power_W": plan.oven.power_W,
        },
        "cost": None if plan.worth is None else asdict(plan.worth) | {"total_s": plan.worth.total_s},
        "cautions": plan.cautions,
    }


def _landing(landing: Landing) -> dict[str, object]:
    return asdict(landing) | {"late_s": landing.late_s}


def limit_json(limit: Limit) -> dict[str, object]:
    """A limit with what follows from its figures."""
    body = asdict(limit)
    body["needs"] = [asdict(need) | {"share": need.share} for need in limit.needs]
    body["ways_out"] = [asdict(way) | {"net_s": way.net_s} for way in limit.ways_out]
    return body


def _item(item: ItemReport) -> dict[str, object]:
    """The item without its track, its footprint as a diameter or as width and depth, never both."""
    body = {key: value for key, value in asdict(item).items() if key != "track"}
    body["stays"] = [_trimmed(stay) for stay in body["stays"]]
    return _trimmed(body)


def _trimmed(body: dict[str, object]) -> dict[str, object]:
    sides = ("diameter_m", "width_m", "depth_m")
    return {key: value for key, value in body.items() if value is not None or key not in sides}
