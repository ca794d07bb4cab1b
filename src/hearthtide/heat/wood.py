"""A wood fire: splits that dry and flame, and the embers they leave."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.heat.combustion import fuel
from hearthtide.ranges import Array, require

# Char that flaming leaves, as a share of dry wood's mass: 0.20 to 0.25 (from memory, not re-read). Slow
# charring leaves more: lists of charcoal making give 0.25 to 0.33.
CHAR_SHARE = 0.22
# Net value of char, J/kg: lists of charcoal quality give 31.1 (pine) and 31.6 MJ/kg (oak) with little ash.
CHAR_J_kg = 31e6
# Time constants of a split of about 1 kg on a live bed of embers (own choice; a house's own readings decide).
FLAMING_S, EMBER_S = 480.0, 2400.0


@dataclass(frozen=True)
class Split:
    """A piece of wood laid on the fire at `time_s`; `mass_kg` with its moisture, above 0 to 100 kg."""

    time_s: float
    mass_kg: float


def fed_power_W(kg_h: float, moisture: float) -> float:
    """Mean heat release on the net value of wood fed at `kg_h` (0 to 100 kg/h, as fired), W.

    >>> round(fed_power_W(3, 0.20) / 1000, 1)
    11.7
    """
    require("kg_h", kg_h, "kg/h", 0.0, 100.0)
    return kg_h / 3600 * fuel("wood", moisture).calorific_J_kg


def steady_ember_share(moisture: float) -> float:
    """Share of the heat that embers give when wood is fed evenly; `moisture` per wet mass, 0 to 0.5.

    >>> round(steady_ember_share(0.18), 2)
    0.39
    """
    return _ember_J_kg(moisture) / fuel("wood", moisture).calorific_J_kg


def splits_of(kg_h: float, split_kg: float, from_s: float, until_s: float) -> tuple[Split, ...]:
    """Even feeding: a split of `split_kg` each time that much is due, the first at `from_s`.

    `kg_h` above 0 to 100, `split_kg` 0.01 to 20, `until_s` not before `from_s`. The last split is smaller
    where the mass due by `until_s` is no whole number of splits.
    """
    require("kg_h", kg_h, "kg/h", 1e-6, 100.0)
    require("split_kg", split_kg, "kg", 0.01, 20.0)
    require("from_s", from_s, "s", -1e9, 1e9)
    require("until_s", until_s, "s", from_s, 1e9)
    due_kg = kg_h * (until_s - from_s) / 3600
    # Rounding alone must not add a split of nothing.
    count = math.ceil(due_kg / split_kg - 1e-9)
    between_s = split_kg / kg_h * 3600
    return tuple(Split(from_s + i * between_s, min(split_kg, due_kg - i * split_kg)) for i in range(count))


def wood_fire_W(
    splits: Sequence[Split],
    moisture: float,
    times_s: Array,
    flaming_s: float = FLAMING_S,
    ember_s: float = EMBER_S,
) -> tuple[Array, Array]:
    """Heat release of the flames and of the embers at `times_s` (n,): two arrays (n,), W.

    Each split dries and gives off its gas at a rate that falls with the time constant `flaming_s` (1 s to
    1e5 s); the char it leaves meanwhile glows away with `ember_s` (at least `flaming_s`, to 1e6 s). The heat
    that drying takes comes off the flames. Over all time flames and embers give the net value as fired.
    First-order burning is our own choice of form. PhysicalRangeError for values outside their ranges.
    """
    require("flaming_s", flaming_s, "s", 1.0, 1e5)
    require("ember_s", ember_s, "s", flaming_s, 1e6)
    ember_J_kg = _ember_J_kg(moisture)
    flame_J_kg = fuel("wood", moisture).calorific_J_kg - ember_J_kg
    flaming_W, embers_W = np.zeros(np.shape(times_s)), np.zeros(np.shape(times_s))
    for split in splits:
        require("split.mass_kg", split.mass_kg, "kg", 1e-9, 100.0)
        age_s = np.maximum(times_s - split.time_s, 0.0)
        lit = split.mass_kg * (times_s >= split.time_s)
        flaming_W += lit * flame_J_kg * np.exp(-age_s / flaming_s) / flaming_s
        embers_W += lit * ember_J_kg * _glow_s(age_s, flaming_s, ember_s)
    return flaming_W, embers_W


def wood_heat_J(
    splits: Sequence[Split],
    moisture: float,
    edges_s: Array,
    flaming_s: float = FLAMING_S,
    ember_s: float = EMBER_S,
) -> tuple[Array, Array]:
    """Heat that flames and embers give between rising `edges_s` (n + 1,): two arrays (n,), J, none below 0.

    The closed integral of `wood_fire_W`, so that nothing is lost whatever the edges: of 1 kg of gas
    exp(-t/flaming) is left after t, of 1 kg of char what `_char_left` gives. Ranges and errors as there.
    """
    require("flaming_s", flaming_s, "s", 1.0, 1e5)
    require("ember_s", ember_s, "s", flaming_s, 1e6)
    require("edges' steps", np.diff(edges_s), "s", 0.0, 1e9)
    ember_J_kg = _ember_J_kg(moisture)
    flame_J_kg = fuel("wood", moisture).calorific_J_kg - ember_J_kg
    flames_J, embers_J = np.zeros(len(edges_s) - 1), np.zeros(len(edges_s) - 1)
    for split in splits:
        require("split.time_s", split.time_s, "s", -1e9, 1e9)
        require("split.mass_kg", split.mass_kg, "kg", 1e-9, 100.0)
        age_s = np.maximum(edges_s - split.time_s, 0.0)
        left = np.exp(-age_s[:-1] / flaming_s)
        flames_J += split.mass_kg * flame_J_kg * left * -np.expm1(-np.diff(age_s) / flaming_s)
        # Rounding alone can make what is left rise.
        burnt = np.maximum(-np.diff(_char_left(age_s, flaming_s, ember_s)), 0.0)
        embers_J += split.mass_kg * ember_J_kg * burnt
    return flames_J, embers_J


def _ember_J_kg(moisture: float) -> float:
    """Heat in the char that 1 kg of wood as fired leaves."""
    require("moisture", moisture, "-", 0.0, 0.5)
    return (1 - moisture) * CHAR_SHARE * CHAR_J_kg


def _glow_s(age_s: Array, flaming_s: float, ember_s: float) -> Array:
    """Share of a split's char that burns per second: (exp(-t/ember) - exp(-t/flaming)) / (ember - flaming).

    Written so that equal time constants are no special case.
    """
    formed = _formed(age_s, flaming_s, ember_s)
    return np.asarray(np.exp(-age_s / ember_s) * age_s / (flaming_s * ember_s) * formed)


def _char_left(age_s: Array, flaming_s: float, ember_s: float) -> Array:
    """Share of a split's char, formed yet or not, that is still to burn: the integral of `_glow_s` from then.

    (ember exp(-t/ember) - flaming exp(-t/flaming)) / (ember - flaming), written likewise.
    """
    formed = _formed(age_s, flaming_s, ember_s)
    return np.asarray(np.exp(-age_s / ember_s) * (1 + age_s / ember_s * formed))


def _formed(age_s: Array, flaming_s: float, ember_s: float) -> Array:
    """(1 - exp(-gap)) / gap with gap = t (1/flaming - 1/ember); 1 where that is 0."""
    gap = age_s * (1 / flaming_s - 1 / ember_s)
    safe = np.where(gap > 0, gap, 1.0)
    return np.asarray(np.where(gap > 0, -np.expm1(-gap) / safe, 1.0))
