"""`heat --answer`: each question in words, as JSON and as a picture; what cannot be asked, in one line."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from functools import cache
from pathlib import Path
from subprocess import CompletedProcess

import pytest

from at_the_prompt import typed
from hearthtide.cli import heat_asked
from hearthtide.oven.design import OvenDesign
from hearthtide.oven.grid import Grid
from hearthtide.oven.model import Oven, OvenState
from hearthtide.oven.readings import settled_state

EXAMPLES = Path(__file__).parents[3] / "examples"
BRINDLECOTE, OSMER = EXAMPLES / "brindlecote", EXAMPLES / "osmer-and-vane"
READ = ("--stone-C", "350")  # a measured stone: the quickest start


@pytest.fixture(scope="module", autouse=True)
def settled_once():
    """An oven is settled at its aim once for all the questions that start from there."""
    found: dict[tuple[OvenDesign, Grid, float, float], OvenState] = {}

    def settled(oven: Oven, aim_C: float, *, ambient_C: float, on_progress: object) -> OvenState:
        same = (oven.design, oven.grid, aim_C, ambient_C)
        if same not in found:
            found[same] = settled_state(oven, aim_C, ambient_C=ambient_C)
        return found[same]

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(heat_asked, "settled_state", settled)
        yield


def heat(house: Path, *words: object) -> CompletedProcess[str]:
    done = typed("heat", house, *words)
    assert "Traceback" not in done.stderr
    return done


@cache
def told(house: Path, *words: object) -> dict:
    done = heat(house, "--json", "--answer", *words)
    assert done.returncode == 0, done.stderr
    body = json.loads(done.stdout)
    assert body["document"] == "hearthtide heat" and body["answer"] == words[0]
    return body


def test_ready_lies_between_its_bounds_and_rises():
    body = told(OSMER, "ready")
    assert body["soonest_s"] <= body["ready_s"] <= body["latest_s"]
    stone = [row["stone_C"] for row in body["rows"]]
    assert stone == sorted(stone)
    assert all(row["low_C"] <= row["stone_C"] <= row["high_C"] for row in body["rows"])


def test_a_warm_start_is_sooner():
    """From last night with the door on, and from a reading: each sooner than from cold."""
    cold = told(BRINDLECOTE, "ready")["ready_s"]
    assert told(BRINDLECOTE, "ready", "--from", "overnight")["ready_s"] < cold
    assert told(BRINDLECOTE, "ready", "--stone-C", "180")["ready_s"] < cold


def test_hold_and_ahead_agree():
    """Settled stone holds at a power between two named flames: it falls at one, rises at the other."""
    body = told(BRINDLECOTE, "hold")
    flames = {"idle": 2400, "low": 7000, "half": 14000, "high": 22000, "full": 30000}
    above = min((n for n in flames if flames[n] > body["power_W"] + 1500), key=flames.get)
    below = max((n for n in flames if flames[n] < body["power_W"] - 1500), key=flames.get)
    ends = [told(BRINDLECOTE, "ahead", "--flame", name)["rows"][-1]["stone_C"] for name in (below, above)]
    assert ends[0] < body["aim_C"] < ends[1]


def test_turned_down_to_less_is_sooner():
    words = ("turndown", "--stone-C", "420", "--soaked", "0.8")
    low, idle = (told(BRINDLECOTE, *words, "--to", name) for name in ("low", "idle"))
    assert 0 < idle["half_s"] <= low["half_s"] and idle["half_s"] <= idle["all_s"]


def test_left_keeps_more_behind_the_door_and_says_what_kills():
    done = heat(BRINDLECOTE, "--answer", "left", *READ, "--at", "23:00")
    assert done.returncode == 0, done.stderr
    assert "Never leave coals behind a shut door with the extraction off" in done.stdout
    assert "carbon monoxide" in done.stdout.lower()
    body = told(BRINDLECOTE, "left", *READ)
    assert any("coals" in caution for caution in body["cautions"])
    kept = {(row["door"], row["clock"]): row["stone_C"] for row in body["rows"]}
    for clock in ("23:00", "02:00", "06:00"):
        assert kept["on", clock] >= kept["off", clock]
    assert [row["hours"] for row in body["rows"][:3]] == [1.0, 4.0, 8.0]


def test_an_oven_without_a_door_tells_what_is_left_without():
    assert {row["door"] for row in told(OSMER, "left", *READ, "--at", "23:00")["rows"]} == {"off"}


def test_fuel_by_hand():
    """30 kW for 2 h: 60 kWh, 216 MJ / 49.2 MJ/kg, at 0.12 a kWh 7.20 (hand sum)."""
    body = told(BRINDLECOTE, "fuel", "--hours", "2", "--price", "0.12/kWh")
    assert body["energy_kWh"] == pytest.approx(60.0) and body["cost"] == pytest.approx(7.20)
    assert body["mass_kg"] == pytest.approx(216 / 49.2) and body["volume_m3"] == pytest.approx(6.0)
    ledger = body["ledger"]
    parts = sum(ledger[f"{name}_J"] for name in ("floor", "dome", "flue", "mouth", "shell"))
    assert parts == pytest.approx(ledger["fuel_J"], rel=0.005)


def test_where_covers_all_that_is_asked():
    body = told(BRINDLECOTE, "where", *READ, "--low-C", "349", "--high-C", "351")
    assert body["share"] == 1.0 and body["least_C"] == body["most_C"] == 350.0
    assert told(BRINDLECOTE, "where", *READ, "--low-C", "400", "--high-C", "500")["cells"] == []
    assert "100% of the stone" in heat(BRINDLECOTE, "--answer", "where", *READ).stdout


@pytest.mark.parametrize(
    "words",
    [
        ("--hours", "1"),
        ("--answer", "ready", *READ),
        ("--answer", "ahead", *READ, "--pizzas", "2"),
        ("--answer", "hold", *READ),
        ("--answer", "turndown", *READ, "--limit-C", "340"),
        ("--answer", "left", *READ, "--at", "23:00"),
        ("--answer", "fuel", "--hours", "1"),
        ("--answer", "where", *READ),
    ],
)
def test_every_answer_has_its_picture(tmp_path, words):
    path = tmp_path / "answer.svg"
    done = heat(BRINDLECOTE, *words, "--picture", path)
    assert done.returncode == 0, done.stderr
    assert "not readings of your oven" in done.stdout and "nan" not in done.stdout
    root = ET.parse(path).getroot()
    assert root.tag.endswith("svg") and len(root) > 10
    assert "nan" not in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("words", "named"),
    [
        (("--answer", "soon"), "turndown"),
        (("--answer", "ready", "--from", "tepid"), "overnight"),
        (("--answer", "ready", "--flame", "roaring"), "full"),
        (("--answer", "turndown", *READ, "--flame", "idle", "--to", "full"), "below idle"),
        (("--answer", "ready", "--stone-C", "9000"), "--stone-C"),
        (("--answer", "ready", "--stone-C", "nan"), "--stone-C"),
        (("--answer", "ready", "--stone-C", "180", "--from", "cold"), "--from"),
        (("--answer", "ready", "--soaked", "0.5"), "--stone-C"),
        (("--answer", "ready", "--aim-C", "20"), "--aim-C"),
        (("--answer", "ahead", *READ, "--pizzas", "30"), "at most"),
        (("--answer", "ahead", *READ, "--minutes", "-5"), "--minutes"),
        (("--answer", "left", *READ, "--at", "noon"), "time of day"),
        (("--answer", "left", *READ, "--door", "ajar"), "both"),
        (("--answer", "fuel", "--price", "cheap"), "0.12/kWh"),
        (("--answer", "fuel", "--hours", "99"), "--hours"),
        (("--answer", "where", *READ, "--low-C", "400"), "--low-C"),
        (("--answer", "where", *READ, "--price", "0.12/kWh"), "--answer fuel"),
        (("--price", "0.12/kWh"), "--answer fuel"),
        (("--hours", "99"), "--hours"),
        (("--answer", "where", *READ, "--picture", "map.png"), ".svg"),
        (("--answer", "where", *READ, "--picture", "nowhere/map.svg"), "folder"),
    ],
)
def test_what_cannot_be_asked_is_told_in_one_line(words, named):
    done = heat(BRINDLECOTE, *words)
    assert done.returncode == 2 and not done.stdout
    lines = [line for line in done.stderr.splitlines() if not line.startswith("…")]
    assert len(lines) == 1 and named in lines[0] and "expected" in lines[0]


def test_a_door_that_is_not_there():
    done = heat(OSMER, "--answer", "left", *READ, "--door", "on")
    assert done.returncode == 2 and "--door" in done.stderr and "oven.yaml has no door" in done.stderr
