import pytest

from hearthtide.errors import InputError
from hearthtide.house.falling_file import read_falling, rolled_s
from hearthtide.house.files import read_house

HOUR = 3600
GOOD = """usable_area: 0.9
gas_shut: 22:00
readings:
  - {at: 21:30, stone: 352 C, dome: 430 C}
  - {at: 23:30, stone: 300 C}
  - {at: 01:30, stone: 262 C}
things:
  bread:
    name: Bread
    portions: 8
    area: 0.04
    goes_in: {low: 230 C, high: 260 C}
    stays: {least: 20 min, most: 40 min}
    by: 06:00
    instead:
      - {name: rolls, goes_in: {low: 300 C, high: 330 C}, stays: {least: 12 min, most: 20 min}}
"""
DOOR = """door:
  layers: [{material: steel, thickness: 2 mm}]
"""


@pytest.fixture
def falling(folder):
    def read(text, door=True, fuel=None):
        oven = folder / "oven.yaml"
        written = oven.read_text(encoding="utf-8")
        if door and "door:" not in written:
            oven.write_text(written + "\n" + DOOR, encoding="utf-8")
        if not door and "door:" in written:
            raise AssertionError("the good house has a door of its own")
        (folder / "falling.yaml").write_text(text, encoding="utf-8")
        return read_falling(read_house(folder))

    return read


def test_a_night_is_read_and_its_clock_runs_on(falling):
    file = falling(GOOD)
    assert file.seen_s == (21.5 * HOUR, 23.5 * HOUR, 25.5 * HOUR)
    assert file.out_s == 22 * HOUR and file.door_on is None
    assert file.things["bread"].instead[0].goes_in.high == 330


def test_a_time_before_the_one_it_follows_is_the_next_day_s():
    assert rolled_s(6 * HOUR, 22 * HOUR) == 30 * HOUR
    assert rolled_s(22 * HOUR, 22 * HOUR) == 46 * HOUR


def test_a_door_before_the_gas_is_shut_is_never_planned(falling):
    with pytest.raises(InputError, match=r"falling\.yaml:3  door_on = 21:50") as refused:
        falling(GOOD.replace("gas_shut: 22:00\n", "gas_shut: 22:00\ndoor_on: 21:50\n"))
    assert "a flame behind a door" in str(refused.value)
    assert (
        falling(GOOD.replace("gas_shut: 22:00\n", "gas_shut: 22:00\ndoor_on: 22:00\n")).door_on == 22 * HOUR
    )


@pytest.mark.parametrize(
    ("old", "new", "told"),
    [
        ("gas_shut: 22:00\n", "", "when the fire ends: nothing is planned over a fire"),
        ("gas_shut: 22:00", "gas_shut: 22:00\ncoals_out: 22:00", "gas_shut alone"),
        ("low: 230 C", "low: 258 C", "high at least 5 °C above low"),
        ("most: 40 min", "most: 10 min", "expected least or longer"),
        ("area: 0.04", "area: 1.2", "no more than usable_area"),
        ("by: 06:00", "by: 06:00\n    out_at: 05:30", "one of out_at and by"),
        ("by: 06:00", "turns: [50 min]", "times within its stay"),
        ("{at: 23:30, stone: 300 C}", "{at: 23:30}", "expected stone, dome or both"),
        ("at: 01:30, stone: 262 C", "at: 01:30, stone: 305 C", "less than the first after the door"),
        ("at: 01:30, stone: 262 C", "at: 23:30:20, stone: 262 C", "a minute or more"),
        ("usable_area: 0.9", "usable_area: 0.9\nroom: 49 C\nsoak: 4 h\nfree_for: 1 h", "less than free_for"),
        ("usable_area: 0.9", "usable_area: big", "a number"),
        ("portions: 8", "portions: 8\n    colour: brown", "a known key"),
        ("    area: 0.04\n", "", "Add `area:`"),
    ],
)
def test_what_cannot_be_meant_is_told(falling, old, new, told):
    assert old in GOOD
    with pytest.raises(InputError, match=r"falling\.yaml") as refused:
        falling(GOOD.replace(old, new, 1))
    assert told in str(refused.value)


def test_a_door_that_the_oven_lacks_is_told(falling):
    with pytest.raises(InputError, match=r"a door in oven\.yaml"):
        falling(GOOD.replace("gas_shut: 22:00\n", "gas_shut: 22:00\ndoor_on: 22:30\n"), door=False)


def test_a_house_that_does_nothing_in_the_falling_heat_is_told_how(folder):
    with pytest.raises(InputError, match=r"docs/day-falling\.md"):
        read_falling(read_house(folder))
