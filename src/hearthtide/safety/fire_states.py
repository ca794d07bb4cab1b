"""States of the fire and the gas in which nothing is planned but the way out, in plain words.

Nothing here knows the air or the gas: a person says what is so. There is no advice on burners, gas pressure,
draught or flues, and no word that says anything is safe.
"""

from __future__ import annotations

from dataclasses import dataclass
from math import isfinite
from typing import Literal

Danger = Literal["carbon monoxide", "extraction off", "flame out", "coals behind a door", "fire"]

OUT_FIRST = (
    "Fuel off if it can be reached on the way. Everyone out. Call the emergency number from outside. Nobody "
    "goes back in until the fire service or a licensed person says so."
)


LEAST_WAIT_S = 300.0  # five minutes (common practice, no source)


@dataclass(frozen=True)
class Told:
    """What people said, each with when: seconds of the night. None: not so, as far as anybody said."""

    carbon_monoxide_s: float | None = None
    extraction_off_s: float | None = None
    flame_out_s: float | None = None
    gas_shut_s: float | None = None
    coals_behind_door_s: float | None = None
    fire_s: float | None = None
    wait_s: float = LEAST_WAIT_S  # longer where the oven's own book says so

    def __post_init__(self) -> None:
        if not (isfinite(self.wait_s) and self.wait_s >= LEAST_WAIT_S):
            raise ValueError(f"expected a wait of {LEAST_WAIT_S:.0f} s or longer, found {self.wait_s} s")

    @property
    def shut_s(self) -> float | None:
        """When the gas was shut for this flame that is out; one that was shut before says nothing of it."""
        if self.flame_out_s is None or self.gas_shut_s is None or self.gas_shut_s < self.flame_out_s:
            return None
        return self.gas_shut_s


@dataclass(frozen=True)
class WayOut:
    """What is shown instead of a plan: `plans` is the one thing that may still be planned, or nothing."""

    danger: Danger
    words: str
    plans: Literal["nothing", "emptying the oven"]
    until_s: float | None = None


def way_out(told: Told, now_s: float) -> WayOut | None:
    """The gravest of what was said, or None: then the night is planned as usual.

    >>> way_out(Told(carbon_monoxide_s=60.0), 61.0).plans
    'nothing'
    """
    if told.carbon_monoxide_s is not None:
        return WayOut("carbon monoxide", f"Carbon monoxide alarm, or people feel ill. {OUT_FIRST}", "nothing")
    if told.fire_s is not None:
        words = f"Fire that is not the oven's. No water on fat. The house's own fire drill now. {OUT_FIRST}"
        return WayOut("fire", words, "nothing")
    gas = "Shut the gas now. " if told.flame_out_s is not None and told.shut_s is None else ""
    if told.coals_behind_door_s is not None:
        fan = "" if told.extraction_off_s is not None else "extraction on, "
        words = (
            f"{gas}Live coals behind a shut door give off carbon monoxide. Open the door and stand back from "
            f"the mouth, {fan}coals into a lidded metal bin outdoors. If an alarm sounds or anybody feels "
            "ill: out."
        )
        return WayOut("coals behind a door", words, "nothing")
    if told.extraction_off_s is not None:
        words = (
            f"{gas}The extraction is off. Nothing new goes in: take out what is in and let the fire go down. "
            "Carbon monoxide cannot be smelt. An alarm sounds or anybody feels ill: fuel off, everyone out."
        )
        return WayOut("extraction off", words, "emptying the oven")
    return _relight(told, now_s)


def _relight(told: Told, now_s: float) -> WayOut | None:
    if told.flame_out_s is None:
        return None
    if told.shut_s is None:
        words = "The flame is out. Shut the gas now. Nothing is lit, nothing new goes in."
        return WayOut("flame out", words, "emptying the oven")
    until_s = told.shut_s + told.wait_s
    if now_s < until_s:
        words = (
            "The gas is shut. Wait; the wait cannot be cut short. Smell of gas: leave it shut, call a "
            "licensed fitter."
        )
        return WayOut("flame out", words, "emptying the oven", until_s)
    words = (
        "Relight by the oven's own instructions, face back from the mouth. It will not light: shut it, call "
        "a licensed fitter."
    )
    return WayOut("flame out", words, "emptying the oven")


def may_light(told: Told, now_s: float) -> str:
    """Why a flame may not be said to burn again yet; empty when it may."""
    danger = way_out(told, now_s)
    if danger is not None and danger.danger != "flame out":
        return f"not while this stands: {danger.danger}."
    if told.flame_out_s is None:
        return ""
    if told.shut_s is None:
        return "nobody has said that the gas is shut. Shut it, say so, and wait."
    left_s = told.shut_s + told.wait_s - now_s
    if left_s > 0:
        return f"the wait has {left_s:.0f} s to go and cannot be cut short."
    return ""
