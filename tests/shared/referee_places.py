"""Where the referee's items stand: a place for each, or only how many fit at once.

`add_places` gives every stretch of an item on one spot a place, with no two in conflict at once.
`add_capacities` leaves places out: no more may stand in a zone, or on the hearth, than an exact packing of
its spots holds. That is less than the truth asks, so its least cost bounds every plan from below.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import combinations

from ortools.sat.python import cp_model

from hearthtide.planning.places import Places, bits, lowest_bit
from hearthtide.planning.problem import Choice, Problem
from referee_acts import ActVars, Expr, ItemVars, NightVars, StageVars, Var, hundredths


@dataclass
class Standing:
    """An item on one spot, for a stage and those after it that stay; `at[p]` says whether it is place p."""

    owner: ItemVars
    first: int
    stages: list[StageVars]
    at: dict[int, Var]

    @property
    def begin(self) -> Expr:
        return self.stages[0].begin.start

    @property
    def held(self) -> Expr:
        """Until the hands that move or pull it are done."""
        return self.stages[-1].end.end

    @property
    def acts(self) -> list[ActVars]:
        own = [act for stage in self.stages for act in (stage.begin, *stage.handles)]
        return [*own, self.stages[-1].end]


def stretches(item: ItemVars) -> list[tuple[int, list[StageVars]]]:
    """The item's stages by spot: each with the number of its first stage."""
    found: list[tuple[int, list[StageVars]]] = []
    for k, stage in enumerate(item.stages):
        if item.item.stages[k].stays and found:
            found[-1][1].append(stage)
        else:
            found.append((k, [stage]))
    return found


def add_places(night: NightVars) -> list[Standing]:
    """A place for every stretch; stretches of two items in conflict stand one after the other."""
    problem = night.problem
    found = [_standing(night, item, *stretch) for item in night.items for stretch in stretches(item)]
    if problem.stone_binds:
        for a, b in combinations(found, 2):
            if a.owner is not b.owner:
                _keep_apart(night, a, b)
    if problem.weights.reach:
        over = [
            _reached_over(night, a, b)
            for a in found
            for b in found
            if a.owner is not b.owner and any(problem.places.reach[p] & _mask(b.at) for p in a.at)
        ]
        night.price += [hundredths(problem.weights.reach) * v for some in over for v in some]
    return found


def _mask(places: Iterable[int]) -> int:
    return sum(1 << p for p in places)


def _standing(night: NightVars, owner: ItemVars, first: int, stages: list[StageVars]) -> Standing:
    model, name = night.model, f"{owner.item.key} {first}"
    allowed = -1
    for stage in stages:
        union = 0
        for choice in stage.choices:
            union |= choice.places
        allowed &= union
    at = {p: model.new_bool_var(f"{name} at {p}") for p in bits(allowed)}
    model.add_exactly_one(at.values())
    for stage in stages:
        for choice, chosen in zip(stage.choices, stage.which, strict=True):
            model.add(sum(at[p] for p in at if choice.places >> p & 1) == chosen)
    return Standing(owner, first, stages, at)


def _keep_apart(night: NightVars, a: Standing, b: Standing) -> None:
    """Where a and b conflict, one has gone (and its bare stone recovered) before the other comes."""
    model, conflicts = night.model, night.problem.places.conflicts
    other = _mask(b.at)
    clash = {p: bits(conflicts[p] & other) for p in a.at if conflicts[p] & other}
    if not clash:
        return
    both, a_first, b_first = (model.new_bool_var(n) for n in ("in conflict", "first", "second"))
    for p, there in clash.items():
        if len(there) == len(b.at):
            model.add_implication(a.at[p], both)
        else:
            model.add(a.at[p] + sum(b.at[q] for q in there) <= 1 + both)
    model.add_bool_or(a_first, b_first, ~both)
    bare = a.owner.item.on_stone and b.owner.item.on_stone
    for one, two, goes_first in ((a, b, a_first), (b, a, b_first)):
        last = one.stages[-1]
        for choice, chosen in zip(last.choices, last.which, strict=True):
            pause = recovery_s(night.problem, choice) if bare else 0
            model.add(one.held + pause <= two.begin).only_enforce_if(goes_first, chosen)
    if not bare:
        model.add_bool_or(~a_first, ~b_first)


def recovery_s(problem: Problem, choice: Choice) -> int:
    return problem.recovery_s if choice.recovery_s < 0 else choice.recovery_s


def _reached_over(night: NightVars, a: Standing, b: Standing) -> list[Var]:
    """For each act at a, whether a hand goes over b on its way to it."""
    model, reach = night.model, night.problem.places.reach
    in_the_way = model.new_bool_var("in the way")
    for p, x in a.at.items():
        there = [q for q in bits(reach[p]) if q in b.at]
        if there:
            model.add(x + sum(b.at[q] for q in there) <= 1 + in_the_way)
    found = []
    for act in a.acts:
        before, after, over = (model.new_bool_var(n) for n in ("before", "after", "over"))
        model.add(act.start < b.begin).only_enforce_if(before)
        model.add(act.start >= b.held).only_enforce_if(after)
        model.add_bool_or(before, after, over, ~in_the_way)
        found.append(over)
    return found


