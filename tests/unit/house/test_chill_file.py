"""chill.yaml, the table of hot lots, a logger's table and what was found inside: read, or told by line."""

from datetime import UTC, datetime
from pathlib import Path

import pytest

from hearthtide.day.chill_units import lots_of, units_of
from hearthtide.errors import InputError
from hearthtide.house.chill_file import read_chill, take_hot_lots
from hearthtide.house.cold_file import take_inside, take_logger
from hearthtide.house.files import read_house

GOOD = """units:
  walk-in:
    name: Walk-in
    kind: walk-in
    air: 3 C
    inside: {width: 2 m, depth: 2 m, height: 2 m}
    pieces: fan-rack
    pans: fan-tray
    most_hot: 25 kg
    racks: {shelves: {trays: 8, apart: 12 cm}}
  bath:
    name: Ice bath
    kind: ice
    air: 20 C
    ice: 20 kg
    pans: ice
    most_hot: 8 kg
    racks: {tub: {trays: 2, apart: 30 cm}}
things:
  wings: {name: Wings, food: chicken_wing_cooked, thickness: 25 mm, shape: log, portion: 300 g, per_tray: 12}
  bird: {name: Half birds, food: chicken_cooked, thickness: 50 mm, shape: bird, portion: 650 g, per_tray: 4}
  dip: {name: Dip, food: cheese_dip, thickness: 40 mm, shape: pan, lid: true, portion: 120 g, per_tray: 20}
"""
NOW = datetime(2026, 6, 2, 12, 30, tzinfo=UTC)


def chill(folder, text=GOOD):
    (folder / "chill.yaml").write_text(text, encoding="utf-8")
    return read_chill(read_house(folder))


def test_units_and_lots_come_of_it(folder):
    file = chill(folder)
    walk_in, bath = units_of(file)
    assert walk_in.keeps and not bath.keeps and bath.held and bath.most_ice_kg == 20
    # 8 m3 of air and 24 m2 of walls: 10 kJ/K and 112 kJ/K.
    assert walk_in.holds_J_K == pytest.approx(8 * 1290 + 24 * 4645, rel=0.01)
    assert len(walk_in.assumed) == 2 and bath.assumed == ()
    assert units_of(file, {"walk-in"}) == (bath,)
    assert bath.pieces is None and bath.pans.bottom_C == 0.5 and bath.pans.air_C == 20.0
    rows, wrong = take_rows(
        folder, "item,portions,ready,core,wanted\nwings,30,15:10,,\nwings,5,16:00,80C,17:00\n"
    )
    assert wrong == ()
    first, second = lots_of(read_house(folder), file, rows, (walk_in, bath))
    assert (first.key, second.key) == ("wings", "wings 2")
    assert (first.trays, first.mass_kg, first.core_C) == (3, pytest.approx(9.0), 75.0)
    assert (second.core_C, second.wanted_s, second.ready_s) == (80.0, 61200.0, 57600.0)
    assert first.what.exponent == 1.0 and not first.is_pan


def take_rows(folder, text):
    path = folder / "lots.csv"
    path.write_text(text, encoding="utf-8")
    return take_hot_lots(path, dict(chill(folder).things))


def test_what_the_plate_says_takes_the_place_of_a_starting_value(folder):
    said = GOOD.replace("    most_hot: 25 kg", "    takes: 1800 W\n    gains: 0.5 kW\n    most_hot: 25 kg")
    walk_in = units_of(chill(folder, said))[0]
    assert (walk_in.takes_W, walk_in.gain_W, walk_in.assumed) == (1800.0, 500.0, ())


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("kind: walk-in", "kind: cellar", "one of walk-in"),
        ("pieces: fan-rack\n    pans: fan-tray", "name: x", ""),
        ("    pieces: fan-rack\n    pans: fan-tray\n", "", "pieces or pans"),
        ("pieces: fan-rack", "pieces: blast", "ways that go with it"),
        ("    ice: 20 kg\n", "", "ice at hand"),
        ("    inside: {width: 2 m, depth: 2 m, height: 2 m}\n", "", "width, depth and height"),
        ("air: 3 C", "air: 3", "unit"),
        ("air: 3 C", "air: 40 C", "at most"),
        ("trays: 8", "trays: 0", "at least 1"),
        ("food: cheese_dip", "food: cheese_dop", "food that is known"),
        ("shape: log", "shape: log, lid: true", "pan with lid"),
        ("portion: 300 g", "portion: 300", "unit"),
        ("most_hot: 25 kg", "most_hot: 25 kg\n    colour: red", "a known key"),
    ],
)
def test_what_is_wrong_is_told(folder, old, new, told):
    assert old in GOOD
    with pytest.raises(InputError) as refused:
        chill(folder, GOOD.replace(old, new, 1))
    assert told in str(refused.value) and "chill.yaml" in str(refused.value)


def test_a_house_without_the_file_is_told_what_to_write(folder):
    with pytest.raises(InputError, match="day-chill"):
        read_chill(read_house(folder))


def test_rows_of_hot_lots_that_are_wrong_are_set_aside_by_line(folder):
    text = (
        "item,portions,ready,core\nwings,30,15:10,\nwangs,30,15:10,\nwings,0,15:10,\nwings,3.5,15:10,\n"
        "wings,3,25 past,\nwings,3,,\nwings,3,15:10,75\nwings,3,15:10,300C\n"
    )
    rows, wrong = take_rows(folder, text)
    assert len(rows) == 1 and sorted({one.line for one in wrong}) == [3, 4, 5, 6, 7, 8, 9]
    assert "wings" in str(wrong[0])


def written(tmp_path: Path, text: str) -> Path:
    path = tmp_path / "table.csv"
    path.write_text(text, encoding="utf-8")
    return path


def test_a_loggers_rows(tmp_path):
    text = "time,read\n2026-06-02T08:30-04:00,9.5C\n2026-06-02T08:40-04:00,49F\n2026-06-02T08:50,9C\nx,9C\n"
    text += "2026-06-02T08:30-04:00,9.5\n2026-06-02T08:30-04:00,nineC\n"
    rows, wrong = take_logger(written(tmp_path, text), "walk-in")
    assert [one.unit for one in rows] == ["C", "F"] and rows[0].point == "air" and rows[0].at == NOW
    assert [one.line for one in wrong] == [4, 5, 6, 7]
    with pytest.raises(InputError):
        take_logger(written(tmp_path, "time,shown\n"), "walk-in")


def test_what_was_found_inside(tmp_path):
    text = "item,needs_cold,read,value,portions,best_day\nSoup,yes,8.1C,40,12,\nDough,no,9.8C,52,95,2\n"
    text += "Stock,yes,,9,,\n"
    found, wrong = take_inside(written(tmp_path, text), NOW)
    assert wrong == () and [one.needs_cold for one in found] == [True, False, True]
    assert found[0].reading.at == NOW and found[2].reading is None
    assert (found[1].best_day, found[1].portions, found[0].best_day) == (2, 95, None)
    bad = "item,needs_cold,read,value,portions\n,maybe,8.1,dear,many\nSoup,yes,8.1C,-4,\n"
    found, wrong = take_inside(written(tmp_path, bad), NOW)
    assert found == () and [one.field for one in wrong] == [
        "item",
        "needs_cold",
        "read",
        "value",
        "portions",
        "value",
    ]
