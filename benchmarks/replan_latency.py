"""From a message in to a re-plan out, through the planner's own process, on one core while another is busy.

`python benchmarks/replan_latency.py` plans the congested windows of 20 and of 40 dishes, then lets ten things
happen in each, 20 s apart: stages that take longer, tickets, acts done late, a spill. Printed are the
milliseconds from the message to the first and to the last plan that can be run on, the processor time of the
service and the planner together for it (what it takes when nobody else wants the core), and the most memory
the planner took.
"""

from __future__ import annotations

import multiprocessing
import os
import resource
import sys
import time
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from queue import Queue

import numpy as np
from windows import hearth, read_windows

from hearthtide.planning.engine.search import search
from hearthtide.planning.events import ActSeen, Event, NewTicket, StageSeen, after_event
from hearthtide.planning.problem import Closed, Order
from hearthtide.planning.told import Running
from hearthtide.service.planner import Planner
from hearthtide.service.planner_words import Answer, Refusal, request_at, run_on

FILES = {"congested-20": 200, "congested-40": 600}  # what is wanted of the slowest in a hundred [ms]
# Given to the looks [s]: half the wanted time or a little more, the rest is for all else; own choice.
BUDGET_S = {"congested-20": 0.10, "congested-40": 0.35}
KINDS = ("stage", "ticket", "act", "stage", "spill", "ticket", "stage", "act", "ticket", "stage")
TICKETS = KINDS.count("ticket")
EVERY_S, LONGER_S, LATE_S = 20, 30, 20
SPILL_M, SPILL_S = 0.12, 600
FIRST_ROUNDS = 200
STONE_S = 5.0  # until the stone is made ready there


@dataclass
class Took:
    """Milliseconds of every event, and how many dishes were open."""

    first: list[float] = field(default_factory=list)
    last: list[float] = field(default_factory=list)
    worked: list[float] = field(default_factory=list)
    open_dishes: list[int] = field(default_factory=list)


def what_happens(running: Running, kind: str, waiting: list[Order]) -> Event:
    """An event of that kind as the plan runs; an act done late where there can be none."""
    now = running.now_s
    placed = [p for b in running.schedule.booked for p in b.placed]
    if kind == "ticket" and waiting:
        return NewTicket((replace(waiting.pop(0), called_s=now),))
    on = [s for p in placed for s in p.stays if s.start_s < now < s.end_s]
    if kind == "spill" and on:
        spot = running.problem.places.spots[on[0].place]
        return Closed(running.problem.places.near(-spot.x_m, spot.y_m, SPILL_M), now, now + SPILL_S)
    if kind == "stage" and on:
        stay = min(on, key=lambda s: s.end_s)
        return StageSeen(stay.item, stay.stage, max(now, stay.start_s + stay.asked_s) + LONGER_S)
    acts = [(h.start_s, p.item.key, h) for p in placed for h in p.handlings if h.start_s >= now]
    start_s, item, told = min(acts, key=lambda a: a[:2])
    return ActSeen(item, told, start_s + LATE_S, told.hands_s)


def windows_of(file: str) -> Iterator[tuple[Running, list[Order]]]:
    """Each window half a minute after its first launch; the next one's last tickets, yet to be called."""
    problems = [window.problem() for window, _ in read_windows(file)]
    for n, problem in enumerate(problems):
        plan = search(problem, rounds=FIRST_ROUNDS)
        first_s = min(s.start_s for b in plan.booked for p in b.placed for s in p.stays)
        others = problems[(n + 1) % len(problems)].orders[-TICKETS:]
        yield Running(problem, plan, first_s + 30), [renamed(order) for order in others]


def renamed(order: Order) -> Order:
    """The order for another table."""
    table = f"new-{order.ticket}"
    items = tuple(replace(item, key=f"new-{item.key}", ticket=table) for item in order.items)
    return replace(order, key=f"new-{order.key}", ticket=table, items=items)


