"""One mistake at a time in a good house: the finding names the file, the line, the field and the way out."""

import os

import pytest

from hearthtide.errors import InputError
from hearthtide.house.files import read_house


def spoil(folder, file, old, new):
    path = folder / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) >= 1, f"{old!r} is not in {file}"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    return text[: text.index(old)].count("\n") + 1


def findings_in(folder):
    with pytest.raises(InputError) as raised:
        read_house(folder)
    return raised.value.findings


# file, what stood there, what stands there now, field, expected, remedy
MISTAKES = [
    # quantities
    ("oven.yaml", "1.2 m", "1.2", "diameter", "a length such as `13 in`", "Add the unit."),
    ("oven.yaml", "1.2 m", "12 m", "diameter", "at most 2.5 m", "Lower it"),
    ("oven.yaml", "42 cm", "4.9 cm", "crown_rise", "at least 5 cm", "Raise it"),
    ("oven.yaml", "42 cm", "260 cm", "crown_rise", "at most 250 cm", "Lower it"),
    ("oven.yaml", "50 mm", "50 m", "floor[1].thickness", "at most 0.4 m", "Lower it"),
    (
        "oven.yaml",
        "-45 deg",
        "back left",
        "burners[1].bearing",
        "an angle such as `-45 deg`",
        "Write it that way.",
    ),
    ("oven.yaml", "30 kW", "30 kg", "flames[5].power", "a power such as `26 kW`", "Write it that way."),
    ("oven.yaml", "low: 345 C", "low: 345 K", "floor_band.low", "a temperature such as `620 F`", "Write it"),
    (
        "house.yaml",
        "dress: 25 s",
        "dress: 25",
        "act_seconds.dress",
        "a duration such as `7:30`",
        "Add the unit.",
    ),
    ("house.yaml", "count: 12", "count: a dozen", "platters.count", "a whole number", "Write a number"),
    ("house.yaml", "count: 12", "count: 12.5", "platters.count", "a whole number", "Write a number"),
    ("dishes/pizza.yaml", "20 C", "", "start", "a temperature such as `620 F`", "Write a value."),
    ("dishes/pizza.yaml", "40 %", "120 %", "stages[1].turns[1]", "less than 100 %", "Lower it"),
    ("dishes/strip_steak.yaml", "0.0115", "big", "food_area", "a number", "without a unit"),
    (
        "dishes/strip_steak.yaml",
        "0.0115",
        "0.4",
        "food_area",
        "at most what it stands on, 0.0531 m2",
        "Lower",
    ),
    # keys and words
    ("oven.yaml", "crown_rise:", "crown_ris:", "crown_ris", "a known key", "Did you mean `crown_rise`"),
    ("house.yaml", "act_seconds:", "act_second:", "act_second", "a known key", "`act_seconds`"),
    (
        "dishes/pizza.yaml",
        "{core: 85 C, colour: golden}",
        "{cor: 85 C}",
        "stages[1].until.cor",
        "known",
        "`core`",
    ),
    ("dishes/pizza.yaml", "golden", "goldn", "stages[1].until.colour", "one of pale, straw", "`golden`"),
    (
        "dishes/pizza.yaml",
        "dressed: true",
        "dressed: maybe",
        "dressed",
        "`true` or `false`",
        "one of the two",
    ),
    (
        "dishes/pizza.yaml",
        "[mid, edge]",
        "[middle]",
        "stages[1].places[1]",
        "one of near, mid",
        "Did you mean `mid`?",
    ),
    ("dishes/pizza.yaml", "[mid, edge]", "[]", "stages[1].places", "at least 1 in this list", "Add"),
    ("dishes/pizza.yaml", "[mid, edge]", "mid", "stages[1].places", "a list", "`- `"),
    ("house.yaml", "name: Good House", "name: <script>", "name", "letters and digits", "Shorten it"),
    ("house.yaml", "plating: 45 s", "rules: {set: strict}", "rules.set", "one of australia", ""),
    ("oven.yaml", "natural_gas", "coal", "fuel", "one of natural_gas, propane, wood", "Known: natural_gas"),
    ("oven.yaml", "shape: round", "shape: square", "shape", "one of round, rect", "Known: rectangular"),
    # names in the libraries
    ("oven.yaml", "fireclay", "fireclai", "floor[1].material", "a name from materials.yaml", "`fireclay`"),
    (
        "dishes/pizza.yaml",
        "mozzarella",
        "mozarella",
        "layers[3].food",
        "a name from foods.yaml",
        "`mozzarella`",
    ),
    ("dishes/strip_steak.yaml", "cast_iron", "castiron", "vessel.metal", "from metals.yaml", "`cast_iron`"),
    # what does not go together
    (
        "oven.yaml",
        "high: 370 C",
        "high: 346 C",
        "floor_band",
        "high at least 5 °C above low",
        "Correct it here.",
    ),
    (
        "house.yaml",
        "mid_from: 22 cm",
        "mid_from: 6 cm",
        "zones.mid_from",
        "more than near_from, 6 cm",
        "in order",
    ),
    (
        "house.yaml",
        "edge_from: 45 cm",
        "edge_from: 20 cm",
        "zones.edge_from",
        "more than mid_from",
        "in order",
    ),
    (
        "dishes/strip_steak.yaml",
        "kind: platter",
        "kind: pan",
        "vessel.from_bank",
        "a platter",
        "Only platters",
    ),
    (
        "dishes/strip_steak.yaml",
        "diameter: 26 cm",
        "width: 26 cm",
        "vessel",
        "either diameter, or",
        "Correct",
    ),
    ("dishes/strip_steak.yaml", "mass: 1.8 kg, ", "", "vessel", "metal and mass", "Correct it here."),
    (
        "dishes/half_chicken.yaml",
        "name: crisp",
        "name: warm through",
        "stages[2].name",
        "name once",
        "another name",
    ),
    (
        "dishes/half_chicken.yaml",
        "core: 74 C",
        "core: 99 C",
        "stages[2].until.core",
        "at most 98 °C",
        "boiling",
    ),
    (
        "dishes/half_chicken.yaml",
        "core: 74 C",
        "core: 60 C",
        "stages[2].until.core",
        "above what",
        "Raise it",
    ),
    (
        "dishes/shrimp.yaml",
        "start: 4 C",
        "start: 70 C",
        "stages[1].until.core",
        "above what it starts",
        "Raise",
    ),
    (
        "dishes/strip_steak.yaml",
        "core: 50 C",
        "colour: brown",
        "core_at_landing",
        "until: core",
        "Add the core",
    ),
    (
        "dishes/strip_steak.yaml",
        "landing: 52 C",
        "landing: 60 C",
        "core_at_landing",
        "at most 57 °C",
        "Raise",
    ),
    (
        "dishes/flatbread.yaml",
        "hold: 2:30",
        "colour_at_most: pale",
        "stages[1].until.colour",
        "no darker",
        "Change",
    ),
    (
        "dishes/pizza.yaml",
        "{core: 85 C, colour: golden}",
        "{}",
        "stages[1].until",
        "at least one of core",
        "Correct",
    ),
    ("dishes/pizza.yaml", "[wheat, milk]", "[gluten-free]", "allergens.contains[1]", "may touch", "Name the"),
    (
        "dishes/pizza.yaml",
        "minutes: 3:00",
        "band: {early: 3:30}\n    minutes: 3:00",
        "stages[1].band.early",
        "less than the stage's own minutes, 3:00",
        "Lower it",
    ),
    # the hearth
    ("dishes/pizza.yaml", "30 cm", "140 cm", "stages[1].places", "there is none", "lower clear_of_flame"),
    ("dishes/pizza.yaml", "[mid, edge]", "[near]", "stages[1].places", "mid, mouth", "Change the places"),
    (
        "dishes/pizza.yaml",
        "diameter: 28 cm",
        "diameter: 55 cm",
        "vessel",
        "narrower than the mouth, 50 cm",
        "smaller",
    ),
    (
        "dishes/wings.yaml",
        "  - {food: chicken_wing_cooked, thickness: 22 mm}",
        "  - {food: chicken_wing_cooked, thickness: 14 cm}\n  - {food: butter, thickness: 12 cm}",
        "layers",
        "lower than the mouth, 25 cm",
        "flatter",
    ),
]


