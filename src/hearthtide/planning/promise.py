"""A night under uncertainty: the plan run at many durations, and the minute to tell the room.

Hands and food differ from what was planned. Each sample runs the planned acts in their order by right
shift (`waits`): nothing is done sooner than planned, and what is late makes late what waits for it. No
re-plan is counted on, so a night that is re-planned does better than it is told here.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np

from hearthtide.house.models import Act
from hearthtide.planning.problem import Booked, Problem, Schedule
from hearthtide.planning.waits import Floats, Waits, waits_of

WITHIN_S, SHARE = 180, 0.8  # a told minute holds when the table lands within 3 min of it, 8 times in 10
SAMPLES = 1000  # a share of 0.8 is then known to within 0.013; own choice
MOST = 3.0  # standard deviations beyond which nothing is sampled: that is an accident, not a spread


@dataclass(frozen=True)
class Spreads:
    """How much a night differs from its plan: standard deviations. A house's own.

    `stage` is the share of its seconds by which a stage differs, `act_s` the seconds by which hands do;
    `stages` (by dish and stage number) and `acts` hold those a house knows better. The values here are
    common practice, no source.
    """

    stage: float = 0.06
    act_s: float = 2.0
    stages: Mapping[tuple[str, int], float] = field(default_factory=dict)
    acts: Mapping[Act, float] = field(default_factory=dict)

    def __post_init__(self) -> None:
        given = (self.stage, self.act_s, *self.stages.values(), *self.acts.values())
        if min(given) < 0:
            raise ValueError(f"spread {min(given)} (expected 0 or more). It is a standard deviation.")


@dataclass(frozen=True)
class Promise:
    """When an order lands: planned, in one, five and nine of ten runs, and what to tell the room.

    `tell_s` is the whole minute most runs land within 3 min of; `share` is how many do.
    """

    order: str
    ticket: str
    planned_s: int
    p10_s: float
    p50_s: float
    p90_s: float
    tell_s: int
    share: float

    @property
    def holds(self) -> bool:
        """Whether the told minute holds 8 times in 10."""
        return self.share >= SHARE

    @property
    def words(self) -> str:
        """The minute as it may be said, its share said plainly when it does not hold.

        >>> Promise("B4", "B4", 69_600, 69_600, 69_650, 69_700, 69_660, 0.97).words
        'B4 19:21, within 3 min 97 times in 100'
        """
        clock = f"{self.ticket} {self.tell_s // 3600 % 24:02d}:{self.tell_s // 60 % 60:02d}"
        share = f"within 3 min {100 * self.share:.0f} times in 100"
        return f"{clock}, {share}" if self.holds else f"{clock} is the best there is, {share} only"


def promises(
    problem: Problem,
    schedule: Schedule,
    rng: np.random.Generator,
    spreads: Spreads | None = None,
    samples: int = SAMPLES,
    now_s: int | None = None,
) -> tuple[Promise, ...]:
    """For each order of the plan, when it lands over many runs, in the order of `schedule.booked`.

    Acts that start before `now_s` have been done as the plan says. The same generator state gives the same
    answer. Work grows with (acts + waits) x samples, memory with acts x samples (16 bytes).

    Raises
    ------
    ValueError
        `samples` is below 1.
    """
    if samples < 1:
        raise ValueError(f"samples = {samples} (expected 1 or more)")
    landed = landings_s(problem, schedule, rng, spreads or Spreads(), samples, now_s)
    return tuple(_promise(b, row) for b, row in zip(schedule.booked, landed, strict=True))


def landings_s(
    problem: Problem,
    schedule: Schedule,
    rng: np.random.Generator,
    spreads: Spreads,
    samples: int,
    now_s: int | None = None,
) -> Floats:
    """(orders, samples): when each order lands in each run [s]."""
    waits = waits_of(problem, schedule)
    dish = {p.item.key: p.item.dish for b in schedule.booked for p in b.placed}
    by_stay = [spreads.stages.get((dish[s.item], s.stage), spreads.stage) * s.asked_s for s in waits.stays]
    by_act = [spreads.acts.get(h.act, spreads.act_s) for h in waits.handlings]
    longer = _column(by_stay) * _deviates(rng, len(by_stay), samples)
    hands = waits.planned_hands_s() + _column(by_act) * _deviates(rng, len(by_act), samples)
    planned = waits.planned_hands_s()
    hands = np.maximum(hands, np.minimum(planned, 1.0))
    if now_s is not None:
        done = np.array([h.start_s < now_s for h in waits.handlings], dtype=np.bool_)
        hands[done] = planned[done]
    start = waits.run(hands, longer, now_s)
    return np.array([_landing_s(problem, b, waits, start, hands) for b in schedule.booked]).reshape(
        len(schedule.booked), samples
    )


def _column(values: list[float]) -> Floats:
    return np.array(values, dtype=np.float64).reshape(-1, 1)


def _deviates(rng: np.random.Generator, rows: int, samples: int) -> Floats:
    return np.clip(rng.standard_normal((rows, samples)), -MOST, MOST)


def _landing_s(problem: Problem, booked: Booked, waits: Waits, start: Floats, hands: Floats) -> Floats:
    """When one order lands in each run: plated after its last plate is ready and its last act done.

    Never before it is planned: quicker hands at the end make nobody run.
    """
    landing = np.full(start.shape[1], float(booked.landing_s))
    ends = {(stay.item, stay.stage): waits.ends[n] for n, stay in enumerate(waits.stays)}
    acts = {p.item.key for p in booked.placed}
    for p in booked.placed:
        pull = ends[p.item.key, p.stays[-1].stage]
        ready = np.maximum(p.ready_s, start[pull] + p.item.rest_s)
        np.maximum(landing, ready + problem.plating_s, out=landing)
    for n, key in enumerate(waits.items):
        if key in acts:
            np.maximum(landing, start[n] + hands[n], out=landing)
    return landing


def _promise(booked: Booked, landed_s: Floats) -> Promise:
    low, middle, high = map(float, np.quantile(landed_s, (0.1, 0.5, 0.9)))
    tell, share = minute_to_tell(landed_s)
    return Promise(booked.order.key, booked.order.ticket, booked.landing_s, low, middle, high, tell, share)


def minute_to_tell(landed_s: Floats) -> tuple[int, float]:
    """The whole minute most landings lie within 3 min of, and their share; of equals the nearest the median.

    >>> minute_to_tell(np.array([69_600.0, 69_620.0, 70_400.0]))
    (69600, 0.6666666666666666)
    """
    ordered = np.sort(landed_s)
    minutes = np.arange(ordered[0] // 60, ordered[-1] // 60 + 2) * 60
    within = np.searchsorted(ordered, minutes + WITHIN_S, "right")
    within = within - np.searchsorted(ordered, minutes - WITHIN_S, "left")
    off = np.abs(minutes - np.median(ordered))
    best = min(range(len(minutes)), key=lambda n: (-within[n], off[n]))
    return int(minutes[best]), float(within[best] / len(ordered))
