"""`check`, `heat` and `dish` on both example houses, as words and as JSON."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[3] / "examples"
HOUSES = ["brindlecote", "osmer-and-vane"]


def hearthtide(*words: object) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "hearthtide.cli", *map(str, words)]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done


@pytest.mark.parametrize("house", HOUSES)
def test_check_counts_what_is_there(house):
    body = json.loads(hearthtide("check", EXAMPLES / house, "--json").stdout)
    assert len(body["dishes"]) == 8
    assert all(count > 0 for dish in body["dishes"] for count in dish["places"].values())
    assert "8 dishes" in hearthtide("check", EXAMPLES / house).stdout


@pytest.mark.parametrize("house", HOUSES)
def test_heat_rises_from_cold_and_the_ledger_closes(house):
    body = json.loads(hearthtide("heat", EXAMPLES / house, "--hours", "3", "--json").stdout)
    stone = [row["working_stone_C"] for row in body["rows"]]
    assert stone == sorted(stone)
    assert 0.5 * 3600 < body["ready_s"] < 3 * 3600
    ledger = body["ledger"]
    assert abs(ledger["residual_J"]) < 1e-9 * ledger["fuel_J"]
    near, *_, mouth = body["places"]
    assert (near["place"], mouth["place"]) == ("near", "mouth")
    assert near["stone_C"] > mouth["stone_C"]
    assert near["toward_flame_W_m2"] > near["away_W_m2"]


def test_a_flame_told_by_its_height_says_how_little_that_tells(tmp_path):
    """Length over diameter 2.55 to 3.98 about Heskestad's 2.68, and power as length^1.5 (hand sum)."""
    house = shutil.copytree(EXAMPLES / "brindlecote", tmp_path / "house")
    path = house / "oven.yaml"
    path.write_text(path.read_text().replace("name: idle, power: 2.4 kW", "name: idle, height: 10 cm"))
    words = ("heat", house, "--flame", "idle", "--hours", "0.5")
    body = json.loads(hearthtide(*words, "--json").stdout)
    low, high = body["power_band_W"]
    assert low == pytest.approx(2522 * (2.68 / 3.98) ** 1.5, rel=1e-3)
    assert high == pytest.approx(2522 * (2.68 / 2.55) ** 1.5, rel=1e-3)
    assert "A reading of the gas meter is better" in " ".join(hearthtide(*words).stdout.split())


@pytest.mark.parametrize("dish", ["half_chicken", "pizza"])
def test_a_dish_says_how_long_where(dish):
    words = hearthtide("dish", EXAMPLES / "brindlecote", dish).stdout
    assert "core" in words and "from the flame" in words and "allergy" in words
    body = json.loads(hearthtide("dish", EXAMPLES / "brindlecote", dish, "--json").stdout)
    assert body["done"] and all(row["seconds"] is None or row["seconds"] > 0 for row in body["tried"])


def test_half_chicken_takes_about_the_trades_time():
    """Boned half chicken to 25 mm, 4 to 74 °C: 12 min (the trade's thickness rule, derived by conduction)."""
    body = json.loads(hearthtide("dish", EXAMPLES / "brindlecote", "half_chicken", "--json").stdout)
    warm = min(row["seconds"] for row in body["tried"] if row["stage"] == "warm through")
    crisp = min(row["seconds"] for row in body["tried"] if row["stage"] == "crisp")
    assert 9 * 60 <= warm + crisp <= 15 * 60
