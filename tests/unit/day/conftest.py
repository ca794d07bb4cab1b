import random
from datetime import date, timedelta

import pytest

from hearthtide.house.sold import History, SoldDay

USUAL = {1: 66, 2: 72, 3: 88, 4: 132, 5: 146, 6: 94}  # Monday shut


def house(days, seed=1, first=date(2025, 1, 2), bookings=False, holidays=(), share=0.09, lift=1.5):
    """An invented house: weekdays, chance, bookings that tell half of it, a dish for so many guests."""
    rng = random.Random(seed)
    told = []
    for n in range(days):
        day = first + timedelta(days=n)
        if day.weekday() not in USUAL:
            continue
        mean = USUAL[day.weekday()] * (lift if day in holidays else 1.0)
        shock = rng.gauss(0, 0.12)
        covers = max(0, round(mean * (1 + shock) + rng.gauss(0, mean**0.5)))
        booked = max(0, round(0.5 * mean * (1 + shock))) if bookings else None
        chicken = sum(rng.random() < share for _ in range(covers))
        holiday = "feast" if day in holidays else ""
        told.append(SoldDay(day, covers, booked, holiday, "", {"chicken": chicken, "pizza": covers // 2}))
    return History(tuple(told))


@pytest.fixture(scope="session")
def invented():
    return house
