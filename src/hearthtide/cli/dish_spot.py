"""The spot that `hearthtide dish --spot` names: centimetres right of and behind the middle of the mouth."""

from __future__ import annotations

import math
from typing import get_args

import numpy as np

from hearthtide.cli.dish_asked import Asked, bad
from hearthtide.house.models import DishFile, House, Place
from hearthtide.house.places import Outline, Spot, fits_at, spot_at
from hearthtide.oven.design import OvenDesign
from hearthtide.planning.places import Places, bits
from hearthtide.quantities.parse import parse_length_m

WRITTEN = "two lengths from the mouth's middle, right and into the oven, such as 10,65 (cm) or 4in,26in"


def spot_asked(asked: Asked, house: House, key: str, design: OvenDesign, places: Places) -> Spot | None:
    """The spot exactly there; None where none was asked. A rectangle is laid the way round that fits.

    Raises InputError for words that are no spot, a spot off the hearth, one where the vessel does not fit or
    stands too near the flame, and a kind of place that no stage of the dish may have.
    """
    if asked.spot is None or asked.spot in get_args(Place):
        return None
    x_m, y_m = _metres(asked.spot)
    dish, text, hearth = house.dishes[key], asked.spot, design.hearth
    nearest = _nearest(dish, places, x_m, y_m)
    if hearth.room_m(np.array([x_m, y_m])) < 0:
        half, deep = 50 * hearth.width_m, 100 * hearth.depth_m
        on = f"a spot on the hearth: {-half:.0f} to {half:.0f} cm across, 0 to {deep:.0f} cm deep"
        raise bad("--spot", text, on, nearest)
    outline = Outline.of(dish.vessel)
    shapes = [shape for shape in (outline, outline.turned()) if fits_at(design, shape, x_m, y_m)]
    if not shapes:
        raise bad("--spot", text, f"room for {_size(outline)} clear of the wall", nearest)
    spots = [spot_at(design, house.file.zones, shape, x_m, y_m) for shape in shapes]
    clear_m = max(dish.clear_of_flame, house.file.zones.near_from)
    clear = [spot for spot in spots if spot is not None and spot.flame_m >= clear_m]
    if not clear:
        far = f"its edge at least {100 * clear_m:.0f} cm from the flame"
        raise bad("--spot", text, far, nearest)
    wanted = dict.fromkeys(place for stage in dish.stages for place in stage.places)
    found = next((spot for spot in clear if spot.zone in wanted), None)
    if found is None:
        kinds = f"a spot at {' or '.join(wanted)}; this is {clear[0].zone}"
        raise bad("--spot", text, kinds, nearest)
    return found


def spot_text(x_m: float, y_m: float) -> str:
    """A spot as --spot takes it.

    >>> spot_text(-0.1, 0.65), spot_text(0.0, 0.1497)
    ('-10,65', '0,15')
    """
    return f"{100 * x_m + 0.0:.3g},{100 * y_m:.3g}"


def _metres(text: str) -> tuple[float, float]:
    parts = [part.strip() for part in text.split(",")]
    try:
        x_m, y_m = (_length_m(part) for part in parts)
    except ValueError as wrong:
        kinds = ", ".join(get_args(Place))
        raise bad("--spot", text, f"{WRITTEN}; or one of {kinds}", "Write it so.") from wrong
    return x_m, y_m


def _length_m(text: str) -> float:
    """A length with its unit; a bare number is centimetres. ValueError for anything else."""
    try:
        length_m = float(text) / 100
    except ValueError:
        length_m = parse_length_m(text)
    if not math.isfinite(length_m):
        raise ValueError("expected a finite length")
    return length_m


def _nearest(dish: DishFile, places: Places, x_m: float, y_m: float) -> str:
    """The remedy: the nearest of the places where the dish's file lets it stand."""
    outline, wanted = Outline.of(dish.vessel), {place for stage in dish.stages for place in stage.places}
    mask = places.mask(outline, tuple(wanted), dish.clear_of_flame)
    spots = [places.spots[p] for p in bits(mask)]
    if not spots:
        return "There is no such place on this hearth."
    near = min(spots, key=lambda spot: math.hypot(spot.x_m - x_m, spot.y_m - y_m))
    return f"The nearest for it is {spot_text(near.x_m, near.y_m)}."


def _size(outline: Outline) -> str:
    if outline.is_disc:
        return f"{200 * outline.radius_m:.0f} cm"
    return f"{100 * outline.width_m:.0f} by {100 * outline.depth_m:.0f} cm"
