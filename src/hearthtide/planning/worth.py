"""What a plan costs in words and money: guests' waiting in seconds, fuel in kWh, both in the house's coin."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from hearthtide.house.weights_file import WeightsFile

J_PER_KWH = 3.6e6
WORDS = {
    "late": "tables late",
    "early": "tables early",
    "spread": "plates apart",
    "overheld": "plates held too long",
    "off": "stages off their minutes",
    "reach": "reaching over",
    "overrun": "begun food overrun",
    "early pull": "begun food pulled early",
    "parked": "begun food parked",
}


@dataclass(frozen=True)
class Worth:
    """A plan's cost by kind [guest-seconds], and what guests' waiting and the fuel cost in the house's money.

    None where the house does not say what a guest-minute or a kWh costs it.
    """

    parts_s: Mapping[str, float]
    waiting_money: float | None
    fuel_kWh: float
    fuel_money: float | None
    currency: str

    @property
    def total_s(self) -> float:
        return sum(self.parts_s.values())

    @property
    def words(self) -> str:
        """The sum in one line, kinds that cost nothing left out.

        >>> Worth({"late": 90.0, "off": 30.0}, 0.4, 50.0, None, "crowns").words
        'Costs 120 guest-seconds (tables late 90, stages off their minutes 30): 0.40 crowns; fuel 50 kWh'
        """
        kinds = [f"{WORDS[kind]} {seconds:.0f}" for kind, seconds in self.parts_s.items() if seconds >= 0.5]
        sums = f" ({', '.join(kinds)})" if kinds else ""
        waiting = "" if self.waiting_money is None else f": {self.waiting_money:.2f} {self.currency}"
        fuel = "" if self.fuel_money is None else f": {self.fuel_money:.2f} {self.currency}"
        return f"Costs {self.total_s:.0f} guest-seconds{sums}{waiting}; fuel {self.fuel_kWh:.0f} kWh{fuel}"


def worth_of(parts_s: Mapping[str, float], fuel_J: float, weights: WeightsFile) -> Worth:
    """The cost in the house's own money, where it says what things cost it."""
    minute, kWh = weights.guest_minute_costs, fuel_J / J_PER_KWH
    return Worth(
        parts_s=dict(parts_s),
        waiting_money=None if minute is None else sum(parts_s.values()) / 60 * minute,
        fuel_kWh=kWh,
        fuel_money=None if weights.fuel_costs is None else kWh * weights.fuel_costs,
        currency=weights.currency,
    )
