"""How a rehearsed night came out: figures from what was really done, what was promised and what was kept."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from hearthtide.planning.promise import WITHIN_S
from hearthtide.service.facts import Facts
from hearthtide.service.rehearsal.people import Pass
from hearthtide.service.rehearsal.truth import Truth
from hearthtide.service.rehearsal.watch import Watch

TOGETHER_S = 60.0  # plates of a table are ready within so much of each other; the trade's stopwatch test


@dataclass(frozen=True)
class Outcome:
    """One rehearsed night in figures; shares are of one, None where there was nothing to count.

    `late_guest_s` is guests times seconds after the minute they wanted, `overdone_s` what plates stood done
    on the fire. `lost` are commands that were answered and are not in the log: it must be 0.
    """

    tables: int
    plates: int
    unserved: int
    together_share: float | None
    quoted_share: float | None
    quoted_foreseen: float | None
    early_quoted: int
    late_quoted: int
    late_guest_s: float
    late_tables: int
    overdone_s: float
    told_moves: int
    told_changed: int
    told_changed_unasked: int
    interruptions: int
    interruptions_per_10_min: float
    most_interruptions_in_an_hour: int
    kept_quiet: int
    hazards: int
    plans: int
    shown_after_ms_p50: float | None
    shown_after_ms_p99: float | None
    planner_restarts: int
    board_restarts: int
    told: int
    refused: int
    lost: int


def outcome(
    facts: Facts,
    truth: Truth,
    passed: Pass,
    watch: Watch,
    spans_s: tuple[float, float],
    answered: Sequence[str],
    kept: Iterable[str],
    plans: int,
    restarts: tuple[int, int],
    refused: int,
) -> Outcome:
    """Figures of a night during `spans_s`; `kept` are the ids in its log, `restarts` planner and board."""
    ear = watch.ear
    minutes = max(1.0, (spans_s[1] - spans_s[0]) / 60)
    off_s = [
        landed - watch.promised[key].minute_s
        for key, landed in passed.landed.items()
        if key in watch.promised
    ]
    late_s = list(_late(facts, passed))
    p50, p99 = _percentiles(watch.took_s)
    here = set(kept)
    wanted = [(t.table, n) for t in facts.tickets for n, _ in enumerate(t.courses, 1)]
    return Outcome(
        tables=len(facts.tickets),
        plates=sum(not p.off for t in facts.tickets for p in t.plates),
        unserved=sum(key not in passed.landed for key in wanted),
        together_share=_share([apart <= TOGETHER_S for apart in passed.apart_s.values()]),
        quoted_share=_share([abs(off) <= WITHIN_S for off in off_s]),
        quoted_foreseen=_mean([p.holds for p in watch.promised.values()]),
        early_quoted=sum(off < -WITHIN_S for off in off_s),
        late_quoted=sum(off > WITHIN_S for off in off_s),
        late_guest_s=round(sum(late for _, late in late_s)),
        late_tables=sum(late > 0 for _, late in late_s),
        overdone_s=round(sum(p.over_s for p in truth.plates.values())),
        told_moves=len(watch.told),
        told_changed=len(watch.changed),
        told_changed_unasked=sum(one.unasked for one in watch.changed),
        interruptions=len(ear.heard),
        interruptions_per_10_min=round(len(ear.heard) / minutes * 10, 2),
        most_interruptions_in_an_hour=_most_in([at for at, _ in ear.heard], 3600.0),
        kept_quiet=ear.kept_quiet,
        hazards=ear.hazards,
        plans=plans,
        shown_after_ms_p50=p50,
        shown_after_ms_p99=p99,
        planner_restarts=restarts[0],
        board_restarts=restarts[1],
        told=len(answered),
        refused=refused,
        lost=sum(id not in here for id in answered),
    )


def _late(facts: Facts, passed: Pass) -> Iterable[tuple[str, float]]:
    """Each course's guests times its lateness."""
    for ticket in facts.tickets:
        for number, course in enumerate(ticket.courses, 1):
            landed_s = passed.landed.get((ticket.table, number))
            if landed_s is not None:
                yield ticket.table, ticket.covers * max(0.0, landed_s - course.lands_s)


def _share(so: Sequence[bool]) -> float | None:
    return round(sum(so) / len(so), 3) if so else None


def _mean(values: Sequence[float]) -> float | None:
    return round(sum(values) / len(values), 3) if values else None


def _percentiles(took_s: Sequence[float]) -> tuple[float | None, float | None]:
    if not took_s:
        return None, None
    p50, p99 = np.percentile(took_s, (50, 99))
    return round(1000 * float(p50)), round(1000 * float(p99))


def _most_in(at_s: Sequence[float], span_s: float) -> int:
    """Most of these moments in any such span.

    >>> _most_in([0.0, 10.0, 3599.0, 3700.0], 3600.0)
    3
    """
    return max((sum(a <= b < a + span_s for b in at_s) for a in at_s), default=0)
