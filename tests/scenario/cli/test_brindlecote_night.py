"""The main job on real input: the Brindlecote Tuesday planned and verified from the command line.

The right answer for ticket B4 is the trade scenario's own, worked out by hand from its stated minutes
(chicken 12 + 2 rest, steak 7:30 + 5 rest, shrimp 5, pizza 3, plating 0:45, landing 19:22).
"""

from __future__ import annotations

import json
import subprocess
import sys
from math import pi
from pathlib import Path
from typing import Any

import pytest

EXAMPLES = Path(__file__).parents[3] / "examples"
RIGHT_IN_S = {
    "half_chicken": 19 * 3600 + 7 * 60 + 15,
    "strip_steak": 19 * 3600 + 8 * 60 + 45,
    "shrimp": 19 * 3600 + 16 * 60 + 15,
    "pizza": 19 * 3600 + 18 * 60 + 15,
}
# Runs the command line and, at the end, writes the kernel's line on the process's peak memory to a file.
WEIGHED = """
import atexit, pathlib, sys
target = pathlib.Path(sys.argv.pop(1))
def weigh():
    lines = pathlib.Path("/proc/self/status").read_text().splitlines()
    target.write_text(next(line for line in lines if line.startswith("VmHWM")))
atexit.register(weigh)
from hearthtide.cli.main import run
run()
"""
COVERS_BY_HALF_HOUR = [4, 8, 12, 14, 10, 8, 6, 4, 2]


