"""How long a reheat takes when the fridge and the thickness are known only within bands."""

from __future__ import annotations

from dataclasses import dataclass, replace

from hearthtide.errors import PhysicalRangeError
from hearthtide.food.cooking import Target, cook
from hearthtide.food.exposure import Exposure
from hearthtide.food.model import prepare, start
from hearthtide.food.spec import Portion

Band = tuple[float, float]


@dataclass(frozen=True)
class ReheatBand:
    """Seconds to the target core: thin and mild, middling, thick and cold; None if not in time."""

    low_s: float | None
    mid_s: float | None
    high_s: float | None


def _seconds(
    portion: Portion, exposure: Exposure, target_C: float, fridge_C: float, thickness_m: float, max_s: float
) -> float | None:
    scale = thickness_m / portion.thickness_m
    layers = tuple(replace(layer, thickness_m=layer.thickness_m * scale) for layer in portion.layers)
    food = prepare(replace(portion, layers=layers, start_C=fridge_C))
    stretch = cook(food, start(food), exposure, Target(core_C=target_C), max_s)
    return stretch.seconds if stretch.met else None


def reheat(
    portion: Portion,
    exposure: Exposure,
    target_C: float,
    fridge_C: Band,
    thickness_m: Band,
    max_s: float = 3600.0,
) -> ReheatBand:
    """Time to a core target in steady heat, from a band of fridge temperatures and of thicknesses.

    Time rises with thickness, nearly with its square, and falls with the starting temperature, so that two
    corners bound it; the third run is the middle of both bands. The portion's layers are scaled, its own
    thickness and start are not used. Doubts about the heat itself are not in the band. A probe decides.

    Raises PhysicalRangeError for a band that falls, or quantities outside what `prepare` and `cook` take.
    """
    for name, (low, high) in (("fridge_C", fridge_C), ("thickness_m", thickness_m)):
        if not low <= high:
            raise PhysicalRangeError(f"{name} {low} to {high}: expected the lower value first")
    mid_C, mid_m = sum(fridge_C) / 2, sum(thickness_m) / 2
    return ReheatBand(
        low_s=_seconds(portion, exposure, target_C, fridge_C[1], thickness_m[0], max_s),
        mid_s=_seconds(portion, exposure, target_C, mid_C, mid_m, max_s),
        high_s=_seconds(portion, exposure, target_C, fridge_C[0], thickness_m[1], max_s),
    )
