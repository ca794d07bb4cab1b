"""Plans of the falling heat: small nights by hand, any night by the checker and by brute force."""

from dataclasses import replace
from datetime import date
from itertools import product

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.day.falling import falling
from hearthtide.day.falling_check import broken, untended
from hearthtide.day.falling_plan import Marks, in_band, planned, stays_of, windows
from hearthtide.day.falling_things import Fall, Fires, Night, Stay, Thing
from hearthtide.day.falling_ways import Means
from hearthtide.house.rota_file import Hours

HOUR, MIN = 3600.0, 60.0
NOTHING = Means(20.0, None, None)


def straight(from_C=300.0, per_h=25.0, hours=12.0, off_K=0.0):
    """A stone that falls evenly from 22:00."""
    times_s = np.arange(22 * HOUR, (22 + hours) * HOUR + 1, 300.0)
    value_C = from_C - per_h * (times_s / HOUR - 22)
    return Fall(times_s, value_C, value_C - off_K, value_C + off_K, "the oven model", times_s[-1])


def person(from_h, until_h, *does):
    return Hours(f"P{from_h}", round(from_h * HOUR), round(until_h * HOUR), frozenset(does or ("hearth",)))


ROTA = (person(22, 24), person(29, 34))


def night(people=ROTA, usable=0.5, fall=None, door_h=22.0, out_h=22.0):
    fires = Fires(out_h * HOUR, 22 * HOUR, None if door_h is None else door_h * HOUR, "wood")
    return Night(date(2026, 5, 31), {"stone": fall or straight()}, fires, tuple(people), usable, 34 * HOUR)


def thing(key="loaves", low=200.0, high=260.0, portions=10, area=0.05, least=20, most=40, **said):
    return Thing(key, key, portions, area, low, high, least * MIN, most * MIN, **said)


def test_the_band_is_told_by_the_clock():
    """300 less 25 an hour: 260 at 22:00 + 1.6 h, 200 at + 4 h."""
    ((from_s, until_s),) = in_band(night(), thing())
    assert from_s == pytest.approx(23.6 * HOUR, abs=60) and until_s == pytest.approx(26 * HOUR, abs=60)


def test_somebody_must_be_there_to_put_it_in_and_to_take_it_out():
    """In from 23:40, and hands for five minutes at its end, by midnight: in by 23:35 at the latest. None."""
    assert windows(Marks(night()), thing()) == ()
    (window,) = windows(Marks(night((person(22, 24.5),))), thing())
    assert window.from_s == 23 * HOUR + 40 * MIN
    assert window.until_s == 24.5 * HOUR - 25 * MIN
    assert windows(Marks(night((person(22, 24.5, "prep"),))), thing()) == ()


def test_a_long_stay_may_begin_in_the_evening_and_end_in_the_morning():
    long = thing(high=290, least=5 * 60, most=9 * 60)
    first = stays_of(Marks(night()), long)[0]
    assert (first.in_s, first.out_s) == (22 * HOUR + 25 * MIN, 29 * HOUR)
    assert stays_of(Marks(night()), replace(long, watched=True)) == ()
    assert stays_of(Marks(night()), replace(long, turns_s=(2 * HOUR,))) == ()
    assert stays_of(Marks(night()), replace(long, turns_s=(HOUR,)))[0].in_s == first.in_s


def test_a_time_to_come_out_and_the_least_heat_are_kept():
    beans = thing(low=150, high=290, least=5 * 60, most=11 * 60)
    at_seven = replace(beans, out_at_s=31 * HOUR)
    assert {stay.out_s for stay in stays_of(Marks(night()), at_seven)} == {31 * HOUR}
    by_five = replace(beans, by_s=29 * HOUR)
    assert {stay.out_s for stay in stays_of(Marks(night()), by_five)} == {29 * HOUR}
    assert stays_of(Marks(night()), replace(at_seven, least_C=80.0)) == ()  # 300 - 25 x 9 = 75 at seven
    assert stays_of(Marks(night()), replace(at_seven, least_C=75.0)) != ()


DOORS = [
    ("on", 22, True),
    ("on", None, False),
    ("on", 23, False),
    ("off", 22, False),
    ("off", None, True),
    ("off", 23, True),
    ("ajar", 22, False),
    ("any", 22, True),
]


@pytest.mark.parametrize(("door", "door_h", "any_"), DOORS)
def test_the_door_it_wants_is_kept(door, door_h, any_):
    soon = thing(low=280, high=300, door=door)
    assert bool(stays_of(Marks(night(door_h=door_h)), soon)) == any_


