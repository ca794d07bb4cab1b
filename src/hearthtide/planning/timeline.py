"""What is taken when: hands by the second, places by stay, platters by use. Every booking can be undone."""

from __future__ import annotations

from collections import defaultdict

from hearthtide.house.models import Act
from hearthtide.planning.places import lowest_bit
from hearthtide.planning.problem import Booked, Handling, Item, Placed, Problem, Stay

BUCKET_S = 64  # own choice, for speed only
PICK_AMONG = 4  # of the best-packing free places a second try may take another; own choice
RESTED_S = 600  # a pizza has left the stone only some 5 to 10 K low by then (trials of this oven model)


class Timeline:
    """The night's bookings so far.

    Hands are one whole number per cook, bit t set when second `from_s + t` is taken.
    Stays hang in buckets of 64 s, so that asking what is free costs the stays nearby, not the night.
    """

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.busy = [0] * len(problem.cooks)
        self._stays: dict[int, list[Stay]] = defaultdict(list)
        self._banked: dict[str, tuple[int, int]] = {}
        self._cooks_for = {act: problem.cooks_for(act) for act in problem.act_s}

    def nearest_act(self, act: Act, wish_s: int, before_s: int, after_s: int, stage: int) -> Handling | None:
        """The act as near to `wish_s` as hands allow, at most that much before or after."""
        seconds = self.problem.act_s[act]
        low = max(wish_s - before_s, self.problem.from_s)
        width = wish_s + after_s - low
        if width < 0:
            return None
        best: tuple[int, int, int] | None = None
        for cook in self._cooks_for[act]:
            window = self.busy[cook] >> (low - self.problem.from_s)
            start = nearest_run(window, width, seconds, max(0, wish_s - low))
            if start is not None:
                found = (abs(low + start - wish_s), low + start, cook)
                best = found if best is None else min(best, found)
        return None if best is None else Handling(best[1], seconds, best[2], act, stage)

    def idle_s(self, cooks: tuple[int, ...], start_s: int, end_s: int) -> int:
        """Free seconds of these cooks' hands together during [start_s, end_s)."""
        low = max(start_s, self.problem.from_s)
        span = max(0, end_s - low)
        window = (1 << span) - 1
        offset = low - self.problem.from_s
        return sum(span - ((self.busy[cook] >> offset) & window).bit_count() for cook in cooks)

    def take_hands(self, handling: Handling) -> None:
        """Book or, called again, give back: the bits of one act are flipped."""
        need = (1 << handling.hands_s) - 1
        self.busy[handling.cook] ^= need << (handling.start_s - self.problem.from_s)

    def blocked(self, start_s: int, end_s: int, on_stone: bool) -> int:
        """Places that cannot be used during [start_s, end_s): taken, or stone still recovering."""
        if not self.problem.stone_binds:
            return 0
        pause = self.problem.recovery_s if on_stone else 0
        conflicts = self.problem.places.conflicts
        mask = 0
        for bucket in range((start_s - pause) // BUCKET_S, (end_s + pause) // BUCKET_S + 1):
            for stay in self._stays.get(bucket, ()):
                gap = pause if stay.on_stone else 0
                if stay.start_s < end_s + gap and start_s < stay.held_until_s + gap:
                    mask |= conflicts[stay.place]
        return mask

    def used_since(self, since_s: int, until_s: int) -> int:
        """Places whose stone somebody's bare dough has cooled in that time."""
        conflicts = self.problem.places.conflicts
        mask = 0
        for bucket in range(since_s // BUCKET_S, until_s // BUCKET_S + 1):
            for stay in self._stays.get(bucket, ()):
                if stay.on_stone and stay.start_s < until_s and since_s < stay.held_until_s:
                    mask |= conflicts[stay.place]
        return mask

    def add_stay(self, stay: Stay) -> None:
        for bucket in range(stay.start_s // BUCKET_S, stay.held_until_s // BUCKET_S + 1):
            self._stays[bucket].append(stay)

    def drop_stay(self, stay: Stay) -> None:
        for bucket in range(stay.start_s // BUCKET_S, stay.held_until_s // BUCKET_S + 1):
            self._stays[bucket].remove(stay)

    def platter_free(self, start_s: int, end_s: int) -> bool:
        """Is a hot platter at hand from `start_s` until its plate lands at `end_s`?"""
        bank = self.problem.bank
        if bank is None:
            return True
        end_s += bank.turnaround_s
        near = [(a, b) for a, b in self._banked.values() if a < end_s and start_s < b]
        starts = [start_s, *(a for a, _ in near if a > start_s)]
        return all(sum(a <= t < b for a, b in near) < bank.count for t in starts)

    def add(self, placed: Placed) -> None:
        for handling in placed.handlings:
            self.take_hands(handling)
        for stay in placed.stays:
            self.add_stay(stay)
        self.take_platter(placed.item, placed.stays[0].start_s, placed.ready_s)

    def drop(self, placed: Placed) -> None:
        for handling in placed.handlings:
            self.take_hands(handling)
        for stay in placed.stays:
            self.drop_stay(stay)
        self.give_platter(placed.item)

    def take_platter(self, item: Item, start_s: int, ready_s: int) -> None:
        """Out of the bank at `start_s`, back and hot again a turnaround after its plate landed."""
        bank = self.problem.bank
        if item.from_bank and bank is not None:
            end_s = ready_s + self.problem.plating_s + bank.turnaround_s
            self._banked[item.key] = (start_s, end_s)

    def give_platter(self, item: Item) -> None:
        self._banked.pop(item.key, None)

    def add_order(self, booked: Booked) -> None:
        for placed in booked.placed:
            self.add(placed)
            self.take_platter(placed.item, placed.stays[0].start_s, booked.landing_s - self.problem.plating_s)

    def drop_order(self, booked: Booked) -> None:
        for placed in booked.placed:
            self.drop(placed)

    def pick(self, candidates: int, start_s: int, on_stone: bool, shift: int) -> int:
        """The place to use: rested stone first, then the one that shuts out the fewest others.

        `shift` rotates among equals, so that a second try need not repeat the first.
        """
        if on_stone:
            rested = candidates & ~self.used_since(start_s - RESTED_S, start_s)
            candidates = rested or candidates
        for _ in range(shift % min(candidates.bit_count(), PICK_AMONG)):
            candidates &= candidates - 1
        return lowest_bit(candidates)


def nearest_run(busy: int, width: int, need: int, wish: int) -> int | None:
    """The start in 0..width nearest to `wish` from which `need` bits of `busy` are clear, or None.

    Ties go to the earlier start. Runs of clear bits are found by doubling: after the shifts below,
    a bit is set where the next `need` seconds are all free.

    >>> nearest_run(0b0011100, 6, 2, 3)
    5
    """
    free = ~busy & ((1 << (width + need)) - 1)
    run = 1
    while run < need:
        step = min(run, need - run)
        free &= free >> step
        run += step
    free &= (1 << (width + 1)) - 1
    before = free & ((1 << (wish + 1)) - 1)
    after = free >> wish
    down = wish - (before.bit_length() - 1) if before else None
    up = (after & -after).bit_length() - 1 if after else None
    if down is None:
        return None if up is None else wish + up
    return wish - down if up is None or down <= up else wish + up