def measured(file: str, planner: Planner, told: Queue[Answer | Refusal], budget_s: float | None) -> Took:
    """Ten things in each window, each re-planned from the plan before it."""
    took = Took()
    for running, waiting in windows_of(file):
        for kind in KINDS:
            event = what_happens(running, kind, waiting)
            running = asked(planner, told, running, event, took, budget_s)
            running = replace(running, now_s=running.now_s + EVERY_S)
    return took


def asked(
    planner: Planner,
    told: Queue[Answer | Refusal],
    running: Running,
    event: Event,
    took: Took,
    budget_s: float | None,
) -> Running:
    """One event put in, re-planned and run on."""
    pid = planner.state().pid
    began, worked_s = time.perf_counter(), time.process_time() + cpu_s(pid)
    running = after_event(running, event)
    planner.ask(request_at(running, budget_s=budget_s))
    first_ms = 0.0
    while True:
        answer = told.get(timeout=60)
        if isinstance(answer, Refusal):
            raise RuntimeError(answer.why)
        new = run_on(running, answer)
        first_ms = first_ms or 1000 * (time.perf_counter() - began)
        if answer.last:
            break
    took.first.append(first_ms)
    took.last.append(1000 * (time.perf_counter() - began))
    took.worked.append(1000 * (time.process_time() + cpu_s(pid) - worked_s))
    took.open_dishes.append(sum(len(o.items) for o in running.problem.orders))
    return new


def cpu_s(pid: int | None) -> float:
    """Processor time a process's first thread, here the one that searches, has taken."""
    return int(Path(f"/proc/{pid}/schedstat").read_text(encoding="ascii").split()[0]) / 1e9


def most_MB(pid: int | None) -> float:
    """The most memory a process has had."""
    status = Path(f"/proc/{pid}/status").read_text(encoding="ascii")
    return next(int(line.split()[1]) / 1024 for line in status.splitlines() if line.startswith("VmHWM"))


def busy(core: int) -> None:
    """Keeps a core busy until it is ended."""
    os.sched_setaffinity(0, {core})
    while True:
        sum(range(10_000))


def line(file: str, budget_s: float | None, took: Took) -> str:
    def two(of: list[float]) -> str:
        return f"{np.median(of):.0f} / {np.quantile(of, 0.99):.0f}"

    by = "by rounds" if budget_s is None else f"{1000 * budget_s:.0f} ms"
    return (
        f"| {file} ({np.median(took.open_dishes):.0f} open) | {by} | {two(took.first)} | {two(took.last)} "
        f"| {FILES[file]} | {two(took.worked)} | {len(took.last)} |"
    )


def main() -> None:
    cores = sorted(os.sched_getaffinity(0))
    others = [multiprocessing.Process(target=busy, args=(core,), daemon=True) for core in cores[1:2]]
    for other in others:
        other.start()
    os.sched_setaffinity(0, cores[:1])
    told: Queue[Answer | Refusal] = Queue()
    with Planner(time.monotonic, told.put, hearth("brindlecote")[1]) as planner:
        while planner.state().condition != "ready":
            time.sleep(0.1)
        time.sleep(STONE_S)
        sys.stdout.write(
            "| windows | looks end | first plan: p50 / p99 (ms) | last plan: p50 / p99 (ms) | wanted, p99 "
            "| processor time of both: p50 / p99 (ms) | events |\n" + "|---" * 7 + "|\n"
        )
        for file in FILES:
            for budget_s in (None, BUDGET_S[file]):
                took = measured(file, planner, told, budget_s)
                sys.stdout.write(line(file, budget_s, took) + "\n")
                sys.stdout.flush()
        state = planner.state()
        own_MB = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        sys.stdout.write(
            f"ready after {state.warmed_s:.1f} s; most memory: planner {most_MB(state.pid):.0f} MB, "
            f"this process with a search of its own {own_MB:.0f} MB; load {os.getloadavg()[0]:.1f}; "
            f"starts {state.starts}{', plain' if state.plain else ''}\n"
        )
    for other in others:
        other.kill()


if __name__ == "__main__":
    main()
