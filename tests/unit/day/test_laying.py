"""Trays laid into a window: closed forms where all is alike, every order of a few, what stands against."""

from dataclasses import replace
from itertools import pairwise, permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.day.laying import MINUTE_S, Window, _laid, alike, lay
from hearthtide.day.load import Tray
from hearthtide.house.rota_file import Hours
from hearthtide.planning.places import Places

EIGHT = 8 * 3600
PLACES = Places((), (0b01, 0b10))  # two places that do not shut each other out


def tray(key: str, minutes: int = 30, **more) -> Tray:
    made = Tray(
        key=key,
        kind=f"k{minutes}",
        dish=str(minutes),
        portions=4,
        mass_kg=1.6,
        masks=(0b11,),
        turns=(),
        rest_s=0,
        of_kind=99,
        stone_from_C=20.0,
        stone_to_C=500.0,
        raw=False,
        ready_to_eat=False,
    )
    return replace(made, **more)


def window(hours: float = 4.0, names=("Ana", "Ben", "Cleo"), **more) -> Window:
    people = tuple(Hours(name, EIGHT, EIGHT + 10 * 3600, frozenset({"hearth"})) for name in names)
    act_s = {"put in": 45, "turn": 45, "take out": 45}
    made = Window(EIGHT, EIGHT + round(3600 * hours), people, PLACES, act_s)
    return replace(made, **more)


def minutes_of(one: Tray, _place: int, _time_s: int) -> float:
    return 60.0 * int(one.dish)


def test_like_trays_on_like_places_take_as_long_as_their_share_of_rounds():
    """n equal jobs on m machines end after ceil(n/m) of them (McNaughton 1959), and hands' time between."""
    laid = lay([tray(f"t{i}") for i in range(6)], window(), minutes_of, 20)
    assert not laid.left
    between_s = 5 * MINUTE_S  # the next start that is tried
    assert 3 * 1800 <= laid.last_out_s - EIGHT <= 3 * 1800 + 2 * between_s


def test_no_order_of_a_few_trays_ends_sooner():
    """Against every order of five, laid one after the other."""
    some = [tray(f"t{m}", m) for m in (50, 40, 30, 30, 20)]
    best = min(_laid(order, window(), minutes_of).last_out_s for order in permutations(some))
    assert lay(some, window(), minutes_of, 60).last_out_s == best


def test_the_same_trays_give_the_same_answer():
    some = [tray(f"t{i}", 20 + i) for i in range(7)]
    assert lay(some, window(), minutes_of, 12) == lay(some, window(), minutes_of, 12)


@pytest.mark.parametrize(
    ("asked", "more", "why"),
    [
        (lambda *_: "never done", {}, "never done"),
        (lambda *_: "too dark", {}, "too dark"),
        (lambda *_: "too cold", {}, "too cold"),
        (minutes_of, {"people": ()}, "hands"),
        (minutes_of, {"until_s": EIGHT + 25 * MINUTE_S}, "time"),
    ],
)
def test_what_stands_against_a_tray_is_named(asked, more, why):
    (left,) = lay([tray("t")], window(**more), asked, 0).left
    assert left.why == why


def test_trays_of_a_kind_are_used_again_once_they_are_empty():
    some = [tray(f"t{i}", of_kind=1, rest_s=600) for i in range(3)]
    loads = lay(some, window(), minutes_of, 0).loads
    assert all(later.in_s >= sooner.out_s + 600 for sooner, later in pairwise(loads))


def test_nobody_is_at_two_trays_at_once_nor_beyond_their_hours():
    short = Hours("Ana", EIGHT, EIGHT + 3600, frozenset({"hearth"}))
    laid = lay([tray(f"t{i}", turns=(0.5,)) for i in range(6)], window(people=(short,)), minutes_of, 10)
    acts = sorted((h.from_s, h.until_s) for load in laid.loads for h in load.hands)
    assert all(sooner[1] <= later[0] for sooner, later in pairwise(acts))
    assert laid.left and max(end for _, end in acts) <= EIGHT + 3600


def test_what_is_raw_keeps_its_distance_from_what_is_ready_to_eat():
    beside = Places((), (0b01, 0b10))
    beside.__dict__["splash"] = (0b11, 0b11)  # each within reach of the other's juices
    raw, ready = tray("raw", raw=True), tray("ready", 20, ready_to_eat=True)
    one, other = lay([raw, ready], window(places=beside), minutes_of, 0).loads
    assert other.in_s >= one.out_s


def test_nothing_raw_is_set_down_beside_what_comes_out_cooked_soon_after():
    """A bird may go in after 30 min, roots want 33: with both at once it would be set down 3 min before."""
    beside = Places((), (0b01, 0b10))
    beside.__dict__["splash"] = (0b11, 0b11)
    roots, bird = tray("roots", 33), tray("bird", 20, raw=True, stone_from_C=0.0)

    def once_hot(one, _place, time_s):
        return "too cold" if one.raw and time_s < EIGHT + 30 * 60 else 60.0 * int(one.dish)

    laid = lay([roots, bird], window(places=beside), once_hot, 0)
    where = {load.tray.key: load for load in laid.loads}
    assert not laid.left
    meets = where["roots"].in_s <= where["bird"].in_s < where["roots"].out_s
    assert not meets or where["roots"].out_s - where["bird"].in_s >= 300
    apart = Places((), (0b01, 0b10))
    apart.__dict__["splash"] = (0b01, 0b10)  # out of each other's reach: both as soon as they may
    near = lay([roots, bird], window(places=apart), once_hot, 0)
    assert {load.tray.key: load.in_s for load in near.loads} == {"roots": EIGHT, "bird": EIGHT + 1800}


@given(st.lists(st.integers(5, 70), min_size=1, max_size=14), st.integers(1, 3), st.integers(0, 999))
@settings(max_examples=60, deadline=None)
def test_any_trays_are_laid_or_left_and_never_in_one_place_at_once(minutes, hands, seed):
    names = ("Ana", "Ben", "Cleo")[:hands]
    some = [tray(f"t{i}", m) for i, m in enumerate(minutes)]
    laid = lay(some, window(3.0, names), minutes_of, 5, seed)
    assert sorted([x.tray.key for x in laid.loads] + [x.tray.key for x in laid.left]) == sorted(
        x.key for x in some
    )
    for place in (0, 1):
        spans = sorted((x.in_s, x.out_s + 45) for x in laid.loads if x.place == place)
        assert all(sooner[1] <= later[0] for sooner, later in pairwise(spans))
    assert all(x.out_s + 45 <= EIGHT + 3 * 3600 for x in laid.loads)


def test_more_of_a_kind_than_the_window_takes_is_asked():
    asked = alike(tray("t", 55))
    assert len(lay(asked, window(2.0), minutes_of, 0).loads) == 4 < len(asked)
