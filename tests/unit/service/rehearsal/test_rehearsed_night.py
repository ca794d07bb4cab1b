"""A small night rehearsed: what its people do and say, and what is counted of it."""

from __future__ import annotations

from dataclasses import asdict

import pytest

from hearthtide.service.commands import Landed, MoveDone, NotYet, StageSeen, event_of
from hearthtide.service.rehearsal.came import Rehearsed
from small_rehearsal import small_rehearsal, upsets


def told(came: Rehearsed, log: list) -> list:
    return [event_of(entry).command for entry in log]


@pytest.fixture(scope="module")
def exact():
    rehearsal = small_rehearsal(upsets(exact=True))
    return rehearsal, rehearsal.run()


@pytest.fixture(scope="module")
def plain():
    rehearsal = small_rehearsal(seed=3)
    return rehearsal, rehearsal.run()


def test_a_kitchen_that_does_as_told_lands_its_tables_where_they_were_planned(exact):
    _, came = exact
    assert came.outcome.tables == 4 and came.outcome.unserved == 0
    assert came.outcome.quoted_share == 1.0
    assert came.outcome.lost == 0 and came.outcome.refused == 0


def test_nothing_is_taken_off_the_fire_before_it_is_done(plain):
    rehearsal, _ = plain
    assert rehearsal.kitchen.truth.plates
    for plate in rehearsal.kitchen.truth.plates.values():
        assert plate.out_s is not None and plate.over_s >= 0
        assert plate.cooking is None


def test_a_kitchen_tells_little_and_the_plan_takes_the_rest_as_done(plain):
    rehearsal, _ = plain
    said = [event_of(e).command for e in rehearsal.night.since(0) if not event_of(e).refused]
    acts = [c for c in said if isinstance(c.what, MoveDone)]
    tapped = [c for c in acts if not c.what.assumed]
    assert 0 < len(tapped) < len(acts) / 2
    assert any(isinstance(c.what, StageSeen | NotYet) for c in said)
    assert all(c.by != "the plan" for c in tapped)


def test_food_that_takes_longer_is_spoken_of(plain):
    rehearsal, _ = plain
    said = [event_of(e).command for e in rehearsal.night.since(0)]
    seen = [c for c in said if isinstance(c.what, StageSeen)]
    assert any(c.what.done_s > c.at_s for c in seen)


def test_the_same_seed_is_the_same_night_and_another_is_not(plain):
    _, came = plain
    again = small_rehearsal(seed=3).run()
    other = small_rehearsal(seed=4).run()

    def figures(one: Rehearsed) -> dict[str, object]:
        return {k: v for k, v in asdict(one.outcome).items() if not k.startswith("shown_after")}

    assert figures(again) == figures(came)
    assert again.kitchen.passed.landed == came.kitchen.passed.landed
    assert other.kitchen.passed.landed != came.kitchen.passed.landed


def test_landings_are_the_plates_and_the_plating_after_them(exact):
    rehearsal, came = exact
    for (table, _), landed_s in came.kitchen.passed.landed.items():
        ready = [
            p.ready_s for key, p in rehearsal.kitchen.truth.plates.items() if key.startswith(f"{table}-")
        ]
        assert landed_s == max(ready) + 45
    landed = [event_of(e).command for e in rehearsal.night.since(0)]
    assert sum(isinstance(c.what, Landed) and c.by == "Pass" for c in landed) == 4


def test_an_answer_that_is_not_met_is_not_called_met():
    wrong = [
        {"lands": "A1", "minute": "19:30"},
        {"figure": "tables", "at_least": 5},
        {"at": "18:01", "binds": "stone"},
        {"at": "23:00", "lands": "B2", "minute": "23:30"},
    ]
    came = small_rehearsal(upsets(exact=True, expect=wrong, until="18:05")).run()
    assert [one.met for one in came.checked] == [False] * 4
    assert not came.as_expected


def test_right_answers_are_met():
    right = [
        {"lands": "A1", "minute": "18:20", "within": "1:00"},
        {"figure": "tables", "at_least": 4, "at_most": 4},
        {"at": "18:01", "lands": "A1", "minute": "18:20"},
        {"at": "18:13", "binds": "nothing"},
    ]
    came = small_rehearsal(upsets(exact=True, expect=right)).run()
    assert [one.found for one in came.checked if not one.met] == []
    assert came.as_expected


def test_an_upset_is_told_at_its_minute():
    bad = [{"at": "18:10", "dead_platters": 2}, {"at": "18:14", "eighty_six": "dip"}]
    rehearsal = small_rehearsal(upsets(exact=True, upsets=bad, until="18:20"))
    rehearsal.run()
    facts = rehearsal.night.state.facts
    assert facts.dead_platters == 2
    assert [(g.name, g.at_s) for g in facts.gone] == [("dip", 18 * 3600 + 14 * 60)]
