"""What a second is worth to a house: the weights of the plan's cost, and what they are in money."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from hearthtide.house.fields import Written

Worth = Annotated[float, Field(ge=0, le=1000)]


class WeightsFile(Written):
    """Each left out keeps the planner's own choice (`planning.problem.Weights`).

    All count in guest-seconds: 1 is one guest waiting one second longer than promised. What ways out cost
    (`plate_off`, `helper`, `platter`) only sets them side by side. Unless the house says so, a plate taken
    off the hearth is as bad as its guest waiting ten minutes, past which patience is lost, and a platter
    heated takes somebody two minutes: own choices.
    """

    late: Worth | None = Field(default=None, description="per guest and second after the wanted minute")
    beyond: Worth | None = Field(default=None, description="more, past late_after")
    long: Worth | None = Field(default=None, description="more again, past ten minutes")
    early: Worth | None = Field(default=None, description="per guest and second before the wanted minute")
    hasty: Worth | None = Field(default=None, description="more, earlier than by five minutes")
    spread: Worth | None = Field(default=None, description="per second plates meet later than together")
    close: Worth | None = Field(default=None, description="per second between a table's plates at all")
    overheld: Worth | None = Field(default=None, description="per plate and second past its hold")
    off: Worth | None = Field(default=None, description="scales the price of each stage's missed seconds")
    reach: Worth | None = Field(default=None, description="per act over another item")
    overrun: Worth | None = Field(default=None, description="per second food on the fire passes its band")
    parked: Worth | None = Field(default=None, description="per second begun food waits off the hearth")
    told: Worth | None = Field(
        default=None, description="per second an act told for the next minute is moved"
    )
    told_far: Worth | None = Field(default=None, description="the same, told for the next three minutes")
    changed: Worth | None = Field(default=None, description="per told place that becomes another")
    plate_off: Worth = Field(default=600, description="per plate cooked elsewhere or not sold; own choice")
    helper: Worth = Field(default=1, description="per second of another person's hands; own choice")
    platter: Worth = Field(default=120, description="per vessel heated beside the hearth; own choice")
    guest_minute_costs: Worth | None = Field(
        default=None, description="money: one guest waiting a minute longer than promised"
    )
    fuel_costs: Worth | None = Field(default=None, description="money per kWh of fuel")
    currency: Annotated[str, Field(pattern=r"^[\p{L}\p{Sc}]{1,12}$")] = Field(
        default="money", description="the word or sign to print beside sums"
    )
