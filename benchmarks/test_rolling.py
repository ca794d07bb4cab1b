"""One Friday under every way of working, as a table; more and other loads from `rolling.py` itself."""

from __future__ import annotations

from fridays import friday
from rolling import Planned, Policy, policies, side_by_side, table

PER_HOUR, ROUNDS, SEED = 48.6, 200, 1  # six tenths of what one swamped night landed


def test_a_friday_side_by_side(capsys):
    night = friday(PER_HOUR, SEED)
    rows = side_by_side(PER_HOUR, (SEED,), policies(ROUNDS))
    with capsys.disabled():
        print(f"\n{night.dishes} dishes, {len(night.tickets)} tickets at {PER_HOUR:.0f} dishes an hour\n")
        print(table(rows))
    assert {seen.plates for seen in rows.values()} == {night.dishes}


def test_the_same_night_again_is_the_same():
    """Luck belongs to the night, the search to its seed: only the clock differs."""

    def run(policy: Policy) -> list[int]:
        return side_by_side(30.0, (SEED,), (policy,))[policy.name].lateness_s

    assert run(Planned(20)) == run(Planned(20))
