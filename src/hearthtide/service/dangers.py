"""What people said of fire and air, as the rules of safety want it: the way out, whether to light."""

from __future__ import annotations

from hearthtide.safety.fire_states import Told, WayOut, may_light, way_out
from hearthtide.service.facts import Facts


def told_of(facts: Facts, burns_gas: bool) -> Told:
    """All that stands. A wood fire that is out is no matter of gas: it is lit as it was in the morning."""
    at = {one.name: one.at_s for one in facts.dangers}
    out = facts.flame_out if burns_gas else None
    return Told(
        carbon_monoxide_s=at.get("carbon monoxide"),
        extraction_off_s=at.get("extraction off"),
        flame_out_s=None if out is None else out.at_s,
        gas_shut_s=None if facts.gas_shut is None else facts.gas_shut.at_s,
        coals_behind_door_s=at.get("coals behind a door"),
        fire_s=at.get("fire"),
    )


def way_out_of(facts: Facts, burns_gas: bool, now_s: float) -> WayOut | None:
    """What is shown instead of a plan; None: the night is planned as usual."""
    return way_out(told_of(facts, burns_gas), now_s)


def not_lit(facts: Facts, burns_gas: bool, now_s: float) -> str:
    """Why the flame may not be said to burn; empty when it may."""
    return may_light(told_of(facts, burns_gas), now_s)
