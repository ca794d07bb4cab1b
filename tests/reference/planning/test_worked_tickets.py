"""Tickets whose right answer was worked by hand, and closed forms of what the limits allow."""

from __future__ import annotations

import math
from itertools import combinations

import pytest

from hearthtide.house.places import Outline
from hearthtide.planning.places import Places, bits
from hearthtide.planning.problem import Booked
from published import Published
from small_night import clock, places_of, plan_of, small_house, small_night, solved

pytestmark = pytest.mark.subject("planning")
BY_HAND = "trade scenario, by hand from its stated minutes"


def test_the_plain_tuesdays_ticket_b4(published: Published) -> None:
    """Pizza 3:00, steak 7:30 and 5:00 rest, shrimp 5:00, half chicken 12:00 and 2:00 rest, plating 0:45.

    Called 19:05, to land at 19:22. Source: trade scenario, worked by hand.
    """
    house = small_house()
    night = small_night(("B4", "19:05", "19:22", ("pizza", "steak", "shrimp", "chicken")))
    problem, schedule = solved(house, night)
    (booked,) = schedule.booked
    went_in = {placed.item.dish: placed.stays[0].start_s for placed in booked.placed}
    wanted = {"chicken": "19:07:15", "steak": "19:08:45", "shrimp": "19:16:15", "pizza": "19:18:15"}
    (landing,) = plan_of(house, night, problem, schedule).landings
    for what, time, found_s in (
        *((f"{dish} goes in", wanted[dish], went_in[dish]) for dish in wanted),
        ("landing", "19:22:00", booked.landing_s),
        ("earliest landing", "19:19:45", landing.earliest_s),
    ):
        published(
            f"ticket B4: {what}, after 19:00",
            BY_HAND,
            expected=clock(time) - clock("19:00"),
            computed=found_s - clock("19:00"),
            absolute=30,
            unit="s",
        )


def test_b4_wanted_at_once_lands_at_its_earliest_honest_minute(published: Published) -> None:
    """The same ticket wanted sooner than it can be: the longest dish decides (worked by hand)."""
    night = small_night(("B4", "19:05", "19:10", ("pizza", "steak", "shrimp", "chicken")))
    _, schedule = solved(small_house(), night)
    late_s = schedule.booked[0].landing_s - clock("19:19:45")
    what = "ticket B4 wanted at once: landing after its earliest honest minute"
    published(what, BY_HAND, expected=(0, 30), computed=late_s, unit="s")


@pytest.mark.parametrize(
    ("dish", "seconds"),
    [  # dress, stages, rest and plating summed by hand
        ("pizza", 25 + 180 + 45),
        ("steak", 450 + 300 + 45),
        ("shrimp", 300 + 45),
        ("chicken", 600 + 120 + 120 + 45),
        ("dip", 360 + 45),
    ],
)
def test_one_dish_alone_takes_its_handling_and_its_minutes(
    published: Published, dish: str, seconds: int
) -> None:
    _, schedule = solved(small_house(), small_night(("B4", "19:05", "19:06", (dish,))))
    # Never sooner than the sum, less what the hands may cut a stage short; the scan is 4 s coarse.
    took_s = schedule.booked[0].landing_s - clock("19:05")
    what, source, told = "a dish alone, call to landing", "sum by hand", (seconds - 15, seconds + 4)
    published(what, source, expected=told, computed=took_s, unit="s", at=f"{dish}, {seconds} s")


