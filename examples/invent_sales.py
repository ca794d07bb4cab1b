"""Writes the invented sales of Brindlecote: `python examples/invent_sales.py examples/brindlecote/sales.csv`.

Nothing in them was ever sold. Guests come by weekday, season, bookings and chance; each eats by the house's
shares (docs/day.md), nights differing more than chance alone would have it. The seed gives the same table.
"""

from __future__ import annotations

import csv
import math
import random
import sys
from datetime import date, timedelta
from pathlib import Path

SEED = 20260602
FIRST, LAST, NEXT = date(2025, 1, 2), date(2026, 5, 31), date(2026, 6, 7)
USUAL = {1: 66.0, 2: 72.0, 3: 88.0, 4: 132.0, 5: 146.0, 6: 94.0}  # guests by weekday, Monday 0: shut
BOOKED_SHARE = 0.45
PER_GUEST = {
    "Margherita": 0.34,
    "House pizza": 0.28,
    "Flatbread": 0.12,
    "Strip steak": 0.10,
    "Half chicken": 0.09,
    "Wings": 0.09,
    "Shrimp": 0.08,
    "Cheese dip": 0.11,
    "Vegetables": 0.14,
}
HOLIDAYS = {
    (2, 14): ("Valentine's", 1.35),
    (4, 20): ("Spring holiday", 1.3),
    (5, 11): ("Mothers' day", 1.4),
    (8, 25): ("Late summer holiday", 1.25),
    (12, 26): ("Day after Christmas", 0.7),
    (12, 31): ("New Year's eve", 1.3),
    (4, 5): ("Spring holiday", 1.3),
    (5, 10): ("Mothers' day", 1.4),
}
SHUT = {(12, 24): "shut: holiday", (12, 25): "shut: holiday", (1, 1): "shut: holiday"}
ODD = {
    date(2025, 2, 19): ("snow, road shut", 0.35),
    date(2025, 6, 14): ("street fair at the door", 1.5),
    date(2025, 10, 8): ("gas off from 19:12", 0.5),
    date(2026, 1, 23): ("snow", 0.55),
    date(2026, 5, 29): ("power cut, closed at 20:00", 0.6),
}
SHRIMP_PREPARED = 17  # portions of an evening, Friday and Saturday apart: then there is none


def poisson(rng: random.Random, mean: float) -> int:
    """A Poisson count (Knuth's product of uniforms)."""
    limit, count, product = math.exp(-mean), 0, rng.random()
    while product > limit:
        count, product = count + 1, product * rng.random()
    return count


def uneven(rng: random.Random, mean: float, spread: float) -> int:
    """A count with that mean and `spread` times it as variance."""
    return poisson(rng, rng.gammavariate(mean / (spread - 1), spread - 1))


def days(rng: random.Random) -> list[list[str | int]]:
    rows: list[list[str | int]] = []
    drift, day = 0.0, FIRST
    while day <= NEXT:
        drift += rng.gauss(0.0, 0.012)
        if day.weekday() in USUAL:
            rows.append(one_day(rng, day, drift))
        day += timedelta(days=1)
    return rows


def one_day(rng: random.Random, day: date, drift: float) -> list[str | int]:
    season = 0.10 * math.cos(2 * math.pi * (day.timetuple().tm_yday - 190) / 365.25)
    holiday, lift = HOLIDAYS.get((day.month, day.day), ("", 1.0))
    note, odd = ODD.get(day, ("", 1.0))
    if (day.month, day.day) in SHUT:
        return [day.isoformat(), "", "", "", SHUT[day.month, day.day], ""] + [""] * len(PER_GUEST)
    mean = USUAL[day.weekday()] * math.exp(0.6 * drift + season) * lift
    booked = uneven(rng, BOOKED_SHARE * mean, 2.2)
    guests = round(odd * (0.94 * booked + uneven(rng, (1 - BOOKED_SHARE) * mean, 2.4)))
    plates = {dish: uneven(rng, share * max(guests, 1), 1.3) for dish, share in PER_GUEST.items()}
    if day > LAST:
        return [day.isoformat(), "", booked, holiday, "", ""] + [""] * len(PER_GUEST)
    gone = plates["Shrimp"] > SHRIMP_PREPARED
    plates["Shrimp"] = min(plates["Shrimp"], SHRIMP_PREPARED)
    return [day.isoformat(), guests, booked, holiday, note, "shrimp" if gone else "", *plates.values()]


def write(path: Path) -> None:
    with path.open("w", encoding="utf-8", newline="") as file:
        table = csv.writer(file, lineterminator="\n")
        table.writerow(["Day", "Guests", "Booked", "Holiday", "Remark", "Ran out", *PER_GUEST])
        table.writerows(days(random.Random(SEED)))


if __name__ == "__main__":
    if len(sys.argv) != 2:
        sys.exit("usage: python examples/invent_sales.py FILE.csv")
    write(Path(sys.argv[1]))
