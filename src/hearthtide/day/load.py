"""A tray, and a tray in its place for a time: plain data that planner, checker and prints share."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Act = Literal["put in", "turn", "take out"]


@dataclass(frozen=True)
class Tray:
    """One tray to be cooked. `masks`: its places as bits, the dish's first wish first. `turns`: when it is
    turned or flipped, as fractions of its time. The house has `of_kind` such trays.
    """

    key: str
    kind: str
    dish: str
    portions: int
    mass_kg: float
    masks: tuple[int, ...]
    turns: tuple[float, ...]
    rest_s: int
    of_kind: int
    stone_from_C: float
    stone_to_C: float
    raw: bool
    ready_to_eat: bool


@dataclass(frozen=True)
class Hand:
    """One act of one person [s of the clock]."""

    act: Act
    who: str
    from_s: int
    until_s: int


@dataclass(frozen=True)
class Load:
    """A tray in its place from `in_s` to `out_s` [s of the clock]; the food model asked `asked_s` of it."""

    tray: Tray
    place: int
    in_s: int
    out_s: int
    asked_s: int
    hands: tuple[Hand, ...]
