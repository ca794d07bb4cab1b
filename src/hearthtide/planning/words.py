"""The cook's words for a move: table before item, a handful of words, sides as seen from the mouth."""

from __future__ import annotations

from hearthtide.house.models import Act
from hearthtide.house.places import Spot
from hearthtide.oven.hearth import Hearth


def side_words(spot: Spot, hearth: Hearth) -> str:
    """Where a spot lies for a cook at the mouth: depth, then side.

    The hearth is cut into thirds each way.
    """
    deep, across = hearth.depth_m / 3, hearth.width_m / 3
    depth = "front" if spot.y_m < deep else "middle" if spot.y_m < 2 * deep else "back"
    side = "left" if spot.x_m < -across / 2 else "right" if spot.x_m > across / 2 else ""
    return f"{depth} {side}".strip()


def move_words(act: Act, ticket: str, dish_name: str, where: str, zone: str, turned_deg: float) -> str:
    """One line for one act. With `where` the words say which of several alike is meant; for the flame, all.

    >>> move_words("pull", "B4", "Pizza", "", "mid", 0)
    'B4, pizza out'
    >>> move_words("turn", "B4", "Pizza", "back right", "mid", 120)
    'B4, turn pizza a third round, back right'
    """
    name = dish_name.lower()
    at = f", {where}" if where else ""
    match act:
        case "dress":
            return f"{ticket}, dress {name}"
        case "launch":
            return f"{ticket}, {name} in{at}"
        case "load":
            return f"{ticket}, {name} onto its hot platter{at}"
        case "flame":
            return where
        case "turn":
            return f"{ticket}, turn {name} {round_words(turned_deg)}{at}"
        case "spin":
            return f"{ticket}, spin {name} {round_words(turned_deg)}{at}"
        case "flip":
            return f"{ticket}, flip {name}{at}"
        case "move":
            return f"{ticket}, {name} to {zone_words(zone)}{at}"
        case "pull":
            return f"{ticket}, {name} out{at}"
        case "cut":
            return f"{ticket}, cut {name}"


def round_words(turned_deg: float) -> str:
    """How far round, in words.

    >>> round_words(120), round_words(90)
    ('a third round', 'a quarter round')
    """
    names = {180: "half round", 120: "a third round", 90: "a quarter round"}
    return names.get(round(turned_deg), f"{turned_deg:.0f}° round")


def zone_words(zone: str) -> str:
    return {"near": "the flame", "mid": "the middle", "edge": "the edge", "mouth": "the mouth"}[zone]
