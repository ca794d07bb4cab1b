"""docs/board.md names every way in, every kind of command, every role and every column: none is left out."""

import re
from pathlib import Path
from typing import get_args

from hearthtide.board.access import Role
from hearthtide.board.after_api import after
from hearthtide.board.api import api
from hearthtide.board.day_api import day
from hearthtide.board.plan_api import plan
from hearthtide.board.records_api import records
from hearthtide.board.said_records import Noted
from hearthtide.service import commands as told
from hearthtide.service.csv_tickets import COLUMNS
from hearthtide.service.shorthand import ticket_of_line
from told_night import AT_S, kitchen

PAGE = (Path(__file__).parents[3] / "docs" / "board.md").read_text(encoding="utf-8")


def test_every_way_in_is_named():
    routes = [route for part in (api, after, day, plan, records) for route in part.routes]
    ways = {f"{method} {route.path}" for route in routes for method in route.methods}
    assert set(re.findall(r"`((?:GET|POST|DELETE) /api/[^`]+)`", PAGE)) == ways


def test_every_kind_of_command_is_named():
    table = PAGE.partition("| kind | |")[2].partition("\n\n")[0]
    kinds = {word for row in table.splitlines()[2:] for word in re.findall(r"`(\w+)`", row.split("|")[1])}
    assert kinds == {what.kind for what in get_args(told.What)}
    table = PAGE.partition("| entry | |")[2].partition("\n\n")[0]
    entries = {word for row in table.splitlines()[2:] for word in re.findall(r"`(\w+)`", row.split("|")[1])}
    assert entries == {what.kind for what in get_args(Noted)}


def test_every_role_and_every_column_is_named():
    table = PAGE.partition("| who |")[2].partition("\n\n")[0]
    assert all(role in table for role in get_args(Role))
    assert all(f"`{column}`" in PAGE for column in COLUMNS)


def test_its_line_of_shorthand_is_one():
    line = re.search(r"## Shorthand\n\n`([^`]+)`", PAGE)[1]
    dishes = {key: dish.name for key, dish in kitchen().house.dishes.items()}
    first, second = ticket_of_line(line, dishes, AT_S).courses
    assert ([p.dish for p in first.plates], first.drops) == (["pizza", "pizza", "strip_steak", "shrimp"], 2)
    assert [p.dish for p in second.plates] == ["cheese_dip"]
