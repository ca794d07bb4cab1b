"""Simulated Fridays: who comes when, and what goes otherwise than planned. Invented and seeded.

Tickets arrive in bursts on a peak between 18:00 and 21:00. Hands differ from the book, now and then by a lot;
every minute and a half on average a stage turns out to take 8 to 40 s longer. Luck belongs to the item and
its act, not to the plan: every way of working meets the same.
"""

from __future__ import annotations

from dataclasses import dataclass
from zlib import crc32

import numpy as np
from numpy.typing import NDArray
from windows import Ticket, drawn_party, tables

FROM_S, UNTIL_S = 18 * 3600, 21 * 3600
PEAK = (0.5, 1.5)  # arrivals at the ends and in the middle, times the mean; own choice
BURST, LULL = (2.0, 360.0), (0.5, 720.0)  # arrivals times, seconds it lasts on average: 1.0 in the mean
QUOTE_S = (960, 1320)  # the room is told 16 to 22 minutes after the call; own choice
DRIFT_EVERY_S, DRIFT_S = 90.0, (8, 40)  # as the trade's prototype had it; assumed
HANDS, FUMBLE, FUMBLE_S = 0.15, 0.03, (10, 30)  # share hands differ by; how often, and by how much, a lot
UNSEEN_S = 2.0  # by how much a stage differs from what anybody sees; assumed
MOST_DISHES = 6


@dataclass(frozen=True)
class Friday:
    """Tickets in order of call, moments at which a stage is found to take longer, and the night's luck."""

    seed: int
    tickets: tuple[Ticket, ...]
    drifts: tuple[tuple[int, float, int], ...]

    @property
    def dishes(self) -> int:
        return sum(len(t.dishes) for t in self.tickets)

    def hands_s(self, item: str, number: int, booked_s: int) -> int:
        """How long an item's act number so-and-so really takes."""
        rng = np.random.default_rng([self.seed, crc32(item.encode()), number])
        took = booked_s * (1 + HANDS * float(np.clip(rng.standard_normal(), -3, 3)))
        if rng.random() < FUMBLE:
            took += float(rng.uniform(*FUMBLE_S))
        return max(1, round(took))

    def unseen_s(self, item: str, stage: int) -> float:
        """By how much longer a stage really needs than anybody thinks."""
        rng = np.random.default_rng([self.seed, crc32(item.encode()), 1000 + stage])
        return UNSEEN_S * float(np.clip(rng.standard_normal(), -3, 3))


def friday(per_hour: float, seed: int) -> Friday:
    """Three hours of so many dishes an hour in all, whatever their bursts."""
    rng = np.random.default_rng([round(per_hour), seed])
    left, parties = round(per_hour * (UNTIL_S - FROM_S) / 3600), []
    while left:
        parties.append(drawn_party(rng, min(left, MOST_DISHES)))
        left -= len(parties[-1])
    seconds = np.arange(FROM_S, UNTIL_S)
    calls = np.sort(rng.choice(seconds, len(parties), replace=False, p=_arrivals(rng, seconds)))
    tickets = [
        Ticket(name, int(at), int(at) + round(float(rng.uniform(*QUOTE_S))), dishes)
        for name, at, dishes in zip(tables(), calls, parties, strict=False)
    ]
    drifts, at_s = [], FROM_S + float(rng.exponential(DRIFT_EVERY_S))
    while at_s < UNTIL_S + 3600:
        drifts.append((round(at_s), float(rng.random()), int(rng.integers(DRIFT_S[0], DRIFT_S[1] + 1))))
        at_s += float(rng.exponential(DRIFT_EVERY_S))
    return Friday(seed, tuple(tickets), tuple(drifts))


def _arrivals(rng: np.random.Generator, seconds: NDArray[np.int64]) -> NDArray[np.float64]:
    """How likely a ticket comes in each second: the peak of the evening, times its bursts and lulls."""
    middle = 1 - np.abs(2 * (seconds - FROM_S) / (UNTIL_S - FROM_S) - 1)
    likely = PEAK[0] + (PEAK[1] - PEAK[0]) * middle
    at, busy = 0, bool(rng.random() < BURST[1] / (BURST[1] + LULL[1]))
    while at < len(seconds):
        times, lasts_s = BURST if busy else LULL
        until = at + max(1, round(float(rng.exponential(lasts_s))))
        likely[at:until] *= times
        at, busy = until, not busy
    return np.asarray(likely / likely.sum())