def thinned(problem: Problem, most: int) -> Problem:
    """The same problem with at most so many places for each choice of each stage: what the referee can prove.

    Kept are, in turn, a set of places that do not conflict with one another and then a next such set, so that
    a zone loses as little as can be of what it holds.
    """
    kept: dict[int, int] = {}

    def few(mask: int) -> int:
        if mask not in kept:
            kept[mask] = _spread(problem.places, mask, most)
        return kept[mask]

    def thin(rows: tuple[tuple[Choice, ...], ...]) -> tuple[tuple[Choice, ...], ...]:
        return tuple(tuple(replace(c, places=few(c.places)) for c in row) for row in rows)

    orders = tuple(
        replace(
            order,
            items=tuple(
                replace(item, stages=tuple(replace(s, choices=thin(s.choices)) for s in item.stages))
                for item in order.items
            ),
        )
        for order in problem.orders
    )
    return replace(problem, orders=orders)


def _spread(places: Places, mask: int, most: int) -> int:
    chosen, left = 0, mask
    while left and chosen.bit_count() < most:
        free = left
        while free and chosen.bit_count() < most:
            p = lowest_bit(free)
            chosen |= 1 << p
            free &= ~places.conflicts[p]
        left &= ~chosen
    return chosen


def most_at_once(places: Places, weights: dict[int, int], effort: float = 10.0) -> int:
    """The greatest total weight of places that can be used together, or a proven bound above it.

    `weights` by place. Exact where CP-SAT proves it within `effort` (its deterministic seconds).
    """
    model = cp_model.CpModel()
    used = {p: model.new_bool_var(f"{p}") for p in weights}
    for clique in cliques(places, _mask(weights)):
        model.add_at_most_one(used[p] for p in clique)
    model.maximize(sum(w * used[p] for p, w in weights.items()))
    solver = repeatable(effort, 1)
    solver.solve(model)
    return int(solver.best_objective_bound + 1e-6)


def cliques(places: Places, mask: int) -> list[list[int]]:
    """Sets of places no two of which can be used together, covering every such pair among those of `mask`."""
    missing = {p: places.conflicts[p] & mask & ~(1 << p) for p in bits(mask)}
    found = []
    for p in bits(mask):
        while missing[p]:
            q = lowest_bit(missing[p])
            clique, common = [p, q], places.conflicts[p] & places.conflicts[q] & mask & ~(1 << p | 1 << q)
            while common:
                wanted = common & missing[p] or common
                r = lowest_bit(wanted)
                clique.append(r)
                common &= places.conflicts[r] & ~(1 << r)
            whole = _mask(clique)
            for r in clique:
                missing[r] &= ~whole
            found.append(clique)
    return found


def repeatable(effort: float, seed: int) -> cp_model.CpSolver:
    """A solver that gives the same answer each time: one worker, stopped by counted work."""
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    solver.parameters.random_seed = seed
    solver.parameters.max_deterministic_time = effort
    return solver


def add_capacities(night: NightVars) -> None:
    """Limits on what stands at once instead of places: by kind of stage, by zone, on the whole hearth.

    A kind is a set of places. By zone and in all, items count one each, and again by their size.
    """
    problem, places = night.problem, night.problem.places
    if not problem.stone_binds:
        return
    kinds: dict[int, list[tuple[ItemVars, StageVars, int]]] = {}
    for item in night.items:
        for stage in item.stages:
            for n, choice in enumerate(stage.choices):
                kinds.setdefault(choice.places, []).append((item, stage, n))
    for mask, users in kinds.items():
        bare = all(item.item.on_stone for item, _, _ in users)
        _limit(night, {mask: users}, dict.fromkeys(bits(mask), 1), {mask: 1}, bare)
    zones = {z: [m for m in kinds if places.spots[lowest_bit(m)].zone == z] for z in _zones(places, kinds)}
    for group in [*zones.values(), list(kinds)]:
        if len(group) < 2:
            continue
        sized = {m: round(1000 * places.spots[lowest_bit(m)].outline.area_m2) for m in group}
        for demand in (dict.fromkeys(group, 1), sized):
            weights: dict[int, int] = {}
            for m in group:
                for p in bits(m):
                    weights[p] = max(weights.get(p, 0), demand[m])
            _limit(night, {m: kinds[m] for m in group}, weights, demand, bare=False)


def _zones(places: Places, kinds: Iterable[int]) -> set[str]:
    return {places.spots[lowest_bit(m)].zone for m in kinds}


def _limit(
    night: NightVars,
    users: dict[int, list[tuple[ItemVars, StageVars, int]]],
    weights: dict[int, int],
    demand: dict[int, int],
    bare: bool,
) -> None:
    """At any time no more stands there than fits. While it is moved an item counts where it goes only."""
    capacity = most_at_once(night.problem.places, weights)
    if capacity >= sum(demand[m] * len({id(s) for _, s, _ in users[m]}) for m in users):
        return
    intervals, demands = [], []
    for mask, all_ in users.items():
        for item, stage, n in all_:
            last = stage is item.stages[-1]
            until = stage.end.end if last else stage.end.start
            pause = recovery_s(night.problem, stage.choices[n]) if bare and last else 0
            size = night.model.new_int_var(0, 2 * stage.choices[n].seconds + 3600, "stands")
            name = f"{item.item.key} stands"
            intervals.append(
                night.model.new_optional_interval_var(
                    stage.begin.start, size, until + pause, stage.which[n], name
                )
            )
            demands.append(demand[mask])
    night.model.add_cumulative(intervals, demands, capacity)