@pytest.mark.parametrize(
    ("file", "old", "new", "field", "expected", "remedy"),
    [pytest.param(*case, id=f"{case[0]}: {case[2] or 'nothing'}") for case in MISTAKES],
)
def test_one_mistake_is_found_where_it_stands(folder, file, old, new, field, expected, remedy):
    line = spoil(folder, file, old, new)
    found = findings_in(folder)
    at_field = [finding for finding in found if finding.field == field]
    assert at_field, [str(finding) for finding in found]
    assert at_field[0].file == file
    assert expected in at_field[0].expected
    assert remedy in at_field[0].remedy
    whole = (folder / file).read_text(encoding="utf-8").splitlines()
    assert at_field[0].line == line or field.split(".")[-1].split("[")[0] in whole[at_field[0].line - 1]
    if new and at_field[0].value:
        assert at_field[0].value in whole[at_field[0].line - 1]


def test_a_dish_clear_of_the_flame_nowhere_is_told_once_for_all_its_stages(folder):
    spoil(folder, "dishes/half_chicken.yaml", "hold: 5:00", "hold: 5:00\nclear_of_flame: 140 cm")
    (finding,) = findings_in(folder)
    assert finding.field == "stages[1].places" and "there is none" in finding.expected


def test_a_missing_key_is_told_at_the_part_that_lacks_it(folder):
    spoil(folder, "oven.yaml", ", standoff: 8 cm", "")
    (finding,) = findings_in(folder)
    assert (finding.field, finding.expected) == ("burners[1].standoff", "a value")
    assert "Add `standoff:`" in finding.remedy


