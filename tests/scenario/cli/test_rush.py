"""Nights that cannot be kept: planned late with honest minutes, and the limit that binds is named.

The second is the trade scenario of a Friday with one pair of hands and a walk-in 12-top: its answer is
that hands bind first, and that calling the stone full would be wrong.
"""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from dataclasses import asdict
from pathlib import Path

import pytest

from hearthtide.house.files import read_house, read_night
from hearthtide.planning.night import plan_night

EXAMPLES = Path(__file__).parents[3] / "examples"
FORTY = """name: Forty at once
lit: 14:00
doors: 17:00
last_call: 21:00
tickets:
"""


@pytest.mark.xdist_group("forty")
def test_forty_pizzas_wanted_in_a_minute_are_planned_late_and_hands_bind(tmp_path):
    house = tmp_path / "brindlecote"
    shutil.copytree(EXAMPLES / "brindlecote", house)
    rows = [
        f"  - {{table: A{n}, covers: 1, called: 18:00, wanted: 18:15, dishes: [pizza]}}" for n in range(1, 41)
    ]
    (house / "nights" / "forty.yaml").write_text(FORTY + "\n".join(rows) + "\n", encoding="utf-8")
    command = [sys.executable, "-m", "hearthtide.cli", "plan", str(house), "forty", "--json"]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    plan = json.loads(done.stdout)
    assert done.returncode == 1
    assert "Traceback" not in done.stderr
    broken = {check["name"] for check in plan["checks"] if not check["ok"]}
    assert "on time" in broken
    assert broken <= {"on time", "floor"}  # whatever else binds, the plan is a legal one
    # One pair of hands dresses, launches, turns twice and pulls: 67 s a pizza by the house's own seconds.
    last = max(landing["planned_s"] for landing in plan["landings"])
    assert last - (18 * 3600) >= 40 * 67
    assert plan["limit"]["binds"] == "hands"
    assert plan["limit"]["late_without"]["hands"] < plan["limit"]["late_without"]["stone"]
    assert plan["limit"]["ways_out"]


@pytest.mark.xdist_group("osmer")
def test_friday_rush_with_one_pair_of_hands_names_the_hands():
    house = read_house(EXAMPLES / "osmer-and-vane")
    friday = read_night(house, "friday")
    rush = tuple(t for t in friday.tickets if 19 * 3600 <= t.called < 19 * 3600 + 30 * 60)
    assert any(t.table == "P1" and len(t.dishes) == 16 for t in rush)  # the 12-top
    plan = plan_night(house, friday.model_copy(update={"tickets": rush}))
    checks = {check.name: check.ok for check in plan.checks}
    legal = (
        "complete",
        "hands",
        "acts in order",
        "on the hearth",
        "no overlap",
        "clear of the flame",
        "spot rested",
        "platters",
    )
    assert {name: checks[name] for name in legal} == dict.fromkeys(legal, True)
    assert not checks["on time"]
    assert plan.limit is not None and plan.limit.binds == "hands", asdict(plan.limit or house.file)