@pytest.fixture(scope="module")
def planned(tmp_path_factory: pytest.TempPathFactory) -> tuple[int, dict[str, Any], str, Path]:
    folder = tmp_path_factory.mktemp("report")
    words = ["plan", str(EXAMPLES / "brindlecote"), "tuesday", "--json", "--report", str(folder)]
    command = [sys.executable, "-c", WEIGHED, str(folder / "peak"), *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    return done.returncode, json.loads(done.stdout), done.stderr, folder


@pytest.fixture(scope="module")
def plan(planned) -> dict[str, Any]:
    return planned[1]


def test_every_promise_is_kept_and_the_exit_code_says_so(planned, plan):
    assert [check for check in plan["checks"] if not check["ok"]] == []
    assert plan["kept"] is True
    assert planned[0] == 0
    assert "Traceback" not in planned[2]


def test_every_ticket_of_the_night_lands(plan):
    assert plan["figures"]["covers"] == 68
    by_half_hour = [0] * 9
    for landing in plan["landings"]:
        by_half_hour[int((landing["called_s"] - 17 * 3600) // 1800)] += landing["covers"]
    assert by_half_hour == COVERS_BY_HALF_HOUR
    assert len(plan["items"]) == sum(len(landing["items"]) for landing in plan["landings"])


def test_nothing_binds_all_night(plan):
    assert plan["limit"] is None


@pytest.mark.xfail(
    strict=True,
    reason="the trade's stone per plate counts the stone that a vessel spoils around it, ours its footprint",
)
def test_the_fullest_half_hour_takes_half_of_the_comfortable_stone(plan):
    """6.9 m² min of 13.5 in the trade scenario, its half hours counted from 17:00."""
    assert max(stone_m2_min(plan)) == pytest.approx(6.9, rel=0.15)


def test_no_half_hour_takes_more_than_the_comfortable_stone(plan):
    assert max(stone_m2_min(plan)) < 13.5


def stone_m2_min(plan: dict[str, Any]) -> list[float]:
    """Footprints times minutes on the stone and its rest, by half hour."""
    spans = [
        (stay["start_s"], stay["end_s"] + stay["rest_s"], area_m2(item))
        for item in plan["items"]
        for stay in item["stays"]
    ]
    found = []
    for at in range(17 * 3600, 22 * 3600, 1800):
        inside = (max(0, min(end, at + 1800) - max(start, at)) * much for start, end, much in spans)
        found.append(sum(inside) / 60)
    return found


def area_m2(item: dict[str, Any]) -> float:
    return pi * item["diameter_m"] ** 2 / 4 if "diameter_m" in item else item["width_m"] * item["depth_m"]


def test_b4_comes_out_within_30_s_of_the_right_answer(plan):
    launched = {
        m["dish"]: m["start_s"] for m in plan["moves"] if m["ticket"] == "B4" and m["act"] == "launch"
    }
    assert launched.keys() == RIGHT_IN_S.keys()
    for dish, right in RIGHT_IN_S.items():
        assert abs(launched[dish] - right) <= 30, dish
    (landing,) = (one for one in plan["landings"] if one["ticket"] == "B4")
    assert abs(landing["planned_s"] - (19 * 3600 + 22 * 60)) <= 30
    assert landing["earliest_s"] == 19 * 3600 + 19 * 60 + 45


def test_b4_stands_beside_itself_on_the_models_minutes_with_reasons(plan):
    (both,) = (one for one in plan["comparison"] if one["ticket"] == "B4")
    assert {row["dish"] for row in both["rows"]} == RIGHT_IN_S.keys()
    for row in both["rows"]:
        assert row["models_s"] > 0 and row["why"]


def test_the_names_scripts_rely_on_are_there(plan):
    assert plan["schema_version"] == 1
    move = {"start_s", "hands_s", "cook", "act", "item", "dish", "ticket", "spot_x_m", "spot_y_m"}
    for one in plan["moves"]:
        assert move | {"facing_deg", "words"} <= one.keys()
    for one in plan["landings"]:
        assert {"ticket", "wanted_s", "planned_s", "spread_s"} <= one.keys()
    for one in plan["items"]:
        assert ("diameter_m" in one) != ({"width_m", "depth_m"} <= one.keys())
        known = {"core_C_at_pull", "core_C_at_landing", "colour_step", "burn_margin_s", "weight_loss"}
        assert known | {"item", "dish", "ticket"} <= one.keys()
    assert {"solve_s", "verify_s", "rounds"} <= plan["figures"].keys()
    for change in plan["flame"]:
        assert {"start_s", "level", "power_W"} <= change.keys()


def test_spots_lie_on_the_hearth_and_pizzas_30_cm_from_the_flame(plan):
    """Geometry once more, from the JSON alone: disc of 60 cm, mouth 50 cm, ribbon 50 cm at back left."""
    import numpy as np

    centre_y = (0.6**2 - 0.25**2) ** 0.5
    on = 0.6 - 0.08
    bearing = np.radians(-45) + np.linspace(-0.25, 0.25, 201) / on
    flame = np.column_stack([on * np.sin(bearing), centre_y + on * np.cos(bearing)])
    for item in plan["items"]:
        for stay in item["stays"]:
            middle = np.array([stay["x_m"], stay["y_m"]])
            assert np.hypot(middle[0], middle[1] - centre_y) < 0.6
            if item["dish"] == "pizza":
                assert np.hypot(*(flame - middle).T).min() - item["diameter_m"] / 2 > 0.299


def test_core_and_colour_are_sane_for_every_item(plan):
    for item in plan["items"]:
        assert 40 < item["core_C_at_pull"] <= 101, item["item"]
        assert 1 <= item["colour_step"] <= 5
        assert 0 <= item["weight_loss"] < 0.5


def test_the_report_stands_by_itself(planned):
    page = (planned[3] / "index.html").read_text(encoding="utf-8")
    assert "<svg" in page and "src=" not in page
    assert "http://" not in page.replace("http://www.w3.org/", "") and "https://" not in page
    assert (planned[3] / "pictures.pdf").read_bytes().startswith(b"%PDF")


def test_memory_stays_under_600_mb(planned):
    """The planning process's own peak, as the kernel kept it."""
    words = (planned[3] / "peak").read_text(encoding="utf-8").split()
    assert words[0] == "VmHWM:" and words[2] == "kB"
    assert int(words[1]) < 600_000
