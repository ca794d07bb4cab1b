"""Random events on random lots, folded through the machine of food states: none may reach a guest unproved.

    python benchmarks/random_lots.py [--events 10000000] [--seed 1]

Prints events, lots, services and seconds; ends with 1 at the first that was served without what it needs. The
check is an oracle of its own: what was proved on a lot's way, kept beside it.
"""

from __future__ import annotations

import argparse
import random
import sys
import time

from hearthtide.safety.states import ARROWS, SERVED, Lot, NotYet, Proof, State, become
from hearthtide.safety.verdicts import Verdict

STATES: list[State] = sorted({state for arrow in ARROWS for state in arrow} | {"discarded"})
PROOFS: list[Proof] = sorted({proof for wanted in ARROWS.values() for proof in wanted})
ANSWERS = ("pass", "pass", "fail", "unproven")


def run(events: int, seed: int) -> tuple[int, int, int]:
    """Lots made, arrows taken, services; raises AssertionError at an unproved one."""
    rng = random.Random(seed)
    verdicts = {answer: Verdict(answer, "R", "S", "words") for answer in ANSWERS}
    lots, taken, served = 1, 0, 0
    lot, proved = Lot("lot"), set[str]()
    for _ in range(events):
        # Half the wishes are arrows that exist from here, so that long ways are walked too.
        ways = [to for (at, to) in ARROWS if at == lot.state]
        to = rng.choice(ways) if ways and rng.random() < 0.5 else rng.choice(STATES)
        proofs = {name: verdicts[rng.choice(ANSWERS)] for name in PROOFS if rng.random() < 0.6}
        before = lot
        try:
            lot = become(lot, to, proofs)
        except NotYet:
            continue
        taken += 1
        now = {name for name, found in proofs.items() if found.answer == "pass"}
        proved |= now
        if lot.state in SERVED:
            served += 1
            assert "cooked" in proved, (before, to)
            assert before.state != "chilled" or {"cooling", "date"} <= now, (before, to)
            assert lot.state != "re-heated and served" or "re-heated for one" in now, (before, to)
            assert before.state not in ("held hot", "re-heated and held") or "held" in now, (before, to)
        assert before.state != "discarded", to
        if lot.state in SERVED or lot.state == "discarded":
            lot, proved, lots = Lot("lot"), set(), lots + 1
    return lots, taken, served


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--events", type=int, default=10_000_000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    began = time.perf_counter()
    try:
        lots, taken, served = run(given.events, given.seed)
    except AssertionError as unproved:
        print(f"served unproved: {unproved}")
        sys.exit(1)
    took_s = time.perf_counter() - began
    print(
        f"{given.events} events, {lots} lots, {taken} arrows, {served} served, none unproved: {took_s:.0f} s"
    )
