"""Ways to chill cooked food, each with what its faces meet.

Films are priors, good to perhaps a third either way: air in a real cold room differs from shelf to shelf.
A house that has logged one cooling can fit its own with `dataclasses.replace`.

Where the numbers come from, all from memory and not re-read unless said otherwise:
- Still air over a warm level face 0.1 m wide: Nu = 0.54 Ra^(1/4), under it 0.27 Ra^(1/4) (McAdams). With air
  at 290 K that is 6.0 and 3.0 W/(m2 K) at 33 K difference and 3.8 and 1.9 at 5 K: taken as 5 and 2.5.
- Moving air along a face: 5.7 + 3.9 v below 5 m/s (Juerges, as in McAdams).
- Radiation between food and cold walls: 0.9 x 4 sigma (288 K)^3 = 4.9: taken as 5. Bare steel below a pan
  (emissivity about 0.25): 1.3.
- Water about a piece: 100 to 200 W/(m2 K) (handbook value, quoted text read); the low end is taken.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from hearthtide.ranges import require

Evaporates = Literal["no", "top", "both"]
# Air of a cold room; common practice, no source.
HUMIDITY = 0.85


@dataclass(frozen=True)
class ChillMethod:
    """What a piece or a pan meets while it chills.

    `air_C` -40 to 30 °C lies above it and, unless `bottom_C` is given, below it. `top_W_m2K` and
    `bottom_W_m2K` (0 to 2000) are whole films: moving air or water, and radiation, through a pan's metal.
    `radiation_W_m2K` of each is radiation, which carries no vapour. `evaporates` says which wet faces lie
    open to the air. `humidity` 0..1 is that of the air. `held` says that melting ice, not a room, holds
    `air_C`. `source` says where the films come from.

    Raises PhysicalRangeError outside those ranges.
    """

    name: str
    air_C: float
    top_W_m2K: float
    bottom_W_m2K: float
    evaporates: Evaporates
    source: str
    radiation_W_m2K: float = 0.0
    bottom_C: float | None = None
    humidity: float = HUMIDITY
    held: bool = False

    def __post_init__(self) -> None:
        require("air_C", self.air_C, "°C", -40.0, 30.0)
        require("bottom_C", self.below_C, "°C", -40.0, 30.0)
        require("top_W_m2K", self.top_W_m2K, "W/(m²·K)", 0.0, 2000.0)
        require("bottom_W_m2K", self.bottom_W_m2K, "W/(m²·K)", 0.0, 2000.0)
        require("radiation_W_m2K", self.radiation_W_m2K, "W/(m²·K)", 0.0, 10.0)
        require("humidity", self.humidity, "", 0.0, 1.0)

    @property
    def below_C(self) -> float:
        """What lies below [°C]."""
        return self.air_C if self.bottom_C is None else self.bottom_C


# Under a lid: air of 30 mm between food and steel, 3 by natural convection and 1.5 by radiation. What
# vapour carries to the lid is left out (slow side). Own choice.
LID_W_m2K = 4.5

# 5 + 5 above, 2.5 + 5 below.
STILL_RACK = ChillMethod(
    "still walk-in, on a rack", 3.0, 10.0, 7.5, "both", "natural convection and radiation", 5.0
)
# Below the pan 2.5 + 1.3.
STILL_PAN = ChillMethod(
    "still walk-in, pan on a shelf", 3.0, 10.0, 3.8, "top", "natural convection and radiation", 5.0
)
# The same under a lid, its film in a row with the air's: 1 / (1 / LID_W_m2K + 1 / 10). No vapour leaves.
COVERED_PAN = ChillMethod(
    "still walk-in, pan with a lid", 3.0, 3.1, 3.8, "no", "natural convection and radiation", 3.1
)
# 1.5 m/s: 11.6 + 5.
FAN_RACK = ChillMethod("moving air, on a rack", 3.0, 16.6, 16.6, "both", "5.7 + 3.9 v at 1.5 m/s", 5.0)
# The shelf shades the pan's underside: half the air's film there (own choice), and radiation of bare steel.
FAN_PAN = ChillMethod("moving air, pan on a shelf", 3.0, 16.6, 7.1, "top", "5.7 + 3.9 v at 1.5 m/s", 5.0)
# 5 m/s: 25.2 + 5. Air at -5 °C: common practice, no source.
BLAST_RACK = ChillMethod("blast chiller, on a rack", -5.0, 30.2, 30.2, "both", "5.7 + 3.9 v at 5 m/s", 5.0)
# A blast chiller's racks let the air under the pan: the whole film but for radiation.
BLAST_PAN = ChillMethod("blast chiller, pan on a rack", -5.0, 30.2, 26.5, "top", "5.7 + 3.9 v at 5 m/s", 5.0)
# A bagged piece under melting ice and water.
ICE_BATH = ChillMethod(
    "ice bath, bagged piece", 0.5, 100.0, 100.0, "no", "water 100 to 200, low end", held=True
)
# The pan stands in melting ice in a cold room; its sides are left out (slow side). Measured pans 51 mm deep
# missed the two-stage limit so (Roberts et al. 2013, abstract) where this film keeps it with half an hour to
# spare: it holds only for a bath kept full of ice and moving.
ICE_BATH_PAN = ChillMethod(
    "ice bath in a walk-in, pan", 3.0, 10.0, 100.0, "top", "still air above, water below", 5.0, 0.5
)

# Ways by the word they are asked for: of pieces, and of what lies in a pan.
PIECE_WAYS = {
    "covered": COVERED_PAN,
    "tray": STILL_PAN,
    "rack": STILL_RACK,
    "fan-tray": FAN_PAN,
    "fan-rack": FAN_RACK,
    "ice": ICE_BATH,
    "blast": BLAST_RACK,
}
PAN_WAYS = {
    "covered": COVERED_PAN,
    "tray": STILL_PAN,
    "fan-tray": FAN_PAN,
    "ice": ICE_BATH_PAN,
    "blast": BLAST_PAN,
}
