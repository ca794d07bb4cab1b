"""Forty pizzas wanted in one minute: planned late with honest minutes, and the limit that binds is named."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

EXAMPLES = Path(__file__).parents[3] / "examples"
FORTY = """name: Forty at once
lit: 14:00
doors: 17:00
last_call: 21:00
tickets:
"""


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
    limit = plan["limit"]
    assert limit["without"]["hands"] < limit["without"]["stone"]
    # By two minutes past the wanted one, less 45 s of plating, those hands have made 14 pizzas at most.
    assert len(limit["late"]) >= 40 - 14
    assert limit["late"][0]["late_s"] == last - (18 * 3600 + 15 * 60)
    assert 1 <= len(limit["ways_out"]) <= 2
    for way in limit["ways_out"]:
        assert 0 < way["taken_guest_s"] <= limit["late_guest_s"] and way["net_s"] > 0
    assert plan["limit"]["ways_out"]
