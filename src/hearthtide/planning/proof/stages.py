"""Every item from the bench to its rest: acts in order, stages as long as asked, turns near their moment."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from hearthtide.planning.problem import Handling, Stay
from hearthtide.planning.proof.reading import BEGINS, TURNS, Fault, Night, Row, clock

MOMENT_GIVE, MOMENT_LEAST_S = 0.15, 20  # how far a turn may miss its moment: share of its stage, at least
ROUNDED_S = 1  # moments are real numbers, acts whole seconds
STICKS_S = 90  # a dressed base left on the peel longer than this sticks (common practice, no source)


def stage_faults(night: Night) -> Iterator[Fault]:
    for row in night.rows:
        yield from _bench(row)
        yield from _sequence(night, row)
        for stay in row.placed.stays:
            if 0 <= stay.stage < len(row.item.stages):
                yield from _ends(row, stay)
                yield from _length(night, row, stay)
                yield from _turns(row, stay)
        yield from _waits(night, row)
        yield from _recourse(night, row)
    keys = [row.key for row in night.rows]
    for one in night.schedule.recourse:
        if one.item not in keys:
            yield Fault("recourse", one.item, f"{one.kind} of something that is not planned")


def _bench(row: Row) -> Iterator[Fault]:
    """Dressed right before it is launched, cut after it is pulled, and nothing else beside the hearth."""
    beside = [h for h in row.acts if h.stage < 0]
    dressings = [h for h in beside if h.act == "dress"]
    cuts = [h for h in beside if h.act == "cut"]
    if len(beside) > len(dressings) + len(cuts):
        yield Fault("acts", row.key, "more is done beside the hearth than dress and cut")
    wanted = (row.item.dressed and row.going_on < 0, row.item.cut)
    least = row.item.dressed and row.begun is None
    if not least <= len(dressings) <= (1 if row.item.dressed else 0):
        yield Fault("acts", row.key, f"dressed {len(dressings)} times")
    if len(cuts) != wanted[1]:
        yield Fault("acts", row.key, f"cut {len(cuts)} times")
    launch = row.begin(0)
    for act in dressings:
        if launch is None or row.set_before(act) or row.set_before(launch):
            continue
        wait = launch.start_s - act.start_s - act.hands_s
        if not 0 <= wait <= STICKS_S:
            yield Fault("acts", row.key, f"launched {wait} s after it is dressed, 0 to {STICKS_S} asked")
    last = row.pull(row.placed.stays[-1].stage) if row.placed.stays else None
    for act in cuts:
        if last is not None and act.start_s < last.start_s + last.hands_s:
            yield Fault("acts", row.key, "cut before it is pulled")


def _sequence(night: Night, row: Row) -> Iterator[Fault]:
    """Stages one after the other, each once; the last ones only left out where it is taken out early."""
    stays, stages = row.placed.stays, row.item.stages
    numbers = [stay.stage for stay in stays]
    if numbers != list(range(len(numbers))) or len(stays) > len(stages) or not stays:
        yield Fault("acts", row.key, f"stages {numbers} of {len(stages)}")
        return
    taken_out = night.recourse.get(row.key)
    if len(stays) < len(stages) and (taken_out is None or taken_out.kind != "early" or row.begun is None):
        yield Fault("acts", row.key, f"{len(stays)} of {len(stages)} stages")
    for stay in stays:
        if stay.item != row.key or stay.on_stone != row.item.on_stone:
            yield Fault(
                "acts", row.key, f"the stay of stage {stay.stage} is of {stay.item}, not of this item"
            )
    yield from _counts(row, len(stays))
    if row.placed.leave_s != stays[-1].end_s:
        yield Fault("rest", row.key, "its rest does not begin when it leaves the stone")


def _counts(row: Row, stages: int) -> Iterator[Fault]:
    """Of each act on the hearth as many as its stages ask: no more, and no less unless done before."""
    for number in range(-1, len(row.item.stages)):
        own = [h for h in row.acts if h.stage == number]
        begins, pulls = (sum(h.act in kind for h in own) for kind in (BEGINS, ("pull",)))
        if number < 0 or number >= stages:
            if any(h.act in (*BEGINS, *TURNS, "pull") for h in own):
                yield Fault("acts", row.key, f"handled on the hearth in stage {number}, which it has not")
            continue
        if begins > 1 or (begins == 0 and number > row.going_on):
            yield Fault("acts", row.key, f"stage {number} begins {begins} times")
        ends = pulls == 1 if number == stages - 1 else pulls <= 1
        if not ends:
            yield Fault("acts", row.key, f"pulled {pulls} times in stage {number}")
        if any(h.act in ("dress", "cut", "flame") for h in own):
            yield Fault("acts", row.key, f"bench work in stage {number}")
    if any(not -1 <= h.stage < len(row.item.stages) for h in row.acts):
        yield Fault("acts", row.key, "an act in a stage it has not")


def _ends(row: Row, stay: Stay) -> Iterator[Fault]:
    """A stay begins with its launch, move or load, ends with the next, and holds its place meanwhile."""
    begin = row.begin(stay.stage)
    if begin is not None and not row.set_before(begin):
        yield from _begin(row, stay, begin)
    after = row.begin(stay.stage + 1)
    end = row.pull(stay.stage) or after
    if end is None or (row.fixed(stay) and stay.stage < row.going_on):
        return
    held = end.start_s if end.act == "load" else end.start_s + end.hands_s
    if (stay.end_s, stay.held_until_s) != (end.start_s, held):
        found = f"ends {clock(stay.end_s)}, held until {clock(stay.held_until_s)}"
        yield Fault("stay", row.key, f"stage {stay.stage} {found}; its {end.act} begins {clock(end.start_s)}")


def _begin(row: Row, stay: Stay, begin: Handling) -> Iterator[Fault]:
    stage = row.item.stages[stay.stage]
    before = row.pull(stay.stage - 1) if stay.stage else None
    want = "launch" if stay.stage == 0 or before is not None else "load" if stage.stays else "move"
    if begin.act != want:
        yield Fault("acts", row.key, f"stage {stay.stage} begins with a {begin.act}, {want} asked")
    if begin.start_s != stay.start_s:
        found = f"stage {stay.stage} begins {clock(stay.start_s)}, its {begin.act} {clock(begin.start_s)}"
        yield Fault("stay", row.key, found)


def _length(night: Night, row: Row, stay: Stay) -> Iterator[Fault]:
    """As long as asked at its place, give or take its band; what had begun may miss it at a price."""
    asked = night.asked(row, stay)
    if asked is None:
        yield Fault("place", row.key, f"stage {stay.stage} can be done nowhere at {clock(stay.end_s)}")
        return
    if not row.fixed(stay) and asked.seconds != stay.asked_s:
        yield Fault(
            "stage", row.key, f"stage {stay.stage} said to take {stay.asked_s} s, {asked.seconds} asked"
        )
    if row.begun is None and night.missed_s(row, stay):
        took = f"stage {stay.stage} takes {stay.end_s - stay.start_s} s"
        yield Fault("stage", row.key, f"{took}, {asked.seconds} -{asked.early_s} +{asked.late_s} asked")


def _turns(row: Row, stay: Stay) -> Iterator[Fault]:
    """Each turn, spin and flip asked, near its moment; what had begun is turned as soon as hands allow."""
    if stay.stage < row.going_on:
        return
    seconds = stay.end_s - stay.start_s
    give = max(MOMENT_LEAST_S, MOMENT_GIVE * seconds) + ROUNDED_S
    own = [h for h in row.acts if h.stage == stay.stage]
    begin = next((h for h in own if h.act in BEGINS), None)
    first = stay.start_s if begin is None else begin.start_s + begin.hands_s
    for kind in TURNS:
        done = [h for h in own if h.act == kind]
        moments = sorted(h.fraction for h in row.item.stages[stay.stage].handles if h.act == kind)
        if len(done) != len(moments):
            yield Fault(
                "turns", row.key, f"{len(done)} times {kind} in stage {stay.stage}, {len(moments)} asked"
            )
            continue
        for act, fraction in zip(done, moments, strict=True):
            off = act.start_s - stay.start_s - fraction * seconds
            if row.begun is None and abs(off) > give:
                yield Fault("turns", row.key, f"{kind} {off:.0f} s off its moment in stage {stay.stage}")
            within = first <= act.start_s and act.start_s + act.hands_s <= stay.end_s
            if not within and not row.set_before(act):
                yield Fault("turns", row.key, f"{kind} at {clock(act.start_s)} outside stage {stay.stage}")


def _waits(night: Night, row: Row) -> Iterator[Fault]:
    """Off the hearth between two stages no longer than the dish bears, unless it is parked at a price."""
    for stage, wait in waits_s(row):
        buffer_s = row.item.stages[stage].buffer_s
        if wait < 0:
            yield Fault("wait", row.key, f"launched again {-wait} s before it is off the hearth")
        elif unasked(row, stage, wait) and row.begun is None:
            yield Fault("wait", row.key, f"{wait} s off the hearth before stage {stage}, {buffer_s} s borne")
    for a, b in pairwise(row.placed.stays):
        stays = 0 < b.stage < len(row.item.stages) and row.item.stages[b.stage].stays
        if stays and a.place != b.place and row.pull(a.stage) is None:
            yield Fault("place", row.key, f"stage {b.stage} goes on where the one before it stood")


def waits_s(row: Row) -> list[tuple[int, int]]:
    """Seconds off the hearth before each stage that begins with a second launch."""
    found = []
    for stay in row.placed.stays[1:]:
        off, on = row.pull(stay.stage - 1), row.begin(stay.stage)
        if off is not None and on is not None and not row.fixed(stay):
            found.append((stay.stage, on.start_s - off.start_s - off.hands_s))
    return found


def unasked(row: Row, stage: int, wait_s: int) -> bool:
    """Whether the dish does not bear that wait by itself."""
    buffer_s = row.item.stages[stage].buffer_s
    return buffer_s == 0 or wait_s > buffer_s


def _recourse(night: Night, row: Row) -> Iterator[Fault]:
    """What was done to an item that had begun is named and counted; nothing is done to any other."""
    told = night.recourse.get(row.key)
    if sum(one.item == row.key for one in night.schedule.recourse) > 1:
        yield Fault("recourse", row.key, "told more than once")
    if row.begun is None:
        if told is not None:
            yield Fault("recourse", row.key, f"{told.kind}, but it had not begun")
        return
    kind, seconds = _owed(night, row)
    found = ("", 0) if told is None else (told.kind, told.seconds)
    if found != (kind, seconds):
        yield Fault(
            "recourse", row.key, f"told {found[0] or 'none'} {found[1]} s, done {kind or 'none'} {seconds} s"
        )


def _owed(night: Night, row: Row) -> tuple[str, int]:
    """What was done to an item that had begun, and for how many seconds it is to be priced.

    Seconds past or short of its bands, off the hearth, and those of stages it never had.
    """
    stays = row.placed.stays
    missed = sum(night.missed_s(row, stay) for stay in stays if stay.stage >= row.going_on)
    parked = [wait for stage, wait in waits_s(row) if unasked(row, stage, wait)]
    left_out = range(len(stays), len(row.item.stages))
    if left_out and stays:
        wishes = [night.options(row.item, stage, stays[-1].held_until_s)[:1] for stage in left_out]
        return "early", missed + sum(parked) + sum(a.seconds for found in wishes for a in found)
    if parked:
        return "parked", missed + sum(parked)
    return ("overrun", missed) if missed else ("", 0)
