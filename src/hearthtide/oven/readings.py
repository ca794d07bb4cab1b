"""States to ask from (a measured stone, last night's oven, an oven settled at heat), and plain readings of
one: where the stone lies between two temperatures, what a run burnt, how far the priors leave a run open.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import product
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from hearthtide.errors import PhysicalRangeError
from hearthtide.heat.columns import Wall, links
from hearthtide.heat.combustion import Fuel
from hearthtide.oven.answers import course, power_for, ready, stone_C
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.gas import settled_gas, with_gas
from hearthtide.oven.ledger import Ledger
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.program import Trace
from hearthtide.ranges import Array, require

SET_H = 1.0  # how often a settled oven's flame is set (own choice)
SETTLE_H, OVERNIGHT_H = 3.0, 10.0  # settled heat before the night, and the night (own choice)
# How far the model's priors may lie from an oven, as factors (own choice): air drawn up by the flame, heat
# shone by it; and, without a flame, which neither of them moves, all films and the gap of a shut door.
ENTRAINMENT, RADIANT, FILMS, GAP = (0.7, 1.4), (0.8, 1.2), (0.7, 1.4), (0.5, 2.0)
PROFILE_ROUNDS = 4  # properties and profile brought to agree
J_PER_kWh = 3.6e6

Unit = Literal["kWh", "kg", "m3"]


@dataclass(frozen=True)
class Price:
    """What a unit of fuel costs, in whatever money the caller counts."""

    amount: float
    per: Unit


@dataclass(frozen=True)
class FuelUsed:
    """Heat released on the net calorific value, the fuel's mass, a gas' metered volume, and its cost."""

    energy_kWh: float
    mass_kg: float
    volume_m3: float | None
    cost: float | None


@dataclass(frozen=True, eq=False)
class Between:
    """Where the stone lies between two temperatures: its share of the hearth, and which cells (n,)."""

    low_C: float
    high_C: float
    share: float
    inside: NDArray[np.bool_]
    least_C: float
    median_C: float
    most_C: float


def measured_state(oven: Oven, floor_C: float | Array, ambient_C: float, soaked_share: float) -> OvenState:
    """A state from a reading of the stone's surface, for want of better; weak, since one surface reading says
    nothing of what lies behind it or above.

    Parameters
    ----------
    floor_C :
        The surface: one value or one per cell (n,), from `ambient_C` to 700 °C.
    ambient_C :
        The room, -30 to 60 °C.
    soaked_share :
        0.05 to 1. At 1 the stone is soaked: its profile is the steady one between surface and room. Below,
        that profile (as a share of the way from room to surface) is raised to the power 1 / soaked_share, so
        that only a skin is hot: own choice of a form.

    Roof and walls are taken to be as hot as the stone on average, which is near the truth only some time
    after the flame went out; the gas has settled between them. Raises PhysicalRangeError for values out of
    range.
    """
    cold = oven.cold(ambient_C)
    face = np.broadcast_to(np.asarray(floor_C, dtype=float), cold.floor_C.shape).copy()
    require("floor_C", face, "°C", ambient_C, 700.0)
    require("soaked_share", soaked_share, "-", 0.05, 1.0)
    film = oven.design.coefficients.outer_film_W_m2K
    mean_C = float(face.mean())
    nodes = cold.floor_nodes_C.copy()
    nodes[:, oven.stone.where] = _profile(oven.floor_wall, face, ambient_C, film, soaked_share)
    dome = np.full(cold.dome_C.shape, mean_C)
    state = OvenState(
        floor_C=face,
        dome_C=dome,
        mouth_C=cold.mouth_C,
        lower_C=ambient_C,
        upper_C=max(mean_C, ambient_C + 1.0),
        ambient_C=float(ambient_C),
        floor_nodes_C=nodes,
        dome_nodes_C=_profile(oven.dome_wall, dome, ambient_C, film, soaked_share),
    )
    _, lower, upper = settled_gas(oven, state, oven.fire(0.0))
    return with_gas(state, lower, upper)


def _profile(wall: Wall, face_C: Array, ambient_C: float, film_W_m2K: float, soaked_share: float) -> Array:
    """Nodes (nodes, n) behind faces (n,): resistances in series, properties at the mean profile."""
    above = face_C - ambient_C
    share = np.linspace(1.0, 0.0, len(wall.depth_m))
    for _ in range(PROFILE_ROUNDS):
        at = links(wall, ambient_C + float(above.mean()) * share, film_W_m2K)
        inward = np.cumsum(1 / np.array([at.surface_W_m2K, *at.link_W_m2K]))
        steady = 1 - inward / (inward[-1] + 1 / at.back_W_m2K)
        share = steady ** (1 / soaked_share)
    return np.asarray(ambient_C + share[:, None] * above)


def settled_state(
    oven: Oven,
    aim_C: float,
    hours: float = SETTLE_H,
    ambient_C: float = 25.0,
    on_progress: Callable[[float], None] | None = None,
) -> OvenState:
    """The oven lit from cold and, once its working stone stands at `aim_C`, held there for `hours` (0 to 24).

    The flame is set each hour so that the stone stands at the aim at its end, between the house's lowest and
    top. Raises PhysicalRangeError for values out of range, or an aim that twelve hours of the top flame miss.
    """
    require("hours", hours, "h", 0.0, 24.0)
    levels = oven.design.levels
    low_W, high_W = levels[0].power_W, levels[-1].power_W
    lit = ready(oven, oven.cold(ambient_C), high_W, aim_C)
    state, at_h = lit.course.state, 0.0
    if lit.ready_s is None:
        raise PhysicalRangeError(
            f"aim_C = {aim_C:g} °C (expected at most {stone_C(oven, state):.0f} °C, where twelve hours of "
            f"the top flame, {high_W / 1000:.1f} kW, bring the stone)"
        )
    while at_h < hours - 1e-6:
        span_s = 3600 * min(SET_H, hours - at_h)
        state = power_for(oven, state, aim_C, span_s, low_W, high_W)[1].state
        at_h += span_s / 3600
        if on_progress is not None:
            on_progress(at_h / hours)
    return state


def overnight_state(
    oven: Oven,
    aim_C: float,
    *,
    hours: float = OVERNIGHT_H,
    shut: bool = True,
    ambient_C: float = 25.0,
    on_progress: Callable[[float], None] | None = None,
) -> OvenState:
    """Last night's oven: three hours settled at `aim_C`, then no flame for `hours` (0.1 to 72), the door on
    if `shut`. Raises PhysicalRangeError for values out of range or a door that is not there.
    """
    require("hours", hours, "h", 0.1, 72.0)
    hot = settled_state(oven, aim_C, SETTLE_H, ambient_C, on_progress)
    return course(oven, hot, 0.0, 3600 * hours, 1800.0, shut=shut).state


def where_between(oven: Oven, state: OvenState, low_C: float, high_C: float) -> Between:
    """Share of the stone, and which cells, that lie from `low_C` to `high_C` right now (-50 to 1000 °C).

    Raises PhysicalRangeError for a low that is not below the high.
    """
    require("low_C", low_C, "°C", -50.0, 1000.0)
    require("high_C", high_C, "°C", np.nextafter(low_C, np.inf), 1000.0)
    floor = state.floor_C
    inside = (floor >= low_C) & (floor <= high_C)
    least, median, most = (float(v) for v in np.quantile(floor, (0.0, 0.5, 1.0)))
    return Between(low_C, high_C, float(inside.mean()), inside, least, median, most)


def fuel_of(
    burnt: Trace | Ledger, fuel: Fuel, metered_J_m3: float | None = None, price: Price | None = None
) -> FuelUsed:
    """What a run burnt. `metered_J_m3` is a gas' net calorific value by the meter, J/m³; None without one.

    Raises PhysicalRangeError for a price below zero, or per m³ of a fuel that is not metered.

    >>> from hearthtide.heat.combustion import NATURAL_GAS
    >>> used = fuel_of(Ledger(fuel_J=36e6), NATURAL_GAS, 36e6, Price(0.12, "kWh"))
    >>> used.energy_kWh, round(used.mass_kg, 3), used.volume_m3, round(used.cost, 2)
    (10.0, 0.732, 1.0, 1.2)
    """
    heat_J = burnt.ledger.fuel_J if isinstance(burnt, Trace) else burnt.fuel_J
    amounts: dict[Unit, float] = {"kWh": heat_J / J_PER_kWh, "kg": heat_J / fuel.calorific_J_kg}
    if metered_J_m3 is not None:
        require("metered_J_m3", metered_J_m3, "J/m³", 1e6, 1e9)
        amounts["m3"] = heat_J / metered_J_m3
    cost = None
    if price is not None:
        require("price", price.amount, f"per {price.per}", 0.0, 1e6)
        require(f"{fuel.name} counted in {price.per}", float(price.per in amounts), "", 1.0, 1.0)
        cost = price.amount * amounts[price.per]
    return FuelUsed(amounts["kWh"], amounts["kg"], amounts.get("m3"), cost)


def spread(oven: Oven, values: Callable[[Oven], Array], *, burning: bool) -> tuple[Array, Array]:
    """Least and greatest of `values` (t,) as far as the model's priors go, the oven's own included.

    With a flame its air and its radiance vary together, all four ways; without one the films and the door's
    gap do. What the walls are made of does not vary.
    """
    designs = _fired(oven.design) if burning else _falling(oven.design)
    variants = [
        replace(oven, design=design, sheet=replace(oven.sheet, design=design), _burning={})
        for design in designs
    ]
    found = np.array([values(variant) for variant in (oven, *variants)])
    return found.min(0), found.max(0)


def _fired(design: OvenDesign) -> Iterator[OvenDesign]:
    own = design.coefficients
    for air, shine in product(ENTRAINMENT, RADIANT):
        changed = replace(own, entrainment=air * own.entrainment, radiant=shine * own.radiant)
        yield replace(design, coefficients=changed)


def _falling(design: OvenDesign) -> Iterator[OvenDesign]:
    own = design.coefficients
    for film, gap in zip(FILMS, GAP, strict=True):
        changed = replace(
            own,
            lower_film_W_m2K=film * own.lower_film_W_m2K,
            upper_film_W_m2K=film * own.upper_film_W_m2K,
            outer_film_W_m2K=film * own.outer_film_W_m2K,
        )
        mouth = replace(design.mouth, gap=min(1.0, gap * design.mouth.gap))
        yield replace(design, coefficients=changed, mouth=mouth)
