"""What binds on a night that runs late, on nights built so that one limit plainly must."""

from __future__ import annotations

from hearthtide.house.models import House, NightFile
from hearthtide.planning import again
from hearthtide.planning.again import late_guest_s, total_late_s
from hearthtide.planning.engine.search import Schedule, Unplaceable
from hearthtide.planning.limits import binding_limit
from hearthtide.planning.plan import Limit
from hearthtide.planning.problem import Problem
from small_night import MIXED, small_house, small_night, solved


def limit_of(house: House, night: NightFile) -> tuple[int, Limit | None]:
    problem, schedule = solved(house, night, rounds=5)
    return total_late_s(schedule), binding_limit(problem, schedule, seed=1)


def test_a_night_in_time_has_no_limit_to_name() -> None:
    assert limit_of(small_house(), MIXED)[1] is None


def test_hands_bind_when_one_pair_meets_six_pizzas() -> None:
    # One pair of hands needs 89 s a pizza: six wanted in the same minute queue for 9 min.
    night = small_night(*((f"A{n}", "18:00", "18:06", ("pizza",)) for n in range(6)))
    late, limit = limit_of(small_house(cooks=1), night)
    assert limit is not None
    assert limit.binds == "hands"
    assert limit.late_total_s == late
    assert limit.without["hands"] < limit.without["stone"]


def test_stone_binds_on_a_tiny_hearth_with_many_hands() -> None:
    # On 90 cm the flame leaves room for one or two pizzas; six pairs of hands stand by.
    tiny = {
        "diameter": "90 cm",
        "crown_rise": "34 cm",
        "mouth_width": "40 cm",
        "mouth_height": "20 cm",
        "burners": [{"kind": "ribbon", "bearing": "-45 deg", "length": "10 cm", "standoff": "2 cm"}],
    }
    house = small_house(cooks=6, oven=tiny, platters=None)
    night = small_night(*((f"A{n}", "18:00", "18:05", ("pizza",)) for n in range(4)))
    _, limit = limit_of(house, night)
    assert limit is not None
    assert limit.binds == "stone"
    assert limit.without["stone"] < limit.without["hands"]
    assert "platters" not in limit.without


def test_platters_bind_when_the_bank_holds_one() -> None:
    # Each steak keeps its platter 7:30 + 5:00 + 0:45 and 10:00 turnaround: the second waits 23 min.
    night = small_night(*((f"A{n}", "18:00", "18:16", ("steak",)) for n in range(2)))
    late, limit = limit_of(small_house(cooks=3, platters=1), night)
    assert limit is not None
    assert limit.binds == "platters"
    assert limit.without["platters"] < late / 4


def test_minutes_bind_when_the_dish_cannot_be_done_in_time() -> None:
    # 7:30 and 5:00 rest cannot land five minutes after the call, whoever and whatever is at hand.
    _, limit = limit_of(small_house(cooks=3), small_night(("A1", "18:00", "18:05", ("steak",))))
    assert limit is not None
    assert limit.binds == "minutes"
    assert limit.ways_out


def test_lifting_a_limit_never_makes_the_night_worse() -> None:
    night = small_night(*((f"A{n}", f"18:0{n}", f"18:1{4 + n}", ("pizza", "steak", "dip")) for n in range(3)))
    _, limit = limit_of(small_house(platters=2), night)
    assert limit is not None
    assert set(limit.without) == {"floor", "hands", "stone", "platters", "minutes"}
    assert max(limit.without.values()) <= limit.late_guest_s


def test_an_order_without_room_under_a_lifted_limit_leaves_the_plan_as_it_is(monkeypatch) -> None:
    night = small_night(*((f"A{n}", "18:00", "18:06", ("pizza",)) for n in range(6)))
    problem, schedule = solved(small_house(cooks=1), night, rounds=5)

    def no_room(lifted: Problem, *_: object, **__: object) -> Schedule:
        raise Unplaceable(lifted.orders[0])

    monkeypatch.setattr(again, "repair", no_room)
    limit = binding_limit(problem, schedule, seed=1)
    assert limit is not None and limit.binds == "minutes"
    assert {v for k, v in limit.without.items() if k != "minutes"} == {late_guest_s(schedule)}
    assert limit.ways_out == ()