def test_more_than_the_stone_takes_goes_in_one_load_after_another():
    """Half a square metre takes ten of 0.05: 24 are three loads, each 20 min and hands to change them."""
    many = thing(low=200, high=300, portions=24)
    plan = planned(night(), (many,))
    assert [stay.portions for stay in plan.stays] == [10, 10, 4]
    assert [stay.in_s for stay in plan.stays] == [22 * HOUR, 22 * HOUR + 25 * MIN, 22 * HOUR + 50 * MIN]
    assert planned(night((person(22, 23),)), (many,)).short == {"loaves": 20}


def test_one_pair_of_hands_does_one_thing_at_a_time():
    two = (thing("a", high=300, portions=2), thing("b", high=300, portions=2))
    alone = planned(night((person(22, 24),)), two)
    assert len({stay.in_s for stay in alone.stays}) == 2
    both = planned(night((person(22, 24), person(21, 24))), two)
    assert {stay.in_s for stay in both.stays} == {22 * HOUR}


def test_a_thing_that_may_wait_makes_room_for_one_that_may_not():
    hot = thing("hot", low=290, high=300, portions=10)
    easy = thing("easy", low=200, high=300, portions=10)
    assert planned(night(), (easy, hot)).short == {}


def test_times_that_are_sure_are_taken_before_times_that_are_not():
    unsure = night(fall=straight(off_K=10.0))
    (stay,) = planned(unsure, (thing(low=250, high=290, portions=2),)).stays
    assert stay.sure and stay.in_s == 22 * HOUR + 50 * MIN  # 280 + 10 is 290
    tight = planned(unsure, (thing(low=275, high=290, portions=2),)).stays[0]
    assert not tight.sure


def test_why_something_does_not_fit_is_said():
    def why(one, of=None):
        return falling(of or night(), (one,), NOTHING).told[0].why

    assert "never from 400 to 450 °C" in why(thing(low=400, high=450))
    assert "nobody is there" in why(thing())
    assert "of 90 only 40 find room and hands" in why(thing(low=260, high=300, portions=90))
    assert "door ajar" in why(thing(door="ajar"))
    assert "its last minute" in why(thing(by_s=22.5 * HOUR), night((person(22, 34),)))


def planned_night():
    two = (person(22, 34), person(22, 34))
    short = thing("a", high=300, portions=4, turns_s=(600.0,), door="on")
    long = thing("b", low=150, high=290, portions=5, least=360, most=600, watched=True)
    things = {"a": short, "b": long}
    of = night(two)
    plan = planned(of, tuple(things.values()))
    assert plan.short == {} and broken(of, things, plan.stays) == ()
    return of, things, {stay.key: stay for stay in plan.stays}


def mutated(change):
    of, things, stays = planned_night()
    return change(of, things, stays)


BAD = {
    "the stone is": lambda n, t, s: (n, t, {**s, "a": replace(s["a"], in_s=97_200, out_s=98_400)}),
    "in for": lambda n, t, s: (n, t, {**s, "a": replace(s["a"], out_s=s["a"].out_s + 7200)}),
    "colder than": lambda n, t, s: (n, {**t, "b": replace(t["b"], least_C=270)}, s),
    "out at another time": lambda n, t, s: (n, {**t, "a": replace(t["a"], out_at_s=23 * HOUR)}, s),
    "out after": lambda n, t, s: (n, {**t, "a": replace(t["a"], by_s=22.1 * HOUR)}, s),
    "outside the night": lambda n, t, s: (replace(n, end_s=23 * HOUR), t, s),
    "over a live fire": lambda n, t, s: (
        replace(n, fires=replace(n.fires, lit=((21.9 * HOUR, 23 * HOUR),))), t, s),
    "without its door": lambda n, t, s: (replace(n, fires=replace(n.fires, door_on_s=None)), t, s),
    "behind a door": lambda n, t, s: (n, {**t, "a": replace(t["a"], door="off")}, s),
    "nobody there when it goes in": lambda n, t, s: (replace(n, people=(person(22.2, 34),) * 2), t, s),
    "nobody there when it comes out": lambda n, t, s: (replace(n, people=(person(22, 22.3),) * 2), t, s),
    "nobody there when it is turned": lambda n, t, s: (
        replace(n, people=(person(22, 22.1), person(22.2, 34))), t, s),
    "left alone": lambda n, t, s: (replace(n, people=(person(22, 25), person(26, 34))), t, s),
    "stand on 0.20": lambda n, t, s: (replace(n, usable_m2=0.2), t, s),
    "pairs of hands": lambda n, t, s: (
        replace(n, people=(person(22, 34),)), t, {**s, "b": replace(s["b"], in_s=s["a"].in_s)}),
    "of 4 are in": lambda n, t, s: (n, t, {**s, "a": replace(s["a"], portions=3)}),
    "before the coals are out": lambda n, t, s: (replace(n, fires=replace(n.fires, out_s=22.5 * HOUR)), t, s),
    "has no end": lambda n, t, s: (replace(n, fires=replace(n.fires, lit=((29 * HOUR, 29 * HOUR),))), t, s),
}  # fmt: skip