@pytest.mark.parametrize("act", ["turn", "spin", "flip", "move", "dress", "cut"])
def test_an_act_that_nobody_does_is_told_at_the_dish_that_asks_for_it(folder, act):
    spoil(folder, "house.yaml", f"{act}, " if act != "cut" else ", cut", "")
    found = findings_in(folder)
    assert found
    assert all(finding.expected == f"somebody who can {act}" for finding in found)
    assert all(finding.file.startswith("dishes/") and "house.yaml" in finding.remedy for finding in found)


def test_somebody_must_launch_and_pull(folder):
    spoil(folder, "house.yaml", "launch, ", "")
    (finding,) = findings_in(folder)
    assert (finding.file, finding.field, finding.line) == ("house.yaml", "cooks", 4)
    assert "launch" in finding.expected


def test_a_platter_from_the_bank_needs_a_bank(folder):
    spoil(folder, "house.yaml", "platters:", "#")
    for line in ("  count: 12\n", "  hot: 230 C\n", "  turnaround: 10 min\n"):
        spoil(folder, "house.yaml", line, "")
    (finding,) = findings_in(folder)
    assert (finding.file, finding.field) == ("dishes/strip_steak.yaml", "vessel.from_bank")
    assert "platters:" in finding.remedy


def test_something_wider_than_the_hearth_is_told_so(folder):
    spoil(folder, "oven.yaml", "1.2 m", "0.62 m")
    spoil(folder, "oven.yaml", "mouth_width: 50 cm", "mouth_width: 45 cm")
    spoil(folder, "oven.yaml", "length: 50 cm", "length: 20 cm")
    spoil(folder, "dishes/pizza.yaml", "diameter: 28 cm", "diameter: 44 cm")
    fits = [finding for finding in findings_in(folder) if "fits a hearth of 62 cm" in finding.expected]
    assert [finding.file for finding in fits] == ["dishes/pizza.yaml"]


def test_something_wider_than_a_box_is_told_both_its_sides(folder):
    spoil(
        folder, "oven.yaml", "shape: round\ndiameter: 1.2 m", "shape: rectangular\nwidth: 60 cm\ndepth: 50 cm"
    )
    spoil(folder, "oven.yaml", "mouth_width: 50 cm", "mouth_width: 45 cm")
    spoil(folder, "oven.yaml", "length: 50 cm", "length: 20 cm")
    spoil(folder, "dishes/pizza.yaml", "diameter: 28 cm", "diameter: 44 cm")
    fits = [finding for finding in findings_in(folder) if "a hearth of 60 cm by 50 cm" in finding.expected]
    assert [finding.file for finding in fits] == ["dishes/pizza.yaml"]


