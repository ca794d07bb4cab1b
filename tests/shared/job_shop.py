"""Job shops of the literature, each as a night: spots are machines, items jobs, stages operations.

A job may wait off the hearth between operations for as long as it likes, hands take no time, and all is one
order wanted at second 0 of which only lateness counts: it lands when the last job is done, so its cost is the
makespan.
"""

from __future__ import annotations

import json
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import get_args

from ortools.sat.python import cp_model

from hearthtide.house.models import Act
from hearthtide.house.places import Outline, Spot
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Choice, Hands, Item, Order, Problem, Schedule, Stage, Weights
from referee_places import repeatable

FILE = Path(__file__).parent / "data" / "job_shops.json"
ONLY_LATE = Weights(
    late=1.0,
    beyond=0.0,
    long=0.0,
    early=0.0,
    hasty=0.0,
    spread=0.0,
    close=0.0,
    overheld=0.0,
    off=0.0,
    reach=0.0,
    parked=0.0,
)


@dataclass(frozen=True)
class JobShop:
    """`jobs[j]`: machine and duration of each operation of job j, in order; `optimum` is as published."""

    name: str
    jobs: tuple[tuple[tuple[int, int], ...], ...]
    optimum: int
    source: str

    @property
    def machines(self) -> int:
        return 1 + max(machine for job in self.jobs for machine, _ in job)


@cache
def job_shops() -> dict[str, JobShop]:
    told = json.loads(FILE.read_text(encoding="utf-8"))["instances"]
    return {
        name: JobShop(
            name,
            tuple(
                tuple(zip(machines, durations, strict=True))
                for machines, durations in zip(one["machines"], one["durations"], strict=True)
            ),
            one["optimum"],
            one["source"],
        )
        for name, one in told.items()
    }


def as_night(shop: JobShop) -> Problem:
    """The job shop as the planner sees a night."""
    whole = sum(seconds for job in shop.jobs for _, seconds in job)
    stages = [
        tuple(
            Stage(f"operation {n}", ((Choice(seconds, 1 << machine, 0, 0, 0),),), (), buffer_s=whole)
            for n, (machine, seconds) in enumerate(job)
        )
        for job in shop.jobs
    ]
    items = tuple(
        Item(
            key=f"job-{j}",
            ticket="shop",
            dish=f"job {j}",
            stages=own,
            pace=(1.0,) * len(own),
            prefer=(0,) * len(own),
            rest_s=0,
            hold_s=whole,
            dressed=False,
            cut=False,
            on_stone=False,
            from_bank=False,
            asap=True,
        )
        for j, own in enumerate(stages)
    )
    acts = get_args(Act)
    return Problem(
        orders=(Order("shop", "shop", 1, 0, 0, items),),
        places=apart(shop.machines),
        cooks=(Hands("nobody", frozenset(acts)),),
        act_s=dict.fromkeys(acts, 0),
        bank=None,
        plating_s=0,
        together_s=whole,
        late_after_s=whole,
        recovery_s=0,
        from_s=0,
        weights=ONLY_LATE,
    )


def apart(count: int) -> Places:
    """So many spots a metre from one another: each in conflict with itself alone."""
    disc = Outline(0.0, 0.0, 0.1)
    spots = tuple(Spot(float(n), 1.0, disc, "mid", 1.0, 0.0) for n in range(count))
    return Places(spots, tuple(1 << n for n in range(count)))


def faults(shop: JobShop, schedule: Schedule) -> list[str]:
    """What is wrong with a schedule as a plan of that job shop; read from its stays alone."""
    found, used = [], {}
    placed = {p.item.key: p for b in schedule.booked for p in b.placed}
    for j, job in enumerate(shop.jobs):
        free = 0
        stays = sorted(placed[f"job-{j}"].stays, key=lambda s: s.stage)
        if [(s.place, s.end_s - s.start_s) for s in stays] != list(job):
            found.append(f"job {j} is not on its machines for its durations")
        for stay in stays:
            if stay.start_s < free:
                found.append(f"job {j}: operation {stay.stage} begins before the one before it ends")
            free = stay.end_s
            used.setdefault(stay.place, []).append((stay.start_s, stay.end_s))
    for machine, spans in used.items():
        ends = 0
        for start, end in sorted(spans):
            if start < ends:
                found.append(f"machine {machine}: two at once at {start}")
            ends = end
    return found


def makespan(schedule: Schedule) -> int:
    return max(s.end_s for b in schedule.booked for p in b.placed for s in p.stays)


def proven(shop: JobShop, effort: float) -> tuple[float, float]:
    """The makespan CP-SAT finds on the bare job shop, and a bound below any, within that effort."""
    model = cp_model.CpModel()
    latest = sum(seconds for job in shop.jobs for _, seconds in job)
    on: dict[int, list[cp_model.IntervalVar]] = {}
    whole = model.new_int_var(0, latest, "makespan")
    for j, job in enumerate(shop.jobs):
        before: cp_model.LinearExprT = 0
        for n, (machine, seconds) in enumerate(job):
            start = model.new_int_var(0, latest, f"{j} {n}")
            model.add(start >= before)
            before = start + seconds
            on.setdefault(machine, []).append(model.new_fixed_size_interval_var(start, seconds, f"{j} {n}"))
        model.add(whole >= before)
    for intervals in on.values():
        model.add_no_overlap(intervals)
    model.minimize(whole)
    solver = repeatable(effort, 1)
    solver.solve(model)
    return solver.objective_value, solver.best_objective_bound
