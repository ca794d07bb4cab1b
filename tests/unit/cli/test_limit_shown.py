"""What binds, printed and as JSON, for a plan made by hand."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from hearthtide.cli.plan_command import print_plan
from hearthtide.cli.plan_json import plan_body
from printed_plan import plan

WORKED = {"field_s": 1.0, "solve_s": 1.0, "verify_s": 1.0, "rounds": 2.0, "seed": 1.0}
FLOOR = {"floor_low_C": 350.0, "floor_high_C": 370.0}


def shown(**changed: Any) -> Any:
    made = plan()
    return replace(made, figures=made.figures | WORKED | FLOOR, **changed)


def test_a_late_plan_says_what_binds_by_how_much_who_slips_and_the_ways_out(capsys) -> None:
    print_plan(shown(), None, False)
    said = capsys.readouterr().out
    assert "What binds: hands" in said
    assert "To land all as wanted takes 40 of 30 min of hands (133 %)" in said
    assert "Late: C7 by 4:20 (wanted 19:20)." in said
    assert said.count("Way out: ") == 2
    assert "9 ways were planned" in said


def test_where_no_way_is_worth_it_that_is_said(capsys) -> None:
    limit = plan().limit
    assert limit is not None
    print_plan(shown(limit=replace(limit, ways_out=())), None, False)
    said = capsys.readouterr().out
    assert "Way out" not in said and "None of 9 ways" in said


def test_a_plan_in_time_says_nothing_of_limits(capsys) -> None:
    print_plan(shown(limit=None), None, False)
    assert "What binds" not in capsys.readouterr().out
    assert plan_body(shown(limit=None))["limit"] is None


def test_the_names_scripts_rely_on_are_in_the_json() -> None:
    limit: Any = plan_body(shown())["limit"]
    assert limit["binds"] == "hands" and limit["without"]["hands"] == 0.0
    assert {"late_total_s", "late_guest_s", "late", "needs", "ways_out", "tried"} <= limit.keys()
    assert limit["needs"][0]["share"] == 40 / 30
    way = limit["ways_out"][0]
    assert {"kind", "words", "late_guest_s", "taken_guest_s", "saved_s", "price_s", "price"} <= way.keys()
    assert way["net_s"] == way["saved_s"] - way["price_s"]
    assert limit["ways_out"][1]["still"][0] == {
        "ticket": "C7",
        "course": "C7",
        "wanted_s": 69_600,
        "late_s": 260,
    }