@pytest.mark.parametrize("recovery", ["45 s", "90 s", "3 min"])
def test_two_pizzas_on_one_spot_are_the_recovery_apart(published: Published, recovery: str) -> None:
    """Closed form: the second goes in once the first is out and the stone has had its pause."""
    tight = small_house(
        cooks=4,
        pizza_recovery=recovery,
        oven={
            "diameter": "90 cm",
            "crown_rise": "34 cm",
            "mouth_width": "40 cm",
            "mouth_height": "20 cm",
            "burners": [{"kind": "ribbon", "bearing": "0 deg", "length": "30 cm", "standoff": "2 cm"}],
        },
    )
    pause = {"45 s": 45, "90 s": 90, "3 min": 180}[recovery]
    night = small_night(*((f"A{n}", "18:00", "18:05", ("pizza",)) for n in range(5)))
    problem, schedule = solved(tight, night)
    stays = sorted(
        (stay for b in schedule.booked for p in b.placed for stay in p.stays), key=lambda s: s.start_s
    )
    apart = [
        later.start_s - earlier.held_until_s
        for earlier, later in combinations(stays, 2)
        if problem.places.conflicts[earlier.place] >> later.place & 1
    ]
    assert apart
    # And no longer than needed: the scan of ready times is 10 s coarse here.
    what, told = "pause of the stone between two pizzas on one spot", (pause, pause + 15)
    published(what, "closed form", expected=told, computed=min(apart), unit="s", at=f"rests {recovery}")


NARROW = {"near_from": "6 cm", "mid_from": "9 cm", "edge_from": "45 cm", "mouth_depth": "12 cm"}


def most_apart(places: Places, mask: int) -> int:
    """How many of these places can be used at once: every set tried, largest first."""
    some = bits(mask)
    for size in range(1, 7):
        if not any(independent(places, chosen, size) for chosen in starts(some)):
            return size - 1
    raise AssertionError("more than six: choose a narrower zone")


def starts(some: list[int]) -> list[list[int]]:
    return [some[i:] for i in range(len(some))]


def independent(places: Places, some: list[int], size: int) -> bool:
    """Whether the first of `some` and size - 1 later ones do not shut each other out."""
    if size == 1:
        return bool(some)
    free = [q for q in some[1:] if not places.conflicts[some[0]] >> q & 1]
    return any(independent(places, rest, size - 1) for rest in starts(free))


@pytest.mark.parametrize("steaks", [1, 2, 3, 4, 5, 7])
def test_steaks_go_in_waves_of_as_many_as_fit_near_the_flame(published: Published, steaks: int) -> None:
    """Closed form: with room for w platters by the flame k steaks take ceil(k / w) times one stay."""
    house = small_house(cooks=6, platters=None, zones=NARROW)
    at_once = most_apart(places_of(house), places_of(house).mask(Outline(0, 0, 0.13), ("near",), 0.0))
    assert at_once == 3
    night = small_night(*((f"A{n}", "18:00", "18:01", ("steak",)) for n in range(steaks)))
    _, schedule = solved(house, night)
    waves = math.ceil(steaks / at_once)
    last = max(b.landing_s for b in schedule.booked)
    # 345 s of rest and plating after the last wave.
    # A stay may be 15 s short for the sake of the hands and is held 8 s by the pull;
    # ready times are tried 10 to 30 s apart.
    published(
        "steaks with room for three by the flame: last landing, from the call",
        "closed form",
        expected=(345 + waves * (450 - 15), 345 + waves * (450 + 8 + 30)),
        computed=last - clock("18:00"),
        unit="s",
        at=f"{steaks} of them",
    )
    assert most_at_once(schedule.booked) <= at_once


def most_at_once(booked: tuple[Booked, ...]) -> int:
    stays = [stay for b in booked for p in b.placed for stay in p.stays]
    return max(sum(s.start_s <= at.start_s < s.held_until_s for s in stays) for at in stays)


def test_one_pair_of_hands_lands_pizzas_no_faster_than_it_can_move(published: Published) -> None:
    """Closed form: 89 s of hands a pizza (25 + 10 + 2 * 12 + 8 + 22), all done before the last landing."""
    night = small_night(*((f"A{n}", "18:00", "18:01", ("pizza",)) for n in range(5)))
    _, schedule = solved(small_house(cooks=1), night)
    last_s = max(b.landing_s for b in schedule.booked) - clock("18:00")
    what = "five pizzas and one pair of hands: last landing, from the call"
    published(what, "closed form", expected=(5 * 89, math.inf), computed=last_s, unit="s")
