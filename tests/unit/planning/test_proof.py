"""Every fault the proof of a schedule knows, each on a schedule put together by hand that has no other."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

import by_hand as by
from by_hand import (
    SIX,
    done,
    faults,
    honest,
    item,
    problem,
    schedule,
    stage,
    with_act,
    with_placed,
    with_stay,
)
from hearthtide.planning.problem import (
    Bank,
    Begun,
    Booked,
    Chore,
    Closed,
    Handle,
    Handling,
    Hands,
    Item,
    Placed,
    Problem,
    Reality,
    Recourse,
    Schedule,
)
from hearthtide.planning.proof.prove import NAMES

STEAK = item("A1-1", stage(300, by.NEAR_L, by.FAR, handles=(Handle("flip", 0.5),)), rest_s=120)
SHRIMP = item("B2-1", stage(200, by.NEAR_R, by.BEHIND, by.CLOSE_BY, handles=(Handle("spin", 0.5),)))
PIZZA = item(
    "C3-1",
    stage(180, by.NEAR_L, by.FAR, by.CLOSE_BY, handles=(Handle("turn", 0.4), Handle("turn", 0.7))),
    dressed=True,
    cut=True,
    on_stone=True,
)
CHICKEN = item("D4-1", stage(400, by.NEAR_L, by.NEAR_R), stage(100, by.FAR, by.BEHIND))
PLATTER = item("E5-1", stage(120, by.NEAR_L, by.NEAR_R), stage(200, by.NEAR_L, by.NEAR_R, stays=True))


def alone(one: Item, start_s: int, *places: int) -> tuple[Problem, Schedule, Placed]:
    on, placed = problem(one), done(one, start_s, *places)
    return on, schedule(on, placed), placed


def changed(on: Problem, plan: Schedule, placed: Placed) -> set[str]:
    return faults(on, honest(on, with_placed(plan, placed)))


def two(a: Placed, b: Placed, **more: object) -> set[str]:
    on = problem(a.item, b.item, **more)
    return faults(on, schedule(on, a, b))


@pytest.mark.parametrize(
    "placed",
    [
        done(STEAK, SIX + 100, by.NEAR_L),
        done(SHRIMP, SIX, by.BEHIND),
        done(PIZZA, SIX + 25, by.FAR),
        done(CHICKEN, SIX + 50, by.NEAR_L, by.FAR),
        done(PLATTER, SIX + 50, by.NEAR_R, by.NEAR_R),
    ],
)
def test_a_dish_done_to_the_second_has_no_fault(placed: Placed) -> None:
    on = problem(placed.item)
    assert faults(on, schedule(on, placed)) == set()


def test_every_name_a_fault_may_have_is_tried_in_this_file() -> None:
    text = Path(__file__).read_text(encoding="utf-8")
    assert [name for name in NAMES if f'{{"{name}"' not in text and f', "{name}"' not in text] == []


# --- orders, calls, landings -----------------------------------------------------------------------


def test_a_plate_missing_doubled_or_strange() -> None:
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    other = problem(STEAK, SHRIMP)
    assert faults(other, plan) == {"orders"}
    stranger = replace(placed, item=replace(STEAK, rest_s=120, hold_s=1000))
    assert changed(on, plan, stranger) == {"orders"}
    (once,) = plan.booked
    again = Booked(replace(once.order, key="A1/2"), (by.shifted(placed, 400),), once.landing_s + 400)
    assert "orders" in faults(on, honest(on, replace(plan, booked=(once, again))))
    assert "orders" in faults(on, honest(on, replace(plan, booked=(once, once))))
    wrong = Booked(replace(once.order, items=(SHRIMP,)), once.placed, once.landing_s)
    assert faults(on, honest(on, replace(plan, booked=(wrong,)))) == {"orders"}


def test_a_ticket_cut_into_drops_is_as_ordered_but_not_with_other_terms() -> None:
    on, plan, _ = alone(STEAK, SIX, by.NEAR_L)
    (once,) = plan.booked
    drop = replace(once.order, key="A1/1", drop=1)
    assert faults(on, honest(on, replace(plan, booked=(replace(once, order=drop),)))) == set()
    later = replace(once.order, wanted_s=once.order.wanted_s + 60)
    assert faults(on, honest(on, replace(plan, booked=(replace(once, order=later),)))) == {"orders"}


def test_touched_before_it_is_called() -> None:
    on, plan, placed = alone(PIZZA, SIX + 200, by.FAR)
    on = replace(on, from_s=SIX - 600)
    for start_s, found in ((SIX + 25, set()), (SIX + 24, {"called"})):
        assert changed(on, plan, by.shifted(placed, start_s - SIX - 200)) == found


def test_a_landing_that_does_not_add_up() -> None:
    on, plan, _ = alone(STEAK, SIX, by.NEAR_L)
    (once,) = plan.booked
    for by_s in (-1, 1):
        moved = replace(once, landing_s=once.landing_s + by_s)
        assert faults(on, honest(on, replace(plan, booked=(moved,)))) == {"landing"}


def test_a_landing_waits_for_the_last_act_and_for_its_minute() -> None:
    on, plan, placed = alone(PIZZA, SIX + 100, by.FAR)
    late = with_act(placed, "cut", start_s=placed.leave_s + 60)
    assert changed(on, plan, late) == set()  # lands at the end of the cut, not 45 s after the pull
    order = replace(on.orders[0], not_before_s=SIX + 1000)
    on = replace(on, orders=(order,))
    plan = schedule(on, placed)
    assert plan.booked[0].landing_s == SIX + 1000 and faults(on, plan) == set()
    early = replace(plan.booked[0], landing_s=placed.ready_s + 45)
    assert faults(on, honest(on, replace(plan, booked=(early,)))) == {"landing", "not before"}


def test_a_rest_cut_short_or_drawn_out() -> None:
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    for rest_s, found in ((119, {"rest"}), (120, set()), (150, set()), (151, {"rest"})):
        assert changed(on, plan, replace(placed, ready_s=placed.leave_s + rest_s)) == found
    assert "rest" in changed(on, plan, replace(placed, leave_s=placed.leave_s - 5))


# --- hands ----------------------------------------------------------------------------------------


def test_two_acts_at_once_need_two_cooks_or_one_hand_each() -> None:
    a, b = done(SHRIMP, SIX, by.NEAR_R), done(STEAK, SIX - 50, by.NEAR_L)  # both at half time at 18:01:40
    on = problem(SHRIMP, STEAK, from_s=SIX - 600)
    on = replace(on, orders=tuple(replace(o, called_s=SIX - 600) for o in on.orders))
    assert faults(on, schedule(on, a, b)) == {"hands"}
    other = replace(b, handlings=tuple(replace(h, cook=1) for h in b.handlings))
    assert faults(on, schedule(on, a, other)) == set()
    one_handed = replace(on, one_handed=frozenset({"spin", "flip"}))
    assert faults(one_handed, schedule(one_handed, a, b)) == set()
    assert faults(replace(on, one_handed=frozenset({"spin"})), schedule(on, a, b)) == {"hands"}
    third = item("F6-1", stage(200, by.BEHIND, handles=(Handle("spin", 0.5),)))
    c = done(third, SIX, by.BEHIND)
    c = replace(c, handlings=tuple(replace(h, cook=int(h.act != "spin")) for h in c.handlings))
    three = replace(one_handed, orders=(*on.orders, replace(problem(third).orders[0], called_s=SIX - 600)))
    assert faults(three, schedule(three, a, b, c)) == {"hands"}


def test_skills_and_seconds_are_each_cooks_own() -> None:
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    assert changed(on, plan, with_act(placed, "flip", cook=2)) == {"hands"}
    no_flip = replace(on, cooks=(Hands("Cook", frozenset({"launch", "pull"})),))
    assert faults(no_flip, plan) == {"hands"}
    assert changed(on, plan, with_act(placed, "flip", hands_s=9)) == {"hands"}
    slow = replace(on, cooks=(Hands("Cook", frozenset(by.ACTS), {"flip": 15}),))
    assert faults(slow, plan) == {"hands"}
    assert faults(slow, honest(slow, with_placed(plan, with_act(placed, "flip", hands_s=15)))) == set()


def test_nothing_is_planned_before_now_or_while_a_cook_is_taken() -> None:
    on, plan, _ = alone(STEAK, SIX + 10, by.NEAR_L)
    assert faults(on, plan, Reality(SIX + 10)) == set()
    assert faults(on, plan, Reality(SIX + 11)) == {"before now"}
    assert faults(replace(on, from_s=SIX + 11), plan) == {"before now"}
    assert faults(on, plan, Reality(SIX, (), (SIX + 10, SIX + 900))) == set()
    assert faults(on, plan, Reality(SIX, (), (SIX + 11,))) == {"hands"}


def test_chores_are_done_once_and_in_their_span() -> None:
    on, plan, _ = alone(STEAK, SIX, by.NEAR_L)
    on = replace(on, chores=(Chore("flame", SIX + 50, 10, "flame up"),))
    assert faults(on, plan) == {"chores"}
    for start_s, found in ((SIX + 40, set()), (SIX + 60, set()), (SIX + 61, {"chores"})):
        act = Handling(start_s, 6, 0, "flame", -1)
        assert faults(on, replace(plan, chores=(act,))) == found
    act = Handling(SIX + 50, 6, 0, "flame", -1)
    assert faults(on, replace(plan, chores=(act, replace(act, start_s=SIX + 56)))) == {"chores"}
    assert faults(on, replace(plan, chores=(replace(act, hands_s=5),))) == {"hands"}
    busy = replace(act, start_s=SIX + 45)
    meets = with_act(plan.booked[0].placed[0], "flip", start_s=SIX + 140)
    assert faults(on, honest(on, replace(with_placed(plan, meets), chores=(busy,)))) == set()
    on = replace(on, chores=(Chore("flame", SIX + 150, 10, "flame up"),))
    assert faults(on, replace(plan, chores=(replace(act, start_s=SIX + 150),))) == {"hands"}


# --- acts and stages ------------------------------------------------------------------------------


@pytest.mark.parametrize("act", ["dress", "launch", "turn", "pull", "cut"])
def test_an_act_left_out_or_done_twice(act: str) -> None:
    on, plan, placed = alone(PIZZA, SIX + 100, by.FAR)
    own = next(h for h in placed.handlings if h.act == act)
    want = {"turns"} if act == "turn" else {"acts"}
    without = replace(placed, handlings=tuple(h for h in placed.handlings if h != own))
    assert want <= changed(on, plan, without)
    doubled = replace(placed, handlings=(*placed.handlings, replace(own, cook=1)))
    assert want <= changed(on, plan, doubled)


def test_acts_out_of_order_or_of_another_stage() -> None:
    on, plan, placed = alone(PIZZA, SIX + 100, by.FAR)
    for wait_s, found in ((0, set()), (90, set()), (91, {"acts"}), (-1, {"acts"})):
        dressed = with_act(placed, "dress", start_s=SIX + 75 - wait_s, cook=1)
        before = replace(on, from_s=SIX - 60, orders=(replace(on.orders[0], called_s=SIX - 60),))
        assert faults(before, honest(before, with_placed(schedule(before, placed), dressed))) == found
    assert "acts" in changed(on, plan, with_act(placed, "cut", start_s=placed.leave_s - 1, cook=1))
    assert "acts" in changed(on, plan, with_act(placed, "launch", act="move"))
    assert "acts" in changed(on, plan, with_act(placed, "cut", stage=0))
    assert "acts" in changed(on, plan, with_act(placed, "cut", act="flame"))
    assert "acts" in changed(on, plan, with_act(placed, "turn", stage=3))
    assert "acts" in changed(on, plan, with_act(placed, "turn", stage=-1))


def test_two_people_at_one_plate() -> None:
    on, plan, placed = alone(PIZZA, SIX + 100, by.FAR)
    together = with_act(placed, "cut", start_s=placed.leave_s + 7, cook=1)
    assert changed(on, plan, together) == {"acts"}


def test_stages_missing_doubled_or_of_another_item() -> None:
    on, plan, placed = alone(CHICKEN, SIX, by.NEAR_L, by.FAR)
    short = replace(placed, stays=placed.stays[:1])
    assert "acts" in changed(on, plan, short)
    assert "acts" in changed(on, plan, replace(placed, stays=()))
    assert changed(on, plan, with_stay(placed, 0, item="X")) == {"acts"}
    assert changed(on, plan, with_stay(placed, 0, on_stone=True)) == {"acts"}
    assert "acts" in changed(on, plan, with_stay(placed, 1, stage=0))


def test_a_stay_that_is_not_as_its_acts_say() -> None:
    on, plan, placed = alone(CHICKEN, SIX, by.NEAR_L, by.FAR)
    first, second = placed.stays
    assert "stay" in changed(on, plan, with_stay(placed, 0, start_s=first.start_s + 1))
    assert changed(on, plan, with_stay(placed, 0, held_until_s=first.end_s)) == {"stay"}
    assert changed(on, plan, with_stay(placed, 1, held_until_s=second.end_s)) == {"stay"}
    assert "stay" in changed(on, plan, with_stay(placed, 0, end_s=first.end_s - 3))


def test_a_stage_outside_its_band() -> None:
    # 300 s may be 12 s short or long (4 %, 3 to 15 s).
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    for off_s, found in ((-13, {"stage"}), (-12, set()), (12, set()), (13, {"stage"})):
        assert changed(on, plan, ended(placed, off_s)) == found
    own = replace(
        STEAK, stages=(stage(300, by.NEAR_L, handles=STEAK.stages[0].handles, early_s=0, late_s=60),)
    )
    on, plan, placed = alone(own, SIX, by.NEAR_L)
    for off_s, found in ((-1, {"stage"}), (60, set()), (61, {"stage"})):
        assert changed(on, plan, ended(placed, off_s)) == found
    asked = with_stay(placed, 0, asked_s=299)
    assert changed(on, plan, asked) == {"stage"}


def ended(placed: Placed, off_s: int) -> Placed:
    """The item of one stage pulled so much later."""
    (stay,) = placed.stays
    later = replace(stay, end_s=stay.end_s + off_s, held_until_s=stay.held_until_s + off_s)
    pulled = with_act(placed, "pull", start_s=later.end_s)
    return replace(pulled, stays=(later,), leave_s=later.end_s, ready_s=placed.ready_s + off_s)


def test_a_paced_stage_and_the_next_half_hour_ask_other_seconds() -> None:
    paced = replace(STEAK, pace=(1.1,))
    placed = done(STEAK, SIX, by.NEAR_L)
    slow = replace(placed, item=paced)
    assert faults(problem(paced), schedule(problem(paced), slow)) == {"stage"}
    longer = replace(ended(slow, 30), stays=(replace(ended(slow, 30).stays[0], asked_s=330),))
    assert faults(problem(paced), schedule(problem(paced), longer)) == set()
    bins = (STEAK.stages[0].choices[0], stage(400, by.NEAR_L).choices[0])
    two_bins = replace(STEAK, stages=(replace(STEAK.stages[0], choices=bins),))
    for start_s, found in ((SIX + 1499, set()), (SIX + 1500, {"stage"})):
        on = problem(two_bins)
        assert faults(on, schedule(on, done(two_bins, start_s, by.NEAR_L))) == found


def test_a_turn_away_from_its_moment() -> None:
    # Half of 300 s is 150 s after the launch; 45 s (15 %) are given, and one for rounding.
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    for off_s, found in ((-47, {"turns"}), (-46, set()), (46, set()), (47, {"turns"})):
        assert changed(on, plan, with_act(placed, "flip", start_s=SIX + 150 + off_s)) == found
    assert "turns" in changed(on, plan, with_act(placed, "flip", act="spin"))
    quick = item("A1-1", stage(20, by.NEAR_L, handles=(Handle("flip", 0.5),)))
    on, plan, placed = alone(quick, SIX, by.NEAR_L)
    assert changed(on, plan, placed) == set()
    assert "turns" in changed(on, plan, with_act(placed, "flip", start_s=SIX + 11))  # runs into the pull


def test_a_wait_off_the_hearth_no_longer_than_the_dish_bears() -> None:
    def waiting(buffer_s: int, wait_s: int) -> set[str]:
        first, second = CHICKEN.stages
        own = replace(CHICKEN, stages=(first, replace(second, buffer_s=buffer_s)))
        on = problem(own)
        return faults(on, schedule(on, parked(done(own, SIX, by.NEAR_L, by.FAR), wait_s)))

    assert waiting(60, 60) == set()
    assert waiting(60, 61) == {"wait"}
    assert waiting(0, 10) == {"wait"}
    assert "wait" in waiting(60, -1)


def parked(placed: Placed, wait_s: int) -> Placed:
    """The two-stage item pulled after its first stage and launched again so much later."""
    first, second = placed.stays
    on_s = first.end_s + 8 + wait_s
    gone = on_s - second.start_s
    acts = [h for h in placed.handlings if h.act not in ("move", "pull")]
    acts += [
        Handling(first.end_s, 8, 0, "pull", 0),
        Handling(on_s, 10, 0, "launch", 1),
        Handling(second.end_s + gone, 8, 0, "pull", 1),
    ]
    stays = (
        replace(first, held_until_s=first.end_s + 8),
        replace(
            second,
            start_s=on_s,
            end_s=second.end_s + gone,
            held_until_s=second.held_until_s + gone,
        ),
    )
    late = placed.leave_s + gone
    return replace(
        placed, stays=stays, handlings=tuple(acts), leave_s=late, ready_s=late + placed.item.rest_s
    )


# --- the stone ------------------------------------------------------------------------------------


def test_a_spot_that_is_none_or_not_asked_for() -> None:
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    assert changed(on, plan, with_stay(placed, 0, place=by.NEAR_R)) == {"place"}
    for nowhere in (-1, len(by.SPOTS)):
        assert changed(on, plan, with_stay(placed, 0, place=nowhere)) == {"place"}
    out = item("A1-1", stage(300, by.OFF))
    assert alone_faults(done(out, SIX, by.OFF)) == {"place"}  # 3 cm of it hang out of the mouth
    loaded = done(PLATTER, SIX, by.NEAR_L, by.NEAR_R)
    assert alone_faults(loaded) == {"place"}
    nowhere_to = replace(STEAK, stages=(replace(STEAK.stages[0], choices=((),)),))
    assert "place" in alone_faults(replace(placed, item=nowhere_to))


def alone_faults(placed: Placed) -> set[str]:
    on = problem(placed.item)
    return faults(on, schedule(on, placed))


def test_a_spot_that_is_shut() -> None:
    placed = done(STEAK, SIX, by.NEAR_L)  # held until 308 s
    for mask, from_s, until_s, found in (
        (1 << by.NEAR_L, 0, 1, {"closed"}),
        (1 << by.NEAR_L, 307, 400, {"closed"}),
        (1 << by.NEAR_L, 308, 400, set()),
        (1 << by.NEAR_R, 0, 400, set()),
    ):
        on = problem(STEAK, closed=(Closed(mask, SIX + from_s, SIX + until_s),))
        assert faults(on, schedule(on, placed)) == found


def test_two_things_on_one_patch_of_stone() -> None:
    a = done(STEAK, SIX, by.NEAR_L)
    other = item("B2-1", stage(200, by.NEAR_L, by.FAR, by.CLOSE_BY))
    for place, start_s, found in (
        (by.NEAR_L, SIX + 299, {"overlap", "hands"}),
        (by.NEAR_L, SIX + 200, {"overlap"}),
        (by.NEAR_L, SIX + 308, set()),
        (by.CLOSE_BY, SIX + 200, set()),
    ):
        assert two(a, done(other, start_s, place)) == found, (place, start_s)
    assert two(a, done(other, SIX + 200, by.NEAR_L), stone_binds=False) == set()
    near = by.SPOTS[by.CLOSE_BY]
    for y, found in ((0.6699, {"overlap"}), (0.67, set())):  # 27 cm between middles leave 1 cm
        spots = tuple(replace(near, y_m=y) if s == near else s for s in by.SPOTS)
        on = problem(STEAK, other)
        on = replace(on, places=replace(on.places, spots=spots))
        assert faults(on, schedule(on, a, done(other, SIX + 200, by.CLOSE_BY))) == found, y


def test_bare_dough_on_stone_that_has_not_rested() -> None:
    second = replace(PIZZA, key="D4-1", ticket="D4")
    a = done(PIZZA, SIX + 25, by.FAR)  # held until 18:03:33
    gone_s = SIX + 25 + 180 + 8
    for pause_s, found in ((44, {"stone rest"}), (45, set())):
        assert two(a, cook_1(done(second, gone_s + pause_s, by.FAR))) == found
    assert two(a, cook_1(done(second, gone_s + 5, by.NEAR_L))) == set()
    own = replace(PIZZA, stages=(stage(180, by.FAR, handles=PIZZA.stages[0].handles, recovery_s=90),))
    a = replace(a, item=own)
    for pause_s, found in ((89, {"stone rest"}), (90, set())):
        assert two(a, cook_1(done(second, gone_s + pause_s, by.FAR))) == found
    pan = item("D4-1", stage(180, by.FAR))
    assert two(a, cook_1(done(pan, gone_s, by.FAR))) == set()  # what stands in a pan does not mind


def cook_1(placed: Placed) -> Placed:
    return replace(placed, handlings=tuple(replace(h, cook=1) for h in placed.handlings))


def test_nothing_is_handled_behind_a_tall_item() -> None:
    pot = item("A1-1", stage(300, by.NEAR_R), tall=True)
    shrimp = item("B2-1", stage(200, by.BEHIND, by.FAR, by.NEAR_L))
    placed = done(pot, SIX + 20, by.NEAR_R)
    assert two(placed, cook_1(done(shrimp, SIX + 100, by.BEHIND))) == {"tall"}
    assert two(placed, cook_1(done(shrimp, SIX + 100, by.FAR))) == set()
    assert two(placed, cook_1(done(shrimp, SIX + 328, by.BEHIND))) == set()  # once it is gone
    low = replace(placed, item=replace(pot, tall=False))
    assert two(low, cook_1(done(shrimp, SIX + 100, by.BEHIND))) == set()
    quiet = cook_1(done(item("B2-1", stage(400, by.BEHIND)), SIX, by.BEHIND))
    assert two(placed, quiet) == set()  # launched before and pulled after it


def test_raw_and_allergens_keep_their_distance() -> None:
    raw = item("A1-1", stage(300, by.NEAR_L), spits=frozenset({"raw"}))
    ready = item("B2-1", stage(200, by.CLOSE_BY, by.FAR, by.NEAR_R), guards=frozenset({"raw"}))
    placed = done(raw, SIX, by.NEAR_L)
    for place, found in ((by.CLOSE_BY, {"splash"}), (by.FAR, set()), (by.NEAR_R, set())):
        assert two(placed, cook_1(done(ready, SIX + 100, place))) == found
    assert two(placed, cook_1(done(ready, SIX + 308, by.CLOSE_BY))) == set()
    other = replace(ready, guards=frozenset({"shellfish"}))
    assert two(placed, cook_1(done(other, SIX + 100, by.CLOSE_BY))) == set()
    turned_round = done(replace(raw, spits=frozenset(), guards=frozenset({"raw"})), SIX, by.NEAR_L)
    spitting = replace(ready, guards=frozenset(), spits=frozenset({"raw"}))
    assert two(turned_round, cook_1(done(spitting, SIX + 100, by.CLOSE_BY))) == {"splash"}


def test_bare_stone_an_allergen_has_lain_on_is_spoilt_for_the_night() -> None:
    nuts = replace(PIZZA, spits=frozenset({"nuts"}))
    plain = replace(PIZZA, key="D4-1", ticket="D4", guards=frozenset({"nuts"}))
    first = done(nuts, SIX + 25, by.FAR)
    later_s = SIX + 3000
    assert two(first, done(plain, later_s, by.FAR)) == {"splash"}
    assert two(first, done(plain, later_s, by.NEAR_L)) == set()
    assert two(done(nuts, later_s, by.FAR), done(plain, SIX + 25, by.FAR)) == set()
    in_a_pan = item("D4-1", stage(180, by.FAR), guards=frozenset({"nuts"}))
    assert two(first, done(in_a_pan, later_s, by.FAR)) == set()


def test_no_more_platters_than_the_bank_has() -> None:
    a, b = replace(STEAK, from_bank=True), replace(SHRIMP, from_bank=True)
    first = done(a, SIX, by.NEAR_L)  # ready at 18:07, lands 18:07:45, back hot 18:10:45
    for start_s, found in ((SIX + 644, {"platters"}), (SIX + 645, set())):
        assert two(first, done(b, start_s, by.NEAR_R), bank=Bank(1, 180)) == found
    assert two(first, done(b, SIX + 20, by.NEAR_R), bank=Bank(2, 180)) == set()
    assert two(first, done(b, SIX + 20, by.NEAR_R)) == set()


# --- what has begun -------------------------------------------------------------------------------


NOW = SIX + 200


def begun_chicken(**changed_stay: int) -> tuple[Problem, Placed, Reality]:
    """Chicken launched at six, now 200 s into its 400 s; its move is not told yet."""
    placed = done(CHICKEN, SIX, by.NEAR_L, by.FAR)
    stay = replace(placed.stays[0], **changed_stay)
    return problem(CHICKEN), placed, Reality(NOW, (Begun("D4-1", (stay,), placed.handlings[:1]),))


def test_started_work_unmoved_and_the_told_minute_kept() -> None:
    on, placed, reality = begun_chicken()
    plan = schedule(on, placed)
    assert faults(on, plan, reality) == set()
    moved = honest(on, with_placed(plan, with_stay(placed, 0, place=by.NEAR_R)))
    assert faults(on, moved, reality) == {"begun"}
    assert "begun" in faults(on, honest(on, with_placed(plan, by.shifted(placed, 5))), reality)
    assert "begun" in faults(on, replace(plan, booked=()), reality)
    begun = reality.begun[0]
    told = Reality(NOW, (replace(begun, handlings=placed.handlings[:2], stays=placed.stays),))
    assert faults(on, plan, told) == set()
    elsewhere = honest(on, with_placed(plan, with_stay(placed, 1, place=by.BEHIND)))
    assert faults(on, elsewhere, told) == {"told"}
    later = with_act(placed, "move", start_s=SIX + 401)
    assert "told" in faults(on, honest(on, with_placed(plan, later)), told)


def overrun(placed: Placed, by_s: int) -> Placed:
    """The chicken moved so much later than asked."""
    moved = by.shifted(placed, by_s)
    first = replace(placed.stays[0], end_s=moved.stays[0].end_s, held_until_s=moved.stays[0].held_until_s)
    return replace(
        moved, stays=(first, moved.stays[1]), handlings=(placed.handlings[0], *moved.handlings[1:])
    )


def test_what_had_begun_may_overrun_at_a_price() -> None:
    # 400 s may be 15 s late: 40 s late is 25 s past the band.
    on, placed, reality = begun_chicken()
    late = overrun(placed, 40)
    assert faults(on, schedule(on, late)) == {"stage"}
    assert faults(on, schedule(on, late), reality) == {"recourse"}
    for seconds, found in ((24, {"recourse"}), (25, set())):
        plan = schedule(on, late, recourse=(Recourse("D4-1", "overrun", seconds),))
        assert plan.parts["recourse"] == on.weights.overrun * seconds
        assert faults(on, plan, reality) == found
    within = schedule(on, overrun(placed, 15), recourse=(Recourse("D4-1", "overrun", 1),))
    assert faults(on, within, reality) == {"recourse"}
    wrong = schedule(on, late, recourse=(Recourse("D4-1", "early", 25),))
    assert faults(on, wrong, reality) == {"recourse"}
    twice = schedule(on, late, recourse=(Recourse("D4-1", "overrun", 25),) * 2)
    assert faults(on, twice, reality) == {"recourse"}
    strange = schedule(on, placed, recourse=(Recourse("X", "overrun", 1),))
    assert faults(on, strange, reality) == {"recourse"}


def test_a_corrected_end_moves_the_band_with_it() -> None:
    on, placed, reality = begun_chicken(end_s=SIX + 440)
    late = overrun(placed, 40)
    assert faults(on, schedule(on, late), reality) == set()
    assert faults(on, schedule(on, placed), reality) == {"recourse"}


def test_what_had_begun_may_be_parked_or_taken_out_early_at_a_price() -> None:
    on, placed, reality = begun_chicken()
    aside = parked(placed, 30)
    assert faults(on, schedule(on, aside), reality) == {"recourse"}
    plan = schedule(on, aside, recourse=(Recourse("D4-1", "parked", 30),))
    assert faults(on, plan, reality) == set()
    assert plan.parts["recourse"] == on.weights.parked * 30
    out = taken_out(placed)
    assert {"acts", "recourse"} <= faults(on, schedule(on, out), reality)
    plan = schedule(on, out, recourse=(Recourse("D4-1", "early", 100),))  # its second stage is left out
    assert faults(on, plan, reality) == set()
    assert {"acts", "recourse"} <= faults(on, plan)


def taken_out(placed: Placed) -> Placed:
    """The chicken pulled after its first stage for good."""
    first = replace(placed.stays[0], held_until_s=placed.stays[0].end_s + 8)
    acts = (placed.handlings[0], Handling(first.end_s, 8, 0, "pull", 0))
    return replace(placed, stays=(first,), handlings=acts, leave_s=first.end_s, ready_s=first.end_s)


def test_turns_of_what_had_begun_come_when_hands_allow() -> None:
    on, plan, placed = alone(STEAK, SIX, by.NEAR_L)
    late = with_act(placed, "flip", start_s=SIX + 280)
    reality = Reality(NOW, (Begun("A1-1", placed.stays, placed.handlings[:1]),))
    assert changed(on, plan, late) == {"turns"}
    assert faults(on, honest(on, with_placed(plan, late)), reality) == set()
    never = replace(late, handlings=tuple(h for h in late.handlings if h.act != "flip"))
    assert faults(on, honest(on, with_placed(plan, never)), reality) == {"turns"}


# --- the sum --------------------------------------------------------------------------------------


@pytest.mark.parametrize("kind", ["late", "early", "spread", "overheld", "off", "recourse", "told", "reach"])
def test_any_part_of_the_cost_said_wrong(kind: str) -> None:
    on, plan, _ = alone(STEAK, SIX, by.NEAR_L)
    wrong = replace(plan, parts={**plan.parts, kind: plan.parts[kind] + 1e-5})
    assert faults(on, wrong) == {"cost"}
    assert faults(on, replace(plan, cost=plan.cost + 1e-5)) == {"cost"}
    assert faults(on, replace(plan, cost=plan.cost + 1e-8)) == set()
    assert faults(on, replace(plan, parts={**plan.parts, "else": 0.1})) == {"cost"}
