"""Any night with any of its lines spoilt: every plate is planned or named, orders hold each plate once."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from hearthtide.errors import InputError
from hearthtide.house.night_file import NightFile
from hearthtide.house.set_aside import Taken, take_night
from hearthtide.house.yaml_lines import read_yaml
from small_night import DISHES, problem_of, small_house

HOUSE = small_house(cooks=2)
HEAD = "name: Any\nlit: 14:00\ndoors: 17:00\nlast_call: 21:30\n"


def clock(minute: int) -> str:
    return f"{minute // 60}:{minute % 60:02d}"


@st.composite
def rows(draw: st.DrawFn) -> list[str]:
    """Tickets, plain or in courses, some with a word nobody knows or a minute that cannot be."""
    found = []
    for n in range(draw(st.integers(1, 6))):
        minute = draw(st.integers(17 * 60, 21 * 60))
        head = f"table: T{n}, covers: {draw(st.integers(1, 9))}, called: {clock(minute)}"
        if draw(st.booleans()):
            head += f", priority: {draw(st.sampled_from(['1', '2.5', '0']))}"
        words = st.sampled_from([*sorted(DISHES), "soup"])
        courses, at = [], minute
        for _ in range(draw(st.integers(1, 3))):
            at += draw(st.integers(0 if draw(st.integers(0, 9)) == 0 else 8, 25))
            dishes = ", ".join(draw(st.lists(words, min_size=1, max_size=4)))
            drops = draw(st.sampled_from(["", ", drops: 2", ", drops: 2, drops_apart: 6:00"]))
            courses.append(f"wanted: {clock(at)}, dishes: [{dishes}]{drops}")
        body = courses[0] if len(courses) == 1 else f"courses: [{', '.join('{' + c + '}' for c in courses)}]"
        found.append(f"  - {{{head}, {body}}}\n")
    return found


def taken(tickets: list[str], more: str) -> Taken | InputError:
    document = read_yaml(f"{HEAD}tickets:\n{''.join(tickets)}{more}".encode(), "night.yaml")
    try:
        return take_night(document, HOUSE)
    except InputError as err:
        return err


@settings(max_examples=60, deadline=None)
@given(rows(), st.sampled_from(["", "eighty_six: [{dish: pizza, from: 18:30}]\n"]))
def test_every_plate_is_planned_or_named(tickets: list[str], more: str) -> None:
    found = taken(tickets, more)
    if isinstance(found, InputError):
        assert found.findings and all(f.remedy and f.expected for f in found.findings)
        return
    for n, row in enumerate(tickets):
        written = sum(
            row.count(word) for word in (*DISHES, "soup")
        )  # no dish's name is part of another's here
        planned = next((len(t.dishes) for t in found.night.tickets if t.table == f"T{n}"), 0)
        named = [f for f in (*found.wrong, *found.gone) if f.line == 6 + n]
        assert planned == written or named, row
        own = [f for f in named if ".dishes[" in f.field]
        if len(own) == len(named) and planned:
            assert planned + len(own) == written


@settings(max_examples=25, deadline=None)
@given(rows())
def test_orders_hold_each_plate_once_and_all_the_guests(tickets: list[str]) -> None:
    found = taken(tickets, "")
    if isinstance(found, InputError):
        return
    night: NightFile = found.night
    orders = problem_of(HOUSE, night).orders
    keys = [item.key for order in orders for item in order.items]
    assert len(keys) == len(set(keys)) == sum(len(t.dishes) for t in night.tickets)
    assert len({order.key for order in orders}) == len(orders)
    for ticket in night.tickets:
        own = [order for order in orders if order.ticket == ticket.table]
        assert sum(o.weight for o in own) == pytest.approx(ticket.covers * ticket.priority)
        assert [o.drop for o in own] == list(range(1, len(own) + 1))
        assert all(o.wanted_s > o.called_s for o in own)
