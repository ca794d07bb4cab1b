"""Where the fuel's heat went."""

from __future__ import annotations

from dataclasses import dataclass, fields


@dataclass(frozen=True)
class Ledger:
    """Where the fuel's heat went, J. fuel = floor + dome + food + flue + mouth + shell + lag + residual.

    Floor and dome are heat stored, flue what leaves with gas, mouth what shines out (or goes through a shut
    door), shell what leaves through the outside. `lag_J` is the surfaces' change of emission within the
    step, which the others see one step late; it vanishes with the step length. `residual_J` is rounding, or
    a bug.
    """

    fuel_J: float = 0.0
    floor_J: float = 0.0
    dome_J: float = 0.0
    food_J: float = 0.0
    flue_J: float = 0.0
    mouth_J: float = 0.0
    shell_J: float = 0.0
    lag_J: float = 0.0
    residual_J: float = 0.0

    @property
    def entries(self) -> tuple[float, ...]:
        """The nine entries in their order."""
        return tuple(getattr(self, entry.name) for entry in fields(self))

    def __add__(self, other: Ledger) -> Ledger:
        return Ledger(*(a + b for a, b in zip(self.entries, other.entries, strict=True)))


def closed(
    *,
    fuel_J: float,
    floor_J: float,
    dome_J: float,
    food_J: float,
    flue_J: float,
    mouth_J: float,
    shell_J: float,
    lag_J: float,
) -> Ledger:
    """A ledger whose residual is what the other entries leave unexplained."""
    spent = floor_J + dome_J + food_J + flue_J + mouth_J + shell_J + lag_J
    return Ledger(fuel_J, floor_J, dome_J, food_J, flue_J, mouth_J, shell_J, lag_J, fuel_J - spent)
