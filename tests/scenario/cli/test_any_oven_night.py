"""The Tuesday of 68 covers on ovens of other shapes and fires: every promise kept there too."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLES = Path(__file__).parents[3] / "examples"
STONE = """mouth_width: 58 cm
mouth_height: 30 cm
floor:
  - {material: fireclay, thickness: 50 mm}
  - {material: calcium_silicate, thickness: 100 mm}
dome:
  - {material: castable, thickness: 60 mm}
  - {material: fibre_blanket, thickness: 120 mm}
floor_band: {low: 345 C, high: 370 C}
"""
WOOD = """name: Wood hearth
shape: round
diameter: 1.4 m
wall_height: 10 cm
crown_rise: 40 cm
fuel: wood
burners:
  - {kind: bed, bearing: -75 deg, standoff: 22 cm, diameter: 36 cm}
flames:
  - {name: embers, wood: 1 kg/h}
  - {name: small, wood: 3 kg/h}
  - {name: half, wood: 5 kg/h}
  - {name: high, wood: 8 kg/h}
"""
BOX = """name: Box hearth
shape: rectangular
width: 1.5 m
depth: 1.1 m
crown: barrel
wall_height: 15 cm
crown_rise: 35 cm
fuel: propane
burners:
  - {kind: ribbon, bearing: -90 deg, length: 60 cm, standoff: 8 cm}
  - {kind: under, share: 20 %}
flames:
  - {name: idle, power: 4 kW}
  - {name: low, power: 10 kW}
  - {name: half, power: 20 kW}
  - {name: high, power: 32 kW}
  - {name: full, power: 45 kW}
"""


@pytest.mark.parametrize("oven", [WOOD, BOX], ids=["wood", "box"])
def test_the_tuesday_is_kept_on_another_oven(oven, tmp_path):
    house = shutil.copytree(EXAMPLES / "brindlecote", tmp_path / "house")
    (house / "oven.yaml").write_text(oven + STONE, encoding="utf-8")
    report = tmp_path / "report"
    words = ["plan", str(house), "tuesday", "--json", "--report", str(report)]
    command = [sys.executable, "-m", "hearthtide.cli", *words]
    done = subprocess.run(command, capture_output=True, text=True, check=False)
    assert "Traceback" not in done.stderr
    plan = json.loads(done.stdout)
    assert [check for check in plan["checks"] if not check["ok"]] == []
    assert done.returncode == 0
    assert plan["figures"]["covers"] == 68
    assert 15 * 3600 < plan["figures"]["floor_ready_s"] < 17 * 3600  # lit at 14:00, doors at 17:00
    assert (report / "pictures.pdf").read_bytes().startswith(b"%PDF")
