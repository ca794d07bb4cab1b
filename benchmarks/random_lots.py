"""Random lots through the rules: none may reach a guest, or go on at all, unproved.

    PYTHONPATH=tests/shared python benchmarks/random_lots.py [--events 10000000] [--kitchens 20000] [--seed 1]

Two runs. `--events`: random wishes with random verdicts through the machine of food states, what was proved
on the way kept beside it. `--kitchens`: random readings at random times, judged by the FDA 2022 set, beside
an oracle in minutes and degrees (tests/shared/kitchen_of_lots.py). Prints counts and seconds; ends with 1 at
the first that went on without what it needs.
"""

from __future__ import annotations

import argparse
import random
import sys
import time
from collections import Counter

from hearthtide.safety.rule_sets import rule_set
from hearthtide.safety.rules import Piece
from hearthtide.safety.states import ARROWS, SERVED, Lot, NotYet, Proof, State, become
from hearthtide.safety.verdicts import Verdict
from kitchen_of_lots import Kitchen, Unproved

STATES: list[State] = sorted({state for arrow in ARROWS for state in arrow} | {"discarded"})
PROOFS: list[Proof] = sorted({proof for wanted in ARROWS.values() for proof in wanted})
ANSWERS = ("pass", "pass", "fail", "unproven")
WISHES = 15  # for each lot of a kitchen
PIECES: tuple[Piece | None, ...] = ("half bird", "pieces", None)


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


def kitchens(count: int, seed: int) -> tuple[Counter[str], int]:
    """How often lots of random kitchens became what, and their readings; raises Unproved."""
    rules, became, readings = rule_set("us-fda-2022"), Counter[str](), 0
    for n in range(count):
        kitchen = Kitchen(random.Random(f"{seed}-{n}"), rules, PIECES[n % len(PIECES)])
        became.update(kitchen.run(WISHES))
        readings += kitchen.taken
    return became, readings


if __name__ == "__main__":
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("--events", type=int, default=10_000_000)
    asked.add_argument("--kitchens", type=int, default=20_000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    try:
        began = time.perf_counter()
        lots, taken, served = run(given.events, given.seed)
        print(
            f"{given.events} events, {lots} lots, {taken} arrows, {served} served, none unproved: "
            f"{time.perf_counter() - began:.0f} s"
        )
        began = time.perf_counter()
        became, readings = kitchens(given.kitchens, given.seed)
        told = ", ".join(f"{state} {count}" for state, count in became.most_common())
        print(
            f"{given.kitchens} lots of random kitchens, {readings} readings, {became.total()} arrows "
            f"({told}), "
            f"none unproved: {time.perf_counter() - began:.0f} s"
        )
    except (AssertionError, Unproved) as unproved:
        print(f"went on unproved: {unproved}")
        sys.exit(1)