@pytest.mark.parametrize("told", BAD)
def test_the_checker_finds_every_kind_of_mistake(told):
    of, things, stays = mutated(BAD[told])
    assert any(told in words for words in broken(of, things, tuple(stays.values()))), told


def test_coals_out_and_door_on_want_somebody_who_tends_the_hearth():
    """People by their hours: from the first second of a shift up to, not with, its end."""
    tended = night((person(22, 22.5),), door_h=22.25)
    assert untended(tended) == () and falling(tended, (), NOTHING).broken == ()
    leaves = night((person(18, 22), person(22.25, 23)), door_h=22.25)
    (coals,) = untended(leaves)
    assert "the coals come out at 22:00" in coals and "nobody who tends the hearth" in coals
    (door,) = untended(night((person(22, 22.25), person(22, 34, "prep")), door_h=22.25))
    assert "the door goes on at 22:15" in door
    nobody = night((), door_h=None)
    gas = replace(nobody, fires=replace(nobody.fires, fuel="gas"))
    assert untended(gas) == falling(gas, (), NOTHING).broken and "the gas is shut" in untended(gas)[0]


def any_thing(key):
    return st.builds(
        lambda low, wide, portions, area, least, more, watched, turn, by, door: Thing(
            key, key, portions, area, low, low + wide, least * 300.0, (least + more) * 300.0,
            watched=watched, turns_s=(300.0,) if turn else (), by_s=by, door=door),
        st.floats(60, 280), st.floats(10, 120), st.integers(1, 30), st.floats(0.02, 0.5),
        st.integers(1, 100), st.integers(0, 60), st.booleans(), st.booleans(),
        st.none() | st.floats(23 * HOUR, 34 * HOUR), st.sampled_from(["any", "on", "off"]),
    )  # fmt: skip


PEOPLE = st.lists(st.tuples(st.integers(20, 33), st.integers(1, 10)), max_size=3)


@settings(max_examples=80, deadline=None)
@given(st.tuples(any_thing("a"), any_thing("b"), any_thing("c")), PEOPLE, st.floats(5, 40))
def test_any_plan_holds_by_the_checker(things, people, per_h):
    of = night([person(a, a + n) for a, n in people], fall=straight(per_h=min(per_h, 22), off_K=5))
    plan = planned(of, things)
    placed = {stay.key for stay in plan.stays}
    assert broken(of, {one.key: one for one in things}, plan.stays) == ()
    assert placed | set(plan.short) == {one.key for one in things} and not placed & set(plan.short)


@settings(max_examples=25, deadline=None)
@given(any_thing("a"), PEOPLE)
def test_the_times_to_go_in_are_those_that_the_checker_lets_stand(one, people):
    """Every pair of marks tried by brute force: a start is told if and only if some end holds."""
    of = night([person(a, a + n) for a, n in people])
    single = replace(one, portions=1, least_s=min(one.least_s, 3600.0), most_s=min(one.most_s, 7200.0))
    single = replace(single, most_s=max(single.most_s, single.least_s))
    marks = Marks(of)
    told = {stay.in_s for stay in stays_of(marks, single)}
    held = set()
    lengths = np.arange(single.least_s, single.most_s + 1, 300.0)
    for in_s, length_s in product(marks.times_s[:-1], lengths):
        stay = Stay("a", 1, float(in_s), float(in_s + length_s), True)
        # The planner keeps hands from a mark to the next; the checker looks at the instant.
        ends = (stay.in_s, stay.out_s, *(stay.in_s + turn for turn in single.turns_s))
        handed = all(any(p.from_s <= at and at + 300 <= p.until_s for p in of.people) for at in ends)
        if handed and stay.out_s + 300 <= of.end_s and not broken(of, {"a": single}, (stay,)):
            held.add(float(in_s))
    assert told == held
