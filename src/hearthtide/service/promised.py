"""What each table has been told: its first minute, the minute to tell now, and how often that holds."""

from __future__ import annotations

import numpy as np

from hearthtide.planning.promise import Spreads, landings_s
from hearthtide.planning.quote import honest_minute
from hearthtide.planning.told import Running
from hearthtide.service.show import Landed

SAMPLES = 300  # the share is then known to within 0.025; own choice
SEED = 1


class Promised:
    """Kept from plan to plan, by order; asked anew of every plan that is adopted."""

    def __init__(self) -> None:
        self.by_order: dict[str, Landed] = {}

    def of(self, running: Running) -> None:
        """Works out every landing of a plan over runs with durations that differ."""
        schedule = running.schedule
        if not schedule.booked:
            return
        rng = np.random.default_rng(SEED)
        landed = landings_s(running.problem, schedule, rng, Spreads(), SAMPLES, running.now_s)
        for booked, row in zip(schedule.booked, landed, strict=True):
            honest_s, share = honest_minute(row, booked.landing_s)
            before = self.by_order.get(booked.order.key)
            first_s = float(honest_s) if before is None else before.first_told_s
            self.by_order[booked.order.key] = Landed(first_s, float(honest_s), share)