def test_a_ribbon_behind_the_wall_is_impossible(folder):
    spoil(folder, "oven.yaml", "1.2 m", "0.6 m")
    spoil(folder, "oven.yaml", "mouth_width: 50 cm", "mouth_width: 40 cm")
    spoil(folder, "oven.yaml", "standoff: 8 cm", "standoff: 30 cm")
    (finding,) = findings_in(folder)
    assert finding.field == "burners[1].standoff"
    assert finding.expected == "less than the way to the middle, 30 cm"


def test_two_cooks_of_one_name_are_told_apart(folder):
    spoil(
        folder, "house.yaml", "  - name: Oven cook", "  - {name: Oven cook, acts: [cut]}\n  - name: Oven cook"
    )
    (finding,) = findings_in(folder)
    assert (finding.field, finding.expected) == ("cooks[2].name", "each cook once")


def test_all_mistakes_of_all_files_are_told_at_once(folder):
    spoil(folder, "oven.yaml", "1.2 m", "12 m")
    spoil(folder, "house.yaml", "count: 12", "count: x")
    spoil(folder, "dishes/pizza.yaml", "golden", "goldn")
    spoil(folder, "dishes/wings.yaml", "chicken_wing_cooked", "chicken_wing_coked")
    (folder / "dishes/shrimp.yaml").write_bytes(b"\xff")
    found = findings_in(folder)
    assert {finding.file for finding in found} == {
        "oven.yaml",
        "house.yaml",
        "dishes/pizza.yaml",
        "dishes/wings.yaml",
        "dishes/shrimp.yaml",
    }
    assert len(found) == 5


def test_missing_files_and_an_empty_folder_are_findings(tmp_path):
    found = findings_in(tmp_path)
    assert [finding.file for finding in found] == ["house.yaml", "oven.yaml", "dishes"]
    assert [finding.line for finding in found] == [0, 0, 0]
    (missing,) = findings_in(tmp_path / "nowhere")
    assert (missing.file, missing.line) == (str(tmp_path / "nowhere"), 0)


@pytest.mark.parametrize("name", ["two words.yaml", "pizza.yml", ".yaml", "-x.yaml", "a" * 41 + ".yaml"])
def test_a_dish_needs_a_plain_file_name(folder, name):
    (folder / "dishes" / name).write_text("name: A\n", encoding="utf-8")
    (finding,) = findings_in(folder)
    assert finding.file == f"dishes/{name}"
    assert finding.remedy == "Rename it."


def test_too_many_dishes_are_refused(folder):
    for i in range(200):
        (folder / "dishes" / f"extra{i}.yaml").symlink_to(folder / "dishes" / "pizza.yaml")
    assert any("at most 200 dishes" in finding.expected for finding in findings_in(folder))


def test_a_link_out_of_the_folder_is_not_followed(folder, tmp_path):
    outside = tmp_path / "outside.yaml"
    outside.write_bytes((folder / "dishes/pizza.yaml").read_bytes())
    (folder / "dishes/linked.yaml").symlink_to(outside)
    (finding,) = findings_in(folder)
    assert finding.file == "dishes/linked.yaml"
    assert "inside the house's folder" in finding.expected


def test_a_folder_a_dead_link_or_a_pipe_in_place_of_a_file_is_a_finding(folder):
    (folder / "dishes/folder.yaml").mkdir()
    (folder / "dishes/dead.yaml").symlink_to(folder / "dishes/loop.yaml")
    (folder / "dishes/loop.yaml").symlink_to(folder / "dishes/dead.yaml")
    os.mkfifo(folder / "dishes/pipe.yaml")
    found = findings_in(folder)
    assert sorted(finding.file for finding in found) == [
        "dishes/dead.yaml",
        "dishes/folder.yaml",
        "dishes/loop.yaml",
        "dishes/pipe.yaml",
    ]
