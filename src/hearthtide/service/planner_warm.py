"""A tiny night that makes the search ready: it calls all of its compiled loops once."""

from __future__ import annotations

from typing import get_args

from hearthtide.house.models import Act
from hearthtide.house.places import Outline, Spot
from hearthtide.planning.engine.search import search
from hearthtide.planning.events import StageSeen, after_event
from hearthtide.planning.places import Places
from hearthtide.planning.problem import Choice, Handle, Hands, Item, Order, Problem, Stage
from hearthtide.planning.replan import open_problem, reality_at
from hearthtide.planning.told import Running

ROUNDS = 20


def warm() -> None:
    """Plans two plates, then plans anew when one on the stone is seen to take longer."""
    problem = _tiny()
    plan = search(problem, rounds=ROUNDS)
    first = plan.booked[0].placed[0]
    begun = first.stays[0]
    running = Running(problem, plan, begun.start_s + 60)
    again = search(open_problem(running), reality_at(running), plan, rounds=2 * ROUNDS)
    running = Running(problem, again, begun.start_s + 60)
    running = after_event(running, StageSeen(first.item.key, 0, begun.end_s + 120))
    search(open_problem(running), reality_at(running), running.schedule, rounds=2 * ROUNDS)


def _tiny() -> Problem:
    disc = Outline(0.0, 0.0, 0.15)
    spots = (Spot(-0.2, 0.6, disc, "mid", 0.4, 0.0), Spot(0.2, 0.6, disc, "mid", 0.4, 0.0))
    acts: tuple[Act, ...] = get_args(Act)
    bake = Stage("bake", ((Choice(180, 0b11, 0),),), (Handle("turn", 0.5),))
    orders = tuple(
        Order(f"{table}", table, 1, 0, 900 + 120 * n, (_plate(table, bake),))
        for n, table in enumerate(("first", "second"))
    )
    return Problem(
        orders=orders,
        places=Places(spots, (0b01, 0b10)),
        cooks=(Hands("cook", frozenset(acts)),),
        act_s=dict.fromkeys(acts, 8),
        bank=None,
        plating_s=45,
        together_s=60,
        late_after_s=300,
        recovery_s=45,
        from_s=0,
    )


def _plate(table: str, bake: Stage) -> Item:
    return Item(
        key=f"{table}-1",
        ticket=table,
        dish="warm-up",
        stages=(bake,),
        pace=(1.0,),
        prefer=(0,),
        rest_s=0,
        hold_s=150,
        dressed=True,
        cut=True,
        on_stone=True,
        from_bank=False,
    )
