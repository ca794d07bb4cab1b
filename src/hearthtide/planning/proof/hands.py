"""Who does what when: every act by somebody who can, in its seconds, no sooner than now, two hands each."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from hearthtide.planning.problem import Chore, Handling
from hearthtide.planning.proof.reading import Fault, Night, Row, clock

BOTH = 2


def hand_faults(night: Night) -> Iterator[Fault]:
    """Seconds, skills, the moment now, what a cook is still busy with, and no third hand."""
    doing: dict[int, list[tuple[Handling, str, bool]]] = {}
    for row in night.rows:
        for act in row.acts:
            fixed = row.set_before(act)
            doing.setdefault(act.cook, []).append((act, row.key, fixed))
            if not fixed:
                yield from _done_rightly(night, act, row.key)
        yield from _one_thing_at_a_time(row)
    for act in night.schedule.chores:
        doing.setdefault(act.cook, []).append((act, "a chore", False))
        yield from _done_rightly(night, act, "a chore")
    for acts in doing.values():
        yield from _too_many_hands(night, acts)
    yield from _chores(night)


def _done_rightly(night: Night, act: Handling, who: str) -> Iterator[Fault]:
    cooks = night.problem.cooks
    if not 0 <= act.cook < len(cooks):
        yield Fault("hands", who, f"cook {act.cook} of {len(cooks)}")
        return
    cook = cooks[act.cook]
    if act.act not in cook.acts:
        yield Fault("hands", who, f"{cook.name} does not {act.act}")
    seconds = cook.act_s[act.act] if act.act in cook.act_s else night.problem.act_s[act.act]
    if act.hands_s != seconds:
        yield Fault("hands", who, f"{act.act} in {act.hands_s} s, {cook.name} takes {seconds} s")
    if act.start_s < night.now_s:
        yield Fault("before now", who, f"{act.act} at {clock(act.start_s)}, it is {clock(night.now_s)}")
    busy = () if night.reality is None else night.reality.busy_until_s
    if act.cook < len(busy) and act.start_s < busy[act.cook]:
        taken = f"{cook.name} is taken until {clock(busy[act.cook])}"
        yield Fault("hands", who, f"{act.act} at {clock(act.start_s)}, {taken}")


def _too_many_hands(night: Night, acts: list[tuple[Handling, str, bool]]) -> Iterator[Fault]:
    """At the start of every act all that this cook is then at must be done with two hands."""
    acts.sort(key=lambda one: one[0].start_s)
    going: list[tuple[Handling, str, bool]] = []
    for one in acts:
        at = one[0].start_s
        going = [g for g in going if g[0].start_s + g[0].hands_s > at]
        if one[0].hands_s > 0:
            going.append(one)
        need = sum(1 if g[0].act in night.problem.one_handed else BOTH for g in going)
        if need > BOTH and not all(fixed for *_, fixed in going):
            what = " and ".join(f"{h.act} {who}" for h, who, _ in going)
            yield Fault("hands", going[-1][1], f"cook {one[0].cook} at {clock(at)}: {what}")


def _one_thing_at_a_time(row: Row) -> Iterator[Fault]:
    """Two people cannot work on one plate."""
    for a, b in pairwise(row.acts):
        if b.start_s < a.start_s + a.hands_s and not (row.set_before(a) and row.set_before(b)):
            yield Fault("acts", row.key, f"{b.act} at {clock(b.start_s)} while the {a.act} goes on")


def _chores(night: Night) -> Iterator[Fault]:
    """Every chore done once, within its span, and nothing else done."""
    left = sorted(night.schedule.chores, key=lambda act: act.start_s)
    for chore in sorted(night.problem.chores, key=lambda c: c.wanted_s + c.give_s):
        done = next((act for act in left if _does(act, chore)), None)
        if done is None:
            span = f"{clock(chore.wanted_s - chore.give_s)} to {clock(chore.wanted_s + chore.give_s)}"
            yield Fault("chores", chore.words or chore.act, f"not done from {span}")
        else:
            left.remove(done)
    for act in left:
        yield Fault("chores", act.act, f"nobody asked for it at {clock(act.start_s)}")


def _does(act: Handling, chore: Chore) -> bool:
    return act.act == chore.act and abs(act.start_s - chore.wanted_s) <= chore.give_s
